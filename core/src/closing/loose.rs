//! What is not tight yet.
//!
//! A joint that was begun and left is the one that is forgotten, so it is told at the
//! end of the day; one that nobody touched is told only once its job is called
//! finished. What is next and what was passed over is named, not counted only.

use super::{Missing, named};
use crate::book::Book;
use crate::book::jobs::Job;
use crate::book::tightening::Group;
use crate::id::JobId;
use crate::sheet::tightening::TorqueSheet;

/// Returns what a day still needs of a job's groups of fasteners.
pub(super) fn missing(book: &Book, job: &Job) -> Option<Missing> {
    let finished = job.finished.is_some();
    let groups = book.tightening.groups_of(job.id).filter(|group| finished || group.is_begun());
    let groups: Vec<String> = groups.filter_map(open_words).collect();
    (!groups.is_empty()).then(|| Missing::Loose { job: job.id, at: named(book, job), finished, groups })
}

/// Tells whether a group of the job was begun and is not done.
pub(super) fn is_half_tight(book: &Book, job: JobId) -> bool {
    book.tightening.groups_of(job).any(|group| group.is_begun() && !group.state().is_complete())
}

/// Returns what is open of a group, with what is next; nothing when all is tight.
pub(super) fn open_words(group: &Group) -> Option<String> {
    let (state, numbering) = (group.state(), group.facts.numbering);
    let next = state.next()?;
    let mut words = TorqueSheet::of(group).open_words()?;
    let skipped = state.skipped_words(numbering);
    if !skipped.is_empty() {
        words.extend(["; ", &skipped]);
    } else if group.is_begun() {
        words.extend(["; next: ", &state.step_words(next, numbering)]);
    }
    Some(words)
}
