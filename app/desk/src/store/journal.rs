//! The store as one append-only file: for a place that has files but no database.
//!
//! What was kept lies in memory ([`State`]) and is read back from the file when it is
//! opened. One change is one frame of the form of [`frames`], numbered from 1, and is on
//! the disk before it is called kept: killed at any byte, the whole frames are the store
//! and the torn end is cut off. Photos lie in a second file, at the places that a change
//! names; what a kill left there without a name is written over. What is only worked out
//! is not written: after an opening it is worked out anew. A frame that is damaged in the
//! middle closes the store, since what comes after it may rest on it.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use quaywright_core::id::{BlobId, DeviceId, EventId, Hash};
use quaywright_core::store::Kept;
use quaywright_core::store::frames::{self, Tally};

use super::change::Change;
use super::state::State;
use super::{Aside, Derived, Export, FileTaken, News, Sent, Store, StoreError};

/// A file that can be written at any place; what was written is on the disk when it returns.
pub trait Medium {
    /// Returns how long it is.
    ///
    /// # Errors
    /// In words, when the place does not tell.
    fn length(&mut self) -> Result<u64, String>;

    /// Returns the bytes of a range; fewer where it ends.
    ///
    /// # Errors
    /// In words, when the place does not give them.
    fn read(&mut self, at: u64, length: usize) -> Result<Vec<u8>, String>;

    /// Writes bytes at a place and ends the file after them.
    ///
    /// # Errors
    /// In words, when not all of it is on the disk.
    fn write(&mut self, at: u64, bytes: &[u8]) -> Result<(), String>;
}

/// A store that is not open, and its files, which are as they were.
pub struct NotOpened<M> {
    /// Why.
    pub why: StoreError,
    /// The file of changes.
    pub log: M,
    /// The file of photos.
    pub photos: M,
}

impl<M> fmt::Debug for NotOpened<M> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("NotOpened").field("why", &self.why).finish_non_exhaustive()
    }
}

/// The device under which frames of changes stand: none that a phone has.
const CHANGES: DeviceId = DeviceId::new([0; 8]);

/// The store.
pub struct Journal<M> {
    log: M,
    photos: M,
    log_end: u64,
    photos_end: u64,
    tally: Tally,
    state: State,
}

impl<M: Medium> Journal<M> {
    /// Opens the store in two files, which are empty at first: changes, and photos.
    ///
    /// # Errors
    /// When a file cannot be read, or holds what this program did not write; the files come back.
    pub fn open(mut log: M, photos: M) -> Result<Self, NotOpened<M>> {
        match read(&mut log) {
            Ok(Found { log_end, photos_end, tally, state }) => {
                Ok(Self { log, photos, log_end, photos_end, tally, state })
            }
            Err(why) => Err(NotOpened { why, log, photos }),
        }
    }

    /// Keeps a text under a name, in place of an earlier one.
    ///
    /// # Errors
    /// When it is not on the disk.
    pub fn keep_text(&mut self, name: &str, text: &str) -> Result<(), StoreError> {
        if self.state.text(name) == Some(text) {
            return Ok(());
        }
        self.keep(Change::Text { name: name.to_owned(), text: text.to_owned() })
    }

    /// Returns the text of that name.
    pub fn text(&self, name: &str) -> Option<&str> {
        self.state.text(name)
    }

    /// Writes a change, then counts it as kept.
    fn keep(&mut self, change: Change) -> Result<(), StoreError> {
        let bytes = change.written();
        let hash = Hash::of(&bytes);
        let mut tally = self.tally;
        let record = Kept { id: EventId { device: CHANGES, seq: tally.count + 1 }, bytes };
        let mut frame = Vec::with_capacity(record.bytes.len() + 128);
        frames::write(&mut frame, &record, hash, &mut tally);
        if let Err(why) = self.log.write(self.log_end, &frame) {
            // What is there of it is cut off now or at the next opening.
            let _ = self.log.write(self.log_end, &[]);
            return Err(StoreError::Engine(why));
        }
        self.log_end += frame.len() as u64;
        self.tally = tally;
        self.state.apply(change);
        Ok(())
    }

    /// Writes the photos of some files that are not there yet; returns where each lies.
    fn put_photos(&mut self, files: &[FileTaken]) -> Result<Vec<(BlobId, Place)>, StoreError> {
        let mut places = Vec::new();
        let mut seen = BTreeSet::new();
        let mut bytes = Vec::new();
        for (blob, photo) in files.iter().flat_map(|file| &file.photos) {
            if self.state.photo(*blob).is_none() && seen.insert(*blob) {
                places.push((*blob, Place { at: self.photos_end + bytes.len() as u64, length: photo.len() as u32 }));
                bytes.extend_from_slice(photo);
            }
        }
        if !bytes.is_empty() {
            self.photos.write(self.photos_end, &bytes).map_err(StoreError::Engine)?;
            self.photos_end += bytes.len() as u64;
        }
        Ok(places)
    }
}

/// Where a photo lies in the file of photos.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Place {
    pub(super) at: u64,
    pub(super) length: u32,
}

/// What a file of changes comes to.
struct Found {
    log_end: u64,
    photos_end: u64,
    tally: Tally,
    state: State,
}

/// Reads a file of changes, and cuts its torn end off.
fn read(log: &mut impl Medium) -> Result<Found, StoreError> {
    let length = log.length().map_err(StoreError::Engine)?;
    let bytes = log.read(0, usize::try_from(length).unwrap_or(usize::MAX)).map_err(StoreError::Engine)?;
    let scan = frames::scan(&bytes);
    let torn = scan.damaged.last().filter(|range| range.end == bytes.len()).cloned();
    let whole = torn.as_ref().map_or(bytes.len(), |range| range.start);
    drop(bytes);
    if scan.damaged.len() > usize::from(torn.is_some()) {
        return Err(StoreError::Spoilt);
    }
    let mut found = Found { log_end: whole as u64, photos_end: 0, tally: Tally::default(), state: State::default() };
    for (number, frame) in (1..).zip(scan.records) {
        if frame.id != (EventId { device: CHANGES, seq: number }) {
            return Err(StoreError::Spoilt);
        }
        found.tally.add(Hash::of(&frame.bytes));
        let change = Change::read(&frame.bytes)?;
        found.photos_end = found.photos_end.max(change.photos_end());
        found.state.apply(change);
    }
    if torn.is_some() {
        log.write(found.log_end, &[]).map_err(StoreError::Engine)?;
    }
    Ok(found)
}

impl<M: Medium> Store for Journal<M> {
    fn files(&mut self) -> Result<BTreeSet<Hash>, StoreError> {
        Ok(self.state.files())
    }

    fn faults_of(&mut self, file: Hash) -> Result<Option<Vec<String>>, StoreError> {
        Ok(self.state.faults_of(file))
    }

    fn take_in(&mut self, files: &[FileTaken]) -> Result<News, StoreError> {
        let news = self.state.news(files);
        let photos = self.put_photos(files)?;
        let change = Change::TakenIn { files: self.state.fresh(files), photos };
        if !change.is_nothing() {
            self.keep(change)?;
        }
        Ok(news)
    }

    fn set_aside(&mut self, aside: &Aside) -> Result<(), StoreError> {
        match self.state.aside_of(aside.file) {
            Some(_) => Ok(()),
            None => self.keep(Change::SetAside(aside.clone())),
        }
    }

    fn aside(&mut self) -> Result<Vec<(Hash, String)>, StoreError> {
        Ok(self.state.aside())
    }

    fn brought_back(&mut self, file: Hash) -> Result<Option<Aside>, StoreError> {
        Ok(self.state.aside_of(file).cloned())
    }

    fn records_of(&mut self, device: DeviceId, take: &mut dyn FnMut(EventId, &[u8])) -> Result<(), StoreError> {
        self.state.records_of(device).for_each(|(id, line)| take(id, line));
        Ok(())
    }

    fn photo(&mut self, blob: BlobId) -> Result<Option<Vec<u8>>, StoreError> {
        let Some(place) = self.state.photo(blob) else { return Ok(None) };
        self.photos.read(place.at, place.length as usize).map(Some).map_err(StoreError::Engine)
    }

    fn devices(&mut self) -> Result<Vec<(DeviceId, Option<String>)>, StoreError> {
        Ok(self.state.devices())
    }

    fn heard(&mut self) -> Result<BTreeMap<DeviceId, u64>, StoreError> {
        Ok(self.state.heard())
    }

    fn together(&mut self) -> Result<Vec<(DeviceId, DeviceId)>, StoreError> {
        Ok(self.state.together())
    }

    fn keep_columns(&mut self, name: &str, columns: &str) -> Result<(), StoreError> {
        self.keep(Change::Columns { name: name.to_owned(), columns: columns.to_owned() })
    }

    fn columns(&mut self, name: &str) -> Result<Option<String>, StoreError> {
        Ok(self.state.columns(name))
    }

    fn sent(&mut self) -> Result<Vec<Sent>, StoreError> {
        Ok(self.state.sent().to_vec())
    }

    fn export(&mut self, seen: u32, file: &[u8], lines: &[(String, String)]) -> Result<Option<u32>, StoreError> {
        if self.state.last_export() != seen {
            return Ok(None);
        }
        self.keep(Change::Exported { file: file.to_vec(), lines: lines.to_vec() })?;
        Ok(Some(seen + 1))
    }

    fn exported(&mut self, number: Option<u32>) -> Result<Option<Export>, StoreError> {
        Ok(self.state.exported(number.unwrap_or(self.state.last_export())))
    }

    fn written(&mut self, number: u32) -> Result<(), StoreError> {
        match self.state.exported(number) {
            Some(export) if !export.written => self.keep(Change::Written(number)),
            _ => Ok(()),
        }
    }

    fn derived(&mut self, name: &str) -> Result<Option<Derived>, StoreError> {
        Ok(self.state.derived(name).cloned())
    }

    fn keep_derived(&mut self, derived: &Derived) -> Result<(), StoreError> {
        self.state.keep_derived(derived.clone());
        Ok(())
    }
}

#[cfg(test)]
mod tests;
