//! Tests of the library: its catalogue, its laws, its faults, and what stands outside the project.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::unreachable,
    missing_docs
)]

#[path = "core/bands.rs"]
mod bands;
#[path = "core/bearings.rs"]
mod bearings;
#[path = "core/capacity.rs"]
mod capacity;
#[path = "core/catalog.rs"]
mod catalog;
#[path = "core/chains.rs"]
mod chains;
#[path = "core/dragged.rs"]
mod dragged;
#[path = "core/evidence.rs"]
mod evidence;
#[path = "core/faults.rs"]
mod faults;
#[path = "support/general.rs"]
mod general;
#[path = "core/hull.rs"]
mod hull;
#[path = "core/identify.rs"]
mod identify;
#[path = "core/indexing.rs"]
mod indexing;
#[path = "core/knowing.rs"]
mod knowing;
#[path = "core/lacking.rs"]
mod lacking;
#[path = "core/laws.rs"]
mod laws;
#[path = "core/meant.rs"]
mod meant;
#[path = "core/measure.rs"]
mod measure;
#[path = "core/order.rs"]
mod order;
#[path = "core/plan.rs"]
mod plan;
#[path = "core/questions.rs"]
mod questions;
#[path = "core/renewed.rs"]
mod renewed;
#[path = "core/search.rs"]
mod search;
#[path = "core/solvers.rs"]
mod solvers;
#[path = "core/spacers.rs"]
mod spacers;
#[path = "core/spokes.rs"]
mod spokes;
#[path = "core/stock.rs"]
mod stock;
#[path = "core/tidy.rs"]
mod tidy;
#[path = "core/tyres.rs"]
mod tyres;
#[path = "core/whole.rs"]
mod whole;
