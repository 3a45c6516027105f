//! The shop's rules for time, as they were last said.
//!
//! Every statement stays, so that one can be taken back and the one before it
//! holds again. Rules that make no sense are a fault and change nothing.

use crate::event::ShopRules;
use crate::id::EventId;

/// What was said of the shop's rules.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shop {
    stated: Vec<Stated>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Stated {
    id: EventId,
    rules: ShopRules,
    withdrawn: bool,
}

impl Shop {
    /// Returns the rules that hold.
    pub fn rules(&self) -> ShopRules {
        self.chosen().unwrap_or_default()
    }

    /// Returns the rules that were said last and not taken back, if any were.
    pub fn chosen(&self) -> Option<ShopRules> {
        self.stated.iter().rfind(|it| !it.withdrawn).map(|it| it.rules)
    }

    pub(super) fn state(&mut self, id: EventId, rules: ShopRules) -> Result<(), EventId> {
        let rules = rules.checked().map_err(|_| id)?;
        self.stated.push(Stated { id, rules, withdrawn: false });
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        self.stated.iter().find(|it| it.id == id).map(|it| it.withdrawn)
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        let Some(stated) = self.stated.iter_mut().find(|it| it.id == id) else { return false };
        stated.withdrawn = withdrawn;
        true
    }
}
