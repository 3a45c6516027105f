//! A whole job for the office: all its days in one.
//!
//! The day sheet tells a day of each job; this tells each day of a job, which is
//! what an invoice or a claim is written from. It is read from the book as it
//! stands, so the office can tell by each day's revision whether it has what was
//! billed before.

use super::amended::revision;
use super::billed::job_hours;
use super::{JobSheet, LogHead, Within, job_sheet};
use crate::book::Book;
use crate::book::ledger::Span;
use crate::id::JobId;
use crate::moment::{Day, Length, Moment};
use crate::text::Label;

/// What a job comes to over all its days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobSummary {
    /// The technician's name.
    pub technician: Label,
    /// The shop's name.
    pub shop: Label,
    /// The job, with all its time, parts, notes and photos.
    pub job: JobSheet,
    /// Each of its days with time on it, earliest first.
    pub days: Vec<JobDay>,
    /// Where in the log this was read.
    pub log: LogHead,
}

/// A day of a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct JobDay {
    /// The local day.
    pub day: Day,
    /// The clock's time on the job.
    pub clock: Length,
    /// Which revision of the whole day this is, from 1 on.
    pub revision: usize,
}

/// Returns what a job comes to at `now`; nothing for a job that is not in the
/// book. `log` says from which end of the log.
pub fn job_summary(book: &Book, job: JobId, now: Moment, log: LogHead) -> Option<JobSummary> {
    let hours = job_hours(book, &[job], now).pop()?;
    let day = |&(day, clock)| JobDay { day, clock, revision: revision(book, day, now).number };
    let days = hours.days.iter().map(day).collect();
    let work: Vec<Span> = book.ledger.spans(now).into_iter().filter(|span| !span.activity.is_pause()).collect();
    let job = job_sheet(book, hours, Within::AllDays, &work)?;
    Some(JobSummary { technician: book.technician.name.clone(), shop: book.technician.shop.clone(), job, days, log })
}
