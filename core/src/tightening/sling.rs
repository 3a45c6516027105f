//! What each leg of a sling carries, by how steep it stands.
//!
//! The flatter a leg, the more it carries: weight ÷ (legs × sine of the angle from
//! the horizontal), the same as weight ÷ legs × length ÷ height. That is the
//! geometry of ASME B30.9 and 29 CFR 1910.184 for equal legs (from memory; the
//! factors are held against a sling maker's table). Of three or four legs under a
//! rigid load only two are counted, and below 30° nothing is computed: both are
//! common practice, the second also from memory ASME B30.9's.
//!
//! Angles are told from the horizontal here; some tables tell them from the
//! vertical, so both ways of saying one have their own name. What gear may carry
//! is never computed: that stands on its tag.

use std::fmt;

use super::angle::{self, ONE};
use super::extent::Extent;
use super::figure;
use thiserror::Error;

/// A caution and where it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// What is said.
    pub words: &'static str,
    /// The regulation, or that it is common practice.
    pub source: &'static str,
}

const PRACTICE: &str = "common practice";

/// What has to be said beside every tension.
///
/// The paragraphs of 29 CFR 1910.184(c) are held against a state's copy of them (WAC 296-24-29419).
pub const CAUTIONS: [Caution; 6] = [
    Caution { words: "Stay clear of the load, never under it.", source: "29 CFR 1910.184(c)(9)" },
    Caution { words: "No hand between sling and load while it draws tight.", source: "29 CFR 1910.184(c)(10)" },
    Caution { words: "Lift without a jerk: a shock multiplies the tension.", source: "29 CFR 1910.184(c)(11)" },
    Caution {
        words: "Only gear whose tag allows more than the tension. Gear without a tag does not lift.",
        source: "29 CFR 1910.184(c)(4) and (13)",
    },
    Caution {
        words: "A slanting pull takes most of an eyebolt's strength: this figure is the leg's, not the eye's.",
        source: PRACTICE,
    },
    Caution { words: super::MANUAL_FIRST, source: PRACTICE },
];

/// How steep a leg stands, as the sine of its angle from the horizontal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Slope {
    height: u32,
    length: u32,
}

/// Why a leg has no slope that lifts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NoSlope {
    /// Below 30° from the horizontal.
    #[error("flatter than 30° from the horizontal: do not lift so. Use longer legs or a spreader beam")]
    TooFlat,
    /// Beyond upright.
    #[error("an angle is from 0 to 90 degrees")]
    Angle,
    /// The hook is higher above the load than the leg is long.
    #[error("the height cannot be more than the leg's length: measure both again")]
    HigherThanLong,
}

impl Slope {
    /// Returns the slope of a leg at so many degrees from the horizontal.
    ///
    /// # Errors
    /// Below 30 degrees and above 90.
    pub fn from_horizontal(degrees: u16) -> Result<Self, NoSlope> {
        match degrees {
            0..30 => Err(NoSlope::TooFlat),
            30..=90 => Ok(Self { height: angle::sine(degrees), length: ONE }),
            _ => Err(NoSlope::Angle),
        }
    }

    /// Returns the slope of a leg at so many degrees from the vertical.
    ///
    /// # Errors
    /// Above 60 degrees.
    pub fn from_vertical(degrees: u16) -> Result<Self, NoSlope> {
        Self::from_horizontal(90_u16.checked_sub(degrees).ok_or(NoSlope::Angle)?)
    }

    /// Returns the slope of a leg whose hook is `height` above the points where it holds the load.
    ///
    /// # Errors
    /// When the leg is longer than twice the height, which is flatter than 30 degrees, or shorter than it.
    pub fn from_lengths(height: Extent, leg: Extent) -> Result<Self, NoSlope> {
        let (height, length) = (height.micrometres(), leg.micrometres());
        if height > length {
            Err(NoSlope::HigherThanLong)
        } else if u64::from(length) > 2 * u64::from(height) {
            Err(NoSlope::TooFlat)
        } else {
            Ok(Self { height, length })
        }
    }

    /// Returns by how much the leg carries more than an upright one, `1.155`.
    pub fn factor(self) -> String {
        figure::significant(self.length.into(), self.height.into(), 4)
    }

    /// Returns a word for flat slopes that still lift (common practice), nothing from 45° up.
    pub fn advice(self) -> Option<&'static str> {
        let flat = u64::from(self.height) * u64::from(ONE) < u64::from(self.length) * u64::from(angle::sine(45));
        flat.then_some("Flatter than 45°: the legs press the load together. Longer legs are better.")
    }
}

/// A unit of weight, as tags show it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LoadUnit {
    /// Kilograms.
    Kilogram,
    /// Pounds.
    Pound,
}

/// A weight or a tension as tags show it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Load {
    thousandths: u32,
    unit: LoadUnit,
}

/// Why a text is not a weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NotALoad {
    /// The figure cannot be read.
    #[error(transparent)]
    Figure(#[from] figure::NotAFigure),
    /// There is no unit, or one that is not known.
    #[error("write the unit: kg or lb")]
    Unit,
}

impl Load {
    /// Reads `180 kg` or `400 lb`.
    ///
    /// # Errors
    /// Says what to write instead.
    pub fn parse(text: &str) -> Result<Self, NotALoad> {
        let (figure, unit) = figure::split(text);
        let unit = match unit.trim_end_matches('.') {
            "kg" => LoadUnit::Kilogram,
            "lb" | "lbs" => LoadUnit::Pound,
            _ => return Err(NotALoad::Unit),
        };
        Ok(Self { thousandths: figure::thousandths(figure)?, unit })
    }

    /// Returns the figure in thousandths of its unit.
    pub const fn thousandths(self) -> u32 {
        self.thousandths
    }

    /// Returns what each of `legs` equal legs carries, rounded up to a whole unit.
    ///
    /// # Errors
    /// When there are no legs or more than four.
    pub fn per_leg(self, legs: u8, slope: Slope) -> Result<Load, NoLift> {
        let (legs, height, length) = match legs {
            // One leg hangs plumb, however it was meant.
            1 => (1, 1, 1),
            2..=4 => (2, u64::from(slope.height), u64::from(slope.length)),
            _ => return Err(NoLift::Legs),
        };
        let whole = (u128::from(self.thousandths) * u128::from(length)).div_ceil(u128::from(legs * height) * 1_000);
        let thousandths = u32::try_from(whole * 1_000).map_err(|_| NoLift::TooHeavy)?;
        Ok(Load { thousandths, ..self })
    }
}

impl fmt::Display for Load {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&figure::plain(self.thousandths))?;
        f.write_str(match self.unit {
            LoadUnit::Kilogram => " kg",
            LoadUnit::Pound => " lb",
        })
    }
}

/// Why no tension is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NoLift {
    /// None, or more than four.
    #[error("a sling has one to four legs")]
    Legs,
    /// Heavier than anything that is lifted here.
    #[error("too heavy for this figure: ask a rigger")]
    TooHeavy,
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn load(text: &str) -> Load {
        Load::parse(text).unwrap()
    }

    fn lengths(height: &str, leg: &str) -> Result<Slope, NoSlope> {
        Slope::from_lengths(Extent::parse(height).unwrap(), Extent::parse(leg).unwrap())
    }

    #[test]
    fn factors_of_a_published_table() {
        // A sling maker's table of factors by the angle from the horizontal, as printed.
        for (degrees, factor) in
            [(90, "1.000"), (75, "1.035"), (60, "1.155"), (50, "1.305"), (45, "1.414"), (30, "2.000")]
        {
            assert_eq!(Slope::from_horizontal(degrees).map(Slope::factor).as_deref(), Ok(factor), "{degrees}");
            assert_eq!(Slope::from_vertical(90 - degrees), Slope::from_horizontal(degrees));
        }
    }

    #[test]
    fn published_examples() {
        // The same maker: length over height. 120 in over 96 in is 1.25, and 1200 lb become 1500.
        let slope = lengths("96 in", "120 in").unwrap();
        assert_eq!(slope.factor(), "1.250");
        assert_eq!(load("2400 lb").per_leg(2, slope), Ok(load("1500 lb")));
        // 84 in over 96 in is 0.875, and a sling of 8000 lb carries 7000 at that angle.
        let slope = lengths("84 in", "96 in").unwrap();
        assert_eq!(load("14000 lb").per_leg(2, slope), Ok(load("8000 lb")));
        assert_eq!(load("14001 lb").per_leg(2, slope), Ok(load("8001 lb")));
        // 1000 lb on two legs, rounded up: 500, 577.35, 707.11 and 1000 lb.
        for (degrees, expected) in [(90, "500 lb"), (60, "578 lb"), (45, "708 lb"), (30, "1000 lb")] {
            let slope = Slope::from_horizontal(degrees).unwrap();
            assert_eq!(load("1000 lb").per_leg(2, slope), Ok(load(expected)), "{degrees}");
        }
    }

    #[test]
    fn flat_legs_do_not_lift() {
        assert_eq!(Slope::from_horizontal(29), Err(NoSlope::TooFlat));
        assert_eq!(Slope::from_vertical(61), Err(NoSlope::TooFlat));
        assert_eq!(Slope::from_horizontal(91), Err(NoSlope::Angle));
        assert_eq!(Slope::from_vertical(91), Err(NoSlope::Angle));
        assert_eq!(lengths("1 m", "2.01 m"), Err(NoSlope::TooFlat));
        assert_eq!(lengths("1.01 m", "1 m"), Err(NoSlope::HigherThanLong));
        assert_eq!(lengths("1 m", "2 m").map(Slope::factor).as_deref(), Ok("2.000"));
        let advised = |degrees| Slope::from_horizontal(degrees).unwrap().advice().is_some();
        assert!(advised(44) && !advised(45));
    }

    #[test]
    fn legs() {
        let slope = Slope::from_horizontal(60).unwrap();
        let told = |legs| load("180 kg").per_leg(legs, slope).map(|it| it.to_string());
        assert_eq!(told(1).as_deref(), Ok("180 kg"));
        // Two of four carry a rigid load.
        assert_eq!(told(2).as_deref(), Ok("104 kg"));
        assert_eq!((told(3), told(4)), (told(2), told(2)));
        assert_eq!((told(0), told(5)), (Err(NoLift::Legs), Err(NoLift::Legs)));
        assert_eq!(Load::parse("180"), Err(NotALoad::Unit));
    }

    proptest! {
        #[test]
        fn no_leg_carries_less_than_the_geometry_says(kilograms in 1..30_000_u32, degrees in 30..=90_u16) {
            let load = load(&format!("{kilograms} kg"));
            let leg = load.per_leg(2, Slope::from_horizontal(degrees).unwrap()).unwrap();
            let exact = f64::from(kilograms) / (2.0 * f64::from(degrees).to_radians().sin());
            let told = f64::from(leg.thousandths) / 1_000.0;
            prop_assert!(told > exact - exact * 2e-6 && told < exact + 1.0 + exact * 2e-6, "{} {}", told, exact);
        }
    }
}
