//! Days and weeks held against the IANA time zone database.
//!
//! The database knows the local time at every instant; a stretch knows it at its
//! two ends only. Tried is every change of 2024 to 2027 in zones of every kind:
//! by an hour and by half of one, after midnight, at midnight and before it.

use std::collections::BTreeMap;

use chrono::{DateTime, Offset, TimeZone};
use chrono_tz::Tz;

use super::days::{self, DayStart, Part};
use super::workweek::{Weekday, Workweek, by_day, by_week};
use crate::moment::{Day, Length, Moment};

/// Where clocks change after midnight.
const AFTER_MIDNIGHT: [Tz; 12] = [
    Tz::America__New_York,
    Tz::America__Los_Angeles,
    Tz::America__St_Johns,
    Tz::America__Halifax,
    Tz::Europe__London,
    Tz::Europe__Athens,
    Tz::Atlantic__Azores,
    Tz::Africa__Casablanca,
    Tz::Australia__Sydney,
    Tz::Australia__Lord_Howe,
    Tz::Pacific__Auckland,
    Tz::Asia__Jerusalem,
];
/// Where they change at midnight or before it, at least once a year.
const BY_MIDNIGHT: [Tz; 4] = [Tz::America__Santiago, Tz::America__Nuuk, Tz::Africa__Cairo, Tz::Asia__Beirut];

/// Every change and every border here lies at a half hour of UTC.
const HALF_HOUR_MS: i64 = 30 * 60_000;
const HOUR_MS: i64 = 2 * HALF_HOUR_MS;
const DAY_MS: i64 = 24 * HOUR_MS;

fn moment(zone: Tz, utc_ms: i64) -> Moment {
    let utc = DateTime::from_timestamp_millis(utc_ms).unwrap().naive_utc();
    let seconds = zone.offset_from_utc_datetime(&utc).fix().local_minus_utc();
    Moment::new(utc_ms, i16::try_from(seconds / 60).unwrap()).unwrap()
}

fn year(year: i32) -> i64 {
    Moment::parse(&format!("{year}-01-01T00:00:00Z")).unwrap().utc_ms()
}

/// Returns the instants from 2024 to 2027 at which a zone's clocks change.
fn changes(zone: Tz) -> Vec<i64> {
    let offset = |at: i64| moment(zone, at).offset_min();
    let days = every(DAY_MS, year(2024), year(2028)).filter(|&day| offset(day) != offset(day + DAY_MS));
    let times = days.flat_map(|day| every(HALF_HOUR_MS, day + HALF_HOUR_MS, day + DAY_MS + 1));
    times.filter(|&at| offset(at) != offset(at - 1)).collect()
}

fn every(step: i64, from: i64, to: i64) -> impl Iterator<Item = i64> {
    (from..to).step_by(usize::try_from(step).unwrap())
}

/// What is wrong in stretches that lie over a change.
#[derive(Debug, Default, PartialEq, Eq)]
struct Wrong {
    stretches: u32,
    of: u32,
    most_minutes: i64,
    minutes: i64,
}

/// Cuts stretches of 2 to 16 hours over every change, in steps of half an hour, and
/// compares the day of every half hour with what the database says.
fn wrong(zone: Tz, start: DayStart) -> Wrong {
    wrong_by(zone, start, |from, to| days::parts(from, to, start).collect())
}

fn wrong_by(zone: Tz, start: DayStart, cut: impl Fn(Moment, Moment) -> Vec<Part>) -> Wrong {
    let mut wrong = Wrong::default();
    for change in changes(zone) {
        for long in [2, 5, 8, 12, 16].map(|hours| hours * HOUR_MS) {
            for from in every(HALF_HOUR_MS, change - long, change) {
                let parts = cut(moment(zone, from), moment(zone, from + long));
                let minutes = wrong_minutes(zone, start, &parts);
                wrong.of += 1;
                wrong.minutes += minutes;
                wrong.stretches += u32::from(minutes > 0);
                wrong.most_minutes = wrong.most_minutes.max(minutes);
            }
        }
    }
    wrong
}

fn wrong_minutes(zone: Tz, start: DayStart, parts: &[Part]) -> i64 {
    let is_wrong = |part: &Part, at: &i64| part.day != start.day_of(moment(zone, *at));
    let half_hours = |part: &Part| every(HALF_HOUR_MS, part.from.utc_ms(), part.to.utc_ms());
    parts.iter().map(|part| half_hours(part).filter(|at| is_wrong(part, at)).count() as i64 * 30).sum()
}

/// Cuts at midnight by the offset of the nearer end: what was weighed and not taken.
fn by_nearer_end(from: Moment, to: Moment) -> Vec<Part> {
    let day = from.day();
    if to.day() <= day {
        return vec![Part { day, from, to }];
    }
    let by_begin = from.next_midnight();
    let by_end = Moment::new(to.next_midnight().utc_ms() - DAY_MS, to.offset_min()).unwrap();
    let begin_is_nearer = by_begin.utc_ms() - from.utc_ms() <= to.utc_ms() - by_end.utc_ms();
    let midnight = if begin_is_nearer { by_begin } else { by_end }.max(from).min(to);
    vec![Part { day, from, to: midnight }, Part { day: to.day(), from: midnight, to }]
}

fn starting(first: Weekday, hour: u8) -> Workweek {
    Workweek { first, start: DayStart::at(hour, 0).unwrap() }
}

#[test]
fn the_zones_change_as_they_are_here_for() {
    let counts: Vec<_> = AFTER_MIDNIGHT.into_iter().chain(BY_MIDNIGHT).map(|zone| changes(zone).len()).collect();
    assert!(counts.iter().all(|&count| count >= 8), "two changes a year: {counts:?}");
    let by = |zone| {
        let moved = |at: i64| moment(zone, at).offset_min().abs_diff(moment(zone, at - 1).offset_min());
        changes(zone).into_iter().map(moved).max()
    };
    assert_eq!((by(Tz::Australia__Lord_Howe), by(Tz::Africa__Casablanca)), (Some(30), Some(60)));
}

#[test]
fn a_shift_over_a_change_after_midnight_is_cut_where_the_database_says() {
    for zone in AFTER_MIDNIGHT {
        let found = wrong(zone, DayStart::MIDNIGHT);
        assert!(found.stretches == 0 && found.of > 500, "{zone}: {found:?}");
    }
}

#[test]
fn a_day_that_begins_in_the_morning_begins_after_the_change() {
    for zone in AFTER_MIDNIGHT.into_iter().chain(BY_MIDNIGHT) {
        for hour in [4, 7] {
            let found = wrong(zone, DayStart::at(hour, 0).unwrap());
            assert_eq!(found.stretches, 0, "{zone} at {hour}: {found:?}");
        }
    }
}

#[test]
fn what_is_left_is_an_hour_on_the_neighbouring_day() {
    for zone in BY_MIDNIGHT {
        assert_eq!(wrong(zone, DayStart::MIDNIGHT).most_minutes, 60, "{zone}");
    }
    // So it is where a day begins in the very hours in which clocks change.
    for hour in 1..=3 {
        for zone in AFTER_MIDNIGHT {
            let found = wrong(zone, DayStart::at(hour, 0).unwrap());
            assert!(found.most_minutes <= 60, "{zone} at {hour}: {found:?}");
        }
    }
}

#[test]
fn the_nearer_end_puts_twice_as_many_minutes_on_a_wrong_day() {
    let zones = || AFTER_MIDNIGHT.into_iter().chain(BY_MIDNIGHT);
    let ours: i64 = zones().map(|zone| wrong(zone, DayStart::MIDNIGHT).minutes).sum();
    let nearer: i64 = zones().map(|zone| wrong_by(zone, DayStart::MIDNIGHT, by_nearer_end).minutes).sum();
    assert!(ours > 0 && nearer > 2 * ours, "{ours} and {nearer} minutes");
}

/// Returns four years of a shift a day from an hour of the local clock, noted as a phone does.
fn shifts(zone: Tz, hour: i64, long: i64) -> Vec<(Moment, Moment)> {
    let days = every(DAY_MS, year(2024), year(2028));
    days.map(|day| {
        let noon = moment(zone, day + 12 * HOUR_MS);
        let from = day + hour * HOUR_MS + 7 * 60_001 - i64::from(noon.offset_min()) * 60_000;
        (moment(zone, from), moment(zone, from + long * HOUR_MS + 123))
    })
    .collect()
}

/// Sums the local days of some times as the database tells them, to the millisecond.
fn by_database(zone: Tz, times: &[(Moment, Moment)], name: impl Fn(Moment) -> Day) -> BTreeMap<Day, Length> {
    let mut sums: BTreeMap<Day, Length> = BTreeMap::new();
    for &(from, to) in times {
        let mut at = from.utc_ms();
        while at < to.utc_ms() {
            let next = (at - at.rem_euclid(HALF_HOUR_MS) + HALF_HOUR_MS).min(to.utc_ms());
            let sum = sums.entry(name(moment(zone, at))).or_default();
            *sum = *sum + Length::from_ms((next - at) as u64);
            at = next;
        }
    }
    sums
}

#[test]
fn four_years_of_shifts_have_the_databases_days_and_weeks() {
    for zone in AFTER_MIDNIGHT {
        for (hour, long) in [(7, 9), (21, 8)] {
            let times = shifts(zone, hour, long);
            let days = by_day(times.iter().copied(), DayStart::MIDNIGHT);
            assert_eq!(days, by_database(zone, &times, Moment::day), "{zone} from {hour}:00");
            let week = starting(Weekday::Sunday, 5);
            let expected = by_database(zone, &times, |at| week.first_of(week.start.day_of(at)));
            let days = by_day(times.iter().copied(), week.start);
            assert_eq!(by_week(&days, week), expected, "{zone} from {hour}:00");
        }
    }
}

#[test]
fn a_week_has_168_hours_and_what_the_clocks_add_or_take() {
    for (zone, hours_of_a_change) in [
        (Tz::America__New_York, [167.0, 169.0]),
        (Tz::Australia__Lord_Howe, [167.5, 168.5]),
        (Tz::Africa__Casablanca, [167.0, 169.0]),
    ] {
        // A tap every half hour for a year and a half.
        let taps: Vec<_> = every(HALF_HOUR_MS, year(2026), year(2027) + 4_000 * HOUR_MS).collect();
        let times = taps.windows(2).map(|two| (moment(zone, two[0]), moment(zone, two[1])));
        let week = starting(Weekday::Sunday, 7);
        let weeks = by_week(&by_day(times, week.start), week);
        let lengths: Vec<_> = weeks.values().map(|length| length.ms() as f64 / 3_600_000.0).collect();
        // The first and the last are not whole.
        let odd: Vec<_> = lengths[1..lengths.len() - 1].iter().filter(|&&hours| hours != 168.0).copied().collect();
        assert!(odd.len() >= 3 && odd.iter().all(|hours| hours_of_a_change.contains(hours)), "{zone}: {odd:?}");
    }
}

#[test]
fn days_of_the_database_at_both_changes_of_2026() {
    // IANA time zone database 2026c, compiled: day lengths in minutes.
    for (zone, day, minutes) in [
        (Tz::America__New_York, "2026-03-08", 23 * 60),
        (Tz::America__New_York, "2026-11-01", 25 * 60),
        (Tz::Europe__London, "2026-03-29", 23 * 60),
        (Tz::Europe__Athens, "2026-10-25", 25 * 60),
        (Tz::Australia__Sydney, "2026-04-05", 25 * 60),
        (Tz::Pacific__Auckland, "2026-09-27", 23 * 60),
        (Tz::Australia__Lord_Howe, "2026-04-05", 24 * 60 + 30),
        (Tz::Australia__Lord_Howe, "2026-10-04", 23 * 60 + 30),
        (Tz::Africa__Casablanca, "2026-02-15", 25 * 60),
        (Tz::Africa__Casablanca, "2026-03-22", 23 * 60),
    ] {
        let noon = Moment::parse(&format!("{day}T12:00:00Z")).unwrap().utc_ms();
        // The clock was never tapped from the day before until the day after.
        let ends = [noon - 30 * HOUR_MS, noon + 30 * HOUR_MS].map(|at| moment(zone, at));
        let found = days::parts(ends[0], ends[1], DayStart::MIDNIGHT).find(|part| part.day.to_string() == day).unwrap();
        assert_eq!(found.length().minutes(), minutes, "{zone} {day}");
    }
}
