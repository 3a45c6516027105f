//! What draws current when everything is off, and for how long the battery stands it.
//!
//! Half of a battery's capacity divided by the draw gives the hours until it is half
//! empty: the definition of the ampere hour. Up to 50 mA is common practice from the road:
//! service manuals there allow 25 to 50 mA, a course on batteries 35 (seen); from 100 mA on as
//! out is from memory. A boat with a bilge alarm or a tracker has its own figure, to be
//! entered as a limit.
//!
//! Worked example:
//!
//! - `draw`: current = 250 mA; capacity = 100 Ah → Half empty after, days: 8 → Out of limits

use crate::reading::finding::{Finding, Rule, Verdict, up_to};
use crate::reading::form::{Answers, Input, Lack, Name, ONE, of, ratio, units};
use crate::reading::unit::Unit;
use crate::reading::{Measured, Spec};

pub(crate) const DRAW: Spec = Spec {
    question: "What drains the battery?",
    before: "Everything off, meter in the negative lead, start on its largest range. Do not crank or switch on \
             anything large through a meter.",
    inputs: &[
        Input::must(Name::Current, "Draw with all off", units::DRAW, (0, of(5, ONE))),
        Input::may(Name::Capacity, "Capacity of the battery", units::CHARGE, (of(20, ONE), of(2_000, ONE))),
    ],
    measured: &[Measured { name: Name::Current, units: units::DRAW }],
    judge: draw,
};

const SMALL: Rule = Rule::practice(
    "up to 50 mA is small, from 100 mA something is on",
    "50 mA in service manuals of the road; 100 from memory",
);

fn draw(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let draw = of.need(Name::Current)?.abs();
    if let (Some(capacity), true) = (of.amount(Name::Capacity), draw > 0) {
        let hours = ratio(capacity / 2, ONE, draw)?;
        to.tell("Half empty after, days", Unit::Number.told(hours / 24, 0));
    }
    to.point(Name::Current, 0, draw, Unit::Milliampere, 0);
    let verdict = up_to(draw, 50_000, 100_000);
    let words = match verdict {
        Verdict::Within => "Small.",
        Verdict::Watch => "More than a clock and an alarm: find out what is meant to be on.",
        _ => "Something is on, or leaks. Pull one fuse after the other until it falls.",
    };
    to.say(verdict, words, &SMALL);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Kind;
    use crate::reading::kinds::judged;

    #[test]
    fn hours_by_the_definition_of_the_ampere_hour() {
        // 100 Ah at 0.25 A: half is gone after 50 / 0.25 = 200 h, 8 days.
        let found = judged(Kind::Draw, &[("current", "250 mA"), ("capacity", "100 Ah")]);
        assert_eq!((found.told[0].value.as_str(), found.verdict()), ("8", Verdict::OutOf));
        // Service manuals of the road look for the fault above 50 mA.
        assert_eq!(judged(Kind::Draw, &[("current", "50 mA")]).verdict(), Verdict::Within);
        assert_eq!(judged(Kind::Draw, &[("current", "51 mA")]).verdict(), Verdict::Watch);
        assert_eq!(judged(Kind::Draw, &[("current", "0.03 A")]).verdict(), Verdict::Within);
        assert_eq!(judged(Kind::Draw, &[("current", "-80 mA")]).verdict(), Verdict::Watch);
        assert_eq!(judged(Kind::Draw, &[("current", "0 A"), ("capacity", "100 Ah")]).told, []);
    }
}
