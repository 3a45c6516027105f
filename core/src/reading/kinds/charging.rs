//! Voltage while cranking and while charging, at the battery's posts.
//!
//! Cranking: TM 5-3895-382-24 (US Army), table 29, tells what a 12 V system shows by
//! temperature: 8 to 10 V from 10 °C up, 7 to 9 from −7 °C, 6 to 8 from −23 °C. On a mild day
//! more is asked here: several service manuals of the road look for the fault below 9.6 V,
//! and TM 9-2320-211-20 below 18 V of 24, which are 9.0 of 12.
//!
//! Charging: the same TM 5-3895-382-24, beside table 33, asks for 14.0 ± 0.5 V, 28 ± 1 V of 24;
//! TM 9-2330-356-14 for 13.6 to 14.2 V; a battery maker allows 14.8 V. TM 9-2320-361-24-1 calls
//! 24 to 26 V no charge, and TM 5-3825-230-14&P stops at once above 30.3 V. Other systems are
//! taken in proportion. Makers of engines and of batteries differ: enter the engine's own.
//!
//! Worked examples:
//!
//! - `cranking`: system = volts-12; voltage = 9.3 V → – → Watch it
//! - `cranking`: system = volts-12; voltage = 8.2 V; temperature = 0 °C → – → Watch it
//! - `charging`: system = volts-24; voltage = 28.4 V → – → Within limits
//! - `charging`: system = volts-12; voltage = 12.6 V → – → Out of limits

use super::battery::CHEMISTRY;
use crate::reading::finding::{Finding, Rule, Verdict, from, up_to};
use crate::reading::form::{Answers, Choice, Input, Lack, Name, ONE, of, ratio, units};
use crate::reading::{Measured, Spec};

pub(super) const SYSTEMS: &[Choice] =
    &[Choice::Volts12, Choice::Volts24, Choice::Volts32, Choice::Volts36, Choice::Volts48];
pub(super) const SYSTEM: Input = Input::one_of(Name::System, "System", SYSTEMS);

pub(crate) const CRANKING: Spec = Spec {
    question: "Does it hold while cranking?",
    before: "Measure at the battery's posts while the starter turns. Keep clear of belts and shafts; \
             on land clip off the stop switch and take the propeller off first.",
    inputs: &[
        SYSTEM,
        Input::must(Name::Voltage, "Voltage while cranking", units::VOLTAGE, (of(5, ONE), of(13, ONE))),
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
        Input::must(Name::Voltage, "Voltage while charging", units::VOLTAGE, (of(11, ONE), of(16, ONE))),
        Input::may(Name::Turning, "Engine speed", units::TURNING, (of(400, ONE), of(7_000, ONE))),
        CHEMISTRY,
    ],
    measured: &[Measured { name: Name::Voltage, units: units::VOLTAGE }],
    judge: charging,
};

const START: Rule = Rule::practice(
    "9.6 V or more while cranking (12 V, 10 °C or warmer); below 9.0 V something is wrong",
    "9.6 V in service manuals of the road, 18 of 24 V in TM 9-2320-211-20",
);
const COLD_START: Rule = Rule::practice(
    "colder than 10 °C 7 to 9 V, colder than −7 °C 6 to 8 V (12 V)",
    "TM 5-3895-382-24, table 29, typical values",
);
const CHARGE: Rule = Rule::practice(
    "13.5 to 14.8 V while charging (12 V); below 13.0 V it does not charge, above 15.15 V stop",
    "TM 5-3895-382-24 (14.0 ± 0.5), TM 9-2320-361-24-1, TM 5-3825-230-14&P; 14.8 from a battery maker",
);
const LITHIUM: Rule = Rule::practice("lithium batteries charge by their maker's figures", "");

/// Returns the voltage, and what it would be on a 12 V system.
fn of_twelve(of: Answers<'_>, to: &mut Finding) -> Result<i64, Lack> {
    let volts = of.need(Name::Voltage)?;
    to.point(Name::Voltage, 0, volts, of.unit(Name::Voltage, crate::reading::unit::Unit::Volt), 2);
    ratio(volts, 12, nominal(of)?)
}

/// Returns the system's nominal voltage in whole volts.
pub(super) fn nominal(of: Answers<'_>) -> Result<i64, Lack> {
    of.choice(Name::System).and_then(Choice::volts).ok_or(Lack::Missing(Name::System))
}

/// Returns from which microvolts on a start is good, and from which on to be watched; nothing
/// where it is colder than the table goes.
fn held(temperature: Option<i64>) -> Option<(i64, i64, &'static Rule)> {
    match temperature.map_or(10, |it| it.div_euclid(ONE)) {
        10.. => Some((9_600_000, 9_000_000, &START)),
        -7.. => Some((9_000_000, 7_000_000, &COLD_START)),
        -23.. => Some((8_000_000, 6_000_000, &COLD_START)),
        _ => None,
    }
}

fn cranking(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let (volts, temperature) = (of_twelve(of, to)?, of.amount(Name::Temperature));
    let Some((good, least, rule)) = held(temperature) else {
        to.say(Verdict::CannotSay, "Colder than the table goes: warm the battery up and test again.", &COLD_START);
        return Ok(());
    };
    let verdict = from(volts, good, least);
    let words = match verdict {
        Verdict::Within => "It holds while cranking.",
        Verdict::Watch => "Low: charge and load test the battery, then look for lost voltage in the cables.",
        _ => "Too low: a weak battery, a bad cable, or a starter that draws too much. Test them in this order.",
    };
    to.say(verdict, words, rule);
    if temperature.is_none() {
        to.advise("Judged as on a mild day. Say its temperature: on a cold day a good battery goes lower.");
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
        let verdict = up_to(volts, 14_800_000, 15_150_000);
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

    fn told(kind: Kind, system: &str, volts: &str) -> Verdict {
        judged(kind, &[("system", system), ("voltage", volts)]).verdict()
    }

    #[test]
    fn cranking_by_the_published_values() {
        for (system, volts, verdict) in [
            // Service manuals of the road: below 9.6 V look at the starter, above at the feed.
            ("volts-12", "9.6 V", Verdict::Within),
            ("volts-12", "9.3 V", Verdict::Watch),
            // TM 9-2320-211-20, the starter test: not less than 18 V of 24.
            ("volts-24", "18.0 V", Verdict::Watch),
            ("volts-24", "17.9 V", Verdict::OutOf),
            ("volts-12", "8.1 V", Verdict::OutOf),
            ("volts-48", "40 V", Verdict::Within),
        ] {
            assert_eq!(told(Kind::Cranking, system, volts), verdict, "{volts}");
        }
    }

    #[test]
    fn a_cold_start_by_table_29() {
        // TM 5-3895-382-24, table 29: from −7 to 10 °C 7 to 9 V and 14 to 18 V, from −23 to −7 °C 6 to 8 V and 12 to 16 V.
        for (system, volts, temperature, verdict) in [
            ("volts-12", "9 V", "0 °C", Verdict::Within),
            ("volts-12", "7 V", "0 °C", Verdict::Watch),
            ("volts-12", "6.9 V", "0 °C", Verdict::OutOf),
            ("volts-24", "14 V", "40 °F", Verdict::Watch),
            ("volts-12", "8 V", "-10 °C", Verdict::Within),
            ("volts-24", "12 V", "-23 °C", Verdict::Watch),
            ("volts-12", "5.9 V", "-10 °C", Verdict::OutOf),
            ("volts-12", "5.9 V", "-24 °C", Verdict::CannotSay),
            ("volts-12", "9.5 V", "10 °C", Verdict::Watch),
        ] {
            let answers = [("system", system), ("voltage", volts), ("temperature", temperature)];
            assert_eq!(judged(Kind::Cranking, &answers).verdict(), verdict, "{answers:?}");
        }
    }

    #[test]
    fn charging_by_the_published_values() {
        for (system, volts, verdict) in [
            // TM 5-3895-382-24, beside table 33: 14.0 ± 0.5 V, 28 ± 1 V. TM 9-2330-356-14: 13.6 to 14.2 V.
            ("volts-12", "13.5 V", Verdict::Within),
            ("volts-12", "14.5 V", Verdict::Within),
            ("volts-24", "27 V", Verdict::Within),
            ("volts-24", "29 V", Verdict::Within),
            ("volts-12", "13.6 V", Verdict::Within),
            ("volts-12", "14.2 V", Verdict::Within),
            // TM 9-2320-361-24-1: between 24 and 26 V the alternator is at fault.
            ("volts-24", "25.9 V", Verdict::OutOf),
            ("volts-24", "26.5 V", Verdict::Watch),
            // TM 5-3825-230-14&P, page 4-86: above 30.3 V shut down at once.
            ("volts-24", "30.3 V", Verdict::Watch),
            ("volts-24", "30.4 V", Verdict::OutOf),
            ("volts-32", "37.9 V", Verdict::Within),
            ("volts-36", "42 V", Verdict::Within),
            ("volts-48", "56 V", Verdict::Within),
        ] {
            assert_eq!(told(Kind::Charging, system, volts), verdict, "{volts}");
        }
        assert_eq!(judged(Kind::Charging, &[("voltage", "14.2 V")]).verdict(), Verdict::CannotSay);
    }
}
