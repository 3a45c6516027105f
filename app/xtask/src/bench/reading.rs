//! How long a verdict takes: the form answers while one types, so it must not be felt.
//!
//! Every kind is judged with all of its inputs answered, twelve cylinders where it has
//! some; the slowest kind is the figure. Rule: the middle one of several runs. A debug
//! build would measure nothing, so the example `reading` is run in release and heard.

use std::hint::black_box;
use std::time::Instant;

use quaywright_core::reading::Kind;
use quaywright_core::reading::figure::Entered;
use quaywright_core::reading::form::{Given, Input, Need, Of, Value};

use super::{Figure, Unit};
use crate::{Trouble, run};

const RUNS: usize = 9;
const VERDICTS: u32 = 1_000;
/// The most that one verdict shall take, in milliseconds: 50 microseconds.
const AIM: f64 = 0.05;

/// Takes the figure: the slowest kind's time for one verdict.
///
/// # Errors
/// When a kind says nothing: then the time would mean nothing.
pub fn measure() -> Result<Figure, Trouble> {
    let mut slowest = (Kind::ALL[0], 0.0);
    for &kind in Kind::ALL {
        let given = answered(kind);
        let mut took: Vec<f64> = (0..RUNS).map(|_| verdicts(kind, &given)).collect();
        took.sort_by(f64::total_cmp);
        if kind.judge(&given, None).reasons.is_empty() {
            return Err(Trouble::Other(format!("{} is judged without a reason", kind.words())));
        }
        if took[RUNS / 2] > slowest.1 {
            slowest = (kind, took[RUNS / 2]);
        }
    }
    Ok(Figure {
        name: "verdict-slowest-kind".to_owned(),
        value: (slowest.1 * 100_000.0).round() / 100_000.0,
        unit: Unit::Milliseconds,
        aim: Some(AIM),
        conditions: format!(
            "{}, all inputs answered, native, release, mean of {VERDICTS}, median of {RUNS}",
            slowest.0.words()
        ),
    })
}

/// Returns the figure of a release build.
///
/// # Errors
/// When the example cannot be built or its answer is not understood.
pub(super) fn figure() -> Result<Figure, Trouble> {
    let words = ["run", "--release", "--quiet", "--package", "quaywright-xtask", "--example", "reading"];
    let said = run::hear(&mut run::cargo(&words))?;
    Figure::heard(&said).ok_or_else(|| Trouble::Other(format!("the readings answered `{said}`")))
}

/// Returns the milliseconds that one verdict takes.
fn verdicts(kind: Kind, given: &[Given]) -> f64 {
    let begun = Instant::now();
    for _ in 0..VERDICTS {
        drop(black_box(kind.judge(black_box(given), None)));
    }
    begun.elapsed().as_secs_f64() * 1_000.0 / f64::from(VERDICTS)
}

/// Answers every input of a kind with what is usual.
fn answered(kind: Kind) -> Vec<Given> {
    let value = |input: &Input| match input.of {
        Of::Choice(choices) => Some(Value::Choice(choices[0])),
        Of::Figure { units, usual: (low, high) } => {
            let amount = units[0].scaled(low / 2 + high / 2, 1).clamp(1, 999_999);
            let text = format!("{}.{}", amount / 10, amount % 10);
            Entered::parse(&text, units[0]).ok().map(Value::Figure)
        }
    };
    let each = |input: &Input| {
        let numbers = if matches!(input.need, Need::Each(_)) { 1..=12 } else { 0..=0 };
        let (name, value) = (input.name, value(input));
        numbers.filter_map(move |nth| Some(Given { name, nth, value: value? }))
    };
    kind.inputs().iter().flat_map(each).collect()
}

#[cfg(test)]
mod tests {
    use super::{Figure, Kind, Unit, answered, measure};

    #[test]
    fn every_kind_is_answered_whole() {
        for &kind in Kind::ALL {
            let given = answered(kind);
            assert!(kind.inputs().iter().all(|input| given.iter().any(|it| it.name == input.name)), "{}", kind.words());
        }
    }

    #[test]
    fn a_figure_is_measured_and_told() {
        let figure = measure().unwrap();
        assert!(figure.value >= 0.0 && figure.unit == Unit::Milliseconds, "{figure:?}");
        assert_eq!(Figure::heard(&figure.told()), Some(figure));
    }
}
