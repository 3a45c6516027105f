//! What comes in: which of our files it is, what is good in it, what is not.
//!
//! The same reader serves the phone, which takes back a backup, and the office,
//! which takes in day files. It takes any bytes, never fails half way, keeps
//! everything that vouches for itself and names everything that does not. A
//! file by a newer program is refused whole: nothing of it is taken, and the
//! bytes stay with whoever holds them.

use std::collections::BTreeSet;

use super::bundle::runs::{Cut, Milestone};
use super::line::ReadError;
use super::{backup, bundle, pdf};
use crate::id::{BlobId, DeviceId, EventId, Hash};
use crate::log::Sealed;

/// What a file is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A backup: see [`backup`].
    Backup,
    /// A day bundle as a page: see [`bundle`].
    DayPage,
    /// A day bundle as PDF, or a PDF with other files in it: see [`pdf`].
    DayPdf,
    /// A day bundle as plain JSON.
    DayJson,
    /// Record lines of a log.
    Lines,
    /// One of ours, by a newer program.
    Newer {
        /// The version that it names.
        version: u32,
    },
    /// None of ours to take in; the words say what it seems to be.
    Foreign(&'static str),
}

/// What was taken out of a file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Intake {
    /// Each record that vouches for itself: its line, and what it says.
    pub records: Vec<(Vec<u8>, Sealed)>,
    /// Whose records were known before.
    pub known: BTreeSet<DeviceId>,
    /// How far the records were looked at, for the next file of the same phone; see [`bundle::runs`].
    pub milestones: Vec<Milestone>,
    /// Each photo whose bytes are those that its name stands for.
    pub blobs: Vec<(BlobId, Vec<u8>)>,
    /// What was not taken.
    pub faults: Vec<Fault>,
}

/// Why nothing was taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum IntakeError {
    /// A newer program wrote it.
    #[error("written by a newer Quaywright (form {version}): update this one and take the file in again")]
    Newer {
        /// The version that it names.
        version: u32,
    },
    /// The file ends early or was altered in its frame.
    #[error("this day file is cut off or damaged: ask for it again")]
    Broken,
    /// Something else.
    #[error("{0}")]
    Foreign(&'static str),
}

/// Where in a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// A line, counted from 1.
    Line(usize),
    /// One of a day file's records, counted from 1.
    Record(usize),
    /// One of a day file's photos, counted from 1.
    Photo(usize),
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (word, number) = match self {
            Self::Line(number) => ("line", number),
            Self::Record(number) => ("entry", number),
            Self::Photo(number) => ("photo", number),
        };
        write!(f, "{word} {number}")
    }
}

/// Something in a file that was not taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// A record that does not vouch for itself.
    Record {
        /// Where.
        place: Place,
        /// The name that it says it has.
        claims: Option<EventId>,
        /// What is wrong with it.
        why: ReadError,
    },
    /// A photo whose bytes are not those that its name stands for.
    Photo {
        /// Where.
        place: Place,
        /// Its name, if that can be read.
        blob: Option<BlobId>,
    },
    /// A photo that the writer did not have.
    PhotoMissing(BlobId),
    /// Something that belongs into no such file.
    Stray(Place),
    /// Fewer or more entries than the file says it has.
    Incomplete {
        /// How many it says.
        said: usize,
        /// How many were found.
        found: usize,
    },
    /// The file's end.
    Cut,
    /// The other files of a day that is several: this is one of them.
    OtherParts {
        /// The how manieth this is, from 1.
        number: u32,
        /// How many there are.
        of: u32,
    },
}

impl std::error::Error for Fault {}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Record { place, claims: Some(id), why } => write!(f, "{place}: record {id} was not taken: {why}"),
            Self::Record { place, claims: None, why } => write!(f, "{place}: a record was not taken: {why}"),
            Self::Photo { place, blob: Some(blob) } => {
                write!(f, "{place}: photo {} was not taken: altered since it was written", short(*blob))
            }
            Self::Photo { place, blob: None } => write!(f, "{place}: a photo was not taken: its name cannot be read"),
            Self::PhotoMissing(blob) => write!(f, "photo {} is not in the file", short(*blob)),
            Self::Stray(place) => write!(f, "{place}: neither a record nor a photo"),
            Self::Cut => f.write_str("the end of the file is missing"),
            Self::OtherParts { number, of } => {
                write!(f, "this is part {number} of {of}: take the other parts of this day in too")
            }
            Self::Incomplete { said, found } => write!(f, "the file should hold {said} entries and holds {found}"),
        }
    }
}

/// Returns the beginning of a photo's name, enough for a person to tell it from others.
fn short(blob: BlobId) -> String {
    blob.to_string().chars().take(8).collect()
}

/// Tells what a file is, from a look at its beginning.
pub fn recognise(file: &[u8]) -> Kind {
    let text = trimmed(file);
    let head = &text[..text.len().min(LOOK)];
    if let Some(version) = version_after(head, br#"{"quaywright":"backup","v":"#) {
        return if version > backup::VERSION { Kind::Newer { version } } else { Kind::Backup };
    }
    if let Some(version) = version_after(head, bundle::JSON_HEAD) {
        return if version > bundle::VERSION { Kind::Newer { version } } else { Kind::DayJson };
    }
    if pdf::is_pdf(text) {
        return if pdf::carries_files(text) { Kind::DayPdf } else { Kind::Foreign(PDF) };
    }
    if is_page(head) {
        return match bundle::json_in_page(text) {
            Some(json) => match version_after(json, bundle::JSON_HEAD) {
                Some(version) if version > bundle::VERSION => Kind::Newer { version },
                _ => Kind::DayPage,
            },
            None => Kind::Foreign(PAGE),
        };
    }
    if head.starts_with(br#"{"v":"#) || holds(head, b"\n{\"v\":") {
        return Kind::Lines;
    }
    Kind::Foreign(guess(file, head))
}

/// Takes in a file of any kind.
///
/// # Errors
/// Returns why nothing was taken.
pub fn take(file: &[u8]) -> Result<Intake, IntakeError> {
    take_knowing(file, &Nothing)
}

/// What whoever takes in files knows of records from earlier ones.
pub trait Known {
    /// Tells whether the record line of that hash was taken in before.
    fn has(&self, hash: &Hash) -> bool;

    /// Takes the records out of a day file's JSON in a quicker way, where there is one.
    fn cut(&self, _json: &[u8]) -> Option<(Cut, Intake)> {
        None
    }
}

/// Nothing is known.
pub(super) struct Nothing;

impl Known for Nothing {
    fn has(&self, _: &Hash) -> bool {
        false
    }
}

/// Takes in a file of any kind; of records that are known it is only told whose they are.
///
/// # Errors
/// Returns why nothing was taken.
pub fn take_knowing(file: &[u8], known: &dyn Known) -> Result<Intake, IntakeError> {
    match recognise(file) {
        Kind::Backup | Kind::Lines => backup::read_knowing(trimmed(file), known),
        Kind::DayPdf => bundle::read_pdf(file, known),
        Kind::DayPage | Kind::DayJson => Ok(bundle::read_knowing(file, known)?.into_intake()),
        Kind::Newer { version } => Err(IntakeError::Newer { version }),
        Kind::Foreign(words) => Err(IntakeError::Foreign(words)),
    }
}

/// How far a look at the beginning goes, in bytes.
const LOOK: usize = 64 * 1024;

/// What is said of a PDF that carries no day.
pub(super) const PDF: &str = "this PDF is made for reading: take in the day file or a backup instead";
const PAGE: &str = "this page is made for reading: take in the day file or a backup instead";

/// Returns the file without a byte order mark and white space before it.
pub(super) fn trimmed(file: &[u8]) -> &[u8] {
    file.strip_prefix(b"\xef\xbb\xbf").unwrap_or(file).trim_ascii_start()
}

pub(super) fn is_page(head: &[u8]) -> bool {
    let begins = |with: &[u8]| head.get(..with.len()).is_some_and(|start| start.eq_ignore_ascii_case(with));
    begins(b"<!doctype html") || begins(b"<html")
}

/// Returns the number that follows `start` at the beginning of `text`.
fn version_after(text: &[u8], start: &[u8]) -> Option<u32> {
    let rest = text.strip_prefix(start)?;
    let digits = rest.iter().take_while(|byte| byte.is_ascii_digit()).count();
    std::str::from_utf8(&rest[..digits]).ok()?.parse().ok()
}

fn holds(text: &[u8], what: &[u8]) -> bool {
    text.windows(what.len()).any(|window| window == what)
}

/// Returns what a file that is none of ours seems to be, and what to do.
fn guess(file: &[u8], head: &[u8]) -> &'static str {
    let starts = |signatures: &[&[u8]]| signatures.iter().any(|&signature| file.starts_with(signature));
    if head.is_empty() {
        "this file is empty: ask for it again"
    } else if starts(&[b"\xff\xd8\xff", b"\x89PNG", b"GIF8"]) || file.get(4..8) == Some(b"ftyp") {
        "this is a picture or a film: add photos on a job, and take in day files or backups here"
    } else if starts(&[b"PK\x03\x04", b"\x1f\x8b", b"7z\xbc\xaf"]) {
        "this is a packed file: unpack it and take in what is inside"
    } else if head.starts_with(b"day,technician,") {
        "this is a table of hours, made for reading: take in the day file or a backup instead"
    } else if std::str::from_utf8(&head[..head.len().min(1024)]).is_ok_and(|text| text.starts_with(['{', '['])) {
        "this is JSON of another program: take in a day file or a backup of Quaywright"
    } else {
        "this is no file of Quaywright: take in a day file or a backup"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn says_what_foreign_files_seem_to_be() {
        for (bytes, word) in [
            (&b""[..], "empty"),
            (b"  \n", "empty"),
            (b"\xff\xd8\xff\xe0", "picture"),
            (b"\x00\x00\x00\x18ftypheic", "picture"),
            (b"PK\x03\x04rest", "packed"),
            (b"%PDF-1.7", "PDF"),
            (b"\xef\xbb\xbfday,technician,boat", "table"),
            (b"<!DOCTYPE html><p>hello", "page"),
            (b"{\"a\":1}", "JSON"),
            (b"\x00\x01\x02", "no file"),
        ] {
            let Kind::Foreign(words) = recognise(bytes) else { panic!("{bytes:?} is not ours") };
            assert!(words.contains(word), "{words}");
            assert_eq!(take(bytes), Err(IntakeError::Foreign(words)));
        }
    }

    #[test]
    fn knows_its_own_files_by_their_beginning() {
        for (text, kind) in [
            ("{\"quaywright\":\"backup\",\"v\":1,", Kind::Backup),
            ("\u{feff}{\"quaywright\":\"backup\",\"v\":1,", Kind::Backup),
            ("{\"quaywright\":\"backup\",\"v\":7,", Kind::Newer { version: 7 }),
            ("{\"quaywright\":\"day\",\"v\":1,", Kind::DayJson),
            ("{\"quaywright\":\"day\",\"v\":2}", Kind::Newer { version: 2 }),
            ("{\"v\":1,\"id\":", Kind::Lines),
            ("damaged\n{\"v\":1,\"id\":", Kind::Lines),
        ] {
            assert_eq!(recognise(text.as_bytes()), kind, "{text}");
        }
    }
}
