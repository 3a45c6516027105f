//! What a screen shows: plain data, in the words and figures of the screen.
//!
//! A screen asks here and draws the answer; it holds no rule and looks into no
//! other part of the book. Each function takes the book and, where it matters,
//! the time, and gives a value that compares, so that a screen is drawn again
//! only when what it shows has changed.

use std::collections::BTreeMap;

use crate::book::Book;
use crate::book::evidence::{Note, Photo};
use crate::book::handover::HandOver;
use crate::book::jobs::{Job, JobLine};
use crate::book::ledger::{Span, by_day};
use crate::book::teardown::Item;
use crate::closing::jobs_of_day;
use crate::event::{About, Activity, BoatFacts, Document, EngineFacts, ItemFacts, On, PartFacts, PayType, Way};
use crate::id::{BlobId, BoatId, EngineId, EventId, ItemId, JobId, LineId, NoteId, PartId, PhotoId, StepId};
use crate::moment::{Day, Length, Moment};
use crate::quantity::Count;

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

/// Where work is done, in words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Place {
    /// The boat's name; empty without a job.
    pub boat: String,
    /// What the job is, or "no job".
    pub job: String,
}

/// One row of the day as a strip.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SpanRow {
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

/// One row of the list of jobs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobRow {
    /// The job.
    pub id: JobId,
    /// The boat's name.
    pub boat: String,
    /// What it is.
    pub title: String,
    /// Whether it is finished.
    pub finished: bool,
    /// Whether the clock runs on it.
    pub running: bool,
    /// How many single things are still off.
    pub off: u32,
    /// Time on it today.
    pub today: Length,
}

/// Everything on one job.
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
    /// Whether it is finished.
    pub finished: bool,
    /// What the clock does on it now.
    pub running: Option<Activity>,
    /// Its lines.
    pub lines: Vec<LineCard>,
    /// What came off, last first: what is still off, then what is back on.
    pub items: Vec<ItemRow>,
    /// How many single things are still off.
    pub off: u32,
    /// The checklist.
    pub steps: Vec<StepRow>,
    /// Notes and photos, latest first.
    pub evidence: Vec<EvidenceRow>,
    /// Parts used.
    pub parts: Vec<PartRow>,
}

/// One line of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineCard {
    /// The line.
    pub id: LineId,
    /// Who pays.
    pub pay: PayType,
    /// The story: complaint, cause, correction.
    pub story: [String; 3],
}

/// One row of the off-list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ItemRow {
    /// The item.
    pub id: ItemId,
    /// What is known of it.
    pub facts: ItemFacts,
    /// How many are still off.
    pub off: Count,
    /// How many are back on.
    pub back: Count,
    /// The last statement that some are back on, to take back.
    pub last_return: Option<EventId>,
    /// Its photos.
    pub photos: Vec<PhotoCard>,
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
    /// Its photos.
    pub photos: Vec<PhotoCard>,
}

/// A photo as a screen shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PhotoCard {
    /// The photo.
    pub id: PhotoId,
    /// Its bytes.
    pub blob: BlobId,
    /// What it shows; never empty.
    pub caption: String,
    /// Width and height in pixels.
    pub size: (u16, u16),
}

/// A note or a photo.
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
    /// By activity, in the order in which activities are offered.
    pub by_activity: Vec<(Activity, Length)>,
    /// By day, latest first.
    pub by_day: Vec<(Day, Length)>,
}

/// One row of the list of boats.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoatRow {
    /// The boat.
    pub id: BoatId,
    /// Her name.
    pub name: String,
    /// Owner and berth, as far as known.
    pub whereabouts: String,
}

/// Everything on one boat.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoatCard {
    /// The boat.
    pub id: BoatId,
    /// What is known of her.
    pub facts: BoatFacts,
    /// Her engines.
    pub engines: Vec<EngineCard>,
    /// Her jobs, latest first.
    pub jobs: Vec<JobRow>,
}

/// One engine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EngineCard {
    /// The engine.
    pub id: EngineId,
    /// What is known of it.
    pub facts: EngineFacts,
    /// The last reading of its hour meter, in words.
    pub hours: Option<String>,
    /// All in one line.
    pub line: String,
}

/// A document that left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftRow {
    /// What, in words.
    pub what: String,
    /// How and when, in words.
    pub how: String,
}

/// How far back the order of the jobs looks for work done on them.
const RECENT_DAYS: i64 = 14;

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

/// Returns what the page's title says: the boat, or the activity, that runs.
pub fn title(book: &Book) -> String {
    match running(book) {
        Some(running) if !running.place.boat.is_empty() => format!("{} · Quaywright", running.place.boat),
        Some(running) => format!("{} · Quaywright", running.activity.words()),
        None => "Quaywright".to_owned(),
    }
}

/// Returns a day as rows, earliest first.
pub fn day_rows(book: &Book, day: Day, now: Moment) -> Vec<SpanRow> {
    let row = |span: Span| SpanRow {
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

/// Returns the open jobs, those worked on last first.
pub fn open_jobs(book: &Book, now: Moment) -> Vec<JobRow> {
    let recent = now.day().plus(-RECENT_DAYS).unwrap_or(now.day());
    let mut last_worked: BTreeMap<JobId, Moment> = BTreeMap::new();
    for span in book.ledger.spans_since(recent, now) {
        if let Some(job) = book.job_of(span.on) {
            last_worked.insert(job, span.to);
        }
    }
    let today = today_by_job(book, now);
    let mut jobs: Vec<&Job> = book.jobs.jobs().filter(|job| job.finished.is_none()).collect();
    jobs.sort_by_key(|job| std::cmp::Reverse(last_worked.get(&job.id).copied().unwrap_or(job.opened)));
    jobs.into_iter().map(|job| job_row(book, job, &today)).collect()
}

/// Returns the finished jobs, those finished last first.
pub fn finished_jobs(book: &Book, now: Moment) -> Vec<JobRow> {
    let today = today_by_job(book, now);
    let mut jobs: Vec<&Job> = book.jobs.jobs().filter(|job| job.finished.is_some()).collect();
    jobs.sort_by_key(|job| std::cmp::Reverse(job.finished));
    jobs.into_iter().map(|job| job_row(book, job, &today)).collect()
}

/// Returns everything on one job, except its time.
pub fn job_card(book: &Book, id: JobId, today: Day) -> Option<JobCard> {
    let job = book.jobs.job(id)?;
    let boat = book.fleet.boat(job.boat)?;
    let mut photos = photos_by_subject(book);
    let (mut items, back_on): (Vec<ItemRow>, Vec<ItemRow>) =
        book.teardown.items_of(id).rev().map(|item| item_row(item, &mut photos)).partition(|row| row.off > Count(0));
    let off = items.iter().map(|row| row.off.0).sum();
    items.extend(back_on);
    Some(JobCard {
        id,
        boat: boat.id,
        boat_name: boat.facts.name.to_string(),
        whereabouts: whereabouts(&boat.facts),
        engine: book.engine_of(job).and_then(|engine| engine_card(book, engine.id)).map(|engine| engine.line),
        title: job.title.to_string(),
        finished: job.finished.is_some(),
        running: book.ledger.running().filter(|span| book.job_of(span.on) == Some(id)).map(|span| span.activity),
        lines: book.jobs.lines_of(id).map(|line| line_card(book, line.id)).collect(),
        items,
        off,
        steps: step_rows(book, id, today, &mut photos),
        evidence: evidence_rows(book, id, today),
        parts: book.parts.parts_of(id).map(|part| PartRow { id: part.id, facts: part.facts.clone() }).collect(),
    })
}

/// Returns the time on one job.
pub fn job_time(book: &Book, id: JobId, now: Moment) -> JobTime {
    let mut time = JobTime::default();
    let mut by_activity: BTreeMap<Activity, Length> = BTreeMap::new();
    let mut day_sums: BTreeMap<Day, Length> = BTreeMap::new();
    let spans = book.ledger.spans(now).into_iter().filter(|span| book.job_of(span.on) == Some(id));
    for (day, part) in spans.flat_map(by_day) {
        let length = part.length();
        time.total = time.total + length;
        add(&mut by_activity, part.activity, length);
        add(&mut day_sums, day, length);
    }
    time.today = day_sums.get(&now.day()).copied().unwrap_or_default();
    time.by_activity = by_activity.into_iter().collect();
    time.by_day = day_sums.into_iter().rev().collect();
    time
}

/// Returns all boats by name.
pub fn boats(book: &Book) -> Vec<BoatRow> {
    let row = |boat: &crate::book::fleet::Boat| BoatRow {
        id: boat.id,
        name: boat.facts.name.to_string(),
        whereabouts: whereabouts(&boat.facts),
    };
    let mut rows: Vec<BoatRow> = book.fleet.boats().map(row).collect();
    rows.sort_by_cached_key(|row| row.name.to_ascii_lowercase());
    rows
}

/// Returns everything on one boat.
pub fn boat_card(book: &Book, id: BoatId, now: Moment) -> Option<BoatCard> {
    let boat = book.fleet.boat(id)?;
    let today = today_by_job(book, now);
    let jobs = book.jobs.jobs().rev().filter(|job| job.boat == id);
    Some(BoatCard {
        id,
        facts: boat.facts.clone(),
        engines: engines(book, id),
        jobs: jobs.map(|job| job_row(book, job, &today)).collect(),
    })
}

/// Returns a boat's engines.
pub fn engines(book: &Book, boat: BoatId) -> Vec<EngineCard> {
    book.fleet.engines_of(boat).filter_map(|engine| engine_card(book, engine.id)).collect()
}

/// Returns one engine.
pub fn engine_card(book: &Book, id: EngineId) -> Option<EngineCard> {
    let engine = book.fleet.engine(id)?;
    let facts = &engine.facts;
    let hours = engine.last_hours().map(|hours| format!("{hours} h"));
    let serial = if facts.serial.is_empty() { String::new() } else { format!("no. {}", facts.serial) };
    let parts = [
        facts.place.to_string(),
        facts.model.to_string(),
        serial,
        facts.year.map(|year| year.to_string()).unwrap_or_default(),
        facts.power.map(|power| power.to_string()).unwrap_or_default(),
        hours.clone().unwrap_or_default(),
    ];
    let line = joined(&parts, ", ");
    let line = if line.is_empty() { "engine".to_owned() } else { line };
    Some(EngineCard { id, facts: facts.clone(), hours, line })
}

/// Returns today and the days worked lately, latest first.
pub fn recent_days(book: &Book, now: Moment) -> Vec<Day> {
    let today = now.day();
    let since = today.plus(-RECENT_DAYS).unwrap_or(today);
    let spans = book.ledger.spans_since(since, now);
    let mut days: Vec<Day> = spans.into_iter().flat_map(by_day).map(|(day, _)| day).collect();
    days.push(today);
    days.sort_unstable_by(|a, b| b.cmp(a));
    days.dedup();
    days
}

/// Returns the jobs whose owner may want a summary: those of the day first,
/// then the other open ones.
pub fn jobs_for_summary(book: &Book, day: Day, now: Moment) -> Vec<JobRow> {
    let of_day = jobs_of_day(book, day, now);
    let today = today_by_job(book, now);
    let first = of_day.iter().filter_map(|&job| book.jobs.job(job));
    let mut rows: Vec<JobRow> = first.map(|job| job_row(book, job, &today)).collect();
    rows.extend(open_jobs(book, now).into_iter().filter(|row| !of_day.contains(&row.id)));
    rows
}

/// Says since when the phone is the only place of what is in the book.
pub fn backup_state(book: &Book, now: Moment) -> String {
    match book.handovers.last_backup() {
        None if book.records() == 0 => "Nothing is in the book yet.".to_owned(),
        None => "Everything since the beginning is only on this phone. No backup was made yet.".to_owned(),
        Some(last) => match book.records().saturating_sub(last.records_before + 1) {
            0 => format!("The last backup, {}, holds everything.", when(last.at, now.day())),
            1 => format!("One entry is newer than the last backup, {}.", when(last.at, now.day())),
            newer => format!("{newer} entries are newer than the last backup, {}.", when(last.at, now.day())),
        },
    }
}

/// Returns the documents that left lately, latest first.
pub fn left_lately(book: &Book, now: Moment) -> Vec<LeftRow> {
    let row = |left: &HandOver| {
        let what = match left.what {
            Document::DayBundle { day, table: false } => format!("The day's file of {}", day_words(day, now.day())),
            Document::DayBundle { day, table: true } => format!("The hours of {}", day_words(day, now.day())),
            Document::OwnerSummary { job } => format!("The work summary of {}", place(book, On::Job(job)).boat),
            Document::Backup { .. } => "A backup".to_owned(),
        };
        let how = match left.way {
            Way::Shared => "shared",
            Way::Downloaded => "saved",
        };
        LeftRow { what, how: format!("{how} {}; no receipt yet", when(left.at, now.day())) }
    };
    book.handovers.all().iter().rev().take(20).map(row).collect()
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

/// Returns what a photo is about, in words that follow "a photo of"; nothing
/// where it is not in the book.
pub fn subject(book: &Book, about: About) -> Option<String> {
    let words = about_words(book, about);
    let boat = book.job_about(about).map(|job| place(book, On::Job(job)).boat);
    match (words, boat) {
        (Some(words), Some(boat)) => Some(format!("{words} on {boat}")),
        _ => (about == About::Day).then(|| "the day".to_owned()),
    }
}

/// Returns a time of day, `08:05`.
pub fn hour_minute(at: Moment) -> String {
    let (hour, minute) = at.time_of_day();
    format!("{hour:02}:{minute:02}")
}

/// Returns a day in words, `Monday 4 May`, with the year unless it is that of `today`.
pub fn day_words(day: Day, today: Day) -> String {
    const WEEKDAYS: [&str; 7] = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let (year, month, date) = day.parts();
    let month = MONTHS[(month as usize + 11) % 12];
    let words = format!("{} {date} {month}", WEEKDAYS[day.weekday() % 7]);
    if year == today.parts().0 { words } else { format!("{words} {year}") }
}

/// Returns a moment in words: the time, with the day unless it was `today`.
pub fn when(at: Moment, today: Day) -> String {
    if at.day() == today { hour_minute(at) } else { format!("{}, {}", day_words(at.day(), today), hour_minute(at)) }
}

/// Returns where an activity belongs, in words.
pub fn place(book: &Book, on: On) -> Place {
    let job = book.job_of(on).and_then(|job| book.jobs.job(job));
    let Some(job) = job else { return Place { boat: String::new(), job: "no job".to_owned() } };
    Place { boat: boat_name(book, job.boat), job: job.title.to_string() }
}

fn boat_name(book: &Book, boat: BoatId) -> String {
    book.fleet.boat(boat).map(|boat| boat.facts.name.to_string()).unwrap_or_default()
}

fn whereabouts(facts: &BoatFacts) -> String {
    joined(&[facts.owner.to_string(), facts.berth.to_string()], ", ")
}

fn joined(parts: &[String], with: &str) -> String {
    let told: Vec<&str> = parts.iter().map(String::as_str).filter(|part| !part.is_empty()).collect();
    told.join(with)
}

fn today_by_job(book: &Book, now: Moment) -> BTreeMap<JobId, Length> {
    let mut today = BTreeMap::new();
    for span in book.ledger.spans_of(now.day(), now) {
        if let Some(job) = book.job_of(span.on) {
            add(&mut today, job, span.length());
        }
    }
    today
}

fn add<K: Ord>(sums: &mut BTreeMap<K, Length>, key: K, length: Length) {
    let sum = sums.entry(key).or_default();
    *sum = *sum + length;
}

fn job_row(book: &Book, job: &Job, today: &BTreeMap<JobId, Length>) -> JobRow {
    JobRow {
        id: job.id,
        boat: boat_name(book, job.boat),
        title: job.title.to_string(),
        finished: job.finished.is_some(),
        running: book.ledger.running().is_some_and(|span| book.job_of(span.on) == Some(job.id)),
        off: book.teardown.still_off(job.id).map(|item| item.still_off().0).sum(),
        today: today.get(&job.id).copied().unwrap_or_default(),
    }
}

fn line_card(book: &Book, id: LineId) -> LineCard {
    let line = book.jobs.line(id);
    let story = |text: fn(&JobLine) -> &crate::text::Prose| line.map(|line| text(line).to_string()).unwrap_or_default();
    LineCard {
        id,
        pay: line.map_or(PayType::CustomerPay, |line| line.pay),
        story: [story(|line| &line.complaint), story(|line| &line.cause), story(|line| &line.correction)],
    }
}

fn photos_by_subject(book: &Book) -> BTreeMap<About, Vec<PhotoCard>> {
    let mut photos: BTreeMap<About, Vec<PhotoCard>> = BTreeMap::new();
    for photo in book.evidence.photos() {
        photos.entry(photo.about).or_default().push(photo_card(book, photo));
    }
    photos
}

fn photo_card(book: &Book, photo: &Photo) -> PhotoCard {
    let caption = photo.facts.caption.to_string();
    let caption = if caption.is_empty() { about_words(book, photo.about).unwrap_or_default() } else { caption };
    let caption = if caption.is_empty() { format!("photo of {}", hour_minute(photo.at)) } else { caption };
    PhotoCard { id: photo.id, blob: photo.facts.blob, caption, size: (photo.facts.width, photo.facts.height) }
}

fn item_row(item: &Item, photos: &mut BTreeMap<About, Vec<PhotoCard>>) -> ItemRow {
    ItemRow {
        id: item.id,
        facts: item.facts.clone(),
        off: item.still_off(),
        back: item.back(),
        last_return: item.returns.iter().rev().find(|r| !r.withdrawn).map(|r| r.id),
        photos: photos.remove(&About::Item(item.id)).unwrap_or_default(),
    }
}

fn step_rows(book: &Book, job: JobId, today: Day, photos: &mut BTreeMap<About, Vec<PhotoCard>>) -> Vec<StepRow> {
    let row = |step: &crate::book::steps::Step| StepRow {
        id: step.id,
        text: step.text.to_string(),
        done: step.done.map(|at| when(at, today)),
        photos: photos.remove(&About::Step(step.id)).unwrap_or_default(),
    };
    book.steps.steps_of(job).map(row).collect()
}

fn evidence_rows(book: &Book, job: JobId, today: Day) -> Vec<EvidenceRow> {
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
    let mut rows: Vec<(Moment, EvidenceRow)> = notes.chain(photos).collect();
    rows.sort_by_key(|&(at, _)| std::cmp::Reverse(at));
    rows.into_iter().map(|(_, row)| row).collect()
}

fn about_words(book: &Book, about: About) -> Option<String> {
    match about {
        About::Day => None,
        About::Job(job) => book.jobs.job(job).map(|job| job.title.to_string()),
        About::Item(item) => book.teardown.item(item).map(|item| item.facts.what.to_string()),
        About::Step(step) => book.steps.step(step).map(|step| step.text.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Doing, Event};
    use crate::exchange::line;
    use crate::id::DeviceId;
    use crate::log::Tip;
    use crate::text::Label;

    fn day(text: &str) -> Day {
        Day::parse(text).unwrap()
    }

    fn told(events: &[(&str, Event)]) -> Book {
        let mut tip = Tip::fresh(DeviceId::new([1; 8]));
        let mut book = Book::default();
        for (at, event) in events {
            let (_, sealed) = line::seal(tip.record(Moment::parse(at).unwrap(), event.clone()));
            tip.advance(&sealed);
            book.apply(&sealed.record);
        }
        assert_eq!(book.faults, []);
        book
    }

    #[test]
    fn a_clock_that_was_set_back_is_told() {
        let labour = Doing::At { activity: Activity::Labour, on: On::NoJob };
        let book = told(&[("2026-05-05T11:00:30+01:00", Event::ClockSwitched { to: labour })]);
        let behind = |now: &str| clock_is_behind(&book, Moment::parse(now).unwrap());
        assert_eq!(behind("2026-05-05T11:00:00+01:00"), None);
        assert_eq!(behind("2026-05-05T11:20:00+01:00"), None);
        assert!(behind("2026-05-04T11:00:30+01:00").unwrap().starts_with("This phone's clock is 24:00 before"));
        assert_eq!(clock_is_behind(&Book::default(), Moment::new(0, 0).unwrap()), None);
    }

    #[test]
    fn what_just_began_runs_and_what_went_over_midnight_does_not() {
        let labour = Doing::At { activity: Activity::Labour, on: On::NoJob };
        let book = told(&[("2026-05-05T22:00:30+01:00", Event::ClockSwitched { to: labour })]);
        let until = |on: &str, now: &str| {
            let rows = day_rows(&book, day(on), Moment::parse(now).unwrap());
            rows.into_iter().map(|row| row.to).collect::<Vec<_>>()
        };
        assert_eq!(until("2026-05-05", "2026-05-05T22:00:00+01:00"), [None]);
        assert_eq!(until("2026-05-05", "2026-05-06T01:00:00+01:00"), [Some("00:00".to_owned())]);
        assert_eq!(until("2026-05-06", "2026-05-06T01:00:00+01:00"), [None]);
    }

    #[test]
    fn says_what_a_photo_is_about() {
        let id = |seq| EventId { device: DeviceId::new([1; 8]), seq };
        let at = "2026-05-05T11:00:00+01:00";
        let facts = BoatFacts { name: Label::new("Heron"), ..BoatFacts::default() };
        let item = ItemFacts { what: Label::new("Bolt"), count: Count(4), ..ItemFacts::default() };
        let job = JobId(id(2));
        let book = told(&[
            (at, Event::BoatAdded(facts)),
            (at, Event::JobOpened { boat: BoatId(id(1)), engine: None, title: Label::new("No charge") }),
            (at, Event::CameOff { job, item }),
        ]);
        assert_eq!(subject(&book, About::Day).as_deref(), Some("the day"));
        assert_eq!(subject(&book, About::Job(job)).as_deref(), Some("No charge on Heron"));
        assert_eq!(subject(&book, About::Item(ItemId(id(3)))).as_deref(), Some("Bolt on Heron"));
        assert_eq!(subject(&book, About::Item(ItemId(id(9)))), None);
    }

    #[test]
    fn says_days_in_words() {
        assert_eq!(day_words(day("2026-05-04"), day("2026-12-31")), "Monday 4 May");
        assert_eq!(day_words(day("2026-12-31"), day("2027-01-01")), "Thursday 31 December 2026");
        let at = Moment::parse("2026-05-04T08:05:59+01:00").unwrap();
        assert_eq!(when(at, day("2026-05-04")), "08:05");
        assert_eq!(when(at, day("2026-05-05")), "Monday 4 May, 08:05");
    }
}
