//! What the lines of a day's jobs come to: clock hours and billed hours as CSV,
//! in the form of [`super`].
//!
//! One row for each line of each job that the day touched, **over all the job's
//! days** up to when the table was made: a line is rounded as a whole, and a flat
//! number of hours belongs to no day. So of a job that runs over days the last
//! table counts, and rows of several days are not to be added up.
//!
//! | column | value |
//! |--------|-------|
//! | `day`, `technician`, `boat`, `owner`, `job`, `line`, `pay type`, `complaint` | as in the table of hours |
//! | `billed` | `by the clock`, `flat`, `no charge`; `on no line` for time with no line named; `least charge` for what the shop's least charge of a job adds |
//! | `clock hours`, `clock decimal hours`, `clock milliseconds` | what the clock says; milliseconds are exact |
//! | `billed hours`, `billed decimal hours`, `billed milliseconds` | by the shop's rule of rounding |
//! | `difference milliseconds` | billed less clock; a minus sign in front when less is billed |

use super::{decimal_hours, harmless, put, written};
use crate::event::{Billing, PayType};
use crate::moment::Length;
use crate::sheet::billed::Both;
use crate::sheet::{DaySheet, JobSheet};

/// The columns, in order.
pub const COLUMNS: [&str; 16] = [
    "day",
    "technician",
    "boat",
    "owner",
    "job",
    "line",
    "pay type",
    "complaint",
    "billed",
    "clock hours",
    "clock decimal hours",
    "clock milliseconds",
    "billed hours",
    "billed decimal hours",
    "billed milliseconds",
    "difference milliseconds",
];

/// Returns the table of these days, one after the other.
pub fn table(days: &[DaySheet]) -> Vec<u8> {
    written(&COLUMNS, days, put_day)
}

/// What a row is about.
struct Of<'a> {
    number: Option<usize>,
    pay: Option<PayType>,
    complaint: &'a str,
    billed: &'static str,
    hours: Both,
}

fn put_day(rows: &mut String, sheet: &DaySheet) {
    for job in &sheet.jobs {
        for (number, line) in (1..).zip(&job.hours.lines) {
            let complaint = job.lines.iter().find(|it| it.line == line.line).map(|it| it.story.complaint.as_str());
            let of = Of {
                number: Some(number),
                pay: Some(line.pay),
                complaint: complaint.unwrap_or_default(),
                billed: billing_words(line.billing),
                hours: line.hours,
            };
            put_row(rows, sheet, job, &of);
        }
        let no_line = Both { clock: job.hours.no_line, billed: Length::ZERO };
        let minimum = Both { clock: Length::ZERO, billed: job.hours.minimum };
        let further = [(None, "on no line", no_line), (Some(PayType::CustomerPay), "least charge", minimum)];
        for (pay, billed, hours) in further.into_iter().filter(|further| further.2 != Both::default()) {
            put_row(rows, sheet, job, &Of { number: None, pay, complaint: "", billed, hours });
        }
    }
}

fn put_row(rows: &mut String, sheet: &DaySheet, job: &JobSheet, of: &Of<'_>) {
    let Both { clock, billed } = of.hours;
    let row = [
        &sheet.day.to_string(),
        &harmless(sheet.technician.as_str()),
        &harmless(job.boat.name.as_str()),
        &harmless(job.boat.owner.as_str()),
        &harmless(job.title.as_str()),
        &of.number.map(|number| number.to_string()).unwrap_or_default(),
        of.pay.map(PayType::words).unwrap_or_default(),
        &harmless(of.complaint),
        of.billed,
        &clock.clock_face(),
        &decimal_hours(clock),
        &clock.ms().to_string(),
        &billed.clock_face(),
        &decimal_hours(billed),
        &billed.ms().to_string(),
        &of.hours.difference_ms().to_string(),
    ];
    put(rows, &row);
}

const fn billing_words(billing: Billing) -> &'static str {
    match billing {
        Billing::ByClock => "by the clock",
        Billing::Flat { .. } => "flat",
        Billing::NoCharge => "no charge",
    }
}
