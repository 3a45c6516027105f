//! Procedures as a screen shows them: the list, one's page, and on a job the steps
//! with what each takes, what was left out and why.

use crate::book::Book;
use crate::book::procedures::{Kept, Lapse, Start, Version};
use crate::book::steps::Step;
use crate::event::{ExpectedItem, Fasteners, ItemFacts, Picture, Procedure, ProcedureStep};
use crate::hours::estimate::{Past, past};
use crate::id::{JobId, ProcedureId, StartId, StepId, VersionId};
use crate::moment::{Day, Length, Moment};
use crate::order;
use crate::procedure::typed::{layout_words, words_text};
use crate::procedure::variant::{only_words, variant};
use crate::reassembly::caution;
use crate::text::Label;

use super::words::{boat_name, joined};
use super::{day_words, when};

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
    pub readings: Vec<String>,
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
        let side = said.map(|it| it.step.side.to_string()).unwrap_or_default();
        let guided = GuidedStep { id: step.id, guide };
        match runs.last_mut().filter(|run| run.side == side) {
            Some(run) => run.steps.push(guided),
            None => runs.push(SideRun { side, steps: vec![guided] }),
        }
    }
    let left_out = picked.left_out.iter();
    let left_out = left_out.map(|it| LeftOutRow { text: it.step.text.to_string(), why: it.why.join("; ") });
    Some(StartCard {
        id: start.id,
        procedure: version.procedure,
        title: version.reads.title.to_string(),
        about: version.reads.about.to_string(),
        runs,
        left_out: left_out.collect(),
        forgotten: earlier.iter().filter(|it| it.step.is_none()).map(|it| told(book, it, now)).collect(),
        took: took(book, version.procedure, now),
    })
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
        readings: step.readings.iter().map(|it| it.what.to_string()).collect(),
        pictures: step.pictures.clone(),
        only: only_words(&step.only),
        unsure: Vec::new(),
        forgotten: Vec::new(),
    }
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
    ExpectedRow { words: joined(&[count, item.size.to_string()], ", "), facts, entered: false }
}

fn fasteners(fasteners: &Fasteners) -> String {
    [fasteners.what.as_str(), ", ", &layout_words(fasteners.layout), ": value from the manual"].concat()
}

fn counted(count: usize, what: &str) -> String {
    count.to_string() + " " + what + if count == 1 { "" } else { "s" }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::command::{BoatChoice, Command, NewJob, decide};
    use crate::event::{
        About, Activity, BoatFacts, Condition, Doing, Drive, EngineFacts, PayType, PhotoFacts, StepNumber, Tags, Traits,
    };
    use crate::exchange::line;
    use crate::id::{BlobId, DeviceId, EngineId, EventId, ItemId};
    use crate::log::Tip;
    use crate::quantity::Count;
    use crate::reassembly::caution::Caution;
    use crate::text::Prose;

    /// A phone without a browser.
    struct Bench {
        book: Book,
        tip: Tip,
        now: Moment,
    }

    impl Bench {
        fn new() -> Self {
            let now = Moment::parse("2026-05-04T08:00:00+01:00").unwrap();
            Self { book: Book::default(), tip: Tip::fresh(DeviceId::new([1; 8])), now }
        }

        fn ask(&mut self, command: Command) -> EventId {
            let first = self.tip.next();
            for event in decide(&self.book, command, first, self.now).unwrap() {
                let (_, sealed) = line::seal(self.tip.record(self.now, event));
                self.tip.advance(&sealed);
                self.book.apply(&sealed.record);
            }
            assert_eq!(self.book.faults, []);
            first
        }

        fn after(&mut self, minutes: i64) -> &mut Self {
            self.now = Moment::new(self.now.utc_ms() + minutes * 60_000, 60).unwrap();
            self
        }

        fn job(&mut self, boat: &str, start: bool) -> JobId {
            let new = NewJob {
                boat: BoatChoice::New(BoatFacts { name: Label::new(boat), ..BoatFacts::default() }),
                engine: None,
                title: Label::new("Impeller"),
                pay: PayType::CustomerPay,
                complaint: Prose::default(),
                tags: Tags::default(),
                start: start.then_some(Activity::Labour),
            };
            JobId(self.ask(Command::OpenJob(new)).later(1))
        }

        fn engine(&mut self, job: JobId, drive: Drive) {
            let boat = self.book.jobs.job(job).unwrap().boat;
            let engine = self.ask(Command::AddEngine { boat, facts: EngineFacts::default(), hours: None });
            let traits = Traits { drive: Some(drive), ..Traits::default() };
            self.ask(Command::DescribeEngine { engine: EngineId(engine), traits });
        }

        fn off(&mut self, job: JobId, count: u32, what: &str, side: &str) -> ItemId {
            let (what, side) = (Label::new(what), Label::new(side));
            let item = ItemFacts { what, side, count: Count(count), ..ItemFacts::default() };
            ItemId(self.ask(Command::TakeOff { job, item }))
        }

        fn step(&mut self, job: JobId, text: &str) -> StepId {
            StepId(self.ask(Command::AddStep { job, text: Label::new(text) }))
        }

        fn tick(&mut self, step: StepId) {
            self.ask(Command::TickStep { step, done: true });
        }
    }

    fn procedure() -> Procedure {
        let item =
            |what: &str, count| ExpectedItem { what: Label::new(what), count: Count(count), ..ExpectedItem::default() };
        let step = |number, text: &str, side: &str, only| ProcedureStep {
            number: StepNumber(number),
            text: Label::new(text),
            side: Label::new(side),
            only,
            ..ProcedureStep::default()
        };
        let mut cover = step(2, "Take the cover off", "front", vec![]);
        cover.items = vec![item("cover screw", 6), item("cover", 1)];
        cover.tools = vec![Label::new("tray"), Label::new("screwdriver")];
        let mut run = step(4, "Start it and look", "", vec![Condition::YearFrom(1998)]);
        run.cautions = vec![Caution::NoCoolingWater];
        let steps = vec![
            step(1, "Close the seacock", "front", vec![Condition::Drive(Drive::Shaft)]),
            cover,
            step(3, "Draw the old one out", "front", vec![]),
            run,
        ];
        Procedure { title: Label::new("Raw-water impeller"), steps, ..Procedure::default() }
    }

    #[test]
    fn a_job_is_done_by_the_steps_that_fit_its_engine() {
        let mut bench = Bench::new();
        let job = bench.job("Heron", false);
        bench.engine(job, Drive::Outboard);
        let version = VersionId(bench.ask(Command::KeepProcedure(procedure())));
        let start = bench.ask(Command::StartProcedure { job, version });
        let cards = started(&bench.book, job, bench.now);
        let [card] = cards.as_slice() else { panic!("one start") };
        let why = "only drive inboard with shaft; this one: outboard";
        assert_eq!(card.left_out, [LeftOutRow { text: "Close the seacock".to_owned(), why: why.to_owned() }]);
        assert_eq!(
            card.runs.iter().map(|it| (it.side.as_str(), it.steps.len())).collect::<Vec<_>>(),
            [("front", 2), ("", 1)]
        );
        let [cover, _] = card.runs[0].steps.as_slice() else { panic!("two in front") };
        assert_eq!(
            cover.guide.items.iter().map(|it| it.words.as_str()).collect::<Vec<_>>(),
            ["6 × cover screw", "1 × cover"]
        );
        assert_eq!(cover.guide.tools, "tray, screwdriver");
        let run = &card.runs[1].steps[0].guide;
        assert!(run.cautions.iter().any(|it| it.starts_with("Caution, no cooling water")));
        assert_eq!(run.unsure, ["year unknown: kept, check (only year from 1998)"]);

        // What the procedure expects is entered as it comes off; the steps are ticked as ever.
        let facts = cover.guide.items[0].facts.clone();
        bench.ask(Command::TakeOff { job, item: facts });
        bench.tick(cover.id);
        let items = &started(&bench.book, job, bench.now)[0].runs[0].steps[0].guide.items;
        assert_eq!(items.iter().map(|it| it.entered).collect::<Vec<_>>(), [true, false]);
        assert_eq!(bench.book.steps.steps_of(job).filter(|it| it.done.is_some()).count(), 1);

        // Taken back, its steps go; brought back, they are as they were.
        let back = bench.ask(Command::Withdraw { event: start });
        assert_eq!((started(&bench.book, job, bench.now), bench.book.steps.steps_of(job).count()), (vec![], 0));
        bench.ask(Command::Withdraw { event: back });
        assert_eq!(bench.book.steps.steps_of(job).filter(|it| it.done.is_some()).count(), 1);
    }

    #[test]
    fn a_finished_job_becomes_a_procedure_and_later_jobs_improve_it() {
        let mut bench = Bench::new();
        let job = bench.job("Heron", true);
        bench.after(5);
        let late = bench.step(job, "Clean the gasket face");
        let never = bench.step(job, "Order a spare");
        bench.off(job, 2, "hose", "port");
        let photo = PhotoFacts {
            blob: BlobId::of(b"hose"),
            bytes: 4,
            width: 4,
            height: 3,
            caption: Label::new("the lower one"),
            taken: None,
            position: None,
        };
        let cover = bench.after(5).off(job, 6, "cover screw", "front");
        bench.ask(Command::TakePhoto { about: About::Item(cover), photo });
        bench.off(job, 1, "cover", "front");
        bench.after(10).tick(late);
        bench.after(1).off(job, 1, "impeller", "front");
        bench.after(99).ask(Command::SwitchClock { to: Doing::Off });
        bench.ask(Command::FinishJob { job });
        let kept = ProcedureId(bench.ask(Command::KeepAsProcedure { job }));

        let card = procedure_card(&bench.book, kept, bench.now).unwrap();
        let told = |procedure: &Procedure| -> Vec<String> {
            let told = |step: &ProcedureStep| {
                let items: Vec<String> = step.items.iter().map(|it| format!("{} {}", it.count, it.what)).collect();
                format!("{} {} [{}]", step.number.0, step.text, items.join(", "))
            };
            procedure.steps.iter().map(told).collect()
        };
        let drawn = [
            "1 Take off, port [2 hose]",
            "2 Take off, front [6 cover screw, 1 cover]",
            "3 Clean the gasket face []",
            "4 Take off, front [1 impeller]",
            "5 Order a spare []",
        ];
        assert_eq!(told(&card.reads), drawn);
        assert_eq!(card.reads.steps[1].pictures[0].caption.as_str(), "the lower one");
        assert_eq!(card.took.as_deref(), Some("Took 2:00 so far."));
        assert_eq!(card.history, "Made from Impeller on Heron.");
        assert!(bench.book.steps.step(never).unwrap().done.is_none());

        // The next job with it: a screw more, a clamp nobody expected, one more step.
        let next = bench.job("Grebe", false);
        let version = bench.book.procedures.current(kept).unwrap().id;
        let start = bench.ask(Command::StartProcedure { job: next, version });
        let first = StepId(start.later(1));
        bench.off(next, 7, "Cover screw", "front");
        bench.off(next, 1, "clamp", "port");
        bench.step(next, "Look at the weep hole");
        bench.ask(Command::Forget { job: next, step: Some(first), what: Label::new("the second clamp") });
        bench.ask(Command::Forget { job: next, step: None, what: Label::new("a rag in the bilge") });
        bench.ask(Command::LearnFrom { job: next, procedure: kept });
        let card = procedure_card(&bench.book, kept, bench.now).unwrap();
        let better = [
            "1 Take off, port [2 hose, 1 clamp]",
            "2 Take off, front [7 cover screw, 1 cover]",
            "3 Clean the gasket face []",
            "4 Take off, front [1 impeller]",
            "5 Order a spare []",
            "6 Look at the weep hole []",
        ];
        assert_eq!(told(&card.reads), better);
        assert_eq!(card.forgotten.len(), 2);

        // The third job is told; the second, where it happened, is not.
        let third = bench.job("Tern", false);
        let version = bench.book.procedures.current(kept).unwrap().id;
        bench.ask(Command::StartProcedure { job: third, version });
        let card = &started(&bench.book, third, bench.now)[0];
        assert_eq!(card.runs[0].steps[0].guide.forgotten, ["forgotten on Grebe, 10:00: the second clamp"]);
        assert_eq!(card.forgotten, ["forgotten on Grebe, 10:00: a rag in the bilge"]);
        let second = &started(&bench.book, next, bench.now)[0];
        assert!(second.forgotten.is_empty() && second.runs[0].steps[0].guide.forgotten.is_empty());

        // An amendment that is taken back leaves what was before it.
        bench.ask(Command::Withdraw { event: version.0 });
        assert_eq!(told(&bench.book.procedures.current(kept).unwrap().reads), drawn);
    }
}
