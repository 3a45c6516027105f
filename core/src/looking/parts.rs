//! Parts wanted: what open jobs name as needed and nobody has fitted.
//!
//! The workbook knows no orders and no stock. It knows three things that ask for a part,
//! and says of each which it is: an item that waits for a part; a consumable that has to
//! be new with an item that is still off; a part of the estimate that the owner agreed to,
//! of whose name fewer were used than were estimated. A part that is wanted and that nobody
//! wrote anywhere is not here.

use super::answer::{Answer, Block, Cell};
use super::asked::Asked;
use super::board::choices;
use super::only::Whose;
use super::{Of, days_words};
use crate::agreement::estimate::Cost;
use crate::book::Book;
use crate::book::jobs::Job;
use crate::id::{BoatId, JobId};
use crate::moment::Day;
use crate::order;
use crate::quantity::Count;
use crate::text::Label;
use crate::view::item_name;

/// A part that is wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// What it is.
    pub what: String,
    /// How many.
    pub count: Count,
    /// What asks for it.
    pub by: WantedBy,
    /// Since when.
    pub since: Day,
    /// The job.
    pub job: JobId,
    /// What it is called.
    pub title: Label,
    /// The boat.
    pub boat: BoatId,
    /// Her name.
    pub name: Label,
    /// Whose she is.
    pub customer: Label,
    /// Who has the job.
    pub technician: Label,
}

/// What asks for a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WantedBy {
    /// An item waits for it.
    Waits(String),
    /// It has to be new with an item.
    New(String),
    /// The estimate that was agreed to.
    Estimate,
}

impl WantedBy {
    /// Returns it in words.
    pub fn words(&self) -> String {
        match self {
            Self::Waits(item) => format!("{item} waits for it"),
            Self::New(item) => format!("has to be new with {item}"),
            Self::Estimate => "estimated, agreed and not used".to_owned(),
        }
    }
}

/// What is wanted, how many, by what and since when.
type Named = (String, Count, WantedBy, Day);

/// Returns what a book's open jobs want.
pub fn wanted(of: &Of<'_>) -> Vec<Wanted> {
    let book = of.book;
    let of_job = |job: &Job| -> Vec<Wanted> {
        let boat = book.fleet.boat(job.boat).map(|boat| boat.facts.clone()).unwrap_or_default();
        let wanted = |(what, count, by, since): Named| Wanted {
            what,
            count,
            by,
            since,
            job: job.id,
            title: job.title.clone(),
            boat: job.boat,
            name: boat.name.clone(),
            customer: boat.owner.clone(),
            technician: of.who.clone(),
        };
        items(book, job.id).into_iter().chain(estimated(book, job.id)).map(wanted).collect()
    };
    book.jobs.jobs().filter(|job| of.has(job.id) && job.finished.is_none()).flat_map(of_job).collect()
}

fn items(book: &Book, job: JobId) -> Vec<Named> {
    let mut named = Vec::new();
    for item in book.teardown.still_off(job) {
        let (name, details, since) = (item_name(&item.facts), &item.facts.details, item.off.day());
        if !details.awaits.is_empty() {
            named.push((details.awaits.to_string(), Count(1), WantedBy::Waits(name.to_owned()), since));
        }
        let new = details.renew.all().iter();
        named.extend(new.map(|it| (it.words().to_owned(), item.still_off(), WantedBy::New(name.to_owned()), since)));
    }
    named
}

fn estimated(book: &Book, job: JobId) -> Vec<Named> {
    let Some(made) = book.agreements.agreed(job) else { return Vec::new() };
    let used = |what: &Label| {
        let of_name = book.parts.parts_of(job).filter(|part| part.facts.what == *what);
        of_name.map(|part| part.facts.count.0).fold(0, u32::saturating_add)
    };
    let lines = made.estimate.lines.iter().filter_map(|line| match line.cost {
        Cost::Parts { count } => Some((line.words.to_string(), Count(count.0.saturating_sub(used(&line.words))))),
        _ => None,
    });
    let missing = lines.filter(|(_, count)| *count > Count(0));
    missing.map(|(what, count)| (what, count, WantedBy::Estimate, made.at.day())).collect()
}

/// Returns the list of what is wanted.
pub fn answer(whose: &Whose, mut wanted: Vec<Wanted>, today: Option<Day>) -> Answer {
    let mut blocks = choices(whose, wanted.iter().map(|it| (&it.technician, &it.customer)), Asked::Parts);
    wanted.retain(|it| whose.takes(&it.technician, &it.customer));
    let wanted = order::by_key(wanted, |it| (it.since, it.job));
    let row = |it: &Wanted| {
        vec![
            Cell::words(it.what.clone()),
            Cell::figure(it.count),
            Cell::words(it.by.words()),
            Cell::words(days_words(it.since, today)),
            Cell::words(it.name.or("no name")).to(Asked::Boat(it.boat)),
            Cell::words(it.title.or("no title")).to(Asked::Job(it.job)),
            Cell::words(it.technician.to_string()),
        ]
    };
    let heads = ["Part", "How many", "Why", "Since", "Boat", "Job", "Technician"];
    blocks.extend(Block::table(&heads, wanted.iter().map(row).collect(), "No open job names a part that it wants."));
    let lead = format!(
        "{} wanted by open jobs: what items wait for, what has to be new with what is off, what was estimated and \
         agreed and not used. The workbook knows no orders and no stock.",
        wanted.len()
    );
    Answer { asked: Asked::Parts(whose.clone()), title: "Parts wanted".to_owned(), lead, blocks }
}
