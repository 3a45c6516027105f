//! Hours by customer, who pays and activity: what is kept of them is what the lines say.
#![allow(clippy::expect_used, reason = "a test stops where it cannot go on")]

mod shop;

use std::fs;
use std::path::{Path, PathBuf};

use quaywright_core::event::{Activity, Doing, On};
use shop::{PRICES, month, run, said, wrong};

fn at(folder: &Path, name: &str) -> String {
    folder.join(name).to_str().expect("a plain path").to_owned()
}

/// Returns the table as it is told from what is kept, after holding it against the lines.
#[track_caller]
fn hours(store: &Path, folder: &Path, more: &[&str]) -> Vec<u8> {
    let (kept, anew) = (at(folder, "kept.csv"), at(folder, "anew.csv"));
    said(&run("hours", store, &[&[kept.as_str()], more].concat()), 0);
    said(&run("hours", store, &[&[anew.as_str(), "--anew"], more].concat()), 0);
    let table = fs::read(kept).expect("a table");
    assert_eq!(String::from_utf8_lossy(&table), String::from_utf8_lossy(&fs::read(anew).expect("a table")));
    table
}

#[test]
fn what_is_kept_is_what_the_lines_say_whatever_came_in_and_when() {
    let folder = tempfile::tempdir().expect("a folder");
    let store = folder.path().join("shop.quay");
    let (mut phone, files) = month(1, "M. Sluice");
    let nothing = Doing::At { activity: Activity::Paperwork, on: On::NoJob };
    phone.mends("2026-05-30T09:00", "2026-05-05T15:00", "2026-05-05T16:00", nothing);
    let mut all: Vec<(String, Vec<u8>)> = files;
    all.extend(month(2, "R. Thwart").1);
    all.push(("corrected.html".to_owned(), phone.day_file("2026-05-05")));
    // The same name on another phone: both are one technician's from then on.
    all.push(("other phone.jsonl".to_owned(), month(3, "R. Thwart").0.log_file()));
    let mut seen: Vec<Vec<u8>> = Vec::new();
    // Asked in between each time, so that something old is kept whenever something new comes in.
    for (nth, some) in all.chunks(8).enumerate() {
        let write = |(name, bytes): &(String, Vec<u8>)| {
            let path: PathBuf = folder.path().join(name);
            fs::write(&path, bytes).expect("the file is written");
            at(folder.path(), name)
        };
        let paths: Vec<String> = some.iter().map(write).collect();
        let taken = run("take-in", &store, &paths.iter().map(String::as_str).collect::<Vec<_>>());
        assert_eq!(taken.status.code(), Some(0), "{nth}: {}", wrong(&taken));
        seen.push(hours(&store, folder.path(), &[]));
        hours(&store, folder.path(), &["--from", "2026-05-06", "--to", "2026-05-12"]);
    }
    assert!(seen.windows(2).all(|two| two[0] != two[1]), "each time something new was asked for");
}

#[test]
fn hours_of_some_days_worked_by_hand() {
    let folder = tempfile::tempdir().expect("a folder");
    let store = folder.path().join("shop.quay");
    fs::write(folder.path().join("log.jsonl"), month(1, "M. Sluice").0.log_file()).expect("the log is written");
    said(&run("take-in", &store, &[&at(folder.path(), "log.jsonl")]), 0);
    // Three days of 7 h of labour and half an hour of travel; the meal is on no job and no work.
    let table = hours(&store, folder.path(), &["--from", "2026-05-06", "--to", "2026-05-08"]);
    let rows: Vec<String> =
        String::from_utf8_lossy(&table).split_terminator("\r\n").skip(1).map(str::to_owned).collect();
    assert_eq!(
        rows,
        [
            "M. Sluice,Towpath Trust,customer pay,labour,21:00,21.0000,75600000",
            "M. Sluice,Towpath Trust,customer pay,travel,1:30,1.5000,5400000",
        ]
    );
    let output = run("hours", &store, &[&at(folder.path(), "x.csv"), "--from", "May"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(wrong(&output).contains("\"May\" is no day: write it as 2026-05-04"));
}

#[test]
fn no_table_is_written_over_the_store() {
    let folder = tempfile::tempdir().expect("a folder");
    let store = folder.path().join("shop.quay");
    let [log, prices] = ["log.jsonl", "prices.json"].map(|name| at(folder.path(), name));
    fs::write(&log, month(1, "M. Sluice").0.log_file()).expect("the log is written");
    fs::write(&prices, PRICES).expect("the prices are written");
    said(&run("take-in", &store, &[&log]), 0);
    let held = fs::read(&store).expect("the store");
    fs::create_dir(folder.path().join("tables")).expect("a folder");
    let itself = at(folder.path(), "tables/../shop.quay");
    let tasks: [(&str, &[&str]); 7] = [
        ("hours", &[&itself]),
        ("pay", &[&itself]),
        ("day", &["--csv", &itself]),
        ("day", &["--json", &itself]),
        ("bill", &["--prices", &prices, "--export", &itself]),
        ("write-again", &["1", &itself]),
        ("board", &["--page", &itself]),
    ];
    for (task, words) in tasks {
        let output = run(task, &store, words);
        assert_eq!(output.status.code(), Some(2), "{task}: {}", wrong(&output));
        assert!(wrong(&output).contains("this is the store itself"), "{task}: {}", wrong(&output));
        assert!(fs::read(&store).expect("the store") == held, "{task} left the store as it was");
    }
    // Nothing went out that was not written.
    let out = at(folder.path(), "out.csv");
    assert!(said(&run("bill", &store, &["--prices", &prices, "--export", &out]), 0).contains("Export 1 holds"));
    let pack = run("claims", &store, &["--pack", "0101010101010101-4", "--pdf", &itself]);
    assert!(wrong(&pack).contains("this is the store itself"), "{}", wrong(&pack));
}
