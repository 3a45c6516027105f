//! Bills, exports and payroll of a store, against figures worked by hand.
#![allow(clippy::expect_used, reason = "a test stops where it cannot go on")]

mod shop;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Stdio;

use quaywright_core::event::{Activity, Billing, BoatFacts, Doing, Event, On, PayType};
use quaywright_core::id::{BoatId, EventId, JobId, LineId};
use quaywright_core::text::{Label, Prose};
use shop::{Phone, killed_after, month, run, said, took, wrong};

/// Made-up prices: 60 an hour, 30 for travel, a part at 14.20 and half, a fifth of VAT.
const PRICES: &str = r#"{
    "quaywright": "prices", "v": 1, "currency": "GBP", "rounding": "tenth",
    "rates": [{"name": "yard", "price": "60"}, {"name": "road", "charge": "travel", "price": "30"}],
    "supplies": [{"name": "rags", "percent": "5", "at-most": "12.50"}],
    "costs": [{"number": "IMP-6", "cost": "14.20"}],
    "bands": [{"from": "0", "percent": "50"}],
    "taxes": [{"name": "VAT", "category": "S", "percent": "20"}]
}"#;

/// A folder with a store, files and a price list.
struct Desk {
    folder: tempfile::TempDir,
    store: PathBuf,
    prices: String,
}

impl Desk {
    fn with(files: &[(String, Vec<u8>)]) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let (store, prices) = (folder.path().join("shop.quay"), folder.path().join("prices.json"));
        fs::write(&prices, PRICES).expect("the prices are written");
        let desk = Self { folder, store, prices: prices.to_str().expect("a plain path").to_owned() };
        if !files.is_empty() {
            desk.takes(files, 0);
        }
        desk
    }

    fn at(&self, name: &str) -> String {
        self.folder.path().join(name).to_str().expect("a plain path").to_owned()
    }

    fn takes(&self, files: &[(String, Vec<u8>)], ended: i32) -> String {
        let write = |(name, bytes): &(String, Vec<u8>)| {
            fs::write(self.at(name), bytes).expect("the file is written");
            self.at(name)
        };
        let paths: Vec<String> = files.iter().map(write).collect();
        let said = said(&run("take-in", &self.store, &paths.iter().map(String::as_str).collect::<Vec<_>>()), ended);
        self.kept_is_what_the_lines_say();
        said
    }

    /// Asks what is to be billed of what is kept, twice, and of the lines: the answers are the same.
    #[track_caller]
    fn kept_is_what_the_lines_say(&self) {
        let told = |more: &[&str]| {
            let output = run("bill", &self.store, &[&["--prices", &self.prices], more].concat());
            (output.status.code(), String::from_utf8(output.stdout), String::from_utf8(output.stderr))
        };
        for open in [&[][..], &["--open"]] {
            let anew = told(&[open, &["--anew"]].concat());
            assert_eq!(told(open), anew);
            assert_eq!(told(open), anew, "asked once more");
        }
    }

    /// Exports into a file; returns what was said and the rows, without the heads.
    fn exports(&self, name: &str, more: &[&str], ended: i32) -> (String, Vec<String>) {
        let file = self.at(name);
        let words = [&["--prices", &self.prices, "--export", &file], more].concat();
        let said = said(&run("bill", &self.store, &words), ended);
        self.kept_is_what_the_lines_say();
        (said, rows(Path::new(&file)))
    }
}

fn rows(file: &Path) -> Vec<String> {
    let text = fs::read_to_string(file).unwrap_or_default();
    text.trim_start_matches('\u{feff}').split_terminator("\r\n").skip(1).map(str::to_owned).collect()
}

const SHORT: &str = "Export=export,Boat=boat,Text=words,Qty=quantity,Price=price,Net=net,Corrects=corrects";

#[test]
fn a_month_dropped_in_twice_in_any_order_gives_the_hand_worked_table() {
    let (mut phone, mut files) = month(1, "M. Sluice");
    // Two days are corrected later: an hour of the 5th was paperwork, and the 7th began at 9.
    let paperwork = Doing::At { activity: Activity::Paperwork, on: On::NoJob };
    phone.mends("2026-05-30T09:00", "2026-05-05T15:00", "2026-05-05T16:00", paperwork);
    phone.mends("2026-05-30T09:01", "2026-05-07T08:00", "2026-05-07T09:00", Doing::Off);
    files.push(("corrected 5.html".to_owned(), phone.day_file("2026-05-05")));
    files.push(("corrected 7.html".to_owned(), phone.day_file("2026-05-07")));
    let clean = String::from_utf8(files[4].1.clone()).expect("a page");
    files[4].1 = clean.replacen("T08:30:00", "T08:40:00", 1).into_bytes();
    // Forwards, then backwards and twice.
    let desk = Desk::with(&[]);
    desk.takes(&files, 1);
    let backwards: Vec<_> = files.iter().rev().cloned().collect();
    let other = Desk::with(&[]);
    other.takes(&[backwards.clone(), files].concat(), 1);
    other.takes(&backwards, 1);
    for desk in [&desk, &other] {
        said(&run("columns", &desk.store, &["short", SHORT]), 0);
    }
    let (told, table) = desk.exports("lines.csv", &["--columns", "short"], 0);
    assert!(told.starts_with("Export 1 holds 79 lines"), "{told}");
    assert_eq!(other.exports("lines.csv", &["--columns", "short"], 0).1, table);
    // A usual day: 8:30 to 12:00 and 12:30 to 16:00 are 7 h at 60, travel is half an hour at 30,
    // the part 14.20 and half of it, supplies 5 % of 420, no more than 12.50.
    let usual = |nth: usize| {
        let boat = format!("1,Barge {nth} of M. Sluice");
        [
            format!("{boat},labour: Pump leaks,7,60,420.00,"),
            format!("{boat},travel: Pump leaks,0.5,30,15.00,"),
            format!("{boat},\"impeller, IMP-6\",1,21.3,21.30,"),
            format!("{boat},shop supplies,1,12.5,12.50,"),
        ]
    };
    let mut expected: Vec<String> = (0..20).flat_map(usual).collect();
    // The 5th: 6 h, of which 5 % are 18.00, so the cap holds still. The 7th: no travel, 6.5 h.
    expected[4] = "1,Barge 1 of M. Sluice,labour: Pump leaks,6,60,360.00,".to_owned();
    expected[12] = "1,Barge 3 of M. Sluice,labour: Pump leaks,6.5,60,390.00,".to_owned();
    expected.remove(13);
    assert_eq!(table, expected);
}

#[test]
fn each_line_goes_out_once_and_a_correction_as_a_difference() {
    let (mut phone, mut files) = month(1, "M. Sluice");
    files.truncate(2);
    let desk = Desk::with(&files);
    said(&run("columns", &desk.store, &["short", SHORT]), 0);
    let short = ["--columns", "short"];
    assert_eq!(desk.exports("1.csv", &short, 0).1.len(), 8);
    assert!(desk.exports("2.csv", &short, 0).0.starts_with("Nothing to export"));
    assert!(!Path::new(&desk.at("2.csv")).exists());
    let paperwork = Doing::At { activity: Activity::Paperwork, on: On::NoJob };
    phone.mends("2026-05-30T09:00", "2026-05-05T12:00", "2026-05-05T16:00", paperwork);
    // The whole log brings the other days of the month too; 8 + 72 lines are known or new.
    desk.takes(&[("corrected.jsonl".to_owned(), phone.log_file())], 0);
    // The bill says all that the job comes to, and what of it is left: 210.00 and 2.00 less.
    let told = said(&run("bill", &desk.store, &["--prices", &desk.prices]), 0);
    assert_eq!(told.matches("went out before; left without tax: GBP -212.00\n").count(), 1, "{told}");
    assert_eq!(told.matches("went out before").count(), 1, "{told}");
    let (told, table) = desk.exports("2.csv", &short, 0);
    assert!(told.starts_with("Export 2 holds 74 lines, 2 of them differences to what went out before: "), "{told}");
    // 3.5 h are left of 7; 5 % of 210 are 10.50 instead of 12.50.
    assert_eq!(table[0], "2,Barge 1 of M. Sluice,labour: Pump leaks,-3.5,60,-210.00,1");
    assert_eq!(table[1], "2,Barge 1 of M. Sluice,shop supplies,0,10.5,-2.00,1");
    assert!(desk.exports("3.csv", &short, 0).0.starts_with("Nothing to export"));
    // The first is as it was.
    let first = fs::read(desk.at("1.csv")).expect("a table");
    said(&run("write-again", &desk.store, &["1", &desk.at("again.csv")]), 0);
    assert_eq!(fs::read(desk.at("again.csv")).expect("a table"), first);
    assert_eq!(run("write-again", &desk.store, &["9", &desk.at("again.csv")]).status.code(), Some(2));
}

#[test]
fn an_export_whose_file_was_not_written_comes_first() {
    let desk = Desk::with(&month(1, "M. Sluice").1);
    let nowhere = desk.at("no-such-folder/lines.csv");
    let words = ["--prices", &desk.prices, "--export", &nowhere];
    assert_eq!(run("bill", &desk.store, &words).status.code(), Some(2));
    let (told, table) = desk.exports("lines.csv", &[], 0);
    assert!(told.starts_with("Export 1 had not been written and is now"), "{told}");
    assert_eq!(table.len(), 80);
    assert!(desk.exports("more.csv", &[], 0).0.starts_with("Nothing to export"));
}

#[test]
fn what_is_open_is_named_and_left_out() {
    let mut phone = Phone::of(1, "M. Sluice");
    let (job, line) = phone.job("2026-05-04T08:00", "Heron", "=Trust", "Gland", PayType::CustomerPay);
    phone.does("2026-05-04T08:00", Activity::Labour, line);
    phone.stops("2026-05-04T09:00");
    phone.say("2026-05-04T09:00", Event::JobFinished { job });
    let (job, line) = phone.job("2026-05-04T09:00", "Coot", "Ferry Board", "Pump", PayType::Warranty);
    phone.does("2026-05-04T09:00", Activity::Labour, line);
    phone.stops("2026-05-04T09:30");
    phone.say("2026-05-04T09:30", Event::LineBilled { line, billing: Billing::Flat { minutes: 90 } });
    phone.uses("2026-05-04T09:30", job, "gasket", "G-7", 1);
    let desk = Desk::with(&[("log.jsonl".to_owned(), phone.log_file())]);
    // The open job is left out; asked for, its part has no cost.
    let output = run("bill", &desk.store, &["--prices", &desk.prices]);
    let told = said(&output, 0);
    assert!(told.starts_with("1 open job is left out\nHeron: Gland (=Trust), M. Sluice\n  customer pay\n"), "{told}");
    // 60 and 5 % of it are 63.00; a fifth of that is 12.60.
    assert!(told.contains("    tax S 20 % on 63.00: 12.60\n    due GBP 75.60\n"), "{told}");
    let output = run("bill", &desk.store, &["--prices", &desk.prices, "--open"]);
    assert!(said(&output, 1).contains("flat: Pump: 1.5 hours at 60 = 90.00"));
    assert_eq!(
        wrong(&output),
        "Coot: Pump (Ferry Board), M. Sluice: the cost of \"gasket, G-7\" is not known: add its number to the costs in the price list\n"
    );
    let (_, table) = desk.exports("lines.csv", &["--open"], 1);
    assert_eq!(table.len(), 2, "only what is ready goes out");
    // No program takes a name for a formula; each line knows its events, and they can be read.
    let mut reader = csv::Reader::from_path(desk.at("lines.csv")).expect("a table");
    let heads = reader.headers().expect("heads").clone();
    let row = reader.records().next().expect("a row").expect("a row");
    let cell = |name: &str| &row[heads.iter().position(|head| head == name).expect("the column")];
    assert_eq!((cell("customer"), cell("from")), ("'=Trust", "0101010101010101-5 0101010101010101-6"));
    let from: Vec<&str> = cell("from").split(' ').collect();
    let lines = said(&run("records", &desk.store, &from), 0);
    assert_eq!(lines.matches("clock-switched").count(), 2, "{lines}");
    assert_eq!(run("records", &desk.store, &["0101010101010101-99"]).status.code(), Some(1));
}

#[test]
fn a_customer_who_is_written_otherwise_now_is_told() {
    let desk = Desk::with(&month(1, "M. Sluice").1[..1]);
    let rule = r#"{"name": "old friends", "customer": "The Towpath Trust", "price": "50"}, {"name": "yard""#;
    fs::write(&desk.prices, PRICES.replacen(r#"{"name": "yard""#, rule, 1)).expect("the prices are written");
    let told = said(&run("bill", &desk.store, &["--prices", &desk.prices]), 0);
    let note = "note: \"old friends\" names \"The Towpath Trust\", who is on none of these jobs\n";
    assert!(told.starts_with(note), "{told}");
}

#[test]
fn a_customer_who_is_renamed_is_billed_on_and_nothing_goes_out_twice() {
    let mut phone = Phone::of(1, "M. Sluice");
    let (job, line) = phone.job("2026-05-04T08:00", "Heron", "Towpath Trust", "Gland", PayType::CustomerPay);
    phone.does("2026-05-04T08:00", Activity::Labour, line);
    phone.stops("2026-05-04T09:00");
    phone.say("2026-05-04T09:00", Event::JobFinished { job });
    let desk = Desk::with(&[("log.jsonl".to_owned(), phone.log_file())]);
    // The trust has a tenth off, by its name.
    let discount = r#""discounts": [{"name": "trust", "customer": "Towpath Trust", "percent": "10"}], "taxes""#;
    fs::write(&desk.prices, PRICES.replacen("\"taxes\"", discount, 1)).expect("the prices are written");
    said(&run("columns", &desk.store, &["short", &format!("{SHORT},Owner=customer")]), 0);
    let short = ["--columns", "short"];
    assert_eq!(desk.exports("1.csv", &short, 0).1[0], "1,Heron,labour: Gland,1,60,54.00,,Towpath Trust");
    // Under another name the rule holds no more: that is told, and goes out as a difference.
    let boat = quaywright_core::id::BoatId(quaywright_core::id::EventId { seq: 2, ..line.0 });
    let facts = BoatFacts { name: Label::new("Heron"), owner: Label::new("The Towpath Trust"), ..BoatFacts::default() };
    phone.say("2026-05-05T09:00", Event::BoatAmended { boat, facts });
    let told = desk.takes(&[("later.jsonl".to_owned(), phone.log_file())], 0);
    assert!(
        told.starts_with("changed: M. Sluice: Heron: owner \"Towpath Trust\" is now \"The Towpath Trust\"; "),
        "{told}"
    );
    let (told, table) = desk.exports("2.csv", &short, 0);
    assert!(told.starts_with("note: \"trust\" names \"Towpath Trust\", who is on none of these jobs\n"), "{told}");
    let went = "note: Heron: Gland (The Towpath Trust), M. Sluice: went out to \"Towpath Trust\" in export 1; ";
    assert!(told.contains(went), "{told}");
    // Supplies were 5 % of 54.00, 2.70 less 0.27, and are 3.00. What corrects goes to whom it went out.
    assert_eq!(
        table,
        ["2,Heron,labour: Gland,0,60,6.00,1,Towpath Trust", "2,Heron,shop supplies,0,3,0.57,1,Towpath Trust"]
    );
    // Named in the list as she is written now, all is as it was.
    let renamed = discount.replace("Towpath", "The Towpath");
    fs::write(&desk.prices, PRICES.replacen("\"taxes\"", &renamed, 1)).expect("the prices are written");
    assert_eq!(desk.exports("3.csv", &short, 0).1[0], "3,Heron,labour: Gland,0,60,-6.00,2,Towpath Trust");
}

#[test]
fn another_currency_takes_all_back_and_no_column_mixes_two() {
    let desk = Desk::with(&month(1, "M. Sluice").1[..1]);
    said(&run("columns", &desk.store, &["short", SHORT]), 0);
    said(&run("columns", &desk.store, &["whole", &format!("{SHORT},Currency=currency")]), 0);
    assert_eq!(desk.exports("1.csv", &["--columns", "short"], 0).1.len(), 4);
    fs::write(&desk.prices, PRICES.replace("GBP", "EUR")).expect("the prices are written");
    let mixed = ["--prices", &desk.prices, "--export", &desk.at("2.csv"), "--columns", "short"];
    let output = run("bill", &desk.store, &mixed);
    assert_eq!(output.status.code(), Some(2));
    assert!(wrong(&output).contains("add the field currency to the columns"), "{}", wrong(&output));
    let (_, table) = desk.exports("2.csv", &["--columns", "whole"], 0);
    assert_eq!(table[0], "2,Barge 0 of M. Sluice,labour: Pump leaks,7,60,420.00,,EUR");
    assert!(table.contains(&"2,Barge 0 of M. Sluice,labour: Pump leaks,-7,60,-420.00,1,GBP".to_owned()), "{table:?}");
    assert_eq!(table.len(), 8);
}

#[test]
fn a_job_of_which_two_phones_say_different_things_waits_until_it_is_mended() {
    let (mut first, mut second) = (Phone::of(1, "M. Sluice"), Phone::of(2, "M. Sluice"));
    let (job, line) = first.job("2026-05-04T08:00", "Heron", "Towpath Trust", "Pump", PayType::CustomerPay);
    first.does("2026-05-04T08:00", Activity::Labour, line);
    first.stops("2026-05-04T10:00");
    first.say("2026-05-04T10:00", Event::JobFinished { job });
    // Its clock is an hour behind: what began at 10 is said at 9.
    let (job, line) = second.job("2026-05-04T09:00", "Coot", "Ferry Board", "Gland", PayType::CustomerPay);
    second.does("2026-05-04T09:00", Activity::Labour, line);
    second.stops("2026-05-04T10:30");
    second.say("2026-05-04T10:30", Event::JobFinished { job });
    let files = [("1.jsonl".to_owned(), first.log_file()), ("2.jsonl".to_owned(), second.log_file())];
    let desk = Desk::with(&files);
    said(&run("columns", &desk.store, &["short", SHORT]), 0);
    let output = run("bill", &desk.store, &["--prices", &desk.prices]);
    assert_eq!(output.status.code(), Some(1));
    assert!(wrong(&output).contains("is the clock of 0202020202020202 an hour behind?"), "{}", wrong(&output));
    assert_eq!(wrong(&output).matches("two phones say different things of 2026-05-04").count(), 2);
    let words = ["--prices", &desk.prices, "--export", &desk.at("1.csv")];
    assert!(said(&run("bill", &desk.store, &words), 1).contains("Nothing to export"));
    let work = |line| Doing::At { activity: Activity::Labour, on: On::Line(line) };
    second.mends("2026-05-05T08:00", "2026-05-04T10:00", "2026-05-04T11:30", work(line));
    first.mends(
        "2026-05-05T08:01",
        "2026-05-04T08:00",
        "2026-05-04T10:00",
        work(quaywright_core::id::LineId(quaywright_core::id::EventId {
            seq: 4,
            device: quaywright_core::id::DeviceId::new([1; 8]),
        })),
    );
    desk.takes(&[("1b.jsonl".to_owned(), first.log_file()), ("2b.jsonl".to_owned(), second.log_file())], 0);
    let (_, table) = desk.exports("2.csv", &["--columns", "short"], 0);
    assert_eq!(table[0], "1,Heron,labour: Pump,2,60,120.00,");
    assert_eq!(table[2], "1,Coot,labour: Gland,1.5,60,90.00,");
}

#[test]
fn killed_at_any_moment_each_line_goes_out_once() {
    let desk = Desk::with(&month(1, "M. Sluice").1);
    let file = desk.at("lines.csv");
    let words = ["--store", desk.store.to_str().expect("a plain path"), "--prices", &desk.prices, "--export", &file];
    // Kills go by how long it takes here to work the bills out, which is most of it.
    let (_, reckoned) = took(|| said(&run("bill", &desk.store, &words[2..4]), 0));
    let (mut cut_short, mut whole) = (0, None);
    for step in 0..60 {
        let mut command = shop::office();
        command.arg("bill").args(words).stdout(Stdio::null()).stderr(Stdio::null());
        let killed = killed_after(command.spawn().expect("the command runs"), reckoned * step / 15);
        // The file is not there, or whole and ever the same.
        if let Ok(bytes) = fs::read(&file) {
            assert_eq!(whole.get_or_insert_with(|| bytes.clone()), &bytes);
        }
        if !killed {
            break;
        }
        cut_short += 1;
    }
    assert!(cut_short > 3, "{cut_short} runs were cut short");
    run("bill", &desk.store, &words[2..]);
    assert!(said(&run("bill", &desk.store, &words[2..]), 0).contains("Nothing to export"));
    said(&run("write-again", &desk.store, &["1", &file]), 0);
    assert_eq!(rows(Path::new(&file)).len(), 80);
    assert!(whole.is_none_or(|whole| whole == fs::read(&file).expect("a table")));
    assert_eq!(run("write-again", &desk.store, &["2", &file]).status.code(), Some(2), "there is one export");
}

#[test]
fn a_store_that_is_not_there_is_not_made_by_asking() {
    let folder = tempfile::tempdir().expect("a folder");
    let missing = folder.path().join("shpo.quay");
    let output = run("day", &missing, &[]);
    assert_eq!(output.status.code(), Some(2));
    assert!(wrong(&output).contains("there is no store here"), "{}", wrong(&output));
    assert!(!missing.exists());
}

#[test]
fn a_wrong_price_list_and_wrong_columns_are_refused() {
    let desk = Desk::with(&month(1, "M. Sluice").1[..1]);
    fs::write(&desk.prices, PRICES.replace("GBP", "QUID")).expect("the prices are written");
    let output = run("bill", &desk.store, &["--prices", &desk.prices]);
    assert_eq!(output.status.code(), Some(2));
    assert!(wrong(&output).contains("the currency \"QUID\" is not known here"), "{}", wrong(&output));
    let output = run("columns", &desk.store, &["ours", "Amount=sum"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(wrong(&output).contains("there is no field \"sum\""));
    assert_eq!(run("columns", &desk.store, &["ours"]).status.code(), Some(2));
}

#[test]
fn weeks_of_work_and_overtime() {
    let desk = Desk::with(&month(1, "M. Sluice").1);
    let file = desk.at("pay.csv");
    let told = said(&run("pay", &desk.store, &[&file]), 0);
    assert!(told.contains("Local law may ask for more") && told.contains("29 CFR 516.2(a)"), "{told}");
    let table = rows(Path::new(&file));
    // Four weeks of five days from 8 to 16 less a meal of half an hour, which does not count: 7.5 h.
    assert_eq!(table.len(), 24);
    assert_eq!(
        table[0],
        "M. Sluice,2026-05-04,Monday 00:00,2026-05-04,7:30,7.5000,0.0000,0.0000,27000000,27000000,0,0,7:30,27000000"
    );
    assert_eq!(
        table[5],
        "M. Sluice,2026-05-04,Monday 00:00,,37:30,37.5000,0.0000,0.0000,135000000,135000000,0,0,37:30,135000000"
    );
    said(&run("pay", &desk.store, &[&file, "--week-begins", "Wednesday 06:00", "--weekly", "35", "--daily", "7"]), 0);
    let table = rows(Path::new(&file));
    // By the day half an hour is overtime; the 7 h of five days fill the week exactly.
    assert_eq!(
        table[0],
        "M. Sluice,2026-04-29,Wednesday 06:00,2026-05-04,7:30,7.0000,0.5000,0.0000,27000000,25200000,1800000,0,7:30,27000000"
    );
    assert_eq!(
        table[8],
        "M. Sluice,2026-05-06,Wednesday 06:00,,37:30,35.0000,2.5000,0.0000,135000000,126000000,9000000,0,37:30,135000000"
    );
    let output = run("pay", &desk.store, &[&file, "--week-begins", "payday"]);
    assert_eq!(output.status.code(), Some(2));
}

/// A job that M. Sluice opened and R. Thwart finished, and one that R. Thwart opened on the same boat.
struct HandedOn {
    sluice: Phone,
    thwart: Phone,
    job: JobId,
    line: LineId,
}

fn handed_on() -> HandedOn {
    let mut sluice = Phone::of(1, "M. Sluice");
    let (job, line) = sluice.job("2026-05-04T08:00", "Heron", "Towpath Trust", "Pump leaks", PayType::CustomerPay);
    sluice.does("2026-05-04T08:00", Activity::Labour, line);
    sluice.uses("2026-05-04T09:00", job, "impeller", "IMP-6", 1);
    sluice.stops("2026-05-04T10:00");
    let mut thwart = Phone::of(2, "R. Thwart");
    thwart.takes_on(&sluice, job);
    thwart.does("2026-05-05T08:00", Activity::Labour, line);
    thwart.uses("2026-05-05T09:00", job, "impeller", "IMP-6", 2);
    thwart.stops("2026-05-05T09:30");
    thwart.say("2026-05-05T09:31", Event::JobFinished { job });
    let boat = BoatId(EventId { device: job.0.device, seq: job.0.seq - 1 });
    let title = Label::new("Fit anode");
    let other = JobId(thwart.say("2026-05-05T10:00", Event::JobOpened { boat, engine: None, title }));
    let (pay, complaint) = (PayType::CustomerPay, Prose::new("Fit anode"));
    let of_other = LineId(thwart.say("2026-05-05T10:00", Event::LineAdded { job: other, pay, complaint }));
    thwart.does("2026-05-05T10:00", Activity::Labour, of_other);
    thwart.stops("2026-05-05T11:00");
    thwart.say("2026-05-05T11:01", Event::JobFinished { job: other });
    HandedOn { sluice, thwart, job, line }
}

/// R. Thwart's hour is 50.
fn with_two_rates(desk: &Desk) {
    let yard = r#"{"name": "yard", "price": "60"}"#;
    let both = format!(r#"{yard}, {{"name": "second year", "technician": "R. Thwart", "price": "50"}}"#);
    fs::write(&desk.prices, PRICES.replace(yard, &both)).expect("the prices are written");
    let who = "Export=export,Who=technician,Owner=customer,Text=words,Qty=quantity,Net=net,Corrects=corrects";
    said(&run("columns", &desk.store, &["who", who]), 0);
}

#[test]
fn a_job_that_was_handed_on_is_one_bill_of_both_technicians_time() {
    let HandedOn { mut sluice, thwart, job, line } = handed_on();
    let files = |sluice: &Phone, thwart: &Phone| {
        let sluice = ("sluice.html".to_owned(), sluice.day_file("2026-05-04"));
        [sluice, ("thwart.html".to_owned(), thwart.day_file("2026-05-05"))]
    };
    let first = files(&sluice, &thwart);
    let backwards: Vec<_> = first.iter().rev().cloned().collect();
    // Two hours at 60 and one and a half at 50; parts at 14.20 and half; supplies are 5 % of 195, and of 50.
    let expected = [
        "1,M. Sluice,Towpath Trust,labour: Pump leaks,2,120.00,",
        "1,R. Thwart,Towpath Trust,labour: Pump leaks,1.5,75.00,",
        "1,M. Sluice,Towpath Trust,\"impeller, IMP-6\",1,21.30,",
        "1,R. Thwart,Towpath Trust,\"impeller, IMP-6\",2,42.60,",
        "1,M. Sluice,Towpath Trust,shop supplies,1,9.75,",
        "1,R. Thwart,Towpath Trust,labour: Fit anode,1,50.00,",
        "1,R. Thwart,Towpath Trust,shop supplies,1,2.50,",
    ];
    for (nth, order) in [first.to_vec(), backwards].into_iter().enumerate() {
        let desk = Desk::with(&[]);
        for file in order {
            desk.takes(&[file], 0);
        }
        with_two_rates(&desk);
        let mut rows = desk.exports("first.csv", &["--columns", "who"], 0).1;
        let mut expected = expected.to_vec();
        // Rates of one activity stand by their names, whoever has the job.
        rows.sort_unstable();
        expected.sort_unstable();
        assert_eq!(rows, expected, "order {nth}");
    }
    // Supplies are at most 12.50, where 5 % of 255 would be 12.75.
    // The job comes back, and both say more of it: what was known is known once.
    sluice.takes_on(&thwart, job);
    sluice.does("2026-05-06T08:00", Activity::Labour, line);
    sluice.stops("2026-05-06T09:00");
    let desk = Desk::with(&first);
    with_two_rates(&desk);
    desk.exports("first.csv", &["--columns", "who"], 0);
    desk.takes(&[("back.html".to_owned(), sluice.day_file("2026-05-06"))], 0);
    let (_, rows) = desk.exports("second.csv", &["--columns", "who"], 0);
    assert_eq!(
        rows,
        ["2,M. Sluice,Towpath Trust,labour: Pump leaks,1,60.00,1", "2,M. Sluice,Towpath Trust,shop supplies,0,2.75,1"]
    );
    said(&run("hours", &desk.store, &[&desk.at("hours.csv")]), 0);
    let table = fs::read_to_string(desk.at("hours.csv")).expect("the table is written");
    for row in ["M. Sluice,Towpath Trust,customer pay,labour,3:00", "R. Thwart,Towpath Trust,customer pay,labour,2:30"]
    {
        assert!(table.contains(row), "{table}");
    }
}

#[test]
fn a_job_whose_opener_sends_his_day_last_goes_out_in_two_parts_that_are_one_bill() {
    let HandedOn { sluice, thwart, .. } = handed_on();
    let desk = Desk::with(&[("thwart.html".to_owned(), thwart.day_file("2026-05-05"))]);
    with_two_rates(&desk);
    // It is said, once, that the other's records are not all there; what is there goes out.
    let words = "R. Thwart: of device 0101010101010101 only jobs that it handed on are here: take in the files of \
                 whoever works on it\n";
    assert_eq!(wrong(&run("bill", &desk.store, &["--prices", &desk.prices])), words);
    let (_, rows) = desk.exports("first.csv", &["--columns", "who"], 1);
    assert_eq!(rows.len(), 6, "{rows:?}");
    desk.takes(&[("sluice.html".to_owned(), sluice.day_file("2026-05-04"))], 0);
    let (_, rows) = desk.exports("second.csv", &["--columns", "who"], 0);
    assert_eq!(
        rows,
        ["2,M. Sluice,Towpath Trust,labour: Pump leaks,2,120.00,", "2,M. Sluice,Towpath Trust,shop supplies,0,6.00,1"]
    );
}

#[test]
fn a_job_that_was_handed_on_is_looked_at_as_one() {
    let HandedOn { sluice, thwart, job, line } = handed_on();
    let files = [("s.html".to_owned(), sluice.log_file()), ("t.html".to_owned(), thwart.log_file())];
    let desk = Desk::with(&files);
    with_two_rates(&desk);
    let single = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let looks = |words: &[&str]| single(said(&run("look", &desk.store, words), 0));
    let prices = ["--prices", &desk.prices];
    let why = format!("why/{job}/customer-pay/{line}%20labour");
    let why = looks(&[&[why.as_str()], &prices[..]].concat());
    assert!(why.contains("Technician: M. Sluice, R. Thwart"), "{why}");
    assert!(why.contains("By the clock: 3:30"), "{why}");
    assert!(why.contains("08:00 09:30 labour 1:30 Heron, Pump leaks, by R. Thwart"), "{why}");
    let of_job = looks(&[&format!("job/{job}")]);
    assert!(of_job.contains("3:30 by the clock over 2 days."), "{of_job}");
    assert!(of_job.contains("labour 2:00") && of_job.contains("labour 1:30, R. Thwart"), "{of_job}");
    let unbilled = looks(&[&["unbilled"], &prices[..]].concat());
    assert!(unbilled.contains("Pump leaks") && unbilled.contains("268.65 GBP"), "{unbilled}");
    assert_eq!(unbilled.matches("Pump leaks").count(), 1, "{unbilled}");
    let found = looks(&["find/pump"]);
    assert!(found.starts_with("Find: pump 1 found"), "{found}");
}
