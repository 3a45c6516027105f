//! Random readings of every kind, and what holds for each of them.
#![allow(clippy::unwrap_used, reason = "strategies give only what can be made")]

use proptest::prelude::*;
use quaywright_core::command::Command;
use quaywright_core::event::{About, Event, ReadingFacts, TakenFor};
use quaywright_core::id::{EngineId, JobId, ReadingId, StepId};
use quaywright_core::moment::Moment;
use quaywright_core::reading::Kind;
use quaywright_core::reading::figure::Entered;
use quaywright_core::reading::finding::Verdict;
use quaywright_core::reading::form::{Given, Input, Instead, Name, Need, Of, Typed, Value, questions, read};
use quaywright_core::reading::limits::{Limit, Limits};
use quaywright_core::reading::unit::{Quantity, Unit};
use quaywright_core::text::{Label, Prose};
use quaywright_core::view;

use crate::histories::{id, label, nth, text};
use crate::phone::Phone;

/// Returns a request about a reading of a job, or a new one.
pub(crate) fn command(phone: &Phone, job: JobId, which: usize, amount: u32) -> Option<Command> {
    let book = &phone.book;
    let some = nth(book.readings.readings().map(|reading| reading.id), which);
    let kind = Kind::ALL[which % Kind::ALL.len()];
    let engine = nth(book.fleet.boats().flat_map(|boat| boat.engines.iter().copied()), which);
    Some(match (which % 7, some, engine) {
        (0, Some(reading), engine) => Command::PutReading { reading, job: (amount > 1).then_some(job), engine },
        (1, Some(reading), _) => Command::WriteNote { about: About::Reading(reading), text: Prose::new("pegged") },
        (2, _, Some(engine)) => {
            let source = Label::new("manual 3");
            Command::SetLimits { engine, kind, limits: Box::new(Limits { each: every_limit(kind, "12"), source }) }
        }
        (3, Some(reading), _) => Command::Withdraw { event: reading.0 },
        _ => {
            let step = book.steps.steps_of(job).next().map(|step| step.id).filter(|_| amount > 2);
            let taken_for = TakenFor { job: (amount > 1).then_some(job), engine, step };
            Command::TakeReading { taken_for, reading: Box::new(every_answer(kind, &amount.to_string(), 2)) }
        }
    })
}

/// A reading with every input answered, figures with `figure`, those for each cylinder so many times.
pub(crate) fn every_answer(kind: Kind, figure: &str, cylinders: u8) -> ReadingFacts {
    let answered = |input: &Input, nth: u8| {
        let value = match input.of {
            Of::Figure { units, .. } => {
                Value::Figure(Entered::parse(figure, units[usize::from(nth) % units.len()]).unwrap())
            }
            Of::Choice(choices) => Value::Choice(choices[figure.len() % choices.len()]),
        };
        Given { name: input.name, nth, value }
    };
    let each = |input: &Input| match input.need {
        Need::Each(_) => (1..=cylinders).map(|nth| answered(input, nth)).collect::<Vec<_>>(),
        _ => vec![answered(input, 0)],
    };
    ReadingFacts {
        kind,
        what: Label::new("main"),
        given: kind.inputs().iter().flat_map(each).collect(),
        instrument: Label::new("the yellow meter"),
        note: Prose::new("after rain"),
    }
}

fn every_limit(kind: Kind, figure: &str) -> Vec<Limit> {
    let end = |units: &[_]| Entered::parse(figure, units[0]).ok();
    kind.measured().iter().map(|it| Limit { of: it.name, low: end(it.units), high: None }).collect()
}

/// Says everything about readings, with every field filled and left out.
pub(crate) fn is_said(phone: &mut Phone) {
    let job = phone.book.jobs.jobs().next().unwrap().id;
    let boat = phone.book.fleet.boats().next().unwrap();
    let engine = boat.engines[0];
    let step = phone.book.steps.steps_of(job).next().unwrap().id;
    let mut say = |event| {
        phone.now = Moment::new(phone.now.utc_ms() + 60_001, 60).unwrap();
        phone.say(event).record.id
    };
    for &kind in Kind::ALL {
        let taken_for = TakenFor { job: Some(job), engine: Some(engine), step: Some(step) };
        say(Event::ReadingTaken { taken_for, reading: Box::new(every_answer(kind, "12.60", 3)) });
    }
    let bare = ReadingFacts {
        kind: Kind::BatteryAtRest,
        what: Label::default(),
        given: every_answer(Kind::BatteryAtRest, "-0.05", 0).given[..1].to_vec(),
        instrument: Label::default(),
        note: Prose::default(),
    };
    let reading = ReadingId(say(Event::ReadingTaken { taken_for: TakenFor::default(), reading: Box::new(bare) }));
    for to in [
        TakenFor { job: Some(job), ..TakenFor::default() },
        TakenFor { engine: Some(engine), ..TakenFor::default() },
        TakenFor::default(),
        TakenFor { job: Some(job), engine: Some(engine), step: Some(step) },
    ] {
        say(Event::ReadingAssigned { reading, to });
    }
    say(Event::NoteWritten { about: About::Reading(reading), text: Prose::new("The needle \"sticks\" & <jumps>") });
    for &kind in Kind::ALL {
        let limits = Limits { each: every_limit(kind, "14.4"), source: Label::new("manual 3, page 4-2") };
        say(Event::LimitsSet { engine, kind, limits: Box::new(limits) });
    }
    let low = Entered::parse("900", quaywright_core::reading::unit::Unit::Kilopascal).ok();
    let of = Kind::Compression.measured()[0].name;
    let high = Some(Limit { of, low: None, high: low });
    let both = Limits { each: high.into_iter().chain([Limit { of, low, high: low }]).collect(), ..Limits::default() };
    say(Event::LimitsSet { engine, kind: Kind::Compression, limits: Box::new(both) });
    let none = say(Event::LimitsSet { engine, kind: Kind::Compression, limits: Box::default() });
    say(Event::Withdrawn { event: none });
}

/// Any event about readings.
pub(crate) fn event() -> BoxedStrategy<Event> {
    let taken_for =
        (prop::option::of(id()), prop::option::of(id()), prop::option::of(id())).prop_map(|(job, engine, step)| {
            TakenFor { job: job.map(JobId), engine: engine.map(EngineId), step: step.map(StepId) }
        });
    let taken_for = taken_for.boxed();
    let taken = (taken_for.clone(), facts())
        .prop_map(|(taken_for, reading)| Event::ReadingTaken { taken_for, reading: Box::new(reading) });
    let set = (id(), kind(), figure(), label()).prop_map(|(engine, kind, figure, source)| {
        let limits = Limits { each: every_limit(kind, &figure), source };
        Event::LimitsSet { engine: EngineId(engine), kind, limits: Box::new(limits) }
    });
    let put = (id(), taken_for).prop_map(|(reading, to)| Event::ReadingAssigned { reading: ReadingId(reading), to });
    prop_oneof![taken, set, put].boxed()
}

fn kind() -> impl Strategy<Value = Kind> {
    prop::sample::select(Kind::ALL.to_vec())
}

/// A figure that every unit takes.
fn figure() -> impl Strategy<Value = String> {
    (0..1_000_000_u32, 0..=6_u8).prop_map(|(whole, places)| match places {
        0 => whole.to_string(),
        places => format!("{}.{:0width$}", whole / 7, whole % 10, width = usize::from(places)),
    })
}

fn facts() -> impl Strategy<Value = ReadingFacts> {
    (kind(), figure(), 1..13_u8, label(), text(), any::<u16>()).prop_map(
        |(kind, figure, cylinders, what, note, left)| {
            let mut facts = every_answer(kind, &figure, cylinders);
            // Some answers are left out, as on a form that is half filled.
            let mut bit = 0;
            facts.given.retain(|_| {
                bit = (bit + 1) % 16;
                left >> bit & 1 == 0
            });
            ReadingFacts { what: what.clone(), instrument: what, note: Prose::new(&note), ..facts }
        },
    )
}

/// What gets typed into a field by mistake, by a broken meter or by malice.
fn absurd() -> impl Strategy<Value = String> {
    let known = [
        "",
        " ",
        "-",
        ".",
        "NaN",
        "nan",
        "inf",
        "-inf",
        "Infinity",
        "∞",
        "1e308",
        "-1e9",
        "0x10",
        "--1",
        "1..2",
        "1,250",
        "12 V",
        "12.6V",
        "１２",
        "٣",
        "0",
        "-0",
        "0.000001",
        "999999.999999",
        "-999999.999999",
        "1000000",
        "99999999999999999999",
        "-274",
        "-459.68",
        "½",
        "\u{0}",
        "\u{202e}12",
        "🔋",
    ];
    prop_oneof![
        4 => prop::sample::select(known.to_vec()).prop_map(str::to_owned),
        2 => "-?[0-9]{1,6}([.,][0-9]{1,6})?",
        1 => ".{0,12}",
    ]
}

/// A form of any kind with anything in its fields, each figure in any unit that it takes.
fn filled_in() -> impl Strategy<Value = (Kind, Vec<Typed>)> {
    (kind(), prop::collection::vec((absurd(), any::<u8>()), 24)).prop_map(|(kind, texts)| {
        let mut texts = texts.into_iter().cycle();
        let typed = |input: &Input, nth: u8| {
            let (text, which) = texts.next().unwrap();
            let (text, unit) = match input.of {
                Of::Figure { units, .. } => (text, units[usize::from(which) % units.len()]),
                Of::Choice(choices) if which < 200 => {
                    (choices[usize::from(which) % choices.len()].slug().to_owned(), Unit::Number)
                }
                Of::Choice(_) => (text, Unit::Number),
            };
            Typed { name: input.name, nth, text, unit }
        };
        let fields = kind.inputs().iter().flat_map(|input| match input.need {
            Need::Each(most) => (1..=most.min(3)).map(|nth| (input, nth)).collect::<Vec<_>>(),
            _ => vec![(input, 0)],
        });
        let mut typed = typed;
        (kind, fields.map(|(input, nth)| typed(input, nth)).collect())
    })
}

proptest! {
    #[test]
    fn nothing_absurd_is_swallowed(filled in filled_in()) {
        let (kind, typed) = filled;
        let (given, wrong) = read(kind.inputs(), &typed);
        // Each figure that was typed is either taken or said to be none, in words.
        for field in typed.iter().filter(|field| !field.text.trim().is_empty()) {
            let Of::Figure { .. } = kind.input(field.name).unwrap().of else { continue };
            let is_it = |name, nth| (name, nth) == (field.name, field.nth);
            let taken = given.iter().any(|it| is_it(it.name, it.nth));
            let told = wrong.iter().find(|it| is_it(it.name, it.nth)).map(|it| it.why.to_string());
            prop_assert!(taken != told.is_some(), "{field:?}");
            prop_assert!(told.is_none_or(|told| told.len() > 10));
        }
        // What is taken and not usual is asked about, whatever the judge makes of it.
        let asked = questions(kind.inputs(), &given);
        let has_system = kind.inputs().iter().any(|input| input.name == Name::System);
        for it in &given {
            let (Of::Figure { usual: (low, high), .. }, Value::Figure(entered)) = (kind.input(it.name).unwrap().of, it.value) else {
                continue;
            };
            let scales = has_system && entered.unit.quantity() == Quantity::Voltage;
            let is_asked = asked.iter().any(|question| (question.name, question.nth) == (it.name, it.nth));
            prop_assert!(scales || is_asked != (low..=high).contains(&entered.amount()), "{it:?}");
        }
        for question in &asked {
            prop_assert!(question.words.ends_with('?'));
            // What is offered instead is usual: taken up, the same question is not asked again.
            let Some(instead) = question.instead else { continue };
            let taken_up = typed.iter().cloned().map(|field| match instead {
                Instead::Unit(unit) if (field.name, field.nth) == (question.name, question.nth) => Typed { unit, ..field },
                Instead::System(system) if field.name == Name::System => Typed { text: system.slug().to_owned(), ..field },
                _ => field,
            });
            let (given, _) = read(kind.inputs(), &taken_up.collect::<Vec<_>>());
            let again = questions(kind.inputs(), &given);
            prop_assert!(!again.iter().any(|it| (it.name, it.nth) == (question.name, question.nth)), "{question:?}");
        }
        // And it never panics, and never judges without a reason.
        let found = kind.judge(&given, None);
        prop_assert!(found.reasons.iter().all(|it| !it.words.is_empty() && !it.rule.is_empty()));
        prop_assert!(!found.reasons.is_empty());
    }

    #[test]
    fn whatever_is_read_is_judged_with_a_reason(facts in facts(), limit in figure()) {
        let limits = Limits { each: every_limit(facts.kind, &limit), source: Label::default() };
        for limits in [None, Some(&limits)] {
            let found = facts.kind.judge(&facts.given, limits);
            prop_assert!(!found.reasons.is_empty(), "{} says nothing", facts.kind.words());
            prop_assert!(found.reasons.iter().all(|it| !it.words.is_empty() && it.rule.contains('(')));
            prop_assert_eq!(Some(found.verdict()), found.reasons.iter().map(|it| it.verdict).max());
        }
        for question in questions(facts.kind.inputs(), &facts.given) {
            prop_assert!(question.words.ends_with('?'));
        }
    }

    #[test]
    fn a_tighter_limit_never_makes_it_better(facts in facts(), limit in 0..1_000_u32) {
        let by = |limit: u32| {
            let limits = Limits { each: every_limit(facts.kind, &limit.to_string()), source: Label::default() };
            facts.kind.judge(&facts.given, Some(&limits)).verdict()
        };
        prop_assert!(by(limit) <= by(limit + 1));
    }
}

#[test]
fn what_is_half_a_reading_cannot_be_judged() {
    for &kind in Kind::ALL {
        let found = kind.judge(&[], None);
        assert_eq!(found.verdict(), Verdict::CannotSay, "{}", kind.words());
    }
}

#[test]
fn every_kind_is_on_one_shelf() {
    let mut shelved: Vec<Kind> = view::shelves().iter().flat_map(|shelf| shelf.kinds.iter().copied()).collect();
    shelved.sort_unstable();
    assert_eq!(shelved, Kind::ALL);
    assert!(Kind::ALL.iter().all(|kind| Kind::parse(kind.slug()) == Some(*kind) && kind.question().ends_with('?')));
}

#[test]
fn units_that_are_often_mixed_up_are_asked_about() {
    // A usual figure in one unit, typed beside another: kPa as psi, bar as psi, °F as °C, mV as V, inches as metres.
    for (kind, name, text, typed, meant) in [
        (Kind::Compression, Name::Cylinder, "830", Unit::Psi, Unit::Kilopascal),
        (Kind::Compression, Name::Cylinder, "8.5", Unit::Psi, Unit::Bar),
        (Kind::LeakDown, Name::Supply, "550", Unit::Psi, Unit::Kilopascal),
        (Kind::OilPressure, Name::Value, "300", Unit::Psi, Unit::Kilopascal),
        (Kind::Hold, Name::Start, "69", Unit::Psi, Unit::Kilopascal),
        (Kind::BatteryAtRest, Name::Temperature, "70", Unit::Celsius, Unit::Fahrenheit),
        (Kind::BatteryUnderLoad, Name::Temperature, "77", Unit::Celsius, Unit::Fahrenheit),
        (Kind::Cranking, Name::Temperature, "60", Unit::Celsius, Unit::Fahrenheit),
        (Kind::BatteryAtRest, Name::Voltage, "12600", Unit::Volt, Unit::Millivolt),
        (Kind::Draw, Name::Current, "35", Unit::Ampere, Unit::Milliampere),
        (Kind::PropellerSlip, Name::Pitch, "19", Unit::Metre, Unit::Inch),
        (Kind::FuelRange, Name::Volume, "15000", Unit::UsGallon, Unit::Litre),
    ] {
        let nth = u8::from(matches!(kind.input(name).unwrap().need, Need::Each(_)));
        let given = [Given { name, nth, value: Value::Figure(Entered::parse(text, typed).unwrap()) }];
        let asked = questions(kind.inputs(), &given);
        let instead = asked.first().and_then(|question| question.instead);
        assert_eq!(instead, Some(Instead::Unit(meant)), "{} {text} {}: {asked:?}", kind.words(), typed.words());
    }
}
