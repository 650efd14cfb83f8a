//! Reading files and the catalogue.

use std::io::Read;
use std::path::{Path, PathBuf};

use compat_core::bike::Setting;
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

/// The catalogue, with the files of a folder where one is given. It is wanted until the process
/// ends, so nobody takes it apart.
pub fn catalog(folder: Option<&Path>) -> Result<&'static Catalog, Trouble> {
    let catalog = match folder {
        None => Catalog::unpacked(
            include_bytes!(concat!(env!("OUT_DIR"), "/catalog.bin")),
            include_str!(concat!(env!("OUT_DIR"), "/catalog.txt")),
        ),
        Some(folder) => with_folder(folder)?,
    };
    Ok(Box::leak(Box::new(catalog)))
}

/// The catalogue with the files of a folder.
fn with_folder(folder: &Path) -> Result<Catalog, Trouble> {
    let mut added = Vec::new();
    for inner in ["", "parts", "joints", "likes"] {
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

/// What is said beside the files: the lines of the file of answers, then what `--set` says. An answer
/// after another takes its place. `change` is what `--swap` says.
pub fn settings(
    job: &mut Job<'_>,
    known: &KnownArgs,
    change: &[Setting],
    faults: &mut Faults,
) -> Result<Vec<Setting>, Trouble> {
    let mut found = match known.answers.as_deref() {
        Some(path) => {
            let text = String::from_utf8_lossy(&bytes(path)?).into_owned();
            job.settings(&name(path), &text, faults)
        }
        None => Vec::new(),
    };
    for text in &known.set {
        let mut set = job.settings("--set", text, faults);
        of_the_fitted(&mut set, change);
        found.extend(set);
    }
    Ok(found)
}

/// What `--set` says of a slot for which `--swap` brings a part is said of the part that is fitted: the
/// new one is described beside it.
fn of_the_fitted(set: &mut [Setting], change: &[Setting]) {
    let slot = |path: &str| path.split('.').next().unwrap_or_default().to_owned();
    let new: Vec<String> = change.iter().map(|one| slot(&one.path)).collect();
    let said = |one: &&mut Setting| !one.path.contains('/') && new.contains(&slot(&one.path));
    for one in set.iter_mut().filter(said) {
        one.path = format!("fitted.{}", one.path);
    }
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
    /// What of the new parts is said beside the files.
    pub change: &'p [String],
}

/// Reads everything, so that every fault of every file is told at once.
pub fn read(job: &mut Job<'_>, paths: &Paths<'_>, known: &KnownArgs) -> Result<Wanted, Trouble> {
    let all: Vec<&Path> = std::iter::once(paths.bike)
        .chain(paths.swap)
        .chain(paths.stock)
        .collect();
    one_standard_input(&all)?;
    let mut faults = Faults::default();
    let mut change: Vec<Setting> = Vec::new();
    for text in paths.change {
        change.extend(job.settings("--swap", text, &mut faults));
    }
    let set = settings(job, known, &change, &mut faults)?;
    let mut keep = |wrong: Faults| faults.0.extend(wrong.0);
    let mut bike = job
        .bike(&name(paths.bike), &bytes(paths.bike)?)
        .map_err(&mut keep)
        .ok();
    let stock = match paths.stock {
        Some(path) => job.stock(&name(path), bytes(path)?).map_err(&mut keep).ok(),
        None => None,
    };
    let mut swap = match paths.swap {
        Some(path) => {
            let read = job.swap(&name(path), &bytes(path)?, stock.as_ref());
            read.map_err(&mut keep).ok()
        }
        None => None,
    };
    if !change.is_empty() {
        let new = swap.get_or_insert_with(Swap::default);
        job.change(new, &change, stock.as_ref())
            .unwrap_or_else(&mut keep);
    }
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
