//! The trail of a day's mends as CSV, in the form of [`super`]: who said what,
//! when, why, and what it replaced.
//!
//! One row for each stretch that a mend replaced, and one for a mend of time of
//! which nothing had been said; so a mend that swallowed three activities has
//! three rows, which share its name. A mend that was taken back stays.
//!
//! | column | value |
//! |--------|-------|
//! | `day` | local day, `2026-05-04` |
//! | `technician` | name |
//! | `mend` | its name in the log: `<device>-<number>` |
//! | `said` | when it was said, RFC 3339 |
//! | `from`, `to` | of which time |
//! | `activity`, `boat`, `job` | what was in fact done; `off the clock` where nothing was |
//! | `reason` | why the clock said something else; may be empty |
//! | `taken back` | when it was taken back; empty where it counts |
//! | `before from`, `before to` | the part of that time … |
//! | `before activity`, `before boat`, `before job` | … of which this had been said; all empty where nothing had |
//! | `before said by` | the tap or the earlier mend that said so |

use super::{harmless, put, written};
use crate::event::{Doing, On};
use crate::sheet::DaySheet;
use crate::sheet::trail::{MendSheet, Replaced};
use crate::view::Place;

/// The columns, in order.
pub const COLUMNS: [&str; 17] = [
    "day",
    "technician",
    "mend",
    "said",
    "from",
    "to",
    "activity",
    "boat",
    "job",
    "reason",
    "taken back",
    "before from",
    "before to",
    "before activity",
    "before boat",
    "before job",
    "before said by",
];

/// Returns the table of these days, one after the other.
pub fn table(days: &[DaySheet]) -> Vec<u8> {
    written(&COLUMNS, days, put_day)
}

fn put_day(rows: &mut String, sheet: &DaySheet) {
    for mend in &sheet.mends {
        if mend.replaced.is_empty() {
            put_row(rows, sheet, mend, None);
        }
        mend.replaced.iter().for_each(|replaced| put_row(rows, sheet, mend, Some(replaced)));
    }
}

fn put_row(rows: &mut String, sheet: &DaySheet, mend: &MendSheet, replaced: Option<&Replaced>) {
    let [activity, boat, job] = told(mend.doing, &mend.place);
    let [was, was_boat, was_job] = replaced.map(|it| told(it.doing, &it.place)).unwrap_or_default();
    let of = |told: fn(&Replaced) -> String| replaced.map(told).unwrap_or_default();
    let row = [
        &sheet.day.to_string(),
        &harmless(sheet.technician.as_str()),
        &mend.mend.to_string(),
        &mend.said.to_string(),
        &mend.from.to_string(),
        &mend.to.to_string(),
        &activity,
        &boat,
        &job,
        &harmless(mend.reason.as_str()),
        &mend.taken_back.map(|at| at.to_string()).unwrap_or_default(),
        &of(|it| it.from.to_string()),
        &of(|it| it.to.to_string()),
        &was,
        &was_boat,
        &was_job,
        &of(|it| it.said_by.to_string()),
    ];
    put(rows, &row.map(String::as_str));
}

/// Returns what was done, on which boat and for which job.
fn told(doing: Doing, place: &Place) -> [String; 3] {
    match doing {
        Doing::Off => ["off the clock".to_owned(), String::new(), String::new()],
        Doing::At { activity, on: On::NoJob } => [activity.words().to_owned(), String::new(), String::new()],
        Doing::At { activity, .. } => [activity.words().to_owned(), harmless(&place.boat), harmless(&place.job)],
    }
}
