//! A torque for plain hardware when no value is at hand: T = K · d · F.
//!
//! F is three quarters of the proof load, the usual preload of a joint that is
//! opened again, and K says how the threads rub. Both are estimates, so the
//! result has two digits, is called general guidance, and is offered only while
//! no value is entered. It is never a maker's value and never for a named joint.
//!
//! Proof stress: ISO 898-1:2013 (seen in published copies, also as proof loads)
//! and SAE J429 (seen in a fastener dealer's copy). K: several published tables,
//! which agree within the spans given here.

use super::figure;
use super::thread::{System, Thread};
use super::torque::{Entered, Torque, TorqueUnit};
use thiserror::Error;

/// What has to stand beside every figure of this module.
pub const LABEL: &str = "General guidance, not a maker's value. For plain steel hardware only: not for stainless, \
     aluminium or plastic threads, nor for a joint that the service manual names.";

/// How much of the proof load a screw is tightened to, in percent (common practice).
const PRELOAD: u32 = 75;

/// The strength that is marked on a screw's head.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Strength {
    /// ISO property class 4.6.
    Class4_6,
    /// ISO property class 4.8.
    Class4_8,
    /// ISO property class 5.6.
    Class5_6,
    /// ISO property class 5.8.
    Class5_8,
    /// ISO property class 6.8.
    Class6_8,
    /// ISO property class 8.8.
    Class8_8,
    /// ISO property class 9.8.
    Class9_8,
    /// ISO property class 10.9.
    Class10_9,
    /// ISO property class 12.9.
    Class12_9,
    /// SAE grade 2, no mark.
    Grade2,
    /// SAE grade 5, three lines.
    Grade5,
    /// SAE grade 8, six lines.
    Grade8,
}

impl Strength {
    /// Returns those that go with a system's threads, weakest first.
    pub const fn of(system: System) -> &'static [Strength] {
        use Strength::*;
        match system {
            System::Metric => {
                &[Class4_6, Class4_8, Class5_6, Class5_8, Class6_8, Class8_8, Class9_8, Class10_9, Class12_9]
            }
            System::Inch => &[Grade2, Grade5, Grade8],
        }
    }

    /// Reads the mark, `8.8` or `grade 5`.
    pub fn parse(mark: &str) -> Option<Self> {
        let all = [System::Metric, System::Inch].into_iter().flat_map(Strength::of);
        all.copied().find(|it| it.sign() == mark)
    }

    /// Returns the mark in words.
    pub const fn sign(self) -> &'static str {
        match self {
            Strength::Class4_6 => "4.6",
            Strength::Class4_8 => "4.8",
            Strength::Class5_6 => "5.6",
            Strength::Class5_8 => "5.8",
            Strength::Class6_8 => "6.8",
            Strength::Class8_8 => "8.8",
            Strength::Class9_8 => "9.8",
            Strength::Class10_9 => "10.9",
            Strength::Class12_9 => "12.9",
            Strength::Grade2 => "grade 2",
            Strength::Grade5 => "grade 5",
            Strength::Grade8 => "grade 8",
        }
    }

    /// Returns the proof stress of a thread in kilopascals.
    fn proof(self, thread: Thread) -> Result<u32, NoGuidance> {
        if !Strength::of(thread.system()).contains(&self) {
            return Err(NoGuidance::OtherSystem);
        }
        let small = thread.diameter() <= 16;
        Ok(match self {
            // ISO 898-1:2013, nominal stress under proof load.
            Strength::Class4_6 => 225_000,
            Strength::Class4_8 => 310_000,
            Strength::Class5_6 => 280_000,
            Strength::Class5_8 => 380_000,
            Strength::Class6_8 => 440_000,
            Strength::Class8_8 if small => 580_000,
            Strength::Class8_8 => 600_000,
            Strength::Class9_8 if small => 650_000,
            Strength::Class9_8 => return Err(NoGuidance::NotThatLarge),
            Strength::Class10_9 => 830_000,
            Strength::Class12_9 => 970_000,
            // SAE J429: 55,000, 85,000 and 120,000 psi for the sizes that are listed.
            Strength::Grade2 => 379_212,
            Strength::Grade5 => 586_054,
            Strength::Grade8 => 827_371,
        })
    }
}

/// How the threads and the head rub.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Surface {
    /// Plain steel as it came.
    Plain,
    /// Zinc plated, dry.
    ZincPlated,
    /// Oiled.
    Oiled,
    /// With anti-seize.
    AntiSeize,
    /// Waxed.
    Waxed,
}

impl Surface {
    /// All, in the order in which they are offered.
    pub const ALL: [Surface; 5] =
        [Surface::Plain, Surface::ZincPlated, Surface::Oiled, Surface::AntiSeize, Surface::Waxed];

    /// Returns the surface in words.
    pub const fn words(self) -> &'static str {
        match self {
            Surface::Plain => "plain, as received",
            Surface::ZincPlated => "zinc plated, dry",
            Surface::Oiled => "oiled",
            Surface::AntiSeize => "anti-seize",
            Surface::Waxed => "waxed",
        }
    }

    /// Returns the least and the largest K that published tables give, in hundredths.
    const fn friction(self) -> (u32, u32) {
        match self {
            Surface::Plain => (20, 20),
            Surface::ZincPlated => (22, 22),
            Surface::Oiled => (15, 18),
            Surface::AntiSeize => (12, 16),
            Surface::Waxed => (10, 10),
        }
    }
}

/// Why no guidance is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NoGuidance {
    /// There is a value.
    #[error("a value is entered for this: use it")]
    ValueEntered,
    /// An ISO class on an inch thread, or an SAE grade on a metric one.
    #[error("classes such as 8.8 go with metric threads, grades such as 5 with inch threads")]
    OtherSystem,
    /// The class does not exist in this size.
    #[error("class 9.8 goes up to M16 only: look at the mark again")]
    NotThatLarge,
}

/// A torque for plain hardware, as a span where the friction is one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Guidance {
    /// The lower end, with two digits.
    pub low: Torque,
    /// The upper end, with two digits.
    pub high: Torque,
}

impl Guidance {
    /// Returns so many percent of it, for a pass.
    pub fn share(&self, percent: u8) -> Self {
        let part = |torque: Torque| torque.times(percent.into(), 100);
        Self { low: part(self.low), high: part(self.high) }
    }

    /// Returns both ends in a unit, each with two digits.
    pub fn span(&self, unit: TorqueUnit) -> (String, String) {
        let figure = |torque: Torque| figure::significant(torque.to(unit).thousandths().into(), 1_000, 2);
        (figure(self.low), figure(self.high))
    }

    /// Returns the unit beside its own.
    pub const fn other_unit(&self) -> TorqueUnit {
        match self.low.unit() {
            TorqueUnit::NewtonMetre => TorqueUnit::PoundForceFoot,
            _ => TorqueUnit::NewtonMetre,
        }
    }

    /// Returns the figure in words, `about 25 N·m (18 lbf·ft)`; [`LABEL`] goes with it.
    pub fn words(&self) -> String {
        let other = self.other_unit();
        let span = |unit| {
            let (low, high) = self.span(unit);
            if low == high { low } else { low + " to " + &high }
        };
        let mut told = "about ".to_owned();
        for piece in [&span(self.low.unit()), " ", self.low.unit().sign(), " (", &span(other), " ", other.sign(), ")"] {
            told.push_str(piece);
        }
        told
    }
}

/// Returns general guidance for a thread, unless a value is entered.
///
/// # Errors
/// When there is a value, or no such hardware.
pub fn offer(
    entered: Option<&Entered>,
    thread: Thread,
    strength: Strength,
    surface: Surface,
) -> Result<Guidance, NoGuidance> {
    if entered.is_some() {
        return Err(NoGuidance::ValueEntered);
    }
    let stress = strength.proof(thread)? * PRELOAD / 100;
    let unit = match thread.system() {
        System::Metric => TorqueUnit::NewtonMetre,
        System::Inch => TorqueUnit::PoundForceFoot,
    };
    let rough = |friction| {
        let torque = newton_metres(friction, thread, stress).to(unit);
        torque.times(two_digits(torque.thousandths()).into(), torque.thousandths().into())
    };
    let (least, largest) = surface.friction();
    Ok(Guidance { low: rough(least), high: rough(largest) })
}

/// T = K · d · F with K in hundredths and the stress in kilopascals.
fn newton_metres(friction: u32, thread: Thread, stress: u32) -> Torque {
    let force = u128::from(stress) * u128::from(thread.stress_area()); // micronewtons
    let lever = u128::from(friction) * u128::from(thread.nanometres()); // hundredths of a nanometre
    let thousandths = figure::nearest(force * lever, 10_u128.pow(14));
    // The smallest listed hardware is far above a thousandth, the largest far below the end.
    Torque::ONE_NEWTON_METRE.times(thousandths, 1_000)
}

/// Returns thousandths with two digits that say something.
fn two_digits(thousandths: u32) -> u32 {
    let step = 10_u32.pow(thousandths.max(10).ilog10() - 1);
    u32::try_from(figure::nearest(thousandths.into(), step.into())).unwrap_or(u32::MAX).saturating_mul(step)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tightening::torque::{Source, Target};

    fn thread(text: &str) -> Thread {
        Thread::parse(text).unwrap()
    }

    #[test]
    fn proof_loads_of_iso_898_1() {
        // Nominal stress areas (mm² × 100) and proof loads (N) of EN ISO 898-1, seen in a fastener
        // dealer's copy. It tells three digits and rounds them up or down.
        let classes = Strength::of(System::Metric);
        for (name, area, loads) in [
            ("M5", 1_420, [3_200_u32, 4_400, 3_980, 5_400, 6_250, 8_230, 9_230, 11_800, 13_800]),
            ("M6", 2_010, [4_520, 6_230, 5_630, 7_640, 8_840, 11_600, 13_100, 16_700, 19_500]),
            ("M8", 3_660, [8_240, 11_400, 10_200, 13_900, 16_100, 21_200, 23_800, 30_400, 35_500]),
            ("M10", 5_800, [13_000, 18_000, 16_200, 22_000, 25_500, 33_700, 37_700, 48_100, 56_300]),
            ("M12", 8_430, [19_000, 26_100, 23_600, 32_000, 37_100, 48_900, 54_800, 70_000, 81_800]),
            ("M14", 11_500, [25_900, 35_600, 32_200, 43_700, 50_600, 66_700, 74_800, 95_500, 112_000]),
            ("M16", 15_700, [35_300, 48_700, 44_000, 59_700, 69_100, 91_000, 102_000, 130_000, 152_000]),
            ("M20", 24_500, [55_100, 76_000, 68_600, 93_100, 108_000, 147_000, 0, 203_000, 238_000]),
            ("M24", 35_300, [79_400, 109_000, 98_800, 134_000, 155_000, 212_000, 0, 293_000, 342_000]),
        ] {
            for (class, load) in classes.iter().zip(loads.map(u64::from)) {
                let Ok(proof) = class.proof(thread(name)) else {
                    assert_eq!(load, 0, "{name} {}", class.sign());
                    continue;
                };
                let found = u64::from(proof) * area / 100_000;
                let third_digit = 10_u64.pow(load.ilog10() - 2);
                assert!(found.abs_diff(load) <= third_digit, "{name} {}: {found} against {load}", class.sign());
            }
        }
    }

    #[test]
    fn proof_stress_of_sae_j429() {
        // 55,000, 85,000 and 120,000 psi; 1 psi is 6.894 757 kPa (NIST SP 811, B.8).
        for (grade, psi) in [(Strength::Grade2, 55_000), (Strength::Grade5, 85_000), (Strength::Grade8, 120_000)] {
            let expected = figure::nearest(psi * 6_894_757, 1_000_000);
            assert_eq!(grade.proof(thread("1/2")).map(u128::from), Ok(expected), "{}", grade.sign());
        }
    }

    #[test]
    fn published_examples_of_the_short_form() {
        let kilopascals = |psi: u128| u32::try_from(figure::nearest(psi * 6_894_757, 1_000_000)).unwrap();
        let newton = |friction, name, stress| newton_metres(friction, thread(name), stress);
        // M12 8.8 at 70 % of 580 MPa, K 0.20: 82.1 N·m (a calculator's page).
        assert_eq!(figure::significant(newton(20, "M12", 406_000).thousandths().into(), 1_000, 3), "82.1");
        // A safety guide's table in lbf·ft, at 75 % of yield, plain and zinc plated.
        for (name, psi, plain, zinc) in [
            ("1/2-13", 69_000, 82, 90),
            ("3/8-16", 69_000, 33, 37),
            ("5/8-11", 98_000, 231, 254),
            ("1/4-20", 43_000, 6, 6),
        ] {
            for (friction, expected) in [(20, plain), (22, zinc)] {
                let found = newton(friction, name, kilopascals(psi)).to(TorqueUnit::PoundForceFoot);
                assert_eq!(figure::nearest(found.thousandths().into(), 1_000), expected, "{name} K {friction}");
            }
        }
        // 8.8 at 75 % of proof, K 0.20, worked from the tabulated areas.
        for (name, expected) in [("M6", 10_490), ("M8", 25_470), ("M10", 50_460), ("M12", 88_010)] {
            let found = newton(20, name, 435_000).thousandths();
            assert!(found.abs_diff(expected) * 500 <= expected, "{name}: {found}");
        }
    }

    #[test]
    fn offered_roughly() {
        let told = |name, strength, surface| offer(None, thread(name), strength, surface).map(|it| it.words());
        for (name, strength, surface, expected) in [
            ("M8", Strength::Class8_8, Surface::Plain, "about 25 N·m (18 lbf·ft)"),
            ("M8", Strength::Class8_8, Surface::Oiled, "about 19 to 23 N·m (14 to 17 lbf·ft)"),
            ("M10x1.25", Strength::Class10_9, Surface::AntiSeize, "about 46 to 61 N·m (34 to 45 lbf·ft)"),
            ("M24", Strength::Class12_9, Surface::ZincPlated, "about 1400 N·m (1033 lbf·ft)"),
            ("M4", Strength::Class4_6, Surface::Waxed, "about 0.59 N·m (0.44 lbf·ft)"),
            ("1/2", Strength::Grade5, Surface::Plain, "about 75 lbf·ft (102 N·m)"),
        ] {
            assert_eq!(told(name, strength, surface).as_deref(), Ok(expected), "{name}");
        }
    }

    #[test]
    fn refusals() {
        let target = Target::parse("20", TorqueUnit::NewtonMetre).unwrap();
        let entered = Entered { target, source: Source::default() };
        let with = |entered, name, strength| offer(entered, thread(name), strength, Surface::Plain);
        assert_eq!(with(Some(&entered), "M8", Strength::Class8_8), Err(NoGuidance::ValueEntered));
        assert_eq!(with(None, "M8", Strength::Grade5), Err(NoGuidance::OtherSystem));
        assert_eq!(with(None, "1/2", Strength::Class8_8), Err(NoGuidance::OtherSystem));
        assert_eq!(with(None, "M18", Strength::Class9_8), Err(NoGuidance::NotThatLarge));
    }

    #[test]
    fn every_listed_fastener_has_guidance_that_rises_with_strength() {
        for system in [System::Metric, System::Inch] {
            for thread in Thread::all(system) {
                for surface in Surface::ALL {
                    let offers = Strength::of(system).iter().filter_map(|it| offer(None, thread, *it, surface).ok());
                    let offers: Vec<_> = offers.collect();
                    assert!(offers.len() >= 3 && offers.iter().all(|it| it.low.compare(it.high).is_le()));
                    let strongest = offers.last().unwrap();
                    assert!(offers.iter().all(|it| it.high.compare(strongest.high).is_le()), "{thread}");
                }
            }
        }
    }
}
