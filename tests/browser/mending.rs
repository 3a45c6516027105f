//! A day is put right: by a finger on a boundary, by keys, by typing.

use quaywright_core::book::Book;
use quaywright_core::event::{Activity, Doing, On};
use quaywright_core::exchange::intake;
use quaywright_core::id::JobId;
use quaywright_core::mending::{self, Piece};
use quaywright_core::moment::{Day, Length, Moment};

use crate::ground::World;
use crate::hand::book_of;
use crate::looks::judge;
use crate::page::{Page, SOON};

const LONDON: &str = "Europe/London";

fn kept(world: &World, page: &Page) -> Book {
    book_of(&intake::take(&world.backup(page)).unwrap())
}

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

fn job_on(book: &Book, boat: &str) -> JobId {
    let is_on = |job: JobId| quaywright_core::view::place(book, On::Job(job)).boat == boat;
    book.jobs.jobs().map(|job| job.id).find(|&job| is_on(job)).unwrap()
}

/// Returns a day as `08:00 labour` lines; what is off the clock is told as such.
fn told(pieces: &[Piece]) -> Vec<String> {
    let words = |doing| match doing {
        Doing::Off => "off the clock",
        Doing::At { activity, .. } => activity.words(),
    };
    pieces.iter().map(|it| format!("{} {}", &it.from.to_string()[11..16], words(it.doing))).collect()
}

/// Opens the day's form of the piece that begins at a time.
fn unfold(page: &Page, from: &str) {
    page.wait_for_text(from);
    page.tap_words_in(".pieces .entry", from);
    page.wait_for("document.querySelector('form.mend')", SOON);
}

#[test]
fn a_boundary_goes_where_the_finger_or_the_keys_take_it() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Flat");
    page.minutes_pass(60);
    page.do_now("On no job", "Travel");
    page.minutes_pass(40);
    page.do_now("On no job", "Waiting");
    page.minutes_pass(20);
    page.tap_words("Put the day right");
    page.wait_for("document.querySelectorAll('.edge').length === 2", SOON);
    page.tap_named("button", "5 min");
    // 30 pixels up are 20 minutes.
    page.drag(".pieces li:nth-child(2) .edge", -30);
    page.said("It was 08:40 and not 09:00");
    let book = kept(&world, &page);
    let at = |text: &str| Moment::parse(text).unwrap();
    let now = at("2026-05-04T10:00:00+01:00");
    let strip = |book: &Book| told(&mending::pieces(book, day("2026-05-04"), now));
    assert_eq!(strip(&book), ["08:00 labour", "08:40 travel", "09:40 waiting"]);

    page.eval::<()>("void (location.hash = '#/day/2026-05-04')").unwrap();
    page.wait_for("document.querySelectorAll('.edge').length === 2", SOON);
    page.eval::<()>("document.querySelector('.pieces li:nth-child(3) .edge').focus()").unwrap();
    for key in ["ArrowDown", "ArrowDown", "ArrowUp", "Enter"] {
        page.press(key);
    }
    page.said("It was 09:45 and not 09:40");
    // Below, the trail of the day offers the same for each mend.
    page.tap_words_in(".said button", "Take back");
    page.said("Taken back");
    page.eval::<()>("document.querySelector('.pieces li:nth-child(3) .edge').focus()").unwrap();
    page.press("ArrowDown");
    page.press("Escape");
    page.press("Enter");
    assert_eq!(strip(&kept(&world, &page)), ["08:00 labour", "08:40 travel", "09:40 waiting"]);
    page.assert_quiet();
}

/// One tap in the morning, and everything else said in the evening; then work into the
/// night in which the clocks go back (IANA tz database: Europe/London, 2026-10-25 01:00 UTC).
#[test]
fn a_messy_day_is_put_right_late_and_its_totals_agree_with_a_hand_calculation() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-10-24T08:00:00+01:00");
    page.open_job("Grey Seal", "B. Wren", "Water under the floor", "A puddle");
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Flat");
    page.hide_what_was_said();
    // Nothing more is tapped until the evening.
    page.set_wall_clock("2026-10-24T18:00:00+01:00");
    page.tap_words("Put the day right");
    let says = |from: &str, until: &str, what: &str, job: &str| {
        page.tap_named("button", "Time that was not tapped");
        page.wait_for("document.querySelector('form.mend')", SOON);
        page.fill_labelled("From", from);
        page.fill_labelled("Until", until);
        page.tap_words_in("form.mend .choices button", what);
        if !job.is_empty() {
            page.choose_labelled("For which job", job);
        }
        page.tap_named("button", "So it was");
        page.said("The day says so from now on");
        page.hide_what_was_said();
        page.wait_for("!document.querySelector('form.mend')", SOON);
    };
    let (heron, seal) = ("Marsh Heron · No charge at sea", "Grey Seal · Water under the floor");
    says("10:15", "10:40", "Travel", seal);
    says("10:40", "11:30", "Labour", seal);
    says("11:30", "1145", "Travel", heron);
    says("12:30", "13:10", "Meal period", "");
    // One run for two jobs: half of it for each.
    says("14:00", "14:30", "Parts run", heron);
    says("14:30", "15:00", "Parts run", seal);
    // The clock still runs on the first boat's labour, past midnight and past the change.
    page.set_wall_clock("2026-10-25T02:30:00+00:00");
    page.place("Now");
    page.off_the_clock();

    let book = kept(&world, &page);
    let now = Moment::parse("2026-10-25T03:00:00+00:00").unwrap();
    let saturday = mending::pieces(&book, day("2026-10-24"), now);
    let rows = told(&saturday).join(", ");
    let expected = "08:00 labour, 10:15 travel, 10:40 labour, 11:30 travel, 11:45 labour, 12:30 meal period, \
                    13:10 labour, 14:00 parts run, 14:30 parts run, 15:00 labour";
    assert!(rows.ends_with(expected), "{rows}");
    // By hand: 25 + 50 + 15 + 40 + 30 + 30 minutes were said, the rest is the first boat's.
    //   Saturday from 08:00 (less the moments of opening both jobs) to midnight: 16 h,
    //   of which 25 + 50 + 30 = 105 for the other boat, 40 of meal,
    //   so 960 - 105 - 40 = 815 for the first boat: 815 - 15 - 30 = 770 of labour.
    //   Sunday 00:00 +01:00 to 02:30 +00:00: 3 h 30 of labour, for the hour from 01:00 comes twice.
    let (heron, seal) = (job_on(&book, "Marsh Heron"), job_on(&book, "Grey Seal"));
    let minutes = |on: &str, job: Option<JobId>, activity: Activity| {
        let spans = book.ledger.spans_of(day(on), now);
        let those = spans.iter().filter(|it| it.activity == activity && book.job_of(it.on) == job);
        // To the nearest minute: opening the first job took some seconds.
        (those.map(|it| it.length()).sum::<Length>().ms() + 30_000) / 60_000
    };
    let opening = minutes("2026-10-24", Some(seal), Activity::Labour) - 50;
    assert!(opening <= 1, "opening the second job took {opening} minutes");
    assert_eq!(minutes("2026-10-24", Some(heron), Activity::Labour) + opening, 770);
    assert_eq!(minutes("2026-10-24", Some(heron), Activity::Travel), 15);
    assert_eq!(minutes("2026-10-24", Some(heron), Activity::PartsRun), 30);
    assert_eq!(minutes("2026-10-24", Some(seal), Activity::Travel), 25);
    assert_eq!(minutes("2026-10-24", Some(seal), Activity::PartsRun), 30);
    assert_eq!(minutes("2026-10-24", None, Activity::MealPeriod), 40);
    assert_eq!(minutes("2026-10-25", Some(heron), Activity::Labour), 210);
    page.assert_quiet();
}

#[test]
fn what_cannot_be_is_said_in_words_and_changes_nothing() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.do_now("On no job", "Travel");
    page.minutes_pass(60);
    page.tap_words("Put the day right");
    unfold(&page, "08:00");
    for (until, words) in [
        ("half past", "A time is written as 10:40"),
        ("07:00", "This takes no time"),
        ("23:00", "This ends in the future"),
    ] {
        page.fill_labelled("Until", until);
        page.tap_words_in("form.mend .choices button", "Waiting");
        page.tap_named("button", "So it was");
        page.said(words);
        page.hide_what_was_said();
    }
    // The piece that runs grew meanwhile, and the form stayed.
    page.minutes_pass(5);
    page.fill_labelled("Why (may stay empty)", "forgot to tap");
    page.dies_after_a_rest();
    unfold(&page, "08:00");
    page.fill_labelled("Until", "08:30");
    page.tap_words_in("form.mend .choices button", "Waiting");
    page.tap_named("button", "So it was");
    page.said("The day says so from now on");
    let book = kept(&world, &page);
    let now = Moment::parse("2026-05-04T09:10:00+01:00").unwrap();
    assert_eq!(told(&mending::pieces(&book, day("2026-05-04"), now)), ["08:00 waiting", "08:30 travel"]);
    let reasons: Vec<&str> = book.ledger.mends().map(|it| it.mend.reason.as_str()).collect();
    assert_eq!(reasons, ["forgot to tap"]);
    page.assert_quiet();
}

#[test]
fn pieces_are_joined_split_and_filled_by_touch_and_by_keys() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Flat");
    page.minutes_pass(60);
    page.do_now("On no job", "Travel");
    page.minutes_pass(40);
    page.off_the_clock();
    page.minutes_pass(20);
    page.do_now("On no job", "Waiting");
    page.minutes_pass(60);
    page.off_the_clock();
    page.place("Now");
    page.tap_words("Put the day right");
    let now = Moment::parse("2026-05-04T12:00:00+01:00").unwrap();
    let strip = || told(&mending::pieces(&kept(&world, &page), day("2026-05-04"), now));
    let again = || {
        page.eval::<()>("void (location.hash = '#/day/2026-05-04')").unwrap();
        page.wait_for("document.querySelector('.pieces .edge')", SOON);
        page.wait_for("document.activeElement.id === 'heading'", SOON);
    };
    page.wait_for("document.activeElement.id === 'heading'", SOON);
    page.wait_for("document.querySelectorAll('.pieces .edge').length === 3", SOON);
    // The gap is filled with what came after it.
    page.tap(".pieces li:nth-child(3) .entry");
    page.tap_named("button", "Join with waiting below");
    page.said("Joined");
    assert_eq!(strip(), ["08:00 labour", "09:00 travel", "09:40 waiting"]);
    again();
    // By keys: the piece is opened, and joined with the one above it.
    page.eval::<()>("[...document.querySelectorAll('.pieces .entry')][1].focus()").unwrap();
    page.press("Enter");
    page.wait_for("document.querySelector('form.mend')", SOON);
    for _ in 0..20 {
        page.press("Tab");
        if page.eval::<bool>("document.activeElement.innerText.endsWith('above')").unwrap() {
            break;
        }
    }
    page.press("Enter");
    page.said("Joined");
    assert_eq!(strip(), ["08:00 labour", "09:40 waiting"]);
    again();
    // Only the first half of it was waiting.
    page.tap(".pieces li:nth-child(2) .entry");
    page.tap_named("button", "Only from 10:20");
    page.tap_words_in("form.mend .choices button", "Paperwork");
    page.tap_named("button", "So it was");
    page.said("The day says so from now on");
    assert_eq!(strip(), ["08:00 labour", "09:40 waiting", "10:20 paperwork"]);
    page.assert_quiet();
}

#[test]
fn a_forgotten_clock_is_asked_about_answered_and_stays_on_the_trail() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T14:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Flat");
    page.minutes_pass(102);
    page.tap_named("link", "Note");
    page.fill_labelled("What to remember", "Belt worn");
    page.tap_named("button", "Keep the note");
    page.said("Note kept");
    page.set_wall_clock("2026-05-05T07:30:00+01:00");
    page.eval::<()>("void (location.hash = '#/day/2026-05-04')").unwrap();
    page.wait_for_text("Was the clock forgotten?");
    page.wait_for_text("The clock runs since 2026-05-04, 14:00: labour on Marsh Heron, No charge at sea.");
    page.wait_for_text("Was that the end at 15:45?");
    judge(&page, "day-forgotten");
    // Nothing is done unasked.
    assert_eq!(kept(&world, &page).ledger.mends().count(), 0);
    page.eval::<()>("void (location.hash = '#/day/2026-05-04')").unwrap();
    page.wait_for_text("Was the clock forgotten?");
    page.tap_named("button", "Yes, put it right");
    page.said("The day says so from now on");
    page.wait_for("!document.body.innerText.includes('Was the clock forgotten?')", SOON);
    page.wait_for_text("What was put right");
    page.wait_for_text(
        "2026-05-04 15:45 to 2026-05-05 07:30: off the clock; before: labour on Marsh Heron, No charge at sea",
    );
    page.wait_for_text("(the clock was forgotten); said 2026-05-05 07:30");
    let book = kept(&world, &page);
    assert_eq!(book.ledger.running(), None);
    let now = Moment::parse("2026-05-05T08:00:00+01:00").unwrap();
    assert_eq!(told(&mending::pieces(&book, day("2026-05-04"), now)), ["14:00 labour"]);
    // The trail leaves as a table.
    page.choose_labelled("Day", "Monday 4 May");
    page.choose_labelled("What the file holds", "what was put right as a table (CSV)");
    let table = world.save_document(&page, "Make the day's file", "mends 2026-05-04.csv");
    let text = String::from_utf8(table).unwrap();
    assert!(text.contains(",off the clock,,,the clock was forgotten,,"), "{text}");
    assert!(text.contains(",labour,Marsh Heron,No charge at sea,"), "{text}");
    page.assert_quiet();
}

#[test]
fn a_day_that_changed_after_it_was_handed_over_is_offered_again() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T14:00:00+01:00");
    page.do_now("On no job", "Travel");
    page.minutes_pass(60);
    page.off_the_clock();
    page.place("Hand over");
    world.save_document(&page, "Make the day's file", "day 2026-05-04.html");
    page.set_wall_clock("2026-05-05T08:00:00+01:00");
    page.reload().unwrap();
    page.wait_until_open();
    page.eval::<()>("void (location.hash = '#/day/2026-05-04')").unwrap();
    unfold(&page, "14:00");
    page.tap_words_in("form.mend .choices button", "Waiting");
    page.tap_named("button", "So it was");
    page.said("The day says so from now on");
    page.place("Hand over");
    page.wait_for_text("Changed since handed over");
    page.wait_for_text("no job: travel 1:00 is now 0:00");
    judge(&page, "hand-over-changed");
    page.tap_named("link", "Hand over Monday 4 May again");
    page.wait_for_text("What was handed over on 2026-05-04, 15:00 has changed since: the new file says what.");
    world.save_document(&page, "Make the day's file", "day 2026-05-04.html");
    page.wait_for("!document.body.innerText.includes('Changed since handed over')", SOON);
    page.assert_quiet();
}
