//! What somebody looked at: an answer to a question that no dimension settles, as `family/code` or
//! `family/code@slot`, and yes (it holds) or no.

use crate::catalog::Catalog;
use crate::joints::{FAMILIES, family_named};
use crate::text::{Fault, FaultKind, Faults, Place, nearest};

/// The code that stands for a complaint: yes says that it was looked into and the joint is sound.
pub const COMPLAINT: &str = "complaint";

/// A joint that somebody looked at, and what was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Look {
    /// The family.
    pub family: usize,
    /// Which of its codes; `None` for a complaint.
    pub code: Option<u8>,
    /// A slot of the joint, where the family judges several joints.
    pub slot: Option<usize>,
    /// True where it holds.
    pub holds: bool,
    /// Where it is written.
    pub place: Place,
}

impl Look {
    /// Reads `family/code@slot` and `yes` or `no`.
    pub fn read(
        catalog: &Catalog,
        (name, at): (&str, Place),
        (answer, place): (&str, Place),
        faults: &mut Faults,
    ) -> Option<Look> {
        let mut unknown = |text: &str, message: String, near: Option<&str>| {
            faults.push(Fault::new(at, FaultKind::UnknownName, text, message).near(near));
        };
        let (path, slot) = match name.split_once('@') {
            Some((path, slot)) => (path, Some(slot)),
            None => (name, None),
        };
        let (family, code) = path.split_once('/').unwrap_or((path, ""));
        let Some((number, definition)) =
            family_named(family).and_then(|number| Some((number, FAMILIES.get(number)?)))
        else {
            let near = nearest(family, FAMILIES.iter().map(|family| family.name));
            unknown(family, format!("`{family}` is no family"), near);
            return None;
        };
        let found = definition.codes.iter().position(|known| *known == code);
        if found.is_none() && code != COMPLAINT {
            let all = definition.codes.iter().copied().chain([COMPLAINT]);
            let message = format!("`{code}` is no code of `{family}`");
            unknown(code, message, nearest(code, all));
            return None;
        }
        let fitted = slot.map(|slot| (slot, catalog.slot_named(slot)));
        if let Some((slot, None)) = fitted {
            let names = catalog.slots().iter().map(|slot| slot.name.as_str());
            let message = format!("`{slot}` is no slot of a bike");
            unknown(slot, message, nearest(slot, names));
            return None;
        }
        let holds = match answer {
            "yes" => true,
            "no" => false,
            other => {
                let message = format!("`{other}` where yes (it holds) or no should stand");
                faults.push(Fault::new(place, FaultKind::BadValue, other, message));
                return None;
            }
        };
        Some(Look {
            family: number,
            code: found.and_then(|code| u8::try_from(code).ok()),
            slot: fitted.and_then(|(_, slot)| slot),
            holds,
            place,
        })
    }
}
