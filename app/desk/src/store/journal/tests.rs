//! The journal held against the contract, and killed at every byte.

use std::cell::RefCell;
use std::rc::Rc;

use super::*;
use crate::store::contract::{contract, file, lines};

/// A file in memory that dies after so many written bytes.
#[derive(Clone, Default)]
struct Disk {
    bytes: Rc<RefCell<Vec<u8>>>,
    left: Rc<RefCell<Option<usize>>>,
}

impl Disk {
    fn beside(&self) -> Self {
        Self { bytes: Rc::default(), left: self.left.clone() }
    }

    /// The same bytes after the machine has started again.
    fn again(&self) -> Self {
        Self { bytes: Rc::new(RefCell::new(self.bytes.borrow().clone())), left: Rc::default() }
    }
}

impl Medium for Disk {
    fn length(&mut self) -> Result<u64, String> {
        Ok(self.bytes.borrow().len() as u64)
    }

    fn read(&mut self, at: u64, length: usize) -> Result<Vec<u8>, String> {
        let bytes = self.bytes.borrow();
        let at = (at as usize).min(bytes.len());
        Ok(bytes[at..bytes.len().min(at.saturating_add(length))].to_vec())
    }

    fn write(&mut self, at: u64, bytes: &[u8]) -> Result<(), String> {
        let mut left = self.left.borrow_mut();
        let (mut kept, at) = (self.bytes.borrow_mut(), at as usize);
        let count = left.map_or(bytes.len(), |left| left.min(bytes.len()));
        if left.is_some_and(|left| left == 0) {
            return Err("dead".to_owned());
        }
        // What dies half way has not yet cut the file off behind.
        let end = at + count;
        if kept.len() < end {
            kept.resize(end, 0);
        }
        kept[at..end].copy_from_slice(&bytes[..count]);
        if let Some(left) = left.as_mut() {
            *left -= count;
            if *left == 0 {
                return Err("dead".to_owned());
            }
        }
        kept.truncate(end);
        Ok(())
    }
}

fn opened(disk: &Disk, photos: &Disk) -> Journal<Disk> {
    Journal::open(disk.clone(), photos.clone()).unwrap()
}

#[test]
fn keeps_the_contract_and_finds_it_all_again() {
    let (disk, photos) = (Disk::default(), Disk::default());
    contract(&mut opened(&disk, &photos));
    let mut again = opened(&disk.again(), &photos.again());
    assert_eq!(lines(&mut again).len(), 5);
    assert_eq!(again.sent().unwrap().len(), 3);
    assert_eq!(again.columns("ledger").unwrap().as_deref(), Some("b=net"));
    let blob = BlobId::of(b"photo");
    assert_eq!(again.photo(blob).unwrap().as_deref(), Some(&b"photo"[..]));
    assert_eq!(again.photo(BlobId::of(b"other")).unwrap(), None);
    assert_eq!(again.derived("hours").unwrap(), None, "what was worked out is worked out anew");
    // What comes after goes on from there.
    assert_eq!(again.export(2, b"more", &[]).unwrap(), Some(3));
}

#[test]
fn a_text_is_kept_by_its_name_and_the_same_again_writes_nothing() {
    let (disk, photos) = (Disk::default(), Disk::default());
    let mut journal = opened(&disk, &photos);
    journal.keep_text("prices", "{}").unwrap();
    let length = disk.bytes.borrow().len();
    journal.keep_text("prices", "{}").unwrap();
    assert_eq!(disk.bytes.borrow().len(), length);
    journal.keep_text("prices", "{ }").unwrap();
    assert_eq!(opened(&disk, &photos).text("prices"), Some("{ }"));
}

/// What a person does in a few days: so many steps, each told done or not.
fn step(journal: &mut Journal<Disk>, nth: usize) -> Result<(), StoreError> {
    let photo = |bytes: &[u8]| vec![(BlobId::of(bytes), bytes.to_vec())];
    match nth {
        0 => journal
            .take_in(&[FileTaken { photos: photo(b"one"), ..file("first", &[(1, 1, "a"), (2, 1, "b")]) }])
            .map(drop),
        1 => journal.set_aside(&Aside { file: Hash::of(b"n"), name: "newer".to_owned(), bytes: vec![0xf5; 9] }),
        2 => journal.keep_columns("ledger", "a=net"),
        3 => journal.export(0, b"table", &[("k".to_owned(), "f".to_owned())]).map(drop),
        4 => journal.written(1),
        _ => journal.take_in(&[FileTaken { photos: photo(b"two"), ..file("second", &[(1, 2, "c")]) }]).map(drop),
    }
}

const STEPS: usize = 6;

/// Returns all that a store tells.
fn all(journal: &mut Journal<Disk>) -> String {
    let photos = [&b"one"[..], b"two"].map(|bytes| journal.photo(BlobId::of(bytes)).unwrap());
    let told = (lines(journal), journal.files(), journal.aside(), journal.columns("ledger"), journal.sent());
    format!("{:?} {:?} {:?}", told, journal.exported(None), photos)
}

#[test]
fn killed_at_any_byte_it_is_as_after_a_step_and_what_was_told_kept_is_there() {
    // What it is after each step.
    let after: Vec<String> = (0..=STEPS)
        .map(|count| {
            let mut journal = opened(&Disk::default(), &Disk::default());
            (0..count).for_each(|nth| step(&mut journal, nth).unwrap());
            all(&mut journal)
        })
        .collect();
    let mut budget = 1;
    loop {
        let disk = Disk::default();
        *disk.left.borrow_mut() = Some(budget);
        let photos = disk.beside();
        let mut journal = opened(&disk, &photos);
        let told = (0..STEPS).take_while(|&nth| step(&mut journal, nth).is_ok()).count();
        let mut again = opened(&disk.again(), &photos.again());
        let is = all(&mut again);
        // The last byte may be there though nobody was told so.
        let is_whole = is == after[told] || after.get(told + 1).is_some_and(|next| is == *next);
        assert!(is_whole, "{budget} bytes, {told} steps told: {is}");
        // What was not done is done now, and comes to the same.
        (told..STEPS).for_each(|nth| step(&mut again, nth).unwrap());
        assert_eq!(all(&mut again), after[STEPS], "{budget} bytes");
        let (disk, photos) = (again.log.again(), again.photos.again());
        assert_eq!(all(&mut opened(&disk, &photos)), after[STEPS], "{budget} bytes, opened again");
        if told == STEPS {
            break;
        }
        budget += 1;
    }
    assert!(budget > 900, "{budget} bytes were written");
}

#[test]
fn any_damage_before_the_end_is_told_and_changes_nothing() {
    let (disk, photos) = (Disk::default(), Disk::default());
    let mut journal = opened(&disk, &photos);
    (0..STEPS).for_each(|nth| step(&mut journal, nth).unwrap());
    let (whole, expected) = (disk.bytes.borrow().clone(), all(&mut journal));
    let last = frames::scan(&whole).records.last().map(|record| record.bytes.len() + 24 + frames::TAIL).unwrap();
    for at in (0..whole.len()).step_by(7) {
        let damaged = disk.again();
        damaged.bytes.borrow_mut()[at] ^= 0x40;
        let before = damaged.bytes.borrow().clone();
        match Journal::open(damaged.clone(), photos.clone()) {
            Err(NotOpened { why: StoreError::Spoilt, log, photos: beside }) => {
                assert_eq!(*log.bytes.borrow(), before, "byte {at}");
                assert_eq!(*beside.bytes.borrow(), *photos.bytes.borrow(), "byte {at}");
            }
            // Damage of the last frame looks like the torn end that a kill leaves.
            Ok(mut journal) => {
                assert!(at >= whole.len() - last && all(&mut journal) != expected, "byte {at}");
            }
            Err(other) => panic!("byte {at}: {other:?}"),
        }
    }
}

#[test]
fn a_change_by_a_newer_program_is_left_alone() {
    for bytes in
        [&[9_u8][..], &[], &[3, 1], &[5, 0, 0, 0, 0, 0, 0, 0, 0, 1], &[1, 255, 255, 255, 255, 255, 255, 255, 255]]
    {
        assert!(matches!(Change::read(bytes), Err(StoreError::Newer(2))), "{bytes:?}");
    }
}
