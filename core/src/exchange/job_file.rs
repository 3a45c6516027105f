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

use crate::event::{About, Event, TakenFor};
use crate::id::{EventId, JobId};
use crate::log::{Log, Record};

/// Returns the names of the records that a job's file holds; none for a job that was never opened.
pub fn records_of(log: &Log, job: JobId) -> BTreeSet<EventId> {
    let Some(Event::JobOpened { boat, .. }) = log.get(job.0).map(|sealed| &sealed.record.event) else {
        return BTreeSet::new();
    };
    let mut taken = BTreeSet::from([boat.0, job.0]);
    let in_order = log.in_order();
    // What the job names although it is said of no job when it is said itself.
    for sealed in &in_order {
        match &sealed.record.event {
            Event::ProcedureStarted { job: of, version } if *of == job => {
                taken.insert(version.0);
                if let Some(Event::ProcedureAmended { procedure, .. }) = log.get(version.0).map(|it| &it.record.event) {
                    taken.insert(procedure.0);
                }
            }
            Event::ReadingAssigned { reading, to } if to.job == Some(job) => {
                taken.insert(reading.0);
            }
            _ => {}
        }
    }
    let mut held = BTreeSet::new();
    for record in in_order.into_iter().map(|sealed| &sealed.record) {
        if taken.contains(&record.id) || speaks_of(record).iter().any(|id| taken.contains(id)) {
            taken.insert(record.id);
            held.insert(record.id);
        }
    }
    held
}

/// Returns what a record belongs to, so that it goes where that goes; nothing for what goes
/// only when it is named itself, or never.
fn speaks_of(record: &Record) -> Vec<EventId> {
    match &record.event {
        Event::TechnicianNamed { .. }
        | Event::BoatAdded(_)
        | Event::JobOpened { .. }
        | Event::ClockSwitched { .. }
        | Event::HandedOver { .. }
        | Event::DocumentMade { .. }
        | Event::NextVisitMade { .. }
        | Event::Mended(_)
        | Event::ShopRulesSet(_)
        | Event::ProcedureKept { .. }
        | Event::ProcedureAmended { .. } => Vec::new(),
        Event::BoatAmended { boat, .. } | Event::EngineAdded { boat, .. } | Event::OwnerReads { boat, .. } => {
            vec![boat.0]
        }
        Event::EngineAmended { engine, .. }
        | Event::EngineHoursRead { engine, .. }
        | Event::EngineDescribed { engine, .. }
        | Event::LimitsSet { engine, .. } => vec![engine.0],
        Event::JobRetitled { job, .. }
        | Event::JobFinished { job }
        | Event::JobReopened { job }
        | Event::LineAdded { job, .. }
        | Event::CameOff { job, .. }
        | Event::StepAdded { job, .. }
        | Event::PartUsed { job, .. }
        | Event::JobTagged { job, .. }
        | Event::GroupAdded { job, .. }
        | Event::ProcedureStarted { job, .. }
        | Event::Forgotten { job, .. }
        | Event::EstimateMade { job, .. }
        | Event::ConsentGiven { job, .. }
        | Event::Recommended { job, .. }
        | Event::NextVisitPlanned { job, .. } => vec![job.0],
        Event::RecommendationAnswered { recommendation, .. } => vec![recommendation.0],
        Event::PayTypeSet { line, .. }
        | Event::StoryTold { line, .. }
        | Event::LineBilled { line, .. }
        | Event::PartFailed { line, .. } => vec![line.0],
        Event::FailedPartAmended { failed, .. } => vec![failed.0],
        Event::ReadingStaged { reading, .. } => vec![reading.0],
        Event::ItemAmended { item, .. }
        | Event::BackOn { item, .. }
        | Event::DoneInstead { item, .. }
        | Event::MadeSure { item, .. } => vec![item.0],
        Event::Tied(tie) => vec![tie.item.0],
        Event::Freed(two) => vec![two.0.0],
        Event::StepTicked { step, .. } | Event::StepNeeded { step, .. } => vec![step.0],
        Event::StepTaken { start, .. } => vec![start.0],
        Event::NoteWritten { about, .. } | Event::PhotoTaken { about, .. } | Event::VoiceNoted { about, .. } => {
            subject(*about)
        }
        Event::PhotoCaptioned { photo, .. } | Event::PhotoMarked { photo, .. } | Event::PhotoShows { photo, .. } => {
            vec![photo.0]
        }
        Event::PhotosPaired { before, .. } => vec![before.0],
        Event::GroupAmended { group, .. }
        | Event::WrenchTaken { group, .. }
        | Event::FastenerTightened { group, .. } => vec![group.0],
        Event::ReadingAssigned { to: TakenFor { job: Some(job), .. }, .. } => vec![job.0],
        Event::ReadingAssigned { reading, to: TakenFor { engine: None, .. } } => vec![reading.0],
        Event::ReadingAssigned { .. } => Vec::new(),
        Event::ReadingTaken { taken_for, .. } => taken_for.job.iter().map(|job| job.0).collect(),
        Event::Withdrawn { event } => vec![*event],
    }
}

fn subject(about: About) -> Vec<EventId> {
    match about {
        About::Day => Vec::new(),
        About::Job(job) => vec![job.0],
        About::Item(item) => vec![item.0],
        About::Step(step) => vec![step.0],
        About::Reading(reading) => vec![reading.0],
        About::Group(group) => vec![group.0],
    }
}
