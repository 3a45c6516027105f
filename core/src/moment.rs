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

use chrono::{Datelike, NaiveDate, TimeDelta};

/// An instant, to the millisecond, and the UTC offset where it was noted.
///
/// Two moments compare by instant; the offset only breaks ties.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment {
    utc_ms: i64,
    offset_min: i16,
}

/// The months, for whoever tells a day in words.
pub(crate) const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// The years that the written form can hold: 1970 to 9999.
const LATEST_MS: i64 = 253_402_300_799_999;
/// RFC 3339 knows offsets up to 23:59.
const WIDEST_OFFSET: i16 = 23 * 60 + 59;
/// A day without a clock change.
const DAY_MS: i64 = 86_400_000;
/// 1970-01-01 as chrono counts days, from 0001-01-01 as day 1.
const EPOCH: i32 = 719_163;

impl Moment {
    /// Returns the moment `utc_ms` milliseconds after 1970-01-01T00:00Z, noted
    /// `offset_min` minutes east of UTC, or `None` outside 1970 to 9999 or
    /// beyond an offset of 23:59.
    pub fn new(utc_ms: i64, offset_min: i16) -> Option<Self> {
        // A day of slack, so that the local date stays inside the calendar too.
        let in_range = (0..=LATEST_MS - DAY_MS).contains(&utc_ms);
        (in_range && offset_min.abs() <= WIDEST_OFFSET).then_some(Self { utc_ms, offset_min })
    }

    /// Reads an RFC 3339 date and time; fractions below a millisecond are cut.
    ///
    /// # Errors
    /// Returns [`NotAMoment`] for text that is not RFC 3339 or is out of range.
    pub fn parse(text: &str) -> Result<Self, NotAMoment> {
        read(text).ok_or_else(|| NotAMoment(text.chars().take(40).collect()))
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
        let days = self.local_ms().div_euclid(DAY_MS) as i32;
        // The constructor keeps the local date within the calendar.
        Day(NaiveDate::from_num_days_from_ce_opt(days + EPOCH).unwrap_or_default())
    }

    /// Returns the local time of day as hours and minutes.
    pub fn time_of_day(self) -> (u8, u8) {
        let minutes = self.local_ms().rem_euclid(DAY_MS) / 60_000;
        ((minutes / 60) as u8, (minutes % 60) as u8)
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

    /// Returns the nearest mark of a grid of so many minutes on the local clock face;
    /// half way is the later one.
    pub fn nearest(self, minutes: u8) -> Moment {
        let grid = i64::from(minutes.max(1)) * 60_000;
        let past = self.local_ms().rem_euclid(grid);
        Self { utc_ms: self.utc_ms - past + if past * 2 >= grid { grid } else { 0 }, ..self }
    }

    /// Returns the moment so many minutes later, or earlier when negative, at this offset;
    /// this one where that is out of range.
    pub fn moved(self, minutes: i64) -> Moment {
        Self::new(self.utc_ms + minutes * 60_000, self.offset_min).unwrap_or(self)
    }

    /// Returns the moment at which a clock `offset_min` minutes east of UTC shows this
    /// time of `day`; 24:00 is the end of the day. `None` out of range.
    pub fn on(day: Day, hour: u8, minute: u8, offset_min: i16) -> Option<Moment> {
        let days = i64::from(day.0.num_days_from_ce() - EPOCH);
        let minutes = i64::from(hour) * 60 + i64::from(minute) - i64::from(offset_min);
        Self::new(days * DAY_MS + minutes * 60_000, offset_min)
    }

    /// Returns the first instant of the next local day, at this offset.
    pub fn next_midnight(self) -> Moment {
        let passed = self.local_ms().rem_euclid(DAY_MS);
        Self { utc_ms: self.utc_ms - passed + DAY_MS, ..self }
    }

    /// Returns what the local clock shows, as milliseconds since it showed the beginning of 1970.
    fn local_ms(self) -> i64 {
        self.utc_ms + i64::from(self.offset_min) * 60_000
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (hour, minute) = self.time_of_day();
        let ms = self.local_ms().rem_euclid(60_000);
        let sign = if self.offset_min < 0 { '-' } else { '+' };
        let offset = self.offset_min.unsigned_abs();
        write!(f, "{}T{hour:02}:{minute:02}:{:02}.{:03}", self.day(), ms / 1_000, ms % 1_000)?;
        write!(f, "{sign}{:02}:{:02}", offset / 60, offset % 60)
    }
}

/// Reads a date and time of RFC 3339, section 5.6.
fn read(text: &str) -> Option<Moment> {
    let (date, rest) = text.split_at_checked(10)?;
    let (time, rest) = rest.strip_prefix(['T', 't', ' '])?.split_at_checked(8)?;
    let [hour, minute, second] = parts(time, ':')?;
    // A leap second is written as 60.
    (hour < 24 && minute < 60 && second <= 60).then_some(())?;
    let (ms, rest) = match rest.strip_prefix('.') {
        Some(fraction) => {
            let end = fraction.find(|c: char| !c.is_ascii_digit())?;
            let (digits, rest) = fraction.split_at(end);
            let thousandths = digits.bytes().chain([b'0'; 3]).take(3);
            (thousandths.fold(0, |ms, digit| ms * 10 + i64::from(digit - b'0')), (end > 0).then_some(rest)?)
        }
        None => (0, rest),
    };
    let offset = match rest.strip_prefix(['+', '-']) {
        Some(offset) => {
            let [hours, minutes] = parts(offset, ':')?;
            (hours < 24 && minutes < 60).then_some(())?;
            if rest.starts_with('-') { -(hours * 60 + minutes) } else { hours * 60 + minutes }
        }
        None => (rest == "Z" || rest == "z").then_some(0)?,
    };
    let days = i64::from(Day::parse(date)?.0.num_days_from_ce() - EPOCH);
    let local_ms = days * DAY_MS + ((hour * 60 + minute) * 60 + second) * 1_000 + ms;
    Moment::new(local_ms - offset * 60_000, i16::try_from(offset).ok()?)
}

/// Reads numbers of two digits, such as `07:58:12`.
fn parts<const N: usize>(text: &str, between: char) -> Option<[i64; N]> {
    let mut pieces = text.split(between);
    let mut numbers = [0; N];
    for slot in &mut numbers {
        *slot = pieces.next().filter(|piece| piece.len() == 2).and_then(number)?;
    }
    pieces.next().is_none().then_some(numbers)
}

/// Reads digits and nothing else.
fn number(text: &str) -> Option<i64> {
    text.bytes().all(|byte| byte.is_ascii_digit()).then(|| text.parse().ok())?
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
        let (year, rest) = text.split_at_checked(4)?;
        let [month, day] = parts(rest.strip_prefix('-')?, '-')?;
        NaiveDate::from_ymd_opt(number(year)? as i32, month as u32, day as u32).map(Self)
    }

    /// Returns year, month (1 to 12) and day of the month.
    pub fn parts(self) -> (i32, u32, u32) {
        (self.0.year(), self.0.month(), self.0.day())
    }

    /// Returns the day of the week, Monday being 0.
    pub fn weekday(self) -> usize {
        self.0.weekday().num_days_from_monday() as usize
    }

    /// Returns how many days this is after `earlier`; nothing when it is before it.
    pub fn days_after(self, earlier: Day) -> Option<u64> {
        u64::try_from((self.0 - earlier.0).num_days()).ok()
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

/// A time that the local clock shows, to the minute.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TimeOfDay(u16);

impl TimeOfDay {
    /// Returns the time so many minutes after midnight, `None` when the clock does not show that.
    pub fn at_minute(minute: u16) -> Option<Self> {
        (minute < 24 * 60).then_some(Self(minute))
    }

    /// Returns the minutes since midnight.
    pub fn minute(self) -> u16 {
        self.0
    }
}

impl fmt::Display for TimeOfDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 60, self.0 % 60)
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
    use proptest::prelude::*;

    fn at(text: &str) -> Moment {
        Moment::parse(text).unwrap()
    }

    #[test]
    fn goes_to_the_nearest_mark_of_the_local_clock() {
        for (text, grid, mark) in [
            ("2026-05-04T10:40:29.999+01:00", 1, "2026-05-04T10:40:00.000+01:00"),
            ("2026-05-04T10:40:30.000+01:00", 1, "2026-05-04T10:41:00.000+01:00"),
            ("2026-05-04T10:42:30.000+01:00", 5, "2026-05-04T10:45:00.000+01:00"),
            ("2026-05-04T10:02:59.999+05:45", 6, "2026-05-04T10:00:00.000+05:45"),
            ("2026-05-04T23:58:00.000-03:30", 5, "2026-05-05T00:00:00.000-03:30"),
        ] {
            assert_eq!(at(text).nearest(grid).to_string(), mark, "{text}");
        }
    }

    #[test]
    fn a_time_of_a_day_is_a_moment() {
        let day = Day::parse("2026-10-25").unwrap();
        let on = |hour, minute, offset| Moment::on(day, hour, minute, offset).map(|it| it.to_string());
        assert_eq!(on(1, 30, 60).as_deref(), Some("2026-10-25T01:30:00.000+01:00"));
        assert_eq!(on(1, 30, 0).as_deref(), Some("2026-10-25T01:30:00.000+00:00"));
        assert_eq!(on(24, 0, 0).as_deref(), Some("2026-10-26T00:00:00.000+00:00"));
        assert_eq!(Moment::on(Day::parse("1969-12-31").unwrap(), 0, 0, 0), None);
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
        for text in [
            "",
            "yesterday",
            "2026-02-30T00:00:00Z",
            "1950-01-01T00:00:00Z",
            "2026-05-04",
            "2026-05-04T07:58:12",
            "2026-05-04T24:00:00Z",
            "2026-05-04T07:60:00Z",
            "2026-05-04T07:58:61Z",
            "2026-05-04T07:58:12.Z",
            "2026-05-04T07:58:12+1:00",
            "2026-05-04T07:58:12+24:00",
            "2026-05-04T+7:58:12Z",
            "2026-5-04T07:58:12Z",
            "2026-05-04T07:58:12Zulu",
            "2026-05-0éT07:58:12Z",
        ] {
            assert!(Moment::parse(text).is_err(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn a_calendar_library_reads_and_writes_the_same(ms in 0..LATEST_MS - DAY_MS, offset in -1_439_i16..1_440) {
            use chrono::{DateTime, FixedOffset, SecondsFormat, Timelike};
            let moment = Moment::new(ms, offset).unwrap();
            let zone = FixedOffset::east_opt(i32::from(offset) * 60).unwrap();
            let judge = DateTime::from_timestamp_millis(ms).unwrap().with_timezone(&zone);
            prop_assert_eq!(moment.to_string(), judge.to_rfc3339_opts(SecondsFormat::Millis, false));
            prop_assert_eq!(moment.day().0, judge.date_naive());
            prop_assert_eq!(moment.time_of_day(), (judge.hour() as u8, judge.minute() as u8));
            for form in [SecondsFormat::Secs, SecondsFormat::Millis, SecondsFormat::Nanos] {
                let text = judge.to_rfc3339_opts(form, true);
                let read = DateTime::parse_from_rfc3339(&text).unwrap().timestamp_millis();
                prop_assert_eq!(at(&text), Moment::new(read, offset).unwrap());
            }
        }

        #[test]
        fn any_text_is_read_or_refused(text in "[0-9TZ:.+-]{0,30}|.{0,30}") {
            prop_assert!(Moment::parse(&text).is_err() || chrono::DateTime::parse_from_rfc3339(&text).is_ok());
            prop_assert_eq!(Day::parse(&text).is_some(), text.len() == 10 && text.parse::<NaiveDate>().is_ok());
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
