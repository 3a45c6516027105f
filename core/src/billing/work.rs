//! What was done, as it is billed: the book's jobs with their time and parts.
//!
//! Time is taken span by span, cut at midnight, and each piece keeps the names
//! of the events that say it. Pauses are on no job. Time on a job of several
//! lines with none named, and parts on a job that several pay, belong to no line;
//! they stand apart and are asked about.

use crate::book::Book;
use crate::book::jobs::JobLine;
use crate::book::ledger::{Span, by_day};
use crate::book::named::Named;
use crate::event::{Activity, Billing, On, PartFacts, PayType};
use crate::hours::rounding::Charge;
use crate::id::{EventId, JobId, LineId, PartId};
use crate::moment::{Day, Length, Moment};
use crate::order;
use crate::text::{Label, Prose};

/// A job and all that was done on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobWork {
    /// The job.
    pub job: JobId,
    /// What it is called.
    pub title: Label,
    /// The boat's name.
    pub boat: Label,
    /// Whose she is: who is billed.
    pub customer: Label,
    /// Where she lies.
    pub berth: Label,
    /// Who has it: whose device opened it.
    pub technician: Label,
    /// The day on which it was finished, unless it is open.
    pub finished: Option<Day>,
    /// What the clock's time is charged as by the shop's rules.
    pub charge: Charge,
    /// Its lines.
    pub lines: Vec<LineWork>,
    /// Time on none of its several lines.
    pub no_line: Vec<Piece>,
    /// Parts used.
    pub parts: Vec<PartWork>,
}

/// A line of a job and its time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineWork {
    /// The line.
    pub line: LineId,
    /// Who pays.
    pub pay: PayType,
    /// How it is billed.
    pub billing: Billing,
    /// What the customer says is wrong.
    pub complaint: Prose,
    /// Its time, earliest first.
    pub pieces: Vec<Piece>,
}

/// A stretch of time with one activity on one day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// What was done.
    pub activity: Activity,
    /// On which day.
    pub day: Day,
    /// For how long.
    pub length: Length,
    /// The events that say so.
    pub from: Vec<EventId>,
    /// Who did it, where that is not who has the job.
    pub by: Option<Label>,
}

/// A part used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartWork {
    /// The part.
    pub part: PartId,
    /// What is known of it.
    pub facts: PartFacts,
    /// On which day.
    pub day: Day,
    /// Who used it, where that is not who has the job.
    pub by: Option<Label>,
}

impl JobWork {
    /// Returns those who pay for it, in the order in which pay types are offered.
    pub fn pays(&self) -> Vec<PayType> {
        let pays = |pay: &PayType| self.lines.iter().any(|line| line.pay == *pay);
        PayType::ALL.into_iter().filter(pays).collect()
    }
}

/// Returns what was done on each job of the book up to `now`.
pub fn work(book: &Book, now: Moment) -> Vec<JobWork> {
    let mut times: Named<Vec<Piece>> = Named::default();
    for span in book.ledger.spans(now).into_iter().filter(|span| !span.activity.is_pause()) {
        let place = match book.booked(span.on) {
            On::Line(line) => line.0,
            On::Job(job) => job.0,
            On::NoJob => continue,
        };
        let pieces = by_day(span).into_iter().map(|(day, part)| piece(day, &part));
        times.of(place).extend(pieces.filter(|piece| piece.length > Length::ZERO));
    }
    let of = |place: EventId| times.get(place).cloned().unwrap_or_default();
    let job = |job: &crate::book::jobs::Job| {
        let boat = book.fleet.boat(job.boat).map(|boat| boat.facts.clone()).unwrap_or_default();
        let line = |line: &JobLine| LineWork {
            line: line.id,
            pay: line.pay,
            billing: line.billing,
            complaint: line.complaint.clone(),
            pieces: of(line.id.0),
        };
        let parts = book.parts.parts_of(job.id);
        JobWork {
            job: job.id,
            title: job.title.clone(),
            boat: boat.name,
            customer: boat.owner,
            berth: boat.berth,
            technician: book.technician.name.clone(),
            finished: job.finished.map(Moment::day),
            charge: book.shop.rules().bill,
            lines: book.jobs.lines_of(job.id).map(line).collect(),
            no_line: of(job.id.0),
            parts: parts
                .map(|it| PartWork { part: it.id, facts: it.facts.clone(), day: it.at.day(), by: None })
                .collect(),
        }
    };
    book.jobs.jobs().map(job).collect()
}

fn piece(day: Day, span: &Span) -> Piece {
    let mut from = vec![span.said_by, span.begun_by];
    from.extend(span.ended_by);
    Piece { activity: span.activity, day, length: span.length(), from: order::each_once(from), by: None }
}
