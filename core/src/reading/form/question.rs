//! What is asked before a figure is believed.
//!
//! Each figure has bounds within which it is usual. What lies outside is asked about
//! and not refused: it may be a unit that was mixed up (a compression of 830 psi is
//! more likely one of 830 kPa), a system of 24 V taken for one of 12, or it may be what
//! is wrong with the engine. The bounds are common practice, made wide, and judge nothing.
//! Those of a voltage are told for 12 V and go with the system, where the kind asks for it.

use super::{Answers, Choice, Given, Input, Name, Of, Value};
use crate::reading::figure::Entered;
use crate::reading::unit::{Quantity, Unit};

/// A figure that is not usual, and what it may be instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// Which input.
    pub name: Name,
    /// Which of several, from 1; 0 for the only one.
    pub nth: u8,
    /// The question in words.
    pub words: String,
    /// With what the same figure would be usual.
    pub instead: Option<Instead>,
}

/// What would make a figure usual.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Instead {
    /// Another unit beside it.
    Unit(Unit),
    /// Another system.
    System(Choice),
}

impl Instead {
    /// Returns the words of the answer that takes it.
    pub const fn words(self) -> &'static str {
        match self {
            Instead::Unit(unit) => unit.words(),
            Instead::System(choice) => choice.words(),
        }
    }
}

/// Returns what is to be asked about figures that are not usual.
pub fn questions(inputs: &[Input], given: &[Given]) -> Vec<Question> {
    let systems = inputs.iter().find(|input| input.name == Name::System).map_or(&[][..], |input| match input.of {
        Of::Choice(systems) => systems,
        Of::Figure { .. } => &[],
    });
    let system = Answers(given).choice(Name::System).unwrap_or(Choice::Volts12);
    let asked = |given: &Given| question(inputs.iter().find(|input| input.name == given.name)?, given, systems, system);
    given.iter().filter_map(asked).collect()
}

fn question(input: &Input, given: &Given, systems: &[Choice], system: Choice) -> Option<Question> {
    let (Of::Figure { units, usual }, Value::Figure(entered)) = (input.of, given.value) else {
        return None;
    };
    let scales = !systems.is_empty() && entered.unit.quantity() == Quantity::Voltage;
    let bounds = |system: Choice| match system.volts() {
        Some(volts) if scales => (usual.0 * volts / 12, usual.1 * volts / 12),
        _ => usual,
    };
    let is_usual = |entered: Entered, (low, high): (i64, i64)| (low..=high).contains(&entered.amount());
    let (low, high) = bounds(system);
    if is_usual(entered, (low, high)) {
        return None;
    }
    let alike = |unit: &Unit| unit.quantity() == entered.unit.quantity();
    let others = units.iter().copied().filter(alike).map(|unit| Entered { unit, ..entered });
    let other_unit = others.into_iter().find(|&other| is_usual(other, (low, high)));
    let other_system = || systems.iter().copied().find(|&it| scales && is_usual(entered, bounds(it)));
    let side = if entered.amount() < low { "less" } else { "more" };
    let unit = entered.unit;
    let span = [unit.told(low, places(low, unit)), unit.told(high, places(high, unit))].join(" to ");
    let mut words = format!("{entered} is {side} than is usual here ({span}).");
    let instead = match (other_unit, other_system()) {
        (Some(other), _) => {
            words
                .push_str(&format!(" Is it {other}, which is {}?", unit.told(other.amount(), entered.places().max(1))));
            Some(Instead::Unit(other.unit))
        }
        (None, Some(system)) => {
            words.push_str(&format!(" Is it a system of {}?", system.words()));
            Some(Instead::System(system))
        }
        (None, None) => {
            words.push_str(" Is it so?");
            None
        }
    };
    Some(Question { name: given.name, nth: given.nth, words, instead })
}

/// How many decimals make a bound readable.
fn places(amount: i64, unit: Unit) -> u8 {
    let tenths = unit.scaled(amount, 1).abs();
    if tenths % 10 == 0 || tenths >= 200 { 0 } else { 1 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Kind;
    use crate::reading::kinds::given;

    fn asked(kind: Kind, answers: &[(&str, &str)]) -> Vec<(String, Option<Instead>)> {
        let questions = questions(kind.inputs(), &given(kind, answers)).into_iter();
        questions.map(|it| (it.words, it.instead)).collect()
    }

    #[test]
    fn a_mixed_up_unit_is_asked_about() {
        // SP 811, B.8: 830 kPa are 120.4 psi. 68 °F are 20 °C: as Celsius no battery is so warm.
        let one = |kind, answers: &[(&str, &str)]| asked(kind, answers).remove(0);
        let (words, instead) = one(Kind::Compression, &[("cylinder 1", "830 psi")]);
        assert_eq!(words, "830 psi is more than is usual here (29 psi to 725 psi). Is it 830 kPa, which is 120.4 psi?");
        assert_eq!(instead, Some(Instead::Unit(Unit::Kilopascal)));
        let (words, instead) = one(Kind::BatteryAtRest, &[("temperature", "68 °C")]);
        assert_eq!(words, "68 °C is more than is usual here (-20 °C to 50 °C). Is it 68 °F, which is 20.0 °C?");
        assert_eq!(instead, Some(Instead::Unit(Unit::Fahrenheit)));
        let (words, instead) = one(Kind::BatteryAtRest, &[("voltage", "0.4 V")]);
        assert_eq!((words.as_str(), instead), ("0.4 V is less than is usual here (10 V to 13.2 V). Is it so?", None));
    }

    #[test]
    fn a_mixed_up_system_is_asked_about() {
        let answers = [("voltage", "25.3 V")];
        let (words, instead) = asked(Kind::BatteryAtRest, &answers).remove(0);
        assert!(words.ends_with("Is it a system of 24 V?"), "{words}");
        assert_eq!(instead, Some(Instead::System(Choice::Volts24)));
        assert_eq!(asked(Kind::BatteryAtRest, &[answers[0], ("system", "volts-24")]), []);
        assert_eq!(asked(Kind::Charging, &[("system", "volts-12"), ("voltage", "28 V")]).len(), 1);
        // A battery has the system's bounds only where the kind asks for the system.
        assert_eq!(asked(Kind::Free, &[("value", "25.3 V")]), []);
    }
}
