//! Looking: what a desk wants to see of everybody's work, and where each figure comes from.
//!
//! A question has an address ([`Asked`]) that a command takes and a link carries. It is
//! answered from one technician's book at a time ([`Asking`]), so a shop of fifty never
//! lies in memory together, and told as blocks ([`Answer`]) that the written forms lay
//! out as text and as a page. Nothing here changes anything.
//!
//! A job that was handed on stands in several books. How it stands is told by the book of
//! whoever's device opened it; the others add what they did on it and who they are.
//!
//! There is no clock: what has an age is counted up to the last day on which anybody
//! said anything. For the desk: no screen of the phone uses this.

pub mod activity;
pub mod answer;
pub mod asked;
pub mod asking;
pub mod board;
pub mod boats;
pub mod claims;
pub mod finds;
pub mod history;
pub mod only;
pub mod parts;
pub mod unbilled;
pub mod why;
mod why_answer;

pub use answer::{Answer, Block, Cell};
pub use asked::{Asked, Why};
pub use asking::{Asking, NoAnswer, With};
pub use only::{Month, Only, Paid, Whose};

use std::collections::BTreeSet;

use crate::book::Book;
use crate::id::{DeviceId, JobId};
use crate::moment::{Day, Moment};
use crate::text::Label;

/// One technician's book, read up to the last thing that was said.
#[derive(Clone, Copy)]
pub struct Of<'a> {
    /// Who it is.
    pub who: &'a Label,
    /// The book.
    pub book: &'a Book,
    /// When something was said last.
    pub now: Moment,
    /// The technician's devices.
    pub own: &'a BTreeSet<DeviceId>,
}

impl Of<'_> {
    /// Tells whether a job was opened on one of the technician's devices.
    pub fn has(&self, job: JobId) -> bool {
        self.own.contains(&job.0.device)
    }
}

/// Returns names with commas between.
fn names<'a>(all: impl IntoIterator<Item = &'a Label>) -> String {
    all.into_iter().map(Label::as_str).collect::<Vec<_>>().join(", ")
}

/// Returns a day with how many days ago it was: `2026-05-04, 3 days`.
fn days_words(day: Day, today: Option<Day>) -> String {
    match today.and_then(|today| today.days_after(day)) {
        None | Some(0) => day.to_string(),
        Some(1) => format!("{day}, 1 day"),
        Some(days) => format!("{day}, {days} days"),
    }
}

#[cfg(test)]
mod tests;
