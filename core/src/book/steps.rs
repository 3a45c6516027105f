//! A job's checklist: plain steps, each done at some moment or not yet.
//!
//! A step that comes from a procedure is one like the others; it goes while the
//! start that took it is withdrawn.

use super::named::Named;
use super::procedures::Taken;
use crate::id::{EventId, JobId, StartId, StepId};
use crate::moment::Moment;
use crate::reassembly::gate::{Need, NeededStep};
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
    /// Which step of a procedure it is, if it is one.
    pub taken: Option<Taken>,
    /// What it is needed for before the engine runs.
    pub needed: Option<Need>,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
    /// Whether the start that took it was withdrawn.
    not_started: bool,
}

impl Steps {
    /// Returns a step, withdrawn or not.
    pub fn step(&self, id: StepId) -> Option<&Step> {
        self.steps.get(id.0)
    }

    /// Returns the steps that count, of all jobs.
    pub fn steps(&self) -> impl Iterator<Item = &Step> {
        self.steps.all().filter(|step| !step.withdrawn && !step.not_started)
    }

    /// Returns a job's steps in the order in which they were added.
    pub fn steps_of(&self, job: JobId) -> impl Iterator<Item = &Step> {
        self.steps().filter(move |step| step.job == job)
    }

    /// Returns a job's steps that are needed before the engine runs.
    pub fn needed_of(&self, job: JobId) -> Vec<NeededStep> {
        let needed =
            |step: &Step| Some(NeededStep { need: step.needed?, text: step.text.clone(), done: step.done.is_some() });
        self.steps_of(job).filter_map(needed).collect()
    }

    pub(super) fn add(&mut self, id: EventId, job: JobId, text: &Label) -> Result<(), EventId> {
        self.put(id, job, text, None, false);
        Ok(())
    }

    /// Adds a step that a start took, which may be withdrawn by now.
    pub(super) fn take(&mut self, id: EventId, job: JobId, text: &Label, taken: Taken, not_started: bool) {
        self.put(id, job, text, Some(taken), not_started);
    }

    fn put(&mut self, id: EventId, job: JobId, text: &Label, taken: Option<Taken>, not_started: bool) {
        let (text, id) = (text.clone(), StepId(id));
        self.steps.put(id.0, Step { id, job, text, done: None, taken, needed: None, withdrawn: false, not_started });
    }

    /// Takes the steps of a start away, or brings them back.
    pub(super) fn mark_start(&mut self, start: StartId, withdrawn: bool) {
        for step in self.steps.all_mut().filter(|it| it.taken.is_some_and(|taken| taken.start == start)) {
            step.not_started = withdrawn;
        }
    }

    pub(super) fn tick(&mut self, id: StepId, done: Option<Moment>) -> Result<(), EventId> {
        self.steps.known(id.0)?.done = done;
        Ok(())
    }

    pub(super) fn need(&mut self, id: StepId, need: Option<Need>) -> Result<(), EventId> {
        self.steps.known(id.0)?.needed = need;
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
