//! How much: oil for a two-stroke's mix, antifreeze to exchange, oil that was put in.
//!
//! Mix of R to 1: oil added = fuel ÷ R, as boating papers tabulate it; the oil is on top of
//! the fuel. Coolant: to go from p to w percent, V × (w − p) ÷ (100 − p) is drained and
//! filled up with pure antifreeze (the balance of volumes). TM 5-3805-254-14&P-2 (US Army) asks
//! for at least 33 % by volume, TM 5-6115-400-12, table 2-1, tells that 60 % protects most and
//! more protects less; an engine maker wants 40 to 60 %. Oil put in against the manual's
//! quantity: how far apart is from memory, the dipstick rules.
//!
//! Worked examples:
//!
//! - `premix`: volume = 12 US gal; ratio = 50 → In US fluid ounces: 30.72 US fl oz → Cannot say
//! - `coolant`: capacity = 10 L; present = 30 %; wanted = 50 % → Drain, and fill up with pure antifreeze: 2.9 L → Out of limits
//! - `oil-fill`: capacity = 4 L; filled = 4.3 L → More than the manual's: 0.30 L, 8 % → Watch it

use crate::reading::finding::{Finding, Rule, Verdict, from, up_to};
use crate::reading::form::{Answers, Input, Lack, Name, ONE, of, percent, ratio, units};
use crate::reading::unit::Unit;
use crate::reading::{Measured, Spec};

pub(crate) const PREMIX: Spec = Spec {
    question: "How much oil for the mix?",
    before: "By the ratio on the engine or in its manual. Fuel vapour explodes: mix ashore, away from flames, can on the ground.",
    inputs: &[
        Input::must(Name::Volume, "Fuel", units::VOLUME, (of(1, ONE), of(500, ONE))),
        Input::must(Name::Ratio, "Fuel to oil, so many to 1", units::NUMBER, (of(16, ONE), of(150, ONE))),
    ],
    measured: &[],
    judge: premix,
};

pub(crate) const COOLANT: Spec = Spec {
    question: "How much antifreeze to exchange?",
    before: "Never open a hot cooling system. Antifreeze poisons people and animals: catch every drop.",
    inputs: &[
        Input::must(Name::Capacity, "Coolant in the system", units::VOLUME, (of(1, ONE), of(200, ONE))),
        Input::must(Name::Present, "Antifreeze in it now", units::PERCENT, (0, of(100, ONE))),
        Input::must(Name::Wanted, "Antifreeze wanted", units::PERCENT, (of(25, ONE), of(70, ONE))),
    ],
    measured: &[Measured { name: Name::Present, units: units::PERCENT }],
    judge: coolant,
};

pub(crate) const OIL_FILL: Spec = Spec {
    question: "Did the right amount of oil go in?",
    before: "Boat level, engine off for some minutes. The dipstick has the last word. Hot oil burns.",
    inputs: &[
        Input::must(Name::Capacity, "By the manual", units::VOLUME, (of(1, ONE) / 10, of(100, ONE))),
        Input::must(Name::Filled, "Put in", units::VOLUME, (of(1, ONE) / 10, of(100, ONE))),
    ],
    measured: &[],
    judge: oil_fill,
};

const BY_RATIO: Rule = Rule::arithmetic("fuel divided by the ratio, on top of the fuel", "the ratio is the manual's");
const MIXTURE: Rule = Rule::practice(
    "40 to 60 % antifreeze, not below 33 %; beyond 60 % it protects less",
    "an engine maker; TM 5-3805-254-14&P-2; TM 5-6115-400-12, table 2-1; 70 % from memory",
);
const QUANTITY: Rule = Rule::practice("within 5 % of the manual's quantity, then the dipstick", "from memory");

fn premix(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let oil = ratio(of.some(Name::Volume)?, ONE, of.some(Name::Ratio)?)?;
    to.tell("Oil", Unit::Millilitre.told(oil, 0));
    to.tell("In US fluid ounces", Unit::UsFluidOunce.told(oil, 2));
    to.tell("In imperial fluid ounces", Unit::ImperialFluidOunce.told(oil, 2));
    to.say(Verdict::CannotSay, "An amount, nothing to judge.", &BY_RATIO);
    Ok(())
}

fn coolant(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let (capacity, present, wanted) = (of.some(Name::Capacity)?, of.need(Name::Present)?, of.some(Name::Wanted)?);
    let hundred = 100 * ONE;
    if present > hundred || wanted > hundred {
        return Err(Lack::Senseless("more than 100 % of anything there is not"));
    }
    to.point(Name::Present, 0, present, Unit::Percent, 0);
    if wanted > present {
        let drained = ratio(capacity, wanted - present, hundred - present)?;
        let unit = of.unit(Name::Capacity, Unit::Litre);
        to.tell("Drain, and fill up with pure antifreeze", unit.told(drained, 1));
    } else if wanted < present {
        let drained = ratio(capacity, present - wanted, present)?;
        let unit = of.unit(Name::Capacity, Unit::Litre);
        to.tell("Drain, and fill up with clean water", unit.told(drained, 1));
    }
    let verdict = from(present, 40 * ONE, 33 * ONE).max(up_to(present, 60 * ONE, 70 * ONE));
    let words = match verdict {
        Verdict::Within => "The mixture protects.",
        Verdict::Watch => "At the edge of what protects.",
        _ => "The mixture does not protect as it should.",
    };
    to.say(verdict, words, &MIXTURE);
    Ok(())
}

fn oil_fill(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let (capacity, filled) = (of.some(Name::Capacity)?, of.need(Name::Filled)?);
    let more = filled - capacity;
    let share = percent(more, capacity)?;
    let unit = of.unit(Name::Capacity, Unit::Litre);
    to.tell("More than the manual's", [unit.told(more, 2), Unit::Percent.told(share, 0)].join(", "));
    let verdict = up_to(share.abs(), 5 * ONE, 10 * ONE);
    let words = match verdict {
        Verdict::Within => "As the manual says.",
        _ if more > 0 => "More went in than the manual says: look at the dipstick before running.",
        _ => "Less went in than the manual says: some of the old is still in, or it is short. Dipstick.",
    };
    to.say(verdict, words, &QUANTITY);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Kind;
    use crate::reading::kinds::judged;

    #[test]
    fn mixes_of_published_tables() {
        // Printed: 50:1 is 2.56 and 40:1 3.2 US fl oz a US gallon, 12 gallons at 50:1 30.72, 25:1 5.12; 20, 25, 40 and
        // 10 mL a litre. An imperial gallon at 50:1 takes 3.2 imperial fl oz.
        let oil = |fuel, ratio, which: usize| {
            judged(Kind::Premix, &[("volume", fuel), ("ratio", ratio)]).told[which].value.clone()
        };
        for (fuel, ratio, which, told) in [
            ("1 US gal", "50", 1, "2.56 US fl oz"),
            ("1 US gal", "40", 1, "3.20 US fl oz"),
            ("12 US gal", "50", 1, "30.72 US fl oz"),
            ("1 US gal", "25", 1, "5.12 US fl oz"),
            ("1 US gal", "24", 0, "158 mL"),
            ("1 L", "50", 0, "20 mL"),
            ("1 L", "40", 0, "25 mL"),
            ("1 L", "25", 0, "40 mL"),
            ("1 L", "100", 0, "10 mL"),
            ("1 imp gal", "50", 2, "3.20 imp fl oz"),
        ] {
            assert_eq!(oil(fuel, ratio, which), told, "{fuel} {ratio}");
        }
    }

    #[test]
    fn coolant_by_the_balance_of_volumes() {
        // 10 L of 30 %: 3 L are antifreeze. Drain x, fill x: 3 − 0.3 x + x = 5, so x = 2.857 L.
        let told =
            |present, wanted| judged(Kind::Coolant, &[("capacity", "10 L"), ("present", present), ("wanted", wanted)]);
        let found = told("30 %", "50 %");
        assert_eq!((found.told[0].value.as_str(), found.verdict()), ("2.9 L", Verdict::OutOf));
        // From 80 % down to 50 %: 8 − 0.8 x = 5, so x = 3.75 L.
        assert_eq!(told("80 %", "50 %").told[0].value, "3.8 L");
        assert_eq!(told("50 %", "50 %").told, []);
        assert_eq!(told("50 %", "50 %").verdict(), Verdict::Within);
        assert_eq!(told("65 %", "50 %").verdict(), Verdict::Watch);
        assert_eq!(told("35 %", "50 %").verdict(), Verdict::Watch);
        // TM 5-3805-254-14&P-2: at least 33 %. TM 5-6115-400-12, table 2-1: 60 % protects most.
        assert_eq!(told("33 %", "50 %").verdict(), Verdict::Watch);
        assert_eq!(told("32 %", "50 %").verdict(), Verdict::OutOf);
        assert_eq!(told("60 %", "50 %").verdict(), Verdict::Within);
        assert_eq!(told("61 %", "50 %").verdict(), Verdict::Watch);
        assert_eq!(told("130 %", "50 %").verdict(), Verdict::CannotSay);
    }

    #[test]
    fn oil_against_the_manuals_quantity() {
        // NIST Handbook 44, appendix C: a US quart is 0.946 352 946 L, so 4 L are 4.227 US quarts.
        let told = |filled| judged(Kind::OilFill, &[("capacity", "4 L"), ("filled", filled)]).verdict();
        assert_eq!(told("4.227 US qt"), Verdict::Within);
        assert_eq!(told("4.3 L"), Verdict::Watch);
        assert_eq!(told("3.5 L"), Verdict::OutOf);
    }
}
