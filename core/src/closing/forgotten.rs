//! A clock that was forgotten: what the day's evidence speaks for.
//!
//! Nothing here is ever applied. A proposal says what is odd about a span and
//! holds the mend that would put it right; the technician takes it, changes it
//! or leaves it.
//!
//! Rule: whoever enters something later on the same day was at work in between, so
//! only what is quiet up to the end of a span, or over a midnight, is judged. What
//! is proposed is to be off the clock from the last entry before it, rounded up to
//! five minutes, to its end. The lengths below are a shop's common practice,
//! not law; only the thirty minutes that a meal period is left are taken from a
//! regulation.

use std::fmt;

use crate::book::Book;
use crate::book::ledger::{LONGEST_MEND, Span, by_day};
use crate::command::Command;
use crate::event::{Activity, Doing, Mend};
use crate::moment::{Day, Length, Moment};
use crate::order;
use crate::text::Label;
use crate::view::{Place, hour_minute, place};

const MINUTE_MS: i64 = 60_000;

/// Work without any entry for so long is odd.
pub const QUIET_WORK: Length = minutes(210);
/// A pause of so long is odd.
pub const LONG_PAUSE: Length = minutes(90);
/// A clock that runs since yesterday is odd when nothing was entered for so long.
pub const QUIET_NIGHT: Length = minutes(120);
/// A clock that runs so long past the usual end of the day is odd.
pub const PAST_USUAL_END: Length = minutes(60);
/// A meal period is left so long: 29 CFR 785.19(a), "ordinarily 30 minutes or more is long enough".
pub const MEAL: Length = minutes(30);
/// A proposed end is rounded up to a multiple of this.
pub const ROUNDED_TO: Length = minutes(5);
/// How many of the last working days tell the usual end, and how many it takes at least.
pub const USUAL_OF: usize = 10;
/// See [`USUAL_OF`].
pub const USUAL_NEEDS: usize = 3;
/// How far back working days are looked for.
const LOOK_BACK_DAYS: i64 = 60;

const fn minutes(minutes: u64) -> Length {
    Length::from_ms(minutes * 60_000)
}

/// What is odd about a span.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Odd {
    /// The clock runs since an earlier day.
    SinceYesterday,
    /// Nothing was entered for a long time.
    Quiet,
    /// It ran on past the usual end of the day.
    PastUsualEnd,
}

/// What the evidence speaks for; its `Display` is the sentence to show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proposal {
    /// What is odd.
    pub odd: Odd,
    /// The span.
    pub span: Span,
    /// What it is for, in words.
    pub place: Place,
    /// From when on the technician may have been off the clock.
    pub from: Moment,
    /// Until when; nothing while the clock runs on.
    pub to: Option<Moment>,
}

impl Proposal {
    /// Returns the requests that would put it right at `now`: the clock is stopped
    /// where it runs, and the quiet time is mended, in parts of at most a day.
    pub fn commands(&self, now: Moment) -> Vec<Command> {
        let stop = self.to.is_none().then_some(Command::SwitchClock { to: Doing::Off });
        let end = self.to.unwrap_or(now);
        let (mut mends, mut from) = (Vec::new(), self.from);
        while from.utc_ms() < end.utc_ms() {
            let day_later = Moment::new(from.utc_ms() + LONGEST_MEND.ms() as i64, from.offset_min());
            let to = day_later.filter(|it| it.utc_ms() < end.utc_ms()).unwrap_or(end);
            let reason = Label::new("the clock was forgotten");
            mends.push(Command::Mend(Mend { from, to, doing: Doing::Off, reason }));
            from = to;
        }
        stop.into_iter().chain(mends).collect()
    }
}

impl fmt::Display for Proposal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Place { boat, job } = &self.place;
        let activity = self.span.activity.words();
        let at = if boat.is_empty() { activity.to_owned() } else { format!("{activity} on {boat}, {job}") };
        // Times of two days bear the day, or a night and a day would read as a morning.
        let over_night = self.to.is_some_and(|to| to.day() != self.from.day());
        let told = |at: Moment| if over_night { format!("{}, {}", at.day(), hour_minute(at)) } else { hour_minute(at) };
        let (from, began) = (told(self.from), hour_minute(self.span.from));
        let until = self.to.map_or("now".to_owned(), told);
        match self.odd {
            Odd::SinceYesterday => {
                write!(f, "The clock runs since {}, {began}: {at}. Was that the end at {from}?", self.span.from.day())
            }
            Odd::Quiet if self.span.activity.is_pause() => {
                write!(f, "A long pause: {at} from {began} to {until}. Were you off the clock from {from}?")
            }
            Odd::Quiet => {
                write!(f, "Nothing was entered from {from} to {until}: {at}. Were you off the clock?")
            }
            Odd::PastUsualEnd => {
                write!(f, "The clock ran past your usual end of the day: {at}. Was that the end at {from}?")
            }
        }
    }
}

/// Returns what is odd about the spans of `day`, earliest first.
pub fn forgotten(book: &Book, day: Day, now: Moment) -> Vec<Proposal> {
    let usual = usual_end(book, day, now);
    let spans = book.ledger.spans_since(day, now);
    let of_day = spans.into_iter().filter(|&span| by_day(span).iter().any(|&(on, _)| on == day));
    of_day.filter_map(|span| proposal(book, span, usual, now)).collect()
}

/// Returns the usual end of the working day before `day`, in minutes of local
/// time: what the shop says, or else the median of the last ones; nothing while
/// there are too few.
pub fn usual_end(book: &Book, day: Day, now: Moment) -> Option<u32> {
    if let Some(said) = book.shop.rules().usual_end {
        return Some(u32::from(said.minute()));
    }
    let mut ends: Vec<(Day, Option<u32>)> = Vec::new();
    for span in book.ledger.spans_since(day.plus(-LOOK_BACK_DAYS)?, now) {
        for (on, part) in by_day(span).into_iter().filter(|&(on, _)| on < day) {
            // Over midnight or still running, a span is no end of a day.
            let ended = span.ended_by.is_some() && part.to == span.to;
            let (hour, minute) = part.to.time_of_day();
            let end = ended.then_some(u32::from(hour) * 60 + u32::from(minute));
            match ends.last_mut().filter(|(last, _)| *last == on) {
                Some(last) => last.1 = end,
                None => ends.push((on, end)),
            }
        }
    }
    let last: Vec<u32> = ends.into_iter().rev().filter_map(|(_, end)| end).take(USUAL_OF).collect();
    let last = order::by_key(last, |&end| end);
    let middle = last.len() / 2;
    match last.len() {
        count if count < USUAL_NEEDS => None,
        count if count % 2 == 1 => Some(last[middle]),
        _ => Some(u32::midpoint(last[middle - 1], last[middle])),
    }
}

fn proposal(book: &Book, span: Span, usual: Option<u32>, now: Moment) -> Option<Proposal> {
    let entries = book.entries.within(span.from, span.to);
    let (begins, ends) = longest_quiet(&span, &entries);
    let (odd, from, ends) = if let Some(odd) = quiet(&span, ends - begins, now) {
        (odd, rounded_up(begins, &span), ends)
    } else {
        let last = entries.last().copied().unwrap_or(span.from.utc_ms());
        let end = past_usual_end(&span, last, usual)?;
        (Odd::PastUsualEnd, rounded_up(last, &span).max(end), span.to.utc_ms())
    };
    let meal = span.from.utc_ms() + MEAL.ms() as i64;
    let from = if span.activity == Activity::MealPeriod { from.max(meal) } else { from };
    let at = |ms| Moment::new(ms, span.from.offset_min());
    let to = match ends == span.to.utc_ms() {
        true if span.ended_by.is_none() => None,
        true => Some(span.to),
        false => Some(at(ends)?),
    };
    let place = place(book, span.on);
    (from < ends).then_some(Proposal { odd, span, place, from: at(from)?, to })
}

/// Returns the longest part of a span without an entry that reaches its end or over
/// a midnight; of equal ones the last.
fn longest_quiet(span: &Span, entries: &[i64]) -> (i64, i64) {
    let (begin, end) = (span.from.utc_ms(), span.to.utc_ms());
    let day = |ms: i64| Moment::new(ms, span.from.offset_min()).map(Moment::day);
    let mut longest = (begin, begin);
    let mut last = begin;
    for &next in entries.iter().chain([&end]) {
        let judged = next == end || day(last) != day(next);
        if judged && next - last >= longest.1 - longest.0 {
            longest = (last, next);
        }
        last = next;
    }
    longest
}

/// Tells what is odd about a span that was quiet for so many milliseconds.
fn quiet(span: &Span, ms: i64, now: Moment) -> Option<Odd> {
    let at_least = |length: Length| ms >= length.ms() as i64;
    let odd = if span.activity.is_pause() { LONG_PAUSE } else { QUIET_WORK };
    if span.ended_by.is_none() && span.from.day() < now.day() && at_least(QUIET_NIGHT) {
        return Some(Odd::SinceYesterday);
    }
    at_least(odd).then_some(Odd::Quiet)
}

/// Returns the usual end of the day in which work began, when it went on long
/// past it and nothing was entered since.
fn past_usual_end(span: &Span, last_entry: i64, usual: Option<u32>) -> Option<i64> {
    if span.activity.is_pause() {
        return None;
    }
    let midnight = span.from.next_midnight().utc_ms() - 24 * 60 * MINUTE_MS;
    let end = midnight + i64::from(usual?) * MINUTE_MS;
    let long_past = span.to.utc_ms() - end >= PAST_USUAL_END.ms() as i64;
    (span.from.utc_ms() < end && last_entry <= end && long_past).then_some(end)
}

/// Rounds an instant up to five minutes of local time.
fn rounded_up(ms: i64, span: &Span) -> i64 {
    let offset = i64::from(span.from.offset_min()) * MINUTE_MS;
    let step = ROUNDED_TO.ms() as i64;
    let local = ms + offset;
    local + (-local).rem_euclid(step) - offset
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::command::decide;
    use crate::event::{About, Event, On, PhotoFacts, ShopRules};
    use crate::exchange::line;
    use crate::id::{BlobId, DeviceId};
    use crate::log::Tip;
    use crate::text::Prose;

    struct Phone {
        book: Book,
        tip: Tip,
    }

    impl Phone {
        fn new() -> Self {
            Self { book: Book::default(), tip: Tip::fresh(DeviceId::new([1; 8])) }
        }

        fn say(&mut self, at: Moment, event: Event) {
            let (_, sealed) = line::seal(self.tip.record(at, event));
            self.tip.advance(&sealed);
            self.book.apply(&sealed.record);
            assert_eq!(self.book.faults, []);
        }
    }

    fn on_4th(time: &str) -> Moment {
        let (day, time) = time.split_once(' ').unwrap_or(("04", time));
        Moment::parse(&format!("2026-05-{day}T{time}+01:00")).unwrap()
    }

    fn photo(taken: Option<Moment>) -> Event {
        let (bytes, width, height) = (1, 4, 3);
        let (blob, caption) = (BlobId::of(b"x"), Label::default());
        let photo = PhotoFacts { blob, bytes, width, height, caption, taken, position: None };
        Event::PhotoTaken { about: About::Day, photo }
    }

    fn event(what: &str) -> Event {
        let doing = |activity| Event::ClockSwitched { to: Doing::At { activity, on: On::NoJob } };
        match what {
            "labour" => doing(Activity::Labour),
            "meal" => doing(Activity::MealPeriod),
            "off" => Event::ClockSwitched { to: Doing::Off },
            "photo" => photo(None),
            "note" => Event::NoteWritten { about: About::Day, text: Prose::new("Belt is worn") },
            "named" => Event::TechnicianNamed { name: Label::new("M. Sluice"), shop: Label::default() },
            other => panic!("{other} is not in the table"),
        }
    }

    /// Returns what is odd as `odd from-to`, with a dash where the clock runs on.
    fn told(phone: &Phone, day: &str, now: &str) -> Vec<String> {
        let proposals = forgotten(&phone.book, Day::parse(day).unwrap(), on_4th(now));
        let told = proposals.iter().map(|it| {
            let to = it.to.map_or("-".to_owned(), hour_minute);
            format!("{:?} {} {to}", it.odd, hour_minute(it.from))
        });
        told.collect()
    }

    #[test]
    fn what_a_day_speaks_for() {
        for (said, now, expected) in [
            // The photo at 16:42 is the last sign of work.
            (
                &[("13:00:00", "labour"), ("16:41:30", "photo"), ("21:30:00", "off")][..],
                "22:00:00",
                &["Quiet 16:45 21:30"][..],
            ),
            (&[("13:00:00", "labour"), ("16:45:00", "photo"), ("21:30:00", "off")], "22:00:00", &["Quiet 16:45 21:30"]),
            // One minute less than odd, and odd.
            (&[("08:00:00", "labour"), ("11:29:00", "off")], "12:00:00", &[]),
            (&[("08:00:00", "labour"), ("11:30:00", "off")], "12:00:00", &["Quiet 08:00 11:30"]),
            (&[("08:00:00", "labour"), ("10:00:00", "note"), ("13:29:00", "off")], "14:00:00", &[]),
            // Naming oneself is no sign of work.
            (&[("08:00:00", "labour"), ("10:00:00", "named"), ("13:29:00", "off")], "14:00:00", &["Quiet 08:00 13:29"]),
            // Who enters something in the afternoon was there since the morning.
            (
                &[("08:00:00", "labour"), ("09:03:00", "note"), ("15:00:00", "photo"), ("16:00:00", "off")],
                "17:00:00",
                &[],
            ),
            // Work went on in the morning after the clock was forgotten.
            (
                &[("13:00:00", "labour"), ("16:02:10", "note"), ("05 07:50:00", "photo"), ("05 09:00:00", "off")],
                "05 17:00:00",
                &["Quiet 16:05 07:50"],
            ),
            // A meal is left its thirty minutes.
            (&[("12:00:00", "meal"), ("13:29:00", "labour")], "13:40:00", &[]),
            (&[("12:00:00", "meal"), ("13:30:00", "labour")], "13:40:00", &["Quiet 12:30 13:30"]),
            // What runs may still be stopped.
            (&[("08:00:00", "labour"), ("09:10:00", "note")], "12:41:00", &["Quiet 09:10 -"]),
            (&[("08:00:00", "labour"), ("09:10:00", "note")], "12:39:00", &[]),
        ] {
            let mut phone = Phone::new();
            said.iter().for_each(|&(at, what)| phone.say(on_4th(at), event(what)));
            assert_eq!(told(&phone, "2026-05-04", now), expected, "{said:?}");
        }
    }

    #[test]
    fn a_clock_that_runs_since_yesterday_is_told_on_both_days() {
        let mut phone = Phone::new();
        phone.say(on_4th("13:00:00"), event("labour"));
        phone.say(on_4th("16:42:00"), event("photo"));
        for day in ["2026-05-04", "2026-05-05"] {
            assert_eq!(told(&phone, day, "05 07:30:00"), ["SinceYesterday 16:45 -"]);
        }
        // A night's work with a sign of it is nothing odd.
        let mut night = Phone::new();
        night.say(on_4th("22:00:00"), event("labour"));
        night.say(on_4th("23:10:00"), event("photo"));
        assert_eq!(told(&night, "2026-05-05", "05 01:05:00"), [""; 0]);
        assert_eq!(told(&night, "2026-05-05", "05 01:10:00"), ["SinceYesterday 23:10 -"]);
    }

    #[test]
    fn a_photo_speaks_for_when_it_was_taken() {
        let mut phone = Phone::new();
        phone.say(on_4th("13:00:00"), event("labour"));
        phone.say(on_4th("20:30:00"), photo(Some(on_4th("16:42:00"))));
        phone.say(on_4th("20:31:00"), event("off"));
        assert_eq!(told(&phone, "2026-05-04", "21:00:00"), ["Quiet 16:45 20:31"]);
    }

    #[test]
    fn the_usual_end_is_the_median_of_the_last_days_and_needs_three() {
        let mut phone = Phone::new();
        let day = Day::parse("2026-05-08").unwrap();
        let now = on_4th("08 18:00:00");
        for (nth, (end, usual)) in
            [("16:00", None), ("17:00", None), ("16:30", Some(990)), ("16:40", Some(995))].into_iter().enumerate()
        {
            phone.say(on_4th(&format!("0{} 08:00:00", nth + 1)), event("labour"));
            phone.say(on_4th(&format!("0{} {end}:00", nth + 1)), event("off"));
            assert_eq!(usual_end(&phone.book, day, now), usual);
        }
        // Over midnight there was no end of the day.
        phone.say(on_4th("05 20:00:00"), event("labour"));
        phone.say(on_4th("06 02:00:00"), event("off"));
        assert_eq!(usual_end(&phone.book, Day::parse("2026-05-06").unwrap(), now), Some(995));
    }

    #[test]
    fn the_shop_may_say_when_the_day_usually_ends() {
        let mut phone = Phone::new();
        let (day, now) = (Day::parse("2026-05-04").unwrap(), on_4th("18:30:00"));
        phone.say(on_4th("14:00:00"), event("labour"));
        phone.say(on_4th("15:02:00"), event("photo"));
        phone.say(on_4th("18:00:00"), event("off"));
        assert_eq!(told(&phone, "2026-05-04", "18:30:00"), [""; 0]);
        let usual_end = crate::moment::TimeOfDay::at_minute(16 * 60 + 40);
        phone.say(now, Event::ShopRulesSet(ShopRules { usual_end, ..ShopRules::default() }));
        assert_eq!(usual_end_of(&phone, day, now), Some(1_000));
        assert_eq!(told(&phone, "2026-05-04", "18:30:00"), ["PastUsualEnd 16:40 18:00"]);
    }

    fn usual_end_of(phone: &Phone, day: Day, now: Moment) -> Option<u32> {
        usual_end(&phone.book, day, now)
    }

    #[test]
    fn past_the_usual_end_the_later_of_it_and_the_last_entry_is_proposed() {
        for (said, expected) in [
            (
                &[("08 14:00:00", "labour"), ("08 15:02:00", "photo"), ("08 17:30:00", "off")][..],
                &["PastUsualEnd 16:30 17:30"][..],
            ),
            (&[("08 14:00:00", "labour"), ("08 15:02:00", "photo"), ("08 17:29:00", "off")], &[]),
            // He was at work after it.
            (&[("08 14:00:00", "labour"), ("08 16:42:00", "photo"), ("08 18:00:00", "off")], &[]),
            (&[("08 16:29:30", "labour"), ("08 17:30:00", "off")], &["PastUsualEnd 16:30 17:30"]),
            (&[("08 16:35:00", "labour"), ("08 18:30:00", "off")], &[]),
        ] {
            let mut phone = Phone::new();
            for day in ["05", "06", "07"] {
                phone.say(on_4th(&format!("{day} 13:30:00")), event("labour"));
                phone.say(on_4th(&format!("{day} 16:30:00")), event("off"));
            }
            said.iter().for_each(|&(at, what)| phone.say(on_4th(at), event(what)));
            assert_eq!(told(&phone, "2026-05-08", "08 19:00:00"), expected, "{said:?}");
        }
    }

    #[test]
    fn a_clock_that_ran_over_a_night_is_told_with_its_days() {
        let mut phone = Phone::new();
        phone.say(on_4th("15:00:00"), event("labour"));
        phone.say(on_4th("15:32:00"), event("photo"));
        phone.say(on_4th("05 07:30:00"), event("off"));
        let [proposal] = &forgotten(&phone.book, Day::parse("2026-05-04").unwrap(), on_4th("05 08:00:00"))[..] else {
            panic!("one thing is odd")
        };
        let sentence =
            "Nothing was entered from 2026-05-04, 15:35 to 2026-05-05, 07:30: labour. Were you off the clock?";
        assert_eq!(proposal.to_string(), sentence);
    }

    #[test]
    fn what_is_proposed_can_be_done_and_is_then_no_longer_odd() {
        let mut phone = Phone::new();
        phone.say(on_4th("13:00:00"), event("labour"));
        phone.say(on_4th("16:42:00"), event("photo"));
        // Found on Thursday: more than one mend may cover.
        let (now, day) = (on_4th("07 07:30:00"), Day::parse("2026-05-04").unwrap());
        let [proposal] = &forgotten(&phone.book, day, now)[..] else { panic!("one thing is odd") };
        let sentence = "The clock runs since 2026-05-04, 13:00: labour. Was that the end at 16:45?";
        assert_eq!(proposal.to_string(), sentence);
        let commands = proposal.commands(now);
        assert_eq!(commands.len(), 4);
        for command in commands {
            for event in decide(&phone.book, command, phone.tip.next(), now).unwrap() {
                phone.say(now, event);
            }
        }
        assert_eq!(phone.book.ledger.running(), None);
        let spans: Vec<_> = phone.book.ledger.spans(now).iter().map(|span| span.length().clock_face()).collect();
        assert_eq!(spans, ["3:45"]);
        assert_eq!(forgotten(&phone.book, day, now), []);
    }
}
