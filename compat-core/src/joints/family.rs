//! The contract between a family's rule and the rest: ends with fields, limits, tables and codes.
//!
//! A family declares all of them with `family!` and gives one function, `check`, that compares.
//! It sees the readings of its own ends and the figures of its own page of the catalogue; nothing
//! else.

use smallvec::SmallVec;

use super::band::BandTable;
use super::compare::{Argument, Silent, Why};
use crate::dim::{Kind, Label, Origin, Quantity, Reading, Span};
use crate::text::Phrase;
use crate::verdict::{FactId, Field, Grade, Ground};

/// A field of an end: its name and its quantity.
#[derive(Clone, Copy, Debug)]
pub struct FieldDef {
    /// The name rules and the catalogue use.
    pub name: &'static str,
    /// What is measured.
    pub quantity: Quantity,
}

/// An end of a family.
#[derive(Clone, Copy, Debug)]
pub struct EndDef {
    /// The name rules and the catalogue use.
    pub name: &'static str,
    /// True where the joint stands without it.
    pub optional: bool,
    /// What is known of it.
    pub fields: &'static [FieldDef],
}

/// A family: what it judges, and the rule in its two speeds.
#[derive(Clone, Copy)]
pub struct Family {
    /// Its name: that of its Rust file and of its page in the catalogue.
    pub name: &'static str,
    /// Its ends.
    pub ends: &'static [EndDef],
    /// Its limits.
    pub limits: &'static [(&'static str, Quantity)],
    /// Its tables of pairs: name, and the list both sides' names come from is said by the page.
    pub tables: &'static [&'static str],
    /// Its bands: name, the quantity they go by and the quantity they bound.
    pub bands: &'static [(&'static str, Quantity, Quantity)],
    /// The names of lists its rule speaks of, as `list.name`.
    pub names: &'static [&'static str],
    /// Its codes.
    pub codes: &'static [&'static str],
    /// The rule, building an argument.
    pub full: fn(&Cells<'_>, &Sheet, &mut Why<Argument>),
    /// The same rule, building none.
    pub fast: fn(&Cells<'_>, &Sheet, &mut Why<Silent>),
}

impl std::fmt::Debug for Family {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name)
    }
}

impl Family {
    /// The definition of a field.
    pub fn field(&self, field: Field) -> Option<&FieldDef> {
        self.ends
            .get(usize::from(field.end))?
            .fields
            .get(usize::from(field.field))
    }

    /// The number of an end.
    pub fn end_index(&self, name: &str) -> Option<usize> {
        self.ends.iter().position(|end| end.name == name)
    }

    /// The field called `end.field`.
    pub fn field_named(&self, name: &str) -> Option<Field> {
        let (end, field) = name.split_once('.')?;
        let end = self.end_index(end)?;
        let mut fields = self.ends.get(end)?.fields.iter();
        let field = fields.position(|own| own.name == field)?;
        Some(Field {
            end: u8::try_from(end).ok()?,
            field: u8::try_from(field).ok()?,
        })
    }
}

/// A limit of a family's page.
#[derive(Clone, Copy, Debug)]
pub struct LimitRow {
    /// The limit; a span where sources differ or a band is given.
    pub span: Span,
    /// Who says so.
    pub fact: FactId,
    /// How good that is.
    pub grade: Grade,
}

/// What a row of a table of pairs says.
#[derive(Clone, Debug)]
pub enum Says {
    /// They fit.
    Fits,
    /// They fit with the things named.
    With(Vec<Phrase>),
    /// Nobody has published whether they do; it must be found out.
    Ask,
    /// They do not.
    Not(Ground),
}

/// A row of a table of pairs.
#[derive(Clone, Debug)]
pub struct PairRow {
    /// The names of the one side.
    pub a: Vec<Label>,
    /// The names of the other.
    pub b: Vec<Label>,
    /// What is said of them.
    pub says: Says,
    /// Who says so.
    pub fact: FactId,
    /// How good that is.
    pub grade: Grade,
}

/// A table of pairs of names, and what is said of a pair it does not list.
#[derive(Clone, Debug)]
pub struct PairTable {
    /// Its rows; the first that holds a pair speaks for it.
    pub rows: Vec<PairRow>,
    /// What is said of every other pair.
    pub otherwise: Says,
    /// Who says that.
    pub fact: FactId,
    /// How good that is.
    pub grade: Grade,
    /// Every name of the one side's list.
    pub all_a: Vec<Label>,
    /// Every name of the other side's list.
    pub all_b: Vec<Label>,
    /// For each pair of names, one more than the number of the row that speaks for it; 0 for none.
    pub speaks: Vec<u16>,
}

impl PairTable {
    /// Adds a row; it speaks for the pairs that no row before it speaks for.
    pub fn push(&mut self, row: PairRow) {
        self.speaks.resize(self.all_a.len() * self.all_b.len(), 0);
        let number = u16::try_from(self.rows.len() + 1).unwrap_or(u16::MAX);
        for (a, b) in row.a.iter().flat_map(|a| row.b.iter().map(move |b| (a, b))) {
            let index = self.index(*a, *b);
            if let Some(place) = self.speaks.get_mut(index).filter(|place| **place == 0) {
                *place = number;
            }
        }
        self.rows.push(row);
    }

    fn index(&self, a: Label, b: Label) -> usize {
        usize::from(a.name) * self.all_b.len() + usize::from(b.name)
    }

    /// What is said of a pair, by whom.
    pub fn says(&self, a: Label, b: Label) -> (&Says, FactId, Grade) {
        let number = self.speaks.get(self.index(a, b)).copied().unwrap_or(0);
        let row = usize::from(number)
            .checked_sub(1)
            .and_then(|row| self.rows.get(row));
        row.map_or((&self.otherwise, self.fact, self.grade), |row| {
            (&row.says, row.fact, row.grade)
        })
    }
}

/// The figures a rule compares with, in the order the family declares them.
#[derive(Clone, Debug, Default)]
pub struct Sheet {
    /// The limits.
    pub limits: Vec<LimitRow>,
    /// The tables.
    pub tables: Vec<PairTable>,
    /// The bands.
    pub bands: Vec<BandTable>,
    /// The names.
    pub names: Vec<Label>,
}

/// The most ends of a family.
pub const MOST_ENDS: usize = 16;

/// The readings of a joint: all fields of all ends, one after the other.
#[derive(Clone, Debug, Default)]
pub struct Cells<'a> {
    /// Which ends are there, a bit for each.
    present: u16,
    /// Which ends somebody complains of, or of a joint they stand in.
    doubted: u16,
    /// Where each end's fields begin.
    starts: [u8; MOST_ENDS],
    /// The readings; `None` where nothing is known.
    readings: SmallVec<[Option<&'a Reading>; 24]>,
}

impl<'a> Cells<'a> {
    /// Empty cells for a family: every end absent, every field unknown.
    pub fn of(family: &Family) -> Self {
        let mut starts = [u8::MAX; MOST_ENDS];
        let mut total = 0;
        for (start, end) in starts.iter_mut().zip(family.ends) {
            *start = u8::try_from(total).unwrap_or(u8::MAX);
            total += end.fields.len();
        }
        Cells {
            present: 0,
            doubted: 0,
            starts,
            readings: smallvec::smallvec![None; total],
        }
    }

    /// The same cells, to be mixed with readings that live less long.
    pub fn shorter<'b>(&self) -> Cells<'b>
    where
        'a: 'b,
    {
        let readings: &[Option<&'b Reading>] = &self.readings;
        Cells {
            present: self.present,
            doubted: self.doubted,
            starts: self.starts,
            readings: SmallVec::from_slice(readings),
        }
    }

    fn index(&self, field: Field) -> usize {
        let start = self.starts.get(usize::from(field.end));
        let start = start.map_or(usize::MAX, |start| usize::from(*start));
        start.saturating_add(field.field.into())
    }

    /// The bit of a field; none for one beyond all that are told apart so.
    pub fn bit(&self, field: Field) -> Option<u128> {
        let index = u32::try_from(self.index(field)).ok()?;
        1_u128.checked_shl(index)
    }

    /// The bits of the fields of which something is known, and of those that what is usual may fill:
    /// nothing is known of them, or the bike told it.
    pub fn bits(&self) -> (u128, u128) {
        let (mut known, mut open) = (0, 0);
        for (index, reading) in (0_u32..).zip(&self.readings) {
            let bit = 1_u128.checked_shl(index).unwrap_or(0);
            if reading.is_some() {
                known |= bit;
            }
            if reading.is_none_or(|reading| matches!(reading.origin, Origin::Inferred(_))) {
                open |= bit;
            }
        }
        (known, open)
    }

    /// The reading of a field.
    pub fn get(&self, field: Field) -> Option<&'a Reading> {
        self.readings.get(self.index(field)).copied().flatten()
    }

    /// Sets the reading of a field.
    pub fn set(&mut self, field: Field, reading: Option<&'a Reading>) {
        let index = self.index(field);
        if let Some(cell) = self.readings.get_mut(index) {
            *cell = reading;
        }
    }

    /// Says that an end is there.
    pub fn put(&mut self, end: usize) {
        self.present |= bit(end);
    }

    /// Says that somebody complains of an end, or of a joint it stands in.
    pub fn doubt(&mut self, end: usize) {
        self.doubted |= bit(end);
    }

    /// True where nobody complains of an end, nor of a joint it stands in.
    pub fn is_sound(&self, end: usize) -> bool {
        self.doubted & bit(end) == 0
    }

    /// True where an end is there.
    pub fn has(&self, end: usize) -> bool {
        self.present & bit(end) != 0
    }

    /// A field as a rule sees it.
    pub fn dim<K: Kind>(&self, end: u8, field: u8) -> Dim<'a, K> {
        let field = Field { end, field };
        Dim {
            field,
            reading: self.get(field),
            kind: std::marker::PhantomData,
        }
    }
}

/// The bit of an end.
fn bit(end: usize) -> u16 {
    let end = u32::try_from(end).unwrap_or(u32::MAX);
    1_u16.checked_shl(end).unwrap_or(0)
}

/// A dimension as a rule sees it: known or not, and of a role.
#[derive(Clone, Copy, Debug)]
pub struct Dim<'a, K> {
    pub(crate) field: Field,
    pub(crate) reading: Option<&'a Reading>,
    pub(crate) kind: std::marker::PhantomData<K>,
}

/// A limit as a rule sees it.
#[derive(Clone, Copy, Debug)]
pub struct Limit<K> {
    pub(crate) row: Option<LimitRow>,
    pub(crate) kind: std::marker::PhantomData<K>,
}

impl<K> Limit<K> {
    /// The limit at a number of a sheet.
    pub fn of(sheet: &Sheet, index: usize) -> Self {
        Limit {
            row: sheet.limits.get(index).copied(),
            kind: std::marker::PhantomData,
        }
    }

    /// The limit, for a decision inside a rule; `None` where there is none, and for a figure from
    /// memory where those count as unknown.
    pub fn span(&self, strict: bool) -> Option<Span> {
        let row = self.row?;
        (!(strict && row.grade == Grade::Memory)).then_some(row.span)
    }
}

/// Declares a family: its ends with their fields, its limits, tables, bands, names and codes. Makes the
/// types `Ends` and `Rule`, the constants of the codes, and `FAMILY`.
macro_rules! family {
    (
        ends { $( $end:ident $(($optional:ident))? { $( $field:ident : $kind:ident ),* $(,)? } )+ }
        $(limits { $( $limit:ident : $lkind:ident ),* $(,)? })?
        $(tables { $( $table:ident ),* $(,)? })?
        $(bands { $( $band:ident : $by:ident => $bounds:ident ),* $(,)? })?
        $(names { $( $name:ident = $path:literal ),* $(,)? })?
        codes { $( $code:ident = $word:literal ),+ $(,)? }
    ) => {
        /// The ends this family judges.
        #[allow(missing_docs)]
        pub mod end {
            #[allow(unused_imports)]
            use crate::dim::*;
            use crate::joints::family::Dim;
            $(
                #[allow(non_camel_case_types)]
                #[derive(Clone, Copy, Debug)]
                pub struct $end<'a> {
                    pub present: bool,
                    $( pub $field: Dim<'a, $kind>, )*
                }
            )+
        }

        /// The ends of one joint.
        #[allow(missing_docs)]
        #[derive(Clone, Copy, Debug)]
        pub struct Ends<'a> { $( pub $end: end::$end<'a>, )+ }

        impl<'a> Ends<'a> {
            fn of(cells: &$crate::joints::family::Cells<'a>) -> Self {
                let mut at = 0u8;
                $( let $end = {
                    let end = at;
                    at += 1;
                    #[allow(unused_mut, unused_variables, unused_assignments)]
                    let mut field = 0u8;
                    let read = end::$end {
                        present: cells.has(usize::from(end)),
                        $( $field: { let dim = cells.dim(end, field); field += 1; dim }, )*
                    };
                    let _ = field;
                    read
                }; )+
                let _ = at;
                Ends { $( $end, )+ }
            }
        }

        /// The figures of this family's page.
        #[allow(missing_docs)]
        #[derive(Clone, Copy, Debug)]
        pub struct Rule<'s> {
            $($( pub $limit: $crate::joints::family::Limit<$crate::dim::$lkind>, )*)?
            $($( pub $table: Option<&'s $crate::joints::family::PairTable>, )*)?
            $($( pub $band: $crate::joints::band::Bands<'s, $crate::dim::$by, $crate::dim::$bounds>, )*)?
            $($( pub $name: Option<$crate::dim::Label>, )*)?
            sheet: std::marker::PhantomData<&'s ()>,
        }

        impl<'s> Rule<'s> {
            #[allow(unused_mut, unused_variables, unused_assignments)]
            fn of(sheet: &'s $crate::joints::family::Sheet) -> Self {
                let mut limit = 0usize;
                let mut table = 0usize;
                let mut band = 0usize;
                let mut name = 0usize;
                Rule {
                    $($( $limit: { let row = $crate::joints::family::Limit::of(sheet, limit); limit += 1; row }, )*)?
                    $($( $table: { let rows = sheet.tables.get(table); table += 1; rows }, )*)?
                    $($( $band: { let rows = $crate::joints::band::Bands::of(sheet, band); band += 1; rows }, )*)?
                    $($( $name: { let label = sheet.names.get(name).copied(); name += 1; label }, )*)?
                    sheet: std::marker::PhantomData,
                }
            }
        }

        family!(@codes 0u8; $( $code = $word, )+);

        fn run<T: $crate::joints::compare::Trace>(
            cells: &$crate::joints::family::Cells<'_>,
            sheet: &$crate::joints::family::Sheet,
            why: &mut $crate::joints::compare::Why<T>,
        ) {
            check(&Ends::of(cells), &Rule::of(sheet), why);
        }

        /// This family, for the list.
        pub const fn family(name: &'static str) -> $crate::joints::family::Family {
            use $crate::dim::Kind;
            $crate::joints::family::Family {
                name,
                ends: &[ $( $crate::joints::family::EndDef {
                    name: stringify!($end),
                    optional: family!(@optional $($optional)?),
                    fields: &[ $( $crate::joints::family::FieldDef {
                        name: stringify!($field),
                        quantity: <$crate::dim::$kind as Kind>::QUANTITY,
                    }, )* ],
                }, )+ ],
                limits: &[ $($( (stringify!($limit), <$crate::dim::$lkind as Kind>::QUANTITY), )*)? ],
                tables: &[ $($( stringify!($table), )*)? ],
                bands: &[ $($( (
                    stringify!($band),
                    <$crate::dim::$by as Kind>::QUANTITY,
                    <$crate::dim::$bounds as Kind>::QUANTITY,
                ), )*)? ],
                names: &[ $($( $path, )*)? ],
                codes: &[ $( $word, )+ ],
                full: run::<$crate::joints::compare::Argument>,
                fast: run::<$crate::joints::compare::Silent>,
            }
        }
    };
    (@optional) => { false };
    (@optional optional) => { true };
    (@codes $n:expr; $code:ident = $word:literal, $($rest:tt)*) => {
        #[doc = concat!("The code `", $word, "`.")]
        pub const $code: u8 = $n;
        family!(@codes $n + 1u8; $($rest)*);
    };
    (@codes $n:expr;) => {};
}
pub(crate) use family;
