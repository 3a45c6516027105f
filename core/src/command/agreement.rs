//! What may be asked for about agreements, and what it comes to.
//!
//! An estimate may be bare and a consent by telephone may lack a number: what a
//! rule asks for is told, not demanded, since the owner's word was given. Refused
//! is only what would say nothing: no line, unless by a rule that lets an owner waive
//! the estimate, no name, a consent to what no longer holds or to more than a waived
//! estimate, or a signature that does not belong to its text.

use super::{Refusal, known, named, sized};
use crate::agreement::consent::{Agreed, Consent};
use crate::agreement::estimate::{Estimate, MOST_LINES};
use crate::book::Book;
use crate::event::{Event, Recommendation, Reply};
use crate::id::{EstimateId, JobId, RecommendationId};
use crate::moment::Moment;

/// Makes an estimate for a job.
pub(super) fn make(book: &Book, job: JobId, mut estimate: Box<Estimate>) -> Result<Event, Refusal> {
    known(book.jobs.job(job), "job")?;
    match estimate.lines.len() {
        0 if !estimate.rules.lets_waive() => return Err(Refusal::Nameless("at least one line")),
        0 if estimate.what_for.is_empty() => return Err(Refusal::Nameless("what is asked for")),
        lines if lines > MOST_LINES => return Err(Refusal::TooManyLines),
        _ => estimate.what_for = sized(estimate.what_for)?,
    }
    Ok(Event::EstimateMade { job, estimate })
}

/// Says that somebody agreed.
pub(super) fn consent(book: &Book, job: JobId, mut consent: Box<Consent>, now: Moment) -> Result<Event, Refusal> {
    known(book.jobs.job(job), "job")?;
    consent.by = named(consent.by, "who agreed")?;
    if consent.at.utc_ms() > now.utc_ms() {
        return Err(Refusal::NotYetSaid);
    }
    match &consent.to {
        Agreed::Estimate(estimate) => {
            if !offered(book, job, *estimate)?.holds_on(consent.at.day()) {
                return Err(Refusal::NoLongerHolds);
            }
        }
        Agreed::More { estimate, what, .. } => {
            if offered(book, job, *estimate)?.is_waiver() {
                return Err(Refusal::Nameless("an estimate first: it was waived"));
            }
            if what.is_empty() {
                return Err(Refusal::Nameless("which parts and which labour are added"));
            }
        }
        Agreed::Work => {}
    }
    if consent.signed.as_ref().is_some_and(|signed| !signed.is_whole()) {
        return Err(Refusal::AnotherText);
    }
    Ok(Event::ConsentGiven { job, consent })
}

fn offered(book: &Book, job: JobId, estimate: EstimateId) -> Result<&Estimate, Refusal> {
    let made = book.agreements.estimate(estimate).filter(|made| made.job == job && !made.withdrawn);
    known(made, "estimate").map(|made| &made.estimate)
}

/// Recommends work.
pub(super) fn recommend(book: &Book, job: JobId, mut what: Box<Recommendation>) -> Result<Event, Refusal> {
    known(book.jobs.job(job), "job")?;
    what.what = named(what.what, "what you recommend")?;
    what.why = sized(what.why)?;
    Ok(Event::Recommended { job, recommendation: what })
}

/// Says what the owner answered.
pub(super) fn answer(book: &Book, recommendation: RecommendationId, reply: Reply) -> Result<Event, Refusal> {
    let of = &book.agreements;
    known(of.recommendation(recommendation).filter(|it| !it.withdrawn), "recommendation")?;
    if of.reply_to(recommendation) == Some(reply) {
        return Err(Refusal::SaidAlready);
    }
    Ok(Event::RecommendationAnswered { recommendation, reply })
}
