//! Whole journeys: what a technician said, and what was handed over for it.
//!
//! Each folder of `tests/journeys` holds a log, and what is made of it: the day
//! sheets with what is missing, the table of hours, the owner's page of the
//! first job, and every fault. Set `UPDATE_EXPECT=1` to write them anew, then
//! read the difference: that is what users will see.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use std::fs;
use std::path::PathBuf;

use expect_test::expect_file;
use quaywright_core::book::Book;
use quaywright_core::closing::closing;
use quaywright_core::command::Command;
use quaywright_core::event::{
    About, Activity, Billing, BoatFacts, Document, Doing, EngineFacts, Event, Mend, On, PayType, StoryPart, Tags, Way,
};
use quaywright_core::exchange::pieces::assemble;
use quaywright_core::exchange::{bundle, html, intake, plain, table};
use quaywright_core::id::{BlobId, BoatId, EngineId, GroupId, JobId};
use quaywright_core::log::Log;
use quaywright_core::moment::{Day, Length};
use quaywright_core::quantity::{Count, EngineHours};
use quaywright_core::sheet::amended::{days_to_amend, revision};
use quaywright_core::sheet::billed::Both;
use quaywright_core::sheet::{DaySheet, LogHead, day_sheet, owner_sheet};
use quaywright_core::text::{Label, Prose};
use quaywright_core::view::GroupText;

use crate::owner;
use crate::phone::{Phone, at, jpeg};

/// What was said on a journey.
pub(crate) struct Journey {
    lines: Vec<Vec<u8>>,
    photos: Vec<Vec<u8>>,
}

impl Journey {
    pub(crate) fn of(phone: Phone) -> Self {
        Self { lines: phone.lines, photos: Vec::new() }
    }
}

/// What came of it.
pub(crate) struct HandedOver {
    pub(crate) book: Book,
    days: Vec<DaySheet>,
    table: String,
    pages: Vec<String>,
}

/// Writes or compares a journey's files; returns what was handed over.
pub(crate) fn travel(name: &str, journey: Journey) -> HandedOver {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("journeys").join(name);
    fs::create_dir_all(&folder).unwrap();
    let lines: Vec<String> = journey.lines.iter().map(|line| String::from_utf8(line.clone()).unwrap() + "\n").collect();
    expect_file![folder.join("log.jsonl")].assert_eq(&lines.concat());

    let intake = intake::take(&fs::read(folder.join("log.jsonl")).unwrap()).unwrap();
    let mut log = Log::default();
    intake.records.iter().for_each(|(_, sealed)| log.take(sealed.clone()));
    let in_order = log.in_order();
    let book = Book::replay(in_order.iter().map(|sealed| &sealed.record));
    let last = in_order.last().unwrap();
    let now = last.record.at;
    let head = LogHead::from(&log.tip(last.record.id.device));

    let days: Vec<DaySheet> = book.ledger.days(now).into_iter().map(|day| day_sheet(&book, day, now, head)).collect();
    let mut summary = String::new();
    for sheet in &days {
        summary.push_str(&plain::plain(sheet));
        for missing in closing(&book, sheet.day, now).missing {
            summary.push_str(&format!("! {missing}\n"));
        }
        summary.push_str("\n----\n\n");
    }
    expect_file![folder.join("summary.txt")].assert_eq(&summary);
    let table = String::from_utf8(table::table(&days)).unwrap();
    expect_file![folder.join("hours.csv")].assert_eq(&table.replace("\r\n", "\n"));

    let photo = |name| journey.photos.iter().find(|bytes| BlobId::of(bytes) == name).cloned();
    if let Some(job) = book.jobs.jobs().next() {
        let owner = owner_sheet(&book, job.id, now.day()).unwrap();
        let page = String::from_utf8(assemble(&html::owner_page(&owner), photo)).unwrap();
        expect_file![folder.join("owner.html")].assert_eq(&page);
    }
    let page = |sheet| {
        let pieces = bundle::page(sheet, intake.records.iter().map(|record| record.0.as_slice()));
        String::from_utf8(assemble(&pieces, photo)).unwrap()
    };
    let pages = days.iter().map(page).collect();

    let mut faults: Vec<String> = intake.faults.iter().map(ToString::to_string).collect();
    faults.extend(log.faults().iter().map(ToString::to_string));
    faults.extend(book.faults.iter().map(ToString::to_string));
    let faults = if faults.is_empty() { "none".to_owned() } else { faults.join("\n") };
    expect_file![folder.join("faults.txt")].assert_eq(&(faults + "\n"));
    HandedOver { book, days, table, pages }
}

/// Returns the exact time of each row that names all of `words`, added up.
fn ms_of(table: &str, words: &[&str]) -> u64 {
    let mut reader = csv::Reader::from_reader(table.trim_start_matches('\u{feff}').as_bytes());
    let rows = reader.records().map(Result::unwrap);
    let named = rows.filter(|row| words.iter().all(|word| row.iter().any(|cell| cell == *word)));
    named.map(|row| row[12].parse::<u64>().unwrap()).sum()
}

const HOUR: u64 = 3_600_000;

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

#[test]
fn a_teardown_over_two_days() {
    let mut phone = Phone::new(0x1a, "2026-05-04T07:45:00.000+01:00");
    phone.named("M. Sluice", "Lower Basin Boatyard");
    let [name, owner, berth] = ["Heron", "P. Wherry", "Pontoon C 12"].map(Label::new);
    let heron = BoatFacts { name, owner, berth, hin: Label::default() };
    let boat = BoatId(phone.must(Command::AddBoat(heron)));
    let facts =
        EngineFacts { model: Label::new("3-cylinder diesel"), serial: Label::new("QW-17"), ..EngineFacts::default() };
    let hours = EngineHours::parse("2140.7");
    let engine = EngineId(phone.must(Command::AddEngine { boat, facts, hours }));
    let title = Label::new("Heat exchanger");
    let job = JobId(phone.say(Event::JobOpened { boat, engine: Some(engine), title }).record.id);
    let hot = phone.line(job, PayType::CustomerPay, "Runs hot at half throttle");
    let pump = phone.line(job, PayType::Warranty, "Raw-water pump weeps since it was fitted in March");

    phone.clock("2026-05-04T08:00:00.000+01:00", Activity::Travel, On::NoJob);
    phone.clock("2026-05-04T08:25:30.000+01:00", Activity::Diagnosis, On::Line(hot));
    phone.tell(hot, StoryPart::Cause, "Tube stack furred, a third of the tubes blocked.");
    phone.clock("2026-05-04T09:40:00.000+01:00", Activity::Labour, On::Line(hot));
    let hose = phone.off(job, 2, "Raw-water hose", "32 mm", "port", "bench");
    let bolts = phone.off(job, 12, "End cap bolt", "M8 × 40", "front", "tray 2");
    phone.off(job, 1, "Anode", "", "under", "");
    let before = jpeg("the end cap before");
    phone.photo(About::Job(job), &before, "End cap before");
    phone.photo(About::Item(bolts), &jpeg("never kept"), "");
    phone.clock("2026-05-04T12:05:00.000+01:00", Activity::MealPeriod, On::NoJob);
    phone.clock("2026-05-04T12:35:00.000+01:00", Activity::PartsRun, On::Job(job));
    phone.part(job, 2, "End cap seal", "42-7");
    phone.clock("2026-05-04T13:20:00.000+01:00", Activity::Labour, On::Line(pump));
    phone.tell(pump, StoryPart::Cause, "Shaft seal fitted the wrong way round.");
    phone.tell(pump, StoryPart::Correction, "New shaft seal fitted, no weep after ten minutes.");
    phone.part(job, 1, "Shaft seal", "9-114");
    phone.step(job, "Clean the tube stack", true);
    phone.step(job, "Pressure test", false);
    phone.note(About::Job(job), "Leave the port hose off until the clip is there.");
    phone.note(About::Day, "Lift is out of order until Thursday.");
    phone.stop("2026-05-04T16:30:00.000+01:00");

    phone.clock("2026-05-05T08:00:00.000+01:00", Activity::Labour, On::Line(hot));
    phone.back(bolts, 11);
    phone.back(hose, 2);
    phone.clock("2026-05-05T10:15:00.000+01:00", Activity::RestPeriod, On::NoJob);
    phone.clock("2026-05-05T10:30:00.000+01:00", Activity::Labour, On::Line(hot));

    let journey = Journey { photos: vec![before], lines: phone.lines };
    let over = travel("teardown-over-two-days", journey);
    assert_eq!(over.book.faults, []);
    let times: Vec<_> = over.days.iter().map(|sheet| (sheet.worked.clock_face(), sheet.total.clock_face())).collect();
    assert_eq!(times, [("8:00".to_owned(), "8:30".to_owned()), ("2:15".to_owned(), "2:30".to_owned())]);
    assert_eq!(ms_of(&over.table, &["warranty", "labour"]), 3 * HOUR + HOUR / 6);
    assert_eq!(ms_of(&over.table, &["job, no line named"]), HOUR * 3 / 4);
}

#[test]
fn a_night_when_london_leaves_summer_time() {
    // IANA tz database, Europe/London: 2026-10-25 02:00 +01:00 becomes 01:00 +00:00.
    let mut phone = Phone::new(0x2b, "2026-10-24T21:30:00.000+01:00");
    phone.named("M. Sluice", "Lower Basin Boatyard");
    let (job, _) = phone.job("Teal", "The ferry company", "Gearbox change", "No drive astern");
    phone.clock("2026-10-24T22:00:00.000+01:00", Activity::Labour, On::Job(job));
    phone.clock("2026-10-25T01:45:00.000+01:00", Activity::MealPeriod, On::NoJob);
    // The same time of day, one hour later.
    phone.clock("2026-10-25T01:45:00.000+00:00", Activity::Labour, On::Job(job));
    phone.stop("2026-10-25T06:00:00.000+00:00");
    let over = travel("london-leaves-summer-time", Journey::of(phone));

    assert_eq!(ms_of(&over.table, &["2026-10-24", "labour"]), 2 * HOUR);
    assert_eq!(ms_of(&over.table, &["2026-10-25", "labour"]), HOUR * 6);
    assert_eq!(ms_of(&over.table, &["2026-10-25", "meal period"]), HOUR);
    assert_eq!(over.days.iter().map(|sheet| sheet.total.ms()).sum::<u64>(), 9 * HOUR);
    assert!(over.pages[0].contains("<dt dir=\"auto\">In all</dt><dd dir=\"auto\">2:00</dd>"));
    assert!(over.pages[1].contains("<dt dir=\"auto\">In all</dt><dd dir=\"auto\">7:00</dd>"));
    assert!(over.pages[1].contains("<dt dir=\"auto\">Worked</dt><dd dir=\"auto\">6:00</dd>"));
}

#[test]
fn a_night_when_new_york_enters_summer_time() {
    // IANA tz database, America/New_York: 2026-03-08 02:00 -05:00 becomes 03:00 -04:00.
    let mut phone = Phone::new(0x3c, "2026-03-07T21:30:00.000-05:00");
    phone.named("R. Thwart", "Upper Dock Marine");
    let (job, _) = phone.job("Marsh Wren", "J. Transom", "Shaft seal", "Bilge fills under way");
    phone.clock("2026-03-07T22:00:00.000-05:00", Activity::Labour, On::Job(job));
    phone.clock("2026-03-08T01:59:00.000-05:00", Activity::Diagnosis, On::Job(job));
    phone.clock("2026-03-08T03:01:00.000-04:00", Activity::Labour, On::Job(job));
    phone.stop("2026-03-08T06:00:00.000-04:00");
    let over = travel("new-york-enters-summer-time", Journey::of(phone));

    assert_eq!(ms_of(&over.table, &["2026-03-07"]), 2 * HOUR);
    assert_eq!(ms_of(&over.table, &["2026-03-08", "diagnosis"]), HOUR / 30);
    assert_eq!(ms_of(&over.table, &["2026-03-08"]), 5 * HOUR);
    assert!(over.pages[1].contains("<dt dir=\"auto\">In all</dt><dd dir=\"auto\">5:00</dd>"));
}

#[test]
fn a_clock_that_was_set_back() {
    let mut phone = Phone::new(0x4d, "2026-05-04T08:30:00.000+01:00");
    phone.named("M. Sluice", "Lower Basin Boatyard");
    let (job, _) = phone.job("Heron", "P. Wherry", "No charge", "Batteries flat every morning");
    phone.clock("2026-05-04T09:00:00.000+01:00", Activity::Labour, On::Job(job));
    phone.clock("2026-05-03T10:00:00.000+01:00", Activity::Diagnosis, On::Job(job));
    phone.stop("2026-05-04T11:00:00.000+01:00");
    let over = travel("clock-set-back", Journey::of(phone));

    // Nothing is lost and nothing is counted twice; the doubt is said.
    assert_eq!(ms_of(&over.table, &["2026-05-04"]), 2 * HOUR);
    let now = at("2026-05-04T11:00:00.000+01:00");
    let missing = closing(&over.book, day("2026-05-04"), now).missing;
    assert_eq!(
        missing[0].to_string(),
        "At 10:00 the phone's clock was 23:00 behind the tap before it. Check the times around it."
    );
}

#[test]
fn a_day_that_was_mended_after_it_was_handed_over() {
    let mut phone = Phone::new(0x3d, "2026-05-04T07:45:00.000+01:00");
    phone.named("M. Sluice", "Lower Basin Boatyard");
    let (heron, hot) = phone.job("Heron", "P. Wherry", "Heat exchanger", "Runs hot");
    let (teal, weak) = phone.job("Teal", "The ferry company", "Impeller", "Weak stream");
    let weep = phone.line(heron, PayType::Warranty, "Pump weeps");
    phone.clock("2026-05-04T08:00:00.000+01:00", Activity::Labour, On::Line(hot));
    phone.clock("2026-05-04T12:00:00.000+01:00", Activity::MealPeriod, On::NoJob);
    phone.clock("2026-05-04T12:30:00.000+01:00", Activity::Labour, On::Job(teal));
    phone.stop("2026-05-04T16:30:00.000+01:00");
    let today = day("2026-05-04");
    let hand_over = |phone: &mut Phone, file: &[u8]| {
        let what = Document::DayBundle { day: today, table: false };
        phone.must(Command::HandOver { what, way: Way::Shared, file: BlobId::of(file) });
    };
    phone.is("2026-05-04T16:40:00.000+01:00");
    hand_over(&mut phone, b"first");
    let revision = |phone: &Phone| revision(&phone.book, today, phone.now).number;
    assert_eq!(revision(&phone), 1);
    hand_over(&mut phone, b"first, once more");
    assert_eq!((revision(&phone), days_to_amend(&phone.book, phone.now)), (1, vec![]));

    // Remembered on the way home: the pump was an hour of it, and the boat came late.
    phone.is("2026-05-04T19:05:00.000+01:00");
    let mend = |from: &str, to: &str, activity, on, reason: &str| {
        let doing = Doing::At { activity, on };
        Command::Mend(Mend { from: at(from), to: at(to), doing, reason: Label::new(reason) })
    };
    let (nine, ten) = ("2026-05-04T09:00:00.000+01:00", "2026-05-04T10:00:00.000+01:00");
    phone.must(mend(nine, ten, Activity::Labour, On::Line(weep), "forgot to switch lines"));
    let (from, to) = ("2026-05-04T12:15:00.000+01:00", "2026-05-04T13:30:00.000+01:00");
    let slip = phone.must(mend(from, to, Activity::Travel, On::Job(teal), ""));
    phone.must(Command::Withdraw { event: slip });
    phone.must(mend("2026-05-04T12:30:00.000+01:00", to, Activity::Waiting, On::Job(teal), "she came late"));
    assert_eq!((revision(&phone), days_to_amend(&phone.book, phone.now)), (2, vec![today]));
    phone.must(Command::BillLine { line: weak, billing: Billing::Flat { minutes: 150 } });
    phone.must(Command::BillLine { line: weep, billing: Billing::NoCharge });
    phone.must(Command::TagJob { job: heron, tags: Tags::new(vec![Label::new("engine out")]) });

    let over = travel("mended-after-hand-over", Journey::of(phone));
    let hours = &over.days[0].jobs.iter().map(|job| job.hours.all).collect::<Vec<_>>();
    let both = |clock: u64, billed: u64| Both { clock: Length::from_ms(clock), billed: Length::from_ms(billed) };
    assert_eq!(hours[..], [both(4 * HOUR, 3 * HOUR), both(4 * HOUR, HOUR * 5 / 2)]);
    assert_eq!(hours[1].difference_ms(), -(HOUR as i64) * 3 / 2);
    assert_eq!(ms_of(&over.table, &["warranty", "labour"]), HOUR);
    assert_eq!(ms_of(&over.table, &["Teal", "waiting"]), HOUR);
    assert_eq!(ms_of(&over.table, &["2026-05-04"]), HOUR * 17 / 2);
    let changes = &over.days[0].revision.amends.as_ref().unwrap().changes;
    let moved: i64 = changes.iter().map(|it| it.after.ms() as i64 - it.before.ms() as i64).sum();
    assert_eq!((changes.len(), moved), (4, 0));
    assert!(over.pages[0].contains("2, amends what was handed over 2026-05-04, 16:40"));
    let read = bundle::read_bundle(over.pages[0].as_bytes()).unwrap();
    assert_eq!((read.day, read.intake.faults.len()), (today, 0));
}

#[test]
fn two_phones_and_a_record_that_makes_no_sense() {
    let mut phone = Phone::new(0x5e, "2026-05-04T08:00:00.000+01:00");
    phone.named("M. Sluice", "Lower Basin Boatyard");
    let (job, line) = phone.job("Teal", "The ferry company", "Impeller", "Weak stream");
    phone.clock("2026-05-04T08:05:00.000+01:00", Activity::Labour, On::Job(job));

    let mut tablet = Phone::new(0x6f, "2026-05-04T08:30:00.000+01:00");
    tablet.hear(&phone.log);
    let item = tablet.off(job, 6, "Cover screw", "M4 × 12", "front", "cup");
    tablet.back(item, 6);
    tablet.tell(line, StoryPart::Cause, "Two vanes gone.");
    let nobody = JobId(phone.tip.next().later(1_000));
    tablet.say(Event::JobFinished { job: nobody });

    phone.hear(&tablet.log);
    phone.is("2026-05-04T09:00:00.000+01:00");
    phone.tell(line, StoryPart::Correction, "New impeller and seal, good stream.");
    phone.say(Event::JobFinished { job });
    phone.say(Event::ClockSwitched { to: Doing::Off });

    let lines = [tablet.lines, phone.lines].concat();
    let over = travel("two-phones", Journey { lines, photos: Vec::new() });
    assert_eq!(over.book.faults.len(), 1);
    assert_eq!(over.days.len(), 1);
    let job = &over.days[0].jobs[0];
    assert!(job.finished && job.off.is_empty());
}

#[test]
fn names_that_are_no_names() {
    let mut phone = Phone::new(0x7a, "2026-05-04T08:00:00.000+01:00");
    phone.named("=HYPERLINK(\"x\")", "</title><script>alert(1)</script>");
    let hostile = "\"><img src=x onerror='alert(1)'>";
    let (job, line) = phone.job("</script><b>Heron", "@SUM(A1)", hostile, "+1\n-1");
    phone.say(Event::BoatAmended {
        boat: phone.book.jobs.job(job).unwrap().boat,
        facts: BoatFacts {
            name: Label::new("</script><b>Heron"),
            owner: Label::new("@SUM(A1)"),
            ..BoatFacts::default()
        },
    });
    phone.clock("2026-05-04T09:00:00.000+01:00", Activity::Labour, On::Line(line));
    phone.tell(line, StoryPart::Cause, "<!-- \u{202e}gnirts מה مرحبا 🛶 & ]]> javascript:alert(1)");
    let item = phone.off(job, 3, "' onload='x", "\"", "<svg onload=x>", "-tray");
    phone.photo(About::Item(item), &jpeg("hostile"), hostile);
    phone.part(job, 1, "&lt;already&gt;", "=2+2");
    phone.stop("2026-05-04T10:00:00.000+01:00");
    let photos = vec![jpeg("hostile")];
    let over = travel("names-that-are-no-names", Journey { lines: phone.lines, photos: photos.clone() });

    let photo = |name| photos.iter().find(|bytes| BlobId::of(bytes) == name).cloned();
    let owner = owner_sheet(&over.book, job, over.days[0].day).unwrap();
    let owner = String::from_utf8(assemble(&html::owner_page(&owner), photo)).unwrap();
    assert!(!owner.contains("<script"));
    for page in [&owner, &over.pages[0]] {
        only_our_markup(page);
    }
    let mut reader = csv::Reader::from_reader(over.table.trim_start_matches('\u{feff}').as_bytes());
    for row in reader.records().map(Result::unwrap) {
        for cell in &row {
            assert!(!cell.starts_with(['=', '+', '-', '@']), "{cell} would be a formula");
        }
    }
}

/// Fails unless every tag and attribute is one that our pages use, no address
/// stands in any, and the only script is the block of data.
fn only_our_markup(page: &str) {
    let block = r#"<script type="application/json" id="quaywright-day">"#;
    let (before, after) = page.split_once(block).unwrap_or((page, ""));
    let after = after.split_once("</script>").map_or(after, |(_, after)| after);
    let tags = [
        "!doctype",
        "html",
        "head",
        "meta",
        "title",
        "style",
        "body",
        "header",
        "p",
        "h1",
        "h2",
        "h3",
        "dl",
        "div",
        "dt",
        "dd",
        "section",
        "ul",
        "li",
        "table",
        "tr",
        "th",
        "td",
        "figure",
        "figcaption",
        "img",
    ];
    let attributes = [
        "html",
        "lang",
        "charset",
        "http-equiv",
        "content",
        "name",
        "class",
        "dir",
        "src",
        "width",
        "height",
        "alt",
        "data-blob",
    ];
    for part in [before, after].iter().flat_map(|text| text.split('<').skip(1)) {
        let (tag, _) = part.split_once('>').unwrap_or_else(|| panic!("a tag does not end: {part}"));
        let tag = tag.trim_start_matches('/');
        let (name, mut rest) = tag.split_once(' ').unwrap_or((tag, ""));
        assert!(tags.contains(&name), "<{name}> is none of our tags");
        while !rest.is_empty() {
            let (attribute, value) = rest.split_once('=').unwrap_or((rest, "\"\""));
            assert!(attributes.contains(&attribute), "{attribute} is none of our attributes");
            let (value, after) = value.strip_prefix('"').and_then(|v| v.split_once('"')).unwrap();
            let address =
                !value.starts_with("data:image/jpeg;base64,") && (value.contains("//") || value.contains("http:"));
            assert!(!address, "{value} leads away");
            rest = after.trim_start();
        }
    }
}

#[test]
fn an_owner_is_told_nothing_that_is_not_the_owners() {
    let mut phone = Phone::new(0x8b, "2026-05-04T08:00:00.000+01:00");
    phone.named("M. Sluice", "Lower Basin Boatyard");
    let (job, line) = phone.job("Heron", "P. Wherry", "Alternator", "No charge");
    let warranty = phone.line(job, PayType::Warranty, "Belt squeals");
    phone.line(job, PayType::Internal, "Our own bracket");
    let (other, _) = phone.job("SECRETBOAT", "SECRETOWNER", "SECRETTITLE", "SECRETCOMPLAINT");
    phone.clock("2026-05-04T08:11:00.000+01:00", Activity::Labour, On::Line(line));
    phone.clock("2026-05-04T09:28:00.000+01:00", Activity::Diagnosis, On::Line(warranty));
    phone.clock("2026-05-04T09:29:00.000+01:00", Activity::Labour, On::Job(other));
    phone.stop("2026-05-04T14:46:00.000+01:00");
    phone.note(About::Day, "SECRETDAYNOTE");
    phone.note(About::Job(job), "SECRETJOBNOTE");
    let item = phone.off(job, 4, "Bracket bolt", "M10", "starboard", "SECRETTRAY");
    let step = phone.step(job, "Belt tension", false);
    phone.note(About::Item(item), "SECRETITEMNOTE");
    phone.note(About::Step(step), "SECRETSTEPNOTE");
    phone.off(other, 1, "SECRETITEM", "", "", "");
    phone.part(other, 1, "SECRETPART", "");
    let picture = jpeg("the bracket");
    let blob = phone.photo(About::Item(item), &picture, "Bracket, cracked");
    let mut facts = phone.book.evidence.photos().next().unwrap().facts.clone();
    facts.position = Some(quaywright_core::event::Position { lat_e7: 514_812_345, lon_e7: -1_234_567 });
    facts.caption = Label::new("Bracket, from behind");
    phone.say(Event::PhotoTaken { about: About::Job(job), photo: facts.clone() });
    phone.say(Event::PhotoTaken {
        about: About::Job(other),
        photo: quaywright_core::event::PhotoFacts { caption: Label::new("SECRETCAPTION"), ..facts },
    });

    let photos: Vec<_> =
        phone.book.evidence.photos().filter(|it| phone.book.job_about(it.about) == Some(job)).collect();
    let pair = Command::PairPhotos { before: photos[0].id, after: photos[1].id, what: Label::new("Bracket") };
    phone.must(pair);
    let sheet = owner_sheet(&phone.book, job, phone.now.day()).unwrap();
    let page = assemble(&html::owner_page(&sheet), |name| (name == blob).then(|| picture.clone()));
    let page = String::from_utf8(page).unwrap();
    // What the owner paid for is there.
    for told in [
        "Heron",
        "P. Wherry",
        "No charge",
        "Belt squeals",
        "Bracket bolt, M10, starboard: 4 off",
        "Belt tension",
        "Bracket, cracked",
        "Bracket, from behind",
        "data:image/jpeg;base64,",
    ] {
        assert!(page.contains(told), "{told} is missing");
    }
    let name = blob.to_string();
    let secrets = [
        "secret",
        "our own bracket",
        "warranty",
        "internal",
        "customer pay",
        "51.48",
        "514812345",
        "1234567",
        "08:11",
        "8:11",
        "09:28",
        "1:17",
        "0:01",
        "5:17",
        "1.28",
        "labour",
        "diagnosis",
        name.as_str(),
    ];
    let told = owner::readers().flat_map(|reader| owner::told_to(&sheet, reader).map(|text| (reader, text)));
    for (reader, text) in told.chain([(sheet.reader, page.clone())]) {
        let lower = text.to_lowercase();
        for secret in secrets {
            assert!(!lower.contains(secret), "{secret} is told to the owner: {reader:?}");
        }
    }
    // The picture came without what the camera wrote beside it.
    let exif = data_encoding::BASE64.encode(b"Exif\0\0made up place");
    assert!(String::from_utf8_lossy(&picture).contains("made up place"));
    let shown = page.split("base64,").nth(1).and_then(|rest| rest.split('"').next()).unwrap();
    let shown = data_encoding::BASE64.decode(shown.as_bytes()).unwrap();
    assert!(!String::from_utf8_lossy(&shown).contains("made up place") && !page.contains(&exif[..20]));
}

#[test]
fn a_photo_that_is_gone_leaves_its_caption() {
    let mut phone = Phone::new(0x9c, "2026-05-04T08:00:00.000+01:00");
    let (job, _) = phone.job("Heron", "", "Stern gland", "Drips");
    let good = jpeg("good");
    phone.photo(About::Job(job), &good, "Gland before");
    let damaged = phone.photo(About::Job(job), &jpeg("damaged"), "Gland after");
    let sheet = owner_sheet(&phone.book, job, phone.now.day()).unwrap();
    let photo = |name: BlobId| Some(if name == damaged { b"other bytes".to_vec() } else { good.clone() });
    let page = String::from_utf8(assemble(&html::owner_page(&sheet), photo)).unwrap();
    assert_eq!(page.matches("<img ").count(), 1);
    assert!(page.contains(".</p><figcaption dir=\"auto\">Gland after<"));
    assert!(page.contains("<figcaption dir=\"auto\">Gland before<"));
}

#[test]
fn what_a_day_still_needs_is_said_in_words() {
    let mut phone = Phone::new(0xad, "2026-05-04T07:00:00.000+01:00");
    let (job, line) = phone.job("Heron", "", "No charge", "Batteries flat");
    let (pump, first) = phone.job("Teal", "", "Impeller", "");
    let second = phone.line(pump, PayType::Warranty, "Cover leaks");
    phone.clock("2026-05-04T08:00:00.000+01:00", Activity::Labour, On::Job(job));
    phone.tell(line, StoryPart::Cause, "Diode");
    phone.off(job, 1, "Belt", "", "", "");
    phone.off(job, 3, "Bolt", "M8", "port", "tray 1");
    phone.step(job, "Run for ten minutes", false);
    phone.say(Event::JobFinished { job });
    phone.clock("2026-05-04T09:05:00.000+01:00", Activity::Travel, On::NoJob);
    phone.clock("2026-05-04T09:25:00.000+01:00", Activity::RestPeriod, On::NoJob);
    phone.clock("2026-05-04T09:40:00.000+01:00", Activity::Waiting, On::NoJob);
    phone.clock("2026-05-04T09:47:00.000+01:00", Activity::Labour, On::Job(pump));
    let screws = phone.off(pump, 6, "Cover screw", "M4", "front", "cup");
    phone.say(Event::BackOn { item: screws, count: Count(2) });
    phone.note(About::Item(screws), "Two are new.");
    phone.step(pump, "Look for the missing vane", false);
    phone.say(Event::StoryTold { line: second, part: StoryPart::Correction, text: Prose::new("New gasket") });
    phone.is("2026-05-04T10:00:00.000+01:00");

    let closing = closing(&phone.book, phone.now.day(), phone.now);
    let told: Vec<String> = closing.missing.iter().map(ToString::to_string).collect();
    assert_eq!(
        told,
        [
            "The clock still runs: labour on Teal, Impeller, since 09:47.",
            "Your name is not written: the office cannot tell whose day this is.",
            "Heron, No charge: no correction yet.",
            "Heron, No charge: finished, but 4 things are still off (Belt, Bolt).",
            "Heron, No charge: finished, but 1 step is not done (Run for ten minutes).",
            "Teal, Impeller, line 1: no complaint, no cause and no correction yet.",
            "Teal, Impeller, line 2: no cause yet.",
            "Teal, Impeller, line 2: the warranty pack is not whole: no engine named, no hull number (HIN), no failed part, \
             no reading from before, no reading from after, no photo of the serial plate, no photo of the failure, no \
             time on the line.",
            "Teal, Impeller: 0:13 is on none of its 2 lines.",
            "Teal, Impeller: 4 things are still off (Cover screw).",
            "0:27 is on no job: travel 0:20, waiting 0:07.",
        ]
    );
    assert_eq!(closing.missing[5].job(), Some(pump));
    assert!(phone.book.jobs.line(first).is_some());
    // The finished job is not carried over, whatever is off on it.
    let [carried] = &closing.carry_over[..] else { panic!("one job is open") };
    assert_eq!((carried.job, carried.boat.as_str(), carried.berth.as_str()), (pump, "Teal", "Pontoon C 12"));
    assert_eq!(carried.off[0].to_string(), "Cover screw, M4, front: 4 of 6 off, lies: cup");
    assert_eq!(carried.next_steps, ["Look for the missing vane"]);
    assert_eq!(carried.last_note.as_deref(), Some("Two are new."));
}

#[test]
fn a_job_with_something_off_is_carried_over_however_old() {
    let mut phone = Phone::new(0xbe, "2026-01-05T08:00:00.000+00:00");
    let (old, _) = phone.job("Heron", "", "Old", "x");
    let (quiet, _) = phone.job("Teal", "", "Quiet", "x");
    phone.off(old, 1, "Cowl", "", "", "loft");
    phone.is("2026-05-04T08:00:00.000+01:00");
    let (new, _) = phone.job("Marsh Wren", "", "New", "x");
    let carried = closing(&phone.book, phone.now.day(), phone.now).carry_over;
    let jobs: Vec<JobId> = carried.iter().map(|one| one.job).collect();
    assert_eq!(jobs, [new, old]);
    assert!(!jobs.contains(&quiet));
}

#[test]
fn what_tomorrow_starts_from_begins_with_what_was_touched_last() {
    let mut phone = Phone::new(0xbf, "2026-05-04T08:00:00.000+01:00");
    let (first, _) = phone.job("Heron", "", "First", "x");
    let (second, _) = phone.job("Teal", "", "Second", "x");
    let jobs = |phone: &Phone| -> Vec<JobId> {
        closing(&phone.book, phone.now.day(), phone.now).carry_over.iter().map(|one| one.job).collect()
    };
    assert_eq!(jobs(&phone), [second, first]);
    phone.is("2026-05-05T08:00:00.000+01:00");
    phone.note(About::Job(first), "Looked at again");
    assert_eq!(jobs(&phone), [first, second]);
}

#[test]
fn a_clock_that_runs_since_an_earlier_day_is_missing_with_that_day() {
    let mut phone = Phone::new(0xc0, "2026-05-04T20:00:00.000+01:00");
    let (job, _) = phone.job("Heron", "", "Pumps out", "Takes water");
    phone.clock("2026-05-04T22:15:00.000+01:00", Activity::Waiting, On::Job(job));
    phone.is("2026-05-05T07:00:00.000+01:00");
    let told = |day: &str| -> Vec<String> {
        let day = Day::parse(day).unwrap();
        let missing = closing(&phone.book, day, phone.now).missing;
        missing.iter().map(ToString::to_string).filter(|words| words.contains("clock still runs")).collect()
    };
    let words = |since: &str| [format!("The clock still runs: waiting on Heron, Pumps out, since {since}.")];
    assert_eq!(told("2026-05-04"), words("22:15"));
    assert_eq!(told("2026-05-05"), words("2026-05-04, 22:15"));
    assert!(told("2026-05-03").is_empty());
}

#[test]
fn a_job_with_a_group_half_tight_is_carried_over_however_old() {
    let mut phone = Phone::new(0xc1, "2026-01-05T08:00:00.000+00:00");
    let (half, _) = phone.job("Heron", "", "Head gasket", "x");
    let (quiet, _) = phone.job("Teal", "", "Rocker cover", "x");
    let mut group = |job: JobId, tight: bool| {
        let text = GroupText {
            what: "Cover".to_owned(),
            value: "9 Nm".to_owned(),
            shares: "100".to_owned(),
            count: "4".to_owned(),
            manual: "Service manual 3".to_owned(),
            page: "4-12".to_owned(),
            ..GroupText::default()
        };
        let facts = Box::new(text.read(None).unwrap());
        let group = GroupId(phone.must(Command::AddGroup { job, facts }));
        if tight {
            let step = phone.book.tightening.group(group).and_then(|it| it.state().next()).unwrap();
            phone.must(Command::Tighten { group, step });
        }
    };
    group(half, true);
    group(quiet, false);
    phone.is("2026-05-04T08:00:00.000+01:00");
    let carried = closing(&phone.book, phone.now.day(), phone.now).carry_over;
    assert_eq!(carried.iter().map(|one| one.job).collect::<Vec<_>>(), [half]);
}
