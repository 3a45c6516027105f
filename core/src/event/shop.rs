//! A shop's own rules for time: how it is paid, billed and counted.
//!
//! They are said as a whole, and the last that was said holds for every day,
//! past ones too: what was tapped is never touched, and every figure follows
//! from both. Where nothing was said, nothing is rounded and the federal rules
//! of the United States hold, as [`crate::hours`] has them.

use crate::hours::overtime::Overtime;
use crate::hours::rounding::{Charge, PunchRule};
use crate::hours::worked;
use crate::hours::workweek::Workweek;
use crate::moment::{Length, TimeOfDay};

/// How a shop pays, bills and counts time.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ShopRules {
    /// How starts and stops are rounded for pay.
    pub pay: PunchRule,
    /// How the length of a line that is billed by the clock is rounded, and what a job costs at least.
    pub bill: Charge,
    /// When the workweek, and each of its workdays, begins.
    pub week: Workweek,
    /// After which hours more is paid.
    pub overtime: Overtime,
    /// Which pauses count as hours worked.
    pub pauses: worked::Rules,
    /// When the working day usually ends; where it is not said, the last days tell.
    pub usual_end: Option<TimeOfDay>,
}

/// The longest least charge of a job.
const LONGEST_MINIMUM: Length = Length::from_ms(24 * HOUR_MS);
const HOUR_MS: u64 = 3_600_000;

/// Why rules make no sense, and what to do instead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Senseless {
    /// Of the workweek.
    #[error("a workweek has 168 hours: enter from 1 to 168")]
    Weekly,
    /// Of the workday.
    #[error("a day has 24 hours: enter from 1 to 24, or leave it empty")]
    Daily,
    /// Of double time.
    #[error("double time begins with the daily overtime or after it: enter as many hours or more")]
    DoubleFirst,
    /// Of the least charge.
    #[error("a least charge of more than 24 hours is likely a slip: enter at most 24")]
    Minimum,
}

impl ShopRules {
    /// Returns the rules, if they make sense together.
    ///
    /// # Errors
    /// Returns [`Senseless`] for hours that no week or day has, and for double
    /// time that would begin before overtime.
    pub fn checked(self) -> Result<Self, Senseless> {
        let hours = |length: Length, most: u64| (HOUR_MS..=most * HOUR_MS).contains(&length.ms());
        let Overtime { weekly, daily, double } = self.overtime;
        if !hours(weekly, 168) {
            return Err(Senseless::Weekly);
        }
        if [daily, double].into_iter().flatten().any(|length| !hours(length, 24)) {
            return Err(Senseless::Daily);
        }
        if daily.zip(double).is_some_and(|(daily, double)| double < daily) {
            return Err(Senseless::DoubleFirst);
        }
        if self.bill.minimum > LONGEST_MINIMUM {
            return Err(Senseless::Minimum);
        }
        Ok(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rules_that_no_week_has_are_not_taken() {
        let hours = |hours: u64| Length::from_ms(hours * HOUR_MS);
        let plain = ShopRules::default();
        for (weekly, daily, double, expected) in [
            (40, None, None, Ok(())),
            (40, Some(8), Some(12), Ok(())),
            (40, Some(8), Some(8), Ok(())),
            (168, None, Some(12), Ok(())),
            (0, None, None, Err(Senseless::Weekly)),
            (169, None, None, Err(Senseless::Weekly)),
            (40, Some(0), None, Err(Senseless::Daily)),
            (40, Some(8), Some(25), Err(Senseless::Daily)),
            (40, Some(10), Some(8), Err(Senseless::DoubleFirst)),
        ] {
            let overtime = Overtime { weekly: hours(weekly), daily: daily.map(hours), double: double.map(hours) };
            assert_eq!(ShopRules { overtime, ..plain }.checked().map(drop), expected, "{weekly} {daily:?} {double:?}");
        }
        let bill = Charge { minimum: hours(25), ..Charge::default() };
        assert_eq!(ShopRules { bill, ..plain }.checked(), Err(Senseless::Minimum));
        assert_eq!(plain.checked(), Ok(plain));
    }
}
