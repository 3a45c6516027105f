//! The office page's work on the made-up yard's month: the hand-worked table to the byte, as the command gives it.
#![allow(clippy::expect_used, reason = "a test stops where it cannot go on")]

mod held;

use std::fs;
use std::io::Cursor;
use std::path::Path;

use quaywright_core::id::Hash;
use quaywright_desk::pay::PayRules;
use quaywright_desk::store::journal::Journal;
use quaywright_desk::store::{Aside, Store};
use quaywright_desk::taking::Taking;
use quaywright_desk::wire::{Answer, Ask, Remembered};
use quaywright_desk::work::{Work, rescue};
use quaywright_xtask::demo::month;

use held::{Disk, Heard};

/// The page's side: asks, and hears until all is said.
struct Page {
    work: Work<Disk>,
    disks: [Disk; 2],
}

impl Page {
    fn open(disks: [Disk; 2]) -> Self {
        let [log, photos] = disks.clone();
        let store = Journal::open(log, photos).expect("the store opens");
        Self { work: Work::begin(store, &mut Heard::default()), disks }
    }

    fn ask(&mut self, ask: Ask, beside: &[u8]) -> Vec<(Answer, Vec<u8>)> {
        let mut heard = Heard::default();
        self.work.hear(ask, beside, &mut heard);
        heard.0
    }

    /// Takes files in; returns what is said and what is wrong.
    fn take_in<'a>(&mut self, files: impl Iterator<Item = &'a month::File>) -> (String, String) {
        self.ask(Ask::TakeIn, &[]);
        for file in files {
            let mut heard = Heard::default();
            self.work.hear_file(&file.name, Cursor::new(&file.bytes), file.bytes.len() as u64, &mut heard);
            assert!(matches!(heard.0.last(), Some((Answer::Done, _))), "{}: {:?}", file.name, heard.0);
        }
        let told = self.ask(Ask::End, &[]);
        (words(&told, &Answer::Said), words(&told, &Answer::Wrong))
    }
}

fn words(told: &[(Answer, Vec<u8>)], which: &Answer) -> String {
    let found = told.iter().filter(|(answer, _)| answer == which);
    found.map(|(_, beside)| String::from_utf8_lossy(beside)).collect()
}

fn given(name: &str) -> Vec<u8> {
    fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/month").join(name)).expect("it is there")
}

/// Returns so many numbers in an order that the seed decides, each twice (Knuth, volume 2, 3.3.4).
fn twice(count: usize, mut seed: u64) -> Vec<usize> {
    let mut left: Vec<usize> = (0..count).chain(0..count).collect();
    let mut order = Vec::new();
    while !left.is_empty() {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        order.push(left.remove((seed >> 33) as usize % left.len()));
    }
    order
}

#[test]
fn the_page_gives_the_hand_worked_table() {
    let files = month::files().expect("the month is told");
    for seed in 0..4 {
        let mut page = Page::open([Disk::default(), Disk::default()]);
        let mut wrong = String::new();
        for some in twice(files.len(), seed).chunks(9) {
            wrong.push_str(&page.take_in(some.iter().map(|&nth| &files[nth])).1);
            // The page is closed and opened again after each run.
            page = Page::open(page.disks.clone());
        }
        let altered = "altered J. Reed 2026-05-18.html: entry 8: record 0303030303030303-8 was not taken: altered";
        assert!(wrong.contains(altered), "{wrong}");
        assert!(wrong.lines().all(|line| line.contains("altered J. Reed")), "{wrong}");
        assert!(matches!(page.ask(Ask::Export { open: false }, &[]).last(), Some((Answer::Failed(_), _))));
        page.ask(Ask::Prices("prices.json".to_owned()), &given("prices.json"));
        assert!(matches!(page.ask(Ask::Columns, &given("columns.txt")).last(), Some((Answer::Done, _))));
        // Price list and columns are remembered.
        page = Page::open(page.disks.clone());
        let told = page.ask(Ask::Export { open: false }, &[]);
        let said = words(&told, &Answer::Said);
        assert_eq!(said, "1 open job is left out\nExport 1 holds 20 lines\n", "seed {seed}");
        let table = Answer::Table { name: "export-1.csv".to_owned(), export: Some(1) };
        assert_eq!(words(&told, &table), String::from_utf8_lossy(&given("lines.csv")), "seed {seed}");
        // Not said to be saved, it comes again as it was; then there is nothing more.
        let again = words(&page.ask(Ask::Export { open: false }, &[]), &table);
        assert_eq!(again.as_bytes(), given("lines.csv"));
        page.ask(Ask::Written(1), &[]);
        let told = page.ask(Ask::Export { open: false }, &[]);
        assert!(words(&told, &Answer::Said).contains("Nothing to export"), "{told:?}");
        assert_eq!(words(&page.ask(Ask::Again(1), &[]), &table).as_bytes(), given("lines.csv"));
    }
}

/// Returns what is said of bills.
fn bills(page: &mut Page, open: bool, all: bool) -> String {
    let told = page.ask(Ask::Bill { open, all }, &[]);
    assert!(matches!(told.last(), Some((Answer::Done, _))), "{told:?}");
    words(&told, &Answer::Said) + &words(&told, &Answer::Wrong)
}

#[test]
fn what_is_to_be_billed_is_the_same_from_what_was_kept_as_from_the_lines() {
    let files = month::files().expect("the month is told");
    let mut page = Page::open([Disk::default(), Disk::default()]);
    page.ask(Ask::Prices("prices.json".to_owned()), &given("prices.json"));
    let columns = String::from_utf8(given("columns.txt")).expect("text");
    page.ask(Ask::Columns, columns.as_bytes());
    let mut exports = 0;
    for (run, some) in files.chunks(3).enumerate() {
        page.take_in(some.iter());
        for open in [false, true, false] {
            // What was opened anew has kept nothing and asks the lines.
            let mut anew = Page::open(page.disks.clone());
            let (once, from_lines) = (bills(&mut page, open, false), bills(&mut anew, open, false));
            assert_eq!(once, from_lines, "run {run}, open: {open}");
            assert_eq!(bills(&mut page, open, false), from_lines, "asked again, run {run}, open: {open}");
            if exports == 0 {
                assert_eq!(once, bills(&mut anew, open, true), "nothing went out yet");
            }
        }
        if run % 2 == 1 {
            let told = page.ask(Ask::Export { open: false }, &[]);
            exports += told.iter().filter(|(answer, _)| matches!(answer, Answer::Table { .. })).count() as u32;
            page.ask(Ask::Written(exports), &[]);
        }
    }
    assert!(exports > 1, "{exports}");
    page.ask(Ask::Export { open: false }, &[]);
    page.ask(Ask::Written(exports + 1), &[]);
    let left = bills(&mut page, false, false);
    assert!(left.contains("jobs have nothing more to bill") && !left.contains("due GBP"), "{left}");
    assert!(bills(&mut page, false, true).contains("due GBP"), "all are told where that is asked");
}

#[test]
fn rules_of_pay_that_are_typed_hold_in_place_of_the_phones() {
    let mut page = Page::open([Disk::default(), Disk::default()]);
    page.take_in(month::files().expect("the month is told").iter());
    let mut pay = |typed: &PayRules| page.ask(Ask::Pay { from: None, to: None }, typed.lines().as_bytes());
    let table = Answer::Table { name: "payroll.csv".to_owned(), export: None };
    let plain = pay(&PayRules::default());
    assert!(words(&plain, &Answer::Said).contains("workweek from Monday 00:00, starts and stops exact"), "{plain:?}");
    assert!(words(&plain, &Answer::Said).contains("Not known here, to be kept with payroll: address"), "{plain:?}");
    let week = |begins: &str| PayRules { week_begins: Some(begins.to_owned()), ..PayRules::default() };
    let typed = pay(&PayRules { daily: Some("4".to_owned()), ..week("Sunday 06:00") });
    let said = words(&typed, &Answer::Said);
    assert!(
        said.contains(
            "workweek from Sunday 06:00, starts and stops exact, overtime after 40:00 h of a week and 4:00 h of a day"
        ),
        "{said}"
    );
    assert!(words(&typed, &table).contains("Sunday 06:00") && !words(&plain, &table).contains("Sunday 06:00"));
    assert!(matches!(pay(&week("payday")).last(), Some((Answer::Failed(why), _)) if why.contains("Sunday 06:00")));
}

#[test]
fn rules_of_pay_that_were_typed_are_there_at_the_next_opening() {
    let mut page = Page::open([Disk::default(), Disk::default()]);
    let kept = Answer::Remembered(Remembered::Pay);
    let opened = |page: &Page| {
        let [log, photos] = page.disks.clone();
        let mut heard = Heard::default();
        Work::begin(Journal::open(log, photos).expect("the store opens"), &mut heard);
        heard.0.iter().find(|(answer, _)| *answer == kept).map(|(_, lines)| String::from_utf8_lossy(lines).into_owned())
    };
    page.take_in(month::files().expect("the month is told").iter().take(1));
    assert_eq!(opened(&page), None, "nothing was typed");
    let week = |begins: &str| PayRules { week_begins: Some(begins.to_owned()), ..PayRules::default() };
    let typed = PayRules { rounding: Some("nearest 5 minutes".to_owned()), ..week("Sunday 06:00") };
    let told = page.ask(Ask::Pay { from: None, to: None }, typed.lines().as_bytes());
    assert_eq!(PayRules::of_lines(&words(&told, &kept)), typed, "the page shows what is kept");
    assert_eq!(opened(&page).map(|lines| PayRules::of_lines(&lines)), Some(typed.clone()));
    let length = page.disks[0].0.borrow().len();
    page.ask(Ask::Pay { from: None, to: None }, typed.lines().as_bytes());
    assert_eq!(page.disks[0].0.borrow().len(), length, "the same again is no change");
    // A wrong word is told and changes nothing; nothing typed is kept as well.
    page.ask(Ask::Pay { from: None, to: None }, week("payday").lines().as_bytes());
    assert_eq!(opened(&page).map(|lines| PayRules::of_lines(&lines)), Some(typed));
    page.ask(Ask::Pay { from: None, to: None }, &[]);
    assert_eq!(opened(&page).map(|lines| PayRules::of_lines(&lines)), Some(PayRules::default()));
}

#[test]
fn the_files_of_a_damaged_store_are_given_as_they_are() {
    let disks = [Disk::default(), Disk::default()];
    let mut page = Page::open(disks.clone());
    page.take_in(month::files().expect("the month is told").iter());
    // Damage of the last change alone could be the torn end that a kill leaves.
    page.ask(Ask::Prices("prices.json".to_owned()), &given("prices.json"));
    let [log, photos] = disks;
    // More than is given at once.
    photos.0.borrow_mut().resize(9 << 20, 7);
    log.0.borrow_mut()[100] ^= 1;
    let (changes, pictures) = (log.0.borrow().clone(), photos.0.borrow().clone());
    let Err(mut closed) = Journal::open(log.clone(), photos.clone()) else { panic!("it opens") };
    assert!(closed.why.to_string().contains("save what is there"), "{closed:?}");
    let mut heard = Heard::default();
    rescue(&mut closed, &mut heard);
    let (mut files, mut bytes) = (Vec::new(), Vec::new());
    for (answer, beside) in heard.0 {
        bytes.extend_from_slice(&beside);
        if let Answer::Table { name, .. } = answer {
            files.push((name, std::mem::take(&mut bytes)));
        }
    }
    let names: Vec<&str> = files.iter().map(|file| file.0.as_str()).collect();
    assert_eq!(names, ["office-changes.bin", "office-photos.bin"]);
    assert!(files[0].1 == changes && files[1].1 == pictures);
    assert!(*log.0.borrow() == changes, "nothing in it was changed");
}

#[test]
fn files_that_are_none_are_named_and_stop_no_other() {
    let mut page = Page::open([Disk::default(), Disk::default()]);
    let file = |name: &str, bytes: &[u8]| month::File { name: name.to_owned(), bytes: bytes.to_vec() };
    let good = month::files().expect("the month is told").remove(0);
    let files = [file("a\u{1b}[2Jb.txt", b"some words"), file("broken.zip", b"PK\x03\x04 and no more"), good];
    let (said, wrong) = page.take_in(files.iter());
    assert!(said.starts_with("1 file taken in, 0 known already, 2 not taken"), "{said}");
    assert!(wrong.starts_with("a[2Jb.txt: ") && wrong.contains("broken.zip: cannot be unpacked"), "{wrong}");
    // Nothing is asked without a run, and nothing comes of nothing.
    assert!(matches!(page.ask(Ask::End, &[]).last(), Some((Answer::Failed(_), _))));
}

#[test]
fn what_was_set_aside_comes_in_when_it_can_be_read() {
    let [log, photos] = [Disk::default(), Disk::default()];
    let mut store = Journal::open(log, photos).expect("the store opens");
    let month::File { name, bytes } = month::files().expect("the month is told").remove(0);
    // As an older program left it, which could not read it.
    store.set_aside(&Aside { file: Hash::of(&bytes), name, bytes }).expect("it is kept");
    let mut run = || {
        let report = Taking::begin(&mut store).and_then(|taking| taking.end(&mut store)).expect("the run ends");
        (report.words(), store.aside().expect("it is told").len())
    };
    let (words, left) = run();
    assert!(words.starts_with("1 file taken in, 0 known already; new: ") && left == 0, "{words}");
    assert_eq!(run(), ("0 files taken in, 0 known already; new: 0 records, 0 photos".to_owned(), 0));
}

#[test]
fn hours_and_pay_come_as_tables() {
    let mut page = Page::open([Disk::default(), Disk::default()]);
    assert!(
        matches!(page.ask(Ask::Pay { from: None, to: None }, &[]).last(), Some((Answer::Failed(_), _))),
        "no day is there"
    );
    let files = month::files().expect("the month is told");
    page.take_in(files.iter());
    let table = |name: &str| Answer::Table { name: name.to_owned(), export: None };
    let hours = words(&page.ask(Ask::Hours { from: None, to: None }, &[]), &table("hours.csv"));
    let pay = words(&page.ask(Ask::Pay { from: None, to: None }, &[]), &table("payroll.csv"));
    for name in ["M. Sluice", "R. Thwart", "J. Reed"] {
        assert!(hours.contains(name) && pay.contains(name), "{name}\n{hours}\n{pay}");
    }
}

#[test]
fn what_the_office_looks_at_comes_as_elements_whose_links_lead_back_to_it() {
    let mut page = Page::open([Disk::default(), Disk::default()]);
    let files = month::files().expect("the month is told");
    page.take_in(files.iter());
    let board = words(&page.ask(Ask::Look("board".to_owned()), &[]), &Answer::Page("Open jobs".to_owned()));
    assert!(board.contains("href=\"#/office/claims\"") && board.contains("J. Reed"), "{board}");
    assert!(!board.contains("style=") && !board.contains("<script"), "the page's policy allows neither");
    for (address, why) in [("nowhere", "nothing to see"), ("unbilled", "price list")] {
        let told = page.ask(Ask::Look(address.to_owned()), &[]);
        assert!(matches!(told.last(), Some((Answer::Failed(words), _)) if words.contains(why)), "{told:?}");
    }
}
