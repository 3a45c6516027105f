//! The shop's rules as the phones have them: the office pays and bills by them, as the phone shows it.
#![allow(clippy::expect_used, reason = "a test stops where it cannot go on")]

mod shop;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use quaywright_core::book::Book;
use quaywright_core::event::{Activity, Billing, Event, PayType, ShopRules};
use quaywright_core::hours::days::DayStart;
use quaywright_core::hours::overtime::Overtime;
use quaywright_core::hours::rounding::{Charge, LengthRule, PunchRule};
use quaywright_core::hours::workweek::{Weekday, Workweek};
use quaywright_core::moment::{Day, Length};
use quaywright_core::view::{Period, hours_card};
use shop::{Phone, month, run, said, wrong};

const HOUR: u64 = 3_600_000;

/// A price list that leaves rounding to the shop's rules.
const PRICES: &str = r#"{"quaywright": "prices", "v": 1, "currency": "GBP",
    "rates": [{"name": "yard", "price": "60"}, {"name": "road", "charge": "travel", "price": "30"}],
    "taxes": [{"name": "VAT", "category": "S", "percent": "20"}]}"#;

fn rules(rule: LengthRule) -> ShopRules {
    ShopRules {
        pay: PunchRule::NearestQuarter,
        bill: Charge { rule, minimum: Length::from_ms(HOUR) },
        week: Workweek { first: Weekday::Sunday, start: DayStart::MIDNIGHT },
        overtime: Overtime { daily: Some(Length::from_ms(7 * HOUR)), ..Overtime::FEDERAL },
        ..ShopRules::default()
    }
}

/// A week with jobs of odd lengths, of one line and of two.
fn week(rules: ShopRules) -> Phone {
    let mut phone = Phone::of(1, "M. Sluice");
    phone.say("2026-05-04T07:00", Event::ShopRulesSet(rules));
    for day in 4..9 {
        let at = |time: &str| format!("2026-05-{day:02}T{time}");
        let (short, line) = phone.job(&at("07:53"), "Heron", "Towpath Trust", "Gland", PayType::CustomerPay);
        phone.does(&at("07:53"), Activity::Travel, line);
        phone.does(&at(&format!("08:1{day}")), Activity::Labour, line);
        let (long, one) = phone.job(&at("08:31"), "Coot", "Ferry Board", "Pump", PayType::CustomerPay);
        phone.does(&at("08:31"), Activity::Diagnosis, one);
        let complaint = quaywright_core::text::Prose::new("Recall");
        let other = phone.say(&at("09:02"), Event::LineAdded { job: long, pay: PayType::Warranty, complaint });
        phone.does(&at("09:47"), Activity::Labour, quaywright_core::id::LineId(other));
        phone.pauses(&at("12:04"));
        phone.does(&at("12:36"), Activity::Labour, one);
        phone.stops(&at(&format!("16:3{day}")));
        if day == 6 {
            phone.say(&at("16:40"), Event::LineBilled { line, billing: Billing::Flat { minutes: 36 } });
        }
        phone.say(&at("16:41"), Event::JobFinished { job: short });
        phone.say(&at("16:41"), Event::JobFinished { job: long });
    }
    phone
}

fn rows(file: &Path) -> Vec<csv::StringRecord> {
    csv::Reader::from_path(file).expect("a table").records().map(|row| row.expect("a row")).collect()
}

/// Returns billed hours in ten-thousandths by job.
fn sums(rows: impl Iterator<Item = (String, String)>) -> BTreeMap<String, i64> {
    let mut sums = BTreeMap::new();
    for (job, hours) in rows {
        let (whole, part) = hours.split_once('.').unwrap_or((&hours, ""));
        let parts: i64 = format!("{part:0<4}").parse().expect("four digits");
        *sums.entry(job).or_default() += whole.parse::<i64>().expect("hours") * 10_000 + parts;
    }
    sums
}

#[test]
fn a_bills_hours_are_those_of_the_phones_sheet() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name).to_str().expect("a plain path").to_owned();
    fs::write(at("prices.json"), PRICES).expect("the prices are written");
    for rule in LengthRule::ALL {
        let store = folder.path().join(format!("{rule:?}.quay"));
        fs::write(at("log.jsonl"), week(rules(rule)).log_file()).expect("the log is written");
        said(&run("take-in", &store, &[&at("log.jsonl")]), 0);
        said(&run("day", &store, &["--billing", &at("sheet.csv")]), 0);
        said(&run("columns", &store, &["hours", "job,title,item,unit,quantity"]), 0);
        let words = ["--prices", &at("prices.json"), "--export", &at("bill.csv"), "--columns", "hours"];
        said(&run("bill", &store, &words), 0);
        // The sheet names jobs by what they are called, and so the days are taken apart by their jobs' names.
        let sheet = rows(Path::new(&at("sheet.csv")));
        let sheet: i64 = sums(sheet.iter().map(|row| (row[0].to_owned(), row[13].to_owned()))).values().sum();
        let bill = rows(Path::new(&at("bill.csv")));
        let bill: i64 = sums(bill.iter().map(|row| (row[0].to_owned(), row[4].to_owned()))).values().sum();
        // Hours are shown to four decimals, and a job has at most six lines.
        assert!((sheet - bill).abs() <= if rule == LengthRule::Exact { 60 } else { 0 }, "{rule:?}: {sheet}, {bill}");
        assert!(sheet > 40 * 10_000, "{sheet}");
    }
}

#[test]
fn payroll_goes_by_the_rules_of_the_phone_and_typed_ones_hold_in_their_place() {
    let folder = tempfile::tempdir().expect("a folder");
    let (store, file) = (folder.path().join("shop.quay"), folder.path().join("pay.csv"));
    let log = folder.path().join("log.jsonl");
    let phone = week(rules(LengthRule::Exact));
    fs::write(&log, phone.log_file()).expect("the log is written");
    said(&run("take-in", &store, &[log.to_str().expect("a plain path")]), 0);
    let file_words = file.to_str().expect("a plain path");
    said(&run("pay", &store, &[file_words]), 0);
    let of_week = |rows: &[csv::StringRecord]| -> Vec<String> {
        let row = rows.iter().find(|row| row[3].is_empty()).expect("a week");
        [1, 2, 4, 5, 6, 12].map(|nth| row[nth].to_owned()).to_vec()
    };
    // 7:53 is 8:00 by quarters, 12:04 is 12:00, 12:36 is 12:30, 16:34 to 16:37 are 16:30 and 16:38 is 16:45:
    // four days of 8 h and one of 8:15, so 7 h of each day are plain: 35 h, and 5:15 over.
    let told = of_week(&rows(&file));
    assert_eq!(told, ["2026-05-03", "Sunday 00:00", "40:15", "35.0000", "5.2500", "40:55"]);
    let records: Vec<_> = phone.records().to_vec();
    let book = Book::replay(&records);
    let now = records.last().expect("something was said").at;
    let card = hours_card(&book, Period::Week, Day::parse("2026-05-04").expect("a day"), now);
    assert_eq!((card.weeks[0].paid.as_str(), card.weeks[0].overtime.as_str()), ("40:15", "5:15"));
    said(&run("pay", &store, &[file_words, "--daily", "8", "--week-begins", "Monday 06:00"]), 0);
    assert_eq!(of_week(&rows(&file)), ["2026-05-04", "Monday 06:00", "40:15", "40.0000", "0.2500", "40:55"]);
    // As they were tapped: 4:11 before the meal on each day, 3:58 to 4:02 after it.
    said(&run("pay", &store, &[file_words, "--rounding", "exact"]), 0);
    assert_eq!(of_week(&rows(&file)), ["2026-05-03", "Sunday 00:00", "40:55", "35.0000", "5.9167", "40:55"]);
    // What is offered is told where something else is typed, and nothing is written.
    let before = fs::read(&file).expect("the table");
    let refused = run("pay", &store, &[file_words, "--rounding", "half"]);
    let why = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert!(!refused.status.success() && why.contains("nearest tenth of an hour"), "{why}");
    assert_eq!(fs::read(&file).expect("the table"), before);
}

#[test]
fn payroll_of_some_days_is_the_whole_workweeks_that_hold_one_of_them() {
    let folder = tempfile::tempdir().expect("a folder");
    let (store, file) = (folder.path().join("shop.quay"), folder.path().join("pay.csv"));
    let log = folder.path().join("log.jsonl");
    fs::write(&log, month(1, "M. Sluice").0.log_file()).expect("the log is written");
    said(&run("take-in", &store, &[log.to_str().expect("a plain path")]), 0);
    let table = file.to_str().expect("a plain path");
    let weeks = |words: &[&str]| {
        let told = said(&run("pay", &store, &[&[table], words].concat()), 0);
        let rows = rows(&file);
        let rows = |is_week: bool| rows.iter().filter(move |row| row[3].is_empty() == is_week);
        // Four weeks of five days of 7:30.
        assert!(rows(true).all(|row| &row[4] == "37:30") && rows(false).count() == rows(true).count() * 5);
        (told, rows(true).map(|row| row[1].to_owned()).collect::<Vec<_>>())
    };
    let all = ["2026-05-04", "2026-05-11", "2026-05-18", "2026-05-25"];
    let (told, found) = weeks(&[]);
    assert!(found == all && !told.contains("is told whole"), "{told}");
    let whole = "each workweek with a day from 2026-05-14 to 2026-05-18 is told whole, since overtime is by the week";
    let (told, found) = weeks(&["--from", "2026-05-14", "--to", "2026-05-18"]);
    assert!(found == all[1..3] && told.contains(whole), "{told}");
    assert_eq!(weeks(&["--from", "2026-05-18"]).1, all[2..]);
    assert_eq!(weeks(&["--to", "2026-05-10"]).1, all[..1]);
    let before = fs::read(&file).expect("the table");
    for (words, why) in [
        (["--from", "2027-01-01"], "nobody worked in a workweek with one of these days"),
        (["--to", "May"], "\"May\" is no day: write it as 2026-05-04"),
    ] {
        let output = run("pay", &store, &[&[table], &words[..]].concat());
        assert_eq!(output.status.code(), Some(2));
        assert!(wrong(&output).contains(why), "{}", wrong(&output));
    }
    assert_eq!(fs::read(&file).expect("the table"), before, "nothing is written");
}

#[test]
fn phones_that_differ_in_their_rules_are_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let store = folder.path().join("shop.quay");
    let at = |name: &str| folder.path().join(name).to_str().expect("a plain path").to_owned();
    let mut other = Phone::of(2, "R. Thwart");
    let (_, line) = other.job("2026-05-04T08:00", "Coot", "Ferry Board", "Pump", PayType::CustomerPay);
    other.does("2026-05-04T08:00", Activity::Labour, line);
    other.stops("2026-05-04T09:00");
    fs::write(at("1.jsonl"), week(rules(LengthRule::Exact)).log_file()).expect("the log is written");
    fs::write(at("2.jsonl"), other.log_file()).expect("the log is written");
    said(&run("take-in", &store, &[&at("1.jsonl"), &at("2.jsonl")]), 0);
    let told = said(&run("pay", &store, &[&at("pay.csv")]), 0);
    assert!(told.contains("each is reckoned by its own: M. Sluice; others: R. Thwart\n"), "{told}");
}
