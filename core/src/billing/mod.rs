//! Billing: what a job's time and parts cost by the shop's price list.
//!
//! In reading order: [`rule`] picks the rule that names a case most closely,
//! [`prices`] is the shop's price list, [`mod@work`] takes out of the book what was
//! done, [`shares`] joins to it what others did, [`draft`] puts the two together into what [`bill`] is: one job and one
//! pay type. [`outgoing`] lets each line go out once and corrections as
//! differences, [`account`] keeps apart what needs no look for that any more, and [`invoice`] makes drafts of invoices from what went out. [`hours`]
//! adds time up for looking.
//!
//! Whatever the list or the book leaves open becomes a [`Question`]; nothing is
//! guessed, and a bill with questions is not ready to go out. Every line of a
//! bill knows the events that it comes from. For the desk: no screen of the
//! phone uses this.

pub mod account;
pub mod bill;
pub mod draft;
pub mod hours;
pub mod invoice;
pub mod outgoing;
pub mod prices;
pub mod rule;
pub mod shares;
pub mod work;

#[cfg(test)]
mod laws;

pub use bill::{Bill, BillLine, Item, Question};
pub use draft::bills;
pub use prices::PriceList;
pub use work::{JobWork, work};
