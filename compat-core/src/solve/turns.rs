//! At which readings of a dimension an answer turns: the values worth trying, and the bands between
//! them with what each comes to.

use super::check::Finding;
use super::known::Known;
use super::measure::{Answer, Asked, Trial};
use crate::catalog::Dimension;
use crate::dim::{Cases, Label, Quantity, Span};
use crate::verdict::{Field, Verdict};

/// The most values of a number that are tried.
const MOST_VALUES: usize = 14;
/// Between the readings where a rule turns, a number is tried at so many places.
const GRID: i64 = 60;

/// The readings of a dimension that come to one answer.
#[derive(Clone, Debug)]
pub struct Band {
    /// The readings.
    pub cases: Cases,
    /// The answer.
    pub verdict: Verdict,
    /// What makes it fit.
    pub with: Vec<String>,
}

/// What can be known of a dimension at all: what its reading leaves, else what is plausible.
enum Room {
    Numbers(Vec<Span>, i64),
    Names(Vec<Label>),
}

fn definition<'k>(known: &'k Known<'_>, slot: usize, dimension: usize) -> Option<&'k Dimension> {
    let kind = known.catalog.slots().get(slot)?.kind;
    known.catalog.body(kind).dimensions.get(dimension)
}

fn room(known: &Known<'_>, slot: usize, dimension: usize) -> Option<Room> {
    let definition = definition(known, slot, dimension)?;
    let reading = known.reading(slot, dimension).map(|reading| &reading.cases);
    Some(match (reading, definition.list) {
        (Some(Cases::Names(labels)), _) => Room::Names(labels.clone()),
        (None, Some(list)) => Room::Names(known.catalog.lists().get(list)?.labels(list)),
        (reading, _) => {
            let all = Cases::Numbers(vec![definition.range]);
            let left = reading.and_then(|cases| cases.meet(&all)).unwrap_or(all);
            match left {
                Cases::Numbers(spans) => Room::Numbers(spans, step(definition.quantity)),
                Cases::Names(labels) => Room::Names(labels),
            }
        }
    })
}

/// The least that two readings of a quantity differ by in a workshop.
fn step(quantity: Quantity) -> i64 {
    match quantity {
        Quantity::Length => 10_000,
        Quantity::Count => 1,
        _ => 1_000,
    }
}

/// The fields of a joint behind a dimension.
fn fields(known: &Known<'_>, finding: &Finding, slot: usize, dimension: usize) -> Vec<Field> {
    let claims = finding.judgement.runs.iter().flat_map(|run| &run.claims);
    let mut fields: Vec<Field> = claims
        .flat_map(|claim| claim.turns.iter().map(|turn| turn.field))
        .filter(|field| known.dimension(finding.at, *field) == Some((slot, dimension)))
        .collect();
    fields.sort_unstable();
    fields.dedup();
    fields
}

/// The numbers at which the claims of a finding, and the sizes of its family, turn.
fn turning(known: &Known<'_>, finding: &Finding, slot: usize, dimension: usize) -> Vec<i64> {
    let fields = fields(known, finding, slot, dimension);
    let claims = finding.judgement.runs.iter().flat_map(|run| &run.claims);
    let turns = claims.flat_map(|claim| &claim.turns);
    let turns = turns.filter(|turn| fields.contains(&turn.field));
    let cases = turns.flat_map(|turn| turn.sure.iter().chain(&turn.may));
    let sizes = known.catalog.prose(finding.at.family).sizes.iter();
    let sizes = sizes.flat_map(|size| &size.fields);
    let sizes = sizes
        .filter(|(field, _)| fields.contains(field))
        .map(|(_, cases)| cases);
    let mut points: Vec<i64> = cases
        .chain(sizes)
        .flat_map(|cases| match cases {
            Cases::Numbers(spans) => spans.as_slice(),
            Cases::Names(_) => &[],
        })
        .flat_map(|span| [span.low, span.high])
        .filter(|point| *point != Span::LEAST && *point != Span::MOST)
        .collect();
    points.sort_unstable();
    points.dedup();
    points
}

/// Readings of a dimension worth trying: every name, or numbers on both sides of where a rule turns.
pub(super) fn values(
    known: &Known<'_>,
    finding: &Finding,
    slot: usize,
    dimension: usize,
) -> Vec<Cases> {
    match room(known, slot, dimension) {
        Some(Room::Names(labels)) => labels
            .into_iter()
            .map(|label| Cases::Names(vec![label]))
            .collect(),
        Some(Room::Numbers(spans, step)) => {
            let mut points: Vec<i64> = turning(known, finding, slot, dimension)
                .into_iter()
                .flat_map(|point| {
                    [
                        point,
                        point.saturating_sub(step),
                        point.saturating_add(step),
                    ]
                })
                .collect();
            for span in &spans {
                points.extend([span.low, span.high, middle(*span)]);
            }
            points.sort_unstable();
            points.dedup();
            points.retain(|point| spans.iter().any(|span| span.holds(Span::exactly(*point))));
            let many = points.len().div_ceil(MOST_VALUES).max(1);
            let ends = points
                .first()
                .copied()
                .into_iter()
                .chain(points.last().copied());
            let mut chosen: Vec<i64> = points.iter().copied().step_by(many).chain(ends).collect();
            chosen.sort_unstable();
            chosen.dedup();
            chosen
                .into_iter()
                .map(|point| Cases::Numbers(vec![Span::exactly(point)]))
                .collect()
        }
        None => Vec::new(),
    }
}

fn middle(span: Span) -> i64 {
    span.low
        .saturating_add(span.high.saturating_sub(span.low) / 2)
}

/// What an answer comes to, and with what.
type Outcome = (Verdict, Vec<String>);

/// The bands of a dimension that is the only open question of a joint.
pub(super) fn bands(
    trial: &Trial<'_, '_>,
    finding: &Finding,
    slot: usize,
    dimension: usize,
) -> Vec<Band> {
    let known = trial.case().known();
    let asked = Asked::Dimension(slot, dimension);
    let outcome = |cases: Cases| -> Outcome {
        let found = trial.finding(&[(asked, Answer::Reading(cases))]);
        let inserts = found
            .remedies
            .inserts
            .iter()
            .map(|insert| insert.need.what.to_string());
        let needs = found
            .judgement
            .needs()
            .into_iter()
            .map(|(need, _)| need.what.to_string());
        let with = match found.outcome {
            Verdict::FitsWith => inserts.chain(needs).collect(),
            _ => Vec::new(),
        };
        (found.outcome, with)
    };
    match room(&known, slot, dimension) {
        Some(Room::Names(labels)) => {
            let mut bands: Vec<Band> = Vec::new();
            for label in labels {
                let cases = Cases::Names(vec![label]);
                let (verdict, with) = outcome(cases.clone());
                let same = |band: &&mut Band| band.verdict == verdict && band.with == with;
                match bands.iter_mut().find(same) {
                    Some(band) => band.cases.join(&cases),
                    None => bands.push(Band {
                        cases,
                        verdict,
                        with,
                    }),
                }
            }
            bands
        }
        Some(Room::Numbers(spans, step)) => spans
            .iter()
            .flat_map(|span| {
                let at = |point: i64| outcome(Cases::Numbers(vec![Span::exactly(point)]));
                let points = turning(&known, finding, slot, dimension);
                numbers(*span, step, &points, at)
            })
            .collect(),
        None => Vec::new(),
    }
}

/// Walks a span of readings from end to end and finds where the outcome turns.
fn numbers(span: Span, step: i64, points: &[i64], at: impl Fn(i64) -> Outcome) -> Vec<Band> {
    let wide = span.high.saturating_sub(span.low);
    let grid = (0..=GRID).map(|n| span.low.saturating_add(wide / GRID * n));
    let around = points.iter().flat_map(|point| {
        [
            point.saturating_sub(step),
            *point,
            point.saturating_add(step),
        ]
    });
    let mut tried: Vec<i64> = grid.chain(around).chain([span.high]).collect();
    tried.retain(|point| span.holds(Span::exactly(*point)));
    tried.sort_unstable();
    tried.dedup();
    let mut bands: Vec<Band> = Vec::new();
    let mut last: Option<(i64, Outcome)> = None;
    for point in tried {
        let here = at(point);
        let from = match &last {
            Some((before, was)) if *was != here => turn(*before, point, step, was, &at),
            _ => point,
        };
        match bands
            .last_mut()
            .filter(|_| last.as_ref().is_some_and(|(_, was)| *was == here))
        {
            Some(band) => widen(&mut band.cases, point),
            None => {
                if let Some(band) = bands.last_mut() {
                    widen(&mut band.cases, from.saturating_sub(step));
                }
                let (verdict, with) = here.clone();
                let cases = Cases::Numbers(vec![Span::between(from, point)]);
                bands.push(Band {
                    cases,
                    verdict,
                    with,
                });
            }
        }
        last = Some((point, here));
    }
    bands
}

/// The first reading, to a step, that no longer comes to what it was.
fn turn(low: i64, high: i64, step: i64, was: &Outcome, at: &impl Fn(i64) -> Outcome) -> i64 {
    let (mut low, mut high) = (low, high);
    while high.saturating_sub(low) > step {
        let middle = low.saturating_add(high.saturating_sub(low) / 2);
        let middle = middle - middle.rem_euclid(step);
        let middle = if middle <= low {
            low.saturating_add(step)
        } else {
            middle
        };
        if middle >= high {
            break;
        }
        if at(middle) == *was {
            low = middle
        } else {
            high = middle
        }
    }
    high
}

fn widen(cases: &mut Cases, point: i64) {
    if let Cases::Numbers(spans) = cases
        && let Some(span) = spans.last_mut()
    {
        span.high = span.high.max(point);
    }
}
