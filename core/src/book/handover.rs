//! What left the phone, when and how; what is only here still follows from it.
//!
//! "Left" means that the browser said so; it is not a receipt. Of a day's file
//! it is kept what times it told, so that a later one can say what it changes.

use super::named::Named;
use crate::event::{Activity, Document, On, Way};
use crate::id::{BlobId, EventId};
use crate::moment::{Day, Length, Moment};

/// Everything that ever left.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HandOvers {
    all: Vec<HandOver>,
    made: Named<MadeDocument>,
    days: Vec<DayTold>,
}

/// A document that left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HandOver {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// What.
    pub what: Document,
    /// How.
    pub way: Way,
    /// The SHA-256 of the file.
    pub file: BlobId,
    /// How many records the book held before this one.
    pub records_before: u64,
}

/// A document that was made; the file itself is not kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MadeDocument {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// What.
    pub what: Document,
    /// The SHA-256 of the file.
    pub file: BlobId,
    /// Whether somebody said that it need not leave.
    pub withdrawn: bool,
}

/// What a day's file told of the day's time when it left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayTold {
    /// The day.
    pub day: Day,
    /// When it left.
    pub at: Moment,
    /// Its time, in the order of what it is on and of activities.
    pub times: Vec<Told>,
}

/// Time on one thing by one activity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Told {
    /// The line or the job that it counts for.
    pub on: On,
    /// What was done.
    pub activity: Activity,
    /// How long.
    pub length: Length,
}

impl Told {
    /// Returns what two days' times are compared by.
    pub(crate) fn key(&self) -> (On, Activity) {
        (self.on, self.activity)
    }
}

impl HandOvers {
    /// Returns all, in the order of the log.
    pub fn all(&self) -> &[HandOver] {
        &self.all
    }

    /// Returns all documents that were made, in the order of the log.
    pub fn made(&self) -> impl DoubleEndedIterator<Item = &MadeDocument> {
        self.made.all()
    }

    /// Returns how many records are about documents only: made, or left.
    pub fn records(&self) -> u64 {
        (self.all.len() + self.made.all().len()) as u64
    }

    /// Returns the last backup that left.
    pub fn last_backup(&self) -> Option<&HandOver> {
        self.all.iter().rev().find(|one| matches!(one.what, Document::Backup { .. }))
    }

    /// Returns what each day's file told, in the order of the log.
    pub fn days_told(&self) -> impl DoubleEndedIterator<Item = &DayTold> {
        self.days.iter()
    }

    pub(super) fn make(&mut self, made: MadeDocument) {
        self.made.put(made.id, made);
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        self.made.get(id).map(|it| it.withdrawn)
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        let Ok(made) = self.made.known(id) else { return false };
        made.withdrawn = withdrawn;
        true
    }

    pub(super) fn told(&mut self, day: Day, at: Moment, times: Vec<Told>) {
        self.days.push(DayTold { day, at, times });
    }

    pub(super) fn left(
        &mut self,
        id: EventId,
        at: Moment,
        what: Document,
        way: Way,
        file: BlobId,
        records_before: u64,
    ) -> Result<(), EventId> {
        self.all.push(HandOver { id, at, what, way, file, records_before });
        Ok(())
    }
}
