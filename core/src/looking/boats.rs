//! Which boats of several books are one boat.
//!
//! Each phone names a boat by its own event, so one boat has a name in the log for each
//! phone. Rule: two are taken for the same where they have the same event (a job's file
//! went from one phone to another), the same hull number, or the same name and owner,
//! both written; case, accents and what stands between letters do not matter. Two hull
//! numbers that differ are two boats, whatever they are called. What was put together is
//! told on the page, so that a wrong guess is seen.

use super::finds::folded;
use crate::event::BoatFacts;
use crate::id::BoatId;
use crate::text::Label;

/// A boat in one technician's book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KnownBoat {
    /// The boat.
    pub boat: BoatId,
    /// What is known of her there.
    pub facts: BoatFacts,
    /// In whose book.
    pub who: Label,
}

/// Tells whether two boats are taken for one.
pub fn are_same(one: &KnownBoat, other: &KnownBoat) -> bool {
    if one.boat == other.boat {
        return true;
    }
    let hin = |boat: &KnownBoat| letters(&boat.facts.hin);
    let (first, second) = (hin(one), hin(other));
    if !first.is_empty() && !second.is_empty() {
        return first == second;
    }
    let called = |boat: &KnownBoat| [letters(&boat.facts.name), letters(&boat.facts.owner)];
    called(one) == called(other) && called(one).iter().all(|part| !part.is_empty())
}

fn letters(label: &Label) -> String {
    folded(label.as_str()).chars().filter(|letter| letter.is_alphanumeric()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::id::{DeviceId, EventId};

    fn boat(device: u8, name: &str, owner: &str, hin: &str) -> KnownBoat {
        let [name, owner, hin] = [name, owner, hin].map(Label::new);
        let facts = BoatFacts { name, owner, hin, berth: Label::default() };
        let boat = BoatId(EventId { device: DeviceId::new([device; 8]), seq: 1 });
        KnownBoat { boat, facts, who: Label::new("M. Sluice") }
    }

    #[test]
    fn boats_are_put_together_by_number_or_by_name_and_owner() {
        let heron = boat(1, "Heron", "Towpath Trust", "");
        assert!(are_same(&heron, &boat(2, "HÉRON", "towpath-trust", "")));
        assert!(!are_same(&heron, &boat(2, "Heron", "Ferry Board", "")));
        assert!(!are_same(&boat(1, "Heron", "", ""), &boat(2, "Heron", "", "")), "a name alone says nothing");
        let numbered = boat(1, "Heron", "Towpath Trust", "GB-ABC12345D626");
        assert!(are_same(&numbered, &boat(2, "Egret", "Ferry Board", "gbabc12345d626")));
        assert!(!are_same(&numbered, &boat(2, "Heron", "Towpath Trust", "GB-ABC12346D626")));
        assert!(are_same(&numbered, &heron));
        assert!(are_same(&heron, &boat(1, "Egret", "", "")), "one event is one boat");
    }
}
