//! What a kind of reading asks for, and what was answered.
//!
//! Every kind is a short list of inputs, so that one form on the screen, one written
//! form in the log and one table on paper serve them all. An input is a figure in one
//! of some units, or a choice.
//!
//! Each figure has bounds within which it is usual. What lies outside is asked about
//! and not refused: it may be a unit that was mixed up (a compression of 830 psi is
//! more likely one of 830 kPa), or it may be what is wrong with the engine. The
//! bounds are common practice, made wide, and judge nothing.

use super::closed::closed;
use super::figure::{Entered, NotAFigure};
use super::unit::{Quantity, Unit, rounded};
use thiserror::Error;

closed! {
    /// The name of an input or of what comes out; its words are those of a table.
    Name {
        Cylinder = "cylinder", "cylinder";
        Supply = "supply", "supply";
        Pressure = "pressure", "pressure";
        Start = "start", "at the start";
        End = "end", "at the end";
        Time = "time", "time";
        Temperature = "temperature", "temperature";
        StartTemperature = "start-temperature", "temperature at the start";
        EndTemperature = "end-temperature", "temperature at the end";
        Voltage = "voltage", "voltage";
        SourceVoltage = "source-voltage", "voltage at the battery";
        LoadVoltage = "load-voltage", "voltage under load";
        Current = "current", "current";
        Rating = "rating", "rating";
        Capacity = "capacity", "capacity";
        Length = "length", "length out and back";
        Fuse = "fuse", "fuse";
        Bundle = "bundle", "conductors in the bundle";
        Resistance = "resistance", "resistance";
        Forward = "forward", "one way";
        Reverse = "reverse", "the other way";
        Pitch = "pitch", "pitch";
        Turning = "turning", "engine speed";
        Ratio = "ratio", "ratio";
        Speed = "speed", "boat speed";
        Power = "power", "power";
        Volume = "volume", "volume";
        Burn = "burn", "fuel an hour";
        Distance = "distance", "distance";
        Wanted = "wanted", "wanted";
        Present = "present", "present";
        Filled = "filled", "filled";
        Hours = "hours", "engine hours";
        LastService = "last-service", "hours at the last service";
        Interval = "interval", "service interval";
        Low = "low", "lowest that is good";
        High = "high", "highest that is good";
        Weight = "weight", "weight";
        Legs = "legs", "legs";
        Angle = "angle", "angle from the horizontal";
        Height = "height", "height of the hook";
        LegLength = "leg-length", "length of a leg";
        Tag = "tag", "what the tag of a leg allows";
        Value = "value", "value";
        Chemistry = "chemistry", "kind of battery";
        RatedAs = "rated-as", "rated as";
        Stroke = "stroke", "engine";
        Fuel = "fuel", "fuel";
        Medium = "medium", "held";
        System = "system", "system";
        Circuit = "circuit", "what it feeds";
        Wire = "wire", "wire made to";
        Insulation = "insulation", "insulation rated for";
        Place = "place", "where it runs";
        Size = "size", "size";
        Hull = "hull", "boat";
        Reserve = "reserve", "kept in reserve";
        Spread = "spread", "spread";
        Leak = "leak", "leak";
        Fall = "fall", "fall";
        Charge = "charge", "state of charge";
        Drop = "drop", "drop";
        Slip = "slip", "slip";
        Since = "since", "hours since the last service";
        Tension = "tension", "tension of a leg";
        Range = "range", "range";
        Oil = "oil", "oil";
        Exchange = "exchange", "to exchange";
    }
}

closed! {
    /// What can be chosen where no figure is asked for.
    Choice {
        Flooded = "flooded", "flooded lead-acid";
        Agm = "agm", "AGM";
        Gel = "gel", "gel";
        Lithium = "lithium", "lithium";
        Cca = "cca", "CCA (at −18 °C)";
        Mca = "mca", "MCA or CA (at 0 °C)";
        OtherRating = "other-rating", "EN, DIN or another";
        FourStrokePetrol = "four-stroke-petrol", "four-stroke petrol";
        TwoStroke = "two-stroke", "two-stroke";
        Diesel = "diesel", "diesel";
        Petrol = "petrol", "petrol";
        HeldPressure = "held-pressure", "pressure";
        HeldVacuum = "held-vacuum", "vacuum";
        Volts12 = "volts-12", "12 V";
        Volts24 = "volts-24", "24 V";
        Volts32 = "volts-32", "32 V";
        Safety = "safety", "safety: lights, pumps, blower, radio (3 %)";
        Comfort = "comfort", "anything else (10 %)";
        Awg = "awg", "AWG";
        Sae = "sae", "SAE (thinner)";
        Rated60 = "rated-60", "60 °C";
        Rated75 = "rated-75", "75 °C";
        Rated80 = "rated-80", "80 °C";
        Rated90 = "rated-90", "90 °C";
        Rated105 = "rated-105", "105 °C";
        Rated125 = "rated-125", "125 °C";
        Rated200 = "rated-200", "200 °C";
        Outside = "outside", "outside the engine space";
        EngineSpace = "engine-space", "in the engine space";
        Size18 = "size-18", "18";
        Size16 = "size-16", "16";
        Size14 = "size-14", "14";
        Size12 = "size-12", "12";
        Size10 = "size-10", "10";
        Size8 = "size-8", "8";
        Size6 = "size-6", "6";
        Size4 = "size-4", "4";
        Size2 = "size-2", "2";
        Size1 = "size-1", "1";
        Size1Of0 = "size-1-0", "1/0";
        Size2Of0 = "size-2-0", "2/0";
        Size4Of0 = "size-4-0", "4/0";
        Planing = "planing", "planing";
        Displacement = "displacement", "displacement";
        ReserveThird = "reserve-third", "a third";
        ReserveFifth = "reserve-fifth", "a fifth";
    }
}

/// One thing that a kind asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Input {
    /// Its name.
    pub name: Name,
    /// What the form says above it.
    pub words: &'static str,
    /// What it takes.
    pub of: Of,
    /// Whether it may be left out.
    pub need: Need,
}

/// What an input takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    /// A figure.
    Figure {
        /// In one of these units, the usual one first.
        units: &'static [Unit],
        /// From where to where it is usual, as amounts (see [`super::unit`]).
        usual: (i64, i64),
    },
    /// One of these.
    Choice(&'static [Choice]),
}

/// Whether an input may be left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Without it there is nothing to judge.
    Must,
    /// It makes the judgement better.
    May,
    /// One for each cylinder, of which there are at most so many.
    Each(u8),
}

impl Input {
    /// Returns a figure that is needed.
    pub const fn must(name: Name, words: &'static str, units: &'static [Unit], usual: (i64, i64)) -> Self {
        Self { name, words, of: Of::Figure { units, usual }, need: Need::Must }
    }

    /// Returns a figure that may be left out.
    pub const fn may(name: Name, words: &'static str, units: &'static [Unit], usual: (i64, i64)) -> Self {
        Self { name, words, of: Of::Figure { units, usual }, need: Need::May }
    }

    /// Returns a figure for each cylinder.
    pub const fn each(name: Name, words: &'static str, units: &'static [Unit], usual: (i64, i64)) -> Self {
        Self { name, words, of: Of::Figure { units, usual }, need: Need::Each(12) }
    }

    /// Returns a choice that is needed.
    pub const fn one_of(name: Name, words: &'static str, choices: &'static [Choice]) -> Self {
        Self { name, words, of: Of::Choice(choices), need: Need::Must }
    }

    /// Returns a choice that may be left open.
    pub const fn perhaps(name: Name, words: &'static str, choices: &'static [Choice]) -> Self {
        Self { name, words, of: Of::Choice(choices), need: Need::May }
    }
}

/// One answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Given {
    /// To which input.
    pub name: Name,
    /// Which of several, from 1; 0 for the only one.
    pub nth: u8,
    /// What was answered.
    pub value: Value,
}

/// What was answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Value {
    /// A figure.
    Figure(Entered),
    /// A choice.
    Choice(Choice),
}

/// What is typed into one field of a form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Typed {
    /// Into which input.
    pub name: Name,
    /// Which of several, from 1; 0 for the only one.
    pub nth: u8,
    /// The figure, or the slug of a choice; empty where nothing was typed.
    pub text: String,
    /// The unit that is chosen beside it.
    pub unit: Unit,
}

/// What is wrong with one field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wrong {
    /// Which input.
    pub name: Name,
    /// Which of several, from 1; 0 for the only one.
    pub nth: u8,
    /// What to write instead.
    pub why: NotAFigure,
}

/// A figure that is not usual, and what it may be instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// Which input.
    pub name: Name,
    /// Which of several, from 1; 0 for the only one.
    pub nth: u8,
    /// The question in words.
    pub words: String,
    /// The unit in which the same figure would be usual.
    pub instead: Option<Unit>,
}

/// Reads a form: what was answered, and what is wrong with the rest. What is empty is no answer.
pub fn read(inputs: &[Input], typed: &[Typed]) -> (Vec<Given>, Vec<Wrong>) {
    let (mut given, mut wrong) = (Vec::new(), Vec::new());
    for field in typed.iter().filter(|field| !field.text.trim().is_empty()) {
        let Some(input) = inputs.iter().find(|input| input.name == field.name) else { continue };
        let (name, nth) = (field.name, field.nth);
        match input.of {
            Of::Figure { .. } => match Entered::parse(&field.text, field.unit) {
                Ok(entered) => given.push(Given { name, nth, value: Value::Figure(entered) }),
                Err(why) => wrong.push(Wrong { name, nth, why }),
            },
            Of::Choice(_) => {
                given.extend(Choice::parse(&field.text).map(|it| Given { name, nth, value: Value::Choice(it) }));
            }
        }
    }
    (given, wrong)
}

/// Returns what is to be asked about figures that are not usual.
pub fn questions(inputs: &[Input], given: &[Given]) -> Vec<Question> {
    given.iter().filter_map(|given| question(inputs.iter().find(|input| input.name == given.name)?, given)).collect()
}

fn question(input: &Input, given: &Given) -> Option<Question> {
    let (Of::Figure { units, usual: (low, high) }, Value::Figure(entered)) = (input.of, given.value) else {
        return None;
    };
    let is_usual = |entered: Entered| (low..=high).contains(&entered.amount());
    if is_usual(entered) {
        return None;
    }
    let alike = |unit: &Unit| unit.quantity() == entered.unit.quantity();
    let others = units.iter().copied().filter(alike).map(|unit| Entered { unit, ..entered });
    let instead = others.into_iter().find(|&other| is_usual(other));
    let side = if entered.amount() < low { "less" } else { "more" };
    let unit = entered.unit;
    let span = [unit.told(low, places(low, unit)), unit.told(high, places(high, unit))].join(" to ");
    let mut words = format!("{entered} is {side} than is usual here ({span}).");
    words.push_str(&match instead {
        Some(other) => format!(" Is it {other}, which is {}?", unit.told(other.amount(), entered.places().max(1))),
        None => " Is it so?".to_owned(),
    });
    Some(Question { name: given.name, nth: given.nth, words, instead: instead.map(|it| it.unit) })
}

/// How many decimals make a bound readable.
fn places(amount: i64, unit: Unit) -> u8 {
    let tenths = unit.scaled(amount, 1).abs();
    if tenths % 10 == 0 || tenths >= 200 { 0 } else { 1 }
}

/// The answers as a judge looks at them.
#[derive(Clone, Copy, Debug)]
pub struct Answers<'a>(pub &'a [Given]);

/// Why nothing can be said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum Lack {
    /// An input is missing.
    #[error("the {} is not given", .0.words())]
    Missing(Name),
    /// The figures do not fit each other.
    #[error("{0}")]
    Senseless(&'static str),
}

impl Answers<'_> {
    /// Returns a figure as it was entered.
    pub fn entered(self, name: Name) -> Option<Entered> {
        self.each(name).next().map(|(_, entered)| entered)
    }

    /// Returns an amount, in millionths of its quantity's unit.
    pub fn amount(self, name: Name) -> Option<i64> {
        self.entered(name).map(Entered::amount)
    }

    /// Returns an amount that is needed.
    ///
    /// # Errors
    /// When it is not given.
    pub fn need(self, name: Name) -> Result<i64, Lack> {
        self.amount(name).ok_or(Lack::Missing(name))
    }

    /// Returns an amount that is needed and must be above nothing.
    ///
    /// # Errors
    /// When it is not given, or nothing.
    pub fn some(self, name: Name) -> Result<i64, Lack> {
        match self.need(name)? {
            ..=0 => Err(Lack::Senseless("0 is no figure to reckon with here")),
            amount => Ok(amount),
        }
    }

    /// Returns the figures of each cylinder with their numbers, in the order in which they were given.
    pub fn each(self, name: Name) -> impl Iterator<Item = (u8, Entered)> {
        self.0.iter().filter(move |it| it.name == name).filter_map(|it| match it.value {
            Value::Figure(entered) => Some((it.nth, entered)),
            Value::Choice(_) => None,
        })
    }

    /// Returns what was chosen.
    pub fn choice(self, name: Name) -> Option<Choice> {
        self.0.iter().filter(|it| it.name == name).find_map(|it| match it.value {
            Value::Choice(choice) => Some(choice),
            Value::Figure(_) => None,
        })
    }

    /// Returns the unit in which a figure was given, or `other` where it was not.
    pub fn unit(self, name: Name, other: Unit) -> Unit {
        self.entered(name).map_or(other, |entered| entered.unit)
    }
}

/// Returns `a × b / by`, half to even.
///
/// # Errors
/// When `by` is not above nothing.
pub(super) fn ratio(a: i64, b: i64, by: i64) -> Result<i64, Lack> {
    match by {
        ..=0 => Err(Lack::Senseless("the figures do not fit each other: one that divides is 0")),
        by => Ok(rounded(i128::from(a) * i128::from(b), i128::from(by))),
    }
}

/// Returns a share of a whole, in millionths of a percent.
///
/// # Errors
/// When the whole is nothing.
pub(super) fn percent(part: i64, whole: i64) -> Result<i64, Lack> {
    ratio(part, 100_000_000, whole)
}

/// Returns so many of a unit as an amount, for tables and bounds.
pub(super) const fn of(count: i64, millionths: i64) -> i64 {
    count * millionths
}

/// Millionths in one, in a thousand.
pub(super) const ONE: i64 = 1_000_000;
/// A kilopascal.
pub(super) const KPA: i64 = 1_000 * ONE;

/// The units of one quantity, the one that is usual on the water first.
pub(super) mod units {
    use super::Unit::{self, *};

    pub(in crate::reading) const PRESSURE: &[Unit] = &[Psi, Kilopascal, Bar, KilogramForceSquareCentimetre, Megapascal];
    pub(in crate::reading) const HOLD: &[Unit] = &[Psi, Kilopascal, Bar, InchMercury];
    pub(in crate::reading) const VOLTAGE: &[Unit] = &[Volt, Millivolt];
    pub(in crate::reading) const CURRENT: &[Unit] = &[Ampere, Milliampere];
    pub(in crate::reading) const DRAW: &[Unit] = &[Milliampere, Ampere];
    pub(in crate::reading) const AMPERE: &[Unit] = &[Ampere];
    pub(in crate::reading) const CHARGE: &[Unit] = &[AmpereHour];
    pub(in crate::reading) const RESISTANCE: &[Unit] = &[Megohm, Kilohm, Ohm];
    pub(in crate::reading) const TEMPERATURE: &[Unit] = &[Celsius, Fahrenheit];
    pub(in crate::reading) const LENGTH: &[Unit] = &[Metre, Foot];
    pub(in crate::reading) const PITCH: &[Unit] = &[Inch, Millimetre, Centimetre, Metre];
    pub(in crate::reading) const DISTANCE: &[Unit] = &[NauticalMile, Mile, Kilometre];
    pub(in crate::reading) const SPEED: &[Unit] = &[Knot, MileHour, KilometreHour];
    pub(in crate::reading) const TURNING: &[Unit] = &[TurnMinute];
    pub(in crate::reading) const TIME: &[Unit] = &[Minute, Second, Hour];
    pub(in crate::reading) const HOURS: &[Unit] = &[Hour];
    pub(in crate::reading) const VOLUME: &[Unit] = &[Litre, UsGallon, ImperialGallon, UsQuart, Millilitre];
    pub(in crate::reading) const FLOW: &[Unit] = &[LitreHour, UsGallonHour, ImperialGallonHour];
    pub(in crate::reading) const MASS: &[Unit] = &[Kilogram, Pound];
    pub(in crate::reading) const POWER: &[Unit] = &[Kilowatt, Horsepower, MetricHorsepower];
    pub(in crate::reading) const DEGREE: &[Unit] = &[Degree];
    pub(in crate::reading) const PERCENT: &[Unit] = &[Percent];
    pub(in crate::reading) const NUMBER: &[Unit] = &[Number];
}

/// Returns words as a sentence; they are this program's own and so begin with a plain letter.
pub(super) fn sentence(words: &str) -> String {
    let mut sentence = [words, "."].concat();
    if let Some(first) = sentence.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    sentence
}

/// Tells whether a unit can be given for an input; for the door of the log.
pub fn takes(input: &Input, value: Value) -> bool {
    match (input.of, value) {
        (Of::Figure { units, .. }, Value::Figure(entered)) => units.contains(&entered.unit),
        (Of::Choice(choices), Value::Choice(choice)) => choices.contains(&choice),
        _ => false,
    }
}

/// Returns the unit in which an amount of a quantity is told beside what was typed.
pub const fn base(quantity: Quantity) -> Unit {
    match quantity {
        Quantity::Pressure => Unit::Kilopascal,
        Quantity::Voltage => Unit::Volt,
        Quantity::Current => Unit::Ampere,
        Quantity::Charge => Unit::AmpereHour,
        Quantity::Resistance => Unit::Ohm,
        Quantity::Temperature => Unit::Celsius,
        Quantity::Length => Unit::Metre,
        Quantity::Speed => Unit::KilometreHour,
        Quantity::Turning => Unit::TurnMinute,
        Quantity::Time => Unit::Second,
        Quantity::Volume => Unit::Litre,
        Quantity::Flow => Unit::LitreHour,
        Quantity::Mass => Unit::Kilogram,
        Quantity::Power => Unit::Kilowatt,
        Quantity::Angle => Unit::Degree,
        Quantity::Share => Unit::Percent,
        Quantity::Number => Unit::Number,
    }
}
