//! What has left the phone, and what is only here.

use crate::book::Book;
use crate::book::handover::HandOver;
use crate::book::ledger::by_day;
use crate::event::{DayTable, Document, On, Way};
use crate::moment::{Day, Moment};
use crate::order;
use crate::sheet::amended::{Change, days_to_amend, revision};

use super::jobs::RECENT_DAYS;
use super::{day_words, place, when};

/// A document that left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftRow {
    /// What, in words.
    pub what: String,
    /// How and when, in words.
    pub how: String,
}

/// Returns today and the days worked lately, latest first.
pub fn recent_days(book: &Book, now: Moment) -> Vec<Day> {
    let today = now.day();
    let since = today.plus(-RECENT_DAYS).unwrap_or(today);
    let spans = book.ledger.spans_since(since, now);
    let mut days: Vec<Day> = spans.into_iter().flat_map(by_day).map(|(day, _)| day).collect();
    days.push(today);
    let mut days = order::each_once(days);
    days.reverse();
    days
}

/// Says since when the phone is the only place of what is in the book.
pub fn backup_state(book: &Book, now: Moment) -> String {
    match book.handovers.last_backup() {
        None if book.records() == 0 => "Nothing is in the book yet.".to_owned(),
        None => "Everything since the beginning is only on this phone. No backup was made yet.".to_owned(),
        Some(last) => match book.records().saturating_sub(last.records_before + 1) {
            0 => format!("The last backup, {}, holds everything.", when(last.at, now.day())),
            1 => format!("One entry is newer than the last backup, {}.", when(last.at, now.day())),
            newer => format!("{newer} entries are newer than the last backup, {}.", when(last.at, now.day())),
        },
    }
}

/// A day that was handed over and is another now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChangedDay {
    /// The day.
    pub day: Day,
    /// The same in words.
    pub words: String,
    /// Which revision its next file is, and what that amends.
    pub about: String,
    /// What is different, a line each.
    pub changes: Vec<String>,
}

/// Returns the days whose file left with other times than the book holds now.
///
/// The present day is among them only once it is another day: until then it is still being worked.
pub fn days_changed_since(book: &Book, now: Moment) -> Vec<ChangedDay> {
    let days = days_to_amend(book, now).into_iter().filter(|&day| day != now.day());
    let changed = days.map(|day| {
        let revision = revision(book, day, now);
        let words = day_words(day, now.day());
        let about = format!("{words}: revision {}", revision.words().unwrap_or_default());
        let changes = revision.amends.iter().flat_map(|amended| &amended.changes).map(Change::words).collect();
        ChangedDay { day, words, about, changes }
    });
    changed.collect()
}

/// Returns the documents that left lately, latest first.
pub fn left_lately(book: &Book, now: Moment) -> Vec<LeftRow> {
    let row = |left: &HandOver| {
        let what = match left.what {
            Document::DayBundle { day, table: false } => format!("The day's file of {}", day_words(day, now.day())),
            Document::DayBundle { day, table: true } => format!("The hours of {}", day_words(day, now.day())),
            Document::DayTable { day, of: DayTable::Billing } => {
                format!("The clock and billed hours of {}", day_words(day, now.day()))
            }
            Document::DayTable { day, of: DayTable::Mends } => format!("The mends of {}", day_words(day, now.day())),
            Document::JobFile { job } => format!("The job's file of {}", place(book, On::Job(job)).boat),
            Document::OwnerSummary { job } => format!("The work summary of {}", place(book, On::Job(job)).boat),
            Document::Agreement { job } => format!("What was agreed on {}", place(book, On::Job(job)).boat),
            Document::Backup { .. } => "A backup".to_owned(),
            Document::Procedure { version } => {
                let title = book.procedures.version(version).map(|it| it.reads.title.to_string());
                format!("The procedure {}", title.unwrap_or_default())
            }
        };
        let how = match left.way {
            Way::Shared => "shared",
            Way::Downloaded => "saved",
        };
        LeftRow { what, how: format!("{how} {}; no receipt yet", when(left.at, now.day())) }
    };
    book.handovers.all().iter().rev().take(20).map(row).collect()
}
