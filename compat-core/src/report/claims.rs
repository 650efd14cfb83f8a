//! A comparison in words: its readings with where they were written, its limit with who says so.

use super::ClaimText;
use super::words::Words;
use crate::dim::{Origin, Quantity, Span, show_span, show_value};
use crate::joints::FAMILIES;
use crate::solve::Finding;
use crate::text::Place;
use crate::verdict::{Claim, Fact, FactId, Field, Holds, Side};

impl Words<'_> {
    /// Who says so: publication, grade, place in the catalogue.
    pub fn source(&self, fact: FactId) -> String {
        let fact = self.catalog.fact(fact);
        fact.map_or_else(String::new, |fact| self.source_of(fact))
    }

    /// The same of a fact.
    pub fn source_of(&self, fact: &Fact) -> String {
        let titles: Vec<String> = fact
            .sources
            .iter()
            .map(|key| match self.catalog.source(key) {
                Some(source) => format!("{} ({})", source.title, source.publisher),
                None => key.to_string(),
            })
            .collect();
        let who = if titles.is_empty() {
            String::new()
        } else {
            format!("{}; ", titles.join("; "))
        };
        format!(
            "{who}{}, {}",
            fact.grade.word(),
            self.files.show(fact.place)
        )
    }

    pub(super) fn claim(&self, finding: &Finding, claim: &Claim) -> ClaimText {
        let family = FAMILIES.get(finding.at.family);
        let readings = claim
            .terms
            .iter()
            .filter_map(|term| {
                let quantity = family?.field(term.field)?.quantity;
                let (slot, dimension) = self.known.dimension(finding.at, term.field)?;
                let shown = self.shown(finding, term.field, quantity);
                let kind = self.catalog.slots().get(slot)?.kind;
                let name = &self.catalog.body(kind).dimensions.get(dimension)?.name;
                let slot = &self.catalog.slots().get(slot)?.name;
                Some(format!(
                    "{slot}.{name} = {shown}{}",
                    self.written(finding, term.field)
                ))
            })
            .collect();
        let quantity = claim
            .value
            .map_or(Quantity::Length, |(quantity, _)| quantity);
        let fact = claim
            .row
            .or_else(|| claim.bound.and_then(|bound| bound.fact));
        ClaimText {
            code: self.code(finding.at, claim),
            holds: match claim.holds {
                Holds::Yes => "yes",
                Holds::No => "no",
                Holds::Open => "open",
            },
            says: self.says(finding, claim),
            readings,
            value: claim
                .value
                .map(|(quantity, span)| show_span(quantity, span)),
            limit: claim
                .bound
                .filter(|bound| bound.limit != Span::ALL)
                .map(|bound| {
                    let side = match bound.side {
                        Side::AtLeast => "at least",
                        Side::AtMost => "at most",
                    };
                    format!("{side} {}", show_span(quantity, bound.limit))
                }),
            difference: difference(claim),
            source: fact.map(|fact| self.source(fact)),
        }
    }

    /// Where a reading was written.
    pub(super) fn written(&self, finding: &Finding, field: Field) -> String {
        let run = finding.judgement.main();
        let implied = run
            .and_then(|run| run.implied.iter().find(|(known, _)| *known == field))
            .map(|(_, reading)| reading);
        let cells = self.known.cells(finding.at);
        let Some(reading) = implied.or_else(|| cells.get(field)) else {
            return String::new();
        };
        match reading.origin {
            Origin::Stated(place) => format!(" (stated, {})", self.place(place)),
            Origin::Measured(place) => format!(" ({})", self.place(place)),
            Origin::Catalogue(packed) => {
                format!(" (catalogue: {})", self.source(FactId::unpacked(packed)))
            }
            Origin::Inferred(_) => String::new(),
        }
    }

    pub(super) fn place(&self, place: Place) -> String {
        self.files.show(place)
    }
}

/// How far the value lies beyond the limit, where it does.
pub(super) fn difference(claim: &Claim) -> Option<String> {
    let (quantity, value) = claim.value?;
    let bound = claim.bound?;
    let beyond = match bound.side {
        Side::AtMost if bound.limit.high != Span::MOST && value.low != Span::LEAST => {
            value.low.checked_sub(bound.limit.high)?
        }
        Side::AtLeast if bound.limit.low != Span::LEAST && value.high != Span::MOST => {
            bound.limit.low.checked_sub(value.high)?
        }
        _ => return None,
    };
    (beyond > 0).then(|| show_value(quantity, beyond))
}
