//! Readings as a screen shows them: the questions of the bench, a form that answers
//! while one types, what was kept, and how an engine's figures went over the years.

mod course;
mod place;

pub use course::{CourseRow, Series, courses_of, series};
pub use place::{AskedReading, asked_reading, engine_of_job, engines_to_choose};

use crate::book::Book;
use crate::book::readings::Reading;
use crate::event::About;
use crate::id::{EngineId, JobId, ReadingId};
use crate::moment::Day;
use crate::order;
use crate::reading::Kind;
use crate::reading::finding::{Finding, Verdict};
use crate::reading::form::{self, Given, Name, Need, Of, Question, Typed, Value};
use crate::reading::unit::Unit;

use super::job::{PhotoCard, photo_card};
use super::when;
use super::words::{joined, place};

/// Some kinds of readings that belong together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shelf {
    /// What they are about.
    pub words: &'static str,
    /// The kinds, by the question that each answers.
    pub kinds: &'static [Kind],
}

/// Returns the kinds as the bench offers them.
pub const fn shelves() -> [Shelf; 5] {
    use Kind::*;
    [
        Shelf {
            words: "Battery and wiring",
            kinds: &[
                BatteryAtRest,
                BatteryUnderLoad,
                Cranking,
                Charging,
                Draw,
                VoltageDrop,
                Conductor,
                Insulation,
                GalvanicIsolator,
            ],
        },
        Shelf { words: "Engine", kinds: &[Compression, LeakDown, Hold, OilPressure, Temperature, EngineHours] },
        Shelf { words: "Oil, coolant, mix", kinds: &[Premix, Coolant, OilFill] },
        Shelf { words: "Propeller and fuel", kinds: &[PropellerSlip, FuelBurn, FuelRange] },
        Shelf { words: "Lifting, and anything else", kinds: &[Sling, Free] },
    ]
}

/// Returns the fields of a kind, empty, each in the unit in which it was last read.
pub fn blank_form(book: &Book, kind: Kind) -> Vec<Typed> {
    let last = book.readings.readings().rfind(|reading| reading.facts.kind == kind);
    let given = last.map(|reading| reading.facts.given.as_slice()).unwrap_or_default();
    let unit = |input: &form::Input| match input.of {
        Of::Figure { units, .. } => form::Answers(given).unit(input.name, units[0]),
        Of::Choice(_) => Unit::Number,
    };
    let field = |input: &form::Input, nth| Typed { name: input.name, nth, text: String::new(), unit: unit(input) };
    let fields = |input: &'static form::Input| match input.need {
        Need::Each(most) => (1..=most).map(|nth| field(input, nth)).collect::<Vec<_>>(),
        Need::Must | Need::May => vec![field(input, 0)],
    };
    kind.inputs().iter().flat_map(fields).collect()
}

/// Says in which unit a field is, and with it its like that are still empty: an instrument
/// that is read at one cylinder in bar is read so at the next.
pub fn choose_unit(fields: &mut [Typed], at: usize, unit: Unit) {
    let Some(chosen) = fields.get_mut(at) else { return };
    chosen.unit = unit;
    let name = chosen.name;
    for like in fields.iter_mut().filter(|field| field.name == name && field.text.trim().is_empty()) {
        like.unit = unit;
    }
}

/// What a form comes to as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// What was answered.
    pub given: Vec<Given>,
    /// What is wrong with a field, in words.
    pub wrong: Vec<(Name, u8, String)>,
    /// What a figure is in a unit of the SI, where it was typed in another.
    pub beside: Vec<(Name, u8, String)>,
    /// What is to be asked before it is believed.
    pub questions: Vec<Question>,
    /// What is still to be written.
    pub missing: Vec<&'static str>,
    /// The verdict, once there is enough for one.
    pub judged: Option<Judged>,
}

/// A verdict with its reasons.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Judged {
    /// How it stands.
    pub verdict: Verdict,
    /// What was worked out: what it is, and the figure.
    pub told: Vec<(&'static str, String)>,
    /// Each reason, and the rule that gave it.
    pub reasons: Vec<(String, String)>,
    /// What to do next.
    pub next: Vec<&'static str>,
}

impl Judged {
    /// Returns how it stands, to be read first; nothing where figures are the answer and
    /// there is nothing to hold them against, since then no verdict was asked for.
    pub fn headline(&self) -> Option<&'static str> {
        let is_amount = self.verdict == Verdict::CannotSay && !self.told.is_empty();
        (!is_amount).then_some(self.verdict.words())
    }

    fn of(finding: Finding) -> Self {
        let verdict = finding.verdict();
        // The gravest reason is the answer, so it comes first.
        let reasons = order::last_first(finding.reasons, |reason| reason.verdict);
        Self {
            verdict,
            told: finding.told.into_iter().map(|told| (told.words, told.value)).collect(),
            reasons: reasons.into_iter().map(|reason| (reason.words, reason.rule)).collect(),
            next: finding.next,
        }
    }
}

/// Returns what a form comes to, judged by the limits of the engine if there is one.
pub fn answer(book: &Book, kind: Kind, engine: Option<EngineId>, typed: &[Typed]) -> Answer {
    let (given, wrong) = form::read(kind.inputs(), typed);
    let is_given = |name| given.iter().any(|it| it.name == name);
    let musts = kind.inputs().iter().filter(|input| input.need != Need::May && !is_given(input.name));
    let missing: Vec<&'static str> = musts.map(|input| input.words).collect();
    let limits = engine.and_then(|engine| book.readings.limits_of(engine, kind));
    let judged = missing.is_empty().then(|| Judged::of(kind.judge(&given, limits)));
    let beside = given.iter().filter_map(|it| match it.value {
        Value::Figure(entered) => Some((it.name, it.nth, entered.beside()?)),
        Value::Choice(_) => None,
    });
    let beside = beside.collect();
    let wrong = wrong.into_iter().map(|it| (it.name, it.nth, it.why.to_string())).collect();
    Answer { questions: form::questions(kind.inputs(), &given), given, wrong, beside, missing, judged }
}

/// A reading that was kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadingCard {
    /// The reading.
    pub id: ReadingId,
    /// Its kind.
    pub kind: Kind,
    /// The kind, and what was measured.
    pub title: String,
    /// When, in words.
    pub when: String,
    /// What it is on, in words; nothing while it is on no job.
    pub place: Option<String>,
    /// The job that it is on.
    pub job: Option<JobId>,
    /// The engine that it is of.
    pub engine: Option<EngineId>,
    /// What was read: what it is, and the figure as it was typed, with the SI's beside it.
    pub answers: Vec<(String, String)>,
    /// What it comes to.
    pub judged: Judged,
    /// With which instrument, and what else is worth knowing.
    pub note: String,
    /// Photos of the gauge.
    pub photos: Vec<PhotoCard>,
}

/// Returns a job's readings, latest first.
pub fn readings_of(book: &Book, job: JobId, today: Day) -> Vec<ReadingCard> {
    let of_job = book.readings.readings().rev().filter(|it| book.readings.job_of(it) == Some(job));
    of_job.map(|reading| card(book, reading, today)).collect()
}

/// Returns the readings that are on no job, latest first, and at most so many.
pub fn readings_on_the_bench(book: &Book, today: Day, most: usize) -> Vec<ReadingCard> {
    let loose = book.readings.readings().rev().filter(|it| book.readings.job_of(it).is_none());
    loose.take(most).map(|reading| card(book, reading, today)).collect()
}

fn card(book: &Book, reading: &Reading, today: Day) -> ReadingCard {
    let facts = &reading.facts;
    let job = book.readings.job_of(reading);
    let place = job.map(|job| place(book, crate::event::On::Job(job)));
    let engine = book.engine_read(reading).map(|engine| engine.id);
    let instrument = facts.instrument.to_string();
    ReadingCard {
        id: reading.id,
        kind: facts.kind,
        title: title(reading),
        when: when(reading.at, today),
        place: place.map(|place| joined(&[place.boat, place.job], ", ")),
        job,
        engine,
        answers: answered(facts.kind, &facts.given, true),
        judged: Judged::of(finding(book, reading)),
        note: joined(&[instrument, facts.note.to_string()], ". "),
        photos: book.evidence.photos_about(About::Reading(reading.id)).map(|it| photo_card(book, it)).collect(),
    }
}

/// Returns the kind of a reading and what was measured, `Battery at rest: start battery`.
pub(crate) fn title(reading: &Reading) -> String {
    joined(&[reading.facts.kind.words().to_owned(), reading.facts.what.to_string()], ": ")
}

/// Returns what a reading comes to, by the limits that hold now.
pub(crate) fn finding(book: &Book, reading: &Reading) -> Finding {
    let facts = &reading.facts;
    let engine = book.engine_read(reading);
    let limits = engine.and_then(|engine| book.readings.limits_of(engine.id, facts.kind));
    facts.kind.judge(&facts.given, limits)
}

/// Returns what was read, in the order of the form: what it is, and the figure as it was typed.
pub(crate) fn answers(kind: Kind, given: &[Given]) -> Vec<(String, String)> {
    answered(kind, given, false)
}

fn answered(kind: Kind, given: &[Given], with_si: bool) -> Vec<(String, String)> {
    let of_input = |input: &form::Input| {
        let (name, words) = (input.name, input.words);
        given.iter().filter(move |it| it.name == name).map(move |it| {
            let words = if it.nth > 0 { format!("{words} {}", it.nth) } else { words.to_owned() };
            let value = match it.value {
                Value::Figure(entered) => match entered.beside().filter(|_| with_si) {
                    Some(beside) => [&entered.to_string(), " (", &beside, ")"].concat(),
                    None => entered.to_string(),
                },
                Value::Choice(choice) => choice.words().to_owned(),
            };
            (words, value)
        })
    };
    kind.inputs().iter().flat_map(of_input).collect()
}

/// An engine's own limit as a form shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LimitRow {
    /// What is measured.
    pub name: Name,
    /// The units that it can be typed in.
    pub units: &'static [Unit],
    /// The lowest and the highest, as they were typed; empty where there is none.
    pub ends: [String; 2],
    /// In which unit.
    pub unit: Unit,
}

/// Returns an engine's own limits for a kind as a form shows them, and where they are from.
pub fn limit_rows(book: &Book, engine: EngineId, kind: Kind) -> (Vec<LimitRow>, String) {
    let limits = book.readings.limits_of(engine, kind).cloned().unwrap_or_default();
    let row = |measured: &crate::reading::Measured| {
        let limit = limits.each.iter().find(|limit| limit.of == measured.name);
        let ends = [limit.and_then(|it| it.low), limit.and_then(|it| it.high)];
        LimitRow {
            name: measured.name,
            units: measured.units,
            ends: ends.map(|end| end.map(|end| end.figure.to_string()).unwrap_or_default()),
            unit: ends.into_iter().flatten().next().map_or(measured.units[0], |end| end.unit),
        }
    };
    (kind.measured().iter().map(row).collect(), limits.source.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_goes_along_to_what_is_empty_and_to_nothing_else() {
        let mut fields = blank_form(&Book::default(), Kind::Compression);
        let cylinders: Vec<usize> = (0..fields.len()).filter(|&at| fields[at].name == fields[0].name).collect();
        assert!(cylinders.len() > 3);
        let was = fields[0].unit;
        fields[cylinders[1]].text = "178".to_owned();
        choose_unit(&mut fields, cylinders[0], Unit::Bar);
        let units: Vec<Unit> = cylinders[..3].iter().map(|&at| fields[at].unit).collect();
        assert_eq!(units, [Unit::Bar, was, Unit::Bar]);

        let mut fields = blank_form(&Book::default(), Kind::Coolant);
        let before: Vec<Unit> = fields.iter().map(|field| field.unit).collect();
        choose_unit(&mut fields, 0, Unit::UsGallon);
        assert_eq!(fields[1..].iter().map(|field| field.unit).collect::<Vec<_>>(), before[1..]);
        choose_unit(&mut fields, 99, Unit::Bar);
    }

    #[test]
    fn an_amount_stands_first_where_no_verdict_was_asked_for() {
        let headline = |kind: Kind, typed: &[&str]| {
            let mut fields = blank_form(&Book::default(), kind);
            for (field, text) in fields.iter_mut().zip(typed) {
                field.text = (*text).to_owned();
            }
            answer(&Book::default(), kind, None, &fields).judged.and_then(|judged| judged.headline())
        };
        // Twenty-five litres, fifty to one: half a litre of oil, and nothing to hold that against.
        assert_eq!(headline(Kind::Premix, &["25", "50"]), None);
        assert_eq!(headline(Kind::BatteryAtRest, &["12.4"]), Some("Watch it"));
        // A figure that cannot be right is no answer, and that is said first.
        assert_eq!(headline(Kind::Insulation, &["20"]), Some("Cannot say"));
    }
}
