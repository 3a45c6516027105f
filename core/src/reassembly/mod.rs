//! Reassembly: what goes back on next, and why.
//!
//! Everything here is computed from what came off, in the order in which it came
//! off, and from what was said about it since. Nothing is refused that happened:
//! an item that went on too soon is told as such, and counts that do not add up
//! are told with their difference.
//!
//! In reading order: [`tally`] counts one item, [`ties`] says which item waits for
//! which beyond the order of removal, [`sequence`] is the back-on order, [`gate`]
//! is the run gate, [`caution`] holds the cautions and where they come up, and
//! [`carry`] is what a job stopped half way starts from.

pub mod carry;
pub mod caution;
pub mod gate;
#[cfg(test)]
mod laws;
pub mod sequence;
pub mod tally;
pub mod ties;

use crate::id::ItemId;
use crate::text::Label;
use gate::Need;
use tally::Tally;

/// Something that came off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Removed {
    /// Its name in the log; no two have the same.
    pub id: ItemId,
    /// What it is.
    pub what: Label,
    /// On which side of the machine; nothing written is a side too.
    pub side: Label,
    /// Where it lies now.
    pub stowed: Label,
    /// How many came off and what became of them.
    pub tally: Tally,
    /// The part that must come before it can go on.
    pub awaits: Option<Label>,
    /// What of the engine it is needed for before that may run.
    pub needed: Option<Need>,
    /// Whether somebody made sure of all of it that is on, or nothing of it asks for that.
    pub is_sure: bool,
}

impl Removed {
    /// Returns what it is, or that nobody wrote it.
    pub fn name(&self) -> &str {
        self.what.or("something without a name")
    }
}

/// Returns the first few of some names in one row, and how many more there are.
pub(crate) fn row<'a>(names: impl IntoIterator<Item = &'a str>, most: usize) -> String {
    let mut words = String::new();
    let mut more = 0_usize;
    for (nth, name) in names.into_iter().enumerate() {
        if nth >= most {
            more += 1;
            continue;
        }
        if nth > 0 {
            words.push_str(", ");
        }
        words.push_str(name);
    }
    if more > 0 {
        words.push_str(" and ");
        words.push_str(&more.to_string());
        words.push_str(" more");
    }
    words
}

#[cfg(test)]
mod samples {
    //! Things that came off, for the tests of this folder.

    use super::{Removed, Tally};
    use crate::id::{DeviceId, EventId, ItemId};
    use crate::quantity::Count;
    use crate::text::Label;

    pub(super) fn id(seq: u64) -> ItemId {
        ItemId(EventId { device: DeviceId::new([1; 8]), seq })
    }

    /// Returns one thing of that name and side, the `seq`th to come off.
    pub(super) fn removed(seq: u64, what: &str, side: &str) -> Removed {
        Removed {
            id: id(seq),
            what: Label::new(what),
            side: Label::new(side),
            stowed: Label::default(),
            tally: Tally::off(Count(1)),
            awaits: None,
            needed: None,
            is_sure: true,
        }
    }

    /// Returns things told as "name, side", in the order in which they came off.
    pub(super) fn all(told: &[(&str, &str)]) -> Vec<Removed> {
        (1..).zip(told).map(|(seq, (what, side))| removed(seq, what, side)).collect()
    }

    #[test]
    fn a_row_of_names_is_short() {
        assert_eq!(super::row(["hose"], 2), "hose");
        assert_eq!(super::row(["hose", "clip"], 2), "hose, clip");
        assert_eq!(super::row(["hose", "clip", "bolt", "nut"], 2), "hose, clip and 2 more");
        assert_eq!(super::row([], 2), "");
    }
}
