//! Questions of the desk, answered from a store; and the pack of a claim.
//!
//! The core says what is asked and how it is answered ([`quaywright_core::looking`]); here
//! each technician's book that is wanted is made of the lines, one at a time. Hours come
//! and words are found in what is kept of each technician ([`crate::kept`]), which no book is
//! needed for.

use std::collections::{BTreeMap, BTreeSet};

use quaywright_core::billing::PriceList;
use quaywright_core::billing::outgoing::Gone;
use quaywright_core::billing::shares::Shares;
use quaywright_core::book::Book;
use quaywright_core::event::PayType;
use quaywright_core::exchange::pieces::Piece;
use quaywright_core::exchange::{finds, html, outgoing};
use quaywright_core::id::{BlobId, BoatId, DeviceId, EventId, JobId, LineId};
use quaywright_core::looking::boats::are_same;
use quaywright_core::looking::finds::{folded, index};
use quaywright_core::looking::history::known_boats;
use quaywright_core::looking::{Answer, Asked, Asking, NoAnswer, With};
use quaywright_core::moment::Moment;
use quaywright_core::sheet::LogHead;
use quaywright_core::sheet::warranty::warranty_sheet;
use quaywright_core::text::Label;

use crate::accounts::shares;
use crate::crew::Crew;
use crate::hours;
use crate::kept::{Kept, each_kept};
use crate::people::{Lines, Logs, Phones, book_of, each_book, logs_of, people_of};
use crate::store::{Store, StoreError};

/// Why there is nothing to see.
#[derive(Debug, thiserror::Error)]
pub enum NotSeen {
    /// The store does not do it.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// What went out cannot be read.
    #[error(transparent)]
    Line(#[from] outgoing::NotALine),
    /// There is no answer.
    #[error(transparent)]
    NoAnswer(#[from] NoAnswer),
    /// What is asked for is no address.
    #[error("{0:?} is no address, no record and no billed line: copy one as another answer tells it")]
    NoAddress(String),
    /// No boat is called so.
    #[error("no boat is called {0:?}: look for a part of her name with `find`")]
    NoBoat(String),
    /// Several are.
    #[error("several boats are called {name:?}, name one of them: {}", .boats.join("; "))]
    SeveralBoats {
        /// What was asked for.
        name: String,
        /// Each with owner and address.
        boats: Vec<String>,
    },
    /// No line of it is claimed.
    #[error("{0} is no job with a line under warranty, and no such line: `claims` names them")]
    NoClaim(EventId),
    /// Several lines are.
    #[error("several lines of this job are claimed, name one of them: {}", .0.join("; "))]
    SeveralClaims(Vec<String>),
}

/// An answer, and what is wrong with the logs that it was read from.
pub struct Seen {
    /// The answer.
    pub answer: Answer,
    /// What is wrong, in sentences.
    pub faults: Vec<String>,
}

/// Answers a question from a store.
///
/// # Errors
/// When the store does not tell it, or nobody's book does.
pub fn look(
    store: &mut dyn Store,
    crew: &impl Crew,
    asked: Asked,
    prices: Option<&PriceList>,
) -> Result<Seen, NotSeen> {
    let (gone, shares) = match asked {
        Asked::Unbilled(_) | Asked::Why(_) => (gone(store)?, shares(store, false)?),
        _ => (BTreeMap::new(), Shares::new()),
    };
    let mut asking = Asking::new(asked.clone(), With { prices, gone: Some(&gone), shares: Some(&shares) });
    let mut faults = Vec::new();
    if let Asked::Hours(..) = asked {
        hours::by_day(store, crew)?.iter().for_each(|(who, hours)| asking.hear_hours(who, hours));
        return Ok(Seen { answer: asking.answer()?, faults });
    }
    if let Asked::Find(_) = asked {
        each_kept(store, crew, &WORDS, false, &finds::read, &mut |who, index| asking.hear_index(who, &index))?;
        return Ok(Seen { answer: asking.answer()?, faults });
    }
    let people = people_of(store)?;
    loop {
        faults.clear();
        let wants = |(who, phones): &(&String, &Phones)| asking.wants(&Label::new(who), &phones.own, &phones.beside);
        let whose: Vec<_> = people.iter().filter(wants).map(|(who, phones)| (who.clone(), phones.clone())).collect();
        each_book(store, crew, whose, &|_, of| of, &mut |who, of| {
            faults.extend(of.faults.iter().map(|fault| format!("{who}: {fault}")));
            asking.hear(&of.of(&Label::new(who)));
            Ok::<_, StoreError>(())
        })?;
        if !asking.needs_more() {
            break;
        }
    }
    Ok(Seen { answer: asking.answer()?, faults })
}

/// All that may be found, as it is kept.
const WORDS: Kept = Kept {
    what: "words",
    form: finds::KEPT,
    make: |of| {
        let who = of.book.technician.name.clone();
        finds::kept(&index(&of.of(&who)))
    },
};

/// Returns what went out, by job.
fn gone(store: &mut dyn Store) -> Result<BTreeMap<JobId, Vec<Gone>>, NotSeen> {
    let mut gone: BTreeMap<JobId, Vec<Gone>> = BTreeMap::new();
    for sent in store.sent()? {
        let line = outgoing::read(&sent.form)?;
        gone.entry(line.job).or_default().push(Gone { export: sent.export, line });
    }
    Ok(gone)
}

/// Returns the boat that is called so, case and accents aside: by her whole name, or else by a part of it.
///
/// # Errors
/// When none is, or several that are not one boat.
pub fn boat_called(store: &mut dyn Store, crew: &impl Crew, name: &str) -> Result<BoatId, NotSeen> {
    let (mut known, people) = (Vec::new(), people_of(store)?);
    each_book(store, crew, people, &|who, of| known_boats(&of.of(&Label::new(who))), &mut |_, boats| {
        known.extend(boats);
        Ok::<_, StoreError>(())
    })?;
    let wanted = folded(name.trim());
    let whole = known.iter().any(|boat| folded(boat.facts.name.as_str()) == wanted);
    known.retain(|boat| {
        let called = folded(boat.facts.name.as_str());
        if whole { called == wanted } else { !wanted.is_empty() && called.contains(&wanted) }
    });
    let Some(first) = known.first() else { return Err(NotSeen::NoBoat(name.to_owned())) };
    if known.iter().all(|boat| are_same(first, boat)) {
        return Ok(first.boat);
    }
    let told = |boat: &quaywright_core::looking::boats::KnownBoat| {
        let facts = &boat.facts;
        format!("{} of {} ({}, in the book of {})", facts.name, facts.owner.or("nobody"), boat.boat, boat.who)
    };
    Err(NotSeen::SeveralBoats { name: name.to_owned(), boats: known.iter().map(told).collect() })
}

/// The pack of a claim.
pub struct Pack {
    /// The page, in pieces.
    pub pieces: Vec<Piece>,
    /// Up to when it was read.
    pub now: Moment,
    /// What it lacks, in words.
    pub lacks: Vec<String>,
}

/// Returns the pack of a claimed line, or of a job's only one.
///
/// # Errors
/// When nothing of that name is claimed, or several lines are.
pub fn pack(store: &mut dyn Store, of: EventId) -> Result<Pack, NotSeen> {
    let people = people_of(store)?;
    let phones = people.values().find(|phones| phones.own.contains(&of.device)).ok_or(NotSeen::NoClaim(of))?;
    let logs = logs_of(store, phones)?;
    let known = book_of(&logs).ok_or(NotSeen::NoClaim(of))?;
    let line = claimed(&known.book, of)?;
    let head = LogHead::from(&logs.own.tip(known.device));
    let sheet = warranty_sheet(&known.book, line, known.now, head).ok_or(NotSeen::NoClaim(of))?;
    Ok(Pack { pieces: html::warranty_page(&sheet), now: known.now, lacks: sheet.lacks })
}

/// What the pack of a claim is made of, for a place that makes it itself.
pub struct MadeOf {
    /// The line that is claimed.
    pub line: LineId,
    /// The device that said the last of the record lines.
    pub device: DeviceId,
    /// When that was.
    pub now: Moment,
    /// The record lines, each ended by a line feed.
    pub lines: Vec<u8>,
}

/// Returns what the pack of a claimed line, or of a job's only one, is made of.
///
/// # Errors
/// When nothing of that name is claimed, or several lines are.
pub fn pack_made_of(store: &mut dyn Store, of: EventId) -> Result<MadeOf, NotSeen> {
    let people = people_of(store)?;
    let phones = people.values().find(|phones| phones.own.contains(&of.device)).ok_or(NotSeen::NoClaim(of))?;
    let (own, beside) = (Lines::of(store, &phones.own)?, Lines::of(store, &phones.beside)?);
    let logs = Logs { own: own.log()?, beside: beside.log()? };
    let known = book_of(&logs).ok_or(NotSeen::NoClaim(of))?;
    let line = claimed(&known.book, of)?;
    let taken: BTreeSet<EventId> = logs.records().into_iter().map(|sealed| sealed.record.id).collect();
    let lines = [own.ended(&taken), beside.ended(&taken)].concat();
    Ok(MadeOf { line, device: known.device, now: known.now, lines })
}

fn claimed(book: &Book, of: EventId) -> Result<LineId, NotSeen> {
    let is_claimed = |line: &&quaywright_core::book::jobs::JobLine| line.pay == PayType::Warranty;
    if book.jobs.line(LineId(of)).filter(is_claimed).is_some() {
        return Ok(LineId(of));
    }
    let lines: Vec<_> = book.jobs.lines_of(JobId(of)).filter(is_claimed).collect();
    match lines.as_slice() {
        [] => Err(NotSeen::NoClaim(of)),
        [one] => Ok(one.id),
        several => {
            let told = |line: &&quaywright_core::book::jobs::JobLine| format!("{} ({})", line.id, line.complaint);
            Err(NotSeen::SeveralClaims(several.iter().map(told).collect()))
        }
    }
}

/// Returns the photos that pieces need, as far as the store has them.
///
/// # Errors
/// When the store does not tell them.
pub fn photos(store: &mut dyn Store, pieces: &[Piece]) -> Result<BTreeMap<BlobId, Vec<u8>>, StoreError> {
    let mut photos = BTreeMap::new();
    for blob in pieces.iter().filter_map(Piece::blob) {
        if let Some(bytes) = store.photo(blob)? {
            photos.insert(blob, bytes);
        }
    }
    Ok(photos)
}
