//! Readings that judge themselves.
//!
//! A technician measures to decide. Each kind of reading is one small module under
//! [`kinds`]: what it asks for, the formula and its source, and the rules that make
//! a verdict of it, each with its standing. A verdict never stands alone and never
//! comes from a maker's data: that is typed in by the technician ([`limits`]).
//!
//! Everything is computed in whole numbers. In reading order: [`mod@unit`] and [`figure`]
//! are what is typed, [`form`] is what a kind asks for, [`finding`] what comes out,
//! then the kinds. Examples with their published sources stand in each kind's tests.
//!
//! ```
//! use quaywright_core::reading::{Kind, finding::Verdict, form, limits::Limits, unit::Unit};
//!
//! let typed = |text: &str| form::Typed { name: form::Name::Voltage, nth: 0, text: text.to_owned(), unit: Unit::Volt };
//! let (given, wrong) = form::read(Kind::BatteryAtRest.inputs(), &[typed("12,18")]);
//! assert!(wrong.is_empty());
//! let found = Kind::BatteryAtRest.judge(&given, None);
//! assert_eq!(found.verdict(), Verdict::OutOf);
//! assert_eq!(found.told[0].value, "42 %");
//! ```

mod closed;
pub mod figure;
pub mod finding;
pub mod form;
pub mod kinds;
pub mod limits;
pub mod unit;

use closed::closed;
use finding::{Finding, Rule, Verdict};
use form::{Answers, Given, Input, Lack, Name};
use limits::Limits;
use unit::Unit;

closed! {
    /// A kind of reading; its words are its short name.
    Kind {
        BatteryAtRest = "battery-at-rest", "Battery at rest";
        BatteryUnderLoad = "battery-under-load", "Battery load test";
        Cranking = "cranking", "Cranking voltage";
        Charging = "charging", "Charging voltage";
        Draw = "draw", "Draw with all off";
        VoltageDrop = "voltage-drop", "Voltage drop";
        Conductor = "conductor", "Wire and fuse for a DC run";
        Insulation = "insulation", "Insulation";
        GalvanicIsolator = "galvanic-isolator", "Galvanic isolator";
        Compression = "compression", "Compression";
        LeakDown = "leak-down", "Leak-down";
        Hold = "hold", "Pressure or vacuum hold";
        OilPressure = "oil-pressure", "Oil pressure";
        Temperature = "temperature", "Temperature";
        EngineHours = "engine-hours", "Engine hours";
        Premix = "premix", "Oil for two-stroke mix";
        Coolant = "coolant", "Coolant mix";
        OilFill = "oil-fill", "Oil put in";
        PropellerSlip = "propeller-slip", "Propeller slip";
        FuelBurn = "fuel-burn", "Fuel burn at full power";
        FuelRange = "fuel-range", "Range";
        Sling = "sling", "Sling tension";
        Free = "free", "Any other reading";
    }
}

/// Something that a kind measures, and for which an engine's own limits may be set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Measured {
    /// Its name.
    pub name: Name,
    /// The units in which limits for it may be typed.
    pub units: &'static [Unit],
}

/// What a kind is: what it asks, how it judges.
pub(crate) struct Spec {
    /// The question that it answers, as a technician would put it.
    question: &'static str,
    /// How to measure, and what hurts; said before the form.
    before: &'static str,
    inputs: &'static [Input],
    measured: &'static [Measured],
    judge: fn(Answers<'_>, &mut Finding) -> Result<(), Lack>,
}

impl Kind {
    /// Returns the question that this kind answers.
    pub fn question(self) -> &'static str {
        self.spec().question
    }

    /// Returns how to measure, with the usual caution.
    pub fn before(self) -> &'static str {
        self.spec().before
    }

    /// Returns the input of that name.
    pub fn input(self, name: Name) -> Option<&'static Input> {
        self.inputs().iter().find(|input| input.name == name)
    }

    /// Judges what was answered, by the engine's own limits where there are some.
    pub fn judge(self, given: &[Given], limits: Option<&Limits>) -> Finding {
        let mut finding = Finding::default();
        if let Err(lack) = (self.spec().judge)(Answers(given), &mut finding) {
            finding.say(Verdict::CannotSay, form::sentence(&lack.to_string()), &ALL_IS_NEEDED);
        }
        if let Some(limits) = limits {
            limits.rule(&mut finding);
        }
        finding
    }
}

const ALL_IS_NEEDED: Rule = Rule::arithmetic("nothing is judged by half of its figures", "");

/// What is said where no published rule is known and no limit was entered.
pub(crate) const NO_RULE: Rule = Rule::practice("without a limit there is no verdict: enter the manual's", "");
