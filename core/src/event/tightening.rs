//! What is said of a group of fasteners that are tightened together.
//!
//! A value is kept as it was typed, with its unit, and never without the place
//! where it stands: the program has no values of its own. What a wrench is set to,
//! what is next and what was passed over are computed, so they are not said.

use crate::reassembly::gate::Need;
use crate::text::Label;
use crate::tightening::group::Shares;
use crate::tightening::guidance::{Strength, Surface};
use crate::tightening::pattern::{Numbering, Pattern};
use crate::tightening::thread::Thread;
use crate::tightening::torque::Entered;

/// What is known of a group of fasteners.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GroupFacts {
    /// What they hold.
    pub what: Label,
    /// On which side of the machine.
    pub side: Label,
    /// How they lie, and in which order they are tightened.
    pub pattern: Pattern,
    /// Which number each is shown with.
    pub numbering: Numbering,
    /// What they are tightened to, and where that stands.
    pub entered: Option<Entered>,
    /// To which shares of it the passes go.
    pub shares: Shares,
    /// What the fasteners are.
    pub hardware: Hardware,
    /// What of the engine they are needed for before that may run.
    pub needed: Option<Need>,
}

impl GroupFacts {
    /// Tells whether what is tightened for the one is tightened for the other: the same
    /// fasteners, value and passes.
    pub fn same_work(&self, other: &GroupFacts) -> bool {
        let target = |facts: &GroupFacts| facts.entered.as_ref().map(|it| it.target);
        self.pattern == other.pattern && self.shares == other.shares && target(self) == target(other)
    }
}

/// What is known of the fasteners themselves.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Hardware {
    /// Their thread.
    pub thread: Option<Thread>,
    /// The strength that is marked on them.
    pub strength: Option<Strength>,
    /// How they rub: dry, oiled, with anti-seize.
    pub surface: Option<Surface>,
}
