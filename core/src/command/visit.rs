//! What may be asked for about the next visit, and what it comes to.
//!
//! Refused is what would say nothing: no words, a day that is over, a name that is
//! not there, a visit to another boat. What is planned twice is asked about once.

use super::{Refusal, known, named};
use crate::book::Book;
use crate::event::{Asker, Event, NextVisit, VisitTime};
use crate::id::{JobId, VisitId};
use crate::moment::Moment;

/// Plans a visit to the boat of a job.
pub(super) fn plan(book: &Book, job: JobId, mut visit: Box<NextVisit>, now: Moment) -> Result<Event, Refusal> {
    known(book.jobs.job(job), "job")?;
    visit.what = named(visit.what, "what is planned")?;
    visit.when = match visit.when {
        VisitTime::Day(day) if day < now.day() => return Err(Refusal::VisitIsOver),
        VisitTime::Words(words) if words.is_empty() => VisitTime::Unsaid,
        when => when,
    };
    if let Asker::Other(name) = visit.asked_by {
        visit.asked_by = Asker::Other(named(name, "who asks for the visit")?);
    }
    let mut ahead = book.visits_ahead(job).into_iter();
    if ahead.any(|planned| planned.visit == *visit) {
        return Err(Refusal::SaidAlready);
    }
    Ok(Event::NextVisitPlanned { job, visit })
}

/// Says that a job is a visit that was planned.
pub(super) fn make(book: &Book, visit: VisitId, job: JobId) -> Result<Event, Refusal> {
    let boat = known(book.jobs.job(job), "job")?.boat;
    let planned = known(book.visits.visit(visit).filter(|it| !it.withdrawn), "planned visit")?;
    if book.jobs.job(planned.job).map(|it| it.boat) != Some(boat) {
        return Err(Refusal::AnotherBoat);
    }
    if book.visits.made(visit).is_some() {
        return Err(Refusal::SaidAlready);
    }
    Ok(Event::NextVisitMade { visit, job })
}
