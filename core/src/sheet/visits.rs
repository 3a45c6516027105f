//! Visits that are planned, on a sheet: what a job plans, and what was planned before it.
//!
//! What was planned on an earlier job of the boat stands on every later one until one
//! of them is that visit; on that one it stands as made. A job that was open already
//! when a visit was planned elsewhere is not told of it.

use crate::book::Book;
use crate::book::jobs::Job;
use crate::book::visits::Planned;
use crate::event::{Asker, NextVisit, VisitTime};
use crate::id::{EventId, JobId, VisitId};
use crate::moment::{Day, Moment};
use crate::view::day_words;

/// A planned visit on a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VisitSheet {
    /// Its name in the log.
    pub id: VisitId,
    /// When it was planned.
    pub at: Moment,
    /// What is planned.
    pub visit: NextVisit,
    /// The job that it became, and who says so, if it did.
    pub made: Option<(JobId, EventId)>,
}

/// The visits that concern a job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct JobVisits {
    /// What is planned on it.
    pub planned: Vec<VisitSheet>,
    /// What was planned on the boat before it, and still waits or is this job.
    pub before: Vec<VisitSheet>,
}

impl VisitSheet {
    fn of(book: &Book, planned: &Planned) -> Self {
        let made = book.visits.made(planned.id).map(|made| (made.job, made.id));
        Self { id: planned.id, at: planned.at, visit: planned.visit.clone(), made }
    }

    /// Returns it in words for the technician and the office.
    pub fn words(&self) -> String {
        let told = visit_words(&self.visit, self.at.day());
        if self.made.is_some() { told + "; made" } else { told }
    }
}

/// Returns the visits that concern a job.
pub fn job_visits(book: &Book, job: &Job) -> JobVisits {
    let on_boat = |it: &&Planned| book.jobs.job(it.job).is_some_and(|other| other.boat == job.boat);
    let concerns = |it: &VisitSheet| it.made.is_none_or(|(made_on, _)| made_on == job.id);
    let of = |own: bool| {
        let planned = book.visits.planned().filter(on_boat).filter(move |it| (it.job == job.id) == own);
        planned.map(|it| VisitSheet::of(book, it))
    };
    let before = of(false).filter(|it| it.at.utc_ms() <= job.opened.utc_ms() && concerns(it));
    JobVisits { planned: of(true).collect(), before: before.collect() }
}

/// Returns what a job plans that still lies ahead, for its owner.
pub(super) fn ahead(book: &Book, job: &Job) -> Vec<NextVisit> {
    job_visits(book, job).planned.into_iter().filter(|it| it.made.is_none()).map(|it| it.visit).collect()
}

/// Returns a visit in words, `Winter lay-up, Monday 5 October, asked for by the owner`.
pub fn visit_words(visit: &NextVisit, today: Day) -> String {
    let when = match &visit.when {
        VisitTime::Unsaid => String::new(),
        VisitTime::Day(day) => format!(", {}", day_words(*day, today)),
        VisitTime::Words(words) => format!(", {words}"),
    };
    let who = match &visit.asked_by {
        Asker::Owner => "the owner",
        Asker::Shop => "us",
        Asker::Other(name) => name.or("somebody unnamed"),
    };
    format!("{}{when}, asked for by {who}", visit.what)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::Label;

    #[test]
    fn a_visit_says_what_when_and_who_asks() {
        let told = |when, asked_by| {
            let visit = NextVisit { what: Label::new("Winter lay-up"), when, asked_by };
            visit_words(&visit, Day::parse("2026-05-04").unwrap())
        };
        let day = Day::parse("2026-10-05").unwrap();
        assert_eq!(told(VisitTime::Day(day), Asker::Owner), "Winter lay-up, Monday 5 October, asked for by the owner");
        let frost = VisitTime::Words(Label::new("before the first frost"));
        assert_eq!(told(frost, Asker::Shop), "Winter lay-up, before the first frost, asked for by us");
        let insurer = Asker::Other(Label::new("the insurer"));
        assert_eq!(told(VisitTime::Unsaid, insurer), "Winter lay-up, asked for by the insurer");
    }
}
