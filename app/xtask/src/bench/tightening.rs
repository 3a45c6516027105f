//! How long a tap on a fastener takes to become what is next, on the largest group there is.
//!
//! Ninety-six fasteners in eleven passes, tapped to the end; each tap is decided, taken into
//! the book, and the group's page is made anew. Rule: as for the back-on order, each tap's
//! figure is the middle one of its runs, the slowest tap is told, and all has to be tight at
//! the end.

use std::hint::black_box;
use std::time::Instant;

use quaywright_core::book::Book;
use quaywright_core::command::{Command, decide};
use quaywright_core::event::{BoatFacts, Event};
use quaywright_core::exchange::line::seal;
use quaywright_core::id::{BoatId, DeviceId, EventId, GroupId, JobId};
use quaywright_core::log::Tip;
use quaywright_core::moment::Moment;
use quaywright_core::text::Label;
use quaywright_core::view::{GroupText, group_card};

use super::{Figure, Unit};
use crate::{Trouble, run};

const RUNS: usize = 9;
/// The longest that a tap may take to what is next, in milliseconds.
const AIM: f64 = 1.0;

/// A book with one group, on which nothing is tight.
struct Bench {
    book: Book,
    tip: Tip,
    now: Moment,
    group: GroupId,
}

impl Bench {
    fn new(fasteners: u16) -> Result<Self, Trouble> {
        let tip = Tip::fresh(DeviceId::new([3; 8]));
        let now = Moment::new(1_780_000_000_000, 60).ok_or_else(|| trouble("no such moment"))?;
        let mut bench = Self { book: Book::default(), tip, now, group: GroupId(tip.next()) };
        let boat = BoatId(bench.say(Event::BoatAdded(BoatFacts::default())));
        let job = JobId(bench.say(Event::JobOpened { boat, engine: None, title: Label::new("Flange") }));
        let text = GroupText {
            count: fasteners.to_string(),
            value: "45 Nm".to_owned(),
            shares: "10, 20, 30, 40, 50, 60, 70, 80, 90, 100".to_owned(),
            ..GroupText::default()
        };
        let facts = Box::new(text.read(None).map_err(trouble)?);
        bench.group = GroupId(bench.say(Event::GroupAdded { job, facts }));
        Ok(bench)
    }

    fn say(&mut self, event: Event) -> EventId {
        let (_, sealed) = seal(self.tip.record(self.now, event));
        self.tip.advance(&sealed);
        self.book.apply(&sealed.record);
        sealed.record.id
    }

    /// Taps what is next until all is tight; returns how long each tap took, sealing left out.
    fn tapped_to_the_end(&mut self) -> Result<Vec<f64>, Trouble> {
        let (group, mut times) = (self.group, Vec::new());
        let page = |bench: &Self| group_card(&bench.book, group, None, bench.now);
        let mut next = page(self).and_then(|page| page.next);
        while let Some(step) = next.map(|next| next.step) {
            let begun = Instant::now();
            let decided = decide(&self.book, Command::Tighten { group, step }, self.tip.next(), self.now);
            let event = decided.map_err(trouble)?.pop().ok_or_else(|| trouble("nothing was decided"))?;
            let deciding = begun.elapsed();
            let (_, sealed) = seal(self.tip.record(self.now, event));
            self.tip.advance(&sealed);
            let begun = Instant::now();
            self.book.apply(&sealed.record);
            next = black_box(page(self)).and_then(|page| page.next);
            times.push((deciding + begun.elapsed()).as_secs_f64() * 1_000.0);
        }
        match self.book.tightening.group(group).map(|group| group.state().is_complete()) {
            Some(true) if self.book.faults.is_empty() => Ok(times),
            _ => Err(trouble("the group is not tight at the end")),
        }
    }
}

fn trouble(why: impl ToString) -> Trouble {
    Trouble::Other(why.to_string())
}

/// Takes the figure: the slowest tap of a group of so many fasteners.
///
/// # Errors
/// When a tap is refused or the group is not tight at the end: then the times would mean nothing.
pub fn measure(fasteners: u16) -> Result<Figure, Trouble> {
    let runs = (0..RUNS).map(|_| Bench::new(fasteners)?.tapped_to_the_end()).collect::<Result<Vec<_>, _>>()?;
    let taps = runs.first().map_or(0, Vec::len);
    let slowest = (0..taps).map(|nth| middle(runs.iter().filter_map(|run| run.get(nth).copied()).collect()));
    let value = (slowest.fold(0.0, f64::max) * 1_000.0).round() / 1_000.0;
    let conditions = format!("{fasteners} fasteners, {taps} taps, native, release, one thread, median of {RUNS}");
    let name = "tighten-slowest-tap-96".to_owned();
    Ok(Figure { name, value, unit: Unit::Milliseconds, aim: Some(AIM), conditions })
}

fn middle(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times.get(times.len() / 2).copied().unwrap_or_default()
}

/// Returns the figure of a release build.
///
/// # Errors
/// When the example cannot be built or its answer is not understood.
pub(super) fn figures() -> Result<Vec<Figure>, Trouble> {
    let words = ["run", "--release", "--quiet", "--package", "quaywright-xtask", "--example", "tightening"];
    let said = run::hear(&mut run::cargo(&words))?;
    let heard = |line| Figure::heard(line).ok_or_else(|| Trouble::Other(format!("the tightening answered `{line}`")));
    said.lines().map(heard).collect()
}

#[cfg(test)]
mod tests {
    use super::{Figure, measure};

    #[test]
    fn a_small_group_is_measured_and_told() {
        let figure = measure(6).unwrap();
        assert!(figure.value >= 0.0 && figure.conditions.starts_with("6 fasteners, 66 taps"), "{figure:?}");
        assert_eq!(Figure::heard(&figure.told()), Some(figure));
    }
}
