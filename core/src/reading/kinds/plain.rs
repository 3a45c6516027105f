//! Insulation and galvanic isolator: plain readings, judged by entered limits alone.
//!
//! What a good value is depends on what is tested, how long the lead is and at which
//! voltage, so nothing is called good or bad unless the technician enters a limit. An
//! isolator's two directions are held against each other, which needs none: they are
//! two like pairs of diodes.

use crate::reading::finding::{Finding, Rule, Verdict};
use crate::reading::form::{Answers, Input, Lack, Name, ONE, of, units};
use crate::reading::unit::{LARGEST, Unit};
use crate::reading::{Measured, NO_RULE, Spec};

pub(crate) const INSULATION: Spec = Spec {
    question: "Is the insulation sound?",
    before: "Shore lead out at the pedestal first, then at the boat; prove it dead; electronics and suppressors off \
             the circuit. The tester's voltage hurts. Mains work is for whoever is licensed for it.",
    inputs: &[Input::must(Name::Resistance, "Insulation resistance", units::RESISTANCE, (0, LARGEST))],
    measured: &[Measured { name: Name::Resistance, units: units::RESISTANCE }],
    judge: insulation,
};

pub(crate) const ISOLATOR: Spec = Spec {
    question: "Is the galvanic isolator alive?",
    before: "Shore lead out at the pedestal first, then at the boat; prove it dead. Measure across the isolator with \
             a diode tester, one way and then the other.",
    inputs: &[
        Input::must(Name::Forward, "One way", units::VOLTAGE, (of(1, ONE) / 2, of(3, ONE))),
        Input::must(Name::Reverse, "The other way", units::VOLTAGE, (of(1, ONE) / 2, of(3, ONE))),
    ],
    measured: &[
        Measured { name: Name::Forward, units: units::VOLTAGE },
        Measured { name: Name::Reverse, units: units::VOLTAGE },
    ],
    judge: isolator,
};

const LIKE_PAIRS: Rule = Rule::practice("both ways show the same, some 0.9 V or more, and neither 0", "from memory");

fn insulation(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let ohms = of.need(Name::Resistance)?;
    to.point(Name::Resistance, 0, ohms, of.unit(Name::Resistance, Unit::Megohm), 2);
    to.say(Verdict::CannotSay, "Kept to be compared with last year's.", &NO_RULE);
    Ok(())
}

fn isolator(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let (one, other) = (of.need(Name::Forward)?.abs(), of.need(Name::Reverse)?.abs());
    to.point(Name::Forward, 0, one, Unit::Volt, 2);
    to.point(Name::Reverse, 0, other, Unit::Volt, 2);
    let (less, more) = (one.min(other), one.max(other));
    match less {
        ..100_000 => to.say(Verdict::OutOf, "One way it conducts like a wire: it isolates no more.", &LIKE_PAIRS),
        _ if more - less > more / 5 => {
            to.say(
                Verdict::Watch,
                "The two ways differ: a pair of diodes is failing, or the meter slipped.",
                &LIKE_PAIRS,
            );
        }
        _ => to.say(Verdict::Within, "Both ways are alike.", &LIKE_PAIRS),
    }
    to.advise("Alike is not all: that it still carries a fault's current, its maker's test tells.");
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Kind;
    use crate::reading::kinds::{given, judged};
    use crate::reading::{figure::Entered, limits::Limit, limits::Limits};

    #[test]
    fn insulation_is_judged_by_the_entered_limit_alone() {
        let answers = given(Kind::Insulation, &[("resistance", "850 kΩ")]);
        assert_eq!(Kind::Insulation.judge(&answers, None).verdict(), Verdict::CannotSay);
        // A megohm is a million ohms (SI Brochure, table 7).
        let low = Entered::parse("1", Unit::Megohm).ok();
        let limits = Limits { each: vec![Limit { of: Name::Resistance, low, high: None }], ..Limits::default() };
        assert_eq!(Kind::Insulation.judge(&answers, Some(&limits)).verdict(), Verdict::OutOf);
        let answers = given(Kind::Insulation, &[("resistance", "999999 Ω")]);
        assert_eq!(Kind::Insulation.judge(&answers, Some(&limits)).verdict(), Verdict::OutOf);
        let answers = given(Kind::Insulation, &[("resistance", "1000 kΩ")]);
        assert_eq!(Kind::Insulation.judge(&answers, Some(&limits)).verdict(), Verdict::Within);
    }

    #[test]
    fn an_isolators_two_ways() {
        let told = |one, other| judged(Kind::GalvanicIsolator, &[("forward", one), ("reverse", other)]).verdict();
        assert_eq!(told("0.95 V", "0.97 V"), Verdict::Within);
        assert_eq!(told("0.95 V", "-970 mV"), Verdict::Within);
        assert_eq!(told("0.95 V", "0.52 V"), Verdict::Watch);
        assert_eq!(told("0.95 V", "0.01 V"), Verdict::OutOf);
    }
}
