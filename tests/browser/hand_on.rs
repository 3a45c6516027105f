//! A job goes to a colleague's phone with its photos, goes on there, and comes back.
//!
//! Two phones are two profiles with a server each: nothing is shared but the file.

use std::collections::BTreeSet;

use quaywright_core::book::Book;
use quaywright_core::exchange::intake;
use quaywright_core::id::DeviceId;
use quaywright_core::log::{Log, LogFault};
use quaywright_core::quantity::Count;
use quaywright_core::view::off_list;

use crate::ground::World;
use crate::hand::{CORNERS, Corners, Loose};
use crate::page::{Page, SOON};

const LONDON: &str = "Europe/London";
const OTHER_CORNERS: Corners = ["white", "blue", "lime", "red"];

/// What a phone holds: its book, the bytes of its photos, and who wrote its records.
struct Held {
    book: Book,
    photos: Vec<Vec<u8>>,
    writers: BTreeSet<DeviceId>,
}

fn held(world: &World, page: &Page) -> Held {
    let taken = intake::take(&world.backup(page)).unwrap();
    assert_eq!(taken.faults, []);
    let mut log = Log::default();
    taken.records.iter().for_each(|(_, sealed)| log.take(sealed.clone()));
    // A job's file leaves out what is not of the job, so the other's numbers have gaps; nothing else is wrong.
    assert!(log.faults().iter().all(|fault| matches!(fault, LogFault::Gap(_))), "{:?}", log.faults());
    let book = Book::replay(log.in_order().into_iter().map(|sealed| &sealed.record));
    assert_eq!(book.faults, []);
    let writers = taken.records.iter().map(|(_, sealed)| sealed.record.id.device).collect();
    Held { book, photos: taken.blobs.into_iter().map(|(_, bytes)| bytes).collect(), writers }
}

fn photograph(world: &World, page: &Page, what: &str, corners: Corners) {
    let file = world.lay_out("seen.jpg", &page.paint("jpeg", 400, 300, corners));
    page.photograph(&format!("Photo of {what}"), &[file]);
    page.hide_what_was_said();
}

/// Makes the job's file on the page of the job and returns it.
fn hand_on(world: &World, page: &Page) -> Vec<u8> {
    page.job("Marsh Heron", "Off-list");
    world.save_document(page, "Make the job's file", "job on Marsh Heron")
}

fn take_in(world: &World, page: &Page, file: &[u8]) {
    page.place("Hand over");
    page.bring_back(world.lay_out("from-a-colleague.txt", file));
    page.said("are here now");
    page.hide_what_was_said();
}

fn put_on(page: &Page, button: &str, words: &str) {
    page.hide_what_was_said();
    page.tap_named("button", button);
    page.said(words);
}

#[test]
fn a_job_goes_to_a_colleague_with_its_photos_and_comes_back_with_both_histories() {
    let here = World::of_app();
    let first = here.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    first.name_technician("M. Sluice", "Lower Basin Boatyard");
    first.open_job("Grey Seal", "T. Crake", "Pump", "Water under the floor");
    first.open_job("Marsh Heron", "A. Finch", "Cooler leaks", "Water in the bilge");
    first.job("Marsh Heron", "Off-list");
    for (what, count, side) in [("Bolt", "12", "front"), ("Cooler", "1", "front"), ("Hose", "1", "port")] {
        first.take_off(&Loose { what, count, size: "", side, stowed: "tray 1" });
        first.hide_what_was_said();
    }
    photograph(&here, &first, "Cooler", CORNERS);
    first.off_the_clock();
    let before = held(&here, &first);
    assert_eq!((before.photos.len(), before.writers.len()), (1, 1));
    let file = hand_on(&here, &first);

    // On the colleague's phone: this job and no other, its photo, nobody's clock.
    let there = World::of_app();
    let second = there.open_workbook_at(LONDON, "2026-05-05T08:00:00+01:00");
    second.name_technician("R. Teal", "Lower Basin Boatyard");
    take_in(&there, &second, &file);
    second.place("Jobs");
    second.wait_for_text("Marsh Heron");
    assert!(!second.text().contains("Grey Seal"), "{}", second.text());
    second.job("Marsh Heron", "Off-list");
    second.tap_named("button", "Putting together");
    second.eval::<()>("void document.querySelector('.part.current .photo').scrollIntoView()").unwrap();
    second.wait_for("document.querySelector('.part.current .photo img')?.naturalWidth === 400", SOON);
    put_on(&second, "Back on: Cooler", "1 × Cooler back on");
    put_on(&second, "All 12 back on: Bolt", "12 × Bolt back on");
    photograph(&there, &second, "Hose", OTHER_CORNERS);
    let gone_on = held(&there, &second);
    assert_eq!(gone_on.book.technician.name.as_str(), "R. Teal");
    assert_eq!(gone_on.book.ledger.last(), None);

    // Meanwhile the first says something too: one more bolt is on than came off.
    first.job("Marsh Heron", "Off-list");
    first.tap_named("button", "Putting together");
    put_on(&first, "1 back on: Bolt", "1 × Bolt back on");
    take_in(&here, &first, &hand_on(&there, &second));
    take_in(&there, &second, &hand_on(&here, &first));
    for (world, page, name) in [(&here, &first, "M. Sluice"), (&there, &second, "R. Teal")] {
        page.job("Marsh Heron", "Off-list");
        page.wait_for_text("Bolt: one too many, from where?");
        let held = held(world, page);
        assert_eq!(held.writers.len(), 2);
        assert_eq!(held.book.technician.name.as_str(), name);
        let job = held.book.jobs.jobs().find(|job| job.title.as_str() == "Cooler leaks").unwrap().id;
        let told = off_list(&held.book, job);
        assert_eq!((told.next.len(), told.back.len()), (1, 2));
        let bolt = held.book.teardown.items_of(job).find(|item| item.facts.what.as_str() == "Bolt").unwrap();
        assert_eq!(bolt.back(), Count(13));
        let mut seen: Vec<_> = held.photos.iter().map(|photo| page.corners(photo).0).collect();
        seen.sort();
        let mut painted = [CORNERS, OTHER_CORNERS].map(|it| it.map(str::to_owned));
        painted.sort();
        assert_eq!(seen, painted);
        page.assert_quiet();
    }
    // Each keeps its own hours: only the first was on the clock.
    let back = held(&here, &first);
    assert!(before.writers.is_subset(&back.writers) && back.book.ledger.last().is_some());
    assert_eq!(back.book.jobs.jobs().count(), 2);
    assert_eq!(held(&there, &second).book.ledger.last(), None);
}
