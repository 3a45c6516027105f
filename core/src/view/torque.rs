//! Torque reckoned for a screen, from texts as they are typed.
//!
//! Nothing here is kept, and nothing here has a value of its own: a torque is shown
//! in the other unit, a wrench with an adapter gets its setting, and plain hardware
//! its general guidance, which is called that and comes after every manual.

use thiserror::Error;

use crate::tightening::MANUAL_FIRST;
use crate::tightening::extent::{Extent, NotAnExtent};
use crate::tightening::guidance::{self, LABEL, NoGuidance, Strength, Surface};
use crate::tightening::thread::{NotAThread, System, Thread};
use crate::tightening::torque::{NotATorque, Target, Torque, TorqueUnit};
use crate::tightening::wrench::{HOLD_AT_THE_GRIP, Lever, NoLever, spread};

/// What was reckoned: a figure to read off, and what has to stand beside it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reckoned {
    /// The figure with its unit.
    pub figure: String,
    /// What has to be said with it, a sentence each.
    pub beside: Vec<String>,
}

/// Why nothing was reckoned: which of the texts cannot be read, and what to write instead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NotReckoned {
    /// The torque.
    #[error("torque: {0}")]
    Torque(#[from] NotATorque),
    /// The length of the wrench.
    #[error("wrench, from the drive to the middle of the grip: {0}")]
    Wrench(NotAnExtent),
    /// The length of the adapter.
    #[error("adapter, from the drive to the fastener: {0}")]
    Adapter(NotAnExtent),
    /// The angle between them.
    #[error("angle: write whole degrees, 0 straight on, 90 square, 180 pointing back")]
    Angle,
    /// They make no lever.
    #[error(transparent)]
    Lever(#[from] NoLever),
    /// The thread.
    #[error("thread: {0}")]
    Thread(#[from] NotAThread),
    /// There is no such hardware.
    #[error(transparent)]
    Guidance(#[from] NoGuidance),
}

/// Returns a target both ways: `45 Nm` is 45 N·m (33.2 lbf·ft); a figure alone is in `unit`.
///
/// # Errors
/// Says what to write instead.
pub fn torque_both_ways(text: &str, unit: TorqueUnit) -> Result<Reckoned, NotReckoned> {
    Ok(Reckoned { figure: Target::parse(text, unit)?.to_string(), beside: Vec::new() })
}

/// Returns what to set a wrench to when an adapter stands off its drive.
///
/// # Errors
/// Says which text to write otherwise.
pub fn wrench_setting(
    torque: &str,
    unit: TorqueUnit,
    wrench: &str,
    adapter: &str,
    angle: &str,
) -> Result<Reckoned, NotReckoned> {
    let target = Torque::parse(torque, unit)?;
    let setting = lever(wrench, adapter, angle)?.setting(target).rounded(target.digits().max(3));
    let (low, high) = spread(setting);
    let good = ["A good wrench gives ", &low.rounded(3).to_string(), " to ", &high.rounded(3).to_string()];
    let good = good.concat() + " at that setting (ISO 6789:2003, 4 %, 6 % up to 10 N·m).";
    Ok(Reckoned { figure: setting.both_ways(), beside: vec![HOLD_AT_THE_GRIP.to_owned(), good] })
}

/// Reads a wrench with its adapter; an angle that is not written is straight on.
///
/// # Errors
/// Says which text to write otherwise.
pub(super) fn lever(wrench: &str, adapter: &str, angle: &str) -> Result<Lever, NotReckoned> {
    let angle = match angle.trim().trim_end_matches('°').trim_end() {
        "" => 0,
        degrees => degrees.parse().map_err(|_| NotReckoned::Angle)?,
    };
    let wrench = Extent::parse(wrench).map_err(NotReckoned::Wrench)?;
    let adapter = Extent::parse(adapter).map_err(NotReckoned::Adapter)?;
    Ok(Lever::new(wrench, adapter, angle)?)
}

/// Returns general guidance for plain hardware for which no value is at hand.
///
/// # Errors
/// Says what to write instead, or that there is no such hardware.
pub fn general_guidance(thread: &str, strength: Strength, surface: Surface) -> Result<Reckoned, NotReckoned> {
    let guidance = guidance::offer(None, Thread::parse(thread)?, strength, surface)?;
    Ok(Reckoned { figure: guidance.words(), beside: vec![LABEL.to_owned(), MANUAL_FIRST.to_owned()] })
}

/// Returns the strengths that go with a thread as it is typed; all while it cannot be read.
pub fn strengths_for(thread: &str) -> Vec<Strength> {
    match Thread::parse(thread) {
        Ok(thread) => Strength::of(thread.system()).to_vec(),
        Err(_) => [Strength::of(System::Metric), Strength::of(System::Inch)].concat(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use TorqueUnit::{NewtonMetre, PoundForceFoot};

    #[test]
    fn a_torque_is_told_both_ways() {
        let told = |text| torque_both_ways(text, NewtonMetre).map(|it| it.figure);
        assert_eq!(told("33 ft-lb").as_deref(), Ok("33 lbf·ft (44.7 N·m)"));
        assert_eq!(told("45 ± 5").as_deref(), Ok("45 N·m (33.2 lbf·ft), from 40 to 50 N·m"));
        assert_eq!(told("33 lb").map_err(|it| it.to_string()).unwrap_err().split(':').next(), Some("torque"));
    }

    #[test]
    fn a_wrench_with_an_adapter_gets_its_setting() {
        // TM 9-2350-261-20-1, page 2-29: 40 lbf·ft with 12 in and 4 in are set as 30.
        let reckoned = wrench_setting("40", PoundForceFoot, "12 in", "4 in", "").unwrap();
        assert_eq!(reckoned.figure, "30 lbf·ft (40.7 N·m)");
        assert!(reckoned.beside[0].contains("middle of the grip"));
        assert!(reckoned.beside[1].starts_with("A good wrench gives 28.8 lbf·ft to 31.2 lbf·ft"));
        let wrong = |wrench, adapter, angle| wrench_setting("40", PoundForceFoot, wrench, adapter, angle).unwrap_err();
        assert_eq!(wrong("12", "4 in", ""), NotReckoned::Wrench(NotAnExtent::Unit));
        assert_eq!(wrong("12 in", "", ""), NotReckoned::Adapter(NotAnExtent::Unit));
        assert_eq!(wrong("12 in", "4 in", "square"), NotReckoned::Angle);
        assert_eq!(wrong("12 in", "4 in", "181°"), NotReckoned::Lever(NoLever::Angle));
    }

    #[test]
    fn guidance_is_called_guidance_and_comes_after_the_manual() {
        let reckoned = general_guidance("M8", Strength::Class8_8, Surface::Plain).unwrap();
        assert!(reckoned.figure.starts_with("about "));
        assert!(reckoned.beside[0].starts_with("General guidance, not a maker's value."));
        assert_eq!(reckoned.beside[1], MANUAL_FIRST);
        assert!(general_guidance("M8", Strength::Grade5, Surface::Plain).is_err());
        assert_eq!(strengths_for("3/8-16"), Strength::of(System::Inch));
        assert_eq!(strengths_for("M"), [Strength::of(System::Metric), Strength::of(System::Inch)].concat());
    }
}
