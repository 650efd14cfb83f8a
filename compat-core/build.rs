//! Turns the catalogue into a compact form that is compiled into the library.
//!
//! Each file becomes three pieces, read apart when first needed: what joints or slots it has, what
//! its rule compares with, and its prose and examples.

use std::path::{Path, PathBuf};
use std::{env, fs, io};

#[allow(dead_code)]
#[path = "src/text/node.rs"]
mod node;
#[path = "src/text/packed.rs"]
mod packed;

use node::{Is, Node};

/// What stands in the first piece: enough to know which files a bike needs.
const WIRING: &[&str] = &["joint", "slot"];
/// What stands in the last: only read to explain, to identify and to test.
const PROSE: &[&str] = &["about", "example", "size", "bench"];

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?).join("../catalog");
    let out = PathBuf::from(env::var("OUT_DIR")?);
    println!("cargo::rerun-if-changed={}", root.display());
    let mut list = String::from("pub(crate) static PAGES: &[Page] = &[\n");
    for folder in ["", "parts", "joints", "likes"] {
        let mut files: Vec<PathBuf> = fs::read_dir(root.join(folder))?
            .map(|entry| entry.map(|entry| entry.path()))
            .collect::<io::Result<_>>()?;
        files.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
        files.sort();
        for path in files {
            list.push_str(&page(folder, &path, &out)?);
        }
    }
    list.push_str("];\n");
    fs::write(out.join("pages.rs"), list)?;
    Ok(())
}

fn page(folder: &str, path: &Path, out: &Path) -> Result<String, Box<dyn std::error::Error>> {
    println!("cargo::rerun-if-changed={}", path.display());
    let stem = path
        .file_stem()
        .and_then(|stem| stem.to_str())
        .ok_or("a file name that is no text")?;
    let text = fs::read_to_string(path)?;
    let (root, faults) = node::parse(&text);
    if let Some(fault) = faults.first() {
        let (line, column) = (fault.at.line, fault.at.column);
        return Err(format!("{}:{line}:{column}: {}", path.display(), fault.message).into());
    }
    let mut pieces = [Vec::new(), Vec::new(), Vec::new()];
    if let Is::Table(rows) = root.is {
        for (key, value) in rows {
            let piece = if WIRING.contains(&&*key.name) {
                0
            } else if PROSE.contains(&&*key.name) {
                2
            } else {
                1
            };
            if let Some(rows) = pieces.get_mut(piece) {
                rows.push((key, value));
            }
        }
    }
    let slash = if folder.is_empty() { "" } else { "/" };
    let file = format!("catalog/{folder}{slash}{stem}.toml");
    let mut row =
        format!("    Page {{ folder: {folder:?}, name: {stem:?}, file: {file:?}, pieces: [");
    for (number, rows) in pieces.into_iter().enumerate() {
        let name = format!(
            "{}_{stem}_{number}",
            if folder.is_empty() { "top" } else { folder }
        );
        let (shape, texts) = packed::pack(&Node {
            at: root.at,
            is: Is::Table(rows),
        });
        fs::write(out.join(format!("{name}.bin")), shape)?;
        fs::write(out.join(format!("{name}.txt")), texts)?;
        row.push_str(&format!(
            "(include_bytes!(concat!(env!(\"OUT_DIR\"), \"/{name}.bin\")), \
              include_str!(concat!(env!(\"OUT_DIR\"), \"/{name}.txt\"))), "
        ));
    }
    row.push_str("] },\n");
    Ok(row)
}
