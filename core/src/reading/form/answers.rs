//! The answers as a judge looks at them, and the whole-number sums that he does.

use super::{Choice, Given, Name, Value};
use crate::reading::figure::Entered;
use crate::reading::unit::{Unit, rounded};
use thiserror::Error;

/// The answers as a judge looks at them.
#[derive(Clone, Copy, Debug)]
pub struct Answers<'a>(pub &'a [Given]);

/// Why nothing can be said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum Lack {
    /// An input is missing.
    #[error("the {} is not given", .0.words())]
    Missing(Name),
    /// The figures do not fit each other.
    #[error("{0}")]
    Senseless(&'static str),
}

impl Answers<'_> {
    /// Returns a figure as it was entered.
    pub fn entered(self, name: Name) -> Option<Entered> {
        self.each(name).next().map(|(_, entered)| entered)
    }

    /// Returns an amount, in millionths of its quantity's unit.
    pub fn amount(self, name: Name) -> Option<i64> {
        self.entered(name).map(Entered::amount)
    }

    /// Returns an amount that is needed.
    ///
    /// # Errors
    /// When it is not given.
    pub fn need(self, name: Name) -> Result<i64, Lack> {
        self.amount(name).ok_or(Lack::Missing(name))
    }

    /// Returns an amount that is needed and must be above nothing.
    ///
    /// # Errors
    /// When it is not given, or nothing.
    pub fn some(self, name: Name) -> Result<i64, Lack> {
        match self.need(name)? {
            ..=0 => Err(Lack::Senseless("0 is no figure to reckon with here")),
            amount => Ok(amount),
        }
    }

    /// Returns the figures of each cylinder with their numbers, in the order in which they were given.
    pub fn each(self, name: Name) -> impl Iterator<Item = (u8, Entered)> {
        self.0.iter().filter(move |it| it.name == name).filter_map(|it| match it.value {
            Value::Figure(entered) => Some((it.nth, entered)),
            Value::Choice(_) => None,
        })
    }

    /// Returns what was chosen.
    pub fn choice(self, name: Name) -> Option<Choice> {
        self.0.iter().filter(|it| it.name == name).find_map(|it| match it.value {
            Value::Choice(choice) => Some(choice),
            Value::Figure(_) => None,
        })
    }

    /// Returns the unit in which a figure was given, or `other` where it was not.
    pub fn unit(self, name: Name, other: Unit) -> Unit {
        self.entered(name).map_or(other, |entered| entered.unit)
    }
}

/// Returns `a × b / by`, half to even.
///
/// # Errors
/// When `by` is not above nothing.
pub(in crate::reading) fn ratio(a: i64, b: i64, by: i64) -> Result<i64, Lack> {
    match by {
        ..=0 => Err(Lack::Senseless("the figures do not fit each other: one that divides is 0")),
        by => Ok(rounded(i128::from(a) * i128::from(b), i128::from(by))),
    }
}

/// Returns a share of a whole, in millionths of a percent.
///
/// # Errors
/// When the whole is nothing.
pub(in crate::reading) fn percent(part: i64, whole: i64) -> Result<i64, Lack> {
    ratio(part, 100_000_000, whole)
}

/// Returns so many of a unit as an amount, for tables and bounds.
pub(in crate::reading) const fn of(count: i64, millionths: i64) -> i64 {
    count * millionths
}

/// Millionths in one, in a thousand.
pub(in crate::reading) const ONE: i64 = 1_000_000;
/// A kilopascal.
pub(in crate::reading) const KPA: i64 = 1_000 * ONE;
