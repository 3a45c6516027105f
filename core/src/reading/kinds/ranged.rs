//! Readings against a range that the technician enters: oil pressure, temperature, anything.
//!
//! No figure of an engine is known here. The manual's lowest and highest are typed with the
//! reading, or kept as the engine's own limits; without either, there is no verdict.
//!
//! Worked examples:
//!
//! - `oil-pressure`: value = 43 psi; low = 300 kPa → – → Out of limits
//! - `temperature`: value = 212 °F; high = 100 °C → – → Within limits
//! - `free`: value = 0.2 mm; high = 0.25 mm → – → Within limits

use crate::reading::finding::{Finding, Rule, Standing, Verdict};
use crate::reading::form::{Answers, Input, KPA, Lack, Name, ONE, of, units};
use crate::reading::unit::{LARGEST, Unit};
use crate::reading::{Measured, NO_RULE, Spec};

const ANY: (i64, i64) = (-LARGEST, LARGEST);
const OIL: (i64, i64) = (of(20, KPA), of(900, KPA));
const WARMTH: (i64, i64) = (of(-30, ONE), of(650, ONE));

pub(crate) const OIL_PRESSURE: Spec = Spec {
    question: "Is the oil pressure right?",
    before: "Engine warm, at the speed that the manual names. Keep clear of belts and shafts. No pressure: stop at once.",
    inputs: &[
        Input::must(Name::Value, "Oil pressure", units::PRESSURE, OIL),
        Input::may(Name::Low, "Lowest by the manual", units::PRESSURE, OIL),
        Input::may(Name::High, "Highest by the manual", units::PRESSURE, OIL),
        Input::may(Name::Turning, "Engine speed", units::TURNING, (of(400, ONE), of(7_000, ONE))),
        Input::may(Name::Temperature, "Oil temperature", units::TEMPERATURE, (of(-20, ONE), of(150, ONE))),
    ],
    measured: &[Measured { name: Name::Value, units: units::PRESSURE }],
    judge: ranged,
};

pub(crate) const TEMPERATURE: Spec = Spec {
    question: "Is this as warm as it should be?",
    before: "Say what was measured and where. Never open a hot cooling system. A bright surface misleads an infrared meter.",
    inputs: &[
        Input::must(Name::Value, "Temperature", units::TEMPERATURE, WARMTH),
        Input::may(Name::Low, "Lowest by the manual", units::TEMPERATURE, WARMTH),
        Input::may(Name::High, "Highest by the manual", units::TEMPERATURE, WARMTH),
        Input::may(Name::Turning, "Engine speed", units::TURNING, (of(400, ONE), of(7_000, ONE))),
    ],
    measured: &[Measured { name: Name::Value, units: units::TEMPERATURE }],
    judge: ranged,
};

pub(crate) const FREE: Spec = Spec {
    question: "What else was measured?",
    before: "Say what it is. With the manual's lowest or highest it is judged.",
    inputs: &[
        Input::must(Name::Value, "Reading", Unit::ALL, ANY),
        Input::may(Name::Low, "Lowest that is good", Unit::ALL, ANY),
        Input::may(Name::High, "Highest that is good", Unit::ALL, ANY),
    ],
    measured: &[Measured { name: Name::Value, units: Unit::ALL }],
    judge: ranged,
};

const GIVEN: Rule = Rule { words: "the range given with the reading", standing: Standing::Entered, source: "" };

fn ranged(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let value = of.entered(Name::Value).ok_or(Lack::Missing(Name::Value))?;
    to.point(Name::Value, 0, value.amount(), value.unit, value.places());
    let (low, high) = (of.entered(Name::Low), of.entered(Name::High));
    if [low, high].into_iter().flatten().any(|end| end.unit.quantity() != value.unit.quantity()) {
        return Err(Lack::Senseless("the range is in a unit of something else than the reading"));
    }
    if let (Some(low), Some(high)) = (low, high)
        && low.amount() > high.amount()
    {
        return Err(Lack::Senseless("the lowest is above the highest: are they swapped?"));
    }
    let (below, above) =
        (low.is_some_and(|low| value.amount() < low.amount()), high.is_some_and(|high| value.amount() > high.amount()));
    match (below, above) {
        (true, _) => to.say(Verdict::OutOf, format!("{value} is below the lowest."), &GIVEN),
        (_, true) => to.say(Verdict::OutOf, format!("{value} is above the highest."), &GIVEN),
        _ if low.is_none() && high.is_none() => to.say(Verdict::CannotSay, "No range was given.", &NO_RULE),
        _ => to.say(Verdict::Within, format!("{value} is within the range."), &GIVEN),
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Kind;
    use crate::reading::kinds::judged;

    #[test]
    fn a_range_in_another_unit_is_the_same_range() {
        // NIST SP 811, appendix B.8: 1 psi is 6.894 757 kPa, so 300 kPa are 43.51 psi; 212 °F are 100 °C.
        for (kind, answers, verdict) in [
            (Kind::OilPressure, [("value", "44 psi"), ("low", "300 kPa")], Verdict::Within),
            (Kind::OilPressure, [("value", "43 psi"), ("low", "300 kPa")], Verdict::OutOf),
            (Kind::Temperature, [("value", "213 °F"), ("high", "100 °C")], Verdict::OutOf),
            (Kind::Temperature, [("value", "212 °F"), ("high", "100 °C")], Verdict::Within),
            (Kind::Free, [("value", "-3.2 V"), ("low", "1 A")], Verdict::CannotSay),
            (Kind::Free, [("value", "0.2 mm"), ("high", "0.25 mm")], Verdict::Within),
        ] {
            assert_eq!(judged(kind, &answers).verdict(), verdict, "{answers:?}");
        }
        let swapped = [("value", "50 psi"), ("low", "60 psi"), ("high", "40 psi")];
        assert_eq!(judged(Kind::OilPressure, &swapped).verdict(), Verdict::CannotSay);
        assert_eq!(judged(Kind::OilPressure, &[("value", "50 psi")]).verdict(), Verdict::CannotSay);
    }
}
