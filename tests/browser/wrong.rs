//! A machine is put together wrongly on purpose: each mistake is caught where it is made,
//! when the job is called finished, and when the day is closed.

use std::thread::sleep;
use std::time::Duration;

use crate::ground::World;
use crate::hand::Loose;
use crate::page::{Page, SOON};

const LONDON: &str = "Europe/London";
const DETAILS: &str = "Way up, new parts, what it is needed for";

fn open(world: &World) -> Page {
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "Cooler leaks", "Water in the bilge");
    page.job("Marsh Heron", "Off-list");
    page
}

fn off(page: &Page, what: &str, count: &str, side: &str) {
    page.take_off(&Loose { what, count, size: "", side, stowed: "tray 1" });
    page.hide_what_was_said();
}

fn on(page: &Page, button: &str) {
    page.hide_what_was_said();
    page.tap_named("button", button);
    page.said("back on");
}

/// Calls the job finished, and sees that these words stop it there and at the day's end.
fn caught_at_the_end(page: &Page, words: &[&str]) {
    page.hide_what_was_said();
    page.tap_named("button", "Finish the job");
    page.said("The job is finished");
    page.wait_for_text("Finished, but not everything is right");
    for words in words {
        let told = format!("document.querySelector('[aria-label=\"Not right yet\"]')?.innerText.includes({words:?})");
        page.wait_for(&told, SOON);
    }
    page.place("Hand over");
    for words in words {
        page.wait_for_text(words);
    }
    page.place("Jobs");
    page.tap_named("link", "Finished jobs");
    page.tap_words_in("main a.entry", "Marsh Heron");
    page.wait_for("document.querySelector('nav.parts')", SOON);
    page.part("Off-list");
    page.tap_named("button", "Open it again");
    page.said("The job is open again");
}

/// Sees that nothing is told of the job any more when it is called finished.
fn right_at_the_end(page: &Page) {
    page.hide_what_was_said();
    page.tap_named("button", "Finish the job");
    page.said("The job is finished");
    page.wait_for_text("Finished.");
    page.wait_for("!document.querySelector('[aria-label=\"Not right yet\"]')", SOON);
    page.assert_quiet();
}

#[test]
fn a_forgotten_hose_is_caught() {
    let world = World::of_app();
    let page = open(&world);
    off(&page, "Cooler", "1", "port");
    page.unfold(DETAILS);
    page.choose_labelled("Needed before the engine runs", "cooling water");
    off(&page, "Cooling water hose", "1", "port");
    page.tap_named("button", "Putting together");
    on(&page, "Back on: Cooler");
    page.wait_for_text("Cooler is on too soon: Cooling water hose came off after it (port).");
    page.wait_for_text("Do not run: Cooling water hose");
    caught_at_the_end(&page, &["finished, but 1 thing is still off (Cooling water hose)"]);
    on(&page, "Back on: Cooling water hose");
    right_at_the_end(&page);
}

#[test]
fn a_nut_left_over_is_caught() {
    let world = World::of_app();
    let page = open(&world);
    off(&page, "Nut", "12", "front");
    page.tap_named("button", "Putting together");
    on(&page, "All 12 back on: Nut");
    // One lies in the tray: it came from somewhere.
    page.unfold("Back on: 1");
    page.unfold("Put right: Nut");
    page.hide_what_was_said();
    page.tap_named("button", "One is left over: Nut");
    page.said("Nut: 13 came off, one is left over");
    page.wait_for_text("Nut: one missing.");
    page.wait_for_text("12 of 13 back on: one missing");
    caught_at_the_end(&page, &["finished, but 1 thing is still off (Nut)"]);
    on(&page, "Back on: Nut");
    right_at_the_end(&page);
}

#[test]
fn one_more_than_came_off_is_caught() {
    let world = World::of_app();
    let page = open(&world);
    off(&page, "Nut", "13", "front");
    page.tap_named("button", "Putting together");
    on(&page, "All 13 back on: Nut");
    // Twelve came off, somebody says, and thirteen are on.
    page.unfold("Back on: 1");
    page.unfold("Put right: Nut");
    page.fill_labelled("How many", "12");
    page.hide_what_was_said();
    page.tap_named("button", "Keep");
    page.said("13 are already back on, replaced or left off: the count cannot be less.");
    page.assert_quiet();
}

#[test]
fn a_skipped_pass_is_caught() {
    let world = World::of_app();
    let page = open(&world);
    page.part("Torque");
    page.unfold("A group to tighten");
    page.fill_labelled("What is tightened", "Cooler cap");
    page.fill_labelled("How many (in each row)", "4");
    page.fill_labelled("Torque, as the manual writes it", "20 Nm");
    page.fill_labelled("From which manual", "Service manual 3");
    page.fill_labelled("Page", "4-12");
    page.tap_named("button", "Add the group");
    page.wait_for("location.hash.startsWith('#/group/')", SOON);
    // All of the first pass, none of the second, all of the third.
    let pass = |places: [u8; 4], done: &str| {
        for place in places {
            page.wait_for_text(&format!("Next: {place}"));
            page.hide_what_was_said();
            // A finger that bounces is not heard, and nobody puts a wrench on so quickly.
            sleep(Duration::from_millis(320));
            page.tap_named("button", &format!("{place} {done}"));
            page.said(&format!("{place} {done} in "));
        }
    };
    pass([1, 3, 2, 4], "is tight");
    page.tap_named("button", "100 %: 0/4 20 N·m");
    pass([1, 3, 2, 4], "is tight");
    page.wait_for_text("Skipped: all 4 in pass 2 (70 %)");
    page.job("Marsh Heron", "Torque");
    caught_at_the_end(&page, &["finished, but not all is tight (Cooler cap", "skipped: all 4 in pass 2 (70 %)"]);
}

#[test]
fn a_one_way_part_that_nobody_looked_at_is_caught() {
    let world = World::of_app();
    let page = open(&world);
    page.unfold(DETAILS);
    page.fill_labelled("Which way up (lip down, arrow to bow)", "lip down");
    off(&page, "Shaft seal", "1", "under");
    page.tap_named("button", "Putting together");
    on(&page, "Back on: Shaft seal");
    page.wait_for_text("Shaft seal: lip down");
    caught_at_the_end(&page, &["nobody has made sure of Shaft seal (lip down)"]);
    page.hide_what_was_said();
    page.tap_named("button", "I have made sure");
    page.said("Made sure: Shaft seal: lip down");
    right_at_the_end(&page);
}
