//! What an owner reads: in every language, by every history, and never what is not the owner's.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use proptest::prelude::*;
use quaywright_core::command::{Command, Refusal, decide};
use quaywright_core::event::{About, Event, Language, Measures, Reader, ReadingFacts, StoryPart, TakenFor};
use quaywright_core::exchange::html;
use quaywright_core::exchange::pieces::assemble;
use quaywright_core::id::{BoatId, EventId, JobId, PhotoId};
use quaywright_core::owner::message::{LIMIT, message};
use quaywright_core::reading::Kind;
use quaywright_core::reading::form::{self, Name, Typed};
use quaywright_core::reading::unit::Unit;
use quaywright_core::sheet::{LogHead, OwnerSheet, day_sheet, owner_sheet};
use quaywright_core::text::{Label, Prose};

use crate::histories::{id, label};
use crate::phone::{Phone, jpeg};

/// Returns every reader there can be.
pub(crate) fn readers() -> impl Iterator<Item = Reader> {
    let of = |language| Measures::ALL.map(|measures| Reader { language, measures });
    Language::ALL.into_iter().flat_map(of)
}

/// Returns what a reader gets of a sheet: the page without its style, and the message.
pub(crate) fn told_to(sheet: &OwnerSheet, reader: Reader) -> [String; 2] {
    let sheet = OwnerSheet { reader, ..sheet.clone() };
    let page = String::from_utf8(assemble(&html::owner_page(&sheet), |_| None)).unwrap();
    let body = page.split_once("<body>").unwrap().1.to_owned();
    [body, message(&sheet)]
}

/// Says what an owner reads, and pairs of photos, with every field filled and left out.
pub(crate) fn is_said_to(phone: &mut Phone) {
    let boat = phone.book.fleet.boats().next().unwrap().id;
    let photos: Vec<PhotoId> = phone.book.evidence.photos().map(|photo| photo.id).collect();
    phone.say(Event::OwnerReads { boat, reader: Reader { language: Language::German, measures: Measures::Metric } });
    phone.say(Event::OwnerReads { boat, reader: Reader { language: Language::French, measures: Measures::Us } });
    phone.say(Event::OwnerReads { boat, reader: Reader::default() });
    let (before, after) = (photos[0], photos[1]);
    let wrong = phone.say(Event::PhotosPaired { before: after, after: before, what: Label::new("End cap") }).record.id;
    phone.say(Event::Withdrawn { event: wrong });
    phone.say(Event::PhotosPaired { before, after, what: Label::new("End <cap> & seal") });
    phone.say(Event::PhotosPaired { before, after, what: Label::default() });
}

/// Returns something about what an owner reads.
pub(crate) fn event() -> BoxedStrategy<Event> {
    let reader = prop::sample::select(readers().collect::<Vec<_>>());
    prop_oneof![
        (id(), reader).prop_map(|(boat, reader)| Event::OwnerReads { boat: BoatId(boat), reader }),
        (id(), id(), label()).prop_map(|(before, after, what)| Event::PhotosPaired {
            before: PhotoId(before),
            after: PhotoId(after),
            what
        }),
    ]
    .boxed()
}

/// Returns what is wrong with what an owner gets, whatever the history.
pub(crate) fn misfits(sheet: &OwnerSheet) -> Vec<String> {
    let mut misfits = Vec::new();
    // A technician may type what looks like a hole.
    let typed = format!("{sheet:?}").contains("{$");
    for reader in readers() {
        let [page, message] = told_to(sheet, reader);
        let length = message.chars().count();
        if length >= LIMIT {
            misfits.push(format!("{reader:?}: a message of {length} characters"));
        }
        if page.contains("{$") && !typed {
            misfits.push(format!("{reader:?}: a hole is left open: {page}"));
        }
    }
    misfits
}

fn with_photos() -> (Phone, JobId, Vec<PhotoId>) {
    let mut phone = Phone::new(0x91, "2026-05-04T08:00:00.000+01:00");
    let (job, _) = phone.job("Heron", "P. Wherry", "Heat exchanger", "Runs hot");
    for caption in ["Tubes furred", "Tubes clean", "Anode"] {
        phone.photo(About::Job(job), &jpeg(caption), caption);
    }
    let photos = phone.book.evidence.photos().map(|photo| photo.id).collect();
    (phone, job, photos)
}

#[test]
fn two_photos_of_a_job_are_a_pair_once_and_can_be_parted() {
    let (mut phone, job, photos) = with_photos();
    let (other, _) = phone.job("Teal", "", "Impeller", "");
    phone.photo(About::Job(other), &jpeg("elsewhere"), "");
    let elsewhere = phone.book.evidence.photos().next_back().unwrap().id;
    let asked = |phone: &Phone, before, after| {
        let next = EventId { device: phone.tip.device, seq: phone.tip.seq + 1 };
        decide(&phone.book, Command::PairPhotos { before, after, what: Label::default() }, next, phone.now)
    };
    assert_eq!(asked(&phone, photos[0], photos[0]), Err(Refusal::OnePhoto));
    assert_eq!(asked(&phone, photos[0], elsewhere), Err(Refusal::PhotosOfTwoJobs));
    let pair = phone.must(Command::PairPhotos { before: photos[0], after: photos[1], what: Label::default() });
    assert_eq!(asked(&phone, photos[0], photos[1]), Err(Refusal::PairedAlready));

    let sheet = |phone: &Phone| owner_sheet(&phone.book, job, phone.now.day()).unwrap();
    let paired = sheet(&phone);
    assert_eq!((paired.pairs.len(), paired.photos.len()), (1, 1));
    let [page, _] = told_to(&paired, Reader { language: Language::French, measures: Measures::AsRead });
    let (before, after) = (page.find("Avant : Tubes furred").unwrap(), page.find("Après : Tubes clean").unwrap());
    assert!(page.find("Avant et après").unwrap() < before && before < after);

    // The office sees them beside each other too, and takes in the bytes of each photo once.
    let day = phone.now.day();
    let office = day_sheet(&phone.book, day, phone.now, LogHead::from(&phone.tip));
    let of = office.jobs.iter().find(|it| it.job == job).unwrap();
    assert_eq!((of.photos.len(), of.pairs.len(), of.single.len()), (3, 1, 1));
    let office = String::from_utf8(assemble(&html::day_page(&office, Vec::new()), |_| None)).unwrap();
    let [head, before, after] =
        ["Before and after", "Before: Tubes furred", "After: Tubes clean"].map(|words| office.find(words).unwrap());
    assert!(head < before && before < after && after < office.rfind("<h2 dir=\"auto\">Photos").unwrap());
    assert_eq!(office.matches("<figcaption").count(), 4);

    phone.must(Command::Withdraw { event: pair });
    assert_eq!((sheet(&phone).pairs.len(), sheet(&phone).photos.len()), (0, 3));
    phone.must(Command::PairPhotos { before: photos[0], after: photos[1], what: Label::default() });
    phone.must(Command::Withdraw { event: photos[1].0 });
    assert_eq!((sheet(&phone).pairs.len(), sheet(&phone).photos.len()), (0, 2));
}

#[test]
fn the_owner_of_a_boat_reads_what_was_chosen() {
    let (mut phone, job, _) = with_photos();
    let boat = phone.book.jobs.job(job).unwrap().boat;
    let reader = Reader { language: Language::Spanish, measures: Measures::Metric };
    phone.must(Command::SetReader { boat, reader });
    let sheet = owner_sheet(&phone.book, job, phone.now.day()).unwrap();
    assert_eq!(sheet.reader, reader);
    let page = String::from_utf8(assemble(&html::owner_page(&sheet), |_| None)).unwrap();
    assert!(page.contains("<html lang=\"es\">"), "{page}");
    assert!(page.contains("lunes, 4 de mayo de 2026"), "{page}");
    // What was typed is marked as being of no known language.
    assert!(page.contains("<h1 lang=\"\" dir=\"auto\">Heron</h1>"), "{page}");
}

#[test]
fn a_long_history_makes_a_short_message() {
    let (mut phone, job, _) = with_photos();
    let line = phone.book.jobs.lines_of(job).next().unwrap().id;
    let long = "The raw-water pump was opened and cleaned, its impeller renewed. ".repeat(40);
    phone.tell(line, StoryPart::Correction, &long);
    phone.tell(line, StoryPart::Cause, &long);
    for nth in 0..30 {
        phone.off(job, 4, &format!("Bolt {nth}"), "M8", "port", "tray");
    }
    let sheet = owner_sheet(&phone.book, job, phone.now.day()).unwrap();
    let [_, german] = told_to(&sheet, Reader { language: Language::German, measures: Measures::AsRead });
    assert!(german.starts_with("Heron: Heat exchanger\nDie Arbeit geht weiter.\nWir haben ausgeführt: The raw-water"));
    assert!(german.contains("\nNoch zu tun: Bolt 0, M8, port: 4 abgebaut; "), "{german}");
    assert!((400..LIMIT).contains(&german.chars().count()), "{german}");
}

#[test]
fn a_reading_is_told_in_the_chosen_units_with_what_was_read() {
    let typed = |name, nth, text: &str, unit| Typed { name, nth, text: text.to_owned(), unit };
    let fields = [
        typed(Name::Cylinder, 1, "170", Unit::Psi),
        typed(Name::Cylinder, 2, "165", Unit::Psi),
        typed(Name::Stroke, 0, "four-stroke-petrol", Unit::Number),
    ];
    let (given, wrong) = form::read(Kind::Compression.inputs(), &fields);
    assert!(wrong.is_empty());
    let (mut phone, job, _) = with_photos();
    let facts = ReadingFacts {
        kind: Kind::Compression,
        what: Label::default(),
        given,
        instrument: Label::default(),
        note: Prose::default(),
    };
    let taken_for = TakenFor { job: Some(job), engine: None, step: None };
    phone.must(Command::TakeReading { taken_for, reading: Box::new(facts) });
    let sheet = owner_sheet(&phone.book, job, phone.now.day()).unwrap();
    let [page, _] = told_to(&sheet, Reader { language: Language::German, measures: Measures::Metric });
    assert!(page.contains("1 11,7 bar (170 psi)"), "{page}");
}
