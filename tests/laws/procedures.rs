//! Procedures: what a phone asks of them in a random history, and what the
//! ready-made ones in `public/procedures` must be.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use std::fs;
use std::path::PathBuf;

use expect_test::expect_file;
use proptest::prelude::*;
use quaywright_core::command::Command;
use quaywright_core::event::{
    Condition, Details, Document, Drive, Event, ExpectedItem, ExpectedReading, Fasteners, Fuel, ItemKind, Picture,
    Procedure, ProcedureStep, StepNumber, Tags, Traits, Way,
};
use quaywright_core::exchange::procedure;
use quaywright_core::id::{BlobId, EngineId, EventId, JobId, ProcedureId, StartId, StepId, VersionId};
use quaywright_core::moment::Moment;
use quaywright_core::procedure::EngineProfile;
use quaywright_core::procedure::variant::variant;
use quaywright_core::quantity::{Count, Power, PowerUnit};
use quaywright_core::reading::Kind;
use quaywright_core::reassembly::caution::{Caution, FIRST};
use quaywright_core::text::Label;
use quaywright_core::tightening::pattern::Layout;
use quaywright_core::view;

use crate::formats::{PHOTOS, file, path, text_of};
use crate::histories::{history, id, label, lived, nth};
use crate::phone::{Phone, jpeg};

/// Returns a request about procedures and engines that the phone knows.
pub(crate) fn command(phone: &Phone, what: u8, which: usize, amount: u32) -> Option<Command> {
    let book = &phone.book;
    let kept = || nth(book.procedures.procedures().map(|it| it.id), which);
    let job = || nth(book.jobs.jobs().map(|job| job.id), which);
    let step =
        || nth(book.jobs.jobs().flat_map(|job| book.steps.steps_of(job.id)).map(|step| (step.job, step.id)), which);
    Some(match (what % 4, amount) {
        (0, 1) => Command::KeepAsProcedure { job: job()? },
        (0, _) => Command::KeepProcedure(made_up(which, amount)),
        (1, 1) => Command::AmendProcedure { procedure: kept()?, to: made_up(which, amount) },
        (1, _) => Command::LearnFrom { job: job()?, procedure: kept()? },
        (2, 1 | 2) => Command::StartProcedure { job: job()?, version: book.procedures.current(kept()?)?.id },
        (2, _) => Command::Withdraw { event: nth(book.procedures.starts().map(|it| it.id), which)?.0 },
        (_, 1) => Command::Forget { job: job()?, step: None, what: Label::new("a rag") },
        (_, 2) => {
            let (job, step) = step()?;
            Command::Forget { job, step: Some(step), what: Label::default() }
        }
        _ => Command::DescribeEngine {
            engine: nth(book.fleet.boats().flat_map(|boat| boat.engines.iter().copied()), which)?,
            traits: Traits { drive: Some(Drive::ALL[which % Drive::ALL.len()]), ..Traits::default() },
        },
    })
}

fn made_up(which: usize, amount: u32) -> Procedure {
    let only = vec![Condition::Drive(Drive::ALL[which % Drive::ALL.len()])];
    let step = |number, only| ProcedureStep {
        number: StepNumber(number),
        text: Label::new(&format!("step {which} of {amount}")),
        only,
        ..ProcedureStep::default()
    };
    let title = Label::new(&format!("procedure {which}"));
    let key = if which.is_multiple_of(3) { Label::new("shared") } else { Label::default() };
    Procedure { key, title, steps: vec![step(2, only), step(1, vec![])], ..Procedure::default() }
}

fn labels() -> impl Strategy<Value = Vec<Label>> {
    prop::collection::vec(label(), 0..3)
}

fn condition() -> impl Strategy<Value = Condition> {
    let power = (any::<u32>(), prop::sample::select(PowerUnit::ALL.to_vec()));
    let power = power.prop_map(|(tenths, unit)| Power { tenths, unit });
    prop_oneof![
        power.clone().prop_map(Condition::PowerFrom),
        power.prop_map(Condition::PowerTo),
        any::<u16>().prop_map(Condition::YearFrom),
        any::<u16>().prop_map(Condition::YearTo),
        any::<u32>().prop_map(|count| Condition::EnginesFrom(Count(count))),
        any::<u32>().prop_map(|count| Condition::EnginesTo(Count(count))),
        prop::sample::select(Drive::ALL.to_vec()).prop_map(Condition::Drive),
        prop::sample::select(Fuel::ALL.to_vec()).prop_map(Condition::Fuel),
        label().prop_map(Condition::With),
        label().prop_map(Condition::Without),
    ]
}

fn layout() -> impl Strategy<Value = Layout> {
    let rectangle = (any::<u16>(), any::<u16>()).prop_map(|(rows, columns)| Layout::Rectangle { rows, columns });
    prop_oneof![any::<u16>().prop_map(Layout::Circle), rectangle]
}

fn step() -> impl Strategy<Value = ProcedureStep> {
    let items = (label(), any::<u32>(), label()).prop_map(|(what, count, size)| ExpectedItem {
        what,
        count: Count(count),
        size,
        details: Details::default(),
    });
    let fasteners = (label(), layout()).prop_map(|(what, layout)| Fasteners { what, layout });
    let readings = (label(), prop::option::of(prop::sample::select(Kind::ALL.to_vec())));
    let readings = readings.prop_map(|(what, kind)| ExpectedReading { what, kind });
    let pictures =
        (any::<u64>(), any::<(u32, u16, u16)>(), label()).prop_map(|(n, (bytes, width, height), caption)| Picture {
            blob: BlobId::of(&n.to_be_bytes()),
            bytes,
            width,
            height,
            caption,
        });
    let rows = (
        prop::collection::vec(items, 0..3),
        prop::collection::vec(fasteners, 0..3),
        prop::collection::vec(readings, 0..3),
        prop::collection::vec(pictures, 0..3),
        prop::collection::vec(condition(), 0..3),
    );
    let cautions = prop::sample::subsequence(Caution::ALL.to_vec(), 0..4);
    (any::<u16>(), label(), label(), cautions, labels(), labels(), rows).prop_map(
        |(number, text, side, cautions, tools, consumables, (items, fasteners, readings, pictures, only))| {
            let number = StepNumber(number);
            #[rustfmt::skip]
            let step = ProcedureStep {
                number, text, side, cautions, tools, consumables, items, fasteners, readings, pictures, only,
            };
            step
        },
    )
}

fn any_procedure() -> impl Strategy<Value = Procedure> {
    let steps = prop::collection::vec(step(), 0..4);
    (label(), label(), label(), labels(), steps).prop_map(|(key, title, about, tags, steps)| Procedure {
        key,
        title,
        about,
        tags: Tags::new(tags),
        steps,
    })
}

/// Any event that speaks of procedures.
pub(crate) fn event() -> impl Strategy<Value = Event> {
    let drive = prop::option::of(prop::sample::select(Drive::ALL.to_vec()));
    let fuel = prop::option::of(prop::sample::select(Fuel::ALL.to_vec()));
    let options = prop::option::of(labels().prop_map(Tags::new));
    let traits = (drive, fuel, options).prop_map(|(drive, fuel, options)| Traits { drive, fuel, options });
    prop_oneof![
        (id(), traits).prop_map(|(id, traits)| Event::EngineDescribed { engine: EngineId(id), traits }),
        (any_procedure(), prop::option::of(id()))
            .prop_map(|(procedure, from)| Event::ProcedureKept { procedure, from: from.map(JobId) }),
        (id(), any_procedure()).prop_map(|(id, to)| Event::ProcedureAmended { procedure: ProcedureId(id), to }),
        (id(), id())
            .prop_map(|(job, version)| Event::ProcedureStarted { job: JobId(job), version: VersionId(version) }),
        (id(), any::<u16>(), label()).prop_map(|(start, number, text)| Event::StepTaken {
            start: StartId(start),
            number: StepNumber(number),
            text
        }),
        (id(), prop::option::of(id()), label()).prop_map(|(job, step, what)| Event::Forgotten {
            job: JobId(job),
            step: step.map(StepId),
            what
        }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_started_procedure_shows_each_of_its_steps_once(history in history(80)) {
        for phone in lived(&history) {
            for job in phone.book.jobs.jobs() {
                let cards = view::started(&phone.book, job.id, phone.now);
                let shown: Vec<StepId> =
                    cards.iter().flat_map(|it| &it.runs).flat_map(|it| &it.steps).map(|it| it.id).collect();
                let taken = phone.book.steps.steps_of(job.id).filter(|it| it.taken.is_some());
                let mut taken: Vec<StepId> = taken.map(|it| it.id).collect();
                let mut once = shown.clone();
                taken.sort_unstable();
                once.sort_unstable();
                prop_assert_eq!(once, taken);
            }
        }
    }

    #[test]
    fn taking_a_version_back_and_bringing_it_back_changes_nothing(history in history(80)) {
        for mut phone in lived(&history) {
            let kept: Vec<ProcedureId> = phone.book.procedures.procedures().map(|it| it.id).collect();
            for id in kept {
                let before = phone.book.procedures.clone();
                let Some(version) = phone.book.procedures.current(id).map(|it| it.id) else { continue };
                let back = phone.must(Command::Withdraw { event: version.0 });
                prop_assert_ne!(phone.book.procedures.current(id).map(|it| it.id), Some(version));
                phone.must(Command::Withdraw { event: back });
                prop_assert_eq!(&phone.book.procedures, &before);
            }
        }
    }
}

/// Says every kind that speaks of procedures, with every field filled and left out.
pub(crate) fn are_said(phone: &mut Phone) {
    let job = JobId(EventId { device: phone.tip.device, seq: 7 });
    let engine = EngineId(EventId { device: phone.tip.device, seq: 4 });
    let options = Some(Tags::new(vec![Label::new("power steering")]));
    phone.say(Event::EngineDescribed { engine, traits: Traits::default() });
    let bare = Traits { options: Some(Tags::default()), ..Traits::default() };
    phone.say(Event::EngineDescribed { engine, traits: bare });
    let traits = Traits { drive: Some(Drive::Shaft), fuel: Some(Fuel::Diesel), options };
    phone.say(Event::EngineDescribed { engine, traits });
    let empty = Procedure { title: Label::new("Walk round"), ..Procedure::default() };
    phone.say(Event::ProcedureKept { procedure: empty, from: None });
    let kept = phone.say(Event::ProcedureKept { procedure: full_procedure(), from: Some(job) }).record.id;
    let to = Procedure { about: Label::default(), ..full_procedure() };
    let amended = phone.say(Event::ProcedureAmended { procedure: ProcedureId(kept), to }).record.id;
    let what = Document::Procedure { version: VersionId(amended) };
    phone.say(Event::HandedOver { what, way: Way::Shared, file: BlobId::of(b"a file") });
    let start = StartId(phone.say(Event::ProcedureStarted { job, version: VersionId(amended) }).record.id);
    let text = Label::new("Draw the impeller out");
    let step = phone.say(Event::StepTaken { start, number: StepNumber(7), text }).record.id;
    phone.say(Event::StepTicked { step: StepId(step), done: true });
    phone.say(Event::Forgotten { job, step: Some(StepId(step)), what: Label::default() });
    phone.say(Event::Forgotten { job, step: None, what: Label::new("a rag in the bilge") });
    phone.now = Moment::new(phone.now.utc_ms() + 60_001, 60).unwrap();
}

/// A procedure with every row, every caution and every kind of condition.
fn full_procedure() -> Procedure {
    let words = |words: &[&str]| words.iter().copied().map(Label::new).collect::<Vec<_>>();
    let hp = Power { tenths: 1_155, unit: PowerUnit::Horsepower };
    let item = |what: &str, size: &str| ExpectedItem {
        what: Label::new(what),
        count: Count(6),
        size: Label::new(size),
        details: Details { kind: Some(ItemKind::Seal), way_up: Label::new("lip down"), ..Details::default() },
    };
    let of = |what: &str, layout| Fasteners { what: Label::new(what), layout };
    let reading = |what: &str, kind| ExpectedReading { what: Label::new(what), kind };
    let bytes = jpeg(PHOTOS[0]);
    let only = [
        vec![Condition::PowerFrom(hp), Condition::PowerTo(hp), Condition::YearFrom(1998), Condition::YearTo(2024)],
        vec![Condition::EnginesFrom(Count(1)), Condition::EnginesTo(Count(2))],
        Drive::ALL.map(Condition::Drive).to_vec(),
        Fuel::ALL.map(Condition::Fuel).to_vec(),
        vec![Condition::With(Label::new("trim")), Condition::Without(Label::new("flush \"kit\""))],
    ];
    let full = ProcedureStep {
        number: StepNumber(7),
        text: Label::new("Draw the impeller out"),
        side: Label::new("front"),
        cautions: Caution::ALL.to_vec(),
        tools: words(&["puller", "tray"]),
        consumables: words(&["gasket"]),
        items: vec![item("cover screw", "M5"), item("impeller", "")],
        fasteners: vec![of("cover", Layout::Circle(6)), of("plate", Layout::Rectangle { rows: 2, columns: 3 })],
        readings: vec![reading("voltage at rest", Some(Kind::BatteryAtRest)), reading("colour of the water", None)],
        pictures: vec![Picture {
            blob: BlobId::of(&bytes),
            bytes: bytes.len() as u32,
            width: 1200,
            height: 900,
            caption: Label::new("vanes <bent>"),
        }],
        only: only.concat(),
    };
    let plain = ProcedureStep { number: StepNumber(1), text: Label::new("Look round"), ..ProcedureStep::default() };
    Procedure {
        key: Label::new("starter/raw-water-impeller"),
        title: Label::new("Raw-water impeller"),
        about: Label::new("Find every piece."),
        tags: Tags::new(words(&["cooling", "impeller"])),
        steps: vec![full, plain],
    }
}

/// A file of procedures is read and written as ever; what a newer program or a torn one makes of it is refused.
#[test]
fn a_file_of_procedures_is_written_and_read_as_ever() {
    let second = Procedure { key: Label::default(), title: Label::new("Walk round"), ..full_procedure() };
    let written = text_of(&procedure::pieces(&[&full_procedure(), &second]));
    expect_file![path("v3/procedures.json")].assert_eq(&written);
    let mut read = procedure::read(&file("v3/procedures.json")).unwrap();
    let (pictures, gone) = read.take_pictures();
    assert_eq!((read.procedures, pictures.len(), gone), (vec![full_procedure(), second], 1, 0));
    for (name, bytes) in [
        ("newer-procedures.json", written.replacen("\"v\":1", "\"v\":2", 1)),
        ("cut-procedures.json", written[..written.len() / 2].to_owned()),
    ] {
        expect_file![path(&format!("broken/{name}"))].assert_eq(&bytes);
        let said = procedure::read(&file(&format!("broken/{name}"))).unwrap_err();
        expect_file![path(&format!("broken/{name}.said"))].assert_eq(&format!("nothing taken\n{said}\n"));
    }
}

/// Returns each ready-made procedure with the name of its file.
fn ready_made() -> Vec<(String, Procedure)> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../public/procedures");
    let mut paths: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|it| it.unwrap().path()).collect();
    paths.sort();
    let read = |path: PathBuf| {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let mut file = procedure::read(&fs::read(&path).unwrap()).unwrap_or_else(|why| panic!("{name}: {why}"));
        assert_eq!((file.take_pictures(), file.procedures.len()), ((vec![], 0), 1), "{name}");
        (name, file.procedures.remove(0))
    };
    paths.into_iter().map(read).collect()
}

#[test]
fn the_ready_made_ones_are_sound_and_say_who_decides() {
    let all = ready_made();
    assert_eq!(all.len(), 10);
    for (name, procedure) in &all {
        assert_eq!(procedure.key.as_str(), format!("starter/{name}"));
        assert!(procedure.about.as_str().ends_with(MANUAL_DECIDES), "{name}: {}", procedure.about);
        assert!(procedure.steps.iter().any(|it| !it.readings.is_empty()), "{name} measures nothing");
        assert!(procedure.steps.iter().any(|it| !it.items.is_empty()), "{name} expects nothing to come off");
        let numbers: Vec<u16> = procedure.steps.iter().map(|it| it.number.0).collect();
        assert_eq!(numbers, (1..=procedure.steps.len() as u16).collect::<Vec<_>>(), "{name}");
    }
}

const MANUAL_DECIDES: &str = "The service manual of the engine decides; so do local codes and licensed practice.";

/// A step that lets the engine run, lifts it, opens fuel or has hands at the propeller says so where it is read.
#[test]
fn the_ready_made_ones_warn_at_the_point_of_need() {
    assert!(FIRST.contains("service manual"));
    for (name, procedure) in ready_made() {
        for step in &procedure.steps {
            let text = step.text.as_str().to_lowercase();
            let told = view::guide(step).cautions.concat();
            for (word, caution) in [
                ("run ", "no cooling water"),
                ("run with", "carbon monoxide"),
                ("start,", "carbon monoxide"),
                ("lift ", "lifting"),
                ("negative", "battery first"),
                ("shore power", "shore power"),
                ("fuel back", "fuel vapour"),
                ("propeller off", "propeller"),
            ] {
                assert!(!text.starts_with(word) || told.contains(caution), "{name}: “{text}” without {caution}");
            }
        }
    }
}

/// Values are the manual's: no figure stands before a unit anywhere.
#[test]
fn the_ready_made_ones_hold_no_value() {
    let units = [
        "n·m", "nm", "lbf", "ft", "psi", "bar", "kpa", "mm", "inch", "in", "l", "litre", "litres", "v", "volt",
        "volts", "°c", "°f", "rpm", "%",
    ];
    for (name, procedure) in ready_made() {
        for step in &procedure.steps {
            let text =
                [step.text.as_str(), &view::guide(step).tools, &view::guide(step).consumables].join(" ").to_lowercase();
            let words: Vec<&str> = text.split([' ', ',', ';', ':']).collect();
            for pair in words.windows(2) {
                let figure = pair[0].starts_with(|c: char| c.is_ascii_digit());
                assert!(!(figure && units.contains(&pair[1])), "{name}: “{}” holds a value", step.text);
            }
            assert!(!step.text.as_str().contains(|c: char| c.is_ascii_digit()), "{name}: “{}”", step.text);
        }
    }
}

/// What differs between engines is told apart, and nothing of it goes without a word.
#[test]
fn the_ready_made_ones_fit_what_they_are_for() {
    let engine = |drive, fuel, engines| EngineProfile {
        engines: Some(Count(engines)),
        traits: Traits { drive: Some(drive), fuel: Some(fuel), options: Some(Tags::default()) },
        ..EngineProfile::default()
    };
    let outboard = engine(Drive::Outboard, Fuel::Petrol, 1);
    let inboard = engine(Drive::Shaft, Fuel::Diesel, 2);
    let leg = engine(Drive::Sterndrive, Fuel::Petrol, 1);
    for (name, procedure) in ready_made() {
        let fitting = [&outboard, &inboard, &leg].map(|engine| {
            let variant = variant(&procedure, engine);
            assert!(variant.kept.iter().all(|it| it.unsure.is_empty()), "{name}");
            variant.kept.iter().map(|it| it.step.number.0).collect::<Vec<_>>()
        });
        if name == "shaft-seal-powerhead" {
            assert!(fitting[0].len() > 20 && fitting[1].is_empty() && fitting[2].is_empty(), "only outboards have one");
            continue;
        }
        assert!(fitting.iter().all(|it| it.len() >= 7), "{name}: {fitting:?}");
        assert!(fitting[0] != fitting[1], "{name} is the same for an outboard and for twin diesels on shafts");
    }
}
