//! The promises that every first place keeps, as one test for all of them.
//!
//! The same function runs natively on the store in memory and in a browser on
//! the real one. It expects an empty place and leaves it filled. It is a test:
//! it panics at the first promise that is broken.

#![allow(clippy::panic, reason = "a test that other crates call")]

use super::{Batch, Blob, Kept, Packs, Store, StoreError};
use crate::event::{About, Event};
use crate::exchange::line;
use crate::id::{BlobId, DeviceId, EventId};
use crate::log::Tip;
use crate::moment::Moment;
use crate::text::Prose;

/// Writes real records of one device, each joined to the one before, for tests.
#[derive(Clone, Debug)]
pub struct Writer(Tip);

impl Writer {
    /// Returns the writer of the device whose id is `byte` eight times.
    pub fn new(byte: u8) -> Self {
        Self(Tip::fresh(DeviceId::new([byte; 8])))
    }

    /// Returns the next record, a note of the day that says `text`.
    pub fn record(&mut self, text: &str) -> Kept {
        let at = Moment::new(1_777_870_000_000 + 1_000 * self.0.seq as i64, 60);
        let Some(at) = at else { panic!("the day of the test is no moment") };
        let event = Event::NoteWritten { about: About::Day, text: Prose::new(text) };
        let (bytes, sealed) = line::seal(self.0.record(at, event));
        self.0.advance(&sealed);
        Kept { id: sealed.record.id, bytes }
    }

    /// Returns the next `count` records, each with a different text.
    pub fn records(&mut self, count: u64) -> Vec<Kept> {
        self.records_saying(count, "seen")
    }

    /// Returns the next `count` records, whose texts begin with `text`.
    pub fn records_saying(&mut self, count: u64, text: &str) -> Vec<Kept> {
        (0..count).map(|n| self.record(&format!("{text} {n}"))).collect()
    }
}

/// Runs every promise in turn on an empty place.
pub async fn contract(store: &(impl Store + Packs)) {
    begins_empty(store).await;
    returns_what_was_kept_by_name(store).await;
    repeating_is_keeping_once(store).await;
    another_record_of_that_name_is_refused(store).await;
    a_batch_is_kept_whole_or_not_at_all(store).await;
    photos_come_back(store).await;
    beyond_a_name(store).await;
    replacing_writes_over(store).await;
    a_new_connection_finds_all(store).await;
    packs_may_come_and_go(store).await;
}

fn records(records: &[Kept]) -> Batch {
    Batch { records: records.to_vec(), blobs: Vec::new() }
}

fn blob(bytes: &[u8]) -> Blob {
    Blob { id: BlobId::of(bytes), bytes: bytes.to_vec() }
}

async fn begins_empty(store: &impl Store) {
    assert_eq!(store.records(&[]).await, Ok(Vec::new()), "the contract begins with an empty place");
    assert_eq!(store.blob_ids().await, Ok(Vec::new()), "the contract begins with an empty place");
    assert!(store.found().await.is_ok(), "a place can tell how it was found");
}

async fn returns_what_was_kept_by_name(store: &impl Store) {
    // Number 12 stands after 9, and the second device between others' bytes.
    let first = Writer::new(0x0a).records(12);
    let second = Writer::new(0x09).records(2);
    assert_eq!(store.append(&records(&first[..1])).await, Ok(()));
    assert_eq!(store.append(&records(&first[1..])).await, Ok(()));
    assert_eq!(store.append(&records(&second)).await, Ok(()));
    assert_eq!(store.records(&[]).await, Ok([second, first].concat()), "records come back by name");
}

async fn repeating_is_keeping_once(store: &impl Store) {
    let before = store.records(&[]).await;
    let kept = Writer::new(0x0a).records(3);
    assert_eq!(store.append(&records(&kept)).await, Ok(()), "a repeated batch counts as kept");
    assert_eq!(store.records(&[]).await, before);
    assert_eq!(store.append(&Batch::default()).await, Ok(()), "an empty batch is kept");
}

async fn another_record_of_that_name_is_refused(store: &impl Store) {
    let before = store.records(&[]).await;
    let rivals = Writer::new(0x0a).records_saying(1, "something else");
    assert_eq!(store.append(&records(&rivals)).await, Err(StoreError::Conflict(rivals[0].id)));
    assert_eq!(store.records(&[]).await, before, "a refused batch changes nothing");
}

async fn a_batch_is_kept_whole_or_not_at_all(store: &impl Store) {
    let before = store.records(&[]).await;
    let mut writer = Writer::new(0x0a);
    let (rival, _) = (writer.record("something else"), writer.records(11));
    let photo = blob(b"a photo that must not stay");
    let batch = Batch { records: vec![writer.record("new"), rival.clone()], blobs: vec![photo.clone()] };
    assert_eq!(store.append(&batch).await, Err(StoreError::Conflict(rival.id)));
    assert_eq!(store.records(&[]).await, before, "nothing of a refused batch is kept");
    assert_eq!(store.blob(photo.id).await, Ok(None), "nothing of a refused batch is kept");
}

async fn photos_come_back(store: &impl Store) {
    let photos = [blob(b"one"), blob(&[0xff; 200_000]), blob(b"")];
    let mut writer = Writer::new(0x0b);
    let batch = Batch { records: vec![writer.record("with photos")], blobs: photos.to_vec() };
    assert_eq!(store.append(&batch).await, Ok(()));
    for photo in &photos {
        assert_eq!(store.blob(photo.id).await, Ok(Some(photo.bytes.clone())));
    }
    let mut ids: Vec<BlobId> = photos.iter().map(|photo| photo.id).collect();
    ids.sort_unstable();
    let mut found = store.blob_ids().await;
    if let Ok(found) = &mut found {
        found.sort_unstable();
    }
    assert_eq!(found, Ok(ids));
    assert_eq!(store.blob(BlobId::of(b"never kept")).await, Ok(None), "an unknown photo is absent");
}

async fn beyond_a_name(store: &impl Store) {
    let name = |byte, seq| EventId { device: DeviceId::new([byte; 8]), seq };
    let names = async |beyond: &[EventId]| match store.records(beyond).await {
        Ok(records) => records.iter().map(|record| record.id).collect::<Vec<_>>(),
        Err(error) => panic!("the records beyond a name could not be read: {error}"),
    };
    assert_eq!(names(&[name(0x0a, 10), name(0x0b, 1)]).await, [name(9, 1), name(9, 2), name(0x0a, 11), name(0x0a, 12)]);
    assert_eq!(names(&[name(0x0b, 0), name(0x0a, 99), name(9, 1)]).await, [name(9, 2), name(0x0b, 1)]);
}

async fn replacing_writes_over(store: &impl Store) {
    let healed = Writer::new(0x0b).records_saying(1, "as it was");
    let mut photo = blob(b"one");
    photo.bytes = b"other bytes".to_vec();
    let batch = Batch { records: healed.clone(), blobs: vec![photo.clone()] };
    assert_eq!(store.replace(&batch).await, Ok(()));
    let records = store.records(&[]).await.unwrap_or_default();
    assert_eq!(records.last(), healed.last());
    assert_eq!(store.blob(photo.id).await, Ok(Some(photo.bytes)), "bytes come back as they lie there");
}

async fn a_new_connection_finds_all(store: &impl Store) {
    let before = store.records(&[]).await;
    let found = store.found().await;
    store.reconnect().await;
    store.reconnect().await;
    assert_eq!(store.records(&[]).await, before);
    assert_eq!(store.found().await, found, "a place remembers how it was first found");
}

async fn packs_may_come_and_go(store: &(impl Store + Packs)) {
    let before = store.records(&[]).await;
    let name = |seq| EventId { device: DeviceId::new([0x0a; 8]), seq };
    assert_eq!(store.put_pack(name(1), b"old").await, Ok(()));
    assert_eq!(store.put_pack(name(2001), b"second").await, Ok(()));
    assert_eq!(store.put_pack(name(1), b"first").await, Ok(()), "a pack is kept over an older one");
    assert_eq!(store.packs().await, Ok(vec![b"first".to_vec(), b"second".to_vec()]));
    assert_eq!(store.has_reserve().await, Ok(false));
    assert_eq!(store.put_reserve(&[1; 1_000]).await, Ok(()));
    assert_eq!(store.put_reserve(&[2; 2_000]).await, Ok(()), "a reserve is kept over an older one");
    assert_eq!(store.has_reserve().await, Ok(true));
    assert_eq!(store.packs().await.map(|packs| packs.len()), Ok(2), "the reserve is no pack");
    assert_eq!(store.drop_packs().await, Ok(()));
    assert_eq!(store.packs().await, Ok(Vec::new()));
    assert_eq!(store.has_reserve().await, Ok(false), "the reserve goes with the packs");
    assert_eq!(store.records(&[]).await, before, "records do not go with the packs");
}
