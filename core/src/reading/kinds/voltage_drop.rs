//! What is lost on the way from battery to load, by two voltages.
//!
//! The drop as a share of the system's nominal voltage: at most 3 % where safety hangs
//! on it (lights, pumps, blower, radio), 10 % elsewhere. ABYC E-11, known as quoted by
//! wire dealers; the standard itself was not seen.
//!
//! Worked example:
//!
//! - `voltage-drop`: system = volts-12; circuit = safety; source-voltage = 12.60 V; load-voltage = 12.24 V → Lost: 0.36 V, 3.0 % → Within limits

use super::charging::{SYSTEM, nominal};
use crate::reading::finding::{Finding, Rule, Standing, Verdict};
use crate::reading::form::{Answers, Choice, Input, Lack, Name, ONE, of, percent, units};
use crate::reading::unit::Unit;
use crate::reading::{Measured, Spec};

pub(super) const CIRCUIT: Input = Input::one_of(Name::Circuit, "What it feeds", &[Choice::Safety, Choice::Comfort]);

pub(crate) const DROP: Spec = Spec {
    question: "How much is lost in the cable?",
    before: "With the load on, measure at the battery and at the load, both within a minute.",
    inputs: &[
        SYSTEM,
        CIRCUIT,
        Input::must(Name::SourceVoltage, "Voltage at the battery", units::VOLTAGE, (of(10, ONE), of(16, ONE))),
        Input::must(Name::LoadVoltage, "Voltage at the load", units::VOLTAGE, (of(5, ONE), of(16, ONE))),
    ],
    measured: &[Measured { name: Name::Drop, units: units::PERCENT }],
    judge: drop_judged,
};

pub(super) const SHARE: Rule = Rule {
    words: "at most 3 % drop for safety circuits, 10 % for others",
    standing: Standing::Standard,
    source: "ABYC E-11, as quoted by wire dealers",
};

/// Returns the share that may be lost, in millionths of a percent.
pub(super) fn allowed(of: Answers<'_>) -> Result<i64, Lack> {
    match of.choice(Name::Circuit) {
        Some(Choice::Safety) => Ok(3 * ONE),
        Some(Choice::Comfort) => Ok(10 * ONE),
        _ => Err(Lack::Missing(Name::Circuit)),
    }
}

fn drop_judged(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let lost = of.need(Name::SourceVoltage)? - of.need(Name::LoadVoltage)?;
    if lost < 0 {
        return Err(Lack::Senseless("the load shows more than the battery: measure both again, and look at the leads"));
    }
    let share = percent(lost, nominal(of)? * ONE)?;
    to.tell("Lost", [Unit::Volt.told(lost, 2), Unit::Percent.told(share, 1)].join(", "));
    to.point(Name::Drop, 0, share, Unit::Percent, 1);
    match share <= allowed(of)? {
        true => to.say(Verdict::Within, "The run is good for this load.", &SHARE),
        false => {
            to.say(Verdict::OutOf, "Too much is lost: clean and tighten every joint, then reckon the wire.", &SHARE);
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Kind;
    use crate::reading::kinds::judged;

    #[test]
    fn three_and_ten_percent() {
        // 3 % of 12 V are 0.36 V, as a published example of the circular-mil formula has it; 10 % are 1.2 V.
        let drop = |circuit, load| {
            let answers =
                [("system", "volts-12"), ("circuit", circuit), ("source-voltage", "12.60 V"), ("load-voltage", load)];
            judged(Kind::VoltageDrop, &answers)
        };
        assert_eq!(drop("safety", "12.24 V").told[0].value, "0.36 V, 3.0 %");
        assert_eq!(drop("safety", "12.24 V").verdict(), Verdict::Within);
        assert_eq!(drop("safety", "12.23 V").verdict(), Verdict::OutOf);
        assert_eq!(drop("comfort", "11.40 V").verdict(), Verdict::Within);
        assert_eq!(drop("comfort", "11.39 V").verdict(), Verdict::OutOf);
        assert_eq!(drop("comfort", "12.70 V").verdict(), Verdict::CannotSay);
    }
}
