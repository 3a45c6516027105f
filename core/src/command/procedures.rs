//! What is asked for of procedures.
//!
//! A start puts one step of the checklist for each step that fits the engine, all
//! in one action with it. A procedure that comes with a key which the book knows,
//! from a file or from the ready-made ones, is its next version and not a second
//! one of the same.

use super::{Refusal, known, named};
use crate::book::{Book, drafted};
use crate::event::{Event, Procedure};
use crate::id::{EventId, JobId, ProcedureId, StartId, StepId, VersionId};
use crate::procedure::sound::sound;
use crate::procedure::variant::variant;
use crate::text::Label;

/// Keeps a procedure, or the next version of the one with its key.
pub(super) fn keep(book: &Book, procedure: Procedure) -> Result<Event, Refusal> {
    match book.procedures.by_key(&procedure.key).map(|it| it.id) {
        Some(known) => amend(book, known, procedure),
        None => {
            sound(&procedure)?;
            Ok(Event::ProcedureKept { procedure, from: None })
        }
    }
}

/// Lets a procedure read otherwise; its key stays.
pub(super) fn amend(book: &Book, procedure: ProcedureId, mut to: Procedure) -> Result<Event, Refusal> {
    let now = &known(book.procedures.current(procedure), "procedure")?.reads;
    to.key = now.key.clone();
    sound(&to)?;
    if to == *now { Err(Refusal::ReadsSo) } else { Ok(Event::ProcedureAmended { procedure, to }) }
}

/// Makes a procedure of a job.
pub(super) fn keep_as(book: &Book, job: JobId) -> Result<Event, Refusal> {
    let procedure = drafted::drafted(book, known(book.jobs.job(job), "job")?);
    if procedure.steps.is_empty() {
        return Err(Refusal::NothingToLearn);
    }
    sound(&procedure)?;
    Ok(Event::ProcedureKept { procedure, from: Some(job) })
}

/// Puts into a procedure what a job has shown beyond it.
pub(super) fn learn(book: &Book, job: JobId, procedure: ProcedureId) -> Result<Event, Refusal> {
    let job = known(book.jobs.job(job), "job")?;
    let now = &known(book.procedures.current(procedure), "procedure")?.reads;
    amend(book, procedure, drafted::improved(book, job, now))
}

/// Starts a version of a procedure on a job, with the steps that fit its engine.
pub(super) fn start(book: &Book, job: JobId, version: VersionId, next: EventId) -> Result<Vec<Event>, Refusal> {
    let of = known(book.jobs.job(job), "job")?;
    let known_version = known(book.procedures.version(version).filter(|it| !it.withdrawn), "procedure")?;
    if book.procedures.starts_of(job).any(|it| book.procedures.procedure_of(it) == Some(known_version.procedure)) {
        return Err(Refusal::AlreadyStarted);
    }
    let variant = variant(&known_version.reads, &book.profile_of(of));
    if variant.kept.is_empty() {
        return Err(Refusal::NoStepFits);
    }
    let taken = variant.kept.into_iter().map(|it| Event::StepTaken {
        start: StartId(next),
        number: it.step.number,
        text: it.step.text.clone(),
    });
    Ok([Event::ProcedureStarted { job, version }].into_iter().chain(taken).collect())
}

/// Says that something was forgotten, with a step or in words.
pub(super) fn forget(book: &Book, job: JobId, step: Option<StepId>, what: Label) -> Result<Event, Refusal> {
    known(book.jobs.job(job), "job")?;
    if let Some(step) = step {
        known(book.steps.step(step).filter(|it| it.job == job), "step")?;
        return Ok(Event::Forgotten { job, step: Some(step), what });
    }
    Ok(Event::Forgotten { job, step, what: named(what, "what was forgotten")? })
}
