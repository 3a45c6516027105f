//! Procedures as a screen shows them: the list, one's page, and on a job the steps
//! with what each takes, what was left out and why.

use crate::book::Book;
use crate::book::procedures::{Kept, Lapse, Start, Version};
use crate::book::steps::Step;
use crate::event::{ExpectedItem, ExpectedReading, Fasteners, ItemFacts, Picture, Procedure, ProcedureStep};
use crate::hours::estimate::{Past, past};
use crate::id::{JobId, ProcedureId, StartId, StepId, VersionId};
use crate::moment::{Day, Length, Moment};
use crate::order;
use crate::procedure::typed::{layout_words, words_text};
use crate::procedure::variant::{only_words, variant};
use crate::reading::Kind;
use crate::reassembly::caution;
use crate::text::Label;

use super::words::{boat_name, joined};
use super::{day_words, finding, when};

/// One row of the list of procedures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProcedureRow {
    /// The procedure.
    pub id: ProcedureId,
    /// The version that a job would be done by.
    pub version: VersionId,
    /// What the work is.
    pub title: String,
    /// How many steps, its tags.
    pub detail: String,
    /// What names it in files.
    pub key: Label,
}

/// A procedure's page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProcedureCard {
    /// The procedure.
    pub id: ProcedureId,
    /// How it reads.
    pub reads: Procedure,
    /// How long it took, in words; nothing where no job with it is finished.
    pub took: Option<String>,
    /// What was forgotten, latest first, in words.
    pub forgotten: Vec<String>,
    /// Where it is from and how often it was amended, in words.
    pub history: String,
}

/// A procedure that was started on a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StartCard {
    /// The start.
    pub id: StartId,
    /// The procedure.
    pub procedure: ProcedureId,
    /// What the work is.
    pub title: String,
    /// What else to know before it begins.
    pub about: String,
    /// Its steps in order, those that follow each other on one side together.
    pub runs: Vec<SideRun>,
    /// What does not apply, and why.
    pub left_out: Vec<LeftOutRow>,
    /// What was forgotten on earlier jobs with it, beyond its steps.
    pub forgotten: Vec<String>,
    /// How long it took, in words.
    pub took: Option<String>,
}

/// Steps that follow each other on one side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SideRun {
    /// The side; may be empty.
    pub side: String,
    /// Its steps.
    pub steps: Vec<GuidedStep>,
}

/// A step of the checklist that comes from a procedure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GuidedStep {
    /// The step of the checklist.
    pub id: StepId,
    /// What the procedure says about it.
    pub guide: Guide,
}

/// What a procedure says about a step, in words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Guide {
    /// What to watch for: the whole text of each caution.
    pub cautions: Vec<String>,
    /// What is needed.
    pub tools: String,
    /// What is used up.
    pub consumables: String,
    /// What is expected to come off.
    pub items: Vec<ExpectedRow>,
    /// What is tightened together; the value is the manual's.
    pub fasteners: Vec<String>,
    /// What is measured.
    pub readings: Vec<MeasureRow>,
    /// What it looks like.
    pub pictures: Vec<Picture>,
    /// For which engines it is, unless for all.
    pub only: Option<String>,
    /// What could not be judged about the engine.
    pub unsure: Vec<String>,
    /// When it was forgotten before.
    pub forgotten: Vec<String>,
}

/// Something that is expected to come off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExpectedRow {
    /// In words: "4 × gearcase bolt, M10".
    pub words: String,
    /// What to enter when it comes off.
    pub facts: ItemFacts,
    /// Whether the job says that it came off.
    pub entered: bool,
    /// When it was forgotten before.
    pub forgotten: Vec<String>,
}

/// Something that is measured.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MeasureRow {
    /// What, in words.
    pub what: String,
    /// The kind of reading, where there are rules for it.
    pub kind: Option<Kind>,
    /// How it stands, once the step has it.
    pub taken: Option<&'static str>,
}

/// A step that does not apply.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOutRow {
    /// What it is.
    pub text: String,
    /// Why it does not apply.
    pub why: String,
}

/// Returns all procedures by title.
pub fn procedures(book: &Book) -> Vec<ProcedureRow> {
    let row = |kept: &Kept| book.procedures.current(kept.id).map(row);
    let rows = book.procedures.procedures().filter_map(row).collect();
    order::by_key(rows, |row: &ProcedureRow| row.title.to_ascii_lowercase())
}

fn row(version: &Version) -> ProcedureRow {
    let reads = &version.reads;
    let tags: Vec<String> = reads.tags.words().iter().map(Label::to_string).collect();
    ProcedureRow {
        id: version.procedure,
        version: version.id,
        title: reads.title.to_string(),
        detail: joined(&[counted(reads.steps.len(), "step"), tags.join(", ")], " · "),
        key: reads.key.clone(),
    }
}

/// Returns a procedure's page.
pub fn procedure_card(book: &Book, id: ProcedureId, now: Moment) -> Option<ProcedureCard> {
    let version = book.procedures.current(id)?;
    let lapse = |lapse: &Lapse| {
        let of_step = lapse.step.and_then(|step| book.steps.step(step)).map(|step| step.text.to_string());
        joined(&[of_step.unwrap_or_default(), lapse.what.to_string(), told_on(book, lapse, now.day())], ", ")
    };
    Some(ProcedureCard {
        id,
        reads: version.reads.clone(),
        took: took(book, id, now),
        forgotten: book.procedures.forgotten_of(id).map(lapse).collect(),
        history: history(book, id, now.day()).unwrap_or_default(),
    })
}

fn history(book: &Book, id: ProcedureId, today: Day) -> Option<String> {
    let kept = book.procedures.procedure(id)?;
    let from = kept.from.and_then(|job| book.jobs.job(job));
    let from = from.map(|job| ["Made from ", job.title.as_str(), " on ", &boat_name(book, job.boat), "."].concat());
    let counts = kept.versions.iter().filter_map(|&it| book.procedures.version(it)).filter(|it| !it.withdrawn).count();
    let last = book.procedures.current(id)?.at;
    let changed =
        ["Changed ", &counted(counts.saturating_sub(1), "time"), ", last on ", &day_words(last.day(), today), "."];
    let changed = if counts > 1 { changed.concat() } else { String::new() };
    Some(joined(&[from.unwrap_or_default(), changed], " "))
}

/// Returns how long finished jobs with a procedure took, in words.
fn took(book: &Book, id: ProcedureId, now: Moment) -> Option<String> {
    let started = book.procedures.starts().filter(|it| book.procedures.procedure_of(it) == Some(id)).map(|it| it.job);
    let jobs = started.chain(book.procedures.procedure(id).and_then(|it| it.from)).collect();
    let jobs: Vec<JobId> = order::each_once(jobs);
    let finished = |job: &JobId| book.jobs.job(*job).is_some_and(|job| job.finished.is_some());
    let jobs: Vec<JobId> = jobs.into_iter().filter(finished).collect();
    if jobs.is_empty() {
        return None;
    }
    let spans = book.ledger.spans(now);
    let of = |job: JobId| spans.iter().filter(|it| book.job_of(it.on) == Some(job)).map(|it| it.length()).sum();
    let lengths: Vec<Length> = jobs.into_iter().map(of).filter(|&length| length > Length::ZERO).collect();
    match past(lengths) {
        Past::Few(few) if few.is_empty() => None,
        Past::Few(few) => {
            let few: Vec<String> = few.into_iter().map(Length::clock_face).collect();
            Some(["Took ", &few.join(", "), " so far."].concat())
        }
        Past::Usual { count, median, long } => Some(
            [
                "Usually takes ",
                &median.clock_face(),
                "; four of five took at most ",
                &long.clock_face(),
                " (",
                &counted(count, "job"),
                ").",
            ]
            .concat(),
        ),
    }
}

/// Tells whether a job has anything that a procedure could be made of.
pub fn can_be_learned_from(book: &Book, job: JobId) -> bool {
    book.teardown.items_of(job).next().is_some() || book.steps.steps_of(job).next().is_some()
}

/// Returns the procedures that were started on a job, with their steps.
pub fn started(book: &Book, job: JobId, now: Moment) -> Vec<StartCard> {
    book.procedures.starts_of(job).filter_map(|start| start_card(book, start, now)).collect()
}

fn start_card(book: &Book, start: &Start, now: Moment) -> Option<StartCard> {
    let version = book.procedures.version(start.version)?;
    let picked = variant(&version.reads, &start.engine);
    let earlier: Vec<&Lapse> =
        book.procedures.forgotten_of(version.procedure).filter(|it| it.job != start.job).take(12).collect();
    let of_start = |step: &&Step| step.taken.is_some_and(|taken| taken.start == start.id);
    let mut runs: Vec<SideRun> = Vec::new();
    for step in book.steps.steps_of(start.job).filter(of_start) {
        let number = step.taken.map(|taken| taken.number);
        let said = picked.kept.iter().find(|it| Some(it.step.number) == number);
        let mut guide = said.map(|it| guide(it.step)).unwrap_or_default();
        guide.unsure = said.map(|it| it.unsure.clone()).unwrap_or_default();
        guide.forgotten =
            earlier.iter().filter(|it| number_of(book, it) == number).map(|it| told(book, it, now)).collect();
        mark_entered(book, start.job, &mut guide.items);
        mark_taken(book, step.id, &mut guide.readings);
        for row in &mut guide.items {
            let of_row = earlier.iter().filter(|it| is_of(it, row.facts.what.as_str()));
            row.forgotten = of_row.map(|it| told_on(book, it, now.day())).collect();
        }
        let side = said.map(|it| it.step.side.to_string()).unwrap_or_default();
        let guided = GuidedStep { id: step.id, guide };
        match runs.last_mut().filter(|run| run.side == side) {
            Some(run) => run.steps.push(guided),
            None => runs.push(SideRun { side, steps: vec![guided] }),
        }
    }
    let expected = |lapse: &Lapse| {
        let mut items = runs.iter().flat_map(|run| &run.steps).flat_map(|step| &step.guide.items);
        items.any(|row| is_of(lapse, row.facts.what.as_str()))
    };
    let beside = earlier.iter().filter(|it| it.step.is_none() && !expected(it));
    let forgotten = beside.map(|it| told(book, it, now)).collect();
    let left_out = picked.left_out.iter();
    let left_out = left_out.map(|it| LeftOutRow { text: it.step.text.to_string(), why: it.why.join("; ") });
    Some(StartCard {
        id: start.id,
        procedure: version.procedure,
        title: version.reads.title.to_string(),
        about: version.reads.about.to_string(),
        runs,
        left_out: left_out.collect(),
        forgotten,
        took: took(book, version.procedure, now),
    })
}

/// Tells whether a job is done by a procedure, so that the next one by it is told what was forgotten.
pub fn is_by_procedure(book: &Book, job: JobId) -> bool {
    book.procedures.starts_of(job).next().is_some()
}

/// Returns what was forgotten on earlier jobs by the procedures of a job, beyond their steps.
pub(super) fn forgotten_before(book: &Book, job: JobId) -> Vec<&Lapse> {
    let procedures = book.procedures.starts_of(job).filter_map(|start| book.procedures.procedure_of(start));
    let earlier = procedures.flat_map(|id| book.procedures.forgotten_of(id));
    earlier.filter(|it| it.job != job && it.step.is_none()).collect()
}

/// Tells whether what was forgotten is the thing of this name.
pub(super) fn is_of(lapse: &Lapse, name: &str) -> bool {
    lapse.step.is_none() && !name.is_empty() && lapse.what.as_str().eq_ignore_ascii_case(name)
}

/// Returns on which boat something was forgotten: "forgotten on Heron before".
pub(super) fn forgotten_words(book: &Book, lapse: &Lapse) -> String {
    let boat = book.jobs.job(lapse.job).map(|job| boat_name(book, job.boat)).unwrap_or_default();
    ["forgotten on ", &boat, " before"].concat()
}

/// Returns the number in its procedure of the step that was forgotten.
fn number_of(book: &Book, lapse: &Lapse) -> Option<crate::event::StepNumber> {
    book.steps.step(lapse.step?)?.taken.map(|taken| taken.number)
}

/// Returns that something was forgotten, in words: "forgotten on Heron, Monday 4 May: the second clamp".
fn told(book: &Book, lapse: &Lapse, now: Moment) -> String {
    let words = told_on(book, lapse, now.day());
    if lapse.what.is_empty() { words } else { [&words, ": ", lapse.what.as_str()].concat() }
}

fn told_on(book: &Book, lapse: &Lapse, today: Day) -> String {
    let boat = book.jobs.job(lapse.job).map(|job| boat_name(book, job.boat)).unwrap_or_default();
    ["forgotten on ", &boat, ", ", &when(lapse.at, today)].concat()
}

fn mark_entered(book: &Book, job: JobId, items: &mut [ExpectedRow]) {
    for row in items {
        let same = |facts: &ItemFacts| {
            let what = facts.what.as_str().eq_ignore_ascii_case(row.facts.what.as_str());
            what && (row.facts.side.is_empty() || facts.side == row.facts.side)
        };
        row.entered = book.teardown.items_of(job).any(|it| same(&it.facts));
    }
}

/// Marks what a step has been given: the reading of those words, or the only one of its kind.
fn mark_taken(book: &Book, step: StepId, rows: &mut [MeasureRow]) {
    for reading in book.readings.readings().filter(|it| book.readings.is_for(it).step == Some(step)) {
        let facts = &reading.facts;
        let alike = |row: &MeasureRow| row.kind.unwrap_or(Kind::Free) == facts.kind;
        let named = rows.iter().position(|row| alike(row) && facts.what.as_str().eq_ignore_ascii_case(&row.what));
        let only = || Some(rows.iter().position(alike)?).filter(|_| rows.iter().filter(|row| alike(row)).count() == 1);
        if let Some(at) = named.or_else(only) {
            rows[at].taken = Some(finding(book, reading).verdict().words());
        }
    }
}

/// Returns what a step of a procedure says, in words.
pub fn guide(step: &ProcedureStep) -> Guide {
    let brought = caution::brought_up_by(step.text.as_str());
    let cautions = caution::Caution::ALL.into_iter().filter(|it| step.cautions.contains(it) || brought.contains(it));
    Guide {
        cautions: cautions.map(caution::Caution::told).collect(),
        tools: words_text(&step.tools),
        consumables: words_text(&step.consumables),
        items: step.items.iter().map(|it| expected(step, it)).collect(),
        fasteners: step.fasteners.iter().map(fasteners).collect(),
        readings: step.readings.iter().map(measured).collect(),
        pictures: step.pictures.clone(),
        only: only_words(&step.only),
        unsure: Vec::new(),
        forgotten: Vec::new(),
    }
}

fn measured(reading: &ExpectedReading) -> MeasureRow {
    MeasureRow { what: reading.what.to_string(), kind: reading.kind, taken: None }
}

fn expected(step: &ProcedureStep, item: &ExpectedItem) -> ExpectedRow {
    let count = item.count.to_string() + " × " + item.what.as_str();
    let facts = ItemFacts {
        what: item.what.clone(),
        side: step.side.clone(),
        count: item.count,
        size: item.size.clone(),
        details: item.details.clone(),
        ..ItemFacts::default()
    };
    ExpectedRow { words: joined(&[count, item.size.to_string()], ", "), facts, entered: false, forgotten: Vec::new() }
}

fn fasteners(fasteners: &Fasteners) -> String {
    [fasteners.what.as_str(), ", ", &layout_words(fasteners.layout), ": value from the manual"].concat()
}

fn counted(count: usize, what: &str) -> String {
    count.to_string() + " " + what + if count == 1 { "" } else { "s" }
}

#[cfg(test)]
mod tests;
