//! The demo is whole, plain, and the same each time.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use quaywright_core::agreement::consent::Agreed;
use quaywright_core::agreement::overrun::Standing;
use quaywright_core::book::Book;
use quaywright_core::event::{About, Billing, Event, Mark, On, OpenEnd, Reader, Tags};
use quaywright_core::exchange::{backup, line};
use quaywright_core::log::{Log, Record};
use quaywright_core::moment::{Day, Moment};
use quaywright_core::quantity::Count;
use quaywright_core::reading::Kind;
use quaywright_core::sheet::SignedState;
use quaywright_core::sheet::agreement::agreement_sheet;
use quaywright_core::view::overrun_card;
use quaywright_core::view::{off_list, run_gate, such_jobs_took};

use super::{Demo, shop, write};

fn today() -> Day {
    Day::parse("2026-05-08").unwrap()
}

/// Told once for all tests, because drawing takes a while.
static DEMO: LazyLock<Demo> = LazyLock::new(|| shop(today(), 60).unwrap());

fn records() -> Vec<Record> {
    DEMO.records.iter().map(|bytes| line::read(bytes).unwrap().record).collect()
}

fn book() -> Book {
    Book::replay(&records())
}

fn job_of(book: &Book, title: &str) -> quaywright_core::book::jobs::Job {
    book.jobs.jobs().find(|job| job.title.as_str().starts_with(title)).unwrap().clone()
}

#[test]
fn it_comes_back_from_its_backup_without_a_fault() {
    let intake = backup::read(&DEMO.backup()).unwrap();
    assert_eq!(intake.faults, []);
    let lines: Vec<Vec<u8>> = intake.records.into_iter().map(|record| record.0).collect();
    assert_eq!(lines, DEMO.records);
    assert_eq!(intake.blobs, DEMO.blobs);
}

#[test]
fn the_same_day_gives_the_same_file_which_ends_where_now_is() {
    let folder = tempfile::TempDir::new().unwrap();
    let now = Moment::parse("2026-05-08T06:45:00+01:00").unwrap();
    let file = write(folder.path(), now).unwrap();
    assert_eq!(file, folder.path().join("demo/backup.jsonl"));
    let intake = backup::read(&std::fs::read(file).unwrap()).unwrap();
    assert_eq!(intake.faults, []);
    let told: Vec<_> = intake.records.iter().map(|record| &record.0).collect();
    assert!(told.len() < DEMO.records.len());
    assert_eq!(told, DEMO.records[..told.len()].iter().collect::<Vec<_>>());
    assert!(intake.records.iter().all(|(_, sealed)| sealed.record.at <= now));
    assert_eq!(intake.blobs, DEMO.blobs);
}

#[test]
fn the_log_and_the_book_find_nothing_wrong() {
    let mut log = Log::default();
    DEMO.records.iter().for_each(|bytes| log.take(line::read(bytes).unwrap()));
    assert_eq!(log.faults(), []);
    let book = book();
    assert_eq!(book.faults, []);
    assert_eq!(book.ledger.set_backs().count(), 0);
    assert!(records().is_sorted_by_key(|record| record.at));
}

#[test]
fn this_morning_the_clock_runs_on_the_launch() {
    let book = book();
    let running = book.ledger.running().unwrap();
    assert_eq!(running.from.day(), today());
    assert_eq!(book.job_of(running.on), Some(job_of(&book, "Runs hot").id));
    assert!(matches!(running.on, On::Line(_)));
}

#[test]
fn every_day_ends_with_the_clock_off() {
    let records = records();
    for day in (1..=4).filter_map(|before| today().plus(-before)) {
        let past = Book::replay(records.iter().filter(|record| record.at.day() <= day));
        assert_eq!(past.ledger.running(), None, "{day}");
    }
}

#[test]
fn the_teardown_is_half_done() {
    let book = book();
    let job = job_of(&book, "Runs hot");
    assert_eq!(job.finished, None);
    let items: Vec<_> = book.teardown.items_of(job.id).collect();
    assert!(items.len() >= 25, "{} items came off", items.len());
    let mut sides: Vec<_> = items.iter().map(|item| item.facts.side.as_str()).collect();
    sides.sort_unstable();
    sides.dedup();
    assert!(sides.len() >= 5, "{sides:?}");
    let off: BTreeMap<_, _> =
        book.teardown.still_off(job.id).map(|item| (item.facts.what.to_string(), item.still_off())).collect();
    assert_eq!(off.get("Bracket bolt"), Some(&Count(1)));
    assert_eq!(off.get("Washer, bracket bolt"), Some(&Count(2)));
    assert_eq!(off.get("Bolt, forward end cap"), Some(&Count(8)));
    assert_eq!(off.get("Bolt, aft end cap"), None);
    assert!((10..20).contains(&off.len()), "{off:?}");
    assert!(items.iter().all(|item| item.off.day() != today()), "it came apart on the days before");
}

#[test]
fn nothing_went_on_too_soon_and_the_details_are_used() {
    let book = book();
    for job in book.jobs.jobs() {
        let told = off_list(&book, job.id);
        assert_eq!(told.wrong.iter().filter(|words| words.contains("too soon")).count(), 0, "{:?}", told.wrong);
        assert_eq!(told.to_check, [], "{}", job.title);
    }
    let job = job_of(&book, "Runs hot").id;
    let details: Vec<_> = book.teardown.items_of(job).map(|item| &item.facts.details).collect();
    assert!(details.iter().any(|it| !it.way_up.is_empty()));
    assert!(details.iter().any(|it| !it.renew.all().is_empty()));
    assert!(details.iter().any(|it| it.end == Some(OpenEnd::Capped)));
    assert!(details.iter().any(|it| it.tied_back));
    assert_eq!(book.teardown.said_of_order(job).len(), 3);
    assert!(book.teardown.items_of(job).any(|item| item.instead().next().is_some()));
    let gate = run_gate(&book, job).words.unwrap();
    assert!(
        gate.starts_with("Do not run: Header hose") || gate.starts_with("Do not run: Coolant drain plug"),
        "{gate}"
    );
}

#[test]
fn every_kind_of_work_and_pay_is_there() {
    let book = book();
    let now = Moment::parse("2026-05-08T08:00:00+01:00").unwrap();
    let spans = book.ledger.spans(now);
    for activity in quaywright_core::event::Activity::ALL {
        assert!(spans.iter().any(|span| span.activity == activity), "{activity:?}");
    }
    let lines: Vec<_> = book.jobs.jobs().flat_map(|job| book.jobs.lines_of(job.id)).collect();
    for pay in quaywright_core::event::PayType::ALL {
        assert!(lines.iter().any(|line| line.pay == pay), "{pay:?}");
    }
    assert_eq!(book.ledger.days(now).len(), 5);
    assert!(book.ledger.taps().iter().any(|tap| tap.withdrawn));
    assert!(book.ledger.mends().any(|it| book.ledger.covered(it.id).len() == 1));
    assert!(lines.iter().any(|line| line.billing != Billing::ByClock));
    assert!(book.jobs.jobs().any(|job| !job.tags.words().is_empty()));
    assert!(book.shop.chosen().is_some());
    let such = Tags::typed("electrics");
    let took = such_jobs_took(&book, &such, None, now).unwrap();
    assert!(took.starts_with("2 such jobs took "), "{took}");
    let finished = book.jobs.jobs().filter(|job| job.finished.is_some());
    for job in finished {
        assert_eq!(book.teardown.still_off(job.id).count(), 0, "{}", job.title);
        assert!(book.steps.steps_of(job.id).all(|step| step.done.is_some()), "{}", job.title);
        for line in book.jobs.lines_of(job.id) {
            let told = [&line.complaint, &line.cause, &line.correction];
            assert!(told.iter().all(|text| !text.is_empty()), "{}", job.title);
        }
    }
    for job in book.jobs.jobs() {
        assert!(book.steps.steps_of(job.id).count() >= 4, "{} has a checklist", job.title);
        assert!(book.parts.parts_of(job.id).count() >= 1, "{} has parts", job.title);
    }
}

#[test]
fn what_was_measured_is_judged_as_the_story_has_it() {
    let book = book();
    let told = |title: &str| {
        let job = job_of(&book, title).id;
        let cards = quaywright_core::view::readings_of(&book, job, today());
        cards.into_iter().rev().map(|card| card.judged.verdict.words()).collect::<Vec<_>>()
    };
    assert_eq!(told("Will not turn over"), ["Out of limits", "Within limits", "Within limits"]);
    let alternator = book.readings.readings().rfind(|it| it.facts.kind == Kind::Charging);
    let engine = alternator.and_then(|reading| book.engine_read(reading)).unwrap();
    let course = quaywright_core::view::series(&book, engine.id, Kind::Charging, today());
    assert_eq!(course[0].dots, [(0, 0), (1000, 1000)]);
}

#[test]
fn an_estimate_is_signed_and_its_overrun_agreed_by_telephone() {
    let records = records();
    let job = job_of(&book(), "Runs hot").id;
    let until = |time: &str| {
        let now = Moment::parse(time).unwrap();
        let book = Book::replay(records.iter().filter(|record| record.at <= now));
        let card = overrun_card(&book, job, now).unwrap();
        (book, card)
    };
    let (_, before) = until("2026-05-07T08:57:00+01:00");
    assert_eq!((before.standing, before.message.is_some()), (Standing::Past, true), "{:?}", before.words);
    assert!(before.words[0].starts_with("More than was agreed: 8:5"), "{:?}", before.words);
    let (book, after) = until("2026-05-08T06:50:00+01:00");
    assert_eq!((after.standing, after.message), (Standing::Near, None));
    let sheet = agreement_sheet(&book, job, today(), Reader::default()).unwrap();
    let states: Vec<_> = sheet.consents.iter().map(|it| it.signed.as_ref().map(|signed| signed.state)).collect();
    assert_eq!(states, [Some(SignedState::Same), None]);
    assert_eq!(sheet.estimate.unwrap().sums.last().unwrap().1, "628.44 GBP");
    assert!(sheet.recommended[0].contains("declined"), "{:?}", sheet.recommended);
}

#[test]
fn owners_see_what_was_done_beside_what_was_found() {
    let book = book();
    assert_eq!(book.evidence.pairs().count(), 2);
    assert!(book.fleet.boats().any(|boat| boat.reader != quaywright_core::event::Reader::default()));
}

#[test]
fn the_claim_lacks_a_photo_of_the_serial_plate_and_nothing_else() {
    let book = book();
    let now = Moment::parse("2026-05-08T08:00:00+01:00").unwrap();
    let lacks = quaywright_core::view::claim_lacks(&book, job_of(&book, "Alternator").id, now);
    assert_eq!(lacks.len(), 1);
    assert!(lacks[0].ends_with(" is not whole: no photo of the serial plate."), "{}", lacks[0]);
}

#[test]
fn every_photo_is_there_and_says_what_it_shows() {
    let book = book();
    assert_eq!(book.evidence.photos().count() + book.evidence.voices().count(), DEMO.blobs.len());
    assert_eq!(book.evidence.photos().filter(|photo| !photo.marks.is_empty()).count(), 2);
    assert!(DEMO.blobs.len() >= 14);
    let different: BTreeSet<_> = DEMO.blobs.iter().map(|blob| blob.0).collect();
    assert_eq!(different.len(), DEMO.blobs.len());
    for photo in book.evidence.photos() {
        let (_, bytes) = DEMO.blobs.iter().find(|blob| blob.0 == photo.facts.blob).unwrap();
        assert_eq!(u32::try_from(bytes.len()).unwrap(), photo.facts.bytes);
        assert!(bytes.starts_with(&[0xff, 0xd8, 0xff]) && bytes.ends_with(&[0xff, 0xd9]), "{}", photo.facts.caption);
        assert!((15_000..120_000).contains(&bytes.len()), "{} bytes: {}", bytes.len(), photo.facts.caption);
        assert!(!photo.facts.caption.is_empty());
        assert_ne!(photo.about, About::Day);
    }
}

#[test]
fn a_voice_note_is_a_tone_that_can_be_played() {
    let book = book();
    let voice = book.evidence.voices().next().unwrap();
    let (_, wave) = DEMO.blobs.iter().find(|blob| blob.0 == voice.facts.blob).unwrap();
    let number = |at: usize| u32::from_le_bytes(*wave[at..].first_chunk().unwrap());
    assert_eq!((&wave[..4], &wave[8..16]), (b"RIFF".as_slice(), b"WAVEfmt ".as_slice()));
    assert_eq!((number(4) as usize, number(40) as usize), (wave.len() - 8, wave.len() - 44));
    assert_eq!(number(40) * 1_000 / number(24), voice.facts.ms);
    let samples = &wave[44..];
    assert!(samples.iter().min() < Some(&80) && samples.iter().max() > Some(&176), "it can be heard");
}

/// Words that the demo must not hold: an outboard, a torque, a maker's habit of
/// writing itself in capitals (tape labels and stock numbers are ours).
#[test]
fn it_names_no_maker_and_no_torque() {
    let ours = ["FWD", "AFT", "CAP", "END", "TOP", "PORT", "LOWER", "STBD", "OUT", "BELT", "GUARD", "BRACKET", "ROW"];
    for record in records() {
        for text in texts(&record.event) {
            let lower = text.to_lowercase();
            for word in ["outboard", "n·m", " nm", "lbf", "ft-lb", "torque", "©", "®", "™", "http"] {
                assert!(!lower.contains(word), "{word} in: {text}");
            }
            for word in text.split(|c: char| !c.is_alphabetic()) {
                let loud = word.chars().count() > 2 && word.chars().all(char::is_uppercase);
                assert!(!loud || ours.contains(&word), "{word} in: {text}");
            }
        }
    }
}

/// Returns everything that a person wrote in an event.
fn texts(event: &Event) -> Vec<String> {
    let labels = match event {
        Event::TechnicianNamed { name, shop } => vec![name, shop],
        Event::BoatAdded(facts) => vec![&facts.name, &facts.owner, &facts.berth],
        Event::EngineAdded { facts, .. } => vec![&facts.place, &facts.model],
        Event::JobOpened { title, .. } => vec![title],
        Event::CameOff { item, .. } => vec![&item.what, &item.side, &item.size, &item.stowed],
        Event::StepAdded { text, .. } => vec![text],
        Event::PhotoTaken { photo, .. } => vec![&photo.caption],
        Event::PhotoCaptioned { caption, .. } => vec![caption],
        Event::PhotoMarked { marks, .. } => {
            marks.iter().filter_map(|mark| if let Mark::Words(_, words) = mark { Some(words) } else { None }).collect()
        }
        Event::Mended(mend) => vec![&mend.reason],
        Event::EstimateMade { estimate, .. } => estimate.lines.iter().map(|line| &line.words).collect(),
        Event::ConsentGiven { consent, .. } => match &consent.to {
            Agreed::More { what, .. } => return vec![what.to_string(), consent.by.to_string()],
            _ => vec![&consent.by],
        },
        Event::Recommended { recommendation, .. } => {
            return vec![recommendation.what.to_string(), recommendation.why.to_string()];
        }
        Event::NextVisitPlanned { visit, .. } => {
            return vec![visit.what.to_string(), format!("{:?}", visit.when), format!("{:?}", visit.asked_by)];
        }
        Event::JobTagged { tags, .. } => tags.words().iter().collect(),
        Event::PartUsed { part, .. } => vec![&part.what],
        Event::PartFailed { part, .. } => vec![&part.what, &part.tag, &part.place],
        Event::LineAdded { complaint: text, .. } | Event::StoryTold { text, .. } | Event::NoteWritten { text, .. } => {
            return vec![text.to_string()];
        }
        _ => Vec::new(),
    };
    labels.into_iter().map(ToString::to_string).collect()
}

#[test]
fn now_is_between_two_looks_at_the_clock() {
    let seconds = || std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).unwrap().as_secs();
    let before = seconds();
    let now = super::now().unwrap();
    let shown = u64::try_from(now.utc_ms()).unwrap() / 1000;
    assert!((before..=seconds()).contains(&shown), "{now}");
}
