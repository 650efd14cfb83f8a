//! What a dimension is of, as types: a rule that subtracts a bore from a tooth count, or a hole
//! from a hole where it meant a shaft, does not compile.

use super::Quantity;

/// A role a dimension plays in a rule.
pub trait Kind: Copy {
    /// The quantity it is of.
    const QUANTITY: Quantity;
}

/// A role that can be added and compared.
pub trait Linear: Kind {}

/// Roles that are subtracted from each other, and what the result is.
pub trait Difference<Other: Linear>: Linear {
    /// The role of the result.
    type Result: Linear;
}

macro_rules! roles {
    ($($(#[$doc:meta])* $role:ident: $quantity:ident),* $(,)?) => { $(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug)]
        pub struct $role;
        impl Kind for $role { const QUANTITY: Quantity = Quantity::$quantity; }
    )* };
}

roles! {
    /// A plain length.
    Length: Length,
    /// The width of a hole.
    Bore: Length,
    /// The thickness of what goes into a hole.
    Shaft: Length,
    /// A number of teeth, speeds, bolts.
    Count: Count,
    /// An angle.
    Angle: Angle,
    /// A ratio.
    Ratio: Ratio,
    /// A share in per cent.
    Percent: Percent,
    /// A mass.
    Mass: Mass,
    /// A force.
    Force: Force,
    /// A spring rate.
    Stiffness: Stiffness,
    /// A pressure.
    Pressure: Pressure,
    /// A name from a closed list; it has no order and cannot be subtracted.
    Name: Name,
}

macro_rules! linear {
    ($($role:ident)*) => { $(
        impl Linear for $role {}
    )* };
}
linear! { Length Bore Shaft Count Angle Ratio Percent Mass Force Stiffness Pressure }

macro_rules! difference {
    ($($from:ident - $take:ident = $result:ident),* $(,)?) => { $(
        impl Difference<$take> for $from { type Result = $result; }
    )* };
}
difference! {
    Bore - Shaft = Length,
    Length - Length = Length,
    Count - Count = Count,
    Angle - Angle = Angle,
    Ratio - Ratio = Ratio,
    Percent - Percent = Percent,
    Mass - Mass = Mass,
    Force - Force = Force,
    Stiffness - Stiffness = Stiffness,
    Pressure - Pressure = Pressure,
}
