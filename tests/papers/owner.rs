//! What an owner's PDF tells, what it never tells, and what it does with bad input.

use std::fs;
use std::process::Command;

use jpeg_encoder::{ColorType, Encoder};
use quaywright_core::agreement::consent::Strokes;
use quaywright_core::agreement::estimate::{Cost, CostLine};
use quaywright_core::agreement::rules::RuleSet;
use quaywright_core::command::Command as Request;
use quaywright_core::event::{
    About, Activity, Asker, Billing, Event, Language, NextVisit, On, PayType, Position, Reader, ReadingFacts,
    Recommendation, Reply, TakenFor, VisitTime,
};
use quaywright_core::id::{BlobId, JobId, ReadingId, RecommendationId};
use quaywright_core::moment::Day;
use quaywright_core::money::Currency;
use quaywright_core::money::minor::Minor;
use quaywright_core::owner::message::message;
use quaywright_core::reading::Kind;
use quaywright_core::reading::form::{self, Name, Typed};
use quaywright_core::reading::unit::Unit;
use quaywright_core::reassembly::gate::Need;
use quaywright_core::sheet::owner_sheet;
use quaywright_core::text::{Label, Prose};
use quaywright_core::view::{Asked, ConsentEntry, EstimateEntry};
use quaywright_papers::wire::{Leaf, Paper, Times};

use crate::phone::Phone;
use crate::press::{Sheaf, press};

/// A small picture with what a camera writes beside it.
fn picture(shade: u8) -> Vec<u8> {
    let mut jpeg = Vec::new();
    let mut encoder = Encoder::new(&mut jpeg, 90);
    encoder.add_app_segment(1, b"Exif\0\0SECRETPLACE 51.5 north".to_vec()).unwrap();
    encoder.encode(&[shade; 32 * 24 * 3], 32, 24, ColorType::Rgb).unwrap();
    jpeg
}

fn owners(phone: &Phone, job: JobId, photo: impl Fn(BlobId) -> Option<Vec<u8>>) -> Sheaf {
    press(
        &phone.lines,
        phone.tip.device,
        phone.now,
        Paper::OwnerPdf(job, Leaf::A4, Reader::default(), Times::Kept),
        photo,
    )
}

#[test]
fn an_owner_reads_the_document_in_the_chosen_language() {
    let mut phone = Phone::new(0x8c, "2026-05-04T08:00:00.000+01:00");
    phone.named("M. Sluice", "Lower Basin Boatyard");
    let (job, _) = phone.job("Heron", "P. Wherry", "Alternator", "No charge");
    phone.off(job, 4, "Bracket bolt", "M10", "starboard", "tray");
    let pictures = [picture(40), picture(200)];
    for picture in &pictures {
        phone.photo(About::Job(job), picture, "");
    }
    let photos: Vec<_> = phone.book.evidence.photos().map(|photo| photo.id).collect();
    phone.say(Event::PhotosPaired { before: photos[0], after: photos[1], what: Label::new("Bracket") });
    let expected = [
        (
            Language::English,
            ["Monday 4 May 2026", "Bracket bolt, M10, starboard: 4 off", "Before and after", "page 1 of 1"],
        ),
        (Language::Spanish, ["lunes, 4 de mayo de 2026", "4 sin montar", "Antes y después", "página 1 de 1"]),
        (Language::French, ["lundi 4 mai 2026", "4 à remonter", "Avant et après", "page 1 sur 1"]),
        (Language::German, ["Montag, 4. Mai 2026", "4 abgebaut", "Vorher und nachher", "Seite 1 von 1"]),
    ];
    for (language, told) in expected {
        let paper = Paper::OwnerPdf(job, Leaf::A4, Reader { language, ..Reader::default() }, Times::Kept);
        let bytes = |name| pictures.iter().find(|it| BlobId::of(it) == name).cloned();
        let sheaf = press(&phone.lines, phone.tip.device, phone.now, paper, bytes);
        assert_eq!(sheaf.faults, Vec::<String>::new(), "{language:?}");
        sheaf.asked("qpdf", &["--check", "FILE"]);
        let text = sheaf.asked("pdftotext", &["-layout", "FILE", "-"]);
        for words in told {
            assert!(text.contains(words), "{language:?}: {words} is missing: {text}");
        }
        let all = opened(&sheaf);
        assert!(all.contains(&format!("/Lang ({})", language.tag())), "{language:?}");
        assert!(sheaf.asked("pdfinfo", &["-meta", "FILE"]).contains("<pdfuaid:part>1<"), "{language:?}");
        // The two of a pair stand beside each other.
        assert_eq!(sheaf.asked("pdfimages", &["-list", "FILE"]).lines().skip(2).count(), 2);
    }
}

/// Returns everything that stands in a document, opened.
fn opened(sheaf: &Sheaf) -> String {
    let (folder, file) = sheaf.lay();
    let out = folder.path().join("opened.pdf");
    let words = ["--qdf", "--object-streams=disable", "--stream-data=uncompress"];
    let said = Command::new("qpdf").args(words).args([&file, &out]).output().unwrap();
    assert!(said.status.success(), "{said:?}");
    let text = sheaf.asked("pdftotext", &["-layout", "FILE", "-"]);
    [String::from_utf8_lossy(&sheaf.bytes), String::from_utf8_lossy(&fs::read(out).unwrap()), text.into()].concat()
}

#[test]
fn an_owner_is_told_nothing_that_is_not_his() {
    let mut phone = Phone::new(0x8b, "2026-05-04T08:00:00.000+01:00");
    phone.named("M. Sluice", "Lower Basin Boatyard");
    let (job, line) = phone.job("Heron", "P. Wherry", "Alternator", "No charge");
    let warranty = phone.line(job, PayType::Warranty, "Belt squeals");
    phone.line(job, PayType::Internal, "SECRETOWNFAULT");
    let (other, _) = phone.job("SECRETBOAT", "SECRETOWNER", "SECRETTITLE", "SECRETCOMPLAINT");
    phone.clock("2026-05-04T08:11:00.000+01:00", Activity::Labour, On::Line(line));
    phone.clock("2026-05-04T09:28:00.000+01:00", Activity::Diagnosis, On::Line(warranty));
    phone.clock("2026-05-04T09:29:00.000+01:00", Activity::Labour, On::Job(other));
    phone.stop("2026-05-04T14:46:00.000+01:00");
    phone.note(About::Day, "SECRETDAYNOTE");
    phone.note(About::Job(job), "SECRETJOBNOTE");
    phone.off(job, 4, "Bracket bolt", "M10", "starboard", "SECRETTRAY");
    phone.part(other, 1, "SECRETPART", "");
    let photo = picture(90);
    let blob = phone.photo(About::Job(job), &photo, "Bracket, cracked");
    let mut facts = phone.book.evidence.photos().next().unwrap().facts.clone();
    facts.position = Some(Position { lat_e7: 514_812_345, lon_e7: -1_234_567 });
    facts.caption = Label::new("Bracket, from behind");
    phone.say(Event::PhotoTaken { about: About::Job(job), photo: facts });

    let sheaf = owners(&phone, job, |name| (name == blob).then(|| photo.clone()));
    assert_eq!(sheaf.name, "work on Heron 2026-05-04.pdf");
    let text = sheaf.asked("pdftotext", &["-layout", "FILE", "-"]);
    for told in ["Heron", "P. Wherry", "Belt squeals", "Bracket bolt, M10, starboard: 4 off", "Bracket, cracked"] {
        assert!(text.contains(told), "{told} is missing: {text}");
    }
    let all = opened(&sheaf).to_lowercase();
    for secret in [
        "secret",
        "warranty",
        "customer pay",
        "51.48",
        "514812345",
        "1234567",
        "8:11",
        "09:28",
        "1:17",
        "labour",
        "diagnosis",
        "exif",
        "embeddedfile",
        &blob.to_string(),
    ] {
        assert!(!all.contains(secret), "{secret} is told to the owner");
    }
    // In all of the bytes the word stands for the description of properties (XMP).
    assert!(!text.to_lowercase().contains("internal"));
    // When it was made is told to the day.
    assert!(all.contains("d:20260504") && !all.contains("d:202605041"), "the time of making is told");
}

#[test]
fn whoever_has_the_paper_is_warned_as_the_phone_warns() {
    let mut phone = Phone::new(0x8d, "2026-05-04T08:00:00.000+01:00");
    let (job, line) = phone.job("Heron", "P. Wherry", "Impeller", "Runs hot");
    phone.clock("2026-05-04T08:11:00.000+01:00", Activity::Labour, On::Line(line));
    let hose = phone.step(job, "Join the raw water hose", false);
    phone.must(Request::NeedStep { step: hose, need: Some(Need::CoolingWater) });
    let item = phone.off(job, 1, "Propeller", "", "", "trolley");
    let told = |phone: &Phone, paper| {
        press(&phone.lines, phone.tip.device, phone.now, paper, |_| None).asked("pdftotext", &["-raw", "FILE", "-"])
    };
    let owners = |phone: &Phone, language| {
        told(phone, Paper::OwnerPdf(job, Leaf::A4, Reader { language, ..Reader::default() }, Times::Kept))
    };
    let has = |text: &str, parts: &[&str]| {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        parts.iter().for_each(|part| assert!(text.contains(part), "{part} is missing: {text}"));
    };
    has(
        &owners(&phone, Language::English),
        &[
            "Do not start the engine yet: Join the raw water hose",
            "Never run the engine without cooling water",
            "take the propeller off and keep people away. Source: 29 CFR 1915.89",
            "licensed practice come first.",
        ],
    );
    has(
        &owners(&phone, Language::Spanish),
        &["No arranque todavía el motor: Join the raw water hose", "Fuente: 29 CFR 1915.89"],
    );
    has(&owners(&phone, Language::French), &["Ne démarrez pas encore le moteur", "Source : usage courant."]);
    has(&owners(&phone, Language::German), &["Den Motor noch nicht starten", "Quelle: allgemein üblich."]);
    let day = Paper::DayPdf(phone.now.day(), Leaf::A4);
    has(&told(&phone, day), &["Do not run: Join the raw water hose", "Never run the engine", "come first."]);
    let sheet = owner_sheet(&phone.book, job, phone.now.day()).unwrap();
    assert!(message(&sheet).contains("Do not start the engine yet: Join the raw water hose"), "{}", message(&sheet));
    // What is not at hand is not warned of: no fuel is open here.
    assert!(!owners(&phone, Language::English).contains("Gasoline"));
    // With all of it there nobody is warned of anything.
    phone.must(Request::TickStep { step: hose, done: true });
    phone.back(item, 1);
    for text in [owners(&phone, Language::English), told(&phone, day)] {
        assert!(!text.contains("Do not") && !text.contains("Cautions") && !text.contains("Source:"), "{text}");
    }
}

#[test]
fn where_the_shop_wants_it_an_owner_sees_the_time_of_what_he_pays_by_the_clock_and_no_other() {
    let mut phone = Phone::new(0x8e, "2026-05-04T08:00:00.000+01:00");
    let (job, line) = phone.job("Heron", "P. Wherry", "Alternator", "No charge");
    let warranty = phone.line(job, PayType::Warranty, "Belt squeals");
    let flat = phone.line(job, PayType::CustomerPay, "Lift out");
    phone.must(Request::BillLine { line: flat, billing: Billing::Flat { minutes: 60 } });
    let (other, _) = phone.job("Coot", "R. Thwart", "Gland", "Drips");
    let clocked = [
        ("08:11:00.000", Activity::Labour, On::Line(line)),
        ("09:28:40.000", Activity::Diagnosis, On::Line(warranty)),
        ("10:01:40.000", Activity::Diagnosis, On::Line(line)),
        ("10:20:20.000", Activity::Labour, On::Line(flat)),
        ("12:40:20.000", Activity::Travel, On::Line(line)),
        ("12:43:20.000", Activity::Labour, On::Job(job)),
        ("13:06:20.000", Activity::Labour, On::Job(other)),
    ];
    for (at, activity, on) in clocked {
        phone.clock(&format!("2026-05-04T{at}+01:00"), activity, on);
    }
    phone.stop("2026-05-04T17:46:20.000+01:00");
    let made = |times, language| {
        let paper = Paper::OwnerPdf(job, Leaf::A4, Reader { language, ..Reader::default() }, times);
        press(&phone.lines, phone.tip.device, phone.now, paper, |_| None).asked("pdftotext", &["-layout", "FILE", "-"])
    };
    let text = made(Times::Told, Language::English);
    let words: Vec<&str> = text.split_whitespace().collect();
    let told = words.join(" ");
    // Labour 1:17:40 and diagnosis 0:18:40 are 1:36:20 in all; a minute that cutting loses goes to one of them.
    assert!(told.contains("Time by kind of work Labour: 1 h 18 min Diagnosis: 18 min In all: 1 h 36 min"), "{told}");
    assert!(told.contains("The bill may round them."), "{told}");
    for own in ["33 min", "2 h 2", "23 min", "3 min", "4 h 40", "Travel"] {
        assert!(!told.contains(own), "{own} is told to the owner: {told}");
    }
    for (language, head) in [
        (Language::Spanish, "Tiempo por tipo de trabajo"),
        (Language::French, "Temps par type de travail"),
        (Language::German, "Zeit nach Art der Arbeit"),
    ] {
        let text = made(Times::Told, language);
        assert!(text.contains(head) && text.contains("1 h 18 min"), "{text}");
    }
    assert!(!made(Times::Kept, Language::English).contains(" min"));
}

#[test]
fn a_photo_that_cannot_be_shown_leaves_its_caption_and_the_document_is_made() {
    let mut phone = Phone::new(0x9c, "2026-05-04T08:00:00.000+01:00");
    let (job, _) = phone.job("Heron", "", "Stern gland", "Drips");
    let (good, cut, missing) = (picture(10), picture(20)[..300].to_vec(), picture(30));
    let names = [(&good, "Gland before"), (&cut, "Gland cut off"), (&missing, "Gland after")];
    let names = names.map(|(bytes, caption)| phone.photo(About::Job(job), bytes, caption));
    let bytes = |name: BlobId| names.iter().position(|&it| it == name).map(|at| [&good, &cut][at.min(1)].clone());
    let sheaf = owners(&phone, job, bytes);
    sheaf.asked("qpdf", &["--check", "FILE"]);
    let text = sheaf.asked("pdftotext", &["FILE", "-"]);
    // One is cut off; of the other only bytes came that are not its own.
    assert_eq!(text.matches("This photo cannot be shown: ").count(), 2, "{text}");
    for name in &names[1..] {
        assert!(text.contains(&name.to_string()[..8]), "{text}");
    }
    assert_eq!(sheaf.faults, ["2 photos cannot be shown and stand there by name"]);
    for caption in ["Gland before", "Gland cut off", "Gland after"] {
        assert!(text.contains(caption), "{text}");
    }
    assert_eq!(sheaf.asked("pdfimages", &["-list", "FILE"]).lines().skip(2).count(), 1);
}

#[test]
fn text_that_the_letters_lack_is_reported_and_never_a_row_of_empty_boxes() {
    let mut phone = Phone::new(0x9d, "2026-05-04T08:00:00.000+01:00");
    let (job, _) = phone.job("Čajka", "Łukasz Żółć", "Помпа", "Η αντλία στάζει");
    phone.step(job, "舟の点検 and the log", false);
    phone.step(job, "\u{202e}turned\u{200f} about", false);
    let sheaf = owners(&phone, job, |_| None);
    assert_eq!(sheaf.faults, ["1 text has letters that a PDF cannot show: make it as a page to show all of it"]);
    sheaf.asked("qpdf", &["--check", "FILE"]);
    let text = sheaf.asked("pdftotext", &["FILE", "-"]);
    for told in ["Čajka", "Łukasz Żółć", "Помпа", "Η αντλία στάζει", "turned about"] {
        assert!(text.contains(told), "{told}: {text}");
    }
    // The words in brackets are drawn; who copies or listens gets what was written.
    assert!(text.contains("[4 letters not drawn] and the log"), "{text}");
    assert!(opened(&sheaf).contains("/ActualText"));
    let about = sheaf.asked("pdfinfo", &["-meta", "FILE"]);
    assert!(about.contains("<pdfuaid:part>1<"), "{about}");
}

#[test]
fn what_was_agreed_is_a_sheet_with_the_signature_and_its_hash() {
    let mut phone = Phone::new(0x9e, "2026-05-04T08:00:00.000+01:00");
    let (job, _) = phone.job("Heron", "P. Wherry", "Stern gland", "Drips");
    let lines = vec![CostLine {
        cost: Cost::Labour { minutes: 90 },
        words: Label::new("new packing"),
        amount: Minor::fixed(14_250),
    }];
    let first = EstimateEntry::first(&phone.book, job);
    let estimate = Box::new(EstimateEntry { lines, rules: RuleSet::California, ..first }.read().unwrap());
    phone.must(Request::MakeEstimate { job, estimate });
    let drawn = Strokes::new(vec![vec![(200, 700), (900, 200), (1_800, 800)], vec![(2_500, 500)]]).unwrap();
    let entry = ConsentEntry { by: "P. Wherry".into(), ..ConsentEntry::default() };
    let consent = entry.read(&phone.book, job, Asked::Estimate, drawn, phone.now).unwrap();
    let hash = consent.signed.as_ref().unwrap().hash.to_string();
    phone.must(Request::GiveConsent { job, consent: Box::new(consent) });
    let paper = Paper::AgreementPdf(job, Leaf::A4);
    let sheaf = press(&phone.lines, phone.tip.device, phone.now, paper, |_| None);
    assert_eq!((sheaf.name.as_str(), sheaf.faults.len()), ("agreement on Heron 2026-05-04.pdf", 0));
    sheaf.asked("qpdf", &["--check", "FILE"]);
    let text = sheaf.asked("pdftotext", &["-layout", "FILE", "-"]);
    for told in ["new packing, 1:30 h", "142.50 USD", "California Harbors", "This sheet says what was signed."] {
        assert!(text.contains(told), "{told} is missing: {text}");
    }
    assert!(text.split_whitespace().collect::<String>().contains(&hash), "{text}");
    let about = sheaf.asked("pdfinfo", &["-meta", "FILE"]);
    assert!(about.contains("<pdfuaid:part>1<"), "{about}");
}

fn typed(name: Name, nth: u8, text: &str, unit: Unit) -> Typed {
    Typed { name, nth, text: text.to_owned(), unit }
}

/// Takes a reading of a job.
fn reading(phone: &mut Phone, job: JobId, kind: Kind, what: &str, fields: &[Typed]) -> ReadingId {
    let (given, wrong) = form::read(kind.inputs(), fields);
    assert!(wrong.is_empty(), "{wrong:?}");
    let (instrument, note) = (Label::new("SECRETMETER"), Prose::new("SECRETNOTE"));
    let reading = Box::new(ReadingFacts { kind, what: Label::new(what), given, instrument, note });
    let taken_for = TakenFor { job: Some(job), engine: None, step: None };
    ReadingId(phone.must(Request::TakeReading { taken_for, reading }))
}

/// Returns the text of an owner's PDF in a language, its lines as one.
fn text_in(phone: &Phone, job: JobId, language: Language, photo: impl Fn(BlobId) -> Option<Vec<u8>>) -> String {
    let paper = Paper::OwnerPdf(job, Leaf::A4, Reader { language, ..Reader::default() }, Times::Kept);
    let sheaf = press(&phone.lines, phone.tip.device, phone.now, paper, photo);
    sheaf.asked("pdftotext", &["-raw", "FILE", "-"]).split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_photo_of_a_reading_is_called_what_the_reading_is_called_in_the_owners_language() {
    let mut phone = Phone::new(0x8f, "2026-05-04T08:00:00.000+01:00");
    let (job, _) = phone.job("Heron", "P. Wherry", "Alternator", "No charge");
    let at_rest = [typed(Name::Voltage, 0, "12.60", Unit::Volt)];
    let house = reading(&mut phone, job, Kind::BatteryAtRest, "house bank", &at_rest);
    let pictures = [picture(40), picture(120), picture(200)];
    phone.photo(About::Reading(house), &pictures[0], "");
    phone.photo(About::Reading(house), &pictures[1], "Meter on the posts");
    phone.photo(About::Reading(house), &pictures[2], "");
    let photos: Vec<_> = phone.book.evidence.photos().map(|photo| photo.id).collect();
    phone.say(Event::PhotosPaired { before: photos[1], after: photos[2], what: Label::new("Bank") });
    let text = |language| {
        let bytes = |name| pictures.iter().find(|it| BlobId::of(it) == name).cloned();
        text_in(&phone, job, language, bytes)
    };
    for (language, of_pair, alone) in [
        (Language::English, "After: Battery at rest, house bank", "Photos Battery at rest, house bank"),
        (Language::Spanish, "Después: Batería en reposo, house bank", "Fotos Batería en reposo, house bank"),
        (Language::French, "Après : Batterie au repos, house bank", "Photos Batterie au repos, house bank"),
        (Language::German, "Nachher: Batterie in Ruhe, house bank", "Fotos Batterie in Ruhe, house bank"),
    ] {
        let text = text(language);
        assert!(text.contains(of_pair) && text.contains(alone), "{language:?}: {text}");
        // What somebody wrote stands as it was written.
        assert!(text.contains("Meter on the posts"), "{language:?}: {text}");
        assert!(language == Language::English || !text.contains("Battery"), "{language:?}: {text}");
    }
}

#[test]
fn an_owners_pdf_tells_what_was_measured_used_recommended_and_planned() {
    let mut phone = Phone::new(0x90, "2026-05-04T08:00:00.000+01:00");
    let (job, _) = phone.job("Heron", "P. Wherry", "Will not start", "Turns slowly");
    let at_rest = [typed(Name::Voltage, 0, "11.90", Unit::Volt)];
    reading(&mut phone, job, Kind::BatteryAtRest, "start bank", &at_rest);
    let (speed, low) = (typed(Name::Value, 0, "2140", Unit::TurnMinute), typed(Name::Low, 0, "2200", Unit::TurnMinute));
    reading(&mut phone, job, Kind::Free, "Full throttle", &[speed, low]);
    phone.part(job, 2, "Start battery", "SB-74");
    for (what, cost, reply) in [
        ("New isolator", Some((Minor::fixed(128_450), Currency::Gbp)), Some(Reply::Declined)),
        ("Clean the posts", None, Some(Reply::Accepted)),
        ("New charger", None, None),
    ] {
        let recommendation = Box::new(Recommendation { what: Label::new(what), why: Prose::new("worn"), cost });
        let recommendation = RecommendationId(phone.must(Request::Recommend { job, recommendation }));
        if let Some(reply) = reply {
            phone.must(Request::AnswerRecommendation { recommendation, reply });
        }
    }
    let when = VisitTime::Day(Day::parse("2026-10-05").unwrap());
    let visit = Box::new(NextVisit { what: Label::new("Winter lay-up"), when, asked_by: Asker::Owner });
    phone.must(Request::PlanVisit { job, visit });
    let text = text_in(&phone, job, Language::English, |_| None);
    for told in [
        "Parts 2 × Start battery, no. SB-74",
        "Measured Battery at rest, start bank: Voltage at rest 11.90 V; State of charge, about 1 %. Out of limits. \
         It is discharged",
        "Any other reading, Full throttle: Reading 2,140 rpm; Lowest that is good 2,200 rpm. Out of limits. \
         2,140 rpm is below the lowest.",
        "Recommended New isolator, about £1,284.50: declined (worn) Clean the posts: accepted (worn) \
         New charger: not answered yet (worn)",
        "Next visit Winter lay-up, Monday 5 October 2026, at your request",
    ] {
        assert!(text.contains(told), "{told} is missing: {text}");
    }
    let german = text_in(&phone, job, Language::German, |_| None);
    for told in [
        "Teile 2 × Start battery, Nr. SB-74",
        "Gemessen Batterie in Ruhe, start bank: Ruhespannung 11,90 V",
        "Messwert 2.140 rpm; Kleinster guter Wert 2.200 rpm. Außerhalb der Grenzen.",
        "Empfohlen New isolator, etwa 1.284,50 £: abgelehnt (worn) Clean the posts: angenommen (worn)",
        "Nächster Besuch Winter lay-up, Montag, 5. Oktober 2026, auf Ihren Wunsch",
    ] {
        assert!(german.contains(told), "{told} is missing: {german}");
    }
    assert!(!text.contains("SECRET") && !german.contains("SECRET"), "{text} {german}");
}
