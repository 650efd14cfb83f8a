//! `compat check`

use compat_core::{Job, Options};

use crate::args::{Check, Format, Shared};
use crate::exit::Exit;
use crate::input::{Answer, Paths, Trouble, catalog, read};
use crate::render;

/// Reads everything, then checks.
pub fn run(wanted: &Check, shared: &Shared) -> Result<Answer, Trouble> {
    let catalog = catalog(shared.catalog.as_deref())?;
    let mut job = Job::new(catalog);
    let paths = Paths {
        bike: &wanted.bike,
        swap: wanted.swap.as_deref(),
        stock: wanted.stock.as_deref(),
        change: &wanted.change,
    };
    let read = read(&mut job, &paths, &wanted.known)?;
    let options = Options {
        strict: wanted.known.strict,
    };
    let report = job.check(&read.bike, read.swap.as_ref(), options);
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
