//! A phone without a screen: it decides, seals and applies, as the app does.
//!
//! The demo goes through the same door as a finger on the screen, so nothing in
//! it can be what the app would not take. What lies after `until` has not
//! happened yet and is not said.

use quaywright_core::book::{Book, Fault};
use quaywright_core::command::{Command, Refusal, decide};
use quaywright_core::exchange::line::seal;
use quaywright_core::id::{BlobId, DeviceId, EventId};
use quaywright_core::log::Tip;
use quaywright_core::moment::Moment;

use super::Demo;

/// Why a diary could not be told.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Flaw {
    /// The app would not take an entry.
    #[error("the demo's entry of {at} is refused: {refusal}")]
    Refused {
        /// When it is said to have happened.
        at: Moment,
        /// What the app says to it.
        refusal: Refusal,
    },
    /// The book cannot make sense of an entry.
    #[error("the demo's entry of {at} makes no sense: {fault}")]
    Senseless {
        /// When it is said to have happened.
        at: Moment,
        /// What the book says to it.
        fault: Fault,
    },
    /// An entry names a time that is none, or one out of the calendar.
    #[error("the demo's entry at {0} has no such time")]
    Untimed(String),
    /// An entry speaks of something that the diary did not make before.
    #[error("the demo's entry of {at} speaks of {what}, which was not made before")]
    Unmade {
        /// When it is said to have happened.
        at: Moment,
        /// What it speaks of.
        what: String,
    },
    /// A photo could not be drawn.
    #[error("there was no memory to draw a photo of the demo")]
    Undrawn,
}

/// A phone and everything that was said to it.
pub(super) struct Phone {
    book: Book,
    tip: Tip,
    now: Moment,
    until: Moment,
    kept: Demo,
}

impl Phone {
    /// Returns a new phone whose time begins at `now` and ends at `until`.
    pub(super) fn new(device: DeviceId, now: Moment, until: Moment) -> Self {
        let kept = Demo { records: Vec::new(), blobs: Vec::new(), device };
        Self { book: Book::default(), tip: Tip::fresh(device), now, until, kept }
    }

    /// Returns what the phone shows.
    pub(super) fn book(&self) -> &Book {
        &self.book
    }

    /// Returns the phone's time.
    pub(super) fn now(&self) -> Moment {
        self.now
    }

    /// Lets time go on to `now`.
    pub(super) fn wait(&mut self, now: Moment) {
        self.now = now;
    }

    /// Tells whether this time is past what may be told.
    pub(super) fn is_over(&self) -> bool {
        self.now > self.until
    }

    /// Says something; returns the name of its first event.
    pub(super) fn say(&mut self, command: Command) -> Result<EventId, Flaw> {
        let at = self.now;
        let first = self.tip.next();
        let events = decide(&self.book, command, first, at).map_err(|refusal| Flaw::Refused { at, refusal })?;
        for event in events {
            let (line, sealed) = seal(self.tip.record(at, event));
            self.tip.advance(&sealed);
            self.book.apply(&sealed.record);
            self.kept.records.push(line);
        }
        match self.book.faults.last() {
            Some(fault) => Err(Flaw::Senseless { at, fault: fault.clone() }),
            None => Ok(first),
        }
    }

    /// Keeps a photo's bytes; returns their name.
    pub(super) fn keep(&mut self, bytes: Vec<u8>) -> BlobId {
        let name = BlobId::of(&bytes);
        self.kept.blobs.push((name, bytes));
        name
    }

    /// Returns everything that the phone kept.
    pub(super) fn kept(self) -> Demo {
        self.kept
    }
}
