//! What is drawn on photos and said aloud, on its way out of the phone and back.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use quaywright_core::book::Book;
use quaywright_core::command::Command;
use quaywright_core::event::{About, Mark, Sound, Spot, VoiceFacts};
use quaywright_core::exchange::pieces::assemble;
use quaywright_core::exchange::{backup, bundle, html, intake, job_file, line};
use quaywright_core::id::{BlobId, JobId, PhotoId};
use quaywright_core::log::Log;
use quaywright_core::order;
use quaywright_core::sheet::{LogHead, day_sheet, owner_sheet};
use quaywright_core::text::{Label, Prose};

use crate::phone::{Phone, jpeg};

const SAID: &[u8] = b"lip down, and the spring to the oil";

fn spot(x: u16, y: u16) -> Spot {
    Spot::new(x, y).unwrap()
}

/// A phone with a job, a photo of a seal with marks on it, and a voice note on the seal.
fn told() -> (Phone, JobId) {
    let mut phone = Phone::new(1, "2026-05-04T08:00:00+01:00");
    let (job, _) = phone.job("Marsh Heron", "A. Finch", "Cooler leaks", "Drips");
    let seal = phone.off(job, 1, "Shaft seal", "", "under", "tray 1");
    phone.photo(About::Item(seal), &jpeg("seal"), "the seal");
    let photo = phone.book.evidence.photos().next().unwrap().id;
    for mark in [Mark::Arrow(spot(5_000, 5_000), spot(9_000, 1_000)), Mark::Words(spot(5_000, 9_000), lip_down())] {
        phone.must(Command::Draw { photo, instead_of: None, mark: Some(mark) });
    }
    let voice = VoiceFacts { blob: BlobId::of(SAID), bytes: SAID.len() as u32, ms: 2_400, sound: Sound::Webm };
    phone.must(Command::TakeVoice { about: About::Item(seal), voice });
    (phone, job)
}

fn lip_down() -> Label {
    Label::new("lip <down>")
}

fn bytes(name: BlobId) -> Option<Vec<u8>> {
    [jpeg("seal"), SAID.to_vec()].into_iter().find(|bytes| BlobId::of(bytes) == name)
}

fn marks(book: &Book) -> Vec<Mark> {
    book.evidence.photos().next().unwrap().marks.clone()
}

fn lines(phone: &Phone) -> Vec<Vec<u8>> {
    phone.log.by_name().map(|sealed| line::seal(sealed.record.clone()).0).collect()
}

#[test]
fn an_owner_sees_what_is_drawn_and_hears_nothing() {
    let (phone, job) = told();
    let page = assemble(&html::owner_page(&owner_sheet(&phone.book, job, phone.now.day()).unwrap()), bytes);
    let page = String::from_utf8(page).unwrap();
    let words = "alt=\"the seal. Drawn on it: arrow to the upper right; “lip &lt;down&gt;” at the bottom.\"";
    assert!(page.contains(words), "{page}");
    assert_eq!(page.matches("<svg").count(), 1);
    assert!(page.contains(">lip &lt;down&gt;</text>") && page.contains("aria-hidden=\"true\""));
    // Nothing of the photo itself is changed.
    assert!(!page.contains("<audio") && !page.contains("oice note") && !page.contains(&BlobId::of(SAID).to_string()));
    // Where the photo is not there, nothing is drawn either.
    let page = assemble(&html::owner_page(&owner_sheet(&phone.book, job, phone.now.day()).unwrap()), |_| None);
    assert!(!String::from_utf8(page).unwrap().contains("<svg"));
}

#[test]
fn the_office_gets_marks_and_voice_notes_with_the_day() {
    let (phone, _) = told();
    let day = day_sheet(&phone.book, phone.now.day(), phone.now, LogHead::from(&phone.tip));
    let lines = lines(&phone);
    let records = || lines.iter().map(Vec::as_slice);
    let page = assemble(&bundle::page(&day, records()), bytes);
    let text = String::from_utf8(page.clone()).unwrap();
    assert!(text.contains("Shaft seal: voice note, 0:03") && text.contains("<audio controls data-blob="));
    for file in [page, assemble(&bundle::json(&day, records()), bytes)] {
        let taken = intake::take(&file).unwrap();
        assert_eq!(taken.faults, []);
        let names: Vec<BlobId> = order::each_once(taken.blobs.iter().map(|blob| blob.0).collect());
        assert_eq!(names, order::each_once(phone.book.evidence.all_blobs().collect()));
        let book = Book::replay(taken.records.iter().map(|record| &record.1.record));
        assert_eq!(marks(&book), marks(&phone.book));
        assert_eq!(book.evidence.voices().collect::<Vec<_>>(), phone.book.evidence.voices().collect::<Vec<_>>());
    }
}

#[test]
fn a_job_goes_on_with_its_marks_and_voice_notes_on_another_phone() {
    let (mut first, job) = told();
    let held = job_file::records_of(&first.log, job);
    let held = first.log.by_name().filter(|it| held.contains(&it.record.id));
    let lines: Vec<Vec<u8>> = held.map(|it| line::seal(it.record.clone()).0).collect();
    let blobs = order::each_once(first.book.evidence.all_blobs().collect());
    let file = assemble(&backup::pieces(lines.iter().map(Vec::as_slice), &blobs), bytes);
    let taken = intake::take(&file).unwrap();
    assert_eq!((taken.faults, taken.blobs.len()), (Vec::new(), 2));

    let mut second = Phone::new(2, "2026-05-05T08:00:00+01:00");
    let mut log = Log::default();
    taken.records.into_iter().for_each(|(_, sealed)| log.take(sealed));
    second.hear(&log);
    let photo = second.book.evidence.photos().next().unwrap().id;
    assert_eq!(marks(&second.book), marks(&first.book));
    second.must(Command::Draw { photo, instead_of: None, mark: Some(Mark::Ring(spot(100, 100), 900)) });
    let voice = second.book.evidence.voices().next().unwrap().id.0;
    second.must(Command::Withdraw { event: voice });
    first.hear(&second.log);
    assert_eq!((marks(&first.book).len(), first.book.evidence.voices().count()), (3, 0));
    assert_eq!(first.book.faults, []);
}

#[test]
fn what_is_drawn_at_once_on_two_phones_is_what_was_said_last() {
    let (mut first, _) = told();
    let mut second = Phone::new(2, "2026-05-04T09:00:00+01:00");
    second.hear(&first.log);
    let photo: PhotoId = first.book.evidence.photos().next().unwrap().id;
    let ring = |x| Mark::Ring(spot(x, 5_000), 500);
    first.must(Command::Draw { photo, instead_of: None, mark: Some(ring(1)) });
    second.must(Command::Draw { photo, instead_of: None, mark: Some(ring(2)) });
    let (one, other) = (first.log.clone(), second.log.clone());
    first.hear(&other);
    second.hear(&one);
    assert_eq!(marks(&first.book), marks(&second.book));
    assert_eq!(marks(&first.book).last(), Some(&ring(2)));
}

#[test]
fn a_group_has_notes_photos_and_voice_notes_of_its_own() {
    let (mut phone, job) = told();
    let text = quaywright_core::view::GroupText {
        what: "cover".to_owned(),
        count: "6".to_owned(),
        ..quaywright_core::view::GroupText::default()
    };
    let facts = Box::new(text.read(None).unwrap());
    let group = quaywright_core::id::GroupId(phone.must(Command::AddGroup { job, facts }));
    let about = About::Group(group);
    phone.must(Command::WriteNote { about, text: Prose::new("the third one turns hard") });
    phone.photo(about, &jpeg("cover"), "");
    let voice = VoiceFacts { blob: BlobId::of(SAID), bytes: SAID.len() as u32, ms: 60_000, sound: Sound::Mp4 };
    phone.must(Command::TakeVoice { about, voice });
    let card = quaywright_core::view::group_card(&phone.book, group, None, phone.now).unwrap();
    assert_eq!((card.notes.len(), card.photos[0].caption.as_str()), (1, "cover"));
    assert_eq!(card.voices[0].length, "1:00");
    let day = day_sheet(&phone.book, phone.now.day(), phone.now, LogHead::from(&phone.tip));
    assert_eq!(day.jobs[0].notes.last().unwrap().about, Some(Label::new("cover")));
    assert_eq!(day.jobs[0].voices.len(), 2);
}
