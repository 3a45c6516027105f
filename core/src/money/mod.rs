//! Money: exact decimals in one currency, and the sums of an invoice.
//!
//! Binary fractions cannot hold a tenth, and an invoice is checked to the last
//! unit by somebody else's program; so amounts are decimals, rounded where the
//! rule says and nowhere else. For the desk: the phone keeps [`minor`] units only,
//! and so nothing of decimals is loaded there.
//!
//! In reading order: [`currency`] says how many digits there are, [`minor`] what an
//! amount in whole minor units is, [`amount`]
//! what an amount, a price and a rate are, [`tax`] which tax is on what,
//! [`totals`] adds up a document by EN 16931-1.

pub mod amount;
pub mod currency;
pub mod minor;
pub mod tax;
pub mod totals;

pub use amount::{Money, Percent, Price, Quantity, Rounding};
pub use currency::Currency;

/// Why an amount cannot be had.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MoneyError {
    /// What was typed is no number.
    #[error("{0:?} is no number: write digits with a point before the decimals, such as 95.50")]
    NotANumber(String),
    /// More decimals than there can be.
    #[error("{text} has more than {digits} decimals: leave out what is smaller")]
    TooFine {
        /// What was typed.
        text: String,
        /// How many there can be.
        digits: u32,
    },
    /// Less than nothing where that makes no sense.
    #[error("{0} is less than nothing: enter 0 or more")]
    Negative(String),
    /// A rate, or a number to divide by, that has to be more than nothing.
    #[error("enter more than 0 here")]
    NotPositive,
    /// Two currencies in one sum.
    #[error("{} and {} cannot be added: make one document for each currency", .0.code(), .1.code())]
    Mixed(Currency, Currency),
    /// Beyond what is kept exactly.
    #[error("the amount is too large to be exact: split the document")]
    TooLarge,
}
