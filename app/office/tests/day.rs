//! The command on files as phones hand them over, whole and broken.
#![allow(clippy::expect_used, reason = "a test stops where it cannot go on")]

mod shop;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use quaywright_core::event::{Activity, Billing, Document, Doing, Event, On, PayType, Way};
use quaywright_core::id::BlobId;
use quaywright_core::moment::Day;
use shop::Phone;

fn given(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests").join(name)
}

fn day(arguments: &[&Path]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_quaywright-office"));
    command.arg("day").args(arguments).output().expect("the command runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("what is said is text")
}

#[test]
fn files_in_any_order_and_twice_come_to_the_same() {
    let folder = tempfile::tempdir().expect("a folder");
    let files = ["formats/v1/day.html", "formats/v1/backup.jsonl", "journeys/two-phones/log.jsonl"].map(given);
    let orders = [vec![0, 1, 2], vec![2, 1, 0], vec![0, 2, 0, 1, 2, 2], vec![1, 2]];
    let mut told = Vec::new();
    for order in orders {
        let csv = folder.path().join("hours.csv");
        let mut arguments: Vec<&Path> = order.iter().map(|&at| files[at].as_path()).collect();
        arguments.extend([Path::new("--csv"), &csv]);
        let output = day(&arguments);
        // The two phones' log speaks of a job that nobody opened.
        assert_eq!(output.status.code(), Some(1), "{}", text(&output.stderr));
        told.push((text(&output.stdout), fs::read(csv).expect("a table")));
    }
    assert!(told.windows(2).all(|pair| pair[0] == pair[1]));
    let (said, table) = &told[0];
    assert!(said.contains("Heron: Heat exchanger") && said.contains("Two vanes gone."));
    assert!(said.contains("! Heron, Heat exchanger: no correction yet."));
    assert_eq!(text(table).matches("\r\n").count(), 5);
}

#[test]
fn a_technician_with_two_phones_has_one_day() {
    let output = day(&[&given("journeys/two-phones/log.jsonl")]);
    let said = text(&output.stdout);
    assert_eq!(said.matches("Monday 4 May").count(), 1, "{said}");
    assert!(text(&output.stderr).contains("which is not in this book"));
}

#[test]
fn technicians_are_kept_apart() {
    let output = day(&[
        &given("journeys/new-york-enters-summer-time/log.jsonl"),
        &given("journeys/london-leaves-summer-time/log.jsonl"),
    ]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let said = text(&output.stdout);
    assert!(said.contains("M. Sluice, Lower Basin Boatyard\nSunday 25 October"), "{said}");
    assert!(said.contains("R. Thwart, Upper Dock Marine\nSunday 8 March"), "{said}");
}

#[test]
fn a_day_that_left_names_what_was_said_after_it() {
    let mut phone = Phone::of(1, "M. Sluice");
    let (job, line) = phone.job("2026-05-04T08:00", "Heron", "P. Wherry", "Impeller", PayType::CustomerPay);
    phone.does("2026-05-04T08:10", Activity::Labour, line);
    phone.stops("2026-05-04T12:00");
    let what = Document::DayBundle { day: Day::parse("2026-05-04").expect("a day"), table: false };
    phone.say("2026-05-04T17:02", Event::HandedOver { what, way: Way::Shared, file: BlobId::of(b"first") });
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("day.html");
    let told = |phone: &Phone| {
        fs::write(&file, phone.day_file("2026-05-04")).expect("a file");
        text(&day(&[&file]).stdout)
    };
    assert!(!told(&phone).contains("revision"));
    phone.uses("2026-05-04T18:00", job, "Impeller", "9-114", 1);
    let said = told(&phone);
    assert!(said.contains("revision 2, amends what was handed over 2026-05-04, 17:02"), "{said}");
    assert!(said.contains("Heron, Impeller: part 1 × Impeller, no. 9-114 added"), "{said}");
}

#[test]
fn a_bad_file_is_named_and_stops_no_other() {
    let good = given("journeys/london-leaves-summer-time/log.jsonl");
    let alone = day(&[&good]);
    let broken = ["newer-day.html", "cut-day.html", "foreign.txt"].map(|name| given(&format!("formats/broken/{name}")));
    let missing = given("formats/there-is-no-such-file");
    let mut files: Vec<&Path> = broken.iter().map(PathBuf::as_path).collect();
    files.extend([missing.as_path(), good.as_path()]);
    let output = day(&files);
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(output.stdout, alone.stdout);
    let wrong = text(&output.stderr);
    for told in [
        "newer-day.html: written by a newer Quaywright",
        "cut-day.html: this day file is cut off",
        "foreign.txt: this is no file",
        "there-is-no-such-file: cannot be read",
    ] {
        assert!(wrong.contains(told), "{told} is not in:\n{wrong}");
    }
}

#[test]
fn a_missing_record_is_named() {
    let output = day(&[&given("formats/broken/missing-record.jsonl")]);
    assert_eq!(output.status.code(), Some(1));
    assert!(text(&output.stderr).contains("M. Sluice: records are missing before a1a1a1a1a1a1a1a1-13"));
    // The day's own file holds it: with both, nothing is missing.
    let healed = day(&[&given("formats/broken/missing-record.jsonl"), &given("formats/v1/day.json")]);
    assert!(!text(&healed.stderr).contains("records are missing before"));
}

#[test]
fn with_nothing_to_take_in_it_is_not_done() {
    let nothing = day(&[&given("formats/broken/foreign.txt")]);
    assert_eq!(nothing.status.code(), Some(2));
    assert!(nothing.stdout.is_empty());
    assert_eq!(day(&[]).status.code(), Some(2));
    let nowhere = given("formats/there-is-no-such-folder/hours.csv");
    let unwritten = day(&[&given("formats/v1/day.html"), Path::new("--csv"), &nowhere]);
    assert_eq!(unwritten.status.code(), Some(2));
    assert!(text(&unwritten.stderr).contains("cannot be written"));
}

#[test]
fn days_are_written_as_json() {
    let folder = tempfile::tempdir().expect("a folder");
    let json = folder.path().join("days.json");
    let output = day(&[&given("journeys/london-leaves-summer-time/log.jsonl"), Path::new("--json"), &json]);
    assert_eq!(output.status.code(), Some(0));
    let written = fs::read_to_string(json).expect("the days");
    assert!(written.starts_with(r#"[{"quaywright":"day","v":1,"day":"2026-10-24","technician":"M. Sluice""#));
    assert!(written.contains(r#""total-ms":7200000"#) && written.contains(r#""total-ms":25200000"#));
}

#[test]
fn billed_hours_and_mends_are_written_as_tables() {
    let folder = tempfile::tempdir().expect("a folder");
    let [billing, mends] = ["billing.csv", "mends.csv"].map(|name| folder.path().join(name));
    let mut phone = Phone::of(1, "M. Sluice");
    let (_, line) = phone.job("2026-05-04T08:00", "Heron", "Towpath Trust", "Pump", PayType::CustomerPay);
    phone.does("2026-05-04T08:00", Activity::Labour, line);
    phone.stops("2026-05-04T10:00");
    phone.say("2026-05-04T10:00", Event::LineBilled { line, billing: Billing::Flat { minutes: 90 } });
    let paperwork = Doing::At { activity: Activity::Paperwork, on: On::NoJob };
    phone.mends("2026-05-04T11:00", "2026-05-04T09:15", "2026-05-04T10:00", paperwork);
    let log = folder.path().join("log.jsonl");
    fs::write(&log, phone.log_file()).expect("the log is written");
    let output = day(&[&log, Path::new("--billing"), &billing, Path::new("--mends"), &mends]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let rows = |path: &Path| -> Vec<csv::StringRecord> {
        csv::Reader::from_path(path).expect("a table").records().map(|row| row.expect("a row")).collect()
    };
    // An hour and a quarter by the clock, an hour and a half flat: a quarter of an hour more.
    let billing = rows(&billing);
    assert_eq!(billing.len(), 1);
    let row: Vec<&str> = [2, 8, 9, 12, 15].iter().map(|&nth| &billing[0][nth]).collect();
    assert_eq!(row, ["Heron", "flat", "1:15", "1:30", "900000"]);
    let mends = rows(&mends);
    assert_eq!(mends.len(), 1);
    let row: Vec<&str> = [4, 6, 9, 13, 14].iter().map(|&nth| &mends[0][nth]).collect();
    assert_eq!(row, ["2026-05-04T09:15:00.000+01:00", "paperwork", "forgot", "labour", "Heron"]);
}
