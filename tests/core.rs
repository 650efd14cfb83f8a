//! Tests of the library: its catalogue, its laws, its sources outside the project.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::unreachable,
    missing_docs
)]

#[path = "core/catalog.rs"]
mod catalog;

#[path = "core/bands.rs"]
mod bands;
