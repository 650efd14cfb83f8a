//! Reads the catalogue once and for all: its compact form is compiled into the program.

use std::path::PathBuf;
use std::{env, fs, io};

fn main() -> io::Result<()> {
    println!("cargo::rerun-if-changed=build.rs");
    let out = PathBuf::from(env::var_os("OUT_DIR").unwrap_or_default());
    let (shape, texts) = compat_core::Catalog::compiled().packed();
    fs::write(out.join("catalog.bin"), shape)?;
    fs::write(out.join("catalog.txt"), texts)
}
