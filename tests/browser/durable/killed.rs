//! The battery goes flat, or the page's process dies, in the middle of work.
//!
//! Rule: what was acknowledged is there afterwards, and once; by which of the two
//! copies is no matter. The engine's own database goes on after a write that a
//! kill cut short, and empties itself at a later start because its log looks
//! damaged then: about once in some hundred kills. The second copy heals that, and
//! says so.

use std::collections::BTreeSet;
use std::thread::sleep;
use std::time::Duration;

use quaywright_core::id::BlobId;

use crate::failure::{Failure, must};
use crate::phone::{ACTIVITIES, Chance, Phone, Verdict, assert_kept, kills};

/// Works as fast as the workbook confirms, until it dies; returns how often it confirmed.
fn work_until_it_dies(mut act: impl FnMut() -> Result<Verdict, Failure>) -> usize {
    for confirmed in 0.. {
        match act() {
            Ok(Verdict::Kept) => {}
            Ok(Verdict::NotKept(words)) => panic!("a sound phone refused: {words}"),
            Err(Failure::Gone(_) | Failure::Crashed(_)) => return confirmed,
            Err(other) => panic!("{other}"),
        }
    }
    0
}

/// Taps activities until the phone dies; adds those that were confirmed.
fn tap_until_it_dies(phone: &Phone, chance: &mut Chance, acknowledged: &mut Vec<&'static str>) {
    let mut tapped = Vec::new();
    let confirmed = work_until_it_dies(|| {
        let activity = chance.activity(tapped.last().or(acknowledged.last()).copied());
        tapped.push(activity);
        phone.tries(activity)
    });
    acknowledged.extend(&tapped[..confirmed]);
}

/// Tells how often the second copy had to heal the engine's own loss, for whoever reads along.
struct Healed(u32);

impl Healed {
    fn look(&mut self, phone: &Phone) {
        self.0 += u32::from(phone.page().text().contains("restored from the second copy"));
    }
}

impl Drop for Healed {
    #[allow(clippy::print_stderr, reason = "a figure for whoever runs many kills")]
    fn drop(&mut self) {
        eprintln!("healed from the second copy: {} times", self.0);
    }
}

/// Ends the test unless the phone holds what was acknowledged. What was under way and is
/// there all the same stands on the screen now, so it counts as acknowledged from here on.
#[track_caller]
fn check(phone: &Phone, acknowledged: &mut Vec<&'static str>, about: &str) {
    phone.does_not_show("missing");
    let held = phone.holds().clock();
    assert_kept(acknowledged, &held, about);
    let name = |words: &String| ACTIVITIES.into_iter().find(|it| it.eq_ignore_ascii_case(words));
    *acknowledged = held.iter().map(|words| name(words).expect("only activities were tapped")).collect();
}

#[test]
fn a_flat_battery_takes_nothing_that_was_acknowledged() {
    let mut chance = Chance::drawn("a flat battery");
    let mut phone = Phone::new();
    let mut acknowledged = Vec::new();
    let mut healed = Healed(0);
    for round in 1..=kills() {
        phone.dies_after(chance.between(0, 900));
        tap_until_it_dies(&phone, &mut chance, &mut acknowledged);
        phone.dies();
        phone.wakes();
        healed.look(&phone);
        check(&phone, &mut acknowledged, &format!("round {round}"));
    }
    assert!(acknowledged.len() > kills() as usize, "too little work was done to mean anything");
}

#[test]
fn a_dead_page_takes_nothing_and_doubles_nothing() {
    let mut chance = Chance::drawn("a dead page");
    let mut phone = Phone::new();
    let mut acknowledged = Vec::new();
    for round in 1..=kills().div_ceil(2) {
        phone.page_dies_after(chance.between(0, 500));
        tap_until_it_dies(&phone, &mut chance, &mut acknowledged);
        // The browser gives a new page no dead process once it has noticed all the deaths.
        sleep(Duration::from_millis(800));
        phone.wakes();
        check(&phone, &mut acknowledged, &format!("round {round}"));
    }
}

/// Brings the database back to what an earlier program would have left: without some parts.
const WITHOUT: &str = "(parts => new Promise((done, fail) => {
    const looking = indexedDB.open('quaywright');
    looking.onerror = () => fail(looking.error);
    looking.onsuccess = () => {
        const version = looking.result.version + 1;
        looking.result.close();
        const opening = indexedDB.open('quaywright', version);
        opening.onupgradeneeded = () => parts.forEach(it => opening.result.deleteObjectStore(it));
        opening.onerror = () => fail(opening.error);
        opening.onsuccess = () => { opening.result.close(); done(); };
    };
}))";

/// The parts of the database came one after another, and may come again: it is brought up at a
/// start, and a start is when a phone dies.
#[test]
fn a_database_that_is_being_brought_up_loses_nothing_to_a_flat_battery() {
    let mut chance = Chance::drawn("a database that is brought up");
    let mut phone = Phone::new();
    let mut acknowledged = vec!["Travel", "Waiting", "Parts run"];
    acknowledged.iter().for_each(|activity| phone.taps(activity));
    assert_eq!(must(phone.photographs(7)), Verdict::Kept);
    let photos = phone.keys_of("blobs");
    for round in 0..kills().div_ceil(8) {
        phone.rests();
        let parts = [r#"["drafts"]"#, r#"["packs", "drafts"]"#, r#"["packs", "drafts", "blobs"]"#][round as usize % 3];
        phone.sleeps();
        must(phone.opens_beside().eval::<()>(&format!("{WITHOUT}({parts})")));
        phone.dies_after(chance.between(100, 1_200));
        phone.opens_as_far_as_it_gets();
        phone.dies();
        phone.wakes();
        check(&phone, &mut acknowledged, &format!("round {round}, without {parts}"));
        phone.waits_for_photos(photos.len());
        assert_eq!(phone.keys_of("blobs"), photos, "round {round}, without {parts}");
    }
    phone.taps("Paperwork");
}

#[test]
fn a_photo_and_its_record_are_kept_both_or_neither() {
    let mut chance = Chance::drawn("photos");
    let mut phone = Phone::new();
    phone.taps("Waiting");
    let mut acknowledged = 0;
    let mut before = BTreeSet::new();
    for round in 1..=kills().div_ceil(4) {
        // Few rounds are all killed early now and then; the first one lives to take a photo.
        phone.dies_after(if round == 1 { Duration::from_millis(4_000) } else { chance.between(0, 2_500) });
        let mut pictures = (round * 1_000)..;
        acknowledged += work_until_it_dies(|| phone.photographs(pictures.next().unwrap_or_default()));
        phone.dies();
        phone.wakes();
        phone.does_not_show("missing");
        // The backup is read with its photos: a record whose photo is gone is a fault in it.
        let held = phone.holds();
        let named = held.photos_named();
        let stored: BTreeSet<BlobId> = phone.keys_of("blobs").iter().filter_map(|key| BlobId::parse(key)).collect();
        assert_eq!(
            stored,
            named.iter().copied().collect(),
            "round {round}: photos without a record, or records without"
        );
        assert_eq!(held.photos, stored, "round {round}");
        assert_eq!(named.len(), stored.len(), "round {round}: a photo was kept twice");
        assert!(stored.is_superset(&before), "round {round}");
        let beyond = named.len().checked_sub(acknowledged).expect("every acknowledged photo is kept");
        assert!(beyond <= 1, "round {round}: {beyond} photos beyond the {acknowledged} acknowledged ones");
        (acknowledged, before) = (named.len(), stored);
    }
    assert!(acknowledged > 0, "no photo was taken, so nothing was shown");
    let _ = must(phone.tries("Travel"));
}
