//! Visits that are planned, as a job's page and a boat's page show them, and the form of one.

use crate::book::Book;
use crate::event::{Asker, NextVisit, VisitTime};
use crate::id::{BoatId, EventId, JobId, VisitId};
use crate::moment::{Day, Moment};
use crate::sheet::visits::{VisitSheet, job_visits, visit_words};
use crate::text::Label;

use super::day_words;

/// The visits that concern a job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct VisitsCard {
    /// What is planned on it.
    pub planned: Vec<VisitRow>,
    /// What was planned on the boat before it, and still waits or is this job.
    pub before: Vec<VisitRow>,
}

/// A visit that is planned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VisitRow {
    /// Its name in the log.
    pub id: VisitId,
    /// What, when, and who asks for it.
    pub words: String,
    /// The statement that it was made, if it was.
    pub made: Option<EventId>,
}

/// Returns the visits that concern a job.
pub fn visits_card(book: &Book, job: JobId, today: Day) -> VisitsCard {
    let Some(job) = book.jobs.job(job) else { return VisitsCard::default() };
    let of = job_visits(book, job);
    let row = |sheet: VisitSheet, words: String| VisitRow { id: sheet.id, words, made: sheet.made.map(|it| it.1) };
    let own = |sheet: VisitSheet| {
        let words = visit_words(&sheet.visit, today);
        row(sheet, words)
    };
    let earlier = |sheet: VisitSheet| {
        let said = day_words(sheet.at.day(), today);
        let words = format!("{}, planned on {said}", visit_words(&sheet.visit, today));
        row(sheet, words)
    };
    VisitsCard {
        planned: of.planned.into_iter().map(own).collect(),
        before: of.before.into_iter().map(earlier).collect(),
    }
}

/// Returns what is planned for a boat and still lies ahead, in words.
pub fn visits_of_boat(book: &Book, boat: BoatId, now: Moment) -> Vec<String> {
    let ahead = book.jobs.jobs().find(|job| job.boat == boat).map(|job| book.visits_ahead(job.id)).unwrap_or_default();
    ahead.into_iter().map(|planned| visit_words(&planned.visit, now.day())).collect()
}

/// What was typed is no visit, and what to write instead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotAVisit {
    /// A day that cannot be read.
    #[error("choose the day, or leave it empty")]
    Day,
    /// A day and words for it.
    #[error("choose the day or say when in words, not both")]
    TwoTimes,
}

/// A visit as it is typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct VisitEntry {
    /// What is to be done then.
    pub what: String,
    /// The day, as `2026-10-05`; empty for none.
    pub day: String,
    /// When, in words; empty for none.
    pub words: String,
    /// Which of [`VisitEntry::WHO`] asks for it.
    pub who: usize,
    /// The name of who else asks for it.
    pub name: String,
}

impl VisitEntry {
    /// Who may ask for a visit, in the order in which they are offered.
    pub const WHO: [&'static str; 3] = ["the owner", "we ourselves", "somebody else"];
    /// Which of them is asked for by name.
    pub const BY_NAME: usize = 2;

    /// Reads it.
    ///
    /// # Errors
    /// Returns what to write instead.
    pub fn read(&self) -> Result<NextVisit, NotAVisit> {
        let words = Label::new(&self.words);
        let when = match (self.day.trim(), words.is_empty()) {
            ("", true) => VisitTime::Unsaid,
            ("", false) => VisitTime::Words(words),
            (day, true) => VisitTime::Day(Day::parse(day).ok_or(NotAVisit::Day)?),
            (_, false) => return Err(NotAVisit::TwoTimes),
        };
        let asked_by = match self.who {
            0 => Asker::Owner,
            1 => Asker::Shop,
            _ => Asker::Other(Label::new(&self.name)),
        };
        Ok(NextVisit { what: Label::new(&self.what), when, asked_by })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_visit_has_one_time_or_none() {
        let read = |day: &str, words: &str| {
            let [day, words] = [day, words].map(str::to_owned);
            VisitEntry { day, words, ..VisitEntry::default() }.read().map(|visit| visit.when)
        };
        assert_eq!(read("", " "), Ok(VisitTime::Unsaid));
        assert_eq!(read("2026-10-05", ""), Ok(VisitTime::Day(Day::parse("2026-10-05").unwrap())));
        assert_eq!(read("", "in spring"), Ok(VisitTime::Words(Label::new("in spring"))));
        assert_eq!(read("2026-10-05", "in spring"), Err(NotAVisit::TwoTimes));
        assert_eq!(read("5 October", ""), Err(NotAVisit::Day));
    }

    #[test]
    fn who_asks_is_chosen_or_named() {
        let read = |who, name: &str| {
            let entry = VisitEntry { who, name: name.to_owned(), ..VisitEntry::default() };
            entry.read().map(|visit| visit.asked_by)
        };
        assert_eq!([read(0, "x"), read(1, "")], [Ok(Asker::Owner), Ok(Asker::Shop)]);
        assert_eq!(read(VisitEntry::BY_NAME, "the yard"), Ok(Asker::Other(Label::new("the yard"))));
    }
}
