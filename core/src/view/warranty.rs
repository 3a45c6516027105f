//! What a job's page shows of its claims for warranty.

use super::job::{PhotoCard, photo_card};
use super::{reading_title, when};
use crate::book::Book;
use crate::book::readings::Reading;
use crate::closing::claim::lacks;
use crate::event::{FailedPart, PayType, Shows, Stage};
use crate::id::{FailedId, JobId, LineId, ReadingId};
use crate::moment::{Day, Moment};
use crate::sheet::warranty::failed_words;

/// The claims of a job, and what there is to point at for them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Claims {
    /// The lines that are claimed.
    pub lines: Vec<ClaimCard>,
    /// The job's photos.
    pub photos: Vec<ProofRow>,
    /// The job's readings.
    pub readings: Vec<StageRow>,
}

/// A line of a job that is claimed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClaimCard {
    /// The line.
    pub line: LineId,
    /// What it is called: its number where the job has several, and its complaint.
    pub name: String,
    /// What the claim lacks, a few words each.
    pub lacks: Vec<String>,
    /// The parts that failed.
    pub failed: Vec<FailedRow>,
}

/// A part that failed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FailedRow {
    /// The part.
    pub id: FailedId,
    /// What is known of it.
    pub part: FailedPart,
    /// The same in one line.
    pub words: String,
}

/// A photo of the job and what it proves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProofRow {
    /// The photo.
    pub photo: PhotoCard,
    /// What it proves.
    pub shows: Option<Shows>,
}

/// A reading of the job and when it was taken, as seen from the repair.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StageRow {
    /// The reading.
    pub reading: ReadingId,
    /// What was measured, and when.
    pub words: String,
    /// Before the repair or after it.
    pub stage: Option<Stage>,
}

/// Returns the claimed lines of a job, with its photos and readings to be pointed at;
/// nothing where no line of the job is claimed.
pub fn claims(book: &Book, job: JobId, now: Moment) -> Claims {
    let lines = claimed(book, job).map(|(number, line)| ClaimCard {
        line,
        name: name(book, job, number, line),
        lacks: lacks(book, line, now).iter().map(ToString::to_string).collect(),
        failed: book.claims.failed_on(line).map(failed_row).collect(),
    });
    let lines: Vec<ClaimCard> = lines.collect();
    if lines.is_empty() {
        return Claims::default();
    }
    let photos = book.evidence.photos().filter(|photo| book.job_about(photo.about) == Some(job));
    let photos = photos.map(|photo| ProofRow { photo: photo_card(book, photo), shows: photo.shows }).collect();
    let readings = book.readings.readings().filter(|it| book.readings.job_of(it) == Some(job));
    Claims { lines, photos, readings: readings.map(|reading| stage_row(reading, now.day())).collect() }
}

/// Says what the claims of a job lack, a sentence each; nothing where none lacks anything.
pub fn claim_lacks(book: &Book, job: JobId, now: Moment) -> Vec<String> {
    let told = claimed(book, job).filter_map(|(number, line)| {
        let words: Vec<String> = lacks(book, line, now).iter().map(ToString::to_string).collect();
        let name = name(book, job, number, line);
        (!words.is_empty()).then(|| format!("The warranty pack ({name}) is not whole: {}.", words.join(", ")))
    });
    told.collect()
}

fn claimed(book: &Book, job: JobId) -> impl Iterator<Item = (usize, LineId)> {
    let lines = (1..).zip(book.jobs.lines_of(job));
    lines.filter(|(_, line)| line.pay == PayType::Warranty).map(|(number, line)| (number, line.id))
}

fn name(book: &Book, job: JobId, number: usize, line: LineId) -> String {
    let complaint = book.jobs.line(line).map(|line| line.complaint.as_str()).unwrap_or_default();
    let complaint: String = complaint.lines().next().unwrap_or_default().chars().take(60).collect();
    let complaint = if complaint.is_empty() { "no complaint written".to_owned() } else { complaint };
    let several = book.jobs.lines_of(job).nth(1).is_some();
    if several { format!("line {number}: {complaint}") } else { complaint }
}

fn failed_row(failed: &crate::book::claims::Failed) -> FailedRow {
    FailedRow { id: failed.id, part: failed.part.clone(), words: failed_words(&failed.part) }
}

fn stage_row(reading: &Reading, today: Day) -> StageRow {
    let words = format!("{}, {}", reading_title(reading), when(reading.at, today));
    StageRow { reading: reading.id, words, stage: reading.stage }
}
