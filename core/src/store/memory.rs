//! Places in memory: to try the program out, and for tests.
//!
//! Each is a handle: its clones share what is kept, so a test can drop one and
//! open the place again, look into it, or damage it behind the program's back.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use super::{Batch, Blob, FileEnd, Found, Kept, Note, Notes, Packs, SecondCopy, Store, StoreError, Timer};
use crate::id::{BlobId, EventId};
use crate::moment::Length;

/// A first place in memory.
#[derive(Clone, Debug, Default)]
pub struct MemoryStore(Rc<RefCell<Contents>>);

/// What a [`MemoryStore`] holds.
#[derive(Clone, Debug, Default)]
pub struct Contents {
    /// The records' bytes, by name.
    pub records: BTreeMap<EventId, Vec<u8>>,
    /// The photos' bytes, by name.
    pub blobs: BTreeMap<BlobId, Vec<u8>>,
    /// The packs' bytes, by the name of their first record.
    pub packs: BTreeMap<EventId, Vec<u8>>,
    /// How many bytes are held in reserve.
    pub reserve: usize,
    /// What the place says of how it was found.
    pub found: Found,
    /// How many bytes fit; `None` for any number.
    pub room: Option<usize>,
}

impl Contents {
    fn used(&self) -> usize {
        let packs = self.packs.values().map(Vec::len).sum::<usize>();
        packs
            + self.reserve
            + self.records.values().map(Vec::len).sum::<usize>()
            + self.blobs.values().map(Vec::len).sum::<usize>()
    }

    fn put(&mut self, batch: &Batch) -> Result<(), StoreError> {
        let photos = batch.blobs.iter().filter(|blob| !self.blobs.contains_key(&blob.id));
        let records = batch.records.iter().filter(|record| !self.records.contains_key(&record.id));
        let more = photos.map(|blob| blob.bytes.len()).sum::<usize>()
            + records.map(|record| record.bytes.len()).sum::<usize>();
        self.has_room_for(more)?;
        self.records.extend(batch.records.iter().map(|record| (record.id, record.bytes.clone())));
        self.blobs.extend(batch.blobs.iter().map(|blob| (blob.id, blob.bytes.clone())));
        Ok(())
    }

    fn has_room_for(&self, more: usize) -> Result<(), StoreError> {
        let is_full = self.room.is_some_and(|room| self.used() + more > room);
        if is_full { Err(StoreError::Full) } else { Ok(()) }
    }
}

impl MemoryStore {
    /// Lets `change` look at, or alter, what is kept.
    pub fn contents<T>(&self, change: impl FnOnce(&mut Contents) -> T) -> T {
        change(&mut self.0.borrow_mut())
    }
}

impl Store for MemoryStore {
    async fn found(&self) -> Result<Found, StoreError> {
        Ok(self.0.borrow().found.clone())
    }

    async fn append(&self, batch: &Batch) -> Result<(), StoreError> {
        let mut contents = self.0.borrow_mut();
        let rival = |record: &&Kept| contents.records.get(&record.id).is_some_and(|known| *known != record.bytes);
        match batch.records.iter().find(rival) {
            Some(record) => Err(StoreError::Conflict(record.id)),
            None => contents.put(batch),
        }
    }

    async fn replace(&self, batch: &Batch) -> Result<(), StoreError> {
        self.0.borrow_mut().put(batch)
    }

    async fn records(&self, beyond: &[EventId]) -> Result<Vec<Kept>, StoreError> {
        let wanted = |id: &EventId| !beyond.iter().any(|end| end.device == id.device && id.seq <= end.seq);
        let contents = self.0.borrow();
        let records = contents.records.iter().filter(|(id, _)| wanted(id));
        Ok(records.map(|(&id, bytes)| Kept { id, bytes: bytes.clone() }).collect())
    }

    async fn blob(&self, id: BlobId) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(self.0.borrow().blobs.get(&id).cloned())
    }

    async fn blob_ids(&self) -> Result<Vec<BlobId>, StoreError> {
        Ok(self.0.borrow().blobs.keys().copied().collect())
    }

    async fn reconnect(&self) {}
}

impl Packs for MemoryStore {
    async fn put_pack(&self, first: EventId, bytes: &[u8]) -> Result<(), StoreError> {
        let mut contents = self.0.borrow_mut();
        contents.has_room_for(bytes.len())?;
        contents.packs.insert(first, bytes.to_vec());
        Ok(())
    }

    async fn packs(&self) -> Result<Vec<Vec<u8>>, StoreError> {
        Ok(self.0.borrow().packs.values().cloned().collect())
    }

    async fn put_reserve(&self, bytes: &[u8]) -> Result<(), StoreError> {
        let mut contents = self.0.borrow_mut();
        contents.has_room_for(bytes.len().saturating_sub(contents.reserve))?;
        contents.reserve = bytes.len();
        Ok(())
    }

    async fn has_reserve(&self) -> Result<bool, StoreError> {
        Ok(self.0.borrow().reserve > 0)
    }

    async fn drop_packs(&self) -> Result<(), StoreError> {
        let mut contents = self.0.borrow_mut();
        contents.packs.clear();
        contents.reserve = 0;
        Ok(())
    }
}

/// A second copy in memory.
#[derive(Clone, Debug, Default)]
pub struct MemoryCopy(Rc<RefCell<Files>>);

/// What a [`MemoryCopy`] holds.
#[derive(Clone, Debug, Default)]
pub struct Files {
    /// The file of frames.
    pub frames: Vec<u8>,
    /// The photos' bytes, by name.
    pub blobs: BTreeMap<BlobId, Vec<u8>>,
}

impl MemoryCopy {
    /// Lets `change` look at, or alter, what is kept.
    pub fn files<T>(&self, change: impl FnOnce(&mut Files) -> T) -> T {
        change(&mut self.0.borrow_mut())
    }
}

impl SecondCopy for MemoryCopy {
    async fn end(&self, most: usize) -> Result<FileEnd, StoreError> {
        let files = self.0.borrow();
        let bytes = files.frames[files.frames.len().saturating_sub(most)..].to_vec();
        Ok(FileEnd { length: files.frames.len() as u64, bytes })
    }

    async fn whole(&self) -> Result<Vec<u8>, StoreError> {
        Ok(self.0.borrow().frames.clone())
    }

    async fn write(&self, at: u64, bytes: &[u8]) -> Result<(), StoreError> {
        let at = usize::try_from(at).map_err(|_| StoreError::Full)?;
        let frames = &mut self.0.borrow_mut().frames;
        frames.resize(at, 0);
        frames.extend_from_slice(bytes);
        Ok(())
    }

    async fn rewrite(&self, bytes: &[u8]) -> Result<(), StoreError> {
        self.0.borrow_mut().frames = bytes.to_vec();
        Ok(())
    }

    async fn put_blob(&self, blob: &Blob) -> Result<(), StoreError> {
        self.0.borrow_mut().blobs.insert(blob.id, blob.bytes.clone());
        Ok(())
    }

    async fn blob(&self, id: BlobId) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(self.0.borrow().blobs.get(&id).cloned())
    }

    async fn blob_ids(&self) -> Result<Vec<BlobId>, StoreError> {
        Ok(self.0.borrow().blobs.keys().copied().collect())
    }
}

/// Notes in memory, as if in one place.
#[derive(Clone, Debug, Default)]
pub struct MemoryNotes(Rc<RefCell<BTreeMap<Note, String>>>);

impl MemoryNotes {
    /// Lets `change` look at, or alter, what is noted.
    pub fn texts<T>(&self, change: impl FnOnce(&mut BTreeMap<Note, String>) -> T) -> T {
        change(&mut self.0.borrow_mut())
    }
}

impl Notes for MemoryNotes {
    async fn read(&self, note: Note) -> Vec<String> {
        self.0.borrow().get(&note).cloned().into_iter().collect()
    }

    async fn write(&self, note: Note, text: &str) -> Result<(), StoreError> {
        let mut notes = self.0.borrow_mut();
        if text.is_empty() {
            notes.remove(&note);
        } else {
            notes.insert(note, text.to_owned());
        }
        Ok(())
    }
}

/// A timer whose every wait is over at once: what does not answer at once is
/// silent. Right for places in memory, which always do.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoWait;

impl Timer for NoWait {
    async fn wait(&self, _length: Length) {}
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::contract::{Writer, contract};

    #[test]
    fn keeps_the_contract() {
        pollster::block_on(contract(&MemoryStore::default()));
    }

    #[test]
    fn a_full_place_says_so_and_keeps_nothing_of_the_batch() {
        let store = MemoryStore::default();
        let records = Writer::new(1).records(2);
        store.contents(|contents| contents.room = Some(records[0].bytes.len() + 10));
        let batch = |record: &Kept| Batch { records: vec![record.clone()], blobs: Vec::new() };
        pollster::block_on(async {
            assert_eq!(store.append(&batch(&records[0])).await, Ok(()));
            assert_eq!(store.append(&batch(&records[1])).await, Err(StoreError::Full));
            assert_eq!(store.records(&[]).await, Ok(vec![records[0].clone()]));
        });
    }
}
