//! The quantities a dimension can have, and their units.

/// What is measured or counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Quantity {
    /// A length, in whole nanometres.
    Length,
    /// A number of things: teeth, speeds, bolts.
    Count,
    /// An angle, in whole microdegrees.
    Angle,
    /// A ratio of two like quantities, in millionths.
    Ratio,
    /// A share in per cent, in ten-thousandths of one.
    Percent,
    /// A mass, in whole milligrams.
    Mass,
    /// A force, in whole millinewtons.
    Force,
    /// A spring rate, in whole millinewtons for a metre.
    Stiffness,
    /// A pressure, in ten-thousandths of a pascal.
    Pressure,
    /// A name from a closed list: a spline, a mount, a yes or no.
    Name,
}

/// A unit: what is written after the number, and how many of the small unit it is.
pub(crate) struct Unit {
    pub names: &'static [&'static str],
    pub size: i64,
}

const LENGTH: &[Unit] = &[
    Unit {
        names: &["mm"],
        size: 1_000_000,
    },
    Unit {
        names: &["cm"],
        size: 10_000_000,
    },
    Unit {
        names: &["m"],
        size: 1_000_000_000,
    },
    Unit {
        names: &["in", "inch", "inches", "\"", "″", "”"],
        size: 25_400_000,
    },
    Unit {
        names: &["um", "µm", "μm"],
        size: 1_000,
    },
];
const COUNT: &[Unit] = &[Unit {
    names: &["", "t", "T", "teeth", "tooth", "speed", "speeds", "links"],
    size: 1,
}];
const ANGLE: &[Unit] = &[Unit {
    names: &["°", "deg", "degrees", "degree"],
    size: 1_000_000,
}];
const PERCENT: &[Unit] = &[Unit {
    names: &["%"],
    size: 10_000,
}];
const RATIO: &[Unit] = &[
    Unit {
        names: &[""],
        size: 1_000_000,
    },
    Unit {
        names: &["%"],
        size: 10_000,
    },
];
const MASS: &[Unit] = &[
    Unit {
        names: &["kg"],
        size: 1_000_000,
    },
    Unit {
        names: &["g"],
        size: 1_000,
    },
    Unit {
        names: &["lb", "lbs"],
        size: 453_592,
    },
];
const FORCE: &[Unit] = &[
    Unit {
        names: &["N"],
        size: 1_000,
    },
    Unit {
        names: &["kN"],
        size: 1_000_000,
    },
];
const STIFFNESS: &[Unit] = &[
    Unit {
        names: &["N/mm"],
        size: 1_000_000,
    },
    Unit {
        names: &["lb/in", "lbs/in"],
        size: 175_127,
    },
];

const PRESSURE: &[Unit] = &[
    Unit {
        names: &["bar"],
        size: 1_000_000_000,
    },
    Unit {
        names: &["psi", "PSI"],
        // Rounded in the seventh figure, so that a tenth of a pound is whole.
        size: 68_947_570,
    },
    Unit {
        names: &["kPa"],
        size: 10_000_000,
    },
];

impl Quantity {
    /// Every quantity, with the word the catalogue uses for it.
    pub const ALL: &'static [(Quantity, &'static str)] = &[
        (Quantity::Length, "length"),
        (Quantity::Count, "count"),
        (Quantity::Angle, "angle"),
        (Quantity::Ratio, "ratio"),
        (Quantity::Percent, "percent"),
        (Quantity::Mass, "mass"),
        (Quantity::Force, "force"),
        (Quantity::Stiffness, "stiffness"),
        (Quantity::Pressure, "pressure"),
        (Quantity::Name, "name"),
    ];

    /// The word the catalogue uses.
    pub fn word(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(quantity, _)| *quantity == self)
            .map_or("", |(_, word)| word)
    }

    /// The quantity for a word of the catalogue.
    pub fn from_word(word: &str) -> Option<Quantity> {
        Self::ALL
            .iter()
            .find(|(_, known)| *known == word)
            .map(|(quantity, _)| *quantity)
    }

    /// The units it may be written in; the first is meant where none is written.
    /// The unit a bare number is taken in.
    pub fn usual_unit(self) -> &'static str {
        let unit = self.units().first();
        unit.and_then(|unit| unit.names.first())
            .copied()
            .unwrap_or("")
    }

    pub(crate) fn units(self) -> &'static [Unit] {
        match self {
            Quantity::Length => LENGTH,
            Quantity::Count => COUNT,
            Quantity::Angle => ANGLE,
            Quantity::Ratio => RATIO,
            Quantity::Percent => PERCENT,
            Quantity::Mass => MASS,
            Quantity::Force => FORCE,
            Quantity::Stiffness => STIFFNESS,
            Quantity::Pressure => PRESSURE,
            Quantity::Name => &[],
        }
    }

    /// How many of the small unit the usual unit is, and what is written after it.
    pub(crate) fn usual(self) -> (i64, &'static str) {
        let unit = self.units().first();
        (
            unit.map_or(1, |unit| unit.size),
            unit.and_then(|unit| unit.names.first())
                .copied()
                .unwrap_or(""),
        )
    }
}
