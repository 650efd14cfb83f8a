//! Tests of the program: every console block of the documents and cases, exits, broken input.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

#[path = "cli/documents.rs"]
mod documents;
#[path = "cli/exits.rs"]
mod exits;
#[path = "cli/likes.rs"]
mod likes;
#[path = "cli/program.rs"]
mod program;
