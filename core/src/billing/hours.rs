//! Hours by what an office looks for them: customer, who pays and activity, day by day.
//!
//! Time is the clock's, as [`super::work()`] takes it out of the book: pauses are on no
//! job and are left out, work on no job has no customer. Each is exact; so they can be
//! kept, and any range of days added up, without a book.

use std::collections::BTreeMap;

use crate::book::Book;
use crate::book::ledger::by_day;
use crate::event::{Activity, PayType};
use crate::moment::{Day, Length, Moment};
use crate::text::Label;

/// What hours are added up by.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Of {
    /// Whose boat it was; empty for work on no job.
    pub customer: Label,
    /// Who pays; none where no line is named.
    pub pay: Option<PayType>,
    /// What was done.
    pub activity: Activity,
}

/// The hours of one kind of a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayHours {
    /// The day.
    pub day: Day,
    /// The kind.
    pub of: Of,
    /// How long.
    pub length: Length,
}

/// Returns the hours of all days up to `now`, in the order of days and kinds.
pub fn day_hours(book: &Book, now: Moment) -> Vec<DayHours> {
    let mut sums: BTreeMap<(Day, Of), Length> = BTreeMap::new();
    for span in book.ledger.spans(now).into_iter().filter(|span| !span.activity.is_pause()) {
        let job = book.job_of(span.on).and_then(|job| book.jobs.job(job));
        let boat = job.and_then(|job| book.fleet.boat(job.boat));
        let customer = boat.map(|boat| boat.facts.owner.clone()).unwrap_or_default();
        let of = Of { customer, pay: book.line_of(span.on).map(|line| line.pay), activity: span.activity };
        for (day, part) in by_day(span).into_iter().filter(|(_, part)| part.length() > Length::ZERO) {
            let sum = sums.entry((day, of.clone())).or_default();
            *sum = *sum + part.length();
        }
    }
    sums.into_iter().map(|((day, of), length)| DayHours { day, of, length }).collect()
}
