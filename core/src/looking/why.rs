//! Where something comes from: from a billed line to its time, to what was said, to photos.
//!
//! A line of a bill is time on a line of a job, by activity or all of it, or a part
//! ([`Item`]). Its time is the same spans that the bill adds up ([`mod@crate::billing::work`]);
//! each span names the tap or the mend that says what was done, that began it and that
//! ended it. So whatever is asked ends at what a person said, when, on which device and
//! under which number, and a mend says what it changed. What is not of one line (the least
//! charge, the minimum, supplies) comes from all time that the same bill holds; travel to
//! a zone from the travel on it.
//!
//! Photos are those of the job, those first that were taken within that time.

use super::asked::Why;
use super::{Of, names};
use crate::billing::bill::Item;
use crate::book::Book;
use crate::book::evidence::Photo;
use crate::book::ledger::{Span, Tap};
use crate::book::parts::Part;
use crate::event::{Activity, Billing, Doing, On, PartFacts, PayType};
use crate::id::{BoatId, EventId, JobId, PartId};
use crate::moment::{Length, Moment};
use crate::order;
use crate::sheet::trail::mend_sheet;
use crate::sheet::{PhotoSheet, photo};
use crate::text::Label;
use crate::view::{hour_minute, place};

/// Where something comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trace {
    /// The job; none for what is on none.
    pub job: Option<TracedJob>,
    /// Who has the job and who else worked on it.
    pub technicians: Vec<Label>,
    /// What it is, in words.
    pub what: String,
    /// Its time, earliest first.
    pub spans: Vec<TracedSpan>,
    /// What was said, in the order in which it was.
    pub said: Vec<Said>,
    /// Photos of the job: those within the time first, each half in their order.
    pub photos: Vec<Proof>,
}

/// The job that a trace is on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TracedJob {
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
}

/// A stretch of time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TracedSpan {
    /// The stretch.
    pub span: Span,
    /// What it is for, in words.
    pub on: String,
    /// Which line of a bill it counts for, if it counts for one.
    pub billed: Option<Why>,
}

/// Something that was said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// Its name in the log: device and number.
    pub event: EventId,
    /// When, by the phone's clock.
    pub at: Moment,
    /// What.
    pub words: String,
}

/// A photo of the job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proof {
    /// When it was taken, or added where that is not known.
    pub at: Moment,
    /// Whether that is within the time.
    pub within: bool,
    /// The photo.
    pub photo: PhotoSheet,
}

impl Trace {
    /// Puts to it what the book of somebody else tells of the same.
    pub fn join(&mut self, other: Trace) {
        let by = names(&other.technicians);
        let spans = other.spans.into_iter().map(|it| TracedSpan { on: format!("{}, by {by}", it.on), ..it });
        self.spans = order::by_key(std::mem::take(&mut self.spans).into_iter().chain(spans).collect(), |it| {
            (it.span.from, it.span.said_by)
        });
        let known = |said: &Said, all: &[Said]| all.iter().any(|it| it.event == said.event);
        let more: Vec<Said> = other.said.into_iter().filter(|said| !known(said, &self.said)).collect();
        self.said = order::by_key([std::mem::take(&mut self.said), more].concat(), |it| (it.at, it.event));
        for proof in other.photos {
            match self.photos.iter_mut().find(|it| it.photo == proof.photo) {
                Some(own) => own.within |= proof.within,
                None => self.photos.push(proof),
            }
        }
        self.technicians.extend(other.technicians);
    }

    /// Returns how long it is by the clock.
    pub fn clock(&self) -> Length {
        self.spans.iter().map(|traced| traced.span.length()).sum()
    }
}

/// Returns where something comes from; nothing where the book does not hold it.
pub fn trace(of: &Of<'_>, why: &Why) -> Option<Trace> {
    match why {
        Why::Billed { job, pay, item } => billed(of, *job, *pay, item),
        Why::Said(event) => said_only(of, *event),
    }
}

fn billed(of: &Of<'_>, job: JobId, pay: PayType, item: &Item) -> Option<Trace> {
    let book = of.book;
    book.jobs.job(job)?;
    let is_of = |span: &Span| is_of(book, span, job, pay, item);
    let spans: Vec<Span> = book.ledger.spans(of.now).into_iter().filter(is_of).collect();
    let mut said: Vec<EventId> = spans.iter().flat_map(events).collect();
    if let Item::Part(part) = item {
        said.push(book.parts.part(*part).filter(|it| it.job == job)?.id.0);
    }
    let what = format!("{}, {}", item_words(book, item), pay.words());
    Some(Trace { what, ..told(of, Some(job), spans, said) })
}

fn said_only(of: &Of<'_>, event: EventId) -> Option<Trace> {
    let words = said(of.book, event)?.words;
    let counts = |span: &Span| events(span).any(|it| it == event);
    let spans: Vec<Span> = of.book.ledger.spans(of.now).into_iter().filter(counts).collect();
    let part = of.book.parts.part(PartId(event));
    let said_by = spans.iter().find(|span| span.said_by == event).and_then(|span| of.book.job_of(span.on));
    let job = part.map(|part| part.job).or(said_by);
    Some(Trace { what: words, ..told(of, job, spans, vec![event]) })
}

fn told(of: &Of<'_>, job: Option<JobId>, spans: Vec<Span>, events: Vec<EventId>) -> Trace {
    let book = of.book;
    let mut said: Vec<Said> = order::each_once(events).into_iter().filter_map(|it| said(book, it)).collect();
    said = order::by_key(said, |it| (it.at, it.event));
    Trace {
        job: job.and_then(|job| traced_job(book, job)),
        technicians: vec![of.who.clone()],
        what: String::new(),
        photos: job.map(|job| proofs(book, job, &spans)).unwrap_or_default(),
        spans: spans.into_iter().map(|span| traced(book, span)).collect(),
        said,
    }
}

/// Tells whether a bill's line holds a stretch of time.
fn is_of(book: &Book, span: &Span, job: JobId, pay: PayType, item: &Item) -> bool {
    if span.activity.is_pause() || book.job_of(span.on) != Some(job) {
        return false;
    }
    let Some(line) = book.line_of(span.on).filter(|line| line.pay == pay) else { return false };
    match item {
        Item::Time(of, activity) => line.id == *of && span.activity == *activity,
        Item::Flat(of) | Item::NoCharge(of) => line.id == *of,
        Item::Zone(_) => span.activity == Activity::Travel && line.billing == Billing::ByClock,
        Item::Part(_) => false,
        Item::Least | Item::Minimum | Item::Supplies => true,
    }
}

fn events(span: &Span) -> impl Iterator<Item = EventId> {
    [Some(span.said_by), Some(span.begun_by), span.ended_by].into_iter().flatten()
}

fn traced(book: &Book, span: Span) -> TracedSpan {
    let billed = || {
        let line = book.line_of(span.on).filter(|_| !span.activity.is_pause())?;
        let item = match line.billing {
            Billing::ByClock => Item::Time(line.id, span.activity),
            Billing::Flat { .. } => Item::Flat(line.id),
            Billing::NoCharge => Item::NoCharge(line.id),
        };
        Some(Why::Billed { job: line.job, pay: line.pay, item })
    };
    TracedSpan { span, on: on_words(book, span.on), billed: billed() }
}

/// Returns a job with its boat.
pub(super) fn traced_job(book: &Book, job: JobId) -> Option<TracedJob> {
    let job = book.jobs.job(job)?;
    let boat = book.fleet.boat(job.boat)?;
    let (name, customer) = (boat.facts.name.clone(), boat.facts.owner.clone());
    Some(TracedJob { job: job.id, title: job.title.clone(), boat: boat.id, name, customer })
}

/// Returns what time is for, in words: boat, job, and the line where there are several.
fn on_words(book: &Book, on: On) -> String {
    let place = place(book, on);
    let job = book.job_of(on);
    let lines = || (1..).zip(job.into_iter().flat_map(|job| book.jobs.lines_of(job)));
    let named = lines().find(|(_, line)| on == On::Line(line.id)).filter(|_| lines().nth(1).is_some());
    let line = named.map(|(number, _)| format!(", line {number}")).unwrap_or_default();
    if place.boat.is_empty() { place.job } else { format!("{}, {}{line}", place.boat, place.job) }
}

/// Returns what a bill's line is for, in words.
pub(super) fn item_words(book: &Book, item: &Item) -> String {
    let complaint = |line| {
        let line = book.jobs.line(line);
        let text = line.and_then(|line| line.complaint.as_str().lines().next()).unwrap_or_default();
        if text.is_empty() { String::new() } else { format!(": {text}") }
    };
    match item {
        Item::Time(line, activity) => format!("{}{}", activity.words(), complaint(*line)),
        Item::Flat(line) => format!("flat{}", complaint(*line)),
        Item::NoCharge(line) => format!("no charge{}", complaint(*line)),
        Item::Zone(zone) => format!("travel to {zone}"),
        Item::Part(part) => {
            book.parts.part(*part).map_or_else(|| "part".to_owned(), |part| part.facts.what.to_string())
        }
        Item::Least => "least charge of a job".to_owned(),
        Item::Minimum => "minimum charge".to_owned(),
        Item::Supplies => "shop supplies".to_owned(),
    }
}

/// Returns what an event says, when it is a tap, a mend, a part, a note, a photo, or opened a job.
fn said(book: &Book, event: EventId) -> Option<Said> {
    let tap = || book.ledger.taps().iter().find(|tap| tap.id == event).map(|tap| (tap.said, tap_words(book, tap)));
    let mend = || mend_sheet(book, event).map(|mend| (mend.said, format!("put right: {}", mend.words())));
    let part = || book.parts.part(PartId(event)).map(|part| (part.at, part_said(part)));
    let note = || {
        let note = book.evidence.notes().find(|note| note.id.0 == event)?;
        Some((note.at, format!("note: {}", note.text)))
    };
    let shot = || {
        let shot = book.evidence.photos().find(|photo| photo.id.0 == event)?;
        Some((shot.at, format!("photo: {}", photo(book, shot).caption)))
    };
    let job = || book.jobs.job(JobId(event)).map(|job| (job.opened, format!("job opened: {}", job.title)));
    let (at, words) = tap().or_else(mend).or_else(part).or_else(note).or_else(shot).or_else(job)?;
    Some(Said { event, at, words })
}

fn tap_words(book: &Book, tap: &Tap) -> String {
    let mut words = match tap.to {
        Doing::Off => "clock: off".to_owned(),
        Doing::At { activity, on: On::NoJob } => format!("clock: {}", activity.words()),
        Doing::At { activity, on } => format!("clock: {} on {}", activity.words(), on_words(book, on)),
    };
    if tap.at != tap.said {
        words.push_str(&format!("; the phone's clock was behind, so it counts from {}", hour_minute(tap.at)));
    }
    if let Some(at) = book.taken_back(tap.id).filter(|_| tap.withdrawn) {
        words.push_str(&format!("; taken back {} {}", at.day(), hour_minute(at)));
    }
    words
}

/// Returns a part used in words: how many of what, and its number.
pub(super) fn part_words(part: &PartFacts) -> String {
    let number = if part.number.is_empty() { String::new() } else { format!(", {}", part.number) };
    format!("{} of {}{number}", part.count, part.what)
}

fn part_said(part: &Part) -> String {
    let taken_back = if part.withdrawn { "; taken back" } else { "" };
    format!("part used: {}{taken_back}", part_words(&part.facts))
}

fn proofs(book: &Book, job: JobId, spans: &[Span]) -> Vec<Proof> {
    let taken = |photo: &Photo| photo.facts.taken.unwrap_or(photo.at);
    let is_within =
        |at: Moment| spans.iter().any(|span| (span.from.utc_ms()..=span.to.utc_ms()).contains(&at.utc_ms()));
    let of_job = book.evidence.photos().filter(|photo| book.job_about(photo.about) == Some(job));
    let proof = |shot: &Photo| Proof { at: taken(shot), within: is_within(taken(shot)), photo: photo(book, shot) };
    order::by_key(of_job.map(proof).collect(), |proof: &Proof| (!proof.within, proof.at))
}
