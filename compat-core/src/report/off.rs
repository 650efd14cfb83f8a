//! What is to be said of a bike that is left without a part.

use super::CautionText;
use super::words::Words;
use crate::explain::list;
use crate::solve::Check;

impl Words<'_> {
    /// The cautions of the slots that had a part and have none: not of one that leaves with what it
    /// hangs on.
    pub(super) fn off(&self, check: &Check) -> Vec<CautionText> {
        let slots = self.catalog.slots().iter().enumerate();
        let bare = slots.filter(|(slot, definition)| {
            let carrier = definition.goes_with.as_deref();
            let carrier = carrier.and_then(|name| self.catalog.slot_named(name));
            self.before.part(*slot).is_some()
                && check.bike.part(*slot).is_none()
                && carrier.is_none_or(|carrier| check.bike.part(carrier).is_some())
        });
        let mut kinds: Vec<(usize, Vec<String>)> = Vec::new();
        for (slot, definition) in bare {
            let title = self.slot_title(slot);
            match kinds.iter_mut().find(|(kind, _)| *kind == definition.kind) {
                Some((_, titles)) => titles.push(title),
                None => kinds.push((definition.kind, vec![title])),
            }
        }
        let said = kinds.into_iter().filter_map(|(kind, titles)| {
            let off = self.catalog.body(kind).off.as_ref()?;
            Some(CautionText {
                say: format!("without the {}: {}", list(&titles), off.say),
                source: self.source_of(&off.fact),
            })
        });
        said.collect()
    }
}
