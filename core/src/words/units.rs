//! In which unit a reader is told what was read in another.

use crate::event::Measures;
use crate::reading::unit::Unit;

/// Returns the unit of the chosen system for what was read in another; what is at home in
/// both, as volts, knots and bar of a European gauge, stays.
pub(crate) fn unit_for(measures: Measures, read: Unit) -> Unit {
    match (measures, read) {
        (Measures::Metric, Unit::Psi) => Unit::Bar,
        (Measures::Metric, Unit::InchMercury) => Unit::Kilopascal,
        (Measures::Metric, Unit::Fahrenheit) => Unit::Celsius,
        (Measures::Metric, Unit::Inch) => Unit::Centimetre,
        (Measures::Metric, Unit::Foot) => Unit::Metre,
        (Measures::Metric, Unit::Mile) => Unit::Kilometre,
        (Measures::Metric, Unit::MileHour) => Unit::KilometreHour,
        (Measures::Metric, Unit::UsGallon | Unit::UsQuart | Unit::ImperialGallon) => Unit::Litre,
        (Measures::Metric, Unit::UsFluidOunce | Unit::ImperialFluidOunce) => Unit::Millilitre,
        (Measures::Metric, Unit::UsGallonHour | Unit::ImperialGallonHour) => Unit::LitreHour,
        (Measures::Metric, Unit::Pound) => Unit::Kilogram,
        (Measures::Metric, Unit::Horsepower) => Unit::Kilowatt,
        (Measures::Us, Unit::Kilopascal | Unit::Bar | Unit::Megapascal | Unit::KilogramForceSquareCentimetre) => {
            Unit::Psi
        }
        (Measures::Us, Unit::Celsius) => Unit::Fahrenheit,
        (Measures::Us, Unit::Millimetre | Unit::Centimetre) => Unit::Inch,
        (Measures::Us, Unit::Metre) => Unit::Foot,
        (Measures::Us, Unit::Kilometre) => Unit::Mile,
        (Measures::Us, Unit::KilometreHour) => Unit::MileHour,
        (Measures::Us, Unit::Litre | Unit::ImperialGallon) => Unit::UsGallon,
        (Measures::Us, Unit::Millilitre | Unit::ImperialFluidOunce) => Unit::UsFluidOunce,
        (Measures::Us, Unit::LitreHour | Unit::ImperialGallonHour) => Unit::UsGallonHour,
        (Measures::Us, Unit::Kilogram) => Unit::Pound,
        (Measures::Us, Unit::Kilowatt | Unit::MetricHorsepower) => Unit::Horsepower,
        _ => read,
    }
}
