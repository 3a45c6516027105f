//! What of a job is not right yet: off, too many, unsure, not done, not tight.
//!
//! Each kind of wrong reassembly is one sentence. It is told when the job is called
//! finished, where it can still be put right, and again when the day is closed.

use super::{Missing, OffItem, loose, named};
use crate::book::Book;
use crate::book::jobs::Job;
use crate::book::teardown::Item;
use crate::id::JobId;
use crate::reassembly::tally::Balance;
use crate::view::{check_words, item_name};

/// Returns what of a job is not right yet.
pub fn not_right_of(book: &Book, job: JobId) -> Vec<Missing> {
    book.jobs.job(job).map(|job| not_right(book, job)).unwrap_or_default()
}

pub(super) fn not_right(book: &Book, job: &Job) -> Vec<Missing> {
    let told = [
        still_off(book, job),
        too_many(book, job),
        not_sure(book, job),
        steps_open(book, job),
        loose::missing(book, job),
    ];
    told.into_iter().flatten().collect()
}

fn still_off(book: &Book, job: &Job) -> Option<Missing> {
    let items: Vec<OffItem> = book.teardown.still_off(job.id).map(OffItem::of).collect();
    let finished = job.finished.is_some();
    (!items.is_empty()).then(|| Missing::StillOff { job: job.id, at: named(book, job), finished, items })
}

fn not_sure(book: &Book, job: &Job) -> Option<Missing> {
    let words = |item: &Item| {
        let checks: Vec<String> =
            item.not_sure().into_iter().map(|check| check_words(check, &item.facts.details)).collect();
        format!("{} ({})", item_name(&item.facts), checks.join(", "))
    };
    let items: Vec<String> = book.teardown.not_sure(job.id).map(words).collect();
    (!items.is_empty()).then(|| Missing::NotSure { job: job.id, at: named(book, job), items })
}

fn steps_open(book: &Book, job: &Job) -> Option<Missing> {
    let open = book.steps.steps_of(job.id).filter(|step| step.done.is_none());
    let steps: Vec<String> = open.map(|step| step.text.to_string()).collect();
    (job.finished.is_some() && !steps.is_empty()).then(|| Missing::StepsOpen {
        job: job.id,
        at: named(book, job),
        steps,
    })
}

fn too_many(book: &Book, job: &Job) -> Option<Missing> {
    let words = |item: &Item| match item.tally().balance() {
        balance @ Balance::TooMany(_) => Some(format!("{}: {}", item_name(&item.facts), balance.words()?)),
        Balance::Even | Balance::Missing(_) => None,
    };
    let items: Vec<String> = book.teardown.items_of(job.id).filter_map(words).collect();
    (!items.is_empty()).then(|| Missing::TooMany { job: job.id, at: named(book, job), items })
}
