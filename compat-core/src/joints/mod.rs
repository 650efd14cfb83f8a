//! The families: one file each, one name each in the list below.
//!
//! A family is a file here, a page of the same name in `catalog/joints/`, and its name in
//! [`FAMILIES`]. Nothing else knows it.

pub mod band;
pub mod compare;
pub mod family;
mod plain;
mod sum;

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
    saddle_over_tyre,
    shock_size,
    shock_in_mount,
    hardware_in_eye,
    coil_on_shock,
    bar_in_stem,
    stem_on_steerer,
    headset_in_head_tube,
    fork_in_headset,
    crown_race_fit,
    race_in_bearing,
    preload_in_steerer,
    cassette_body,
    cassette_lockring,
    freehub_body_on_hub,
    derailleur_range,
    derailleur_rings,
    chain_speed,
    chain_length,
    chain_wear,
    chain_joining,
    gear_figures,
    rear_indexing,
    derailleur_hanger,
    hanger_on_frame,
    gear_cable_fit,
    tyre_on_rim,
    tyre_clearance,
    tyre_under_brake,
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
    electronic_derailleurs,
    rotor_line,
    end_caps_on_hub,
    axle_in_dropout,
    hub_brake_on_fork,
    hub_brake_control,
    dynamo_wiring,
    wheel_build,
    spoke_holes,
    nipple_fit,
    spindle_in_bottom_bracket,
    spindle_reach,
    bottom_bracket_in_shell,
    pedal_in_crank,
    front_derailleur_mounting,
    front_cable_pull,
    front_derailleur_angle,
    front_derailleur_range,
    front_cage_width,
    front_chainline,
    front_indexing,
    sprocket_on_driver,
    single_chain_tension,
    hub_gear_shifting,
    hub_gear_input,
    axle_in_slots,
    brake_arm_fit,
    chain_guide_mounting,
    control_on_bar,
    clamp_on_bar,
    shifter_with_lever,
    brake_on_mount,
    rotor_in_place,
    rim_brake_reach,
    rim_for_brake,
    hub_for_brake,
    rotor_on_hub,
    rotor_in_brake,
    pads_in_brake,
    pads_on_rotor,
    pads_on_rim,
    pads_for_rim,
    pads_for_rotor,
    brake_control,
    fluid_in_brake,
    hose_in_brake,
    hose_run,
    shock_envelope,
    shock_figures,
    bearing_in_seat,
    pivot_bearing,
    wheel_bearing,
    fork_in_head_tube,
    steerer_stack,
    threaded_steerer,
    fork_for_frame,
    steering_geometry,
}

/// The number of a family by name.
pub fn family_named(name: &str) -> Option<usize> {
    FAMILIES.iter().position(|family| family.name == name)
}
