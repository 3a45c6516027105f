//! Which tax is on something, by the categories that an invoice names.
//!
//! The letters are those of UN/CEFACT's code list 5305 that EN 16931 allows, less
//! the two for the Canaries and Ceuta. The types hold its rules: a standard rate
//! is more than nothing (BR-S-05), every other category has none (BR-Z-05,
//! BR-E-05, BR-AE-05 and their like), and what is exempt says why (BR-E-10).
//! A sales tax of the United States is a standard rate, or an exemption with the
//! number of its certificate as the reason.

use super::{MoneyError, Percent};
use crate::text::Label;

/// The tax on something.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Tax {
    /// At a rate: `S`.
    Standard(Rate),
    /// At a rate of nothing: `Z`.
    Zero,
    /// Exempt: `E`.
    Exempt(Reason),
    /// Owed by who buys: `AE`.
    ReverseCharge,
    /// Sold into another country of the Union: `K`.
    IntraCommunity,
    /// Exported: `G`.
    Export,
    /// Not under this tax at all: `O`.
    Outside,
}

/// A rate of tax, more than nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Rate(Percent);

/// Why something is exempt, never empty.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Reason(Label);

impl Reason {
    /// Returns the words as a reason; nothing where there are none.
    pub fn new(words: &str) -> Option<Self> {
        Some(Label::new(words)).filter(|words| !words.is_empty()).map(Self)
    }

    /// Returns the words.
    pub fn as_str(&self) -> &str {
        self.0.as_str()
    }

    /// Puts another one beside it, unless it is there.
    fn hear(&mut self, other: &Reason) {
        if self.as_str().split("; ").all(|known| known != other.as_str()) {
            self.0 = Label::new(&[self.as_str(), other.as_str()].join("; "));
        }
    }
}

impl Tax {
    /// Returns a tax at a rate.
    ///
    /// # Errors
    /// [`MoneyError::NotPositive`] for a rate of nothing, which is another category.
    pub fn standard(rate: Percent) -> Result<Self, MoneyError> {
        if rate.is_zero() { Err(MoneyError::NotPositive) } else { Ok(Self::Standard(Rate(rate))) }
    }

    /// Where both are exempt, puts the other's reason beside its own.
    pub(super) fn hear(&mut self, other: &Tax) {
        if let (Tax::Exempt(own), Tax::Exempt(other)) = (self, other) {
            own.hear(other);
        }
    }

    /// Returns the letters of the category.
    pub const fn code(&self) -> &'static str {
        match self {
            Tax::Standard(_) => "S",
            Tax::Zero => "Z",
            Tax::Exempt(_) => "E",
            Tax::ReverseCharge => "AE",
            Tax::IntraCommunity => "K",
            Tax::Export => "G",
            Tax::Outside => "O",
        }
    }

    /// Returns why nothing is charged, where nothing is.
    pub fn reason(&self) -> Option<&str> {
        match self {
            Tax::Standard(_) | Tax::Zero => None,
            Tax::Exempt(reason) => Some(reason.as_str()),
            Tax::ReverseCharge => Some("Reverse charge: the customer owes the tax"),
            Tax::IntraCommunity => Some("Intra-community supply"),
            Tax::Export => Some("Export outside the EU"),
            Tax::Outside => Some("Not subject to VAT"),
        }
    }

    /// Returns the rate; nothing of it for all but the standard one.
    pub const fn rate(&self) -> Percent {
        match self {
            Tax::Standard(Rate(rate)) => *rate,
            _ => Percent::ZERO,
        }
    }
}
