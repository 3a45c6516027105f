//! The office page's papers beside the command's: the same store gives the same bytes.
#![allow(clippy::expect_used, reason = "a test stops where it cannot go on")]

#[path = "../../desk/tests/held/mod.rs"]
mod held;
mod shop;

use std::fs;
use std::io::{Cursor, Read};
use std::path::Path;

use held::{Disk, Heard};
use quaywright_core::id::{BlobId, EventId};
use quaywright_core::moment::Day;
use quaywright_desk::store::journal::Journal;
use quaywright_desk::wire::{Answer, Ask};
use quaywright_desk::work::Work;
use quaywright_papers::wire::{Answer as Told, Ask as Make, Leaf, Paper, Photos};
use quaywright_papers::work::{Outlet as Papers, Work as Room};
use quaywright_xtask::demo::month;
use shop::{PARTIES, PRICES, run, said};

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

    let (mut room, mut table) = (Room::default(), Table::default());
    let mut told = page.ask(Ask::Claim(EventId::parse(of).expect("a name")), &[]);
    told.pop();
    let Some((Answer::Claim { line, device, now }, _)) = told.pop() else { panic!("no claim: {told:?}") };
    told.iter().for_each(|(_, run)| room.hear(&Make::Lines, run, &mut table));
    let paper = Paper::WarrantyPdf(line, Leaf::A4);
    room.hear(&Make::Make { paper, now, device: Some(device), photos: Photos::Whole }, &[], &mut table);
    while let Some(Told::Wanted { blob, .. }) = table.told.pop() {
        match page.ask(Ask::Photo(blob), &[]).remove(0) {
            (Answer::Photo, photo) => room.hear(&Make::Photo, &photo, &mut table),
            _ => room.hear(&Make::NoPhoto, &[], &mut table),
        }
    }
    let (name, bytes) = table.files.remove(0);
    assert!(name.starts_with("warranty Teal ") && name.ends_with(".pdf"), "{name}");
    assert!(bytes == fs::read(pdf).expect("the command wrote it"), "another file");
    let mut heard = Heard::default();
    page.0.hear(Ask::Claim(EventId::parse("0101010101010101-4").expect("a name")), &[], &mut heard);
    assert!(matches!(&heard.0[..], [(Answer::Failed(why), _)] if why.contains("under warranty")), "{:?}", heard.0);
}
