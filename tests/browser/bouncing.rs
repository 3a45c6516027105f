//! Cold wet hands: a finger that bounces, a page that dies over a half-made form, words that
//! are longer than the screen is wide.

use std::time::Duration;

use quaywright_core::book::Book;
use quaywright_core::exchange::intake;

use crate::ground::World;
use crate::hand::book_of;
use crate::page::{Page, SOON};

const LONDON: &str = "Europe/London";

fn open() -> (World, Page) {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    (world, page)
}

fn kept(world: &World, page: &Page) -> Book {
    book_of(&intake::take(&world.backup(page)).unwrap())
}

/// Taps a button twice before the page can do anything about the first tap.
#[track_caller]
fn bounce(page: &Page, words: &str) {
    let button = format!(
        "[...document.querySelectorAll('main button')].find(it => it.checkVisibility() && it.innerText.trim() === {words:?})"
    );
    page.wait_for(&button, SOON);
    page.eval::<()>(&format!("void (button => {{ button.click(); button.click(); }})({button})")).unwrap();
}

/// Puts a finger twice on the spot where an expression finds something, as it bounces.
#[track_caller]
fn bounce_on(page: &Page, found: &str) {
    page.wait_for(found, SOON);
    let at: [f64; 2] = page
        .eval(&format!(
            "(it => {{ it.scrollIntoView({{ block: 'center' }}); const box = it.getBoundingClientRect(); \
             return [box.x + box.width / 2, box.y + box.height / 2]; }})({found})"
        ))
        .unwrap();
    page.bounce(at[0], at[1]);
}

fn begin(page: &Page, boat: &str) {
    page.place("Now");
    page.tap_named("link", "New job");
    page.wait_for_text("Complaint, in the customer's words");
    page.fill_labelled("Boat's name", boat);
    page.fill_labelled("What is to be done", "Impeller");
}

#[test]
fn a_finger_that_bounces_says_it_once() {
    let (world, page) = open();
    begin(&page, "Marsh Heron");
    bounce(&page, "Open it and start labour");
    page.wait_for("location.hash === '#/now'", SOON);
    begin(&page, "Grey Seal");
    bounce(&page, "Open it, clock as it is");
    page.wait_for("location.hash.endsWith('/story')", SOON);

    page.job("Marsh Heron", "Off-list");
    page.fill_labelled("What came off", "Cover bolt");
    page.fill_labelled("How many", "4");
    bounce(&page, "It came off");
    page.said("4 × Cover bolt off");
    page.part("Readings");
    page.tap_words("Take a reading");
    page.tap_words_in("a.entry", "Is this battery good?");
    page.fill_labelled("Voltage at rest", "12.66");
    bounce(&page, "Keep this reading");
    page.wait_for_text("Voltage at rest 12.66 V");
    page.part("Photos");
    page.tap_words_in("main a", "Note");
    page.fill_labelled("What to remember", "Gate code at the office");
    bounce(&page, "Keep the note");
    page.wait_for_text("Gate code at the office");
    page.assert_quiet();

    let book = kept(&world, &page);
    let titles = book.jobs.jobs().count();
    assert_eq!(titles, 2, "each job is opened once");
    let job = book.jobs.jobs().next().unwrap().id;
    assert_eq!(book.teardown.still_off(job).count(), 1, "the bolts came off once");
    assert_eq!(book.readings.readings().count(), 1);
}

#[test]
fn a_second_tap_that_finds_something_else_under_the_finger_is_not_heard() {
    let (world, page) = open();
    page.open_job("Marsh Heron", "A. Finch", "Impeller", "Runs hot");
    page.job("Marsh Heron", "Off-list");
    for what in ["Cover bolt", "Hose"] {
        page.fill_labelled("What came off", what);
        page.fill_labelled("How many", "1");
        page.tap_named("button", "It came off");
        page.said(&format!("{what} off"));
    }
    page.hide_what_was_said();
    let heard = "window.heard = [], document.addEventListener('click', it => heard.push(it.target.ariaLabel), true)";
    page.eval::<()>(&format!("void ({heard})")).unwrap();
    // The hose goes on, and the bolt comes to where it lay.
    bounce_on(
        &page,
        "[...document.querySelectorAll('main button')].find(it => it.ariaLabel?.startsWith('Back on: Hose'))",
    );
    page.said("Hose back on");
    std::thread::sleep(Duration::from_millis(500));
    assert_eq!(page.eval::<Vec<Option<String>>>("heard").unwrap().len(), 1, "one tap is heard");
    let book = kept(&world, &page);
    let job = book.jobs.jobs().next().unwrap().id;
    assert_eq!(book.teardown.still_off(job).count(), 1, "the bolt is still off");
}

#[test]
fn an_estimate_that_is_half_written_keeps_its_currency_and_what_it_is() {
    let (_world, page) = open();
    page.open_job("Marsh Heron", "A. Finch", "Impeller", "Runs hot");
    page.job("Marsh Heron", "Story");
    page.tap_named("link", "Estimate and agreement");
    page.tap_named("link", "Write an estimate");
    page.choose_labelled("Currency", "EUR");
    page.choose_labelled("It is", "the most that it will cost");
    page.fill_labelled("What for", "Pump");
    page.fill_labelled("Hours, such as 2.5 or 2:30", "2");
    page.fill_labelled("Amount, or a rate such as 95/h", "ninety");
    page.tap_named("button", "Add the line");
    page.said("An amount is written as");
    page.fill_labelled("Amount, or a rate such as 95/h", "95,5/h");
    page.tap_named("button", "Add the line");
    page.wait_for_text("191.00 EUR");
    page.wait_for("!document.body.innerText.includes('An amount is written as')", SOON);
    page.dies_after_a_rest();
    page.wait_for_text("191.00 EUR");
    page.tap_named("button", "Make the estimate");
    page.said("The estimate is made");
    page.wait_for_text("191.00 EUR");
    page.unfold("Its lines and terms");
    page.wait_for_text("most that");
}

#[test]
fn a_figure_that_is_half_typed_keeps_its_unit_and_the_next_cylinder_has_it_too() {
    let (_world, page) = open();
    page.place("Bench");
    page.tap_words_in("a.entry", "Is the compression even?");
    page.wait_for_text("Cylinder 1");
    let units = "[...document.querySelectorAll('select[aria-label^=\"Unit: Cylinder\"]')].slice(0, 3).map(it => it.value).join()";
    page.choose_labelled("Unit: Cylinder 1", "bar");
    page.wait_for(&format!("{units} === 'bar,bar,bar'"), SOON);
    page.fill_labelled("Cylinder 1", "12,5");
    page.dies_after_a_rest();
    page.wait_for_text("Cylinder 1");
    page.wait_for(&format!("{units} === 'bar,bar,bar'"), SOON);
}

#[test]
fn a_new_engine_that_is_half_typed_outlives_the_page() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    page.job("Marsh Heron", "Story");
    page.tap_named("link", "Marsh Heron");
    page.unfold("Add an engine");
    page.fill_labelled("Serial number", "D4-2291");
    page.fill_labelled("Power", "28.5");
    page.choose_labelled("Unit", "hp");
    page.fill_labelled("Hour meter shows", "1204.5");
    page.dies_after_a_rest();
    page.wait_for_text("Add the engine");
    let typed = "[...document.querySelectorAll('details[open] input, details[open] select')].map(it => it.value)";
    page.wait_for(&format!("{typed}.includes('D4-2291')"), SOON);
    let typed: Vec<String> = page.eval(typed).unwrap();
    assert!(["28.5", "hp", "1204.5"].iter().all(|it| typed.iter().any(|value| value == it)), "{typed:?}");
    page.tap_named("button", "Add the engine");
    page.said("Engine added");
    // What became an engine is no draft any more.
    page.reload().unwrap();
    page.wait_until_open();
    page.unfold("Add an engine");
    let left = "[...document.querySelectorAll('input')].filter(it => it.value === 'D4-2291').length";
    assert_eq!(page.eval::<u32>(left).unwrap(), 1, "only the engine's own field shows it");
    page.assert_quiet();
}

#[test]
fn a_field_that_is_left_by_the_phones_way_back_keeps_what_was_typed() {
    let (_world, page) = open();
    page.open_job("Marsh Heron", "A. Finch", "Impeller", "Runs hot");
    page.job("Marsh Heron", "Story");
    for (field, text) in [("Cause", "A vane is gone"), ("What is to be done", "Impeller and cover")] {
        page.fill_labelled(field, text);
        page.eval::<()>("history.back()").unwrap();
        page.wait_for("!location.hash.includes('/story')", SOON);
        std::thread::sleep(Duration::from_millis(900));
        page.eval::<()>("history.forward()").unwrap();
        let shows = format!("[...document.querySelectorAll('input, textarea')].some(it => it.value === '{text}')");
        page.wait_for(&shows, SOON);
        page.assert_quiet();
    }
}

#[test]
fn an_hour_meter_that_was_changed_is_kept_after_a_second_look() {
    let (world, page) = open();
    page.open_job("Marsh Heron", "A. Finch", "Impeller", "Runs hot");
    page.job("Marsh Heron", "Story");
    page.tap_named("link", "Marsh Heron");
    page.tap_words("Add an engine");
    page.fill_labelled("Model", "Four-cylinder diesel");
    page.tap_named("button", "Add the engine");
    page.said("Engine added");
    page.hide_what_was_said();
    let keep = |hours: &str| {
        page.fill_labelled("Hour meter shows", hours);
        page.tap_named("button", "Keep the hours");
    };
    keep("1234.5");
    page.said("1234.5 hours kept");
    keep("3.5");
    page.said("The hour meter last showed 1234.5");
    page.tap_named("button", "It is so: keep 3.5");
    page.said("3.5 hours kept");
    let book = kept(&world, &page);
    let boat = book.jobs.jobs().next().unwrap().boat;
    let last = book.fleet.engines_of(boat).next().and_then(|engine| engine.last_hours());
    assert_eq!(last.map(|hours| hours.to_string()).as_deref(), Some("3.5"));
}

#[test]
fn a_job_is_finished_without_its_clock() {
    let (_world, page) = open();
    page.open_job("Marsh Heron", "A. Finch", "Impeller", "Runs hot");
    page.off_the_clock();
    page.job("Marsh Heron", "Story");
    page.wait_for_text("Start labour on this job");
    page.tap_named("button", "Finish the job");
    page.said("The job is finished");
}

#[test]
fn a_clock_that_was_forgotten_is_asked_about_when_the_day_is_handed_over() {
    let (_world, page) = open();
    page.open_job("Marsh Heron", "A. Finch", "Impeller", "Runs hot");
    page.minutes_pass(24 * 60);
    page.off_the_clock();
    page.place("Hand over");
    page.choose_labelled("Day", "Monday 4 May");
    page.wait_for_text("Nothing was entered from 2026-05-04, 08:");
    page.tap_named("link", "Put the day right");
    page.wait_for_text("Was the clock forgotten?");
}

#[test]
fn words_longer_than_the_screen_is_wide_push_nothing_off_it() {
    let (_world, page) = open();
    let long = "Donaudampfschifffahrtsgesellschaftskapitänskajütenschlüssel";
    page.open_job(long, "A. Finch", &format!("{long}{long}"), "Runs hot");
    let fits = "document.documentElement.scrollWidth <= document.documentElement.clientWidth";
    page.wait_for(fits, SOON);
    // How long it took is seen beside it.
    let seen =
        "[...document.querySelectorAll('.strip .figure')].every(it => it.getBoundingClientRect().right <= innerWidth)";
    page.wait_for(seen, SOON);
    page.job(long, "Off-list");
    page.fill_labelled("What came off", &format!("{long}{long}"));
    page.tap_named("button", "It came off");
    page.said("off");
    page.wait_for(fits, SOON);
    page.place("Hand over");
    page.wait_for_text("Still missing");
    page.wait_for(fits, SOON);
}
