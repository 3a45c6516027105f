//! Marks on photos and voice notes, in PDFs.

use jpeg_encoder::{ColorType, Encoder};
use quaywright_core::command::Command;
use quaywright_core::event::{About, Mark, Reader, Sound, Spot, VoiceFacts};
use quaywright_core::exchange::intake;
use quaywright_core::id::BlobId;
use quaywright_core::text::Label;
use quaywright_papers::wire::{Leaf, Paper, Times};

use crate::phone::Phone;
use crate::press::{Sheaf, press};

const SAID: &[u8] = b"said aloud";

fn picture() -> Vec<u8> {
    let mut jpeg = Vec::new();
    Encoder::new(&mut jpeg, 90).encode(&[128; 320 * 240 * 3], 320, 240, ColorType::Rgb).unwrap();
    jpeg
}

/// Returns how many pixels of a page are darker and how many paler than the grey of the photo.
fn dark_and_pale(picture: &[u8]) -> (usize, usize) {
    // A greyscale PGM: three numbers and then a byte for each pixel.
    let pixels = picture.splitn(4, |&byte| byte == b'\n').last().unwrap();
    (pixels.iter().filter(|&&it| it < 60).count(), pixels.iter().filter(|&&it| it > 240).count())
}

#[test]
fn marks_are_drawn_over_the_photo_and_told_by_its_tag() {
    let mut phone = Phone::new(0x9e, "2026-05-04T08:00:00.000+01:00");
    let (job, _) = phone.job("Heron", "", "Shaft seal", "Drips");
    let blob = phone.photo(About::Job(job), &picture(), "Seal as found");
    let id = phone.book.evidence.photos().next().unwrap().id;
    let owners = |phone: &Phone| {
        let found = |name| (name == blob).then(picture);
        press(
            &phone.lines,
            phone.tip.device,
            phone.now,
            Paper::OwnerPdf(job, Leaf::A4, Reader::default(), Times::Kept),
            found,
        )
    };
    let drawn = |sheaf: &Sheaf| {
        let (folder, file) = sheaf.lay();
        let out = folder.path().join("page");
        let words = ["-gray", "-r", "50", "-singlefile"];
        let said = std::process::Command::new("pdftoppm").args(words).args([&file, &out]).output().unwrap();
        assert!(said.status.success(), "{said:?}");
        dark_and_pale(&std::fs::read(out.with_extension("pgm")).unwrap())
    };
    let (dark_before, pale_before) = drawn(&owners(&phone));
    let spot = |x, y| Spot::new(x, y).unwrap();
    for mark in [
        Mark::Arrow(spot(1_000, 9_000), spot(5_000, 5_000)),
        Mark::Ring(spot(9_500, 5_000), 2_000),
        Mark::Stroke(vec![spot(1_000, 1_000), spot(9_000, 1_000)]),
        Mark::Words(spot(5_000, 8_000), Label::new("lip down 舟")),
    ] {
        phone.must(Command::Draw { photo: id, instead_of: None, mark: Some(mark) });
    }
    let sheaf = owners(&phone);
    sheaf.asked("qpdf", &["--check", "FILE"]);
    let (dark, pale) = drawn(&sheaf);
    assert!(dark > dark_before + 100 && pale > pale_before + 100, "{dark_before} {dark} {pale_before} {pale}");
    let text = sheaf.asked("pdftotext", &["FILE", "-"]);
    assert!(text.contains("lip down [1 letter not drawn]"), "{text}");
    let tags = sheaf.asked("pdfinfo", &["-struct-text", "FILE"]);
    assert!(tags.contains("Figure"), "{tags}");
    assert!(sheaf.asked("pdfinfo", &["-meta", "FILE"]).contains("<pdfuaid:part>1<"));
    let (folder, file) = sheaf.lay();
    let open = folder.path().join("open.pdf");
    let words = ["--qdf", "--object-streams=disable"];
    assert!(std::process::Command::new("qpdf").args(words).args([&file, &open]).status().unwrap().success());
    let open = String::from_utf8_lossy(&std::fs::read(open).unwrap()).into_owned();
    // Words beyond Latin are written as UTF-16 (ISO 32000-1, 7.9.2.2): the beginning, two bytes a letter.
    let alt: String = "Seal as found. Drawn on it: arrow".encode_utf16().map(|it| format!("{it:04x}")).collect();
    assert!(open.to_lowercase().contains(&alt), "the tag does not tell the marks");
}

#[test]
fn a_days_pdf_carries_its_voice_notes() {
    let mut phone = Phone::new(0x9f, "2026-05-04T08:00:00.000+01:00");
    let (job, _) = phone.job("Heron", "", "Shaft seal", "Drips");
    let voice = VoiceFacts { blob: BlobId::of(SAID), bytes: SAID.len() as u32, ms: 4_000, sound: Sound::Ogg };
    phone.must(Command::TakeVoice { about: About::Job(job), voice });
    let day = phone.now.day();
    let made = |with: bool| {
        let found = |name| (with && name == BlobId::of(SAID)).then(|| SAID.to_vec());
        press(&phone.lines, phone.tip.device, phone.now, Paper::DayPdf(day, Leaf::A4), found)
    };
    let sheaf = made(true);
    sheaf.asked("qpdf", &["--check", "FILE"]);
    assert!(sheaf.asked("pdftotext", &["FILE", "-"]).contains("08:00: voice note, 0:04"));
    assert!(sheaf.asked("pdfdetach", &["-list", "FILE"]).contains("voice-note-1.ogg"));
    let taken = intake::take(&sheaf.bytes).unwrap();
    assert_eq!((taken.faults, taken.blobs), (Vec::new(), vec![(BlobId::of(SAID), SAID.to_vec())]));
    // One that is not on the phone is missed by whoever takes the day in.
    assert_eq!(intake::take(&made(false).bytes).unwrap().faults.len(), 1);
}
