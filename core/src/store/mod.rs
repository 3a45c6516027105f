//! Keeping records and photos: what any place to keep them must promise.
//!
//! One action of a person is one [`Batch`], kept whole or not at all. Records
//! are bytes (a line of [`crate::exchange::line`]) under their [`EventId`];
//! photos are bytes under their SHA-256. Nothing is ever deleted, and keeping
//! the same thing again is not an error, so every failed call may be repeated.
//!
//! The places only move bytes; every rule is here, so that it can be tested
//! without a browser. In reading order:
//!
//! - [`memory`]: keeps in memory, for tests and for trying the program out.
//! - [`faulty`]: wraps another place and fails as told, for fault tests.
//! - [`contract`]: the tests that every first place passes.
//! - [`frames`]: the form of the second copy, an append-only file.
//! - [`packs`]: the form of the start-up cache, many records as one value.
//! - [`reserve`]: room that is held for text.
//! - [`witness`]: what is noted elsewhere of what was kept.
//! - [`patience`]: bounded waiting and repeating.
//! - [`gather`]: the verified union of what several places hold.
//! - [`vault`]: joins a first place, a second copy and the notes.

pub mod contract;
pub mod faulty;
pub mod frames;
pub mod gather;
pub mod memory;
pub mod packs;
pub mod patience;
pub mod reserve;
mod turn;
pub mod vault;
pub mod witness;

use std::fmt;

use crate::id::{BlobId, EventId};
use crate::moment::Length;

/// A record as it is kept: its name and its exact bytes.
#[derive(Clone, PartialEq, Eq)]
pub struct Kept {
    /// The event's name.
    pub id: EventId,
    /// The line, without its line feed.
    pub bytes: Vec<u8>,
}

impl fmt::Debug for Kept {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Kept({}, {} bytes)", self.id, self.bytes.len())
    }
}

/// A photo's bytes under their name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Blob {
    /// The SHA-256 of the bytes.
    pub id: BlobId,
    /// The bytes.
    pub bytes: Vec<u8>,
}

/// What one action keeps: all of it or nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Batch {
    /// The records, in the order in which they follow each other.
    pub records: Vec<Kept>,
    /// The photos that those records name.
    pub blobs: Vec<Blob>,
}

/// How a place was found when it was opened.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Found {
    /// It did not exist and was made empty.
    pub created: bool,
    /// The browser says that it lost what was there, in its words.
    pub lost: Option<String>,
    /// Parts of it had gone and were made again, empty.
    pub missing: Vec<String>,
}

impl Found {
    /// Tells whether the place was found as it had been left.
    pub fn is_whole(&self) -> bool {
        !self.created && self.lost.is_none() && self.missing.is_empty()
    }
}

/// Why something was not kept or could not be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StoreError {
    /// The device gives no more room.
    #[error("this device has no room left: free some space, then try again")]
    Full,
    /// The attempt was undone by the browser; it may be repeated.
    #[error("the browser broke off while saving")]
    Aborted,
    /// The connection to the storage was lost; it may be repeated on a new one.
    #[error("the connection to the storage was lost: close the app and open it again")]
    Lost,
    /// The storage did not answer in time; whether it kept anything is not known.
    #[error("the storage does not answer: close the app and open it again")]
    Silent,
    /// Another record already has this name.
    #[error("record {0} is already there with other contents")]
    Conflict(EventId),
    /// The storage cannot be used at all here.
    #[error("this browser gives the app no storage ({0})")]
    Unavailable(String),
    /// Anything else, in the browser's words.
    #[error("the storage failed ({0})")]
    Other(String),
}

impl StoreError {
    /// Tells whether the same call may do better on a new connection.
    pub fn is_passing(&self) -> bool {
        matches!(self, Self::Aborted | Self::Lost | Self::Silent)
    }
}

/// A place that keeps records and photos.
pub trait Store {
    /// Returns how the place was found by the first call that opened it; later
    /// connections do not change the answer.
    ///
    /// # Errors
    /// When the place cannot be opened.
    fn found(&self) -> impl Future<Output = Result<Found, StoreError>>;

    /// Keeps the whole batch durably, or nothing of it.
    ///
    /// A record that is there with equal bytes counts as kept.
    ///
    /// # Errors
    /// [`StoreError::Conflict`] when a record is there with other bytes; the
    /// others as they say. After an error nothing of the batch is kept, except
    /// after a passing one, where it may be: repeating is safe.
    fn append(&self, batch: &Batch) -> impl Future<Output = Result<(), StoreError>>;

    /// Writes over what is there: only to heal damage from a good copy.
    ///
    /// # Errors
    /// As [`Store::append`], without the conflict.
    fn replace(&self, batch: &Batch) -> impl Future<Output = Result<(), StoreError>>;

    /// Returns every record that can be read, ordered by name; of a device
    /// named in `beyond` only those with a greater number.
    ///
    /// # Errors
    /// When the place as a whole cannot be read.
    fn records(&self, beyond: &[EventId]) -> impl Future<Output = Result<Vec<Kept>, StoreError>>;

    /// Returns one photo's bytes as they lie there, unverified; `None` if absent.
    ///
    /// # Errors
    /// When this photo cannot be read; others may be.
    fn blob(&self, id: BlobId) -> impl Future<Output = Result<Option<Vec<u8>>, StoreError>>;

    /// Returns the names of all photos here.
    ///
    /// # Errors
    /// When the place as a whole cannot be read.
    fn blob_ids(&self) -> impl Future<Output = Result<Vec<BlobId>, StoreError>>;

    /// Drops the connection, so that the next call makes a new one.
    fn reconnect(&self) -> impl Future<Output = ()>;
}

/// A place beside the records for what may be lost without loss: a cache, see
/// [`packs`], and a [`reserve`]. A pack is named by its first record.
pub trait Packs {
    /// Keeps a pack, over an older one of that name.
    ///
    /// # Errors
    /// When it was not kept.
    fn put_pack(&self, first: EventId, bytes: &[u8]) -> impl Future<Output = Result<(), StoreError>>;

    /// Returns all packs as they lie there, unverified.
    ///
    /// # Errors
    /// When they cannot be read.
    fn packs(&self) -> impl Future<Output = Result<Vec<Vec<u8>>, StoreError>>;

    /// Keeps the reserve, over an older one.
    ///
    /// # Errors
    /// When it was not kept.
    fn put_reserve(&self, bytes: &[u8]) -> impl Future<Output = Result<(), StoreError>>;

    /// Tells whether there is a reserve.
    ///
    /// # Errors
    /// When that cannot be read.
    fn has_reserve(&self) -> impl Future<Output = Result<bool, StoreError>>;

    /// Drops all packs and the reserve, which frees their room.
    ///
    /// # Errors
    /// When they are still there.
    fn drop_packs(&self) -> impl Future<Output = Result<(), StoreError>>;
}

/// How the second copy's file ends.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FileEnd {
    /// Its length in bytes.
    pub length: u64,
    /// Its last bytes, as many as were asked for or as there are.
    pub bytes: Vec<u8>,
}

/// The second copy: one file of [`frames`] and the photos, in a part of the
/// browser that does not fail together with the first place. It only moves bytes.
pub trait SecondCopy {
    /// Returns how the file ends; a file that is not there has length 0.
    ///
    /// # Errors
    /// [`StoreError::Unavailable`] where there can be no second copy.
    fn end(&self, most: usize) -> impl Future<Output = Result<FileEnd, StoreError>>;

    /// Returns the whole file.
    ///
    /// # Errors
    /// As [`SecondCopy::end`].
    fn whole(&self) -> impl Future<Output = Result<Vec<u8>, StoreError>>;

    /// Writes `bytes` from offset `at`, ends the file after them and flushes it.
    ///
    /// # Errors
    /// When the file may not end so.
    fn write(&self, at: u64, bytes: &[u8]) -> impl Future<Output = Result<(), StoreError>>;

    /// Puts a file with these bytes in the place of the old one, wholly or not at all.
    ///
    /// # Errors
    /// When the old one is still in place.
    fn rewrite(&self, bytes: &[u8]) -> impl Future<Output = Result<(), StoreError>>;

    /// Keeps a photo.
    ///
    /// # Errors
    /// When it may not be there.
    fn put_blob(&self, blob: &Blob) -> impl Future<Output = Result<(), StoreError>>;

    /// Returns a photo's bytes, unverified; `None` if absent.
    ///
    /// # Errors
    /// When it cannot be read.
    fn blob(&self, id: BlobId) -> impl Future<Output = Result<Option<Vec<u8>>, StoreError>>;

    /// Returns the names of all photos here.
    ///
    /// # Errors
    /// As [`SecondCopy::end`].
    fn blob_ids(&self) -> impl Future<Output = Result<Vec<BlobId>, StoreError>>;
}

/// A short text that is kept outside the first place and the second copy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Note {
    /// What is known to have been kept: see [`witness`].
    Witness,
    /// The action that is being kept, so that it survives the death of the page.
    UnderWay,
}

/// Where notes are kept, each in one or more places.
pub trait Notes {
    /// Returns the text of that note in each place that has it.
    fn read(&self, note: Note) -> impl Future<Output = Vec<String>>;

    /// Writes the note in every place; an empty text takes it away.
    ///
    /// # Errors
    /// When not one place has it now.
    fn write(&self, note: Note, text: &str) -> impl Future<Output = Result<(), StoreError>>;
}

/// Something that waits, so that waiting for a storage can be bounded.
pub trait Timer {
    /// Returns after `length`.
    fn wait(&self, length: Length) -> impl Future<Output = ()>;
}
