//! What each leg of a sling carries, and whether its tag allows it.
//!
//! The rule, its sources and its cautions are those of [`crate::tightening::sling`]: below 30°
//! from the horizontal nothing is reckoned, of three or four legs two count.
//!
//! Worked example:
//!
//! - `sling`: weight = 2400 lb; legs = 2; height = 8 ft; leg-length = 10 ft → Each leg carries: 1500 lb → Within limits

use crate::reading::Spec;
use crate::reading::finding::{Finding, Rule, Standing, Verdict};
use crate::reading::form::{Answers, Input, Lack, Name, ONE, of, units};
use crate::tightening::extent::Extent;
use crate::tightening::sling::{CAUTIONS, Load, NoSlope, Slope};

pub(crate) const SLING: Spec = Spec {
    question: "What does each leg of the sling carry?",
    before: "Nobody under the load, no hand in the sling. Only gear with a tag. A slanting pull takes most of an \
             eyebolt's strength: this figure is the leg's, not the eye's.",
    inputs: &[
        Input::must(Name::Weight, "Weight of the load", units::MASS, (of(10, ONE), of(5_000, ONE))),
        Input::must(Name::Legs, "Legs of the sling", units::NUMBER, (of(1, ONE), of(4, ONE))),
        Input::may(Name::Angle, "Angle from the horizontal", units::DEGREE, (of(30, ONE), of(90, ONE))),
        Input::may(Name::Height, "Or: hook above the load", units::LENGTH, (of(1, ONE) / 10, of(10, ONE))),
        Input::may(Name::LegLength, "and length of a leg", units::LENGTH, (of(1, ONE) / 10, of(15, ONE))),
        Input::may(Name::Tag, "The tag of a leg allows", units::MASS, (of(50, ONE), of(20_000, ONE))),
    ],
    measured: &[],
    judge: sling,
};

const FLAT: Rule =
    Rule::practice("no lift below 30° from the horizontal, better above 45°", "also from memory ASME B30.9's");
const TAG: Rule =
    Rule { words: "no more than the tag allows", standing: Standing::Regulation, source: CAUTIONS[3].source };

fn sling(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let weight = of.entered(Name::Weight).ok_or(Lack::Missing(Name::Weight))?;
    let load = Load::parse(&weight.to_string())
        .map_err(|_| Lack::Senseless("write the weight as a plain figure up to 40000"))?;
    let legs = u8::try_from(of.some(Name::Legs)? / ONE).map_err(|_| Lack::Senseless("a sling has one to four legs"))?;
    let slope = match slope(of)? {
        Ok(slope) => slope,
        Err(NoSlope::TooFlat) => {
            to.say(Verdict::OutOf, "Too flat: do not lift so. Longer legs or a spreader beam.", &FLAT);
            return Ok(());
        }
        Err(NoSlope::Angle) => return Err(Lack::Senseless("an angle is from 0 to 90 degrees")),
        Err(NoSlope::HigherThanLong) => {
            return Err(Lack::Senseless("the hook cannot be higher than a leg is long: measure both again"));
        }
    };
    let carried = load.per_leg(legs, slope).map_err(|_| Lack::Senseless("a sling has one to four legs"))?;
    to.tell("Each leg carries", carried.to_string());
    to.tell("Factor", slope.factor());
    let tension = weight.unit.amount((carried.thousandths() / 1_000).into(), 0);
    to.point(Name::Tension, 0, tension, weight.unit, 0);
    match (slope.advice(), legs) {
        (Some(words), 2..) => to.say(Verdict::Watch, words, &FLAT),
        _ => to.say(Verdict::Within, "Steep enough.", &FLAT),
    }
    match of.amount(Name::Tag) {
        Some(tag) if tag < tension => to.say(Verdict::OutOf, "The tag allows less. Do not lift with it.", &TAG),
        Some(_) => to.say(Verdict::Within, "The tag allows it.", &TAG),
        None => to.advise("Read the tag: what gear may carry is never computed here."),
    }
    Ok(())
}

/// Returns how steep the legs stand, by angle or by height and length.
fn slope(of: Answers<'_>) -> Result<Result<Slope, NoSlope>, Lack> {
    if let Some(angle) = of.amount(Name::Angle) {
        // Rounded down: a flatter leg carries more.
        return Ok(u16::try_from(angle / ONE).map_or(Err(NoSlope::Angle), Slope::from_horizontal));
    }
    let extent = |name| {
        let micrometres = u32::try_from(of.some(name)?).ok().and_then(Extent::new);
        micrometres.ok_or(Lack::Senseless("no sling is of that length"))
    };
    Ok(Slope::from_lengths(extent(Name::Height)?, extent(Name::LegLength)?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Kind;
    use crate::reading::kinds::judged;

    #[test]
    fn published_examples() {
        // A sling maker's page: factor 1.155 at 60°; 120 in over 96 in is 1.25; 1000 lb on two legs at 45° 707 lb each.
        let answers = [("weight", "1000 lb"), ("legs", "2"), ("angle", "45 °"), ("tag", "800 lb")];
        let found = judged(Kind::Sling, &answers);
        assert_eq!((found.told[0].value.as_str(), found.verdict()), ("708 lb", Verdict::Within));
        let found =
            judged(Kind::Sling, &[("weight", "2400 lb"), ("legs", "2"), ("height", "8 ft"), ("leg-length", "10 ft")]);
        assert_eq!((found.told[0].value.as_str(), found.told[1].value.as_str()), ("1500 lb", "1.250"));
    }

    #[test]
    fn flat_legs_and_small_tags_do_not_lift() {
        let told = |angle, tag| {
            judged(Kind::Sling, &[("weight", "180 kg"), ("legs", "4"), ("angle", angle), ("tag", tag)]).verdict()
        };
        assert_eq!(told("60 °", "110 kg"), Verdict::Within);
        assert_eq!(told("40 °", "200 kg"), Verdict::Watch);
        assert_eq!(told("29 °", "500 kg"), Verdict::OutOf);
        assert_eq!(told("60 °", "100 kg"), Verdict::OutOf);
        assert_eq!(told("91 °", "500 kg"), Verdict::CannotSay);
        assert_eq!(judged(Kind::Sling, &[("weight", "180 kg"), ("legs", "2")]).verdict(), Verdict::CannotSay);
    }
}
