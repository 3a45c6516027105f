//! Parts that failed, each on the line of a job that it is claimed on.

use super::named::Named;
use crate::event::FailedPart;
use crate::id::{EventId, FailedId, LineId};

/// All parts that failed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Claims {
    failed: Named<Failed>,
}

/// A part that failed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Failed {
    /// Its name in the log.
    pub id: FailedId,
    /// The line.
    pub line: LineId,
    /// What is known of it.
    pub part: FailedPart,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

impl Claims {
    /// Returns a part that failed, withdrawn or not.
    pub fn failed(&self, id: FailedId) -> Option<&Failed> {
        self.failed.get(id.0)
    }

    /// Returns the parts that failed on a line, in the order in which they were entered.
    pub fn failed_on(&self, line: LineId) -> impl Iterator<Item = &Failed> {
        self.failed.all().filter(move |it| it.line == line && !it.withdrawn)
    }

    pub(super) fn fail(&mut self, id: EventId, line: LineId, part: &FailedPart) -> Result<(), EventId> {
        self.failed.put(id, Failed { id: FailedId(id), line, part: part.clone(), withdrawn: false });
        Ok(())
    }

    pub(super) fn amend(&mut self, id: FailedId, part: &FailedPart) -> Result<(), EventId> {
        self.failed.known(id.0)?.part = part.clone();
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        self.failed.get(id).map(|it| it.withdrawn)
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        let Ok(failed) = self.failed.known(id) else { return false };
        failed.withdrawn = withdrawn;
        true
    }
}
