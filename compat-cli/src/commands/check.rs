//! `compat check`

use std::path::Path;

use compat_core::{Job, Options};

use crate::args::{Check, Format, Shared};
use crate::exit::Exit;
use crate::input::{Answer, Trouble, bytes, catalog, name, one_standard_input, settings};
use crate::render;

/// Reads everything, so that every fault of every file is told at once; then checks.
pub fn run(wanted: &Check, shared: &Shared) -> Result<Answer, Trouble> {
    let paths: Vec<&Path> = std::iter::once(wanted.bike.as_path())
        .chain(wanted.swap.as_deref())
        .chain(wanted.stock.as_deref())
        .collect();
    one_standard_input(&paths)?;
    let set = settings(&wanted.known.set)?;
    let catalog = catalog(shared.catalog.as_deref())?;
    let mut job = Job::new(&catalog);
    let mut faults = compat_core::Faults::default();
    let mut keep = |wrong: compat_core::Faults| faults.0.extend(wrong.0);

    let bike = job
        .bike(&name(&wanted.bike), &bytes(&wanted.bike)?)
        .map_err(&mut keep)
        .ok();
    let stock = match &wanted.stock {
        Some(path) => job
            .stock(&name(path), &bytes(path)?)
            .map_err(&mut keep)
            .ok(),
        None => None,
    };
    let mut swap = match &wanted.swap {
        Some(path) => job
            .swap(&name(path), &bytes(path)?, stock.as_ref())
            .map_err(&mut keep)
            .ok(),
        None => None,
    };
    let mut bike = bike;
    let mut unknown = compat_core::Bike::unknown(&catalog);
    let stated = bike.as_mut().unwrap_or(&mut unknown);
    if let Err(wrong) = job.set(stated, swap.as_mut(), &set) {
        faults.0.extend(wrong.0);
    }
    let Some(bike) = bike.filter(|_| faults.is_empty()) else {
        return Err(Trouble::Faults {
            files: Box::new(job.files().clone()),
            faults: faults.sorted(),
        });
    };
    let options = Options {
        strict: wanted.known.strict,
    };
    let report = job.check(&bike, swap.as_ref(), options);
    let text = match shared.format {
        Format::Json => render::json(&report),
        Format::Text => render::check::show(&report, wanted.verbose, wanted.all),
    };
    Ok(Answer {
        text,
        aside: String::new(),
        exit: Exit::from(report.verdict),
    })
}
