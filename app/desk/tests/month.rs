//! The office page's work on the made-up yard's month: the hand-worked table to the byte, as the command gives it.
#![allow(clippy::expect_used, reason = "a test stops where it cannot go on")]

use std::cell::RefCell;
use std::fs;
use std::io::Cursor;
use std::path::Path;
use std::rc::Rc;

use quaywright_desk::store::journal::{Journal, Medium};
use quaywright_desk::wire::{Answer, Ask};
use quaywright_desk::work::{Outlet, Work};
use quaywright_xtask::demo::month;

/// A file in memory.
#[derive(Clone, Default)]
struct Disk(Rc<RefCell<Vec<u8>>>);

impl Medium for Disk {
    fn length(&mut self) -> Result<u64, String> {
        Ok(self.0.borrow().len() as u64)
    }

    fn read(&mut self, at: u64, length: usize) -> Result<Vec<u8>, String> {
        let bytes = self.0.borrow();
        Ok(bytes[at as usize..bytes.len().min(at as usize + length)].to_vec())
    }

    fn write(&mut self, at: u64, bytes: &[u8]) -> Result<(), String> {
        let mut file = self.0.borrow_mut();
        file.truncate(at as usize);
        file.extend_from_slice(bytes);
        Ok(())
    }
}

/// What was answered.
#[derive(Default)]
struct Heard(Vec<(Answer, Vec<u8>)>);

impl Outlet for Heard {
    fn answer(&mut self, answer: Answer, beside: &[u8]) {
        self.0.push((answer, beside.to_vec()));
    }
}

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
        assert_eq!(said, "1 open jobs are left out\nExport 1 holds 20 lines\n", "seed {seed}");
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
fn hours_and_pay_come_as_tables() {
    let mut page = Page::open([Disk::default(), Disk::default()]);
    assert!(matches!(page.ask(Ask::Pay, &[]).last(), Some((Answer::Failed(_), _))), "no day is there");
    let files = month::files().expect("the month is told");
    page.take_in(files.iter());
    let table = |name: &str| Answer::Table { name: name.to_owned(), export: None };
    let hours = words(&page.ask(Ask::Hours { from: None, to: None }, &[]), &table("hours.csv"));
    let pay = words(&page.ask(Ask::Pay, &[]), &table("payroll.csv"));
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
