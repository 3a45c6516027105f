//! A photo is drawn on: with a finger, by keys alone, without a network; and a group has its own.

use std::path::PathBuf;
use std::time::Duration;

use quaywright_core::book::Book;
use quaywright_core::event::{About, Mark, Spot};
use quaywright_core::exchange::intake;

use crate::ground::World;
use crate::hand::{CORNERS, Loose, book_of};
use crate::page::{Page, SOON};

const LONDON: &str = "Europe/London";

/// Opens the page on which one draws on the photo of a seal.
fn at_the_photo(world: &World) -> Page {
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.name_technician("R. Teal", "Slipway Works");
    page.open_job("Marsh Heron", "A. Finch", "Cooler leaks", "Water in the bilge");
    page.job("Marsh Heron", "Off-list");
    page.take_off(&Loose { what: "Shaft seal", count: "1", size: "", side: "under", stowed: "tray 1" });
    let picture = world.lay_out("seal.jpg", &page.paint("jpeg", 1_200, 900, CORNERS));
    page.photograph("Photo of Shaft seal", &[picture]);
    page.tap_named("link", "Draw on it: Shaft seal");
    page.wait_for("document.querySelector('.board img')?.complete", SOON);
    page
}

fn book(world: &World, page: &Page) -> Book {
    book_of(&intake::take(&world.backup(page)).unwrap())
}

/// Tells whether two places are as near as a finger is sure: a hundredth of the photo.
fn is_near(one: Spot, x: u16, y: u16) -> bool {
    Spot::new(x, y).is_some_and(|other| one.apart(other) <= 100)
}

fn looks_well(page: &Page) {
    let misses: Vec<String> = page.axe().unwrap().iter().map(ToString::to_string).collect();
    assert_eq!(misses, Vec::<String>::new());
}

/// Moves a finger over the photo from one place to another, both as parts of its width and height.
fn swipe(page: &Page, from: (f64, f64), to: (f64, f64)) {
    let along = |from: f64, to: f64, step: u32| 100.0 * (from + (to - from) * f64::from(step) / 10.0);
    let place = |step| (along(from.0, to.0, step), along(from.1, to.1, step));
    let steps = if from == to { 0..=0 } else { 0..=10 };
    page.draw(".pen", &steps.map(place).collect::<Vec<_>>());
}

/// Takes another tool: a tap right after a flick only stops the flick, as on any phone.
fn takes(page: &Page, tool: &str) {
    std::thread::sleep(Duration::from_millis(500));
    page.tap_named("button", tool);
}

/// Leaves a picture of the screen where a person asked for them.
fn picture(page: &Page, name: &str) {
    if let Some(folder) = std::env::var_os("QUAYWRIGHT_SHOTS") {
        page.screenshot(&PathBuf::from(folder).join(format!("{name}.png"))).unwrap();
    }
}

#[test]
fn what_a_finger_draws_is_kept_and_shown_wherever_the_photo_is() {
    let mut world = World::of_app();
    let page = at_the_photo(&world);
    page.wait_until_offline_is_ready();
    world.stop_server();
    swipe(&page, (0.2, 0.8), (0.5, 0.5));
    page.said("Drawn");
    page.wait_for_text("arrow to the middle");
    page.hide_what_was_said();
    takes(&page, "Ring");
    swipe(&page, (0.5, 0.5), (0.7, 0.5));
    page.wait_for_text("ring at the middle");
    takes(&page, "Line");
    // Two strokes in quick succession both stay.
    swipe(&page, (0.1, 0.1), (0.9, 0.1));
    swipe(&page, (0.1, 0.9), (0.9, 0.9));
    page.wait_for_text("line from the lower left to the lower right");
    takes(&page, "Words");
    page.tap_named("button", "lip down");
    swipe(&page, (0.5, 0.7), (0.5, 0.7));
    page.wait_for_text("“lip down” at the bottom");
    looks_well(&page);
    picture(&page, "marks-drawn");
    takes(&page, "Take away: line from the upper left to the upper right");
    page.wait_for("!document.body.innerText.includes('line from the upper left')", SOON);

    let kept = book(&world, &page);
    let photo = kept.evidence.photos().next().unwrap();
    let [Mark::Arrow(from, to), Mark::Ring(middle, radius), Mark::Stroke(line), Mark::Words(at, words)] =
        photo.marks.as_slice()
    else {
        panic!("{:?}", photo.marks)
    };
    assert!(is_near(*from, 2_000, 8_000) && is_near(*to, 5_000, 5_000), "{from:?} {to:?}");
    assert!(is_near(*middle, 5_000, 5_000) && radius.abs_diff(2_000) < 100, "{middle:?} {radius}");
    assert!(line.len() > 2 && line.len() < 80 && is_near(*at, 5_000, 7_000), "{line:?} {at:?}");
    assert_eq!(words.as_str(), "lip down");

    // The photo's own bytes are as they were, and each place that shows it shows the marks.
    let drawn = "document.querySelectorAll('.part.current figure svg path:not(.pale)').length === 1 && \
                 document.querySelector('.part.current figure svg text').textContent === 'lip down'";
    page.job("Marsh Heron", "Off-list");
    page.wait_for(drawn, SOON);
    page.job("Marsh Heron", "Photos");
    page.wait_for(drawn, SOON);
    page.wait_for("document.querySelector('.part.current figure img')?.alt.includes('Drawn on it: arrow')", SOON);
    picture(&page, "marks-shown");
    page.place("Hand over");
    let day = world.save_document(&page, "Make the day's file", "day 2026-05-04.html");
    let day = String::from_utf8(day).unwrap();
    assert!(day.contains("Drawn on it: arrow to the middle; ring at the middle;") && day.contains("<svg viewBox="));
    page.assert_quiet();
}

#[test]
fn a_mark_is_placed_moved_and_taken_back_by_keys() {
    let world = World::of_app();
    let page = at_the_photo(&world);
    page.unfold("Without a finger");
    let press = |name: &str| {
        let focus = format!(
            "[...document.querySelectorAll('main button')].find(it => (it.ariaLabel ?? it.innerText.trim()) === '{name}').focus()"
        );
        page.hide_what_was_said();
        page.eval::<()>(&format!("void {focus}")).unwrap();
        page.press("Enter");
    };
    press("Arrow at the upper right");
    page.wait_for_text("arrow to the upper right");
    press("To the left");
    page.said("Moved");
    press("Down");
    page.said("Moved");
    looks_well(&page);
    let kept = book(&world, &page);
    let marks = kept.evidence.photos().next().unwrap().marks.clone();
    let tip = Spot::new(8_333 - 150, 1_667 + 150).unwrap();
    assert!(matches!(marks.as_slice(), [Mark::Arrow(_, to)] if *to == tip), "{marks:?}");

    page.job("Marsh Heron", "Photos");
    page.tap_named("link", "Draw on it: Shaft seal");
    page.unfold("Without a finger");
    press("Words");
    press("Words at the left");
    // Words that are not there are asked for.
    page.wait_for_text("the words for the photo");
    press("Arrow");
    press("Take the last mark back");
    page.wait_for_text("Nothing is drawn yet.");
    page.assert_quiet();
}

#[test]
fn a_group_has_its_own_photo_and_note() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "Cooler leaks", "Water in the bilge");
    page.job("Marsh Heron", "Torque");
    page.fill_labelled("What is tightened", "Cover");
    page.fill_labelled("How many (in each row)", "6");
    page.tap_named("button", "Add the group");
    page.wait_for_text("Notes and photos");
    let picture = world.lay_out("cover.jpg", &page.paint("jpeg", 640, 480, CORNERS));
    page.photograph("Photo of Cover", &[picture]);
    page.fill_labelled("Note on the group", "the third one turns hard");
    page.tap_named("button", "Keep the note");
    page.said("Note kept");
    page.wait_for_text("the third one turns hard");
    page.wait_for("document.querySelector('figure img')?.complete", SOON);
    looks_well(&page);
    let kept = book(&world, &page);
    let group = kept.tightening.groups_of(kept.jobs.jobs().next().unwrap().id).next().unwrap().id;
    assert_eq!(kept.evidence.photos_about(About::Group(group)).count(), 1);
    assert_eq!(kept.evidence.notes_about(About::Group(group)).count(), 1);
    page.assert_quiet();
}
