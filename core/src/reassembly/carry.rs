//! What a job stopped half way starts from: what is off and where it lies, what is
//! next, what is missing, and what waits for parts.
//!
//! Plain data, made anew from the back-on order whenever it is shown, so that a job
//! reads the same the next morning, on another phone, and in a file.
//!
//! Rule: an item that waits for a part is never told as next, although nothing else
//! holds it; what waits behind it is counted, so that the part's worth is seen.

use super::Removed;
use super::gate::{Gate, NeededStep};
use super::sequence::Sequence;
use super::tally::{Balance, Totals};
use super::ties::Wait;
use crate::id::ItemId;
use crate::text::Label;

/// What a job's next day starts from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HalfTogether {
    /// What is off, what came off last first.
    pub off: Vec<OffNow>,
    /// What can go on now, what came off last first.
    pub next: Vec<ItemId>,
    /// What does not add up although work on it has begun: 11 of 12, or 13.
    pub uneven: Vec<Uneven>,
    /// What is on although something that goes on before it is off.
    pub too_soon: Vec<TooSoon>,
    /// What waits for a part that has to come.
    pub awaited: Vec<Awaited>,
    /// What keeps the engine from running.
    pub gate: Gate,
    /// All counts together.
    pub totals: Totals,
}

/// Something that is off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OffNow {
    /// The item.
    pub item: ItemId,
    /// What it is.
    pub name: String,
    /// On which side.
    pub side: Label,
    /// Where it lies.
    pub stowed: Label,
    /// How many are missing.
    pub missing: u64,
    /// How many waits keep it off; none when it can go on now.
    pub waits: usize,
    /// The one of them that goes on first.
    pub first: Option<Wait>,
}

/// Counts that do not add up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Uneven {
    /// The item.
    pub item: ItemId,
    /// What it is.
    pub name: String,
    /// By how much.
    pub balance: Balance,
}

/// Something that went on before what it waits for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TooSoon {
    /// The item.
    pub item: ItemId,
    /// What it is.
    pub name: String,
    /// How many waits it did not wait for.
    pub waits: usize,
    /// The one of them that goes on first.
    pub first: Option<Wait>,
}

/// Something that waits for a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Awaited {
    /// The item.
    pub item: ItemId,
    /// What it is.
    pub name: String,
    /// The part that has to come.
    pub part: Label,
    /// How many other items are off and cannot go on before it.
    pub holds_up: usize,
}

/// Returns what a job starts from.
pub fn half_together(sequence: &Sequence, steps: &[NeededStep]) -> HalfTogether {
    let off = || sequence.items().rev().filter(|it| !it.tally.is_settled());
    HalfTogether {
        off: off().map(|it| off_now(sequence, it)).collect(),
        next: sequence.next().filter(|it| it.awaits.is_none()).map(|it| it.id).collect(),
        uneven: sequence.items().filter_map(uneven).collect(),
        too_soon: sequence.too_soon().map(|it| too_soon(sequence, it)).collect(),
        awaited: off().filter_map(|it| awaited(sequence, it)).collect(),
        gate: Gate::of(sequence.items(), steps),
        totals: sequence.totals(),
    }
}

fn off_now(sequence: &Sequence, item: &Removed) -> OffNow {
    OffNow {
        item: item.id,
        name: item.name().to_owned(),
        side: item.side.clone(),
        stowed: item.stowed.clone(),
        missing: item.tally.missing(),
        waits: sequence.how_many_waits(item.id),
        first: sequence.waits(item.id).next(),
    }
}

fn uneven(item: &Removed) -> Option<Uneven> {
    let balance = item.tally.balance();
    let is_told = match balance {
        Balance::Even => false,
        Balance::Missing(count) => count < u64::from(item.tally.came_off().0),
        Balance::TooMany(_) => true,
    };
    is_told.then(|| Uneven { item: item.id, name: item.name().to_owned(), balance })
}

fn too_soon(sequence: &Sequence, item: &Removed) -> TooSoon {
    let OffNow { item, name, waits, first, .. } = off_now(sequence, item);
    TooSoon { item, name, waits, first }
}

fn awaited(sequence: &Sequence, item: &Removed) -> Option<Awaited> {
    let part = item.awaits.clone()?;
    Some(Awaited { item: item.id, name: item.name().to_owned(), part, holds_up: sequence.held_up_by(item.id) })
}

#[cfg(test)]
mod tests {
    use super::super::gate::Need;
    use super::super::samples::{id, removed};
    use super::super::tally::Tally;
    use super::super::ties::{Tie, TieKind};
    use super::*;
    use crate::quantity::Count;

    fn off(count: u32) -> Tally {
        Tally::off(Count(count))
    }

    fn evening() -> Sequence {
        let cooler = Removed { needed: Some(Need::CoolingWater), ..removed(1, "cooler", "port") };
        let seal = Removed { awaits: Some(Label::new("seal kit")), ..removed(2, "shaft seal", "under") };
        let bolts =
            Removed { tally: off(12).with_on(Count(11)), stowed: Label::new("red tray"), ..removed(3, "bolt", "port") };
        let nuts = Removed { tally: off(4).with_on(Count(5)), ..removed(4, "nut", "front") };
        let cover = Removed { tally: off(1).with_on(Count(1)), ..removed(5, "cover", "front") };
        let tie = Tie { item: id(2), kind: TieKind::Behind, other: id(5) };
        let (sequence, refused) = Sequence::replay(vec![cooler, seal, bolts, nuts, cover], &[], &[tie]);
        assert!(refused.is_empty());
        sequence
    }

    #[test]
    fn the_next_day_starts_from_what_is_off_and_where_it_lies() {
        let job = half_together(&evening(), &[]);
        let off: Vec<_> = job.off.iter().map(|it| (it.name.as_str(), it.missing, it.waits)).collect();
        assert_eq!(off, [("bolt", 1, 0), ("shaft seal", 1, 0), ("cooler", 1, 1)]);
        assert_eq!(job.off[0].stowed.as_str(), "red tray");
        let first = job.off[2].first.as_ref().map(Wait::to_string);
        assert_eq!(first.as_deref(), Some("bolt came off after it (port, one missing)"));
        assert_eq!(job.totals.missing, 3);
        assert_eq!(job.gate.words(), "Do not run: cooler");
    }

    #[test]
    fn what_waits_for_a_part_is_not_next() {
        let job = half_together(&evening(), &[]);
        assert_eq!(job.next, [id(3)]);
        let awaited: Vec<_> = job.awaited.iter().map(|it| (it.name.as_str(), it.part.as_str(), it.holds_up)).collect();
        assert_eq!(awaited, [("shaft seal", "seal kit", 0)], "the cover is on already");
        let mut without = evening();
        without.count(id(5), off(1));
        assert_eq!(half_together(&without, &[]).awaited[0].holds_up, 1);
    }

    #[test]
    fn what_is_wrong_is_told() {
        let job = half_together(&evening(), &[]);
        let uneven: Vec<_> = job.uneven.iter().map(|it| (it.name.as_str(), it.balance.words())).collect();
        let words = |text: &str| Some(text.to_owned());
        assert_eq!(uneven, [("bolt", words("one missing")), ("nut", words("one too many, from where?"))]);
        let first = |it: &TooSoon| it.first.as_ref().map(Wait::to_string);
        let too_soon: Vec<_> = job.too_soon.iter().map(|it| (it.name.as_str(), first(it))).collect();
        assert_eq!(too_soon, [("cover", words("shaft seal is behind it"))]);
    }

    #[test]
    fn a_finished_job_starts_from_nothing() {
        let mut all_on = evening();
        for (seq, count) in [(1, 1), (2, 1), (3, 12), (4, 4)] {
            all_on.count(id(seq), off(count).with_on(Count(count)));
        }
        let job = half_together(&all_on, &[]);
        assert!(job.off.is_empty() && job.next.is_empty() && job.uneven.is_empty());
        assert!(job.too_soon.is_empty() && job.awaited.is_empty() && job.gate.is_open());
    }
}
