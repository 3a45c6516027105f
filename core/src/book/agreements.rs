//! What was agreed with owners: estimates, consents, and what was recommended.
//!
//! Of a job's estimates the last one that was not taken back stands. What holds
//! as agreed is the last estimate to which somebody consented, with what was
//! agreed beyond it; so a new estimate changes nothing until the owner agrees.

use super::named::Named;
use crate::agreement::consent::{Agreed, Consent};
use crate::agreement::estimate::Estimate;
use crate::agreement::overrun::Added;
use crate::event::{Recommendation, Reply};
use crate::id::{ConsentId, EstimateId, EventId, JobId, RecommendationId};
use crate::moment::Moment;

/// All agreements of all jobs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Agreements {
    estimates: Named<Made>,
    consents: Named<Given>,
    recommended: Named<Recommended>,
    replies: Named<Replied>,
}

/// An estimate that was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Made {
    /// Its name in the log.
    pub id: EstimateId,
    /// When it was made.
    pub at: Moment,
    /// For which job.
    pub job: JobId,
    /// What it says.
    pub estimate: Estimate,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

/// A consent that was given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Given {
    /// Its name in the log.
    pub id: ConsentId,
    /// For which job.
    pub job: JobId,
    /// Who agreed to what.
    pub consent: Consent,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

/// Work that was recommended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recommended {
    /// Its name in the log.
    pub id: RecommendationId,
    /// For which job.
    pub job: JobId,
    /// What.
    pub facts: Recommendation,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Replied {
    to: RecommendationId,
    reply: Reply,
    withdrawn: bool,
}

impl Agreements {
    /// Returns an estimate, withdrawn or not.
    pub fn estimate(&self, id: EstimateId) -> Option<&Made> {
        self.estimates.get(id.0)
    }

    /// Returns the estimates that were made and not withdrawn, of all jobs.
    pub fn estimates(&self) -> impl DoubleEndedIterator<Item = &Made> {
        self.estimates.all().filter(|made| !made.withdrawn)
    }

    /// Returns a job's estimates, the first made first.
    pub fn estimates_of(&self, job: JobId) -> impl DoubleEndedIterator<Item = &Made> {
        self.estimates().filter(move |made| made.job == job)
    }

    /// Returns the estimate of a job that stands.
    pub fn current(&self, job: JobId) -> Option<&Made> {
        self.estimates_of(job).next_back()
    }

    /// Returns the estimate of a job that was agreed to last.
    pub fn agreed(&self, job: JobId) -> Option<&Made> {
        self.estimates_of(job)
            .rfind(|made| self.consents_to(made.id).any(|it| it.consent.to == Agreed::Estimate(made.id)))
    }

    /// Returns the consents on a job, in the order in which they were entered.
    pub fn consents_of(&self, job: JobId) -> impl DoubleEndedIterator<Item = &Given> {
        self.consents.all().filter(move |given| given.job == job && !given.withdrawn)
    }

    /// Returns the consents to an estimate and to more than it.
    pub fn consents_to(&self, estimate: EstimateId) -> impl DoubleEndedIterator<Item = &Given> {
        self.consents.all().filter(move |it| it.consent.to.estimate() == Some(estimate) && !it.withdrawn)
    }

    /// Returns what was agreed beyond an estimate.
    pub fn added_to(&self, estimate: EstimateId) -> Added {
        self.consents_to(estimate).fold(Added::default(), |sum, given| match given.consent.to {
            Agreed::More { added, minutes, .. } => {
                Added { amount: sum.amount.plus(added), minutes: sum.minutes.saturating_add(minutes) }
            }
            _ => sum,
        })
    }

    /// Returns a recommendation, withdrawn or not.
    pub fn recommendation(&self, id: RecommendationId) -> Option<&Recommended> {
        self.recommended.get(id.0)
    }

    /// Returns what was recommended on a job.
    pub fn recommended_of(&self, job: JobId) -> impl Iterator<Item = &Recommended> {
        self.recommended.all().filter(move |it| it.job == job && !it.withdrawn)
    }

    /// Returns what the owner said to a recommendation last.
    pub fn reply_to(&self, id: RecommendationId) -> Option<Reply> {
        self.replies.all().rfind(|it| it.to == id && !it.withdrawn).map(|it| it.reply)
    }

    /// Returns the names of all that counts, with their jobs.
    pub(crate) fn names(&self) -> impl Iterator<Item = (EventId, JobId)> {
        let estimates = self.estimates().map(|made| (made.id.0, made.job));
        let consents = self.consents.all().filter(|given| !given.withdrawn).map(|given| (given.id.0, given.job));
        let recommended = self.recommended.all().filter(|it| !it.withdrawn).map(|it| (it.id.0, it.job));
        estimates.chain(consents).chain(recommended)
    }

    pub(super) fn make(&mut self, id: EventId, at: Moment, job: JobId, estimate: &Estimate) -> Result<(), EventId> {
        self.estimates.put(id, Made { id: EstimateId(id), at, job, estimate: estimate.clone(), withdrawn: false });
        Ok(())
    }

    pub(super) fn consent(&mut self, id: EventId, job: JobId, consent: &Consent) -> Result<(), EventId> {
        if let Some(estimate) = consent.to.estimate() {
            self.estimate(estimate).filter(|made| made.job == job).ok_or(estimate.0)?;
        }
        self.consents.put(id, Given { id: ConsentId(id), job, consent: consent.clone(), withdrawn: false });
        Ok(())
    }

    pub(super) fn recommend(&mut self, id: EventId, job: JobId, facts: &Recommendation) -> Result<(), EventId> {
        let facts = facts.clone();
        self.recommended.put(id, Recommended { id: RecommendationId(id), job, facts, withdrawn: false });
        Ok(())
    }

    pub(super) fn reply(&mut self, id: EventId, to: RecommendationId, reply: Reply) -> Result<(), EventId> {
        self.recommended.known(to.0)?;
        self.replies.put(id, Replied { to, reply, withdrawn: false });
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        let estimate = self.estimates.get(id).map(|it| it.withdrawn);
        let consent = || self.consents.get(id).map(|it| it.withdrawn);
        let recommended = || self.recommended.get(id).map(|it| it.withdrawn);
        estimate.or_else(consent).or_else(recommended).or_else(|| self.replies.get(id).map(|it| it.withdrawn))
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        if let Ok(made) = self.estimates.known(id) {
            made.withdrawn = withdrawn;
        } else if let Ok(given) = self.consents.known(id) {
            given.withdrawn = withdrawn;
        } else if let Ok(recommended) = self.recommended.known(id) {
            recommended.withdrawn = withdrawn;
        } else if let Ok(replied) = self.replies.known(id) {
            replied.withdrawn = withdrawn;
        } else {
            return false;
        }
        true
    }
}
