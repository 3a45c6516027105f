//! What to set the torque wrench to when something stands off its drive.
//!
//! An adapter or crowfoot lengthens the lever, so the fastener gets more than
//! the wrench shows: setting = target × L / (L + A·cos θ). L is from the drive to
//! the middle of the grip, A from the drive to the fastener, θ the angle between
//! the adapter and the line from the grip on through the drive. At 90° nothing
//! changes, beyond it the setting is higher. US Army TM 1-1500-204-23-9, TM 9-254 and
//! TM 9-2350-261-20-1 give formula and examples for the straight adapter; the
//! angled case of TM 9-254, figure 46, needs the plus that its print lacks.
//!
//! How good a wrench is follows ISO 6789:2003, as a tool's manual restates it.

use std::cmp::Ordering;

use super::angle::{self, ONE};
use super::extent::Extent;
use super::torque::{Torque, TorqueUnit};
use crate::moment::Day;
use crate::text::Label;
use thiserror::Error;

/// What has to be said beside every setting with an adapter.
pub const HOLD_AT_THE_GRIP: &str = "Right only with the hand at the middle of the grip, pulling square to the handle. \
     A pipe on the handle makes it wrong; a straight extension under the drive changes nothing.";

/// A wrench with an adapter that stands off sideways.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lever {
    /// From the drive to the middle of the grip.
    wrench: Extent,
    /// From the drive to the fastener.
    adapter: Extent,
    /// Degrees between the adapter and the handle's line, 0 straight on, 180 pointing back.
    angle: u16,
}

/// Why a wrench and an adapter make no lever.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NoLever {
    /// More than half a turn.
    #[error("the angle is from 0 (straight on) over 90 (square) to 180 degrees (pointing back)")]
    Angle,
    /// The fastener would sit at the grip or behind it.
    #[error("an adapter that points back must be shorter than the wrench: set it square (90°)")]
    PointsPastTheGrip,
}

impl Lever {
    /// Returns the lever of a wrench and an adapter at so many degrees.
    ///
    /// # Errors
    /// When they are none.
    pub fn new(wrench: Extent, adapter: Extent, angle: u16) -> Result<Self, NoLever> {
        let lever = Self { wrench, adapter, angle };
        match lever.whole() {
            _ if angle > 180 => Err(NoLever::Angle),
            0 => Err(NoLever::PointsPastTheGrip),
            _ => Ok(lever),
        }
    }

    /// Returns the length of the wrench, from the drive to the middle of the grip.
    pub const fn wrench(self) -> Extent {
        self.wrench
    }

    /// Returns the length of the adapter, from the drive to the fastener.
    pub const fn adapter(self) -> Extent {
        self.adapter
    }

    /// Returns the degrees between the adapter and the handle's line.
    pub const fn angle(self) -> u16 {
        self.angle
    }

    /// Returns what to set so that the fastener gets `target`.
    pub fn setting(self, target: Torque) -> Torque {
        target.times(self.own(), self.whole())
    }

    /// Returns what the fastener gets when the wrench shows `shown`.
    pub fn delivered(self, shown: Torque) -> Torque {
        shown.times(self.whole(), self.own())
    }

    /// The wrench alone, in millionths of a micrometre.
    fn own(self) -> u128 {
        u128::from(self.wrench.micrometres()) * u128::from(ONE)
    }

    /// Wrench and adapter along the handle's line; 0 when nothing is left of it.
    fn whole(self) -> u128 {
        let along = i128::from(self.adapter.micrometres()) * i128::from(angle::cosine(self.angle));
        self.own().checked_add_signed(along).unwrap_or(0)
    }
}

/// A torque wrench as the technician knows it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Wrench {
    /// What it is called.
    pub name: Label,
    /// The largest torque on its scale.
    pub largest: Option<Torque>,
    /// When it was last calibrated.
    pub calibrated: Option<Day>,
}

/// What speaks against using a wrench for a setting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doubt {
    /// The setting is above the scale.
    AboveItsScale,
    /// The setting is below a fifth of the scale, where a wrench is not checked (ISO 6789:2003).
    BelowAFifth,
    /// The last calibration is more than a year back (12 months: common practice, from memory).
    CalibratedOverAYearAgo,
}

impl Doubt {
    /// Returns the doubt in words.
    pub const fn words(self) -> &'static str {
        match self {
            Doubt::AboveItsScale => "Above what this wrench can do. Take a larger one.",
            Doubt::BelowAFifth => "Below a fifth of this wrench's scale, where it is not checked. Take a smaller one.",
            Doubt::CalibratedOverAYearAgo => "Calibrated more than a year ago.",
        }
    }
}

impl Wrench {
    /// Returns what speaks against using it for `setting` on the day `today`.
    pub fn doubts(&self, setting: Torque, today: Day) -> Vec<Doubt> {
        let scale = self.largest.and_then(|largest| {
            if setting.compare(largest).is_gt() {
                Some(Doubt::AboveItsScale)
            } else {
                setting.compare(largest.times(1, 5)).is_lt().then_some(Doubt::BelowAFifth)
            }
        });
        let due = self.calibrated.and_then(|day| day.plus(366));
        scale.into_iter().chain(due.filter(|&due| due < today).map(|_| Doubt::CalibratedOverAYearAgo)).collect()
    }
}

/// Returns the lowest and the highest torque that a good setting wrench gives at `setting`.
///
/// 4 % either way above 10 N·m, 6 % up to there (ISO 6789:2003, type II, class A).
pub fn spread(setting: Torque) -> (Torque, Torque) {
    let percent = match Torque::new(10_000, TorqueUnit::NewtonMetre).map(|ten| setting.compare(ten)) {
        Some(Ordering::Greater) => 4,
        _ => 6,
    };
    (setting.times(100 - percent, 100), setting.times(100 + percent, 100))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn torque(text: &str) -> Torque {
        Torque::parse(text, TorqueUnit::NewtonMetre).unwrap()
    }

    fn lever(wrench: &str, adapter: &str, angle: u16) -> Lever {
        Lever::new(Extent::parse(wrench).unwrap(), Extent::parse(adapter).unwrap(), angle).unwrap()
    }

    #[test]
    fn published_examples() {
        for (target, wrench, adapter, angle, expected, source) in [
            ("300 lbf·in", "10 in", "4 in", 0, 214_286, "TM 1-1500-204-23-9, printed as 214"),
            ("40 lbf·ft", "12 in", "4 in", 0, 30_000, "TM 9-2350-261-20-1, page 2-29"),
            ("300 lbf·ft", "18 in", "6 in", 0, 225_000, "TM 5-3810-305-23"),
            ("30 lbf·ft", "12 in", "6 in", 0, 20_000, "a tool dealer's page on adapters"),
            ("20 lbf·ft", "12 in", "3 in", 0, 16_000, "a tool's manual"),
            ("50 lbf·ft", "16 in", "2 in", 0, 44_444, "a tool's manual, printed as 44.44"),
            ("135 lbf·in", "10 in", "1.5 in", 0, 117_391, "a maker's manual, printed as 117.39"),
            ("135 lbf·in", "10 in", "1.5 in", 180, 158_824, "the same, pointing back, printed as 158.82"),
            ("100 N·m", "400 mm", "60 mm", 45, 90_411, "worked from the formula"),
            ("100 N·m", "400 mm", "60 mm", 135, 111_865, "worked from the formula"),
        ] {
            let found = lever(wrench, adapter, angle).setting(torque(target));
            assert_eq!(found.thousandths(), expected, "{source}");
            assert_eq!(found.unit(), torque(target).unit());
        }
        // TM 9-254, page 92: set 60 lbf·in, 12 in and 2 in, and the fastener gets 70.
        assert_eq!(lever("12 in", "2 in", 0).delivered(torque("60 lbf·in")), torque("70 lbf·in"));
    }

    #[test]
    fn no_lever() {
        let (long, short) = (Extent::parse("12 in").unwrap(), Extent::parse("300 mm").unwrap());
        assert_eq!(Lever::new(short, long, 180), Err(NoLever::PointsPastTheGrip));
        assert_eq!(Lever::new(long, long, 180), Err(NoLever::PointsPastTheGrip));
        assert_eq!(Lever::new(long, short, 181), Err(NoLever::Angle));
        assert!(Lever::new(long, short, 180).is_ok());
    }

    #[test]
    fn spread_of_iso_6789() {
        for (setting, low, high) in [("50", "48", "52"), ("8", "7.52", "8.48"), ("10", "9.4", "10.6")] {
            assert_eq!(spread(torque(setting)), (torque(low), torque(high)));
        }
    }

    #[test]
    fn doubts() {
        let day = |text| Day::parse(text).unwrap();
        let wrench = Wrench {
            name: Label::new("the middle one"),
            largest: Some(torque("100 N·m")),
            calibrated: Some(day("2025-06-01")),
        };
        let doubts = |setting, today| wrench.doubts(torque(setting), day(today));
        assert_eq!(doubts("20", "2026-06-02"), []);
        assert_eq!(doubts("19.99", "2026-06-02"), [Doubt::BelowAFifth]);
        assert_eq!(doubts("14 lbf·ft", "2026-06-02"), [Doubt::BelowAFifth]);
        assert_eq!(doubts("100.01", "2026-06-03"), [Doubt::AboveItsScale, Doubt::CalibratedOverAYearAgo]);
        assert_eq!(Wrench::default().doubts(torque("1000"), day("2026-06-03")), []);
    }

    proptest! {
        #[test]
        fn square_changes_nothing_straight_lowers_and_back_raises(
                target in 1_000..400_000_u32, wrench in 100..900_u32, adapter in 10..99_u32, angle in 0..=180_u16) {
            let target = Torque::new(target, TorqueUnit::NewtonMetre).unwrap();
            let lever = lever(&format!("{wrench} mm"), &format!("{adapter} mm"), angle);
            let set = lever.setting(target);
            let stands = set.compare(target);
            prop_assert!(stands.is_eq() || stands == angle.cmp(&90), "{} sets {}", angle, set);
            prop_assert!(angle != 90 || set == target);
            // Half a thousandth of the setting, magnified by the lever, and half of its own.
            let allowed = 1 + lever.whole() / lever.own();
            prop_assert!(u128::from(lever.delivered(set).thousandths().abs_diff(target.thousandths())) <= allowed);
            let expected = f64::from(target.thousandths()) * f64::from(wrench)
                / (f64::from(wrench) + f64::from(adapter) * f64::from(angle).to_radians().cos());
            prop_assert!((f64::from(set.thousandths()) - expected).abs() < 0.51 + expected * 1e-5);
        }
    }
}
