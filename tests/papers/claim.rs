//! A warranty pack as PDF, and what happens where photos are too much for one.

use jpeg_encoder::{ColorType, Encoder};
use quaywright_core::command::Command;
use quaywright_core::event::{About, BoatFacts, EngineFacts, Event, FailedPart, Fate, PayType, Reader, Shows};
use quaywright_core::id::{BlobId, JobId};
use quaywright_core::text::Label;
use quaywright_papers::wire::{Ask, Leaf, PHOTO_BYTES, Paper, Photos, Times, TooMuch};

use crate::phone::Phone;
use crate::press::{press, pressed};

fn picture(shade: u8, side: u16) -> Vec<u8> {
    let mut jpeg = Vec::new();
    let pixels = vec![shade; usize::from(side) * usize::from(side) * 3];
    Encoder::new(&mut jpeg, 90).encode(&pixels, side, side, ColorType::Rgb).unwrap();
    jpeg
}

#[test]
fn a_pack_tells_the_claim_and_nothing_of_anybody_else() {
    let mut phone = Phone::new(0x8c, "2026-05-04T08:00:00.000+01:00");
    phone.named("M. Sluice", "Lower Basin Boatyard");
    let (job, paid) = phone.job("Heron", "P. Wherry", "Sea-water pump", "SECRETPAID");
    let line = phone.line(job, PayType::Warranty, "Weeps at the shaft");
    let (_, _) = phone.job("SECRETBOAT", "SECRETOWNER", "SECRETTITLE", "SECRETCOMPLAINT");
    let boat = phone.book.jobs.job(job).unwrap().boat;
    let [name, hin] = ["Heron", "ABC1O345D404"].map(Label::new);
    phone.must(Command::AmendBoat { boat, facts: BoatFacts { name, hin, ..BoatFacts::default() } });
    let facts = EngineFacts { serial: Label::new("D4-2291"), ..EngineFacts::default() };
    phone.must(Command::AddEngine { boat, facts, hours: None });
    let [what, number, tag, place] = ["Shaft seal", "QB-7", "W 12", "shelf 3"].map(Label::new);
    phone.must(Command::FailPart {
        line,
        part: Box::new(FailedPart { what, number, tag, fate: Some(Fate::Kept), place }),
    });
    phone.note(About::Job(job), "SECRETNOTE");
    let photo = picture(90, 32);
    phone.photo(About::Job(job), &photo, "Lip worn");
    let id = phone.book.evidence.photos().next().unwrap().id;
    phone.must(Command::SayShows { photo: id, shows: Some(Shows::Failure) });
    let make = |paper| press(&phone.lines, phone.tip.device, phone.now, paper, |_| Some(photo.clone()));
    let sheaf = make(Paper::WarrantyPdf(line, Leaf::Letter));
    assert_eq!((sheaf.name.as_str(), sheaf.faults.len()), ("warranty Heron 2026-05-04.pdf", 0));
    sheaf.asked("qpdf", &["--check", "FILE"]);
    let text = sheaf.asked("pdftotext", &["-layout", "FILE", "-"]);
    for told in [
        "Warranty pack",
        "Weeps at the shaft",
        "D4-2291",
        "ABC1O345D404",
        "character 5 is O",
        "Shaft seal, QB-7, tag W 12: kept, shelf 3",
        "Failure: Lip worn",
        "no photo of the serial plate",
        "engine hours not read for this job",
        &phone.tip.hash.to_string()[..16],
    ] {
        assert!(text.contains(told), "{told} is missing: {text}");
    }
    assert!(!text.contains("SECRET"), "{text}");
    assert_eq!(sheaf.bytes, make(Paper::WarrantyPdf(line, Leaf::Letter)).bytes);
    // A line that the customer pays has no pack.
    let ask = Ask::Make { paper: Paper::WarrantyPack(paid), now: phone.now, device: None, photos: Photos::Whole };
    let refused = std::panic::catch_unwind(|| pressed(&phone.lines, ask, |_| None).map(|it| it.name));
    assert!(refused.is_err());
}

#[test]
fn photos_that_are_too_much_come_smaller_or_on_a_page() {
    let mut phone = Phone::new(0x8d, "2026-05-04T08:00:00.000+01:00");
    let (job, _) = phone.job("Heron", "P. Wherry", "Pump", "Weeps");
    let names: Vec<BlobId> = (0..3).map(|shade| heavy(&mut phone, job, shade * 60)).collect();
    let make = |paper, photos| Ask::Make { paper, now: phone.now, device: Some(phone.tip.device), photos };
    let whole = |name: BlobId| (0..3).map(|shade| picture(shade * 60, 64)).find(|it| BlobId::of(it) == name);
    let pdf = Paper::OwnerPdf(job, Leaf::A4, Reader::default(), Times::Kept);
    let much = TooMuch { bytes: 3 * 40_000_000, parts: 2 };
    assert_eq!(pressed(&phone.lines, make(pdf, Photos::Whole), whole).err(), Some(much));
    const { assert!(3 * 40_000_000 > PHOTO_BYTES) };
    // What the page sends instead is a smaller picture under the same name.
    let small = |name: BlobId| names.iter().position(|&it| it == name).map(|at| picture(at as u8 * 60, 16));
    let sheaf = pressed(&phone.lines, make(pdf, Photos::Smaller), small).ok().unwrap();
    assert_eq!(sheaf.faults, ["3 photos are smaller here than on this phone"]);
    assert_eq!(sheaf.asked("pdfimages", &["-list", "FILE"]).lines().skip(2).count(), 3);
    sheaf.asked("qpdf", &["--check", "FILE"]);
    // A page has room for all, whole.
    assert_eq!(pdf.as_page(), Paper::OwnerSummary(job, Reader::default(), Times::Kept));
    let page = pressed(&phone.lines, make(pdf.as_page(), Photos::Whole), whole).ok().unwrap();
    assert_eq!(String::from_utf8(page.bytes).unwrap().matches("data:image/jpeg").count(), 3);
}

/// A photo of which the log says that it is large, so that no test carries so much.
fn heavy(phone: &mut Phone, job: JobId, shade: u8) -> BlobId {
    let photo = picture(shade, 64);
    let blob = phone.photo(About::Job(job), &photo, "heavy");
    let mut facts = phone.book.evidence.photos().last().unwrap().facts.clone();
    let taken = phone.book.evidence.photos().last().unwrap().id;
    phone.must(Command::Withdraw { event: taken.0 });
    facts.bytes = 40_000_000;
    phone.say(Event::PhotoTaken { about: About::Job(job), photo: facts });
    blob
}
