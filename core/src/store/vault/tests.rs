//! Every path of keeping, on places in memory, with every call failing in turn.

use std::cell::Cell;
use std::collections::BTreeMap;
use std::pin::pin;
use std::rc::Rc;
use std::task::{Context, Poll, Waker};

use super::*;
use crate::store::contract::Writer;
use crate::store::faulty::{Call, Fault, Faults, Faulty};
use crate::store::gather::Link;
use crate::store::memory::{MemoryCopy, MemoryNotes, MemoryStore, NoWait};
use crate::store::packs::{self, RUN};
use crate::store::{Batch, Found, Note, Timer};

/// The places of one device, which outlive the program.
#[derive(Clone, Default)]
struct Device {
    first: MemoryStore,
    copy: MemoryCopy,
    notes: MemoryNotes,
}

type TestVault<Clock = NoWait> = Vault<Faulty<MemoryStore>, Faulty<MemoryCopy>, Faulty<MemoryNotes>, Clock>;

impl Device {
    fn vault(&self) -> TestVault {
        self.failing(&Faults::default(), NoWait)
    }

    fn failing<Clock: Timer>(&self, faults: &Faults, clock: Clock) -> TestVault<Clock> {
        let copy = Faulty::new(self.copy.clone(), faults);
        Vault::new(Faulty::new(self.first.clone(), faults), copy, Faulty::new(self.notes.clone(), faults), clock)
    }

    /// Returns a device on which these records were kept and settled.
    fn with(records: &[Kept]) -> Self {
        let device = Self::default();
        pollster::block_on(async {
            let vault = device.vault();
            vault.open().await.unwrap();
            for part in records.chunks(250) {
                vault.append(&records_only(part)).await.unwrap();
            }
            assert_eq!(vault.settle().await, []);
            assert!(vault.has_second_copy());
        });
        device
    }

    fn keep_photo(&self, writer: &mut Writer, bytes: &[u8]) -> BlobId {
        let blob = photo(bytes);
        let batch = Batch { records: vec![writer.record("a photo")], blobs: vec![blob.clone()] };
        pollster::block_on(async {
            let vault = self.vault();
            vault.open().await.unwrap();
            vault.append(&batch).await.unwrap();
            assert_eq!(vault.settle().await, []);
        });
        blob.id
    }

    fn opened(&self) -> Opened {
        pollster::block_on(async { self.vault().open().await.unwrap() })
    }

    fn first_names(&self) -> Vec<u64> {
        self.first.contents(|contents| contents.records.keys().map(|id| id.seq).collect())
    }

    fn lose_first(&self, lost: Option<&str>) {
        self.first.contents(|contents| {
            *contents = Default::default();
            contents.found = Found { created: true, lost: lost.map(str::to_owned), missing: Vec::new() };
        });
    }

    fn truncate_first(&self, left: usize) {
        self.first.contents(|contents| {
            let names: Vec<EventId> = contents.records.keys().copied().skip(left).collect();
            names.iter().for_each(|id| {
                contents.records.remove(id);
            });
        });
    }
}

fn records_only(records: &[Kept]) -> Batch {
    Batch { records: records.to_vec(), blobs: Vec::new() }
}

fn only(record: &Kept) -> Batch {
    records_only(std::slice::from_ref(record))
}

fn photo(bytes: &[u8]) -> Blob {
    Blob { id: BlobId::of(bytes), bytes: bytes.to_vec() }
}

fn ready(records: &[Kept]) -> Opened {
    Opened { records: records.to_vec(), rivals: Vec::new(), state: State::Ready, notices: Vec::new() }
}

fn device_id(byte: u8) -> DeviceId {
    DeviceId::new([byte; 8])
}

fn name(seq: u64) -> EventId {
    EventId { device: device_id(1), seq }
}

#[test]
fn a_first_start_is_ready_and_empty() {
    let device = Device::default();
    device.lose_first(None);
    assert_eq!(device.opened(), ready(&[]));
}

#[test]
fn what_is_kept_is_there_after_a_start() {
    let records = Writer::new(1).records(5);
    let device = Device::with(&records);
    assert_eq!(device.opened(), ready(&records));
    let (copy, notes) = (device.copy.clone(), device.notes.clone());
    assert_eq!(crate::store::frames::scan(&copy.files(|files| files.frames.clone())).records, records);
    let witness = notes.texts(|texts| texts[&Note::Witness].clone());
    let link = Link::of(&records[4]).unwrap();
    assert_eq!(witness, format!("quaywright-witness 1\n0101010101010101 1-5 {}\n", link.hash));
    assert!(!notes.texts(|texts| texts.contains_key(&Note::UnderWay)));
}

#[test]
fn what_was_called_kept_is_in_both_places() {
    let mut writer = Writer::new(1);
    let device = Device::with(&writer.records(4));
    let blob = photo(b"a photo");
    let batch = Batch { records: vec![writer.record("a photo")], blobs: vec![blob.clone()] };
    pollster::block_on(async {
        let vault = device.vault();
        vault.open().await.unwrap();
        vault.append(&batch).await.unwrap();
        assert!(vault.has_second_copy());
    });
    // The battery goes flat before anything settled, and the first place empties itself.
    device.lose_first(Some("total"));
    let vault = device.vault();
    let opened = pollster::block_on(vault.open()).unwrap();
    assert_eq!((opened.records.len(), opened.state), (5, State::Ready));
    assert_eq!(pollster::block_on(vault.blob(blob.id)), Ok(blob.bytes));
}

#[test]
fn a_page_that_dies_before_settling_loses_nothing() {
    let mut writer = Writer::new(1);
    let records = writer.records(4);
    let device = Device::with(&records);
    let copy_is_stuck = Faults::every(Call::CopyWrite, Fault { done: false, says: None });
    pollster::block_on(async {
        let vault = device.failing(&copy_is_stuck, NoWait);
        vault.open().await.unwrap();
        vault.append(&records_only(&writer.records(2))).await.unwrap();
        assert!(!vault.has_second_copy());
    });
    let vault = device.vault();
    let opened = pollster::block_on(vault.open()).unwrap();
    assert_eq!((opened.records.len(), opened.notices.len()), (6, 0));
    assert!(!vault.has_second_copy());
    assert_eq!(pollster::block_on(vault.settle()), []);
    assert!(vault.has_second_copy());
    // Only the end was written, not the whole file anew.
    let faults = Faults::default();
    let vault = device.failing(&faults, NoWait);
    pollster::block_on(async { (vault.open().await.unwrap(), vault.settle().await) });
    assert!(!faults.made().contains(&Call::CopyWhole) && !faults.made().contains(&Call::CopyRewrite));
}

#[test]
fn an_action_must_join_what_is_kept() {
    let mut writer = Writer::new(1);
    let device = Device::with(&writer.records(2));
    let (third, fourth) = (writer.record("third"), writer.record("fourth"));
    let mut misnamed = third.clone();
    misnamed.id.seq = 4;
    let other_history = Writer::new(1).records_saying(3, "other").remove(2);
    let mut wrong_photo = photo(b"a photo");
    wrong_photo.bytes.push(0);
    pollster::block_on(async {
        let vault = device.vault();
        assert_eq!(vault.append(&only(&third)).await, Err(NotKept::ReadOnly), "not open yet");
        vault.open().await.unwrap();
        let append = async |records: &[Kept]| vault.append(&records_only(records)).await;
        assert_eq!(append(std::slice::from_ref(&fourth)).await, Err(NotKept::OutOfTurn(name(4))));
        assert_eq!(append(&[fourth.clone(), third.clone()]).await, Err(NotKept::OutOfTurn(name(4))));
        assert_eq!(append(&[misnamed]).await, Err(NotKept::NotARecord(name(4))));
        assert_eq!(append(&[other_history]).await, Err(NotKept::OutOfTurn(name(3))));
        let batch = Batch { records: vec![third.clone()], blobs: vec![wrong_photo.clone()] };
        assert_eq!(vault.append(&batch).await, Err(NotKept::NotThePhoto(wrong_photo.id)));
        assert_eq!(device.first_names(), [1, 2]);
        assert_eq!(append(&[third, fourth]).await, Ok(()));
        assert_eq!(device.first_names(), [1, 2, 3, 4]);
    });
}

#[test]
fn an_emptied_first_place_is_restored_from_the_second_copy() {
    let mut writer = Writer::new(1);
    let mut records = writer.records(700);
    let device = Device::with(&records);
    let id = device.keep_photo(&mut writer, b"a photo");
    records = device.opened().records;
    for lost in [None, Some("total")] {
        device.lose_first(lost);
        let vault = device.vault();
        pollster::block_on(async {
            let opened = vault.open().await.unwrap();
            assert_eq!(opened, Opened { notices: vec![Notice::RecordsHealed(701)], ..ready(&records) });
            assert_eq!(vault.settle().await, [Notice::PhotosHealed(1)]);
            assert_eq!(vault.blob(id).await, Ok(b"a photo".to_vec()));
        });
        device.first.contents(|contents| contents.found = Found::default());
        assert_eq!(device.opened(), ready(&records));
        assert!(device.first.contents(|contents| contents.blobs.contains_key(&id)));
    }
}

#[test]
fn a_lost_tail_is_restored_from_the_second_copy() {
    let records = Writer::new(1).records(10);
    for left in 0..10 {
        let device = Device::with(&records);
        device.truncate_first(left);
        let healed = Notice::RecordsHealed(10 - left);
        assert_eq!(device.opened(), Opened { notices: vec![healed], ..ready(&records) });
        assert_eq!(device.opened(), ready(&records));
    }
}

#[test]
fn a_damaged_record_is_restored_from_the_second_copy() {
    let records = Writer::new(1).records(4);
    let device = Device::with(&records);
    device.first.contents(|contents| contents.records.get_mut(&name(2)).unwrap()[40] ^= 1);
    assert_eq!(device.opened(), Opened { notices: vec![Notice::RecordsHealed(1)], ..ready(&records) });
    assert_eq!(device.opened(), ready(&records));
}

#[test]
fn a_damaged_second_copy_is_restored_from_the_first_place() {
    let records = Writer::new(1).records(4);
    let whole = Device::with(&records).copy.files(|files| files.frames.clone());
    for cut in [0, 1, 50, whole.len() / 2, whole.len() - 1] {
        let device = Device::with(&records);
        device.copy.files(|files| files.frames.truncate(cut));
        let opened = device.opened();
        assert_eq!((&opened.records, &opened.state), (&records, &State::Ready), "cut at {cut}");
        let vault = device.vault();
        pollster::block_on(async {
            vault.open().await.unwrap();
            assert_eq!(vault.settle().await, []);
        });
        assert_eq!(device.copy.files(|files| files.frames.clone()), whole, "cut at {cut}");
    }
}

#[test]
fn damage_to_both_is_healed_each_from_the_other() {
    let records = Writer::new(1).records(6);
    let device = Device::with(&records);
    device.truncate_first(4);
    device.copy.files(|files| files.frames[60] ^= 1);
    let opened = device.opened();
    assert_eq!(opened.records, records);
    assert_eq!(opened.notices, [Notice::RecordsHealed(2), Notice::CopyHealed(1)]);
    assert_eq!(device.opened(), ready(&records));
}

#[test]
fn an_audit_finds_damage_that_a_start_does_not_look_for() {
    let records = Writer::new(1).records(RUN + 5);
    let device = Device::with(&records);
    let whole = device.copy.files(|files| files.frames.clone());
    device.copy.files(|files| files.frames[200] ^= 1);
    device.first.contents(|contents| contents.records.get_mut(&name(9)).unwrap()[40] ^= 1);
    pollster::block_on(async {
        let vault = device.vault();
        assert_eq!(vault.open().await, Ok(ready(&records)));
        assert_eq!(vault.settle().await, []);
        assert_eq!(vault.audit().await, [Notice::RecordsHealed(1), Notice::CopyHealed(1)]);
        assert_eq!(vault.audit().await, []);
    });
    assert_eq!(device.copy.files(|files| files.frames.clone()), whole);
    assert_eq!(device.first.contents(|contents| contents.records[&name(9)].clone()), records[8].bytes);
}

/// A timer that counts the pauses in which somebody else may do something.
#[derive(Clone, Default)]
struct Pauses(Rc<Cell<usize>>);

impl Timer for Pauses {
    async fn wait(&self, length: Length) {
        self.0.set(self.0.get() + usize::from(length == Length::ZERO));
    }
}

#[test]
fn an_audit_lets_others_work_between_its_parts() {
    let records = Writer::new(1).records(3 * GATHER_AT_ONCE as u64 + 1);
    let (device, pauses) = (Device::with(&records), Pauses::default());
    let vault = device.failing(&Faults::default(), pauses.clone());
    pollster::block_on(async {
        assert_eq!(vault.open().await, Ok(ready(&records)));
        assert_eq!(pauses.0.get(), 0, "a start is waited for, so it hurries");
        assert_eq!(vault.audit().await, []);
    });
    assert_eq!(pauses.0.get(), 2 * 3, "three in each of the two places");
}

/// A timer under which an audit pauses once for others, and what is busy is busy for long.
#[derive(Clone, Default)]
struct OnePause(Rc<Cell<bool>>);

impl Timer for OnePause {
    async fn wait(&self, length: Length) {
        if length == Length::ZERO && !self.0.replace(true) {
            crate::store::faulty::one_turn().await;
        }
    }
}

#[test]
fn an_action_need_not_wait_for_an_audit() {
    let mut writer = Writer::new(1);
    let device = Device::with(&writer.records(3 * GATHER_AT_ONCE as u64));
    let vault = device.failing(&Faults::default(), OnePause::default());
    let next = only(&writer.record("next"));
    let mut context = Context::from_waker(Waker::noop());
    pollster::block_on(vault.open()).unwrap();
    let mut audit = pin!(vault.audit());
    assert!(audit.as_mut().poll(&mut context).is_pending());
    assert_eq!(pollster::block_on(vault.append(&next)), Ok(()), "while the audit has the turn");
    assert!(!vault.has_second_copy());
    assert_eq!(audit.as_mut().poll(&mut context), Poll::Ready(Vec::new()));
    assert!(vault.has_second_copy(), "the audit does not end before the second copy has it");
}

#[test]
fn a_second_copy_that_is_only_short_is_added_to() {
    let records = Writer::new(1).records(300);
    let device = Device::with(&records);
    let whole = device.copy.files(|files| files.frames.clone());
    let half = Device::with(&records[..100]).copy.files(|files| files.frames.clone());
    device.copy.files(|files| files.frames = half);
    let faults = Faults::default();
    let vault = device.failing(&faults, NoWait);
    assert_eq!(pollster::block_on(vault.open()), Ok(ready(&records)));
    assert!(faults.made().contains(&Call::CopyWrite) && !faults.made().contains(&Call::CopyRewrite));
    assert_eq!(device.copy.files(|files| files.frames.clone()), whole);
}

#[test]
fn what_is_gone_from_both_is_told_and_stops_writing() {
    let mut writer = Writer::new(1);
    let records = writer.records(6);
    let device = Device::with(&records);
    device.truncate_first(4);
    device.copy.files(|files| files.frames.clear());
    pollster::block_on(async {
        let vault = device.vault();
        let opened = vault.open().await.unwrap();
        let missing = Trouble::Missing { device: device_id(1), from: 5, to: 6 };
        assert_eq!(opened.state, State::ReadOnly(vec![missing]));
        assert_eq!(opened.records, records[..4]);
        assert_eq!(vault.append(&records_only(&records[4..5])).await, Err(NotKept::ReadOnly));
        // A backup that does not reach far enough is taken, and what is still missing is told.
        let opened = vault.restore(&records_only(&records[..5])).await.unwrap();
        let missing = Trouble::Missing { device: device_id(1), from: 6, to: 6 };
        assert_eq!(opened.state, State::ReadOnly(vec![missing]));
        let opened = vault.restore(&records_only(&records)).await.unwrap();
        assert_eq!((opened.state, opened.records), (State::Ready, records.clone()));
        assert_eq!(vault.append(&records_only(&[writer.record("on it goes")])).await, Ok(()));
    });
}

#[test]
fn everything_gone_is_told_and_a_backup_brings_it_back() {
    let records = Writer::new(1).records(6);
    let device = Device::with(&records);
    let before = device.first.contents(|contents| contents.records.clone());
    device.lose_first(None);
    device.copy.files(|files| files.frames.clear());
    pollster::block_on(async {
        let vault = device.vault();
        let opened = vault.open().await.unwrap();
        assert_eq!(opened.state, State::ReadOnly(vec![Trouble::AllGone]));
        assert_eq!(vault.settle().await, []);
        assert_eq!(vault.restore(&records_only(&records)).await.unwrap().state, State::Ready);
    });
    assert_eq!(device.first.contents(|contents| contents.records.clone()), before);
}

#[test]
fn a_loss_that_only_the_browser_tells_of_stops_writing() {
    let device = Device::default();
    device.lose_first(Some("total: log damaged"));
    let opened = device.opened();
    assert_eq!(opened.state, State::ReadOnly(vec![Trouble::Lost("total: log damaged".to_owned())]));
}

#[test]
fn carrying_on_closes_the_device_so_that_numbers_never_come_twice() {
    let mut writer = Writer::new(1);
    let records = writer.records(6);
    let device = Device::with(&records);
    device.truncate_first(4);
    device.copy.files(|files| files.frames.clear());
    let next = Writer::new(2).records(3);
    pollster::block_on(async {
        let vault = device.vault();
        vault.open().await.unwrap();
        assert!(!vault.is_closed(device_id(1)));
        assert_eq!(vault.carry_on_without().await, Ok(()));
        assert!(vault.is_closed(device_id(1)));
        let fifth = records_only(&records[4..5]);
        assert_eq!(vault.append(&fifth).await, Err(NotKept::Closed(device_id(1))));
        assert_eq!(vault.append(&records_only(&next)).await, Ok(()));
        assert_eq!(vault.settle().await, []);
        // It stays so, and is not asked again.
        let vault = device.vault();
        let opened = vault.open().await.unwrap();
        assert_eq!(opened, ready(&[&records[..4], &next].concat()));
        assert!(vault.is_closed(device_id(1)));
        // A backup may still bring back what was lost.
        let opened = vault.restore(&records_only(&records)).await.unwrap();
        assert_eq!(opened, ready(&[&records[..], &next].concat()));
    });
}

#[test]
fn two_records_of_one_name_are_told_and_neither_is_lost() {
    let mut writer = Writer::new(1);
    let mut records = writer.records(3);
    let device = Device::with(&records);
    let rival = writer.clone().record("what the copy has");
    records.push(writer.record("what the first place has"));
    pollster::block_on(async {
        let vault = device.vault();
        vault.open().await.unwrap();
        vault.append(&only(&rival)).await.unwrap();
        vault.settle().await;
        device.first.contents(|contents| contents.records.insert(name(4), records[3].bytes.clone()));
        device.notes.texts(BTreeMap::clear);
        let opened = vault.open().await.unwrap();
        assert_eq!(opened.state, State::ReadOnly(vec![Trouble::Conflict(name(4))]));
        assert_eq!((&opened.records, &opened.rivals), (&records, &vec![rival.clone()]));
        assert_eq!(vault.carry_on_without().await, Ok(()));
        let opened = device.vault().open().await.unwrap();
        assert_eq!(opened, Opened { rivals: vec![rival.clone()], ..ready(&records) });
        let in_copy = crate::store::frames::scan(&device.copy.files(|files| files.frames.clone())).records;
        assert!(in_copy.contains(&rival) && in_copy.contains(&records[3]));
    });
}

#[test]
fn another_record_than_the_witness_knows_is_a_conflict() {
    let records = Writer::new(1).records(3);
    let device = Device::with(&records);
    let others = Writer::new(1).records_saying(3, "another history");
    device.first.contents(|contents| {
        let others = others.iter().map(|other| (other.id, other.bytes.clone()));
        contents.records.extend(others);
    });
    device.copy.files(|files| files.frames.clear());
    assert_eq!(device.opened().state, State::ReadOnly(vec![Trouble::Conflict(name(3))]));
}

#[test]
fn records_of_a_newer_program_are_left_alone() {
    let mut writer = Writer::new(1);
    let records = writer.records(3);
    let device = Device::with(&records);
    let newer = br#"{"v":9,"id":"0101010101010101-4","what":"unknown"}"#.to_vec();
    device.first.contents(|contents| contents.records.insert(name(4), newer.clone()));
    let copy_before = device.copy.files(|files| files.frames.clone());
    pollster::block_on(async {
        let vault = device.vault();
        let opened = vault.open().await.unwrap();
        assert_eq!(opened.state, State::ReadOnly(vec![Trouble::Newer(9)]));
        assert_eq!(vault.carry_on_without().await, Err(NotKept::ReadOnly));
        let fourth = records_only(&[writer.record("older program")]);
        assert!(vault.restore(&fourth).await.is_err());
    });
    assert_eq!(device.first.contents(|contents| contents.records[&name(4)].clone()), newer);
    assert_eq!(device.copy.files(|files| files.frames.clone()), copy_before);
}

#[test]
fn parts_of_other_devices_may_come_in_any_order() {
    let (own, other) = (Writer::new(1).records(3), Writer::new(2).records(6));
    let device = Device::with(&own);
    pollster::block_on(async {
        let vault = device.vault();
        vault.open().await.unwrap();
        let opened = vault.restore(&records_only(&other[4..])).await.unwrap();
        let gap = Notice::Gap { device: device_id(2), from: 1, to: 4 };
        assert_eq!((opened.state, opened.notices.last()), (State::Ready, Some(&gap)));
        vault.settle().await;
        assert_eq!(device.opened().notices, [gap]);
        for part in [&other[..2], &other[4..], &other[1..5]] {
            vault.restore(&records_only(part)).await.unwrap();
        }
        let all = [own.as_slice(), other.as_slice()].concat();
        assert_eq!(vault.restore(&Batch::default()).await, Ok(ready(&all)));
    });
}

#[test]
fn a_damaged_or_contradicting_backup_is_refused() {
    let records = Writer::new(1).records(3);
    let device = Device::with(&records);
    let mut damaged = records.clone();
    damaged[1].bytes[50] ^= 4;
    let rivals = Writer::new(1).records_saying(2, "other");
    let mut wrong = photo(b"a photo");
    wrong.bytes[0] ^= 1;
    pollster::block_on(async {
        let vault = device.vault();
        vault.open().await.unwrap();
        assert_eq!(vault.restore(&records_only(&damaged)).await, Err(NotKept::NotARecord(name(2))));
        let conflict = NotKept::Storage(StoreError::Conflict(name(1)));
        assert_eq!(vault.restore(&records_only(&rivals)).await, Err(conflict));
        let batch = Batch { records: Vec::new(), blobs: vec![wrong.clone()] };
        assert_eq!(vault.restore(&batch).await, Err(NotKept::NotThePhoto(wrong.id)));
    });
    assert_eq!(device.opened(), ready(&records));
}

#[test]
fn without_a_second_copy_work_goes_on_and_it_is_said() {
    let unavailable = StoreError::Unavailable("no file system".to_owned());
    let fault = Fault { done: false, says: Some(unavailable.clone()) };
    let plan = move |call, _| {
        let of_copy =
            matches!(call, Call::CopyEnd | Call::CopyWhole | Call::CopyWrite | Call::CopyBlobIds | Call::CopyPutBlob);
        of_copy.then(|| fault.clone())
    };
    let device = Device::default();
    pollster::block_on(async {
        let vault = device.failing(&Faults::new(plan), NoWait);
        assert_eq!(vault.open().await.unwrap().notices, [Notice::NoCopy(unavailable)]);
        let mut writer = Writer::new(1);
        let batch = Batch { records: writer.records(2), blobs: vec![photo(b"a photo")] };
        assert_eq!(vault.append(&batch).await, Ok(()));
        assert_eq!(vault.settle().await, []);
        assert!(!vault.has_second_copy());
    });
    assert_eq!(device.opened().records.len(), 2);
}

#[test]
fn a_photo_is_healed_from_the_second_copy_or_its_damage_is_told() {
    let mut writer = Writer::new(1);
    let device = Device::default();
    let id = device.keep_photo(&mut writer, b"a photo");
    let other = device.keep_photo(&mut writer, b"another photo");
    let damage = |bytes: &mut Vec<u8>| bytes[0] ^= 1;
    pollster::block_on(async {
        let vault = device.vault();
        vault.open().await.unwrap();
        device.first.contents(|contents| damage(contents.blobs.get_mut(&id).unwrap()));
        assert_eq!(vault.blob(id).await, Ok(b"a photo".to_vec()));
        assert_eq!(device.first.contents(|contents| contents.blobs[&id].clone()), b"a photo");
        device.first.contents(|contents| contents.blobs.remove(&id));
        assert_eq!(vault.blob(id).await, Ok(b"a photo".to_vec()));
        device.first.contents(|contents| damage(contents.blobs.get_mut(&id).unwrap()));
        device.copy.files(|files| damage(files.blobs.get_mut(&id).unwrap()));
        assert_eq!(vault.blob(id).await, Err(BlobTrouble::Damaged));
        assert_eq!(vault.blob(other).await, Ok(b"another photo".to_vec()));
        assert_eq!(vault.blob(BlobId::of(b"never kept")).await, Err(BlobTrouble::Missing));
        // A backup puts the damaged one right.
        let batch = Batch { records: Vec::new(), blobs: vec![photo(b"a photo")] };
        vault.restore(&batch).await.unwrap();
        assert_eq!(vault.blob(id).await, Ok(b"a photo".to_vec()));
    });
}

#[test]
fn a_photo_that_a_silent_storage_holds_is_not_called_damaged() {
    let device = Device::default();
    let id = device.keep_photo(&mut Writer::new(1), b"a photo");
    let silent = Fault { done: false, says: None };
    let vault = device.failing(&Faults::every(Call::Blob, silent.clone()), NoWait);
    assert_eq!(pollster::block_on(vault.blob(id)), Ok(b"a photo".to_vec()), "the second copy answers");
    device.copy.files(|files| files.blobs.clear());
    assert_eq!(pollster::block_on(vault.blob(id)), Err(BlobTrouble::Unread));
}

#[test]
fn settling_may_go_on_beside_everything_else() {
    for seed in 0..60 {
        let mut writer = Writer::new(1);
        let own = writer.records(3);
        let device = Device::with(&own);
        let (first, second, third) = (writer.record("first"), writer.record("second"), writer.record("third"));
        let other = Writer::new(2).records(200);
        let vault = device.failing(&Faults::late(seed), Never);
        pollster::block_on(async {
            vault.open().await.unwrap();
            let work = async {
                vault.append(&only(&first)).await.unwrap();
                let batch = Batch { records: vec![second.clone()], blobs: vec![photo(b"a photo")] };
                vault.append(&batch).await.unwrap();
                vault.restore(&records_only(&other)).await.unwrap();
                vault.append(&only(&third)).await.unwrap();
            };
            let works = std::cell::Cell::new(true);
            let work = async {
                work.await;
                works.set(false);
            };
            let settling = async {
                while works.get() {
                    let audits = seed % 2 == 0;
                    let notices = if audits { vault.audit().await } else { vault.settle().await };
                    assert_eq!(notices, [], "seed {seed}");
                    crate::store::faulty::one_turn().await;
                }
            };
            side_by_side(work, settling).await;
            assert_eq!(vault.settle().await, [], "seed {seed}");
            assert!(vault.has_second_copy());
        });
        let in_copy = crate::store::frames::scan(&device.copy.files(|files| files.frames.clone()));
        assert_eq!((in_copy.records.len(), in_copy.damaged.len()), (206, 0), "seed {seed}");
        let all = [own, vec![first, second, third], other].concat();
        assert_eq!(device.opened(), ready(&all), "seed {seed}");
    }
}

/// Runs two futures side by side until both have ended.
async fn side_by_side(one: impl Future<Output = ()>, other: impl Future<Output = ()>) {
    let (mut one, mut other) = (pin!(one), pin!(other));
    let (mut one_ended, mut other_ended) = (false, false);
    std::future::poll_fn(|context| {
        one_ended = one_ended || one.as_mut().poll(context).is_ready();
        other_ended = other_ended || other.as_mut().poll(context).is_ready();
        if one_ended && other_ended { Poll::Ready(()) } else { Poll::Pending }
    })
    .await;
}

#[test]
fn photos_reach_the_second_copy_later_too() {
    let mut writer = Writer::new(1);
    let device = Device::default();
    let id = device.keep_photo(&mut writer, b"a photo");
    device.copy.files(|files| files.blobs.clear());
    let vault = device.vault();
    pollster::block_on(async { (vault.open().await.unwrap(), vault.settle().await) });
    assert_eq!(device.copy.files(|files| files.blobs[&id].clone()), b"a photo");
}

#[test]
fn a_full_device_refuses_the_photo_and_still_takes_text() {
    let mut writer = Writer::new(1);
    let records = writer.records(RUN);
    let device = Device::with(&records);
    assert_eq!(device.first.contents(|contents| contents.packs.len()), 1);
    device.first.contents(|contents| {
        let used: usize = contents.records.values().chain(contents.packs.values()).map(Vec::len).sum();
        contents.room = Some(used + contents.reserve + 100);
    });
    pollster::block_on(async {
        let vault = device.vault();
        vault.open().await.unwrap();
        let with_photo = Batch { records: vec![writer.clone().record("a photo")], blobs: vec![photo(&[1; 2_000_000])] };
        assert_eq!(vault.append(&with_photo).await, Err(NotKept::Storage(StoreError::Full)));
        for _ in 0..1_000 {
            assert_eq!(vault.append(&records_only(&[writer.record("text")])).await, Ok(()));
        }
        vault.settle().await;
    });
    assert_eq!(device.opened().records.len() as u64, RUN + 1_000);
}

#[test]
fn on_a_full_device_the_reserve_is_for_words() {
    let mut writer = Writer::new(1);
    let device = Device::with(&writer.records(3));
    let reserve = device.first.contents(|contents| {
        let used: usize = contents.records.values().map(Vec::len).sum();
        contents.room = Some(used + contents.reserve);
        contents.reserve
    });
    assert!(reserve > 0, "a device with room holds a reserve");
    let with_photo = |writer: &Writer, byte| Batch {
        records: vec![writer.clone().record("a photo")],
        blobs: vec![photo(&[byte; 50_000])],
    };
    let refused = Err(NotKept::Storage(StoreError::Full));
    pollster::block_on(async {
        let vault = device.vault();
        vault.open().await.unwrap();
        assert_eq!(vault.append(&with_photo(&writer, 1)).await, refused, "there is no room");
        for _ in 0..1_000 {
            assert_eq!(vault.append(&records_only(&[writer.record("text")])).await, Ok(()));
        }
        assert_eq!(vault.append(&with_photo(&writer, 1)).await, refused, "what room there is belongs to words");
    });
    pollster::block_on(async {
        let vault = device.vault();
        vault.open().await.unwrap();
        vault.settle().await;
        assert_eq!(vault.append(&with_photo(&writer, 2)).await, refused, "also after a start");
        device.first.contents(|contents| contents.room = None);
        let taken = with_photo(&writer, 3);
        assert_eq!(vault.append(&taken).await, Ok(()));
        vault.settle().await;
        assert_eq!(device.first.contents(|contents| contents.reserve), reserve, "and the reserve is held again");
        assert!(device.copy.files(|files| files.blobs.contains_key(&taken.blobs[0].id)));
    });
}

#[test]
fn packs_make_the_start_short_and_are_harmless_when_damaged() {
    let mut writer = Writer::new(1);
    let records = writer.records(2 * RUN + 10);
    let device = Device::with(&records);
    let names =
        |device: &Device| device.first.contents(|contents| contents.packs.keys().map(|id| id.seq).collect::<Vec<_>>());
    assert_eq!(names(&device), [1, RUN + 1]);
    assert_eq!(device.opened(), ready(&records));
    let good = device.first.contents(|contents| contents.packs.clone());
    type Alter = dyn Fn(&mut BTreeMap<EventId, Vec<u8>>);
    let alter: [&Alter; 5] = [
        &|packs| packs.get_mut(&name(1)).unwrap()[500] ^= 1,
        &|packs| packs.get_mut(&name(RUN + 1)).unwrap()[500] ^= 1,
        &|packs| drop(packs.remove(&name(1))),
        &|packs| packs.get_mut(&name(RUN + 1)).unwrap().truncate(5_000),
        &|packs| {
            // A pack of another history, whole in itself, that does not join.
            let others = Writer::new(1).records_saying(2 * RUN, "other").split_off(RUN as usize);
            let linked: Vec<_> = others.iter().map(|record| (record, Link::of(record).unwrap())).collect();
            packs.insert(name(RUN + 1), packs::write(&linked).unwrap());
        },
    ];
    for (case, alter) in alter.iter().enumerate() {
        device.first.contents(|contents| {
            contents.packs = good.clone();
            alter(&mut contents.packs);
        });
        let vault = device.vault();
        let opened = pollster::block_on(vault.open()).unwrap();
        assert_eq!(opened, ready(&records), "case {case}");
        pollster::block_on(vault.settle());
        assert_eq!(device.first.contents(|contents| contents.packs.clone()), good, "case {case}");
    }
    // The records themselves damaged under a good pack: the pack is the third copy.
    device.first.contents(|contents| contents.records.retain(|id, _| id.seq > 50));
    device.copy.files(|files| files.frames.clear());
    assert_eq!(device.opened().records, records);
    assert_eq!(device.first_names().len(), records.len());
}

#[test]
fn a_page_that_only_looks_follows_the_writer() {
    let mut writer = Writer::new(1);
    let records = writer.records(3);
    let device = Device::with(&records);
    pollster::block_on(async {
        let (reading, writing) = (device.vault(), device.vault());
        assert_eq!(reading.look().await, Ok(records));
        writing.open().await.unwrap();
        let more = writer.records(2);
        writing.append(&records_only(&more)).await.unwrap();
        assert_eq!(reading.news().await, Ok(more));
        assert_eq!(reading.news().await, Ok(Vec::new()));
        let next = records_only(&writer.records(1));
        assert_eq!(reading.append(&next).await, Err(NotKept::ReadOnly));
    });
}

#[test]
fn a_look_for_a_document_leaves_the_vault_open() {
    let mut writer = Writer::new(1);
    let records = writer.records(3);
    let device = Device::with(&records);
    let vault = device.vault();
    pollster::block_on(async {
        vault.open().await.unwrap();
        assert_eq!(vault.look().await.as_ref(), Ok(&records));
        vault.append(&records_only(&writer.records(1))).await.unwrap();
        assert_eq!(vault.settle().await, []);
        assert!(vault.has_second_copy());
    });
    // Also while it is read-only, where saving what is left comes before bringing back a backup.
    device.first.contents(|contents| contents.records.clear());
    device.copy.files(|files| files.frames.clear());
    let vault = device.vault();
    pollster::block_on(async {
        assert_eq!(vault.open().await.unwrap().state, State::ReadOnly(vec![Trouble::AllGone]));
        assert_eq!(vault.look().await, Ok(Vec::new()));
        assert!(vault.restore(&records_only(&records)).await.is_ok());
    });
}

#[test]
fn another_writer_is_noticed_and_nothing_is_written_over() {
    let mut writer = Writer::new(1);
    let device = Device::with(&writer.records(3));
    let (mine, theirs) = (writer.clone().record("mine"), writer.record("theirs"));
    pollster::block_on(async {
        let (one, other) = (device.vault(), device.vault());
        one.open().await.unwrap();
        other.open().await.unwrap();
        other.append(&only(&theirs)).await.unwrap();
        assert_eq!(one.append(&records_only(&[mine])).await, Err(NotKept::Earlier(vec![theirs])));
        assert_eq!(one.append(&records_only(&[writer.record("next")])).await, Ok(()));
    });
    assert_eq!(device.first_names(), [1, 2, 3, 4, 5]);
}

#[test]
fn an_action_in_doubt_is_looked_up_before_the_next() {
    for done in [true, false] {
        for says in [None, Some(StoreError::Aborted), Some(StoreError::Lost)] {
            let mut writer = Writer::new(1);
            let device = Device::with(&writer.records(2));
            let first_tries = Rc::new(std::cell::Cell::new(0));
            let fault = Fault { done, says };
            let plan = move |call, _| {
                let fails = call == Call::Append && first_tries.get() < 3;
                first_tries.set(first_tries.get() + u32::from(call == Call::Append));
                fails.then(|| fault.clone())
            };
            let vault = device.failing(&Faults::new(plan), NoWait);
            let (doubtful, other) = (writer.clone().record("doubtful"), writer.record("other"));
            pollster::block_on(async {
                vault.open().await.unwrap();
                let result = vault.append(&only(&doubtful)).await;
                assert!(matches!(result, Err(NotKept::InDoubt(_))), "{result:?}");
                if done {
                    let earlier = Err(NotKept::Earlier(vec![doubtful.clone()]));
                    assert_eq!(vault.append(&records_only(&[other])).await, earlier);
                } else {
                    assert_eq!(vault.append(&records_only(&[doubtful])).await, Ok(()));
                }
                assert_eq!(vault.settle().await, []);
            });
            assert_eq!(device.first_names(), [1, 2, 3]);
            assert_eq!(device.opened().notices, []);
        }
    }
}

#[test]
fn an_action_under_way_when_the_page_died_is_kept_once_or_reported() {
    let mut writer = Writer::new(1);
    let records = writer.records(2);
    let next = writer.record("under way");
    let under_way = format!("quaywright-under-way 1\n{}", String::from_utf8(next.bytes.clone()).unwrap());
    let device = Device::with(&records);
    let note = |text: &str| device.notes.texts(|texts| texts.insert(Note::UnderWay, text.to_owned()));
    note(&under_way);
    let all = [records.as_slice(), std::slice::from_ref(&next)].concat();
    let late = Notice::KeptLate(vec![next.clone()]);
    assert_eq!(device.opened(), Opened { notices: vec![late], ..ready(&all) });
    // Once kept it is not offered again, even when the note stayed.
    note(&under_way);
    assert_eq!(device.opened(), ready(&all));
    assert_eq!(device.opened(), ready(&all));
    // What does not fit any more is reported, with its contents.
    let other = Writer::new(1).records_saying(3, "other").remove(2);
    note(&format!("quaywright-under-way 1\n{}", String::from_utf8(other.bytes.clone()).unwrap()));
    assert_eq!(device.opened(), Opened { notices: vec![Notice::NotKept(vec![other])], ..ready(&all) });
    // A record whose photo died with the page would point at nothing.
    let with_photo = writer.record("with a photo");
    let gone = BlobId::of(b"gone");
    note(&format!("quaywright-under-way 1 {gone}\n{}", String::from_utf8(with_photo.bytes.clone()).unwrap()));
    assert_eq!(device.opened(), Opened { notices: vec![Notice::NotKept(vec![with_photo])], ..ready(&all) });
    for foreign in ["", "quaywright-under-way 2\nx", "quaywright-under-way 1\nx", "quaywright-under-way 1 xyz"] {
        note(foreign);
        assert_eq!(device.opened(), ready(&all), "{foreign}");
    }
}

/// Every way in which one call can fail.
fn every_fault() -> Vec<Fault> {
    let errors =
        [StoreError::Aborted, StoreError::Lost, StoreError::Full, StoreError::Other("UnknownError".to_owned())];
    let says = errors.into_iter().map(Some).chain([None]);
    says.flat_map(|says| [true, false].map(|done| Fault { done, says: says.clone() })).collect()
}

/// The actions of which a session was told that they are kept.
type Told = Vec<Kept>;

/// A day: open, five actions one of which has a photo, settled in between, each
/// tried again once when it was not kept.
async fn a_day<Clock: Timer>(vault: &TestVault<Clock>, writer: &mut Writer, told: &RefCell<Told>) {
    let Ok(opened) = vault.open().await else { return };
    if opened.state != State::Ready {
        return;
    }
    for action in 0..5 {
        let mut after = writer.clone();
        let record = after.record(&format!("action {action}"));
        let blobs = if action == 2 { vec![photo(b"the photo of action 2")] } else { Vec::new() };
        let batch = Batch { records: vec![record.clone()], blobs };
        let mut result = vault.append(&batch).await;
        if result.is_err() {
            result = vault.append(&batch).await;
        }
        if result.is_ok() {
            told.borrow_mut().push(record);
            *writer = after;
        }
        vault.settle().await;
    }
}

/// Checks, on a device without faults, that what was told is true.
fn check_after(device: &Device, before: &[Kept], told: &[Kept], case: &str) {
    pollster::block_on(async {
        let vault = device.vault();
        let opened = vault.open().await.unwrap();
        assert_eq!(opened.state, State::Ready, "{case}");
        let expected = [before, told].concat();
        assert!(opened.records.len() >= expected.len(), "lost: {case}");
        assert_eq!(opened.records[..expected.len()], expected, "{case}");
        // At most the one action that was in doubt, never one twice.
        assert!(opened.records.len() <= expected.len() + 1, "{case}");
        let is_photo = |record: &Kept| String::from_utf8_lossy(&record.bytes).contains("action 2");
        if opened.records.iter().any(is_photo) {
            let id = BlobId::of(b"the photo of action 2");
            assert_eq!(vault.blob(id).await, Ok(b"the photo of action 2".to_vec()), "{case}");
        }
        let notices = vault.settle().await;
        assert!(notices.iter().all(|notice| matches!(notice, Notice::PhotosHealed(_))), "{notices:?}, {case}");
        // A start compares the ends; damage in the middle of the second copy is the audit's.
        let notices = vault.audit().await;
        assert!(notices.iter().all(|notice| matches!(notice, Notice::CopyHealed(_))), "{notices:?}, {case}");
        assert_eq!(vault.audit().await, [], "{case}");
        assert!(vault.has_second_copy(), "{case}");
        let again = device.vault().open().await.unwrap();
        assert_eq!((again.records, again.state), (opened.records.clone(), State::Ready), "{case}");
        // Nothing is left to heal; an action whose photo died with the page is told until the next one.
        assert!(again.notices.iter().all(|notice| matches!(notice, Notice::NotKept(_))), "{case}");
        let in_copy = crate::store::frames::scan(&device.copy.files(|files| files.frames.clone()));
        assert_eq!(in_copy.records.len(), opened.records.len(), "{case}");
    });
}

/// The states that a day may begin in.
fn beginnings() -> [(&'static str, Device, Vec<Kept>); 4] {
    let records = Writer::new(1).records(5);
    let (emptied, torn, behind) = (Device::with(&records), Device::with(&records), Device::with(&records));
    emptied.lose_first(None);
    torn.truncate_first(3);
    torn.copy.files(|files| {
        files.frames[30] ^= 1;
    });
    behind.copy.files(|files| files.frames.clear());
    [
        ("a whole device", Device::with(&records), records.clone()),
        ("an emptied first place", emptied, records.clone()),
        ("damage to both", torn, records.clone()),
        ("no second copy yet", behind, records),
    ]
}

fn copy_of(device: &Device) -> Device {
    let copy = Device::default();
    copy.first.contents(|contents| *contents = device.first.contents(|contents| contents.clone()));
    copy.copy.files(|files| *files = device.copy.files(|files| files.clone()));
    copy.notes.texts(|texts| *texts = device.notes.texts(|texts| texts.clone()));
    copy
}

fn writer_after(records: usize) -> Writer {
    let mut writer = Writer::new(1);
    writer.records(records as u64);
    writer
}

#[test]
fn any_one_call_may_fail_in_any_way() {
    for (beginning, device, records) in beginnings() {
        let mut call = 0;
        loop {
            let mut reached = false;
            for fault in every_fault() {
                let device = copy_of(&device);
                let faults = Faults::at(call, fault.clone());
                let told = RefCell::default();
                pollster::block_on(a_day(&device.failing(&faults, NoWait), &mut writer_after(records.len()), &told));
                reached |= faults.made().len() > call;
                device.first.contents(|contents| contents.found = Found::default());
                let failed = faults.made().get(call).copied();
                check_after(
                    &device,
                    &records,
                    &told.into_inner(),
                    &format!("{beginning}, call {call} {failed:?}: {fault:?}"),
                );
            }
            if !reached {
                break;
            }
            call += 1;
        }
        assert!(call > 20, "the day makes many calls");
    }
}

/// A timer that never rings: the page dies first. A pause is no alarm.
struct Never;

impl Timer for Never {
    async fn wait(&self, length: Length) {
        if length > Length::ZERO {
            std::future::pending().await
        }
    }
}

#[test]
fn the_page_may_die_at_any_call() {
    for (beginning, device, records) in beginnings() {
        let mut call = 0;
        loop {
            let mut reached = false;
            for done in [true, false] {
                let device = copy_of(&device);
                let faults = Faults::at(call, Fault { done, says: None });
                let (told, mut writer) = (RefCell::default(), writer_after(records.len()));
                let vault = device.failing(&faults, Never);
                let died = {
                    let mut day = pin!(a_day(&vault, &mut writer, &told));
                    day.as_mut().poll(&mut Context::from_waker(Waker::noop())) == Poll::Pending
                };
                reached |= died;
                device.first.contents(|contents| contents.found = Found::default());
                check_after(
                    &device,
                    &records,
                    &told.into_inner(),
                    &format!("{beginning}, died at call {call}, done {done}"),
                );
            }
            if !reached {
                break;
            }
            call += 1;
        }
        assert!(call > 20, "the day makes many calls");
    }
}

#[test]
fn a_call_that_always_fails_ends_visibly() {
    for (call, is_kept) in
        [(Call::Append, false), (Call::WriteNote, true), (Call::CopyWrite, true), (Call::PutPack, true)]
    {
        for fault in every_fault() {
            let records = Writer::new(1).records(2);
            let device = Device::with(&records);
            let mut writer = writer_after(2);
            pollster::block_on(async {
                let vault = device.failing(&Faults::every(call, fault.clone()), NoWait);
                vault.open().await.unwrap();
                let result = vault.append(&records_only(&[writer.record("next")])).await;
                assert_eq!(result.is_ok(), is_kept, "{call:?} {fault:?}");
                let notices = vault.settle().await;
                let is_told = notices.iter().any(super::after::is_unfinished);
                // A second copy that says no and yet has it is found level.
                let fails = call == Call::WriteNote || call == Call::CopyWrite && !fault.done;
                assert_eq!(is_told, fails, "{call:?} {fault:?} {notices:?}");
            });
        }
    }
    let device = Device::with(&Writer::new(1).records(2));
    let silent = Fault { done: false, says: None };
    for call in [Call::Found, Call::Records] {
        let vault = device.failing(&Faults::every(call, silent.clone()), NoWait);
        assert_eq!(pollster::block_on(vault.open()), Err(StoreError::Silent));
    }
}

#[test]
fn what_is_missing_is_known_by_number() {
    let records = Writer::new(1).records(9);
    let device = Device::with(&records);
    device.first.contents(|contents| contents.records.retain(|id, _| ![4, 5, 8].contains(&id.seq)));
    device.copy.files(|files| files.frames.clear());
    let gone = |from, to| Trouble::Missing { device: device_id(1), from, to };
    let opened = device.opened();
    assert_eq!(opened.state, State::ReadOnly(vec![gone(4, 5), gone(8, 8)]));
    let gaps = [(4, 5), (8, 8)].map(|(from, to)| Notice::Gap { device: device_id(1), from, to });
    assert!(gaps.iter().all(|gap| opened.notices.contains(gap)));
}

#[test]
fn the_entry_that_a_backup_left_asks_for_no_word() {
    // The backup holds 5 records; that it left is the 6th, and perhaps there is work after it.
    for (after, state) in
        [(0, State::Ready), (2, State::ReadOnly(vec![Trouble::Missing { device: device_id(1), from: 6, to: 8 }]))]
    {
        let mut writer = Writer::new(1);
        let (backup, rest) = (writer.records(5), writer.records(1 + after));
        let device = Device::with(&backup);
        pollster::block_on(async {
            let vault = device.vault();
            vault.open().await.unwrap();
            vault.append(&only(&rest[0])).await.unwrap();
            vault.note_told(rest[0].id);
            vault.settle().await;
            for record in &rest[1..] {
                vault.append(&only(record)).await.unwrap();
            }
            vault.settle().await;
        });
        device.lose_first(None);
        device.copy.files(|files| files.frames.clear());
        pollster::block_on(async {
            let vault = device.vault();
            assert_eq!(vault.open().await.unwrap().state, State::ReadOnly(vec![Trouble::AllGone]));
            let opened = vault.restore(&records_only(&backup)).await.unwrap();
            assert_eq!(opened.state, state);
            assert_eq!(opened.notices.contains(&Notice::BackupUntold), after == 0);
            // The number of the entry never comes twice.
            assert_eq!(vault.is_closed(device_id(1)), after == 0);
            vault.settle().await;
        });
        assert_eq!(device.opened().state, state, "and so at the next start");
    }
}

#[test]
fn one_is_told_as_one() {
    let gone = |from, to| Trouble::Missing { device: device_id(1), from, to }.to_string();
    let backup = "bring back a backup, or carry on without";
    assert_eq!(gone(5, 5), format!("record 5 of device 0101010101010101 is gone: {backup} it"));
    assert_eq!(gone(5, 6), format!("records 5 to 6 of device 0101010101010101 are gone: {backup} them"));
    let healed = |count| Notice::RecordsHealed(count).to_string();
    assert_eq!(healed(1), "1 record was damaged or gone, and restored from the second copy");
    assert_eq!(healed(2), "2 records were damaged or gone, and restored from the second copy");
}
