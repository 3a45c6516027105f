//! Propeller slip: how much less far the boat goes than the pitch would screw her.
//!
//! Pitch speed = pitch × engine speed ÷ ratio; slip = (pitch speed − boat speed) ÷ pitch
//! speed. That is the definition; 1852 m are a nautical mile. Some printed tables use a
//! rounded constant and are half a percent off. What is usual: a propeller page tells 10 to
//! 20 % of a planing boat and to look closer above 25; the wider 10 to 30 %, and up to 50 % on
//! a boat that pushes water, are from memory.
//!
//! Worked example:
//!
//! - `propeller-slip`: pitch = 21 in; turning = 5000 rpm; ratio = 1.5; speed = 50 mph; hull = planing → Slip: 24.6 % → Within limits

use crate::reading::finding::{Finding, Rule, Verdict};
use crate::reading::form::{Answers, Choice, Input, Lack, Name, ONE, of, percent, ratio, units};
use crate::reading::unit::Unit;
use crate::reading::{Measured, Spec};

pub(crate) const SLIP: Spec = Spec {
    question: "How much does the propeller slip?",
    before: "Steady speed, both ways, and take the mean: a satellite receiver tells speed over ground, slip wants it \
             through the water. Keep a lookout; let somebody else read.",
    inputs: &[
        Input::must(Name::Pitch, "Pitch", units::PITCH, (of(1, ONE) / 10, of(6, ONE))),
        Input::must(Name::Turning, "Engine speed", units::TURNING, (of(40, ONE), of(8_000, ONE))),
        Input::must(Name::Ratio, "Gear ratio, so many to 1", units::NUMBER, (of(1, ONE) / 2, of(8, ONE))),
        Input::must(Name::Speed, "Boat speed", units::SPEED, (of(1, ONE), of(50, ONE))),
        Input::perhaps(Name::Hull, "Boat", &[Choice::Planing, Choice::Displacement]),
    ],
    measured: &[Measured { name: Name::Slip, units: units::PERCENT }],
    judge: slip,
};

const USUAL: Rule = Rule::practice(
    "10 to 30 % on a planing boat, 20 to 50 % on a displacement boat",
    "10 to 25 % on a propeller page; the rest from memory",
);
const IMPOSSIBLE: Rule = Rule::arithmetic("a boat does not outrun her propeller's pitch", "");

fn slip(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let (pitch, turns) = (of.some(Name::Pitch)?, of.some(Name::Turning)?);
    // Metres × turns a minute ÷ ratio ÷ 60 are metres a second.
    let pitch_speed = ratio(ratio(pitch, turns, of.some(Name::Ratio)?)?, 1, 60)?;
    let slip = percent(pitch_speed - of.need(Name::Speed)?, pitch_speed)?;
    to.tell("Slip", Unit::Percent.told(slip, 1));
    to.tell("Speed by the pitch alone", of.unit(Name::Speed, Unit::Knot).told(pitch_speed, 1));
    to.point(Name::Slip, 0, slip, Unit::Percent, 1);
    if slip < 0 {
        to.say(
            Verdict::OutOf,
            "Faster than the pitch allows: a wrong pitch, ratio or tachometer setting, or a current with you.",
            &IMPOSSIBLE,
        );
        return Ok(());
    }
    let usual = match of.choice(Name::Hull) {
        Some(Choice::Planing) => of_percent(10, 30),
        Some(Choice::Displacement) => of_percent(20, 50),
        _ => of_percent(10, 50),
    };
    match slip {
        _ if slip < usual.0 => to.say(Verdict::Watch, "Less than usual: check pitch, ratio and tachometer.", &USUAL),
        _ if slip > usual.1 => {
            to.say(
                Verdict::Watch,
                "More than usual: load, fouling, a bent or slipping hub, or too much pitch.",
                &USUAL,
            );
        }
        _ => to.say(Verdict::Within, "Usual.", &USUAL),
    }
    Ok(())
}

const fn of_percent(low: i64, high: i64) -> (i64, i64) {
    (of(low, ONE), of(high, ONE))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Kind;
    use crate::reading::kinds::judged;
    use proptest::prelude::*;

    fn told(pitch: &str, rpm: &str, ratio: &str, speed: &str) -> (String, String) {
        let answers = [("pitch", pitch), ("turning", rpm), ("ratio", ratio), ("speed", speed)];
        let found = judged(Kind::PropellerSlip, &answers);
        (found.told[0].value.clone(), found.told[1].value.clone())
    }

    #[test]
    fn slips_of_published_examples() {
        let pair = |slip: &str, speed: &str| (slip.to_owned(), speed.to_owned());
        // A ship's engine log, worked in a published example: 3.8 m, 87 rpm, 24 h are 257 nautical miles by the
        // engine, 240 run: 6.6 %. So 10.7 kn and 10 kn.
        assert_eq!(told("3.8 m", "87 rpm", "1", "10 kn"), pair("6.6 %", "10.7 kn"));
        // A ticket question, worked by the definition: 19 ft, 44 rpm, 183.5 nautical miles in 24 h: 7.4 %.
        assert_eq!(told("5.7912 m", "44 rpm", "1", "7.645833 kn").0, "7.4 %");
        // By the definition, with 63 360 inches in a mile: 21 in, 5000, 1.5 and 50 mph: 66.288 mph, 24.57 %. The
        // page that prints 66.67 and 25.00 has rounded its constant.
        assert_eq!(told("21 in", "5000 rpm", "1.5", "50 mph"), pair("24.6 %", "66.3 mph"));
        assert_eq!(told("23 in", "5500 rpm", "1.6", "60 mph"), pair("19.9 %", "74.9 mph"));
        assert_eq!(told("19 in", "5000 rpm", "2", "38 mph"), pair("15.5 %", "45.0 mph"));
        assert_eq!(told("13 in", "3000 rpm", "2.0", "14 kn"), pair("12.8 %", "16.0 kn"));
    }

    #[test]
    fn verdicts() {
        let of = |speed, hull| {
            let answers =
                [("pitch", "21 in"), ("turning", "5000 rpm"), ("ratio", "1.5"), ("speed", speed), ("hull", hull)];
            judged(Kind::PropellerSlip, &answers).verdict()
        };
        assert_eq!(of("50 mph", "planing"), Verdict::Within);
        assert_eq!(of("40 mph", "planing"), Verdict::Watch);
        assert_eq!(of("40 mph", "displacement"), Verdict::Within);
        assert_eq!(of("64 mph", "planing"), Verdict::Watch);
        assert_eq!(of("70 mph", "planing"), Verdict::OutOf);
        let none = [("pitch", "21 in"), ("turning", "5000 rpm"), ("ratio", "0"), ("speed", "50 mph")];
        assert_eq!(judged(Kind::PropellerSlip, &none).verdict(), Verdict::CannotSay);
    }

    proptest! {
        #[test]
        fn faster_with_the_same_propeller_is_less_slip(slow in 100..600_i64, more in 1..100_i64) {
            let slip = |tenths: i64| {
                let speed = Unit::Knot.told(Unit::Knot.amount(tenths, 1), 1);
                let answers = [("pitch", "21 in"), ("turning", "5000 rpm"), ("ratio", "1.5"), ("speed", &*speed)];
                judged(Kind::PropellerSlip, &answers).points[0].amount
            };
            prop_assert!(slip(slow + more) < slip(slow));
        }
    }
}
