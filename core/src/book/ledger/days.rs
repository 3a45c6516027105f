//! Civil days: where a span over midnight is cut.
//!
//! The rule is that of all working time ([`crate::hours::days`]): the first part
//! lies on the local day of the span's beginning, the last on that of its end,
//! and between the two the clocks are taken to have changed in the small hours.
//! Held against the time zone database below: no minute of any shift of up to 16
//! hours is on another day in zones that change after midnight. Where clocks
//! change at midnight itself, up to an hour may stand on the neighbouring day.
//! Lengths come from instants and are exact everywhere.

use super::Span;
use crate::hours::days::{DayStart, parts};
use crate::moment::{Day, Length};

/// Cuts a span at each local midnight and says on which day each part lies.
///
/// A day that was skipped on a journey has no part; a span that took no time is
/// one part.
pub fn by_day(span: Span) -> Vec<(Day, Span)> {
    let first = (span.from.day(), span);
    let parts = parts(span.from, span.to, DayStart::MIDNIGHT).filter(|part| part.length() > Length::ZERO);
    let cut: Vec<(Day, Span)> = parts.map(|it| (it.day, Span { from: it.from, to: it.to, ..span })).collect();
    if cut.is_empty() { vec![first] } else { cut }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Activity, On};
    use crate::id::{DeviceId, EventId};
    use crate::moment::Moment;
    use chrono::{DateTime, Datelike, Duration, NaiveDate, Offset, TimeZone, Utc};
    use chrono_tz::Tz;

    const ZONES: [Tz; 8] = [
        Tz::Europe__London,
        Tz::Europe__Berlin,
        Tz::America__New_York,
        Tz::America__Los_Angeles,
        Tz::America__St_Johns,
        Tz::Australia__Lord_Howe,
        Tz::Africa__Casablanca,
        Tz::Pacific__Auckland,
    ];

    fn noted(utc: DateTime<Utc>, zone: Tz) -> Moment {
        let offset = zone.offset_from_utc_datetime(&utc.naive_utc()).fix().local_minus_utc() / 60;
        Moment::new(utc.timestamp_millis(), offset as i16).unwrap()
    }

    fn offset(utc: DateTime<Utc>, zone: Tz) -> i16 {
        noted(utc, zone).offset_min()
    }

    /// Returns the hours in which a zone's clocks were changed from 2024 to 2027.
    fn changes(zone: Tz) -> Vec<DateTime<Utc>> {
        let first = Utc.with_ymd_and_hms(2024, 1, 1, 0, 0, 0).unwrap();
        let hours = (0..4 * 366 * 24).map(|hour| first + Duration::hours(hour));
        hours.filter(|&at| at.year() < 2028 && offset(at, zone) != offset(at + Duration::hours(1), zone)).collect()
    }

    fn span(from: Moment, to: Moment) -> Span {
        let id = EventId { device: DeviceId::new([1; 8]), seq: 1 };
        let (activity, on) = (Activity::Labour, On::NoJob);
        Span { from, to, activity, on, said_by: id, begun_by: id, ended_by: None }
    }

    /// Returns the minutes of each day from `from` to `to` as the zone's table has them.
    fn judged(from: DateTime<Utc>, to: DateTime<Utc>, zone: Tz) -> Vec<(NaiveDate, i64)> {
        let mut days: Vec<(NaiveDate, i64)> = Vec::new();
        let mut at = from;
        while at < to {
            let day = at.with_timezone(&zone).date_naive();
            match days.last_mut() {
                Some((last, minutes)) if *last == day => *minutes += 30,
                _ => days.push((day, 30)),
            }
            at += Duration::minutes(30);
        }
        days
    }

    /// Returns how many minutes a rule counts to another day than the zone's table.
    fn wrong(rule: fn(Span) -> Vec<(Day, Span)>, from: DateTime<Utc>, to: DateTime<Utc>, zone: Tz) -> i64 {
        let parts = rule(span(noted(from, zone), noted(to, zone)));
        let sum: Length = parts.iter().map(|(_, part)| part.length()).sum();
        assert_eq!(sum.ms() as i64, (to - from).num_milliseconds());
        let judged = judged(from, to, zone);
        let missed = judged.iter().map(|&(day, minutes)| {
            let counted = parts.iter().filter(|(on, _)| on.to_string() == day.to_string());
            let counted: i64 = counted.map(|(_, part)| part.length().minutes() as i64).sum();
            (minutes - counted).max(0)
        });
        missed.sum()
    }

    /// Adds up a rule's wrong minutes over shifts across every change of clocks: as
    /// many hours before it as `step` goes into `longest`, and as many hours long.
    fn wrong_around_changes(rule: fn(Span) -> Vec<(Day, Span)>, zones: &[Tz], step: usize, longest: i64) -> i64 {
        let mut sum = 0;
        for &zone in zones {
            let changes = changes(zone);
            assert!(changes.len() >= 8, "{zone} changes its clocks twice a year");
            for change in changes {
                let every = |from: i64| (from..=longest).step_by(step);
                for (before, hours) in every(0).flat_map(|before| every(1).map(move |hours| (before, hours))) {
                    let from = change - Duration::hours(before);
                    let to = from + Duration::hours(hours);
                    // The same offset at both ends leaves nothing to be guessed.
                    if offset(from, zone) != offset(to, zone) {
                        sum += wrong(rule, from, to, zone);
                    }
                }
            }
        }
        sum
    }

    fn with_offset(moment: Moment, offset_min: i16) -> Moment {
        Moment::new(moment.utc_ms(), offset_min).unwrap()
    }

    #[test]
    fn a_shift_over_midnight_and_a_change_of_clocks_is_cut_as_the_time_zone_database_has_it() {
        // IANA time zone database as of chrono-tz 0.10.4; shifts of 1 to 16 hours.
        assert_eq!(wrong_around_changes(by_day, &ZONES, 1, 16), 0);
    }

    #[test]
    fn days_of_23_and_25_hours_have_their_true_length() {
        for zone in ZONES {
            for change in changes(zone) {
                let day = change.with_timezone(&zone).date_naive();
                let at =
                    |day: NaiveDate, hour| zone.from_local_datetime(&day.and_hms_opt(hour, 0, 0).unwrap()).unwrap();
                let (before, after) = (day.pred_opt().unwrap(), day.succ_opt().unwrap());
                // The clock ran all day and a night on each side; it was tapped at four and at twenty.
                let taps = [at(before, 20), at(day, 4), at(day, 20), at(after, 4)].map(|tap| noted(tap.to_utc(), zone));
                let parts = taps.windows(2).flat_map(|pair| by_day(span(pair[0], pair[1])));
                let today = parts.filter(|(on, _)| on.to_string() == day.to_string()).map(|(_, part)| part.length());
                let minutes = (at(after, 0) - at(day, 0)).num_minutes() as u64;
                assert!((minutes.abs_diff(24 * 60)).is_multiple_of(30) && minutes != 24 * 60);
                assert_eq!(today.sum::<Length>().minutes(), minutes, "{zone} on {day}");
            }
        }
    }

    #[test]
    fn what_was_travelled_over_zones_is_lost_on_no_day() {
        let at = |text| Moment::parse(text).unwrap();
        for (from, to, told) in [
            // East over the date line: the same local day at both ends.
            ("2026-05-04T23:00:00+14:00", "2026-05-04T00:00:00-11:00", &[("2026-05-04", 120)][..]),
            // West over it: a local day is left out.
            ("2026-05-04T22:00:00-11:00", "2026-05-06T01:00:00+14:00", &[("2026-05-04", 120)]),
            ("2026-05-04T20:00:00-04:00", "2026-05-04T23:30:00-07:00", &[("2026-05-04", 390)]),
            ("2026-05-04T09:00:00+01:00", "2026-05-04T09:00:00+02:00", &[("2026-05-04", 0)]),
            ("2026-05-04T09:00:00+01:00", "2026-05-04T13:00:00+02:00", &[("2026-05-04", 180)]),
        ] {
            let (from, mut to) = (at(from), at(to));
            if to.utc_ms() < from.utc_ms() {
                to = with_offset(from, to.offset_min());
            }
            let parts = by_day(span(from, to));
            assert!(parts.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[0].1.to == pair[1].1.from));
            let days: Vec<_> = parts.iter().map(|(day, part)| (day.to_string(), part.length().minutes())).collect();
            let told: Vec<_> = told.iter().map(|&(day, minutes)| (day.to_owned(), minutes)).collect();
            assert_eq!(days, told, "{from} to {to}");
        }
    }
}
