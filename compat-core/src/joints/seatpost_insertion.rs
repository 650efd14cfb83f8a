//! How deep a seatpost stands in the frame at the rider's saddle height, and whether a dropper's
//! whole drop can be used there.
//!
//! All of it is one sum: the part of the post below the collar is its length less what stands out
//! between the collar and the saddle rails.

use super::compare::{Sum, Trace, Why};
use super::family::family;
use crate::dim::{Length, Quantity};

family! {
    ends {
        post { length: Length, drop: Length, stack: Length, least_insertion: Length }
        tube { length: Length, least_insertion: Length, free_depth: Length }
        saddle { height: Length }
        rider { saddle_height: Length }
    }
    codes {
        TOO_HIGH = "too-high",
        POST_TOO_SHORT = "post-too-short",
        FRAME_WANTS_MORE = "frame-wants-more",
        TOO_DEEP = "too-deep",
        HEADROOM = "headroom",
        LEFT = "left-below",
    }
}

/// Works out what stands out of the collar, and compares what is left inside with what post and
/// frame ask for.
pub fn check<T: Trace>(ends: &Ends<'_>, _: &Rule<'_>, why: &mut Why<T>) {
    let Ends { post, tube, saddle, rider } = ends;
    // From the collar to the rails, along the tube, with the saddle where the rider wants it.
    let out: Sum<Length> = rider.saddle_height.sum() - tube.length.sum() - saddle.height.sum();
    let inside = post.length.sum() - out.clone();
    why.not_above(TOO_HIGH, &(post.stack.sum() + post.drop.sum()), out.clone());
    why.not_below(POST_TOO_SHORT, &inside, post.least_insertion);
    why.not_below(FRAME_WANTS_MORE, &inside, tube.least_insertion);
    why.not_above(TOO_DEEP, &inside, tube.free_depth);
    let left = (tube.free_depth.sum() - inside).span().filter(|left| left.low >= 0);
    let drops = post.drop.span().is_some_and(|drop| drop.low > 0);
    let room = (out - post.stack.sum()).span().filter(|room| drops && room.low >= 0);
    why.tell(HEADROOM, &[rider.saddle_height.field, tube.length.field], Quantity::Length, room);
    why.tell(LEFT, &[tube.free_depth.field, post.length.field], Quantity::Length, left.filter(|_| drops));
}
