//! How long a tap takes to become a new back-on order, on a teardown larger than
//! any that one technician will meet.
//!
//! Two thousand items on eight sides with ten thousand ties, a tenth of the ties
//! against the order of removal. Everything goes back on, one tap an item, in the
//! same order in each of several runs. Rule: each tap's figure is the middle one of
//! its runs, so that other work on the machine does not count, and the slowest tap
//! is told; and all has to be back on at the end. A debug build would measure
//! nothing, so the example `reassembly` is run in release and its answer is heard.

use std::collections::BTreeSet;
use std::hint::black_box;
use std::time::Instant;

use quaywright_core::id::{DeviceId, EventId, ItemId};
use quaywright_core::quantity::Count;
use quaywright_core::reassembly::Removed;
use quaywright_core::reassembly::sequence::Sequence;
use quaywright_core::reassembly::tally::Tally;
use quaywright_core::reassembly::ties::{Tie, TieKind};
use quaywright_core::text::Label;

use super::{Figure, Unit};
use crate::demo::chance::Chance;
use crate::{Trouble, run};

/// How many items came off.
pub const ITEMS: u32 = 2_000;
/// How many ties are between them.
pub const TIES: usize = 10_000;
const SIDES: [&str; 8] = ["port", "starboard", "front", "aft", "under", "top", "inside", ""];
const RUNS: usize = 9;
/// The longest that a tap may take to the next items, in milliseconds.
const AIM: f64 = 1.0;

/// Takes the figures of so many items and ties: the slowest tap, and making the order anew.
///
/// # Errors
/// When a tie is refused or something cannot go back on: then the times would mean nothing.
pub fn measure(items: u32, ties: usize) -> Result<[Figure; 2], Trouble> {
    let (items, ties) = (removed(items), some_ties(items, ties));
    let (mut taps, mut anew) = (Vec::new(), Vec::new());
    for _ in 0..RUNS {
        let begun = Instant::now();
        let (mut sequence, refused) = black_box(Sequence::replay(items.clone(), &[], &ties));
        anew.push(ms_since(begun));
        if let Some(why) = refused.first() {
            return Err(Trouble::Other(format!("{} ties were refused; first: {why}", refused.len())));
        }
        taps.push(all_back_on(&mut sequence));
        let missing = sequence.totals().missing;
        if missing > 0 {
            return Err(Trouble::Other(format!("nothing can go on, and {missing} are missing")));
        }
    }
    let slowest = (0..items.len()).map(|nth| middle(taps.iter().map(|run| run[nth]).collect()));
    let figure = |name: &str, value: f64, aim| {
        let counts = format!("{} items, {} ties", items.len(), ties.len());
        let conditions = format!("{counts}, native, release, one thread, median of {RUNS}");
        let value = (value * 1_000.0).round() / 1_000.0;
        Figure { name: name.to_owned(), value, unit: Unit::Milliseconds, aim, conditions }
    };
    Ok([
        figure("back-on-slowest-tap-2k", slowest.fold(0.0, f64::max), Some(AIM)),
        figure("back-on-order-anew-2k", middle(anew), None),
    ])
}

/// Returns the figures of a release build.
///
/// # Errors
/// When the example cannot be built or its answer is not understood.
pub(super) fn figures() -> Result<Vec<Figure>, Trouble> {
    let words = ["run", "--release", "--quiet", "--package", "quaywright-xtask", "--example", "reassembly"];
    let said = run::hear(&mut run::cargo(&words))?;
    let heard =
        |line| Figure::heard(line).ok_or_else(|| Trouble::Other(format!("the back-on order answered `{line}`")));
    said.lines().map(heard).collect()
}

/// Puts everything back on, one tap an item, and returns what each tap took, in milliseconds.
fn all_back_on(sequence: &mut Sequence) -> Vec<f64> {
    let mut chance = Chance::of(5);
    let mut taps = Vec::new();
    let mut next: Vec<ItemId> = sequence.next().map(|it| it.id).collect();
    while !next.is_empty() {
        let item = next[chance.below(next.len() as u32) as usize];
        let begun = Instant::now();
        sequence.count(item, Tally::off(Count(1)).with_on(Count(1)));
        next = black_box(sequence.next().map(|it| it.id).collect());
        taps.push(ms_since(begun));
    }
    taps
}

fn ms_since(begun: Instant) -> f64 {
    begun.elapsed().as_secs_f64() * 1_000.0
}

fn middle(mut took: Vec<f64>) -> f64 {
    took.sort_by(f64::total_cmp);
    took[took.len() / 2]
}

fn name(nth: u32) -> ItemId {
    ItemId(EventId { device: DeviceId::new([2; 8]), seq: u64::from(nth) + 1 })
}

fn removed(count: u32) -> Vec<Removed> {
    let mut chance = Chance::of(3);
    let mut one = |nth| Removed {
        id: name(nth),
        what: Label::new("bolt"),
        side: Label::new(chance.one_of(&SIDES)),
        stowed: Label::new("tray"),
        tally: Tally::off(Count(1)),
        awaits: None,
        needed: None,
        is_sure: true,
    };
    (0..count).map(&mut one).collect()
}

/// Returns so many ties, no two of the same items, that close no circle.
///
/// Each goes with one plan of the whole work, in which a side goes back on in the reverse of
/// its removal, but the sides lag behind each other: so some go against the order of removal.
fn some_ties(items: u32, count: usize) -> Vec<Tie> {
    let sides: Vec<Label> = removed(items).into_iter().map(|it| it.side).collect();
    let lag = |nth: u32| sides[nth as usize].as_str().len() as u32 * items / 40;
    let turn = |nth: u32| (items - nth + lag(nth), sides[nth as usize].as_str(), items - nth);
    let mut chance = Chance::of(4);
    let mut pairs = BTreeSet::new();
    let most = (items as usize * items.saturating_sub(1) as usize / 4).min(count);
    while pairs.len() < most {
        let (one, other) = (chance.below(items), chance.below(items));
        if turn(one) < turn(other) {
            pairs.insert((one, other));
        }
    }
    let tie = |(first, then): (u32, u32)| Tie { item: name(first), kind: TieKind::Behind, other: name(then) };
    pairs.into_iter().map(tie).collect()
}

#[cfg(test)]
mod tests {
    use super::{Figure, ITEMS, TIES, Unit, measure, some_ties};

    #[test]
    fn the_ties_are_many_and_some_go_against_the_order_of_removal() {
        let ties = some_ties(ITEMS, TIES);
        assert_eq!(ties.len(), TIES);
        let contrary = ties.iter().filter(|it| it.item < it.other).count();
        assert!((TIES / 20..TIES / 5).contains(&contrary), "{contrary}");
    }

    #[test]
    fn a_small_teardown_is_measured_and_told() {
        for figure in measure(60, 100).unwrap() {
            assert!(figure.value >= 0.0 && figure.unit == Unit::Milliseconds, "{figure:?}");
            assert_eq!(Figure::heard(&figure.told()), Some(figure));
        }
    }
}
