//! The trade's formulas, one file each, with where it comes from and how its result is rounded.

pub mod belt;
pub mod bolt_circle;
pub mod brake_adaptor;
pub mod chain_line;
pub mod elongation;
pub mod exact;
pub mod gears;
pub mod indexing;
pub mod input_ratio;
pub mod leverage;
pub mod likelihood;
pub mod rim_brake;
pub mod spokes;
pub mod stack;
pub mod steering;
pub mod travel_spacers;
pub mod tyre_section;
pub mod wheel_size;
