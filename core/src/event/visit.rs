//! The next visit to a boat: what is planned, for when, and who asks for it.
//!
//! It is planned on a job, most often where that one ends, and concerns the boat.
//! So it waits beside her until a later job is that visit, or it is taken back.

use crate::moment::Day;
use crate::text::Label;

/// A visit that is planned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NextVisit {
    /// What is to be done then.
    pub what: Label,
    /// For when.
    pub when: VisitTime,
    /// Who asks for it.
    pub asked_by: Asker,
}

/// For when a visit is planned.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum VisitTime {
    /// Nobody said.
    #[default]
    Unsaid,
    /// For a day.
    Day(Day),
    /// In words: "before the first frost", "after 50 engine hours".
    Words(Label),
}

/// Who asks for a visit.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Asker {
    /// The boat's owner.
    #[default]
    Owner,
    /// The shop.
    Shop,
    /// Somebody else, by name: a yard, an insurer, a surveyor.
    Other(Label),
}
