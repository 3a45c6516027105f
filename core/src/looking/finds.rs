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
//! hand ([`apart`]).

use std::collections::BTreeMap;

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

/// A text that may be found.
struct Piece {
    what: &'static str,
    day: Option<Day>,
    text: String,
    folded: String,
}

impl Piece {
    fn told(&self) -> String {
        let text: String = self.text.split_whitespace().collect::<Vec<_>>().join(" ");
        let cut: String = text.chars().take(LONGEST_PLACE).collect();
        let end = if cut.len() < text.len() { "…" } else { "" };
        let day = self.day.map(|day| format!(" {day}")).unwrap_or_default();
        format!("{}{day}: {cut}{end}", self.what)
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

/// Returns what of a book holds all words.
pub fn found(of: &Of<'_>, words: &Words) -> Vec<Found> {
    let book = of.book;
    let mut beside = beside_jobs(book);
    let boats: BTreeMap<BoatId, String> = book.fleet.boats().map(|boat| (boat.id, boat_text(book, boat))).collect();
    let mut found: Vec<Found> = Vec::new();
    for job in book.jobs.jobs() {
        let mut pieces = pieces_of(book, job);
        pieces.extend(beside.remove(&job.id).unwrap_or_default());
        let on_boat = boats.get(&job.boat).map(String::as_str).unwrap_or_default();
        let hits: Vec<&Piece> = pieces.iter().filter(|piece| words.any_in(&piece.folded)).collect();
        let texts: Vec<&str> = [on_boat].into_iter().chain(hits.iter().map(|piece| piece.folded.as_str())).collect();
        if !hits.is_empty() && words.all_in(&texts) {
            let last = pieces.iter().filter_map(|piece| piece.day).chain(job.finished.map(Moment::day)).max();
            found.push(of_job(of, job, last, &hits));
        }
    }
    let of_boat = |boat: &Boat| boats.get(&boat.id).is_some_and(|text| words.all_in(&[text]));
    found.extend(book.fleet.boats().filter(|boat| of_boat(boat)).map(|boat| boat_found(of, boat)));
    found
}

fn of_job(of: &Of<'_>, job: &Job, last: Option<Day>, hits: &[&Piece]) -> Found {
    let facts = of.book.fleet.boat(job.boat).map(|boat| boat.facts.clone()).unwrap_or_default();
    let mut places: Vec<String> = hits.iter().take(MOST_PLACES).map(|piece| piece.told()).collect();
    if hits.len() > MOST_PLACES {
        places.push(format!("and in {} more places", hits.len() - MOST_PLACES));
    }
    Found {
        asked: Asked::Job(job.id),
        name: format!("{}: {}", facts.name.or("no name"), job.title.or("no title")),
        customer: facts.owner,
        technician: of.who.clone(),
        last,
        places,
    }
}

fn boat_found(of: &Of<'_>, boat: &Boat) -> Found {
    let jobs = of.book.jobs.jobs().filter(|job| job.boat == boat.id);
    Found {
        asked: Asked::Boat(boat.id),
        name: boat.facts.name.or("no name").to_owned(),
        customer: boat.facts.owner.clone(),
        technician: of.who.clone(),
        last: jobs.map(|job| job.finished.unwrap_or(job.opened).day()).max(),
        places: vec![format!("boat: {}", boat_words(of.book, boat).join(", "))],
    }
}

fn boat_text(book: &Book, boat: &Boat) -> String {
    folded(&boat_words(book, boat).join("\n"))
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

fn piece(what: &'static str, day: Option<Day>, text: &str) -> Option<Piece> {
    let is_written = !text.is_empty();
    is_written.then(|| Piece { what, day, text: text.to_owned(), folded: folded(text) })
}

/// Returns what is written on a job itself.
fn pieces_of(book: &Book, job: &Job) -> Vec<Piece> {
    let mut pieces: Vec<Option<Piece>> = vec![piece("job", Some(job.opened.day()), job.title.as_str())];
    pieces.push(piece("tags", None, &job.tags.text()));
    for line in book.jobs.lines_of(job.id) {
        pieces.push(piece("complaint", None, line.complaint.as_str()));
        pieces.push(piece("cause", None, line.cause.as_str()));
        pieces.push(piece("correction", None, line.correction.as_str()));
        pieces.extend(book.claims.failed_on(line.id).map(|it| piece("failed part", None, &failed_words(&it.part))));
    }
    for item in book.teardown.items_of(job.id) {
        let facts = &item.facts;
        let words: Vec<&str> = [&facts.what, &facts.side, &facts.size, &facts.stowed, &facts.details.awaits]
            .into_iter()
            .map(Label::as_str)
            .filter(|text| !text.is_empty())
            .collect();
        pieces.push(piece("came off", Some(item.off.day()), &words.join(", ")));
    }
    pieces.into_iter().flatten().collect()
}

/// Returns notes and parts, by job.
fn beside_jobs(book: &Book) -> BTreeMap<JobId, Vec<Piece>> {
    let mut beside: BTreeMap<JobId, Vec<Piece>> = BTreeMap::new();
    for note in book.evidence.notes() {
        if let Some(job) = book.job_about(note.about) {
            beside.entry(job).or_default().extend(piece("note", Some(note.at.day()), note.text.as_str()));
        }
    }
    for part in book.parts.parts() {
        let words = format!("{} {}", part.facts.what, part.facts.number);
        beside.entry(part.job).or_default().extend(piece("part", Some(part.at.day()), words.trim()));
    }
    beside
}

/// Returns what was found, newest first.
pub fn answer(words: &Label, found: Vec<Found>) -> Answer {
    let count = found.len();
    let mut found = order::last_first(found, |it| it.last);
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
