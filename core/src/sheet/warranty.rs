//! The warranty pack: what the maker is told of one line of a job that is claimed.
//!
//! It holds the story, the machine and its numbers, what failed and where it is, what
//! was measured before and after, the clock's time day by day, and the photos that
//! prove it, those first that were said to prove something. It holds no price, no bill,
//! no note, no other boat and no other line's story or time. What is lacking is told on
//! it, so that nobody sends it off as whole.

use super::job::{JobRevision, job_revision};
use super::readings::{ReadingSheet, readings};
use super::tightening::TorqueSheet;
use super::{
    EngineSheet, InsteadSheet, LogHead, PhotoSheet, Share, Story, boat, engine, instead, photo, photos, shares, torque,
};
use crate::book::Book;
use crate::book::jobs::JobLine;
use crate::book::ledger::{Span, by_day};
use crate::closing::claim::{Lack, lacks};
use crate::event::{BoatFacts, FailedPart, Fate, PartFacts, PayType, Shows};
use crate::hin::{self, Checked};
use crate::id::LineId;
use crate::moment::{Day, Length, Moment};
use crate::order;
use crate::text::Label;

/// What a claim has and lacks, for the office.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ClaimSheet {
    /// The parts that failed.
    pub failed: Vec<FailedPart>,
    /// What the claim lacks, in words.
    pub lacks: Vec<String>,
}

/// What the maker is told of one claimed line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WarrantySheet {
    /// The shop's name.
    pub shop: Label,
    /// The technician's name.
    pub technician: Label,
    /// The day on which it was made.
    pub day: Day,
    /// The boat.
    pub boat: BoatFacts,
    /// What her hull number says, where one was typed.
    pub hull: Option<Checked>,
    /// The engine, when the job is on one.
    pub engine: Option<EngineSheet>,
    /// When its hour meter was read last.
    pub hours_read: Option<Day>,
    /// What the job is.
    pub title: Label,
    /// Which line it is, when the job has several.
    pub number: Option<usize>,
    /// Complaint, cause, correction.
    pub story: Story,
    /// The parts that failed.
    pub failed: Vec<FailedPart>,
    /// Parts used on the job.
    pub parts: Vec<PartFacts>,
    /// What was replaced or left off on purpose, and why.
    pub instead: Vec<String>,
    /// What was measured on the job.
    pub readings: Vec<ReadingSheet>,
    /// What is tightened, and how far.
    pub torque: Vec<TorqueSheet>,
    /// The clock's time on the line, day by day.
    pub time: Vec<(Day, Vec<Share>)>,
    /// Photos of the job, those that prove something first.
    pub photos: Vec<PhotoSheet>,
    /// What the claim lacks, in words.
    pub lacks: Vec<String>,
    /// Which revision of the job this is.
    pub revision: JobRevision,
    /// Where in the log this was read.
    pub log: LogHead,
}

/// Returns what a claim on a line has and lacks; nothing for a line on which nothing is claimed.
pub(super) fn claim_sheet(book: &Book, line: &JobLine, now: Moment) -> Option<ClaimSheet> {
    let failed: Vec<FailedPart> = book.claims.failed_on(line.id).map(|it| it.part.clone()).collect();
    let is_claimed = line.pay == PayType::Warranty || !failed.is_empty();
    is_claimed.then(|| ClaimSheet { failed, lacks: words(lacks(book, line.id, now)) })
}

fn words(lacks: Vec<Lack>) -> Vec<String> {
    lacks.iter().map(ToString::to_string).collect()
}

/// Returns what the maker is told of a line at `now`; nothing for a line that is not in
/// the book or is not paid under warranty. `log` says from which end of the log.
pub fn warranty_sheet(book: &Book, line: LineId, now: Moment, log: LogHead) -> Option<WarrantySheet> {
    let line = book.jobs.line(line).filter(|it| it.pay == PayType::Warranty && !it.withdrawn)?;
    let job = book.jobs.job(line.job)?;
    let boat = boat(book, job);
    let place = book.jobs.lines_of(job.id).position(|it| it.id == line.id)?;
    let several = book.jobs.lines_of(job.id).nth(1).is_some();
    let read = book.engine_of(job).and_then(|engine| engine.hours.last());
    let proofs: Vec<PhotoSheet> = photos(book, job.id).map(|it| photo(book, it)).collect();
    let rank = |photo: &PhotoSheet| Shows::ALL.iter().position(|&it| Some(it) == photo.shows).unwrap_or(usize::MAX);
    Some(WarrantySheet {
        shop: book.technician.shop.clone(),
        technician: book.technician.name.clone(),
        day: now.day(),
        hull: hin::check(boat.hin.as_str()),
        boat,
        engine: engine(book, job),
        hours_read: read.map(|(at, _)| at.day()),
        title: job.title.clone(),
        number: several.then_some(place + 1),
        story: Story::of(line),
        failed: book.claims.failed_on(line.id).map(|it| it.part.clone()).collect(),
        parts: book.parts.parts_of(job.id).map(|part| part.facts.clone()).collect(),
        instead: instead(book, job.id).iter().map(InsteadSheet::words).collect(),
        readings: readings(book, job.id).collect(),
        torque: torque(book, job.id),
        time: time(book, line, now),
        photos: order::by_key(proofs, rank),
        lacks: words(lacks(book, line.id, now)),
        revision: job_revision(book, job.id, now),
        log,
    })
}

fn time(book: &Book, line: &JobLine, now: Moment) -> Vec<(Day, Vec<Share>)> {
    let on_line = |span: &Span| !span.activity.is_pause() && book.line_of(span.on).is_some_and(|it| it.id == line.id);
    let pieces: Vec<(Day, Span)> = book.ledger.spans(now).into_iter().filter(on_line).flat_map(by_day).collect();
    let days = order::each_once(pieces.iter().map(|(day, _)| *day).collect());
    let of_day = |day: Day| (day, shares(pieces.iter().filter(|(of, _)| *of == day).map(|(_, span)| span)));
    days.into_iter().map(of_day).collect()
}

impl WarrantySheet {
    /// Returns the clock's time on the line.
    pub fn clock(&self) -> Length {
        self.time.iter().flat_map(|(_, shares)| shares).map(|share| share.length).sum()
    }
}

/// Returns a part that failed in one line: what it is, its numbers, what became of it.
pub fn failed_words(part: &FailedPart) -> String {
    let mut words = part.what.to_string();
    for (label, text) in [(", ", &part.number), (", tag ", &part.tag)] {
        if !text.is_empty() {
            words.push_str(label);
            words.push_str(text.as_str());
        }
    }
    words.push_str(": ");
    words.push_str(part.fate.map_or("not said what became of it", Fate::words));
    if !part.place.is_empty() {
        words.push_str(", ");
        words.push_str(part.place.as_str());
    }
    words
}
