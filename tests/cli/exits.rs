//! Exit codes, pipes, broken input, another folder.

use std::fs;

use crate::program::{root, run, run_in};

fn own(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| (*word).to_owned()).collect()
}

#[test]
fn each_verdict_has_its_exit() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    write(
        "bike.toml",
        "[frame]\nseat_tube_bore = 31.6\nseatpost_routing = \"inside\"\n[seatpost]\ndiameter = 31.6\n[saddle]\nrails = \"round 7\"\n",
    );
    write("thick.toml", "[seatpost]\ndiameter = 34.9\n");
    write("open.toml", "[seatpost]\ndiameter = \"?\"\n");
    write("clamp.toml", "[seat_clamp]\ninside = 34.9\n");
    let code = |words: &[&str]| run_in(folder.path(), &own(words), b"").code;
    assert_eq!(code(&["check", "bike.toml"]), 0);
    assert_eq!(code(&["check", "bike.toml", "thick.toml"]), 1);
    assert_eq!(code(&["check", "bike.toml", "open.toml"]), 3);
    assert_eq!(
        code(&[
            "check",
            "--set",
            "frame.seat_tube_outside=34.9",
            "bike.toml",
            "clamp.toml"
        ]),
        0
    );
    assert_eq!(code(&["check", "nowhere.toml"]), 2);
    assert_eq!(code(&["check", "--no-such-flag"]), 2);
    assert_eq!(code(&["check", "bike.toml", "--set", "frame.bore"]), 2);
    assert_eq!(code(&["--help"]), 0);
    assert_eq!(code(&[]), 2);
}

#[test]
fn faults_go_to_standard_error_with_exit_2_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join("b.toml"),
        "[frme]\n[seatpost]\ndiameter = \"27.2 cm\"\n",
    )
    .unwrap();
    fs::write(folder.path().join("s.toml"), "[sadle]\n").unwrap();
    let run = run_in(folder.path(), &own(&["check", "b.toml", "s.toml"]), b"");
    assert_eq!((run.code, run.out.as_str()), (2, ""));
    for part in [
        "b.toml:1:2",
        "nearest: `frame`",
        "b.toml:3:12",
        "was `27.2 mm` meant?",
        "s.toml:1:2",
        "nearest: `saddle`",
        "3 faults",
    ] {
        assert!(run.err.contains(part), "{part}: {}", run.err);
    }
}

#[test]
fn standard_input_is_read_once() {
    let bike = fs::read(root().join("examples/city.toml")).unwrap();
    let words = own(&["check", "-", "examples/swaps/city-post.toml"]);
    let piped = run_in(&root(), &words, &bike);
    let read = run(&[
        "check",
        "examples/city.toml",
        "examples/swaps/city-post.toml",
    ]);
    assert_eq!((piped.out, piped.code), (read.out, read.code));
    assert_eq!(run(&["check", "-", "-"]).code, 2);
}

#[test]
fn the_program_runs_from_any_folder() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| root().join(name).display().to_string();
    let words = own(&[
        "check",
        &path("examples/city.toml"),
        &path("examples/swaps/city-post.toml"),
    ]);
    let there = run_in(folder.path(), &words, b"");
    let here = run(&[
        "check",
        "examples/city.toml",
        "examples/swaps/city-post.toml",
    ]);
    assert_eq!((there.out, there.code), (here.out, here.code));
}

#[test]
fn a_page_is_written_once_and_never_over_another() {
    let folder = tempfile::tempdir().unwrap();
    for (page, file) in [
        ("bike", "bike.toml"),
        ("swap", "swap.toml"),
        ("stock", "stock.csv"),
        ("schema-bike", "b.json"),
        ("schema-swap", "s.json"),
    ] {
        let words = own(&["new", page, file]);
        assert_eq!(run_in(folder.path(), &words, b"").code, 0, "{page}");
        let first = fs::read(folder.path().join(file)).unwrap();
        assert_eq!(run_in(folder.path(), &words, b"").code, 2, "{page}");
        assert_eq!(fs::read(folder.path().join(file)).unwrap(), first);
    }
    let check = run_in(
        folder.path(),
        &own(&["check", "bike.toml", "swap.toml"]),
        b"",
    );
    assert_eq!(
        (check.code, check.err.as_str()),
        (3, ""),
        "the pages are read as they are written, and an empty one says nothing yet"
    );
    let audit = run_in(
        folder.path(),
        &own(&["audit", "stock.csv", "bike.toml"]),
        b"",
    );
    assert_eq!((audit.code, audit.err.as_str()), (0, ""));
}

/// Every line of a template that is a comment about a dimension can be filled in.
#[test]
fn every_line_of_the_bike_page_can_be_used() {
    let folder = tempfile::tempdir().unwrap();
    let page = run(&["new", "bike"]).out;
    let used: Vec<String> = page
        .lines()
        .map(|line| {
            let bare = line.strip_prefix("# ").unwrap_or(line);
            let is_row = bare
                .split_once(" = ")
                .is_some_and(|(name, _)| name.chars().all(|c| c.is_alphanumeric() || c == '_'));
            let is_head = bare.starts_with('[') && bare.ends_with(']');
            // A complaint wants a word; everything else may be left open.
            if (is_row || is_head) && !bare.starts_with("complaint") {
                bare.to_owned()
            } else {
                line.to_owned()
            }
        })
        .collect();
    fs::write(folder.path().join("all.toml"), used.join("\n")).unwrap();
    let run = run_in(folder.path(), &own(&["check", "all.toml"]), b"");
    assert_eq!(run.err, "");
    assert!(
        used.iter()
            .filter(|line| !line.starts_with('#') && line.contains(" = "))
            .count()
            > 60
    );
}

/// Every line of a page, with its `#` taken off: a page that is filled in can be read.
fn uncommented(page: &str) -> String {
    let lines = page.lines().map(|line| {
        let bare = line.strip_prefix("# ").unwrap_or(line);
        let plain = |name: &str| name.chars().all(|c| c.is_alphanumeric() || c == '_');
        let row = bare.split_once(" = ").is_some_and(|(name, _)| plain(name));
        let head = bare.starts_with('[') && bare.ends_with(']');
        let said = ["keep", "change", "remove", "may_go"];
        let asks = said.iter().any(|name| bare.starts_with(name));
        if (row || head) && !asks { bare } else { line }
    });
    lines.collect::<Vec<&str>>().join("\n")
}

#[test]
fn the_pages_of_wishes_and_labour_can_be_used() {
    let folder = tempfile::tempdir().unwrap();
    for page in ["wishes", "labour"] {
        let page_text = run(&["new", page]).out;
        fs::write(
            folder.path().join(format!("{page}.toml")),
            uncommented(&page_text),
        )
        .unwrap();
        let schema = run(&["new", &format!("schema-{page}")]).out;
        let schema: serde_json::Value = serde_json::from_str(&schema).unwrap();
        let named = schema["properties"].as_object().unwrap();
        let rows = uncommented(&page_text);
        let heads = rows.lines().filter_map(|line| line.strip_prefix('['));
        for head in heads {
            assert!(named.contains_key(head.trim_end_matches(']')), "{head}");
        }
    }
    fs::write(folder.path().join("bike.toml"), "[frame]\n").unwrap();
    let words = own(&[
        "plan",
        "bike.toml",
        "wishes.toml",
        "--labour",
        "labour.toml",
    ]);
    let run = run_in(folder.path(), &words, b"");
    assert_eq!((run.code, run.err.as_str()), (0, ""));
}

#[test]
fn a_plan_that_cannot_be_written_out_writes_and_says_nothing() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("bike.toml"), "[frame]\n").unwrap();
    fs::write(folder.path().join("wishes.toml"), "note = \"\"\n").unwrap();
    let words = [
        "plan",
        "bike.toml",
        "wishes.toml",
        "--export-problem",
        "no/p.json",
    ];
    let run = run_in(folder.path(), &own(&words), b"");
    assert_eq!((run.code, run.out.as_str()), (2, ""));
    assert!(!folder.path().join("no").exists());
    let words = ["plan", "bike.toml", "wishes.toml", "--budget", "-3"];
    let run = run_in(folder.path(), &own(&words), b"");
    assert_eq!((run.code, run.out.as_str()), (2, ""));
    assert!(run.err.contains("not less than nothing"), "{}", run.err);
    let words = ["identify", "bearing", "bore=15", "--calliper-error", "-1"];
    let run = run_in(folder.path(), &own(&words), b"");
    assert_eq!((run.code, run.out.as_str()), (2, ""));
    assert!(run.err.contains("more than nothing"), "{}", run.err);
}

#[test]
fn json_is_whole_and_says_the_same() {
    for words in [
        vec![
            "check",
            "examples/trail.toml",
            "examples/swaps/trail-group-12.toml",
            "--stock",
            "examples/bin.csv",
        ],
        vec!["audit", "examples/bin.csv", "examples/road.toml"],
        vec!["explain", "seatpost"],
        vec!["tables"],
    ] {
        let text = run(&words);
        let mut json = words.clone();
        json.extend(["--format", "json"]);
        let json = run(&json);
        assert_eq!(text.code, json.code);
        let value: serde_json::Value = serde_json::from_str(&json.out).unwrap();
        if words[0] == "check" {
            assert_eq!(value["version"], 1);
            for finding in value["findings"].as_array().unwrap() {
                let headline = finding["headline"].as_str().unwrap();
                assert!(text.out.contains(headline), "{headline}");
            }
        }
    }
}

#[test]
fn no_colour_goes_through_a_pipe_and_quiet_is_quiet() {
    let words = [
        "check",
        "examples/trail.toml",
        "examples/swaps/trail-group-12.toml",
        "--stock",
        "examples/bin.csv",
    ];
    let plain = run(&words);
    assert!(!plain.out.contains('\u{1b}') && !plain.err.contains('\u{1b}'));
    let mut quiet = words.to_vec();
    quiet.push("--quiet");
    let quiet = run(&quiet);
    assert_eq!(
        (quiet.out.as_str(), quiet.err.as_str(), quiet.code),
        ("", "", plain.code)
    );
}

#[test]
fn a_folder_adds_to_the_catalogue() {
    let folder = tempfile::tempdir().unwrap();
    let page = root().join("catalog/joints/seatpost_fit.toml");
    let text = fs::read_to_string(page).unwrap();
    fs::create_dir(folder.path().join("joints")).unwrap();
    let place = folder.path().join("joints/seatpost_fit.toml");
    fs::write(&place, text.replace("0.15 mm", "0.45 mm")).unwrap();
    let bike = folder.path().join("bike.toml");
    fs::write(
        &bike,
        "[frame]\nseat_tube_bore = 27.2\n[seatpost]\ndiameter = 26.8\n",
    )
    .unwrap();
    let words = own(&["check", "bike.toml"]);
    assert_eq!(run_in(folder.path(), &words, b"").code, 1);
    let mut with = words;
    with.extend(own(&["--catalog", "."]));
    fs::create_dir(folder.path().join("only")).unwrap();
    fs::rename(
        folder.path().join("joints"),
        folder.path().join("only/joints"),
    )
    .unwrap();
    with.pop();
    with.push("only".to_owned());
    assert_eq!(run_in(folder.path(), &with, b"").code, 0);
    fs::write(
        folder.path().join("only/joints/seatpost_fit.toml"),
        "title = 1\n[limit.tightst]\n",
    )
    .unwrap();
    let broken = run_in(folder.path(), &with, b"");
    assert_eq!(broken.code, 2);
    assert!(broken.err.contains("tightst"), "{}", broken.err);
}

#[test]
fn identify_says_whether_it_could_be_something() {
    let code = |words: &[&str]| run(words).code;
    assert_eq!(code(&["identify", "bearing", "bore=15", "outside=28"]), 0);
    assert_eq!(code(&["identify", "bearing", "bore=15", "outside=29.5"]), 1);
    assert_eq!(code(&["identify", "bearing", "bor=15"]), 2);
    assert_eq!(code(&["identify", "bearing"]), 2);
    assert_eq!(code(&["identify"]), 2);
    assert_eq!(
        code(&["identify", "bearing.bore=15", "--calliper-error", "much"]),
        2
    );
    // One thing that could be something and one that could not.
    assert_eq!(
        code(&[
            "identify",
            "bearing.bore=15",
            "handlebar.clamp_diameter=28.4"
        ]),
        1
    );
}

#[test]
fn identify_reads_lines_of_standard_input_from_any_folder() {
    let folder = tempfile::tempdir().unwrap();
    let lines = b"# out of the box\n\nbore = 15.02\r\noutside=27.97\n";
    let run = run_in(folder.path(), &own(&["identify", "bearing", "-"]), lines);
    assert_eq!(run.code, 0);
    assert!(run.out.contains("6902"), "{}", run.out);
    assert!(!run.out.contains('\u{1b}'), "{}", run.out);
    let words = ["identify", "bearing", "-", "--format", "json"];
    let run = run_in(folder.path(), &own(&words), lines);
    let told: serde_json::Value = serde_json::from_str(&run.out).unwrap();
    assert_eq!(told["version"], 1);
    assert_eq!(told["found"], true);
    assert_eq!(told["things"][0]["readings"][1]["set"], "bearing.outside");
    let run = run_in(
        folder.path(),
        &own(&["identify", "bearing", "-", "-q"]),
        lines,
    );
    assert_eq!((run.code, run.out.as_str()), (0, ""));
}

/// A tab is one character of its line, however it is shown.
#[test]
fn a_fault_behind_tabs_stands_where_it_is_told() {
    let folder = tempfile::tempdir().unwrap();
    fs::copy(
        root().join("examples/road.toml"),
        folder.path().join("bike.toml"),
    )
    .unwrap();
    let list = "kind\tid\tquantity\tdrop\nseatpost\tB\t1\tabc\n";
    fs::write(folder.path().join("list.csv"), list).unwrap();
    let run = run_in(
        folder.path(),
        &own(&["audit", "list.csv", "bike.toml"]),
        b"",
    );
    assert!(run.err.contains("list.csv:2:14\n"), "{}", run.err);
    assert!(run.err.contains("seatpost B 1 abc\n"), "{}", run.err);
    let long = format!("seatpost\tB\t1\t{}\tabc\n", "wide ".repeat(60));
    let list = format!("kind\tid\tquantity\tname\tdrop\n{long}");
    fs::write(folder.path().join("list.csv"), list).unwrap();
    let run = run_in(
        folder.path(),
        &own(&["audit", "list.csv", "bike.toml"]),
        b"",
    );
    assert!(run.err.contains("list.csv:2:315\n"), "{}", run.err);
}

/// Prose is wrapped where there is no terminal, too; a line that others look for stays whole.
#[test]
fn prose_is_wrapped_in_a_pipe_and_findings_are_not() {
    let swap = "examples/swaps/trail-dropper-200.toml";
    let stock = ["--stock", "examples/bin.csv"];
    let run = run(&[
        "check",
        "examples/trail.toml",
        swap,
        stock[0],
        stock[1],
        "--all",
        "-v",
    ]);
    let heads = [
        "does not fit  ",
        "measure first  ",
        "fits with  ",
        "fits  ",
        "figures  ",
        "verdict:",
    ];
    for line in run.out.lines() {
        let head = heads.iter().any(|head| line.starts_with(head));
        let words = line.trim().split(' ').count();
        assert!(head || words == 1 || line.chars().count() <= 100, "{line}");
    }
    let coded =
        |line: &&str| heads.iter().any(|head| line.starts_with(head)) && line.ends_with(']');
    assert!(run.out.lines().filter(coded).count() > 3, "{}", run.out);
}
