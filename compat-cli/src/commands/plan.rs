//! `compat plan`

use std::io::{IsTerminal, Write};
use std::path::Path;
use std::time::{Duration, Instant};

use compat_core::dim::read_money;
use compat_core::solve::plan::{Asked, NotExported};
use compat_core::text::clean_line;
use compat_core::{Faults, Job};

use crate::args::{Format, Plan, Shared};
use crate::exit::Exit;
use crate::input::{Answer, Trouble, bytes, catalog, name, one_standard_input, settings};
use crate::render;

/// Reads everything, then plans.
pub fn run(wanted: &Plan, shared: &Shared) -> Result<Answer, Trouble> {
    let paths: Vec<&Path> = [wanted.bike.as_path(), wanted.wishes.as_path()]
        .into_iter()
        .chain(wanted.stock.as_deref())
        .chain(wanted.prices.as_deref())
        .chain(wanted.labour.as_deref())
        .collect();
    one_standard_input(&paths)?;
    let catalog = catalog(shared.catalog.as_deref())?;
    let mut job = Job::new(catalog);
    let mut faults = Faults::default();
    let set = settings(&mut job, &wanted.known, &[], &mut faults)?;
    let mut keep = |wrong: Faults| faults.0.extend(wrong.0);
    let bike = job
        .bike_with(&name(&wanted.bike), &bytes(&wanted.bike)?, &set)
        .map_err(&mut keep)
        .ok();
    let wishes = job
        .wishes(&name(&wanted.wishes), &bytes(&wanted.wishes)?)
        .map_err(&mut keep)
        .ok();
    let mut list = |job: &mut Job<'_>, path: Option<&Path>, priced| -> Result<_, Trouble> {
        let Some(path) = path else { return Ok(None) };
        let (name, bytes) = (name(path), bytes(path)?);
        let read = if priced {
            job.prices(&name, bytes)
        } else {
            job.stock(&name, bytes)
        };
        Ok(read.map_err(&mut keep).ok())
    };
    let bin = list(&mut job, wanted.stock.as_deref(), wanted.worth)?;
    let prices = list(&mut job, wanted.prices.as_deref(), true)?;
    let own = match &wanted.labour {
        Some(path) => Some((name(path), bytes(path)?)),
        None => None,
    };
    let own = own
        .as_ref()
        .map(|(name, bytes)| (name.as_str(), bytes.as_slice()));
    let labour = job.labour(own).map_err(&mut keep).ok();
    let budget = wanted.budget.as_deref().map(read_money).transpose();
    let budget = budget.map_err(|wrong| Trouble::Usage(clean_line(&wrong)))?;
    let (Some(bike), Some(mut wishes), Some(labour), true) =
        (bike, wishes, labour, faults.is_empty())
    else {
        return Err(told(&job, faults));
    };
    wishes.budget = budget.or(wishes.budget);
    let clock = Clock::new(wanted.seconds, shared.quiet);
    let stop = |steps: u64| clock.over(steps);
    let asked = Asked {
        bike: &bike,
        wishes: &wishes,
        bin: bin.as_ref(),
        list: prices.as_ref(),
        labour: &labour,
        strict: wanted.known.strict,
        unmeasured: wanted.allow_unmeasured,
        worth: wanted.worth,
        next: wanted.next,
        steps: wanted.steps,
        stop: &stop,
    };
    if let Some(path) = &wanted.export_problem {
        let problem = job.export(&asked).map_err(|wrong| match wrong {
            NotExported::Faults(faults) => told(&job, faults),
            NotExported::TooLarge(_) => Trouble::Usage(clean_line(&wrong.to_string())),
        })?;
        let text = serde_json::to_string(&problem).unwrap_or_default() + "\n";
        std::fs::write(path, text).map_err(|error| Trouble::File {
            doing: "write",
            path: path.clone(),
            error,
        })?;
    }
    let planned = job.plan(&asked);
    clock.wipe();
    let report = planned.map_err(|faults| told(&job, faults))?;
    let warnings = bin.iter().chain(&prices).flat_map(|stock| &stock.warnings);
    let aside = if shared.quiet || shared.format == Format::Json {
        String::new()
    } else {
        warnings
            .map(|warning| format!("note: {}\n", warning.show(job.files())))
            .collect()
    };
    let text = match shared.format {
        Format::Json => render::json(&report),
        Format::Text => render::plan::show(&report),
    };
    Ok(Answer {
        text,
        aside,
        exit: match report.outcome {
            "planned" if report.plans.first().is_some_and(|plan| plan.open > 0) => {
                Exit::MeasureFirst
            }
            "planned" => Exit::Fits,
            "stopped" => Exit::Stopped,
            _ => Exit::DoesNotFit,
        },
    })
}

fn told(job: &Job<'_>, faults: Faults) -> Trouble {
    Trouble::Faults {
        files: Box::new(job.files().clone()),
        faults: faults.sorted(),
    }
}

/// How long the search may take, and a word on a terminal where it takes long.
struct Clock {
    began: Instant,
    most: Duration,
    shows: bool,
    said: std::cell::Cell<u64>,
}

impl Clock {
    fn new(seconds: u64, quiet: bool) -> Clock {
        Clock {
            began: Instant::now(),
            most: Duration::from_secs(seconds),
            shows: !quiet && std::io::stderr().is_terminal(),
            said: std::cell::Cell::new(0),
        }
    }

    fn over(&self, steps: u64) -> bool {
        let gone = self.began.elapsed();
        if self.shows && gone.as_secs() > self.said.get() {
            self.said.set(gone.as_secs());
            let _ = write!(
                std::io::stderr().lock(),
                "\rplanning: {} s, {steps} steps",
                gone.as_secs()
            );
        }
        gone > self.most
    }

    fn wipe(&self) {
        if self.said.get() > 0 {
            let _ = write!(std::io::stderr().lock(), "\r{:40}\r", "");
        }
    }
}
