//! What was measured on a job, for the office and for the owner.
//!
//! Each reading is told with what was read, what it comes to and the rule that says so.
//! The owner is told the same in fewer words: the figures, the verdict and its reason.

use crate::book::Book;
use crate::book::readings::Reading;
use crate::event::{ReadingFacts, Stage};
use crate::id::{JobId, ReadingId};
use crate::moment::Moment;
use crate::reading::finding::Finding;
use crate::view::{answers, finding, reading_title};

/// A reading on a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadingSheet {
    /// The reading.
    pub id: ReadingId,
    /// When it was taken.
    pub at: Moment,
    /// Its kind, and what was measured.
    pub title: String,
    /// What is known of it.
    pub facts: ReadingFacts,
    /// Whether it was taken before the repair or after it, where somebody said so.
    pub stage: Option<Stage>,
    /// What it comes to.
    pub finding: Finding,
}

/// Returns the readings of a job, in the order in which they were taken.
pub fn readings(book: &Book, job: JobId) -> impl Iterator<Item = ReadingSheet> {
    book.readings.readings().filter(move |it| book.readings.job_of(it) == Some(job)).map(|it| sheet(book, it))
}

pub(super) fn sheet(book: &Book, reading: &Reading) -> ReadingSheet {
    ReadingSheet {
        id: reading.id,
        at: reading.at,
        title: reading_title(reading),
        facts: reading.facts.clone(),
        stage: reading.stage,
        finding: finding(book, reading),
    }
}

impl ReadingSheet {
    /// Returns the reading in plain words for the owner: what was read, how it stands and why.
    pub fn owner_words(&self) -> String {
        let mut words = self.figures();
        for reason in self.reasons() {
            words.push(' ');
            words.push_str(reason);
        }
        words
    }

    /// Returns the reading for the office: as for the owner, with the rules, the instrument and the note.
    pub fn office_words(&self) -> String {
        let mut words = self.owner_words();
        for reason in &self.finding.reasons {
            words.push_str(" Rule: ");
            words.push_str(&reason.rule);
            words.push('.');
        }
        for (label, text) in [(" With ", self.facts.instrument.as_str()), (" ", self.facts.note.as_str())] {
            if !text.is_empty() {
                words.push_str(label);
                words.push_str(text);
                words.push('.');
            }
        }
        words
    }

    /// The figures as they were typed, what was worked out, and the verdict.
    fn figures(&self) -> String {
        let typed = answers(self.facts.kind, &self.facts.given).into_iter();
        let told = self.finding.told.iter().map(|told| (told.words.to_owned(), told.value.clone()));
        let all: Vec<String> = typed.chain(told).map(|(words, value)| [words, value].join(" ")).collect();
        [&self.title, ": ", &all.join("; "), ". ", self.finding.verdict().words(), "."].concat()
    }

    fn reasons(&self) -> impl Iterator<Item = &str> {
        let gravest = self.finding.verdict();
        self.finding.reasons.iter().filter(move |it| it.verdict == gravest).map(|it| it.words.as_str())
    }
}
