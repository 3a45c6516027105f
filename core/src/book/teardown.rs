//! The off-list: what came off, how many are back on, what is still off.
//!
//! Counting is exact: what came off and what went back are added up from the
//! statements that count, and nothing is rounded down to "done". What was
//! replaced or left off on purpose is no longer off; its reason stands with it.
//!
//! Rule: that somebody made sure of an item holds for what was on then. A later
//! statement that some of it are on asks for it anew.

mod orders;

use super::named::Named;
use crate::event::{Check, ItemFacts};
use crate::id::{EventId, ItemId, JobId};
use crate::moment::Moment;
use crate::quantity::Count;
use crate::reassembly::tally::{How, Instead, Tally};
use crate::reassembly::ties::{Freed, Tie};

pub use orders::{Order, Saying, Statement};

use orders::JobOrder;

/// Everything that ever came off.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Teardown {
    items: Named<Item>,
    // What a screen asks for most must not look through years of other jobs.
    by_job: Named<JobOrder>,
    said: Named<SaidOf>,
}

/// Whose statement an event is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum SaidOf {
    /// That some of an item are on, or what was done instead.
    Return(ItemId),
    /// That somebody made sure of an item.
    Sure(ItemId),
    /// Something about the order of a job's items.
    Order(JobId),
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
    /// Each statement of what became of some of it.
    pub returns: Vec<Return>,
    /// Each statement that somebody made sure of it.
    pub sure: Vec<Sure>,
    /// Whether its coming off was withdrawn.
    pub withdrawn: bool,
}

/// A statement of what became of some of an item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Return {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// What became of them.
    pub became: Became,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

/// What became of some of what came off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Became {
    /// So many are back on.
    On(Count),
    /// They do not go back on.
    Instead(Instead),
}

impl Became {
    /// Returns of how many.
    pub fn count(&self) -> Count {
        match self {
            Became::On(count) => *count,
            Became::Instead(instead) => instead.count,
        }
    }

    /// Tells whether something is on now, old or new.
    fn is_on(&self) -> bool {
        !matches!(self, Became::Instead(Instead { how: How::LeftOff, .. }))
    }
}

/// A statement that somebody made sure of an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sure {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// Of what.
    pub check: Check,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
    // How many statements of what became of the item came before it.
    after: usize,
}

impl Item {
    /// Returns how many are back on, new ones not counted.
    pub fn back(&self) -> Count {
        self.count(|became| matches!(became, Became::On(_)))
    }

    /// Returns of how many it is said what became of them: back on, replaced or left off.
    pub fn settled(&self) -> Count {
        self.count(|_| true)
    }

    /// Returns how many are still off.
    pub fn still_off(&self) -> Count {
        Count(self.facts.count.0.saturating_sub(self.settled().0))
    }

    /// Returns the counts as the back-on order needs them.
    pub fn tally(&self) -> Tally {
        let tally = Tally::off(self.facts.count).with_on(self.back());
        self.instead().fold(tally, |tally, instead| tally.with(instead.clone()))
    }

    /// Returns what was replaced or left off, in the order in which it was said.
    pub fn instead(&self) -> impl Iterator<Item = &Instead> {
        self.that_count().filter_map(|it| match &it.became {
            Became::Instead(instead) => Some(instead),
            Became::On(_) => None,
        })
    }

    /// Returns what nobody made sure of although something of it is on.
    pub fn not_sure(&self) -> Vec<Check> {
        let last_on = self.returns.iter().rposition(|it| !it.withdrawn && it.became.is_on());
        let Some(last_on) = last_on else { return Vec::new() };
        let is_sure =
            |check: &Check| self.sure.iter().any(|it| !it.withdrawn && it.check == *check && it.after > last_on);
        self.facts.details.checks().filter(|check| !is_sure(check)).collect()
    }

    fn that_count(&self) -> impl Iterator<Item = &Return> {
        self.returns.iter().filter(|it| !it.withdrawn)
    }

    fn count(&self, of: fn(&Became) -> bool) -> Count {
        let counts = self.that_count().filter(|it| of(&it.became)).map(|it| it.became.count().0);
        Count(counts.fold(0, u32::saturating_add))
    }
}

impl Teardown {
    /// Returns an item, withdrawn or not.
    pub fn item(&self, id: ItemId) -> Option<&Item> {
        self.items.get(id.0)
    }

    /// Returns a job's items in the order in which they came off.
    pub fn items_of(&self, job: JobId) -> impl DoubleEndedIterator<Item = &Item> {
        let ids = self.by_job.get(job.0).map(JobOrder::items).unwrap_or_default();
        ids.iter().filter_map(|id| self.items.get(id.0)).filter(|item| !item.withdrawn)
    }

    /// Returns a job's items that are not all settled.
    pub fn still_off(&self, job: JobId) -> impl DoubleEndedIterator<Item = &Item> {
        self.items_of(job).filter(|item| item.still_off() > Count(0))
    }

    /// Returns a job's items that are on without anybody having made sure of them.
    pub fn not_sure(&self, job: JobId) -> impl Iterator<Item = &Item> {
        self.items_of(job).filter(|item| !item.not_sure().is_empty())
    }

    /// Tells whether the last that was said of a job's items is that something came off; so it
    /// is where nothing was said.
    pub fn came_off_last(&self, job: JobId) -> bool {
        let turns = self.by_job.get(job.0).map(JobOrder::turns).unwrap_or_default();
        let stands = |said: EventId| match self.return_of(said) {
            Some((item, found)) => !item.withdrawn && !found.withdrawn,
            None => self.items.get(said).is_some_and(|item| !item.withdrawn),
        };
        let last = turns.iter().rev().find(|&&said| stands(said));
        last.is_none_or(|&said| self.items.get(said).is_some())
    }

    /// Returns what was said about the order of a job's items, withdrawn or not.
    pub fn said_of_order(&self, job: JobId) -> &[Statement] {
        self.by_job.get(job.0).map(JobOrder::said).unwrap_or_default()
    }

    /// Returns the back-on order of a job; none while nothing came off.
    ///
    /// It is made once and then follows what is told, so a tap after thousands of items costs
    /// no more than a walk along one side.
    pub fn order(&self, job: JobId) -> Option<&Order> {
        Some(self.by_job.get(job.0)?.order(|| self.items_of(job)))
    }

    /// Returns a statement of what became of some of an item, with the item.
    pub fn return_of(&self, id: EventId) -> Option<(&Item, &Return)> {
        let Some(&SaidOf::Return(item)) = self.said.get(id) else { return None };
        let item = self.items.get(item.0)?;
        item.returns.iter().find(|it| it.id == id).map(|found| (item, found))
    }

    pub(super) fn came_off(&mut self, id: EventId, off: Moment, job: JobId, facts: &ItemFacts) -> Result<(), EventId> {
        let (returns, sure) = (Vec::new(), Vec::new());
        let item = Item { id: ItemId(id), job, facts: facts.clone(), off, returns, sure, withdrawn: false };
        self.by_job.of(job.0).came_off(&item);
        self.items.put(id, item);
        Ok(())
    }

    pub(super) fn amend(&mut self, id: ItemId, facts: &ItemFacts) -> Result<(), EventId> {
        self.items.known(id.0)?.facts = facts.clone();
        self.follow(id)
    }

    pub(super) fn became(&mut self, id: EventId, at: Moment, item: ItemId, became: Became) -> Result<(), EventId> {
        let known = self.items.known(item.0)?;
        known.returns.push(Return { id, at, became, withdrawn: false });
        self.by_job.of(known.job.0).became(id);
        self.said.put(id, SaidOf::Return(item));
        self.follow(item)
    }

    pub(super) fn made_sure(&mut self, id: EventId, at: Moment, item: ItemId, check: Check) -> Result<(), EventId> {
        let known = self.items.known(item.0)?;
        let after = known.returns.len();
        known.sure.push(Sure { id, at, check, withdrawn: false, after });
        self.said.put(id, SaidOf::Sure(item));
        self.follow(item)
    }

    pub(super) fn tie(&mut self, id: EventId, tie: Tie) -> Result<(), EventId> {
        let job = self.job_of_both(tie.item, tie.other)?;
        self.said.put(id, SaidOf::Order(job));
        self.by_job.of(job.0).say(id, Saying::Tied(tie));
        Ok(())
    }

    pub(super) fn free(&mut self, id: EventId, freed: Freed) -> Result<(), EventId> {
        let job = self.job_of_both(freed.0, freed.1)?;
        self.said.put(id, SaidOf::Order(job));
        self.by_job.of(job.0).say(id, Saying::Freed(freed));
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        if let Some(item) = self.items.get(id) {
            return Some(item.withdrawn);
        }
        match *self.said.get(id)? {
            SaidOf::Return(_) => self.return_of(id).map(|(_, found)| found.withdrawn),
            SaidOf::Sure(item) => self.items.get(item.0)?.sure.iter().find(|it| it.id == id).map(|it| it.withdrawn),
            SaidOf::Order(job) => self.said_of_order(job).iter().find(|it| it.id == id).map(|it| it.withdrawn),
        }
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        self.try_mark(id, withdrawn).is_some()
    }

    fn try_mark(&mut self, id: EventId, withdrawn: bool) -> Option<()> {
        if let Ok(item) = self.items.known(id) {
            item.withdrawn = withdrawn;
            self.by_job.known(item.job.0).ok()?.forget();
            return Some(());
        }
        match *self.said.get(id)? {
            SaidOf::Return(item) => {
                let known = self.items.known(item.0).ok()?;
                known.returns.iter_mut().find(|it| it.id == id)?.withdrawn = withdrawn;
                self.follow(item).ok()
            }
            SaidOf::Sure(item) => {
                let known = self.items.known(item.0).ok()?;
                known.sure.iter_mut().find(|it| it.id == id)?.withdrawn = withdrawn;
                self.follow(item).ok()
            }
            SaidOf::Order(job) => self.by_job.known(job.0).ok()?.mark(id, withdrawn),
        }
    }

    /// Returns the job of two items of one job; else the name of what is not there.
    fn job_of_both(&self, one: ItemId, other: ItemId) -> Result<JobId, EventId> {
        let job_of = |item: ItemId| self.items.get(item.0).map(|item| item.job).ok_or(item.0);
        let job = job_of(one)?;
        if one != other && job_of(other)? == job { Ok(job) } else { Err(other.0) }
    }

    /// Lets the back-on order follow what became of an item, if it was made already.
    fn follow(&mut self, item: ItemId) -> Result<(), EventId> {
        let item = self.items.known(item.0)?;
        self.by_job.known(item.job.0)?.follow(item);
        Ok(())
    }
}
