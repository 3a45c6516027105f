//! Voltage while cranking and while charging, at the battery's posts.
//!
//! Common practice for 12 V, from memory: a start does not draw a good battery below
//! 9.6 V on a mild day, and an engine that runs charges a lead-acid battery with 13.5 to
//! 14.8 V. 24 and 32 V are taken as two and two and two thirds times as much. Makers of
//! engines and of batteries differ, so the engine's own limits are worth entering.

use super::battery::CHEMISTRY;
use crate::reading::finding::{Finding, Rule, Verdict, from, up_to};
use crate::reading::form::{Answers, Choice, Input, Lack, Name, ONE, of, ratio, units};
use crate::reading::{Measured, Spec};

pub(super) const SYSTEM: Input =
    Input::one_of(Name::System, "System", &[Choice::Volts12, Choice::Volts24, Choice::Volts32]);

pub(crate) const CRANKING: Spec = Spec {
    question: "Does it hold while cranking?",
    before: "Measure at the battery's posts while the starter turns. Keep clear of belts and shafts; \
             on land clip off the stop switch and take the propeller off first.",
    inputs: &[
        SYSTEM,
        Input::must(Name::Voltage, "Voltage while cranking", units::VOLTAGE, (of(5, ONE), of(30, ONE))),
        Input::may(Name::Temperature, "Temperature of the battery", units::TEMPERATURE, (of(-20, ONE), of(50, ONE))),
    ],
    measured: &[Measured { name: Name::Voltage, units: units::VOLTAGE }],
    judge: cranking,
};

pub(crate) const CHARGING: Spec = Spec {
    question: "Does it charge as it should?",
    before: "Measure at the battery's posts, engine at a fast idle, after some minutes. Keep clear of belts. \
             Never take a lead off a battery while the engine runs.",
    inputs: &[
        SYSTEM,
        Input::must(Name::Voltage, "Voltage while charging", units::VOLTAGE, (of(11, ONE), of(42, ONE))),
        Input::may(Name::Turning, "Engine speed", units::TURNING, (of(400, ONE), of(7_000, ONE))),
        CHEMISTRY,
    ],
    measured: &[Measured { name: Name::Voltage, units: units::VOLTAGE }],
    judge: charging,
};

const START: Rule =
    Rule::practice("9.6 V or more while cranking (12 V, mild day); below 9.0 V something is wrong", "from memory");
const CHARGE: Rule =
    Rule::practice("13.5 to 14.8 V while charging (12 V); below 13.0 V it does not charge", "from memory");
const LITHIUM: Rule = Rule::practice("lithium batteries charge by their maker's figures", "");

/// Returns the voltage, and what it would be on a 12 V system.
fn of_twelve(of: Answers<'_>, to: &mut Finding) -> Result<i64, Lack> {
    let volts = of.need(Name::Voltage)?;
    to.point(Name::Voltage, 0, volts, of.unit(Name::Voltage, crate::reading::unit::Unit::Volt), 2);
    ratio(volts, 12, nominal(of)?)
}

/// Returns the system's nominal voltage in whole volts.
pub(super) fn nominal(of: Answers<'_>) -> Result<i64, Lack> {
    match of.choice(Name::System) {
        Some(Choice::Volts12) => Ok(12),
        Some(Choice::Volts24) => Ok(24),
        Some(Choice::Volts32) => Ok(32),
        _ => Err(Lack::Missing(Name::System)),
    }
}

fn cranking(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let verdict = from(of_twelve(of, to)?, 9_600_000, 9_000_000);
    let words = match verdict {
        Verdict::Within => "It holds while cranking.",
        Verdict::Watch => "Low: charge and load test the battery, then look for lost voltage in the cables.",
        _ => "Too low: a weak battery, a bad cable, or a starter that draws too much. Test them in this order.",
    };
    to.say(verdict, words, &START);
    if of.amount(Name::Temperature).is_some_and(|it| it < 10 * ONE) {
        to.advise("On a cold day a good battery goes lower: test it warm before condemning it.");
    }
    Ok(())
}

fn charging(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let volts = of_twelve(of, to)?;
    if of.choice(Name::Chemistry) == Some(Choice::Lithium) {
        to.say(Verdict::CannotSay, "A lithium battery charges as its maker says.", &LITHIUM);
        return Ok(());
    }
    let (verdict, words) = if volts < 13_500_000 {
        let verdict = from(volts, 13_500_000, 13_000_000);
        let words = match verdict {
            Verdict::Watch => "Low: an empty battery draws it down, or belt, sensing lead or diode is at fault.",
            _ => "It does not charge: belt, field, fuse and cables first.",
        };
        (verdict, words)
    } else {
        let verdict = up_to(volts, 14_800_000, 15_000_000);
        let words = match verdict {
            Verdict::Within => "It charges as it should.",
            Verdict::Watch => "High: right only for a cold battery or an equalising charge.",
            _ => "Too high: it boils the battery. Stop, and look at the regulator.",
        };
        (verdict, words)
    };
    to.say(verdict, words, &CHARGE);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Kind;
    use crate::reading::kinds::judged;

    #[test]
    fn common_practice_from_memory() {
        let told = |kind, system, volts| judged(kind, &[("system", system), ("voltage", volts)]).verdict();
        for (system, volts, verdict) in [
            ("volts-12", "10.2 V", Verdict::Within),
            ("volts-12", "9.6 V", Verdict::Within),
            ("volts-12", "9.3 V", Verdict::Watch),
            ("volts-12", "8.1 V", Verdict::OutOf),
            ("volts-24", "19.2 V", Verdict::Within),
            ("volts-24", "17.9 V", Verdict::OutOf),
        ] {
            assert_eq!(told(Kind::Cranking, system, volts), verdict, "{volts}");
        }
        for (system, volts, verdict) in [
            ("volts-12", "12.6 V", Verdict::OutOf),
            ("volts-12", "13.2 V", Verdict::Watch),
            ("volts-12", "14.2 V", Verdict::Within),
            ("volts-12", "14.9 V", Verdict::Watch),
            ("volts-12", "15.4 V", Verdict::OutOf),
            ("volts-24", "28.4 V", Verdict::Within),
            ("volts-32", "37.9 V", Verdict::Within),
        ] {
            assert_eq!(told(Kind::Charging, system, volts), verdict, "{volts}");
        }
        assert_eq!(judged(Kind::Charging, &[("voltage", "14.2 V")]).verdict(), Verdict::CannotSay);
    }
}
