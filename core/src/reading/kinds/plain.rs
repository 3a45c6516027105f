//! Insulation and galvanic isolator: readings with little to reckon.
//!
//! Insulation: BS 7671, table 64, asks for at least 1 MΩ of wiring up to 500 V, tested with
//! 500 V (as quoted by testers' guides). What is good of anything else depends on what it is,
//! so nothing else is called good or bad unless the technician enters a limit.
//!
//! Isolator: two diodes in a row each way, each of which takes some 0.45 to 0.6 V of a meter's
//! diode test. So a dealer's and a supplier's page expect some 0.9 V each way and read 0.45 V as
//! one diode shorted, 0 as both, more as one that is open; another page tells 1.0 to 1.2 V.
//! Both ways are held against each other too, since they are two like pairs.
//!
//! Worked examples:
//!
//! - `insulation`: tested = mains-circuit; resistance = 850 kΩ → – → Out of limits
//! - `insulation`: resistance = 20 MΩ → – → Cannot say
//! - `galvanic-isolator`: forward = 0.92 V; reverse = 0.95 V → – → Within limits
//! - `galvanic-isolator`: forward = 0.92 V; reverse = 0.45 V → – → Out of limits

use crate::reading::finding::{Finding, Rule, Standing, Verdict};
use crate::reading::form::{Answers, Choice, Input, Lack, Name, ONE, of, units};
use crate::reading::unit::{LARGEST, Unit};
use crate::reading::{Measured, NO_RULE, Spec};

pub(crate) const INSULATION: Spec = Spec {
    question: "Is the insulation sound?",
    before: "Shore lead out at the pedestal first, then at the boat; prove it dead; electronics and suppressors off \
             the circuit. The tester's voltage hurts. Mains work is for whoever is licensed for it.",
    inputs: &[
        Input::must(Name::Resistance, "Insulation resistance", units::RESISTANCE, (0, LARGEST)),
        Input::perhaps(Name::Tested, "What was tested", &[Choice::MainsCircuit, Choice::OtherInsulation]),
    ],
    measured: &[Measured { name: Name::Resistance, units: units::RESISTANCE }],
    judge: insulation,
};

pub(crate) const ISOLATOR: Spec = Spec {
    question: "Is the galvanic isolator alive?",
    before: "Shore lead out at the pedestal first, then at the boat; prove it dead, and one lead off the isolator. \
             Measure across it with a diode tester until the figure stands, short it, then the other way. \
             Stop below 2 V: a capacitor inside it stands no more.",
    inputs: &[
        Input::must(Name::Forward, "One way", units::VOLTAGE, (of(1, ONE) / 2, of(3, ONE) / 2)),
        Input::must(Name::Reverse, "The other way", units::VOLTAGE, (of(1, ONE) / 2, of(3, ONE) / 2)),
    ],
    measured: &[
        Measured { name: Name::Forward, units: units::VOLTAGE },
        Measured { name: Name::Reverse, units: units::VOLTAGE },
    ],
    judge: isolator,
};

const MEGOHM: Rule = Rule {
    words: "at least 1 MΩ, mains wiring up to 500 V tested with 500 V",
    standing: Standing::Standard,
    source: "BS 7671, table 64, as quoted by testers' guides",
};
const TWO_DIODES: Rule = Rule::practice(
    "some 0.9 V each way, up to 1.2; 0.45 V is one diode shorted, 0 both, more is one open",
    "a dealer's and a supplier's test, 1.0 to 1.2 V another page",
);
const LIKE_PAIRS: Rule = Rule::practice("both ways show the same", "the same pages; a fifth apart from memory");

fn insulation(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let resistance = of.need(Name::Resistance)?;
    to.point(Name::Resistance, 0, resistance, of.unit(Name::Resistance, Unit::Megohm), 2);
    match of.choice(Name::Tested) {
        Some(Choice::MainsCircuit) if resistance < Unit::Megohm.amount(1, 0) => {
            to.say(
                Verdict::OutOf,
                "Too low: damp, a damaged cable or something still connected. Leave it off.",
                &MEGOHM,
            );
        }
        Some(Choice::MainsCircuit) => to.say(Verdict::Within, "The wiring insulates.", &MEGOHM),
        _ => to.say(Verdict::CannotSay, "Kept to be compared with last year's.", &NO_RULE),
    }
    Ok(())
}

fn isolator(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let (one, other) = (of.need(Name::Forward)?.abs(), of.need(Name::Reverse)?.abs());
    to.point(Name::Forward, 0, one, Unit::Volt, 2);
    to.point(Name::Reverse, 0, other, Unit::Volt, 2);
    let (less, more) = (one.min(other), one.max(other));
    let (verdict, words, rule) = match less {
        ..100_000 => (Verdict::OutOf, "One way it conducts like a wire: it isolates no more.", &TWO_DIODES),
        100_000..700_000 => (Verdict::OutOf, "One way only one diode is left: it isolates half as well.", &TWO_DIODES),
        _ if more > 1_200_000 => {
            (Verdict::Watch, "One way it shows more than two diodes: one may be open. Have it tested.", &TWO_DIODES)
        }
        _ if more - less > more / 5 => {
            (Verdict::Watch, "The two ways differ: a pair of diodes is failing, or the meter slipped.", &LIKE_PAIRS)
        }
        _ => (Verdict::Within, "Both ways are alike, as two diodes show.", &TWO_DIODES),
    };
    to.say(verdict, words, rule);
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
    fn mains_wiring_by_the_published_least() {
        // BS 7671, table 64: 1.0 MΩ up to 500 V, tested with 500 V.
        for (resistance, verdict) in
            [("1 MΩ", Verdict::Within), ("0.99 MΩ", Verdict::OutOf), ("999 kΩ", Verdict::OutOf)]
        {
            let answers = [("resistance", resistance), ("tested", "mains-circuit")];
            assert_eq!(judged(Kind::Insulation, &answers).verdict(), verdict, "{resistance}");
        }
        let other = [("resistance", "0.5 MΩ"), ("tested", "other-insulation")];
        assert_eq!(judged(Kind::Insulation, &other).verdict(), Verdict::CannotSay);
    }

    #[test]
    fn an_isolators_two_ways() {
        // A dealer's page: 0.9 V both ways is good, 0.45 V one diode shorted, 0 V both, more one or both open.
        let told = |one, other| judged(Kind::GalvanicIsolator, &[("forward", one), ("reverse", other)]).verdict();
        assert_eq!(told("0.95 V", "0.97 V"), Verdict::Within);
        assert_eq!(told("0.95 V", "-970 mV"), Verdict::Within);
        assert_eq!(told("0.9 V", "0.9 V"), Verdict::Within);
        assert_eq!(told("0.45 V", "0.9 V"), Verdict::OutOf);
        assert_eq!(told("0.45 V", "0.45 V"), Verdict::OutOf);
        assert_eq!(told("0 V", "0 V"), Verdict::OutOf);
        assert_eq!(told("0.9 V", "1.8 V"), Verdict::Watch);
        // Another page: two diodes take 1.0 to 1.2 V.
        assert_eq!(told("1.0 V", "1.2 V"), Verdict::Within);
        assert_eq!(told("0.95 V", "0.72 V"), Verdict::Watch);
        assert_eq!(told("0.95 V", "0.01 V"), Verdict::OutOf);
    }
}
