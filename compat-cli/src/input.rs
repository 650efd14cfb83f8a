//! Reading files and the catalogue.

use std::io::Read;
use std::path::{Path, PathBuf};

use compat_core::text::clean_line;
use compat_core::{Catalog, Faults, Files};

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

/// Splits `slot.dimension=value`.
pub fn settings(set: &[String]) -> Result<Vec<(String, String)>, Trouble> {
    set.iter()
        .map(|text| match text.split_once('=') {
            Some((path, value)) => Ok((path.trim().to_owned(), value.trim().to_owned())),
            None => Err(Trouble::Usage(format!(
                "--set wants SLOT.DIMENSION=VALUE, not `{}`",
                clean_line(text)
            ))),
        })
        .collect()
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
