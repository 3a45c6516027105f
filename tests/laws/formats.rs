//! Files as they were once written: each must be read for ever.
//!
//! `formats/v1` holds one log with every kind of event that the first form of a
//! line knew, and one file of each written form made from it; `formats/v2` the
//! same with the kinds of the second form, and so on. `formats/broken` holds what damage makes of them,
//! each beside what its reader says. Set `UPDATE_EXPECT=1` to write them anew,
//! which for a version that has left a phone must change nothing.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

mod everything;

use std::fs;
use std::path::PathBuf;

use expect_test::expect_file;
use quaywright_core::event::{Details, Event, Reader};
use quaywright_core::exchange::intake::{Intake, Kind};
use quaywright_core::exchange::pieces::{Piece, assemble};
use quaywright_core::exchange::{backup, bundle, html, intake, line, table};
use quaywright_core::id::{BlobId, Hash};
use quaywright_core::sheet::{DaySheet, LogHead, day_sheet, owner_sheet};

use crate::formats::everything::{every_kind, every_kind_of_the_second_form, every_kind_of_the_third_form};
use crate::phone::{Phone, at, jpeg};

pub(crate) use everything::{PHOTOS, VOICE, every_kind_of_the_fourth_form};

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
        Event::EstimateMade { .. } => 49,
        Event::ConsentGiven { .. } => 50,
        Event::Recommended { .. } => 51,
        Event::RecommendationAnswered { .. } => 52,
        Event::OwnerReads { .. } => 53,
        Event::PhotosPaired { .. } => 54,
        Event::PartFailed { .. } => 55,
        Event::FailedPartAmended { .. } => 56,
        Event::PhotoShows { .. } => 57,
        Event::ReadingStaged { .. } => 58,
        Event::DocumentMade { .. } => 59,
        Event::NextVisitPlanned { .. } => 60,
        Event::NextVisitMade { .. } => 61,
    }
}

/// How many kinds the first form of a line knew, how many the second, and so on.
const KINDS: [usize; 4] = [24, 28, 60, 62];

fn photo(name: BlobId) -> Option<Vec<u8>> {
    let voice = VOICE.to_vec();
    PHOTOS.map(jpeg).into_iter().chain([voice]).find(|bytes| BlobId::of(bytes) == name)
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
    let signed_in_english = format!("]), reader: {:?}", Reader::default());
    for line in &mut lines {
        unknown.iter().for_each(|words| *line = line.replace(words, ""));
        *line = line.replace(&signed_in_english, "])");
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
    a_log_is_written_and_read_as_ever("v4", &every_kind_of_the_fourth_form(), KINDS[3]);
}

/// Reads each file of a version, which must give back what the phone had said.
fn each_file_is_read_as_ever(version: &str, phone: &Phone) {
    let blobs = 2 + phone.book.evidence.voices().count().min(1);
    for (name, kind) in [("backup.jsonl", Kind::Backup), ("day.html", Kind::DayPage), ("day.json", Kind::DayJson)] {
        let bytes = file(&format!("{version}/{name}"));
        assert_eq!(intake::recognise(&bytes), kind);
        let read = intake::take(&bytes).unwrap();
        assert_eq!(read.faults, [], "{version}/{name}");
        assert_eq!(read.records.iter().map(|record| record.0.as_slice()).collect::<Vec<_>>(), {
            records(phone).collect::<Vec<_>>()
        });
        assert_eq!(read.blobs.len(), blobs, "{version}/{name}");
    }
    for name in ["hours.csv", "owner.html"] {
        let bytes = file(&format!("{version}/{name}"));
        assert!(matches!(intake::recognise(&bytes), Kind::Foreign(_)), "{name} is for reading");
    }
}

/// Writes the forms that are for a program's eyes, which must be what they ever were.
fn lasting_forms_are_written_as_ever(version: &str, phone: &Phone) {
    let voice = phone.book.evidence.voices().next().map(|voice| voice.facts.blob);
    let names: Vec<BlobId> = PHOTOS.map(|content| BlobId::of(&jpeg(content))).into_iter().chain(voice).collect();
    let day = sheet(phone);
    expect_file![path(&format!("{version}/backup.jsonl"))].assert_eq(&text_of(&backup::pieces(records(phone), &names)));
    let hours = String::from_utf8(table::table(std::slice::from_ref(&day))).unwrap().replace("\r\n", "\n");
    expect_file![path(&format!("{version}/hours.csv"))].assert_eq(&hours);
}

#[test]
fn each_written_form_is_written_and_read_as_ever() {
    let phone = every_kind_of_the_fourth_form();
    lasting_forms_are_written_as_ever("v4", &phone);
    let day = sheet(&phone);
    expect_file![path("v4/day.html")].assert_eq(&text_of(&bundle::page(&day, records(&phone))));
    expect_file![path("v4/day.json")].assert_eq(&text_of(&bundle::json(&day, records(&phone))));
    let owner = owner_sheet(&phone.book, phone.book.jobs.jobs().next().unwrap().id, day.day).unwrap();
    let table = |table: Vec<u8>| String::from_utf8(table).unwrap().replace("\r\n", "\n");
    expect_file![path("v4/billing.csv")].assert_eq(&table(table::billing::table(std::slice::from_ref(&day))));
    expect_file![path("v4/mends.csv")].assert_eq(&table(table::mends::table(std::slice::from_ref(&day))));
    expect_file![path("v4/owner.html")].assert_eq(&text_of(&html::owner_page(&owner)));
    each_file_is_read_as_ever("v4", &phone);
}

#[test]
fn what_knows_an_older_form_only_is_written_in_it_still_and_its_files_are_read() {
    let third = ("v3", every_kind_of_the_third_form());
    for (version, phone) in [("v1", every_kind()), ("v2", every_kind_of_the_second_form()), third] {
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
    for version in ["v1", "v2", "v3", "v4"] {
        let log = file(&format!("{version}/every-kind.jsonl"));
        for line in log.split(|&byte| byte == b'\n').filter(|line| !line.is_empty()) {
            let sealed = line::read(line).unwrap();
            assert_eq!(line::seal(sealed.record.clone()), (line.to_vec(), sealed));
        }
    }
}
