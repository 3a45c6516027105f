//! Looking at the made-up yard's month: figures worked by hand from `tests/month/WORKING.md`.
#![allow(clippy::expect_used, reason = "a test stops where it cannot go on")]

mod shop;

use std::fs;
use std::path::{Path, PathBuf};

use quaywright_core::moment::Day;
use quaywright_xtask::demo::{self, month};
use shop::{office, run, said, wrong};

/// The month in a store.
struct Yard {
    folder: tempfile::TempDir,
    store: PathBuf,
}

impl Yard {
    fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let store = folder.path().join("yard.quay");
        for file in month::files().expect("the month is told") {
            let path = folder.path().join(&file.name);
            fs::write(&path, file.bytes).expect("the file is written");
            run("take-in", &store, &[path.to_str().expect("a plain path")]);
        }
        Self { folder, store }
    }

    #[track_caller]
    fn says(&self, task: &str, words: &[&str]) -> String {
        said(&run(task, &self.store, words), 0)
    }

    fn path(&self, name: &str) -> String {
        self.folder.path().join(name).to_str().expect("a plain path").to_owned()
    }
}

fn prices() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/month/prices.json");
    path.to_str().expect("a plain path").to_owned()
}

/// Returns the line of a text that begins so, both with single blanks.
#[track_caller]
fn row(text: &str, head: &str) -> String {
    let single = |line: &str| line.split_whitespace().collect::<Vec<_>>().join(" ");
    text.lines().map(single).find(|line| line.starts_with(head)).expect(text)
}

#[test]
fn the_board_has_the_one_open_job() {
    let yard = Yard::new();
    let board = yard.says("board", &[]);
    assert!(board.contains("1 open; something is off on 0 of them"), "{board}");
    let open = row(&board, "Heron");
    assert_eq!(open, "Heron Lift her out Towpath Trust J. Reed 2026-05-19 2026-05-19 1:00 nothing");
    let page = yard.path("board.html");
    yard.says("board", &["--page", &page]);
    let page = fs::read_to_string(page).expect("the page");
    assert!(page.contains("<h1 dir=\"auto\">Open jobs</h1>") && page.contains("Lift her out"));
    assert!(!page.contains("<script") && !page.contains("href="));
    assert!(yard.says("parts", &[]).contains("No open job names a part that it wants."));
}

#[test]
fn unbilled_work_is_told_by_age_and_goes_when_it_went_out() {
    let yard = Yard::new();
    let prices = prices();
    // The last thing was said on the 19th: jobs were finished 7, 13 and 1, 12, and 15 days before.
    let before = yard.says("unbilled", &["--prices", &prices]);
    assert_eq!(row(&before, "A. Lockhart"), "A. Lockhart 105.90 0.00 0.00 0.00 105.90 0.00 GBP");
    assert_eq!(row(&before, "Ferry Board"), "Ferry Board 85.05 278.60 0.00 0.00 363.65 0.00 GBP");
    assert_eq!(row(&before, "Harbour School"), "Harbour School 0.00 61.20 0.00 0.00 61.20 0.00 GBP");
    // Open: an hour of labour and 5 % of supplies.
    assert_eq!(row(&before, "Towpath Trust"), "Towpath Trust 0.00 104.48 0.00 0.00 104.48 63.00 GBP");
    assert_eq!(row(&before, "all"), "all 190.95 444.28 0.00 0.00 635.23 63.00 GBP");
    let (_, warranty) = before.split_once("\nWarranty\n").expect("warranty stands apart");
    assert_eq!(row(warranty, "Towpath Trust"), "Towpath Trust 0.00 72.00 0.00 0.00 72.00 0.00 GBP");
    let (_, internal) = warranty.split_once("\nInternal\n").expect("so does internal work");
    assert_eq!(row(internal, "The made-up yard"), "The made-up yard 60.00 0.00 0.00 0.00 60.00 0.00 GBP");
    let table = yard.path("lines.csv");
    yard.says("bill", &["--prices", &prices, "--export", &table]);
    let after = yard.says("unbilled", &["--prices", &prices]);
    assert_eq!(row(&after, "all"), "all 0.00 0.00 0.00 0.00 0.00 63.00 GBP");
    assert!(!after.contains("Avocet") && after.contains("Lift her out"), "{after}");
    // One customer's are told line by line, each with the address that says why.
    let lines = yard.says("unbilled", &["--prices", &prices, "--customer", "Towpath Trust"]);
    let why = "why/0303030303030303-13/customer-pay/0303030303030303-14%20labour";
    assert!(lines.contains(why), "{lines}");
    assert!(yard.says("why", &[why, "--prices", &prices]).contains("By the clock: 1:00"));
}

#[test]
fn a_billed_line_leads_to_what_was_said_and_what_was_put_right() {
    let yard = Yard::new();
    let (prices, table) = (prices(), yard.path("lines.csv"));
    yard.says("bill", &["--prices", &prices, "--export", &table]);
    let key = "0101010101010101-4, customer pay: 0101010101010101-5 labour at \"yard\", S 20 GBP";
    let why = yard.says("why", &[key, "--prices", &prices]);
    // 8:20 to 9:30 by the clock are 1.2 hours by the shop's tenths.
    assert!(why.contains("By the clock: 1:10"), "{why}");
    assert_eq!(row(&why, "2026-05-04 08:20 09:30"), "2026-05-04 08:20 09:30 labour 1:10 Heron, Pump leaks");
    assert_eq!(row(&why, "labour: Pump leaks"), "labour: Pump leaks yard 1.2 hours 60 0.00 72.00");
    assert_eq!(row(&why, "1 yard"), "1 yard 1.2 hours 60 72.00 GBP");
    // The tap that began it is record 7 of that phone; the mend of the 8th ended it and says what it changed.
    assert_eq!(
        row(&why, "2026-05-04 08:20 clock"),
        "2026-05-04 08:20 clock: labour on Heron, Pump leaks 0101010101010101 7"
    );
    let words = why.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("2026-05-08 08:00 put right: 09:30 to 10:02:"), "{why}");
    let tap = yard.says("why", &["0101010101010101-7"]);
    assert!(
        tap.starts_with("Why: clock: labour on Heron, Pump leaks\n") && tap.contains("By the clock: 1:30"),
        "{tap}"
    );
    let unknown = run("why", &yard.store, &["0101010101010101-999"]);
    assert!(wrong(&unknown).contains("this is in nobody's book"));
    assert_eq!(unknown.status.code(), Some(2));
    assert!(wrong(&run("why", &yard.store, &["nonsense"])).contains("no address, no record and no billed line"));
}

#[test]
fn claims_are_told_and_their_pack_is_written() {
    let yard = Yard::new();
    let claims = yard.says("claims", &[]);
    assert!(claims.contains("Claims: 1. Packs that have not left: 1; 0 of these lack nothing."), "{claims}");
    // Finished on the 11th, told on the 19th.
    assert!(row(&claims, "8 ").starts_with("8 finished 2026-05-11 Teal Recall of the valve"), "{claims}");
    let (pdf, page) = (yard.path("pack.pdf"), yard.path("pack.html"));
    let told = yard.says("claims", &["--pack", "0202020202020202-4", "--pdf", &pdf, "--page", &page]);
    assert!(told.contains("lacks: no cause\n") && told.contains("lacks: no failed part\n"), "{told}");
    assert!(fs::read(&pdf).expect("the PDF").starts_with(b"%PDF-"));
    let page = fs::read_to_string(page).expect("the page");
    assert!(page.contains("Warranty pack") && page.contains("Teal") && !page.contains("72.00"));
    // What the list tells may be given as it stands.
    let address = claims.lines().find_map(|line| line.trim().strip_prefix("claim/")).expect("a claim");
    for of in [format!("claim/{address}"), "job/0202020202020202-4".to_owned()] {
        assert_eq!(yard.says("claims", &["--pack", &of, "--pdf", &pdf, "--page", &yard.path("pack.html")]), told);
    }
    let none = run("claims", &yard.store, &["--pack", "0101010101010101-4", "--pdf", &pdf]);
    assert!(wrong(&none).contains("no job with a line under warranty"), "{}", wrong(&none));
}

#[test]
fn the_pack_has_its_photos_out_of_the_store() {
    let folder = tempfile::tempdir().expect("a folder");
    let [store, backup, pdf, page] =
        ["shop.quay", "backup.txt", "pack.pdf", "pack.html"].map(|name| folder.path().join(name));
    let shop = demo::shop(Day::parse("2026-05-08").expect("a day"), 60).expect("the demo is told");
    fs::write(&backup, shop.backup()).expect("the backup is written");
    run("take-in", &store, &[backup.to_str().expect("a plain path")]);
    let claims = said(&run("claims", &store, &[]), 0);
    let job = claims.lines().find_map(|line| line.trim().strip_prefix("job/")).expect(&claims);
    let [pdf_words, page_words] = [&pdf, &page].map(|path| path.to_str().expect("a plain path"));
    let output = office()
        .args(["claims", "--store"])
        .arg(&store)
        .args(["--pack", job, "--pdf", pdf_words, "--page", page_words])
        .output()
        .expect("the command runs");
    said(&output, 0);
    let page = fs::read_to_string(page).expect("the page");
    assert!(page.contains("src=\"data:image/jpeg;base64,/9j/") && !page.contains("This photo is not in this file"));
    let pdf = fs::read(pdf).expect("the PDF");
    assert!(pdf.windows(10).any(|bytes| bytes == b"/DCTDecode"), "the photos go in as the JPEGs that they are");
}

#[test]
fn words_boats_and_hours_are_found() {
    let yard = Yard::new();
    let found = yard.says("find", &["GLAND", "weeps"]);
    assert!(found.contains("2 found, the newest first."), "{found}");
    let dabchick = found.find("Dabchick: Propeller fouled").expect(&found);
    assert!(dabchick < found.find("Coot: Gland weeps").expect(&found));
    // M. Sluice's Heron and J. Reed's are one boat: 1:10 and 0:20 of one, 1:00 of the other.
    let heron = yard.says("boat", &["heron"]);
    assert!(heron.starts_with("Heron\n2 jobs, 1 of them open; 2:30 by the clock.\n"), "{heron}");
    assert!(wrong(&run("boat", &yard.store, &["Egret"])).contains("no boat is called \"Egret\""));
    let hours = yard.says("look", &["hours/customer"]);
    assert!(hours.contains("13:49 by the clock in all"), "{hours}");
    assert!(row(&hours, "Ferry Board").starts_with("Ferry Board 6:45 ###"), "{hours}");
    assert!(row(&hours, "no owner written").starts_with("no owner written 0:32"), "{hours}");
    let sluice = yard.says("look", &["hours/activity/technician=M.%20Sluice/paid=customer-pay"]);
    assert!(row(&sluice, "labour").starts_with("labour 5:35"), "{sluice}");
}
