//! The units of one quantity, the one that is usual on the water first.

use crate::reading::unit::Unit::{self, *};

pub(in crate::reading) const PRESSURE: &[Unit] = &[Psi, Kilopascal, Bar, KilogramForceSquareCentimetre, Megapascal];
pub(in crate::reading) const HOLD: &[Unit] = &[Psi, Kilopascal, Bar, InchMercury];
pub(in crate::reading) const VOLTAGE: &[Unit] = &[Volt, Millivolt];
pub(in crate::reading) const CURRENT: &[Unit] = &[Ampere, Milliampere];
pub(in crate::reading) const DRAW: &[Unit] = &[Milliampere, Ampere];
pub(in crate::reading) const AMPERE: &[Unit] = &[Ampere];
pub(in crate::reading) const CHARGE: &[Unit] = &[AmpereHour];
pub(in crate::reading) const RESISTANCE: &[Unit] = &[Megohm, Kilohm, Ohm];
pub(in crate::reading) const TEMPERATURE: &[Unit] = &[Celsius, Fahrenheit];
pub(in crate::reading) const LENGTH: &[Unit] = &[Metre, Foot];
pub(in crate::reading) const PITCH: &[Unit] = &[Inch, Millimetre, Centimetre, Metre];
pub(in crate::reading) const DISTANCE: &[Unit] = &[NauticalMile, Mile, Kilometre];
pub(in crate::reading) const SPEED: &[Unit] = &[Knot, MileHour, KilometreHour];
pub(in crate::reading) const TURNING: &[Unit] = &[TurnMinute];
pub(in crate::reading) const TIME: &[Unit] = &[Minute, Second, Hour];
pub(in crate::reading) const HOURS: &[Unit] = &[Hour];
pub(in crate::reading) const VOLUME: &[Unit] = &[Litre, UsGallon, ImperialGallon, UsQuart, Millilitre];
pub(in crate::reading) const FLOW: &[Unit] = &[LitreHour, UsGallonHour, ImperialGallonHour];
pub(in crate::reading) const MASS: &[Unit] = &[Kilogram, Pound];
pub(in crate::reading) const POWER: &[Unit] = &[Kilowatt, Horsepower, MetricHorsepower];
pub(in crate::reading) const DEGREE: &[Unit] = &[Degree];
pub(in crate::reading) const PERCENT: &[Unit] = &[Percent];
pub(in crate::reading) const NUMBER: &[Unit] = &[Number];
