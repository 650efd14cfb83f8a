//! Where one must get to, to take a dimension.

/// Where one must get to, to take a dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Access {
    /// On paper, or asked of a person.
    Asked,
    /// On the assembled bike.
    Assembled,
    /// With the wheel out.
    WheelOut,
    /// With the part taken off.
    PartOff,
    /// With the bike stripped.
    Stripped,
}

impl Access {
    /// All of them, with their words.
    pub const ALL: &'static [(Access, &'static str)] = &[
        (Access::Asked, "asked"),
        (Access::Assembled, "assembled"),
        (Access::WheelOut, "wheel out"),
        (Access::PartOff, "part off"),
        (Access::Stripped, "stripped"),
    ];

    /// In words.
    pub fn words(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(access, _)| *access == self)
            .map_or("", |(_, words)| words)
    }
}
