//! `compat identify`

use std::path::Path;

use compat_core::{Faults, Job};

use crate::args::{Format, Identify, Shared};
use crate::exit::Exit;
use crate::input::{Answer, Trouble, bytes, catalog};
use crate::render;

/// Reads what was measured, and tells what it could be.
pub fn run(wanted: &Identify, shared: &Shared) -> Result<Answer, Trouble> {
    let catalog = catalog(shared.catalog.as_deref())?;
    let mut job = Job::new(catalog);
    let mut faults = Faults::default();
    let mut readings = wanted.readings.iter().peekable();
    let kind = readings.next_if(|first| !first.contains('=') && *first != "-");
    let mut texts = Vec::new();
    for reading in readings {
        if reading == "-" {
            let lines = bytes(Path::new("-"))?;
            let text = String::from_utf8_lossy(&lines).into_owned();
            texts.push(("standard input".to_owned(), text));
        } else {
            texts.push(("reading".to_owned(), reading.clone()));
        }
    }
    let kind = kind.and_then(|kind| job.kind(kind, &mut faults));
    let error = wanted.calliper_error.as_deref();
    let error = error.and_then(|text| job.error("--calliper-error", text, &mut faults));
    let taken = job.taken(kind, &texts, error, &mut faults);
    let found = job.identify(&taken, error, &mut faults);
    if !faults.is_empty() {
        return Err(Trouble::Faults {
            files: Box::new(job.files().clone()),
            faults: faults.sorted(),
        });
    }
    if taken.is_empty() {
        let message = match kind {
            Some(kind) => format!(
                "nothing was read; these tell a size: {}",
                job.tells(kind).join(", ")
            ),
            None => "nothing was read; `bearing.bore=15.02`, for one".to_owned(),
        };
        return Err(Trouble::Usage(message));
    }
    let text = match shared.format {
        Format::Json => render::json(&found),
        Format::Text => render::identify::show(&found, wanted.verbose, wanted.all),
    };
    Ok(Answer {
        text,
        aside: String::new(),
        exit: if found.found {
            Exit::Fits
        } else {
            Exit::DoesNotFit
        },
    })
}
