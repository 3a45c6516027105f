//! A job by a procedure, and a procedure from a job, as a screen is told of both.

use super::*;
use crate::command::{BoatChoice, Command, NewJob, decide};
use crate::event::{
    About, Activity, BoatFacts, Condition, Doing, Drive, EngineFacts, ExpectedReading, GroupFacts, Hardware, PayType,
    PhotoFacts, ReadingFacts, StepNumber, Tags, TakenFor, Traits,
};
use crate::exchange::line;
use crate::id::{BlobId, DeviceId, EngineId, EventId, ItemId, ReadingId};
use crate::log::Tip;
use crate::quantity::Count;
use crate::reading::form::{self, Name, Typed};
use crate::reading::unit::Unit;
use crate::reassembly::caution::Caution;
use crate::text::Prose;
use crate::tightening::group::Shares;
use crate::tightening::pattern::{Layout, Numbering, Pattern};
use crate::view::item_rows;
use crate::view::{asked_reading, courses_of, engines_to_choose};

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

    fn measure(&mut self, job: JobId, what: &str) {
        self.measure_for(job, None, what);
    }

    fn measure_for(&mut self, job: JobId, step: Option<StepId>, what: &str) -> EventId {
        let typed = Typed { name: Name::Voltage, nth: 0, text: "12.6".to_owned(), unit: Unit::Volt };
        let (given, wrong) = form::read(Kind::BatteryAtRest.inputs(), &[typed]);
        assert!(wrong.is_empty());
        let (instrument, note) = (Label::default(), Prose::default());
        let reading = ReadingFacts { kind: Kind::BatteryAtRest, what: Label::new(what), given, instrument, note };
        let taken_for = TakenFor { job: Some(job), engine: None, step };
        self.ask(Command::TakeReading { taken_for, reading: Box::new(reading) })
    }

    fn tick(&mut self, step: StepId) {
        self.ask(Command::TickStep { step, done: true });
    }
}

fn group(what: &str, pattern: Pattern) -> GroupFacts {
    GroupFacts {
        what: Label::new(what),
        side: Label::new("front"),
        pattern,
        numbering: Numbering::ByPosition,
        entered: None,
        shares: Shares::default(),
        hardware: Hardware::default(),
        needed: None,
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
fn a_step_knows_that_its_reading_was_taken_until_it_is_put_elsewhere() {
    let mut bench = Bench::new();
    let job = bench.job("Heron", false);
    let mut procedure = procedure();
    let asked = |what: &str, kind| ExpectedReading { what: Label::new(what), kind };
    let kind = Some(Kind::BatteryAtRest);
    procedure.steps[0].readings =
        vec![asked("start battery", kind), asked("house battery", kind), asked("smell", None)];
    procedure.steps[0].only = Vec::new();
    let version = VersionId(bench.ask(Command::KeepProcedure(procedure)));
    bench.ask(Command::StartProcedure { job, version });
    let step = started(&bench.book, job, bench.now)[0].runs[0].steps[0].id;
    let asked = asked_reading(&bench.book, step, 1).unwrap();
    assert_eq!((asked.kind, asked.job, asked.what.as_str()), (Kind::BatteryAtRest, job, "house battery"));
    assert_eq!(asked_reading(&bench.book, step, 2).map(|it| it.kind), Some(Kind::Free));
    assert_eq!(asked_reading(&bench.book, step, 3), None);

    let taken = |bench: &Bench| {
        let rows = &started(&bench.book, job, bench.now)[0].runs[0].steps[0].guide.readings;
        rows.iter().map(|row| row.taken).collect::<Vec<_>>()
    };
    assert_eq!(taken(&bench), [None, None, None]);
    let reading = ReadingId(bench.measure_for(job, Some(step), "house battery"));
    assert_eq!(taken(&bench), [None, Some("Within limits"), None]);
    // Another engine: it is still the step's. Another job: it is not. Taken back, it is again.
    bench.ask(Command::PutReading { reading, job: Some(job), engine: None });
    assert_eq!(taken(&bench), [None, Some("Within limits"), None]);
    let other = bench.job("Otter", false);
    let moved = bench.ask(Command::PutReading { reading, job: Some(other), engine: None });
    assert_eq!(taken(&bench), [None, None, None]);
    bench.ask(Command::Withdraw { event: moved });
    assert_eq!(taken(&bench), [None, Some("Within limits"), None]);
}

#[test]
fn a_reading_takes_its_engine_along_to_a_job_on_the_same_boat_only() {
    let mut bench = Bench::new();
    let (heron, otter) = (bench.job("Heron", false), bench.job("Otter", false));
    bench.engine(heron, Drive::Outboard);
    let engine = engines_to_choose(&bench.book, Some(heron))[0].0;
    assert_eq!(engines_to_choose(&bench.book, Some(otter)), []);
    let reading = ReadingId(bench.measure_for(heron, None, "start battery"));
    let is_of = |bench: &Bench| {
        let reading = bench.book.readings.reading(reading).unwrap();
        (bench.book.readings.job_of(reading), bench.book.engine_read(reading).map(|it| it.id))
    };
    bench.ask(Command::PutReading { reading, job: None, engine: Some(engine) });
    assert_eq!(is_of(&bench), (None, Some(engine)));
    bench.ask(Command::PutReading { reading, job: Some(otter), engine: Some(engine) });
    assert_eq!(is_of(&bench), (Some(otter), None));
    bench.ask(Command::PutReading { reading, job: Some(heron), engine: Some(engine) });
    assert_eq!(is_of(&bench), (Some(heron), Some(engine)));
    let (known, others) = courses_of(&bench.book, engine, bench.now.day());
    assert_eq!(known.iter().map(|row| row.kind).collect::<Vec<_>>(), [Kind::BatteryAtRest]);
    assert!(known[0].words.starts_with("read once, "), "{}", known[0].words);
    assert!(others.contains(&Kind::Compression) && !others.contains(&Kind::Premix));
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
    let circle = Pattern::of(Layout::Circle(6)).unwrap();
    bench.ask(Command::AddGroup { job, facts: Box::new(group("Pump cover", circle)) });
    for what in ["start", "start", "house"] {
        bench.after(1).measure(job, what);
    }
    bench.after(96).ask(Command::SwitchClock { to: Doing::Off });
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
        "5 Tighten Pump cover []",
        "6 Measure start []",
        "7 Measure house []",
        "8 Order a spare []",
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
    bench.ask(Command::Forget { job: next, step: None, what: Label::new("Cover screw") });
    for what in ["Pump cover", "Belt guard"] {
        let row = Pattern::of(Layout::Rectangle { rows: 1, columns: 4 }).unwrap();
        bench.ask(Command::AddGroup { job: next, facts: Box::new(group(what, row)) });
    }
    bench.ask(Command::LearnFrom { job: next, procedure: kept });
    let card = procedure_card(&bench.book, kept, bench.now).unwrap();
    let better = [
        "1 Take off, port [2 hose, 1 clamp]",
        "2 Take off, front [7 cover screw, 1 cover]",
        "3 Clean the gasket face []",
        "4 Take off, front [1 impeller]",
        "5 Tighten Pump cover []",
        "6 Measure start []",
        "7 Measure house []",
        "8 Order a spare []",
        "9 Look at the weep hole []",
        "10 Tighten Belt guard []",
    ];
    assert_eq!(told(&card.reads), better);
    assert_eq!(card.forgotten.len(), 3);

    // The third job is told; the second, where it happened, is not.
    let third = bench.job("Tern", false);
    let version = bench.book.procedures.current(kept).unwrap().id;
    bench.ask(Command::StartProcedure { job: third, version });
    let card = &started(&bench.book, third, bench.now)[0];
    assert_eq!(card.runs[0].steps[0].guide.forgotten, ["forgotten on Grebe, 10:00: the second clamp"]);
    assert_eq!(card.forgotten, ["forgotten on Grebe, 10:00: a rag in the bilge"]);
    let expected = card.runs.iter().flat_map(|run| &run.steps).flat_map(|step| &step.guide.items);
    let flagged: Vec<_> = expected.filter(|row| !row.forgotten.is_empty()).collect();
    assert_eq!((flagged.len(), flagged[0].forgotten[0].as_str()), (1, "forgotten on Grebe, 10:00"));
    let screw = bench.off(third, 7, "Cover screw", "front");
    assert_eq!(item_rows(&bench.book, &[screw])[0].forgotten, ["forgotten on Grebe before"]);
    let second = &started(&bench.book, next, bench.now)[0];
    assert!(second.forgotten.is_empty() && second.runs[0].steps[0].guide.forgotten.is_empty());

    // An amendment that is taken back leaves what was before it.
    bench.ask(Command::Withdraw { event: version.0 });
    assert_eq!(told(&bench.book.procedures.current(kept).unwrap().reads), drawn);
}
