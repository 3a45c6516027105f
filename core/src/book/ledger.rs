//! The clock: taps as they were made, mends laid over them, and the spans that
//! both come to.
//!
//! A span is a stretch of time with one activity. It is derived, never stored.
//! A tap says what is done from then on; a mend says what was in fact done
//! between two instants. Mends lie over taps, and over earlier mends, in the
//! order of the log, whatever the order of their arrival; a tap lies below even
//! if it came after the mend. So at every instant there is one activity or
//! none, and after a mend that ends now the clock runs on as before.
//!
//! A phone's clock may be set back between two taps. The order of the log is
//! then still right and the instants are not, so a tap never takes effect
//! before the one before it; how far the clock was behind is told as a
//! [`SetBack`] and left for the technician to mend.

mod days;
mod layer;

use super::named::Named;
use crate::event::{Activity, Doing, Mend, On};
use crate::id::EventId;
use crate::moment::{Day, Length, Moment};
use crate::order;

pub use days::by_day;
pub use layer::Stretch;
use layer::{Layer, between, laid_over};

/// The longest time that one mend may cover: who forgot more, says it day by day.
pub const LONGEST_MEND: Length = Length::from_ms(24 * 60 * 60_000);

/// All taps of the clock and all mends, in the order of the log.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ledger {
    taps: Vec<Tap>,
    mends: Named<Mended>,
    // The mends that count, as they lie over each other.
    painted: Layer,
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

/// One mend.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mended {
    /// The event.
    pub id: EventId,
    /// When it was said, by the phone's clock.
    pub said: Moment,
    /// What was in fact done, when and why.
    pub mend: Mend,
    /// Whether it was withdrawn and does not count.
    pub withdrawn: bool,
}

impl Mended {
    fn stretch(&self) -> Stretch {
        let (id, &Mend { from, to, doing, .. }) = (self.id, &self.mend);
        Stretch { from, to, doing, said_by: id, begun_by: id, ended_by: Some(id) }
    }

    /// Tells whether it is about some of the time between two moments.
    pub fn overlaps(&self, from: Moment, to: Moment) -> bool {
        self.mend.from.utc_ms() < to.utc_ms() && self.mend.to.utc_ms() > from.utc_ms()
    }
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
    /// The tap or the mend that says what was done.
    pub said_by: EventId,
    /// The tap that began it, or the mend before which something else was done.
    pub begun_by: EventId,
    /// The tap or the mend that ended it; none while it runs.
    pub ended_by: Option<EventId>,
}

impl Span {
    fn of(stretch: Stretch) -> Option<Self> {
        let Stretch { from, to, doing, said_by, begun_by, ended_by } = stretch;
        let Doing::At { activity, on } = doing else { return None };
        Some(Self { from, to, activity, on, said_by, begun_by, ended_by })
    }

    /// Returns how long it is.
    pub fn length(&self) -> Length {
        self.to.since(self.from).unwrap_or_default()
    }
}

impl Tap {
    fn stretch(&self, to: Moment, ended_by: Option<EventId>) -> Stretch {
        Stretch { from: self.at, to, doing: self.to, said_by: self.id, begun_by: self.id, ended_by }
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

    /// Returns all mends in the order of the log, the withdrawn ones too.
    pub fn mends(&self) -> impl DoubleEndedIterator<Item = &Mended> {
        self.mends.all()
    }

    /// Returns a mend.
    pub fn mended(&self, id: EventId) -> Option<&Mended> {
        self.mends.get(id)
    }

    /// Returns what the technician does now, since when, and by which tap.
    ///
    /// It runs since the tap, or since the end of the last mend after it.
    pub fn running(&self) -> Option<Span> {
        let below = self.last().map(|tap| tap.stretch(tap.at, None))?;
        let above = self.painted.stretches().last().filter(|last| last.to.utc_ms() > below.from.utc_ms());
        let runs = above.map_or(below, |above| below.after(above));
        Span::of(Stretch { to: runs.from, ..runs })
    }

    /// Returns what was done between two moments as it stands now, earliest first.
    pub fn between(&self, from: Moment, to: Moment) -> Vec<Stretch> {
        let mends = self.painted.overlapping(from, to);
        between(laid_over(&self.tapped(to, Some(from.day())), mends), from, to)
    }

    /// Returns what was said of the time of a mend before it: by the taps, and by
    /// the mends before it that count.
    pub fn covered(&self, mend: EventId) -> Vec<Stretch> {
        let Some(mended) = self.mends.get(mend) else { return Vec::new() };
        let (from, to) = (mended.mend.from, mended.mend.to);
        let mut before = Layer::default();
        let earlier = self.mends.all().take_while(|it| it.id != mend);
        earlier.filter(|it| !it.withdrawn && it.overlaps(from, to)).for_each(|it| before.paint(it.stretch()));
        let taps = self.tapped(to, Some(from.day()));
        between(laid_over(&taps, before.stretches()), from, to)
    }

    /// Returns all spans up to `now`, earliest first.
    pub fn spans(&self, now: Moment) -> Vec<Span> {
        self.spans_back_to(now, None)
    }

    /// Returns the parts of spans that lie on the local `day`, earliest first.
    ///
    /// A span over midnight is cut there.
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
        self.spans_back_to(now, Some(day))
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

    /// Returns the spans, back to the first that ends before `day`.
    fn spans_back_to(&self, now: Moment, day: Option<Day>) -> Vec<Span> {
        let mends = self.painted.stretches();
        // The clock runs on after the last mend, even if this phone is not there yet.
        let now = mends.last().map(|last| last.to).filter(|to| to.utc_ms() > now.utc_ms()).unwrap_or(now);
        let below = self.tapped(now, day);
        let since = below.first().map(|it| it.from.utc_ms());
        let passed = |it: &Stretch| ends_before(it.to, day) && since.is_none_or(|since| it.to.utc_ms() <= since);
        let first = mends.iter().rposition(passed).map_or(0, |last_passed| last_passed + 1);
        laid_over(&below, &mends[first..]).into_iter().filter_map(Span::of).collect()
    }

    /// Returns what the taps say up to `now`, earliest first, back to the first
    /// stretch that ends before `day`.
    fn tapped(&self, now: Moment, day: Option<Day>) -> Vec<Stretch> {
        let mut stretches = Vec::new();
        let mut next: Option<&Tap> = None;
        for tap in self.taps.iter().rev().filter(|tap| !tap.withdrawn) {
            let until = next.map_or(now.max(tap.at), |next| next.at);
            if ends_before(until, day) {
                break;
            }
            stretches.push(tap.stretch(until, next.map(|next| next.id)));
            next = Some(tap);
        }
        stretches.reverse();
        stretches
    }

    pub(super) fn tap(&mut self, id: EventId, said: Moment, to: Doing) -> Result<(), EventId> {
        let at = self.effect(self.taps.len(), said);
        self.taps.push(Tap { id, said, at, to, withdrawn: false });
        Ok(())
    }

    pub(super) fn mend(&mut self, id: EventId, said: Moment, mend: &Mend) -> Result<(), EventId> {
        let length = mend.to.since(mend.from).filter(|&length| length > Length::ZERO && length <= LONGEST_MEND);
        if length.is_none() || mend.to.utc_ms() > said.utc_ms() {
            return Err(id);
        }
        let mended = Mended { id, said, mend: mend.clone(), withdrawn: false };
        self.painted.paint(mended.stretch());
        self.mends.put(id, mended);
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        let mended = self.mends.get(id).map(|mended| mended.withdrawn);
        mended.or_else(|| self.taps.iter().rev().find(|tap| tap.id == id).map(|tap| tap.withdrawn))
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        if let Ok(mended) = self.mends.known(id) {
            mended.withdrawn = withdrawn;
            let (from, to) = (mended.mend.from, mended.mend.to);
            self.paint_anew(from, to);
            return true;
        }
        let Some(index) = self.taps.iter().rposition(|tap| tap.id == id) else { return false };
        self.taps[index].withdrawn = withdrawn;
        for later in index..self.taps.len() {
            let at = self.effect(later, self.taps[later].said);
            let tap = &mut self.taps[later];
            // What follows a tap that counts depends on that tap alone.
            if later > index && !tap.withdrawn && tap.at == at {
                break;
            }
            tap.at = at;
        }
        true
    }

    /// Paints the mends that count anew where one of them has changed.
    fn paint_anew(&mut self, from: Moment, to: Moment) {
        let (from, to) = self.painted.scrape(from, to);
        let counting = self.mends.all().filter(|it| !it.withdrawn && it.overlaps(from, to));
        counting.for_each(|it| self.painted.paint(it.stretch()));
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

/// Tells whether a stretch that ends at `to` is over by the time `day` begins anywhere.
fn ends_before(to: Moment, day: Option<Day>) -> bool {
    // Two days of slack: the local days of two taps a moment apart, one east
    // and one west of the date line, may differ by that much.
    day.and_then(|day| day.plus(-2)).is_some_and(|before| to.day() < before)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::id::DeviceId;
    use crate::text::Label;
    use proptest::prelude::*;

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
        assert_eq!(parts, [["2:00 travel"]]);
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

    fn off(from: &str, to: &str) -> Mend {
        Mend { from: at(from), to: at(to), doing: Doing::Off, reason: Label::default() }
    }

    /// Tells each span as `from-to activity <name of what says it>`.
    fn faces(spans: &[Span]) -> Vec<String> {
        let face = |at: Moment| format!("{}:{:02}", at.time_of_day().0, at.time_of_day().1);
        let told = |it: &Span| format!("{}-{} {} {}", face(it.from), face(it.to), it.activity.words(), it.said_by.seq);
        spans.iter().map(told).collect()
    }

    #[test]
    fn a_mend_splits_and_swallows_and_is_split_by_a_later_one() {
        let mut ledger = ledger(&[
            ("2026-05-04T08:00:00+01:00", doing(Activity::Labour)),
            ("2026-05-04T10:00:00+01:00", doing(Activity::Travel)),
            ("2026-05-04T10:20:00+01:00", doing(Activity::Diagnosis)),
            ("2026-05-04T12:00:00+01:00", Doing::Off),
        ]);
        let now = at("2026-05-04T18:00:00+01:00");
        let parts_run =
            Mend { doing: doing(Activity::PartsRun), ..off("2026-05-04T09:30:00+01:00", "2026-05-04T11:00:00+01:00") };
        ledger.mend(id(5), now, &parts_run).unwrap();
        assert_eq!(
            faces(&ledger.spans(now)),
            ["8:00-9:30 labour 1", "9:30-11:00 parts run 5", "11:00-12:00 diagnosis 3"]
        );
        let spans = ledger.spans(now);
        assert_eq!((spans[0].ended_by, spans[1].begun_by, spans[1].ended_by), (Some(id(5)), id(5), Some(id(5))));
        assert_eq!((spans[2].begun_by, spans[2].ended_by), (id(5), Some(id(4))));

        ledger.mend(id(6), now, &off("2026-05-04T10:00:00+01:00", "2026-05-04T10:15:00+01:00")).unwrap();
        // Where no tap is, a mend makes a span of its own.
        let late =
            Mend { doing: doing(Activity::Paperwork), ..off("2026-05-04T16:00:00+01:00", "2026-05-04T17:00:00+01:00") };
        ledger.mend(id(7), now, &late).unwrap();
        let whole = [
            "8:00-9:30 labour 1",
            "9:30-10:00 parts run 5",
            "10:15-11:00 parts run 5",
            "11:00-12:00 diagnosis 3",
            "16:00-17:00 paperwork 7",
        ];
        assert_eq!(faces(&ledger.spans(now)), whole);
        let told = |covered: Vec<Stretch>| {
            covered.iter().map(|it| (it.length().minutes(), it.said_by.seq)).collect::<Vec<_>>()
        };
        assert_eq!(told(ledger.covered(id(5))), [(30, 1), (20, 2), (40, 3)]);
        assert_eq!(told(ledger.covered(id(6))), [(15, 5)]);
        assert_eq!(told(ledger.covered(id(7))), [(60, 4)]);

        ledger.mark(id(5), true);
        let bare = ["8:00-10:00 labour 1", "10:15-10:20 travel 2", "10:20-12:00 diagnosis 3", whole[4]];
        assert_eq!(faces(&ledger.spans(now)), bare);
        assert_eq!(told(ledger.covered(id(6))), [(15, 2)]);
        ledger.mark(id(5), false);
        assert_eq!(faces(&ledger.spans(now)), whole);
    }

    #[test]
    fn a_mend_that_ends_now_leaves_the_clock_running() {
        let mut ledger = ledger(&[("2026-05-04T08:00:00+01:00", doing(Activity::Labour))]);
        let now = at("2026-05-04T12:00:00+01:00");
        let meal = Mend {
            doing: doing(Activity::MealPeriod),
            ..off("2026-05-04T11:30:00+01:00", "2026-05-04T12:00:00+01:00")
        };
        ledger.mend(id(2), now, &meal).unwrap();
        let running = ledger.running().unwrap();
        assert_eq!(
            (running.from, running.activity, running.said_by, running.begun_by),
            (now, Activity::Labour, id(1), id(2))
        );
        let later = at("2026-05-04T13:00:00+01:00");
        assert_eq!(
            faces(&ledger.spans(later)),
            ["8:00-11:30 labour 1", "11:30-12:00 meal period 2", "12:00-13:00 labour 1"]
        );
        // A screen's present is cut to the minute, and may be before the end of the mend.
        let earlier = at("2026-05-04T11:59:00+01:00");
        assert_eq!(
            faces(&ledger.spans(earlier)),
            ["8:00-11:30 labour 1", "11:30-12:00 meal period 2", "12:00-12:00 labour 1"]
        );
        // The clock was stopped at the time of the meal's beginning after all: the tap lies below.
        ledger.tap(id(3), at("2026-05-04T12:00:00+01:00"), Doing::Off).unwrap();
        assert_eq!(
            faces(&ledger.spans(later)),
            ["8:00-11:30 labour 1", "11:30-12:00 meal period 2", "12:00-12:00 labour 1"][..2]
        );
        assert_eq!(ledger.running(), None);
    }

    #[test]
    fn both_sides_of_a_boundary_have_the_moment_of_what_made_it() {
        // Said from an hour further east, after the journey.
        let mut ledger = ledger(&[
            ("2026-05-04T08:00:00+01:00", doing(Activity::Labour)),
            ("2026-05-04T12:00:00+01:00", Doing::Off),
        ]);
        let (from, to) = ("2026-05-04T10:00:00+02:00", "2026-05-04T11:00:00+02:00");
        ledger.mend(id(3), at("2026-05-05T08:00:00+02:00"), &off(from, to)).unwrap();
        let spans = ledger.spans(at("2026-05-05T09:00:00+02:00"));
        let ends: Vec<_> = spans.iter().map(|span| (span.from, span.to)).collect();
        assert_eq!(ends, [(at("2026-05-04T08:00:00+01:00"), at(from)), (at(to), at("2026-05-04T12:00:00+01:00"))]);
    }

    #[test]
    fn a_mend_of_no_time_of_the_future_or_of_more_than_a_day_is_not_taken() {
        let mut ledger = Ledger::default();
        let said = at("2026-05-04T12:00:00+01:00");
        for (from, to, taken) in [
            ("2026-05-04T11:00:00+01:00", "2026-05-04T11:00:00+01:00", false),
            ("2026-05-04T11:00:00+01:00", "2026-05-04T11:30:00+02:00", false),
            ("2026-05-04T11:00:00+01:00", "2026-05-04T12:00:00.001+01:00", false),
            ("2026-05-03T10:59:59.999+01:00", "2026-05-04T11:00:00+01:00", false),
            ("2026-05-03T12:00:00+01:00", "2026-05-04T12:00:00+01:00", true),
        ] {
            assert_eq!(ledger.mend(id(1), said, &off(from, to)).is_ok(), taken, "{from} to {to}");
        }
    }

    /// A tap or a mend, with minutes of one day, and whether it is withdrawn in the end.
    #[derive(Clone, Debug)]
    enum Said {
        Tap(i64, Doing),
        Mend(i64, i64, Doing),
        Mark(usize),
    }

    const DAY: i64 = 1_777_852_800_000;

    fn minute(minute: i64) -> Moment {
        Moment::new(DAY + minute * 60_000, 60).unwrap()
    }

    fn said() -> impl Strategy<Value = Said> {
        let activity = prop::sample::select(Activity::ALL.to_vec()).prop_map(doing);
        let doing = prop_oneof![3 => activity, 1 => Just(Doing::Off)];
        prop_oneof![
            3 => (0..30_i64, doing.clone()).prop_map(|(after, to)| Said::Tap(after, to)),
            3 => (0..300_i64, 1..90_i64, doing).prop_map(|(from, length, doing)| Said::Mend(from, from + length, doing)),
            1 => (0..40_usize).prop_map(Said::Mark),
        ]
    }

    /// Paints minute by minute: what the last tap before it says, and over it the last mend.
    fn painted_naively(all: &[Said], last: i64) -> Vec<Doing> {
        let mut marks = vec![false; all.len()];
        for it in all {
            if let Said::Mark(which) = it
                && which < &all.len()
            {
                marks[*which] = !marks[*which];
            }
        }
        let counting = || all.iter().zip(&marks).filter(|(_, withdrawn)| !**withdrawn).map(|(it, _)| it);
        let mut minutes = vec![Doing::Off; usize::try_from(last).unwrap()];
        for it in counting() {
            if let Said::Tap(from, to) = *it {
                minutes[usize::try_from(from).unwrap()..].fill(to);
            }
        }
        for it in counting() {
            if let Said::Mend(from, to, doing) = *it {
                minutes[usize::try_from(from).unwrap()..usize::try_from(to).unwrap()].fill(doing);
            }
        }
        minutes
    }

    proptest! {
        #[test]
        fn spans_are_what_a_painter_of_single_minutes_sees(mut all in prop::collection::vec(said(), 0..40)) {
            // Taps come one after the other; times are minutes of the day.
            let mut last = 0;
            for it in &mut all {
                if let Said::Tap(at, _) = it {
                    last += *at;
                    *at = last;
                }
            }
            let end = 30 * 40 + 400;
            let mut ledger = Ledger::default();
            for (seq, it) in (0..).zip(&all) {
                match *it {
                    Said::Tap(at, to) => ledger.tap(id(seq + 1), minute(at), to).unwrap(),
                    Said::Mend(from, to, doing) => {
                        let mend = Mend { from: minute(from), to: minute(to), doing, reason: Label::default() };
                        ledger.mend(id(seq + 1), minute(end), &mend).unwrap();
                    }
                    Said::Mark(_) => {}
                }
            }
            let untouched = ledger.clone();
            for it in &all {
                if let Said::Mark(which) = *it
                    && let Some(withdrawn) = ledger.marked(id(which as u64 + 1))
                {
                    ledger.mark(id(which as u64 + 1), !withdrawn);
                }
            }
            let now = minute(end);
            let spans = ledger.spans(now);
            let mut seen = vec![Doing::Off; usize::try_from(end).unwrap()];
            for span in &spans {
                let place = |at: Moment| usize::try_from((at.utc_ms() - DAY) / 60_000).unwrap();
                seen[place(span.from)..place(span.to)].fill(Doing::At { activity: span.activity, on: span.on });
            }
            prop_assert_eq!(&seen, &painted_naively(&all, end));
            let worked = seen.iter().filter(|it| **it != Doing::Off).count() as u64;
            prop_assert_eq!(spans.iter().map(Span::length).sum::<Length>(), Length::from_ms(worked * 60_000));
            for pair in spans.windows(2) {
                prop_assert!(pair[0].to.utc_ms() <= pair[1].from.utc_ms());
            }
            prop_assert_eq!(ledger.running().map(|it| (it.from, it.said_by)), {
                let runs = spans.last().filter(|it| it.ended_by.is_none());
                runs.map(|it| (it.from, it.said_by))
            });
            // Each part of the timeline that is asked for alone is the same.
            let part = ledger.between(minute(100), minute(700));
            let told: Length = part.iter().filter(|it| it.doing != Doing::Off).map(Stretch::length).sum();
            let worked = seen[100..700].iter().filter(|it| **it != Doing::Off).count() as u64;
            prop_assert_eq!(told, Length::from_ms(worked * 60_000));
            // Nothing is left of what is withdrawn, and of its withdrawal.
            for seq in 1..=all.len() as u64 {
                if let (Some(was), Some(is)) = (untouched.marked(id(seq)), ledger.marked(id(seq))) && was != is {
                    ledger.mark(id(seq), was);
                }
            }
            prop_assert_eq!(ledger, untouched);
        }

        #[test]
        fn a_tap_counts_from_the_later_of_its_own_time_and_the_tap_before_it(
            times in prop::collection::vec(0..60_i64, 1..20),
            marks in prop::collection::vec((0..20_u64, any::<bool>()), 0..20),
        ) {
            let mut ledger = Ledger::default();
            for (seq, &time) in (1..).zip(&times) {
                ledger.tap(id(seq), minute(time), doing(Activity::Labour)).unwrap();
            }
            for (which, withdrawn) in marks {
                ledger.mark(id(which), withdrawn);
            }
            let mut before = minute(0);
            for tap in ledger.taps() {
                prop_assert_eq!(tap.at, tap.said.max(before));
                if !tap.withdrawn {
                    before = tap.at;
                }
            }
        }
    }
}
