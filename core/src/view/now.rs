//! What the Now screen shows: the clock, the day as a strip, a clock that is behind.

use crate::book::Book;
use crate::book::jobs::JobLine;
use crate::book::ledger::Span;
use crate::event::{Activity, On};
use crate::id::{EventId, JobId, LineId};
use crate::moment::{Day, Length, Moment};

use super::{Place, hour_minute, place, when};

/// What the clock says now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Running {
    /// What is done.
    pub activity: Activity,
    /// For what.
    pub on: On,
    /// The job, when there is one.
    pub job: Option<JobId>,
    /// The boat and what the job is, or "no job".
    pub place: Place,
    /// When it began.
    pub from: Moment,
    /// The local time at which it began, `08:05`.
    pub since: String,
    /// The job's lines to choose from, when it has more than one.
    pub lines: Vec<LineChoice>,
}

/// One of several lines of the running job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineChoice {
    /// The line.
    pub id: LineId,
    /// Its number, who pays, and how the complaint begins.
    pub words: String,
    /// Whether the clock runs on it.
    pub chosen: bool,
}

/// One row of the day as a strip; no two of a day are equal, so a screen can
/// tell which of them are new.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct SpanRow {
    /// The tap that began it, or the mend before which something else was done.
    pub begun_by: EventId,
    /// The tap or the mend that says what was done.
    pub said_by: EventId,
    /// Whether that is a mend.
    pub mended: bool,
    /// Local time at its beginning.
    pub from: String,
    /// Local time at its end; none while it runs.
    pub to: Option<String>,
    /// What was done.
    pub activity: Activity,
    /// For what.
    pub place: Place,
    /// How long.
    pub length: Length,
}

/// Returns what the clock says, or nothing while it is off.
pub fn running(book: &Book) -> Option<Running> {
    let span = book.ledger.running()?;
    let job = book.job_of(span.on);
    Some(Running {
        activity: span.activity,
        on: span.on,
        job,
        lines: job.map(|job| line_choices(book, job, span.on)).unwrap_or_default(),
        place: place(book, span.on),
        from: span.from,
        since: hour_minute(span.from),
    })
}

/// Returns what the clock says, since when with the day where it was begun on another.
pub fn running_since(book: &Book, today: Day) -> Option<Running> {
    running(book).map(|it| Running { since: when(it.from, today), ..it })
}

fn line_choices(book: &Book, job: JobId, on: On) -> Vec<LineChoice> {
    let choice = |(number, line): (usize, &JobLine)| {
        let begins: String = line.complaint.as_str().chars().take_while(|&c| c != '\n').take(40).collect();
        let pay = line.pay.words();
        let words =
            if begins.is_empty() { format!("{number} · {pay}") } else { format!("{number} · {pay} · {begins}") };
        LineChoice { id: line.id, words, chosen: on == On::Line(line.id) }
    };
    let choices: Vec<LineChoice> = (1..).zip(book.jobs.lines_of(job)).map(choice).collect();
    if choices.len() > 1 { choices } else { Vec::new() }
}

/// Returns a day as rows, earliest first.
pub fn day_rows(book: &Book, day: Day, now: Moment) -> Vec<SpanRow> {
    let row = |span: Span| SpanRow {
        begun_by: span.begun_by,
        said_by: span.said_by,
        mended: book.ledger.mended(span.said_by).is_some(),
        from: hour_minute(span.from),
        // A screen's present is cut to the minute, so what began within it ends after it.
        to: (span.ended_by.is_some() || span.to.day() != day).then(|| hour_minute(span.to)),
        activity: span.activity,
        place: place(book, span.on),
        length: span.length(),
    };
    book.ledger.spans_of(day, now).into_iter().map(row).collect()
}

/// Returns the time worked on a day, pauses left out.
pub fn worked(book: &Book, day: Day, now: Moment) -> Length {
    let spans = book.ledger.spans_of(day, now);
    spans.iter().filter(|span| !span.activity.is_pause()).map(Span::length).sum()
}

/// Says that the phone's clock is before the last tap, so that nothing is counted now.
pub fn clock_is_behind(book: &Book, now: Moment) -> Option<String> {
    // A screen's present is cut to the minute, so the last tap may be that much later.
    const NOTICED: Length = Length::from_ms(2 * 60_000);
    let by = book.ledger.last()?.at.since(now).filter(|&by| by >= NOTICED)?;
    let by = by.clock_face();
    Some(format!(
        "This phone's clock is {by} before the last tap. Set its date and time right: what was counted is kept, but \
         nothing is counted until then."
    ))
}
