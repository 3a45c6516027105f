//! The workweek: seven days in a row from the day and hour that the shop sets.
//!
//! 29 CFR 778.105: a workweek is a fixed and regularly recurring period of 168
//! hours, seven consecutive periods of 24 hours, and may begin on any day and at
//! any hour. The border is a time of the local clock, so that it stays where
//! people know it; the week in which clocks change has an hour more or less (on
//! Lord Howe half of one). The section says nothing about clock changes: that is
//! common practice.
//!
//! A stretch over the border is cut there, by the rule of [`days`].

use std::collections::BTreeMap;

use super::days::{self, DayStart, Part};
use crate::moment::{Day, Length, Moment};

/// A day of the week.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weekday {
    /// The first day by ISO 8601.
    Monday,
    /// The second.
    Tuesday,
    /// The third.
    Wednesday,
    /// The fourth.
    Thursday,
    /// The fifth.
    Friday,
    /// The sixth.
    Saturday,
    /// The seventh.
    Sunday,
}

impl Weekday {
    /// All, from Monday.
    pub const ALL: [Weekday; 7] = [
        Weekday::Monday,
        Weekday::Tuesday,
        Weekday::Wednesday,
        Weekday::Thursday,
        Weekday::Friday,
        Weekday::Saturday,
        Weekday::Sunday,
    ];

    /// Returns the name.
    pub const fn words(self) -> &'static str {
        match self {
            Weekday::Monday => "Monday",
            Weekday::Tuesday => "Tuesday",
            Weekday::Wednesday => "Wednesday",
            Weekday::Thursday => "Thursday",
            Weekday::Friday => "Friday",
            Weekday::Saturday => "Saturday",
            Weekday::Sunday => "Sunday",
        }
    }
}

/// When a shop's workweek, and with it each of its workdays, begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Workweek {
    /// The day on which it begins.
    pub first: Weekday,
    /// The time of the local clock at which it and each of its days begin.
    pub start: DayStart,
}

impl Workweek {
    /// The week of ISO 8601: from Monday at midnight.
    pub const ISO: Workweek = Workweek { first: Weekday::Monday, start: DayStart::MIDNIGHT };

    /// Returns the first day of the week that a workday belongs to.
    pub fn first_of(self, day: Day) -> Day {
        let passed = (7 + day.weekday() - self.first as usize) % 7;
        day.plus(-(passed as i64)).unwrap_or(day)
    }

    /// Returns when it begins, as the day and the time of the local clock: `Monday 00:00`.
    pub fn words(self) -> String {
        let minute = self.start.minute();
        format!("{} {:02}:{:02}", self.first.words(), minute / 60, minute % 60)
    }

    /// Cuts the time between two moments at each border of weeks, earliest part first.
    pub fn parts(self, from: Moment, to: Moment) -> Vec<Part> {
        let mut weeks: Vec<Part> = Vec::new();
        for part in days::parts(from, to, self.start) {
            let first = self.first_of(part.day);
            match weeks.last_mut().filter(|week| week.day == first) {
                Some(week) => week.to = part.to,
                None => weeks.push(Part { day: first, ..part }),
            }
        }
        weeks
    }
}

impl Default for Workweek {
    fn default() -> Self {
        Self::ISO
    }
}

/// Returns the time of each workday, of those that have any.
pub fn by_day(times: impl Iterator<Item = (Moment, Moment)>, start: DayStart) -> BTreeMap<Day, Length> {
    sum(times.flat_map(|(from, to)| days::parts(from, to, start)).map(|part| (part.day, part.length())))
}

/// Returns the time of each workweek by its first day, from the time of its days.
pub fn by_week(days: &BTreeMap<Day, Length>, week: Workweek) -> BTreeMap<Day, Length> {
    sum(days.iter().map(|(&day, &length)| (week.first_of(day), length)))
}

fn sum(times: impl Iterator<Item = (Day, Length)>) -> BTreeMap<Day, Length> {
    let mut sums = BTreeMap::new();
    for (day, length) in times.filter(|&(_, length)| length > Length::ZERO) {
        let sum: &mut Length = sums.entry(day).or_default();
        *sum = *sum + length;
    }
    sums
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn at(text: &str) -> Moment {
        Moment::parse(text).unwrap()
    }

    fn day(text: &str) -> Day {
        Day::parse(text).unwrap()
    }

    fn week(first: Weekday, hour: u8) -> Workweek {
        Workweek { first, start: DayStart::at(hour, 0).unwrap() }
    }

    #[test]
    fn weekdays_are_named_as_the_calendar_counts_them() {
        // ISO 8601: 2026-05-04 is a Monday, 2026-05-10 a Sunday.
        for (nth, weekday) in Weekday::ALL.into_iter().enumerate() {
            let date = day("2026-05-04").plus(nth as i64).unwrap();
            assert_eq!((weekday as usize, date.weekday()), (nth, nth), "{}", weekday.words());
            assert_eq!(week(weekday, 0).first_of(date), date);
            assert_eq!(week(weekday, 0).first_of(date.plus(6).unwrap()), date);
        }
    }

    #[test]
    fn iso_weeks_over_the_turn_of_the_year() {
        // ISO 8601: 2027-01-01 is in the week of 2026-12-28 (2026-W53), 2024-12-30 begins 2025-W01.
        assert_eq!(Workweek::ISO.first_of(day("2027-01-01")), day("2026-12-28"));
        assert_eq!(Workweek::ISO.first_of(day("2025-01-05")), day("2024-12-30"));
    }

    #[test]
    fn hours_between_an_old_and_a_new_start_lie_in_both_weeks_29_cfr_778_301() {
        // The section's example: the week began on Monday at 7 a.m. and shall begin on Sunday
        // at 7 a.m.; the hours from Sunday 7 a.m. to Monday 7 a.m. are the last of the old
        // week and the first of the new one.
        let (from, to) = (at("2026-05-10T07:00:00-04:00"), at("2026-05-11T07:00:00-04:00"));
        let lies = |first| week(first, 7).parts(from, to).first().map(|part| (part.day, part.length().clock_face()));
        assert_eq!(lies(Weekday::Monday), Some((day("2026-05-04"), "24:00".to_owned())));
        assert_eq!(lies(Weekday::Sunday), Some((day("2026-05-10"), "24:00".to_owned())));
    }

    #[test]
    fn a_shift_over_the_border_is_cut_there() {
        let parts = week(Weekday::Sunday, 7).parts(at("2026-05-10T05:00:00-04:00"), at("2026-05-10T10:00:00-04:00"));
        let told: Vec<_> = parts.iter().map(|part| (part.day, part.length().clock_face())).collect();
        assert_eq!(told, [(day("2026-05-03"), "2:00".to_owned()), (day("2026-05-10"), "3:00".to_owned())]);
        assert_eq!(parts[0].to, parts[1].from);
    }

    /// Stretches that follow one another, each noted at any offset.
    fn times() -> impl Strategy<Value = Vec<(Moment, Moment)>> {
        let step = (0..40 * 3_600_000_i64, prop_oneof![8 => Just(60_i16), 1 => -720..=840_i16]);
        prop::collection::vec(step, 1..60).prop_map(|steps| {
            let mut at = 1_770_000_000_000;
            let mut taps = Vec::new();
            for (passes, offset) in steps {
                at += passes;
                taps.push(Moment::new(at, offset).unwrap());
            }
            taps.windows(2).map(|two| (two[0], two[1])).collect()
        })
    }

    fn any_week() -> impl Strategy<Value = Workweek> {
        (0..7_usize, 0..24_u8, 0..60_u8)
            .prop_map(|(first, h, m)| Workweek { first: Weekday::ALL[first], start: DayStart::at(h, m).unwrap() })
    }

    fn whole(times: &[(Moment, Moment)]) -> u64 {
        times.iter().map(|(from, to)| (to.utc_ms() - from.utc_ms()) as u64).sum()
    }

    proptest! {
        #[test]
        fn cutting_loses_nothing_and_doubles_nothing(times in times(), week in any_week()) {
            for &(from, to) in &times {
                for parts in [days::parts(from, to, week.start).collect(), week.parts(from, to)] {
                    prop_assert_eq!(parts[0].from, from);
                    prop_assert_eq!(parts[parts.len() - 1].to, to);
                    for two in parts.windows(2) {
                        prop_assert_eq!(two[0].to, two[1].from);
                        prop_assert!(two[0].day < two[1].day && two[0].from.utc_ms() <= two[0].to.utc_ms());
                    }
                }
            }
        }

        #[test]
        fn totals_of_days_equal_totals_of_weeks_to_the_millisecond(times in times(), week in any_week()) {
            let days = by_day(times.iter().copied(), week.start);
            // Weeks summed from their days, and from stretches cut at the borders of weeks alone.
            let parts = times.iter().flat_map(|&(from, to)| week.parts(from, to));
            prop_assert_eq!(by_week(&days, week), sum(parts.map(|part| (part.day, part.length()))));
            prop_assert_eq!(days.values().map(|length| length.ms()).sum::<u64>(), whole(&times));
            // Another week or another day only puts the same time elsewhere.
            let civil: Length = by_day(times.iter().copied(), DayStart::MIDNIGHT).into_values().sum();
            prop_assert_eq!(civil.ms(), whole(&times));
        }

        #[test]
        fn at_one_offset_a_part_stays_within_its_day(from in 1_770_000_000_000..1_780_000_000_000_i64, long in 0..400_000_000_i64,
                offset in -720..=840_i16, week in any_week()) {
            let (from, to) = (Moment::new(from, offset).unwrap(), Moment::new(from + long, offset).unwrap());
            for part in days::parts(from, to, week.start) {
                prop_assert_eq!(week.start.day_of(part.from), part.day);
                if part.length() > Length::ZERO {
                    let last = Moment::new(part.to.utc_ms() - 1, offset).unwrap();
                    prop_assert_eq!(week.start.day_of(last), part.day);
                }
            }
        }
    }
}
