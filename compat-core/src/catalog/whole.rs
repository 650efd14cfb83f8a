//! The whole catalogue in its compact form: what was read and checked once, ready to be used. What a
//! bike does not reach is passed over.

use super::among::Among;
use super::book::{Adaptor, Book, Bridge, Caution, Code, Implied, Joint, JointEnd, LimitInfo};
use super::drags::Drags;
use super::kinds::{Body, Complaint, Dimension, End, Meant, Slot};
use super::off::Off;
use super::shorthand::{Piece, Shorthand, Taken};
use super::{Access, Catalog, List, ListName, Part, compiled};
use crate::dim::{Cases, Entry, Label, Origin, Quantity, Reading, Span};
use crate::joints::{BandRow, BandTable, FAMILIES, LimitRow, PairRow, PairTable, Says, Sheet};
use crate::text::{FileId, Later, Packed, Packer, Phrase, Place, Unpacker, pack, unpack};
use crate::verdict::{Fact, FactId, Field, Grade, Ground, Need, Source};

/// Everything that a check asks the catalogue for.
#[derive(Clone, Debug, Default)]
pub(super) struct Whole {
    pub lists: Vec<List>,
    pub slots: Vec<Slot>,
    pub joints: Vec<Vec<Joint>>,
    pub bodies: Vec<Later<Body>>,
    pub books: Vec<Later<Book>>,
    /// By key, in their order.
    pub sources: Vec<(Phrase, Later<Option<Source>>)>,
}

impl Catalog {
    /// The catalogue in a compact form, for [`Catalog::unpacked`].
    pub fn packed(&self) -> (Vec<u8>, String) {
        let (families, kinds) = (0..FAMILIES.len(), 0..self.kinds.len());
        let sources = self.sources().values().cloned();
        let mut joints = self.joints.clone();
        for (family, joints) in FAMILIES.iter().zip(&mut joints) {
            for joint in joints {
                joint.dimensions(self, family);
            }
        }
        pack(&Whole {
            lists: self.lists.clone(),
            slots: self.slots.clone(),
            joints,
            bodies: kinds.map(|kind| self.body(kind).clone().into()).collect(),
            books: families
                .map(|family| self.book(family).clone().into())
                .collect(),
            sources: sources
                .map(|source| (source.key.clone(), Some(source).into()))
                .collect(),
        })
    }

    /// The compiled catalogue, of which the most was read beforehand: the compact form of this very
    /// catalogue. Where it is none, the catalogue is read.
    pub fn unpacked(shape: &'static [u8], texts: &'static str) -> Catalog {
        let Some(mut whole) = unpack::<Whole>(shape, texts) else {
            return Catalog::compiled();
        };
        let (files, entries) = compiled();
        let mut catalog = Catalog::unread(files, entries);
        catalog.lists = std::mem::take(&mut whole.lists);
        catalog.slots = std::mem::take(&mut whole.slots);
        catalog.joints = std::mem::take(&mut whole.joints);
        catalog.whole = whole;
        catalog
    }
}

/// Says of what a thing is made; that is its compact form.
macro_rules! packed {
    ($(struct $name:ident { $($field:ident),* $(,)? })*) => { $(
        impl Packed for $name {
            fn pack(&self, into: &mut Packer) {
                $( self.$field.pack(into); )*
            }

            fn unpack(from: &mut Unpacker) -> Option<Self> {
                Some($name { $( $field: Packed::unpack(from)?, )* })
            }
        }
    )* };
    ($(enum $name:ident { $($number:literal = $case:ident $(($of:ident))?),* $(,)? })*) => { $(
        impl Packed for $name {
            fn pack(&self, into: &mut Packer) {
                match self {
                    $( $name::$case $(($of))? => {
                        into.number($number);
                        $( $of.pack(into); )?
                    } )*
                }
            }

            fn unpack(from: &mut Unpacker) -> Option<Self> {
                match from.number()? {
                    $( $number => Some($name::$case $(({ let $of = Packed::unpack(from)?; $of }))?), )*
                    _ => None,
                }
            }
        }
    )* };
}

packed! {
    struct Whole { lists, slots, joints, bodies, books, sources }
    struct List { name, names }
    struct ListName { name, title, aliases }
    struct Slot { name, kind, always, fixed, no_part, optional, goes_with, seat, means }
    struct Meant { dimension, name, not }
    struct Body { title, dimensions, called, shorthands, ends, complaints, order, among, apart, ordered, off }
    struct Among { named, counted, value, names }
    struct Off { say, fact }
    struct Dimension { name, title, quantity, list, range, how, tool, access, listed, made, piece }
    struct End { name, title, fields, without, vital, loose, wears, drags }
    struct Drags { by, up, not_to, not_from }
    struct Shorthand { name, forms, written, also }
    struct Taken { numbers, unit }
    struct Complaint { word, ends, ask, doubts }
    struct Joint { title, ends, together, aside, aside_unless, filled, empty, dimensions }
    struct JointEnd { slot, end }
    struct Book {
        title, sheet, limits, implied, bridges, most_adaptors, adaptors, codes, cautions, lists, facts,
    }
    struct Sheet { limits, tables, bands, names }
    struct LimitRow { span, fact, grade }
    struct LimitInfo { name, quantity, row }
    struct PairTable { rows, otherwise, fact, grade, all_a, all_b, speaks }
    struct PairRow { a, b, says, fact, grade }
    struct BandTable { rows }
    struct BandRow { on, least, most, fact, grade }
    struct Implied { end, when, gives, sound, fact, grade }
    struct Bridge { kind, ends }
    struct Adaptor { part, fact, grade }
    struct Part { kind, name, stock, place, entries, complaints, doubted, same_as_fitted }
    struct Entry { stated, measured, disagrees }
    struct Reading { cases, origin }
    struct Code { name, ground, plays, fails, holds, open, advice, with }
    struct Need { what, fact }
    struct Caution { say, fact, adaptor }
    struct Fact { place, sources, grade, note }
    struct FactId { family, fact }
    struct Source { key, title, publisher, address }
    struct Label { list, name }
    struct Field { end, field }
    struct Span { low, high }
    struct Place { file, at }
}

packed! {
    enum Piece { 0 = Letters(letters), 1 = Value(taken) }
    enum Says { 0 = Fits, 1 = With(things), 2 = Ask, 3 = Not(ground) }
    enum Cases { 0 = Numbers(spans), 1 = Names(labels) }
    enum Origin { 0 = Stated(place), 1 = Measured(place), 2 = Catalogue(fact), 3 = Inferred(number) }
    enum Access { 0 = Asked, 1 = Assembled, 2 = WheelOut, 3 = PartOff, 4 = Stripped }
    enum Grade { 0 = Computed, 1 = Standard, 2 = Published, 3 = Practice, 4 = Memory }
    enum Ground { 0 = OutsideRating, 1 = CannotJoin, 2 = Unsafe }
    enum Quantity {
        0 = Length, 1 = Count, 2 = Angle, 3 = Ratio, 4 = Percent, 5 = Mass, 6 = Force,
        7 = Stiffness, 8 = Pressure, 9 = Name,
    }
}

impl Packed for FileId {
    fn pack(&self, into: &mut Packer) {
        self.0.pack(into);
    }

    fn unpack(from: &mut Unpacker) -> Option<Self> {
        u16::unpack(from).map(FileId)
    }
}
