//! Things of one kind, or facts about them, by the name of the event that made each.
//!
//! They stand in the order in which they were put there, which in the book is
//! the order of the log. Where each stands is told by one map that all kinds
//! share the code of: a map of its own type for each was a twentieth of what a
//! phone loads.

use std::collections::BTreeMap;
use std::slice::{Iter, IterMut};

use crate::id::EventId;

/// Things by name, in their order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Named<T> {
    things: Vec<T>,
    places: BTreeMap<EventId, usize>,
}

impl<T> Default for Named<T> {
    fn default() -> Self {
        Self { things: Vec::new(), places: BTreeMap::new() }
    }
}

impl<T> Named<T> {
    /// Returns the thing of that name.
    pub(crate) fn get(&self, name: EventId) -> Option<&T> {
        self.things.get(*self.places.get(&name)?)
    }

    /// Returns the thing of that name, or the name where there is no such thing.
    pub(crate) fn known(&mut self, name: EventId) -> Result<&mut T, EventId> {
        self.places.get(&name).and_then(|&place| self.things.get_mut(place)).ok_or(name)
    }

    /// Puts a thing there, in place of one of the same name.
    pub(crate) fn put(&mut self, name: EventId, thing: T) {
        match self.known(name) {
            Ok(known) => *known = thing,
            Err(name) => {
                self.places.insert(name, self.things.len());
                self.things.push(thing);
            }
        }
    }

    /// Returns the thing of that name, which begins as nothing.
    pub(crate) fn of(&mut self, name: EventId) -> &mut T
    where
        T: Default,
    {
        let next = self.things.len();
        let place = *self.places.entry(name).or_insert(next);
        if place == next {
            self.things.push(T::default());
        }
        &mut self.things[place]
    }

    /// Returns all, in their order.
    pub(crate) fn all(&self) -> Iter<'_, T> {
        self.things.iter()
    }

    /// Returns all, in their order, to be changed.
    pub(crate) fn all_mut(&mut self) -> IterMut<'_, T> {
        self.things.iter_mut()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::id::DeviceId;

    fn name(seq: u64) -> EventId {
        EventId { device: DeviceId::new([1; 8]), seq }
    }

    #[test]
    fn things_keep_their_order_and_are_found_by_name() {
        let mut named = Named::default();
        named.put(name(7), "pump");
        named.put(name(3), "hose");
        named.put(name(7), "water pump");
        assert_eq!(named.all().copied().collect::<Vec<_>>(), ["water pump", "hose"]);
        assert_eq!((named.get(name(3)), named.get(name(4))), (Some(&"hose"), None));
        assert_eq!(named.known(name(4)), Err(name(4)));
    }

    #[test]
    fn a_sum_begins_as_nothing() {
        let mut sums: Named<u32> = Named::default();
        for (seq, count) in [(2, 5), (1, 1), (2, 4)] {
            *sums.of(name(seq)) += count;
        }
        assert_eq!(sums.all().copied().collect::<Vec<_>>(), [9, 1]);
        assert_eq!(sums.get(name(2)), Some(&9));
    }
}
