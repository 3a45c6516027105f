//! A day's hours as a table: CSV that accounting and payroll programs read.
//!
//! The form is RFC 4180: CRLF after every record, fields with a comma, a quote
//! or a line break in quotes, quotes doubled, a header line. It is UTF-8 with a
//! byte order mark, because spreadsheets take CSV without one for the machine's
//! old code page.
//!
//! One row for each job, line and activity of a day, and one for each activity
//! on no job and each pause; so the rows of a day add up to the day.
//!
//! | column         | value |
//! |----------------|-------|
//! | `day`          | local day, `2026-05-04` |
//! | `technician`   | name |
//! | `boat`         | name; empty without a job |
//! | `owner`        | name |
//! | `job`          | what the job is |
//! | `line`         | number of the line on its job, from 1; empty where no line is named |
//! | `pay type`     | `customer pay`, `warranty`, `internal`; empty without a line |
//! | `complaint`    | the line's complaint |
//! | `activity`     | `labour`, `diagnosis`, `travel`, `parts run`, `waiting`, `paperwork`, `meal period`, `rest period` |
//! | `part`         | which part of the day: `job line`, `job, no line named`, `no job`, `pause` |
//! | `hours`        | full minutes as `h:mm`, begun minutes cut |
//! | `decimal hours`| rounded half up to four digits, point as decimal sign |
//! | `milliseconds` | exact; the one to add up |
//!
//! What is billed, and what was mended, are tables of their own: [`billing`], [`mends`].
//!
//! A text cell that begins with `=`, `+`, `-`, `@`, tab, carriage return or
//! line feed gets an apostrophe in front, so that no spreadsheet takes a name
//! for a formula (OWASP, "CSV Injection"). Other cells never begin so.

pub mod billing;
pub mod mends;

use crate::event::PayType;
use crate::moment::Length;
use crate::sheet::{DaySheet, JobSheet, LineSheet, Share};

/// The columns, in order.
pub const COLUMNS: [&str; 13] = [
    "day",
    "technician",
    "boat",
    "owner",
    "job",
    "line",
    "pay type",
    "complaint",
    "activity",
    "part",
    "hours",
    "decimal hours",
    "milliseconds",
];

pub(super) const BYTE_ORDER_MARK: char = '\u{feff}';

/// Returns the table of these days, one after the other.
pub fn table(days: &[DaySheet]) -> Vec<u8> {
    written(&COLUMNS, days, put_day)
}

/// Returns a table with these columns and what `put_day` writes of each day.
fn written(columns: &[&str], days: &[DaySheet], put_day: fn(&mut String, &DaySheet)) -> Vec<u8> {
    let mut rows = String::from(BYTE_ORDER_MARK);
    put(&mut rows, columns);
    days.iter().for_each(|sheet| put_day(&mut rows, sheet));
    rows.into_bytes()
}

/// Writes one record. Ten lines, because a library for it brings along the
/// reading of decimal fractions, which is larger than all of this form.
pub(super) fn put(rows: &mut String, cells: &[&str]) {
    for (before, cell) in cells.iter().enumerate() {
        if before > 0 {
            rows.push(',');
        }
        if cell.contains([',', '"', '\r', '\n']) {
            rows.push_str(&format!("\"{}\"", cell.replace('"', "\"\"")));
        } else {
            rows.push_str(cell);
        }
    }
    rows.push_str("\r\n");
}

fn put_day(rows: &mut String, sheet: &DaySheet) {
    let mut row = |of: Of<'_>, share: &Share| put_row(rows, sheet, of, share);
    for job in &sheet.jobs {
        for (number, line) in (1..).zip(&job.lines) {
            line.time.iter().for_each(|share| row(Of::Line(job, number, line), share));
        }
        job.no_line.iter().for_each(|share| row(Of::Job(job), share));
    }
    sheet.no_job.iter().for_each(|share| row(Of::NoJob, share));
    sheet.pauses.iter().for_each(|share| row(Of::Pause, share));
}

/// Which part of a day a row is.
#[derive(Clone, Copy)]
enum Of<'a> {
    Line(&'a JobSheet, usize, &'a LineSheet),
    Job(&'a JobSheet),
    NoJob,
    Pause,
}

impl<'a> Of<'a> {
    fn words(self) -> &'static str {
        match self {
            Self::Line(..) => "job line",
            Self::Job(_) => "job, no line named",
            Self::NoJob => "no job",
            Self::Pause => "pause",
        }
    }

    fn job(self) -> Option<&'a JobSheet> {
        match self {
            Self::Line(job, ..) | Self::Job(job) => Some(job),
            Self::NoJob | Self::Pause => None,
        }
    }

    fn line(self) -> Option<(usize, PayType, &'a str)> {
        match self {
            Self::Line(_, number, line) => Some((number, line.pay, line.story.complaint.as_str())),
            Self::Job(_) | Self::NoJob | Self::Pause => None,
        }
    }
}

fn put_row(rows: &mut String, sheet: &DaySheet, of: Of<'_>, share: &Share) {
    let day = sheet.day.to_string();
    let technician = harmless(sheet.technician.as_str());
    let (boat, owner, title) = match of.job() {
        Some(job) => (job.boat.name.as_str(), job.boat.owner.as_str(), job.title.as_str()),
        None => ("", "", ""),
    };
    let (number, pay, complaint) = match of.line() {
        Some((number, pay, complaint)) => (number.to_string(), pay.words(), complaint),
        None => (String::new(), "", ""),
    };
    let row = [
        &day,
        &technician,
        &harmless(boat),
        &harmless(owner),
        &harmless(title),
        &number,
        pay,
        &harmless(complaint),
        share.activity.words(),
        of.words(),
        &share.length.clock_face(),
        &decimal_hours(share.length),
        &share.length.ms().to_string(),
    ];
    put(rows, &row);
}

/// Returns the text so that no spreadsheet takes it for a formula.
pub(super) fn harmless(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']);
    if formula { format!("'{text}") } else { text.to_owned() }
}

/// Returns hours with four digits after the point, rounded half up.
pub fn decimal_hours(length: Length) -> String {
    const MS_OF_A_TEN_THOUSANDTH: u64 = 360;
    let parts = length.ms().saturating_add(MS_OF_A_TEN_THOUSANDTH / 2) / MS_OF_A_TEN_THOUSANDTH;
    format!("{}.{:04}", parts / 10_000, parts % 10_000)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn records(cells: &[&[&str]]) -> String {
        let mut rows = String::new();
        for row in cells {
            put(&mut rows, row);
        }
        rows
    }

    #[test]
    fn writes_the_examples_of_rfc_4180_section_2() {
        // RFC 4180, section 2, rules 1, 6 and 7.
        assert_eq!(records(&[&["aaa", "bbb", "ccc"], &["zzz", "yyy", "xxx"]]), "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n");
        assert_eq!(
            records(&[&["aaa", "b\r\nbb", "ccc"], &["zzz", "yyy", "xxx"]]),
            "aaa,\"b\r\nbb\",ccc\r\nzzz,yyy,xxx\r\n"
        );
        assert_eq!(records(&[&["aaa", "b\"bb", "ccc"]]), "aaa,\"b\"\"bb\",ccc\r\n");
    }

    #[test]
    fn reads_back_whatever_the_text() {
        let hard = ["a,b", "\"quoted\"", "two\nlines", "\u{202e}gnirts", "مرحبا", "🛶 pump", "semi;colon", " spaces "];
        let text = records(&[&hard]);
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
        let back: Vec<String> = reader.records().next().unwrap().unwrap().iter().map(str::to_owned).collect();
        assert_eq!(back, hard);
    }

    #[test]
    fn no_text_is_taken_for_a_formula() {
        for (text, cell) in [
            ("=HYPERLINK(\"x\")", "'=HYPERLINK(\"x\")"),
            ("+1", "'+1"),
            ("-1+1", "'-1+1"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("\t=1", "'\t=1"),
            ("\r=1", "'\r=1"),
            ("Heron", "Heron"),
            ("", ""),
            ("a=1", "a=1"),
        ] {
            assert_eq!(harmless(text), cell);
        }
    }

    #[test]
    fn hours_are_rounded_once_and_half_up() {
        for (ms, hours) in [
            (0, "0.0000"),
            (179, "0.0000"),
            (180, "0.0001"),
            (360, "0.0001"),
            (3_600_000, "1.0000"),
            (5_400_000, "1.5000"),
            (1_200_000, "0.3333"),
            (2_400_000, "0.6667"),
            (90_000_000, "25.0000"),
        ] {
            assert_eq!(decimal_hours(Length::from_ms(ms)), hours, "{ms}");
        }
    }
}
