//! What every store must do, told once and held against each.
//!
//! It is a test that other crates call: it expects an empty store, leaves it filled,
//! and panics at the first promise that is broken.

#![allow(clippy::unwrap_used, reason = "a test that other crates call")]

use quaywright_core::id::{BlobId, DeviceId, EventId, Hash};

use super::{Aside, Derived, FileTaken, News, Store};

fn id(device: u8, seq: u64) -> EventId {
    EventId { device: DeviceId::new([device; 8]), seq }
}

/// Returns a file of that name with these records: device, number, line.
pub fn file(name: &str, records: &[(u8, u64, &str)]) -> FileTaken {
    let record =
        |&(device, seq, line): &(u8, u64, &str)| (id(device, seq), Hash::of(line.as_bytes()), line.as_bytes().to_vec());
    FileTaken {
        file: Hash::of(name.as_bytes()),
        name: name.to_owned(),
        devices: records.iter().map(|&(device, ..)| id(device, 1).device).collect(),
        records: records.iter().map(record).collect(),
        names: Vec::new(),
        photos: Vec::new(),
        faults: Vec::new(),
    }
}

/// Returns every line in a store, each after its technician and name.
///
/// # Panics
/// When the store does not tell them.
pub fn lines(store: &mut dyn Store) -> Vec<String> {
    let mut lines = Vec::new();
    for (device, name) in store.devices().unwrap() {
        let name = name.unwrap_or_default();
        let mut take = |id: EventId, line: &[u8]| lines.push(format!("{name}{id} {}", String::from_utf8_lossy(line)));
        store.records_of(device, &mut take).unwrap();
    }
    lines
}

/// Returns the news of so many files and photos, and of these records.
fn news(files: usize, records: &[(u8, u64)], photos: usize) -> News {
    News { files, records: records.iter().map(|&(device, seq)| id(device, seq)).collect(), photos }
}

/// Holds a store, that has to be empty, against what keeping must promise.
///
/// # Panics
/// At the first promise that is broken.
pub fn contract(store: &mut dyn Store) {
    // Files are taken in once, whatever their order.
    let first = file("first", &[(2, 1, "c"), (1, 1, "a"), (1, 2, "b")]);
    let photo = (BlobId::of(b"photo"), b"photo".to_vec());
    let second = FileTaken {
        photos: vec![photo],
        faults: vec!["record 3\nwas altered".to_owned(), "cut".to_owned()],
        ..file("second", &[(1, 2, "b"), (1, 3, "d")])
    };
    assert_eq!(store.faults_of(first.file).unwrap(), None);
    assert_eq!(store.take_in(&[first, second]).unwrap(), news(2, &[(1, 1), (1, 2), (1, 3), (2, 1)], 1));
    assert_eq!(store.photo(BlobId::of(b"photo")).unwrap().as_deref(), Some(b"photo".as_slice()));
    assert_eq!(store.photo(BlobId::of(b"other")).unwrap(), None);
    let second = Hash::of(b"second");
    assert_eq!(store.faults_of(second).unwrap().unwrap(), ["record 3 was altered", "cut"]);
    let again = [file("first", &[(2, 1, "c"), (1, 1, "a"), (1, 2, "b")])];
    assert_eq!(store.take_in(&again).unwrap(), News::default());
    // Two lines of one name are both kept.
    assert_eq!(store.take_in(&[file("rival", &[(1, 2, "B")])]).unwrap(), news(1, &[(1, 2)], 0));
    let all = lines(store);
    assert_eq!(all.len(), 5);
    assert!(all.is_sorted_by_key(|line| line.split(' ').next().map(str::to_owned)), "{all:?}");
    assert_eq!(store.files().unwrap().len(), 3);
    // Each line that came in is counted, so that what was worked out before it is known to be old.
    let heard: Vec<_> = store.heard().unwrap().into_iter().collect();
    assert_eq!(heard, [(id(1, 1).device, 4), (id(2, 1).device, 1)]);
    // The last word on who works there counts.
    let name = |seq: u64, name: &str| (id(1, seq), Hash::of(name.as_bytes()), name.to_owned());
    let named = FileTaken { names: vec![name(7, "B."), name(2, "A.")], ..file("named", &[]) };
    store.take_in(&[named]).unwrap();
    let names: Vec<_> = store.devices().unwrap().into_iter().map(|(_, name)| name).collect();
    assert_eq!(names, [Some("B.".to_owned()), None]);
    let (one, other) = (id(1, 1).device, id(2, 1).device);
    assert_eq!(store.together().unwrap(), [(one, other), (other, one)]);

    // What was set aside comes back as it was, until it is taken in.
    let newer = || Aside { file: Hash::of(b"newer"), name: "newer.html".to_owned(), bytes: vec![0, 255, 7] };
    store.set_aside(&newer()).unwrap();
    store.set_aside(&newer()).unwrap();
    assert_eq!(store.aside().unwrap(), [(newer().file, "newer.html".to_owned())]);
    assert_eq!(store.brought_back(newer().file).unwrap().unwrap().bytes, [0, 255, 7]);
    assert!(store.brought_back(second).unwrap().is_none());
    store.take_in(&[file("newer", &[])]).unwrap();
    assert_eq!(store.aside().unwrap(), []);

    // Columns are kept by name, the last ones count.
    assert_eq!(store.columns("ledger").unwrap(), None);
    store.keep_columns("ledger", "a=net").unwrap();
    store.keep_columns("ledger", "b=net").unwrap();
    assert_eq!(store.columns("ledger").unwrap().as_deref(), Some("b=net"));

    // What was worked out is kept by name, the last counts.
    let derived = |stamp: &str| Derived { name: "hours".to_owned(), stamp: stamp.to_owned(), bytes: vec![0, 7] };
    store.keep_derived(&derived("1")).unwrap();
    store.keep_derived(&derived("2")).unwrap();
    assert_eq!(store.derived("hours").unwrap(), Some(derived("2")));
    assert_eq!(store.derived("words").unwrap(), None);

    // Exports are numbered, each once, and know whether they were written.
    assert!(store.exported(None).unwrap().is_none());
    let line = |key: &str, form: &str| (key.to_owned(), form.to_owned());
    assert_eq!(store.export(0, b"file", &[line("k1", "f1"), line("k2", "f2")]).unwrap(), Some(1));
    assert_eq!(store.export(0, b"file", &[line("k1", "f1")]).unwrap(), None, "another export came in between");
    let export = store.exported(None).unwrap().unwrap();
    assert_eq!((export.number, export.file.as_slice(), export.written), (1, &b"file"[..], false));
    store.written(1).unwrap();
    assert_eq!(store.export(1, b"next", &[line("k1", "f3")]).unwrap(), Some(2));
    assert!(store.exported(Some(1)).unwrap().unwrap().written);
    assert!(!store.exported(None).unwrap().unwrap().written);
    assert!(store.exported(Some(3)).unwrap().is_none());
    let sent: Vec<_> = store.sent().unwrap().into_iter().map(|sent| (sent.key, sent.export, sent.form)).collect();
    let sent: Vec<_> = sent.iter().map(|(key, export, form)| (key.as_str(), *export, form.as_str())).collect();
    assert_eq!(sent, [("k1", 1, "f1"), ("k2", 1, "f2"), ("k1", 2, "f3")]);
}
