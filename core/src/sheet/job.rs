//! A whole job for the office: all its days in one.
//!
//! The day sheet tells a day of each job; this tells each day of a job, which is
//! what an invoice or a claim is written from. It is read from the book as it
//! stands, so the office can tell by each day's revision whether it has what was
//! billed before.
//!
//! Rule: a job's first revision is what the files of its days told of it when each
//! left first. Its next revision begins when a day that was told is another, as far as
//! the job's time and what was noted of it on that day are concerned; a day that is told for
//! the first time only adds to it, and so do its story and what is agreed, which grow with
//! each day. So two revisions differ by corrections, and each lists them.
//!
//! What the book knows by itself of revisions, of a day's and a job's, goes by times alone; a
//! document puts in its place what the whole log knows ([`super::revised`]).

use std::collections::{BTreeMap, BTreeSet};

use super::amended::{Change, changes, revision};
use super::billed::job_hours;
use super::differs::Difference;
use super::{JobSheet, LogHead, Within, job_sheet};
use crate::book::Book;
use crate::book::handover::{DayTold, Told};
use crate::book::ledger::Span;
use crate::id::JobId;
use crate::moment::{Day, Length, Moment};
use crate::text::Label;
use crate::view::hour_minute;

/// What a job comes to over all its days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobSummary {
    /// The technician's name.
    pub technician: Label,
    /// The shop's name.
    pub shop: Label,
    /// The job, with all its time, parts, notes and photos.
    pub job: JobSheet,
    /// Which revision of the job this is.
    pub revision: JobRevision,
    /// Each of its days with time on it, earliest first.
    pub days: Vec<JobDay>,
    /// Where in the log this was read.
    pub log: LogHead,
}

/// Which revision of a job something is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobRevision {
    /// From 1 on.
    pub number: usize,
    /// What it amends; nothing for the first.
    pub amends: Option<JobAmended>,
}

/// The revision of a job before, and what is different now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobAmended {
    /// When the last of what it amends was handed over.
    pub handed_over: Moment,
    /// What is different, day by day.
    pub changes: Vec<JobChange>,
    /// What else is different, day by day.
    pub also: Vec<JobDifference>,
}

impl JobAmended {
    /// Returns what is different, in words, a line each.
    pub fn words(&self) -> Vec<String> {
        self.changes.iter().map(JobChange::words).chain(self.also.iter().map(JobDifference::words)).collect()
    }
}

/// Something noted of a job on a day that is told otherwise than it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobDifference {
    /// The local day.
    pub day: Day,
    /// What is different.
    pub difference: Difference,
}

impl JobDifference {
    /// Returns the difference in one line.
    pub fn words(&self) -> String {
        format!("{}, {}", self.day, self.difference.words())
    }
}

/// Time of a job that is another than it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobChange {
    /// The local day.
    pub day: Day,
    /// What is different.
    pub change: Change,
}

impl JobRevision {
    /// Returns what it amends, in words; nothing for the first.
    pub fn words(&self) -> Option<String> {
        let at = self.amends.as_ref()?.handed_over;
        Some(format!("{}, amends what was handed over {}, {}", self.number, at.day(), hour_minute(at)))
    }
}

impl JobChange {
    /// Returns the change in one line; begun minutes are cut.
    pub fn words(&self) -> String {
        format!("{}, {}", self.day, self.change.words())
    }
}

/// A day of a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct JobDay {
    /// The local day.
    pub day: Day,
    /// The clock's time on the job.
    pub clock: Length,
    /// Which revision of the whole day this is, from 1 on; the book's, unless a document says otherwise.
    pub revision: usize,
}

/// Returns what a job comes to at `now`; nothing for a job that is not in the
/// book. `log` says from which end of the log.
pub fn job_summary(book: &Book, job: JobId, now: Moment, log: LogHead) -> Option<JobSummary> {
    let revision_of_job = job_revision(book, job, now);
    let job = whole_job(book, job, now)?;
    let day = |&(day, clock)| JobDay { day, clock, revision: revision(book, day, now).number };
    let days = job.hours.days.iter().map(day).collect();
    let (technician, shop) = (book.technician.name.clone(), book.technician.shop.clone());
    Some(JobSummary { technician, shop, job, revision: revision_of_job, days, log })
}

/// Returns what a job comes to over all its days at `now`; nothing for a job that is not in the book.
pub fn whole_job(book: &Book, job: JobId, now: Moment) -> Option<JobSheet> {
    let hours = job_hours(book, &[job], now).pop()?;
    let work: Vec<Span> = book.ledger.spans(now).into_iter().filter(|span| !span.activity.is_pause()).collect();
    job_sheet(book, hours, Within::AllDays, &work, now)
}

/// Returns what of a job's time on a day is another after than before.
pub(super) fn times_of(book: &Book, job: JobId, day: Day, before: &[Told], after: &[Told]) -> Vec<JobChange> {
    let mine = |times: &[Told]| -> Vec<Told> {
        times.iter().filter(|told| book.job_of(told.on) == Some(job)).copied().collect()
    };
    changes(book, &mine(before), &mine(after)).into_iter().map(|change| JobChange { day, change }).collect()
}

/// Returns the days of which anything was told or noted of a job: its time, parts, readings, notes, photos.
pub fn days_of(book: &Book, job: JobId, now: Moment) -> BTreeSet<Day> {
    let of_job = |about| book.job_about(about) == Some(job);
    let told = book.handovers.days_told().filter(|told| told.times.iter().any(|it| book.job_of(it.on) == Some(job)));
    let worked = job_hours(book, &[job], now).into_iter().flat_map(|hours| hours.days).map(|(day, _)| day);
    let parts = book.parts.parts_of(job).map(|part| part.at.day());
    let readings = book.readings.readings().filter(|it| book.readings.job_of(it) == Some(job)).map(|it| it.at.day());
    let notes = book.evidence.notes().filter(|note| of_job(note.about)).map(|note| note.at.day());
    let photos = book.evidence.photos().filter(|photo| of_job(photo.about)).map(|photo| photo.at.day());
    told.map(|told| told.day).chain(worked).chain(parts).chain(readings).chain(notes).chain(photos).collect()
}

/// Returns which revision of a job the book holds at `now`, by times alone.
pub fn job_revision(book: &Book, job: JobId, now: Moment) -> JobRevision {
    let differ = |day: Day, before: &[Told], after: &[Told]| times_of(book, job, day, before, after);
    let (mut number, mut amends) = (1, None);
    let mut last: BTreeMap<Day, &DayTold> = BTreeMap::new();
    for told in book.handovers.days_told() {
        let changes = last.get(&told.day).map(|before| (before.at, differ(told.day, &before.times, &told.times)));
        if let Some((handed_over, changes)) = changes.filter(|(_, changes)| !changes.is_empty()) {
            number += 1;
            amends = Some(JobAmended { handed_over, changes, also: Vec::new() });
        }
        last.insert(told.day, told);
    }
    let days: Vec<Day> = last.keys().copied().collect();
    let mut open: Vec<(Moment, JobChange)> = Vec::new();
    for (day, times) in book.times_of_days(&days, now) {
        if let Some(told) = last.get(&day) {
            open.extend(differ(day, &told.times, &times).into_iter().map(|change| (told.at, change)));
        }
    }
    if let Some(handed_over) = open.iter().map(|(at, _)| *at).max() {
        number += 1;
        let changes = open.into_iter().map(|(_, change)| change).collect();
        amends = Some(JobAmended { handed_over, changes, also: Vec::new() });
    }
    JobRevision { number, amends }
}
