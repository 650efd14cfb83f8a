//! A rear shock's eye-to-eye length and stroke against what the frame is made for.
//!
//! Sizes are compared as numbers: one size goes by an inch and by several metric labels. A shorter
//! stroke costs travel. A longer one closes the shock further than the frame's own, and only the
//! room that is left there tells whether anything touches; the same room decides where the frame's
//! stroke is not known. Where the shock takes spacers inside, its stroke can be brought down to the
//! frame's.

use super::compare::{Sum, Trace, Why};
use super::family::family;
use crate::dim::{Length, Quantity, Span};
use crate::formula::leverage::new_travel;
use crate::formula::travel_spacers::to_fit;

family! {
    ends {
        shock { length: Length, stroke: Length, least_stroke: Length, spacers: Name }
        place { length: Length, stroke: Length, least_length: Length, travel: Length }
    }
    limits { shorter: Length, longer: Length, same_stroke: Length, spacer: Length }
    names { takes = "stroke_spacers.takes" }
    codes {
        TOO_SHORT = "eye-to-eye-short",
        TOO_LONG = "eye-to-eye-long",
        STROKE = "stroke",
        CLOSED = "closed-length",
        CONTRADICTED = "frame-size-contradicted",
        LONGER_STROKE = "longer-stroke",
        TRAVEL = "new-travel",
        SPACERS = "travel-spacers",
        REACH = "spacer-reach",
    }
}

/// Compares the lengths, then the strokes, and the closed length where the stroke is not surely
/// one the frame is made for.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { shock, place } = ends;
    let eye = shock.length - place.length;
    why.at_least(TOO_SHORT, &eye, rule.shorter);
    why.at_most(TOO_LONG, &eye, rule.longer);
    let more = shock.stroke - place.stroke;
    let same = rule.same_stroke.span(why.strict);
    let listed = surely_at_most(&more, same);
    let closed = shock.length - shock.stroke;
    let room = closed.clone() - place.least_length.sum();
    let touches = room.span().is_some_and(|room| room.high < 0);
    let clears = room.span().is_some_and(|room| room.low >= 0);
    if !listed && shock.spacers.is(rule.takes) == Some(true) {
        let over = [
            shock.spacers.field,
            shock.stroke.field,
            place.stroke.field,
            shock.least_stroke.field,
        ];
        match reduced(ends, &more, rule, why.strict) {
            Some(Reduced::By(much)) => {
                why.mend_with(SPACERS, &over, Quantity::Length, Some(Span::exactly(much)));
                if place.least_length.span().is_some() {
                    let closed = shock.length - place.stroke;
                    why.not_below(CONTRADICTED, &closed, place.least_length);
                }
                return;
            }
            None if !clears => return why.ask(REACH, &over),
            _ => {}
        }
    }
    // A stroke nobody knows is asked for too: it stands in the papers, and the room must be
    // measured.
    let own = place.stroke.reading.is_some();
    if listed || !(own || clears || touches) {
        why.at_most(STROKE, &more, rule.same_stroke);
    }
    if !listed {
        why.not_below(CLOSED, &closed, place.least_length);
    } else if place.least_length.span().is_some() {
        // The frame clears a shock of its own size, unless somebody measured otherwise.
        why.not_below(CONTRADICTED, &closed, place.least_length);
    }
    if !listed && own && clears {
        why.mend(LONGER_STROKE, &[shock.stroke.field, place.stroke.field]);
    }
    let other = more
        .span()
        .zip(same)
        .is_some_and(|(more, same)| more.low > same.high || more.high < -same.high);
    if other {
        let over = [place.travel.field, place.stroke.field, shock.stroke.field];
        let spans = (place.travel.span(), place.stroke.span(), shock.stroke.span());
        why.tell(TRAVEL, &over, Quantity::Length, travel(spans));
    }
}

/// What spacers can do for a stroke that is too long.
enum Reduced {
    By(i64),
    NotSoFar,
}

/// How much of spacers brings the stroke down to the frame's, and whether the shock takes so much;
/// `None` where that is not known.
fn reduced(ends: &Ends<'_>, more: &Sum<Length>, rule: &Rule<'_>, strict: bool) -> Option<Reduced> {
    let Ends { shock, .. } = ends;
    let (same, step) = rule.same_stroke.span(strict).zip(rule.spacer.span(strict))?;
    let much = to_fit(more.span()?, same.high, step.low)?;
    let left = shock.stroke.span()?.plus(Span::exactly(much).negated());
    let least = shock.least_stroke.span()?;
    match (left.low >= least.high, left.high < least.low) {
        (true, _) => Some(Reduced::By(much)),
        (_, true) => Some(Reduced::NotSoFar),
        _ => None,
    }
}

/// True where the value keeps to the limit whatever the readings.
fn surely_at_most(value: &Sum<Length>, limit: Option<Span>) -> bool {
    let known = value.span().zip(limit);
    known.is_some_and(|(value, limit)| value.high <= limit.low)
}

/// The wheel travel with the shock's stroke, from the frame's travel and its own stroke.
fn travel(spans: (Option<Span>, Option<Span>, Option<Span>)) -> Option<Span> {
    let (Some(travel), Some(own), Some(new)) = spans else {
        return None;
    };
    let low = new_travel(travel.low, own.high, new.low)?;
    let high = new_travel(travel.high, own.low, new.high)?;
    Some(Span { low, high })
}
