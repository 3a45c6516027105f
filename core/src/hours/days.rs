//! Where days part: a stretch of time cut at the border of each local day.
//!
//! A moment knows the offset where it was noted, and between the two ends of a
//! stretch the clocks may have changed at an instant that nobody noted. Rule:
//! the first part lies on the local day of the beginning and the last part on
//! that of the end, each by its own offset. Where the two offsets differ, the
//! change is taken to be at 02:00 of the first Sunday in between, else at the
//! first 02:00, else after every border: so clock changes lie nearly everywhere
//! (IANA time zone database). Borders up to it are read by the beginning's
//! offset, later ones by the end's. The offset of the end nearer to the border
//! would put twice as many minutes on a wrong day.
//!
//! Held against the database in `zones.rs`. What is left: where clocks change at
//! midnight or before it, a stretch over that one night may have up to an hour
//! on the neighbouring day. Nothing is lost or doubled; a sum is always right.

use crate::moment::{Day, Length, Moment};

const MINUTE_MS: i64 = 60_000;
const DAY_MS: i64 = 24 * 60 * MINUTE_MS;
/// When clocks are taken to change.
const CHANGE_MS: i64 = 2 * 60 * MINUTE_MS;
/// How much later some do, as in Athens.
const LATE_MS: i64 = 2 * 60 * MINUTE_MS;

/// The time of the local clock at which a day begins.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DayStart {
    minute: u16,
}

impl DayStart {
    /// The beginning of the civil day.
    pub const MIDNIGHT: DayStart = DayStart { minute: 0 };

    /// Returns the start at so many hours and minutes after midnight, `None`
    /// when the clock does not show that.
    pub fn at(hour: u8, minute: u8) -> Option<Self> {
        (hour < 24 && minute < 60).then(|| Self { minute: u16::from(hour) * 60 + u16::from(minute) })
    }

    /// Returns the start so many minutes after midnight, `None` when the clock does not show that.
    pub fn at_minute(minute: u16) -> Option<Self> {
        (minute < 24 * 60).then_some(Self { minute })
    }

    /// Returns the minutes after midnight.
    pub fn minute(self) -> u16 {
        self.minute
    }

    /// Returns the local day that a moment lies on, named by the date on which it begins.
    pub fn day_of(self, at: Moment) -> Day {
        // Before the first day of the calendar there is only the civil one.
        Moment::new(self.number(at) * DAY_MS, 0).unwrap_or(at).day()
    }

    /// Returns the number of that day, 1970-01-01 being 0.
    fn number(self, at: Moment) -> i64 {
        (local_ms(at) - self.ms()).div_euclid(DAY_MS)
    }

    /// Returns when the day of this number begins by the clock of an offset.
    fn begins(self, number: i64, offset_min: i16) -> i64 {
        number * DAY_MS + self.ms() - i64::from(offset_min) * MINUTE_MS
    }

    fn ms(self) -> i64 {
        i64::from(self.minute) * MINUTE_MS
    }
}

/// The part of a stretch of time that lies on one day or in one week.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// The day, or the first day of the week.
    pub day: Day,
    /// When the part begins.
    pub from: Moment,
    /// When it ends.
    pub to: Moment,
}

impl Part {
    /// Returns how long it is.
    pub fn length(&self) -> Length {
        self.to.since(self.from).unwrap_or_default()
    }
}

/// Cuts the time between two moments at each border of days, earliest part first.
///
/// The parts join without gap or overlap. A day that a place skipped, as when it
/// moves across the date line, gets a part of no length.
pub fn parts(from: Moment, to: Moment, start: DayStart) -> impl Iterator<Item = Part> {
    let (first, day) = (start.number(from), start.day_of(from));
    let last = if to.utc_ms() > from.utc_ms() { start.number(to).max(first) } else { first };
    let change = change(from, to);
    let border = move |number| {
        let by = |end: Moment| Moment::new(start.begins(number, end.offset_min()), end.offset_min());
        let before = by(from).filter(|border| border.utc_ms() <= change);
        before.or_else(|| by(to)).filter(|border| border.utc_ms() < to.utc_ms()).unwrap_or(to)
    };
    let ends = (first + 1..=last).map(border).chain([to]);
    ends.zip(0..).scan(from, move |begun, (end, nth)| {
        let from = *begun;
        *begun = if end.utc_ms() < from.utc_ms() { from } else { end };
        Some(Part { day: day.plus(nth).unwrap_or(day), from, to: *begun })
    })
}

/// Returns when the clocks are taken to have changed between two moments of different offsets.
fn change(from: Moment, to: Moment) -> i64 {
    // They are late in some places, so who begins soon after 02:00 may still see them change.
    let earliest = local_ms(from) - LATE_MS;
    let first = earliest + (CHANGE_MS - earliest).rem_euclid(DAY_MS);
    // 1970-01-01 was a Thursday, three days before a Sunday.
    let to_sunday = (3 - first.div_euclid(DAY_MS)).rem_euclid(7);
    let as_instant = |local: i64| local - i64::from(from.offset_min()) * MINUTE_MS;
    let likely = [first + to_sunday * DAY_MS, first].map(as_instant);
    likely.into_iter().find(|&at| at <= to.utc_ms()).unwrap_or(to.utc_ms())
}

/// Returns what the local clock shows, as milliseconds since it showed the beginning of 1970.
fn local_ms(at: Moment) -> i64 {
    at.utc_ms() + i64::from(at.offset_min()) * MINUTE_MS
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Moment {
        Moment::parse(text).unwrap()
    }

    /// Checks the parts of a stretch, told as `05-04 1:30`.
    #[track_caller]
    fn check(from: &str, to: &str, start: (u8, u8), expected: &[&str]) {
        let start = DayStart::at(start.0, start.1).unwrap();
        let told = |part: Part| format!("{} {}", &part.day.to_string()[5..], part.length().clock_face());
        let found: Vec<_> = parts(at(from), at(to), start).map(told).collect();
        assert_eq!(found, expected, "{from} to {to}");
    }

    #[test]
    fn a_day_begins_when_the_shop_says() {
        let night = at("2026-05-04T06:59:59+02:00");
        assert_eq!(DayStart::at(7, 0).unwrap().day_of(night).to_string(), "2026-05-03");
        assert_eq!(DayStart::MIDNIGHT.day_of(night).to_string(), "2026-05-04");
        assert_eq!((DayStart::at(24, 0), DayStart::at(0, 60)), (None, None));
        // Before the calendar's first shop day there is the civil one.
        assert_eq!(DayStart::at(7, 0).unwrap().day_of(at("1970-01-01T03:00:00Z")).to_string(), "1970-01-01");
    }

    #[test]
    fn ordinary_nights() {
        check("2026-05-04T08:00:00+01:00", "2026-05-04T09:15:00+01:00", (0, 0), &["05-04 1:15"]);
        // Midnight and year spans: elapsed 2:45 and 0:40.
        check("2026-05-10T22:30:00-04:00", "2026-05-11T01:15:00-04:00", (0, 0), &["05-10 1:30", "05-11 1:15"]);
        check("2026-12-31T23:40:00-05:00", "2027-01-01T00:20:00-05:00", (0, 0), &["12-31 0:20", "01-01 0:20"]);
        check("2026-05-04T06:00:00Z", "2026-05-04T08:00:00Z", (7, 0), &["05-03 1:00", "05-04 1:00"]);
        // What ends at the border has no part after it that takes time.
        check("2026-05-04T22:00:00Z", "2026-05-05T00:00:00Z", (0, 0), &["05-04 2:00", "05-05 0:00"]);
        check("2026-05-04T22:00:00Z", "2026-05-04T21:00:00Z", (0, 0), &["05-04 0:00"]);
    }

    #[test]
    fn nights_of_clock_changes() {
        // IANA time zone database 2026c: New York 2026-11-01 at 02:00, London 2026-10-25
        // at 01:00Z, Lord Howe 2026-04-05 by half an hour; elapsed 9:00, 9:00, 8:30.
        check("2026-10-31T22:00:00-04:00", "2026-11-01T06:00:00-05:00", (0, 0), &["10-31 2:00", "11-01 7:00"]);
        check("2026-10-24T22:00:00+01:00", "2026-10-25T06:00:00+00:00", (0, 0), &["10-24 2:00", "10-25 7:00"]);
        check("2026-04-04T22:00:00+11:00", "2026-04-05T06:00:00+10:30", (0, 0), &["04-04 2:00", "04-05 6:30"]);
        // The end is nearer to midnight here, and midnight was still summer time.
        check("2026-10-31T18:00:00-04:00", "2026-11-01T03:00:00-05:00", (0, 0), &["10-31 6:00", "11-01 4:00"]);
        // A day that begins at 07:00 begins after the change.
        check("2026-10-31T22:00:00-04:00", "2026-11-01T08:00:00-05:00", (7, 0), &["10-31 10:00", "11-01 1:00"]);
        // A clock forgotten over the week-end: the Sunday has 25 hours.
        check(
            "2026-10-30T17:00:00-04:00",
            "2026-11-02T08:00:00-05:00",
            (0, 0),
            &["10-30 7:00", "10-31 24:00", "11-01 25:00", "11-02 8:00"],
        );
    }

    #[test]
    fn each_end_lies_on_its_own_local_day() {
        // Nuuk goes forward on 2026-03-28 at 23:00 to midnight: the end says that it is Sunday.
        check("2026-03-28T20:00:00-02:00", "2026-03-29T00:30:00-01:00", (0, 0), &["03-28 3:00", "03-29 0:30"]);
        // Santiago goes back on 2026-04-04 at 24:00 to 23:00: the end says that it is still Saturday.
        check("2026-04-04T22:00:00-03:00", "2026-04-04T23:30:00-04:00", (0, 0), &["04-04 2:30"]);
        // Apia had no 2011-12-30; elapsed 8:00.
        check(
            "2011-12-29T20:00:00-10:00",
            "2011-12-31T04:00:00+14:00",
            (0, 0),
            &["12-29 4:00", "12-30 0:00", "12-31 4:00"],
        );
        // East to west over the date line: two hours, and the same date at both ends.
        check("2026-05-04T23:00:00+14:00", "2026-05-04T00:00:00-11:00", (0, 0), &["05-04 2:00"]);
        check("2026-05-05T00:30:00+14:00", "2026-05-04T01:00:00-11:00", (0, 0), &["05-05 1:30"]);
    }
}
