//! Files as they were once written: each must be read for ever.
//!
//! `formats/v1` holds one log with every kind of event that the first form of a
//! line knew, and one file of each written form made from it; `formats/v2` the
//! same with the kinds of the second form, `formats/v3` with those of the third. `formats/broken` holds what damage makes of them,
//! each beside what its reader says. Set `UPDATE_EXPECT=1` to write them anew,
//! which for a version that has left a phone must change nothing.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use std::fs;
use std::path::PathBuf;

use expect_test::expect_file;
use quaywright_core::event::{
    About, Activity, Billing, BoatFacts, Check, Consumable, Details, Document, Doing, EngineFacts, Event, GroupFacts,
    Hardware, ItemFacts, ItemKind, Mark, Mend, On, OpenEnd, PartFacts, PayType, PhotoFacts, Position, Renew, Sound,
    Spot, StoryPart, Tags, VoiceFacts, Way,
};
use quaywright_core::exchange::intake::{Intake, Kind};
use quaywright_core::exchange::pieces::{Piece, assemble};
use quaywright_core::exchange::{backup, bundle, html, intake, line, table};
use quaywright_core::id::{BlobId, BoatId, EngineId, EventId, GroupId, Hash, ItemId, JobId, LineId, PhotoId, StepId};
use quaywright_core::moment::{Day, Moment};
use quaywright_core::quantity::{Count, EngineHours, Power, PowerUnit};
use quaywright_core::reassembly::gate::Need;
use quaywright_core::reassembly::tally::{How, Instead};
use quaywright_core::reassembly::ties::{Freed, Tie, TieKind};
use quaywright_core::sheet::{DaySheet, LogHead, day_sheet, owner_sheet};
use quaywright_core::text::{Label, Prose};
use quaywright_core::tightening::extent::Extent;
use quaywright_core::tightening::group::{Shares, Step};
use quaywright_core::tightening::guidance::{Strength, Surface};
use quaywright_core::tightening::pattern::{Layout, Numbering, Pattern, Place};
use quaywright_core::tightening::thread::Thread;
use quaywright_core::tightening::torque::{Entered, Source, Target, Torque, TorqueUnit};
use quaywright_core::tightening::wrench::{Lever, Wrench};

use crate::phone::{Phone, at, jpeg};
use crate::procedures;
use crate::reading;
use crate::shop;

/// Returns the number of a kind of event; a new kind does not compile until it has one.
fn kind(event: &Event) -> usize {
    match event {
        Event::TechnicianNamed { .. } => 0,
        Event::BoatAdded(_) => 1,
        Event::BoatAmended { .. } => 2,
        Event::EngineAdded { .. } => 3,
        Event::EngineAmended { .. } => 4,
        Event::EngineHoursRead { .. } => 5,
        Event::JobOpened { .. } => 6,
        Event::JobRetitled { .. } => 7,
        Event::JobFinished { .. } => 8,
        Event::JobReopened { .. } => 9,
        Event::LineAdded { .. } => 10,
        Event::PayTypeSet { .. } => 11,
        Event::StoryTold { .. } => 12,
        Event::ClockSwitched { .. } => 13,
        Event::CameOff { .. } => 14,
        Event::ItemAmended { .. } => 15,
        Event::BackOn { .. } => 16,
        Event::StepAdded { .. } => 17,
        Event::StepTicked { .. } => 18,
        Event::NoteWritten { .. } => 19,
        Event::PhotoTaken { .. } => 20,
        Event::PartUsed { .. } => 21,
        Event::Withdrawn { .. } => 22,
        Event::HandedOver { .. } => 23,
        Event::Mended(_) => 24,
        Event::LineBilled { .. } => 25,
        Event::JobTagged { .. } => 26,
        Event::PhotoCaptioned { .. } => 27,
        Event::GroupAdded { .. } => 28,
        Event::GroupAmended { .. } => 29,
        Event::WrenchTaken { .. } => 30,
        Event::FastenerTightened { .. } => 31,
        Event::EngineDescribed { .. } => 32,
        Event::ProcedureKept { .. } => 33,
        Event::ProcedureAmended { .. } => 34,
        Event::ProcedureStarted { .. } => 35,
        Event::StepTaken { .. } => 36,
        Event::Forgotten { .. } => 37,
        Event::ReadingTaken { .. } => 38,
        Event::ReadingAssigned { .. } => 39,
        Event::LimitsSet { .. } => 40,
        Event::Tied(_) => 41,
        Event::Freed(_) => 42,
        Event::DoneInstead { .. } => 43,
        Event::MadeSure { .. } => 44,
        Event::StepNeeded { .. } => 45,
        Event::PhotoMarked { .. } => 46,
        Event::VoiceNoted { .. } => 47,
        Event::ShopRulesSet(_) => 48,
    }
}

/// How many kinds the first form of a line knew, how many the second, how many the third.
const KINDS: [usize; 3] = [24, 28, 49];

const VOICE: &[u8] = b"made-up sound";
pub(crate) const PHOTOS: [&str; 2] = ["end cap, inside", "tray of bolts"];

/// A phone that has said every kind of the first form, with every field filled and left out.
fn every_kind() -> Phone {
    let mut phone = Phone::new(0xa1, "2026-05-04T07:58:12.345+01:00");
    let id = |seq| EventId { device: phone.tip.device, seq };
    let (boat, engine, job, line) = (BoatId(id(2)), EngineId(id(4)), JobId(id(7)), LineId(id(9)));
    let (item, step) = (ItemId(id(16)), StepId(id(20)));
    let [text, prose] = [Label::new("Heat exchanger"), Label::new("Exhaust manifold")];
    let facts = |name: &str, berth: &str| BoatFacts {
        name: Label::new(name),
        owner: Label::new("P. Wherry"),
        berth: Label::new(berth),
        hin: Label::new("XX-QWT00042E626"),
    };
    let full = EngineFacts {
        place: Label::new("port"),
        model: Label::new("4-cylinder diesel, raw-water cooled"),
        serial: Label::new("QW-0042"),
        year: Some(1998),
        power: Some(Power { tenths: 285, unit: PowerUnit::Kilowatt }),
    };
    let bolts = |stowed: &str| ItemFacts {
        what: Label::new("End cap bolt"),
        side: Label::new("front"),
        count: Count(12),
        size: Label::new("M8 × 40"),
        stowed: Label::new(stowed),
        details: Details::default(),
    };
    let photo = |index: usize, position, taken| {
        let bytes = jpeg(PHOTOS[index]);
        PhotoFacts {
            blob: BlobId::of(&bytes),
            bytes: bytes.len() as u32,
            width: 1200,
            height: 900,
            caption: Label::new(["", "Bolts in their order"][index]),
            taken,
            position,
        }
    };
    let here = Position { lat_e7: 515_000_000, lon_e7: -12_345 };
    let doing = |activity, on| Event::ClockSwitched { to: Doing::At { activity, on } };
    let day = phone.now.day();
    let file = BlobId(Hash::of(b"a file"));
    let events = vec![
        Event::TechnicianNamed { name: Label::new("M. Sluice"), shop: Label::new("Lower Basin Boatyard") },
        Event::BoatAdded(facts("Heron", "")),
        Event::BoatAmended { boat, facts: facts("Heron", "Pontoon C 12") },
        Event::EngineAdded { boat, facts: EngineFacts::default() },
        Event::EngineAmended { engine, facts: full },
        Event::EngineHoursRead { engine, hours: EngineHours { tenths: 12_045 } },
        Event::JobOpened { boat, engine: Some(engine), title: prose },
        Event::JobRetitled { job, title: text },
        Event::LineAdded { job, pay: PayType::CustomerPay, complaint: Prose::new("Runs hot.\nLoses coolant.") },
        Event::PayTypeSet { line, pay: PayType::Warranty },
        Event::StoryTold { line, part: StoryPart::Cause, text: Prose::new("Tube stack blocked, \"furred\" & <soft>") },
        doing(Activity::Labour, On::Line(line)),
        doing(Activity::PartsRun, On::Job(job)),
        doing(Activity::MealPeriod, On::NoJob),
        Event::ClockSwitched { to: Doing::Off },
        Event::CameOff { job, item: bolts("") },
        Event::ItemAmended { item, facts: bolts("tray 2") },
        Event::BackOn { item, count: Count(4) },
        Event::BackOn { item, count: Count(5) },
        Event::StepAdded { job, text: Label::new("Pressure test") },
        Event::StepTicked { step, done: true },
        Event::NoteWritten { about: About::Day, text: Prose::new("مرحبا 🛶 high water 14:10") },
        Event::NoteWritten { about: About::Item(item), text: Prose::new("one is bent") },
        Event::PhotoTaken { about: About::Job(job), photo: photo(0, None, None) },
        Event::PhotoTaken { about: About::Step(step), photo: photo(1, Some(here), Some(phone.now)) },
        Event::PartUsed {
            job,
            part: PartFacts { what: Label::new("End cap seal"), number: Label::new("42-7"), count: Count(2) },
        },
        Event::Withdrawn { event: id(19) },
        Event::JobFinished { job },
        Event::JobReopened { job },
        Event::HandedOver { what: Document::DayBundle { day, table: true }, way: Way::Shared, file },
        Event::HandedOver { what: Document::OwnerSummary { job }, way: Way::Downloaded, file },
        Event::HandedOver { what: Document::Backup { up_to: 31 }, way: Way::Shared, file },
    ];
    for event in events {
        phone.say(event);
        phone.now = Moment::new(phone.now.utc_ms() + 17 * 60_000 + 1, 60).unwrap();
    }
    phone
}

/// The same phone after it has said every kind of the second form too.
fn every_kind_of_the_second_form() -> Phone {
    let mut phone = every_kind();
    let id = |seq| EventId { device: phone.tip.device, seq };
    let (job, line, photo) = (JobId(id(7)), LineId(id(9)), PhotoId(id(24)));
    let day = Document::DayBundle { day: at("2026-05-04T07:58:12+01:00").day(), table: false };
    let handed_over = Event::HandedOver { what: day, way: Way::Shared, file: BlobId(Hash::of(b"a file")) };
    let mend = |from: &str, to: &str, doing, reason: &str| {
        Event::Mended(Mend { from: at(from), to: at(to), doing, reason: Label::new(reason) })
    };
    let waiting = Doing::At { activity: Activity::Waiting, on: On::Line(line) };
    let events = vec![
        handed_over.clone(),
        mend("2026-05-04T11:10:00+01:00", "2026-05-04T11:20:00.5+01:00", waiting, "lift was late: forgot to tap"),
        mend("2026-05-04T12:45:00+02:00", "2026-05-04T12:50:00+02:00", Doing::Off, ""),
        Event::Withdrawn { event: id(35) },
        Event::LineBilled { line, billing: Billing::Flat { minutes: 150 } },
        Event::LineBilled { line, billing: Billing::NoCharge },
        Event::LineBilled { line, billing: Billing::ByClock },
        Event::JobTagged { job, tags: Tags::new(["lift", "مرحبا", "engine out"].map(Label::new).to_vec()) },
        Event::JobTagged { job, tags: Tags::default() },
        Event::PhotoCaptioned { photo, caption: Label::new("End cap, inside, \"pitted\" & <soft>") },
        Event::PhotoCaptioned { photo, caption: Label::default() },
    ];
    for event in events {
        phone.say(event);
        phone.now = Moment::new(phone.now.utc_ms() + 60_001, 60).unwrap();
    }
    phone
}

/// The same phone after it has said every kind, and every new field, of the third form too.
pub(crate) fn every_kind_of_the_third_form() -> Phone {
    let mut phone = every_kind_of_the_second_form();
    tightening_is_said(&mut phone);
    procedures::are_said(&mut phone);
    reading::is_said(&mut phone);
    what_came_off_in_detail(&mut phone);
    shop::rules_are_said(&mut phone);
    phone
}

/// Says everything about groups of fasteners, with every field filled and left out.
fn tightening_is_said(phone: &mut Phone) {
    let job = phone.book.jobs.jobs().next().unwrap().id;
    let mut say = |event| {
        phone.now = Moment::new(phone.now.utc_ms() + 60_001, 60).unwrap();
        phone.say(event).record.id
    };
    let value = |text| {
        let source = Source { manual: Label::new("Service manual 3, \"blue\""), page: Label::new("4-12") };
        Some(Entered { target: Target::parse(text, TorqueUnit::NewtonMetre).unwrap(), source })
    };
    let full = GroupFacts {
        what: Label::new("Cylinder head"),
        side: Label::new("port"),
        pattern: Pattern::of(Layout::Rectangle { rows: 2, columns: 5 }).unwrap(),
        numbering: Numbering::ByOrder,
        entered: value("33 ± 2 ft-lb + 90°"),
        shares: Shares::parse("50, 100").unwrap(),
        hardware: Hardware {
            thread: Thread::parse("M10x1.25").ok(),
            strength: Some(Strength::Class10_9),
            surface: Some(Surface::Oiled),
        },
        needed: Some(Need::CoolingWater),
    };
    let bare = GroupFacts {
        what: Label::new("Thermostat housing"),
        side: Label::default(),
        pattern: Pattern::of(Layout::Circle(4)).unwrap(),
        numbering: Numbering::ByPosition,
        entered: None,
        shares: Shares::default(),
        hardware: Hardware::default(),
        needed: None,
    };
    let group = GroupId(say(Event::GroupAdded { job, facts: Box::new(full.clone()) }));
    let other = GroupId(say(Event::GroupAdded { job, facts: Box::new(bare.clone()) }));
    let entered = value("9.5 Nm");
    let inch = Hardware { thread: Thread::parse("3/8-16").ok(), strength: Some(Strength::Grade5), surface: None };
    say(Event::GroupAmended { group: other, facts: Box::new(GroupFacts { entered, hardware: inch, ..bare }) });
    let torque = |text| Torque::parse(text, TorqueUnit::NewtonMetre).ok();
    let wrench = |name: &str, largest, calibrated| Wrench { name: Label::new(name), largest, calibrated };
    let lever = Lever::new(Extent::parse("16 in").unwrap(), Extent::parse("60 mm").unwrap(), 45).unwrap();
    let clicker = wrench("the long one", torque("150 lbf ft"), Day::parse("2026-02-03"));
    say(Event::WrenchTaken { group, wrench: clicker, lever: Some(lever) });
    say(Event::WrenchTaken { group: other, wrench: wrench("small", None, None), lever: None });
    let tap = |pass, place| Event::FastenerTightened { group, step: Step { pass, place: Place(place) } };
    say(tap(1, 3));
    let wrong = say(tap(3, 10));
    say(Event::Withdrawn { event: wrong });
}

/// Says everything about items, their order, marks and voice notes.
fn what_came_off_in_detail(phone: &mut Phone) {
    let book = &phone.book;
    let job = book.jobs.jobs().next().unwrap().id;
    let step = book.steps.steps_of(job).next().unwrap().id;
    let photo = book.evidence.photos().next().unwrap().id;
    let details = Details {
        kind: Some(ItemKind::Seal),
        way_up: Label::new("lip down, \"spring\" to oil"),
        renew: Renew::new(vec![Consumable::ORing, Consumable::Seal]),
        end: Some(OpenEnd::Capped),
        tied_back: true,
        awaits: Label::new("seal kit"),
        needed: Some(Need::Oil),
    };
    let item = |what: &str, details| ItemFacts {
        what: Label::new(what),
        side: Label::new("front"),
        count: Count(2),
        size: Label::default(),
        stowed: Label::default(),
        details,
    };
    let mut said = |event| {
        let id = phone.say(event).record.id;
        phone.now = Moment::new(phone.now.utc_ms() + 60_001, 60).unwrap();
        id
    };
    let seal = ItemId(said(Event::CameOff { job, item: item("Shaft seal", details.clone()) }));
    let hose = ItemId(said(Event::CameOff { job, item: item("Hose", Details::default()) }));
    let needed = Details { needed: Some(Need::CoolingWater), ..Details::default() };
    said(Event::ItemAmended { item: hose, facts: item("Hose", needed) });
    let tied = said(Event::Tied(Tie { item: hose, kind: TieKind::Behind, other: seal }));
    said(Event::Withdrawn { event: tied });
    said(Event::Tied(Tie { item: hose, kind: TieKind::HeldBy, other: seal }));
    said(Event::Freed(Freed(seal, hose)));
    for (item, how, reason) in [(seal, How::Replaced, "worn"), (hose, How::LeftOff, "no <spare>")] {
        said(Event::DoneInstead { item, instead: Instead::new(how, Count(1), Label::new(reason)).unwrap() });
    }
    said(Event::MadeSure { item: seal, check: Check::WayUp });
    said(Event::MadeSure { item: seal, check: Check::New(Consumable::ORing) });
    said(Event::StepNeeded { step, need: Some(Need::Guards) });
    said(Event::StepNeeded { step, need: None });
    let spot = |x, y| Spot::new(x, y).unwrap();
    let marks = vec![
        Mark::Stroke(vec![spot(0, 0), spot(10_000, 1), spot(3, 10_000)]),
        Mark::Arrow(spot(1, 2), spot(3, 4)),
        Mark::Ring(spot(5_000, 4_999), 800),
    ];
    said(Event::PhotoMarked { photo, marks });
    said(Event::PhotoMarked { photo, marks: Vec::new() });
    let file = BlobId(Hash::of(b"a file"));
    said(Event::HandedOver { what: Document::JobFile { job }, way: Way::Shared, file });
    for (about, sound) in [(About::Item(seal), Sound::Webm), (About::Job(job), Sound::Mp4), (About::Day, Sound::Ogg)] {
        let voice = VoiceFacts { blob: BlobId::of(VOICE), bytes: VOICE.len() as u32, ms: 2_750, sound };
        said(Event::VoiceNoted { about, voice });
    }
}

fn photo(name: BlobId) -> Option<Vec<u8>> {
    PHOTOS.map(jpeg).into_iter().find(|bytes| BlobId::of(bytes) == name)
}

pub(crate) fn text_of(pieces: &[Piece]) -> String {
    String::from_utf8(assemble(pieces, photo)).unwrap()
}

fn records(phone: &Phone) -> impl Iterator<Item = &[u8]> {
    phone.lines.iter().map(Vec::as_slice)
}

fn sheet(phone: &Phone) -> DaySheet {
    day_sheet(&phone.book, at("2026-05-04T07:58:12+01:00").day(), phone.now, LogHead::from(&phone.tip))
}

pub(crate) fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("formats").join(name)
}

pub(crate) fn file(name: &str) -> Vec<u8> {
    fs::read(path(name)).unwrap_or_else(|error| panic!("cannot read {name}: {error}"))
}

/// Says one record or fault a line, in words that a person can compare.
fn told(intake: &Intake) -> String {
    let mut lines = Vec::new();
    for (_, sealed) in &intake.records {
        let record = &sealed.record;
        lines.push(format!("{} {} {}\n  {:?}", record.id, record.at, record.hlc, record.event));
    }
    // What is not known is not told, so that an older form reads as it ever did.
    let unknown = [format!(", details: {:?}", Details::default())];
    for line in &mut lines {
        unknown.iter().for_each(|words| *line = line.replace(words, ""));
    }
    lines.extend(intake.blobs.iter().map(|(name, bytes)| format!("photo {name}, {} bytes", bytes.len())));
    lines.extend(intake.faults.iter().map(|fault| format!("fault: {fault}")));
    lines.join("\n") + "\n"
}

/// Writes a log and reads it back; its files must be what they ever were.
fn a_log_is_written_and_read_as_ever(version: &str, phone: &Phone, kinds: usize) {
    assert_eq!(phone.book.faults, []);
    let mut said: Vec<usize> = phone.log.by_name().map(|sealed| kind(&sealed.record.event)).collect();
    said.sort_unstable();
    said.dedup();
    assert_eq!(said.len(), kinds);

    let lines: Vec<String> = records(phone).map(|line| String::from_utf8(line.to_vec()).unwrap() + "\n").collect();
    expect_file![path(&format!("{version}/every-kind.jsonl"))].assert_eq(&lines.concat());
    let read = intake::take(&file(&format!("{version}/every-kind.jsonl"))).unwrap();
    expect_file![path(&format!("{version}/every-kind.txt"))].assert_eq(&told(&read));
}

#[test]
fn a_log_with_every_kind_of_event_is_written_and_read_as_ever() {
    a_log_is_written_and_read_as_ever("v1", &every_kind(), KINDS[0]);
    a_log_is_written_and_read_as_ever("v2", &every_kind_of_the_second_form(), KINDS[1]);
    a_log_is_written_and_read_as_ever("v3", &every_kind_of_the_third_form(), KINDS[2]);
}

/// Reads each file of a version, which must give back what the phone had said.
fn each_file_is_read_as_ever(version: &str, phone: &Phone) {
    for (name, kind) in [("backup.jsonl", Kind::Backup), ("day.html", Kind::DayPage), ("day.json", Kind::DayJson)] {
        let bytes = file(&format!("{version}/{name}"));
        assert_eq!(intake::recognise(&bytes), kind);
        let read = intake::take(&bytes).unwrap();
        assert_eq!(read.faults, [], "{version}/{name}");
        assert_eq!(read.records.iter().map(|record| record.0.as_slice()).collect::<Vec<_>>(), {
            records(phone).collect::<Vec<_>>()
        });
        assert_eq!(read.blobs.len(), 2, "{version}/{name}");
    }
    for name in ["hours.csv", "owner.html"] {
        let bytes = file(&format!("{version}/{name}"));
        assert!(matches!(intake::recognise(&bytes), Kind::Foreign(_)), "{name} is for reading");
    }
}

/// Writes the forms that are for a program's eyes, which must be what they ever were.
fn lasting_forms_are_written_as_ever(version: &str, phone: &Phone) {
    let names = PHOTOS.map(|content| BlobId::of(&jpeg(content)));
    let day = sheet(phone);
    expect_file![path(&format!("{version}/backup.jsonl"))].assert_eq(&text_of(&backup::pieces(records(phone), &names)));
    let hours = String::from_utf8(table::table(std::slice::from_ref(&day))).unwrap().replace("\r\n", "\n");
    expect_file![path(&format!("{version}/hours.csv"))].assert_eq(&hours);
}

#[test]
fn each_written_form_is_written_and_read_as_ever() {
    let phone = every_kind_of_the_third_form();
    lasting_forms_are_written_as_ever("v3", &phone);
    let day = sheet(&phone);
    expect_file![path("v3/day.html")].assert_eq(&text_of(&bundle::page(&day, records(&phone))));
    expect_file![path("v3/day.json")].assert_eq(&text_of(&bundle::json(&day, records(&phone))));
    let owner = owner_sheet(&phone.book, phone.book.jobs.jobs().next().unwrap().id, day.day).unwrap();
    let table = |table: Vec<u8>| String::from_utf8(table).unwrap().replace("\r\n", "\n");
    expect_file![path("v3/billing.csv")].assert_eq(&table(table::billing::table(std::slice::from_ref(&day))));
    expect_file![path("v3/mends.csv")].assert_eq(&table(table::mends::table(std::slice::from_ref(&day))));
    expect_file![path("v3/owner.html")].assert_eq(&text_of(&html::owner_page(&owner)));
    each_file_is_read_as_ever("v3", &phone);
}

#[test]
fn what_knows_an_older_form_only_is_written_in_it_still_and_its_files_are_read() {
    for (version, phone) in [("v1", every_kind()), ("v2", every_kind_of_the_second_form())] {
        lasting_forms_are_written_as_ever(version, &phone);
        // The summary of a day has grown since; what reads it skips what it does not know.
        each_file_is_read_as_ever(version, &phone);
    }
}

#[test]
fn a_bundle_says_whose_day_it_is() {
    let phone = every_kind();
    let read = bundle::read_bundle(&file("v1/day.html")).unwrap();
    assert_eq!((read.technician.as_str(), read.shop.as_str()), ("M. Sluice", "Lower Basin Boatyard"));
    assert_eq!((read.day, read.log), (sheet(&phone).day, LogHead::from(&phone.tip)));
}

#[test]
fn what_is_broken_is_named_and_the_rest_is_kept() {
    let phone = every_kind();
    let lines: Vec<&str> = records(&phone).map(|line| std::str::from_utf8(line).unwrap()).collect();
    let names = PHOTOS.map(|content| BlobId::of(&jpeg(content)));
    let whole = text_of(&backup::pieces(records(&phone), &names));
    let page = text_of(&bundle::page(&sheet(&phone), records(&phone)));
    let newer_record = {
        let head = r#"{"v":9,"id":"a1a1a1a1a1a1a1a1-33","said":"otherwise""#;
        format!(r#"{head},"hash":"{}"}}"#, Hash::of(head.as_bytes()))
    };
    let picture = format!("<img data-blob=\"{}\"", names[0]);
    for (name, bytes) in [
        ("altered-record.jsonl", whole.replacen("Runs hot.", "Runs cold.", 1)),
        ("altered-photo.jsonl", whole.replacen("\"base64\":\"/9j", "\"base64\":\"/8j", 1)),
        ("altered-header.jsonl", whole.replacen("\"records\":32", "\"records\":23", 1)),
        ("missing-record.jsonl", whole.replacen(&format!("{}\n", lines[11]), "", 1)),
        ("cut-backup.jsonl", whole[..whole.find("\"base64\"").unwrap() + 30].to_owned()),
        ("newer-backup.jsonl", whole.replacen("\"v\":1", "\"v\":2", 1)),
        ("newer-record.jsonl", format!("{}\n{newer_record}\n", lines[0])),
        ("newer-day.html", page.replacen(r#""day","v":1"#, r#""day","v":9"#, 1)),
        ("altered-day.html", page.replace("one is bent", "one is gone")),
        ("cut-day.html", page[..page.find("\"records\"").unwrap() + 500].to_owned()),
        ("cut-after-the-block.html", page[..page.find(&picture).unwrap() + 400].to_owned()),
        (
            "without-photos.html",
            String::from_utf8(assemble(&bundle::page(&sheet(&phone), records(&phone)), |_| None)).unwrap(),
        ),
        ("foreign.txt", "Dear all,\nthe hours are in the other file.\n".to_owned()),
    ] {
        expect_file![path(&format!("broken/{name}"))].assert_eq(&bytes);
        let said = match intake::take(&file(&format!("broken/{name}"))) {
            Ok(intake) => {
                let faults: Vec<String> = intake.faults.iter().map(ToString::to_string).collect();
                let kept = (intake.records.len(), intake.blobs.len());
                format!("{} records and {} photos kept\n{}\n", kept.0, kept.1, faults.join("\n"))
            }
            Err(error) => format!("nothing taken\n{error}\n"),
        };
        expect_file![path(&format!("broken/{name}.said"))].assert_eq(&said);
    }
}

#[test]
fn a_line_that_was_read_is_written_the_same() {
    for version in ["v1", "v2", "v3"] {
        let log = file(&format!("{version}/every-kind.jsonl"));
        for line in log.split(|&byte| byte == b'\n').filter(|line| !line.is_empty()) {
            let sealed = line::read(line).unwrap();
            assert_eq!(line::seal(sealed.record.clone()), (line.to_vec(), sealed));
        }
    }
}
