//! A boat's history on one page: who she is, her engines over time, every job with all of it.
//!
//! Read from every book that knows her ([`super::boats`] says which boats are one). A job
//! is told as the office is told of it ([`crate::sheet`]), over all its days. What came of a
//! recommendation is what the owner said to it, and whether a later job was opened on the
//! boat under the same words. Photos are counted, not shown: they are the job's own.

use super::answer::{Answer, Block, Cell};
use super::asked::{Asked, Why};
use super::boats::KnownBoat;
use super::finds::folded;
use super::why::part_words;
use super::{Of, days_words, names};
use crate::billing::bill::Item;
use crate::book::Book;
use crate::book::jobs::Job;
use crate::event::{Billing, PayType};
use crate::hin;
use crate::id::{BoatId, EngineId, JobId};
use crate::moment::{Day, Length, Moment};
use crate::order;
use crate::quantity::counted;
use crate::reading::Kind;
use crate::sheet::agreement::words::recommended as recommended_words;
use crate::sheet::job::whole_job;
use crate::sheet::readings::ReadingSheet;
use crate::sheet::tightening::TorqueSheet;
use crate::sheet::warranty::failed_words;
use crate::sheet::{JobSheet, LineSheet};
use crate::text::Label;
use crate::view::{Series, engine_card, hour_minute, series};
use crate::words::Words;

/// A job of the past, or one that is open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PastJob {
    /// All of it.
    pub sheet: JobSheet,
    /// The boat.
    pub boat: BoatId,
    /// Who did it.
    pub technician: Label,
    /// The engine that it is on, in one line.
    pub engine: String,
    /// When it was opened.
    pub opened: Moment,
    /// When it was finished.
    pub finished: Option<Day>,
    /// Whether the book that tells it is that of who has it.
    pub is_own: bool,
    /// The same job in the books of others who worked on it.
    pub also: Vec<PastJob>,
}

impl PastJob {
    /// Returns it as all who worked on it tell it, first as whoever has it does.
    fn told(&self) -> impl Iterator<Item = &PastJob> {
        [self].into_iter().chain(&self.also)
    }

    fn technicians(&self) -> String {
        names(self.told().map(|job| &job.technician))
    }

    /// Returns the clock's time of all who worked on it.
    fn clock(&self) -> Length {
        self.told().map(|job| job.sheet.hours.all.clock).sum()
    }

    /// Returns on how many days somebody worked on it.
    fn days(&self) -> usize {
        let days = self.told().flat_map(|job| job.sheet.hours.days.iter().map(|(day, _)| *day));
        order::each_once(days.collect()).len()
    }
}

/// Puts to each job the same job in other books; one that whoever has it tells nowhere stands alone.
pub(super) fn together(jobs: Vec<PastJob>) -> Vec<PastJob> {
    let (mut all, others): (Vec<PastJob>, Vec<PastJob>) = jobs.into_iter().partition(|job| job.is_own);
    for other in others {
        match all.iter_mut().find(|job| job.sheet.job == other.sheet.job) {
            Some(job) => job.also.push(other),
            None => all.push(other),
        }
    }
    all
}

/// An engine over time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PastEngine {
    /// All that is known of it, in one line.
    pub words: String,
    /// In whose book.
    pub technician: Label,
    /// When its hour meter was read, and what it said.
    pub hours: Vec<(Day, String)>,
    /// How what was measured on it went.
    pub courses: Vec<(&'static str, Vec<Series>)>,
}

/// What one book knows of a boat.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Past {
    /// Her engines.
    pub engines: Vec<PastEngine>,
    /// Her jobs.
    pub jobs: Vec<PastJob>,
}

/// Returns the boats of a book.
pub fn known_boats(of: &Of<'_>) -> Vec<KnownBoat> {
    let known =
        |boat: &crate::book::fleet::Boat| KnownBoat { boat: boat.id, facts: boat.facts.clone(), who: of.who.clone() };
    of.book.fleet.boats().map(known).collect()
}

/// Returns what a book knows of some of its boats, which are one.
pub fn past(of: &Of<'_>, boats: &[BoatId]) -> Past {
    let book = of.book;
    // What others said of her engines is in the book of whoever's device she was added on, too.
    let own = boats.iter().filter(|boat| of.own.contains(&boat.0.device));
    let engines = own.flat_map(|&boat| book.fleet.engines_of(boat));
    let jobs = book.jobs.jobs().filter(|job| boats.contains(&job.boat));
    Past {
        engines: engines.filter_map(|engine| past_engine(of, engine.id)).collect(),
        jobs: jobs.filter_map(|job| past_job(of, job)).collect(),
    }
}

/// Returns all of one job.
pub fn one_job(of: &Of<'_>, job: JobId) -> Option<PastJob> {
    past_job(of, of.book.jobs.job(job)?)
}

fn past_job(of: &Of<'_>, job: &Job) -> Option<PastJob> {
    Some(PastJob {
        sheet: whole_job(of.book, job.id, of.now)?,
        boat: job.boat,
        technician: of.who.clone(),
        engine: of.book.engine_of(job).and_then(|it| engine_card(of.book, it.id)).map(|it| it.line).unwrap_or_default(),
        opened: job.opened,
        finished: job.finished.map(Moment::day),
        is_own: of.has(job.id),
        also: Vec::new(),
    })
}

fn past_engine(of: &Of<'_>, id: EngineId) -> Option<PastEngine> {
    let (book, today): (&Book, Day) = (of.book, of.now.day());
    let engine = book.fleet.engine(id)?;
    let course = |&kind: &Kind| Some((kind.words(), series(book, id, kind, today))).filter(|(_, it)| !it.is_empty());
    Some(PastEngine {
        words: engine_card(book, id)?.line,
        technician: of.who.clone(),
        hours: engine.hours.iter().map(|(at, hours)| (at.day(), hours.to_string())).collect(),
        courses: Kind::ALL.iter().filter_map(course).collect(),
    })
}

/// Returns the page of a boat, of what all books know of her.
pub fn boat_answer(boat: BoatId, known: &[KnownBoat], past: Past, today: Option<Day>) -> Answer {
    let facts = known.iter().find(|it| it.boat == boat).map(|it| it.facts.clone()).unwrap_or_default();
    let jobs = order::last_first(together(past.jobs), |job| (job.opened, job.sheet.job));
    let mut blocks = vec![identity(&facts, known)];
    let doubts = hin::check(facts.hin.as_str()).map(|hull| hull.doubts).unwrap_or_default();
    blocks.extend(Block::listed("The HIN, to be looked at again", doubts.iter().map(ToString::to_string).collect()));
    blocks.extend(others(boat, known));
    past.engines.iter().for_each(|engine| blocks.extend(engine_blocks(engine)));
    blocks.extend(recommended(&jobs));
    blocks.push(Block::head("Jobs"));
    let rows = jobs.iter().map(|job| summary_row(job, today)).collect();
    let heads = ["Opened", "Job", "State", "Technician", "Clock", "Paid by"];
    blocks.extend(Block::table(&heads, rows, "No job was opened on her yet."));
    jobs.iter().for_each(|job| blocks.extend(job_blocks(job)));
    let open = jobs.iter().filter(|job| job.finished.is_none()).count();
    let clock: Length = jobs.iter().map(PastJob::clock).sum();
    Answer {
        asked: Asked::Boat(boat),
        title: facts.name.or("A boat without a name").to_owned(),
        lead: match (jobs.len(), open) {
            (1, _) => {
                format!("1 job, {}; {} by the clock.", if open == 1 { "open" } else { "finished" }, clock.clock_face())
            }
            (count, _) => {
                format!("{}, {open} of them open; {} by the clock.", counted(count, "job"), clock.clock_face())
            }
        },
        blocks,
    }
}

/// Returns the page of one job.
pub fn job_answer(job: &PastJob) -> Answer {
    let sheet = &job.sheet;
    let mut blocks = vec![Block::facts(vec![
        ("Boat", Cell::words(sheet.boat.name.or("no name")).to(Asked::Boat(job.boat))),
        ("Owner", Cell::words(sheet.boat.owner.to_string())),
        ("Berth", Cell::words(sheet.boat.berth.to_string())),
    ])];
    blocks.extend(job_blocks(job));
    if !sheet.photos.is_empty() {
        blocks.push(Block::head("Photos"));
        blocks.push(Block::Photos(sheet.photos.clone()));
    }
    Answer {
        asked: Asked::Job(sheet.job),
        title: format!("{}: {}", sheet.boat.name.or("no name"), sheet.title.or("no title")),
        lead: format!("{} by the clock over {}.", job.clock().clock_face(), counted(job.days(), "day")),
        blocks,
    }
}

fn identity(facts: &crate::event::BoatFacts, known: &[KnownBoat]) -> Block {
    let says = hin::check(facts.hin.as_str()).and_then(|hull| hull.says()).unwrap_or_default();
    let mut books: Vec<&str> = known.iter().map(|boat| boat.who.as_str()).collect();
    books.dedup();
    Block::facts(vec![
        ("Owner", Cell::words(facts.owner.to_string())),
        ("Berth", Cell::words(facts.berth.to_string())),
        ("HIN", Cell::words(facts.hin.to_string())),
        ("The HIN says", Cell::words(says)),
        ("In the books of", Cell::words(books.join(", "))),
    ])
}

/// Says what else was taken for this boat, where it is written otherwise.
fn others(boat: BoatId, known: &[KnownBoat]) -> Vec<Block> {
    let other = |it: &KnownBoat| {
        let facts = &it.facts;
        let parts = [facts.name.or("no name"), facts.owner.or("no owner"), facts.hin.or("no HIN")];
        Cell::words(format!("{}, in the book of {}", parts.join(", "), it.who)).to(Asked::Boat(it.boat))
    };
    let lines: Vec<Cell> = known.iter().filter(|it| it.boat != boat).map(other).collect();
    if lines.is_empty() {
        return Vec::new();
    }
    vec![Block::Small("Taken for the same boat".to_owned()), Block::List(lines)]
}

fn engine_blocks(engine: &PastEngine) -> Vec<Block> {
    let mut blocks = vec![Block::head(format!("Engine: {}", engine.words))];
    blocks.push(Block::Note(format!("In the book of {}.", engine.technician)));
    let row = |(day, hours): &(Day, String)| vec![Cell::words(day.to_string()), Cell::figure(hours)];
    let rows = engine.hours.iter().map(row).collect();
    blocks.extend(Block::table(&["Read", "Engine hours"], rows, "Its hour meter was not read yet."));
    for (kind, courses) in &engine.courses {
        blocks.push(Block::Small((*kind).to_owned()));
        blocks.extend(courses.iter().cloned().map(Block::Course));
    }
    blocks
}

/// Says what was recommended and what came of it, latest first.
fn recommended(jobs: &[PastJob]) -> Vec<Block> {
    let mut lines = Vec::new();
    for job in jobs {
        for (recommended, reply) in &job.sheet.agreements.recommended {
            let what = recommended.facts.what.as_str();
            let told = recommended_words(&Words::own(), &recommended.facts, *reply);
            let later = jobs.iter().rfind(|it| it.opened > job.opened && is_under(it, what));
            let came = later.map(|it| format!("; a job was opened {}", it.opened.day())).unwrap_or_default();
            let cell = Cell::words(format!("{}: {}{came}", job.opened.day(), told));
            lines.push(cell.to(Asked::Job(later.unwrap_or(job).sheet.job)));
        }
    }
    if lines.is_empty() { Vec::new() } else { vec![Block::head("Recommended"), Block::List(lines)] }
}

/// Tells whether a job was opened under some words: its title or a complaint holds all of them.
fn is_under(job: &PastJob, what: &str) -> bool {
    let complaints = job.sheet.lines.iter().map(|line| line.story.complaint.as_str());
    let text = [job.sheet.title.as_str()].into_iter().chain(complaints).collect::<Vec<_>>().join(" ");
    let text = folded(&text);
    !what.is_empty() && folded(what).split_whitespace().all(|word| text.contains(word))
}

fn summary_row(job: &PastJob, today: Option<Day>) -> Vec<Cell> {
    let sheet = &job.sheet;
    let mut pays: Vec<&str> = sheet.lines.iter().map(|line| line.pay.words()).collect();
    pays.dedup();
    let state = job.finished.map_or_else(|| "open".to_owned(), |day| format!("finished {day}"));
    vec![
        Cell::words(days_words(job.opened.day(), today)),
        Cell::words(sheet.title.or("no title")).to(Asked::Job(sheet.job)),
        Cell::words(state),
        Cell::words(job.technicians()),
        Cell::figure(job.clock().clock_face()),
        Cell::words(pays.join(", ")),
    ]
}

/// Returns all of a job, under a heading that answers the question after it.
fn job_blocks(job: &PastJob) -> Vec<Block> {
    let sheet = &job.sheet;
    let text = format!("{}: {}", job.opened.day(), sheet.title.or("no title"));
    let mut blocks = vec![Block::Head { text, is: Some(Asked::Job(sheet.job)) }, job_facts(job)];
    let several = sheet.lines.len() > 1;
    for (number, line) in (1..).zip(&sheet.lines) {
        blocks.extend(line_blocks(job, several.then_some(number), line));
    }
    blocks.extend(Block::listed("Parts used", sheet.parts.iter().map(part_words).collect()));
    blocks.extend(Block::listed("Measured", sheet.readings.iter().map(ReadingSheet::office_words).collect()));
    blocks.extend(Block::listed("Tightened", sheet.torque.iter().filter_map(TorqueSheet::done_words).collect()));
    blocks.extend(Block::listed("Still off", sheet.off.iter().map(ToString::to_string).collect()));
    blocks.extend(Block::listed("Replaced or left off", sheet.instead.clone()));
    blocks.extend(Block::listed("Agreed with the owner", sheet.agreements.words()));
    let note = |note: &crate::sheet::NoteSheet| format!("{} {}: {}", note.at.day(), hour_minute(note.at), note.text);
    blocks.extend(Block::listed("Notes", sheet.notes.iter().map(note).collect()));
    blocks
}

fn job_facts(job: &PastJob) -> Block {
    let sheet = &job.sheet;
    let days = job.told().flat_map(|told| {
        let by = if told.is_own { String::new() } else { format!(", {}", told.technician) };
        told.sheet.hours.days.iter().map(move |(day, clock)| format!("{day}: {}{by}", clock.clock_face()))
    });
    Block::facts(vec![
        ("Technician", Cell::words(job.technicians())),
        ("State", Cell::words(if job.finished.is_some() { "finished" } else { "open" })),
        ("Finished", Cell::words(job.finished.map(|day| day.to_string()).unwrap_or_default())),
        ("Engine", Cell::words(job.engine.clone())),
        ("Days by the clock", Cell::words(days.collect::<Vec<_>>().join("\n"))),
        (
            "On no line",
            Cell::words(if sheet.hours.no_line > Length::ZERO {
                sheet.hours.no_line.clock_face()
            } else {
                String::new()
            }),
        ),
        ("Photos", Cell::words(if sheet.photos.is_empty() { String::new() } else { sheet.photos.len().to_string() })),
        (
            "Voice notes",
            Cell::words(if sheet.voices.is_empty() { String::new() } else { sheet.voices.len().to_string() }),
        ),
    ])
}

fn line_blocks(job: &PastJob, number: Option<usize>, line: &LineSheet) -> Vec<Block> {
    let sheet = &job.sheet;
    let hours_in = |job: &PastJob| job.sheet.hours.lines.iter().find(|hours| hours.line == line.line).copied();
    let hours = hours_in(job);
    let clock: Length = job.told().filter_map(hours_in).map(|hours| hours.hours.clock).sum();
    let clock = clock.clock_face();
    let number = number.map(|number| format!("Line {number}, ")).unwrap_or_default();
    let mut blocks = vec![Block::Small(format!("{number}{}, {clock} by the clock", line.pay.words()))];
    let told = |text: &crate::text::Prose| Cell::words(if text.is_empty() { "not written" } else { text.as_str() });
    blocks.push(Block::facts(vec![
        ("Complaint", told(&line.story.complaint)),
        ("Cause", told(&line.story.cause)),
        ("Correction", told(&line.story.correction)),
        ("Billed", Cell::words(hours.and_then(|hours| hours.words()).unwrap_or_default())),
    ]));
    let billing = hours.map_or(Billing::ByClock, |hours| hours.billing);
    let share = |told: &PastJob, share: &crate::sheet::Share| {
        let item = match billing {
            Billing::ByClock => Item::Time(line.line, share.activity),
            Billing::Flat { .. } => Item::Flat(line.line),
            Billing::NoCharge => Item::NoCharge(line.line),
        };
        let why = Asked::Why(Why::Billed { job: sheet.job, pay: line.pay, item });
        let by = if told.is_own { String::new() } else { format!(", {}", told.technician) };
        Cell::words(format!("{} {}{by}", share.activity.words(), share.length.clock_face())).to(why)
    };
    let time = job.told().flat_map(|told| {
        let lines = told.sheet.lines.iter().filter(|it| it.line == line.line);
        lines.flat_map(|it| &it.time).map(|it| share(told, it)).collect::<Vec<_>>()
    });
    let time: Vec<Cell> = time.collect();
    blocks.extend((!time.is_empty()).then_some(Block::List(time)));
    if let Some(claim) = &line.claim {
        blocks.extend(Block::listed("Failed part", claim.failed.iter().map(failed_words).collect()));
        let lacks = if line.pay == PayType::Warranty { claim.lacks.clone() } else { Vec::new() };
        blocks.extend(Block::listed("The claim lacks", lacks));
    }
    blocks
}
