//! One file for each question.

pub mod audit;
pub mod check;
pub mod explain;
pub mod identify;
mod like;
pub mod measure;
pub mod new;
pub mod plan;
pub mod tables;
