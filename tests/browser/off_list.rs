//! A machine is taken apart and put together: what is wrong is caught, and no finger is needed.

use std::time::{Duration, Instant};

use quaywright_core::exchange::intake;
use quaywright_core::reassembly::tally::Totals;
use serde_json::json;

use crate::failure::must;
use crate::ground::World;
use crate::hand::{Loose, book_of};
use crate::looks::judge;
use crate::page::{Page, SOON};

const LONDON: &str = "Europe/London";
const DETAILS: &str = "Way up, new parts, what it is needed for";

fn loose<'a>(what: &'a str, count: &'a str, side: &'a str) -> Loose<'a> {
    Loose { what, count, size: "", side, stowed: "tray 1" }
}

/// Opens the off-list of a job on which this came off, in this order.
fn taken_apart(world: &World) -> Page {
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "Cooler leaks", "Water in the bilge");
    page.job("Marsh Heron", "Off-list");
    page.take_off(&loose("Cooler", "1", "port"));
    page.unfold(DETAILS);
    page.choose_labelled("Needed before the engine runs", "cooling water");
    page.take_off(&loose("Cooling water hose", "1", "port"));
    page.take_off(&loose("Nut", "4", "front"));
    page.unfold(DETAILS);
    page.fill_labelled("Which way up (lip down, arrow to bow)", "lip down");
    page.take_off(&loose("Shaft seal", "1", "under"));
    page
}

#[test]
fn a_wrong_reassembly_is_caught_each_time() {
    let world = World::of_app();
    let page = taken_apart(&world);
    page.wait_for_text("Do not run: Cooling water hose");
    page.tap_named("button", "Putting together");
    page.wait_for_text("came off after it");

    // The hose is forgotten behind the cooler.
    page.tap_named("button", "Back on: Cooler");
    page.said("1 × Cooler back on");
    page.wait_for_text("Cooler is on too soon: Cooling water hose came off after it (port).");
    // A nut is left over.
    for _ in 0..3 {
        page.hide_what_was_said();
        page.tap_named("button", "1 back on: Nut");
        page.said("1 × Nut back on");
    }
    page.wait_for_text("Nut: one missing.");
    // A one-way part is on, and nobody looked.
    page.tap_named("button", "Back on: Shaft seal");
    page.said("1 × Shaft seal back on");
    page.wait_for_text("Shaft seal: lip down");
    judge(&page, "job-off-wrong");
    page.place("Hand over");
    page.wait_for_text("nobody has made sure of Shaft seal (lip down)");
    page.wait_for_text("Do not run: Cooling water hose");

    page.job("Marsh Heron", "Off-list");
    page.tap_named("button", "I have made sure");
    page.said("Made sure: Shaft seal: lip down");
    page.tap_named("button", "Back on: Cooling water hose");
    page.said("1 × Cooling water hose back on");
    page.wait_for_text("Nothing that was marked is missing.");
    page.tap_named("button", "Back on: Nut");
    page.said("1 × Nut back on");
    page.wait_for("!document.querySelector('.part.current .stop')", SOON);
    let book = book_of(&intake::take(&world.backup(&page)).unwrap());
    let job = book.jobs.jobs().next().unwrap().id;
    let totals = book.teardown.order(job).unwrap().sequence.totals();
    assert_eq!(totals, Totals { off: 7, on: 7, ..Totals::default() });
    assert_eq!(book.teardown.not_sure(job).count(), 0);
    page.assert_quiet();
}

#[test]
fn what_waits_is_said_by_pointing_and_a_circle_is_refused() {
    let world = World::of_app();
    let page = taken_apart(&world);
    page.tap_named("button", "Putting together");
    page.unfold("Put right: Nut");
    page.tap_named("button", "Nut: It is behind …");
    page.wait_for_text("Nut is behind … tap the other one in the list.");
    judge(&page, "job-off-pointing");
    page.tap_named("button", "This one: Nut is behind Shaft seal");
    page.said("Nut is behind Shaft seal");
    // The nut's row stays unfolded, so what waits lies far down, and is drawn when it comes near.
    must(page.eval::<()>("void [...document.querySelectorAll('h3')].at(-1).scrollIntoView()"));
    page.wait_for_text("Waits: Nut is behind it");
    page.unfold("Put right: Shaft seal");
    page.tap_named("button", "Shaft seal: It is held by …");
    page.tap_named("button", "This one: Shaft seal is held by Nut");
    page.wait_for_text("his goes round in a circle");
    page.hide_what_was_said();
    page.tap_named("button", "Not so: Nut is behind Shaft seal");
    page.said("Not so: Nut is behind Shaft seal");

    // What does not go back on says why.
    page.unfold("Put right: Shaft seal");
    // The nut's row is still unfolded too, with the same fields.
    page.type_into("[aria-label='Not back on: Shaft seal'] > :nth-child(3) input", "worn");
    page.tap_named("button", "Replaced by new: Shaft seal");
    page.said("Replaced by new: Shaft seal");
    page.unfold("Back on: 1");
    page.wait_for_text("1 replaced: worn");
    page.assert_quiet();
}

#[test]
fn sizes_used_last_come_first() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "Cooler leaks", "Water in the bilge");
    page.job("Marsh Heron", "Off-list");
    for (what, size) in [("Bolt", "M8"), ("Hose", "32 mm"), ("Screw", "M6"), ("Stud", "M8")] {
        page.take_off(&Loose { what, count: "1", size, side: "port", stowed: "" });
    }
    let offered = "[...document.querySelectorAll('[aria-label=\"Sizes used last\"] button')].map(it => it.innerText)";
    page.wait_for(&format!("{offered}.length === 3"), SOON);
    assert_eq!(page.eval::<Vec<String>>(offered).unwrap(), ["M8", "M6", "32 mm"]);
    // What is offered is one tap, and needs no keyboard.
    page.tap_named("button", "M6");
    page.tap_named("button", "It came off");
    page.said("1 × something without a name off");
    let book = book_of(&intake::take(&world.backup(&page)).unwrap());
    let last = book.teardown.items_of(book.jobs.jobs().next().unwrap().id).next_back().unwrap();
    assert_eq!(last.facts.size.as_str(), "M6");
    page.assert_quiet();
}

/// Goes on by keys alone to the button of this name's beginning, and presses it.
fn by_keys(page: &Page, begins: &str) {
    let here = format!(
        "(() => {{ const at = document.activeElement; \
         return at?.tagName === 'BUTTON' && (at.ariaLabel ?? at.innerText).startsWith({}); }})()",
        json!(begins)
    );
    for _ in 0..200 {
        if page.eval::<bool>(&here).unwrap() {
            return page.press("Enter");
        }
        page.press("Tab");
    }
    panic!("no key leads to {begins}");
}

#[test]
fn a_half_finished_teardown_is_finished_by_keys_alone() {
    let world = World::of_app();
    let page = taken_apart(&world);
    by_keys(&page, "Putting together");
    for begins in ["Back on: Shaft seal", "I have made sure", "All 4 back on", "Back on: Cooling", "Back on: Cooler"] {
        by_keys(&page, begins);
        page.wait_for("document.querySelector('.said p')?.innerText", SOON);
        std::thread::sleep(Duration::from_millis(400));
    }
    page.wait_for_text("Nothing is off.");
    let at = page.eval::<String>("document.activeElement.tagName").unwrap();
    assert!(["BODY", "BUTTON", "LI", "H2"].contains(&at.as_str()), "{at}");
    page.assert_quiet();
}

#[test]
fn ten_like_items_are_said_in_half_a_minute() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "Cooler leaks", "Water in the bilge");
    page.job("Marsh Heron", "Off-list");
    page.fill_labelled("What came off", "Clip");
    page.fill_labelled("Size", "M8");
    page.wait_for_text("Try a wrench of 13 mm");
    let begun = Instant::now();
    page.tap_named("button", "It came off");
    page.said("1 × Clip off");
    let mut taps = 1;
    for before in 1..10 {
        page.wait_for_text(&format!("{before} thing"));
        page.tap_named("button", "Same again: Clip");
        taps += 1;
    }
    page.wait_for_text("10 things are still off");
    // A tap each, and room for a finger in half a minute: the screen takes less than a second a tap.
    assert_eq!(taps, 10);
    assert!(begun.elapsed() < Duration::from_secs(30), "{:?}", begun.elapsed());
    // With dirty hands one tap is enough.
    page.tap_named("button", "It came off");
    page.said("1 × something without a name off");
    page.wait_for_text("11 things are still off");
    page.assert_quiet();
}
