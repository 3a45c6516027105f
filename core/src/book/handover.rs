//! What left the phone, when and how; what is only here still follows from it.
//!
//! "Left" means that the browser said so; it is not a receipt.

use crate::event::{Document, Way};
use crate::id::{BlobId, EventId};
use crate::moment::Moment;

/// Everything that ever left.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HandOvers {
    all: Vec<HandOver>,
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

impl HandOvers {
    /// Returns all, in the order of the log.
    pub fn all(&self) -> &[HandOver] {
        &self.all
    }

    /// Returns the last backup that left.
    pub fn last_backup(&self) -> Option<&HandOver> {
        self.all.iter().rev().find(|one| matches!(one.what, Document::Backup { .. }))
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
