//! The written shapes of readings and of an engine's own limits.
//!
//! | field | written as |
//! |---|---|
//! | `kind`, `input`, `unit`, `choice`, `of` | the slugs of [`crate::reading`] |
//! | `given` | a list: `input`, perhaps `nth` (from 1), then `figure` (text, as typed) and `unit`, or `choice` |
//! | `limits` | a list: `of`, perhaps `low` and `high`, each a `figure` and a `unit` |
//!
//! An input that the kind does not ask for, a unit that it does not take, and a figure
//! that is told otherwise than it would be written are refused here.

use super::label;
use crate::event::{ReadingFacts, TakenFor};
use crate::exchange::json::{Fields, Json, Wrong};
use crate::id::{EngineId, EventId, JobId, ReadingId, StepId};
use crate::reading::Kind;
use crate::reading::figure::Entered;
use crate::reading::form::{Choice, Given, Name, Value, takes};
use crate::reading::limits::{Limit, Limits};
use crate::reading::unit::Unit;
use crate::text::Prose;

pub(super) fn reading(text: &str) -> Option<ReadingId> {
    EventId::parse(text).map(ReadingId)
}

/// Writes what a reading was taken for; nothing where it was for nothing yet.
pub(super) fn taken_for_form<'a>(form: Fields<'a>, taken_for: TakenFor) -> Fields<'a> {
    let form = form.put_known("job", taken_for.job.map(|job| job.to_string()));
    let form = form.put_known("engine", taken_for.engine.map(|engine| engine.to_string()));
    form.put_known("step", taken_for.step.map(|step| step.to_string()))
}

pub(super) fn taken_for(of: &mut Fields<'_>) -> Result<TakenFor, Wrong> {
    Ok(TakenFor {
        job: super::known(of, "job", |text| EventId::parse(text).map(JobId))?,
        engine: super::known(of, "engine", |text| EventId::parse(text).map(EngineId))?,
        step: super::known(of, "step", |text| EventId::parse(text).map(StepId))?,
    })
}

/// Writes what is known of a reading.
pub(in crate::exchange) fn reading_form(facts: &ReadingFacts) -> Fields<'_> {
    let given: Vec<Json<'_>> = facts.given.iter().map(|given| given_form(given).into()).collect();
    let form = Fields::default().put("kind", facts.kind.slug()).put("what", facts.what.as_str());
    let form = form.put("given", given).put("instrument", facts.instrument.as_str());
    form.put("note", facts.note.as_str())
}

pub(super) fn reading_facts(of: &mut Fields<'_>) -> Result<ReadingFacts, Wrong> {
    let kind = of.parsed("kind", Kind::parse)?;
    let mut all = Vec::new();
    for form in of.list("given")? {
        all.push(form.fields("given")?.whole(given).and_then(|given| asked_for(kind, given))?);
    }
    Ok(ReadingFacts {
        kind,
        what: of.parsed("what", label)?,
        given: all,
        instrument: of.parsed("instrument", label)?,
        note: of.parsed("note", |text| Some(Prose::new(text)))?,
    })
}

/// Writes an answer.
fn given_form(given: &Given) -> Fields<'static> {
    let form = Fields::default().put("input", given.name.slug());
    let form = form.put_known("nth", (given.nth > 0).then_some(u16::from(given.nth)));
    match given.value {
        Value::Figure(entered) => entered_fields(form, entered),
        Value::Choice(choice) => form.put("choice", choice.slug()),
    }
}

fn given(of: &mut Fields<'_>) -> Result<Given, Wrong> {
    let name = of.parsed("input", Name::parse)?;
    let nth = match of.known("nth")? {
        Some(Json::Number(nth @ 1..=255)) => nth as u8,
        Some(_) => return Err(Wrong::Unfit("nth")),
        None => 0,
    };
    let value = match super::known(of, "choice", Choice::parse)? {
        Some(choice) => Value::Choice(choice),
        None => Value::Figure(entered(of)?),
    };
    Ok(Given { name, nth, value })
}

fn asked_for(kind: Kind, given: Given) -> Result<Given, Wrong> {
    let is_asked_for = kind.input(given.name).is_some_and(|input| takes(input, given.value));
    if is_asked_for { Ok(given) } else { Err(Wrong::Unfit("given")) }
}

fn entered_fields(form: Fields<'static>, entered: Entered) -> Fields<'static> {
    form.put("figure", entered.figure.to_string()).put("unit", entered.unit.slug())
}

fn entered(of: &mut Fields<'_>) -> Result<Entered, Wrong> {
    let figure = of.text("figure")?;
    let entered = Entered::parse(&figure, of.parsed("unit", Unit::parse)?).ok();
    entered.filter(|it| it.figure.to_string() == figure).ok_or(Wrong::Unfit("figure"))
}

/// Writes an engine's own limits.
pub(super) fn limits_form(limits: &Limits) -> Vec<Json<'static>> {
    let end = |entered| entered_fields(Fields::default(), entered);
    let limit = |limit: &Limit| {
        let form = Fields::default().put("of", limit.of.slug());
        form.put_known("low", limit.low.map(end)).put_known("high", limit.high.map(end)).into()
    };
    limits.each.iter().map(limit).collect()
}

pub(super) fn limits(kind: Kind, of: &mut Fields<'_>) -> Result<Limits, Wrong> {
    let mut each = Vec::new();
    for form in of.list("limits")? {
        each.push(form.fields("limits")?.whole(limit)?);
    }
    let is_measured = |limit: &Limit| {
        let units = kind.measured().iter().find(|it| it.name == limit.of).map(|it| it.units).unwrap_or_default();
        [limit.low, limit.high].into_iter().flatten().all(|end| units.contains(&end.unit))
    };
    if !each.iter().all(is_measured) {
        return Err(Wrong::Unfit("limits"));
    }
    Ok(Limits { each, source: of.parsed("source", label)? })
}

fn limit(of: &mut Fields<'_>) -> Result<Limit, Wrong> {
    let name = of.parsed("of", Name::parse)?;
    let mut end = |name| of.known(name)?.map(|form| form.fields(name)?.whole(entered)).transpose();
    Ok(Limit { of: name, low: end("low")?, high: end("high")? })
}
