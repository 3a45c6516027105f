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

use super::table::{BYTE_ORDER_MARK, decimal_hours, harmless, put};
use crate::hours::overtime::{Split, Week};
use crate::hours::workweek::Workweek;
use crate::moment::Day;
use crate::text::Label;

/// What an office has to know that keeps this table as its record, after 29 CFR 516.2(a) item by item:
/// (1), (5) and (7) are in it, (2) to (4), (6) and (8) to (12) are not.
pub const RECORDS: &str = "Of the records that 29 CFR 516.2(a) asks for, this table has the name, when the workweek \
    begins, and the hours of each workday and workweek. Not known here, to be kept with payroll: address, date of \
    birth under 19, sex and occupation, regular rate and basis of pay, straight-time earnings, premium pay for \
    overtime, additions and deductions, wages paid, date of payment and pay period.";

const COLUMNS: [&str; 12] = [
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
}

/// Returns the table of each technician's weeks.
pub fn table(of: &[Worked]) -> Vec<u8> {
    let mut rows = String::from(BYTE_ORDER_MARK);
    put(&mut rows, &COLUMNS);
    for Worked { technician, week: workweek, weeks } in of {
        let begins = workweek.words();
        for week in weeks {
            let mut row = |day, split| put_row(&mut rows, technician, week, &begins, day, split);
            week.days.iter().for_each(|&(day, split)| row(Some(day), split));
            row(None, week.sums());
        }
    }
    rows.into_bytes()
}

fn put_row(rows: &mut String, technician: &Label, week: &Week, begins: &str, day: Option<Day>, split: Split) {
    let (worked, plain, overtime, double) = (split.worked(), split.plain, split.overtime(), split.double);
    let mut cells = vec![harmless(technician.as_str()), week.first.to_string(), begins.to_owned()];
    cells.push(day.map(|day| day.to_string()).unwrap_or_default());
    cells.push(worked.clock_face());
    cells.extend([plain, overtime, double].map(decimal_hours));
    cells.extend([worked, plain, overtime, double].map(|length| length.ms().to_string()));
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
        let weeks = weeks(&(0..5).map(day).collect(), Workweek::ISO, Overtime::FEDERAL);
        let table = table(&[Worked { technician: Label::new("=M. Sluice"), week: Workweek::ISO, weeks }]);
        let text = String::from_utf8(table).unwrap();
        let rows: Vec<&str> = text.trim_start_matches('\u{feff}').split_terminator("\r\n").collect();
        assert_eq!(rows.len(), 7);
        let day =
            "'=M. Sluice,2026-05-04,Monday 00:00,2026-05-08,9:12,3.2000,6.0000,0.0000,33120000,11520000,21600000,0";
        assert_eq!(rows[5], day);
        let week = "'=M. Sluice,2026-05-04,Monday 00:00,,46:00,40.0000,6.0000,0.0000,165600000,144000000,21600000,0";
        assert_eq!(rows[6], week);
    }
}
