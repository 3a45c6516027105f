//! Units of what is measured, each with its exact ratio to the unit of its quantity.
//!
//! An amount is a whole number of millionths of that unit: of the SI's own (pascal,
//! volt, ampere, metre, metre a second, kilogram, watt, ohm, second) or of one that
//! is used with it (litre, degree Celsius, ampere hour, turns a minute, degree of
//! an angle, percent). So it equals itself on every machine.
//!
//! Factors: NIST SP 811 (2008), appendix B.8; gallon, quart and fluid ounce also
//! NIST Handbook 44 (2014), appendix C. Exact but for the conventional inch of mercury,
//! which is so by convention. The tests hold every factor against the uom crate.

use super::closed::closed;
use crate::tightening::figure::nearest;

closed! {
    /// A unit in which something is typed; its words are its sign.
    Unit {
        Psi = "psi", "psi";
        Kilopascal = "kilopascal", "kPa";
        Bar = "bar", "bar";
        Megapascal = "megapascal", "MPa";
        KilogramForceSquareCentimetre = "kilogram-force-square-centimetre", "kgf/cm²";
        InchMercury = "inch-mercury", "inHg";
        Volt = "volt", "V";
        Millivolt = "millivolt", "mV";
        Ampere = "ampere", "A";
        Milliampere = "milliampere", "mA";
        AmpereHour = "ampere-hour", "Ah";
        Ohm = "ohm", "Ω";
        Kilohm = "kilohm", "kΩ";
        Megohm = "megohm", "MΩ";
        Celsius = "celsius", "°C";
        Fahrenheit = "fahrenheit", "°F";
        Millimetre = "millimetre", "mm";
        Centimetre = "centimetre", "cm";
        Metre = "metre", "m";
        Inch = "inch", "in";
        Foot = "foot", "ft";
        Kilometre = "kilometre", "km";
        Mile = "mile", "mi";
        NauticalMile = "nautical-mile", "nmi";
        Knot = "knot", "kn";
        MileHour = "mile-hour", "mph";
        KilometreHour = "kilometre-hour", "km/h";
        TurnMinute = "turn-minute", "rpm";
        Second = "second", "s";
        Minute = "minute", "min";
        Hour = "hour", "h";
        Litre = "litre", "L";
        Millilitre = "millilitre", "mL";
        UsGallon = "us-gallon", "US gal";
        UsQuart = "us-quart", "US qt";
        UsFluidOunce = "us-fluid-ounce", "US fl oz";
        ImperialGallon = "imperial-gallon", "imp gal";
        ImperialFluidOunce = "imperial-fluid-ounce", "imp fl oz";
        LitreHour = "litre-hour", "L/h";
        UsGallonHour = "us-gallon-hour", "US gal/h";
        ImperialGallonHour = "imperial-gallon-hour", "imp gal/h";
        Kilogram = "kilogram", "kg";
        Pound = "pound", "lb";
        Kilowatt = "kilowatt", "kW";
        Horsepower = "horsepower", "hp";
        MetricHorsepower = "metric-horsepower", "PS";
        Degree = "degree", "°";
        Percent = "percent", "%";
        Number = "number", "";
    }
}

/// What a unit measures; only units of one quantity can stand for each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// In pascals.
    Pressure,
    /// In volts.
    Voltage,
    /// In amperes.
    Current,
    /// In ampere hours.
    Charge,
    /// In ohms.
    Resistance,
    /// In degrees Celsius.
    Temperature,
    /// In metres.
    Length,
    /// In metres a second.
    Speed,
    /// In turns a minute.
    Turning,
    /// In seconds.
    Time,
    /// In litres.
    Volume,
    /// In litres an hour.
    Flow,
    /// In kilograms.
    Mass,
    /// In watts.
    Power,
    /// In degrees.
    Angle,
    /// In percent.
    Share,
    /// Without a unit.
    Number,
}

/// The largest amount, in millionths: far above anything that is measured on a boat, and
/// so far below what whole numbers hold that two of them can be multiplied.
pub const LARGEST: i64 = 100_000_000_000_000_000;

/// Absolute zero in millionths of a degree Celsius.
pub const ABSOLUTE_ZERO: i64 = -273_150_000;

impl Unit {
    /// Returns what the unit measures.
    pub const fn quantity(self) -> Quantity {
        use Unit::*;
        match self {
            Psi | Kilopascal | Bar | Megapascal | KilogramForceSquareCentimetre | InchMercury => Quantity::Pressure,
            Volt | Millivolt => Quantity::Voltage,
            Ampere | Milliampere => Quantity::Current,
            AmpereHour => Quantity::Charge,
            Ohm | Kilohm | Megohm => Quantity::Resistance,
            Celsius | Fahrenheit => Quantity::Temperature,
            Millimetre | Centimetre | Metre | Inch | Foot | Kilometre | Mile | NauticalMile => Quantity::Length,
            Knot | MileHour | KilometreHour => Quantity::Speed,
            TurnMinute => Quantity::Turning,
            Second | Minute | Hour => Quantity::Time,
            Litre | Millilitre | UsGallon | UsQuart | UsFluidOunce | ImperialGallon | ImperialFluidOunce => {
                Quantity::Volume
            }
            LitreHour | UsGallonHour | ImperialGallonHour => Quantity::Flow,
            Kilogram | Pound => Quantity::Mass,
            Kilowatt | Horsepower | MetricHorsepower => Quantity::Power,
            Degree => Quantity::Angle,
            Percent => Quantity::Share,
            Number => Quantity::Number,
        }
    }

    /// Returns how many millionths of its quantity's unit one of this is, as a ratio.
    const fn exact(self) -> (i128, i128) {
        use Unit::*;
        match self {
            // A pound-force is 4.448 221 615 260 5 N, a square inch 0.000 645 16 m².
            Psi => (444_822_161_526_050, 64_516),
            Bar => (100_000_000_000, 1),
            KilogramForceSquareCentimetre => (98_066_500_000, 1),
            InchMercury => (3_386_389_000, 1),
            Kilopascal | Kilohm | Kilowatt | Kilometre => (1_000_000_000, 1),
            Megapascal | Megohm => (1_000_000_000_000, 1),
            Millivolt | Milliampere | Millimetre | Millilitre => (1_000, 1),
            Fahrenheit => (5_000_000, 9),
            Centimetre => (10_000, 1),
            Inch => (25_400, 1),
            Foot => (304_800, 1),
            Mile => (1_609_344_000, 1),
            NauticalMile => (1_852_000_000, 1),
            Knot => (1_852_000_000, 3_600),
            MileHour => (447_040, 1),
            KilometreHour => (10_000_000, 36),
            Minute => (60_000_000, 1),
            Hour => (3_600_000_000, 1),
            UsGallon | UsGallonHour => (3_785_411_784, 1_000),
            UsQuart => (946_352_946, 1_000),
            UsFluidOunce => (295_735_295_625, 10_000_000),
            ImperialGallon | ImperialGallonHour => (4_546_090, 1),
            ImperialFluidOunce => (284_130_625, 10_000),
            Pound => (45_359_237, 100),
            Horsepower => (74_569_987_158_227_022, 100_000_000),
            MetricHorsepower => (735_498_750, 1),
            Volt | Ampere | AmpereHour | Ohm | Celsius | Metre | TurnMinute | Second | Litre | LitreHour | Kilogram
            | Degree | Percent | Number => (1_000_000, 1),
        }
    }

    /// Where the unit's nothing lies, in units.
    const fn nothing(self) -> i128 {
        if matches!(self, Unit::Fahrenheit) { 32 } else { 0 }
    }

    /// Returns `scaled / 10^places` of this unit in millionths of its quantity's unit.
    pub fn amount(self, scaled: i64, places: u8) -> i64 {
        let (above, below) = self.exact();
        let shift = 10_i128.pow(places.into());
        rounded((i128::from(scaled) - self.nothing() * shift) * above, below * shift)
    }

    /// Returns an amount in this unit, in units of the last of so many decimals.
    pub fn scaled(self, amount: i64, places: u8) -> i64 {
        let (above, below) = self.exact();
        let shift = 10_i128.pow(places.into());
        rounded(i128::from(amount) * below * shift + self.nothing() * shift * above, above)
    }

    /// Returns an amount in this unit with so many decimals and the unit's sign, `12.45 V`.
    pub fn told(self, amount: i64, places: u8) -> String {
        let mut told = decimal(self.scaled(amount, places), places);
        if !self.words().is_empty() {
            told.push_str(if matches!(self, Unit::Degree) { "" } else { " " });
            told.push_str(self.words());
        }
        told
    }
}

/// Returns a whole number of hundredths, thousandths … with its point, `-0.05`.
pub fn decimal(scaled: i64, places: u8) -> String {
    let mut digits = scaled.unsigned_abs().to_string();
    let places = usize::from(places);
    while digits.len() <= places {
        digits.insert(0, '0');
    }
    if places > 0 {
        digits.insert(digits.len() - places, '.');
    }
    if scaled < 0 {
        digits.insert(0, '-');
    }
    digits
}

/// Returns `above / below`, half to even, held within [`LARGEST`]; `below` is above 0.
pub(super) fn rounded(above: i128, below: i128) -> i64 {
    let nearest = nearest(above.unsigned_abs(), below.unsigned_abs());
    let held = i64::try_from(nearest).unwrap_or(LARGEST).min(LARGEST);
    if above < 0 { -held } else { held }
}

#[cfg(test)]
mod tests {
    use super::Unit::*;
    use super::*;
    use proptest::prelude::*;
    use uom::si::f64 as si;

    /// What the uom crate makes of one of each unit, in the unit of its quantity; of none
    /// degree for temperatures.
    fn oracle(unit: Unit) -> Option<f64> {
        use uom::si;
        Some(match unit {
            Psi => si::f64::Pressure::new::<si::pressure::psi>(1.0).get::<si::pressure::pascal>(),
            Kilopascal => si::f64::Pressure::new::<si::pressure::kilopascal>(1.0).get::<si::pressure::pascal>(),
            Bar => si::f64::Pressure::new::<si::pressure::bar>(1.0).get::<si::pressure::pascal>(),
            Megapascal => si::f64::Pressure::new::<si::pressure::megapascal>(1.0).get::<si::pressure::pascal>(),
            KilogramForceSquareCentimetre => {
                si::f64::Pressure::new::<si::pressure::kilogram_force_per_square_centimeter>(1.0)
                    .get::<si::pressure::pascal>()
            }
            InchMercury => si::f64::Pressure::new::<si::pressure::inch_of_mercury>(1.0).get::<si::pressure::pascal>(),
            Millivolt => {
                type Volts = si::f64::ElectricPotential;
                Volts::new::<si::electric_potential::millivolt>(1.0).get::<si::electric_potential::volt>()
            }
            Milliampere => {
                type Amperes = si::f64::ElectricCurrent;
                Amperes::new::<si::electric_current::milliampere>(1.0).get::<si::electric_current::ampere>()
            }
            Kilohm => {
                type Ohms = si::f64::ElectricalResistance;
                Ohms::new::<si::electrical_resistance::kiloohm>(1.0).get::<si::electrical_resistance::ohm>()
            }
            Megohm => {
                type Ohms = si::f64::ElectricalResistance;
                Ohms::new::<si::electrical_resistance::megaohm>(1.0).get::<si::electrical_resistance::ohm>()
            }
            Millimetre => si::f64::Length::new::<si::length::millimeter>(1.0).get::<si::length::meter>(),
            Centimetre => si::f64::Length::new::<si::length::centimeter>(1.0).get::<si::length::meter>(),
            Inch => si::f64::Length::new::<si::length::inch>(1.0).get::<si::length::meter>(),
            Foot => si::f64::Length::new::<si::length::foot>(1.0).get::<si::length::meter>(),
            Kilometre => si::f64::Length::new::<si::length::kilometer>(1.0).get::<si::length::meter>(),
            Mile => si::f64::Length::new::<si::length::mile>(1.0).get::<si::length::meter>(),
            NauticalMile => si::f64::Length::new::<si::length::nautical_mile>(1.0).get::<si::length::meter>(),
            Knot => si::f64::Velocity::new::<si::velocity::knot>(1.0).get::<si::velocity::meter_per_second>(),
            MileHour => {
                si::f64::Velocity::new::<si::velocity::mile_per_hour>(1.0).get::<si::velocity::meter_per_second>()
            }
            KilometreHour => {
                si::f64::Velocity::new::<si::velocity::kilometer_per_hour>(1.0).get::<si::velocity::meter_per_second>()
            }
            Minute => si::f64::Time::new::<si::time::minute>(1.0).get::<si::time::second>(),
            Hour => si::f64::Time::new::<si::time::hour>(1.0).get::<si::time::second>(),
            Millilitre => si::f64::Volume::new::<si::volume::milliliter>(1.0).get::<si::volume::liter>(),
            UsGallon | UsGallonHour => si::f64::Volume::new::<si::volume::gallon>(1.0).get::<si::volume::liter>(),
            UsQuart => si::f64::Volume::new::<si::volume::quart_liquid>(1.0).get::<si::volume::liter>(),
            UsFluidOunce => si::f64::Volume::new::<si::volume::fluid_ounce>(1.0).get::<si::volume::liter>(),
            ImperialGallon | ImperialGallonHour => {
                si::f64::Volume::new::<si::volume::gallon_imperial>(1.0).get::<si::volume::liter>()
            }
            ImperialFluidOunce => {
                si::f64::Volume::new::<si::volume::fluid_ounce_imperial>(1.0).get::<si::volume::liter>()
            }
            Pound => si::f64::Mass::new::<si::mass::pound>(1.0).get::<si::mass::kilogram>(),
            Kilowatt => si::f64::Power::new::<si::power::kilowatt>(1.0).get::<si::power::watt>(),
            Horsepower => si::f64::Power::new::<si::power::horsepower>(1.0).get::<si::power::watt>(),
            MetricHorsepower => si::f64::Power::new::<si::power::horsepower_metric>(1.0).get::<si::power::watt>(),
            Fahrenheit => fahrenheit(1.0),
            Volt | Ampere | AmpereHour | Ohm | Celsius | Metre | TurnMinute | Second | Litre | LitreHour | Kilogram
            | Degree | Percent | Number => return None,
        })
    }

    fn fahrenheit(degrees: f64) -> f64 {
        use uom::si::thermodynamic_temperature::{degree_celsius, degree_fahrenheit};
        si::ThermodynamicTemperature::new::<degree_fahrenheit>(degrees).get::<degree_celsius>()
    }

    #[test]
    fn factors_are_those_of_an_independent_library() {
        for &unit in Unit::ALL {
            let expected = oracle(unit).unwrap_or(1.0);
            let ours = unit.amount(1, 0) as f64 / 1e6;
            // uom gives the inch of mercury to six digits, and the imperial ounce to seven.
            let tolerance = expected.abs() * 2e-6 + 0.51e-6;
            assert!((ours - expected).abs() <= tolerance, "{}: {ours} and {expected}", unit.slug());
        }
    }

    #[test]
    fn factors_of_sp_811_b_8() {
        // The printed factors, to the digits that a millionth of the unit holds.
        for (unit, printed) in [
            (Psi, 6_894_757_293),
            (InchMercury, 3_386_389_000),
            (KilogramForceSquareCentimetre, 98_066_500_000),
            (Knot, 514_444),
            (MileHour, 447_040),
            (UsGallon, 3_785_412),
            (UsQuart, 946_353),
            (UsFluidOunce, 29_574),
            (Pound, 453_592),
            (Horsepower, 745_699_872),
            (MetricHorsepower, 735_498_750),
        ] {
            assert_eq!(unit.amount(1, 0), printed, "{}", unit.slug());
        }
    }

    #[test]
    fn values_worked_from_the_same_factors() {
        let told = |from: Unit, scaled, to: Unit, places| to.told(from.amount(scaled, 0), places);
        assert_eq!(told(Bar, 1, Psi, 6), "14.503774 psi");
        assert_eq!(told(Kilowatt, 1, Horsepower, 6), "1.341022 hp");
        assert_eq!(told(Kilowatt, 1, MetricHorsepower, 6), "1.359622 PS");
        assert_eq!(told(Knot, 100, MileHour, 3), "115.078 mph");
        assert_eq!(told(InchMercury, 5, Kilopascal, 3), "16.932 kPa");
        assert_eq!(told(Psi, 10, Kilopascal, 2), "68.95 kPa");
        assert_eq!(told(InchMercury, 16, Kilopascal, 2), "54.18 kPa");
        assert_eq!(told(Fahrenheit, -40, Celsius, 1), "-40.0 °C");
        assert_eq!(told(Fahrenheit, 212, Celsius, 1), "100.0 °C");
        assert_eq!(told(Celsius, -18, Fahrenheit, 1), "-0.4 °F");
        assert_eq!(told(UsGallon, 1, UsFluidOunce, 3), "128.000 US fl oz");
    }

    #[test]
    fn words_and_slugs_are_each_used_once() {
        for (at, unit) in Unit::ALL.iter().enumerate() {
            assert_eq!(Unit::parse(unit.slug()), Some(*unit));
            assert!(Unit::ALL[..at].iter().all(|it| it.words() != unit.words()), "{}", unit.words());
        }
        assert_eq!(decimal(-5, 2), "-0.05");
    }

    proptest! {
        #[test]
        fn there_and_back_is_the_same(scaled in -9_999_999..9_999_999_i64, at in 0..Unit::ALL.len()) {
            let unit = Unit::ALL[at];
            // In the finest unit a millionth of a litre is still a thirtieth of a thousandth of it.
            prop_assert_eq!(unit.scaled(unit.amount(scaled, 3), 3), scaled);
        }

        #[test]
        fn more_is_more_in_every_unit(low in -999_999..999_999_i64, more in 1..999_999_i64, at in 0..Unit::ALL.len()) {
            let unit = Unit::ALL[at];
            prop_assert!(unit.amount(low, 3) < unit.amount(low + more, 3));
        }
    }
}
