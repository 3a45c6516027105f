//! Which revision of a day this is, and what it changes.
//!
//! A day that was handed over may still be mended; the next file of it is then
//! an amendment and says so, because the office may have billed the first.
//!
//! Rule: by the book alone a revision is a state of the day's time, by job, line and
//! activity, in which its file left; handed over again unchanged, it is the same revision.
//! That is what a phone loads at each start, so a screen says that a day's times changed
//! since, and no number. A document goes by the whole log, and by what else its file told:
//! see [`super::revised`]. All are plain data.

use super::differs::Difference;
use crate::book::Book;
use crate::book::handover::{DayTold, Told};
use crate::event::{Activity, On};
use crate::id::{JobId, LineId};
use crate::moment::{Day, Length, Moment};
use crate::order;
use crate::view::{Place, hour_minute, place};

/// Which revision of a day's time something is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Revision {
    /// From 1 on.
    pub number: usize,
    /// What it amends; nothing for the first.
    pub amends: Option<Amended>,
}

/// The revision before, and what is different now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Amended {
    /// When it was handed over.
    pub handed_over: Moment,
    /// Which times are different.
    pub changes: Vec<Change>,
    /// What else is different; nothing where only the book was asked.
    pub also: Vec<Difference>,
}

/// Time that is another than it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The job, when it is on one.
    pub job: Option<JobId>,
    /// The job's line or the job that it is on.
    pub on: On,
    /// Boat and job in words.
    pub place: Place,
    /// The line's number, when the job has several.
    pub number: Option<usize>,
    /// What was done.
    pub activity: Activity,
    /// How long it was.
    pub before: Length,
    /// How long it is now.
    pub after: Length,
}

impl Revision {
    /// Returns what it amends, in words; nothing for the first.
    pub fn words(&self) -> Option<String> {
        let at = self.amends.as_ref()?.handed_over;
        Some(format!("{}, amends what was handed over {}, {}", self.number, at.day(), hour_minute(at)))
    }
}

impl Amended {
    /// Returns what is different, a line each, times first.
    pub fn words(&self) -> impl Iterator<Item = String> {
        self.changes.iter().map(Change::words).chain(self.also.iter().map(Difference::words))
    }
}

impl Change {
    /// Returns the change in one line; begun minutes are cut.
    pub fn words(&self) -> String {
        let at = self.place.words();
        let line = self.number.map(|number| format!(", line {number}")).unwrap_or_default();
        let (activity, before, after) = (self.activity.words(), self.before.clock_face(), self.after.clock_face());
        format!("{at}{line}: {activity} {before} is now {after}")
    }
}

/// Returns which revision of `day` the book holds at `now`, by its times alone.
pub fn revision(book: &Book, day: Day, now: Moment) -> Revision {
    let current = book.times_of(day, now);
    let mut left: Vec<&DayTold> = Vec::new();
    for told in book.handovers.days_told().filter(|told| told.day == day) {
        match left.last_mut() {
            Some(last) if last.times == told.times => *last = told,
            _ => left.push(told),
        }
    }
    left.pop_if(|last| last.times == current);
    Revision { number: left.len() + 1, amends: left.last().map(|before| amended(book, before, &current)) }
}

/// Returns which times are different from what a day's file told.
pub(super) fn amended(book: &Book, before: &DayTold, after: &[Told]) -> Amended {
    Amended { handed_over: before.at, changes: changes(book, &before.times, after), also: Vec::new() }
}

/// Returns what is different between a day's times and its times as they were before.
pub fn changes(book: &Book, before: &[Told], after: &[Told]) -> Vec<Change> {
    let length = |times: &[Told], key| times.iter().find(|told| told.key() == key).map_or(Length::ZERO, |it| it.length);
    let keys = order::each_once(before.iter().chain(after).map(Told::key).collect());
    let changed = keys.into_iter().filter_map(|key| {
        let (was, is) = (length(before, key), length(after, key));
        let (on, activity) = key;
        let (job, place, number) = (book.job_of(on), place(book, on), number(book, on));
        (was != is).then_some(Change { job, on, place, number, activity, before: was, after: is })
    });
    changed.collect()
}

/// Returns which of several lines of a job this is, from 1 on.
fn number(book: &Book, on: On) -> Option<usize> {
    let lines: Vec<LineId> = book.jobs.lines_of(book.job_of(on)?).map(|line| line.id).collect();
    let place = lines.iter().position(|&line| on == On::Line(line))?;
    (lines.len() > 1).then_some(place + 1)
}

/// Returns the days whose file left with other times than the book holds now,
/// earliest first: each wants to be handed over again.
pub fn days_to_amend(book: &Book, now: Moment) -> Vec<Day> {
    let days: Vec<Day> = order::each_once(book.handovers.days_told().map(|told| told.day).collect());
    let times = book.times_of_days(&days, now).into_iter();
    let changed = times.filter(|(day, times)| {
        let last = book.handovers.days_told().rfind(|told| told.day == *day);
        last.is_some_and(|last| last.times != *times)
    });
    changed.map(|(day, _)| day).collect()
}

/// Returns when the file of `day` left last, where the book holds other times than it told.
pub fn changed_since(book: &Book, day: Day, now: Moment) -> Option<Moment> {
    let last = book.handovers.days_told().rfind(|told| told.day == day)?;
    (last.times != book.times_of(day, now)).then_some(last.at)
}
