//! A job's checklist: plain steps, each done at some moment or not yet.

use super::named::Named;
use crate::id::{EventId, JobId, StepId};
use crate::moment::Moment;
use crate::text::Label;

/// All steps of all jobs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Steps {
    steps: Named<Step>,
}

/// A step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// Its name in the log.
    pub id: StepId,
    /// The job.
    pub job: JobId,
    /// What is to be done.
    pub text: Label,
    /// When it was done, if it is.
    pub done: Option<Moment>,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

impl Steps {
    /// Returns a step, withdrawn or not.
    pub fn step(&self, id: StepId) -> Option<&Step> {
        self.steps.get(id.0)
    }

    /// Returns the steps that count, of all jobs.
    pub fn steps(&self) -> impl Iterator<Item = &Step> {
        self.steps.all().filter(|step| !step.withdrawn)
    }

    /// Returns a job's steps in the order in which they were added.
    pub fn steps_of(&self, job: JobId) -> impl Iterator<Item = &Step> {
        self.steps().filter(move |step| step.job == job)
    }

    pub(super) fn add(&mut self, id: EventId, job: JobId, text: &Label) -> Result<(), EventId> {
        self.steps.put(id, Step { id: StepId(id), job, text: text.clone(), done: None, withdrawn: false });
        Ok(())
    }

    pub(super) fn tick(&mut self, id: StepId, done: Option<Moment>) -> Result<(), EventId> {
        self.steps.known(id.0)?.done = done;
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        self.steps.get(id).map(|step| step.withdrawn)
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        let Ok(step) = self.steps.known(id) else { return false };
        step.withdrawn = withdrawn;
        true
    }
}
