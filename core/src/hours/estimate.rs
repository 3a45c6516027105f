//! How long such work took before, and how long the rest of a job may take.
//!
//! What is usual is the median and what is long is the 80th percentile, both by
//! definition 7 of Hyndman and Fan ("Sample Quantiles in Statistical Packages",
//! The American Statistician 50, 1996), which R and spreadsheets use too, with
//! the count behind them. Fewer than five lengths make no statistic; they are
//! given as they are.
//!
//! What is left of a job: each open step, or each item still off, is taken to
//! last between the median and the 80th percentile of those done on that job.

use crate::moment::Length;
use crate::order;

/// The fewest lengths that make a statistic.
pub const ENOUGH: usize = 5;

/// How long something took before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Past {
    /// Too few for a statistic: each, shortest first.
    Few(Vec<Length>),
    /// A statistic.
    Usual {
        /// How many lengths are behind it.
        count: usize,
        /// Half took no longer.
        median: Length,
        /// Four of five took no longer.
        long: Length,
    },
}

/// Returns what some lengths say together.
pub fn past(lengths: Vec<Length>) -> Past {
    let sorted = order::by_key(lengths, |&length| length);
    match sorted.len() {
        count @ ENOUGH.. => Past::Usual { count, median: quantile(&sorted, 1, 2), long: quantile(&sorted, 4, 5) },
        _ => Past::Few(sorted),
    }
}

/// Things to do of one kind, on one job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Progress {
    /// How long each one done took: the work on the job from the one before to it.
    pub done: Vec<Length>,
    /// How many are still to do.
    pub open: u32,
}

/// What is left of a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Remaining {
    /// Nothing that is on a list.
    Nothing,
    /// About so long.
    Between {
        /// If each takes as long as is usual on this job.
        usual: Length,
        /// If each takes long.
        long: Length,
    },
    /// Of something that is open too few are done.
    CannotSay,
}

impl Remaining {
    /// Returns why there is no figure, for the screen; nothing where there is one.
    pub const fn reason(self) -> Option<&'static str> {
        match self {
            Remaining::CannotSay => Some("Cannot say yet: fewer than five are done."),
            _ => None,
        }
    }
}

/// Returns how long the rest of a job may take, from its kinds of things to do.
///
/// This is an expectation by the pace so far, not a promise: what nobody has
/// written down is not in it.
pub fn remaining(kinds: impl IntoIterator<Item = Progress>) -> Remaining {
    let mut sum = Remaining::Nothing;
    for Progress { done, open } in kinds.into_iter().filter(|kind| kind.open > 0) {
        let Past::Usual { median, long: slow, .. } = past(done) else { return Remaining::CannotSay };
        let (usual, long) = match sum {
            Remaining::Between { usual, long } => (usual, long),
            _ => (Length::ZERO, Length::ZERO),
        };
        sum = Remaining::Between { usual: usual + times(median, open), long: long + times(slow, open) };
    }
    sum
}

fn times(length: Length, count: u32) -> Length {
    Length::from_ms(length.ms().saturating_mul(u64::from(count)))
}

/// Returns the quantile `part / whole` of lengths from the shortest to the
/// longest, to the millisecond, the exact half up; nothing of none.
///
/// It lies at position `(n - 1) * part / whole`, counted from 0, on the straight
/// line between its two neighbours.
fn quantile(sorted: &[Length], part: usize, whole: usize) -> Length {
    let position = sorted.len().saturating_sub(1) * part;
    let at = |index: usize| sorted.get(index).map_or(0, |length| u128::from(length.ms()));
    let (below, past, whole) = (position / whole, (position % whole) as u128, whole as u128);
    // The last one has no neighbour above it, and no way to go to it.
    let way = at(below + 1).saturating_sub(at(below)) * past;
    Length::from_ms(u64::try_from(at(below) + (2 * way + whole) / (2 * whole)).unwrap_or(u64::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;
    use ndarray::Array1;
    use ndarray_stats::Quantile1dExt;
    use ndarray_stats::interpolate::Linear;
    use noisy_float::types::n64;
    use proptest::prelude::*;

    fn lengths(ms: &[u64]) -> Vec<Length> {
        ms.iter().copied().map(Length::from_ms).collect()
    }

    #[test]
    fn published_examples_of_definition_7() {
        // R's summary() of 1, 12, 14, 3, 96, 111 (R-help, "Quantile calculations in R",
        // 2012-01-13): quartiles 5.25, 13 and 75.5. Here in hundredths.
        let sorted = lengths(&[100, 300, 1_200, 1_400, 9_600, 11_100]);
        assert_eq!([1, 2, 3].map(|part| quantile(&sorted, part, 4).ms()), [525, 1_300, 7_550]);
        // A published example of PERCENTILE.INC and of NumPy's default: 15, 20, 35, 40, 50
        // has 20 at the 25th percentile and 23 at the 30th.
        let sorted = lengths(&[15, 20, 35, 40, 50]);
        assert_eq!([25, 30].map(|part| quantile(&sorted, part, 100).ms()), [20, 23]);
    }

    #[test]
    fn five_lengths_make_a_statistic() {
        let few = past(lengths(&[40, 15, 50, 20]));
        assert_eq!(few, Past::Few(lengths(&[15, 20, 40, 50])));
        assert_eq!(past(Vec::new()), Past::Few(Vec::new()));
        let five = past(lengths(&[40, 15, 50, 20, 35]));
        let [median, long] = [35, 42].map(Length::from_ms);
        assert_eq!(five, Past::Usual { count: 5, median, long });
    }

    #[test]
    fn the_rest_of_a_job_is_a_range_or_cannot_be_said() {
        let steps = |open| Progress { done: lengths(&[40, 15, 50, 20, 35]), open };
        let items = |open| Progress { done: lengths(&[10; 9]), open };
        let between = |usual, long| Remaining::Between { usual: Length::from_ms(usual), long: Length::from_ms(long) };
        assert_eq!(remaining([steps(3)]), between(105, 126));
        assert_eq!(remaining([steps(3), items(2)]), between(125, 146));
        assert_eq!(remaining([steps(0), items(0)]), Remaining::Nothing);
        assert_eq!(remaining([]), Remaining::Nothing);
        let begun = Progress { done: lengths(&[10; 4]), open: 1 };
        assert_eq!(remaining([steps(3), begun.clone()]), Remaining::CannotSay);
        assert_eq!(remaining([steps(3), Progress { open: 0, ..begun }]), between(105, 126));
        assert!(Remaining::CannotSay.reason().is_some() && Remaining::Nothing.reason().is_none());
    }

    proptest! {
        #[test]
        fn an_independent_library_finds_the_same(ms in prop::collection::vec(0..40_000_000_000_u64, 5..80)) {
            let mut floats = Array1::from_iter(ms.iter().map(|&ms| n64(ms as f64)));
            let mut judge = |q: f64| floats.quantile_mut(n64(q), &Linear).unwrap().raw();
            let (expected_median, expected_long) = (judge(0.5), judge(0.8));
            let Past::Usual { count, median, long } = past(lengths(&ms)) else { panic!("there are enough") };
            prop_assert_eq!(count, ms.len());
            // To the half millisecond of our rounding, and what a float loses.
            prop_assert!((median.ms() as f64 - expected_median).abs() < 0.501, "{} {}", median.ms(), expected_median);
            prop_assert!((long.ms() as f64 - expected_long).abs() < 0.501, "{} {}", long.ms(), expected_long);
            prop_assert!(median <= long);
        }
    }
}
