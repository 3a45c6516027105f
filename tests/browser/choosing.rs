//! Choices that a person makes on screen: a known boat, one of several engines, who
//! pays, one of several lines. Each is kept as chosen, and half-made ones outlive the page.

use quaywright_core::book::Book;
use quaywright_core::event::{Billing, On, PayType};
use quaywright_core::exchange::intake;
use quaywright_core::quantity::{EngineHours, Power, PowerUnit};

use crate::ground::World;
use crate::hand::book_of;
use crate::looks::judge;
use crate::page::{Page, SOON};

/// Opens the workbook with one job, on a boat that has two engines.
fn boat_with_two_engines() -> (World, Page) {
    let world = World::of_app();
    let page = world.open_workbook_at("Europe/London", "2026-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Flat after a night");
    page.job("Marsh Heron", "Story");
    page.tap_named("link", "Marsh Heron");
    page.wait_for("location.hash.startsWith('#/boat/')", SOON);
    page.tap_words("Add an engine");
    for place in ["port", "starboard"] {
        page.fill_labelled("Which one (port, starboard, generator …)", place);
        page.fill_labelled("Model", "Four-cylinder diesel");
        page.tap_named("button", "Add the engine");
        page.said("Engine added");
        page.hide_what_was_said();
    }
    (world, page)
}

fn kept(world: &World, page: &Page) -> Book {
    book_of(&intake::take(&world.backup(page)).unwrap())
}

#[test]
fn a_job_is_opened_on_one_of_two_engines_and_a_half_made_choice_outlives_the_page() {
    let (world, page) = boat_with_two_engines();
    page.place("Now");
    page.tap_named("link", "New job");
    page.choose_labelled("Boat", "Marsh Heron");
    page.tap_words("warranty");
    // A draft is kept once typing rests.
    std::thread::sleep(std::time::Duration::from_millis(900));
    page.reload().unwrap();
    page.wait_until_open();
    let boat = "document.querySelector('form select').selectedOptions[0].innerText === 'Marsh Heron'";
    page.wait_for(boat, SOON);
    let payer = "document.querySelector('fieldset input:checked').parentElement.innerText.trim() === 'warranty'";
    page.wait_for(payer, SOON);
    assert!(!page.text().contains("Boat's name"), "the boat is known");

    let engines = "[...document.querySelectorAll('form select')[1].options].map(it => it.innerText)";
    let offered: Vec<String> = page.eval(engines).unwrap();
    assert_eq!(offered.len(), 3, "{offered:?}");
    let starboard = offered.iter().find(|it| it.contains("starboard")).unwrap();
    page.choose_labelled("Engine", starboard);
    page.fill_labelled("What is to be done", "Hard to start");
    std::thread::sleep(std::time::Duration::from_millis(900));
    page.reload().unwrap();
    page.wait_until_open();
    let engine = "document.querySelectorAll('form select')[1].selectedOptions[0].innerText.includes('starboard')";
    page.wait_for(engine, SOON);
    page.tap_named("button", "Open it, clock as it is");
    page.said("Hard to start is open");

    let book = kept(&world, &page);
    let job = book.jobs.jobs().find(|job| job.title.as_str() == "Hard to start").unwrap();
    let engine = job.engine.and_then(|engine| book.fleet.engine(engine)).unwrap();
    assert_eq!(engine.facts.place.as_str(), "starboard");
    let pays: Vec<PayType> = book.jobs.lines_of(job.id).map(|line| line.pay).collect();
    assert_eq!(pays, [PayType::Warranty]);
    // What was kept is no draft any more.
    page.place("Now");
    page.tap_named("link", "New job");
    page.wait_for("document.querySelector('form select').selectedOptions[0].value === ''", SOON);
    page.choose_labelled("Boat", "Marsh Heron");
    page.wait_for("document.querySelectorAll('form select')[1].value === ''", SOON);
    page.assert_quiet();
}

#[test]
fn what_is_written_of_a_boat_and_her_engine_is_kept_to_the_letter() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Flat after a night");
    page.job("Marsh Heron", "Story");
    page.tap_named("link", "Marsh Heron");
    for (field, text) in [
        ("Name", "Marsh Heron II"),
        ("Owner", "B. Wren"),
        ("Berth", "pontoon C, 12"),
        ("HIN, as on the hull", "ABC12345D404"),
    ] {
        page.hide_what_was_said();
        page.write(field, text);
        page.said("Boat kept");
    }
    page.hide_what_was_said();
    page.unfold("Add an engine");
    for (field, text) in [
        ("Which one (port, starboard, generator …)", "port"),
        ("Model", "Four-cylinder diesel, raw-water cooled"),
        ("Serial number", "D4-2291"),
        ("Year", "98"),
        ("Power", "28.5"),
        ("Hour meter shows", "1204.5"),
    ] {
        page.fill_labelled(field, text);
    }
    page.choose_labelled("Unit", "hp");
    page.tap_named("button", "Add the engine");
    page.said("The year is not one that an engine can have");
    page.fill_labelled("Year", "1998");
    page.fill_labelled("Power", "a lot");
    page.tap_named("button", "Add the engine");
    page.said("The power is not a figure");
    let book = kept(&world, &page);
    let boat = book.fleet.boats().next().unwrap().id;
    assert_eq!(book.fleet.engines_of(boat).count(), 0, "nothing is kept of what was refused");
    page.job("Marsh Heron", "Story");
    page.tap_named("link", "Marsh Heron II");
    page.unfold("Add an engine");
    for (field, text) in [
        ("Which one (port, starboard, generator …)", "port"),
        ("Model", "Four-cylinder diesel, raw-water cooled"),
        ("Serial number", "D4-2291"),
        ("Year", "1998"),
        ("Power", "28.5"),
        ("Hour meter shows", "1204.5"),
    ] {
        page.fill_labelled(field, text);
    }
    page.choose_labelled("Unit", "hp");
    page.tap_named("button", "Add the engine");
    page.said("Engine added");

    let book = kept(&world, &page);
    let boat = book.fleet.boats().next().unwrap();
    let facts = &boat.facts;
    assert_eq!(
        [&facts.name, &facts.owner, &facts.berth, &facts.hin].map(ToString::to_string),
        ["Marsh Heron II", "B. Wren", "pontoon C, 12", "ABC12345D404"]
    );
    let engine = book.fleet.engines_of(boat.id).next().unwrap();
    let facts = &engine.facts;
    assert_eq!(
        [&facts.place, &facts.model, &facts.serial].map(ToString::to_string),
        ["port", "Four-cylinder diesel, raw-water cooled", "D4-2291"]
    );
    assert_eq!((facts.year, facts.power), (Some(1998), Power::parse("28.5", PowerUnit::Horsepower)));
    assert_eq!(engine.last_hours(), EngineHours::parse("1204.5"));
    page.assert_quiet();
}

#[test]
fn the_clock_runs_on_the_line_that_was_chosen() {
    let (world, page) = boat_with_two_engines();
    page.job("Marsh Heron", "Story");
    assert!(!page.text().contains("For which line of the job"));
    page.tap_named("button", "Another line, with its own payer");
    page.said("Another line");
    page.place("Now");
    page.wait_for_text("For which line of the job");
    judge(&page, "now-lines");
    page.tap_words("2 · customer pay");
    page.said("On this line from now on");
    page.wait_for("document.querySelector('button.line[aria-pressed=true]').innerText.startsWith('2')", SOON);
    let book = kept(&world, &page);
    let job = book.jobs.jobs().next().unwrap();
    let second = book.jobs.lines_of(job.id).nth(1).unwrap().id;
    assert_eq!(book.ledger.running().map(|span| span.on), Some(On::Line(second)));
    page.assert_quiet();
}

#[test]
fn a_line_is_billed_flat_and_the_job_shows_both_hours() {
    let (world, page) = boat_with_two_engines();
    page.job("Marsh Heron", "Story");
    page.choose_labelled("How it is billed", "a flat number of hours");
    page.write("Billed hours, such as 2.5 or 2:30", "two");
    page.said("Hours are written as 2.5 or 2:30.");
    page.write("Billed hours, such as 2.5 or 2:30", "2.5");
    page.said("Billed so from now on");
    page.part("Time");
    page.wait_for_text("1 · customer pay");
    let row: Vec<String> =
        page.eval("[...document.querySelector('table tbody tr').cells].map(it => it.innerText)").unwrap();
    assert_eq!(row[2], "2:30");
    assert_eq!(row.len(), 4, "{row:?}");
    let book = kept(&world, &page);
    let job = book.jobs.jobs().next().unwrap();
    let billing: Vec<Billing> = book.jobs.lines_of(job.id).map(|line| line.billing).collect();
    assert_eq!(billing, [Billing::Flat { minutes: 150 }]);
    page.job("Marsh Heron", "Story");
    page.choose_labelled("How it is billed", "no charge");
    page.said("Billed so from now on");
    page.part("Time");
    page.wait_for_text("0:00");
    page.assert_quiet();
}

#[test]
fn a_row_of_the_jobs_stays_under_the_finger_while_its_time_grows() {
    let (_world, page) = boat_with_two_engines();
    page.place("Jobs");
    // The boat's own page, which is left here, shows the same row.
    page.wait_for("document.querySelector('h1').innerText === 'Open jobs'", SOON);
    page.eval::<()>("void (document.querySelector('main a.entry').mine = true)").unwrap();
    page.minutes_pass(3);
    page.wait_for("document.querySelector('main a.entry').innerText.match(/0:0[2-4]/)", SOON);
    assert!(page.eval::<bool>("document.querySelector('main a.entry').mine === true").unwrap());
}
