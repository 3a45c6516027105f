//! The back-on order of each job, made when it is first asked for and kept up from then on.
//!
//! It says nothing that the items and the statements do not say: it is made of them, by
//! [`Sequence::replay`], and two books that hold the same are equal whether or not either
//! has made it. So a fold of years of records never pays for an order that nobody looks at,
//! and a tap on a screen costs one step of it.
//!
//! Rule: what a new statement means depends on no earlier look. Where a step could come to
//! another end than making the order anew (something is withdrawn, goes to another side, or
//! frees what a left out tie ran into), the order is forgotten and made anew.

use std::sync::OnceLock;

use super::Item;
use crate::id::{EventId, ItemId};
use crate::order;
use crate::reassembly::Removed;
use crate::reassembly::sequence::Sequence;
use crate::reassembly::ties::{Freed, Refused, Tie};

/// What a job's items wait for, and how much of what was said of it cannot hold.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Order {
    /// The back-on order.
    pub sequence: Sequence,
    /// How many statements are left out, because two phones said opposite things or an item
    /// was moved to another side; [`Order::why_not`] says why.
    pub left_out: usize,
}

impl Order {
    /// Returns why a statement that stands does not hold; nothing while it does.
    pub fn why_not(&self, saying: Saying) -> Option<Refused> {
        match saying {
            Saying::Tied(tie) => self.sequence.may_tie(tie).err(),
            Saying::Freed(two) => self.sequence.may_free(two).err(),
        }
    }
}

/// A statement about the order of a job's items.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Statement {
    /// The event.
    pub id: EventId,
    /// What was said.
    pub saying: Saying,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

/// What can be said about the order of a job's items.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Saying {
    /// One goes on before the other.
    Tied(Tie),
    /// Neither waits for the other because of the order of removal.
    Freed(Freed),
}

impl Saying {
    /// Returns the two items.
    pub const fn both(self) -> [ItemId; 2] {
        match self {
            Saying::Tied(tie) => [tie.item, tie.other],
            Saying::Freed(Freed(one, other)) => [one, other],
        }
    }
}

/// A job's items, in the order in which they came off, and what was said of their order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct JobOrder {
    items: Vec<ItemId>,
    // What came off and what became of it, as it was said.
    turns: Vec<EventId>,
    said: Vec<Statement>,
    made: Made,
}

/// An order that may have been made; whether it was makes no difference.
#[derive(Clone, Debug, Default)]
struct Made(OnceLock<Order>);

impl PartialEq for Made {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Eq for Made {}

impl JobOrder {
    pub(super) fn items(&self) -> &[ItemId] {
        &self.items
    }

    pub(super) fn said(&self) -> &[Statement] {
        &self.said
    }

    pub(super) fn turns(&self) -> &[EventId] {
        &self.turns
    }

    /// Returns the order, which is made of these items unless it was made before.
    pub(super) fn order<'a, I: Iterator<Item = &'a Item>>(&self, items: impl Fn() -> I) -> &Order {
        self.made.0.get_or_init(|| {
            let items: Vec<Removed> = items().map(removed).collect();
            let (mut freed, mut ties) = (Vec::new(), Vec::new());
            // What speaks of an item that was never off after all says nothing.
            let names = order::each_once(items.iter().map(|it| it.id).collect());
            let is_there = |item: &ItemId| names.binary_search(item).is_ok();
            let stands = |it: &&Statement| !it.withdrawn && it.saying.both().iter().all(is_there);
            for statement in self.said.iter().filter(stands) {
                match statement.saying {
                    Saying::Tied(tie) => ties.push(tie),
                    Saying::Freed(two) => freed.push(two),
                }
            }
            let (sequence, left_out) = Sequence::replay(items, &freed, &ties);
            Order { sequence, left_out: left_out.len() }
        })
    }

    pub(super) fn came_off(&mut self, item: &Item) {
        self.items.push(item.id);
        self.turns.push(item.id.0);
        if let Some(order) = self.made.0.get_mut() {
            order.sequence.come_off(removed(item));
        }
    }

    pub(super) fn became(&mut self, said: EventId) {
        self.turns.push(said);
    }

    /// Takes a statement; where it cannot be taken as a step, the order is forgotten.
    pub(super) fn say(&mut self, id: EventId, saying: Saying) {
        self.said.push(Statement { id, saying, withdrawn: false });
        let Some(order) = self.made.0.get_mut() else { return };
        let [one, other] = saying.both().map(|item| order.sequence.item(item).is_some());
        let is_step = match saying {
            _ if !(one && other) => true,
            Saying::Tied(tie) => order.sequence.tie(tie).is_ok(),
            Saying::Freed(two) => order.left_out == 0 && order.sequence.free(two).is_ok(),
        };
        if !is_step {
            self.forget();
        }
    }

    /// Withdraws a statement, or lets it count again.
    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> Option<()> {
        self.said.iter_mut().find(|it| it.id == id)?.withdrawn = withdrawn;
        self.forget();
        Some(())
    }

    /// Takes what an item's facts and counts are now, and whether somebody made sure of it.
    pub(super) fn follow(&mut self, item: &Item) {
        if let Some(order) = self.made.0.get_mut()
            && !item.withdrawn
            && !order.sequence.put_right(removed(item))
        {
            self.forget();
        }
    }

    /// Forgets the order; it is made anew when it is asked for.
    pub(super) fn forget(&mut self) {
        self.made = Made::default();
    }
}

fn removed(item: &Item) -> Removed {
    let details = &item.facts.details;
    Removed {
        id: item.id,
        what: item.facts.what.clone(),
        side: item.facts.side.clone(),
        stowed: item.facts.stowed.clone(),
        tally: item.tally(),
        awaits: Some(details.awaits.clone()).filter(|part| !part.is_empty()),
        needed: details.needed,
        is_sure: item.not_sure().is_empty(),
    }
}
