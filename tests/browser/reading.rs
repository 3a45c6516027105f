//! Readings on the screen: two taps to an answer, a unit that was mixed up, a reading
//! that goes onto a job, and an engine's figures over the years.

use quaywright_core::book::Book;
use quaywright_core::exchange::intake;
use quaywright_core::reading::Kind;
use serde_json::json;

use crate::ground::World;
use crate::hand::{CORNERS, book_of};
use crate::looks::judge;
use crate::page::{Page, SOON};

const LONDON: &str = "Europe/London";

fn kept(world: &World, page: &Page) -> Book {
    book_of(&intake::take(&world.backup(page)).unwrap())
}

/// Opens the form of a kind from the bench.
fn ask(page: &Page, question: &str) {
    page.place("Bench");
    page.wait_for_text("Is this battery good?");
    page.tap_words_in("a.entry", question);
    page.wait_for_text("Keep this reading");
}

fn answers(page: &Page, words: &str) {
    let shown = format!("document.querySelector('section[aria-label=Answer]')?.innerText.includes({words:?})");
    page.wait_for(&shown, SOON);
}

/// Goes to the readings of a job.
fn readings_of(page: &Page, boat: &str) {
    page.job(boat, "Story");
    page.tap_words_in("nav.parts a", "Readings");
    page.wait_for_text("Take a reading");
}

fn add_an_engine(page: &Page, boat: &str) {
    page.place("Jobs");
    page.tap_named("link", "Boats");
    page.wait_for_text(boat);
    page.tap_words_in("main a.entry", boat);
    page.wait_for("location.hash.startsWith('#/boat/')", SOON);
    page.tap_words("Add an engine");
    page.fill_labelled("Which one (port, starboard, generator …)", "port");
    page.fill_labelled("Model", "Four-cylinder diesel");
    page.tap_named("button", "Add the engine");
    page.said("Engine added");
    page.hide_what_was_said();
}

#[test]
fn two_taps_from_the_start_tell_offline_whether_a_battery_is_good_and_why() {
    let mut world = World::of_app();
    let page = world.open_workbook();
    page.wait_until_offline_is_ready();
    world.stop_server();
    page.reload().unwrap();
    page.wait_until_open();
    // Tap one, tap two.
    page.tap_named("link", "Bench");
    page.wait_for_text("Is this battery good?");
    page.tap_words_in("a.entry", "Is this battery good?");
    page.wait_for_text("eyes covered");
    answers(&page, "Still to write: Voltage at rest.");
    page.fill_labelled("Voltage at rest", "12,18");
    for words in ["Out of limits", "42 %", "not yet dead", "Rule: from 75 % up", "common practice", "at 80 °F"] {
        answers(&page, words);
    }
    page.fill_labelled("Voltage at rest", "12.66");
    answers(&page, "Within limits");
    answers(&page, "the load test tells");
    page.fill_labelled("Voltage at rest", "NaN");
    page.wait_for_text("Write a figure, as 12.6 or -5.");
    page.fill_labelled("Voltage at rest", "12.66");
    page.tap_named("button", "Keep this reading");
    page.said("Battery at rest kept");
    page.wait_for_text("Voltage at rest 12.66 V");
    assert_eq!(page.console_errors().unwrap(), Vec::<String>::new());
}

#[test]
fn a_unit_that_was_mixed_up_is_asked_about_and_not_refused() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    ask(&page, "Is the compression even?");
    page.fill_labelled("Cylinder 1", "830");
    answers(&page, "830 psi is more than is usual here (29 psi to 725 psi). Is it 830 kPa, which is 120.4 psi?");
    page.tap_named("button", "Keep this reading");
    page.said("830 psi is more than is usual here");
    page.hide_what_was_said();
    page.tap_named("button", "Yes, kPa");
    // The others have it now too; another gauge reads the rest.
    page.choose_labelled("Unit: Cylinder 2", "psi");
    page.fill_labelled("Cylinder 2", "118");
    answers(&page, "Within limits");
    answers(&page, "The cylinders are even.");
    // It may be just so: a dead cylinder reads next to nothing.
    page.fill_labelled("Cylinder 3", "12");
    answers(&page, "12 psi is less than is usual here");
    page.tap_named("button", "No, it is so");
    answers(&page, "Out of limits");
    answers(&page, "Cylinder 3 is lower than cylinder 1.");
    page.tap_named("button", "Keep this reading");
    page.said("Compression kept");
    let book = kept(&world, &page);
    let reading = book.readings.readings().next().unwrap();
    assert_eq!(reading.facts.kind, Kind::Compression);
    let typed: Vec<String> = quaywright_core::view::readings_on_the_bench(&book, reading.at.day(), 1)
        .remove(0)
        .answers
        .into_iter()
        .map(|(words, value)| format!("{words} {value}"))
        .collect();
    assert_eq!(typed, ["Cylinder 1 830 kPa", "Cylinder 2 118 psi (813.6 kPa)", "Cylinder 3 12 psi (82.7 kPa)"]);
    page.assert_quiet();
}

#[test]
fn a_reading_of_the_bench_goes_onto_a_job_with_its_photo_and_into_the_summary() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    let photo = world.lay_out("gauge.jpg", &page.paint("jpeg", 600, 450, CORNERS));
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Flat");
    ask(&page, "Does it charge as it should?");
    page.choose_labelled("System", "12 V");
    page.fill_labelled("Voltage while charging", "12.7");
    answers(&page, "It does not charge");
    page.tap_named("button", "Keep this reading");
    page.said("Charging voltage kept");
    page.photograph("Photo of the gauge: Charging voltage", &[photo]);
    page.hide_what_was_said();
    page.unfold("Put it on a job");
    page.tap_words_in("details button.line", "Marsh Heron");
    page.said("The reading is on Marsh Heron · No charge at sea");
    page.hide_what_was_said();
    readings_of(&page, "Marsh Heron");
    page.wait_for_text("Voltage while charging 12.7 V");
    // One more, from the job itself.
    page.unfold("Take a reading");
    page.tap_words_in("a.entry", "Does it hold while cranking?");
    page.choose_labelled("System", "12 V");
    page.fill_labelled("Voltage while cranking", "10.4");
    page.tap_named("button", "Keep this reading");
    page.said("Cranking voltage kept");
    page.wait_for_text("Voltage while cranking 10.4 V");
    judge(&page, "job-readings");
    page.tap_named("button", "Remove Cranking voltage");
    page.said("Cranking voltage is removed");
    page.tap_named("button", "Take back");
    page.wait_for_text("Voltage while cranking 10.4 V");

    let book = kept(&world, &page);
    let job = book.jobs.jobs().next().unwrap().id;
    let today = book.readings.readings().next().unwrap().at.day();
    let cards = quaywright_core::view::readings_of(&book, job, today);
    let photos: Vec<usize> = cards.iter().map(|card| card.photos.len()).collect();
    assert_eq!(photos, [0, 1]);
    let owner = quaywright_core::sheet::owner_sheet(&book, job, today).unwrap();
    let told = owner.readings[0].owner_words();
    assert!(told.contains("12.7 V") && told.contains("Out of limits. It does not charge"), "{told}");
    page.assert_quiet();
}

#[test]
fn this_years_compression_stands_beside_last_years_and_own_limits_rule() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2025-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "Survey", "Yearly");
    add_an_engine(&page, "Marsh Heron");
    let measure = |figures: [&str; 2]| {
        readings_of(&page, "Marsh Heron");
        page.unfold("Take a reading");
        page.tap_words_in("a.entry", "Is the compression even?");
        page.wait_for_text("Keep this reading");
        for (cylinder, figure) in ["Cylinder 1", "Cylinder 2"].into_iter().zip(figures) {
            page.fill_labelled(cylinder, figure);
        }
        answers(&page, "Within limits");
        page.tap_named("button", "Keep this reading");
        page.said("Compression kept");
        page.hide_what_was_said();
    };
    measure(["430", "425"]);
    page.set_wall_clock("2026-05-06T08:00:00+01:00");
    measure(["428", "380"]);
    page.tap_words_in("a.button", "Course and limits");
    page.wait_for_text("The engine's own limits");
    page.wait_for("document.querySelectorAll('figure.course svg').length === 3", SOON);
    let named: String = page.eval("document.querySelectorAll('figure.course svg')[1].ariaLabel").unwrap();
    assert!(named.starts_with("cylinder 2. ") && named.contains("425 psi; ") && named.ends_with("380 psi"), "{named}");
    page.fill_labelled("Lowest", "400");
    page.tap_named("button", "Keep the limits");
    page.said("Write which manual and page the limits are from first");
    page.hide_what_was_said();
    page.fill_labelled("From which manual and page", "Service manual 3, page 4-2");
    page.tap_named("button", "Keep the limits");
    page.said("Limits kept");
    judge(&page, "course");
    readings_of(&page, "Marsh Heron");
    page.wait_for_text("Cylinder 2 380 psi is below the lowest, 400 psi.");
    page.assert_quiet();
}

/// Goes on by keys alone to the control whose name begins so.
#[track_caller]
fn key_to(page: &Page, begins: &str) {
    let here = format!(
        "(() => {{ const at = document.activeElement; \
         return (at.ariaLabel ?? at.labels?.[0]?.innerText ?? at.innerText).trim().startsWith({}) && at !== document.body; }})()",
        json!(begins)
    );
    for _ in 0..120 {
        page.press("Tab");
        if page.eval::<bool>(&here).unwrap() {
            return;
        }
    }
    panic!("no key leads to {begins}: {}", page.describe());
}

/// Goes there and presses it.
#[track_caller]
fn key(page: &Page, begins: &str) {
    key_to(page, begins);
    page.press("Enter");
}

#[test]
fn a_battery_is_judged_by_keys_alone_and_its_reading_goes_onto_a_job_later() {
    let mut world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Flat");
    page.hide_what_was_said();
    page.wait_until_offline_is_ready();
    world.stop_server();
    page.reload().unwrap();
    page.wait_until_open();
    key(&page, "Bench");
    page.wait_for_text("Is this battery good?");
    key(&page, "Is this battery good?");
    page.wait_for("document.activeElement.id === 'heading'", SOON);
    key_to(&page, "Voltage at rest");
    page.call("Input.insertText", json!({ "text": "25.2" })).unwrap();
    answers(&page, "25.2 V is more than is usual here (10 V to 13.2 V). Is it a system of 24 V?");
    key(&page, "Yes, 24 V");
    answers(&page, "Within limits");
    answers(&page, "common practice");
    // What is answered is told to who cannot see it.
    let told: String = page.eval("document.querySelector('section[aria-label=Answer]').ariaLive").unwrap();
    assert_eq!(told, "polite");
    key(&page, "Keep this reading");
    page.said("Battery at rest kept");
    key(&page, "Put it on a job");
    key(&page, "Marsh Heron · No charge at sea");
    page.said("The reading is on Marsh Heron · No charge at sea");
    page.hide_what_was_said();
    readings_of(&page, "Marsh Heron");
    page.wait_for_text("Voltage at rest 25.2 V");
    assert_eq!(page.console_errors().unwrap(), Vec::<String>::new());
}

#[test]
fn a_step_opens_its_reading_and_knows_that_it_was_taken() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Flat");
    add_an_engine(&page, "Marsh Heron");
    page.take_ready_made("Battery change");
    page.job("Marsh Heron", "Steps");
    page.wait_for_text("Do it by a procedure");
    page.do_by("Battery change");
    let open = "[...document.querySelectorAll('details')].forEach(it => it.open = true)";
    page.eval::<()>(open).unwrap();
    page.tap_named("link", "Measure: voltage while charging");
    page.wait_for_text("For the step");
    page.choose_labelled("System", "12 V");
    page.fill_labelled("Voltage while charging", "14.2");
    answers(&page, "Within limits");
    judge(&page, "step-reading");
    page.tap_named("button", "Keep this reading");
    page.said("Charging voltage kept");
    page.wait_for("location.hash.endsWith('/steps')", SOON);
    page.wait_for("document.querySelector('details') !== null", SOON);
    page.eval::<()>(open).unwrap();
    page.wait_for_text("taken: Within limits");
    judge(&page, "step-taken");
    page.hide_what_was_said();

    // It is the port engine's, and stands on that engine's page.
    page.place("Jobs");
    page.tap_named("link", "Boats");
    page.tap_words_in("main a.entry", "Marsh Heron");
    page.wait_for("location.hash.startsWith('#/boat/')", SOON);
    page.wait_for_text("Readings and limits");
    page.unfold("Readings and limits");
    page.wait_for_text("read once, ");
    judge(&page, "engine-readings");
    page.tap_words_in("main a.entry", "Charging voltage");
    page.wait_for_text("The engine's own limits");

    // A figure in another unit has the SI's beside it, and a reading moves to another job.
    ask(&page, "Is the oil pressure right?");
    page.fill_labelled("Oil pressure", "50");
    page.wait_for_text("= 344.7 kPa");
    page.tap_named("button", "Keep this reading");
    page.said("Oil pressure kept");
    page.wait_for_text("Oil pressure 50 psi (344.7 kPa)");
    page.hide_what_was_said();
    page.unfold("Put it on a job");
    page.tap_words_in("details button.line", "Marsh Heron · No charge at sea");
    page.said("The reading is on Marsh Heron");
    page.hide_what_was_said();
    readings_of(&page, "Marsh Heron");
    page.wait_for_text("Oil pressure 50 psi (344.7 kPa)");
    // The latest stands first.
    page.tap_words_in("summary", "Put it on another job or engine");
    page.tap_words_in("details button.line", "No job: back on the bench");
    page.said("The reading is on the bench");
    page.tap_named("button", "Take back");
    page.wait_for_text("Oil pressure 50 psi (344.7 kPa)");
    page.assert_quiet();
}

#[test]
fn the_bench_can_be_read_and_reached() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.open_job(
        "Sea Otter of the Northern Channel",
        "C. Dunlin",
        "Leaking fitting at the after heat exchanger",
        "Drips",
    );
    add_an_engine(&page, "Sea Otter");
    page.place("Bench");
    page.wait_for_text("Kept, on no job yet");
    judge(&page, "bench");
    ask(&page, "Is this battery good?");
    page.fill_labelled("Voltage at rest", "12.18");
    answers(&page, "Out of limits");
    page.unfold("It helps to say more");
    judge(&page, "bench-battery");
    page.tap_named("button", "Keep this reading");
    page.said("Battery at rest kept");
    judge(&page, "bench-battery-kept");
    page.hide_what_was_said();
    ask(&page, "Is the compression even?");
    page.fill_labelled("Cylinder 1", "830");
    answers(&page, "Is it 830 kPa");
    judge(&page, "bench-question");
    ask(&page, "Which wire and fuse does this run need?");
    for (label, choice) in [
        ("System", "12 V"),
        ("What it feeds", "safety: lights, pumps, blower, radio (3 %)"),
        ("Insulation rated for", "105 °C"),
        ("Wire made to", "AWG"),
    ] {
        page.choose_labelled(label, choice);
    }
    page.fill_labelled("Current", "10");
    page.fill_labelled("Length, out and back", "6.4");
    answers(&page, "6270");
    judge(&page, "bench-conductor");
    page.place("Bench");
    page.tap_words_in("a.entry", "What is this torque in other units?");
    page.fill_labelled("Torque", "45");
    page.wait_for_text("45 N·m (33.2 lbf·ft)");
    page.fill_labelled("Wrench, drive to grip (400 mm, 16 in)", "400 mm");
    page.fill_labelled("Adapter, drive to fastener", "60 mm");
    page.fill_labelled("Angle, 0 straight on to 180 pointing back", "0");
    page.wait_for_text("39.1 N·m");
    page.fill_labelled("Thread (M8, M10 × 1.25, 3/8-16)", "M8");
    page.wait_for_text("General guidance, not a maker's value.");
    judge(&page, "reckon");
    page.assert_quiet();
}
