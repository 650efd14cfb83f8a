//! What is to be said where a part of a kind comes off and none takes its place.

use super::bench::fact;
use crate::text::{Faults, FileId, Node, Row};
use crate::verdict::Fact;

/// A caution for a bike that is left without a part.
#[derive(Clone, Debug)]
pub struct Off {
    /// What it says.
    pub say: String,
    /// Who says so.
    pub fact: Fact,
}

impl Off {
    pub(super) fn read(file: FileId, node: &Node, faults: &mut Faults) -> Off {
        let mut row = Row::new(file, node, faults);
        let say = row.must("say", faults).to_owned();
        let fact = fact(&mut row, faults);
        row.end(faults);
        Off { say, fact }
    }
}
