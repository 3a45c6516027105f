//! Claims for warranty, and documents that were made: what a phone says of them, and
//! what holds of them.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use proptest::prelude::*;
use quaywright_core::command::{BoatChoice, Command, NewJob};
use quaywright_core::event::{
    About, Activity, BoatFacts, Document, Doing, EngineFacts, Event, FailedPart, Fate, Mend, On, PayType, Shows, Stage,
    StoryPart, Tags, TakenFor, Way,
};
use quaywright_core::id::{BlobId, EngineId, EventId, FailedId, Hash, JobId, LineId, PhotoId, ReadingId};
use quaywright_core::moment::{Day, Moment};
use quaywright_core::quantity::EngineHours;
use quaywright_core::reading::Kind;
use quaywright_core::sheet::LogHead;
use quaywright_core::sheet::job::job_summary;
use quaywright_core::sheet::warranty::warranty_sheet;
use quaywright_core::text::{Label, Prose};
use quaywright_core::view::{claim_lacks, papers, still_to_leave};

use crate::histories::{id, label, nth};
use crate::phone::{Phone, at, jpeg};
use crate::reading::every_answer;

fn part(what: &str, fate: Option<Fate>, place: &str) -> Box<FailedPart> {
    let [what, number, tag, place] = [what, "QB-0418", "W 12", place].map(Label::new);
    Box::new(FailedPart { what, number, tag, fate, place })
}

/// Says everything about claims and documents, with every field filled and left out.
pub(crate) fn are_said(phone: &mut Phone) {
    let job = phone.book.jobs.jobs().next().unwrap().id;
    let photo = phone.book.evidence.photos().next().unwrap().id;
    let reading = phone.book.readings.readings().next().unwrap().id;
    let mut said = |event| {
        phone.now = Moment::new(phone.now.utc_ms() + 60_001, 60).unwrap();
        phone.say(event).record.id
    };
    let complaint = Prose::new("Weeps at the <seal>");
    let line = LineId(said(Event::LineAdded { job, pay: PayType::Warranty, complaint }));
    let failed = FailedId(said(Event::PartFailed { line, part: Box::default() }));
    let whole = part("Shaft seal, \"brown\"", Some(Fate::Kept), "parts store, shelf 3");
    said(Event::FailedPartAmended { failed, part: whole });
    for fate in [Fate::Returned, Fate::Scrapped] {
        let id = said(Event::PartFailed { line, part: part("Bearing", Some(fate), "") });
        said(Event::Withdrawn { event: id });
    }
    for shows in Shows::ALL.map(Some).into_iter().chain([None, Some(Shows::Failure)]) {
        said(Event::PhotoShows { photo, shows });
    }
    for stage in Stage::ALL.map(Some).into_iter().chain([None, Some(Stage::Before)]) {
        said(Event::ReadingStaged { reading, stage });
    }
    let (what, file) = (Document::WarrantyPack { line }, BlobId(Hash::of(b"a pack")));
    let first = said(Event::DocumentMade { what, file });
    said(Event::Withdrawn { event: first });
    said(Event::DocumentMade { what, file });
    said(Event::HandedOver { what, way: Way::Shared, file });
}

/// Returns a request about claims and documents.
pub(crate) fn command(phone: &Phone, which: usize, amount: u32) -> Option<Command> {
    let book = &phone.book;
    let line = || nth(book.jobs.jobs().flat_map(|job| job.lines.iter().copied()), which);
    let fate = nth(Fate::ALL.into_iter(), which);
    let what = Document::DayBundle { day: phone.now.day(), table: false };
    let file = BlobId::of(&[which as u8]);
    Some(match which % 7 {
        0 => Command::FailPart { line: line()?, part: part("seal", fate.filter(|_| amount > 2), "shelf") },
        1 => {
            let failed = nth(book.claims.failed_on(line()?).map(|it| it.id), which)?;
            Command::AmendFailed { failed, part: part("bearing", fate, "") }
        }
        2 => Command::SayShows {
            photo: nth(book.evidence.photos().map(|it| it.id), which)?,
            shows: nth(Shows::ALL.into_iter(), amount as usize),
        },
        3 => Command::StageReading {
            reading: nth(book.readings.readings().map(|it| it.id), which)?,
            stage: nth(Stage::ALL.into_iter(), amount as usize),
        },
        4 => Command::HandOver { what, way: Way::Downloaded, file },
        5 => Command::Withdraw { event: nth(book.handovers.made().map(|it| it.id), which)? },
        _ => Command::NoteMade { what, file },
    })
}

/// Any event about claims and documents.
pub(crate) fn event() -> BoxedStrategy<Event> {
    let fate = || prop::option::of(prop::sample::select(Fate::ALL.to_vec()));
    let part = || {
        (label(), label(), label(), fate(), label())
            .prop_map(|(what, number, tag, fate, place)| Box::new(FailedPart { what, number, tag, fate, place }))
    };
    let shows = prop::option::of(prop::sample::select(Shows::ALL.to_vec()));
    let stage = prop::option::of(prop::sample::select(Stage::ALL.to_vec()));
    prop_oneof![
        (id(), part()).prop_map(|(line, part)| Event::PartFailed { line: LineId(line), part }),
        (id(), part()).prop_map(|(failed, part)| Event::FailedPartAmended { failed: FailedId(failed), part }),
        (id(), shows).prop_map(|(photo, shows)| Event::PhotoShows { photo: PhotoId(photo), shows }),
        (id(), stage).prop_map(|(reading, stage)| Event::ReadingStaged { reading: ReadingId(reading), stage }),
        (id(), any::<u64>()).prop_map(|(line, file)| Event::DocumentMade {
            what: Document::WarrantyPack { line: LineId(line) },
            file: BlobId::of(&file.to_be_bytes()),
        }),
    ]
    .boxed()
}

fn claimed_job(phone: &mut Phone) -> (JobId, LineId) {
    let (job, line) = phone.job("Marsh Heron", "A. Finch", "Sea-water pump", "Weeps at the shaft");
    phone.must(Command::SetPay { line, pay: PayType::Warranty });
    (job, line)
}

fn lacking(phone: &Phone, job: JobId) -> String {
    claim_lacks(&phone.book, job, phone.now).concat()
}

#[test]
fn each_missing_piece_of_a_claim_is_named_until_none_is_missing() {
    let mut phone = Phone::new(7, "2026-05-04T08:00:00+01:00");
    let (job, line) = claimed_job(&mut phone);
    assert_eq!(
        lacking(&phone, job),
        "The warranty pack (Weeps at the shaft) is not whole: no cause, no correction, no engine named, no hull number (HIN), \
         no failed part, no reading from before, no reading from after, no photo of the serial plate, no photo of the \
         failure, no time on the line."
    );
    let boat = phone.book.jobs.job(job).unwrap().boat;
    phone.tell(line, StoryPart::Cause, "Seal lip worn");
    phone.tell(line, StoryPart::Correction, "New seal");
    let name = Label::new("Marsh Heron");
    let hin = Label::new("ABC12345L495");
    phone.must(Command::AmendBoat { boat, facts: BoatFacts { name, hin, ..BoatFacts::default() } });
    let facts = EngineFacts { serial: Label::new("D4-2291"), ..EngineFacts::default() };
    let hours = Some(EngineHours { tenths: 24_065 });
    phone.must(Command::AddEngine { boat, facts, hours });
    let failed = FailedId(phone.must(Command::FailPart { line, part: part("Shaft seal", None, "") }));
    phone.clock("2026-05-04T09:00:00+01:00", Activity::Labour, On::Line(line));
    phone.stop("2026-05-04T10:00:00+01:00");
    let mut measured = |stage| {
        let reading = Box::new(every_answer(Kind::BatteryAtRest, "12.4", 1));
        let taken_for = TakenFor { job: Some(job), engine: None, step: None };
        let reading = ReadingId(phone.must(Command::TakeReading { taken_for, reading }));
        phone.must(Command::StageReading { reading, stage: Some(stage) });
    };
    Stage::ALL.into_iter().for_each(&mut measured);
    for shows in [Shows::SerialPlate, Shows::Failure] {
        phone.photo(About::Job(job), &jpeg(shows.words()), "");
        let photo = phone.book.evidence.photos().last().unwrap().id;
        phone.must(Command::SayShows { photo, shows: Some(shows) });
    }
    let words = "The warranty pack (Weeps at the shaft) is not whole: ";
    assert_eq!(lacking(&phone, job), format!("{words}not said what became of the failed part (Shaft seal)."));
    phone.must(Command::AmendFailed { failed, part: part("Shaft seal", Some(Fate::Kept), "") });
    assert_eq!(lacking(&phone, job), format!("{words}not said where the failed part is (Shaft seal)."));
    phone.must(Command::AmendFailed { failed, part: part("Shaft seal", Some(Fate::Kept), "shelf 3") });
    assert_eq!(lacking(&phone, job), "");
    let sheet = warranty_sheet(&phone.book, line, phone.now, LogHead::from(&phone.tip)).unwrap();
    assert_eq!((sheet.lacks.len(), sheet.clock().clock_face().as_str()), (0, "1:00"));
    let proofs: Vec<Option<Shows>> = sheet.photos.iter().map(|photo| photo.shows).collect();
    assert_eq!(proofs, [Some(Shows::SerialPlate), Some(Shows::Failure)]);
    // An hour meter that was read before the job came says nothing of it.
    phone.must(Command::Withdraw { event: failed.0 });
    assert_eq!(lacking(&phone, job), format!("{words}no failed part."));
    phone.must(Command::SetPay { line, pay: PayType::CustomerPay });
    assert_eq!(lacking(&phone, job), "");
    assert_eq!(warranty_sheet(&phone.book, line, phone.now, LogHead::from(&phone.tip)), None);
}

#[test]
fn the_hour_meter_counts_only_when_it_was_read_for_the_job() {
    let mut phone = Phone::new(7, "2026-05-04T08:00:00+01:00");
    let (_, line) = phone.job("Marsh Heron", "A. Finch", "Pump", "Weeps");
    let boat = phone.book.jobs.job(phone.book.jobs.line(line).unwrap().job).unwrap().boat;
    let hours = Some(EngineHours { tenths: 24_065 });
    let engine = phone.must(Command::AddEngine { boat, facts: EngineFacts::default(), hours });
    let engine = EngineId(engine);
    phone.is("2026-05-05T08:00:00+01:00");
    let new = NewJob {
        boat: BoatChoice::Known(boat),
        engine: Some(engine),
        title: Label::new("Pump again"),
        pay: PayType::Warranty,
        complaint: Prose::new("Weeps again"),
        tags: Tags::default(),
        start: None,
    };
    let job = JobId(phone.must(Command::OpenJob(new)));
    assert!(lacking(&phone, job).contains("engine hours not read for this job"));
    phone.must(Command::ReadHours { engine, hours: EngineHours { tenths: 24_081 }, sure: false });
    assert!(!lacking(&phone, job).contains("engine hours"));
}

#[test]
fn a_correction_of_a_told_day_makes_the_jobs_second_revision_and_a_further_day_does_not() {
    let mut phone = Phone::new(7, "2026-05-04T08:00:00+01:00");
    let (job, line) = phone.job("Marsh Heron", "A. Finch", "Pump", "Weeps");
    let (_, other) = phone.job("Grey Seal", "T. Crake", "Pump", "Water");
    let revision = |phone: &Phone| {
        let summary = job_summary(&phone.book, job, phone.now, LogHead::from(&phone.tip)).unwrap();
        let changes = summary.revision.amends.into_iter().flat_map(|it| it.changes);
        (summary.revision.number, changes.map(|it| it.words()).collect::<Vec<_>>())
    };
    let told = |phone: &mut Phone, day: &str, file: &[u8]| {
        let what = Document::DayBundle { day: Day::parse(day).unwrap(), table: false };
        phone.must(Command::HandOver { what, way: Way::Shared, file: BlobId::of(file) });
    };
    phone.clock("2026-05-04T09:00:00+01:00", Activity::Labour, On::Line(line));
    phone.stop("2026-05-04T11:00:00+01:00");
    assert_eq!(revision(&phone), (1, Vec::new()));
    told(&mut phone, "2026-05-04", b"monday");
    phone.clock("2026-05-05T09:00:00+01:00", Activity::Labour, On::Line(line));
    phone.stop("2026-05-05T09:30:00+01:00");
    told(&mut phone, "2026-05-05", b"tuesday");
    assert_eq!(revision(&phone), (1, Vec::new()));
    let mend = |doing, from: &str, to: &str| {
        let reason = Label::default();
        Command::Mend(Mend { from: at(from), to: at(to), doing, reason })
    };
    let on = |line| Doing::At { activity: Activity::Labour, on: On::Line(line) };
    phone.must(mend(on(line), "2026-05-04T11:00:00+01:00", "2026-05-04T12:00:00+01:00"));
    let longer = "2026-05-04, Marsh Heron, Pump: labour 2:00 is now 3:00".to_owned();
    assert_eq!(revision(&phone), (2, vec![longer.clone()]));
    told(&mut phone, "2026-05-04", b"monday again");
    assert_eq!(revision(&phone), (2, vec![longer.clone()]));
    // Another boat's time of that day is none of this job's.
    phone.must(mend(on(other), "2026-05-04T13:00:00+01:00", "2026-05-04T14:00:00+01:00"));
    told(&mut phone, "2026-05-04", b"monday a third time");
    assert_eq!(revision(&phone), (2, vec![longer]));
    phone.must(mend(Doing::Off, "2026-05-05T09:00:00+01:00", "2026-05-05T09:30:00+01:00"));
    let gone = "2026-05-05, Marsh Heron, Pump: labour 0:30 is now 0:00".to_owned();
    assert_eq!(revision(&phone), (3, vec![gone]));
}

#[test]
fn what_was_made_waits_until_it_leaves_or_is_let_go() {
    let mut phone = Phone::new(7, "2026-05-04T08:00:00+01:00");
    let day = phone.now.day();
    let what = Document::DayBundle { day, table: false };
    let stands = |phone: &Phone| -> Vec<String> {
        papers(&phone.book, phone.now).into_iter().map(|row| format!("{}: {}", row.what, row.how)).collect()
    };
    assert_eq!((stands(&phone), still_to_leave(&phone.book, phone.now)), (Vec::new(), None));
    let file = BlobId::of(b"day");
    phone.must(Command::NoteMade { what, file });
    assert_eq!(stands(&phone), ["The day's file of Monday 4 May: made 08:00; it has not left"]);
    let words = "Has not left yet: The day's file of Monday 4 May.".to_owned();
    assert_eq!(still_to_leave(&phone.book, phone.now), Some(words));
    // Made anew it is still one document that waits.
    phone.is("2026-05-04T08:30:00+01:00");
    let anew = phone.must(Command::NoteMade { what, file: BlobId::of(b"day, made anew") });
    assert_eq!(stands(&phone), ["The day's file of Monday 4 May: made 08:30; it has not left"]);
    phone.must(Command::Withdraw { event: anew });
    assert_eq!(still_to_leave(&phone.book, phone.now), None);
    phone.must(Command::Withdraw { event: phone.log.in_order().last().unwrap().record.id });
    phone.must(Command::HandOver { what, way: Way::Downloaded, file: BlobId::of(b"day, made anew") });
    assert_eq!(
        stands(&phone),
        ["The day's file of Monday 4 May: saved as a file 08:30; whether it went on is not known here"]
    );
    assert_eq!(still_to_leave(&phone.book, phone.now), None);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    /// Nothing is shown as gone that the log does not say has gone, and nothing is lost sight of.
    #[test]
    fn only_what_left_is_shown_as_gone(steps in prop::collection::vec((0..3_u8, 0..4_u8, 0..4_u8), 0..24)) {
        let mut phone = Phone::new(7, "2026-05-04T08:00:00+01:00");
        let (mut made, mut left) = (Vec::new(), Vec::new());
        for (step, thing, file) in steps {
            phone.now = Moment::new(phone.now.utc_ms() + 1_000, 60).unwrap();
            let what = Document::OwnerSummary { job: JobId(EventId { device: phone.tip.device, seq: u64::from(thing) + 1 }) };
            let file = BlobId::of(&[thing, file]);
            let last_made = phone.book.handovers.made().next_back().map(|it| it.id);
            match (step, made.last().copied(), last_made) {
                (0, ..) => {
                    phone.say(Event::DocumentMade { what, file });
                    made.push((what, file));
                }
                (1, Some((what, file)), _) => {
                    phone.say(Event::HandedOver { what, way: Way::Shared, file });
                    left.push((what, file));
                }
                // What is refused did not happen.
                (2, _, Some(event)) => drop(phone.ask(Command::Withdraw { event })),
                _ => {}
            }
        }
        let rows = papers(&phone.book, phone.now);
        prop_assert_eq!(rows.iter().filter(|row| row.waits.is_none()).count(), left.len().min(20));
        for row in rows.iter().filter_map(|row| row.waits) {
            let waiting = phone.book.handovers.made().find(|it| it.id == row).unwrap();
            prop_assert!(!waiting.withdrawn && !left.contains(&(waiting.what, waiting.file)));
        }
        // The last of a thing waits unless it left or was let go.
        for &(what, file) in made.iter().rev() {
            let last = phone.book.handovers.made().rev().find(|it| it.what == what).unwrap();
            if last.file == file && !last.withdrawn && !left.iter().any(|it| it.0 == what) {
                prop_assert!(rows.iter().any(|row| row.waits == Some(last.id)));
            }
        }
    }
}
