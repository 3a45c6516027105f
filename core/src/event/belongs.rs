//! What an event belongs to, and what else it names.
//!
//! A job's file and a book of several technicians' devices hold a thing with all that was
//! said of it. Rule: an event belongs to the thing that it says something of, a note to what
//! it is about, a withdrawal to what it takes back. The clock, mends, names, the shop's rules
//! and what was handed over belong to whoever said them and to nothing else, so they never
//! leave that technician's own log.

use super::{About, Document, Doing, Event, On, TakenFor};
use crate::id::EventId;

/// Returns what an event belongs to, so that it goes where that goes; nothing for what goes
/// only when it is named itself, or never.
pub fn belongs_to(event: &Event) -> Vec<EventId> {
    match event {
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

/// Returns what an event names beside what it belongs to: what has to be known for it to make sense.
pub fn also_names(event: &Event) -> Vec<EventId> {
    match event {
        Event::ClockSwitched { to } => for_what(*to),
        Event::Mended(mend) => for_what(mend.doing),
        Event::JobOpened { boat, engine, .. } => [boat.0].into_iter().chain(engine.map(|engine| engine.0)).collect(),
        Event::ProcedureStarted { version, .. } => vec![version.0],
        Event::ReadingTaken { taken_for, .. } => taken_for.engine.iter().map(|engine| engine.0).collect(),
        Event::ReadingAssigned { reading, to } => {
            [reading.0].into_iter().chain(to.engine.map(|engine| engine.0)).collect()
        }
        Event::NextVisitMade { visit, job } => vec![visit.0, job.0],
        Event::DocumentMade { what, .. } | Event::HandedOver { what, .. } => match what {
            Document::OwnerSummary { job } => vec![job.0],
            Document::WarrantyPack { line } => vec![line.0],
            _ => Vec::new(),
        },
        _ => Vec::new(),
    }
}

fn for_what(doing: Doing) -> Vec<EventId> {
    match doing {
        Doing::Off | Doing::At { on: On::NoJob, .. } => Vec::new(),
        Doing::At { on: On::Job(job), .. } => vec![job.0],
        Doing::At { on: On::Line(line), .. } => vec![line.0],
    }
}
