//! The back-on order: what can go on now, and what everything else waits for.
//!
//! It is a partial order. On one side what came off last goes on first; items of
//! different sides do not wait for each other unless they are tied ([`super::ties`]).
//! Nothing ever waits for itself in the end: a statement that would close a circle
//! is refused with the circle. So while anything is off, something can go on.
//!
//! Every item carries the number of unsettled items that it waits for directly.
//! A tap changes the numbers of those that waited for the tapped item and of no
//! others, so two thousand items cost a tap no more than one walk along a side.
//!
//! Sides are compared without regard to the case of ASCII letters.

use super::Removed;
use super::tally::{Tally, Totals};
use super::ties::{Circle, Freed, Refused, Tie, TieKind, Wait, Why};
use crate::id::ItemId;

/// The back-on order of one job's items.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sequence {
    // In the order of removal; everything below speaks of places in here.
    items: Vec<Knot>,
    // How many unsettled items each waits for directly; one that is waited for twice counts twice.
    waits: Vec<usize>,
    // The places of each side, in the order of removal.
    sides: Vec<Vec<usize>>,
    // Where each item stands, by its name.
    places: Vec<(ItemId, usize)>,
}

/// An item and what it hangs on.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Knot {
    removed: Removed,
    side: usize,
    /// What ties make it wait for.
    first: Vec<(usize, TieKind)>,
    /// What ties make wait for it.
    then: Vec<usize>,
    /// What it is freed from, in ascending order.
    freed: Vec<usize>,
}

impl Knot {
    fn is_settled(&self) -> bool {
        self.removed.tally.is_settled()
    }

    fn is_freed_from(&self, other: usize) -> bool {
        self.freed.binary_search(&other).is_ok()
    }
}

impl Sequence {
    /// Returns the order of items that came off in this order, with what was said about them.
    ///
    /// What happened is taken as far as it can be: a statement that cannot hold, because two
    /// phones said opposite things or an item was moved to another side, is left out and told.
    pub fn replay(items: Vec<Removed>, freed: &[Freed], ties: &[Tie]) -> (Self, Vec<Refused>) {
        let mut sequence = Self::default();
        for item in items {
            sequence.come_off(item);
        }
        let mut refused: Vec<Refused> = freed.iter().filter_map(|&freed| sequence.free(freed).err()).collect();
        // Ties are looked at together first: only where one of them closes a circle does
        // each have to be searched for it.
        let mut together = sequence.clone();
        let unlinked: Vec<Refused> = ties.iter().filter_map(|&tie| together.link(tie).err()).collect();
        if together.goes_round() {
            refused.extend(ties.iter().filter_map(|&tie| sequence.tie(tie).err()));
            return (sequence, refused);
        }
        refused.extend(unlinked);
        (together, refused)
    }

    /// Takes in what came off last. A second item of the same name in the log changes nothing.
    pub fn come_off(&mut self, removed: Removed) {
        let Err(at) = self.find(removed.id) else { return };
        let place = self.items.len();
        self.places.insert(at, (removed.id, place));
        let side = self.side_of(&removed);
        self.sides[side].push(place);
        let knot = Knot { removed, side, first: Vec::new(), then: Vec::new(), freed: Vec::new() };
        let opens = !knot.is_settled();
        self.items.push(knot);
        self.waits.push(0);
        if opens {
            self.shift(place, true);
        }
    }

    /// Takes an item's new counts; does nothing when the item is unknown.
    pub fn count(&mut self, id: ItemId, tally: Tally) {
        let Ok(place) = self.place(id) else { return };
        let knot = &mut self.items[place];
        let was_settled = knot.is_settled();
        knot.removed.tally = tally;
        let is_settled = knot.is_settled();
        if was_settled != is_settled {
            self.shift(place, !is_settled);
        }
    }

    /// Takes what is known of an item now, its counts too. Tells whether it could: an unknown
    /// item, or one that is on another side now, changes the order of the others, and nothing
    /// is taken.
    #[must_use]
    pub fn put_right(&mut self, removed: Removed) -> bool {
        let Ok(place) = self.place(removed.id) else { return false };
        let known = &mut self.items[place].removed;
        if !known.side.as_str().eq_ignore_ascii_case(removed.side.as_str()) {
            return false;
        }
        let (id, tally) = (removed.id, removed.tally.clone());
        *known = Removed { tally: known.tally.clone(), ..removed };
        self.count(id, tally);
        true
    }

    /// Tells whether a tie can be said, without saying it.
    ///
    /// # Errors
    /// When an item is unknown or the tie closes a circle.
    pub fn may_tie(&self, tie: Tie) -> Result<(), Refused> {
        let (first, then) = self.both(tie.item, tie.other)?;
        self.refuse_circle(then, first, Why::Tie(tie.kind))
    }

    /// Says that an item goes on before another. Said again, the last kind counts.
    ///
    /// # Errors
    /// When an item is unknown or the tie closes a circle; then nothing is changed.
    pub fn tie(&mut self, tie: Tie) -> Result<(), Refused> {
        self.may_tie(tie)?;
        self.link(tie)
    }

    /// Takes a tie away, of whichever kind it is.
    ///
    /// # Errors
    /// When an item is unknown or there is no such tie.
    pub fn untie(&mut self, item: ItemId, other: ItemId) -> Result<(), Refused> {
        let (first, then) = self.both(item, other)?;
        let at = self.items[then].first.iter().position(|it| it.0 == first).ok_or(Refused::NeverSaid)?;
        self.items[then].first.remove(at);
        self.items[first].then.retain(|&it| it != then);
        self.waits[then] -= usize::from(!self.items[first].is_settled());
        Ok(())
    }

    /// Tells whether two items can be freed from each other, without doing it.
    ///
    /// # Errors
    /// When an item is unknown or they are on different sides.
    pub fn may_free(&self, Freed(one, other): Freed) -> Result<(), Refused> {
        self.by_removal(one, other).map(drop)
    }

    /// Frees two items of one side from each other and returns through which others one of
    /// them waits for the other all the same, that is, what else has to be freed or untied.
    ///
    /// # Errors
    /// When an item is unknown or they are on different sides.
    pub fn free(&mut self, Freed(one, other): Freed) -> Result<Vec<ItemId>, Refused> {
        let (early, late) = self.by_removal(one, other)?;
        for (at, from) in [(early, late), (late, early)] {
            if let Err(slot) = self.items[at].freed.binary_search(&from) {
                self.items[at].freed.insert(slot, from);
                let waited = at == early && !self.items[late].is_settled();
                self.waits[at] -= usize::from(waited);
            }
        }
        let path = self.path(early, late).unwrap_or_default();
        let between = path.iter().filter(|&&at| at != early && at != late);
        Ok(between.map(|&at| self.items[at].removed.id).collect())
    }

    /// Takes a freeing back: the two wait as the order of removal says.
    ///
    /// # Errors
    /// When an item is unknown, they were not freed, or a tie said since then makes it a circle;
    /// then nothing is changed.
    pub fn bind(&mut self, Freed(one, other): Freed) -> Result<(), Refused> {
        let (early, late) = self.by_removal(one, other)?;
        if !self.items[early].is_freed_from(late) {
            return Err(Refused::NeverSaid);
        }
        self.refuse_circle(early, late, Why::Side)?;
        for (at, from) in [(early, late), (late, early)] {
            self.items[at].freed.retain(|&it| it != from);
        }
        self.waits[early] += usize::from(!self.items[late].is_settled());
        Ok(())
    }

    /// Returns everything that came off, in the order of removal.
    pub fn items(&self) -> impl DoubleEndedIterator<Item = &Removed> + ExactSizeIterator {
        self.items.iter().map(|knot| &knot.removed)
    }

    /// Returns an item.
    pub fn item(&self, id: ItemId) -> Option<&Removed> {
        self.place(id).ok().map(|place| &self.items[place].removed)
    }

    /// Returns what can go on now, what came off last first.
    pub fn next(&self) -> impl Iterator<Item = &Removed> {
        self.off().filter(|it| it.0 == 0).map(|it| it.1)
    }

    /// Returns what is off and has to wait, what came off last first.
    pub fn waiting(&self) -> impl Iterator<Item = &Removed> {
        self.off().filter(|it| it.0 > 0).map(|it| it.1)
    }

    /// Returns what is on, all or some of it, although something that it waits for is still off:
    /// the hose forgotten under the cooler. What came off first comes first.
    pub fn too_soon(&self) -> impl Iterator<Item = &Removed> {
        let all = self.waits.iter().zip(self.items());
        all.filter(|&(&waits, it)| waits > 0 && it.tally.has_some_on()).map(|it| it.1)
    }

    /// Returns what an item waits for now, and why: what goes on first on its side, then the ties.
    pub fn waits(&self, id: ItemId) -> impl Iterator<Item = Wait> {
        self.place(id).into_iter().flat_map(|place| {
            let knot = &self.items[place];
            let on_side = self.later(place).iter().rev().filter(|&&at| !knot.is_freed_from(at));
            let tied = knot.first.iter().map(|&(at, kind)| (at, Why::Tie(kind)));
            let all = on_side.map(|&at| (at, Why::Side)).chain(tied);
            all.filter(|&(at, _)| !self.items[at].is_settled()).map(|(at, why)| self.wait(at, why))
        })
    }

    /// Returns how many waits an item has now; one that is waited for twice counts twice.
    pub fn how_many_waits(&self, id: ItemId) -> usize {
        self.place(id).map_or(0, |place| self.waits[place])
    }

    /// Returns how many items are off and cannot go on before this one does.
    pub fn held_up_by(&self, id: ItemId) -> usize {
        let Some(place) = self.place(id).ok().filter(|&at| !self.items[at].is_settled()) else { return 0 };
        let held = self.search(place, Towards::WhatIsHeldUp, None).reached;
        held.iter().filter(|&&at| at != place && !self.items[at].is_settled()).count()
    }

    /// Returns the counts of all items together.
    pub fn totals(&self) -> Totals {
        Totals::of(self.items().map(|it| &it.tally))
    }

    /// Returns what is off, what came off last first, each with the number of its waits.
    fn off(&self) -> impl Iterator<Item = (usize, &Removed)> {
        let all = self.waits.iter().copied().zip(self.items());
        all.rev().filter(|it| !it.1.tally.is_settled())
    }

    /// Takes a tie without asking whether it closes a circle.
    fn link(&mut self, tie: Tie) -> Result<(), Refused> {
        let (first, then) = self.both(tie.item, tie.other)?;
        if let Some(known) = self.items[then].first.iter_mut().find(|it| it.0 == first) {
            known.1 = tie.kind;
            return Ok(());
        }
        self.items[then].first.push((first, tie.kind));
        self.items[first].then.push(then);
        self.waits[then] += usize::from(!self.items[first].is_settled());
        Ok(())
    }

    fn find(&self, id: ItemId) -> Result<usize, usize> {
        self.places.binary_search_by(|it| it.0.cmp(&id))
    }

    fn place(&self, id: ItemId) -> Result<usize, Refused> {
        self.find(id).map(|at| self.places[at].1).map_err(|_| Refused::Unknown)
    }

    fn both(&self, one: ItemId, other: ItemId) -> Result<(usize, usize), Refused> {
        let places = (self.place(one)?, self.place(other)?);
        if places.0 == places.1 { Err(Refused::Itself) } else { Ok(places) }
    }

    /// Returns two items of one side, the one that came off earlier first.
    fn by_removal(&self, one: ItemId, other: ItemId) -> Result<(usize, usize), Refused> {
        let (one, other) = self.both(one, other)?;
        let is_one_side = self.items[one].side == self.items[other].side;
        if is_one_side { Ok((one.min(other), one.max(other))) } else { Err(Refused::OtherSide) }
    }

    fn side_of(&mut self, removed: &Removed) -> usize {
        let name = removed.side.as_str();
        let is_it = |side: &Vec<usize>| self.items[side[0]].removed.side.as_str().eq_ignore_ascii_case(name);
        if let Some(known) = self.sides.iter().position(is_it) {
            return known;
        }
        self.sides.push(Vec::new());
        self.sides.len() - 1
    }

    /// Returns what came off after an item on its side.
    fn later(&self, place: usize) -> &[usize] {
        let side = &self.sides[self.items[place].side];
        &side[side.partition_point(|&at| at <= place)..]
    }

    /// Adds one to, or takes one from, the number of everything that waits for this item directly.
    fn shift(&mut self, place: usize, opens: bool) {
        let Self { items, sides, waits, .. } = self;
        for at in what_waits_for(place, items, sides) {
            waits[at] = if opens { waits[at] + 1 } else { waits[at] - 1 };
        }
    }

    /// Tells whether anything waits for itself: then putting everything back on comes to a halt.
    fn goes_round(&self) -> bool {
        let all = 0..self.items.len();
        let mut waits = vec![0_usize; all.len()];
        for at in all.clone().flat_map(|place| what_waits_for(place, &self.items, &self.sides)) {
            waits[at] += 1;
        }
        let mut next: Vec<usize> = all.filter(|&place| waits[place] == 0).collect();
        let mut on = 0;
        while let Some(place) = next.pop() {
            on += 1;
            for at in what_waits_for(place, &self.items, &self.sides) {
                waits[at] -= 1;
                if waits[at] == 0 {
                    next.push(at);
                }
            }
        }
        on < self.items.len()
    }

    fn wait(&self, at: usize, why: Why) -> Wait {
        let removed = &self.items[at].removed;
        let side = if why == Why::Side { removed.side.as_str() } else { "" };
        let part_way = removed.tally.balance().words().filter(|_| removed.tally.has_some_on());
        Wait { item: removed.id, name: removed.name().to_owned(), why, side: side.to_owned(), part_way }
    }

    /// Refuses that `then` waits for `first` when `first` waits for `then` already.
    fn refuse_circle(&self, then: usize, first: usize, why: Why) -> Result<(), Refused> {
        let Some(path) = self.path(first, then) else { return Ok(()) };
        let why_of = |at: usize, next: usize| {
            let tie = self.items[at].first.iter().find(|it| it.0 == next);
            tie.map_or(Why::Side, |&(_, kind)| Why::Tie(kind))
        };
        let link = |at: usize, next, why| (self.items[at].removed.name().to_owned(), self.wait(next, why));
        let mut links = vec![link(then, first, why)];
        links.extend(path.windows(2).map(|two| link(two[0], two[1], why_of(two[0], two[1]))));
        Err(Refused::Circle(Circle { links }))
    }

    /// Returns the shortest row of items from one to another, each waiting for the next.
    fn path(&self, from: usize, to: usize) -> Option<Vec<usize>> {
        let search = self.search(from, Towards::WhatIsWaitedFor, Some(to));
        let mut path = vec![to];
        let mut at = to;
        while at != from {
            at = search.came_from[at]?;
            path.push(at);
        }
        path.reverse();
        Some(path)
    }

    /// Walks from an item along the waits, nearest first, until `goal` is reached.
    ///
    /// What is unseen of a side is kept apart, so that a side of many items, each of which
    /// waits for all that came off later, is walked once and not once from each.
    fn search(&self, from: usize, towards: Towards, goal: Option<usize>) -> Search {
        let mut unseen = self.sides.clone();
        let mut search = Search { came_from: vec![None; self.items.len()], reached: vec![from] };
        let mut done = 0;
        while let Some(&at) = search.reached.get(done).filter(|&&at| Some(at) != goal) {
            done += 1;
            let knot = &self.items[at];
            if matches!(towards, Towards::WhatIsHeldUp) && knot.is_settled() {
                continue;
            }
            let rest = &mut unseen[knot.side];
            let cut = rest.partition_point(|&it| it < at);
            let part = match towards {
                Towards::WhatIsWaitedFor => cut..rest.len(),
                Towards::WhatIsHeldUp => 0..cut,
            };
            let is_found = |&it: &usize| it != at && !knot.is_freed_from(it);
            let (found, kept): (Vec<usize>, Vec<usize>) = rest[part.clone()].iter().partition(|it| is_found(it));
            drop(rest.splice(part, kept));
            found.into_iter().for_each(|it| search.reach(it, at, from));
            match towards {
                Towards::WhatIsWaitedFor => knot.first.iter().for_each(|it| search.reach(it.0, at, from)),
                Towards::WhatIsHeldUp => knot.then.iter().for_each(|&it| search.reach(it, at, from)),
            }
        }
        search
    }
}

/// Returns what waits for an item directly, settled or not; what waits twice is given twice.
fn what_waits_for<'a>(place: usize, items: &'a [Knot], sides: &'a [Vec<usize>]) -> impl Iterator<Item = usize> + 'a {
    let knot = &items[place];
    let on_side = sides[knot.side].iter().take_while(move |&&at| at < place);
    on_side.filter(|&&at| !knot.is_freed_from(at)).chain(&knot.then).copied()
}

/// Which way a search goes.
#[derive(Clone, Copy)]
enum Towards {
    /// To what is waited for, settled or not.
    WhatIsWaitedFor,
    /// To what waits; what is settled holds up nothing.
    WhatIsHeldUp,
}

/// What a search has seen.
struct Search {
    came_from: Vec<Option<usize>>,
    reached: Vec<usize>,
}

impl Search {
    fn reach(&mut self, place: usize, from: usize, start: usize) {
        if place != start && self.came_from[place].is_none() {
            self.came_from[place] = Some(from);
            self.reached.push(place);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::samples::{all, id, removed};
    use super::super::tally::{How, Instead};
    use super::*;
    use crate::quantity::Count;
    use crate::text::Label;

    fn sequence(told: &[(&str, &str)]) -> Sequence {
        Sequence::replay(all(told), &[], &[]).0
    }

    fn behind(item: u64, other: u64) -> Tie {
        Tie { item: id(item), kind: TieKind::Behind, other: id(other) }
    }

    fn freed(one: u64, other: u64) -> Freed {
        Freed(id(one), id(other))
    }

    fn on(sequence: &mut Sequence, seq: u64, count: u32) {
        let off = sequence.item(id(seq)).unwrap().tally.came_off();
        sequence.count(id(seq), Tally::off(off).with_on(Count(count)));
    }

    fn names<'a>(items: impl Iterator<Item = &'a Removed>) -> Vec<&'a str> {
        items.map(Removed::name).collect()
    }

    #[track_caller]
    fn check(sequence: &Sequence, next: &[&str], waiting: &[&str], too_soon: &[&str]) {
        let found = (names(sequence.next()), names(sequence.waiting()), names(sequence.too_soon()));
        assert_eq!(found, (next.to_vec(), waiting.to_vec(), too_soon.to_vec()));
    }

    fn words(sequence: &Sequence, seq: u64) -> Vec<String> {
        sequence.waits(id(seq)).map(|it| it.to_string()).collect()
    }

    const ENGINE: [(&str, &str); 5] = [
        ("cooler", "port"),
        ("hose", "port"),
        ("starter", "starboard"),
        ("hose clip", "Port"),
        ("heat shield", "starboard"),
    ];

    #[test]
    fn what_came_off_last_on_a_side_goes_on_first() {
        let mut engine = sequence(&ENGINE);
        check(&engine, &["heat shield", "hose clip"], &["starter", "hose", "cooler"], &[]);
        assert_eq!(words(&engine, 1), ["hose clip came off after it (Port)", "hose came off after it (port)"]);
        assert_eq!(engine.held_up_by(id(4)), 2);
        on(&mut engine, 4, 1);
        check(&engine, &["heat shield", "hose"], &["starter", "cooler"], &[]);
        for seq in [5, 3, 2, 1] {
            on(&mut engine, seq, 1);
        }
        check(&engine, &[], &[], &[]);
        assert_eq!(engine.totals(), Totals { off: 5, on: 5, ..Totals::default() });
    }

    #[test]
    fn what_went_on_too_soon_is_told_and_can_be_taken_back() {
        let mut engine = sequence(&ENGINE[..2]);
        on(&mut engine, 1, 1);
        check(&engine, &["hose"], &[], &["cooler"]);
        on(&mut engine, 1, 0);
        check(&engine, &["hose"], &["cooler"], &[]);
    }

    #[test]
    fn what_is_on_holds_up_nothing() {
        let mut engine = sequence(&[("bracket", ""), ("cooler", ""), ("hose", "under"), ("clip", "under")]);
        engine.tie(behind(3, 2)).unwrap();
        assert_eq!((engine.held_up_by(id(4)), engine.held_up_by(id(2))), (3, 1));
        on(&mut engine, 2, 1);
        assert_eq!((engine.held_up_by(id(4)), engine.held_up_by(id(2))), (1, 0), "the cooler went on too soon");
        check(&engine, &["clip", "bracket"], &["hose"], &["cooler"]);
    }

    #[test]
    fn one_of_twelve_missing_keeps_the_rest_waiting() {
        let mut engine = sequence(&[("cover", "front")]);
        engine.come_off(Removed { tally: Tally::off(Count(12)), ..removed(2, "bolt", "front") });
        on(&mut engine, 2, 11);
        assert_eq!(words(&engine, 1), ["bolt came off after it (front, one missing)"]);
        on(&mut engine, 2, 13);
        check(&engine, &["cover"], &[], &[]);
        assert_eq!(engine.totals().too_many, 1);
        let lost = Instead::new(How::Replaced, Count(1), Label::new("fell into the bilge")).unwrap();
        engine.count(id(2), Tally::off(Count(12)).with_on(Count(11)).with(lost));
        check(&engine, &["cover"], &[], &[]);
        assert_eq!((engine.totals().too_many, engine.totals().missing), (0, 1), "the cover");
    }

    #[test]
    fn ties_make_wait_across_sides_and_can_be_taken_away() {
        let mut engine = sequence(&ENGINE);
        engine.tie(behind(1, 5)).unwrap();
        check(&engine, &["hose clip"], &["heat shield", "starter", "hose", "cooler"], &[]);
        assert_eq!(words(&engine, 5), ["cooler is behind it"]);
        engine.tie(Tie { kind: TieKind::HeldBy, ..behind(1, 5) }).unwrap();
        assert_eq!(words(&engine, 5), ["it holds cooler"], "said again, the last kind counts");
        engine.untie(id(1), id(5)).unwrap();
        assert_eq!(engine.untie(id(1), id(5)), Err(Refused::NeverSaid));
        assert_eq!(engine, sequence(&ENGINE));
    }

    #[test]
    fn a_circle_is_refused_and_named() {
        let mut engine = sequence(&ENGINE);
        engine.tie(behind(1, 5)).unwrap();
        let before = engine.clone();
        let refused = engine.tie(Tie { kind: TieKind::HeldBy, ..behind(3, 4) }).unwrap_err().to_string();
        assert_eq!(
            refused,
            "this goes round in a circle (hose clip waits for starter: it holds starter, \
             starter waits for heat shield: heat shield came off after it (starboard), \
             heat shield waits for cooler: cooler is behind it, \
             cooler waits for hose clip: hose clip came off after it (Port)): \
             take one of these ties away, or free two of one side, and say it again"
        );
        assert_eq!(engine, before);
        assert_eq!(engine.tie(behind(2, 2)), Err(Refused::Itself));
        assert_eq!(engine.tie(behind(2, 9)), Err(Refused::Unknown));
    }

    #[test]
    fn two_of_a_side_can_be_freed_and_then_turned_round() {
        let mut engine = sequence(&ENGINE[..2]);
        assert!(matches!(engine.tie(behind(1, 2)), Err(Refused::Circle(_))), "the hose came off after the cooler");
        assert_eq!(engine.free(freed(1, 2)), Ok(vec![]));
        check(&engine, &["hose", "cooler"], &[], &[]);
        engine.tie(behind(1, 2)).unwrap();
        check(&engine, &["cooler"], &["hose"], &[]);
        assert!(matches!(engine.bind(freed(2, 1)), Err(Refused::Circle(_))));
        engine.untie(id(1), id(2)).unwrap();
        engine.bind(freed(2, 1)).unwrap();
        assert_eq!(engine.bind(freed(2, 1)), Err(Refused::NeverSaid));
        assert_eq!(engine, sequence(&ENGINE[..2]));
    }

    #[test]
    fn freeing_undoes_one_wait_and_names_what_still_lies_between() {
        let mut engine = sequence(&[("cooler", ""), ("hose", ""), ("clip", "")]);
        assert_eq!(engine.free(freed(1, 3)), Ok(vec![id(2)]), "the cooler waits for the hose, the hose for the clip");
        check(&engine, &["clip"], &["hose", "cooler"], &[]);
        assert_eq!(engine.free(freed(2, 1)), Ok(vec![]));
        check(&engine, &["clip", "cooler"], &["hose"], &[]);
        let mut other = sequence(&ENGINE);
        assert_eq!(other.free(freed(1, 3)), Err(Refused::OtherSide));
    }

    #[test]
    fn opposite_statements_of_two_phones_are_left_out_and_told() {
        let ties = [behind(1, 5), behind(3, 4), behind(2, 5)];
        let (engine, refused) = Sequence::replay(all(&ENGINE), &[freed(1, 3)], &ties);
        assert!(matches!(refused[..], [Refused::OtherSide, Refused::Circle(_)]), "{refused:?}");
        assert_eq!(words(&engine, 5), ["cooler is behind it", "hose is behind it"]);
    }
}
