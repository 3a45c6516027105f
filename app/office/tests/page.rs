//! The office page's papers beside the command's: the same store gives the same bytes.
#![allow(clippy::expect_used, clippy::panic, reason = "a test stops where it cannot go on")]

#[path = "../../desk/tests/held/mod.rs"]
mod held;
mod shop;

use std::fs;
use std::io::{Cursor, Read};
use std::path::Path;
use std::process::Command;

use held::{Disk, Heard};
use jpeg_encoder::{ColorType, Encoder};
use quaywright_core::event::{About, Event, PayType, PhotoFacts};
use quaywright_core::id::{BlobId, DeviceId, EventId, LineId};
use quaywright_core::moment::{Day, Moment};
use quaywright_core::text::Label;
use quaywright_desk::forms::Form;
use quaywright_desk::store::journal::Journal;
use quaywright_desk::wire::{Answer, Ask};
use quaywright_desk::work::Work;
use quaywright_papers::wire::{Answer as Told, Ask as Make, Leaf, PHOTO_BYTES, Paper, Photos, TooMuch};
use quaywright_papers::work::{Outlet as Papers, Work as Room};
use quaywright_xtask::demo::month;
use shop::{PARTIES, PRICES, Phone, run, said};

/// The page's side of the office.
struct Page(Work<Disk>);

impl Page {
    fn new() -> Self {
        let store = Journal::open(Disk::default(), Disk::default()).expect("the store opens");
        Self(Work::begin(store, &mut Heard::default()))
    }

    #[track_caller]
    fn ask(&mut self, ask: Ask, beside: &[u8]) -> Vec<(Answer, Vec<u8>)> {
        let mut heard = Heard::default();
        self.0.hear(ask, beside, &mut heard);
        assert!(matches!(heard.0.last(), Some((Answer::Done, _))), "{:?}", heard.0.last());
        heard.0
    }

    fn take_in(&mut self, name: &str, file: &[u8]) {
        self.ask(Ask::TakeIn, &[]);
        self.ask(Ask::File(name.to_owned()), file);
        self.ask(Ask::End, &[]);
    }
}

/// The papers' worker: what it was told, and the files that it made.
#[derive(Default)]
struct Table {
    written: Vec<u8>,
    files: Vec<(String, Vec<u8>)>,
    told: Vec<Told>,
}

impl Papers for Table {
    fn write(&mut self, bytes: &[u8]) {
        self.written.extend_from_slice(bytes);
    }

    fn hand_out(&mut self, name: &str, _: &str, _: BlobId) {
        self.files.push((name.to_owned(), std::mem::take(&mut self.written)));
    }

    fn hand_out_whole(&mut self, name: &str, _: &str, file: &[u8]) {
        self.files.push((name.to_owned(), file.to_vec()));
    }

    fn answer(&mut self, answer: Told, _: &[u8]) {
        self.told.push(answer);
    }
}

/// What the pack of a claim is made of, as the page carries it from the office to the papers' worker.
struct Claimed {
    line: LineId,
    device: DeviceId,
    now: Moment,
    runs: Vec<Vec<u8>>,
}

impl Claimed {
    #[track_caller]
    fn of(page: &mut Page, of: &str) -> Self {
        let mut told = page.ask(Ask::Claim(EventId::parse(of).expect("a name")), &[]);
        told.pop();
        let Some((Answer::Claim { line, device, now }, _)) = told.pop() else { panic!("no claim: {told:?}") };
        Self { line, device, now, runs: told.into_iter().map(|(_, run)| run).collect() }
    }

    /// Has the pack set by a worker of its own, which is given each photo that it asks for.
    fn set(&self, page: &mut Page, paper: Paper) -> Table {
        let (mut room, mut table) = (Room::default(), Table::default());
        self.runs.iter().for_each(|run| room.hear(&Make::Lines, run, &mut table));
        let make = Make::Make { paper, now: self.now, device: Some(self.device), photos: Photos::Whole };
        room.hear(&make, &[], &mut table);
        while let Some(&Told::Wanted { blob, .. }) = table.told.last() {
            table.told.pop();
            match page.ask(Ask::Photo(blob), &[]).remove(0) {
                (Answer::Photo, photo) => room.hear(&Make::Photo, &photo, &mut table),
                _ => room.hear(&Make::NoPhoto, &[], &mut table),
            }
        }
        table
    }
}

#[test]
fn drafts_of_invoices_are_the_commands_to_the_byte() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name).to_str().expect("a plain path").to_owned();
    let write = |name: &str, bytes: &[u8]| {
        fs::write(at(name), bytes).expect("the file is written");
        at(name)
    };
    let (store, log) = (folder.path().join("shop.quay"), shop::month(1, "M. Sluice").0.log_file());
    said(&run("take-in", &store, &[&write("log.jsonl", &log)]), 0);
    let (prices, parties) = (write("prices.json", PRICES.as_bytes()), write("parties.json", PARTIES.as_bytes()));
    said(&run("bill", &store, &["--prices", &prices, "--export", &at("lines.csv")]), 0);
    let words = ["1", &at("drafts"), "--prices", &prices, "--parties", &parties, "--issued", "2026-05-31"];
    said(&run("drafts", &store, &words), 0);

    let mut page = Page::new();
    page.take_in("log.jsonl", &log);
    page.ask(Ask::Prices("prices.json".to_owned()), PRICES.as_bytes());
    page.ask(Ask::Export { open: false }, &[]);
    let issued = Day::parse("2026-05-31").expect("a day");
    let ask = Ask::Drafts { number: 1, issued };
    let mut heard = Heard::default();
    page.0.hear(ask.clone(), &[], &mut heard);
    let missing = "choose the list of who sells and who buys first";
    assert_eq!(heard.0, [(Answer::Failed(missing.to_owned()), Vec::new())]);
    page.ask(Ask::Parties("parties.json".to_owned()), PARTIES.as_bytes());
    for (answer, beside) in page.ask(ask, &[]) {
        let Answer::Draft { page: length, name } = answer else { continue };
        let mut table = Table::default();
        let make = Make::Invoice { issued, page: length, name: format!("{name}.pdf") };
        Room::default().hear(&make, &beside, &mut table);
        let (name, pdf) = table.files.remove(0);
        page.ask(Ask::PutIn(name), &pdf);
    }
    let packed = page.ask(Ask::PackUp("drafts-1.zip".to_owned()), &[]).remove(0);
    assert_eq!(packed.0, Answer::Table { name: "drafts-1.zip".to_owned(), export: None });
    let mut archive = zip::ZipArchive::new(Cursor::new(packed.1)).expect("an archive");
    assert_eq!(archive.len(), 40, "twenty jobs, each as XML and PDF");
    for nth in 0..archive.len() {
        let (mut file, mut bytes) = (archive.by_index(nth).expect("a file"), Vec::new());
        file.read_to_end(&mut bytes).expect("it is whole");
        let name = file.name().expect("a plain name").into_owned();
        let written = fs::read(folder.path().join("drafts").join(&name)).expect("the command wrote it too");
        assert!(bytes == written, "{name}");
    }
}

#[test]
fn payroll_of_some_days_is_the_commands_to_the_byte() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name).to_str().expect("a plain path").to_owned();
    let (store, log) = (folder.path().join("shop.quay"), shop::month(1, "M. Sluice").0.log_file());
    fs::write(at("log.jsonl"), &log).expect("the log is written");
    said(&run("take-in", &store, &[&at("log.jsonl")]), 0);
    let mut page = Page::new();
    page.take_in("log.jsonl", &log);
    let day = Day::parse;
    for (from, to) in [("2026-05-07", "2026-05-12"), ("2026-05-19", ""), ("", "2026-05-05")] {
        let words = [("--from", from), ("--to", to)].into_iter().filter(|(_, day)| !day.is_empty());
        let words: Vec<&str> = words.flat_map(|(name, day)| [name, day]).collect();
        let said = said(&run("pay", &store, &[&[at("pay.csv").as_str()], &words[..]].concat()), 0);
        let told = page.ask(Ask::Pay { from: day(from), to: day(to) }, &[]);
        let [(Answer::Said, words), (Answer::Table { .. }, table), _] = &told[..] else { panic!("{told:?}") };
        assert!(*table == fs::read(at("pay.csv")).expect("the command wrote it"), "{from} {to}");
        let first = String::from_utf8_lossy(words).lines().next().unwrap_or_default().to_owned();
        assert!(first.ends_with("is told whole, since overtime is by the week") && said.starts_with(&first), "{said}");
    }
    let mut heard = Heard::default();
    page.0.hear(Ask::Pay { from: day("2027-01-01"), to: None }, &[], &mut heard);
    let why = "nobody worked in a workweek with one of these days";
    assert_eq!(heard.0, [(Answer::Failed(why.to_owned()), Vec::new())]);
}

#[test]
fn what_a_shops_own_files_are_like_is_told_as_the_commands_help_tells_it_and_an_example_can_be_used() {
    let mut page = Page::new();
    for (form, task) in [(Form::Prices, "bill"), (Form::Parties, "drafts"), (Form::Columns, "columns")] {
        let told = page.ask(Ask::Form(form), &[]);
        let help = Command::new(env!("CARGO_BIN_EXE_quaywright-office")).args([task, "--help"]).output();
        let help = String::from_utf8(help.expect("it is started").stdout).expect("text");
        let Some((Answer::Said, words)) = told.first() else { panic!("{told:?}") };
        let words = String::from_utf8_lossy(words);
        // The help may break its lines elsewhere.
        let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(plain(&help).contains(&plain(&words)), "{help}\n{words}");
        let Some((Answer::Table { name, export: None }, example)) = told.get(1) else { continue };
        match form {
            Form::Prices => drop(page.ask(Ask::Prices(name.clone()), example)),
            Form::Parties => drop(page.ask(Ask::Parties(name.clone()), example)),
            Form::Columns => panic!("columns are typed"),
        }
    }
    let held = page.ask(Ask::Open(String::new()), &[]);
    let names = held.iter().filter(|(answer, _)| matches!(answer, Answer::Remembered(_)));
    let names: Vec<_> = names.map(|(_, name)| String::from_utf8_lossy(name).into_owned()).collect();
    assert_eq!(names, ["prices-example.json", "parties-example.json"], "both examples were taken");
}

#[test]
fn the_pack_of_a_claim_is_the_commands_to_the_byte() {
    let folder = tempfile::tempdir().expect("a folder");
    let (store, pdf) = (folder.path().join("yard.quay"), folder.path().join("pack.pdf"));
    let mut page = Page::new();
    for file in month::files().expect("the month is told") {
        let path = folder.path().join(&file.name);
        fs::write(&path, &file.bytes).expect("the file is written");
        run("take-in", &store, &[path.to_str().expect("a plain path")]);
        page.take_in(Path::new(&file.name).to_str().expect("a plain name"), &file.bytes);
    }
    let of = "0202020202020202-4";
    said(&run("claims", &store, &["--pack", of, "--pdf", pdf.to_str().expect("a plain path")]), 0);

    let claimed = Claimed::of(&mut page, of);
    let mut table = claimed.set(&mut page, Paper::WarrantyPdf(claimed.line, Leaf::A4));
    let (name, bytes) = table.files.remove(0);
    assert!(name.starts_with("warranty Teal ") && name.ends_with(".pdf"), "{name}");
    assert!(bytes == fs::read(pdf).expect("the command wrote it"), "another file");
    let mut heard = Heard::default();
    page.0.hear(Ask::Claim(EventId::parse("0101010101010101-4").expect("a name")), &[], &mut heard);
    assert!(matches!(&heard.0[..], [(Answer::Failed(why), _)] if why.contains("under warranty")), "{:?}", heard.0);
}

/// Returns a small picture of one shade.
fn picture(shade: u8) -> Vec<u8> {
    let mut jpeg = Vec::new();
    Encoder::new(&mut jpeg, 90).encode(&[shade; 16 * 16], 16, 16, ColorType::Luma).expect("a picture");
    jpeg
}

#[test]
fn a_pack_whose_photos_are_too_many_for_one_pdf_is_the_commands_page_to_the_byte() {
    let mut phone = Phone::of(1, "M. Sluice");
    let (job, _) = phone.job("2026-05-04T08:00", "Heron", "P. Wherry", "Pump weeps", PayType::Warranty);
    // The log says that they are large, so that no test carries so much.
    let photos: Vec<Vec<u8>> = [0, 90, 180].map(picture).into();
    for photo in &photos {
        let photo = PhotoFacts {
            blob: BlobId::of(photo),
            bytes: 40_000_000,
            width: 8_000,
            height: 6_000,
            caption: Label::default(),
            taken: None,
            position: None,
        };
        phone.say("2026-05-04T09:00", Event::PhotoTaken { about: About::Job(job), photo });
    }
    const { assert!(3 * 40_000_000 > PHOTO_BYTES) };
    let of = |blob| photos.iter().find(|photo| BlobId::of(photo) == blob).cloned();
    let file = phone.day_file_with("2026-05-04", of);

    let folder = tempfile::tempdir().expect("a folder");
    let [day, pack] = ["day.html", "pack.html"].map(|name| folder.path().join(name));
    let path = |path: &Path| path.to_str().expect("a plain path").to_owned();
    fs::write(&day, &file).expect("the file is written");
    let store = folder.path().join("yard.quay");
    said(&run("take-in", &store, &[&path(&day)]), 0);
    said(&run("claims", &store, &["--pack", &job.to_string(), "--page", &path(&pack)]), 0);

    let mut page = Page::new();
    page.take_in("day.html", &file);
    let claimed = Claimed::of(&mut page, &job.to_string());
    let pdf = Paper::WarrantyPdf(claimed.line, Leaf::A4);
    let refused = claimed.set(&mut page, pdf);
    assert_eq!(refused.told, [Told::TooMuch(TooMuch { bytes: 3 * 40_000_000, parts: 2 })]);
    assert!(refused.files.is_empty(), "nothing was made");
    let mut table = claimed.set(&mut page, pdf.as_page());
    let (name, bytes) = table.files.remove(0);
    assert_eq!(name, "warranty Heron 2026-05-04.html");
    assert!(bytes == fs::read(pack).expect("the command wrote it"), "another file");
    let text = String::from_utf8(bytes).expect("text");
    assert_eq!(text.matches("src=\"data:image/jpeg;base64,").count(), 3, "all photos are in it, whole");
}
