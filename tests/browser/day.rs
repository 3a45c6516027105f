//! A technician's day, from the first tap to the files that leave the phone.
//!
//! The network is gone after the first load, as it is on a dock. What leaves is
//! read with the core and not with the page that wrote it: records that vouch
//! for themselves, a table whose milliseconds add up to the day, an owner's
//! page that holds nothing of anybody else.

use std::time::Duration;

use quaywright_core::book::Book;
use quaywright_core::event::{Activity, Way};
use quaywright_core::exchange::{bundle, intake};
use quaywright_core::moment::{Day, Length, Moment};
use quaywright_core::quantity::Count;
use quaywright_core::sheet::{self, DaySheet};
use quaywright_core::view;
use serde_json::json;

use crate::ground::World;
use crate::hand::{CORNERS, Loose, book_of};
use crate::looks::judge;
use crate::page::{Page, SOON};

const LONDON: &str = "Europe/London";
const MORNING: &str = "2026-05-04T08:00:00+01:00";
const BOLTS: Loose = Loose { what: "Cover bolt", count: "12", size: "M8 × 45", side: "front", stowed: "red tray" };
const HOSE: Loose = Loose { what: "Bypass hose", count: "1", size: "22 mm", side: "under", stowed: "cockpit locker" };

/// What is said of the other boat; none of it may reach this one's owner.
const OTHERS: [&str; 4] = ["Grey Seal", "B. Wren", "Water under the floor", "A puddle after each night"];

#[test]
fn a_whole_day_without_a_network() {
    let mut world = World::of_app();
    let page = world.open_workbook_at(LONDON, MORNING);
    page.wait_until_offline_is_ready();
    world.stop_server();

    page.name_technician("R. Teal", "Slipway Works");
    work_the_morning(&page);
    take_apart_and_put_back(&world, &page);
    let half_typed = "Regulator replaced, belt";
    come_back_from_a_reload(&page, half_typed);
    work_the_afternoon(&page);

    page.place("Hand over");
    for words in ["Grey Seal, Water under the floor: no cause and no correction yet.", "11 things are still off"] {
        page.wait_for_text(words);
    }
    let shown = page.text();
    assert!(!shown.contains("Marsh Heron, No charge at sea: no"), "the story of this one is told: {shown}");
    assert!(!shown.contains("The clock still runs"), "{shown}");

    let file = world.save_document(&page, "Make the day's file", "day 2026-05-04.html");
    page.choose_labelled("What the file holds", "hours as a table (CSV)");
    let table = world.save_document(&page, "Make the day's file", "hours 2026-05-04.csv");
    page.choose_labelled("Job", "Marsh Heron · No charge at sea");
    let summary = world.save_document(&page, "Make the work summary", "work on Marsh Heron 2026-05-04.html");
    let backup = world.backup(&page);
    for left in ["The day's file of", "The hours of", "The work summary of Marsh Heron", "A backup"] {
        page.wait_for_text(left);
    }

    let sheet = read_the_day(&file);
    add_up(&sheet, &table);
    page.place("Now");
    page.wait_for_text(&format!("{} worked", sheet.worked.clock_face()));
    look_at_as_the_owner(&world, &summary);
    page.assert_quiet();
    bring_into_a_fresh_profile(&page, &backup);
}

/// 8:00 labour, 8:40 diagnosis, 9:00 the other boat, a slip taken back, 9:45 parts run, 10:10 labour.
fn work_the_morning(page: &Page) {
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Batteries flat after a night at anchor");
    page.clock_shows("Marsh Heron");
    page.minutes_pass(40);
    page.do_now("On Marsh Heron", "Diagnosis");
    page.minutes_pass(20);
    page.open_job(OTHERS[0], OTHERS[1], OTHERS[2], OTHERS[3]);
    page.minutes_pass(35);
    page.switch_to("Marsh Heron");
    page.clock_shows("Marsh Heron");
    page.tap_named("button", "Take back");
    page.said("Taken back");
    page.clock_shows("Grey Seal");
    page.minutes_pass(10);
    page.do_now("On no job", "Parts run");
    page.minutes_pass(25);
    page.switch_to("Marsh Heron");
    page.tap_named("link", "Note");
    page.wait_for_text("Note on Marsh Heron: No charge at sea");
    page.fill_labelled("What to remember", "Belt worn on one side\nlook at the bracket again");
    page.tap_named("button", "Keep the note");
    page.said("Note kept");
}

fn take_apart_and_put_back(world: &World, page: &Page) {
    let first = world.lay_out("first.jpg", &page.paint("jpeg", 640, 480, CORNERS));
    let second = world.lay_out("second.jpg", &page.paint("jpeg", 480, 640, ["blue", "white", "red", "lime"]));
    page.job("Marsh Heron", "Off-list");
    page.take_off(&BOLTS);
    page.photograph("Photo of Cover bolt", &[first]);
    page.take_off(&HOSE);
    page.tap_named("button", "Back on: Bypass hose");
    page.said("1 × Bypass hose back on");
    page.tap_named("button", "1 back on: Cover bolt");
    page.said("1 × Cover bolt back on");
    page.wait_for_text("11 things are still off");

    page.part("Steps");
    for step in ["Look at the bracket", "Run her up and measure the charge"] {
        page.fill_labelled("Another step", step);
        page.tap_named("button", "Add the step");
        page.said("Step added");
        page.hide_what_was_said();
    }
    page.tap_words("Look at the bracket");
    page.said("Done: Look at the bracket");

    page.part("Parts");
    page.fill_labelled("Part", "Regulator");
    page.fill_labelled("Part number, as on the packet", "RG-14-B");
    page.tap_named("button", "Add the part");
    page.said("1 × Regulator used");
    page.part("Photos");
    page.photograph("Photo of the job", &[second]);
}

/// What is half typed, and the running clock, come back with the page.
fn come_back_from_a_reload(page: &Page, half_typed: &str) {
    page.part("Off-list");
    page.tap_named("button", "Taking apart");
    page.fill_labelled("What came off", "Belt guard");
    page.fill_labelled("How many", "3");
    page.part("Story");
    page.write("Cause", "Regulator without output");
    page.said("Cause kept");
    page.fill_labelled("Correction", half_typed);
    std::thread::sleep(Duration::from_millis(800));
    page.reload().unwrap();
    page.wait_until_open();
    let correction = "[...document.querySelectorAll('.part.current textarea')].at(-1).value";
    page.wait_for(&format!("{correction} === {}", json!(half_typed)), SOON);
    page.part("Off-list");
    let fields =
        "[...document.querySelectorAll('.part.current form:first-of-type input')].slice(0, 2).map(it => it.value)";
    assert_eq!(page.eval::<[String; 2]>(fields).unwrap(), ["Belt guard", "3"]);
    page.place("Now");
    page.clock_shows("Labour");
    page.clock_shows("Marsh Heron");
    page.job("Marsh Heron", "Story");
    page.write("Correction", "Regulator replaced, belt tightened; 14.2 V at 1500 rpm");
    page.said("Correction kept");
}

/// 11:10 meal period, 11:40 labour, 12:40 off.
fn work_the_afternoon(page: &Page) {
    page.place("Now");
    page.minutes_pass(60);
    page.do_now("On no job", "Meal period");
    page.minutes_pass(30);
    page.switch_to("Marsh Heron");
    page.minutes_pass(60);
    page.off_the_clock();
}

fn read_the_day(file: &[u8]) -> DaySheet {
    let bundle = bundle::read_bundle(file).unwrap();
    assert_eq!((bundle.day.to_string().as_str(), bundle.technician.as_str()), ("2026-05-04", "R. Teal"));
    let book = book_of(&bundle.intake);
    let intake = intake::take(file).unwrap();
    assert_eq!((intake.blobs.len(), book.evidence.photos().count()), (2, 2));
    for photo in book.evidence.photos() {
        assert!(photo.facts.position.is_none());
        assert!(intake.blobs.iter().any(|(id, _)| *id == photo.facts.blob));
    }
    let evening = Moment::parse("2026-05-04T23:00:00+01:00").unwrap();
    let sheet = sheet::day_sheet(&book, bundle.day, evening, bundle.log);
    tell_the_story(&book, &sheet);
    sheet
}

fn tell_the_story(book: &Book, sheet: &DaySheet) {
    let boats: Vec<&str> = sheet.jobs.iter().map(|job| job.boat.name.as_str()).collect();
    assert_eq!(boats, ["Marsh Heron", "Grey Seal"]);
    let job = &sheet.jobs[0];
    assert_eq!(job.lines[0].story.cause.as_str(), "Regulator without output");
    assert!(job.lines[0].story.correction.as_str().contains("14.2 V"));
    assert_eq!(job.parts[0].number.as_str(), "RG-14-B");
    assert_eq!(job.steps.iter().map(|step| step.done).collect::<Vec<_>>(), [true, false]);
    let bolts = book.teardown.still_off(job.job).next().unwrap();
    assert_eq!((bolts.facts.what.as_str(), bolts.still_off(), bolts.back()), ("Cover bolt", Count(11), Count(1)));
    assert_eq!((bolts.facts.size.as_str(), bolts.facts.stowed.as_str()), ("M8 × 45", "red tray"));
    assert_eq!(book.teardown.still_off(job.job).count(), 1);
    assert!(job.notes[0].text.as_str().ends_with("look at the bracket again"));
    // What the hand did takes some seconds of its own; the rest is what the wall clock was told.
    let about = |length: Length, minutes: u64| {
        let told = Length::from_ms(minutes * 60_000).ms();
        assert!((told..told + 240_000).contains(&length.ms()), "{} is not about {minutes} min", length.clock_face());
    };
    about(sheet.total, 280);
    about(sheet.worked, 250);
    about(job.time(), 180);
    about(sheet.jobs[1].time(), 45);
    about(sheet.pauses[0].length, 30);
    assert_eq!(sheet.no_job[0].activity, Activity::PartsRun);
    assert_eq!(view::worked(book, sheet.day, Moment::parse("2026-05-04T23:00:00+01:00").unwrap()), sheet.worked);
}

/// The table's milliseconds are the day's.
fn add_up(sheet: &DaySheet, table: &[u8]) {
    let table = table.strip_prefix(b"\xef\xbb\xbf").expect("a byte order mark");
    let mut reader = csv::Reader::from_reader(table);
    let of = |name: &str| {
        let header = csv::Reader::from_reader(table).headers().unwrap().clone();
        header.iter().position(|it| it == name).unwrap()
    };
    let (milliseconds, part, boat) = (of("milliseconds"), of("part"), of("boat"));
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let sum = |keep: &dyn Fn(&csv::StringRecord) -> bool| -> u64 {
        rows.iter().filter(|row| keep(row)).map(|row| row[milliseconds].parse::<u64>().unwrap()).sum()
    };
    assert_eq!(sum(&|_| true), sheet.total.ms());
    assert_eq!(sum(&|row| &row[part] != "pause"), sheet.worked.ms());
    for job in &sheet.jobs {
        assert_eq!(sum(&|row| row[boat] == *job.boat.name.as_str()), job.time().ms());
    }
}

/// The owner's page shows its two photos, asks nobody, and knows of nobody else.
fn look_at_as_the_owner(world: &World, summary: &[u8]) {
    let text = String::from_utf8(summary.to_vec()).unwrap();
    for word in OTHERS.into_iter().chain(["parts run", "customer pay", "warranty", "Belt worn"]) {
        assert!(!text.contains(word), "the owner's page tells of {word}");
    }
    let path = world.lay_out("summary.html", summary);
    let page = world.browser().blank();
    page.go(&format!("file://{}", path.display())).unwrap();
    let pictures = "Promise.all([...document.images].map(it => it.decode().then(() => it.naturalWidth)))";
    assert_eq!(page.eval::<Vec<u32>>(pictures).unwrap(), [640, 480]);
    for words in ["Marsh Heron", "A. Finch", "We found", "Regulator without output", "RG-14-B", "11 of 12 off"] {
        page.wait_for_text(words);
    }
    for request in page.requests().unwrap().iter().filter(|it| it.from == "page") {
        assert!(request.url.starts_with("file://") || request.url.starts_with("data:"), "{request:?}");
    }
    page.assert_quiet();
}

/// Another phone that takes the backup in shows the same and writes the same.
fn bring_into_a_fresh_profile(page: &Page, backup: &[u8]) {
    let world = World::of_app();
    let other = world.open_workbook_at(LONDON, "2026-05-04T13:00:00+01:00");
    other.place("Hand over");
    other.bring_back(world.lay_out("backup.txt", backup));
    other.said("entries and 2 photos are here now");
    let name = "document.querySelectorAll('main input[type=text]')[0].value";
    other.wait_for(&format!("{name} === 'R. Teal'"), SOON);
    assert_eq!(world.backup(&other), backup, "what came back is written as it was");

    let shown = |page: &Page| {
        page.place("Now");
        page.wait_for("document.querySelectorAll('ol.strip li').length > 0", SOON);
        let strip: String = page.eval("document.querySelector('ol.strip').innerText").unwrap();
        page.job("Marsh Heron", "Off-list");
        // What is half typed above the list is no record and stays on its phone.
        let list = "document.querySelector('.part.current').innerText.split('Still off')[1]";
        (strip, page.eval::<String>(list).unwrap())
    };
    assert_eq!(shown(page), shown(&other));
    let intake = intake::take(backup).unwrap();
    let left: Vec<Way> = book_of(&intake).handovers.all().iter().map(|left| left.way).collect();
    assert_eq!(left, [Way::Downloaded; 3], "the backup was made before it left itself");
}

const SHARE_SHEET: &str = "
    globalThis.shared = [];
    globalThis.sheet = 'take';
    navigator.canShare = data => data.files.length === 1 && data.files.every(it => it instanceof File);
    navigator.share = data => {
        shared.push(data.files.map(it => [it.name, it.type, it.size > 0, navigator.userActivation.isActive]));
        return sheet === 'take' ? new Promise(done => { globalThis.taken = done; })
            : Promise.reject(new DOMException('nobody', sheet));
    };";

#[test]
fn it_is_shared_when_an_app_took_it() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    page.place("Hand over");
    page.tap_named("button", "Make a backup");
    page.wait_for_text("is ready");
    assert!(!page.shows("button", "Share"), "this browser has no share sheet");

    page.before_each_document(SHARE_SHEET).unwrap();
    page.reload().unwrap();
    page.wait_until_open();
    let left = || page.eval::<String>("document.body.innerText.split('What left, and what has not')[1]").unwrap();
    page.tap_named("button", "Make the day's file");
    page.wait_for_text("is ready");
    page.eval::<()>("void (sheet = 'AbortError')").unwrap();
    page.tap_named("button", "Share");
    page.said("Not shared. It has not left this phone.");
    let has_not_left =
        || assert!(left().contains("it has not left") && !left().contains("an app took it"), "{}", left());
    has_not_left();

    page.eval::<()>("void (sheet = 'NotAllowedError')").unwrap();
    page.tap_named("button", "Share");
    page.said("The share sheet did not take this file (NotAllowedError). It has not left this phone.");
    has_not_left();

    page.eval::<()>("void (sheet = 'take')").unwrap();
    page.tap_named("button", "Share");
    page.wait_for("globalThis.taken", SOON);
    // Nothing is noted before an app took it.
    has_not_left();
    page.eval::<()>("void taken()").unwrap();
    page.said("is shared");
    page.wait_for_text("an app took it, no receipt yet");
    assert!(left().contains("The day's file of"), "{}", left());

    let files: Vec<Vec<(String, String, bool, bool)>> = page.eval("shared").unwrap();
    for file in &files {
        let [(name, kind, full, by_hand)] = file.as_slice() else { panic!("one file at a time: {file:?}") };
        assert!(name.starts_with("day ") && name.ends_with(".html"), "{name}");
        assert_eq!((kind.as_str(), *full, *by_hand), ("text/html", true, true));
    }
    assert_eq!(files.len(), 3);
    page.assert_quiet();
}

#[test]
fn a_made_document_stays_until_the_book_says_something_else() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, MORNING);
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    page.place("Hand over");
    page.tap_named("button", "Make the day's file");
    page.wait_for_text("is ready");
    page.tap_named("button", "Make the work summary");
    page.wait_for_text("work on Marsh Heron 2026-05-04.html is ready");
    page.minutes_pass(2);
    std::thread::sleep(Duration::from_millis(2_500));
    assert_eq!(page.text().matches(" is ready").count(), 2, "{}", page.text());

    page.tap_named("button", "Off the clock");
    page.said("Off the clock");
    page.wait_for("!document.body.innerText.includes(' is ready')", SOON);
}

/// IANA tz database: Europe/London goes back by an hour on 2026-10-25 at 01:00 UTC.
#[test]
fn the_night_when_the_clocks_go_back_has_its_hour_more() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-10-25T00:30:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "Bilge pump", "Runs all night");
    page.minutes_pass(120);
    page.wait_for("document.querySelector('[role=timer]').innerText.startsWith('2:0')", SOON);
    page.do_now("On Marsh Heron", "Diagnosis");
    page.wait_for_text("01:30");
    page.minutes_pass(90);
    page.off_the_clock();
    page.wait_for_text("3:30 worked");

    page.place("Hand over");
    let file = world.save_document(&page, "Make the day's file", "day 2026-10-25.html");
    let bundle = bundle::read_bundle(&file).unwrap();
    let now = Moment::parse("2026-10-25T12:00:00+00:00").unwrap();
    let sheet = sheet::day_sheet(&book_of(&bundle.intake), bundle.day, now, bundle.log);
    let minutes: Vec<u64> = sheet.jobs[0].lines[0].time.iter().map(|share| share.length.minutes()).collect();
    assert_eq!(minutes, [120, 90]);
    assert_eq!(Day::parse("2026-10-25"), Some(sheet.day));
    page.assert_quiet();
}

#[test]
fn a_phone_set_back_by_a_day_is_told_and_loses_nothing() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-05T09:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    page.minutes_pass(120);
    page.do_now("On Marsh Heron", "Diagnosis");
    page.set_wall_clock("2026-05-04T11:30:00+01:00");
    page.wait_for_text("This phone's clock is 23:3");
    judge(&page, "clock-behind");
    page.job("Marsh Heron", "Time");
    assert!(page.text().contains("2:00"), "{}", page.text());
    page.off_the_clock();

    page.set_wall_clock("2026-05-05T12:00:00+01:00");
    page.wait_for("!document.body.innerText.includes(\"This phone's clock is\")", SOON);
    page.wait_for_text("2:00 worked");
    page.place("Hand over");
    page.wait_for_text("behind the tap before it. Check the times around it.");
    page.reload().unwrap();
    page.wait_until_open();
    page.place("Now");
    page.wait_for_text("2:00 worked");
    page.assert_quiet();
}
