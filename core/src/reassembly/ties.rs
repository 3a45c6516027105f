//! Ties: which item waits for which, beyond the order of removal on one side.
//!
//! A tie is said by pointing at two items, as the technician sees them: the hose
//! is *behind* the cooler, the cover is *held by* its bolts. Either way the first
//! goes on first. A tie holds across sides, and against the order of removal too,
//! as long as nothing then waits for itself.
//!
//! Two items of one side can be *freed* from each other: neither then waits for
//! the other because of the order of removal. Rule: freeing undoes that one wait
//! and no other. What came off between the two is still waited for, and waits in
//! its turn, until it is freed too.

use std::fmt;

use crate::id::ItemId;

/// A statement that `item` goes on before `other`, and why.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Tie {
    /// What goes on first.
    pub item: ItemId,
    /// How the two hang together.
    pub kind: TieKind,
    /// What waits for it.
    pub other: ItemId,
}

/// How the first item of a tie hangs together with the second.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum TieKind {
    /// It lies behind it.
    Behind,
    /// It is held in place by it.
    HeldBy,
}

impl TieKind {
    /// Both, in the order in which they are offered.
    pub const ALL: [TieKind; 2] = [TieKind::Behind, TieKind::HeldBy];

    /// Returns the words between the two items.
    pub const fn words(self) -> &'static str {
        match self {
            TieKind::Behind => "is behind",
            TieKind::HeldBy => "is held by",
        }
    }
}

/// A statement that two items of one side do not wait for each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Freed(pub ItemId, pub ItemId);

/// Why one item waits for another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// The other came off after it on the same side.
    Side,
    /// A tie was said.
    Tie(TieKind),
}

/// One item waiting for another; its `Display` says for which and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wait {
    /// What is waited for.
    pub item: ItemId,
    /// Its name.
    pub name: String,
    /// Why.
    pub why: Why,
    /// The side that both are on, where that is why and it was written.
    pub side: String,
    /// How many of it are missing, in words, when some of it are on.
    pub part_way: Option<String>,
}

impl fmt::Display for Wait {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let texts: [&str; 2] = match self.why {
            Why::Side => [&self.name, " came off after it"],
            Why::Tie(TieKind::Behind) => [&self.name, " is behind it"],
            Why::Tie(TieKind::HeldBy) => ["it holds ", &self.name],
        };
        texts.into_iter().try_for_each(|text| f.write_str(text))?;
        let notes = [self.side.as_str(), self.part_way.as_deref().unwrap_or_default()];
        let mut before = " (";
        for note in notes.into_iter().filter(|note| !note.is_empty()) {
            f.write_str(before)?;
            f.write_str(note)?;
            before = ", ";
        }
        f.write_str(if before == ", " { ")" } else { "" })
    }
}

/// A row of items of which each waits for the next and the last for the first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Circle {
    /// Each item's name, and its wait for the next.
    pub links: Vec<(String, Wait)>,
}

impl fmt::Display for Circle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (nth, (name, wait)) in self.links.iter().enumerate() {
            let before = if nth > 0 { ", " } else { "" };
            for text in [before, name, " waits for ", &wait.name, ": "] {
                f.write_str(text)?;
            }
            wait.fmt(f)?;
        }
        Ok(())
    }
}

/// A statement about the order that cannot be taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// An item of it never came off.
    #[error("one of the two is not among what came off: point at two items of this job")]
    Unknown,
    /// Both are the same item.
    #[error("an item cannot wait for itself: point at another one")]
    Itself,
    /// Each would wait for the other in the end.
    #[error(
        "this goes round in a circle ({0}): take one of these ties away, or free two of one side, and say it again"
    )]
    Circle(Circle),
    /// Two that shall be freed are on different sides.
    #[error("the two are on different sides, and only a tie can make them wait: take the tie away")]
    OtherSide,
    /// What shall be taken away was never said.
    #[error("nothing of the kind was said about these two: there is nothing to take away")]
    NeverSaid,
}

#[cfg(test)]
mod tests {
    use super::super::samples::id;
    use super::*;

    #[test]
    fn a_wait_says_why() {
        let wait = |why, side: &str, part_way: Option<&str>| {
            let part_way = part_way.map(str::to_owned);
            Wait { item: id(1), name: "hose".to_owned(), why, side: side.to_owned(), part_way }.to_string()
        };
        assert_eq!(wait(Why::Side, "port", None), "hose came off after it (port)");
        assert_eq!(wait(Why::Side, "", None), "hose came off after it");
        assert_eq!(wait(Why::Side, "", Some("one missing")), "hose came off after it (one missing)");
        assert_eq!(wait(Why::Side, "port", Some("2 missing")), "hose came off after it (port, 2 missing)");
        assert_eq!(wait(Why::Tie(TieKind::Behind), "", None), "hose is behind it");
        assert_eq!(wait(Why::Tie(TieKind::HeldBy), "", None), "it holds hose");
    }
}
