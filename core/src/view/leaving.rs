//! What was made and has left the phone, what was made and has not, and what is only here.
//!
//! Rule: nothing counts as left unless the browser said so, and nothing as received.

use crate::book::Book;
use crate::book::handover::MadeDocument;
use crate::book::ledger::by_day;
use crate::event::{DayTable, Document, On, Way};
use crate::id::EventId;
use crate::moment::{Day, Moment};
use crate::order;
use crate::sheet::amended::{Change, days_to_amend, revision};

use super::jobs::RECENT_DAYS;
use super::{day_words, place, when};

/// A document, and whether it left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftRow {
    /// What, in words.
    pub what: String,
    /// How and when it left, or that it has not, in words.
    pub how: String,
    /// What says that it was made, where it has not left.
    pub waits: Option<EventId>,
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
    /// The day, and when it was handed over last.
    pub about: String,
    /// Which times are different, a line each.
    pub changes: Vec<String>,
}

/// Returns the days whose file left with other times than the book holds now.
///
/// Which revision the next file is it says itself: that goes by more than the book keeps.
/// The present day is among them only once it is another day: until then it is still being worked.
pub fn days_changed_since(book: &Book, now: Moment) -> Vec<ChangedDay> {
    let days = days_to_amend(book, now).into_iter().filter(|&day| day != now.day());
    let changed = days.map(|day| {
        let amended = revision(book, day, now).amends;
        let words = day_words(day, now.day());
        let at = amended.iter().map(|it| when(it.handed_over, now.day()));
        let about = format!("{words}: handed over {}", at.collect::<String>());
        let changes = amended.iter().flat_map(|it| &it.changes).map(Change::words).collect();
        ChangedDay { day, words, about, changes }
    });
    changed.collect()
}

/// Returns the documents that were made and have not left: of several of one thing the last.
fn waiting(book: &Book) -> Vec<&MadeDocument> {
    let left =
        |made: &MadeDocument| book.handovers.all().iter().any(|it| it.file == made.file && same(it.what, made.what));
    let overtaken = |made: &MadeDocument| {
        let later_made =
            book.handovers.made().rev().take_while(|it| it.id != made.id).any(|it| same(it.what, made.what));
        later_made || book.handovers.all().iter().any(|it| it.at > made.at && same(it.what, made.what))
    };
    book.handovers.made().filter(|made| !made.withdrawn && !left(made) && !overtaken(made)).collect()
}

/// Tells whether two documents are of one thing, so that the later one stands for both.
fn same(one: Document, other: Document) -> bool {
    one == other || matches!((one, other), (Document::Backup { .. }, Document::Backup { .. }))
}

/// Returns every document and whether it left: what waits first, then what left lately, each latest first.
///
/// What the browser said is all that is known: an app took it from the share sheet, or a
/// download began. That it arrived is never said.
pub fn papers(book: &Book, now: Moment) -> Vec<LeftRow> {
    let at = |moment| when(moment, now.day());
    let waits = waiting(book).into_iter().rev().map(|made| {
        let how = format!("made {}; it has not left", at(made.at));
        LeftRow { what: document_words(book, made.what, now), how, waits: Some(made.id) }
    });
    let left = book.handovers.all().iter().rev().take(LEFT_SHOWN).map(|left| {
        let how = match left.way {
            Way::Shared => format!("shared {}; an app took it, no receipt yet", at(left.at)),
            Way::Downloaded => format!("saved as a file {}; whether it went on is not known here", at(left.at)),
        };
        LeftRow { what: document_words(book, left.what, now), how, waits: None }
    });
    waits.chain(left).collect()
}

/// Says at a start what should still leave; nothing where nothing waits.
pub fn still_to_leave(book: &Book, now: Moment) -> Option<String> {
    let mut told: Vec<String> = waiting(book).iter().rev().map(|made| document_words(book, made.what, now)).collect();
    let changed = days_to_amend(book, now).into_iter().filter(|&day| day != now.day());
    told.extend(changed.map(|day| format!("{}, changed since it was handed over", day_words(day, now.day()))));
    match told.len() {
        0 => None,
        1 => Some(format!("Has not left yet: {}.", told.concat())),
        count => Some(format!("{count} documents have not left yet: {}.", told.join("; "))),
    }
}

/// How many of the documents that left are shown.
const LEFT_SHOWN: usize = 20;

fn document_words(book: &Book, what: Document, now: Moment) -> String {
    let day_of = |day| day_words(day, now.day());
    let boat = |on| place(book, on).boat;
    match what {
        Document::DayBundle { day, table: false } => format!("The day's file of {}", day_of(day)),
        Document::DayBundle { day, table: true } => format!("The hours of {}", day_of(day)),
        Document::DayTable { day, of: DayTable::Billing } => format!("The clock and billed hours of {}", day_of(day)),
        Document::DayTable { day, of: DayTable::Mends } => format!("The mends of {}", day_of(day)),
        Document::JobFile { job } => format!("The job's file of {}", boat(On::Job(job))),
        Document::OwnerSummary { job } => format!("The work summary of {}", boat(On::Job(job))),
        Document::Agreement { job } => format!("What was agreed on {}", boat(On::Job(job))),
        Document::WarrantyPack { line } => format!("The warranty pack of {}", boat(On::Line(line))),
        Document::Backup { .. } => "A backup".to_owned(),
        Document::Procedure { version } => {
            let title = book.procedures.version(version).map(|it| it.reads.title.to_string());
            format!("The procedure {}", title.unwrap_or_default())
        }
    }
}
