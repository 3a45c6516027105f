//! Overtime: the hours of a workweek beyond what is paid at the plain rate.
//!
//! Federal rule of the United States: hours over 40 in one workweek, each week
//! standing alone (29 CFR 778.100, 778.104), and none by the day (778.102). Some
//! states and shops add a daily threshold and one for double time; they are data
//! here. An hour is overtime once: what is over the day's threshold does not
//! count towards the week's again (for one state, Monzon v. Schaefer Ambulance
//! Service, 224 Cal. App. 3d 16 (1990)). So overtime and double time together
//! are never less than the week's hours over its threshold.
//!
//! Rules for a seventh day in a row and for holidays are not covered.

use std::collections::BTreeMap;

use super::workweek::Workweek;
use super::{beyond, minutes};
use crate::moment::{Day, Length};

/// The hours after which more is paid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Overtime {
    /// In a workweek.
    pub weekly: Length,
    /// In a workday.
    pub daily: Option<Length>,
    /// In a workday, for double time; not before the daily one.
    pub double: Option<Length>,
}

impl Overtime {
    /// The federal rule of the United States: over 40 hours in a workweek.
    pub const FEDERAL: Overtime = Overtime { weekly: minutes(40 * 60), daily: None, double: None };

    /// Splits a day, of which so much may still be plain before the week is full.
    fn split(self, worked: Length, plain_left: Length) -> Split {
        let past = |threshold: Option<Length>| threshold.map_or(Length::ZERO, |from| beyond(worked, from));
        // A threshold for double time alone, or one below the daily one, takes the later of the two.
        let double = past(self.double.max(self.daily.filter(|_| self.double.is_some())));
        let over_day = beyond(past(self.daily), double);
        let within = beyond(worked, double + over_day);
        let over_week = beyond(within, plain_left);
        Split { plain: beyond(within, over_week), over_week, over_day, double }
    }
}

impl Default for Overtime {
    fn default() -> Self {
        Self::FEDERAL
    }
}

/// Hours worked by what they are paid as; together they are all of them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Split {
    /// At the plain rate.
    pub plain: Length,
    /// Overtime because the week was full.
    pub over_week: Length,
    /// Overtime because the day was.
    pub over_day: Length,
    /// Double time.
    pub double: Length,
}

impl Split {
    /// Returns all hours worked.
    pub fn worked(&self) -> Length {
        self.plain + self.overtime() + self.double
    }

    /// Returns the overtime, for whichever reason, without double time.
    pub fn overtime(&self) -> Length {
        self.over_week + self.over_day
    }

    fn plus(self, other: Split) -> Split {
        Split {
            plain: self.plain + other.plain,
            over_week: self.over_week + other.over_week,
            over_day: self.over_day + other.over_day,
            double: self.double + other.double,
        }
    }
}

/// A workweek and how its days are paid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Week {
    /// Its first day.
    pub first: Day,
    /// The days on which there was work, in order.
    pub days: Vec<(Day, Split)>,
}

impl Week {
    /// Returns the sums of the week.
    pub fn sums(&self) -> Split {
        self.days.iter().fold(Split::default(), |sum, &(_, day)| sum.plus(day))
    }
}

/// Returns the workweeks with work in them, earliest first.
///
/// `days` are the hours worked by workday, as [`super::workweek::by_day`] gives
/// them for the same start of the day.
pub fn weeks(days: &BTreeMap<Day, Length>, week: Workweek, rules: Overtime) -> Vec<Week> {
    let mut weeks: Vec<Week> = Vec::new();
    let mut plain = Length::ZERO;
    for (&day, &worked) in days {
        let first = week.first_of(day);
        if weeks.last().is_none_or(|last| last.first != first) {
            weeks.push(Week { first, days: Vec::new() });
            plain = Length::ZERO;
        }
        let split = rules.split(worked, beyond(rules.weekly, plain));
        plain = plain + split.plain;
        if let Some(last) = weeks.last_mut() {
            last.days.push((day, split));
        }
    }
    weeks
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const STATE: Overtime =
        Overtime { weekly: minutes(40 * 60), daily: Some(minutes(8 * 60)), double: Some(minutes(12 * 60)) };

    fn monday() -> Day {
        Day::parse("2026-05-04").unwrap()
    }

    /// Returns days in a row from a Monday, of so many tenths of an hour each.
    fn days(tenths: &[u64]) -> BTreeMap<Day, Length> {
        (0..).zip(tenths).map(|(nth, &tenths)| (monday().plus(nth).unwrap(), minutes(tenths * 6))).collect()
    }

    fn tenths(length: Length) -> u64 {
        assert_eq!(length.ms() % 360_000, 0);
        length.ms() / 360_000
    }

    /// Checks weeks told as plain, over the week, over the day, double, in tenths of an hour.
    #[track_caller]
    fn check(rules: Overtime, of_days: &[u64], expected: &[[u64; 4]]) {
        let told = |week: &Week| {
            let sums = week.sums();
            [sums.plain, sums.over_week, sums.over_day, sums.double].map(tenths)
        };
        let found: Vec<_> = weeks(&days(of_days), Workweek::ISO, rules).iter().map(told).collect();
        assert_eq!(found, expected, "{of_days:?}");
    }

    #[test]
    fn each_week_stands_alone_29_cfr_778_104() {
        // The section's example: 30 hours in one week and 50 in the next.
        check(
            Overtime::FEDERAL,
            &[60, 60, 60, 60, 60, 0, 0, 100, 100, 100, 100, 100],
            &[[300, 0, 0, 0], [400, 100, 0, 0]],
        );
    }

    #[test]
    fn fact_sheet_53_example_2_has_one_and_a_quarter_hours_over_40() {
        let quarter_hours: BTreeMap<_, _> = (0..5).map(|nth| (monday().plus(nth).unwrap(), minutes(495))).collect();
        let week = &weeks(&quarter_hours, Workweek::ISO, Overtime::FEDERAL)[0];
        assert_eq!(week.sums().worked(), minutes(41 * 60 + 15));
        assert_eq!(week.sums().overtime(), minutes(75));
        // It is the end of the week that is over it.
        assert_eq!(week.days[4].1.over_week, minutes(75));
        assert!(week.days[..4].iter().all(|(_, day)| day.overtime() == Length::ZERO));
    }

    #[test]
    fn no_overtime_by_the_day_29_cfr_778_102() {
        check(Overtime::FEDERAL, &[140, 130, 130], &[[400, 0, 0, 0]]);
    }

    /// Returns the pay in cents for plain hours at a rate and overtime at one and a half times it.
    fn pay(of_week: [u64; 5], bonus: u64, rate: u64) -> (u64, u64) {
        let week = weeks(&days(&of_week), Workweek::ISO, Overtime::FEDERAL)[0].sums();
        let (all, over) = (tenths(week.worked()), tenths(week.overtime()));
        // In tenths of a cent: all hours at the regular rate, half of it more for overtime.
        let earned = all * rate + 10 * bonus;
        assert_eq!(earned % all, 0, "the regular rate is whole cents in these examples");
        let regular = earned / all;
        (regular, (earned + over * regular / 2) / 10)
    }

    #[test]
    fn the_hours_of_29_cfr_778_110_make_its_pay() {
        // 778.110(a) and (b), text of 2011 (76 FR 18857): $12 an hour, 46 hours, then a bonus of $46.
        let week = [92, 92, 92, 92, 92];
        assert_eq!(pay(week, 0, 1_200), (1_200, 58_800));
        assert_eq!(pay(week, 4_600, 1_200), (1_300, 63_700));
        // The same, text of 1981 (46 FR 7309): $6 an hour, then a bonus of $9.20.
        assert_eq!(pay(week, 0, 600), (600, 29_400));
        assert_eq!(pay(week, 920, 600), (620, 30_380));
    }

    #[test]
    fn a_salary_for_35_hours_has_no_overtime_before_40_29_cfr_778_113() {
        // 778.113(a), text of 1981: $182.70 for 35 hours is $5.22 an hour, also for hours 36 to
        // 40, and $7.83 after them. 35, 40 and 42 hours:
        for (of_day, expected) in [(70, 35 * 522), (80, 40 * 522), (84, 40 * 522 + 2 * 783)] {
            assert_eq!(pay([of_day; 5], 0, 18_270 / 35), (522, expected));
        }
    }

    #[test]
    fn no_hour_is_overtime_twice() {
        // Table worked by hand; the first two are the cases in which it would be.
        check(STATE, &[100, 100, 100, 100, 100], &[[400, 0, 100, 0]]);
        check(STATE, &[100, 100, 100, 100, 100, 100, 140], &[[400, 160, 160, 20]]);
        check(STATE, &[80, 80, 80, 80, 80, 40], &[[400, 40, 0, 0]]);
        check(STATE, &[130, 0, 75, 121], &[[235, 0, 80, 11]]);
        check(STATE, &[80, 80, 80, 80, 80, 90], &[[400, 80, 10, 0]]);
    }

    #[test]
    fn thresholds_in_odd_orders() {
        let only_double = Overtime { daily: None, ..STATE };
        check(only_double, &[130], &[[120, 0, 0, 10]]);
        let swapped = Overtime { daily: STATE.double, double: STATE.daily, ..STATE };
        check(swapped, &[130], &[[120, 0, 0, 10]]);
    }

    fn any_rules() -> impl Strategy<Value = Overtime> {
        let hours = || prop::option::of((0..16_u64).prop_map(|hours| minutes(hours * 60)));
        (0..60_u64, hours(), hours()).prop_map(|(weekly, daily, double)| Overtime {
            weekly: minutes(weekly * 60),
            daily,
            double,
        })
    }

    proptest! {
        #[test]
        fn a_split_is_all_of_the_day_and_never_less_overtime_than_the_law_asks(
                of_days in prop::collection::vec(0..90_000_000_u64, 1..30), rules in any_rules()) {
            let days: BTreeMap<_, _> =
                (0..).zip(&of_days).map(|(nth, &ms)| (monday().plus(nth).unwrap(), Length::from_ms(ms))).collect();
            for week in weeks(&days, Workweek::ISO, rules) {
                for (day, split) in &week.days {
                    prop_assert_eq!(split.worked(), days[day]);
                    prop_assert!(rules.daily.is_none_or(|daily| split.plain <= daily));
                }
                let sums = week.sums();
                prop_assert!(sums.plain <= rules.weekly);
                prop_assert!(sums.overtime() + sums.double >= beyond(sums.worked(), rules.weekly));
                prop_assert!(sums.over_week <= beyond(sums.worked(), rules.weekly));
            }
        }
    }
}
