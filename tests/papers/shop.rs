//! The demo shop's documents: well formed, tagged, and the same each time.

use std::fs;
use std::process::Command;
use std::sync::LazyLock;

use quaywright_core::book::Book;
use quaywright_core::command::Command as Said;
use quaywright_core::event::{DayTable, Document, PayType, Reader, Way};
use quaywright_core::exchange::intake::{self, Kind};
use quaywright_core::exchange::{bundle, line};
use quaywright_core::id::BlobId;
use quaywright_core::moment::{Day, Moment};
use quaywright_papers::wire::{Leaf, Paper, Times};
use quaywright_xtask::demo::{self, Demo};
use serde_json::{Value, json};

use crate::press::{Sheaf, press};

pub(crate) struct Shop {
    pub(crate) demo: Demo,
    pub(crate) now: Moment,
}

/// Its photos are drawn, which takes a while: once for all tests.
static SHOP: LazyLock<Shop> = LazyLock::new(Shop::new);

impl Shop {
    pub(crate) fn open() -> &'static Self {
        &SHOP
    }

    fn new() -> Self {
        let day = Day::parse("2026-05-08").unwrap();
        let now = Moment::parse("2026-05-08T18:00:00.000+01:00").unwrap();
        Self { demo: demo::shop(day, 60).unwrap(), now }
    }

    pub(crate) fn book(&self) -> Book {
        let sealed: Vec<_> = self.demo.records.iter().map(|line| line::read(line).unwrap()).collect();
        Book::replay(sealed.iter().map(|sealed| &sealed.record))
    }

    fn make(&self, paper: Paper) -> Sheaf {
        let photo = |name: BlobId| self.demo.blobs.iter().find(|blob| blob.0 == name).map(|blob| blob.1.clone());
        press(&self.demo.records, self.demo.device, self.now, paper, photo)
    }

    /// Returns every PDF that can be made of the week.
    fn papers(&self) -> Vec<Sheaf> {
        let days = (4..=8).map(|day| Day::parse(&format!("2026-05-0{day}")).unwrap());
        let book = self.book();
        let days = days.map(|day| Paper::DayPdf(day, Leaf::A4));
        let owners = book.jobs.jobs().map(|job| Paper::OwnerPdf(job.id, Leaf::Letter, Reader::default(), Times::Kept));
        let agreed = book.agreements.estimates().map(|made| Paper::AgreementPdf(made.job, Leaf::A4));
        let lines = book.jobs.jobs().flat_map(|job| book.jobs.lines_of(job.id));
        let claims =
            lines.filter(|line| line.pay == PayType::Warranty).map(|line| Paper::WarrantyPdf(line.id, Leaf::A4));
        days.chain(owners).chain(agreed).chain(claims).map(|paper| self.make(paper)).collect()
    }
}

#[test]
fn other_programs_are_content_with_every_document() {
    for sheaf in Shop::open().papers() {
        assert_eq!(sheaf.faults, Vec::<String>::new(), "{}", sheaf.name);
        sheaf.asked("qpdf", &["--check", "FILE"]);
        let info = sheaf.asked("pdfinfo", &["FILE"]);
        for said in ["Tagged:          yes", "JavaScript:      no", "Encrypted:       no"] {
            assert!(info.contains(said), "{}: {info}", sheaf.name);
        }
        // It says of itself that it is PDF/A-3a and PDF/UA-1: the writer found nothing against that.
        let about = sheaf.asked("pdfinfo", &["-meta", "FILE"]);
        for said in ["<pdfaid:part>3<", "<pdfaid:conformance>A<", "<pdfuaid:part>1<"] {
            assert!(about.contains(said), "{}: {about}", sheaf.name);
        }
        let fonts = sheaf.asked("pdffonts", &["FILE"]);
        for font in fonts.lines().skip(2) {
            assert!(font.contains("OpenSans") && font.contains("yes yes yes"), "embedded, subset, readable: {font}");
        }
    }
}

#[test]
fn a_document_is_read_in_the_order_of_its_page() {
    let shop = Shop::open();
    let book = shop.book();
    let job = book.jobs.jobs().find(|job| job.title.as_str().starts_with("Runs hot")).unwrap().id;
    for leaf in [Leaf::A4, Leaf::Letter] {
        let sheaf = shop.make(Paper::OwnerPdf(job, leaf, Reader::default(), Times::Kept));
        let structure = sheaf.asked("pdfinfo", &["-struct-text", "FILE"]);
        let mut rest = structure.as_str();
        for part in
            ["H1", "Brisk Errand", "L", "State", "H3", "You told us", "H2", "Still to do", "H2", "Photos", "Figure"]
        {
            let at = rest.find(part).unwrap_or_else(|| panic!("{part} is not after what comes before it: {structure}"));
            rest = &rest[at..];
        }
        let text = sheaf.asked("pdftotext", &["FILE", "-"]);
        assert!(
            text.contains("Temperature climbs as soon as she is pushed against the stream; at idle it comes back.")
        );
        assert!(text.contains("page 1 of 4"), "{text}");
        let size = if leaf == Leaf::A4 { "595.28 x 841.89 pts (A4)" } else { "612 x 792 pts (letter)" };
        assert!(sheaf.asked("pdfinfo", &["FILE"]).contains(size));
    }
}

#[test]
fn photos_go_in_as_they_are_and_cost_little_more() {
    let shop = Shop::open();
    let sheaf = shop.make(Paper::DayPdf(Day::parse("2026-05-06").unwrap(), Leaf::A4));
    let images = sheaf.asked("pdfimages", &["-list", "FILE"]);
    let jpegs = images.lines().skip(2).filter(|line| line.contains(" jpeg ")).count();
    assert_eq!((jpegs, images.lines().skip(2).count()), (6, 6), "{images}");
    let photos = shop.demo.blobs.iter().filter(|blob| sheaf.bytes.windows(64).any(|part| part == &blob.1[..64]));
    let whole = photos.filter(|blob| sheaf.bytes.windows(blob.1.len()).any(|part| part == blob.1)).count();
    assert_eq!(whole, 6);
}

#[test]
fn the_same_book_gives_the_same_bytes() {
    let day = Paper::DayPdf(Day::parse("2026-05-05").unwrap(), Leaf::Letter);
    assert_eq!(Shop::open().make(day).bytes, Shop::open().make(day).bytes);
}

#[test]
fn the_office_takes_in_the_days_pdf_as_it_takes_in_its_page() {
    let shop = Shop::open();
    for day in (4..=8).map(|day| Day::parse(&format!("2026-05-0{day}")).unwrap()) {
        let sheaf = shop.make(Paper::DayPdf(day, Leaf::A4));
        assert_eq!(intake::recognise(&sheaf.bytes), Kind::DayPdf);
        let read = intake::take(&sheaf.bytes).unwrap();
        assert_eq!(read, intake::take(&shop.make(Paper::DayBundle(day)).bytes).unwrap());
        assert_eq!(read.faults, []);
        // Phone to office and back: the same bytes.
        let lines: Vec<_> = read.records.into_iter().map(|record| record.0).collect();
        assert_eq!(lines, shop.demo.records);
        let again = press(&lines, shop.demo.device, shop.now, Paper::DayPdf(day, Leaf::A4), |name| {
            read.blobs.iter().find(|blob| blob.0 == name).map(|blob| blob.1.clone())
        });
        assert!(again.bytes == sheaf.bytes, "{day}");
    }
}

#[test]
fn what_another_program_wrote_anew_is_still_taken_in() {
    let shop = Shop::open();
    let sheaf = shop.make(Paper::DayPdf(Day::parse("2026-05-06").unwrap(), Leaf::A4));
    let whole = intake::take(&sheaf.bytes).unwrap();
    for how in [
        &["--object-streams=generate", "--linearize"][..],
        &["--qdf", "--object-streams=disable"],
        &["--recompress-flate", "--compression-level=9"],
    ] {
        let (folder, file) = sheaf.lay();
        let out = folder.path().join("anew.pdf");
        let said = Command::new("qpdf").args(how).args([&file, &out]).output().unwrap();
        assert!(said.status.success(), "{said:?}");
        assert_eq!(intake::take(&fs::read(&out).unwrap()).unwrap(), whole, "{how:?}");
    }
}

#[test]
fn the_data_goes_along_as_files_that_other_programs_find() {
    let shop = Shop::open();
    let day = Day::parse("2026-05-06").unwrap();
    let sheaf = shop.make(Paper::DayPdf(day, Leaf::A4));
    let list = sheaf.asked("pdfdetach", &["-list", "FILE"]);
    assert!(["day.json", "jobs.json", "hours.csv"].iter().all(|name| list.contains(name)), "{list}");
    assert_eq!(sheaf.attached("hours.csv"), shop.make(Paper::DayTable(day)).bytes);
}

#[test]
fn the_data_alone_brings_what_the_page_and_the_pdf_bring() {
    let shop = Shop::open();
    let day = Day::parse("2026-05-06").unwrap();
    let data = shop.make(Paper::DayJson(day));
    assert!(data.name.ends_with(".json") && data.faults.is_empty(), "{}", data.name);
    assert_eq!(intake::recognise(&data.bytes), Kind::DayJson);
    let taken = intake::take(&data.bytes).unwrap();
    assert!(!taken.records.is_empty() && !taken.blobs.is_empty() && taken.faults.is_empty());
    let photos = |taken: &intake::Intake| taken.blobs.iter().cloned().collect::<std::collections::BTreeMap<_, _>>();
    for paper in [Paper::DayBundle(day), Paper::DayPdf(day, Leaf::A4)] {
        let other = intake::take(&shop.make(paper).bytes).unwrap();
        assert_eq!((&other.records, photos(&other)), (&taken.records, photos(&taken)), "{paper:?}");
    }
}

#[test]
fn what_is_read_together_stands_together() {
    let shop = Shop::open();
    let day = shop.make(Paper::DayPdf(Day::parse("2026-05-07").unwrap(), Leaf::A4));
    let text = day.asked("pdftotext", &["-layout", "FILE", "-"]);
    // What a job is of ends with its engine, and begins no page without the job's name.
    let page = text.split('\u{c}').find(|page| page.contains("Ardent Novice: Alternator not charging")).unwrap();
    assert!(page.contains("41 kW, 2407.3 h"), "{page}");
    let book = shop.book();
    let mut lines = book.jobs.jobs().flat_map(|job| book.jobs.lines_of(job.id));
    let claim = lines.find(|line| line.pay == PayType::Warranty).unwrap().id;
    let text = shop.make(Paper::WarrantyPdf(claim, Leaf::A4)).asked("pdftotext", &["-layout", "FILE", "-"]);
    // What was done stands beside its day and not beside its hours.
    let row = text.lines().find(|line| line.contains("2026-05-05") && line.contains("diagnosis")).unwrap();
    assert!(row.find("diagnosis").unwrap() < 30, "{row}");
    // Nowhere is a figure parted from its unit.
    let torn = |line: &str| ["kW", "h,", "rpm", "mm"].iter().any(|unit| line.trim_start().starts_with(unit));
    assert!(!text.lines().any(torn), "{text}");
}

#[test]
fn each_table_goes_along_and_everything_says_what_it_is_to_the_document() {
    let shop = Shop::open();
    let (mut billed, mut mended) = (0, 0);
    for day in (4..=8).map(|day| Day::parse(&format!("2026-05-0{day}")).unwrap()) {
        let sheaf = shop.make(Paper::DayPdf(day, Leaf::A4));
        for (name, of) in [("billing.csv", DayTable::Billing), ("mends.csv", DayTable::Mends)] {
            let table = shop.make(Paper::Further(day, of)).bytes;
            assert!(sheaf.attached(name) == table, "{name} of {day}");
            let rows = csv::Reader::from_reader(&table[..]).into_records().count();
            *(if of == DayTable::Billing { &mut billed } else { &mut mended }) += rows;
        }
        let (folder, file) = sheaf.lay();
        let out = folder.path().join("plain.pdf");
        let how = ["--qdf", "--object-streams=disable"];
        let said = Command::new("qpdf").args(how).args([&file, &out]).output().unwrap();
        assert!(said.status.success(), "{said:?}");
        let plain = fs::read(out).unwrap();
        let plain = String::from_utf8_lossy(&plain);
        // PDF/A-3 (ISO 19005-3, 6.8) asks it of each file specification.
        let files = plain.split("endobj").filter(|object| object.contains("/Type /Filespec")).collect::<Vec<_>>();
        let list = sheaf.asked("pdfdetach", &["-list", "FILE"]);
        assert!(list.starts_with(&format!("{} embedded files", files.len())) && files.len() >= 5, "{list}");
        let says = |file: &&str| {
            let of = file.split("/AFRelationship /").nth(1).and_then(|rest| rest.split_whitespace().next());
            of.is_some_and(|of| ["Source", "Data", "Alternative", "Supplement"].contains(&of))
        };
        assert!(files.iter().all(says), "{files:#?}");
    }
    assert!(billed > 0 && mended > 0, "the week has {billed} rows of bills and {mended} of mends");
}

/// Returns in what a whole day does not fit its description.
fn misfits(day: &Value) -> Vec<String> {
    let schema = jsonschema::draft202012::new(&serde_json::from_str(bundle::SCHEMA).unwrap()).unwrap();
    schema.iter_errors(day).map(|misfit| format!("{}: {misfit}", misfit.instance_path())).collect()
}

#[test]
fn the_delivered_data_fits_its_description_as_a_whole() {
    let (shop, mut seen) = (Shop::open(), 0);
    for day in (4..=8).map(|day| Day::parse(&format!("2026-05-0{day}")).unwrap()) {
        let own = shop.make(Paper::DayPdf(day, Leaf::A4)).attached("day.json");
        let alone = shop.make(Paper::DayJson(day)).bytes;
        for (data, with_photos) in [(own, false), (alone, true)] {
            let mut data: Value = serde_json::from_slice(&data).unwrap();
            assert_eq!(misfits(&data), Vec::<String>::new(), "{day}");
            assert_eq!(data["records"].as_array().unwrap().len(), shop.demo.records.len());
            let photos = data["photos"].as_array().unwrap();
            assert!(photos.iter().all(|it| it["base64"].is_string() == with_photos), "{day}");
            seen += photos.len();
            // What is no record, no name and no base64 is found, and so is one list without the other.
            for (what, wrong) in [("/records/0", "{}"), ("/photos/0/blob", "a photo"), ("/photos/0/base64", "/9j/*")] {
                let mut torn = data.clone();
                let Some(place) = torn.pointer_mut(what) else { continue };
                *place = wrong.into();
                assert_eq!(misfits(&torn).len(), 1, "{what}");
            }
            data.as_object_mut().unwrap().remove("photos");
            assert_eq!(misfits(&data).len(), 1);
        }
    }
    assert!(seen > 0, "no day of the week has a photo");
}

#[test]
fn a_day_that_left_lists_what_was_said_after_it() {
    use quaywright_core::event::{Activity, On, StoryPart};

    use crate::phone::{Phone, at};
    let mut phone = Phone::new(0x5e, "2026-05-04T08:00:00.000+01:00");
    let (job, line) = phone.job("Heron", "P. Wherry", "Impeller", "Weak stream");
    let day = phone.now.day();
    let make = |phone: &Phone, paper| press(&phone.lines, phone.tip.device, phone.now, paper, |_| None);
    let left = |phone: &mut Phone| {
        let what = Document::DayBundle { day, table: false };
        phone.must(Said::HandOver { what, way: Way::Shared, file: BlobId::of(phone.tip.hash.to_string().as_bytes()) });
    };
    phone.clock("2026-05-04T09:00:00.000+01:00", Activity::Labour, On::Line(line));
    phone.stop("2026-05-04T10:30:00.000+01:00");
    phone.now = at("2026-05-04T17:02:00.000+01:00");
    left(&mut phone);
    phone.now = at("2026-05-04T18:00:00.000+01:00");
    phone.part(job, 1, "Impeller", "9-114");
    phone.tell(line, StoryPart::Cause, "Two vanes gone.");
    let listed =
        ["Heron, Impeller: cause is now \"Two vanes gone.\"", "Heron, Impeller: part 1 × Impeller, no. 9-114 added"];
    for again in [false, true] {
        let page = String::from_utf8(make(&phone, Paper::DayBundle(day)).bytes).unwrap();
        assert!(page.contains("2, amends what was handed over 2026-05-04, 17:02"), "{again}: {page}");
        assert!(page.contains("part 1 × Impeller, no. 9-114 added"), "{again}: {page}");
        let pdf = make(&phone, Paper::DayPdf(day, Leaf::A4));
        let text = pdf.asked("pdftotext", &["-layout", "FILE", "-"]);
        assert!(text.contains("Changed since") && text.contains(listed[1]), "{again}: {text}");
        let json = make(&phone, Paper::DayJson(day)).bytes;
        for data in [json, pdf.attached("day.json")] {
            let data: Value = serde_json::from_slice(&data).unwrap();
            assert_eq!(misfits(&data), Vec::<String>::new());
            let summary = &data["summary"];
            assert_eq!((&summary["revision"], &summary["amends"]["also"]), (&2.into(), &json!(listed)));
        }
        // The day's jobs name the same number of the day.
        let jobs: Value = serde_json::from_slice(&pdf.attached("jobs.json")).unwrap();
        assert_eq!(jobs[0]["days"][0]["revision"], 2);
        left(&mut phone);
    }
}
