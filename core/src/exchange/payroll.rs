//! Hours worked by workday and workweek as a table: CSV for payroll.
//!
//! The form is that of [`super::table`]. One row for each workday with work and
//! one for each workweek, its sum; so a reader who wants weeks takes the rows
//! whose `day` is empty. With name, workday and workweek it holds the hours that
//! 29 CFR 516.2(a)(5) and (7) ask an employer to record (numbers as in the 1987
//! edition); rates and wages are payroll's own, as [`RECORDS`] says beside it.
//!
//! | column        | value |
//! |---------------|-------|
//! | `technician`  | name |
//! | `week from`   | first day of the workweek |
//! | `week begins` | day and time of the local clock, `Monday 00:00` |
//! | `day`         | workday, `2026-05-04`; empty in the row of the week |
//! | `worked`      | hours worked, starts and stops rounded where the shop's rules say so, `h:mm`, begun minutes cut |
//! | `plain` `overtime` `double time` | the same hours by how they are paid, in decimal hours of four digits, half up |
//! | `worked ms` `plain ms` `overtime ms` `double time ms` | exact; the ones to add up |
//! | `by the clock` `by the clock ms` | hours worked before starts and stops are rounded, as they were tapped and mended |

use std::collections::BTreeMap;

use super::table::{BYTE_ORDER_MARK, decimal_hours, harmless, put};
use crate::hours::overtime::{Split, Week};
use crate::hours::workweek::Workweek;
use crate::moment::{Day, Length};
use crate::text::Label;

/// What an office has to know that keeps this table as its record, after 29 CFR 516.2(a) item by item:
/// (1), (5) and (7) are in it, (2) to (4), (6) and (8) to (12) are not.
pub const RECORDS: &str = "Of the records that 29 CFR 516.2(a) asks for, this table has the name, when the workweek \
    begins, and the hours of each workday and workweek. Not known here, to be kept with payroll: address, date of \
    birth under 19, sex and occupation, regular rate and basis of pay, straight-time earnings, premium pay for \
    overtime, additions and deductions, wages paid, date of payment and pay period.";

const COLUMNS: [&str; 14] = [
    "technician",
    "week from",
    "week begins",
    "day",
    "worked",
    "plain",
    "overtime",
    "double time",
    "worked ms",
    "plain ms",
    "overtime ms",
    "double time ms",
    "by the clock",
    "by the clock ms",
];

/// A technician's workweeks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worked {
    /// The name.
    pub technician: Label,
    /// When the workweek begins.
    pub week: Workweek,
    /// What each comes to, earliest first.
    pub weeks: Vec<Week>,
    /// The hours worked of each workday before starts and stops are rounded.
    pub by_clock: BTreeMap<Day, Length>,
}

/// What a workday or a workweek is paid as, and the clock's hours of it.
type Row = (Split, Length);

/// Returns the table of each technician's weeks.
pub fn table(of: &[Worked]) -> Vec<u8> {
    let mut rows = String::from(BYTE_ORDER_MARK);
    put(&mut rows, &COLUMNS);
    for worked in of {
        for (first, (sums, days)) in worked.rows() {
            let mut row = |day, of| put_row(&mut rows, worked, first, day, of);
            days.into_iter().for_each(|(day, of)| row(Some(day), of));
            row(None, sums);
        }
    }
    rows.into_bytes()
}

impl Worked {
    /// Returns each workweek with its sums and its days: those too that rounding leaves nothing of.
    fn rows(&self) -> BTreeMap<Day, (Row, BTreeMap<Day, Row>)> {
        let mut rows: BTreeMap<Day, (Row, BTreeMap<Day, Row>)> = BTreeMap::new();
        for week in &self.weeks {
            let days = week.days.iter().map(|&(day, split)| (day, (split, Length::ZERO)));
            rows.insert(week.first, ((week.sums(), Length::ZERO), days.collect()));
        }
        for (&day, &length) in &self.by_clock {
            let (sums, days) = rows.entry(self.week.first_of(day)).or_default();
            sums.1 = sums.1 + length;
            days.entry(day).or_default().1 = length;
        }
        rows
    }
}

fn put_row(rows: &mut String, of: &Worked, first: Day, day: Option<Day>, (split, by_clock): Row) {
    let (worked, plain, overtime, double) = (split.worked(), split.plain, split.overtime(), split.double);
    let mut cells = vec![harmless(of.technician.as_str()), first.to_string(), of.week.words()];
    cells.push(day.map(|day| day.to_string()).unwrap_or_default());
    cells.push(worked.clock_face());
    cells.extend([plain, overtime, double].map(decimal_hours));
    cells.extend([worked, plain, overtime, double].map(|length| length.ms().to_string()));
    cells.extend([by_clock.clock_face(), by_clock.ms().to_string()]);
    put(rows, &cells.iter().map(String::as_str).collect::<Vec<_>>());
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hours::overtime::{Overtime, weeks};
    use crate::moment::Length;

    #[test]
    fn a_week_of_46_hours_as_in_29_cfr_778_110() {
        // The section's example has 46 hours in a week; here as five days of 9:12.
        let monday = Day::parse("2026-05-04").unwrap();
        let day = |nth| (monday.plus(nth).unwrap(), Length::from_ms((9 * 60 + 12) * 60_000));
        let days = (0..5).map(day).collect();
        let weeks = weeks(&days, Workweek::ISO, Overtime::FEDERAL);
        let technician = Label::new("=M. Sluice");
        let table = table(&[Worked { technician, week: Workweek::ISO, weeks, by_clock: days }]);
        let text = String::from_utf8(table).unwrap();
        let rows: Vec<&str> = text.trim_start_matches('\u{feff}').split_terminator("\r\n").collect();
        assert_eq!(rows.len(), 7);
        let day = "'=M. Sluice,2026-05-04,Monday 00:00,2026-05-08,9:12,3.2000,6.0000,0.0000,33120000,11520000,21600000,0,9:12,33120000";
        assert_eq!(rows[5], day);
        let week = "'=M. Sluice,2026-05-04,Monday 00:00,,46:00,40.0000,6.0000,0.0000,165600000,144000000,21600000,0,46:00,165600000";
        assert_eq!(rows[6], week);
    }

    #[test]
    fn hours_that_rounding_takes_away_stand_beside_what_is_paid() {
        let monday = Day::parse("2026-05-04").unwrap();
        let minutes = |minutes: u64| Length::from_ms(minutes * 60_000);
        // Six minutes are nothing by quarters, and so is all of a week in which there was no more.
        let by_clock = [(0, 478), (1, 6), (7, 7)].map(|(nth, length)| (monday.plus(nth).unwrap(), minutes(length)));
        let paid = BTreeMap::from([(monday, minutes(480))]);
        let weeks = weeks(&paid, Workweek::ISO, Overtime::FEDERAL);
        let technician = Label::new("M. Sluice");
        let by_clock = BTreeMap::from(by_clock);
        let table = String::from_utf8(table(&[Worked { technician, week: Workweek::ISO, weeks, by_clock }])).unwrap();
        let cell = |row: &str, nth: usize| row.split(',').nth(nth).unwrap_or_default().to_owned();
        let rows = table.split_terminator("\r\n").skip(1);
        let told: Vec<_> = rows.map(|row| [1, 3, 4, 12].map(|nth| cell(row, nth)).join(" ")).collect();
        assert_eq!(
            told,
            [
                "2026-05-04 2026-05-04 8:00 7:58",
                "2026-05-04 2026-05-05 0:00 0:06",
                "2026-05-04  8:00 8:04",
                "2026-05-11 2026-05-11 0:00 0:07",
                "2026-05-11  0:00 0:07",
            ]
        );
    }
}
