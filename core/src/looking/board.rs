//! The board: every open job, who has it, how it stands and what it waits for.
//!
//! Rule: a job is open until somebody says that it is finished. What is off is counted
//! in single things and told by side; whether the engine may run is the run gate's own
//! sentence; parts that are waited for are those that an item names. What is still to be
//! asked is what a claim lacks, what does not add up or is not sure, and what was agreed
//! with the owner where the work comes near it or is past it. The job worked on last
//! stands first; one that nobody worked on yet stands by the day on which it was opened.

use std::collections::BTreeMap;

use super::answer::{Answer, Block, Cell, Choice};
use super::asked::Asked;
use super::only::Whose;
use super::{Of, days_words, names};
use crate::agreement::overrun::Standing;
use crate::book::Book;
use crate::book::jobs::Job;
use crate::book::ledger::{Span, by_day};
use crate::closing::{Missing, not_right_of};
use crate::event::Activity;
use crate::id::{BoatId, JobId};
use crate::moment::{Day, Length};
use crate::order;
use crate::text::Label;
use crate::view::{claim_lacks, item_name, overrun_card, run_gate};

/// A job that is open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenJob {
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
    /// Where she lies.
    pub berth: Label,
    /// Who has it, and then who else worked on it.
    pub technicians: Vec<Label>,
    /// Whether the book that tells it is that of who has it.
    pub is_own: bool,
    /// Since when.
    pub opened: Day,
    /// The last day with time on it.
    pub worked: Option<Day>,
    /// The clock's time on it.
    pub clock: Length,
    /// What the clock does on it, where it still runs.
    pub running: Option<Activity>,
    /// How many single things are off, by side; a side that nobody wrote is empty.
    pub off: Vec<(Label, u32)>,
    /// What is missing before the engine may run, in a sentence; nothing where nothing is.
    pub gate: Option<String>,
    /// Parts that items wait for, with the item.
    pub awaits: Vec<String>,
    /// What is to be asked, in sentences.
    pub open: Vec<String>,
}

impl OpenJob {
    /// Returns how many single things are off.
    pub fn off_in_all(&self) -> u32 {
        self.off.iter().map(|(_, count)| *count).fold(0, u32::saturating_add)
    }

    /// Returns what is off in words: `5: port 3, starboard 2`.
    pub fn off_words(&self) -> String {
        match (self.off_in_all(), self.off.as_slice()) {
            (0, _) => "nothing".to_owned(),
            (all, [(side, _)]) if side.is_empty() => all.to_string(),
            (all, sides) => {
                let side = |(side, count): &(Label, u32)| format!("{} {count}", side.or("no side named"));
                format!("{all}: {}", sides.iter().map(side).collect::<Vec<_>>().join(", "))
            }
        }
    }
}

/// Returns the open jobs of a book.
pub fn open_jobs(of: &Of<'_>) -> Vec<OpenJob> {
    let book = of.book;
    let times = times(book, book.ledger.spans(of.now));
    let running = book.ledger.running().and_then(|span| Some((book.job_of(span.on)?, span.activity)));
    let open = |job: &Job| {
        let boat = book.fleet.boat(job.boat).map(|boat| boat.facts.clone()).unwrap_or_default();
        let (worked, clock) = times.get(&job.id).map_or((None, Length::ZERO), |&(day, clock)| (Some(day), clock));
        OpenJob {
            job: job.id,
            title: job.title.clone(),
            boat: job.boat,
            name: boat.name,
            customer: boat.owner,
            berth: boat.berth,
            technicians: vec![of.who.clone()],
            is_own: of.has(job.id),
            opened: job.opened.day(),
            worked,
            clock,
            running: running.filter(|(on, _)| *on == job.id).map(|(_, activity)| activity),
            off: off(book, job.id),
            gate: Some(run_gate(book, job.id)).filter(|gate| gate.shut).and_then(|gate| gate.words),
            awaits: awaits(book, job.id),
            open: to_ask(of, job.id),
        }
    };
    book.jobs.jobs().filter(|job| job.finished.is_none()).map(open).collect()
}

/// Puts to each job what the books of others tell of their work on it.
fn together(jobs: Vec<OpenJob>) -> Vec<OpenJob> {
    let (mut own, others): (Vec<OpenJob>, Vec<OpenJob>) = jobs.into_iter().partition(|job| job.is_own);
    let places: BTreeMap<JobId, usize> = own.iter().zip(0..).map(|(job, place)| (job.job, place)).collect();
    for other in others {
        let Some(job) = places.get(&other.job).and_then(|&place| own.get_mut(place)) else { continue };
        job.technicians.extend(other.technicians);
        job.worked = job.worked.max(other.worked);
        job.clock = job.clock + other.clock;
        job.running = job.running.or(other.running);
    }
    own
}

/// Returns the last day with work on each job, and how long it is in all.
fn times(book: &Book, spans: Vec<Span>) -> BTreeMap<JobId, (Day, Length)> {
    let mut times: BTreeMap<JobId, (Day, Length)> = BTreeMap::new();
    for span in spans.into_iter().filter(|span| !span.activity.is_pause()) {
        let Some(job) = book.job_of(span.on) else { continue };
        let (length, last) = (span.length(), by_day(span).last().map(|(day, _)| *day));
        let known = times.entry(job).or_insert((span.from.day(), Length::ZERO));
        *known = (last.unwrap_or(known.0).max(known.0), known.1 + length);
    }
    times
}

fn off(book: &Book, job: JobId) -> Vec<(Label, u32)> {
    let mut sides: BTreeMap<Label, u32> = BTreeMap::new();
    for item in book.teardown.still_off(job) {
        let count = sides.entry(item.facts.side.clone()).or_default();
        *count = count.saturating_add(item.still_off().0);
    }
    sides.into_iter().collect()
}

fn awaits(book: &Book, job: JobId) -> Vec<String> {
    let waiting = book.teardown.still_off(job).filter(|item| !item.facts.details.awaits.is_empty());
    waiting.map(|item| format!("{} for {}", item.facts.details.awaits, item_name(&item.facts))).collect()
}

fn to_ask(of: &Of<'_>, job: JobId) -> Vec<String> {
    let told = not_right_of(of.book, job).into_iter().filter(|missing| !matches!(missing, Missing::StillOff { .. }));
    let mut open: Vec<String> = told.map(|missing| without_place(&missing.to_string())).collect();
    open.extend(claim_lacks(of.book, job, of.now));
    let near = overrun_card(of.book, job, of.now).filter(|card| card.standing >= Standing::Near);
    open.extend(near.into_iter().flat_map(|card| card.words));
    open
}

/// Returns a sentence without the boat and job that it begins with: they stand beside it.
fn without_place(sentence: &str) -> String {
    let rest = sentence.split_once(": ").map_or(sentence, |(_, rest)| rest);
    let mut letters = rest.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// Returns the board.
pub fn answer(whose: &Whose, jobs: Vec<OpenJob>, today: Option<Day>) -> Answer {
    let mut jobs = together(jobs);
    let known = jobs.iter().flat_map(|job| job.technicians.iter().map(|technician| (technician, &job.customer)));
    let choices = choices(whose, known, Asked::Board);
    jobs.retain(|job| whose.takes_any(&job.technicians, &job.customer));
    let jobs = order::last_first(jobs, |job| (job.worked.unwrap_or(job.opened), job.opened, job.job));
    let waiting = jobs.iter().filter(|job| !job.awaits.is_empty()).count();
    let apart = jobs.iter().filter(|job| job.off_in_all() > 0).count();
    let row = |job: &OpenJob| {
        let since = |day: Day| days_words(day, today);
        let worked = job.worked.map_or_else(|| "not yet".to_owned(), since);
        let running = job.running.map(|activity| format!("\n{} runs", activity.words())).unwrap_or_default();
        vec![
            Cell::words(job.name.or("no name")).to(Asked::Boat(job.boat)),
            Cell::words(job.title.or("no title")).to(Asked::Job(job.job)),
            Cell::words(job.customer.to_string()),
            Cell::words(names(&job.technicians)),
            Cell::words(since(job.opened)),
            Cell::words(format!("{worked}{running}")),
            Cell::figure(job.clock.clock_face()),
            Cell::words([Some(job.off_words()), job.gate.clone()].into_iter().flatten().collect::<Vec<_>>().join("\n")),
            Cell::lines(&job.awaits),
            Cell::lines(&job.open),
        ]
    };
    let heads =
        ["Boat", "Job", "Owner", "Who has it", "Opened", "Worked on", "Clock", "Off", "Waits for", "To be asked"];
    let mut blocks = choices;
    blocks.extend(Block::table(&heads, jobs.iter().map(row).collect(), "No job is open."));
    Answer {
        asked: Asked::Board(whose.clone()),
        title: "Open jobs".to_owned(),
        lead: format!(
            "{} open; something is off on {apart} of them; {waiting} {} for a part.",
            jobs.len(),
            if waiting == 1 { "waits" } else { "wait" }
        ),
        blocks,
    }
}

/// Returns what a question may be narrowed to, by who did it and for whom.
pub(super) fn choices<'a>(
    whose: &Whose,
    known: impl Iterator<Item = (&'a Label, &'a Label)>,
    asked: impl Fn(Whose) -> Asked,
) -> Vec<Block> {
    let (technicians, customers): (Vec<_>, Vec<_>) = known.map(|(one, other)| (one.clone(), other.clone())).unzip();
    let by_technician = |name| asked(whose.of_technician(name));
    let by_customer = |name| asked(whose.of_customer(name));
    let technicians = choice("Technician", technicians, &whose.technician, by_technician);
    technicians.into_iter().chain(choice("Owner", customers, &whose.customer, by_customer)).collect()
}

/// The most names that are offered to choose from; beyond that, the rows' own links narrow.
const MOST_CHOICES: usize = 60;

/// Returns a row of choices, `all` before them; nothing where there is nothing to choose.
fn choice(
    what: &'static str,
    names: Vec<Label>,
    chosen: &Option<Label>,
    asked: impl Fn(Option<Label>) -> Asked,
) -> Option<Block> {
    let mut names = order::by_key(names, Label::clone);
    names.dedup();
    if names.len() < 2 && chosen.is_none() {
        return None;
    }
    names.truncate(MOST_CHOICES);
    let all = Choice { words: "all".to_owned(), asked: asked(None), chosen: chosen.is_none() };
    let one = |name: Label| Choice {
        words: name.or("not written").to_owned(),
        chosen: chosen.as_ref() == Some(&name),
        asked: asked(Some(name)),
    };
    Some(Block::Choices { what, choices: [all].into_iter().chain(names.into_iter().map(one)).collect() })
}
