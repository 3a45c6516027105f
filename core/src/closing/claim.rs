//! What a claim for warranty on a job's line still lacks.
//!
//! A claim is refused months later for what could have been written down or
//! photographed in a minute, so each missing piece is named while the technician
//! stands at the engine. It stops nobody: a pump has no hour meter, and some work
//! can be measured only afterwards.
//!
//! Rule: what claims commonly ask for (common practice, no maker's form): the whole
//! story, serial number, engine hours read on or after the day on which the job was
//! opened, hull number, the part that failed and what became of it, a reading from
//! before and one from after, photos of the serial plate and of the failure, and time.

use std::fmt;

use super::{Missing, named};
use crate::book::Book;
use crate::book::jobs::{Job, JobLine};
use crate::book::ledger::Span;
use crate::event::{FailedPart, Fate, PayType, Shows, Stage, StoryPart};
use crate::id::LineId;
use crate::moment::Moment;
use crate::text::Label;

/// A piece that a claim lacks; its `Display` says so in a few words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Lack {
    /// A part of the story.
    Story(StoryPart),
    /// Which engine it is on.
    Engine,
    /// The engine's serial number.
    Serial,
    /// Engine hours of this job.
    Hours,
    /// The hull identification number.
    HullNumber,
    /// The part that failed.
    FailedPart,
    /// What became of a part that failed.
    Fate(Label),
    /// Where a part that failed is.
    Place(Label),
    /// A reading.
    Reading(Stage),
    /// A photo.
    Photo(Shows),
    /// Time on the line.
    Time,
}

impl fmt::Display for Lack {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Story(part) => write!(f, "no {}", part.words()),
            Self::Engine => f.write_str("no engine named"),
            Self::Serial => f.write_str("no serial number of the engine"),
            Self::Hours => f.write_str("engine hours not read for this job"),
            Self::HullNumber => f.write_str("no hull number (HIN)"),
            Self::FailedPart => f.write_str("no failed part"),
            Self::Fate(what) => write!(f, "not said what became of the failed part ({what})"),
            Self::Place(what) => write!(f, "not said where the failed part is ({what})"),
            Self::Reading(stage) => write!(f, "no reading from {}", stage.words()),
            Self::Photo(shows) => write!(f, "no photo of the {}", shows.words()),
            Self::Time => f.write_str("no time on the line"),
        }
    }
}

/// Returns what a claim on a line lacks at `now`; nothing for a line that is no warranty.
pub fn lacks(book: &Book, line: LineId, now: Moment) -> Vec<Lack> {
    let of = || {
        let line = book.jobs.line(line).filter(|it| it.pay == PayType::Warranty && !it.withdrawn)?;
        Some((line, book.jobs.job(line.job)?))
    };
    let Some((line, job)) = of() else { return Vec::new() };
    let mut lacks: Vec<Lack> =
        StoryPart::ALL.into_iter().filter(|&part| line.story(part).is_empty()).map(Lack::Story).collect();
    lacks.extend(of_machine(book, job));
    lacks.extend(of_parts(book, line));
    lacks.extend(of_evidence(book, job));
    // Looked for from a month before the job was opened: its time may have been put right backwards.
    let since = job.opened.day().plus(-31).unwrap_or(job.opened.day());
    let on_line = |span: &Span| book.line_of(span.on).is_some_and(|it| it.id == line.id);
    let has_time = book.ledger.spans_since(since, now).iter().any(on_line);
    lacks.extend((!has_time).then_some(Lack::Time));
    lacks
}

fn of_machine(book: &Book, job: &Job) -> Vec<Lack> {
    let mut lacks = Vec::new();
    match book.engine_of(job) {
        None => lacks.push(Lack::Engine),
        Some(engine) => {
            lacks.extend(engine.facts.serial.is_empty().then_some(Lack::Serial));
            let of_job = |&(at, _): &(Moment, _)| at.day() >= job.opened.day();
            lacks.extend((!engine.hours.last().is_some_and(of_job)).then_some(Lack::Hours));
        }
    }
    let unnumbered = book.fleet.boat(job.boat).is_none_or(|boat| boat.facts.hin.is_empty());
    lacks.extend(unnumbered.then_some(Lack::HullNumber));
    lacks
}

fn of_parts(book: &Book, line: &JobLine) -> Vec<Lack> {
    let failed: Vec<&FailedPart> = book.claims.failed_on(line.id).map(|it| &it.part).collect();
    if failed.is_empty() {
        return vec![Lack::FailedPart];
    }
    let lack = |part: &FailedPart| match part.fate {
        None => Some(Lack::Fate(part.what.clone())),
        Some(Fate::Kept | Fate::Returned) if part.place.is_empty() => Some(Lack::Place(part.what.clone())),
        Some(_) => None,
    };
    failed.into_iter().filter_map(lack).collect()
}

fn of_evidence(book: &Book, job: &Job) -> impl Iterator<Item = Lack> {
    let readings = book.readings.readings().filter(|it| book.readings.job_of(it) == Some(job.id));
    let staged: Vec<Option<Stage>> = readings.map(|it| it.stage).collect();
    let photos = book.evidence.photos().filter(|it| book.job_about(it.about) == Some(job.id));
    let shown: Vec<Option<Shows>> = photos.map(|it| it.shows).collect();
    let stages = Stage::ALL.into_iter().filter(move |&stage| !staged.contains(&Some(stage))).map(Lack::Reading);
    let proofs = [Shows::SerialPlate, Shows::Failure].into_iter();
    stages.chain(proofs.filter(move |&it| !shown.contains(&Some(it))).map(Lack::Photo))
}

/// Returns what the claims of a job lack beside their stories, which are told for every line;
/// `is_told` says which of its lines are told of.
pub(super) fn missing(book: &Book, job: &Job, now: Moment, is_told: impl Fn(&JobLine) -> bool) -> Vec<Missing> {
    let several = book.jobs.lines_of(job.id).nth(1).is_some();
    let told = (1..).zip(book.jobs.lines_of(job.id)).filter(|(_, line)| is_told(line));
    let missing = told.filter_map(|(number, line)| {
        let lacks = lacks(book, line.id, now).into_iter().filter(|lack| !matches!(lack, Lack::Story(_)));
        let lacks: Vec<Lack> = lacks.collect();
        let number = several.then_some(number);
        (!lacks.is_empty()).then(|| Missing::Claim { job: job.id, at: named(book, job), line: line.id, number, lacks })
    });
    missing.collect()
}
