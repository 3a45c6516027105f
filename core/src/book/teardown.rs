//! The off-list: what came off, how many are back on, what is still off.
//!
//! Counting is exact: what came off and what went back are added up from the
//! statements that count, and nothing is rounded down to "done".

use super::named::Named;
use crate::event::ItemFacts;
use crate::id::{EventId, ItemId, JobId};
use crate::moment::Moment;
use crate::quantity::Count;

/// Everything that ever came off.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Teardown {
    items: Named<Item>,
    // What a screen asks for most must not look through years of other jobs.
    by_job: Named<Vec<ItemId>>,
    returns: Named<ItemId>,
}

/// Something that came off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Item {
    /// Its name in the log.
    pub id: ItemId,
    /// The job it came off on.
    pub job: JobId,
    /// What is known of it.
    pub facts: ItemFacts,
    /// When it came off.
    pub off: Moment,
    /// Each statement that some are back on.
    pub returns: Vec<Return>,
    /// Whether its coming off was withdrawn.
    pub withdrawn: bool,
}

/// A statement that some of an item are back on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Return {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// How many.
    pub count: Count,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

impl Item {
    /// Returns how many are back on.
    pub fn back(&self) -> Count {
        let counts = self.returns.iter().filter(|r| !r.withdrawn).map(|r| r.count.0);
        Count(counts.fold(0, u32::saturating_add))
    }

    /// Returns how many are still off.
    pub fn still_off(&self) -> Count {
        Count(self.facts.count.0.saturating_sub(self.back().0))
    }
}

impl Teardown {
    /// Returns an item, withdrawn or not.
    pub fn item(&self, id: ItemId) -> Option<&Item> {
        self.items.get(id.0)
    }

    /// Returns a job's items in the order in which they came off.
    pub fn items_of(&self, job: JobId) -> impl DoubleEndedIterator<Item = &Item> {
        let ids = self.by_job.get(job.0).map(Vec::as_slice).unwrap_or_default();
        ids.iter().filter_map(|id| self.items.get(id.0)).filter(|item| !item.withdrawn)
    }

    /// Returns a job's items that are not all back on.
    pub fn still_off(&self, job: JobId) -> impl DoubleEndedIterator<Item = &Item> {
        self.items_of(job).filter(|item| item.still_off() > Count(0))
    }

    pub(super) fn came_off(&mut self, id: EventId, off: Moment, job: JobId, facts: &ItemFacts) -> Result<(), EventId> {
        let item = Item { id: ItemId(id), job, facts: facts.clone(), off, returns: Vec::new(), withdrawn: false };
        self.items.put(id, item);
        self.by_job.of(job.0).push(ItemId(id));
        Ok(())
    }

    pub(super) fn amend(&mut self, id: ItemId, facts: &ItemFacts) -> Result<(), EventId> {
        self.items.known(id.0)?.facts = facts.clone();
        Ok(())
    }

    pub(super) fn back_on(&mut self, id: EventId, at: Moment, item: ItemId, count: Count) -> Result<(), EventId> {
        let returns = &mut self.items.known(item.0)?.returns;
        returns.push(Return { id, at, count, withdrawn: false });
        self.returns.put(id, item);
        Ok(())
    }

    /// Returns a statement that some are back on, with its item.
    pub fn return_of(&self, id: EventId) -> Option<(&Item, &Return)> {
        let item = self.items.get(self.returns.get(id)?.0)?;
        item.returns.iter().find(|r| r.id == id).map(|found| (item, found))
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        if let Some(item) = self.items.get(id) {
            return Some(item.withdrawn);
        }
        self.return_of(id).map(|(_, found)| found.withdrawn)
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        if let Ok(item) = self.items.known(id) {
            item.withdrawn = withdrawn;
            return true;
        }
        let item = self.returns.get(id).and_then(|item| self.items.known(item.0).ok());
        let Some(entry) = item.and_then(|item| item.returns.iter_mut().find(|r| r.id == id)) else { return false };
        entry.withdrawn = withdrawn;
        true
    }
}
