//! The day sheet for the office and the summary for the owner, as plain data.
//!
//! Both come from the book alone; the written forms ([`crate::exchange`]) only
//! lay them out. The times of a day sheet are sums of the day's spans to the
//! millisecond: every span is in exactly one of them, and nothing is rounded.
//!
//! Rule for time: on a line, it is that line's; on a job with one line, it is
//! that line's too; on a job with several it stays with the job, with no line
//! named. Meal and rest periods stand apart.
//!
//! The owner's summary holds the story, the checklist, what is still off, what was
//! tightened to what, the parts, what was measured, what was recommended, which visits are planned, and the photos
//! with their captions; what was agreed only where the estimate says that it is told there.
//! It warns of what is missing before the engine runs. It holds no line that is internal, no pay type, times only where
//! the shop wants it ([`times`]), no position, nobody else's boat, and no notes: notes are the technician's
//! own, written to be remembered and not to be sent; neither does it hold voice notes.

pub mod agreement;
pub mod amended;
pub mod billed;
pub mod differs;
pub mod heed;
pub mod job;
pub mod paid;
pub mod pattern;
pub mod readings;
pub mod revised;
pub mod since;
pub mod tightening;
pub mod times;
pub mod trail;
pub mod visits;
pub mod voices;
pub mod warranty;

use crate::book::Book;
use crate::book::evidence::{Pair, Photo};
use crate::book::jobs::{Job, JobLine};
use crate::book::ledger::{Span, by_activity};
use crate::book::teardown::Item;
use crate::closing::{CarryOver, OffItem, carry_over, jobs_of_day, known_job};
use crate::event::{
    About, Activity, BoatFacts, EngineFacts, Mark, NextVisit, PartFacts, PayType, Reader, Recommendation, Reply, Shows,
    StoryPart, Tags,
};
use crate::hours::rounding::Charge;
use crate::id::{BlobId, DeviceId, Hash, JobId, LineId, PhotoId};
use crate::log::Tip;
use crate::moment::{Day, Length, Moment};
use crate::quantity::EngineHours;
use crate::reading::Kind;
use crate::reassembly::tally::Instead;
use crate::text::{Label, Prose};
use crate::view::{instead_words, item_name, reading_title};

pub use agreement::SignedState;
use agreement::{AgreedSheet, Agreements};
use amended::{Revision, revision};
use billed::{JobHours, job_hours};
use heed::{Heed, heed};
use readings::{ReadingSheet, readings};
use tightening::TorqueSheet;
use trail::{MendSheet, trail};
use visits::{JobVisits, job_visits};
use voices::{VoiceSheet, voices};
use warranty::{ClaimSheet, claim_sheet};

/// What a day comes to, for the office.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DaySheet {
    /// The technician's name.
    pub technician: Label,
    /// The shop's name.
    pub shop: Label,
    /// The local day.
    pub day: Day,
    /// The local day on which it was made: what stands at the end of a job stands as of then.
    pub as_of: Day,
    /// Which revision of the day this is.
    pub revision: Revision,
    /// The jobs that the day touched, in its order.
    pub jobs: Vec<JobSheet>,
    /// Time on no job, pauses left out.
    pub no_job: Vec<Share>,
    /// Meal and rest periods.
    pub pauses: Vec<Share>,
    /// Everything but pauses.
    pub worked: Length,
    /// Everything.
    pub total: Length,
    /// Notes on the day as such.
    pub notes: Vec<NoteSheet>,
    /// Photos of the day as such.
    pub photos: Vec<PhotoSheet>,
    /// Voice notes on the day as such.
    pub voices: Vec<VoiceSheet>,
    /// What the next day starts from.
    pub carry_over: Vec<CarryOver>,
    /// What was mended of the day, and what was taken back of it.
    pub mends: Vec<MendSheet>,
    /// How the shop charges the clock's time, where it said so.
    pub charge: Option<Charge>,
    /// Where in the log this was read.
    pub log: LogHead,
}

/// The end of the log from which a sheet was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LogHead {
    /// The device.
    pub device: DeviceId,
    /// The number of its last record.
    pub seq: u64,
    /// The hash of its last record.
    pub hash: Hash,
}

impl From<&Tip> for LogHead {
    fn from(tip: &Tip) -> Self {
        Self { device: tip.device, seq: tip.seq, hash: tip.hash }
    }
}

/// Time on one activity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Share {
    /// What was done.
    pub activity: Activity,
    /// How long.
    pub length: Length,
}

/// A job on a day sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobSheet {
    /// The job.
    pub job: JobId,
    /// The boat.
    pub boat: BoatFacts,
    /// What her owner reads.
    pub reader: Reader,
    /// The engine, when the job is on one.
    pub engine: Option<EngineSheet>,
    /// What the job is.
    pub title: Label,
    /// Words under which it is found again.
    pub tags: Tags,
    /// Whether nothing is left to do.
    pub finished: bool,
    /// All its lines, with their time of the day.
    pub lines: Vec<LineSheet>,
    /// Time of the day with no line named.
    pub no_line: Vec<Share>,
    /// Parts used on the day.
    pub parts: Vec<PartFacts>,
    /// Notes of the day.
    pub notes: Vec<NoteSheet>,
    /// Photos of the day.
    pub photos: Vec<PhotoSheet>,
    /// Of these photos, each two that show the same thing before and after.
    pub pairs: Vec<PairSheet>,
    /// Those of them that stand in none of the pairs.
    pub single: Vec<PhotoSheet>,
    /// Voice notes of the day.
    pub voices: Vec<VoiceSheet>,
    /// What is still off.
    pub off: Vec<OffItem>,
    /// What was replaced or left off on purpose, and why.
    pub instead: Vec<String>,
    /// The checklist.
    pub steps: Vec<StepSheet>,
    /// What is tightened, and how far.
    pub torque: Vec<TorqueSheet>,
    /// What was measured on the day.
    pub readings: Vec<ReadingSheet>,
    /// Clock hours and billed hours, over all its days.
    pub hours: JobHours,
    /// What was agreed with the owner.
    pub agreements: Agreements,
    /// Visits that are planned.
    pub visits: JobVisits,
    /// What is missing before the engine runs, and cautions.
    pub heed: Heed,
}

impl JobSheet {
    /// Returns the day's time on the job.
    pub fn time(&self) -> Length {
        let lines = self.lines.iter().flat_map(|line| &line.time);
        lines.chain(&self.no_line).map(|share| share.length).sum()
    }
}

/// An engine on a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EngineSheet {
    /// What is known of it.
    pub facts: EngineFacts,
    /// The last reading of its hour meter.
    pub hours: Option<EngineHours>,
}

/// A job's line on a day sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineSheet {
    /// The line.
    pub line: LineId,
    /// Who pays.
    pub pay: PayType,
    /// Its story.
    pub story: Story,
    /// Its time of the day.
    pub time: Vec<Share>,
    /// What a claim for warranty on it has and lacks, where there is one.
    pub claim: Option<ClaimSheet>,
}

/// The story of a line.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Story {
    /// What the customer says is wrong.
    pub complaint: Prose,
    /// What was found.
    pub cause: Prose,
    /// What was done.
    pub correction: Prose,
}

impl Story {
    fn of(line: &JobLine) -> Self {
        Self { complaint: line.complaint.clone(), cause: line.cause.clone(), correction: line.correction.clone() }
    }

    /// Returns a part of it.
    fn part(&self, part: StoryPart) -> &Prose {
        match part {
            StoryPart::Complaint => &self.complaint,
            StoryPart::Cause => &self.cause,
            StoryPart::Correction => &self.correction,
        }
    }
}

/// A note on a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoteSheet {
    /// When it was written.
    pub at: Moment,
    /// The item or step that it is on, if it is on one.
    pub about: Option<Label>,
    /// What it says.
    pub text: Prose,
}

/// A photo on a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PhotoSheet {
    /// The name of its bytes.
    pub blob: BlobId,
    /// What it shows; never empty.
    pub caption: String,
    /// Whether the caption is anybody's; else it only says that it is a photo.
    pub captioned: bool,
    /// The reading that gives it its caption, where nobody wrote one: its kind and what was
    /// measured, which each language calls by names of its own.
    pub of_reading: Option<(Kind, Label)>,
    /// Width in pixels.
    pub width: u16,
    /// Height in pixels.
    pub height: u16,
    /// What is drawn on it.
    pub marks: Vec<Mark>,
    /// What it proves, where somebody said so.
    pub shows: Option<Shows>,
}

/// Returns a part in one line, `2 × Impeller, no. 12-34`.
pub(crate) fn part_words(part: &PartFacts) -> String {
    let number = if part.number.is_empty() { String::new() } else { format!(", no. {}", part.number) };
    format!("{} × {}{number}", part.count, part.what)
}

/// A step on a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StepSheet {
    /// What is to be done.
    pub text: Label,
    /// Whether it is done.
    pub done: bool,
}

/// Something that does not go back on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InsteadSheet {
    /// What it is.
    pub what: Label,
    /// What became of it, how many and why.
    pub instead: Instead,
}

impl InsteadSheet {
    /// Returns it in words for the office.
    pub fn words(&self) -> String {
        format!("{}: {}", self.what, instead_words(&self.instead))
    }
}

/// What a job comes to, for the owner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnerSheet {
    /// For whom it is written.
    pub reader: Reader,
    /// The shop's name.
    pub shop: Label,
    /// The technician's name.
    pub technician: Label,
    /// The day on which it was made.
    pub day: Day,
    /// The boat.
    pub boat: BoatFacts,
    /// The engine, when the job is on one.
    pub engine: Option<EngineSheet>,
    /// What the job is.
    pub title: Label,
    /// Whether nothing is left to do.
    pub finished: bool,
    /// What was said, found and done, line by line; what the shop does for itself is not among it.
    pub stories: Vec<Story>,
    /// The checklist.
    pub steps: Vec<StepSheet>,
    /// What is missing before the engine runs, and cautions.
    pub heed: Heed,
    /// What is still off.
    pub off: Vec<OffItem>,
    /// What is tightened, and how far.
    pub torque: Vec<TorqueSheet>,
    /// What was replaced or left off on purpose, and why.
    pub instead: Vec<InsteadSheet>,
    /// Parts used.
    pub parts: Vec<PartFacts>,
    /// What was measured.
    pub readings: Vec<ReadingSheet>,
    /// What was recommended, and what the owner said.
    pub recommended: Vec<(Recommendation, Option<Reply>)>,
    /// What was estimated and agreed, where the estimate says that it is told here.
    pub agreed: Option<AgreedSheet>,
    /// The visits that are planned and still lie ahead.
    pub next_visits: Vec<NextVisit>,
    /// Time by activity, where the shop lets owners see it, as [`times::owners_time`] has it; else none.
    pub time: Vec<Share>,
    /// Photos that show the same thing before and after.
    pub pairs: Vec<PairSheet>,
    /// All other photos.
    pub photos: Vec<PhotoSheet>,
}

/// Two photos of the same thing on a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PairSheet {
    /// What they show; may be empty.
    pub what: Label,
    /// The photo before the work.
    pub before: PhotoSheet,
    /// The photo after it.
    pub after: PhotoSheet,
}

/// Returns what `day` comes to at `now`; `log` says from which end of the log.
pub fn day_sheet(book: &Book, day: Day, now: Moment, log: LogHead) -> DaySheet {
    let spans = book.ledger.spans_of(day, now);
    let (pauses, work): (Vec<Span>, Vec<Span>) = spans.iter().partition(|span| span.activity.is_pause());
    let jobs = job_hours(book, &jobs_of_day(book, day, now), now).into_iter();
    DaySheet {
        technician: book.technician.name.clone(),
        shop: book.technician.shop.clone(),
        day,
        as_of: now.day(),
        revision: revision(book, day, now),
        jobs: jobs.filter_map(|hours| job_sheet(book, hours, Within::Day(day), &work, now)).collect(),
        no_job: shares(work.iter().filter(|span| known_job(book, span.on).is_none())),
        pauses: shares(pauses.iter()),
        worked: work.iter().map(Span::length).sum(),
        total: spans.iter().map(Span::length).sum(),
        notes: notes(book, Within::Day(day), None),
        photos: book.evidence.photos_about(About::Day).filter(|p| p.at.day() == day).map(|p| photo(book, p)).collect(),
        voices: voices(book, None).filter(|voice| voice.at.day() == day).collect(),
        carry_over: carry_over(book, day, now),
        mends: trail(book, day),
        charge: book.shop.chosen().map(|rules| rules.bill),
        log,
    }
}

/// How much of a job a sheet tells.
#[derive(Clone, Copy)]
enum Within {
    Day(Day),
    AllDays,
}

impl Within {
    fn takes(self, at: Moment) -> bool {
        match self {
            Self::Day(day) => at.day() == day,
            Self::AllDays => true,
        }
    }
}

/// Returns what a job comes to; `work` is the time of which it is told.
fn job_sheet(book: &Book, hours: JobHours, within: Within, work: &[Span], now: Moment) -> Option<JobSheet> {
    let job = book.jobs.job(hours.job)?;
    let on_job = work.iter().filter(|span| known_job(book, span.on) == Some(job.id));
    let (named, unnamed): (Vec<&Span>, Vec<&Span>) = on_job.partition(|span| book.line_of(span.on).is_some());
    let line = |line: &JobLine| LineSheet {
        line: line.id,
        pay: line.pay,
        story: Story::of(line),
        time: shares(named.iter().copied().filter(|span| book.line_of(span.on).is_some_and(|of| of.id == line.id))),
        claim: claim_sheet(book, line, now),
    };
    let parts = book.parts.parts_of(job.id).filter(|part| within.takes(part.at));
    let told: Vec<&Photo> = photos(book, job.id).filter(|photo| within.takes(photo.at)).collect();
    let paired = pairs_among(book, job.id, &told);
    Some(JobSheet {
        job: job.id,
        boat: boat(book, job),
        reader: reader(book, job),
        engine: engine(book, job),
        title: job.title.clone(),
        tags: job.tags.clone(),
        finished: job.finished.is_some(),
        lines: book.jobs.lines_of(job.id).map(line).collect(),
        no_line: shares(unnamed.into_iter()),
        parts: parts.map(|part| part.facts.clone()).collect(),
        notes: notes(book, within, Some(job.id)),
        photos: told.iter().map(|it| photo(book, it)).collect(),
        pairs: paired.iter().filter_map(|pair| pair_sheet(book, pair)).collect(),
        single: told.iter().filter(|it| !paired.iter().any(|pair| pair.has(it.id))).map(|it| photo(book, it)).collect(),
        voices: voices(book, Some(job.id)).filter(|voice| within.takes(voice.at)).collect(),
        off: off(book, job.id),
        instead: instead(book, job.id).iter().map(InsteadSheet::words).collect(),
        steps: steps(book, job.id),
        torque: torque(book, job.id),
        readings: readings(book, job.id).filter(|reading| within.takes(reading.at)).collect(),
        hours,
        agreements: Agreements::of(book, job.id),
        visits: job_visits(book, job),
        heed: heed(book, job.id),
    })
}

/// Returns what a job comes to for its owner, made on `day`; nothing for a job
/// that is not in the book.
pub fn owner_sheet(book: &Book, job: JobId, day: Day) -> Option<OwnerSheet> {
    let job = book.jobs.job(job)?;
    let pairs: Vec<&Pair> = pairs(book, job.id).collect();
    let is_paired = |photo: &Photo| pairs.iter().any(|pair| pair.has(photo.id));
    Some(OwnerSheet {
        reader: reader(book, job),
        shop: book.technician.shop.clone(),
        technician: book.technician.name.clone(),
        day,
        boat: boat(book, job),
        engine: engine(book, job),
        title: job.title.clone(),
        finished: job.finished.is_some(),
        stories: stories(book, job.id, |line| line.pay != PayType::Internal),
        steps: steps(book, job.id),
        heed: heed(book, job.id),
        off: off(book, job.id),
        torque: torque(book, job.id),
        instead: instead(book, job.id),
        parts: book.parts.parts_of(job.id).map(|part| part.facts.clone()).collect(),
        readings: readings(book, job.id).collect(),
        recommended: agreement::recommended_for_summary(book, job.id),
        agreed: agreement::agreed_for_summary(book, job.id),
        next_visits: visits::ahead(book, job),
        time: Vec::new(),
        pairs: pairs.iter().filter_map(|pair| pair_sheet(book, pair)).collect(),
        photos: photos(book, job.id).filter(|it| !is_paired(it)).map(|it| photo(book, it)).collect(),
    })
}

fn stories(book: &Book, job: JobId, is_told: impl Fn(&JobLine) -> bool) -> Vec<Story> {
    book.jobs.lines_of(job).filter(|line| is_told(line)).map(Story::of).collect()
}

/// Returns the time of some spans by activity, in the order in which activities are offered.
fn shares<'a>(spans: impl Iterator<Item = &'a Span>) -> Vec<Share> {
    by_activity(spans).into_iter().map(|(activity, length)| Share { activity, length }).collect()
}

fn boat(book: &Book, job: &Job) -> BoatFacts {
    book.fleet.boat(job.boat).map(|boat| boat.facts.clone()).unwrap_or_default()
}

fn reader(book: &Book, job: &Job) -> Reader {
    book.fleet.boat(job.boat).map(|boat| boat.reader).unwrap_or_default()
}

fn engine(book: &Book, job: &Job) -> Option<EngineSheet> {
    let engine = book.engine_of(job)?;
    Some(EngineSheet { facts: engine.facts.clone(), hours: engine.last_hours() })
}

fn off(book: &Book, job: JobId) -> Vec<OffItem> {
    book.teardown.still_off(job).map(OffItem::of).collect()
}

fn instead(book: &Book, job: JobId) -> Vec<InsteadSheet> {
    let sheets = |item: &Item| -> Vec<InsteadSheet> {
        let what = Label::new(item_name(&item.facts));
        item.instead().map(|instead| InsteadSheet { what: what.clone(), instead: instead.clone() }).collect()
    };
    book.teardown.items_of(job).flat_map(sheets).collect()
}

fn steps(book: &Book, job: JobId) -> Vec<StepSheet> {
    book.steps.steps_of(job).map(|step| StepSheet { text: step.text.clone(), done: step.done.is_some() }).collect()
}

fn torque(book: &Book, job: JobId) -> Vec<TorqueSheet> {
    book.tightening.groups_of(job).map(TorqueSheet::of).collect()
}

/// Returns the notes on a job and its things, or on no job.
fn notes(book: &Book, within: Within, job: Option<JobId>) -> Vec<NoteSheet> {
    let of_day = book.evidence.notes().filter(|note| within.takes(note.at) && book.job_about(note.about) == job);
    let told = of_day.map(|note| NoteSheet { at: note.at, about: thing(book, note.about), text: note.text.clone() });
    told.collect()
}

fn photos(book: &Book, job: JobId) -> impl Iterator<Item = &Photo> {
    book.evidence.photos().filter(move |photo| book.job_about(photo.about) == Some(job))
}

fn pairs(book: &Book, job: JobId) -> impl Iterator<Item = &Pair> {
    let of_job = move |photo| book.evidence.photo_of(photo).and_then(|it| book.job_about(it.about)) == Some(job);
    book.evidence.pairs().filter(move |pair| of_job(pair.before) && of_job(pair.after))
}

/// Returns a job's pairs of which both photos are among these; each photo in the first of its pairs.
fn pairs_among<'a>(book: &'a Book, job: JobId, told: &[&Photo]) -> Vec<&'a Pair> {
    let is_told = |photo: PhotoId| told.iter().any(|it| it.id == photo);
    let mut own: Vec<&Pair> = Vec::new();
    for pair in pairs(book, job).filter(|pair| is_told(pair.before) && is_told(pair.after)) {
        if !own.iter().any(|it| it.has(pair.before) || it.has(pair.after)) {
            own.push(pair);
        }
    }
    own
}

fn pair_sheet(book: &Book, pair: &Pair) -> Option<PairSheet> {
    let sheet = |id| Some(photo(book, book.evidence.photo_of(id)?));
    Some(PairSheet { what: pair.what.clone(), before: sheet(pair.before)?, after: sheet(pair.after)? })
}

pub(crate) fn photo(book: &Book, photo: &Photo) -> PhotoSheet {
    let facts = &photo.facts;
    let thing = thing(book, photo.about).unwrap_or_default();
    let known = facts.caption.or(thing.as_str());
    let caption = if known.is_empty() { "Photo" } else { known }.to_owned();
    let (captioned, marks, shows) = (!known.is_empty(), photo.marks.clone(), photo.shows);
    let of_reading = if facts.caption.is_empty() { reading_of(book, photo.about) } else { None };
    let (width, height) = (facts.width, facts.height);
    PhotoSheet { blob: facts.blob, caption, captioned, of_reading, width, height, marks, shows }
}

/// Returns the kind of the reading that something is about, and what was measured.
fn reading_of(book: &Book, about: About) -> Option<(Kind, Label)> {
    let About::Reading(reading) = about else { return None };
    book.readings.reading(reading).map(|it| (it.facts.kind, it.facts.what.clone()))
}

/// Returns the name of the item, step or group that a note or a photo is about.
fn thing(book: &Book, about: About) -> Option<Label> {
    match about {
        About::Day | About::Job(_) => None,
        About::Item(item) => book.teardown.item(item).map(|item| item.facts.what.clone()),
        About::Step(step) => book.steps.step(step).map(|step| step.text.clone()),
        About::Reading(reading) => book.readings.reading(reading).map(|it| Label::new(&reading_title(it))),
        About::Group(group) => book.tightening.group(group).map(|group| group.facts.what.clone()),
    }
}
