//! How fast a long log becomes a book: what a start costs when no snapshot helps.
//!
//! Two figures for each length: the fold alone, and reading every line (hash,
//! form, event) before it. They are of this machine, natively; a phone takes
//! several times as long. A debug build would measure the compiler's patience,
//! so the example `fold` is run in release and its answer is heard.

use std::hint::black_box;
use std::time::Instant;

use quaywright_core::book::Book;
use quaywright_core::exchange::line;
use quaywright_core::log::Record;
use quaywright_core::moment::Moment;

use super::{Figure, Unit};
use crate::demo::large::big_log;
use crate::{Trouble, run};

/// The lengths that are measured, in events.
pub const LENGTHS: [usize; 2] = [100_000, 1_000_000];

/// The fewest events a second that the fold alone shall take in.
const FOLDED: f64 = 2_000_000.0;

/// What one log took.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Took {
    /// How many events it has.
    pub events: usize,
    /// Seconds for reading and verifying every line.
    pub read: f64,
    /// Seconds for the fold of what was read.
    pub fold: f64,
}

/// Makes a log of so many events and measures reading and folding it.
///
/// # Errors
/// When the log is shorter, or the book finds a fault: then the time would mean nothing.
pub fn measure(events: usize) -> Result<Took, Trouble> {
    let from = Moment::parse("2001-01-01T07:30:00+00:00").map_err(|why| Trouble::Other(why.to_string()))?;
    let lines = big_log(events, from, 7);
    let begun = Instant::now();
    let records: Vec<Record> = lines.iter().filter_map(|bytes| Some(line::read(bytes).ok()?.record)).collect();
    let read = begun.elapsed().as_secs_f64();
    let begun = Instant::now();
    let book = black_box(Book::replay(&records));
    let fold = begun.elapsed().as_secs_f64();
    match (records.len() == events, book.faults.first()) {
        (true, None) => Ok(Took { events, read, fold }),
        (_, fault) => {
            Err(Trouble::Other(format!("{} of {events} events were read; first fault: {fault:?}", records.len())))
        }
    }
}

/// Returns the figures of a release build, in events a second.
///
/// # Errors
/// When the example cannot be built or its answer is not understood.
pub(super) fn figures() -> Result<Vec<Figure>, Trouble> {
    let words = ["run", "--release", "--quiet", "--package", "quaywright-xtask", "--example", "fold"];
    let said = run::hear(&mut run::cargo(&words))?;
    let mut figures = Vec::new();
    for answer in said.lines() {
        let took = heard(answer).ok_or_else(|| Trouble::Other(format!("the fold answered `{answer}`")))?;
        figures.extend(shown(took));
    }
    Ok(figures)
}

/// Returns what the example prints of one log.
pub fn told(took: Took) -> String {
    format!("{} {} {}", took.events, took.read, took.fold)
}

fn heard(answer: &str) -> Option<Took> {
    let mut words = answer.split(' ');
    let mut next = || words.next();
    let took = Took { events: next()?.parse().ok()?, read: next()?.parse().ok()?, fold: next()?.parse().ok()? };
    next().is_none().then_some(took)
}

fn shown(took: Took) -> [Figure; 2] {
    let figure = |name: &str, seconds: f64, aim| Figure {
        name: format!("{name}-{}", short(took.events)),
        value: (took.events as f64 / seconds).round(),
        unit: Unit::PerSecond,
        aim,
        conditions: format!("{} events, native, release, one thread, {seconds:.2} s in all", took.events),
    };
    [figure("fold", took.fold, Some(FOLDED)), figure("read-and-fold", took.read + took.fold, None)]
}

/// Returns a round number in short: `100k`, `1m`.
fn short(number: usize) -> String {
    match number {
        0..1_000 => number.to_string(),
        1_000..1_000_000 => format!("{}k", number / 1_000),
        _ => format!("{}m", number / 1_000_000),
    }
}

#[cfg(test)]
mod tests {
    use super::{Took, heard, measure, short, shown, told};

    #[test]
    fn a_small_log_is_measured_and_told() {
        let took = measure(2_000).unwrap();
        assert!(took.events == 2_000 && took.read > 0.0 && took.fold > 0.0, "{took:?}");
        assert_eq!(heard(&told(took)), Some(took));
    }

    #[test]
    fn figures_are_events_a_second() {
        let [fold, both] = shown(Took { events: 1_000, read: 1.5, fold: 0.5 });
        assert_eq!((fold.value, both.value), (2_000.0, 500.0));
        assert_eq!(both.name, "read-and-fold-1k");
        assert_eq!([999, 100_000, 1_000_000].map(short), ["999", "100k", "1m"]);
        for wrong in ["", "1000", "1000 x 1", "1000 1 1 1"] {
            assert_eq!(heard(wrong), None, "{wrong}");
        }
    }
}
