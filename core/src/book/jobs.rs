//! Jobs and their lines: who pays for what, and the story of each line.

use super::named::Named;
use crate::event::{Billing, PayType, StoryPart, Tags};
use crate::id::{BoatId, EngineId, EventId, JobId, LineId};
use crate::moment::Moment;
use crate::text::{Label, Prose};

/// All jobs and lines.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Jobs {
    jobs: Named<Job>,
    lines: Named<JobLine>,
}

/// Work on a boat.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Job {
    /// Its name in the log.
    pub id: JobId,
    /// The boat.
    pub boat: BoatId,
    /// The engine, when it is on one.
    pub engine: Option<EngineId>,
    /// What it is called.
    pub title: Label,
    /// When it was opened.
    pub opened: Moment,
    /// When it was finished, unless it is open.
    pub finished: Option<Moment>,
    /// Its lines in the order in which they were added.
    pub lines: Vec<LineId>,
    /// Words under which it is found again.
    pub tags: Tags,
}

/// One complaint of a job with its own pay type.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobLine {
    /// Its name in the log.
    pub id: LineId,
    /// The job.
    pub job: JobId,
    /// Who pays.
    pub pay: PayType,
    /// How it is billed.
    pub billing: Billing,
    /// What the customer says is wrong.
    pub complaint: Prose,
    /// What was found.
    pub cause: Prose,
    /// What was done.
    pub correction: Prose,
    /// Whether it was withdrawn; what was done for it stays on the job.
    pub withdrawn: bool,
}

impl JobLine {
    /// Returns a part of the story.
    pub fn story(&self, part: StoryPart) -> &Prose {
        match part {
            StoryPart::Complaint => &self.complaint,
            StoryPart::Cause => &self.cause,
            StoryPart::Correction => &self.correction,
        }
    }
}

impl Jobs {
    /// Returns a job.
    pub fn job(&self, id: JobId) -> Option<&Job> {
        self.jobs.get(id.0)
    }

    /// Returns all jobs in the order in which they were opened.
    pub fn jobs(&self) -> impl DoubleEndedIterator<Item = &Job> {
        self.jobs.all()
    }

    /// Returns a line.
    pub fn line(&self, id: LineId) -> Option<&JobLine> {
        self.lines.get(id.0)
    }

    /// Returns a job's lines, without those that were withdrawn.
    pub fn lines_of(&self, job: JobId) -> impl Iterator<Item = &JobLine> {
        let ids = self.jobs.get(job.0).map(|job| job.lines.as_slice()).unwrap_or_default();
        ids.iter().filter_map(|id| self.lines.get(id.0)).filter(|line| !line.withdrawn)
    }

    pub(super) fn open(
        &mut self,
        id: EventId,
        opened: Moment,
        boat: BoatId,
        engine: Option<EngineId>,
        title: &Label,
    ) -> Result<(), EventId> {
        let (title, lines, tags) = (title.clone(), Vec::new(), Tags::default());
        self.jobs.put(id, Job { id: JobId(id), boat, engine, title, opened, finished: None, lines, tags });
        Ok(())
    }

    pub(super) fn retitle(&mut self, id: JobId, title: &Label) -> Result<(), EventId> {
        self.jobs.known(id.0)?.title = title.clone();
        Ok(())
    }

    pub(super) fn finish(&mut self, id: JobId, finished: Option<Moment>) -> Result<(), EventId> {
        self.jobs.known(id.0)?.finished = finished;
        Ok(())
    }

    pub(super) fn add_line(&mut self, id: EventId, job: JobId, pay: PayType, complaint: &Prose) -> Result<(), EventId> {
        self.jobs.known(job.0)?.lines.push(LineId(id));
        let (complaint, cause, correction) = (complaint.clone(), Prose::default(), Prose::default());
        let (id, billing) = (LineId(id), Billing::ByClock);
        self.lines.put(id.0, JobLine { id, job, pay, billing, complaint, cause, correction, withdrawn: false });
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        self.lines.get(id).map(|line| line.withdrawn)
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        let Ok(line) = self.lines.known(id) else { return false };
        line.withdrawn = withdrawn;
        true
    }

    pub(super) fn set_pay(&mut self, id: LineId, pay: PayType) -> Result<(), EventId> {
        self.lines.known(id.0)?.pay = pay;
        Ok(())
    }

    pub(super) fn bill(&mut self, id: LineId, billing: Billing) -> Result<(), EventId> {
        self.lines.known(id.0)?.billing = billing;
        Ok(())
    }

    pub(super) fn tag(&mut self, id: JobId, tags: &Tags) -> Result<(), EventId> {
        self.jobs.known(id.0)?.tags = tags.clone();
        Ok(())
    }

    pub(super) fn tell(&mut self, id: LineId, part: StoryPart, text: &Prose) -> Result<(), EventId> {
        let line = self.lines.known(id.0)?;
        let story = match part {
            StoryPart::Complaint => &mut line.complaint,
            StoryPart::Cause => &mut line.cause,
            StoryPart::Correction => &mut line.correction,
        };
        *story = text.clone();
        Ok(())
    }
}
