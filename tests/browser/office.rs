//! The office page: the made-up yard's month through a browser, stopped, closed, damaged and opened again.

use std::fs;
use std::path::{Path, PathBuf};

use jpeg_encoder::{ColorType, Encoder};
use quaywright_core::event::{About, Event, PayType, PhotoFacts};
use quaywright_core::exchange::{bundle, pieces};
use quaywright_core::id::BlobId;
use quaywright_core::sheet::{LogHead, day_sheet};
use quaywright_core::text::Label;
use quaywright_xtask::demo::{month, yard};

use crate::device::Phone;
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

#[test]
fn files_and_folders_are_dropped_anywhere_on_the_page() {
    let world = World::of_app();
    let files = month::files().expect("the month is told");
    let page = office(&world);
    let alone = world.lay_out(&files[0].name, &files[0].bytes);
    // More than a browser tells of a folder at once, and one in a folder within it.
    let folder = tempfile::tempdir().expect("a folder");
    let inbox = folder.path().join("inbox");
    fs::create_dir_all(inbox.join("week 2")).expect("a folder");
    (0..130).for_each(|nth| fs::write(inbox.join(format!("{nth}.html")), &files[1].bytes).expect("a file is written"));
    fs::write(inbox.join("week 2/last.html"), &files[2].bytes).expect("a file is written");
    page.drop_files("h1", &[alone, inbox]);
    page.wait_for_text("3 files taken in, 129 known already");
    // What is wrong with a file is told by the way to it.
    let odd = folder.path().join("odd");
    fs::create_dir_all(odd.join("deep")).expect("a folder");
    fs::write(odd.join("deep/note.txt"), "no day").expect("a file is written");
    fs::write(odd.join("again.html"), &files[2].bytes).expect("a file is written");
    page.drop_files("h1", &[odd]);
    page.wait_for_text("0 files taken in, 1 known already, 1 not taken");
    page.wait_for_text("odd/deep/note.txt: ");
    page.drop_files("h1", &[folder.path().join("inbox/week 2")]);
    page.wait_for_text("0 files taken in, 1 known already;");
    fs::create_dir(folder.path().join("empty")).expect("a folder");
    page.drop_files("h1", &[folder.path().join("empty")]);
    page.said("There is no file in that.");
    page.assert_quiet();
}

#[test]
fn the_page_says_what_a_shops_own_files_are_like_and_its_example_can_be_used() {
    let world = World::of_app();
    let page = office(&world);
    let example = page.saves_a_table(&world, "What a price list is like", "prices-example.json");
    page.wait_for_text("A price list is a file like this");
    judge(&page, "office-forms");
    page.gives_the_office(
        "Choose the price list",
        &[world.lay_out("of the shop.json", &example)],
        "By of the shop.json.",
    );
    page.tap_named("button", "Which fields there are");
    page.wait_for_text("Example: Customer=customer,What=words,Net=net,Currency=currency");
    page.assert_quiet();
}

#[test]
fn taking_in_is_stopped_and_goes_on_with_the_same_files() {
    let world = World::of_app();
    let folder = tempfile::tempdir().expect("a folder");
    let count = yard::day_files(folder.path(), 10, 40).expect("the days are written");
    let mut paths: Vec<PathBuf> =
        fs::read_dir(folder.path()).expect("a folder").map(|entry| entry.expect("an entry").path()).collect();
    paths.sort();
    let page = office(&world);
    page.choose_file("input[aria-label='Pick files']", &paths);
    page.wait_for(&format!("/Taking in [0-9]+ of {count} files/.test(document.body.innerText)"), SOON);
    page.tap_named("button", "Stop");
    page.said("Stopped. What was kept stays");
    page.wait_for("![...document.querySelectorAll('button')].some(it => it.innerText === 'Stop')", SOON);
    assert!(!page.text().contains("files taken in"), "it was done before it could be stopped: {}", page.text());
    page.hide_what_was_said();
    page.choose_file("input[aria-label='Pick files']", &paths);
    page.wait_for("/ taken in, .*known already/.test(document.body.innerText)", 3 * SOON);
    page.wait_for_text(&format!("{count} files of 10 technicians are kept in this browser"));
    page.assert_quiet();
}

#[test]
fn words_are_found_hours_have_days_and_open_jobs_are_billed_where_that_is_asked() {
    let world = World::of_app();
    let page = yard(&world);
    page.fill_labelled("Words in any boat's story, all of which must occur", "RECALL valve");
    page.tap_named("button", "Find");
    page.wait_for("location.hash.startsWith('#/office/find/')", SOON);
    page.wait_for_text("Find: RECALL valve");
    page.wait_for_text("Teal: Recall of the valve");
    judge(&page, "office-find");
    page.tap_named("link", "Days in, bills and pay");
    page.wait_for_text("Pick a folder");
    // Of some days there is less than of all.
    let sum = |table: &[u8]| -> u64 {
        let text = String::from_utf8_lossy(table);
        let last = text.split_terminator("\r\n").skip(1).filter_map(|row| row.rsplit(',').next()?.parse::<u64>().ok());
        last.sum()
    };
    let hours = |from: &str, to: &str| {
        page.fill_labelled("First day", from);
        page.fill_labelled("Last day", to);
        sum(&page.saves_a_table(&world, "Make the table of hours", "hours.csv"))
    };
    let (all, first, rest) = (hours("", ""), hours("", "2026-05-10"), hours("2026-05-11", ""));
    assert!(first > 0 && rest > 0 && first + rest == all, "{first} and {rest} of {all}");
    page.fill_labelled("First day", "May");
    page.tap_named("button", "Make the table of hours");
    page.said("Write a day as 2026-05-04, or leave it empty.");
    page.hide_what_was_said();
    page.tap_named("button", "Show the bills");
    page.wait_for_text(" left out");
    let is_of_open = "/1 open jobs? (is|are) left out/.test(document.body.innerText)";
    assert!(page.eval::<bool>(is_of_open).expect("the page answers"), "{}", page.text());
    let billed = page.text().matches("due GBP").count();
    page.tap_words("Open jobs too");
    page.tap_named("button", "Show the bills");
    page.wait_for(&format!("!{is_of_open} && document.body.innerText.includes('due GBP')"), SOON);
    let with_open = page.text().matches("due GBP").count();
    assert_eq!(with_open, billed + 1, "the open job is billed too");
    page.assert_quiet();
}

/// Opens the office with the month in it and the price list chosen.
fn yard(world: &World) -> Page {
    let files = month::files().expect("the month is told");
    let paths: Vec<PathBuf> = files.iter().map(|file| world.lay_out(&file.name, &file.bytes)).collect();
    let page = office(world);
    page.gives_the_office("Pick files", &paths, "files taken in");
    page.gives_the_office("Choose the price list", &[given("prices.json")], "By prices.json.");
    page
}

const PARTIES: &str = r#"{"quaywright": "parties", "v": 1, "terms": "Within 14 days",
    "seller": {"name": "The made-up yard", "country": "GB", "vat": "GB123456789"},
    "customers": [{"name": "Towpath Trust", "country": "GB"}, {"name": "Ferry Board", "country": "GB"},
        {"name": "Harbour School", "country": "GB"}]}"#;

#[test]
fn what_went_out_becomes_drafts_of_invoices_in_one_file() {
    let world = World::of_app();
    let page = yard(&world);
    page.saves_a_table(&world, "Export what did not go out yet", "export-1.csv");
    page.wait_for_text("What went out");
    page.tap_named("button", "Show the bills");
    page.wait_for_text("jobs have nothing more to bill and are left out");
    page.tap_named("button", "Make drafts of invoices");
    page.said("who sells and who buys first");
    page.hide_what_was_said();
    let parties = world.lay_out("parties.json", PARTIES.as_bytes());
    page.gives_the_office("Choose who sells and who buys", &[parties], "Who sells and who buys: parties.json.");
    page.fill_labelled("Day that the drafts bear", "2026-05-31");
    let packed = page.saves_a_table(&world, "Make drafts of invoices", "drafts-1.zip");
    assert!(packed.starts_with(b"PK\x03\x04"));
    let counted = |words: &[u8]| packed.windows(words.len()).filter(|run| *run == words).count();
    // Of five jobs that customers pay one's owner is not among those who buy, and that is said.
    let drafts = (counted(b"%PDF-"), counted(b"<cbc:IssueDate>2026-05-31<"));
    // How many files there are stands 12 bytes before the end (APPNOTE.TXT of the zip format, 4.3.16).
    assert_eq!((drafts, packed.iter().rev().nth(11)), ((4, 4), Some(&8)));
    assert!(page.text().contains("\"A. Lockhart\" is not among the customers"), "{}", page.text());
    judge(&page, "office-drafts");
    // Which list it was is remembered.
    page.reload().unwrap();
    page.wait_until_open();
    page.wait_for_text("Who sells and who buys: parties.json.");
    page.assert_quiet();
}

#[test]
fn a_tap_on_a_claim_gives_its_pack() {
    let world = World::of_app();
    let page = yard(&world);
    page.tap_named("link", "Claims");
    page.wait_for_text("Claims for warranty");
    // Job and complaint have the same words here.
    page.tap_named("link", "Claim on Recall of the valve");
    page.wait_for_text("Claim on Teal");
    page.wait_for_text(".pdf is ready.");
    judge(&page, "office-claim");
    page.hide_what_was_said();
    page.tap_named("button", "Save");
    page.said("is saved");
    let pack = fs::read(world.browser().wait_download("warranty Teal ")).expect("a finished download can be read");
    assert!(pack.starts_with(b"%PDF-") && pack.len() > 10_000, "{} bytes", pack.len());
    page.tap_named("link", "Days in, bills and pay");
    page.wait_for_text("Pick a folder");
    page.assert_quiet();
}

/// Returns the file of a day with a claim and three photos, of which the log says that they are large.
fn day_with_a_large_claim() -> Vec<u8> {
    let mut phone = Phone::new(0x8d, "2026-05-04T08:00:00.000+01:00");
    phone.named("M. Sluice", "Lower Basin Boatyard");
    let (job, _) = phone.job("Heron", "P. Wherry", "Pump weeps", "Pump weeps");
    phone.line(job, PayType::Warranty, "Weeps at the shaft");
    let photos = [0, 90, 180].map(|shade| {
        let mut jpeg = Vec::new();
        Encoder::new(&mut jpeg, 90).encode(&[shade; 16 * 16], 16, 16, ColorType::Luma).expect("a picture");
        jpeg
    });
    for photo in &photos {
        let (blob, caption) = (BlobId::of(photo), Label::default());
        let photo =
            PhotoFacts { blob, bytes: 40_000_000, width: 8_000, height: 6_000, caption, taken: None, position: None };
        phone.say(Event::PhotoTaken { about: About::Job(job), photo });
    }
    let sheet = day_sheet(&phone.book, phone.now.day(), phone.now, LogHead::from(&phone.tip));
    let page = bundle::page(&sheet, phone.lines.iter().map(Vec::as_slice));
    pieces::assemble(&page, |blob| photos.iter().find(|photo| BlobId::of(photo) == blob).cloned())
}

#[test]
fn a_pack_whose_photos_are_too_many_for_one_pdf_is_made_as_a_page() {
    let world = World::of_app();
    let page = office(&world);
    let file = world.lay_out("M. Sluice 2026-05-04.html", &day_with_a_large_claim());
    page.gives_the_office("Pick files", &[file], "1 file taken in");
    page.tap_named("link", "Claims");
    page.tap_named("link", "Claim on Weeps at the shaft");
    page.wait_for_text("Its photos are too many for one PDF, so it is made as a page.");
    page.wait_for_text("warranty Heron 2026-05-04.html is ready.");
    page.hide_what_was_said();
    page.tap_named("button", "Save");
    page.said("is saved");
    let pack = fs::read(world.browser().wait_download("warranty Heron ")).expect("a finished download can be read");
    let pack = String::from_utf8(pack).expect("a page is text");
    assert_eq!(pack.matches("src=\"data:image/jpeg;base64,").count(), 3, "all photos are in it, whole");
    page.assert_quiet();
}

#[test]
fn rules_of_pay_are_typed_where_those_of_the_phones_do_not_hold() {
    let world = World::of_app();
    let page = yard(&world);
    let plain = page.saves_a_table(&world, "Make the table for payroll", "payroll.csv");
    page.wait_for_text("workweek from Monday 00:00, starts and stops exact, overtime after 40:00 h of a week");
    page.fill_labelled("Workweek begins, such as Sunday 06:00", "Sunday 06:00");
    page.fill_labelled("Overtime after so many hours of a day", "4");
    page.choose_labelled("Starts and stops, for pay", "nearest 5 minutes");
    let typed = page.saves_a_table(&world, "Make the table for payroll", "payroll.csv");
    page.wait_for_text("workweek from Sunday 06:00, starts and stops nearest 5 minutes");
    page.wait_for_text("and 4:00 h of a day");
    let has = |table: &[u8]| String::from_utf8_lossy(table).contains("Sunday 06:00");
    assert!(has(&typed) && !has(&plain));
    // They are there the next time, and hold without being typed again.
    page.reload().unwrap();
    page.wait_until_open();
    page.wait_for_text("are kept in this browser");
    let kept = "[...document.querySelectorAll('label')].filter(it => /^(Workweek|Overtime|Double|Starts)/.test(it.textContent))
        .map(it => it.querySelector('input, select').value).join('|')";
    page.wait_for(&format!("{kept} === 'Sunday 06:00||4||nearest 5 minutes'"), SOON);
    let again = page.saves_a_table(&world, "Make the table for payroll", "payroll.csv");
    assert_eq!(String::from_utf8_lossy(&again), String::from_utf8_lossy(&typed));
    page.fill_labelled("Workweek begins, such as Sunday 06:00", "payday");
    page.tap_named("button", "Make the table for payroll");
    page.said("is no beginning of a week");
    page.hide_what_was_said();
    judge(&page, "office-pay");
    page.assert_quiet();
}

/// Changes one byte of the store's file, as soon as nobody holds it; resolves to how long it is.
const DAMAGE: &str = "(async () => {
    const office = await (await navigator.storage.getDirectory()).getDirectoryHandle('quaywright-office');
    const file = await (await office.getDirectoryHandle('yard')).getFileHandle('changes');
    const bytes = new Uint8Array(await (await file.getFile()).arrayBuffer());
    for (let tries = 0; ; tries += 1) {
        try {
            const out = await file.createWritable({ keepExistingData: true });
            await out.write({ type: 'write', position: 100, data: new Uint8Array([bytes[100] ^ 1]) });
            await out.close();
            return bytes.length;
        } catch (error) {
            if (tries > 50) throw error;
            await new Promise(done => setTimeout(done, 100));
        }
    }
})()";

#[test]
fn a_damaged_store_is_saved_and_another_is_begun_beside_it() {
    let world = World::of_app();
    let page = yard(&world);
    page.place("Now");
    page.wait_for("location.hash === '#/now'", SOON);
    let length: usize = page.eval(DAMAGE).unwrap();
    page.place("Office");
    page.wait_for_text("The store is damaged");
    page.hide_what_was_said();
    assert!(!page.text().contains("Begin anew"), "first its files are saved");
    judge(&page, "office-damaged");
    let saved = page.saves_a_table(&world, "Save what is there", "office-changes.bin");
    assert_eq!(saved.len(), length);
    page.wait_for_text("Begin anew beside it");
    judge(&page, "office-damaged-saved");
    page.tap_named("button", "Begin anew beside it");
    page.wait_for_text("Nothing is taken in yet");
    let file = month::files().expect("the month is told").remove(0);
    page.gives_the_office("Pick files", &[world.lay_out(&file.name, &file.bytes)], "1 file taken in");
    page.reload().unwrap();
    page.wait_until_open();
    page.wait_for_text("1 file of 1 technician is kept in this browser");
    // The damaged one lies where it lay, as it was.
    let old = DAMAGE.replace("^ 1", "^ 0");
    assert_eq!(page.eval::<usize>(&old).unwrap(), length);
    page.place("Now");
    page.assert_quiet();
}
