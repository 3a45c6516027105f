//! What such a job took before, and what may be left of one that is half done.
//!
//! A job is such a job when it is finished and has all the tags. How long it took
//! is the clock's work on it. What is left is told by the pace of the job itself:
//! each step and each item that went back took the work on the job since the
//! thing that was done or taken off before it, whichever kind that was, so no
//! minute counts twice. See [`crate::hours::estimate`] for the figures.

use crate::book::Book;
use crate::book::ledger::Span;
use crate::book::named::Named;
use crate::event::Tags;
use crate::hours::estimate::{Past, Progress, Remaining, past, remaining};
use crate::id::JobId;
use crate::moment::{Length, Moment};
use crate::order;
use crate::quantity::Count;

/// Returns what is known of how long a job takes, each in words: such jobs before it, and what is left of it.
pub fn estimates(book: &Book, job: JobId, now: Moment) -> Vec<String> {
    let Some(found) = book.jobs.job(job) else { return Vec::new() };
    let took = such_jobs_took(book, &found.tags, Some(job), now);
    let took = took.unwrap_or_else(|| "Give the job tags at its story, to see what such jobs took.".to_owned());
    let left = left_to_do(book, job, now).filter(|_| found.finished.is_none());
    [took].into_iter().chain(left).collect()
}

/// Returns what finished jobs with all of these tags took, in words; nothing without a tag.
///
/// `but` is the job that one asks for.
pub fn such_jobs_took(book: &Book, tags: &Tags, but: Option<JobId>, now: Moment) -> Option<String> {
    let wanted = tags.words();
    if wanted.is_empty() {
        return None;
    }
    let such = |job: &&crate::book::jobs::Job| {
        job.finished.is_some() && Some(job.id) != but && wanted.iter().all(|tag| job.tags.words().contains(tag))
    };
    let jobs: Vec<JobId> = book.jobs.jobs().filter(such).map(|job| job.id).collect();
    let mut took: Named<Length> = Named::default();
    if !jobs.is_empty() {
        for span in book.ledger.spans(now) {
            if let Some(job) = book.job_of(span.on).filter(|job| jobs.contains(job)) {
                let sum = took.of(job.0);
                *sum = *sum + span.length();
            }
        }
    }
    Some(past_words(past(took.all().copied().filter(|&length| length > Length::ZERO).collect())))
}

fn past_words(past: Past) -> String {
    match past {
        Past::Few(each) if each.is_empty() => "No finished job has these tags yet.".to_owned(),
        Past::Few(each) => {
            let each: Vec<String> = each.into_iter().map(Length::clock_face).collect();
            let jobs = if each.len() == 1 { "1 such job" } else { &format!("{} such jobs", each.len()) };
            format!("{jobs} took {}. From five on there is a statistic.", each.join(", "))
        }
        Past::Usual { count, median, long } => format!(
            "{count} such jobs: half took at most {}, four of five at most {}.",
            median.clock_face(),
            long.clock_face()
        ),
    }
}

/// Returns what may be left of a job, in words; nothing where nothing on a list is open.
pub fn left_to_do(book: &Book, job: JobId, now: Moment) -> Option<String> {
    let [steps, items] = progress(book, job, now);
    let counts = [(steps.open, "step"), (items.open, "item")].into_iter().filter(|&(open, _)| open > 0);
    let open: Vec<String> =
        counts.map(|(open, of)| format!("{open} {of}{}", if open == 1 { "" } else { "s" })).collect();
    let open = open.join(" and ");
    match remaining([steps, items]) {
        Remaining::Nothing => None,
        left @ Remaining::CannotSay => Some(format!("Open: {open}. {}", left.reason().unwrap_or_default())),
        Remaining::Between { usual, long } => Some(format!(
            "Open: {open}. At the pace of this job {} to {} more; what is on no list is not in it.",
            usual.clock_face(),
            long.clock_face()
        )),
    }
}

/// What was done on a job at some moment.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Deed {
    Step,
    BackOn,
    TakenOff,
}

/// Returns how the job's steps and its items go on.
fn progress(book: &Book, job: JobId, now: Moment) -> [Progress; 2] {
    let (mut steps, mut items) = (Progress::default(), Progress::default());
    let mut deeds: Vec<(Moment, Deed)> = Vec::new();
    for step in book.steps.steps_of(job) {
        match step.done {
            Some(at) => deeds.push((at, Deed::Step)),
            None => steps.open += 1,
        }
    }
    for item in book.teardown.items_of(job) {
        deeds.push((item.off, Deed::TakenOff));
        let last = item.returns.iter().rfind(|back| !back.withdrawn);
        match last.filter(|_| item.still_off() == Count(0)) {
            Some(back) => deeds.push((back.at, Deed::BackOn)),
            None => items.open += 1,
        }
    }
    if deeds.is_empty() || steps.open + items.open == 0 {
        return [steps, items];
    }
    let spans: Vec<Span> =
        book.ledger.spans(now).into_iter().filter(|span| book.job_of(span.on) == Some(job)).collect();
    let mut since = spans.first().map_or(now, |span| span.from);
    for (at, deed) in order::by_key(deeds, |&(at, _)| at) {
        let took = work_between(&spans, since, at);
        match deed {
            Deed::Step => steps.done.push(took),
            Deed::BackOn => items.done.push(took),
            Deed::TakenOff => {}
        }
        since = at.max(since);
    }
    [steps, items]
}

/// Returns the work of some spans between two moments.
fn work_between(spans: &[Span], from: Moment, to: Moment) -> Length {
    let within = |span: &Span| span.to.min(to).since(span.from.max(from));
    spans.iter().filter_map(within).sum()
}

#[cfg(test)]
mod tests;
