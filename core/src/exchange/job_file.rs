//! The job's file: one job as another technician takes it on, with its photos and voice notes.
//!
//! Version 1 is the form of a backup ([`super::backup`]) that holds only what the job needs:
//! the records of the job and of everything on it (lines, off-list, steps, groups, notes,
//! photos, parts, readings), of its boat and her engines, of the procedures it is done by,
//! and every withdrawal of any of these. Any reader of a backup takes it in; records join by
//! union, so what both phones say afterwards stands beside each other, and the file may come
//! back the same way.
//!
//! A visit that is planned on the job goes along; which other job it became does not, since that is not in it.
//!
//! Rule: it holds nobody's clock, no mend, no rule of the shop, no name of a technician, no other job of the boat
//! and no other boat. So the numbers of the device that made it have gaps in it; each record
//! vouches for itself all the same.

use std::collections::BTreeSet;

use crate::event::Event;
use crate::event::belongs::belongs_to;
use crate::id::{EventId, JobId};
use crate::log::Log;

/// Returns the names of the records that a job's file holds; none for a job that was never opened.
pub fn records_of(log: &Log, job: JobId) -> BTreeSet<EventId> {
    let Some(Event::JobOpened { boat, .. }) = log.get(job.0).map(|sealed| &sealed.record.event) else {
        return BTreeSet::new();
    };
    let named = |id: EventId| log.get(id).map(|sealed| &sealed.record.event);
    let mut taken = BTreeSet::from([job.0]);
    if let Some(Event::BoatAdded(_)) = named(boat.0) {
        taken.insert(boat.0);
    }
    let in_order = log.in_order();
    // What the job names although it is said of no job when it is said itself; where it
    // names a thing of another kind, a clock perhaps, that stays.
    for sealed in &in_order {
        match &sealed.record.event {
            Event::ProcedureStarted { job: of, version } if *of == job => match named(version.0) {
                Some(Event::ProcedureKept { .. }) => drop(taken.insert(version.0)),
                Some(Event::ProcedureAmended { procedure, .. }) => {
                    taken.insert(version.0);
                    if let Some(Event::ProcedureKept { .. }) = named(procedure.0) {
                        taken.insert(procedure.0);
                    }
                }
                _ => {}
            },
            Event::ReadingAssigned { reading, to } if to.job == Some(job) => {
                if let Some(Event::ReadingTaken { .. }) = named(reading.0) {
                    taken.insert(reading.0);
                }
            }
            _ => {}
        }
    }
    let mut held = BTreeSet::new();
    for record in in_order.into_iter().map(|sealed| &sealed.record) {
        if taken.contains(&record.id) || belongs_to(&record.event).iter().any(|id| taken.contains(id)) {
            taken.insert(record.id);
            held.insert(record.id);
        }
    }
    held
}
