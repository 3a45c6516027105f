//! A whole job for the office: all its days in one.
//!
//! The day sheet tells a day of each job; this tells each day of a job, which is
//! what an invoice or a claim is written from. It is read from the book as it
//! stands, so the office can tell by each day's revision whether it has what was
//! billed before.
//!
//! Rule: a job's first revision is what the files of its days told of it when each
//! left first. Its next revision begins when a day that was told is another, as far as
//! the job's time is concerned; a day that is told for the first time only adds to it. So
//! two revisions differ by corrections of times, and each lists them.
//!
//! The number of a day's revision is the book's, by times alone; a document of a day puts that
//! of the whole log in its place ([`super::revised`]).

use std::collections::BTreeMap;

use super::amended::{Change, changes, revision};
use super::billed::job_hours;
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

/// Returns which revision of a job the book holds at `now`.
pub fn job_revision(book: &Book, job: JobId, now: Moment) -> JobRevision {
    let mine = |times: &[Told]| times.iter().filter(|told| book.job_of(told.on) == Some(job)).copied().collect();
    let differ = |day: Day, before: &[Told], after: &[Told]| -> Vec<JobChange> {
        let (before, after): (Vec<Told>, Vec<Told>) = (mine(before), mine(after));
        changes(book, &before, &after).into_iter().map(|change| JobChange { day, change }).collect()
    };
    let (mut number, mut amends) = (1, None);
    let mut last: BTreeMap<Day, &DayTold> = BTreeMap::new();
    for told in book.handovers.days_told() {
        let changes = last.get(&told.day).map(|before| (before.at, differ(told.day, &before.times, &told.times)));
        if let Some((handed_over, changes)) = changes.filter(|(_, changes)| !changes.is_empty()) {
            number += 1;
            amends = Some(JobAmended { handed_over, changes });
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
        amends = Some(JobAmended { handed_over, changes: open.into_iter().map(|(_, change)| change).collect() });
    }
    JobRevision { number, amends }
}
