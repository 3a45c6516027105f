//! When something happened: an instant together with the UTC offset in force.
//!
//! Durations come from instants and days from the local date, so both are kept
//! with every record and neither is ever computed from the other. The written
//! form is RFC 3339 with milliseconds and a numeric offset, for example
//! `2026-05-04T07:58:12.000+01:00`.
//!
//! Invariant: nothing in this crate reads a clock. Every function that needs
//! "now" takes it.

use std::fmt;

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate, SecondsFormat, TimeDelta, Timelike};

/// An instant, to the millisecond, and the UTC offset where it was noted.
///
/// Two moments compare by instant; the offset only breaks ties.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment {
    utc_ms: i64,
    offset_min: i16,
}

/// The years that the written form can hold: 1970 to 9999.
const LATEST_MS: i64 = 253_402_300_799_999;
/// RFC 3339 knows offsets up to 23:59.
const WIDEST_OFFSET: i16 = 23 * 60 + 59;

impl Moment {
    /// Returns the moment `utc_ms` milliseconds after 1970-01-01T00:00Z, noted
    /// `offset_min` minutes east of UTC, or `None` outside 1970 to 9999 or
    /// beyond an offset of 23:59.
    pub fn new(utc_ms: i64, offset_min: i16) -> Option<Self> {
        // A day of slack, so that the local date stays inside the calendar too.
        let in_range = (0..=LATEST_MS - 86_400_000).contains(&utc_ms);
        (in_range && offset_min.abs() <= WIDEST_OFFSET).then_some(Self { utc_ms, offset_min })
    }

    /// Reads an RFC 3339 date and time; fractions below a millisecond are cut.
    ///
    /// # Errors
    /// Returns [`NotAMoment`] for text that is not RFC 3339 or is out of range.
    pub fn parse(text: &str) -> Result<Self, NotAMoment> {
        let wrong = || NotAMoment(text.chars().take(40).collect());
        let read = DateTime::parse_from_rfc3339(text).map_err(|_| wrong())?;
        let offset_min = read.offset().local_minus_utc() / 60;
        let offset_min = i16::try_from(offset_min).map_err(|_| wrong())?;
        Self::new(read.timestamp_millis(), offset_min).ok_or_else(wrong)
    }

    /// Returns milliseconds since 1970-01-01T00:00Z.
    pub fn utc_ms(self) -> i64 {
        self.utc_ms
    }

    /// Returns minutes east of UTC.
    pub fn offset_min(self) -> i16 {
        self.offset_min
    }

    /// Returns the local calendar day.
    pub fn day(self) -> Day {
        Day(self.local().date_naive())
    }

    /// Returns the local time of day as hours and minutes.
    pub fn time_of_day(self) -> (u8, u8) {
        let local = self.local();
        (local.hour() as u8, local.minute() as u8)
    }

    /// Returns how long after `earlier` this is, or `None` when it is before it.
    pub fn since(self, earlier: Moment) -> Option<Length> {
        let ms = self.utc_ms - earlier.utc_ms;
        u64::try_from(ms).ok().map(Length)
    }

    /// Returns the beginning of the minute.
    pub fn whole_minute(self) -> Moment {
        Self { utc_ms: self.utc_ms - self.utc_ms.rem_euclid(60_000), ..self }
    }

    /// Returns the first instant of the next local day, at this offset.
    pub fn next_midnight(self) -> Moment {
        let day_ms = 86_400_000;
        let local_ms = self.utc_ms + i64::from(self.offset_min) * 60_000;
        let next = (local_ms.div_euclid(day_ms) + 1) * day_ms;
        Self { utc_ms: next - i64::from(self.offset_min) * 60_000, ..self }
    }

    fn local(self) -> DateTime<FixedOffset> {
        let offset = FixedOffset::east_opt(i32::from(self.offset_min) * 60);
        let utc = DateTime::from_timestamp_millis(self.utc_ms).unwrap_or_default();
        // The constructor keeps both in range; UTC stands in where it could not.
        match offset {
            Some(offset) => utc.with_timezone(&offset),
            None => utc.fixed_offset(),
        }
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.local().to_rfc3339_opts(SecondsFormat::Millis, false))
    }
}

/// Text that is not a moment.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a date and time with offset such as 2026-05-04T07:58:12.000+01:00")]
pub struct NotAMoment(String);

/// A calendar day of one place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(NaiveDate);

impl Day {
    /// Reads `2026-05-04`; `None` for anything else.
    pub fn parse(text: &str) -> Option<Self> {
        (text.len() == 10).then_some(())?;
        text.parse().ok().map(Self)
    }

    /// Returns year, month (1 to 12) and day of the month.
    pub fn parts(self) -> (i32, u32, u32) {
        (self.0.year(), self.0.month(), self.0.day())
    }

    /// Returns the day of the week, Monday being 0.
    pub fn weekday(self) -> usize {
        self.0.weekday().num_days_from_monday() as usize
    }

    /// Returns the day `days` later (earlier when negative), if the calendar has it.
    pub fn plus(self, days: i64) -> Option<Self> {
        self.0.checked_add_signed(TimeDelta::try_days(days)?).map(Self)
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// A length of time in whole milliseconds, never negative.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(u64);

impl Length {
    /// No time at all.
    pub const ZERO: Length = Length(0);

    /// Returns a length of `ms` milliseconds.
    pub const fn from_ms(ms: u64) -> Self {
        Self(ms)
    }

    /// Returns the milliseconds.
    pub const fn ms(self) -> u64 {
        self.0
    }

    /// Returns full minutes; begun minutes are cut.
    pub const fn minutes(self) -> u64 {
        self.0 / 60_000
    }

    /// Returns the length as hours and minutes, `1:05`; begun minutes are cut.
    pub fn clock_face(self) -> String {
        format!("{}:{:02}", self.minutes() / 60, self.minutes() % 60)
    }
}

impl std::ops::Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length(self.0.saturating_add(other.0))
    }
}

impl std::iter::Sum for Length {
    fn sum<I: Iterator<Item = Length>>(lengths: I) -> Length {
        lengths.fold(Length::ZERO, |sum, length| sum + length)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Moment {
        Moment::parse(text).unwrap()
    }

    #[test]
    fn reads_the_examples_of_rfc_3339_section_5_8() {
        // RFC 3339 (2002), section 5.8: these two name the same instant.
        let pacific = at("1996-12-19T16:39:57-08:00");
        assert_eq!(pacific.utc_ms(), at("1996-12-20T00:39:57Z").utc_ms());
        // The same section's first example; epoch value computed from it.
        assert_eq!(at("1985-04-12T23:20:50.52Z").utc_ms(), 482_196_050_520);
    }

    #[test]
    fn writes_what_it_reads() {
        for text in ["2026-05-04T07:58:12.000+01:00", "2026-10-25T01:30:00.250-03:30"] {
            assert_eq!(at(text).to_string(), text);
        }
        assert_eq!(at("2026-05-04T07:58:12Z").to_string(), "2026-05-04T07:58:12.000+00:00");
    }

    #[test]
    fn refuses_what_is_no_moment() {
        for text in ["", "yesterday", "2026-02-30T00:00:00Z", "1950-01-01T00:00:00Z", "2026-05-04"] {
            assert!(Moment::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn days_are_local() {
        assert_eq!(at("2026-05-04T23:30:00+02:00").day().to_string(), "2026-05-04");
        assert_eq!(at("2026-05-04T23:30:00+02:00").next_midnight(), at("2026-05-05T00:00:00+02:00"));
        assert_eq!(at("2026-12-31T12:00:00Z").day().plus(1), Day::parse("2027-01-01"));
        assert_eq!(Day::parse("2026-05-04").map(Day::weekday), Some(0));
    }

    #[test]
    fn lengths_come_from_instants_across_a_clock_change() {
        // IANA tz database, America/New_York 2026: changes on 03-08 and 11-01 at 02:00.
        let spring = at("2026-03-08T06:00:00-04:00").since(at("2026-03-07T22:00:00-05:00"));
        let autumn = at("2026-11-01T06:00:00-05:00").since(at("2026-10-31T22:00:00-04:00"));
        assert_eq!(spring.map(Length::clock_face).as_deref(), Some("7:00"));
        assert_eq!(autumn.map(Length::clock_face).as_deref(), Some("9:00"));
    }
}
