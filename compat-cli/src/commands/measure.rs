//! `compat measure`

use std::fs::OpenOptions;
use std::io::{BufRead, Write};
use std::path::Path;

use compat_core::bike::Setting;
use compat_core::report::{Asks, MeasureReport};
use compat_core::text::clean_line;
use compat_core::{Bike, Faults, Job, Options, Report, Swap};

use crate::args::{Format, Measure, Shared};
use crate::exit::Exit;
use crate::input::{Answer, Paths, Trouble, catalog, read};
use crate::render;

/// Lists the questions, or asks them.
pub fn run(wanted: &Measure, shared: &Shared) -> Result<Answer, Trouble> {
    if wanted.ask && shared.format == Format::Json {
        let message =
            "--ask is a dialogue and has no JSON; leave out --ask for the questions as JSON";
        return Err(Trouble::Usage(message.to_owned()));
    }
    let inputs = [
        Some(&wanted.bike),
        wanted.swap.as_ref(),
        wanted.stock.as_ref(),
    ];
    if wanted.ask
        && inputs
            .into_iter()
            .flatten()
            .any(|path| path == Path::new("-"))
    {
        let message = "--ask reads the answers from standard input, so no file can come from there";
        return Err(Trouble::Usage(message.to_owned()));
    }
    let catalog = catalog(shared.catalog.as_deref())?;
    let mut job = Job::new(catalog);
    let paths = Paths {
        bike: &wanted.bike,
        swap: wanted.swap.as_deref(),
        stock: wanted.stock.as_deref(),
        change: &wanted.change,
    };
    // A dialogue begins the file of answers where there is none yet.
    let mut known = wanted.known.clone();
    known.answers = known.answers.filter(|path| !wanted.ask || path.exists());
    let read = read(&mut job, &paths, &known)?;
    let options = Options {
        strict: wanted.known.strict,
    };
    if wanted.ask {
        let (bike, swap) = (read.bike, read.swap);
        let dialogue = Dialogue {
            job,
            bike,
            swap,
            options,
            wanted,
            given: Vec::new(),
            skipped: Vec::new(),
            passed: Vec::new(),
            unknown: None,
        };
        return dialogue.run();
    }
    let report = job.measure(&read.bike, read.swap.as_ref(), options);
    let text = match shared.format {
        Format::Json => render::json(&report),
        Format::Text if wanted.sheet => render::measure::sheet(&report),
        Format::Text => render::measure::show(&report),
    };
    Ok(Answer {
        text,
        aside: String::new(),
        exit: exit(report.verdict),
    })
}

fn exit(verdict: &str) -> Exit {
    let all = compat_core::Verdict::ALL;
    let known = all.into_iter().find(|known| known.words() == verdict);
    known.map_or(Exit::MeasureFirst, Exit::from)
}

/// One question after the other, until nothing is left to ask.
struct Dialogue<'c, 'w> {
    job: Job<'c>,
    bike: Bike,
    swap: Option<Swap>,
    options: Options,
    wanted: &'w Measure,
    /// The answers given, as `--set` takes them.
    given: Vec<Setting>,
    /// What nobody knows.
    skipped: Vec<String>,
    /// For each thing said, whether it was passed over.
    passed: Vec<bool>,
    /// How many dimensions nobody knew at the beginning.
    unknown: Option<usize>,
}

impl Dialogue<'_, '_> {
    fn run(mut self) -> Result<Answer, Trouble> {
        let mut lines = std::io::stdin().lock().lines();
        say(
            "an empty line leaves a thing unknown, `back` takes the last answer back, `stop` ends\n\n",
        );
        loop {
            let (bike, swap) = self.answered()?;
            let report = self.job.measure(&bike, swap.as_ref(), self.options);
            self.unknown.get_or_insert(report.unknown);
            let Some(asks) = self.next(&report) else {
                let report = self.job.check(&bike, swap.as_ref(), self.options);
                return Ok(self.end(&report));
            };
            say(&render::measure::question(asks));
            if !asks.names.is_empty() {
                say(&format!("    {}\n", render::measure::names(asks)));
            }
            let known = self.given.len() + self.skipped.len() + 1;
            say(&format!("{known}  {} = ", asks.set));
            let line = lines.next().transpose().unwrap_or_default();
            match line.as_deref().map(str::trim) {
                None | Some("stop") => {
                    say("\n");
                    let report = self.job.check(&bike, swap.as_ref(), self.options);
                    return Ok(self.end(&report));
                }
                Some("" | "?") => {
                    self.skipped.push(asks.set.clone());
                    self.passed.push(true);
                }
                Some("back") => self.back()?,
                Some(text) => self.take(asks, text)?,
            }
        }
    }

    /// The bike and the swap set with the answers so far.
    fn answered(&mut self) -> Result<(Bike, Option<Swap>), Trouble> {
        let (mut bike, mut swap) = (self.bike.clone(), self.swap.clone());
        let set = self.job.set(&mut bike, swap.as_mut(), &self.given);
        set.map_err(|faults| self.trouble(faults))?;
        Ok((bike, swap))
    }

    fn trouble(&self, faults: Faults) -> Trouble {
        Trouble::Faults {
            files: Box::new(self.job.files().clone()),
            faults,
        }
    }

    /// The first question that nobody has passed over.
    fn next<'r>(&self, report: &'r MeasureReport) -> Option<&'r Asks> {
        let mut questions = report.questions.iter().filter(|asks| !asks.later);
        questions.find(|asks| !self.skipped.contains(&asks.set))
    }

    /// Takes the last thing back that was said, also out of the file that keeps the answers.
    fn back(&mut self) -> Result<(), Trouble> {
        match self.passed.pop() {
            None => say("nothing to take back\n"),
            Some(true) => drop(self.skipped.pop()),
            Some(false) => {
                self.given.pop();
                if let Some(path) = &self.wanted.known.answers {
                    forget(path).map_err(|error| Trouble::File {
                        doing: "write",
                        path: path.clone(),
                        error,
                    })?;
                }
            }
        }
        Ok(())
    }

    /// Takes an answer, if it is one; says what is wrong with it otherwise.
    fn take(&mut self, asks: &Asks, text: &str) -> Result<(), Trouble> {
        let line = format!("{}={}", asks.set, plain(asks, text));
        let (mut bike, mut swap) = self.answered()?;
        let mut faults = Faults::default();
        let answer = self.job.settings("answer", &line, &mut faults);
        if let Err(faults) = self.job.set(&mut bike, swap.as_mut(), &answer) {
            say(&render::trouble::show(&self.trouble(faults)));
            return Ok(());
        }
        say(&format!("   the same as --set '{}'\n\n", clean_line(&line)));
        if let Some(path) = &self.wanted.known.answers {
            keep(path, &line).map_err(|error| Trouble::File {
                doing: "write",
                path: path.clone(),
                error,
            })?;
        }
        self.given.extend(answer);
        self.passed.push(false);
        Ok(())
    }

    /// The check with everything that was answered, and how to ask for it again.
    fn end(&self, report: &Report) -> Answer {
        let mut text = render::check::show(report, false, false);
        let asked = compat_core::explain::count(self.passed.len(), "question", "questions");
        let unknown = self.unknown.unwrap_or_default();
        text.push_str(&format!(
            "{asked} asked, of {unknown} dimensions of these parts that nobody knew\n"
        ));
        if !self.given.is_empty() {
            let again = self.again();
            text.push_str(&format!("{}\n", clean_line(&again)));
        }
        Answer {
            text,
            aside: String::new(),
            exit: Exit::from(report.verdict),
        }
    }
}

impl Dialogue<'_, '_> {
    /// The check with everything that was said, on one command line.
    fn again(&self) -> String {
        let (wanted, known) = (self.wanted, &self.wanted.known);
        let mut out = format!("again: compat check {}", wanted.bike.display());
        if let Some(path) = &wanted.swap {
            out.push_str(&format!(" {}", path.display()));
        }
        if let Some(path) = &wanted.stock {
            out.push_str(&format!(" --stock {}", path.display()));
        }
        let said = wanted.change.iter().map(|text| ("--swap", text));
        for (word, text) in said.chain(known.set.iter().map(|text| ("--set", text))) {
            out.push_str(&format!(" {word} '{}'", clean_line(text)));
        }
        // What is kept in a file is read from there again.
        if let Some(path) = &known.answers {
            out.push_str(&format!(" --answers {}", path.display()));
        } else {
            for one in &self.given {
                // Of a part that `--swap` brings, an answer is one more thing said of the new one.
                let slot = one.path.split('.').next().unwrap_or_default();
                let slots = wanted
                    .change
                    .iter()
                    .filter_map(|text| text.split(['.', '=']).next());
                let new = !one.path.contains('/') && slots.map(str::trim).any(|new| new == slot);
                let word = if new { "--swap" } else { "--set" };
                out.push_str(&format!(
                    " {word} '{}={}'",
                    one.path,
                    clean_line(&one.value)
                ));
            }
        }
        if known.strict {
            out.push_str(" --strict");
        }
        out
    }
}

/// An answer as files write it: what was taken with a tool is a measurement, and a decimal comma is
/// a point. A calliper that types sends just the number.
fn plain(asks: &Asks, text: &str) -> String {
    if !asks.names.is_empty() {
        return text.to_owned();
    }
    let number = |text: &str| {
        let mut text = text.chars();
        text.all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-' | ' '))
    };
    let text = if number(text) && text.matches(',').count() == 1 {
        text.replace(',', ".")
    } else {
        text.to_owned()
    };
    let taken =
        !matches!(asks.access, "asked") && asks.unit == "mm" && !text.starts_with("measured");
    match taken {
        true => format!("measured {}", text.trim_start_matches('+')),
        false => text,
    }
}

/// Adds an answer to the file that keeps them.
fn keep(path: &Path, line: &str) -> std::io::Result<()> {
    let mut file = OpenOptions::new().create(true).append(true).open(path)?;
    writeln!(file, "{line}")
}

/// Takes the last answer out of the file that keeps them.
fn forget(path: &Path) -> std::io::Result<()> {
    let text = std::fs::read_to_string(path)?;
    let kept = text
        .trim_end()
        .rsplit_once('\n')
        .map_or("", |(kept, _)| kept);
    let end = if kept.is_empty() { "" } else { "\n" };
    std::fs::write(path, format!("{kept}{end}"))
}

/// Says something at once.
fn say(text: &str) {
    let mut out = anstream::stdout().lock();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}
