//! Does this part fit this bike?
//!
//! Parts present ends; ends of one family meet in a joint; each family has one rule and one page
//! of figures with their sources. Texts come in, a report and a list of faults go out: the library
//! opens no file, prints nothing and reads no clock.
//!
//! ```
//! use compat_core::{Catalog, Job};
//!
//! let catalog = Catalog::compiled();
//! let mut job = Job::new(&catalog);
//! let bike = job.bike("bike.toml", b"[frame]\nseat_tube_bore = \"31.6\"\n").unwrap();
//! let swap = job.swap("swap.toml", b"[seatpost]\ndiameter = \"30.9\"\n", None).unwrap();
//! let report = job.check(&bike, Some(&swap), Default::default());
//! let joint = report.findings.iter().find(|finding| finding.family == "seatpost_fit").unwrap();
//! assert_eq!(joint.verdict, "fits with");
//! assert!(joint.adaptors[0].contains("30.9"));
//! ```
#![cfg_attr(
    test,
    allow(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::panic,
        clippy::indexing_slicing
    )
)]

pub mod bike;
pub mod catalog;
pub mod dim;
pub mod explain;
pub mod formula;
pub mod joints;
pub mod report;
pub mod solve;
pub mod text;
pub mod verdict;

mod job;

pub use bike::{Bike, Stock, Swap};
pub use catalog::Catalog;
pub use job::Job;
pub use report::Report;
pub use solve::Options;
pub use text::{Faults, Files};
pub use verdict::Verdict;

/// The example of the README is compiled and run with the others.
#[cfg(doctest)]
#[doc = include_str!("../../README.md")]
struct Readme;
