//! Parts that went into jobs.

use super::named::Named;
use crate::event::PartFacts;
use crate::id::{EventId, JobId, PartId};
use crate::moment::Moment;

/// All parts of all jobs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Parts {
    parts: Named<Part>,
}

/// A part used on a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// Its name in the log.
    pub id: PartId,
    /// When it was used.
    pub at: Moment,
    /// The job.
    pub job: JobId,
    /// What is known of it.
    pub facts: PartFacts,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

impl Parts {
    /// Returns a part used, withdrawn or not.
    pub fn part(&self, id: PartId) -> Option<&Part> {
        self.parts.get(id.0)
    }

    /// Returns the parts that count, of all jobs.
    pub fn parts(&self) -> impl Iterator<Item = &Part> {
        self.parts.all().filter(|part| !part.withdrawn)
    }

    /// Returns a job's parts in the order in which they were used.
    pub fn parts_of(&self, job: JobId) -> impl Iterator<Item = &Part> {
        self.parts().filter(move |part| part.job == job)
    }

    pub(super) fn used(&mut self, id: EventId, at: Moment, job: JobId, facts: &PartFacts) -> Result<(), EventId> {
        self.parts.put(id, Part { id: PartId(id), at, job, facts: facts.clone(), withdrawn: false });
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        self.parts.get(id).map(|part| part.withdrawn)
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        let Ok(part) = self.parts.known(id) else { return false };
        part.withdrawn = withdrawn;
        true
    }
}
