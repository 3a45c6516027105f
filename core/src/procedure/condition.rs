//! A row of field and value: what an engine must be for a step to apply.
//!
//! A row is typed as a field that is chosen and a value in words, and is judged
//! against what is known of an engine: it fits, it does not, or nobody can say.
//!
//! Rule for power: figures of the same unit are compared as they stand. Of
//! different units the engine's is converted and rounded to the whole units of
//! the row, since plates carry rounded figures (73.5 kW stands on an engine of
//! 100 PS). Factors of NIST SP 811 (2008), appendix B.8: 550 ft·lbf/s is
//! 745.699 9 W, the metric horsepower 735.498 75 W. That plates are rounded is
//! common practice.

use super::EngineProfile;
use crate::event::{Condition, Drive, Fuel};
use crate::quantity::{Count, Power, PowerUnit, year_of_make};
use crate::text::Label;

/// The field of a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Field {
    /// The least power.
    PowerFrom,
    /// The greatest power.
    PowerTo,
    /// The first year of make.
    YearFrom,
    /// The last year of make.
    YearTo,
    /// The fewest engines.
    EnginesFrom,
    /// The most engines.
    EnginesTo,
    /// How it drives the boat.
    Drive,
    /// What it burns.
    Fuel,
    /// Something that it has.
    With,
    /// Something that it does not have.
    Without,
}

/// Why a value is none for its field.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoValue {
    /// It is no power.
    #[error("write the power with its unit: 75 hp, 55 kW or 100 PS")]
    Power,
    /// It is no year.
    #[error("write the year with four digits")]
    Year,
    /// It is no count of engines.
    #[error("write how many engines: 1 to 12")]
    Engines,
    /// Nothing was chosen.
    #[error("choose one from the list")]
    Choice,
    /// Nothing was written.
    #[error("write what the engine has or does not have")]
    Option,
}

/// How a row stands with an engine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fit {
    /// It holds.
    Fits,
    /// It does not, because the engine is this.
    Not(String),
    /// The engine's record does not say this.
    Unknown(&'static str),
}

impl Field {
    /// All, in the order in which they are offered.
    pub const ALL: [Field; 10] = [
        Field::PowerFrom,
        Field::PowerTo,
        Field::YearFrom,
        Field::YearTo,
        Field::EnginesFrom,
        Field::EnginesTo,
        Field::Drive,
        Field::Fuel,
        Field::With,
        Field::Without,
    ];

    /// Returns its words.
    pub const fn words(self) -> &'static str {
        match self {
            Field::PowerFrom => "power from",
            Field::PowerTo => "power up to",
            Field::YearFrom => "year from",
            Field::YearTo => "year up to",
            Field::EnginesFrom => "engines on the boat from",
            Field::EnginesTo => "engines on the boat up to",
            Field::Drive => "drive",
            Field::Fuel => "fuel",
            Field::With => "has",
            Field::Without => "does not have",
        }
    }

    /// Returns what can be chosen, where its value is not typed.
    pub fn choices(self) -> Vec<&'static str> {
        match self {
            Field::Drive => Drive::ALL.map(Drive::words).to_vec(),
            Field::Fuel => Fuel::ALL.map(Fuel::words).to_vec(),
            _ => Vec::new(),
        }
    }

    /// Reads a value as it was typed or chosen.
    ///
    /// # Errors
    /// Says what to write instead.
    pub fn read(self, value: &str) -> Result<Condition, NoValue> {
        let value = value.trim();
        let condition = match self {
            Field::PowerFrom => Condition::PowerFrom(power(value)?),
            Field::PowerTo => Condition::PowerTo(power(value)?),
            Field::YearFrom => Condition::YearFrom(year(value)?),
            Field::YearTo => Condition::YearTo(year(value)?),
            Field::EnginesFrom => Condition::EnginesFrom(engines(value)?),
            Field::EnginesTo => Condition::EnginesTo(engines(value)?),
            Field::Drive => Condition::Drive(chosen(&Drive::ALL, Drive::words, value)?),
            Field::Fuel => Condition::Fuel(chosen(&Fuel::ALL, Fuel::words, value)?),
            Field::With => Condition::With(option(value)?),
            Field::Without => Condition::Without(option(value)?),
        };
        Ok(condition)
    }
}

fn power(text: &str) -> Result<Power, NoValue> {
    let unit = |sign: &str| PowerUnit::ALL.into_iter().find(|unit| unit.sign().eq_ignore_ascii_case(sign));
    let end = text.find(|c: char| c.is_alphabetic()).ok_or(NoValue::Power)?;
    let (figure, sign) = text.split_at(end);
    Power::parse(figure, unit(sign.trim()).ok_or(NoValue::Power)?).ok_or(NoValue::Power)
}

fn year(text: &str) -> Result<u16, NoValue> {
    year_of_make(text).ok_or(NoValue::Year)
}

fn engines(text: &str) -> Result<Count, NoValue> {
    text.parse().ok().filter(|count| (1..=12).contains(count)).map(Count).ok_or(NoValue::Engines)
}

fn chosen<T: Copy>(all: &[T], words: fn(T) -> &'static str, text: &str) -> Result<T, NoValue> {
    all.iter().copied().find(|&one| words(one) == text).ok_or(NoValue::Choice)
}

fn option(text: &str) -> Result<Label, NoValue> {
    let label = Label::new(text);
    if label.is_empty() { Err(NoValue::Option) } else { Ok(label) }
}

impl Condition {
    /// Returns its field.
    pub const fn field(&self) -> Field {
        match self {
            Condition::PowerFrom(_) => Field::PowerFrom,
            Condition::PowerTo(_) => Field::PowerTo,
            Condition::YearFrom(_) => Field::YearFrom,
            Condition::YearTo(_) => Field::YearTo,
            Condition::EnginesFrom(_) => Field::EnginesFrom,
            Condition::EnginesTo(_) => Field::EnginesTo,
            Condition::Drive(_) => Field::Drive,
            Condition::Fuel(_) => Field::Fuel,
            Condition::With(_) => Field::With,
            Condition::Without(_) => Field::Without,
        }
    }

    /// Returns its value as it is typed or chosen.
    pub fn value(&self) -> String {
        match self {
            Condition::PowerFrom(power) | Condition::PowerTo(power) => power.to_string(),
            Condition::YearFrom(year) | Condition::YearTo(year) => year.to_string(),
            Condition::EnginesFrom(count) | Condition::EnginesTo(count) => count.to_string(),
            Condition::Drive(drive) => drive.words().to_owned(),
            Condition::Fuel(fuel) => fuel.words().to_owned(),
            Condition::With(option) | Condition::Without(option) => option.to_string(),
        }
    }

    /// Returns the row in words.
    pub fn words(&self) -> String {
        [self.field().words(), " ", &self.value()].concat()
    }

    /// Judges the row, as if it stood alone, against what is known of an engine.
    pub fn judge(&self, engine: &EngineProfile) -> Fit {
        let traits = &engine.traits;
        match self {
            Condition::PowerFrom(least) => power_fit(engine, |it| in_units_of(it, *least) >= least.tenths),
            Condition::PowerTo(most) => power_fit(engine, |it| in_units_of(it, *most) <= most.tenths),
            Condition::YearFrom(first) => fit("year", engine.year, |it| it >= *first, |it| it.to_string()),
            Condition::YearTo(last) => fit("year", engine.year, |it| it <= *last, |it| it.to_string()),
            Condition::EnginesFrom(least) => engines_fit(engine, |it| it >= *least),
            Condition::EnginesTo(most) => engines_fit(engine, |it| it <= *most),
            Condition::Drive(drive) => fit("drive", traits.drive, |it| it == *drive, |it| it.words().to_owned()),
            Condition::Fuel(fuel) => fit("fuel", traits.fuel, |it| it == *fuel, |it| it.words().to_owned()),
            Condition::With(option) => option_fit(engine, option, true),
            Condition::Without(option) => option_fit(engine, option, false),
        }
    }
}

fn fit<T: Copy>(name: &'static str, known: Option<T>, holds: impl Fn(T) -> bool, words: fn(T) -> String) -> Fit {
    match known {
        None => Fit::Unknown(name),
        Some(value) if holds(value) => Fit::Fits,
        Some(value) => Fit::Not(words(value)),
    }
}

fn power_fit(engine: &EngineProfile, holds: impl Fn(Power) -> bool) -> Fit {
    fit("power", engine.power, holds, |power| power.to_string())
}

fn engines_fit(engine: &EngineProfile, holds: impl Fn(Count) -> bool) -> Fit {
    let words = |count: Count| if count == Count(1) { "one engine".to_owned() } else { count.to_string() + " engines" };
    fit("number of engines", engine.engines, holds, words)
}

fn option_fit(engine: &EngineProfile, option: &Label, wanted: bool) -> Fit {
    let Some(options) = &engine.traits.options else { return Fit::Unknown("list of what it has") };
    let has = options.words().iter().any(|it| it.as_str().eq_ignore_ascii_case(option.as_str()));
    match (has == wanted, has) {
        (true, _) => Fit::Fits,
        (false, true) => Fit::Not("with ".to_owned() + option.as_str()),
        (false, false) => Fit::Not("without ".to_owned() + option.as_str()),
    }
}

/// Returns the tenths of `row`'s unit that an engine's power is taken for.
fn in_units_of(engine: Power, row: Power) -> u32 {
    if engine.unit == row.unit {
        return engine.tenths;
    }
    let microwatts = u64::from(engine.tenths) * microwatts(engine.unit);
    let whole = (2 * microwatts + microwatts_of_ten(row.unit)) / (2 * microwatts_of_ten(row.unit));
    u32::try_from(whole * 10).unwrap_or(u32::MAX)
}

/// Returns the microwatts of a tenth of a unit, to the nearest.
const fn microwatts(unit: PowerUnit) -> u64 {
    match unit {
        PowerUnit::Kilowatt => 100_000_000,
        PowerUnit::Horsepower => 74_569_987,
        PowerUnit::MetricHorsepower => 73_549_875,
    }
}

const fn microwatts_of_ten(unit: PowerUnit) -> u64 {
    microwatts(unit) * 10
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Tags, Traits};

    fn of(text: &str) -> Power {
        power(text).unwrap()
    }

    #[test]
    fn a_row_is_typed_and_reads_back() {
        for (field, value) in [
            (Field::PowerFrom, "75 hp"),
            (Field::PowerTo, "55.5 kW"),
            (Field::YearFrom, "1998"),
            (Field::YearTo, "2024"),
            (Field::EnginesFrom, "2"),
            (Field::EnginesTo, "1"),
            (Field::Drive, "sterndrive"),
            (Field::Fuel, "diesel"),
            (Field::With, "power steering"),
            (Field::Without, "closed cooling"),
        ] {
            let row = field.read(value).unwrap();
            assert_eq!((row.field(), row.value().as_str()), (field, value));
            assert_eq!(row.words(), format!("{} {value}", field.words()));
            assert!(field.choices().is_empty() || field.choices().contains(&value));
        }
        assert_eq!(of("100ps"), of("100 PS"));
    }

    #[test]
    fn what_is_no_value_is_told_with_what_to_write() {
        for (field, value, why) in [
            (Field::PowerFrom, "75", NoValue::Power),
            (Field::PowerTo, "75 kg", NoValue::Power),
            (Field::PowerTo, "hp", NoValue::Power),
            (Field::PowerTo, "", NoValue::Power),
            (Field::YearFrom, "98", NoValue::Year),
            (Field::YearTo, "+998", NoValue::Year),
            (Field::EnginesFrom, "0", NoValue::Engines),
            (Field::EnginesTo, "thirteen", NoValue::Engines),
            (Field::Drive, "", NoValue::Choice),
            (Field::Fuel, "coal", NoValue::Choice),
            (Field::With, " ", NoValue::Option),
        ] {
            assert_eq!(field.read(value), Err(why), "{value}");
        }
    }

    #[test]
    fn powers_of_different_units_are_compared_as_plates_carry_them() {
        // NIST SP 811 (2008), appendix B.8: 1 kW is 1.341 022 hp and 1.359 622 metric horsepower.
        for (engine, row, taken) in [
            ("100 hp", "100 hp", 1_000),
            ("99.9 hp", "100 hp", 999),
            ("73.5 kW", "100 PS", 1_000),
            ("74.6 kW", "100 hp", 1_000),
            ("75 kW", "100 hp", 1_010),
            ("100 PS", "1 kW", 740),
            ("100 hp", "1 PS", 1_010),
            ("1000 kW", "1 hp", 13_410),
        ] {
            assert_eq!(in_units_of(of(engine), of(row)), taken, "{engine} in units of {row}");
        }
        let most = Power { tenths: u32::MAX, unit: PowerUnit::Kilowatt };
        assert_eq!(in_units_of(most, of("1 hp")), u32::MAX);
    }

    #[test]
    fn a_row_fits_does_not_or_cannot_be_judged() {
        let options = Some(Tags::new(vec![Label::new("Power steering")]));
        let traits = Traits { drive: Some(Drive::Outboard), fuel: Some(Fuel::Petrol), options };
        let known = EngineProfile { power: Some(of("90 hp")), year: Some(2004), engines: Some(Count(1)), traits };
        let not = |words: &str| Fit::Not(words.to_owned());
        for (row, fits, unknown) in [
            (Condition::PowerFrom(of("90 hp")), Fit::Fits, "power"),
            (Condition::PowerTo(of("60 hp")), not("90 hp"), "power"),
            (Condition::YearFrom(2005), not("2004"), "year"),
            (Condition::YearTo(2004), Fit::Fits, "year"),
            (Condition::EnginesFrom(Count(2)), not("one engine"), "number of engines"),
            (Condition::EnginesTo(Count(1)), Fit::Fits, "number of engines"),
            (Condition::Drive(Drive::Shaft), not("outboard"), "drive"),
            (Condition::Fuel(Fuel::Petrol), Fit::Fits, "fuel"),
            (Condition::With(Label::new("power steering")), Fit::Fits, "list of what it has"),
            (Condition::With(Label::new("trim")), not("without trim"), "list of what it has"),
            (Condition::Without(Label::new("POWER STEERING")), not("with POWER STEERING"), "list of what it has"),
        ] {
            assert_eq!(row.judge(&known), fits, "{}", row.words());
            assert_eq!(row.judge(&EngineProfile::default()), Fit::Unknown(unknown), "{}", row.words());
        }
    }
}
