//! Which wire a DC run needs, and whether a fuse protects it.
//!
//! Two things must fit. Drop: circular mils = 10.75 × amperes × feet out and back ÷
//! volts that may be lost (ABYC E-11's form, seen in a dealer's worked example); the
//! areas are those printed beside it, AWG or the thinner SAE. Heat: allowable amperes by
//! 33 CFR 183.425, table 5, read whole in a copy; of its factors for engine spaces the 0.85
//! for 105 °C was seen, the others are from memory and follow from its 30 and 50 °C. Those for
//! bundles are from the US Coast Guard's electrical guideline, as a dealer reprints them; the
//! regulation asks for them from 50 V on only, here they count always.
//!
//! Fuse: 33 CFR 183.455(c)(1) allows up to 150 % of the table's amperes below 50 V. More than
//! the wire may carry is watched all the same. The length is the whole way, out and back.
//!
//! Worked example:
//!
//! - `conductor`: system = volts-12; circuit = safety; current = 10 A; length = 21 ft; insulation = rated-105; wire = awg; size = size-12; fuse = 30 A → Circular mils for the drop: 6271 → Within limits

use super::charging::{SYSTEM, nominal};
use super::voltage_drop::{CIRCUIT, SHARE, allowed};
use crate::reading::finding::{Finding, Rule, Standing, Verdict};
use crate::reading::form::{Answers, Choice, Input, Lack, Name, ONE, of, ratio, units};
use crate::reading::unit::Unit;
use crate::reading::{Measured, Spec};

/// A size of wire.
struct Size {
    choice: Choice,
    /// Circular mils, AWG and SAE.
    area: [u32; 2],
    /// Allowable amperes at 60, 75, 80, 90, 105, 125 and 200 °C, outside engine spaces.
    amperes: [u16; 7],
}

const fn size(choice: Choice, area: [u32; 2], amperes: [u16; 7]) -> Size {
    Size { choice, area, amperes }
}

/// 33 CFR 183.425, table 5, with the areas of a dealer's page; thinnest first.
const SIZES: [Size; 13] = [
    size(Choice::Size18, [1_600, 1_537], [10, 10, 15, 20, 20, 25, 25]),
    size(Choice::Size16, [2_600, 2_336], [15, 15, 20, 25, 25, 30, 35]),
    size(Choice::Size14, [4_100, 3_702], [20, 20, 25, 30, 35, 40, 45]),
    size(Choice::Size12, [6_500, 5_833], [25, 25, 35, 40, 45, 50, 55]),
    size(Choice::Size10, [10_500, 9_343], [40, 40, 50, 55, 60, 70, 70]),
    size(Choice::Size8, [16_800, 14_810], [55, 65, 70, 70, 80, 90, 100]),
    size(Choice::Size6, [26_600, 24_538], [80, 95, 100, 100, 120, 125, 135]),
    size(Choice::Size4, [42_000, 37_360], [105, 125, 130, 135, 160, 170, 180]),
    size(Choice::Size2, [66_500, 62_450], [140, 170, 175, 180, 210, 225, 240]),
    size(Choice::Size1, [83_690, 77_790], [165, 195, 210, 210, 245, 265, 280]),
    size(Choice::Size1Of0, [105_600, 98_980], [195, 230, 245, 245, 285, 305, 325]),
    size(Choice::Size2Of0, [133_100, 125_100], [225, 265, 285, 285, 330, 355, 370]),
    size(Choice::Size4Of0, [211_600, 205_500], [300, 360, 385, 385, 445, 475, 510]),
];

const RATED: &[Choice] = &[
    Choice::Rated60,
    Choice::Rated75,
    Choice::Rated80,
    Choice::Rated90,
    Choice::Rated105,
    Choice::Rated125,
    Choice::Rated200,
];

/// Percent that is left of each of these in an engine space.
const IN_ENGINE_SPACE: [i64; 7] = [58, 75, 78, 82, 85, 89, 100];

const OFFERED: &[Choice] = &[
    Choice::Size18,
    Choice::Size16,
    Choice::Size14,
    Choice::Size12,
    Choice::Size10,
    Choice::Size8,
    Choice::Size6,
    Choice::Size4,
    Choice::Size2,
    Choice::Size1,
    Choice::Size1Of0,
    Choice::Size2Of0,
    Choice::Size4Of0,
];

pub(crate) const CONDUCTOR: Spec = Spec {
    question: "Which wire and fuse does this run need?",
    before: "For direct current on a boat. Isolate before working on it. The length is out and back: both wires.",
    inputs: &[
        SYSTEM,
        CIRCUIT,
        Input::must(Name::Current, "Current", units::CURRENT, (of(1, ONE) / 10, of(400, ONE))),
        Input::must(Name::Length, "Length, out and back", units::LENGTH, (of(1, ONE) / 2, of(60, ONE))),
        Input::one_of(Name::Insulation, "Insulation rated for", RATED),
        Input::one_of(Name::Wire, "Wire made to", &[Choice::Awg, Choice::Sae]),
        Input::perhaps(Name::Place, "Where it runs", &[Choice::Outside, Choice::EngineSpace]),
        Input::may(Name::Bundle, "Current-carrying wires in the bundle", units::NUMBER, (of(1, ONE), of(24, ONE))),
        Input::perhaps(Name::Size, "Wire that is there", OFFERED),
        Input::may(Name::Fuse, "Fuse that is there", units::AMPERE, (of(1, ONE), of(500, ONE))),
    ],
    measured: &[Measured { name: Name::Drop, units: units::PERCENT }],
    judge: conductor,
};

const HEAT: Rule = Rule {
    words: "allowable amperes of the wire",
    standing: Standing::Regulation,
    source: "33 CFR 183.425, table 5; engine space factors partly from memory, bundles by the Coast Guard's guideline",
};
const FUSE: Rule = Rule {
    words: "below 50 V the fuse is no larger than 150 % of the wire's amperes by the table",
    standing: Standing::Regulation,
    source: "33 CFR 183.455(c)(1)",
};
const SMALLER_FUSE: Rule = Rule::practice("a fuse no larger than what the wire may carry here", "from memory");
const NOTHING_THERE: Rule = Rule::arithmetic("a size is chosen, nothing is judged", "");

/// A run: what must be carried how far.
struct Run {
    current: i64,
    length: i64,
    /// The volts that may be lost, in microvolts.
    may_lose: i64,
    /// Which areas: 0 for AWG, 1 for SAE.
    made_to: usize,
    /// Which column of the amperes.
    rated: usize,
    /// What the engine space leaves of the amperes, and what the bundle does, in percent.
    left: [i64; 2],
}

impl Run {
    fn of(of: Answers<'_>) -> Result<Self, Lack> {
        let insulation = of.choice(Name::Insulation);
        let rated = RATED.iter().position(|&it| Some(it) == insulation).ok_or(Lack::Missing(Name::Insulation))?;
        let made_to = match of.choice(Name::Wire) {
            Some(Choice::Awg) => 0,
            Some(Choice::Sae) => 1,
            _ => return Err(Lack::Missing(Name::Wire)),
        };
        let in_bundle = match of.amount(Name::Bundle).map_or(1, |it| it / ONE) {
            ..=2 => 100,
            3 => 70,
            4..=6 => 60,
            7..=24 => 50,
            _ => return Err(Lack::Senseless("more than 24 wires in a bundle: no table says what they carry")),
        };
        let here = if of.choice(Name::Place) == Some(Choice::EngineSpace) { IN_ENGINE_SPACE[rated] } else { 100 };
        Ok(Self {
            current: of.some(Name::Current)?,
            length: of.some(Name::Length)?,
            may_lose: nominal(of)? * allowed(of)? / 100,
            made_to,
            rated,
            left: [here, in_bundle],
        })
    }

    /// Circular mils for so many microvolts; a foot is 304 800 µm.
    fn mils(&self, volts: i64) -> Result<i64, Lack> {
        ratio(ratio(self.current, self.length, 304_800)?, 1_075, 100 * volts)
    }

    fn area(&self, size: &Size) -> i64 {
        size.area[self.made_to].into()
    }

    /// The volts that this size loses, in microvolts.
    fn loses(&self, size: &Size) -> Result<i64, Lack> {
        ratio(ratio(self.current, self.length, 304_800)?, 1_075, 100 * self.area(size))
    }

    /// What this size may carry, in microamperes.
    fn carries(&self, size: &Size) -> i64 {
        self.tabled(size) / 100 * self.left[1]
    }

    /// What the regulation's table gives it: the bundle does not count, in microamperes.
    fn tabled(&self, size: &Size) -> i64 {
        i64::from(size.amperes[self.rated]) * self.left[0] * ONE / 100
    }
}

fn conductor(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let run = Run::of(of)?;
    let mils = run.mils(run.may_lose)?;
    let fits = |size: &&Size| run.loses(size).is_ok_and(|it| it <= run.may_lose) && run.carries(size) >= run.current;
    let thinnest = SIZES.iter().find(fits);
    let gauge = ["AWG", "SAE"][run.made_to];
    let sized = |size: &Size| [size.choice.words(), " ", gauge].concat();
    to.tell("Thinnest that will do", thinnest.map_or("none up to 4/0".to_owned(), sized));
    to.tell("Circular mils for the drop", mils.to_string());
    let there = of.choice(Name::Size).and_then(|choice| SIZES.iter().find(|it| it.choice == choice));
    if let Some(size) = there.or(thinnest) {
        told(of, &run, size, to)?;
    }
    match there {
        Some(size) => judge(&run, size, to),
        None => to.say(Verdict::CannotSay, "Name the wire that is there to have it judged.", &NOTHING_THERE),
    }
    if let (Some(fuse), Some(size)) = (of.amount(Name::Fuse), there.or(thinnest)) {
        match fuse {
            _ if fuse > run.tabled(size) * 3 / 2 => {
                to.say(Verdict::OutOf, "The fuse is too large: the wire would burn before it blows.", &FUSE);
            }
            _ if fuse > run.carries(size) => {
                let words = "Allowed, but larger than what the wire may carry here: a long overload heats it.";
                to.say(Verdict::Watch, words, &SMALLER_FUSE);
            }
            _ if fuse < run.current => {
                to.say(Verdict::Watch, "The fuse is smaller than the load: it will blow.", &FUSE)
            }
            _ => to.say(Verdict::Within, "The fuse protects the wire.", &FUSE),
        }
    }
    Ok(())
}

fn told(of: Answers<'_>, run: &Run, size: &Size, to: &mut Finding) -> Result<(), Lack> {
    let lost = run.loses(size)?;
    let share = ratio(lost, 100, nominal(of)?)?;
    to.tell("Lost in it", [Unit::Volt.told(lost, 2), Unit::Percent.told(share, 1)].join(", "));
    to.tell("It may carry", Unit::Ampere.told(run.carries(size), 0));
    to.point(Name::Drop, 0, share, Unit::Percent, 1);
    Ok(())
}

fn judge(run: &Run, size: &Size, to: &mut Finding) {
    match run.carries(size) >= run.current {
        true => to.say(Verdict::Within, "The wire carries the current.", &HEAT),
        false => to.say(Verdict::OutOf, "The wire gets too hot.", &HEAT),
    }
    match run.loses(size).is_ok_and(|it| it <= run.may_lose) {
        true => to.say(Verdict::Within, "It loses no more than it may.", &SHARE),
        false => to.say(Verdict::OutOf, "It loses too much.", &SHARE),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Kind;
    use crate::reading::kinds::judged;
    use proptest::prelude::*;

    fn run(
        system: &'static str,
        circuit: &'static str,
        amperes: &'static str,
        feet: &'static str,
        wire: &'static str,
    ) -> Finding {
        let answers = [
            ("system", system),
            ("circuit", circuit),
            ("current", amperes),
            ("length", feet),
            ("insulation", "rated-105"),
            ("wire", wire),
        ];
        judged(Kind::Conductor, &answers)
    }

    #[test]
    fn worked_examples_of_the_circular_mil_formula() {
        // A dealer's worked example in ABYC's form: 10 A, 21 ft out and back, 3 % of 12 V (0.36 V) is 6271 CM,
        // which is 12 AWG but 10 in SAE wire; 3 % of 32 V (0.96 V) is 2352 CM.
        let told = |found: Finding| (found.told[0].value.clone(), found.told[1].value.clone());
        let pair = |size: &str, mils: &str| (size.to_owned(), mils.to_owned());
        assert_eq!(told(run("volts-12", "safety", "10 A", "21 ft", "awg")), pair("12 AWG", "6271"));
        assert_eq!(told(run("volts-12", "safety", "10 A", "21 ft", "sae")), pair("10 SAE", "6271"));
        assert_eq!(told(run("volts-32", "safety", "10 A", "21 ft", "awg")), pair("16 AWG", "2352"));
        assert_eq!(told(run("volts-32", "safety", "10 A", "21 ft", "sae")), pair("14 SAE", "2352"));
        // Another dealer's page: the same load at 10 % needs 16.
        assert_eq!(told(run("volts-12", "comfort", "10 A", "21 ft", "awg")), pair("16 AWG", "1881"));
        // 20 A over 10 ft: 5972 CM, 12 AWG, 10 in SAE wire.
        assert_eq!(told(run("volts-12", "safety", "20 A", "10 ft", "awg")), pair("12 AWG", "5972"));
        assert_eq!(told(run("volts-12", "safety", "20 A", "10 ft", "sae")), pair("10 SAE", "5972"));
        // The same in metres: 21 ft are 6.4008 m.
        assert_eq!(told(run("volts-12", "safety", "10 A", "6.4008 m", "awg")), pair("12 AWG", "6271"));
    }

    #[test]
    fn allowable_amperes_of_33_cfr_183_425_table_5() {
        let carries = |choice, rated, left| {
            let run = Run { current: 1, length: 1, may_lose: 1, made_to: 0, rated, left: [left, 100] };
            run.carries(SIZES.iter().find(|it| it.choice == choice).unwrap()) / ONE
        };
        // 105 °C: 10 AWG 60 A, in an engine space 51; 6 AWG 120 and 102. 75 °C: 4 AWG 125 A.
        assert_eq!(carries(Choice::Size10, 4, 100), 60);
        assert_eq!(carries(Choice::Size10, 4, 85), 51);
        assert_eq!(carries(Choice::Size6, 4, 85), 102);
        assert_eq!(carries(Choice::Size4, 1, 100), 125);
        assert_eq!(carries(Choice::Size4Of0, 6, 100), 510);
    }

    #[test]
    fn wire_and_fuse_that_are_there() {
        let found = |size, fuse| {
            let answers = [
                ("system", "volts-12"),
                ("circuit", "safety"),
                ("current", "10 A"),
                ("length", "21 ft"),
                ("insulation", "rated-105"),
                ("wire", "awg"),
                ("place", "engine-space"),
                ("bundle", "3"),
                ("size", size),
                ("fuse", fuse),
            ];
            judged(Kind::Conductor, &answers)
        };
        // 12 AWG of 105 °C in an engine space in a bundle of three: 45 × 0.85 × 0.7 = 26.775 A.
        assert_eq!(found("size-12", "25 A").verdict(), Verdict::Within);
        // 33 CFR 183.455(c)(1): 150 % of the table's 45 × 0.85 = 38.25 A are 57.375 A.
        assert_eq!(found("size-12", "30 A").verdict(), Verdict::Watch);
        assert_eq!(found("size-12", "57 A").verdict(), Verdict::Watch);
        assert_eq!(found("size-12", "57.5 A").verdict(), Verdict::OutOf);
        assert_eq!(found("size-12", "7.5 A").verdict(), Verdict::Watch);
        assert_eq!(found("size-14", "15 A").verdict(), Verdict::OutOf);
    }

    #[test]
    fn engine_space_factors_follow_from_30_and_50_degrees() {
        // The table is for 30 °C and note 1 for 50 °C, as dealers quote the guideline; what a wire may heat goes with
        // the square of its current, so √((rated − 50) ÷ (rated − 30)) is left. 200 °C is left whole by the note.
        for (rated, percent) in [60.0, 75.0, 80.0, 90.0, 105.0, 125.0_f64].into_iter().zip(IN_ENGINE_SPACE) {
            let left = ((rated - 50.0) / (rated - 30.0)).sqrt() * 100.0;
            assert!((left - percent as f64).abs() < 0.75, "{rated}: {left}");
        }
    }

    proptest! {
        #[test]
        fn a_thicker_wire_loses_less_and_carries_no_less(
            current in 1..400_000_000_i64, length in 1..60_000_000_i64, made_to in 0..2_usize, rated in 0..7_usize
        ) {
            let run = Run { current, length, may_lose: 360_000, made_to, rated, left: [100, 100] };
            for pair in SIZES.windows(2) {
                prop_assert!(run.loses(&pair[0]).unwrap() >= run.loses(&pair[1]).unwrap());
                prop_assert!(run.carries(&pair[0]) <= run.carries(&pair[1]));
            }
        }
    }
}
