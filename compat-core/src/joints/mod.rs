//! The families: one file each, one name each in the list below.
//!
//! A family is a file here, a page of the same name in `catalog/joints/`, and its name in
//! [`FAMILIES`]. Nothing else knows it.

pub mod band;
pub mod compare;
pub mod family;
mod plain;

pub use band::{BandRow, BandTable, Bands};
pub use compare::{Argument, Silent, Sum, Trace, Why};
pub use family::{
    Cells, Dim, EndDef, Family, FieldDef, Limit, LimitRow, PairRow, PairTable, Says, Sheet,
};

macro_rules! families {
    ($($name:ident),* $(,)?) => {
        $(
            #[allow(missing_docs)]
            pub mod $name;
        )*

        /// Every family, in the order of the list.
        pub const FAMILIES: &[Family] = &[ $( $name::family(stringify!($name)), )* ];
    };
}

families! {
    seatpost_fit,
    seatpost_insertion,
    dropper_control,
    saddle_clamp,
    seat_clamp_fit,
    shock_size,
    shock_in_mount,
    bar_in_stem,
    stem_on_steerer,
    cassette_body,
    derailleur_range,
    chain_speed,
    rear_indexing,
    derailleur_hanger,
    hanger_on_frame,
    gear_cable_fit,
    tyre_on_rim,
    tyre_clearance,
    mudguard_fit,
    tube_in_tyre,
    valve_fit,
    valve_reach,
    tape_on_rim,
    wheel_change,
    hub_in_dropout,
    ring_on_crank,
    ring_profile,
    ring_clearance,
    front_chain_line,
    spindle_in_bottom_bracket,
    spindle_reach,
    bottom_bracket_in_shell,
    pedal_in_crank,
}

/// The number of a family by name.
pub fn family_named(name: &str) -> Option<usize> {
    FAMILIES.iter().position(|family| family.name == name)
}
