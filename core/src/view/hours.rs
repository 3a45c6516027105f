//! A day, a week or a month at a glance: what the time went on, what of it is
//! billed, what was lost in between, and what it comes to by workweek.
//!
//! Three measures that are not the same stand apart. What was *done* is the
//! clock's time by civil day. What is *paid* is judged by workweek under the
//! shop's rules: which pauses count, starts and stops rounded, overtime. What is
//! *billed* is told of whole jobs, because a line is rounded once and a flat
//! number of hours belongs to no day.
//!
//! Minutes are dealt so that what is shown adds up: the days to the whole, the
//! parts of a day to the day.

use std::collections::BTreeMap;

use crate::book::Book;
use crate::book::ledger::{Span, by_activity, by_day};
use crate::event::{Activity, Billing, PayType, ShopRules};
use crate::hours::overtime::Split;
use crate::hours::rounding::{in_minutes, shares};
use crate::hours::{Stretch, worked};
use crate::id::JobId;
use crate::moment::{Day, Length, Moment};
use crate::order;
use crate::sheet::billed::{Both, job_hours};
use crate::sheet::paid::{Paid, paid};

use super::job::billed_row;
use super::{BilledRow, day_words};

/// How much is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Period {
    /// A civil day.
    Day,
    /// Seven days from the day on which the shop's workweek begins.
    Week,
    /// A month of the calendar.
    Month,
}

impl Period {
    /// All, shortest first.
    pub const ALL: [Period; 3] = [Period::Day, Period::Week, Period::Month];

    /// Returns its word.
    pub const fn words(self) -> &'static str {
        match self {
            Period::Day => "day",
            Period::Week => "week",
            Period::Month => "month",
        }
    }

    /// Returns its first and its last day.
    fn bounds(self, day: Day, rules: &ShopRules) -> (Day, Day) {
        let later = |day: Day, days: i64| day.plus(days).unwrap_or(day);
        match self {
            Period::Day => (day, day),
            Period::Week => {
                let first = rules.week.first_of(day);
                (first, later(first, 6))
            }
            Period::Month => {
                let first = later(day, 1 - i64::from(day.parts().2));
                // Any month ends within the four days after its 28th.
                let last = (27..31).map(|days| later(first, days)).rfind(|it| it.parts().1 == first.parts().1);
                (first, last.unwrap_or(first))
            }
        }
    }
}

/// What time was, for whoever bills.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Work on a line that a customer or a maker pays.
    Billed,
    /// Other work.
    NotBilled,
    /// Meal and rest periods.
    Pause,
    /// Off the clock between a day's first and last activity.
    Between,
}

impl Kind {
    /// All, in the order in which they are drawn.
    pub const ALL: [Kind; 4] = [Kind::Billed, Kind::NotBilled, Kind::Pause, Kind::Between];

    /// Returns words for the screen.
    pub const fn words(self) -> &'static str {
        match self {
            Kind::Billed => "billed work",
            Kind::NotBilled => "work not billed",
            Kind::Pause => "meal and rest",
            Kind::Between => "lost in between",
        }
    }
}

/// The time of one day by [`Kind::ALL`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayBar {
    /// The day.
    pub day: Day,
    /// In a few letters: `Mon 4`.
    pub words: String,
    /// How long, in whole minutes.
    pub parts: [Length; 4],
}

impl DayBar {
    /// Returns how long the day was, from the first activity to the last.
    pub fn whole(&self) -> Length {
        self.parts.iter().copied().sum()
    }
}

/// What a workweek comes to, in hours and minutes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WeekRow {
    /// On which day it begins.
    pub words: String,
    /// What counts as hours worked, exact.
    pub counted: String,
    /// The same with starts and stops rounded by the shop's rule.
    pub paid: String,
    /// Of what is paid, overtime.
    pub overtime: String,
    /// Of what is paid, double time.
    pub double: String,
}

/// A day, a week or a month at a glance.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoursCard {
    /// Which.
    pub title: String,
    /// A day of the one before.
    pub before: Option<Day>,
    /// A day of the one after.
    pub after: Option<Day>,
    /// Its days.
    pub days: Vec<DayBar>,
    /// All of them by [`Kind::ALL`], which the days add up to.
    pub sums: [Length; 4],
    /// Work and pauses by activity, in whole minutes; they add up to the first three of the sums.
    pub activities: Vec<(Activity, Length)>,
    /// What is to be said of what was lost in between; nothing where nothing was.
    pub lost: Option<String>,
    /// The workweeks that have a part in it, each whole.
    pub weeks: Vec<WeekRow>,
    /// Clock and billed hours by who pays, of the jobs worked on, over all their days.
    pub pays: Vec<BilledRow>,
}

/// Returns the day, week or month that holds `day`.
pub fn hours_card(book: &Book, period: Period, day: Day, now: Moment) -> HoursCard {
    let rules = book.shop.rules();
    let (first, last) = period.bounds(day, &rules);
    let spans = book.ledger.spans_since(first, now);
    let parts: Vec<(Day, Span)> = spans.into_iter().flat_map(by_day).collect();
    let parts: Vec<(Day, Span)> = parts.into_iter().filter(|(day, _)| (first..=last).contains(day)).collect();
    let days = bars(book, &parts, first, last);
    let sums = [0, 1, 2, 3].map(|nth| days.iter().map(|bar| bar.parts[nth]).sum());
    let by_activity = by_activity(parts.iter().map(|(_, span)| span));
    HoursCard {
        title: title(period, first, now.day()),
        before: first.plus(-1),
        after: last.plus(1).filter(|&day| day <= now.day()),
        activities: dealt(by_activity, sums[..3].iter().copied().sum()),
        lost: lost(&parts, sums[3], &rules),
        weeks: week_rows(book, &rules, first, last, now),
        pays: pay_rows(book, &parts, now),
        days,
        sums,
    }
}

/// Between two taps there may be seconds; nobody rests in them (29 CFR 785.47 lets them be).
const SHORTEST_GAP: Length = Length::from_ms(60_000);

fn title(period: Period, first: Day, today: Day) -> String {
    match period {
        Period::Day => day_words(first, today),
        Period::Week => format!("Week from {}", day_words(first, today)),
        // The day is always the first here: `Friday 1 May 2026`.
        Period::Month => {
            let words = day_words(first, today);
            words.split(' ').skip(2).collect::<Vec<_>>().join(" ")
        }
    }
}

/// Returns each day from the first to the last, minutes dealt so that all adds up.
fn bars(book: &Book, parts: &[(Day, Span)], first: Day, last: Day) -> Vec<DayBar> {
    let mut exact: BTreeMap<Day, [Length; 4]> = BTreeMap::new();
    let mut ended: Option<(Day, Moment)> = None;
    for (day, span) in parts {
        let of_day = exact.entry(*day).or_default();
        let mut add = |kind: Kind, length: Length| of_day[kind as usize] = of_day[kind as usize] + length;
        add(kind_of(book, span), span.length());
        if let Some((_, end)) = ended.filter(|(before, _)| before == day) {
            add(Kind::Between, span.from.since(end).unwrap_or_default());
        }
        ended = Some((*day, span.to));
    }
    let all = || (0..).map_while(|days| first.plus(days)).take_while(|&day| day <= last);
    let of = |day: Day| exact.get(&day).copied().unwrap_or_default();
    let wholes: Vec<Length> = all().map(|day| of(day).into_iter().sum()).collect();
    let bar = |(day, whole): (Day, Length)| {
        let dealt = shares(&of(day), whole);
        let mut parts = [Length::ZERO; 4];
        parts.copy_from_slice(&dealt);
        let words = day_words(day, day);
        let words = format!("{} {}", words.get(..3).unwrap_or_default(), day.parts().2);
        DayBar { day, words, parts }
    };
    all().zip(in_minutes(&wholes)).map(bar).collect()
}

fn kind_of(book: &Book, span: &Span) -> Kind {
    if span.activity.is_pause() {
        return Kind::Pause;
    }
    match book.line_of(span.on) {
        Some(line) if line.pay != PayType::Internal && line.billing != Billing::NoCharge => Kind::Billed,
        _ => Kind::NotBilled,
    }
}

/// Returns lengths in whole minutes that add up to `whole`.
pub(super) fn dealt<T>(lengths: Vec<(T, Length)>, whole: Length) -> Vec<(T, Length)> {
    let (of, exact): (Vec<T>, Vec<Length>) = lengths.into_iter().unzip();
    of.into_iter().zip(shares(&exact, whole)).collect()
}

fn lost(parts: &[(Day, Span)], sum: Length, rules: &ShopRules) -> Option<String> {
    let stretches: Vec<Stretch> = parts.iter().map(|(_, span)| stretch(span)).collect();
    let short = worked::short_gaps(&stretches, rules.pauses)
        .filter(|&(from, to)| to.since(from).is_some_and(|gap| gap >= SHORTEST_GAP))
        .count();
    let upto = rules.pauses.rest_up_to().minutes();
    let ask = match short {
        0 => String::new(),
        1 => format!(" One gap is at most {upto} minutes: was it a rest period? That would count (29 CFR 785.18)."),
        _ => {
            format!(" {short} gaps are at most {upto} minutes: were they rest periods? Those count (29 CFR 785.18).")
        }
    };
    let sum_words = format!("{} off the clock between the first and the last activity of a day.", sum.clock_face());
    (sum > Length::ZERO || short > 0).then(|| sum_words + &ask)
}

fn stretch(span: &Span) -> Stretch {
    Stretch { from: span.from, to: span.to, activity: span.activity }
}

/// Returns the workweeks of the days from the first to the last.
fn week_rows(book: &Book, rules: &ShopRules, first: Day, last: Day, now: Moment) -> Vec<WeekRow> {
    let since = rules.week.first_of(first);
    let until = rules.week.first_of(last);
    // A pause is judged whole, so what began the evening before is looked at too.
    let spans = book.ledger.spans_since(since.plus(-1).unwrap_or(since), now);
    let Paid { counted, weeks, .. } = paid(&spans, rules);
    let row = |(&first, &counted): (&Day, &Length)| {
        let split = weeks.iter().find(|week| week.first == first).map_or(Split::default(), |week| week.sums());
        WeekRow {
            words: day_words(first, now.day()),
            counted: counted.clock_face(),
            paid: split.worked().clock_face(),
            overtime: split.overtime().clock_face(),
            double: split.double.clock_face(),
        }
    };
    counted.range(since..=until).map(row).collect()
}

/// Returns clock and billed hours by who pays, of the jobs that have time here.
fn pay_rows(book: &Book, parts: &[(Day, Span)], now: Moment) -> Vec<BilledRow> {
    let jobs: Vec<JobId> = order::each_once(parts.iter().filter_map(|(_, span)| book.job_of(span.on)).collect());
    let hours = job_hours(book, &jobs, now);
    let of = |pay: PayType| {
        let both = hours.iter().flat_map(|job| &job.by_pay).filter(|(by, _)| *by == pay).map(|&(_, both)| both);
        (pay.words(), both.fold(Both::default(), |sum, both| sum + both))
    };
    let no_line = Both { clock: hours.iter().map(|job| job.no_line).sum(), billed: Length::ZERO };
    let rows = PayType::ALL.into_iter().map(of).chain([("on no line", no_line)]);
    rows.filter(|(_, both)| *both != Both::default()).map(|(what, both)| billed_row(what.to_owned(), both)).collect()
}

#[cfg(test)]
mod tests;
