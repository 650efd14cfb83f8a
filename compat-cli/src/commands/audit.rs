//! `compat audit`

use std::path::Path;

use compat_core::text::{clean_line, nearest};
use compat_core::{Job, Options};

use crate::args::{Audit, Format, Shared};
use crate::exit::Exit;
use crate::input::{Answer, Trouble, bytes, catalog, name, one_standard_input, settings};
use crate::render;

/// Audits the stock against each bike.
pub fn run(wanted: &Audit, shared: &Shared) -> Result<Answer, Trouble> {
    let paths: Vec<&Path> = std::iter::once(wanted.stock.as_path())
        .chain(wanted.bikes.iter().map(|path| path.as_path()))
        .collect();
    one_standard_input(&paths)?;
    let catalog = catalog(shared.catalog.as_deref())?;
    if let Some(slot) = &wanted.slot
        && catalog.slot_named(slot).is_none()
    {
        let near = nearest(slot, catalog.slots().iter().map(|slot| slot.name.as_str()));
        let near = near
            .map(|near| format!("; nearest: `{near}`"))
            .unwrap_or_default();
        return Err(Trouble::Usage(format!(
            "`{}` is no slot{near}",
            clean_line(slot)
        )));
    }
    let mut job = Job::new(catalog);
    let mut faults = compat_core::Faults::default();
    let set = settings(&mut job, &wanted.known, &[], &mut faults)?;
    let stock = job
        .stock(&name(&wanted.stock), bytes(&wanted.stock)?)
        .map_err(|wrong| faults.0.extend(wrong.0))
        .ok();
    let mut bikes = Vec::new();
    for path in &wanted.bikes {
        let bike = job.bike_with(&name(path), &bytes(path)?, &set);
        bikes.extend(bike.map_err(|wrong| faults.0.extend(wrong.0)));
    }
    let Some(stock) = stock.filter(|_| faults.is_empty()) else {
        return Err(Trouble::Faults {
            files: Box::new(job.files().clone()),
            faults: faults.sorted(),
        });
    };
    let options = Options {
        strict: wanted.known.strict,
    };
    let mut reports: Vec<_> = bikes
        .iter()
        .map(|bike| job.audit(bike, &stock, options))
        .collect();
    for report in &mut reports {
        report.keep(wanted.slot.as_deref(), wanted.usable);
    }
    let aside = if shared.quiet || shared.format == Format::Json {
        String::new()
    } else {
        stock
            .warnings
            .iter()
            .map(|warning| format!("note: {}\n", warning.show(job.files())))
            .collect()
    };
    let text = match shared.format {
        Format::Json => render::json(&reports),
        Format::Text => reports
            .iter()
            .map(render::audit::show)
            .collect::<Vec<_>>()
            .join("\n"),
    };
    Ok(Answer {
        text,
        aside,
        exit: Exit::Fits,
    })
}
