//! Procedures: which of their steps fit an engine, and why the others do not.
//!
//! [`condition`] is a row of field and value, typed by a person and judged
//! against what is known of an engine; [`variant`] picks a procedure's steps for
//! one; [`sound`] says what a procedure must be before it is kept, [`typed`] reads the
//! rows of a step as they are typed. There is no
//! language of formulas: the rows of a step must all hold, except that several
//! rows of drive kind, or of fuel, are alternatives.
//!
//! Rule: what cannot be judged, because the engine's record does not say, is not
//! left out. It is kept and told, for a step too many costs a look and a step too
//! few costs an engine.

pub mod condition;
#[cfg(test)]
mod laws;
pub mod sound;
pub mod typed;
pub mod variant;

use crate::event::Traits;
use crate::quantity::{Count, Power};

/// What is known of an engine that a procedure may ask for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct EngineProfile {
    /// Its rated power.
    pub power: Option<Power>,
    /// Its year of make.
    pub year: Option<u16>,
    /// How many engines drive the boat.
    pub engines: Option<Count>,
    /// How it drives the boat, what it burns, what it has.
    pub traits: Traits,
}

#[cfg(test)]
mod samples {
    //! Steps, rows and engines for the tests of this folder.

    use super::EngineProfile;
    use crate::event::{Condition, Drive, Fuel, Procedure, ProcedureStep, StepNumber, Tags, Traits};
    use crate::quantity::{Count, Power, PowerUnit};
    use crate::text::Label;
    use proptest::prelude::*;

    pub(super) fn step(number: u16, text: &str, only: Vec<Condition>) -> ProcedureStep {
        ProcedureStep { number: StepNumber(number), text: Label::new(text), only, ..ProcedureStep::default() }
    }

    pub(super) fn procedure(steps: Vec<ProcedureStep>) -> Procedure {
        Procedure { title: Label::new("Raw-water impeller"), steps, ..Procedure::default() }
    }

    pub(super) fn power() -> impl Strategy<Value = Power> {
        (0..5_000_u32, prop::sample::select(PowerUnit::ALL.to_vec())).prop_map(|(tenths, unit)| Power { tenths, unit })
    }

    fn tag() -> impl Strategy<Value = Label> {
        prop::sample::select(vec!["power steering", "thruster", "trim tabs"]).prop_map(Label::new)
    }

    pub(super) fn condition() -> impl Strategy<Value = Condition> {
        prop_oneof![
            power().prop_map(Condition::PowerFrom),
            power().prop_map(Condition::PowerTo),
            (1990..2030_u16).prop_map(Condition::YearFrom),
            (1990..2030_u16).prop_map(Condition::YearTo),
            (1..5_u32).prop_map(|count| Condition::EnginesFrom(Count(count))),
            (1..5_u32).prop_map(|count| Condition::EnginesTo(Count(count))),
            prop::sample::select(Drive::ALL.to_vec()).prop_map(Condition::Drive),
            prop::sample::select(Fuel::ALL.to_vec()).prop_map(Condition::Fuel),
            tag().prop_map(Condition::With),
            tag().prop_map(Condition::Without),
        ]
    }

    pub(super) fn any_procedure() -> impl Strategy<Value = Procedure> {
        let steps = prop::collection::vec(prop::collection::vec(condition(), 0..4), 1..12);
        steps.prop_map(|rows| procedure((1..).zip(rows).map(|(number, only)| step(number, "do it", only)).collect()))
    }

    pub(super) fn engine() -> impl Strategy<Value = EngineProfile> {
        let traits = (
            prop::option::of(prop::sample::select(Drive::ALL.to_vec())),
            prop::option::of(prop::sample::select(Fuel::ALL.to_vec())),
            prop::option::of(prop::collection::vec(tag(), 0..3).prop_map(Tags::new)),
        );
        let traits = traits.prop_map(|(drive, fuel, options)| Traits { drive, fuel, options });
        let rest = (prop::option::of(power()), prop::option::of(1990..2030_u16), prop::option::of(1..5_u32));
        (rest, traits).prop_map(|((power, year, engines), traits)| EngineProfile {
            power,
            year,
            engines: engines.map(Count),
            traits,
        })
    }
}
