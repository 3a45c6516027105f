//! The office page: the made-up yard's month through a browser, stopped, closed and opened again.

use std::fs;
use std::path::{Path, PathBuf};

use quaywright_xtask::demo::month;

use crate::ground::World;
use crate::looks::judge;
use crate::page::{Page, SOON};

fn given(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("month").join(name)
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

/// Opens the workbook, says that this is the office, and goes there.
fn office(world: &World) -> Page {
    let page = world.open_workbook();
    page.place("Hand over");
    page.tap_words("This is the office: show its page among the places");
    page.place("Office");
    page.wait_for_text("Nothing is taken in yet");
    page
}

impl Page {
    /// Picks files for an input of the office page, and waits for what comes of it.
    #[track_caller]
    fn gives_the_office(&self, input: &str, files: &[PathBuf], words: &str) {
        self.choose_file(&format!("input[aria-label='{input}']"), files);
        self.wait_for_text(words);
    }

    /// Makes a table, saves it, and returns its bytes.
    #[track_caller]
    fn saves_a_table(&self, world: &World, button: &str, name: &str) -> Vec<u8> {
        self.hide_what_was_said();
        self.tap_named("button", button);
        self.wait_for_text(&format!("{name} is ready."));
        self.tap_named("button", "Save");
        self.said(&format!("{name} is saved"));
        let file = world.browser().wait_download(name);
        let bytes = fs::read(&file).expect("a finished download can be read");
        fs::remove_file(file).expect("a download can be removed");
        bytes
    }
}

#[test]
fn the_month_gives_the_hand_worked_table_to_the_byte() {
    let world = World::of_app();
    let files = month::files().expect("the month is told");
    let paths: Vec<PathBuf> = files.iter().map(|file| world.lay_out(&file.name, &file.bytes)).collect();
    let page = office(&world);
    // Dropped twice in any order: no file twice in one run, since a picker takes none twice.
    let order = twice(paths.len(), 7);
    let (first, second) = order.split_at(paths.len());
    for some in [first, second] {
        let mut some: Vec<PathBuf> = some.iter().map(|&nth| paths[nth].clone()).collect();
        some.sort();
        some.dedup();
        page.gives_the_office("Pick files", &some, "files taken in");
        assert!(!page.text().contains("not taken;"), "{}", page.text());
    }
    page.gives_the_office("Pick files", &paths, "0 files taken in");
    assert!(page.text().contains("altered J. Reed 2026-05-18.html: entry 8"), "{}", page.text());
    // Closed and opened again, what was kept is there.
    page.reload().unwrap();
    page.wait_until_open();
    page.wait_for_text("of 3 technicians are kept in this browser");
    page.gives_the_office("Choose the price list", &[given("prices.json")], "By prices.json.");
    let columns = fs::read_to_string(given("columns.txt")).expect("the columns");
    page.fill_labelled("Columns of the table", columns.trim_end());
    page.press("Tab");
    page.tap_named("button", "Show the bills");
    page.wait_for_text("due ");
    // The button stands far down; what came of it is on the screen all the same.
    let seen =
        "(at => at.top >= 0 && at.top < innerHeight / 2)(document.getElementById('answer').getBoundingClientRect())";
    assert!(page.eval::<bool>(seen).unwrap(), "the bills are told where nobody looks");
    judge(&page, "office-bills");
    let table = page.saves_a_table(&world, "Export what did not go out yet", "export-1.csv");
    let expected = fs::read(given("lines.csv")).expect("the hand-worked table");
    assert_eq!(String::from_utf8_lossy(&table), String::from_utf8_lossy(&expected));
    assert_eq!(table, expected);
    page.tap_named("button", "Export what did not go out yet");
    page.wait_for_text("Nothing to export");
    assert_eq!(page.saves_a_table(&world, "Write the export again", "export-1.csv"), expected);
    let hours = page.saves_a_table(&world, "Make the table of hours", "hours.csv");
    assert!(String::from_utf8_lossy(&hours).contains("M. Sluice"));
    let pay = page.saves_a_table(&world, "Make the table for payroll", "payroll.csv");
    assert!(String::from_utf8_lossy(&pay).contains("R. Thwart"));
    page.tap_named("link", "Open jobs");
    page.wait_for_text("Days in, bills and pay");
    page.tap_named("link", "Claims");
    page.wait_for(
        "location.hash === '#/office/claims' && document.body.innerText.includes('Claims for warranty')",
        SOON,
    );
    judge(&page, "office-claims");
    page.tap_named("link", "Days in, bills and pay");
    page.wait_for_text("Pick a folder");
    page.assert_quiet();
}

#[test]
fn another_tab_is_told_that_the_office_is_open_and_goes_on_when_it_is_closed() {
    let world = World::of_app();
    let page = office(&world);
    let other = world.browser().open(&format!("{}#/office", world.address()));
    other.wait_for_text("office is open in another tab");
    page.close().unwrap();
    other.reload().unwrap();
    other.wait_for_text("Nothing is taken in yet");
}
