//! Finding words over all boats and years.
//!
//! Rule: all words have to occur, in any order, case and accents aside, also within a longer
//! word. They may stand apart: a job is found when each word stands somewhere in the job or
//! on its boat, and one at least in the job; a boat when all stand on her. What is looked
//! through: name, owner, berth and hull number of boats, model and serial number of engines;
//! titles, tags, stories, notes, items, parts and parts that failed of jobs. The newest are
//! told first, at most [`MOST_FOUND`] of them.
//!
//! Case and accents: the compatibility decomposition of Unicode (UAX #15) without its
//! combining marks, in lower case; letters that have no decomposition are told apart by
//! hand (`apart`).

use std::collections::{BTreeMap, BTreeSet};

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

use super::Of;
use super::answer::{Answer, Block, Cell};
use super::asked::Asked;
use crate::book::Book;
use crate::book::fleet::Boat;
use crate::book::jobs::Job;
use crate::id::{BoatId, JobId};
use crate::moment::{Day, Moment};
use crate::order;
use crate::sheet::warranty::failed_words;
use crate::text::Label;

/// The most that is told.
pub const MOST_FOUND: usize = 100;
/// The most places of one job that are told, and how long each is.
const MOST_PLACES: usize = 4;
const LONGEST_PLACE: usize = 160;

/// Words that are looked for, folded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Words(Vec<String>);

impl Words {
    /// Returns the words of a text.
    pub fn of(text: &str) -> Self {
        Self(folded(text).split_whitespace().map(str::to_owned).collect())
    }

    fn all_in(&self, texts: &[&str]) -> bool {
        !self.0.is_empty() && self.0.iter().all(|word| texts.iter().any(|text| text.contains(word.as_str())))
    }

    fn any_in(&self, text: &str) -> bool {
        self.0.iter().any(|word| text.contains(word.as_str()))
    }
}

/// Something that was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// A boat, or a job.
    pub asked: Asked,
    /// The boat's name, and the job's title where it is one.
    pub name: String,
    /// Whose she is.
    pub customer: Label,
    /// In whose book.
    pub technician: Label,
    /// When something was said of it last, so far as that is known.
    pub last: Option<Day>,
    /// Where the words stand, when, and what is written there.
    pub places: Vec<String>,
}

/// All that may be found in a book: it can be kept, so that no book is made to find something.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Index {
    /// The boats.
    pub boats: Vec<FindableBoat>,
    /// The jobs, in the order in which they were opened.
    pub jobs: Vec<FindableJob>,
}

/// A boat that may be found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FindableBoat {
    /// The boat.
    pub boat: BoatId,
    /// Her name.
    pub name: Label,
    /// Whose she is.
    pub customer: Label,
    /// When a job on her was finished last, or opened.
    pub last: Option<Day>,
    /// All that is written on her and her engines.
    pub words: Vec<String>,
}

/// A job that may be found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FindableJob {
    /// The job.
    pub job: JobId,
    /// The place of its boat among the boats.
    pub boat: usize,
    /// What it is called.
    pub title: Label,
    /// When something was said of it last.
    pub last: Option<Day>,
    /// What is written on it.
    pub pieces: Vec<Piece>,
}

/// A text that may be found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// What of a job it is.
    pub place: Place,
    /// When it was written, so far as that is known.
    pub day: Option<Day>,
    /// The text.
    pub text: String,
}

/// What of a job a text is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// Its title.
    Title,
    /// Its tags.
    Tags,
    /// A complaint.
    Complaint,
    /// A cause.
    Cause,
    /// A correction.
    Correction,
    /// A part that failed.
    FailedPart,
    /// Something that came off.
    CameOff,
    /// A note.
    Note,
    /// A part used.
    Part,
}

impl Place {
    /// All.
    pub const ALL: [Place; 9] = [
        Place::Title,
        Place::Tags,
        Place::Complaint,
        Place::Cause,
        Place::Correction,
        Place::FailedPart,
        Place::CameOff,
        Place::Note,
        Place::Part,
    ];

    /// Returns the words.
    pub const fn words(self) -> &'static str {
        match self {
            Place::Title => "job",
            Place::Tags => "tags",
            Place::Complaint => "complaint",
            Place::Cause => "cause",
            Place::Correction => "correction",
            Place::FailedPart => "failed part",
            Place::CameOff => "came off",
            Place::Note => "note",
            Place::Part => "part",
        }
    }
}

impl Piece {
    fn told(&self) -> String {
        let text: String = self.text.split_whitespace().collect::<Vec<_>>().join(" ");
        let cut: String = text.chars().take(LONGEST_PLACE).collect();
        let end = if cut.len() < text.len() { "…" } else { "" };
        let day = self.day.map(|day| format!(" {day}")).unwrap_or_default();
        format!("{}{day}: {cut}{end}", self.place.words())
    }
}

/// Returns text without case and accents.
pub fn folded(text: &str) -> String {
    if text.is_ascii() {
        return text.to_ascii_lowercase();
    }
    let plain = text.nfkd().filter(|&letter| !is_combining_mark(letter)).flat_map(char::to_lowercase);
    plain.flat_map(|letter| apart(letter).chars().chain(Some(letter).filter(|_| apart(letter).is_empty()))).collect()
}

/// Returns the plain letters of one that Unicode does not decompose; nothing for all others.
const fn apart(letter: char) -> &'static str {
    match letter {
        'ß' => "ss",
        'æ' => "ae",
        'œ' => "oe",
        'ø' => "o",
        'đ' | 'ð' => "d",
        'ł' => "l",
        'þ' => "th",
        'ħ' => "h",
        'ı' => "i",
        'ς' => "σ",
        _ => "",
    }
}

/// Returns all that may be found in a book.
pub fn index(of: &Of<'_>) -> Index {
    let book = of.book;
    let mut beside = beside_jobs(book);
    let mut last: BTreeMap<BoatId, Day> = BTreeMap::new();
    for job in book.jobs.jobs() {
        let day = job.finished.unwrap_or(job.opened).day();
        let known = last.entry(job.boat).or_insert(day);
        *known = day.max(*known);
    }
    let boat = |boat: &Boat| FindableBoat {
        boat: boat.id,
        name: boat.facts.name.clone(),
        customer: boat.facts.owner.clone(),
        last: last.get(&boat.id).copied(),
        words: boat_words(book, boat),
    };
    let boats: Vec<FindableBoat> = book.fleet.boats().map(boat).collect();
    let places: BTreeMap<BoatId, usize> = (0..).zip(&boats).map(|(place, boat)| (boat.boat, place)).collect();
    let job = |job: &Job| {
        let mut pieces = pieces_of(book, job);
        pieces.extend(beside.remove(&job.id).unwrap_or_default());
        let last = pieces.iter().filter_map(|piece| piece.day).chain(job.finished.map(Moment::day)).max();
        let boat = places.get(&job.boat).copied()?;
        Some(FindableJob { job: job.id, boat, title: job.title.clone(), last, pieces })
    };
    let jobs = book.jobs.jobs().filter(|job| of.has(job.id)).filter_map(job).collect();
    Index { boats, jobs }
}

/// Returns what of a technician's index holds all words.
pub fn found(who: &Label, index: &Index, words: &Words) -> Vec<Found> {
    let boats: Vec<String> = index.boats.iter().map(|boat| folded(&boat.words.join("\n"))).collect();
    let of_job = |job: &FindableJob| {
        let hits: Vec<(&Piece, String)> = job
            .pieces
            .iter()
            .map(|piece| (piece, folded(&piece.text)))
            .filter(|(_, text)| words.any_in(text))
            .collect();
        let on_boat = boats.get(job.boat).map(String::as_str).unwrap_or_default();
        let texts: Vec<&str> = [on_boat].into_iter().chain(hits.iter().map(|(_, text)| text.as_str())).collect();
        let is_found = !hits.is_empty() && words.all_in(&texts);
        is_found.then(|| job_found(who, index.boats.get(job.boat), job, hits.iter().map(|(piece, _)| *piece).collect()))
    };
    let mut found: Vec<Found> = index.jobs.iter().filter_map(of_job).collect();
    let on_her = index.boats.iter().zip(&boats).filter(|(_, text)| words.all_in(&[text.as_str()]));
    found.extend(on_her.map(|(boat, _)| Found {
        asked: Asked::Boat(boat.boat),
        name: boat.name.or("no name").to_owned(),
        customer: boat.customer.clone(),
        technician: who.clone(),
        last: boat.last,
        places: vec![format!("boat: {}", boat.words.join(", "))],
    }));
    found
}

fn job_found(who: &Label, boat: Option<&FindableBoat>, job: &FindableJob, hits: Vec<&Piece>) -> Found {
    let mut places: Vec<String> = hits.iter().take(MOST_PLACES).map(|piece| piece.told()).collect();
    if hits.len() > MOST_PLACES {
        places.push(format!("and in {} more places", hits.len() - MOST_PLACES));
    }
    let name = boat.map(|boat| boat.name.or("no name")).unwrap_or_default();
    Found {
        asked: Asked::Job(job.job),
        name: format!("{name}: {}", job.title.or("no title")),
        customer: boat.map(|boat| boat.customer.clone()).unwrap_or_default(),
        technician: who.clone(),
        last: job.last,
        places,
    }
}

fn boat_words(book: &Book, boat: &Boat) -> Vec<String> {
    let facts = &boat.facts;
    let engines = book.fleet.engines_of(boat.id).flat_map(|engine| {
        let facts = &engine.facts;
        [facts.place.clone(), facts.model.clone(), facts.serial.clone()]
    });
    let of_boat = [&facts.name, &facts.owner, &facts.berth, &facts.hin].map(Clone::clone).into_iter();
    of_boat.chain(engines).filter(|text| !text.is_empty()).map(|text| text.to_string()).collect()
}

fn piece(place: Place, day: Option<Day>, text: &str) -> Option<Piece> {
    let is_written = !text.is_empty();
    is_written.then(|| Piece { place, day, text: text.to_owned() })
}

/// Returns what is written on a job itself.
fn pieces_of(book: &Book, job: &Job) -> Vec<Piece> {
    let mut pieces: Vec<Option<Piece>> = vec![piece(Place::Title, Some(job.opened.day()), job.title.as_str())];
    pieces.push(piece(Place::Tags, None, &job.tags.text()));
    for line in book.jobs.lines_of(job.id) {
        pieces.push(piece(Place::Complaint, None, line.complaint.as_str()));
        pieces.push(piece(Place::Cause, None, line.cause.as_str()));
        pieces.push(piece(Place::Correction, None, line.correction.as_str()));
        pieces.extend(book.claims.failed_on(line.id).map(|it| piece(Place::FailedPart, None, &failed_words(&it.part))));
    }
    for item in book.teardown.items_of(job.id) {
        let facts = &item.facts;
        let words: Vec<&str> = [&facts.what, &facts.side, &facts.size, &facts.stowed, &facts.details.awaits]
            .into_iter()
            .map(Label::as_str)
            .filter(|text| !text.is_empty())
            .collect();
        pieces.push(piece(Place::CameOff, Some(item.off.day()), &words.join(", ")));
    }
    pieces.into_iter().flatten().collect()
}

/// Returns notes and parts, by job.
fn beside_jobs(book: &Book) -> BTreeMap<JobId, Vec<Piece>> {
    let mut beside: BTreeMap<JobId, Vec<Piece>> = BTreeMap::new();
    for note in book.evidence.notes() {
        if let Some(job) = book.job_about(note.about) {
            beside.entry(job).or_default().extend(piece(Place::Note, Some(note.at.day()), note.text.as_str()));
        }
    }
    for part in book.parts.parts() {
        let words = format!("{} {}", part.facts.what, part.facts.number);
        beside.entry(part.job).or_default().extend(piece(Place::Part, Some(part.at.day()), words.trim()));
    }
    beside
}

/// Returns what was found, newest first.
pub fn answer(words: &Label, found: Vec<Found>) -> Answer {
    let mut found = order::last_first(found, |it| it.last);
    let mut boats = BTreeSet::new();
    // A boat that went to another phone with a job is in both books.
    found.retain(|it| !matches!(it.asked, Asked::Boat(boat) if !boats.insert(boat)));
    let count = found.len();
    found.truncate(MOST_FOUND);
    let row = |it: &Found| {
        vec![
            Cell::words(it.last.map(|day| day.to_string()).unwrap_or_default()),
            Cell::words(it.name.clone()).to(it.asked.clone()),
            Cell::words(it.customer.to_string()),
            Cell::words(it.technician.to_string()),
            Cell::lines(&it.places),
        ]
    };
    let none = "Nowhere. All words have to occur: try fewer, or a part of one.";
    let blocks = Block::table(&["Last", "What", "Owner", "Technician", "Where"], found.iter().map(row).collect(), none);
    let lead = match count {
        0 => "Found nowhere.".to_owned(),
        count if count > MOST_FOUND => format!("{count} found; the newest {MOST_FOUND} are shown."),
        count => format!("{count} found, the newest first."),
    };
    Answer { asked: Asked::Find(words.clone()), title: format!("Find: {words}"), lead, blocks }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn case_and_accents_make_no_difference() {
        for (text, plain) in [
            ("Hôtel QUAY", "hotel quay"),
            ("Łódź", "lodz"),
            ("Straße", "strasse"),
            ("Ærø Ångström", "aero angstrom"),
            ("ΑΘΉΝΑΣ", "αθηνασ"),
            ("Пётр", "петр"),
            ("ﬁlter №4", "filter no4"),
            ("İskele", "iskele"),
        ] {
            assert_eq!(folded(text), plain, "{text}");
            assert_eq!(folded(plain), plain);
        }
    }
}
