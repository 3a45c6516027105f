//! Which records of other technicians' devices a technician's book is made with.
//!
//! A job that is handed on by its file goes on in another log than that in which it was
//! opened. So whoever has both logs makes each technician's book of that one's own records
//! and, beside them, of what others said of the things that both speak of: jobs, boats with
//! their engines, procedures. Rule: of such a thing everything is taken that its file would
//! carry ([`belongs_to`]), and what that names in its turn; nobody else's clock, mend, name
//! or rule of the shop, and no job that only the others speak of.

use std::collections::{BTreeMap, BTreeSet};

use super::{Log, Record, Sealed, in_order};
use crate::event::Event;
use crate::event::belongs::{also_names, belongs_to};
use crate::id::EventId;
use crate::order;

/// The boat, job or procedure that each record belongs to; a reading may belong to several.
type Things = BTreeMap<EventId, Vec<EventId>>;

/// Returns the records of `own` and, of `others`, those that its book is made with, in the order of the fold.
pub fn with_beside<'a>(own: &'a Log, others: &'a Log) -> Vec<&'a Sealed> {
    let mine = own.in_order();
    if others.is_empty() {
        return mine;
    }
    let theirs = others.in_order();
    let all = in_order(mine.iter().chain(&theirs).copied());
    let things = things(&all);
    let mut of_thing: BTreeMap<EventId, Vec<&'a Sealed>> = BTreeMap::new();
    for sealed in theirs {
        let belongs = things.get(&sealed.record.id).into_iter().flatten();
        belongs.for_each(|thing| of_thing.entry(*thing).or_default().push(sealed));
    }
    let mut wanted: BTreeSet<EventId> = mine.iter().flat_map(|sealed| spoken_of(&sealed.record, &things)).collect();
    let mut taken: BTreeMap<EventId, &Sealed> = BTreeMap::new();
    while let Some(thing) = wanted.pop_first() {
        for sealed in of_thing.remove(&thing).unwrap_or_default() {
            taken.insert(sealed.record.id, sealed);
            wanted.extend(spoken_of(&sealed.record, &things));
        }
    }
    in_order(mine.into_iter().chain(taken.into_values()))
}

fn things(records: &[&Sealed]) -> Things {
    let mut moved: Things = BTreeMap::new();
    for sealed in records {
        if let Event::ReadingAssigned { reading, to } = &sealed.record.event {
            moved.entry(reading.0).or_default().extend(to.job.map(|job| job.0));
        }
    }
    let mut things = Things::new();
    for record in records.iter().map(|sealed| &sealed.record) {
        let mut of: Vec<EventId> = match &record.event {
            Event::BoatAdded(_) | Event::JobOpened { .. } | Event::ProcedureKept { .. } => vec![record.id],
            Event::ProcedureAmended { procedure, .. } => vec![procedure.0],
            event => belongs_to(event).iter().filter_map(|it| things.get(it)).flatten().copied().collect(),
        };
        // Whatever else such a statement names, a clock perhaps, does not go where it says.
        if matches!(record.event, Event::ReadingTaken { .. }) {
            of.extend(moved.remove(&record.id).unwrap_or_default());
        }
        if !of.is_empty() {
            things.insert(record.id, order::each_once(of));
        }
    }
    things
}

/// Returns the things that a record speaks of.
fn spoken_of(record: &Record, things: &Things) -> Vec<EventId> {
    let names = [record.id].into_iter().chain(also_names(&record.event));
    names.filter_map(|name| things.get(&name)).flatten().copied().collect()
}
