//! Two phones of one technician that say different things of the same time.
//!
//! One person does one thing at a time. Taps of two phones are one row of taps, as
//! someone changes phones; but where both ran from one tap of theirs to the next at
//! the same time of a day, one of the clocks may be wrong, or one phone was left
//! running. Which cannot be known here, so it is asked: nothing is moved. Rule: it is
//! settled by a mend that covers the time. Where all of a day's would agree with one
//! clock an hour later or earlier, that is said, since that is how clocks are wrong
//! when a phone did not hear of summer time.

use std::collections::BTreeMap;
use std::fmt;

use crate::book::Book;
use crate::book::ledger::Tap;
use crate::event::{Doing, On};
use crate::id::DeviceId;
use crate::moment::{Day, Length, Moment};
use crate::view::{hour_minute, place};

/// Shorter ones are two taps of one moment.
const SHORTEST_MS: i64 = 60_000;
const HOUR_MS: i64 = 3_600_000;

/// Time of which two phones say different things.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Crossing {
    /// The day.
    pub day: Day,
    /// From when on.
    pub from: Moment,
    /// Until when.
    pub to: Moment,
    /// The phone whose tap came first, and what it says.
    pub one: (DeviceId, On),
    /// The other, and what that says.
    pub other: (DeviceId, On),
    /// Whether the other's clock would agree an hour later (true) or earlier (false); none where neither helps.
    pub an_hour_later: Option<bool>,
    /// Both in words.
    words: [String; 2],
}

impl Crossing {
    /// Returns how long it is.
    pub fn length(&self) -> Length {
        self.to.since(self.from).unwrap_or_default()
    }
}

impl fmt::Display for Crossing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (day, from, to) = (self.day, hour_minute(self.from), hour_minute(self.to));
        let ([one, other], (first, _), (second, _)) = (&self.words, self.one, self.other);
        write!(f, "{day}: two phones ran from {from} to {to}, {first} for {one} and {second} for {other}")?;
        match self.an_hour_later {
            Some(later) => {
                let word = if later { "behind" } else { "ahead" };
                write!(f, "; is the clock of {second} an hour {word}? Ask the technician to mend the day")
            }
            None => f.write_str(": ask the technician which holds and to mend the day"),
        }
    }
}

/// What one phone says of a time of one day.
#[derive(Clone, Copy)]
struct Run {
    device: DeviceId,
    from: Moment,
    to: Moment,
    on: On,
}

/// Returns what two phones say differently and no mend has settled, earliest first.
pub fn crossings(book: &Book) -> Vec<Crossing> {
    let mut by_device: BTreeMap<DeviceId, Vec<&Tap>> = BTreeMap::new();
    for tap in book.ledger.taps().iter().filter(|tap| !tap.withdrawn) {
        by_device.entry(tap.id.device).or_default().push(tap);
    }
    if by_device.len() < 2 {
        return Vec::new();
    }
    let mut days: BTreeMap<Day, Vec<Run>> = BTreeMap::new();
    for two in by_device.values().flat_map(|taps| taps.windows(2)) {
        let [tap, next] = two else { continue };
        let Doing::At { on, .. } = tap.to else { continue };
        let run = Run { device: tap.id.device, from: tap.said, to: next.said, on };
        if run.from.day() == run.to.day() {
            days.entry(run.from.day()).or_default().push(run);
        }
    }
    days.into_iter().flat_map(|(day, runs)| of_day(book, day, &runs)).collect()
}

fn of_day(book: &Book, day: Day, runs: &[Run]) -> Vec<Crossing> {
    let mut found = Vec::new();
    for (nth, a) in runs.iter().enumerate() {
        for b in runs.iter().skip(nth + 1).filter(|b| b.device != a.device) {
            let (one, other) = if a.from.utc_ms() <= b.from.utc_ms() { (a, b) } else { (b, a) };
            let to = if one.to.utc_ms() < other.to.utc_ms() { one.to } else { other.to };
            if crossed_ms(one, other, 0) < SHORTEST_MS || is_settled(book, other.from, to) {
                continue;
            }
            found.push(Crossing {
                day,
                from: other.from,
                to,
                one: (one.device, one.on),
                other: (other.device, other.on),
                an_hour_later: agreeing(runs, one.device, other.device),
                words: [one, other].map(|run| words(book, run.on)),
            });
        }
    }
    found
}

fn is_settled(book: &Book, from: Moment, to: Moment) -> bool {
    let covers = |from_ms: i64, to_ms: i64| from_ms <= from.utc_ms() && to.utc_ms() <= to_ms;
    let mut mends = book.ledger.mends().filter(|mended| !mended.withdrawn);
    mends.any(|mended| covers(mended.mend.from.utc_ms(), mended.mend.to.utc_ms()))
}

/// Returns for how long both ran, were the clock of `b` so much later.
fn crossed_ms(a: &Run, b: &Run, later: i64) -> i64 {
    a.to.utc_ms().min(b.to.utc_ms() + later) - a.from.utc_ms().max(b.from.utc_ms() + later)
}

/// Tells whether two phones' runs of a day agree were the clock of `other` an hour later, or earlier.
fn agreeing(runs: &[Run], one: DeviceId, other: DeviceId) -> Option<bool> {
    let of = |device| runs.iter().filter(move |run| run.device == device);
    let agrees = |later: i64| of(one).all(|a| of(other).all(|b| crossed_ms(a, b, later) < SHORTEST_MS));
    [(true, HOUR_MS), (false, -HOUR_MS)].into_iter().find(|&(_, later)| agrees(later)).map(|(is_later, _)| is_later)
}

fn words(book: &Book, on: On) -> String {
    let place = place(book, on);
    if place.boat.is_empty() { place.job } else { format!("{}, {}", place.boat, place.job) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Activity, Event, Mend};
    use crate::log::{Log, Tip};
    use crate::text::Label;

    fn at(text: &str) -> Moment {
        Moment::parse(&format!("2026-05-{}:00+01:00", text.replace(' ', "T"))).unwrap()
    }

    /// Returns the book of taps of phones: when, which phone, whether at work.
    fn book(taps: &[(&str, u8, bool)], mends: &[(&str, &str)]) -> Book {
        let mut tips = [1, 2].map(|device| Tip::fresh(DeviceId::new([device; 8])));
        let mut log = Log::default();
        let mut say = |device: u8, when: &str, event: Event| {
            let tip = &mut tips[usize::from(device) - 1];
            let (_, sealed) = crate::exchange::line::seal(tip.record(at(when), event));
            tip.advance(&sealed);
            log.take(sealed);
        };
        for &(when, device, works) in taps {
            let work = Doing::At { activity: Activity::Labour, on: On::NoJob };
            say(device, when, Event::ClockSwitched { to: if works { work } else { Doing::Off } });
        }
        for (from, to) in mends {
            let mend = Mend { from: at(from), to: at(to), doing: Doing::Off, reason: Label::default() };
            say(1, "09 12:00", Event::Mended(mend));
        }
        Book::replay(log.in_order().iter().map(|sealed| &sealed.record))
    }

    fn found(taps: &[(&str, u8, bool)], mends: &[(&str, &str)]) -> Vec<(String, Option<bool>)> {
        let all = crossings(&book(taps, mends)).into_iter();
        all.map(|it| (format!("{} to {}", hour_minute(it.from), hour_minute(it.to)), it.an_hour_later)).collect()
    }

    #[test]
    fn what_both_say_of_one_time_is_asked_until_it_is_mended() {
        // What the second phone did at 10 it says it did at 9.
        let behind = [("04 08:00", 1, true), ("04 10:00", 1, false), ("04 09:00", 2, true), ("04 10:30", 2, false)];
        assert_eq!(found(&behind, &[]), [("09:00 to 10:00".to_owned(), Some(true))]);
        assert_eq!(found(&behind, &[("04 08:30", "04 10:00")]), []);
        assert_eq!(found(&behind, &[("04 09:30", "04 10:00")]).len(), 1, "a part does not settle it");
        let longer = [("04 07:00", 1, true), ("04 12:00", 1, false), ("04 09:00", 2, true), ("04 09:30", 2, false)];
        assert_eq!(found(&longer, &[]), [("09:00 to 09:30".to_owned(), None)]);
        let said = crossings(&book(&behind, &[]))[0].to_string();
        assert!(
            said.ends_with("is the clock of 0202020202020202 an hour behind? Ask the technician to mend the day"),
            "{said}"
        );
    }

    #[test]
    fn a_change_of_phones_and_one_left_running_over_night_are_no_question() {
        // From one phone to the other and back.
        let changed = [
            ("04 08:00", 1, true),
            ("04 10:00", 1, false),
            ("04 10:00", 2, true),
            ("04 11:00", 2, false),
            ("04 11:00", 1, true),
            ("04 12:00", 1, false),
        ];
        assert_eq!(found(&changed, &[]), []);
        let left = [("04 08:00", 1, true), ("04 10:00", 2, true), ("04 12:00", 2, false), ("05 08:00", 1, true)];
        assert_eq!(found(&left, &[]), []);
        assert_eq!(found(&changed[..2], &[]), []);
    }
}
