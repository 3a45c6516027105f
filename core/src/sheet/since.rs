//! What a book says of earlier days that a book before it said otherwise: for whoever takes days in.
//!
//! Times are compared by [`super::amended`]. Here is the rest: what was noted on a day (parts,
//! readings, notes, voice notes, photos), told under its day; and what was said of a whole job
//! (who pays for a line, how it is billed, its story, what was agreed), told once, on the last
//! of its days that was known, since it would stand on the sheet of each. Nothing is folded
//! for it and no sheet is made but of what differs, so it costs little beside making the books.
//!
//! Rule: that work went on is no news. A line that was added, a story that is told or goes on
//! and what was agreed since are none; a story that says something else is only where the job
//! was finished. What is told is told of whoever said it, a job by whoever opened it; so of
//! two who work on one job not both tell it.

use std::collections::{BTreeMap, BTreeSet};

use super::agreement::Agreements;
use super::differs::{OnLine, Things, Turn, What, of_things, turned};
use super::readings::{self, ReadingSheet};
use super::{NoteSheet, PhotoSheet, photo, thing, voices};
use crate::book::Book;
use crate::book::evidence::{Note, Photo, Voice};
use crate::book::jobs::{Job, JobLine};
use crate::book::ledger::by_day;
use crate::book::parts::Part;
use crate::book::readings::Reading;
use crate::closing::known_job;
use crate::event::{On, PartFacts, StoryPart};
use crate::id::{DeviceId, EventId, JobId};
use crate::moment::{Day, Moment};
use crate::view::{Place, place};

/// How many differences stand in one line.
const MOST: usize = 4;

/// What is told otherwise of a day and one of its jobs, or of the day as such.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Since {
    /// The day.
    pub day: Day,
    /// Boat and job in words, or the day itself.
    pub place: Place,
    /// What is different.
    pub what: Vec<What>,
}

impl Since {
    /// Returns it in one line.
    pub fn words(&self) -> String {
        let mut words: Vec<String> = self.what.iter().take(MOST).map(What::words).collect();
        let more = self.what.len().saturating_sub(MOST);
        if more > 0 {
            words.push(format!("and {more} more"));
        }
        format!("{}: {}", self.place.words(), words.join("; "))
    }
}

/// A technician's book, and when the last of it was said.
pub type AsOf<'a> = (&'a Book, Moment);

/// Returns what the later of two books of the devices `own` says otherwise of `days`, a day and job each.
pub fn since(before: AsOf<'_>, now: &Book, days: &BTreeSet<Day>, own: &BTreeSet<DeviceId>) -> Vec<Since> {
    let mut found: BTreeMap<(Day, Option<JobId>), Vec<What>> = BTreeMap::new();
    let of_jobs = of_jobs(before.0, now, own);
    // Most runs change no job that was known, and then nobody has to ask when it was worked on.
    let last = if of_jobs.is_empty() { BTreeMap::new() } else { last_days(before, days) };
    for (job, what) in of_jobs {
        if let Some(&day) = last.get(&job) {
            found.insert((day, Some(job)), what);
        }
    }
    let (was, is) = (Noted::on(before.0, days, own), Noted::on(now, days, own));
    let keys: BTreeSet<_> = was.keys().chain(is.keys()).copied().collect();
    let none = Noted::default();
    for key in keys {
        let (was, is) = (was.get(&key).unwrap_or(&none), is.get(&key).unwrap_or(&none));
        if was != is {
            found.entry(key).or_default().extend(of_things(&was.sheets(before.0).things(), &is.sheets(now).things()));
        }
    }
    let told = found.into_iter().filter(|(_, what)| !what.is_empty());
    told.map(|((day, job), what)| Since { day, place: place_of(now, job), what }).collect()
}

fn place_of(book: &Book, job: Option<JobId>) -> Place {
    match job {
        Some(job) => place(book, On::Job(job)),
        None => Place { boat: String::new(), job: "the day".to_owned() },
    }
}

/// Returns each job that had time on one of some days, and on which of them it had time last.
fn last_days((book, at): AsOf<'_>, days: &BTreeSet<Day>) -> BTreeMap<JobId, Day> {
    let mut last = BTreeMap::new();
    for (day, span) in book.ledger.spans(at).into_iter().flat_map(by_day).filter(|(day, _)| days.contains(day)) {
        if let Some(job) = known_job(book, span.on) {
            let known = last.entry(job).or_insert(day);
            *known = day.max(*known);
        }
    }
    last
}

/// Returns what is said otherwise of whole jobs that some devices opened, by job.
fn of_jobs(before: &Book, now: &Book, own: &BTreeSet<DeviceId>) -> BTreeMap<JobId, Vec<What>> {
    let agreed: BTreeSet<EventId> = now.agreements.names().map(|(name, _)| name).collect();
    let fewer = before.agreements.names().filter(|(name, _)| !agreed.contains(name)).map(|(_, job)| job);
    let fewer: BTreeSet<JobId> = fewer.collect();
    let mut found = BTreeMap::new();
    for was in before.jobs.jobs().filter(|job| own.contains(&job.id.0.device)) {
        let mut what = of_lines(before, now, was);
        if fewer.contains(&was.id) {
            let (was, is) = (Agreements::of(before, was.id).words(), Agreements::of(now, was.id).words());
            let gone = turned(&was, &is, |one| one).into_iter().filter(|(turn, _)| *turn == Turn::Gone);
            what.extend(gone.map(|(turn, words)| What::Agreed(turn, words.clone())));
        }
        if !what.is_empty() {
            found.insert(was.id, what);
        }
    }
    found
}

/// Returns what is said otherwise of a job's lines.
fn of_lines(before: &Book, now: &Book, job: &Job) -> Vec<What> {
    let mut found = Vec::new();
    let lines: Vec<&JobLine> = now.jobs.lines_of(job.id).collect();
    let known: Vec<&JobLine> = before.jobs.lines_of(job.id).collect();
    for (nth, line) in known.iter().enumerate() {
        match lines.iter().position(|it| it.id == line.id) {
            Some(at) => {
                let number = (lines.len() > 1).then_some(at + 1);
                let differs = of_line(line, lines[at], job.finished.is_some());
                found.extend(differs.into_iter().map(|what| What::Line { number, what }));
            }
            None => {
                let number = (known.len() > 1).then_some(nth + 1);
                found.push(What::Line { number, what: OnLine::Itself(Turn::Gone, line.pay) });
            }
        }
    }
    found
}

fn of_line(was: &JobLine, is: &JobLine, finished: bool) -> Vec<OnLine> {
    let mut found = Vec::new();
    if was.pay != is.pay {
        found.push(OnLine::Pay { before: was.pay, now: is.pay });
    }
    if was.billing != is.billing {
        found.push(OnLine::Billing { before: was.billing, now: is.billing });
    }
    for part in StoryPart::ALL.into_iter().filter(|_| finished) {
        let (before, now) = (was.story(part), is.story(part));
        if !now.as_str().starts_with(before.as_str()) {
            found.push(OnLine::Story { part, before: before.clone(), now: now.clone() });
        }
    }
    found
}

/// What was noted on a day of one of its jobs, or of the day as such.
#[derive(Default, PartialEq)]
struct Noted<'a> {
    parts: Vec<&'a Part>,
    readings: Vec<&'a Reading>,
    notes: Vec<&'a Note>,
    photos: Vec<&'a Photo>,
    voices: Vec<&'a Voice>,
}

/// What was noted, by day and job.
type ByDay<'a> = BTreeMap<(Day, Option<JobId>), Noted<'a>>;

impl<'a> Noted<'a> {
    /// Returns what some devices noted on some days.
    fn on(book: &'a Book, days: &BTreeSet<Day>, own: &BTreeSet<DeviceId>) -> ByDay<'a> {
        let mut all: ByDay<'a> = BTreeMap::new();
        let mut put = |at: Moment, id: EventId, job: &dyn Fn() -> Option<JobId>, to: &dyn Fn(&mut Self)| {
            if days.contains(&at.day()) && own.contains(&id.device) {
                to(all.entry((at.day(), job())).or_default());
            }
        };
        for it in book.parts.parts() {
            put(it.at, it.id.0, &|| Some(it.job), &|of| of.parts.push(it));
        }
        // One on no job is on no sheet of a day.
        let on_days = book.readings.readings().filter(|it| days.contains(&it.at.day()));
        for it in on_days.filter(|it| book.readings.job_of(it).is_some()) {
            put(it.at, it.id.0, &|| book.readings.job_of(it), &|of| of.readings.push(it));
        }
        for it in book.evidence.notes() {
            put(it.at, it.id.0, &|| book.job_about(it.about), &|of| of.notes.push(it));
        }
        for it in book.evidence.photos() {
            put(it.at, it.id.0, &|| book.job_about(it.about), &|of| of.photos.push(it));
        }
        for it in book.evidence.voices() {
            put(it.at, it.id.0, &|| book.job_about(it.about), &|of| of.voices.push(it));
        }
        all
    }

    fn sheets(&self, book: &Book) -> Sheets {
        let note = |it: &&Note| NoteSheet { at: it.at, about: thing(book, it.about), text: it.text.clone() };
        Sheets {
            parts: self.parts.iter().map(|it| it.facts.clone()).collect(),
            readings: self.readings.iter().map(|it| readings::sheet(book, it)).collect(),
            notes: self.notes.iter().map(note).collect(),
            photos: self.photos.iter().map(|it| photo(book, it)).collect(),
            voices: self.voices.iter().map(|it| voices::sheet(book, it).words()).collect(),
        }
    }
}

/// The same as a sheet tells it.
struct Sheets {
    parts: Vec<PartFacts>,
    readings: Vec<ReadingSheet>,
    notes: Vec<NoteSheet>,
    photos: Vec<PhotoSheet>,
    voices: Vec<String>,
}

impl Sheets {
    fn things(&self) -> Things<'_> {
        let Self { parts, readings, notes, photos, voices } = self;
        Things { parts, readings, notes, photos, voices: voices.clone() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_line_holds_some_and_counts_the_rest() {
        let day = Day::parse("2026-05-04").unwrap();
        let place = Place { boat: "Heron".into(), job: "Impeller".into() };
        let said = |count| {
            let what = (1..=count).map(|count| What::Photos(Turn::Added, count)).collect();
            Since { day, place: place.clone(), what }.words()
        };
        assert_eq!(said(1), "Heron, Impeller: 1 photo added");
        let four = "Heron, Impeller: 1 photo added; 2 photos added; 3 photos added; 4 photos added";
        assert_eq!(said(4), four);
        assert_eq!(said(6), format!("{four}; and 2 more"));
    }
}
