//! Boats and their engines as a screen shows them.

use crate::book::Book;
use crate::event::{BoatFacts, Drive, EngineFacts, Fuel, Reader, Traits};
use crate::id::{BoatId, EngineId, JobId};
use crate::moment::Moment;
use crate::order;
use crate::quantity::EngineHours;

use super::JobRow;
use super::jobs::{job_row, today_by_job};
use super::words::{joined, whereabouts};

/// One row of the list of boats.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoatRow {
    /// The boat.
    pub id: BoatId,
    /// Her name.
    pub name: String,
    /// Owner and berth, as far as known.
    pub whereabouts: String,
}

/// Everything on one boat.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoatCard {
    /// The boat.
    pub id: BoatId,
    /// What is known of her.
    pub facts: BoatFacts,
    /// What her owner reads.
    pub reader: Reader,
    /// Her engines.
    pub engines: Vec<EngineCard>,
    /// Her jobs, latest first.
    pub jobs: Vec<JobRow>,
}

/// One engine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EngineCard {
    /// The engine.
    pub id: EngineId,
    /// What is known of it.
    pub facts: EngineFacts,
    /// Of what make-up it is, as far as somebody said it.
    pub traits: Traits,
    /// What its hour meter showed last.
    pub last_hours: Option<EngineHours>,
    /// The last reading of its hour meter, in words.
    pub hours: Option<String>,
    /// All in one line.
    pub line: String,
}

/// Returns all boats by name.
pub fn boats(book: &Book) -> Vec<BoatRow> {
    let row = |boat: &crate::book::fleet::Boat| BoatRow {
        id: boat.id,
        name: boat.facts.name.to_string(),
        whereabouts: whereabouts(&boat.facts),
    };
    order::by_key(book.fleet.boats().map(row).collect(), |row: &BoatRow| row.name.to_ascii_lowercase())
}

/// Returns everything on one boat.
pub fn boat_card(book: &Book, id: BoatId, now: Moment) -> Option<BoatCard> {
    let boat = book.fleet.boat(id)?;
    let today = today_by_job(book, now);
    let jobs = book.jobs.jobs().rev().filter(|job| job.boat == id);
    Some(BoatCard {
        id,
        facts: boat.facts.clone(),
        reader: boat.reader,
        engines: engines(book, id),
        jobs: jobs.map(|job| job_row(book, job, &today)).collect(),
    })
}

/// Returns the boat that a job is on, and what her owner reads.
pub fn reader_of(book: &Book, job: JobId) -> Option<(BoatId, Reader)> {
    let boat = book.fleet.boat(book.jobs.job(job)?.boat)?;
    Some((boat.id, boat.reader))
}

/// Returns a boat's engines.
pub fn engines(book: &Book, boat: BoatId) -> Vec<EngineCard> {
    book.fleet.engines_of(boat).filter_map(|engine| engine_card(book, engine.id)).collect()
}

/// Returns one engine.
pub fn engine_card(book: &Book, id: EngineId) -> Option<EngineCard> {
    let engine = book.fleet.engine(id)?;
    let facts = &engine.facts;
    let hours = engine.last_hours().map(|hours| format!("{hours} h"));
    let serial = if facts.serial.is_empty() { String::new() } else { format!("no. {}", facts.serial) };
    let parts = [
        facts.place.to_string(),
        facts.model.to_string(),
        serial,
        facts.year.map(|year| year.to_string()).unwrap_or_default(),
        facts.power.map(|power| power.to_string()).unwrap_or_default(),
        engine.traits.drive.map(Drive::words).unwrap_or_default().to_owned(),
        engine.traits.fuel.map(Fuel::words).unwrap_or_default().to_owned(),
        hours.clone().unwrap_or_default(),
    ];
    let line = joined(&parts, ", ");
    let line = if line.is_empty() { "engine".to_owned() } else { line };
    Some(EngineCard {
        id,
        facts: facts.clone(),
        traits: engine.traits.clone(),
        last_hours: engine.last_hours(),
        hours,
        line,
    })
}
