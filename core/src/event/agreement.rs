//! What is said to and by an owner beyond what was agreed: recommended work, and the answer.
//!
//! Estimates, consents and signatures are values of [`crate::agreement`]. An
//! answer is said apart from what was recommended, so that it can be taken back
//! and given anew.

use crate::money::Currency;
use crate::money::minor::Minor;
use crate::text::{Label, Prose};

/// Work that is recommended beyond what was agreed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recommendation {
    /// What.
    pub what: Label,
    /// Why, and what may follow if it is not done; may be empty.
    pub why: Prose,
    /// What it is expected to cost, if that was said.
    pub cost: Option<(Minor, Currency)>,
}

/// What the owner said to a recommendation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reply {
    /// Do it.
    Accepted,
    /// Do not.
    Declined,
}

impl Reply {
    /// Both, in the order in which they are offered.
    pub const ALL: [Reply; 2] = [Reply::Accepted, Reply::Declined];

    /// Returns it in words.
    pub const fn words(self) -> &'static str {
        match self {
            Reply::Accepted => "accepted",
            Reply::Declined => "declined",
        }
    }
}
