//! A document whose photos are too many for one PDF, as several.

use std::collections::BTreeSet;

use jpeg_encoder::{ColorType, Encoder};
use quaywright_core::command::Command;
use quaywright_core::event::{About, Event, Reader};
use quaywright_core::exchange::intake::{self, Fault, Intake};
use quaywright_core::id::{BlobId, JobId};
use quaywright_papers::wire::{Ask, Leaf, PHOTO_BYTES, Paper, Photos, Times, TooMuch};

use crate::phone::Phone;
use crate::press::{Sheaf, pressed};

const COUNT: u8 = 7;
/// So many bytes the log says that each photo has, so that no test carries so much: two go into one PDF.
const HEAVY: u32 = 40_000_000;

fn picture(nth: u8) -> Vec<u8> {
    let mut jpeg = Vec::new();
    Encoder::new(&mut jpeg, 90).encode(&[nth * 30; 48 * 32 * 3], 48, 32, ColorType::Rgb).unwrap();
    jpeg
}

/// A phone with a job of photos, each with a caption that says which it is.
fn phone() -> (Phone, JobId) {
    let mut phone = Phone::new(0x9b, "2026-05-04T08:00:00.000+01:00");
    phone.named("M. Sluice", "Lower Basin Boatyard");
    let (job, _) = phone.job("Heron", "P. Wherry", "Pump", "Weeps at the shaft");
    for nth in 0..COUNT {
        phone.photo(About::Job(job), &picture(nth), &format!("Hose {nth}"));
        let taken = phone.book.evidence.photos().last().unwrap();
        let (id, mut facts) = (taken.id, taken.facts.clone());
        phone.must(Command::Withdraw { event: id.0 });
        facts.bytes = HEAVY;
        phone.say(Event::PhotoTaken { about: About::Job(job), photo: facts });
    }
    (phone, job)
}

fn made(phone: &Phone, paper: Paper, photos: Photos) -> Result<Sheaf, TooMuch> {
    let ask = Ask::Make { paper, now: phone.now, device: Some(phone.tip.device), photos };
    pressed(&phone.lines, ask, |name| (0..COUNT).map(picture).find(|it| BlobId::of(it) == name))
}

fn parts(phone: &Phone, paper: Paper) -> Vec<Sheaf> {
    let Err(much) = made(phone, paper, Photos::Whole) else { panic!("the photos go into one") };
    assert_eq!(much, TooMuch { bytes: u64::from(COUNT) * u64::from(HEAVY), parts: 4 });
    const { assert!(2 * HEAVY as u64 <= PHOTO_BYTES && 3 * HEAVY as u64 > PHOTO_BYTES) };
    (1..=much.parts).map(|part| made(phone, paper, Photos::Part(part)).ok().unwrap()).collect()
}

fn text(sheaf: &Sheaf) -> String {
    sheaf.asked("pdftotext", &["-layout", "FILE", "-"])
}

#[test]
fn each_part_is_a_whole_pdf_and_says_which_it_is() {
    let (phone, job) = phone();
    let paper = Paper::OwnerPdf(job, Leaf::A4, Reader::default(), Times::Kept);
    let sheaves = parts(&phone, paper);
    let mut shown = Vec::new();
    for (number, sheaf) in (1..).zip(&sheaves) {
        assert_eq!(sheaf.name, format!("work on Heron 2026-05-04 part {number} of 4.pdf"));
        assert_eq!(sheaf.faults, Vec::<String>::new());
        sheaf.asked("qpdf", &["--check", "FILE"]);
        let about = sheaf.asked("pdfinfo", &["-meta", "FILE"]);
        assert!(about.contains("<pdfuaid:part>1<") && about.contains("<pdfaid:part>3<"), "{about}");
        let text = text(sheaf);
        assert!(text.contains(&format!("Part {number} of 4: ")) && text.contains("Heron"), "{text}");
        assert_eq!(text.contains("Weeps at the shaft"), number == 1, "{text}");
        let here = (0..COUNT).filter(|nth| text.contains(&format!("Hose {nth}")));
        let images = sheaf.asked("pdfimages", &["-list", "FILE"]).lines().skip(2).count();
        let here: Vec<u8> = here.collect();
        assert_eq!(images, here.len(), "{text}");
        shown.extend(here);
    }
    assert!(text(&sheaves[0]).contains("5 photos stand in other parts."));
    assert_eq!(shown, (0..COUNT).collect::<Vec<_>>());
}

/// Returns what is in several files, whatever their order, without what each says of the others.
fn together(files: &[&[u8]]) -> (BTreeSet<Vec<u8>>, BTreeSet<BlobId>, Vec<Fault>) {
    let mut all = (BTreeSet::new(), BTreeSet::new(), Vec::new());
    for file in files {
        let Intake { records, blobs, faults, .. } = intake::take(file).unwrap();
        all.0.extend(records.into_iter().map(|record| record.0));
        all.1.extend(blobs.into_iter().map(|blob| blob.0));
        all.2.extend(faults.into_iter().filter(|fault| !matches!(fault, Fault::OtherParts { .. })));
    }
    all
}

#[test]
fn the_parts_of_a_day_give_what_one_file_gives() {
    let (phone, _) = phone();
    let day = phone.now.day();
    let sheaves = parts(&phone, Paper::DayPdf(day, Leaf::Letter));
    let files: Vec<&[u8]> = sheaves.iter().map(|sheaf| sheaf.bytes.as_slice()).collect();
    let whole = made(&phone, Paper::DayBundle(day), Photos::Whole).ok().unwrap();
    let whole = together(&[&whole.bytes]);
    assert_eq!((whole.1.len(), whole.2.len()), (usize::from(COUNT), 0));
    assert_eq!(together(&files), whole);
    let backwards: Vec<&[u8]> = files.iter().rev().copied().collect();
    assert_eq!(together(&backwards), whole);
    // Each says that there are others; the day's data stands once.
    for (number, file) in (1..).zip(&files) {
        let taken = intake::take(file).unwrap();
        assert_eq!(taken.faults, [Fault::OtherParts { number, of: 4 }]);
        assert_eq!(taken.records.is_empty(), number > 1);
    }
}

#[test]
fn a_photo_that_no_part_holds_is_missed() {
    let (phone, _) = phone();
    let paper = Paper::DayPdf(phone.now.day(), Leaf::A4);
    let ask = Ask::Make { paper, now: phone.now, device: Some(phone.tip.device), photos: Photos::Part(1) };
    let sheaf = pressed(&phone.lines, ask, |_| None).ok().unwrap();
    let faults = intake::take(&sheaf.bytes).unwrap().faults;
    let missing = faults.iter().filter(|fault| matches!(fault, Fault::PhotoMissing(_))).count();
    assert_eq!((missing, faults.len()), (2, 3), "{faults:?}");
}
