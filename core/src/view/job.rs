//! What stands on one job's page.
//!
//! Each part of the page asks for its own, so that a tap on one costs nothing for the others.

use std::collections::BTreeMap;

use crate::book::Book;
use crate::book::evidence::{Note, Photo, Voice};
use crate::book::jobs::JobLine;
use crate::book::ledger::{Span, by_activity, by_day};
use crate::event::{About, Activity, Billing, ItemFacts, Mark, PartFacts, PayType, Tags, VoiceFacts};
use crate::id::{BlobId, BoatId, EventId, JobId, LineId, NoteId, PartId, PhotoId, StepId, VoiceId};
use crate::moment::{Day, Length, Moment};
use crate::order;
use crate::reassembly::gate::Need;
use crate::sheet::billed::{Both, job_hours};

use super::hours::dealt;
use super::off::{RunGate, run_gate};
use super::words::{about_words, whereabouts};
use super::{engine_card, hour_minute, when};

/// What stands at the head of a job's page, its lines and its steps.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobCard {
    /// The job.
    pub id: JobId,
    /// The boat.
    pub boat: BoatId,
    /// The boat's name.
    pub boat_name: String,
    /// Owner and berth, as far as known.
    pub whereabouts: String,
    /// The engine, in one line.
    pub engine: Option<String>,
    /// What it is.
    pub title: String,
    /// Words under which it is found again.
    pub tags: Tags,
    /// Whether it is finished.
    pub finished: bool,
    /// What the clock does on it now.
    pub running: Option<Activity>,
    /// Its lines.
    pub lines: Vec<LineCard>,
    /// How many single things are still off.
    pub off: u32,
    /// The run gate.
    pub gate: RunGate,
    /// The checklist.
    pub steps: Vec<StepRow>,
    /// How many groups of fasteners it has.
    pub groups: usize,
    /// How many of them are all tight.
    pub tight: usize,
}

/// One line of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineCard {
    /// The line.
    pub id: LineId,
    /// Who pays.
    pub pay: PayType,
    /// How it is billed.
    pub billing: Billing,
    /// The story: complaint, cause, correction.
    pub story: [String; 3],
}

/// One row of a checklist.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StepRow {
    /// The step.
    pub id: StepId,
    /// What is to be done.
    pub text: String,
    /// Local time at which it was done, with the day unless it was `today`.
    pub done: Option<String>,
    /// Whether a procedure says more about it.
    pub guided: bool,
    /// What it is needed for before the engine runs.
    pub needed: Option<Need>,
    /// Its photos.
    pub photos: Vec<PhotoCard>,
    /// What was said aloud of it.
    pub voices: Vec<VoiceRow>,
}

/// A photo as a screen shows it.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct PhotoCard {
    /// The photo.
    pub id: PhotoId,
    /// Its bytes.
    pub blob: BlobId,
    /// What it shows; never empty.
    pub caption: String,
    /// What is drawn on it.
    pub marks: Vec<Mark>,
    /// Width and height in pixels.
    pub size: (u16, u16),
}

/// Two photos that show the same thing before and after.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct PairRow {
    /// The statement, to take back.
    pub event: EventId,
    /// The photo before the work.
    pub before: PhotoCard,
    /// The photo after it.
    pub after: PhotoCard,
}

/// Returns a job's pairs of photos, latest first.
pub fn pairs(book: &Book, job: JobId) -> Vec<PairRow> {
    let card = |id| {
        let photo = book.evidence.photo_of(id).filter(|photo| book.job_about(photo.about) == Some(job))?;
        Some(photo_card(book, photo))
    };
    let row = |pair: &crate::book::evidence::Pair| {
        Some(PairRow { event: pair.id.0, before: card(pair.before)?, after: card(pair.after)? })
    };
    let mut rows: Vec<PairRow> = book.evidence.pairs().filter_map(row).collect();
    rows.reverse();
    rows
}

/// A voice note as a screen shows it.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct VoiceRow {
    /// The voice note.
    pub id: VoiceId,
    /// What is known of it.
    pub facts: VoiceFacts,
    /// How long it is, `0:12`.
    pub length: String,
}

/// A note, a photo or a voice note.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EvidenceRow {
    /// A note.
    Note {
        /// The note.
        id: NoteId,
        /// When, in words.
        when: String,
        /// What it is about, if not the job as a whole.
        about: Option<String>,
        /// What it says.
        text: String,
    },
    /// A photo.
    Photo {
        /// When, in words.
        when: String,
        /// What it is about, if not the job as a whole.
        about: Option<String>,
        /// The photo.
        photo: PhotoCard,
    },
    /// A voice note.
    Voice {
        /// When, in words.
        when: String,
        /// What it is about, if not the job as a whole.
        about: Option<String>,
        /// The voice note.
        voice: VoiceRow,
    },
}

/// A part used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartRow {
    /// The part.
    pub id: PartId,
    /// What is known of it.
    pub facts: PartFacts,
}

/// The time on one job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct JobTime {
    /// Everything so far.
    pub total: Length,
    /// Today.
    pub today: Length,
    /// By activity, in the order in which activities are offered; in minutes that add up to everything.
    pub by_activity: Vec<(Activity, Length)>,
    /// By day, latest first; likewise.
    pub by_day: Vec<(Day, Length)>,
    /// Clock and billed hours of each line, and of what is on no line.
    pub billed: Vec<BilledRow>,
}

/// Clock hours and billed hours of a line, as a table shows them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BilledRow {
    /// The line's number and who pays, or that it is on no line.
    pub what: String,
    /// What the clock says, `3:20`.
    pub clock: String,
    /// What is billed, `2:30`.
    pub billed: String,
    /// Billed less clock, `−0:50`.
    pub difference: String,
}

/// Returns what a job's page tells at its head and of its lines and steps.
pub fn job_card(book: &Book, id: JobId, today: Day) -> Option<JobCard> {
    let job = book.jobs.job(id)?;
    let boat = book.fleet.boat(job.boat)?;
    let off = book.teardown.items_of(id).map(|item| item.still_off().0).fold(0, u32::saturating_add);
    Some(JobCard {
        id,
        boat: boat.id,
        boat_name: boat.facts.name.to_string(),
        whereabouts: whereabouts(&boat.facts),
        engine: book.engine_of(job).and_then(|engine| engine_card(book, engine.id)).map(|engine| engine.line),
        title: job.title.to_string(),
        tags: job.tags.clone(),
        finished: job.finished.is_some(),
        running: book.ledger.running().filter(|span| book.job_of(span.on) == Some(id)).map(|span| span.activity),
        lines: book.jobs.lines_of(id).map(|line| line_card(book, line.id)).collect(),
        off,
        gate: run_gate(book, id),
        steps: step_rows(book, id, today),
        groups: book.tightening.groups_of(id).count(),
        tight: book.tightening.groups_of(id).filter(|group| group.state().is_complete()).count(),
    })
}

/// Returns the parts that a job used.
pub fn parts_of(book: &Book, job: JobId) -> Vec<PartRow> {
    book.parts.parts_of(job).map(|part| PartRow { id: part.id, facts: part.facts.clone() }).collect()
}

/// Returns the time on one job.
pub fn job_time(book: &Book, id: JobId, now: Moment) -> JobTime {
    let mut time = JobTime::default();
    let mut day_sums: BTreeMap<Day, Length> = BTreeMap::new();
    let mut spans = book.ledger.spans(now);
    spans.retain(|span| book.job_of(span.on) == Some(id));
    time.total = spans.iter().map(Span::length).sum();
    time.by_activity = dealt(by_activity(spans.iter()), time.total);
    for (day, part) in spans.into_iter().flat_map(by_day) {
        let sum = day_sums.entry(day).or_default();
        *sum = *sum + part.length();
    }
    time.by_day = dealt(day_sums.into_iter().rev().collect(), time.total);
    time.today = time.by_day.iter().find(|(day, _)| *day == now.day()).map_or(Length::ZERO, |&(_, length)| length);
    time.billed = billed_rows(book, id, now);
    time
}

fn billed_rows(book: &Book, id: JobId, now: Moment) -> Vec<BilledRow> {
    let Some(hours) = job_hours(book, &[id], now).pop() else { return Vec::new() };
    let lines = (1..).zip(&hours.lines).map(|(number, line)| {
        let pay = line.pay.words();
        billed_row(format!("{number} · {pay}"), line.hours)
    });
    let no_line = Both { clock: hours.no_line, billed: Length::ZERO };
    let no_line = (no_line.clock > Length::ZERO).then(|| billed_row("on no line".to_owned(), no_line));
    let minimum = Both { clock: Length::ZERO, billed: hours.minimum };
    let minimum = (hours.minimum > Length::ZERO).then(|| billed_row("least charge".to_owned(), minimum));
    lines.chain(no_line).chain(minimum).collect()
}

pub(super) fn billed_row(what: String, hours: Both) -> BilledRow {
    let ms = hours.difference_ms();
    let sign = if ms < 0 { "−" } else { "" };
    let difference = [sign, &Length::from_ms(ms.unsigned_abs()).clock_face()].concat();
    BilledRow { what, clock: hours.clock.clock_face(), billed: hours.billed.clock_face(), difference }
}

/// Returns what was last typed for sizes, sides or places, most recent first,
/// each once: what to offer before the keyboard is needed.
pub fn recent_labels(book: &Book, job: JobId, of: fn(&ItemFacts) -> &crate::text::Label) -> Vec<String> {
    let mut labels: Vec<String> = Vec::new();
    for item in book.teardown.items_of(job).rev() {
        let label = of(&item.facts).to_string();
        if !label.is_empty() && !labels.contains(&label) {
            labels.push(label);
        }
    }
    labels.truncate(6);
    labels
}

fn line_card(book: &Book, id: LineId) -> LineCard {
    let line = book.jobs.line(id);
    let story = |text: fn(&JobLine) -> &crate::text::Prose| line.map(|line| text(line).to_string()).unwrap_or_default();
    LineCard {
        id,
        pay: line.map_or(PayType::CustomerPay, |line| line.pay),
        billing: line.map(|line| line.billing).unwrap_or_default(),
        story: [story(|line| &line.complaint), story(|line| &line.cause), story(|line| &line.correction)],
    }
}

/// Returns the photos of one thing.
pub(super) fn photos_about(book: &Book, about: About) -> Vec<PhotoCard> {
    book.evidence.photos_about(about).map(|photo| photo_card(book, photo)).collect()
}

pub(super) fn photo_card(book: &Book, photo: &Photo) -> PhotoCard {
    let caption = photo.facts.caption.to_string();
    let caption = if caption.is_empty() { about_words(book, photo.about).unwrap_or_default() } else { caption };
    let caption = if caption.is_empty() { format!("photo of {}", hour_minute(photo.at)) } else { caption };
    let (size, marks) = ((photo.facts.width, photo.facts.height), photo.marks.clone());
    PhotoCard { id: photo.id, blob: photo.facts.blob, caption, marks, size }
}

fn step_rows(book: &Book, job: JobId, today: Day) -> Vec<StepRow> {
    let row = |step: &crate::book::steps::Step| StepRow {
        id: step.id,
        text: step.text.to_string(),
        done: step.done.map(|at| when(at, today)),
        guided: step.taken.is_some(),
        needed: step.needed,
        photos: photos_about(book, About::Step(step.id)),
        voices: voices_about(book, About::Step(step.id)),
    };
    book.steps.steps_of(job).map(row).collect()
}

/// Returns what was said aloud about one thing.
pub(super) fn voices_about(book: &Book, about: About) -> Vec<VoiceRow> {
    book.evidence.voices().filter(|voice| voice.about == about).map(voice_row).collect()
}

fn voice_row(voice: &Voice) -> VoiceRow {
    VoiceRow { id: voice.id, facts: voice.facts, length: voice_length(voice.facts.ms) }
}

/// Returns how long a voice note of so many milliseconds is, `0:12`; a second begun counts as one.
pub fn voice_length(ms: u32) -> String {
    let seconds = ms.div_ceil(1_000);
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

/// Returns a job's notes, photos and voice notes, latest first.
pub fn evidence_of(book: &Book, job: JobId, today: Day) -> Vec<EvidenceRow> {
    let about = |about| if about == About::Job(job) { None } else { about_words(book, about) };
    let note = |note: &Note| {
        let row = EvidenceRow::Note {
            id: note.id,
            when: when(note.at, today),
            about: about(note.about),
            text: note.text.to_string(),
        };
        (note.at, row)
    };
    let photo = |photo: &Photo| {
        let row = EvidenceRow::Photo {
            when: when(photo.at, today),
            about: about(photo.about),
            photo: photo_card(book, photo),
        };
        (photo.at, row)
    };
    let notes = book.evidence.notes().filter(|one| book.job_about(one.about) == Some(job)).map(note);
    let photos = book.evidence.photos().filter(|one| book.job_about(one.about) == Some(job)).map(photo);
    let voice = |voice: &Voice| {
        let row =
            EvidenceRow::Voice { when: when(voice.at, today), about: about(voice.about), voice: voice_row(voice) };
        (voice.at, row)
    };
    let voices = book.evidence.voices().filter(|one| book.job_about(one.about) == Some(job)).map(voice);
    let rows: Vec<(Moment, EvidenceRow)> = notes.chain(photos).chain(voices).collect();
    let rows = order::last_first(rows, |&(at, _)| at);
    rows.into_iter().map(|(_, row)| row).collect()
}
