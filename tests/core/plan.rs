//! Plans on the example bikes: each is checked whole, no cheaper one exists among all that can be put
//! together, and what is said to force a purchase does.

use std::process::Command;
use std::sync::OnceLock;

use compat_core::bike::{Wishes, read_wishes};
use compat_core::solve::check;
use compat_core::solve::plan::{Asked, Planned, Relaxed, Why, export, plan};
use compat_core::{Bike, Catalog, Files, Job, Options, Stock, Verdict};

use super::search::Dice;

fn catalog() -> &'static Catalog {
    static CATALOG: OnceLock<Catalog> = OnceLock::new();
    CATALOG.get_or_init(Catalog::compiled)
}

const TRAIL: &[u8] = include_bytes!("../../examples/trail.toml");
const CITY: &[u8] = include_bytes!("../../examples/city.toml");
const BIN: &str = include_str!("../../examples/bin.csv");
const PRICES: &str = include_str!("../../examples/prices.csv");

fn bike(bytes: &[u8], more: &[&str]) -> Bike {
    let mut job = Job::new(catalog());
    let mut bike = job.bike("bike.toml", bytes).unwrap();
    for line in more {
        let mut faults = compat_core::Faults::default();
        let set = job.settings("set", line, &mut faults);
        job.set(&mut bike, None, &set).unwrap();
    }
    bike
}

fn stock(text: &str) -> Stock {
    Job::new(catalog())
        .stock("bin.csv", text.as_bytes())
        .unwrap()
}

fn wishes(text: &str) -> Wishes {
    read_wishes(
        catalog(),
        &mut Files::default(),
        "wishes.toml",
        text.as_bytes(),
    )
    .unwrap()
}

fn asked<'a>(
    bike: &'a Bike,
    wishes: &'a Wishes,
    bin: Option<&'a Stock>,
    list: Option<&'a Stock>,
    labour: &'a compat_core::catalog::Labour,
) -> Asked<'a> {
    Asked {
        bike,
        wishes,
        bin,
        list,
        labour,
        strict: false,
        unmeasured: false,
        worth: true,
        next: 0,
        steps: 5_000_000,
        stop: &|_| false,
    }
}

fn planned(bike: &Bike, wishes: &Wishes, bin: &Stock, list: Option<&Stock>) -> Planned {
    let labour = compat_core::catalog::Labour::usual(catalog());
    plan(catalog(), &asked(bike, wishes, Some(bin), list, &labour)).unwrap()
}

const EASY: &str = "keep = [\"rear_hub\"]\nmay_go = [\"front_derailleur\"]\n\
                    cassette = { largest_cog = \"at least 46\" }";
const FRAME: &[&str] = &["frame.largest_single_ring=34", "frame.chain_line=48.8"];

#[test]
fn the_upgrade_is_checked_whole_and_every_wish_holds() {
    let bike = bike(TRAIL, FRAME);
    let (wishes, bin, list) = (wishes(EASY), stock(BIN), stock(PRICES));
    let planned = planned(&bike, &wishes, &bin, Some(&list));
    assert!(planned.proved);
    let best = &planned.plans[0];
    let again = check(catalog(), &bike, Some(&best.swap), Options::default());
    assert!(again.verdict <= Verdict::FitsWith);
    let (after, _) = bike.with(&best.swap);
    let cogs = after
        .part(catalog().slot_named("cassette").unwrap())
        .unwrap();
    let most = catalog().body(cogs.kind).dimension("largest_cog").unwrap();
    let most = cogs.entries[most].deciding().unwrap().cases.span().unwrap();
    assert!(most.low >= 46);
    assert!(
        best.steps
            .iter()
            .all(|step| !matches!(step.why, Why::Unknown))
    );
}

/// Every swap set over a few slots, each line and each way to leave things tried, by the check alone.
#[test]
fn no_cheaper_plan_exists_among_all_that_can_be_put_together() {
    let labour = compat_core::catalog::Labour::usual(catalog());
    let mut dice = Dice::new(5);
    let rows: Vec<&str> = BIN.lines().skip(1).collect();
    let header = BIN.lines().next().unwrap();
    let slots = [
        "cassette",
        "rear_derailleur",
        "rear_shifter",
        "chain",
        "seatpost",
    ];
    let (mut found, mut none) = (0, 0);
    for round in 0..60 {
        // A bin of a few lines, most of them of the slots that matter here.
        let of = |kind: &str| -> Vec<&str> {
            let named = |row: &&&str| row.split(',').nth(1) == Some(kind);
            rows.iter().filter(named).copied().collect()
        };
        let mut text = format!("{header}\n");
        let mut ids: Vec<Vec<String>> = Vec::new();
        for slot in slots {
            let all = of(slot);
            let mut here: Vec<&str> = Vec::new();
            for _ in 0..2 {
                let row = all[dice.roll(all.len())];
                if !here.contains(&row) {
                    here.push(row);
                }
            }
            ids.push(
                here.iter()
                    .map(|row| row.split(',').next().unwrap().to_owned())
                    .collect(),
            );
            for row in here {
                text.push_str(row);
                text.push('\n');
            }
        }
        let bin = stock(&text);
        let wish = match dice.roll(4) {
            0 => "cassette = { speeds = \"at least 10\" }\nchange = [\"chain\"]".to_owned(),
            1 => format!(
                "cassette = {{ largest_cog = \"at least {}\" }}",
                28 + dice.roll(24)
            ),
            2 => "rear_shifter = { speeds = \"at least 11\" }".to_owned(),
            _ => "change = [\"cassette\", \"seatpost\"]".to_owned(),
        };
        let wishes = wishes(&wish);
        let bike = bike(TRAIL, &[]);
        let best = plan(catalog(), &asked(&bike, &wishes, Some(&bin), None, &labour)).unwrap();
        assert!(best.proved);
        // Each slot stays, or takes one of its lines.
        let mut least: Option<i64> = None;
        let sizes: Vec<usize> = ids.iter().map(|of| of.len() + 1).collect();
        for number in 0..sizes.iter().product::<usize>() {
            let mut rest = number;
            let mut swap = String::new();
            let mut cost = 0;
            for ((slot, of), size) in slots.iter().zip(&ids).zip(&sizes) {
                let choice = rest % size;
                rest /= size;
                if choice > 0 {
                    let id = &of[choice - 1];
                    swap.push_str(&format!("{slot} = \"{id}\"\n"));
                    let line = bin
                        .lines
                        .iter()
                        .find(|line| bin.text(line.id) == id)
                        .unwrap();
                    cost += compat_core::dim::read_money(bin.text(line.price)).unwrap();
                    cost += labour.cost(catalog().slot_named(slot).unwrap());
                }
            }
            if least.is_some_and(|least| least <= cost) {
                continue;
            }
            let mut job = Job::new(catalog());
            let swap = job.swap("swap.toml", swap.as_bytes(), Some(&bin)).unwrap();
            if swap.parts.is_empty() {
                continue;
            }
            let (after, touched) = bike.with(&swap);
            let changed = wishes.change.iter().all(|slot| touched.contains(slot));
            let holds = wishes.wishes.iter().all(|wish| {
                let part = after.part(wish.slot).unwrap();
                let reading = part.entries[wish.dimension].deciding();
                reading.is_some_and(|reading| match (reading.cases.span(), &wish.wanted) {
                    (Some(span), compat_core::dim::Cases::Numbers(wanted)) => {
                        wanted.iter().any(|wanted| wanted.holds(span))
                    }
                    _ => false,
                })
            });
            if !changed || !holds {
                continue;
            }
            let checked = check(catalog(), &bike, Some(&swap), Options::default());
            // An adaptor has a price of its own, which this count knows nothing of.
            let adapts = checked
                .findings
                .iter()
                .any(|finding| !finding.remedies.inserts.is_empty());
            if checked.verdict <= Verdict::FitsWith && !adapts {
                least = Some(cost);
            }
        }
        let money = best.plans.first().map(|plan| plan.weight.money);
        match (least, money) {
            (Some(least), Some(money)) => assert!(money <= least, "{round}: {wish}\n{text}"),
            (Some(_), None) => panic!("{round}: a plan was missed: {wish}\n{text}"),
            _ => {}
        }
        for plan in &best.plans {
            found += 1;
            if plan.steps.is_empty() {
                continue;
            }
            let again = check(catalog(), &bike, Some(&plan.swap), Options::default());
            assert!(again.verdict <= Verdict::FitsWith);
        }
        none += usize::from(best.plans.is_empty());
    }
    assert!(found >= 10 && none >= 5, "{found} plans, {none} times none");
}

#[test]
fn what_would_have_to_give_way_is_enough() {
    let bike = bike(TRAIL, FRAME);
    let (bin, list) = (stock(BIN), stock(PRICES));
    let text = format!("{EASY}\n");
    let tight = wishes(&format!("budget = 100\n{text}"));
    let planned_tight = planned(&bike, &tight, &bin, Some(&list));
    assert!(planned_tight.plans.is_empty() && planned_tight.proved);
    let more = planned_tight.relaxed.iter().find_map(|one| match one {
        Relaxed::Budget(more, _) => Some(*more),
        _ => None,
    });
    let enough = 10_000 + more.expect("the budget is what is short");
    for (budget, there) in [(enough, true), (enough - 1, false)] {
        let mut wishes = wishes(&text);
        wishes.budget = Some(budget);
        let planned = planned(&bike, &wishes, &bin, Some(&list));
        assert_eq!(!planned.plans.is_empty(), there, "{budget}");
    }
}

#[test]
fn a_wish_that_holds_changes_nothing() {
    let bike = bike(CITY, &[]);
    let planned = planned(&bike, &wishes("title = \"as it is\""), &stock(BIN), None);
    assert!(planned.proved);
    assert_eq!(planned.plans[0].weight.money, 0);
    assert!(planned.plans[0].steps.is_empty());
}

#[test]
fn a_line_is_taken_no_more_often_than_it_is_there() {
    let bike = bike(CITY, &[]);
    let both = wishes("change = [\"front_tyre\", \"rear_tyre\"]");
    let tyre = |quantity: u32| {
        let text = format!("id,kind,quantity,price,size\nT,tyre,{quantity},10,37-622\n");
        planned(&bike, &both, &stock(&text), None)
    };
    let (one, two) = (tyre(1), tyre(2));
    assert!(one.plans.is_empty() || one.plans[0].weight.open > 0);
    if let Some(plan) = two.plans.first() {
        assert_eq!(plan.steps.len(), 2);
    }
}

/// The same problem put to OR-tools (a general solver), where it is there.
#[test]
fn a_general_solver_finds_the_same() {
    let labour = compat_core::catalog::Labour::usual(catalog());
    let script = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../tests/support/solve_problem.py"
    );
    let folder = std::env::temp_dir().join(format!("compat-plan-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("problem.json");
    for (frame, budget) in [(FRAME, None), (FRAME, Some(30_000)), (&[][..], None)] {
        let bike = bike(TRAIL, frame);
        let mut wishes = wishes(EASY);
        wishes.budget = budget;
        let (bin, list) = (stock(BIN), stock(PRICES));
        let asked = asked(&bike, &wishes, Some(&bin), Some(&list), &labour);
        let problem = export(catalog(), &asked).unwrap();
        std::fs::write(&path, serde_json::to_string(&problem).unwrap()).unwrap();
        let run = Command::new("python3").arg(script).arg(&path).output();
        let Ok(said) = run.map(|run| String::from_utf8(run.stdout).unwrap()) else {
            eprintln!("skipped: there is no python3 to run the general solver with");
            break;
        };
        let first = said.lines().next().unwrap_or("").to_owned();
        if first.starts_with("skipped") || first.is_empty() {
            eprintln!("{first}");
            break;
        }
        let planned = plan(catalog(), &asked).unwrap();
        let ours = planned.plans.first().map_or("none".to_owned(), |plan| {
            let [open, money, changes, order] = plan.weight.row();
            format!("{open} {money} {changes} {order}")
        });
        assert_eq!(first, ours);
    }
    let _ = std::fs::remove_dir_all(folder);
}
