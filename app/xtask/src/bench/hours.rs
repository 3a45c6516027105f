//! How long ten years take to become hours: judged, put into days and
//! workweeks, and split into plain hours and overtime.
//!
//! A quarter of a million made-up stretches, as many as there are events in ten
//! busy years, so it is more than a phone will meet. Rule: the middle one of
//! several runs is the figure, and the hours that come out must be those that
//! went in. A debug build would measure nothing, so the example `hours` is run
//! in release and its answer is heard.

use std::hint::black_box;
use std::time::Instant;

use quaywright_core::event::Activity;
use quaywright_core::hours::Stretch;
use quaywright_core::hours::overtime::{Overtime, Week, weeks};
use quaywright_core::hours::worked::{Rules, counted, judge};
use quaywright_core::hours::workweek::{Workweek, by_day, by_week};
use quaywright_core::moment::{Length, Moment};

use super::{Figure, Unit};
use crate::{Trouble, run};

/// How many stretches the figure is of.
pub const STRETCHES: usize = 250_000;
const STRETCHES_A_DAY: usize = 96;
const RUNS: usize = 9;
/// The most that ten years of timelines, totals and overtime shall take together, in milliseconds.
const AIM: f64 = 150.0;
const MINUTE_MS: i64 = 60_000;
const DAY_MS: i64 = 24 * 60 * MINUTE_MS;

/// Takes the figure of so many stretches.
///
/// # Errors
/// When the hours that come out are not those that went in: then the time would mean nothing.
pub fn measure(count: usize) -> Result<Figure, Trouble> {
    let years = stretches(count);
    let mut took = Vec::new();
    for _ in 0..RUNS {
        let begun = Instant::now();
        let hours = black_box(hours(black_box(&years)));
        took.push(begun.elapsed().as_secs_f64() * 1_000.0);
        hours.check()?;
    }
    took.sort_by(f64::total_cmp);
    Ok(Figure {
        name: "totals-and-overtime-10y".to_owned(),
        value: (took[RUNS / 2] * 10.0).round() / 10.0,
        unit: Unit::Milliseconds,
        aim: Some(AIM),
        conditions: format!(
            "{count} stretches, native, release, one thread, median of {RUNS}; the aim is for timelines too"
        ),
    })
}

/// Returns the figure of a release build.
///
/// # Errors
/// When the example cannot be built or its answer is not understood.
pub(super) fn figure() -> Result<Figure, Trouble> {
    let words = ["run", "--release", "--quiet", "--package", "quaywright-xtask", "--example", "hours"];
    let said = run::hear(&mut run::cargo(&words))?;
    Figure::heard(&said).ok_or_else(|| Trouble::Other(format!("the hours answered `{said}`")))
}

/// What comes out of years.
struct Hours {
    counted: Length,
    by_week: Length,
    overtime: Vec<Week>,
}

impl Hours {
    fn check(&self) -> Result<(), Trouble> {
        let split = self.overtime.iter().map(|week| week.sums().worked()).sum();
        match self.counted == self.by_week && self.counted == split && self.counted > Length::ZERO {
            true => Ok(()),
            false => {
                Err(Trouble::Other(format!("{:?} went in and {:?} and {split:?} came out", self.counted, self.by_week)))
            }
        }
    }
}

fn hours(years: &[Stretch]) -> Hours {
    let judged = judge(years.iter().copied(), Rules::FEDERAL);
    let days = by_day(counted(&judged), Workweek::ISO.start);
    Hours {
        counted: counted(&judged).filter_map(|(from, to)| to.since(from)).sum(),
        by_week: by_week(&days, Workweek::ISO).into_values().sum(),
        overtime: weeks(&days, Workweek::ISO, Overtime::FEDERAL),
    }
}

/// Returns made-up stretches from 2020 on, five days a week with a meal period each, every
/// tenth day far into the night, with summer time in the summer months.
fn stretches(count: usize) -> Vec<Stretch> {
    let mut years = Vec::with_capacity(count);
    // 2020-01-06, a Monday, at midnight of UTC-5.
    let first = 1_578_286_800_000;
    for day in (0..).filter(|day| day % 7 < 5) {
        let offset = if (70..300).contains(&(day % 365)) { -240 } else { -300 };
        let hour = if day % 10 == 3 { 17 } else { 7 };
        let mut at = first + day * DAY_MS + hour * 60 * MINUTE_MS;
        for nth in 0..STRETCHES_A_DAY {
            let is_noon = nth == STRETCHES_A_DAY / 2;
            let minutes = if is_noon { 40 } else { 3 + (nth as i64 * 7 + day) % 6 };
            let some = Activity::ALL[(nth * 5 + day as usize) % Activity::ALL.len()];
            let activity = if is_noon { Activity::MealPeriod } else { some };
            let to = at + minutes * MINUTE_MS + nth as i64;
            let ends = [at, to].map(|ms| Moment::new(ms, offset));
            let ([Some(from), Some(to)], true) = (ends, years.len() < count) else { return years };
            years.push(Stretch { from, to, activity });
            at = to.utc_ms();
        }
    }
    years
}

#[cfg(test)]
mod tests {
    use super::{Figure, STRETCHES, Unit, hours, measure, stretches};

    #[test]
    fn ten_years_of_stretches_are_some_of_everything() {
        let years = stretches(STRETCHES);
        assert_eq!(years.len(), STRETCHES);
        let (first, last) = (years[0].from.day().parts().0, years[STRETCHES - 1].to.day().parts().0);
        assert_eq!((first, last), (2020, 2029));
        assert!(years.windows(2).all(|two| two[0].to.utc_ms() <= two[1].from.utc_ms()));
        assert!(years.iter().any(|it| it.from.day() != it.to.day()), "some lie over midnight");
        let some = hours(&years[..5_000]);
        some.check().unwrap();
        assert!(some.overtime.iter().any(|week| week.sums().overtime().ms() > 0));
        assert!(some.counted < years[..5_000].iter().map(|it| it.length()).sum(), "meal periods do not count");
    }

    #[test]
    fn a_figure_is_measured_and_told() {
        let figure = measure(500).unwrap();
        assert!(figure.value >= 0.0 && figure.unit == Unit::Milliseconds, "{figure:?}");
        assert_eq!(Figure::heard(&figure.told()), Some(figure));
    }
}
