//! Closing a day: what is missing, and what tomorrow starts from.
//!
//! Nothing here stops anybody: a day may be handed over with all of it open.
//! It is said while the technician still remembers, in sentences short enough
//! for a wet pontoon, and each names the thing to tap.
//!
//! Rule: what is missing concerns the jobs that the day touched; what tomorrow
//! starts from concerns every open job that was touched lately or has
//! something off, however old.

pub mod claim;
pub mod forgotten;
mod loose;
mod not_right;
pub mod phones;

use std::fmt;

use not_right::not_right;
pub use not_right::not_right_of;

use crate::book::Book;
use crate::book::jobs::{Job, JobLine};
use crate::book::ledger::{Span, by_activity, by_day};
use crate::book::named::Named;
use crate::book::teardown::Item;
use crate::event::{Activity, On, StoryPart};
use crate::id::{EventId, ItemId, JobId, LineId};
use crate::moment::{Day, Length, Moment};
use crate::order;
use crate::quantity::Count;
use crate::text::{Label, Prose};
use crate::view::{hour_minute, how_it_stands, item_name, place};

use claim::Lack;

/// What a day still needs, and what the next one starts from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Closing {
    /// The day.
    pub day: Day,
    /// What is missing, the clock first, then job by job.
    pub missing: Vec<Missing>,
    /// What tomorrow starts from, the job touched last first.
    pub carry_over: Vec<CarryOver>,
}

/// Something that a day still needs; its `Display` is the sentence to show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Missing {
    /// The clock was not stopped.
    ClockRunning {
        /// What it says.
        activity: Activity,
        /// Boat and job, or "no job".
        at: String,
        /// Local time since when, with the day if that is an earlier one.
        since: String,
    },
    /// Nobody is named, so the office cannot tell whose day it is.
    Nameless,
    /// The phone's clock was set back between two taps.
    ClockSetBack {
        /// The later tap.
        tap: EventId,
        /// What the phone said at that tap.
        said: Moment,
        /// How far that is behind the tap before it.
        by: Length,
    },
    /// A line's story is not told to its end.
    Story {
        /// The job.
        job: JobId,
        /// Boat and job.
        at: String,
        /// The line.
        line: LineId,
        /// Which line, when the job has several: its number.
        number: Option<usize>,
        /// What is not written.
        parts: Vec<StoryPart>,
    },
    /// Time is on a job of several lines, and on none of them.
    NoLineNamed {
        /// The job.
        job: JobId,
        /// Boat and job.
        at: String,
        /// How much.
        length: Length,
        /// How many lines there are to choose from.
        lines: usize,
    },
    /// Something is still off.
    StillOff {
        /// The job.
        job: JobId,
        /// Boat and job.
        at: String,
        /// Whether the job is called finished all the same.
        finished: bool,
        /// What is off.
        items: Vec<OffItem>,
    },
    /// More of something is accounted for than came off.
    TooMany {
        /// The job.
        job: JobId,
        /// Boat and job.
        at: String,
        /// Each thing with what does not add up.
        items: Vec<String>,
    },
    /// What is on has not been made sure of.
    NotSure {
        /// The job.
        job: JobId,
        /// Boat and job.
        at: String,
        /// What, and what is to be made sure of.
        items: Vec<String>,
    },
    /// A job is called finished with steps not done.
    StepsOpen {
        /// The job.
        job: JobId,
        /// Boat and job.
        at: String,
        /// The steps.
        steps: Vec<String>,
    },
    /// A group of fasteners is not tightened to its end.
    Loose {
        /// The job.
        job: JobId,
        /// Boat and job.
        at: String,
        /// Whether the job is called finished all the same.
        finished: bool,
        /// Each group with what is open of it.
        groups: Vec<String>,
    },
    /// A claim for warranty lacks something beside its story.
    Claim {
        /// The job.
        job: JobId,
        /// Boat and job.
        at: String,
        /// The line.
        line: LineId,
        /// Which line, when the job has several: its number.
        number: Option<usize>,
        /// What it lacks.
        lacks: Vec<Lack>,
    },
    /// Time is on no job.
    TimeOnNoJob {
        /// How much, pauses left out.
        length: Length,
        /// By activity.
        by_activity: Vec<(Activity, Length)>,
    },
}

impl Missing {
    /// Returns the job where it can be put right.
    pub fn job(&self) -> Option<JobId> {
        match self {
            Self::Story { job, .. }
            | Self::NoLineNamed { job, .. }
            | Self::StillOff { job, .. }
            | Self::TooMany { job, .. }
            | Self::NotSure { job, .. }
            | Self::StepsOpen { job, .. }
            | Self::Loose { job, .. }
            | Self::Claim { job, .. } => Some(*job),
            Self::ClockRunning { .. } | Self::Nameless | Self::ClockSetBack { .. } | Self::TimeOnNoJob { .. } => None,
        }
    }
}

impl fmt::Display for Missing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::ClockRunning { activity, at, since } => {
                write!(f, "The clock still runs: {} on {at}, since {since}.", activity.words())
            }
            Self::Nameless => f.write_str("Your name is not written: the office cannot tell whose day this is."),
            Self::ClockSetBack { said, by, .. } => {
                let (said, by) = (hour_minute(*said), by.clock_face());
                write!(f, "At {said} the phone's clock was {by} behind the tap before it. Check the times around it.")
            }
            Self::Story { at, number, parts, .. } => {
                f.write_str(at)?;
                if let Some(number) = number {
                    write!(f, ", line {number}")?;
                }
                let words: Vec<String> = parts.iter().map(|part| format!("no {}", part.words())).collect();
                write!(f, ": {} yet.", listed(&words))
            }
            Self::NoLineNamed { at, length, lines, .. } => {
                write!(f, "{at}: {} is on none of its {lines} lines.", length.clock_face())
            }
            Self::StillOff { at, finished, items, .. } => {
                let off = items.iter().map(|item| item.off.0).fold(0, u32::saturating_add);
                let are = if off == 1 { "1 thing is" } else { &format!("{off} things are") };
                let words = few(items.iter().map(|item| item.what.as_str()));
                let finished = if *finished { "finished, but " } else { "" };
                write!(f, "{at}: {finished}{are} still off ({words}).")
            }
            Self::TooMany { at, items, .. } => {
                write!(f, "{at}: the counts do not add up ({}).", few(items.iter().map(String::as_str)))
            }
            Self::NotSure { at, items, .. } => {
                write!(f, "{at}: nobody has made sure of {}.", items.join(", "))
            }
            Self::StepsOpen { at, steps, .. } => {
                let are = if steps.len() == 1 { "1 step is" } else { &format!("{} steps are", steps.len()) };
                write!(f, "{at}: finished, but {are} not done ({}).", few(steps.iter().map(String::as_str)))
            }
            Self::Loose { at, finished, groups, .. } => {
                let finished = if *finished { "finished, but " } else { "" };
                write!(f, "{at}: {finished}not all is tight ({}).", few(groups.iter().map(String::as_str)))
            }
            Self::Claim { at, number, lacks, .. } => {
                f.write_str(at)?;
                if let Some(number) = number {
                    write!(f, ", line {number}")?;
                }
                let words: Vec<String> = lacks.iter().map(Lack::to_string).collect();
                write!(f, ": the warranty pack is not whole: {}.", words.join(", "))
            }
            Self::TimeOnNoJob { length, by_activity } => {
                let told: Vec<String> = by_activity
                    .iter()
                    .map(|(activity, l)| format!("{} {}", activity.words(), l.clock_face()))
                    .collect();
                write!(f, "{} is on no job: {}.", length.clock_face(), told.join(", "))
            }
        }
    }
}

/// What tomorrow starts from on one job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CarryOver {
    /// The job.
    pub job: JobId,
    /// The boat's name.
    pub boat: String,
    /// Where she lies.
    pub berth: String,
    /// What the job is.
    pub title: String,
    /// What is off, and where it lies.
    pub off: Vec<OffItem>,
    /// What is next, what is wrong, what waits for parts and whether it may be run, in sentences.
    pub stands: Vec<String>,
    /// The steps not done, in their order.
    pub next_steps: Vec<String>,
    /// What is not tight yet, in words.
    pub tightening: Vec<String>,
    /// The note written last on the job or on anything of it.
    pub last_note: Option<String>,
}

/// Something that is not all back on; its `Display` is one line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OffItem {
    /// The item.
    pub item: ItemId,
    /// What it is.
    pub what: Label,
    /// Which size.
    pub size: Label,
    /// On which side.
    pub side: Label,
    /// Where it lies.
    pub stowed: Label,
    /// How many are off.
    pub off: Count,
    /// How many came off.
    pub of: Count,
}

impl OffItem {
    pub(crate) fn of(item: &Item) -> Self {
        let facts = &item.facts;
        Self {
            item: item.id,
            what: Label::new(item_name(facts)),
            size: facts.size.clone(),
            side: facts.side.clone(),
            stowed: facts.stowed.clone(),
            off: item.still_off(),
            of: facts.count,
        }
    }

    /// Returns how many are off, in words: "off", "4 off", "3 of 12 off".
    pub fn how_many(&self) -> String {
        match (self.off, self.of) {
            (Count(1), Count(1)) => "off".to_owned(),
            (off, of) if off == of => format!("{off} off"),
            (off, of) => format!("{off} of {of} off"),
        }
    }
}

impl fmt::Display for OffItem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.what.as_str())?;
        for more in [&self.size, &self.side] {
            if !more.is_empty() {
                write!(f, ", {more}")?;
            }
        }
        write!(f, ": {}", self.how_many())?;
        if self.stowed.is_empty() { Ok(()) } else { write!(f, ", lies: {}", self.stowed) }
    }
}

/// How long an open job without anything off is carried over after it was last touched.
const LATELY_DAYS: i64 = 14;

/// Returns what `day` still needs and what the next one starts from.
pub fn closing(book: &Book, day: Day, now: Moment) -> Closing {
    Closing { day, missing: missing(book, day, now), carry_over: carry_over(book, day, now) }
}

fn missing(book: &Book, day: Day, now: Moment) -> Vec<Missing> {
    let spans = book.ledger.spans_of(day, now);
    let mut missing = Vec::new();
    missing.extend(clock_running(book, day));
    missing.extend((book.technician.name.is_empty() && !spans.is_empty()).then_some(Missing::Nameless));
    missing.extend(set_backs(book, day));
    for job in jobs_of_day(book, day, now).into_iter().filter_map(|job| book.jobs.job(job)) {
        let unnamed = no_line_named(book, job, &spans);
        let finished_today = job.finished.is_some_and(|at| at.day() == day);
        let is_told = |line: &JobLine| {
            let worked_on = || spans.iter().any(|span| book.line_of(span.on).is_some_and(|of| of.id == line.id));
            finished_today || unnamed.is_some() || worked_on()
        };
        missing.extend(stories(book, job, is_told));
        missing.extend(claim::missing(book, job, now, is_told));
        missing.extend(unnamed);
        missing.extend(not_right(book, job));
    }
    missing.extend(time_on_no_job(book, &spans));
    missing
}

fn clock_running(book: &Book, day: Day) -> Option<Missing> {
    let span = book.ledger.running().filter(|span| span.from.day() <= day)?;
    let place = place(book, span.on);
    let at = if place.boat.is_empty() { place.job } else { format!("{}, {}", place.boat, place.job) };
    let (began, since) = (span.from.day(), hour_minute(span.from));
    let since = if began == day { since } else { format!("{began}, {since}") };
    Some(Missing::ClockRunning { activity: span.activity, at, since })
}

fn set_backs(book: &Book, day: Day) -> impl Iterator<Item = Missing> {
    let of_day = book.ledger.taps().iter().filter(move |tap| tap.at.day() == day || tap.said.day() == day);
    let of_day: Vec<EventId> = of_day.map(|tap| tap.id).collect();
    let backs = book.ledger.set_backs().filter(move |back| of_day.contains(&back.tap));
    backs.map(|back| Missing::ClockSetBack { tap: back.tap, said: back.said, by: back.by })
}

fn stories(book: &Book, job: &Job, is_told: impl Fn(&JobLine) -> bool) -> Vec<Missing> {
    let only_line = book.jobs.lines_of(job.id).count() == 1;
    let mut missing = Vec::new();
    for (number, line) in (1..).zip(book.jobs.lines_of(job.id)) {
        let parts = blanks(line);
        if is_told(line) && !parts.is_empty() {
            let number = (!only_line).then_some(number);
            missing.push(Missing::Story { job: job.id, at: named(book, job), line: line.id, number, parts });
        }
    }
    missing
}

fn blanks(line: &JobLine) -> Vec<StoryPart> {
    StoryPart::ALL.into_iter().filter(|&part| line.story(part).is_empty()).collect()
}

fn no_line_named(book: &Book, job: &Job, spans: &[Span]) -> Option<Missing> {
    let lines = book.jobs.lines_of(job.id).count();
    let on_job = spans.iter().filter(|span| book.job_of(span.on) == Some(job.id) && !span.activity.is_pause());
    let unnamed = on_job.filter(|span| book.line_of(span.on).is_none());
    let length: Length = unnamed.map(Span::length).sum();
    (lines > 1 && length > Length::ZERO).then(|| Missing::NoLineNamed {
        job: job.id,
        at: named(book, job),
        length,
        lines,
    })
}

fn time_on_no_job(book: &Book, spans: &[Span]) -> Option<Missing> {
    let on_no_job = spans.iter().filter(|span| !span.activity.is_pause() && known_job(book, span.on).is_none());
    let by_activity = by_activity(on_no_job);
    let length: Length = by_activity.iter().map(|&(_, length)| length).sum();
    (length > Length::ZERO).then_some(Missing::TimeOnNoJob { length, by_activity })
}

/// Returns what the next day starts from, the job touched last first.
pub fn carry_over(book: &Book, day: Day, now: Moment) -> Vec<CarryOver> {
    let since = day.plus(-LATELY_DAYS).unwrap_or(day);
    let mut last: Named<Option<Day>> = Named::default();
    touches(book, since, now, &mut |job, day| {
        let known = last.of(job.0);
        *known = (*known).max(Some(day));
    });
    let open: Vec<(Option<Day>, &Job)> = book
        .jobs
        .jobs()
        .filter(|job| job.finished.is_none())
        .map(|job| (last.get(job.id.0).copied().flatten().filter(|&day| day >= since), job))
        .filter(|&(lately, job)| {
            let off = || book.teardown.still_off(job.id).next().is_some();
            lately.is_some() || off() || loose::is_half_tight(book, job.id)
        })
        .collect();
    let open = order::last_first(open, |&(lately, job)| (lately, job.opened, job.id));
    let notes = last_notes(book);
    let mut steps: Named<Vec<String>> = Named::default();
    for step in book.steps.steps().filter(|step| step.done.is_none()) {
        steps.of(step.job.0).push(step.text.to_string());
    }
    let carried = |job: &Job| {
        let note = notes.get(job.id.0).map(|&(_, text)| text);
        carried(book, job, std::mem::take(steps.of(job.id.0)), note)
    };
    open.into_iter().map(|(_, job)| job).map(carried).collect()
}

fn carried(book: &Book, job: &Job, next_steps: Vec<String>, note: Option<&Prose>) -> CarryOver {
    let boat = book.fleet.boat(job.boat).map(|boat| &boat.facts);
    CarryOver {
        job: job.id,
        boat: boat.map(|boat| boat.name.to_string()).unwrap_or_default(),
        berth: boat.map(|boat| boat.berth.to_string()).unwrap_or_default(),
        title: job.title.to_string(),
        off: book.teardown.still_off(job.id).map(OffItem::of).collect(),
        stands: how_it_stands(book, job.id),
        next_steps,
        tightening: book.tightening.groups_of(job.id).filter_map(loose::open_words).collect(),
        last_note: note.map(|text| text.to_string()),
    }
}

/// Returns the last note of each job that has one.
fn last_notes(book: &Book) -> Named<(Moment, &Prose)> {
    let mut last: Named<(Moment, &Prose)> = Named::default();
    for note in book.evidence.notes() {
        if let Some(job) = book.job_about(note.about)
            && last.get(job.0).is_none_or(|&(at, _)| note.at >= at)
        {
            last.put(job.0, (note.at, &note.text));
        }
    }
    last
}

/// Returns the jobs that `day` touched: those with time first, in the order of
/// the day, then those on which something was only written, opened or finished.
pub fn jobs_of_day(book: &Book, day: Day, now: Moment) -> Vec<JobId> {
    let mut jobs: Vec<JobId> = Vec::new();
    let mut others: Vec<JobId> = Vec::new();
    for span in book.ledger.spans_of(day, now) {
        if let Some(job) = known_job(book, span.on).filter(|job| !jobs.contains(job)) {
            jobs.push(job);
        }
    }
    touches(book, day, now, &mut |job, on| {
        if on == day {
            others.push(job);
        }
    });
    others.retain(|job| !jobs.contains(job));
    jobs.extend(order::each_once(others));
    jobs
}

/// Tells every job and day on which something was done or said about it, from
/// `since` on; some earlier ones may come with them.
fn touches(book: &Book, since: Day, now: Moment, tell: &mut dyn FnMut(JobId, Day)) {
    for span in book.ledger.spans_since(since, now) {
        if let Some(job) = known_job(book, span.on) {
            by_day(span).into_iter().for_each(|(day, _)| tell(job, day));
        }
    }
    let notes = book.evidence.notes().map(|note| (note.about, note.at));
    let photos = book.evidence.photos().map(|photo| (photo.about, photo.at));
    for (about, at) in notes.chain(photos) {
        if let Some(job) = book.job_about(about) {
            tell(job, at.day());
        }
    }
    for job in book.jobs.jobs() {
        let mut at = |moment: Moment| tell(job.id, moment.day());
        at(job.opened);
        job.finished.into_iter().for_each(&mut at);
        for item in book.teardown.items_of(job.id) {
            at(item.off);
            item.returns.iter().filter(|back| !back.withdrawn).for_each(|back| at(back.at));
        }
        for group in book.tightening.groups_of(job.id) {
            at(group.at);
            group.counting().for_each(|(_, tap)| at(tap.at));
        }
    }
    book.parts.parts().for_each(|part| tell(part.job, part.at.day()));
    for step in book.steps.steps() {
        step.done.iter().for_each(|at| tell(step.job, at.day()));
    }
}

/// Returns the job that time is on, if the book holds it.
pub(crate) fn known_job(book: &Book, on: On) -> Option<JobId> {
    book.job_of(on).filter(|&job| book.jobs.job(job).is_some())
}

fn named(book: &Book, job: &Job) -> String {
    let place = place(book, On::Job(job.id));
    format!("{}, {}", place.boat, place.job)
}

/// Returns the first few and how many more there are: a sentence, not the list.
fn few<'a>(words: impl ExactSizeIterator<Item = &'a str>) -> String {
    const TOLD: usize = 4;
    let more = words.len().saturating_sub(TOLD);
    let told: Vec<&str> = words.take(TOLD).collect();
    let told = told.join(", ");
    if more == 0 { told } else { format!("{told} and {more} more") }
}

/// Returns `a`, `a and b` or `a, b and c`.
fn listed(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [before @ .., last] => format!("{} and {last}", before.join(", ")),
    }
}
