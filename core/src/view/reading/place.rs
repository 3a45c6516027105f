//! What a reading is taken for: the step that asks for it, the engines that it may be of.

use crate::book::Book;
use crate::id::{EngineId, JobId, StepId};
use crate::reading::Kind;
use crate::view::words::joined;
use crate::view::{boats, engine_card, engines};

/// A reading that a step of a procedure asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AskedReading {
    /// The kind; the one for any other reading where the procedure names none.
    pub kind: Kind,
    /// The job whose step it is.
    pub job: JobId,
    /// What is measured, in the procedure's words.
    pub what: String,
}

/// Returns the reading that a step asks for, of several the one with that place in the list.
pub fn asked_reading(book: &Book, step: StepId, nth: u8) -> Option<AskedReading> {
    let step = book.steps.step(step)?;
    let taken = step.taken?;
    let version = book.procedures.version(book.procedures.start(taken.start)?.version)?;
    let asked = version.reads.steps.iter().find(|it| it.number == taken.number)?;
    let reading = asked.readings.get(usize::from(nth))?;
    Some(AskedReading { kind: reading.kind.unwrap_or(Kind::Free), job: step.job, what: reading.what.to_string() })
}

/// Returns the engines that a reading may be of, each in one line: those of the job's boat, or,
/// on no job, all with their boats.
pub fn engines_to_choose(book: &Book, job: Option<JobId>) -> Vec<(EngineId, String)> {
    if let Some(job) = job.and_then(|job| book.jobs.job(job)) {
        return engines(book, job.boat).into_iter().map(|card| (card.id, card.line)).collect();
    }
    let line = |engine| engine_card(book, engine).map(|card| card.line).unwrap_or_default();
    let of_boat = |boat: crate::view::BoatRow| {
        let engines = book.fleet.engines_of(boat.id);
        engines.map(|it| (it.id, joined(&[boat.name.clone(), line(it.id)], ": "))).collect::<Vec<_>>()
    };
    boats(book).into_iter().flat_map(of_boat).collect()
}

/// Returns the engine that a job's readings are of.
pub fn engine_of_job(book: &Book, job: JobId) -> Option<EngineId> {
    Some(book.engine_of(book.jobs.job(job)?)?.id)
}
