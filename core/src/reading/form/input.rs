//! One thing that a kind asks for: a figure in one of some units, or a choice.

use super::{Choice, Name, Value};
use crate::reading::unit::Unit;

/// One thing that a kind asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Input {
    /// Its name.
    pub name: Name,
    /// What the form says above it.
    pub words: &'static str,
    /// What it takes.
    pub of: Of,
    /// Whether it may be left out.
    pub need: Need,
}

/// What an input takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    /// A figure.
    Figure {
        /// In one of these units, the usual one first.
        units: &'static [Unit],
        /// From where to where it is usual, as amounts (see [`crate::reading::unit`]).
        usual: (i64, i64),
    },
    /// One of these.
    Choice(&'static [Choice]),
}

/// Whether an input may be left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Without it there is nothing to judge.
    Must,
    /// It makes the judgement better.
    May,
    /// One for each cylinder, of which there are at most so many.
    Each(u8),
}

impl Input {
    /// Returns a figure that is needed.
    pub const fn must(name: Name, words: &'static str, units: &'static [Unit], usual: (i64, i64)) -> Self {
        Self { name, words, of: Of::Figure { units, usual }, need: Need::Must }
    }

    /// Returns a figure that may be left out.
    pub const fn may(name: Name, words: &'static str, units: &'static [Unit], usual: (i64, i64)) -> Self {
        Self { name, words, of: Of::Figure { units, usual }, need: Need::May }
    }

    /// Returns a figure for each cylinder.
    pub const fn each(name: Name, words: &'static str, units: &'static [Unit], usual: (i64, i64)) -> Self {
        Self { name, words, of: Of::Figure { units, usual }, need: Need::Each(12) }
    }

    /// Returns a choice that is needed.
    pub const fn one_of(name: Name, words: &'static str, choices: &'static [Choice]) -> Self {
        Self { name, words, of: Of::Choice(choices), need: Need::Must }
    }

    /// Returns a choice that may be left open.
    pub const fn perhaps(name: Name, words: &'static str, choices: &'static [Choice]) -> Self {
        Self { name, words, of: Of::Choice(choices), need: Need::May }
    }
}

/// Tells whether a unit can be given for an input; for the door of the log.
pub fn takes(input: &Input, value: Value) -> bool {
    match (input.of, value) {
        (Of::Figure { units, .. }, Value::Figure(entered)) => units.contains(&entered.unit),
        (Of::Choice(choices), Value::Choice(choice)) => choices.contains(&choice),
        _ => false,
    }
}
