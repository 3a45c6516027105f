//! What hours come to: under the shop's rules, at a glance, and by what such jobs took before.

use quaywright_core::book::Book;
use quaywright_core::event::{Activity, BoatFacts, Doing, Event, On, Tags};
use quaywright_core::exchange::pieces::assemble;
use quaywright_core::exchange::{backup, intake, line};
use quaywright_core::hours::rounding::LengthRule;
use quaywright_core::id::{BoatId, DeviceId, EventId, JobId};
use quaywright_core::log::Tip;
use quaywright_core::moment::{Length, Moment};
use quaywright_core::text::Label;

use crate::ground::World;
use crate::hand::book_of;
use crate::page::{Page, SOON};

const LONDON: &str = "Europe/London";
const MORNING: &str = "2026-05-04T08:00:00+01:00";
const KEPT: &str = "The shop's rules say so from now on";

fn kept(world: &World, page: &Page) -> Book {
    book_of(&intake::take(&world.backup(page)).unwrap())
}

/// Waits until the row of a table that begins with these words has these figures.
fn row_says(page: &Page, head: &str, figures: &[&str]) {
    let row = format!(
        "[...document.querySelectorAll('main tr')].filter(it => it.cells[0].innerText.trim() === '{head}')\
         .some(it => [...it.cells].slice(1).map(it => it.innerText.trim()).join(' ') === '{}')",
        figures.join(" ")
    );
    page.wait_for(&row, SOON);
}

/// A job with thirteen minutes of labour.
fn a_short_job(world: &World) -> Page {
    let page = world.open_workbook_at(LONDON, MORNING);
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Flat");
    page.minutes_pass(13);
    page.off_the_clock();
    page.hide_what_was_said();
    page
}

#[test]
fn rules_are_kept_at_once_refused_in_words_and_taken_back() {
    let world = World::of_app();
    let page = a_short_job(&world);
    page.place("Hand over");
    page.tap_named("link", "Shop's rules");
    page.wait_for_text("Local law may ask for more");
    page.choose_labelled("Hours of a line, for bills", "up to the next tenth of an hour");
    page.said(KEPT);
    page.hide_what_was_said();
    let minimum = "A job costs at least, in hours (empty: nothing)";
    page.write(minimum, "1");
    page.said(KEPT);
    page.hide_what_was_said();
    let field = |name: &str| {
        format!("[...document.querySelectorAll('label')].find(it => it.innerText.startsWith('{name}')).control.value")
    };
    page.wait_for(&format!("{} === '1:00'", field("A job costs")), SOON);
    for (name, text, said) in [
        ("Rest periods count up to, in minutes", "15", "Rest periods up to 20 minutes count as hours worked"),
        ("Overtime after so many hours of a week", "200", "A workweek has 168 hours"),
        ("Each workday begins at", "noon", "A time is written as 17:00"),
    ] {
        page.write(name, text);
        page.said(said);
        page.hide_what_was_said();
    }
    page.write("Overtime after so many hours of a day (empty: none)", "8");
    page.said(KEPT);
    // The way back brings the field back too.
    page.tap_named("button", "Take back");
    page.said("Taken back");
    page.wait_for(&format!("{} === ''", field("Overtime after so many hours of a day")), SOON);
    page.hide_what_was_said();
    page.choose_labelled("The workweek begins on", "Sunday");
    page.said(KEPT);
    page.tap_named("button", "Take back");
    page.said("Taken back");
    page.wait_for(&format!("{} === '0'", field("The workweek begins on")), SOON);

    let rules = kept(&world, &page).shop.rules();
    assert_eq!((rules.bill.rule, rules.bill.minimum), (LengthRule::UpToTenth, Length::from_ms(3_600_000)));
    assert_eq!((rules.overtime.daily, rules.week.first as usize), (None, 0));
    page.assert_quiet();
}

#[test]
fn hours_are_looked_at_by_week_month_and_day_and_leave_as_tables() {
    let world = World::of_app();
    let page = a_short_job(&world);
    page.do_now("On no job", "Travel");
    page.minutes_pass(30);
    page.do_now("On no job", "Meal period");
    page.minutes_pass(45);
    page.off_the_clock();
    page.minutes_pass(15);
    page.do_now("On no job", "Paperwork");
    page.minutes_pass(60);
    page.off_the_clock();
    page.eval::<()>("void (location.hash = '#/rules')").unwrap();
    page.wait_for_text("Starts and stops, for pay");
    page.choose_labelled("Starts and stops, for pay", "nearest quarter of an hour");
    page.said(KEPT);
    page.hide_what_was_said();
    page.choose_labelled("Hours of a line, for bills", "nearest tenth of an hour");
    page.said(KEPT);
    page.hide_what_was_said();

    page.place("Now");
    page.tap_named("link", "The week in hours");
    page.wait_for_text("Week from Monday 4 May");
    row_says(&page, "Paperwork", &["1:00"]);
    row_says(&page, "Meal and rest", &["0:45"]);
    row_says(&page, "Lost in between", &["0:15"]);
    // 13 minutes are 0.2 hours to the nearest tenth.
    row_says(&page, "Customer pay", &["0:13", "0:12", "−0:01"]);
    page.wait_for_text("One gap is at most 20 minutes: was it a rest period?");
    // 08:00 to 08:43 and 09:43 to 10:43, by the quarter 08:00 to 08:45 and 09:45 to 10:45: an hour and 45 minutes.
    row_says(&page, "Monday 4 May", &["1:43", "1:45", "0:00", "0:00"]);
    let bars = "document.querySelectorAll('svg.chart rect[height]:not([height=\"0\"])').length > 3";
    page.wait_for(bars, SOON);

    page.tap_named("link", "Month");
    page.wait_for("document.querySelector('h1').innerText === 'May'", SOON);
    page.tap_named("link", "The month before");
    page.wait_for("document.querySelector('h1').innerText === 'April'", SOON);
    page.wait_for_text("Nothing was said of these days.");
    page.tap_named("link", "The month after");
    page.wait_for("document.querySelector('h1').innerText === 'May'", SOON);
    page.tap_named("link", "Mon 4");
    page.wait_for("document.querySelectorAll('.pieces li').length > 4", SOON);

    page.place("Hand over");
    page.choose_labelled("What the file holds", "clock and billed hours as a table (CSV)");
    let table = world.save_document(&page, "Make the day's file", "billing 2026-05-04.csv");
    let mut reader = csv::Reader::from_reader(table.strip_prefix(b"\xef\xbb\xbf").unwrap());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 1);
    assert_eq!((&rows[0][8], &rows[0][9], &rows[0][12], &rows[0][14]), ("by the clock", "0:13", "0:12", "720000"));
    page.wait_for_text("The clock and billed hours of Monday 4 May");
    page.assert_quiet();
}

#[test]
fn a_new_job_and_an_open_one_are_told_what_such_jobs_took() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, MORNING);
    page.place("Hand over");
    page.bring_back(world.lay_out("before.txt", &jobs_before(&[70, 60, 100, 80, 90])));
    page.said("are here now");
    page.hide_what_was_said();
    page.place("Now");
    page.tap_named("link", "New job");
    page.wait_for_text("Boat's name");
    page.fill_labelled("Boat's name", "Marsh Heron");
    page.fill_labelled("What is to be done", "Impeller");
    page.tap_named("button", "impeller");
    // 60 to 100 minutes: half at most 80, four of five at most 92 (Hyndman and Fan, definition 7).
    page.wait_for_text("5 such jobs: half took at most 1:20, four of five at most 1:32.");
    page.tap_named("button", "Open it and start labour");
    page.said("is open");
    page.minutes_pass(30);
    page.job("Marsh Heron", "Steps");
    page.fill_labelled("Another step", "Fit the cover");
    page.tap_named("button", "Add the step");
    page.said("Step added");
    page.hide_what_was_said();
    page.part("Time");
    page.wait_for_text("5 such jobs: half took at most 1:20");
    page.wait_for_text("Open: 1 step. Cannot say yet: fewer than five are done.");
    // A further tag that nobody else has: there is no such job.
    page.part("Story");
    page.write("Tags, with commas between: what kind of job it is", "impeller, twin");
    page.said("Tags kept");
    page.hide_what_was_said();
    page.part("Time");
    page.wait_for_text("No finished job has these tags yet.");
    let book = kept(&world, &page);
    assert_eq!(book.jobs.jobs().next_back().unwrap().tags, Tags::typed("impeller, twin"));
    page.assert_quiet();
}

/// Returns a backup with a finished job of so many minutes each.
fn jobs_before(minutes: &[i64]) -> Vec<u8> {
    let mut tip = Tip::fresh(DeviceId::new([9; 8]));
    let mut now = Moment::parse("2026-04-20T08:00:00+01:00").unwrap();
    let mut lines = Vec::new();
    let mut say = |now: Moment, event: Event| -> EventId {
        let id = tip.next();
        let (line, sealed) = line::seal(tip.record(now, event));
        tip.advance(&sealed);
        lines.push(line);
        id
    };
    let facts = BoatFacts { name: Label::new("Old Tern"), ..BoatFacts::default() };
    let boat = BoatId(say(now, Event::BoatAdded(facts)));
    for &minutes in minutes {
        let job = JobId(say(now, Event::JobOpened { boat, engine: None, title: Label::new("Impeller") }));
        say(now, Event::JobTagged { job, tags: Tags::typed("impeller") });
        say(now, Event::ClockSwitched { to: Doing::At { activity: Activity::Labour, on: On::Job(job) } });
        now = now.moved(minutes);
        say(now, Event::ClockSwitched { to: Doing::Off });
        say(now, Event::JobFinished { job });
    }
    assemble(&backup::pieces(lines.iter().map(Vec::as_slice), &[]), |_| None)
}
