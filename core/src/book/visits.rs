//! Visits that are planned, and which later job each of them became.
//!
//! A plan stands beside its boat until a job is that visit or it is taken back;
//! either can be taken back, and then the plan waits again.

use super::named::Named;
use crate::event::NextVisit;
use crate::id::{EventId, JobId, VisitId};
use crate::moment::Moment;

/// All visits that were planned.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Visits {
    planned: Named<Planned>,
    made: Named<Made>,
}

/// A visit that was planned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Planned {
    /// Its name in the log.
    pub id: VisitId,
    /// When it was said.
    pub at: Moment,
    /// On which job.
    pub job: JobId,
    /// What is planned.
    pub visit: NextVisit,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

/// That a job is a visit that was planned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Made {
    /// The statement.
    pub id: EventId,
    /// Which visit.
    pub visit: VisitId,
    /// The job.
    pub job: JobId,
    withdrawn: bool,
}

impl Visits {
    /// Returns a planned visit, withdrawn or not.
    pub fn visit(&self, id: VisitId) -> Option<&Planned> {
        self.planned.get(id.0)
    }

    /// Returns all that stand, of all boats, in the order in which they were said.
    pub fn planned(&self) -> impl DoubleEndedIterator<Item = &Planned> {
        self.planned.all().filter(|it| !it.withdrawn)
    }

    /// Returns that a visit was made, as it was said last.
    pub fn made(&self, id: VisitId) -> Option<&Made> {
        self.made.all().rfind(|it| it.visit == id && !it.withdrawn)
    }

    pub(super) fn plan(&mut self, id: EventId, at: Moment, job: JobId, visit: &NextVisit) -> Result<(), EventId> {
        self.planned.put(id, Planned { id: VisitId(id), at, job, visit: visit.clone(), withdrawn: false });
        Ok(())
    }

    pub(super) fn make(&mut self, id: EventId, visit: VisitId, job: JobId) -> Result<(), EventId> {
        self.planned.known(visit.0)?;
        self.made.put(id, Made { id, visit, job, withdrawn: false });
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        self.planned.get(id).map(|it| it.withdrawn).or_else(|| self.made.get(id).map(|it| it.withdrawn))
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        if let Ok(planned) = self.planned.known(id) {
            planned.withdrawn = withdrawn;
        } else if let Ok(made) = self.made.known(id) {
            made.withdrawn = withdrawn;
        } else {
            return false;
        }
        true
    }
}
