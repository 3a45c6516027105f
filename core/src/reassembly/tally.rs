//! One item's counts: how many came off and what became of each.
//!
//! Counting is exact. Each single thing that came off is back on, replaced by a
//! new one, left off on purpose, or missing; one more than came off is one too
//! many, and somebody has to say from where. So always
//! `off + too many = on + replaced + left off + missing`.
//!
//! Rule: what was replaced or left off carries a reason and needs no more work.
//! Whether the engine may run without it is the run gate's question, not this one's.

use crate::quantity::Count;
use crate::text::Label;

/// How many of an item came off and what became of them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    off: Count,
    on: Count,
    instead: Vec<Instead>,
}

/// Some of an item that will not go back on themselves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Instead {
    /// What became of them.
    pub how: How,
    /// How many.
    pub count: Count,
    /// Why; never empty.
    pub reason: Label,
}

/// What becomes of a thing that does not go back on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum How {
    /// A new one is on in its place.
    Replaced,
    /// Nothing is on in its place, on purpose.
    LeftOff,
}

/// A replacement or a leaving off that says too little.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unsaid {
    /// There is no reason.
    #[error("no reason is written: say why it was replaced or left off")]
    Reason,
    /// It is of nothing.
    #[error("it is of none: say how many were replaced or left off")]
    Count,
}

impl Instead {
    /// Returns so many replaced or left off, with the reason.
    ///
    /// # Errors
    /// When there is no reason or no count.
    pub fn new(how: How, count: Count, reason: Label) -> Result<Self, Unsaid> {
        match (reason.is_empty(), count) {
            (true, _) => Err(Unsaid::Reason),
            (_, Count(0)) => Err(Unsaid::Count),
            _ => Ok(Self { how, count, reason }),
        }
    }
}

/// Whether an item's counts add up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Balance {
    /// Each that came off is accounted for.
    Even,
    /// So many that came off are neither on, replaced nor left off.
    Missing(u64),
    /// So many more are accounted for than came off.
    TooMany(u64),
}

impl Balance {
    /// Returns it in words: "one missing", "2 too many, from where?"; nothing when it is even.
    pub fn words(self) -> Option<String> {
        let (count, rest) = match self {
            Self::Even => return None,
            Self::Missing(count) => (count, " missing"),
            Self::TooMany(count) => (count, " too many, from where?"),
        };
        let mut words = if count == 1 { "one".to_owned() } else { count.to_string() };
        words.push_str(rest);
        Some(words)
    }
}

impl Tally {
    /// Returns the counts of something of which so many came off, none of them back on.
    pub fn off(off: Count) -> Self {
        Self { off, ..Self::default() }
    }

    /// Returns it with so many back on.
    pub fn with_on(self, on: Count) -> Self {
        Self { on, ..self }
    }

    /// Returns it with some more replaced or left off.
    pub fn with(mut self, instead: Instead) -> Self {
        self.instead.push(instead);
        self
    }

    /// Returns how many came off.
    pub fn came_off(&self) -> Count {
        self.off
    }

    /// Returns how many are back on, new ones not counted.
    pub fn back_on(&self) -> Count {
        self.on
    }

    /// Returns what was replaced or left off, in the order in which it was said.
    pub fn instead(&self) -> &[Instead] {
        &self.instead
    }

    /// Returns how many were replaced, or how many were left off.
    pub fn count(&self, how: How) -> u64 {
        self.instead.iter().filter(|it| it.how == how).map(|it| u64::from(it.count.0)).sum()
    }

    /// Returns whether the counts add up, and by how much they do not.
    pub fn balance(&self) -> Balance {
        let off = u64::from(self.off.0);
        let told = u64::from(self.on.0) + self.count(How::Replaced) + self.count(How::LeftOff);
        match off.abs_diff(told) {
            0 => Balance::Even,
            less if told < off => Balance::Missing(less),
            more => Balance::TooMany(more),
        }
    }

    /// Returns how many are missing.
    pub fn missing(&self) -> u64 {
        if let Balance::Missing(count) = self.balance() { count } else { 0 }
    }

    /// Tells whether nothing of it has to go on any more; one too many does not keep it open.
    pub fn is_settled(&self) -> bool {
        self.missing() == 0
    }

    /// Tells whether anything is on: old or new.
    pub fn has_some_on(&self) -> bool {
        self.on > Count(0) || self.count(How::Replaced) > 0
    }
}

/// The counts of many items together.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Totals {
    /// Came off.
    pub off: u64,
    /// Back on.
    pub on: u64,
    /// Replaced by new.
    pub replaced: u64,
    /// Left off on purpose.
    pub left_off: u64,
    /// Missing.
    pub missing: u64,
    /// More than came off.
    pub too_many: u64,
}

impl Totals {
    /// Returns the sums of some tallies.
    pub fn of<'a>(tallies: impl IntoIterator<Item = &'a Tally>) -> Self {
        tallies.into_iter().fold(Self::default(), Self::plus)
    }

    fn plus(self, tally: &Tally) -> Self {
        let (missing, too_many) = match tally.balance() {
            Balance::Even => (0, 0),
            Balance::Missing(count) => (count, 0),
            Balance::TooMany(count) => (0, count),
        };
        Self {
            off: self.off + u64::from(tally.off.0),
            on: self.on + u64::from(tally.on.0),
            replaced: self.replaced + tally.count(How::Replaced),
            left_off: self.left_off + tally.count(How::LeftOff),
            missing: self.missing + missing,
            too_many: self.too_many + too_many,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tally(off: u32, on: u32, replaced: u32, left: u32) -> Tally {
        let because = |how, count| Instead::new(how, Count(count), Label::new("corroded"));
        let mut tally = Tally::off(Count(off)).with_on(Count(on));
        for instead in [because(How::Replaced, replaced), because(How::LeftOff, left)].into_iter().flatten() {
            tally = tally.with(instead);
        }
        tally
    }

    #[test]
    fn counting_is_exact() {
        let cases = [
            ((12, 0, 0, 0), Some("12 missing")),
            ((12, 11, 0, 0), Some("one missing")),
            ((12, 12, 0, 0), None),
            ((12, 13, 0, 0), Some("one too many, from where?")),
            ((12, 9, 2, 1), None),
            ((12, 9, 1, 1), Some("one missing")),
            ((12, 12, 2, 0), Some("2 too many, from where?")),
            ((0, 0, 0, 0), None),
            ((0, 1, 0, 0), Some("one too many, from where?")),
            ((1, u32::MAX, u32::MAX, 0), Some("8589934589 too many, from where?")),
        ];
        for ((off, on, replaced, left), expected) in cases {
            let tally = tally(off, on, replaced, left);
            assert_eq!(tally.balance().words().as_deref(), expected, "{tally:?}");
            assert_eq!(tally.is_settled(), !expected.is_some_and(|it| it.contains("missing")), "{tally:?}");
        }
    }

    #[test]
    fn what_does_not_go_back_on_says_why() {
        let (count, reason) = (Count(1), Label::new("stripped thread"));
        assert_eq!(Instead::new(How::Replaced, count, Label::new("  ")), Err(Unsaid::Reason));
        assert_eq!(Instead::new(How::LeftOff, Count(0), reason.clone()), Err(Unsaid::Count));
        assert_eq!(Instead::new(How::LeftOff, count, reason.clone()).map(|it| it.reason), Ok(reason));
    }

    #[test]
    fn a_new_one_is_on_and_one_left_off_is_not() {
        assert!(tally(2, 0, 1, 0).has_some_on());
        assert!(!tally(2, 0, 0, 1).has_some_on());
    }
}
