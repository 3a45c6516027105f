//! Which revision of a day a document of it is, by all that the day's file says.
//!
//! The book keeps what each day's file told of times ([`super::amended`]), because a phone
//! loads the book at each start and needs no more of it there. Whoever makes a document has the
//! whole log: the book as it was when the day's file left is folded anew from it, and the sheet
//! of that moment says all that the file said.
//!
//! Rule: a revision is a state of the day in which its file left, by its times and by what
//! [`differs`] compares. So its number is never lower than the one by times alone, and the same
//! where only times differ. As in the fold, what another device said earlier and this log heard
//! of later counts as told.

use std::collections::{BTreeMap, BTreeSet};

use super::amended::{Amended, Revision, amended};
use super::differs::{differs, of_the_day};
use super::job::{JobAmended, JobDifference, JobRevision, times_of};
use super::{DaySheet, LogHead, day_sheet};
use crate::book::Book;
use crate::book::handover::{DayTold, Told};
use crate::event::{Document, Event};
use crate::id::JobId;
use crate::log::Sealed;
use crate::moment::{Day, Moment};

/// What the files of some days told when they left.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Left(BTreeMap<Day, Vec<State>>);

/// A state of a day in which its file left, when it did so last.
#[derive(Clone, Debug, PartialEq, Eq)]
struct State {
    told: DayTold,
    sheet: DaySheet,
}

impl State {
    fn is(&self, times: &[Told], sheet: &DaySheet) -> bool {
        self.told.times == times && differs(&self.sheet, sheet).is_empty()
    }
}

impl State {
    /// Returns what of a job is another in a later state of the day.
    fn amended(&self, book: &Book, job: JobId, times: &[Told], sheet: &DaySheet) -> Option<JobAmended> {
        let day = sheet.day;
        let changes = times_of(book, job, day, &self.told.times, times);
        let also = of_the_day(&self.sheet, sheet, job).into_iter();
        let also: Vec<_> = also.map(|difference| JobDifference { day, difference }).collect();
        let is_another = !changes.is_empty() || !also.is_empty();
        is_another.then_some(JobAmended { handed_over: self.told.at, changes, also })
    }
}

/// Returns what is different on several days as one revision.
fn united(all: Vec<JobAmended>) -> Option<JobAmended> {
    all.into_iter().reduce(|mut one, other| {
        one.handed_over = one.handed_over.max(other.handed_over);
        one.changes.extend(other.changes);
        one.also.extend(other.also);
        one
    })
}

impl Left {
    /// Returns what the files of `days` told; `records` are a log's, in its order.
    ///
    /// They are folded once, up to the last of these files, and not at all where none left.
    pub fn of(records: &[&Sealed], days: &BTreeSet<Day>) -> Self {
        let told_day = |sealed: &Sealed| day_that_left(&sealed.record.event).filter(|day| days.contains(day));
        let mut left = Self::default();
        let Some(last) = records.iter().rposition(|sealed| told_day(sealed).is_some()) else { return left };
        let mut book = Book::default();
        for &sealed in &records[..=last] {
            book.apply(&sealed.record);
            if let Some(day) = told_day(sealed) {
                left.take(&book, day, sealed);
            }
        }
        left
    }

    /// Takes a file of a day that left at this record, which the book holds.
    fn take(&mut self, book: &Book, day: Day, sealed: &Sealed) {
        let record = &sealed.record;
        let log = LogHead { device: record.id.device, seq: record.id.seq, hash: sealed.hash };
        let Some(told) = book.handovers.days_told().next_back().cloned() else { return };
        let state = State { sheet: day_sheet(book, day, record.at, log), told };
        let states = self.0.entry(day).or_default();
        match states.last_mut() {
            Some(last) if last.is(&state.told.times, &state.sheet) => *last = state,
            _ => states.push(state),
        }
    }

    /// Returns which revision of its day a sheet is that was made of the book at `now`.
    pub fn revision(&self, book: &Book, sheet: &DaySheet, now: Moment) -> Revision {
        let times = book.times_of(sheet.day, now);
        let states = self.0.get(&sheet.day).map_or(&[][..], Vec::as_slice);
        let before = match states.split_last() {
            Some((last, rest)) if last.is(&times, sheet) => rest,
            _ => states,
        };
        let amends = before.last().map(|state| {
            let also = differs(&state.sheet, sheet);
            Amended { also, ..amended(book, &state.told, &times) }
        });
        Revision { number: before.len() + 1, amends }
    }

    /// Returns which revision of a job the book holds at `now`, by the files that its days left in.
    pub fn of_job(&self, book: &Book, job: JobId, now: Moment, log: LogHead) -> JobRevision {
        let mut told: Vec<(Moment, JobAmended)> = Vec::new();
        let mut open: Vec<JobAmended> = Vec::new();
        for (&day, states) in &self.0 {
            for (before, after) in states.iter().zip(states.iter().skip(1)) {
                let amended = before.amended(book, job, &after.told.times, &after.sheet);
                told.extend(amended.map(|amended| (after.told.at, amended)));
            }
            if let Some(last) = states.last() {
                let sheet = day_sheet(book, day, now, log);
                open.extend(last.amended(book, job, &book.times_of(day, now), &sheet));
            }
        }
        let number = told.len() + 1 + usize::from(!open.is_empty());
        let amends = united(open).or_else(|| told.into_iter().max_by_key(|(at, _)| *at).map(|(_, amended)| amended));
        JobRevision { number, amends }
    }

    /// Returns the number of the revision of `day` that the book holds at `now`.
    pub fn number(&self, book: &Book, day: Day, now: Moment, log: LogHead) -> usize {
        if !self.0.contains_key(&day) {
            return 1;
        }
        self.revision(book, &day_sheet(book, day, now, log), now).number
    }
}

/// Returns the day whose file left; its tables tell no revision.
fn day_that_left(event: &Event) -> Option<Day> {
    match event {
        Event::HandedOver { what: Document::DayBundle { day, table: false }, .. } => Some(*day),
        _ => None,
    }
}

/// Returns what `day` comes to at `now`, as [`day_sheet`] does, with its revision by the whole
/// log; `records` are the log's in its order, of which `book` was made.
pub fn revised_day_sheet(records: &[&Sealed], book: &Book, day: Day, now: Moment, log: LogHead) -> DaySheet {
    let sheet = day_sheet(book, day, now, log);
    let revision = Left::of(records, &BTreeSet::from([day])).revision(book, &sheet, now);
    DaySheet { revision, ..sheet }
}
