//! What holds for every order, with a general graph library (petgraph) as the oracle.
//!
//! The oracle's graph is built from the statements alone, a pair of items at a time:
//! it shares no code and no short cut with the sequence that it judges.

use std::collections::{BTreeMap, BTreeSet};

use petgraph::algo::{has_path_connecting, is_cyclic_directed, toposort};
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;
use proptest::prelude::*;

use super::samples::{id, removed};
use super::sequence::Sequence;
use super::tally::{How, Instead, Tally, Totals};
use super::ties::{Freed, Refused, Tie, TieKind};
use crate::id::ItemId;
use crate::quantity::Count;
use crate::text::Label;

const SIDES: [&str; 4] = ["port", "starboard", "under", ""];

/// What somebody says, about items by their place in the order of removal.
#[derive(Clone, Copy, Debug)]
enum Saying {
    Tie(usize, usize),
    Untie(usize, usize),
    Free(usize, usize),
    Bind(usize, usize),
    Count(usize, u32),
}

fn sayings() -> impl Strategy<Value = Vec<Saying>> {
    let two = || (0..16_usize, 0..16_usize);
    let saying = prop_oneof![
        4 => two().prop_map(|(a, b)| Saying::Tie(a, b)),
        1 => two().prop_map(|(a, b)| Saying::Untie(a, b)),
        3 => two().prop_map(|(a, b)| Saying::Free(a, b)),
        1 => two().prop_map(|(a, b)| Saying::Bind(a, b)),
        2 => (0..16_usize, 0..5_u32).prop_map(|(a, count)| Saying::Count(a, count)),
    ];
    prop::collection::vec(saying, 0..60)
}

/// Each item's side and how many of it came off.
fn sides() -> impl Strategy<Value = Vec<(usize, u32)>> {
    prop::collection::vec((0..SIDES.len(), 1..4_u32), 1..14)
}

fn name(at: usize) -> ItemId {
    id(at as u64 + 1)
}

fn place(id: ItemId) -> usize {
    id.0.seq as usize - 1
}

/// What was said and taken, and the relation that follows from it.
#[derive(Clone, Debug, Default)]
struct Oracle {
    sides: Vec<usize>,
    ties: BTreeSet<(usize, usize)>,
    freed: BTreeSet<(usize, usize)>,
}

impl Oracle {
    fn pairs(&self) -> BTreeSet<(usize, usize)> {
        let mut pairs = self.ties.clone();
        for early in 0..self.sides.len() {
            for late in early + 1..self.sides.len() {
                if self.sides[early] == self.sides[late] && !self.freed.contains(&(early, late)) {
                    pairs.insert((late, early));
                }
            }
        }
        pairs
    }

    /// Returns the graph with an edge from each item to each that waits for it directly.
    fn graph(&self) -> DiGraph<(), ()> {
        let mut graph = DiGraph::new();
        for _ in &self.sides {
            graph.add_node(());
        }
        for (first, then) in self.pairs() {
            graph.add_edge(NodeIndex::new(first), NodeIndex::new(then), ());
        }
        graph
    }

    fn goes_round(&self) -> bool {
        is_cyclic_directed(&self.graph())
    }
}

/// The sequence and its judge, told the same.
struct Pair {
    sequence: Sequence,
    oracle: Oracle,
}

impl Pair {
    fn new(sides: &[(usize, u32)]) -> Self {
        let items = sides.iter().enumerate().map(|(at, &(side, count))| {
            let thing = removed(at as u64 + 1, &format!("item {at}"), SIDES[side]);
            super::Removed { tally: Tally::off(Count(count)), ..thing }
        });
        let (sequence, refused) = Sequence::replay(items.collect(), &[], &[]);
        assert!(refused.is_empty());
        let sides = sides.iter().map(|it| it.0).collect();
        Self { sequence, oracle: Oracle { sides, ..Oracle::default() } }
    }

    /// Says something to both; what the sequence refuses must be what the oracle cannot hold.
    fn say(&mut self, saying: Saying) {
        let before = self.sequence.clone();
        let mut wanted = self.oracle.clone();
        let count = self.oracle.sides.len();
        let said = match saying {
            Saying::Tie(a, b) => {
                wanted.ties.insert((a, b));
                self.sequence.tie(Tie { item: name(a), kind: TieKind::Behind, other: name(b) })
            }
            Saying::Untie(a, b) => {
                wanted.ties.remove(&(a, b));
                self.sequence.untie(name(a), name(b))
            }
            Saying::Free(a, b) => {
                wanted.freed.insert((a.min(b), a.max(b)));
                self.sequence.free(Freed(name(a), name(b))).map(|between| {
                    if a < count && b < count {
                        let (first, then) = (NodeIndex::new(a.max(b)), NodeIndex::new(a.min(b)));
                        let waits = has_path_connecting(&wanted.graph(), first, then, None);
                        assert!(waits || between.is_empty(), "{between:?}");
                        assert!(!waits || !between.is_empty() || wanted.ties.contains(&(a.max(b), a.min(b))));
                    }
                })
            }
            Saying::Bind(a, b) => {
                wanted.freed.remove(&(a.min(b), a.max(b)));
                self.sequence.bind(Freed(name(a), name(b)))
            }
            Saying::Count(a, on) => {
                if let Some(off) = self.sequence.item(name(a)).map(|it| it.tally.came_off()) {
                    self.sequence.count(name(a), Tally::off(off).with_on(Count(on)));
                }
                Ok(())
            }
        };
        let (Saying::Tie(a, b) | Saying::Untie(a, b) | Saying::Free(a, b) | Saying::Bind(a, b)) = saying else {
            return;
        };
        match said {
            Ok(()) => {
                self.oracle = wanted;
                assert!(!self.oracle.goes_round(), "{saying:?} closes a circle and was taken");
            }
            Err(refused) => {
                assert_eq!(self.sequence, before, "{saying:?} was refused and changed something");
                match refused {
                    Refused::Unknown => assert!(a >= count || b >= count),
                    Refused::Itself => assert_eq!(a, b),
                    Refused::OtherSide => assert_ne!(self.oracle.sides[a], self.oracle.sides[b]),
                    Refused::NeverSaid => assert_eq!(wanted.pairs(), self.oracle.pairs()),
                    Refused::Circle(circle) => {
                        assert!(wanted.goes_round(), "{saying:?} closes no circle and was refused");
                        self.check_circle(&wanted, &circle.links.iter().map(|it| place(it.1.item)).collect::<Vec<_>>());
                        let names: Vec<_> = circle.links.iter().map(|it| it.0.clone()).collect();
                        let each = circle.links.iter().map(|it| it.1.name.clone());
                        let next: Vec<_> = names[1..].iter().chain(&names[..1]).cloned().collect();
                        assert_eq!(
                            each.collect::<Vec<_>>(),
                            next,
                            "each waits for the next and the last for the first"
                        );
                    }
                }
            }
        }
    }

    /// Checks that the named circle is one of the relation that was asked for.
    fn check_circle(&self, wanted: &Oracle, waited_for: &[usize]) {
        let pairs = wanted.pairs();
        let then = waited_for.iter().cycle().skip(waited_for.len() - 1);
        for (&first, &then) in waited_for.iter().zip(then) {
            assert!(pairs.contains(&(first, then)), "{then} does not wait for {first}: {waited_for:?}");
        }
    }

    fn is_settled(&self, at: usize) -> bool {
        self.sequence.item(name(at)).is_some_and(|it| it.tally.is_settled())
    }

    fn next(&self) -> Vec<usize> {
        self.sequence.next().map(|it| place(it.id)).collect()
    }

    /// Compares every answer with what the oracle's graph says.
    fn check(&self) {
        let graph = self.oracle.graph();
        let off = graph.filter_map(|at, ()| (!self.is_settled(at.index())).then_some(at), |_, ()| Some(()));
        let mut next = Vec::new();
        for at in (0..self.oracle.sides.len()).rev() {
            let node = NodeIndex::new(at);
            let incoming = graph.edges_directed(node, petgraph::Direction::Incoming);
            let open: BTreeSet<_> = incoming.map(|it| it.source().index()).filter(|&it| !self.is_settled(it)).collect();
            let told: BTreeSet<_> = self.sequence.waits(name(at)).map(|it| place(it.item)).collect();
            assert_eq!(told, open, "what {at} waits for");
            assert_eq!(self.sequence.how_many_waits(name(at)), self.sequence.waits(name(at)).count());
            if open.is_empty() && !self.is_settled(at) {
                next.push(at);
            }
            let too_soon = self.sequence.too_soon().any(|it| place(it.id) == at);
            let has_some_on = self.sequence.item(name(at)).is_some_and(|it| it.tally.has_some_on());
            assert_eq!(too_soon, !open.is_empty() && has_some_on);
            let held = off.node_indices().find(|&it| off[it] == node).map_or(0, |from| {
                off.node_indices().filter(|&it| it != from && has_path_connecting(&off, from, it, None)).count()
            });
            assert_eq!(self.sequence.held_up_by(name(at)), held, "what {at} holds up");
        }
        assert_eq!(self.next(), next);
        self.check_totals();
    }

    fn check_totals(&self) {
        let Totals { off, on, replaced, left_off, missing, too_many } = self.sequence.totals();
        assert_eq!(off + too_many, on + replaced + left_off + missing);
        assert_eq!(missing == 0, self.sequence.next().next().is_none(), "while one is missing, something can go on");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn every_answer_is_the_oracles(sides in sides(), sayings in sayings()) {
        let mut pair = Pair::new(&sides);
        for saying in sayings {
            pair.say(saying);
            pair.check();
        }
    }

    #[test]
    fn every_order_that_is_allowed_extends_the_relation_and_ends(
        sides in sides(),
        sayings in sayings(),
        choices in prop::collection::vec(any::<prop::sample::Index>(), 14),
        ends in prop::collection::vec(0..3_u8, 14),
    ) {
        let mut pair = Pair::new(&sides);
        sayings.iter().filter(|it| !matches!(it, Saying::Count(..))).for_each(|&it| pair.say(it));
        let mut order = Vec::new();
        for (choice, end) in choices.iter().zip(ends) {
            let next = pair.next();
            prop_assert_eq!(next.is_empty(), order.len() == sides.len(), "progress never ends early");
            if next.is_empty() { break; }
            let at = *choice.get(&next);
            order.push(at);
            pair.sequence.count(name(at), settled(sides[at].1, end));
            pair.check_totals();
        }
        prop_assert_eq!(order.len(), sides.len());
        let rank: BTreeMap<usize, usize> = order.iter().enumerate().map(|(nth, &at)| (at, nth)).collect();
        for (first, then) in pair.oracle.pairs() {
            prop_assert!(rank[&first] < rank[&then], "{} went on before {}: {:?}", then, first, order);
        }
        prop_assert!(pair.sequence.too_soon().next().is_none());
    }

    #[test]
    fn every_order_of_the_oracle_is_allowed(sides in sides(), sayings in sayings()) {
        let mut pair = Pair::new(&sides);
        sayings.iter().filter(|it| !matches!(it, Saying::Count(..))).for_each(|&it| pair.say(it));
        for node in toposort(&pair.oracle.graph(), None).unwrap() {
            prop_assert!(pair.next().contains(&node.index()));
            pair.sequence.count(name(node.index()), settled(sides[node.index()].1, 0));
        }
        prop_assert!(pair.next().is_empty());
    }

    #[test]
    fn without_freeing_an_order_is_the_removal_reversed_on_each_side(sides in sides()) {
        let mut pair = Pair::new(&sides);
        let mut order = Vec::new();
        while let Some(at) = pair.next().pop() {
            order.push(at);
            pair.sequence.count(name(at), settled(sides[at].1, 0));
        }
        for side in 0..SIDES.len() {
            let on: Vec<_> = order.iter().copied().filter(|&at| sides[at].0 == side).collect();
            prop_assert!(on.windows(2).all(|two| two[0] > two[1]), "{:?}", order);
        }
    }

    #[test]
    fn all_at_once_is_one_after_the_other(sides in sides(), sayings in sayings()) {
        let mut pair = Pair::new(&sides);
        let items = pair.sequence.items().cloned().collect();
        let (mut freed, mut ties, mut refused) = (Vec::new(), Vec::new(), Vec::new());
        for &saying in &sayings {
            if let Saying::Free(a, b) = saying {
                freed.push(Freed(name(a), name(b)));
                refused.extend(pair.sequence.free(Freed(name(a), name(b))).err());
            }
        }
        for &saying in &sayings {
            if let Saying::Tie(a, b) = saying {
                let tie = Tie { item: name(a), kind: TieKind::ALL[a % 2], other: name(b) };
                ties.push(tie);
                refused.extend(pair.sequence.tie(tie).err());
            }
        }
        prop_assert_eq!(Sequence::replay(items, &freed, &ties), (pair.sequence, refused));
    }
}

/// Returns counts that are settled: all back on, one of them replaced, or one left off.
fn settled(count: u32, end: u8) -> Tally {
    let how = match end {
        0 => return Tally::off(Count(count)).with_on(Count(count)),
        1 => How::Replaced,
        _ => How::LeftOff,
    };
    let instead = Instead::new(how, Count(1), Label::new("worn")).unwrap();
    Tally::off(Count(count)).with_on(Count(count - 1)).with(instead)
}
