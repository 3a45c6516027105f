//! The quick way comes to what the usual one comes to, whatever came before and whatever was done to a file.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;

use super::{Cut, Milestone, cut};
use crate::book::Book;
use crate::event::{About, Event};
use crate::exchange::bundle;
use crate::exchange::intake::{Intake, IntakeError, Known, take, take_knowing};
use crate::exchange::line::seal;
use crate::exchange::pieces::assemble;
use crate::id::{DeviceId, Hash};
use crate::log::Tip;
use crate::moment::Moment;
use crate::sheet::{LogHead, day_sheet};
use crate::text::Prose;

/// Knows what it was given.
#[derive(Default)]
struct Desk {
    lines: BTreeSet<Hash>,
    milestones: BTreeMap<DeviceId, BTreeMap<usize, Milestone>>,
    /// How many files were read in the quick way.
    quick: RefCell<usize>,
}

impl Known for Desk {
    fn has(&self, hash: &Hash) -> bool {
        self.lines.contains(hash)
    }

    fn cut(&self, json: &[u8]) -> Option<(Cut, Intake)> {
        let of = |device| self.milestones.get(&device).map_or(Vec::new(), |of| of.values().cloned().collect());
        let done = cut(json, self, of);
        *self.quick.borrow_mut() += usize::from(done.is_some());
        done
    }
}

impl Desk {
    fn learn(&mut self, intake: &Intake) {
        self.lines.extend(intake.records.iter().map(|(_, sealed)| sealed.hash));
        for milestone in &intake.milestones {
            let of = self.milestones.entry(milestone.devices[0]).or_default();
            of.insert(milestone.length, milestone.clone());
        }
    }

    /// Reads a file in both ways and holds them together.
    fn reads(&mut self, file: &[u8]) -> Result<Option<Intake>, TestCaseError> {
        let (usual, quick) = match (take(file), take_knowing(file, self)) {
            (Ok(usual), Ok(quick)) => (usual, quick),
            (usual, quick) => {
                prop_assert_eq!(usual.map(|_| ()), quick.map(|_| ()));
                return Ok(None);
            }
        };
        prop_assert_eq!(&usual.faults, &quick.faults);
        prop_assert_eq!(&usual.blobs, &quick.blobs);
        let (known, new): (Vec<_>, Vec<_>) = usual.records.into_iter().partition(|(_, sealed)| self.has(&sealed.hash));
        let known: BTreeSet<DeviceId> = known.iter().map(|(_, sealed)| sealed.record.id.device).collect();
        prop_assert_eq!(&new, &quick.records);
        prop_assert_eq!(&known, &quick.known);
        self.learn(&quick);
        Ok(Some(quick))
    }
}

fn now() -> Moment {
    Moment::parse("2026-05-04T08:00:00+01:00").unwrap()
}

/// Returns so many record lines; every seventh is of a second phone.
fn lines(count: usize) -> Vec<Vec<u8>> {
    let mut tips = [7, 9].map(|nth| Tip::fresh(DeviceId::new([nth; 8])));
    let mut say = |nth: usize| {
        let tip = &mut tips[usize::from(nth % 7 == 6)];
        let words = ["", "</script>", "\"quoted\" \\ back", "one\ntwo\ttabs", "مرحبا 🛶", "plain", "&amp;"][nth % 7];
        let text = Prose::new(&format!("note {nth}: {words}{}", "x".repeat(nth % 5 * 300)));
        let (line, sealed) = seal(tip.record(now(), Event::NoteWritten { about: About::Day, text }));
        tip.advance(&sealed);
        line
    };
    (0..count).map(&mut say).collect()
}

fn file(lines: &[Vec<u8>], as_page: bool) -> Vec<u8> {
    let head = LogHead::from(&Tip::fresh(DeviceId::new([7; 8])));
    let sheet = day_sheet(&Book::default(), now().day(), now(), head);
    let lines = lines.iter().map(Vec::as_slice);
    let pieces = if as_page { bundle::page(&sheet, lines) } else { bundle::json(&sheet, lines) };
    assemble(&pieces, |_| None)
}

/// What is done to a file.
#[derive(Clone, Debug)]
enum Harm {
    None,
    Flip(prop::sample::Index, u8),
    Cut(prop::sample::Index),
    Twice(prop::sample::Index),
    Put(prop::sample::Index, &'static str),
}

fn harm() -> impl Strategy<Value = Harm> {
    let index = any::<prop::sample::Index>;
    prop_oneof![
        4 => Just(Harm::None),
        2 => (index(), 0..8_u8).prop_map(|(at, bit)| Harm::Flip(at, bit)),
        1 => index().prop_map(Harm::Cut),
        1 => index().prop_map(Harm::Twice),
        1 => (index(), prop::sample::select(vec![" ", "\n", ",", "\"", "]", "\\", "\\u003c", "\\n", "<"]))
            .prop_map(|(at, text)| Harm::Put(at, text)),
    ]
}

fn harmed(mut file: Vec<u8>, harm: &Harm) -> Vec<u8> {
    match harm {
        Harm::None => {}
        Harm::Flip(at, bit) => *at.get_mut(&mut file) ^= 1 << bit,
        Harm::Cut(at) => file.truncate(at.index(file.len())),
        Harm::Twice(at) => {
            let at = at.index(file.len());
            file.extend_from_within(at..);
        }
        Harm::Put(at, text) => {
            let at = at.index(file.len());
            file.splice(at..at, text.bytes());
        }
    }
    file
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn files_come_to_the_same_in_any_order_and_with_any_damage(
        files in prop::collection::vec((0..240_usize, any::<bool>(), harm()), 1..8)
    ) {
        let lines = lines(240);
        let mut desk = Desk::default();
        for (count, as_page, harm) in files {
            desk.reads(&harmed(file(&lines[..count], as_page), &harm))?;
        }
    }
}

#[test]
fn the_next_day_is_read_in_the_quick_way_and_only_what_is_new_of_it() {
    let lines = lines(400);
    let mut desk = Desk::default();
    for (nth, count) in [100, 150, 400, 260, 90].into_iter().enumerate() {
        let taken = desk.reads(&file(&lines[..count], false)).unwrap().unwrap();
        assert_eq!(taken.faults, []);
        assert_eq!(*desk.quick.borrow(), nth + 1);
        let last = taken.milestones.last().map(|milestone| milestone.length);
        assert!(last.is_some(), "{count} records");
    }
    let again = take_knowing(&file(&lines[..150], false), &desk).unwrap();
    assert_eq!((again.records.len(), again.milestones, again.known.len()), (0, Vec::new(), 2));
}

#[test]
fn a_list_of_records_elsewhere_is_not_taken_for_the_files_own() {
    let lines = lines(20);
    let plain = String::from_utf8(file(&lines, false)).unwrap();
    let list = plain.split_once(r#","records":"#).unwrap().1.split_once(r#","photos""#).unwrap().0;
    let other = String::from_utf8(file(&lines[..3], false)).unwrap();
    let mut desk = Desk::default();
    desk.reads(plain.as_bytes()).unwrap();
    for own in ["[\"cut\"]", "[]", list] {
        // A summary may have fields that nobody knows.
        let nested = plain.replacen(r#""summary":{"#, &format!(r#""summary":{{"more":0,"records":{list},"#), 1);
        let forged = nested.replacen(&format!(r#"],"records":{list}"#), &format!(r#"],"records":{own}"#), 1);
        for file in [nested.as_str(), &forged, &forged.replacen(list, "[\"cut\"]", 1)] {
            desk.reads(file.as_bytes()).unwrap();
            Desk::default().reads(file.as_bytes()).unwrap();
        }
    }
    assert!(desk.reads(other.as_bytes()).unwrap().unwrap().records.is_empty());
}

#[test]
fn a_newer_programs_file_is_refused_whole() {
    let newer = String::from_utf8(file(&lines(9), false)).unwrap().replacen(r#""v":1"#, r#""v":9"#, 1);
    let mut desk = Desk::default();
    desk.reads(&file(&lines(9), false)).unwrap();
    assert_eq!(take_knowing(newer.as_bytes(), &desk), Err(IntakeError::Newer { version: 9 }));
}
