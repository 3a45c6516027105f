//! What may be asked for about readings, and what it comes to.

use super::{Refusal, known, named, sized};
use crate::book::Book;
use crate::event::{Event, ReadingFacts, TakenFor};
use crate::id::{EngineId, JobId, ReadingId};
use crate::quantity::EngineHours;
use crate::reading::Kind;
use crate::reading::form::{Answers, Name, Need};
use crate::reading::limits::Limits;
use crate::reading::unit::Unit;

/// Takes a reading; one of an engine's hour meter is told to the engine too, unless the meter ran back.
pub(super) fn take(book: &Book, taken_for: TakenFor, reading: Box<ReadingFacts>) -> Result<Vec<Event>, Refusal> {
    let job = taken_for.job.map(|job| known(book.jobs.job(job), "job")).transpose()?;
    let engine = taken_for.engine.map(|engine| known(book.fleet.engine(engine), "engine")).transpose()?;
    if let Some(step) = taken_for.step {
        known(book.steps.step(step).filter(|step| Some(step.job) == taken_for.job), "step")?;
    }
    let reading = answered(reading)?;
    let engine = engine.or_else(|| book.engine_of(job?));
    let hours = engine.and_then(|engine| Some((engine, hours(&reading)?)));
    let hours = hours.filter(|(engine, hours)| engine.last_hours().is_none_or(|last| last <= *hours));
    let hours = hours.map(|(engine, hours)| Event::EngineHoursRead { engine: engine.id, hours });
    Ok([Event::ReadingTaken { taken_for, reading }].into_iter().chain(hours).collect())
}

/// Puts a reading on a job and an engine, or on none. An engine of another boat than the job's
/// is not taken along, and a step only where the job stays the same.
pub(super) fn put(
    book: &Book,
    reading: ReadingId,
    job: Option<JobId>,
    engine: Option<EngineId>,
) -> Result<Event, Refusal> {
    let now = known(book.readings.reading(reading).filter(|reading| !reading.withdrawn), "reading")?;
    let boat = job.map(|job| known(book.jobs.job(job), "job")).transpose()?.map(|job| job.boat);
    let of = engine.map(|engine| known(book.fleet.engine(engine), "engine")).transpose()?;
    let engine = of.filter(|engine| boat.is_none_or(|boat| boat == engine.boat)).map(|engine| engine.id);
    let before = book.readings.is_for(now);
    let step = before.step.filter(|_| before.job == job);
    Ok(Event::ReadingAssigned { reading, to: TakenFor { job, engine, step } })
}

/// Lets pass a reading with every answer that it needs.
fn answered(mut reading: Box<ReadingFacts>) -> Result<Box<ReadingFacts>, Refusal> {
    for input in reading.kind.inputs() {
        let is_given = reading.given.iter().any(|given| given.name == input.name);
        if !is_given && input.need != Need::May {
            return Err(Refusal::Nameless(input.words));
        }
    }
    if matches!(reading.kind, Kind::Free | Kind::Temperature) {
        reading.what = named(reading.what, "what was measured")?;
    }
    reading.note = sized(reading.note)?;
    Ok(reading)
}

/// Returns what an hour meter showed.
fn hours(reading: &ReadingFacts) -> Option<EngineHours> {
    let amount = Answers(&reading.given).amount(Name::Hours).filter(|_| reading.kind == Kind::EngineHours)?;
    Some(EngineHours { tenths: u32::try_from(Unit::Hour.scaled(amount, 1)).ok()? })
}

/// Sets an engine's own limits, with where they are from; none at all take them away.
pub(super) fn set_limits(book: &Book, engine: EngineId, kind: Kind, mut limits: Box<Limits>) -> Result<Event, Refusal> {
    known(book.fleet.engine(engine), "engine")?;
    limits.each.retain(|limit| limit.low.is_some() || limit.high.is_some());
    for limit in &limits.each {
        if let (Some(low), Some(high)) = (limit.low, limit.high)
            && low.amount() > high.amount()
        {
            return Err(Refusal::Swapped);
        }
    }
    if !limits.each.is_empty() {
        limits.source = named(limits.source, "which manual and page the limits are from")?;
    }
    Ok(Event::LimitsSet { engine, kind, limits })
}
