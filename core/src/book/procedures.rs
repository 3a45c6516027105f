//! Procedures: every version of each, where they were started, what was forgotten.
//!
//! The version that counts is the last one that was not withdrawn, so taking back
//! an amendment brings back what was before it. A start remembers what was known
//! of the engine then, because that decided which steps were taken.

use super::named::Named;
use crate::event::{Procedure, StepNumber};
use crate::id::{BlobId, EventId, JobId, ProcedureId, StartId, StepId, VersionId};
use crate::moment::Moment;
use crate::procedure::EngineProfile;
use crate::text::Label;

/// All procedures.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Procedures {
    procedures: Named<Kept>,
    versions: Named<Version>,
    starts: Named<Start>,
    forgotten: Named<Lapse>,
}

/// A procedure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// Its name in the log.
    pub id: ProcedureId,
    /// The job that it was made from, if it was.
    pub from: Option<JobId>,
    /// Its versions in the order of the log.
    pub versions: Vec<VersionId>,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

/// One version of a procedure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Version {
    /// Its name in the log.
    pub id: VersionId,
    /// The procedure.
    pub procedure: ProcedureId,
    /// Since when.
    pub at: Moment,
    /// How it reads.
    pub reads: Procedure,
    /// Whether it was withdrawn; of the first version the whole procedure.
    pub withdrawn: bool,
}

/// That a job is done by a procedure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Start {
    /// Its name in the log.
    pub id: StartId,
    /// The job.
    pub job: JobId,
    /// The version.
    pub version: VersionId,
    /// When.
    pub at: Moment,
    /// What was known of the engine then.
    pub engine: EngineProfile,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

/// Something that was forgotten.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lapse {
    /// Its name in the log.
    pub id: EventId,
    /// On which job.
    pub job: JobId,
    /// With which step of its checklist, if with one.
    pub step: Option<StepId>,
    /// What, in words; may be empty where a step is named.
    pub what: Label,
    /// When it was said.
    pub at: Moment,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

/// A step of a procedure, from the checklist of a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Taken {
    /// The start that took it.
    pub start: StartId,
    /// Its number in the procedure.
    pub number: StepNumber,
}

impl Procedures {
    /// Returns the procedures that count, in the order in which they were kept.
    pub fn procedures(&self) -> impl Iterator<Item = &Kept> {
        self.procedures.all().filter(|it| !it.withdrawn)
    }

    /// Returns a procedure, withdrawn or not.
    pub fn procedure(&self, id: ProcedureId) -> Option<&Kept> {
        self.procedures.get(id.0)
    }

    /// Returns a version, withdrawn or not.
    pub fn version(&self, id: VersionId) -> Option<&Version> {
        self.versions.get(id.0)
    }

    /// Returns the version of a procedure that counts.
    pub fn current(&self, id: ProcedureId) -> Option<&Version> {
        let kept = self.procedures.get(id.0).filter(|it| !it.withdrawn)?;
        kept.versions.iter().rev().filter_map(|it| self.versions.get(it.0)).find(|it| !it.withdrawn)
    }

    /// Returns the procedure that has this key, which is its name in the log where it has no other.
    pub fn by_key(&self, key: &Label) -> Option<&Kept> {
        let has = |kept: &&Kept| {
            let own = self.current(kept.id).map(|it| &it.reads.key).filter(|own| !own.is_empty());
            own.map_or_else(|| kept.id.to_string() == key.as_str(), |own| own == key)
        };
        self.procedures().find(|kept| !key.is_empty() && has(kept))
    }

    /// Returns the names of all pictures of all versions, the withdrawn ones too.
    pub fn pictures(&self) -> impl Iterator<Item = BlobId> {
        self.versions.all().flat_map(|it| &it.reads.steps).flat_map(|it| &it.pictures).map(|it| it.blob)
    }

    /// Returns a start, withdrawn or not.
    pub fn start(&self, id: StartId) -> Option<&Start> {
        self.starts.get(id.0)
    }

    /// Returns all starts that count.
    pub fn starts(&self) -> impl DoubleEndedIterator<Item = &Start> {
        self.starts.all().filter(|it| !it.withdrawn)
    }

    /// Returns the starts of a job that count.
    pub fn starts_of(&self, job: JobId) -> impl Iterator<Item = &Start> {
        self.starts().filter(move |it| it.job == job)
    }

    /// Returns the procedure of a start.
    pub fn procedure_of(&self, start: &Start) -> Option<ProcedureId> {
        self.versions.get(start.version.0).map(|it| it.procedure)
    }

    /// Returns what was forgotten on jobs that were done by a procedure, latest first.
    pub fn forgotten_of(&self, id: ProcedureId) -> impl Iterator<Item = &Lapse> {
        let with_it = move |job| self.starts_of(job).any(|start| self.procedure_of(start) == Some(id));
        self.forgotten.all().rev().filter(move |it| !it.withdrawn && with_it(it.job))
    }

    /// Returns what was forgotten on a job, in the order in which it was said.
    pub fn forgotten_on(&self, job: JobId) -> impl Iterator<Item = &Lapse> {
        self.forgotten.all().filter(move |it| !it.withdrawn && it.job == job)
    }

    pub(super) fn keep(
        &mut self,
        id: EventId,
        at: Moment,
        reads: &Procedure,
        from: Option<JobId>,
    ) -> Result<(), EventId> {
        let (procedure, version) = (ProcedureId(id), VersionId(id));
        self.procedures.put(id, Kept { id: procedure, from, versions: vec![version], withdrawn: false });
        self.versions.put(id, Version { id: version, procedure, at, reads: reads.clone(), withdrawn: false });
        Ok(())
    }

    pub(super) fn amend(
        &mut self,
        id: EventId,
        at: Moment,
        procedure: ProcedureId,
        reads: &Procedure,
    ) -> Result<(), EventId> {
        let version = VersionId(id);
        self.procedures.known(procedure.0)?.versions.push(version);
        self.versions.put(id, Version { id: version, procedure, at, reads: reads.clone(), withdrawn: false });
        Ok(())
    }

    pub(super) fn begin(
        &mut self,
        id: EventId,
        at: Moment,
        job: JobId,
        version: VersionId,
        engine: EngineProfile,
    ) -> Result<(), EventId> {
        self.versions.known(version.0)?;
        self.starts.put(id, Start { id: StartId(id), job, version, at, engine, withdrawn: false });
        Ok(())
    }

    pub(super) fn forget(
        &mut self,
        id: EventId,
        at: Moment,
        job: JobId,
        step: Option<StepId>,
        what: &Label,
    ) -> Result<(), EventId> {
        self.forgotten.put(id, Lapse { id, job, step, what: what.clone(), at, withdrawn: false });
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        // The first version of a procedure has its name and its mark.
        let version = || self.versions.get(id).map(|it| it.withdrawn);
        let start = || self.starts.get(id).map(|it| it.withdrawn);
        version().or_else(start).or_else(|| self.forgotten.get(id).map(|it| it.withdrawn))
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        if let Ok(version) = self.versions.known(id) {
            version.withdrawn = withdrawn;
            if let Ok(procedure) = self.procedures.known(id) {
                procedure.withdrawn = withdrawn;
            }
        } else if let Ok(start) = self.starts.known(id) {
            start.withdrawn = withdrawn;
        } else if let Ok(lapse) = self.forgotten.known(id) {
            lapse.withdrawn = withdrawn;
        } else {
            return false;
        }
        true
    }
}
