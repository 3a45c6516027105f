//! Words and times that several screens share.

use crate::book::Book;
use crate::event::{About, BoatFacts, On};
use crate::id::{BoatId, JobId};
use crate::moment::{Day, MONTHS, Moment};

use super::{item_name, running};

/// Where work is done, in words.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Place {
    /// The boat's name; empty without a job.
    pub boat: String,
    /// What the job is, or "no job".
    pub job: String,
}

impl Place {
    /// Returns both, the boat first.
    pub(crate) fn words(&self) -> String {
        if self.boat.is_empty() { self.job.clone() } else { [self.boat.as_str(), ", ", &self.job].concat() }
    }
}

/// Returns what the page's title says: the boat, or the activity, that runs.
pub fn title(book: &Book) -> String {
    match running(book) {
        Some(running) if !running.place.boat.is_empty() => format!("{} · Quaywright", running.place.boat),
        Some(running) => format!("{} · Quaywright", running.activity.words()),
        None => "Quaywright".to_owned(),
    }
}

/// Returns what a note's form is called: what it will be about.
pub fn note_title(book: &Book, job: Option<JobId>) -> String {
    match job.filter(|&job| book.jobs.job(job).is_some()) {
        Some(job) => {
            let place = place(book, On::Job(job));
            format!("Note on {}: {}", place.boat, place.job)
        }
        None => "Note on the day".to_owned(),
    }
}

/// Returns a time of day, `08:05`.
pub fn hour_minute(at: Moment) -> String {
    let (hour, minute) = at.time_of_day();
    format!("{hour:02}:{minute:02}")
}

/// Returns a day in words, `Monday 4 May`, with the year unless it is that of `today`.
pub fn day_words(day: Day, today: Day) -> String {
    const WEEKDAYS: [&str; 7] = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];
    let (year, month, date) = day.parts();
    let month = MONTHS[(month as usize + 11) % 12];
    let words = format!("{} {date} {month}", WEEKDAYS[day.weekday() % 7]);
    if year == today.parts().0 { words } else { format!("{words} {year}") }
}

/// Returns a moment in words: the time, with the day unless it was `today`.
pub fn when(at: Moment, today: Day) -> String {
    if at.day() == today { hour_minute(at) } else { format!("{}, {}", day_words(at.day(), today), hour_minute(at)) }
}

/// Returns where an activity belongs, in words.
pub fn place(book: &Book, on: On) -> Place {
    let job = book.job_of(on).and_then(|job| book.jobs.job(job));
    let Some(job) = job else { return Place { boat: String::new(), job: "no job".to_owned() } };
    Place { boat: boat_name(book, job.boat), job: job.title.to_string() }
}

/// Returns what a photo is about, in words that follow "a photo of"; nothing
/// where it is not in the book.
pub fn subject(book: &Book, about: About) -> Option<String> {
    let words = about_words(book, about);
    let boat = book.job_about(about).map(|job| place(book, On::Job(job)).boat);
    match (words, boat) {
        (Some(words), Some(boat)) => Some(format!("{words} on {boat}")),
        (Some(words), None) => Some(words),
        _ => (about == About::Day).then(|| "the day".to_owned()),
    }
}

pub(super) fn boat_name(book: &Book, boat: BoatId) -> String {
    book.fleet.boat(boat).map(|boat| boat.facts.name.to_string()).unwrap_or_default()
}

pub(super) fn whereabouts(facts: &BoatFacts) -> String {
    joined(&[facts.owner.to_string(), facts.berth.to_string()], ", ")
}

pub(super) fn joined(parts: &[String], with: &str) -> String {
    let told: Vec<&str> = parts.iter().map(String::as_str).filter(|part| !part.is_empty()).collect();
    told.join(with)
}

pub(super) fn about_words(book: &Book, about: About) -> Option<String> {
    match about {
        About::Day => None,
        About::Job(job) => book.jobs.job(job).map(|job| job.title.to_string()),
        About::Item(item) => book.teardown.item(item).map(|item| item_name(&item.facts).to_owned()),
        About::Step(step) => book.steps.step(step).map(|step| step.text.to_string()),
        About::Reading(reading) => book.readings.reading(reading).map(super::reading_title),
        About::Group(group) => book.tightening.group(group).map(|group| group.facts.what.to_string()),
    }
}
