//! What is said about readings: what was read of what, and an engine's own limits.
//!
//! A reading holds what was typed, never what was made of it: the verdict is worked
//! out anew whenever it is looked at, by the limits that hold then.

use crate::id::{EngineId, JobId, StepId};
use crate::reading::Kind;
use crate::reading::form::Given;
use crate::text::{Label, Prose};

/// What is known of a reading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadingFacts {
    /// Which kind it is.
    pub kind: Kind,
    /// What was measured, in the technician's words: "start battery"; may be empty.
    pub what: Label,
    /// What was read, as it was typed.
    pub given: Vec<Given>,
    /// With which instrument; may be empty.
    pub instrument: Label,
    /// What else is worth knowing; may be empty.
    pub note: Prose,
}

/// What a reading was taken for: a job, an engine, both, or neither yet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TakenFor {
    /// The job.
    pub job: Option<JobId>,
    /// The engine, where it is not the job's.
    pub engine: Option<EngineId>,
    /// The step of the job's checklist that asks for it.
    pub step: Option<StepId>,
}
