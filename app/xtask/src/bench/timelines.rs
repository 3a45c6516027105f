//! How long it takes to lay mends over the taps of a month and of ten years.
//!
//! The clock is tapped every few minutes, five days a week, and every fifth
//! thing said is a mend of some of the last hours, so mends lie over mends: far
//! more of both than a technician makes. Rule: the middle one of several runs is
//! the figure, and the time that comes out must be that of the days. A debug
//! build would measure nothing, so the example `timelines` is run in release and
//! its answer is heard.

use std::hint::black_box;
use std::time::Instant;

use quaywright_core::book::Book;
use quaywright_core::book::ledger::{Span, by_day};
use quaywright_core::event::{Activity, Doing, Event, Mend, On};
use quaywright_core::id::DeviceId;
use quaywright_core::log::{Record, Tip};
use quaywright_core::moment::{Day, Length, Moment};
use quaywright_core::text::Label;

use super::{Figure, Unit};
use crate::{Trouble, run};

/// Taps and mends of a month, and of ten years.
pub const MONTH: usize = 2_400;
/// See [`MONTH`].
pub const YEARS: usize = 250_000;
const RUNS: usize = 9;
const TAPS: usize = 1_000;
/// The most that each may take, in milliseconds.
const AIMS: [f64; 2] = [1.0, 100.0];
const MINUTE_MS: i64 = 60_000;
const DAY_MS: i64 = 24 * 60 * MINUTE_MS;

/// Takes the figures.
///
/// # Errors
/// When a fault is found or the days do not add up: then the time would mean nothing.
pub fn measure(month: usize, years: usize) -> Result<[Figure; 4], Trouble> {
    // A Monday.
    let from = Moment::parse("2020-01-06T07:30:00+00:00").map_err(|why| Trouble::Other(why.to_string()))?;
    let (short, long) = (said(from, month), said(from, years));
    let folded = timed(|| Book::replay(black_box(&short)).ledger.spans(end(&short)).len());
    let (month_book, years_book) = (checked(&short)?, checked(&long)?);
    let laid = timed(|| days(&years_book, end(&long)).len());
    let shown = |name: &str, value: f64, aim, what: &str| Figure {
        name: name.to_owned(),
        value: (value * 1_000.0).round() / 1_000.0,
        unit: Unit::Milliseconds,
        aim,
        conditions: format!("{what}, native, release, one thread, median of {RUNS}"),
    };
    let a_tap = format!("{TAPS} taps, each followed by the spans of its day, after");
    Ok([
        shown(
            "timeline-month",
            folded,
            Some(AIMS[0]),
            &format!("{month} taps and mends folded and laid over each other"),
        ),
        shown("timelines-10y", laid, Some(AIMS[1]), &format!("{years} taps and mends, as spans cut into days")),
        shown("taps-after-a-month", taps(&month_book, &short), None, &format!("{a_tap} {month} taps and mends")),
        shown("taps-after-10y", taps(&years_book, &long), None, &format!("{a_tap} {years} taps and mends")),
    ])
}

/// Returns the figures of a release build.
///
/// # Errors
/// When the example cannot be built or its answer is not understood.
pub(super) fn figures() -> Result<Vec<Figure>, Trouble> {
    let words = ["run", "--release", "--quiet", "--package", "quaywright-xtask", "--example", "timelines"];
    let said = run::hear(&mut run::cargo(&words))?;
    let figures: Vec<Figure> = said.lines().filter_map(Figure::heard).collect();
    if figures.is_empty() {
        return Err(Trouble::Other(format!("the timelines answered `{said}`")));
    }
    Ok(figures)
}

/// Returns the middle one of several runs, in milliseconds.
fn timed(mut run: impl FnMut() -> usize) -> f64 {
    let mut took: Vec<f64> = (0..RUNS)
        .map(|_| {
            let begun = Instant::now();
            black_box(run());
            begun.elapsed().as_secs_f64() * 1_000.0
        })
        .collect();
    took.sort_by(f64::total_cmp);
    took[RUNS / 2]
}

fn days(book: &Book, now: Moment) -> Vec<(Day, Span)> {
    book.ledger.spans(now).into_iter().flat_map(by_day).collect()
}

fn checked(said: &[Record]) -> Result<Book, Trouble> {
    let book = Book::replay(said);
    let now = end(said);
    let whole: Length = book.ledger.spans(now).iter().map(Span::length).sum();
    let by_days: Length = days(&book, now).iter().map(|(_, part)| part.length()).sum();
    match book.faults.first() {
        None if whole == by_days && whole > Length::ZERO => Ok(book),
        fault => Err(Trouble::Other(format!("{whole:?} became {by_days:?}; first fault: {fault:?}"))),
    }
}

/// Returns what taps take at the end of a history, each followed by the spans of its day.
fn taps(book: &Book, said: &[Record]) -> f64 {
    let Some(last) = said.last() else { return 0.0 };
    let tip = Tip { seq: last.id.seq, hlc: last.hlc, ..Tip::fresh(last.id.device) };
    let mut book = book.clone();
    let mut at = last.at;
    let mut nth = 0;
    timed(|| {
        let mut seen = 0;
        for _ in 0..TAPS {
            nth += 1;
            at = later(at, 5 * MINUTE_MS);
            let activity = Activity::ALL[nth % Activity::ALL.len()];
            let mut record = tip.record(at, Event::ClockSwitched { to: Doing::At { activity, on: On::NoJob } });
            record.id = last.id.later(nth as u64);
            book.apply(&record);
            seen += book.ledger.spans_of(at.day(), at).len();
        }
        seen
    })
}

/// Returns the present of a history: a minute after its last record.
fn end(said: &[Record]) -> Moment {
    let last = said.last().map_or(0, |record| record.at.utc_ms());
    Moment::new(last + MINUTE_MS, 0).unwrap_or_else(|| said[0].at)
}

fn later(at: Moment, ms: i64) -> Moment {
    Moment::new(at.utc_ms() + ms, at.offset_min()).unwrap_or(at)
}

/// Returns taps and mends, 120 a working day from `from` on, one mend to four taps.
fn said(from: Moment, count: usize) -> Vec<Record> {
    const A_DAY: usize = 120;
    let mut tip = Tip::fresh(DeviceId::new(*b"quaytime"));
    let mut said = Vec::with_capacity(count);
    for nth in 0..count {
        let (day, today) = ((nth / A_DAY) as i64, (nth % A_DAY) as i64);
        let at = later(from, (day / 5 * 7 + day % 5) * DAY_MS + today * 5 * MINUTE_MS);
        let some = Doing::At { activity: Activity::ALL[nth * 5 % Activity::ALL.len()], on: On::NoJob };
        let event = match (nth % A_DAY, nth % 5) {
            (last, _) if last == A_DAY - 1 => Event::ClockSwitched { to: Doing::Off },
            (9.., 4) => {
                let to = later(at, -((nth % 7) as i64) * 7 * MINUTE_MS);
                let doing = if nth % 3 == 0 { Doing::Off } else { some };
                let mend = Mend {
                    from: later(to, -(11 + (nth % 31) as i64) * MINUTE_MS),
                    to,
                    doing,
                    reason: Label::default(),
                };
                Event::Mended(mend)
            }
            _ => Event::ClockSwitched { to: some },
        };
        let record = tip.record(at, event);
        (tip.seq, tip.hlc) = (record.id.seq, record.hlc);
        said.push(record);
    }
    said
}

#[cfg(test)]
mod tests {
    use super::{Figure, MONTH, YEARS, checked, end, measure, said};
    use quaywright_core::book::ledger::Span;
    use quaywright_core::event::Event;
    use quaywright_core::moment::Moment;

    #[test]
    fn a_month_and_ten_years_have_their_taps_and_mends() {
        let from = Moment::parse("2020-01-06T07:30:00+00:00").unwrap();
        let mends = |count| said(from, count).iter().filter(|it| matches!(it.event, Event::Mended(_))).count();
        assert!((400..500).contains(&mends(MONTH)), "{}", mends(MONTH));
        assert!(mends(YEARS) > 40_000);
        let last = said(from, YEARS).pop().unwrap().at;
        assert!((2027..2031).contains(&last.day().parts().0), "{last}");
        let some = said(from, 1_000);
        let book = checked(&some).unwrap();
        let spans = book.ledger.spans(end(&some));
        assert!(spans.iter().any(|span| book.ledger.mended(span.said_by).is_some()));
        assert!(spans.iter().map(Span::length).all(|length| length.minutes() < 24 * 60));
    }

    #[test]
    fn figures_are_measured_and_told() {
        for figure in measure(500, 1_000).unwrap() {
            assert_eq!(Figure::heard(&figure.told()), Some(figure));
        }
    }
}
