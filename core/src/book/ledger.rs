//! The clock: taps as they were made, and the spans between them.
//!
//! A span is a stretch of time with one activity. It is derived: it begins with
//! a tap and ends with the next one that counts, or now. So at every instant
//! there is one activity or none, and the spans between the first tap and the
//! last tile that time without gap or overlap.
//!
//! A phone's clock may be set back between two taps. The order of the log is
//! then still right and the instants are not, so a tap never takes effect
//! before the one before it; how far the clock was behind is told as a
//! [`SetBack`] and left for the technician to mend.

use crate::event::{Activity, Doing, On};
use crate::id::EventId;
use crate::moment::{Day, Length, Moment};
use crate::order;

/// All taps of the clock in the order of the log.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ledger {
    taps: Vec<Tap>,
}

/// One tap of the clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tap {
    /// The event.
    pub id: EventId,
    /// When, by the phone's clock.
    pub said: Moment,
    /// When it takes effect: never before the tap before it.
    pub at: Moment,
    /// What the technician does from then on.
    pub to: Doing,
    /// Whether it was withdrawn and does not count.
    pub withdrawn: bool,
}

/// A stretch of time with one activity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// When it began.
    pub from: Moment,
    /// When it ended; now, while it runs.
    pub to: Moment,
    /// What was done.
    pub activity: Activity,
    /// For what.
    pub on: On,
    /// The tap that began it.
    pub begun_by: EventId,
    /// The tap that ended it; none while it runs.
    pub ended_by: Option<EventId>,
}

impl Span {
    /// Returns how long it is.
    pub fn length(&self) -> Length {
        self.to.since(self.from).unwrap_or_default()
    }
}

/// A tap that the phone's clock puts before the one before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SetBack {
    /// The tap.
    pub tap: EventId,
    /// When the phone said it was.
    pub said: Moment,
    /// How far that is behind.
    pub by: Length,
}

impl Ledger {
    /// Returns all taps, the withdrawn ones too.
    pub fn taps(&self) -> &[Tap] {
        &self.taps
    }

    /// Returns the last tap that counts.
    pub fn last(&self) -> Option<&Tap> {
        self.taps.iter().rev().find(|tap| !tap.withdrawn)
    }

    /// Returns what the technician does now, since when, and by which tap.
    pub fn running(&self) -> Option<Span> {
        let tap = self.last()?;
        span(tap, tap.at, None)
    }

    /// Returns all spans up to `now`, earliest first.
    pub fn spans(&self, now: Moment) -> Vec<Span> {
        let mut spans = self.spans_back_to(now, None);
        spans.reverse();
        spans
    }

    /// Returns the parts of spans that lie on the local `day`, earliest first.
    ///
    /// A span over midnight is cut there, at the offset in force when it began.
    pub fn spans_of(&self, day: Day, now: Moment) -> Vec<Span> {
        self.spans_since(day, now)
            .into_iter()
            .flat_map(by_day)
            .filter(|&(on, _)| on == day)
            .map(|(_, span)| span)
            .collect()
    }

    /// Returns the spans that end on `day` or later, earliest first; some earlier
    /// ones may come with them.
    pub fn spans_since(&self, day: Day, now: Moment) -> Vec<Span> {
        let mut spans = self.spans_back_to(now, Some(day));
        spans.reverse();
        spans
    }

    /// Returns the local days on which the clock ran, each once, earliest first.
    pub fn days(&self, now: Moment) -> Vec<Day> {
        order::each_once(self.spans(now).into_iter().flat_map(by_day).map(|(day, _)| day).collect())
    }

    /// Returns every tap at which the phone's clock had been set back.
    pub fn set_backs(&self) -> impl Iterator<Item = SetBack> {
        self.taps.iter().filter(|tap| !tap.withdrawn).filter_map(|tap| {
            let by = tap.at.since(tap.said).filter(|&by| by > Length::ZERO)?;
            Some(SetBack { tap: tap.id, said: tap.said, by })
        })
    }

    /// Returns spans latest first, back to the first that ends before `day`.
    fn spans_back_to(&self, now: Moment, day: Option<Day>) -> Vec<Span> {
        let mut spans = Vec::new();
        let mut next: Option<&Tap> = None;
        for tap in self.taps.iter().rev().filter(|tap| !tap.withdrawn) {
            let until = next.map_or(now.max(tap.at), |next| next.at);
            // Two days of slack: the local days of two taps a moment apart, one east
            // and one west of the date line, may differ by that much.
            if day.and_then(|day| day.plus(-2)).is_some_and(|before| until.day() < before) {
                break;
            }
            spans.extend(span(tap, until, next.map(|next| next.id)));
            next = Some(tap);
        }
        spans
    }

    pub(super) fn tap(&mut self, id: EventId, said: Moment, to: Doing) -> Result<(), EventId> {
        let at = self.effect(self.taps.len(), said);
        self.taps.push(Tap { id, said, at, to, withdrawn: false });
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        self.taps.iter().rev().find(|tap| tap.id == id).map(|tap| tap.withdrawn)
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        let Some(index) = self.taps.iter().rposition(|tap| tap.id == id) else { return false };
        self.taps[index].withdrawn = withdrawn;
        for later in index..self.taps.len() {
            self.taps[later].at = self.effect(later, self.taps[later].said);
        }
        true
    }

    /// Returns when the tap at `index` takes effect.
    fn effect(&self, index: usize, said: Moment) -> Moment {
        let before = self.taps[..index].iter().rev().find(|tap| !tap.withdrawn);
        match before {
            Some(before) if before.at.utc_ms() > said.utc_ms() => before.at,
            _ => said,
        }
    }
}

/// Returns the time of some spans by activity, in the order in which activities
/// are offered; what took no time is left out.
pub fn by_activity<'a>(spans: impl Iterator<Item = &'a Span>) -> Vec<(Activity, Length)> {
    let mut sums = Activity::ALL.map(|activity| (activity, Length::ZERO));
    for span in spans {
        for (activity, sum) in &mut sums {
            if *activity == span.activity {
                *sum = *sum + span.length();
            }
        }
    }
    sums.into_iter().filter(|&(_, sum)| sum > Length::ZERO).collect()
}

/// Cuts a span at each local midnight and says on which day each part lies.
pub fn by_day(span: Span) -> Vec<(Day, Span)> {
    let mut parts = Vec::new();
    let mut from = span.from;
    loop {
        let midnight = from.next_midnight();
        if midnight.utc_ms() >= span.to.utc_ms() {
            parts.push((from.day(), Span { from, ..span }));
            return parts;
        }
        parts.push((from.day(), Span { from, to: midnight, ..span }));
        from = midnight;
    }
}

fn span(tap: &Tap, to: Moment, ended_by: Option<EventId>) -> Option<Span> {
    match tap.to {
        Doing::Off => None,
        Doing::At { activity, on } => Some(Span { from: tap.at, to, activity, on, begun_by: tap.id, ended_by }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::id::DeviceId;

    fn at(text: &str) -> Moment {
        Moment::parse(text).unwrap()
    }

    fn id(seq: u64) -> EventId {
        EventId { device: DeviceId::new([1; 8]), seq }
    }

    fn doing(activity: Activity) -> Doing {
        Doing::At { activity, on: On::NoJob }
    }

    fn ledger(taps: &[(&str, Doing)]) -> Ledger {
        let mut ledger = Ledger::default();
        for (seq, &(when, to)) in (1..).zip(taps) {
            ledger.tap(id(seq), at(when), to).unwrap();
        }
        ledger
    }

    fn told(spans: &[Span]) -> Vec<String> {
        spans.iter().map(|s| format!("{} {}", s.length().clock_face(), s.activity.words())).collect()
    }

    #[test]
    fn spans_tile_the_day() {
        let ledger = ledger(&[
            ("2026-05-04T08:00:00+01:00", doing(Activity::Labour)),
            ("2026-05-04T09:15:00+01:00", doing(Activity::PartsRun)),
            ("2026-05-04T09:40:00+01:00", Doing::Off),
            ("2026-05-04T10:00:00+01:00", doing(Activity::Labour)),
        ]);
        let now = at("2026-05-04T10:30:00+01:00");
        assert_eq!(told(&ledger.spans(now)), ["1:15 labour", "0:25 parts run", "0:30 labour"]);
        assert_eq!(ledger.spans_of(now.day(), now), ledger.spans(now));
        assert_eq!(ledger.running().map(|span| span.begun_by), Some(id(4)));
    }

    #[test]
    fn a_span_over_midnight_belongs_to_both_days() {
        let ledger = ledger(&[
            ("2026-05-04T22:30:00-04:00", doing(Activity::Labour)),
            ("2026-05-05T01:15:00-04:00", Doing::Off),
        ]);
        let now = at("2026-05-06T12:00:00-04:00");
        let parts: Vec<_> = ledger.days(now).into_iter().map(|day| told(&ledger.spans_of(day, now))).collect();
        assert_eq!(parts, [["1:30 labour"], ["1:15 labour"]]);
    }

    #[test]
    fn a_day_across_a_clock_change_has_its_true_length() {
        // IANA tz database: Europe/London leaves summer time on 2026-10-25 at 01:00 UTC.
        let ledger = ledger(&[
            ("2026-10-24T22:00:00+01:00", doing(Activity::Labour)),
            ("2026-10-25T06:00:00+00:00", Doing::Off),
        ]);
        let now = at("2026-10-25T08:00:00+00:00");
        assert_eq!(told(&ledger.spans(now)), ["9:00 labour"]);
        let parts: Vec<_> = ledger.days(now).into_iter().map(|day| told(&ledger.spans_of(day, now))).collect();
        assert_eq!(parts, [["2:00 labour"], ["7:00 labour"]]);
    }

    #[test]
    fn a_span_across_the_date_line_loses_nothing() {
        let ledger = ledger(&[
            ("2026-05-04T23:00:00+14:00", doing(Activity::Travel)),
            ("2026-05-04T00:00:00-11:00", Doing::Off),
        ]);
        let now = at("2026-05-04T01:00:00-11:00");
        let parts: Vec<_> = ledger.days(now).into_iter().map(|day| told(&ledger.spans_of(day, now))).collect();
        assert_eq!(parts, [["1:00 travel"], ["1:00 travel"]]);
    }

    #[test]
    fn a_clock_set_back_by_a_day_loses_nothing_and_is_told() {
        let ledger = ledger(&[
            ("2026-05-04T09:00:00+01:00", doing(Activity::Labour)),
            ("2026-05-03T10:00:00+01:00", doing(Activity::Diagnosis)),
            ("2026-05-04T11:00:00+01:00", Doing::Off),
        ]);
        let now = at("2026-05-04T12:00:00+01:00");
        assert_eq!(told(&ledger.spans(now)), ["0:00 labour", "2:00 diagnosis"]);
        let backs: Vec<_> = ledger.set_backs().map(|back| (back.tap, back.by.clock_face())).collect();
        assert_eq!(backs, [(id(2), "23:00".to_owned())]);
    }

    #[test]
    fn a_withdrawn_tap_leaves_no_trace_in_the_time() {
        let mut ledger = ledger(&[
            ("2026-05-04T08:00:00+01:00", doing(Activity::Labour)),
            ("2026-05-09T08:10:00+01:00", doing(Activity::Travel)),
            ("2026-05-04T09:00:00+01:00", Doing::Off),
        ]);
        let now = at("2026-05-04T12:00:00+01:00");
        assert!(ledger.mark(id(2), true));
        assert_eq!(told(&ledger.spans(now)), ["1:00 labour"]);
        assert_eq!(ledger.set_backs().count(), 0);
        assert!(ledger.mark(id(2), false));
        assert_eq!(told(&ledger.spans(now)), ["120:10 labour", "0:00 travel"]);
        assert!(!ledger.mark(id(9), true));
    }
}
