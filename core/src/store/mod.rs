//! Keeping records and photos: what any place to keep them must promise.
//!
//! One action of a person is one [`Batch`], kept whole or not at all. Records
//! are bytes (a line of [`crate::exchange::line`]) under their [`EventId`];
//! photos are bytes under their SHA-256. Nothing is ever deleted, and keeping
//! the same thing again is not an error, so every failed call may be repeated.
//!
//! - [`memory`]: keeps in memory, for tests and for trying the program out.
//! - [`faulty`]: wraps another place and fails as told, for fault tests.
//! - [`frames`]: the form of the second copy, an append-only file.
//! - [`vault`]: joins a first place, a second copy and witnesses of the head.
//! - [`contract`]: the tests that every place passes.

use crate::id::{BlobId, EventId};

/// A record as it is kept: its name and its exact bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// The event's name.
    pub id: EventId,
    /// The line, without its line feed.
    pub bytes: Vec<u8>,
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

/// A place that keeps records and photos.
pub trait Store {
    /// Keeps the whole batch durably, or nothing of it.
    ///
    /// A record that is there with equal bytes counts as kept.
    ///
    /// # Errors
    /// [`StoreError::Conflict`] when a record is there with other bytes; the
    /// others as they say. After an error nothing of the batch is kept, except
    /// after [`StoreError::Silent`], where it may be: repeating is safe.
    fn append(&self, batch: &Batch) -> impl Future<Output = Result<(), StoreError>>;

    /// Writes over what is there: only to heal damage from a good copy.
    ///
    /// # Errors
    /// As [`Store::append`], without the conflict.
    fn replace(&self, batch: &Batch) -> impl Future<Output = Result<(), StoreError>>;

    /// Returns every record that can be read, ordered by name.
    ///
    /// # Errors
    /// When the place as a whole cannot be read.
    fn records(&self) -> impl Future<Output = Result<Vec<Kept>, StoreError>>;

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
