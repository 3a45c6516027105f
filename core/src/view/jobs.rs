//! Lists of jobs: open, finished, and those whose owner may want a summary.
//!
//! The order of the open ones looks back a few days only, so that a tap costs
//! the same after years of work.

use crate::book::Book;
use crate::book::jobs::Job;
use crate::book::named::Named;
use crate::closing::jobs_of_day;
use crate::id::JobId;
use crate::moment::{Day, Length, Moment};
use crate::order;
use crate::text::Label;

use super::off::how_it_stands;
use super::words::boat_name;

/// One row of the list of jobs.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct JobRow {
    /// The job.
    pub id: JobId,
    /// The boat's name.
    pub boat: String,
    /// What it is.
    pub title: String,
    /// Whether it is finished.
    pub finished: bool,
    /// Whether the clock runs on it.
    pub running: bool,
    /// How many single things are still off.
    pub off: u32,
    /// How it stands when it is half together, in a few sentences.
    pub stands: Vec<String>,
    /// Time on it today.
    pub today: Length,
}

/// How many tags are offered.
const MOST_TAGS: usize = 12;

/// How far back the order of the jobs looks for work done on them.
pub(super) const RECENT_DAYS: i64 = 14;

/// Returns the open jobs, those worked on last first.
pub fn open_jobs(book: &Book, now: Moment) -> Vec<JobRow> {
    let recent = now.day().plus(-RECENT_DAYS).unwrap_or(now.day());
    let mut last_worked: Named<Moment> = Named::default();
    for span in book.ledger.spans_since(recent, now) {
        if let Some(job) = book.job_of(span.on) {
            last_worked.put(job.0, span.to);
        }
    }
    let today = today_by_job(book, now);
    let jobs: Vec<&Job> = book.jobs.jobs().filter(|job| job.finished.is_none()).collect();
    let jobs = order::last_first(jobs, |job| last_worked.get(job.id.0).copied().unwrap_or(job.opened));
    jobs.into_iter().map(|job| job_row(book, job, &today)).collect()
}

/// Returns the finished jobs, those finished last first.
pub fn finished_jobs(book: &Book, now: Moment) -> Vec<JobRow> {
    let today = today_by_job(book, now);
    let jobs: Vec<&Job> = book.jobs.jobs().filter(|job| job.finished.is_some()).collect();
    let jobs = order::last_first(jobs, |job| job.finished);
    jobs.into_iter().map(|job| job_row(book, job, &today)).collect()
}

/// Returns the jobs whose owner may want a summary: those of the day first,
/// then the other open ones.
pub fn jobs_for_summary(book: &Book, day: Day, now: Moment) -> Vec<JobRow> {
    let of_day = jobs_of_day(book, day, now);
    let today = today_by_job(book, now);
    let first = of_day.iter().filter_map(|&job| book.jobs.job(job));
    let mut rows: Vec<JobRow> = first.map(|job| job_row(book, job, &today)).collect();
    rows.extend(open_jobs(book, now).into_iter().filter(|row| !of_day.contains(&row.id)));
    rows
}

/// Returns the tags in the book, those given most often first.
pub fn known_tags(book: &Book) -> Vec<String> {
    let mut counts: Vec<(&Label, usize)> = Vec::new();
    for tag in book.jobs.jobs().flat_map(|job| job.tags.words()) {
        match counts.iter_mut().find(|(known, _)| *known == tag) {
            Some((_, count)) => *count += 1,
            None => counts.push((tag, 1)),
        }
    }
    order::last_first(counts, |&(_, count)| count).into_iter().map(|(tag, _)| tag.to_string()).take(MOST_TAGS).collect()
}

pub(super) fn today_by_job(book: &Book, now: Moment) -> Named<Length> {
    let mut today: Named<Length> = Named::default();
    for span in book.ledger.spans_of(now.day(), now) {
        if let Some(job) = book.job_of(span.on) {
            let sum = today.of(job.0);
            *sum = *sum + span.length();
        }
    }
    today
}

pub(super) fn job_row(book: &Book, job: &Job, today: &Named<Length>) -> JobRow {
    JobRow {
        id: job.id,
        boat: boat_name(book, job.boat),
        title: job.title.to_string(),
        finished: job.finished.is_some(),
        running: book.ledger.running().is_some_and(|span| book.job_of(span.on) == Some(job.id)),
        off: book.teardown.still_off(job.id).map(|item| item.still_off().0).sum(),
        stands: if job.finished.is_some() { Vec::new() } else { how_it_stands(book, job.id) },
        today: today.get(job.id.0).copied().unwrap_or_default(),
    }
}
