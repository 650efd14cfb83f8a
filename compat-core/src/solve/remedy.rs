//! What would mend a joint: adaptors, found as the shortest path; and the nearest thing that would
//! fit, for each part that can be changed. Every remedy is judged again before it is offered.

use petgraph::algo::dijkstra;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;

use super::judge::{Judgement, Setting, judge, quick};
use super::known::Known;
use super::mended::case_by_case;
use crate::bike::JointAt;
use crate::catalog::{Adaptor, Bridge, Part};
use crate::dim::{Cases, Origin, Reading, Span};
use crate::joints::{Cells, FAMILIES};
use crate::verdict::{Claim, Field, Grade, Holds, Need, Verdict};

/// An adaptor to be put in, and who says it exists.
#[derive(Clone, Debug)]
pub struct Insert {
    /// The part.
    pub part: Part,
    /// As something needed.
    pub need: Need,
}

/// Another part for a slot: the dimensions with which the joint fits.
#[derive(Clone, Debug)]
pub struct Change {
    /// The slot.
    pub slot: usize,
    /// What the trade calls it, where it is a size of a series.
    pub title: Option<String>,
    /// The dimensions, and what they should be.
    pub to: Vec<(usize, Cases)>,
    /// The numbers among them that are no size anybody makes but the end of what fits: all of it.
    pub ends: Vec<(usize, Span)>,
}

/// A case where something is one thing or another, and the adaptors that mend it there.
pub type Mended = (Vec<Insert>, Vec<(Field, Cases)>);

/// What would mend a joint.
#[derive(Clone, Debug, Default)]
pub struct Remedies {
    /// The adaptors, from the one end to the other; empty where none help.
    pub inserts: Vec<Insert>,
    /// What the joints with the adaptors in come to.
    pub with_inserts: Option<Verdict>,
    /// Where something is one thing or another and not every case is mended alike: the adaptors of each
    /// case that is mended, and the case.
    pub in_cases: Vec<Mended>,
    /// Parts with which the joint is no longer refused but open.
    pub not_ruled_out: Vec<Insert>,
    /// For each part that can be changed, the nearest that would fit.
    pub changes: Vec<Change>,
}

/// Looks for what would mend a joint that does not fit.
pub(super) fn remedies(
    known: &Known<'_>,
    at: JointAt,
    judgement: &Judgement,
    setting: Setting,
) -> Remedies {
    let mut remedies = Remedies::default();
    let cells = known.cells(at);
    if let Some((parts, verdict)) = bridge(known, at, &cells, setting, Verdict::FitsWith) {
        remedies.inserts = parts;
        remedies.with_inserts = Some(verdict);
    } else if !setting.brief {
        let open = bridge(known, at, &cells, setting, Verdict::MeasureFirst);
        remedies.not_ruled_out = open.map_or_else(Vec::new, |(parts, _)| parts);
    }
    match filled(known, at, &cells, judgement.claims(), setting) {
        Some((insert, verdict)) if verdict <= Verdict::FitsWith => {
            remedies.inserts = vec![insert];
            remedies.with_inserts = Some(Verdict::FitsWith);
        }
        Some((insert, _)) => remedies.not_ruled_out = vec![insert],
        None => {}
    }
    if remedies.with_inserts.is_none() {
        remedies.in_cases = case_by_case(known, at, judgement, setting);
        if !remedies.in_cases.is_empty() {
            remedies.not_ruled_out.clear();
        }
    }
    let Some(joint) = known.joint(at).filter(|_| !setting.brief) else {
        return remedies;
    };
    for (end, joined) in joint.ends.iter().enumerate() {
        let Some(joined) = joined else { continue };
        let slot = known.catalog.slots().get(joined.slot);
        if slot.is_none_or(|slot| slot.fixed) || known.bike.part(joined.slot).is_none() {
            continue;
        }
        let change =
            series(known, at, end, setting).or_else(|| turned(known, at, end, judgement, setting));
        remedies.changes.extend(change);
    }
    remedies
}

/// The shortest chain of adaptors between the two ends, each of whose joints comes to this verdict or
/// a better one.
pub(super) fn bridge(
    known: &Known<'_>,
    at: JointAt,
    joint: &Cells<'_>,
    setting: Setting,
    worst: Verdict,
) -> Option<(Vec<Insert>, Verdict)> {
    let book = known.catalog.book(at.family);
    let family = FAMILIES.get(at.family)?;
    let adaptors: Vec<(&Adaptor, &Bridge)> = book
        .adaptors
        .iter()
        // Taken strictly, a part known from memory only is not known to exist.
        .filter(|adaptor| !(setting.strict && adaptor.grade == Grade::Memory))
        .filter_map(|adaptor| {
            Some((
                adaptor,
                book.bridges
                    .iter()
                    .find(|bridge| bridge.kind == adaptor.part.kind)?,
            ))
        })
        .collect();
    if adaptors.is_empty() || family.ends.len() != 2 {
        return None;
    }
    let joint = &joint.shorter();
    let verdict = |from: Option<usize>, to: Option<usize>| {
        let cells = mixed(known, at, joint, &adaptors, from, to);
        quick(known.catalog, at.family, &cells, setting)
    };
    // Node 0 is the first end, node 1 the second; the adaptors follow.
    let mut graph: DiGraph<(), Verdict> = DiGraph::new();
    let first = graph.add_node(());
    let second = graph.add_node(());
    let nodes: Vec<NodeIndex> = adaptors.iter().map(|_| graph.add_node(())).collect();
    let good = |verdict: Verdict| verdict <= worst;
    for (index, node) in nodes.iter().enumerate() {
        let into = verdict(None, Some(index));
        if good(into) {
            graph.add_edge(first, *node, into);
        } else if book.most_adaptors <= 1 {
            continue;
        }
        let out = verdict(Some(index), None);
        if good(out) {
            graph.add_edge(*node, second, out);
        }
    }
    if book.most_adaptors > 1 {
        for (a, from) in nodes.iter().enumerate() {
            for (b, to) in nodes.iter().enumerate().filter(|(b, _)| *b != a) {
                let between = verdict(Some(a), Some(b));
                if good(between) {
                    graph.add_edge(*from, *to, between);
                }
            }
        }
    }
    let path = shortest(&graph, first, second)?;
    let inside = path.get(1..path.len().checked_sub(1)?)?;
    // One that is on the bike already and plays an end counts: no shim goes into a shim.
    let ends = known.catalog.joints(at.family).get(at.joint)?.ends.iter();
    let parts = ends.flatten().filter_map(|end| known.bike.part(end.slot));
    let there = parts.filter(|part| book.bridges.iter().any(|bridge| bridge.kind == part.kind));
    if inside.len() + there.count() > book.most_adaptors {
        return None;
    }
    let mut worst = Verdict::FitsWith;
    for pair in path.windows(2) {
        if let [a, b] = pair {
            let edge = graph.find_edge(*a, *b)?;
            worst = worst.and(*graph.edge_weight(edge)?);
        }
    }
    let number = |node: Option<&NodeIndex>| nodes.iter().position(|known| Some(known) == node);
    // What the joints with the adaptors in need themselves is said with the adaptor before them.
    let wanted = |from: Option<usize>, to: Option<usize>| -> Vec<String> {
        let cells = mixed(known, at, joint, &adaptors, from, to);
        let needs = judge(known.catalog, at.family, &cells, setting).needs();
        let whats = needs.into_iter().map(|(need, _)| need.what.to_string());
        // An amount is worked out where the joint itself is shown.
        whats.filter(|what| !what.contains('{')).collect()
    };
    let inserts = inside
        .iter()
        .enumerate()
        .filter_map(|(step, node)| {
            let index = number(Some(node))?;
            let (adaptor, _) = adaptors.get(index)?;
            let mut what = vec![adaptor.part.name.clone().unwrap_or_default()];
            if step == 0 {
                what.extend(wanted(None, Some(index)));
            }
            what.extend(wanted(Some(index), number(inside.get(step + 1))));
            let what = what.join(", and ");
            Some(Insert {
                part: adaptor.part.clone(),
                need: Need {
                    what: what.into(),
                    fact: Some(adaptor.fact),
                },
            })
        })
        .collect();
    Some((inserts, worst))
}

/// The part of the catalogue that mends the joint in the place of an end that is not there: one with
/// which it fits, else one with which it is open; of several, the nearest to a figure the joint told.
pub(super) fn filled(
    known: &Known<'_>,
    at: JointAt,
    joint: &Cells<'_>,
    claims: &[Claim],
    setting: Setting,
) -> Option<(Insert, Verdict)> {
    let book = known.catalog.book(at.family);
    let family = FAMILIES.get(at.family)?;
    let told = claims.iter().filter(|claim| claim.told);
    let told: Vec<_> = told.filter_map(|claim| claim.value).collect();
    let mut best: Option<((Verdict, i64), &Adaptor)> = None;
    // An end where no part mends the joint, whatever it is like.
    let hopeless = |end: usize| {
        let mut cells = joint.clone();
        cells.put(end);
        quick(known.catalog, at.family, &cells, setting) == Verdict::DoesNotFit
    };
    let mut given_up: Vec<Option<bool>> = vec![None; family.ends.len()];
    for adaptor in &book.adaptors {
        let doubted = setting.strict && adaptor.grade == Grade::Memory;
        let mut bridges = book.bridges.iter();
        let bridge = bridges.find(|bridge| bridge.kind == adaptor.part.kind);
        let Some(bridge) = bridge.filter(|_| !doubted) else {
            continue;
        };
        let body = known.catalog.body(adaptor.part.kind);
        let ends = family.ends.iter().zip(&bridge.ends).enumerate();
        for (end, (definition, name)) in ends.filter(|(_, (end, _))| end.optional) {
            let Some(presented) = body.end(name).filter(|_| !joint.has(end)) else {
                continue;
            };
            if given_up
                .get_mut(end)
                .is_some_and(|known| *known.get_or_insert_with(|| hopeless(end)))
            {
                continue;
            }
            let mut cells = joint.shorter();
            cells.put(end);
            let mut far = None;
            for (index, field) in definition.fields.iter().enumerate() {
                let mut fields = presented.fields.iter();
                let number = fields.find(|(name, _)| name == field.name);
                let entry = number.and_then(|(_, number)| adaptor.part.entries.get(*number));
                let reading = entry.and_then(|entry| entry.deciding());
                cells.set(field_at(end, index), reading);
                let has = reading.and_then(|reading| reading.cases.span());
                let same = told
                    .iter()
                    .find(|(quantity, _)| *quantity == field.quantity);
                if let Some((has, (_, wanted))) = has.zip(same) {
                    far = Some(has.distance(middle(*wanted)));
                }
            }
            let verdict = quick(known.catalog, at.family, &cells, setting);
            // One that only leaves the joint open is told where the joint itself says what it wants.
            let worth = match verdict {
                Verdict::Fits | Verdict::FitsWith => true,
                Verdict::MeasureFirst => far.is_some(),
                Verdict::DoesNotFit => false,
            };
            let far = far.unwrap_or(i64::MAX);
            let better = best
                .as_ref()
                .is_none_or(|(least, _)| (verdict, far) < *least);
            if worth && better {
                best = Some(((verdict, far), adaptor));
            }
        }
    }
    let ((verdict, _), adaptor) = best?;
    let insert = Insert {
        part: adaptor.part.clone(),
        need: Need {
            what: adaptor.part.name.as_deref().unwrap_or_default().into(),
            fact: Some(adaptor.fact),
        },
    };
    Some((insert, verdict))
}

fn middle(span: Span) -> i64 {
    span.low
        .saturating_add(span.high.saturating_sub(span.low) / 2)
}

fn shortest(
    graph: &DiGraph<(), Verdict>,
    from: NodeIndex,
    to: NodeIndex,
) -> Option<Vec<NodeIndex>> {
    let reversed = petgraph::visit::Reversed(graph);
    let distance = dijkstra(reversed, to, None, |_| 1_usize);
    let mut path = vec![from];
    let mut here = from;
    let mut left = *distance.get(&from)?;
    while here != to {
        // The lowest-numbered neighbour that is one step nearer: the order of the catalogue.
        let mut next: Vec<NodeIndex> = graph
            .edges(here)
            .map(|edge| edge.target())
            .filter(|node| distance.get(node) == Some(&(left - 1)))
            .collect();
        next.sort_unstable();
        here = *next.first()?;
        left -= 1;
        path.push(here);
    }
    Some(path)
}

/// The cells of the joint with its first end played by an adaptor's, or its second, or both.
fn mixed<'a>(
    known: &Known<'_>,
    at: JointAt,
    joint: &Cells<'a>,
    adaptors: &[(&'a Adaptor, &'a Bridge)],
    from: Option<usize>,
    to: Option<usize>,
) -> Cells<'a> {
    let mut cells = joint.clone();
    for (end, adaptor) in [(0, from), (1, to)] {
        let Some((adaptor, bridge)) = adaptor.and_then(|index| adaptors.get(index)) else {
            continue;
        };
        let Some(definition) = FAMILIES
            .get(at.family)
            .and_then(|family| family.ends.get(end))
        else {
            continue;
        };
        let body = known.catalog.body(adaptor.part.kind);
        let presented = bridge.ends.get(end).and_then(|name| body.end(name));
        cells.put(end);
        for (index, field) in definition.fields.iter().enumerate() {
            let dimension =
                presented.and_then(|end| end.fields.iter().find(|(name, _)| name == field.name));
            let reading =
                dimension.and_then(|(_, number)| adaptor.part.entries.get(*number)?.deciding());
            cells.set(field_at(end, index), reading);
        }
    }
    cells
}

fn field_at(end: usize, index: usize) -> Field {
    Field {
        end: u8::try_from(end).unwrap_or(u8::MAX),
        field: u8::try_from(index).unwrap_or(u8::MAX),
    }
}

/// Judges the joint with some fields of one end set anew.
fn with_fields(
    known: &Known<'_>,
    at: JointAt,
    fields: &[(Field, Cases)],
    setting: Setting,
) -> Verdict {
    let readings: Vec<(Field, Reading)> = fields
        .iter()
        .map(|(field, cases)| {
            (
                *field,
                Reading {
                    cases: cases.clone(),
                    origin: Origin::Catalogue(u32::MAX),
                },
            )
        })
        .collect();
    let joint = known.cells(at);
    let mut cells = joint.shorter();
    for (field, reading) in &readings {
        cells.set(*field, Some(reading));
    }
    judge(known.catalog, at.family, &cells, setting).verdict
}

/// The nearest size of the family's series with which the joint fits.
fn series(known: &Known<'_>, at: JointAt, end: usize, setting: Setting) -> Option<Change> {
    let cells = known.cells(at);
    let mut best: Option<(i128, Change)> = None;
    for size in &known.catalog.prose(at.family).sizes {
        let fields: Vec<(Field, Cases)> = size
            .fields
            .iter()
            .filter(|(field, _)| usize::from(field.end) == end)
            .cloned()
            .collect();
        if fields.is_empty() || with_fields(known, at, &fields, setting) > Verdict::FitsWith {
            continue;
        }
        let far: i128 = fields
            .iter()
            .filter_map(|(field, cases)| {
                let now = cells.get(*field)?.cases.span()?;
                Some(i128::from(now.distance(cases.span()?.low)))
            })
            .sum();
        if best.as_ref().is_none_or(|(least, _)| far < *least) {
            let slot = known.slot_of(at, end)?;
            let to = fields
                .iter()
                .filter_map(|(field, cases)| Some((known.dimension(at, *field)?.1, cases.clone())))
                .collect();
            best = Some((
                far,
                Change {
                    slot,
                    title: Some(size.title.clone()),
                    to,
                    ends: Vec::new(),
                },
            ));
        }
    }
    best.map(|(_, change)| change)
}

/// The readings of one end at which every failing claim turns, if the joint then fits.
fn turned(
    known: &Known<'_>,
    at: JointAt,
    end: usize,
    judgement: &Judgement,
    setting: Setting,
) -> Option<Change> {
    let mut fields: Vec<(Field, Cases)> = Vec::new();
    for claim in judgement
        .claims()
        .iter()
        .filter(|claim| claim.holds == Holds::No)
    {
        let turn = claim
            .turns
            .iter()
            .find(|turn| usize::from(turn.field.end) == end && turn.sure.is_some())?;
        let sure = turn.sure.clone()?;
        match fields.iter_mut().find(|(field, _)| *field == turn.field) {
            Some((_, cases)) => *cases = cases.meet(&sure)?,
            None => fields.push((turn.field, sure)),
        }
    }
    // A number is tried at the reading nearest to what is there now, and only that is offered: a size
    // that is made where one fits, else the end of what does.
    let cells = known.cells(at);
    let mut ends: Vec<(Field, Span, Span)> = Vec::new();
    for (field, cases) in &mut fields {
        if let Cases::Numbers(spans) = cases {
            let now = cells.get(*field).and_then(|reading| reading.cases.span());
            // What no such part can have is no remedy, nor a size that is not made.
            let (slot, number) = known.dimension(at, *field)?;
            let kind = known.catalog.slots().get(slot)?.kind;
            let dimension = known.catalog.body(kind).dimensions.get(number)?;
            let of = |sizes: &[Span]| -> Vec<Span> {
                let made = sizes.iter();
                made.flat_map(|size| spans.iter().filter_map(|span| span.meet(*size)))
                    .collect()
            };
            let offered = match dimension.made.as_slice() {
                [] => match of(&on_pages(known, slot, number)) {
                    none if none.is_empty() => spans.clone(),
                    some => some,
                },
                made => of(made),
            };
            let near = offered
                .iter()
                .filter_map(|span| Some((nearest(*span, now)?, span)))
                .min_by_key(|(near, _)| *near)?;
            let ((_, value), span) = near;
            dimension.range.meet(Span::exactly(value))?;
            if !span.is_exact() {
                let clipped = span.meet(dimension.range);
                ends.extend(clipped.map(|clipped| (*field, *span, clipped)));
            }
            *cases = Cases::Numbers(vec![Span::exactly(value)]);
        }
    }
    if fields.is_empty() {
        return None;
    }
    // Several names may do, and differ in what else they need: only those are offered with which
    // the joint then fits.
    for index in 0..fields.len() {
        let mut tried = fields.clone();
        let mut fits = |only: &Cases| {
            if let Some((_, cases)) = tried.get_mut(index) {
                *cases = only.clone();
            }
            with_fields(known, at, &tried, setting) <= Verdict::FitsWith
        };
        let (_, cases) = fields.get_mut(index)?;
        let each = (0..cases.len()).filter_map(|case| cases.only(case));
        let some = each.filter(|only| fits(only)).reduce(|mut some, one| {
            some.join(&one);
            some
        });
        *cases = some?;
    }
    if with_fields(known, at, &fields, setting) > Verdict::FitsWith {
        return None;
    }
    // All of what a number is the end of is offered where the joint fits with all of it.
    ends.retain(|(field, _, clipped)| {
        let mut whole = fields.clone();
        for (_, cases) in whole.iter_mut().filter(|(known, _)| known == field) {
            *cases = Cases::Numbers(vec![*clipped]);
        }
        with_fields(known, at, &whole, setting) <= Verdict::FitsWith
    });
    let ends = ends
        .into_iter()
        .filter_map(|(field, span, _)| Some((known.dimension(at, field)?.1, span)))
        .collect();
    let slot = known.slot_of(at, end)?;
    let to = fields
        .into_iter()
        .filter_map(|(field, cases)| Some((known.dimension(at, field)?.1, cases)))
        .collect();
    Some(Change {
        slot,
        title: None,
        to,
        ends,
    })
}

/// The sizes of a dimension that stand on the pages of the families it plays a part in.
fn on_pages(known: &Known<'_>, slot: usize, number: usize) -> Vec<Span> {
    let mut found: Vec<Span> = Vec::new();
    for (family, definition) in FAMILIES.iter().enumerate() {
        for joint in known.catalog.joints(family) {
            let dimensions = joint.dimensions(known.catalog, definition);
            let mut own: Vec<Field> = Vec::new();
            for ((end, of_end), joined) in (0_u8..).zip(dimensions).zip(&joint.ends) {
                if joined.as_ref().is_some_and(|joined| joined.slot == slot) {
                    let fields = (0_u8..)
                        .zip(of_end)
                        .filter(|(_, own)| **own == Some(number));
                    own.extend(fields.map(|(field, _)| Field { end, field }));
                }
            }
            if own.is_empty() {
                continue;
            }
            let sizes = known.catalog.prose(family).sizes.iter();
            let fields = sizes.flat_map(|size| &size.fields);
            let spans = fields
                .filter(|(field, _)| own.contains(field))
                .filter_map(|(_, cases)| cases.span());
            found.extend(spans.filter(|span| span.is_exact()));
        }
    }
    found
}

/// The value of a span nearest to what is there now, and how far that is.
fn nearest(span: Span, now: Option<Span>) -> Option<(i64, i64)> {
    let ends = [span.low, span.high]
        .into_iter()
        .filter(|end| *end != Span::LEAST && *end != Span::MOST);
    match now {
        Some(now) => ends.map(|end| (now.distance(end), end)).min(),
        None => ends.map(|end| (0, end)).min(),
    }
}
