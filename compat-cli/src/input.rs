//! Reading files and the catalogue.

use std::io::Read;
use std::path::{Path, PathBuf};

use compat_core::text::clean_line;
use compat_core::{Bike, Catalog, Faults, Files, Job, Swap};

use crate::args::KnownArgs;

/// Why the program could not run.
#[derive(Debug, thiserror::Error)]
pub enum Trouble {
    /// A file that cannot be read or written.
    #[error("cannot {doing} {}: {error}", clean_line(&path.display().to_string()))]
    File {
        /// Read or write.
        doing: &'static str,
        /// Which file.
        path: PathBuf,
        /// Why.
        error: std::io::Error,
    },
    /// Files with faults.
    #[error("faults in the files given")]
    Faults {
        /// The files.
        files: Box<Files>,
        /// The faults.
        faults: Faults,
    },
    /// A call that means nothing.
    #[error("{0}")]
    Usage(String),
}

/// An answer: what goes to standard output, what goes beside it, and the exit.
#[derive(Debug)]
pub struct Answer {
    /// For standard output.
    pub text: String,
    /// For standard error.
    pub aside: String,
    /// The exit.
    pub exit: crate::exit::Exit,
}

/// Reads a file, or standard input for `-`.
pub fn bytes(path: &Path) -> Result<Vec<u8>, Trouble> {
    let read = || -> std::io::Result<Vec<u8>> {
        if path == Path::new("-") {
            let mut bytes = Vec::new();
            std::io::stdin().lock().read_to_end(&mut bytes)?;
            Ok(bytes)
        } else {
            std::fs::read(path)
        }
    };
    read().map_err(|error| Trouble::File {
        doing: "read",
        path: path.to_owned(),
        error,
    })
}

/// The name a file is shown by.
pub fn name(path: &Path) -> String {
    if path == Path::new("-") {
        "standard input".to_owned()
    } else {
        path.display().to_string()
    }
}

/// The catalogue, with the files of a folder where one is given.
pub fn catalog(folder: Option<&Path>) -> Result<Catalog, Trouble> {
    let Some(folder) = folder else {
        return Ok(Catalog::compiled());
    };
    let mut added = Vec::new();
    for inner in ["", "parts", "joints"] {
        let place = folder.join(inner);
        if !inner.is_empty() && !place.is_dir() {
            continue;
        }
        let failed = |error| Trouble::File {
            doing: "read",
            path: place.clone(),
            error,
        };
        let mut paths: Vec<PathBuf> = std::fs::read_dir(&place)
            .map_err(failed)?
            .map(|entry| entry.map(|entry| entry.path()))
            .collect::<Result<_, _>>()
            .map_err(failed)?;
        paths.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
        paths.sort();
        for path in paths {
            let stem = path
                .file_name()
                .map(|name| name.to_string_lossy().into_owned())
                .unwrap_or_default();
            let inside = if inner.is_empty() {
                stem
            } else {
                format!("{inner}/{stem}")
            };
            added.push((inside, bytes(&path)?));
        }
    }
    Catalog::with_files(&added).map_err(|(files, faults)| Trouble::Faults {
        files: Box::new(files),
        faults,
    })
}

/// What is said beside the files: the lines of the file of answers, then what `--set` says, each
/// split at its first `=`. An answer after another takes its place.
pub fn settings(known: &KnownArgs) -> Result<Vec<(String, String)>, Trouble> {
    let mut settings = Vec::new();
    if let Some(path) = known.answers.as_deref().filter(|path| path.exists()) {
        let text = String::from_utf8_lossy(&bytes(path)?).into_owned();
        let lines = text.lines().map(str::trim).enumerate();
        for (number, line) in lines.filter(|(_, line)| !line.is_empty() && !line.starts_with('#')) {
            let set = split(line).ok_or_else(|| {
                Trouble::Usage(format!(
                    "{}:{}: an answer is SLOT.DIMENSION=VALUE, not `{}`",
                    name(path),
                    number + 1,
                    clean_line(line)
                ))
            })?;
            settings.push(set);
        }
    }
    for text in &known.set {
        let set = split(text).ok_or_else(|| {
            Trouble::Usage(format!(
                "--set wants SLOT.DIMENSION=VALUE, not `{}`",
                clean_line(text)
            ))
        })?;
        settings.push(set);
    }
    Ok(settings)
}

fn split(text: &str) -> Option<(String, String)> {
    let (path, value) = text.split_once('=')?;
    Some((path.trim().to_owned(), value.trim().to_owned()))
}

/// A bike, and the swap set that is to go on it.
#[derive(Debug)]
pub struct Wanted {
    /// The bike.
    pub bike: Bike,
    /// The swap set.
    pub swap: Option<Swap>,
}

/// The files a question is about.
#[derive(Debug)]
pub struct Paths<'p> {
    /// The bike.
    pub bike: &'p Path,
    /// The swap set.
    pub swap: Option<&'p Path>,
    /// The parts bin.
    pub stock: Option<&'p Path>,
}

/// Reads everything, so that every fault of every file is told at once.
pub fn read(job: &mut Job<'_>, paths: &Paths<'_>, known: &KnownArgs) -> Result<Wanted, Trouble> {
    let all: Vec<&Path> = std::iter::once(paths.bike)
        .chain(paths.swap)
        .chain(paths.stock)
        .collect();
    one_standard_input(&all)?;
    let set = settings(known)?;
    let mut faults = Faults::default();
    let mut keep = |wrong: Faults| faults.0.extend(wrong.0);
    let mut bike = job
        .bike(&name(paths.bike), &bytes(paths.bike)?)
        .map_err(&mut keep)
        .ok();
    let stock = match paths.stock {
        Some(path) => job
            .stock(&name(path), &bytes(path)?)
            .map_err(&mut keep)
            .ok(),
        None => None,
    };
    let mut swap = match paths.swap {
        Some(path) => {
            let read = job.swap(&name(path), &bytes(path)?, stock.as_ref());
            read.map_err(&mut keep).ok()
        }
        None => None,
    };
    let mut none = Bike::default();
    let stated = bike.as_mut().unwrap_or(&mut none);
    job.set(stated, swap.as_mut(), &set)
        .unwrap_or_else(&mut keep);
    match bike.filter(|_| faults.is_empty()) {
        Some(bike) => Ok(Wanted { bike, swap }),
        None => Err(Trouble::Faults {
            files: Box::new(job.files().clone()),
            faults: faults.sorted(),
        }),
    }
}

/// At most one of the files may be standard input.
pub fn one_standard_input(paths: &[&Path]) -> Result<(), Trouble> {
    if paths.iter().filter(|path| **path == Path::new("-")).count() > 1 {
        return Err(Trouble::Usage(
            "only one file can be read from standard input".to_owned(),
        ));
    }
    Ok(())
}
