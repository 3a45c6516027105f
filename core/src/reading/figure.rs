//! A figure as it was typed, to its last digit, and with its unit.
//!
//! `12.60` is not `12.6`: the last digit says how well it was read, so it is kept.
//! A comma is taken for the point; where it could part thousands as well (`1,250`)
//! it is asked about and not guessed. A meter may show a minus.

use std::fmt;

use super::unit::{ABSOLUTE_ZERO, Quantity, Unit, decimal};
use thiserror::Error;

/// A figure as it was typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Figure {
    scaled: i64,
    places: u8,
}

/// Why a text is no figure that was read from a meter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NotAFigure {
    /// Nothing is written.
    #[error("write what the meter shows")]
    Empty,
    /// There are no digits where digits belong.
    #[error("write a figure, as 12.6 or -5")]
    Unreadable,
    /// A single comma with three digits after it.
    #[error("is that in thousands or a decimal? Write 1250 or 1.25")]
    TwoMeanings,
    /// More decimals than any meter shows.
    #[error("at most six decimals")]
    TooFine,
    /// A million or more.
    #[error("a million or more: no meter on a boat shows that. Is the unit right?")]
    TooLarge,
    /// Below nothing where that cannot be.
    #[error("this cannot be below 0")]
    BelowNothing,
    /// Below absolute zero.
    #[error("nothing is that cold: is the unit right?")]
    TooCold,
}

impl Figure {
    /// Reads `45`, `12.60`, `12,5` or `-5`.
    ///
    /// # Errors
    /// Says what to write instead.
    pub fn parse(text: &str) -> Result<Self, NotAFigure> {
        let text = text.trim();
        let (minus, text) = match text.strip_prefix(['-', '−']) {
            Some(rest) => (true, rest),
            None => (false, text),
        };
        let (whole, fraction) = text.split_once(['.', ',']).unwrap_or((text, ""));
        let has_point = text.len() > whole.len();
        let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
        match (text.is_empty(), digits(whole), digits(fraction) || !has_point) {
            (true, ..) if !minus => return Err(NotAFigure::Empty),
            (false, true, true) => {}
            _ => return Err(NotAFigure::Unreadable),
        }
        if fraction.len() == 3 && text.contains(',') && whole.len() <= 3 && !whole.starts_with('0') {
            return Err(NotAFigure::TwoMeanings);
        }
        if fraction.len() > 6 {
            return Err(NotAFigure::TooFine);
        }
        if whole.trim_start_matches('0').len() > 6 {
            return Err(NotAFigure::TooLarge);
        }
        let scaled: i64 = [whole, fraction].concat().parse().map_err(|_| NotAFigure::TooLarge)?;
        Ok(Self { scaled: if minus { -scaled } else { scaled }, places: fraction.len() as u8 })
    }
}

impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&decimal(self.scaled, self.places))
    }
}

/// A figure with its unit: what was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Entered {
    /// As it was typed.
    pub figure: Figure,
    /// In which unit.
    pub unit: Unit,
}

impl Entered {
    /// Reads a figure in `unit`.
    ///
    /// # Errors
    /// When it is none, or one that cannot be in this unit.
    pub fn parse(text: &str, unit: Unit) -> Result<Self, NotAFigure> {
        let entered = Self { figure: Figure::parse(text)?, unit };
        match unit.quantity() {
            Quantity::Temperature if entered.amount() < ABSOLUTE_ZERO => Err(NotAFigure::TooCold),
            Quantity::Temperature | Quantity::Voltage | Quantity::Current | Quantity::Number => Ok(entered),
            _ if entered.figure.scaled < 0 => Err(NotAFigure::BelowNothing),
            _ => Ok(entered),
        }
    }

    /// Returns the amount in millionths of its quantity's unit; see [`super::unit`].
    pub fn amount(self) -> i64 {
        self.unit.amount(self.figure.scaled, self.figure.places)
    }

    /// Returns the same in a unit of the SI or one that is used with it; nothing where it is in one already.
    pub fn beside(self) -> Option<String> {
        let (unit, places) = match self.unit {
            Unit::Psi | Unit::InchMercury | Unit::KilogramForceSquareCentimetre => (Unit::Kilopascal, 1),
            Unit::Fahrenheit => (Unit::Celsius, 1),
            Unit::Inch => (Unit::Millimetre, 1),
            Unit::Foot => (Unit::Metre, 2),
            Unit::Mile | Unit::NauticalMile => (Unit::Kilometre, 1),
            Unit::Knot | Unit::MileHour => (Unit::KilometreHour, 1),
            Unit::UsGallon | Unit::UsQuart | Unit::ImperialGallon => (Unit::Litre, 2),
            Unit::UsFluidOunce | Unit::ImperialFluidOunce => (Unit::Millilitre, 0),
            Unit::UsGallonHour | Unit::ImperialGallonHour => (Unit::LitreHour, 1),
            Unit::Pound => (Unit::Kilogram, 1),
            Unit::Horsepower | Unit::MetricHorsepower => (Unit::Kilowatt, 1),
            _ => return None,
        };
        Some(unit.told(self.amount(), places))
    }

    /// Returns how many decimals were typed.
    pub fn places(self) -> u8 {
        self.figure.places
    }
}

impl fmt::Display for Entered {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.figure.fmt(f)?;
        let sign = self.unit.words();
        if sign.is_empty() {
            return Ok(());
        }
        f.write_str(if self.unit == Unit::Degree { "" } else { " " })?;
        f.write_str(sign)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn figures_as_people_type_them() {
        for (text, told) in [
            ("45", "45"),
            (" 12,5 ", "12.5"),
            ("12.60", "12.60"),
            ("-5", "-5"),
            ("−0,05", "-0.05"),
            ("007", "7"),
            ("0", "0"),
            ("1.250", "1.250"),
            ("0,125", "0.125"),
            ("999999.999999", "999999.999999"),
        ] {
            assert_eq!(Figure::parse(text).map(|it| it.to_string()).as_deref(), Ok(told), "{text}");
        }
        for (text, why) in [
            ("", NotAFigure::Empty),
            ("  ", NotAFigure::Empty),
            ("-", NotAFigure::Unreadable),
            ("NaN", NotAFigure::Unreadable),
            ("inf", NotAFigure::Unreadable),
            ("1e3", NotAFigure::Unreadable),
            ("45.", NotAFigure::Unreadable),
            (".5", NotAFigure::Unreadable),
            ("1.2.3", NotAFigure::Unreadable),
            ("--3", NotAFigure::Unreadable),
            ("４５", NotAFigure::Unreadable),
            ("12 V", NotAFigure::Unreadable),
            ("1,250", NotAFigure::TwoMeanings),
            ("1.2345678", NotAFigure::TooFine),
            ("1000000", NotAFigure::TooLarge),
            ("99999999999999999999", NotAFigure::TooLarge),
        ] {
            assert_eq!(Figure::parse(text), Err(why), "{text}");
        }
    }

    #[test]
    fn what_cannot_be_in_a_unit_is_said() {
        for (text, unit, why) in [
            ("-1", Unit::Psi, NotAFigure::BelowNothing),
            ("-274", Unit::Celsius, NotAFigure::TooCold),
            ("-460", Unit::Fahrenheit, NotAFigure::TooCold),
        ] {
            assert_eq!(Entered::parse(text, unit), Err(why), "{text}");
        }
        assert!(Entered::parse("-273", Unit::Celsius).is_ok() && Entered::parse("-12.6", Unit::Volt).is_ok());
        assert_eq!(Entered::parse("45", Unit::Degree).map(|it| it.to_string()).as_deref(), Ok("45°"));
    }

    #[test]
    fn the_same_in_the_si_stands_beside() {
        // NIST SP 811 (2008), B.8: 1 psi is 6.894 757 kPa, 1 hp 745.6999 W, 1 lb 0.453 592 37 kg; 1 kn is 1.852 km/h.
        for (text, unit, beside) in [
            ("120", Unit::Psi, Some("827.4 kPa")),
            ("68", Unit::Fahrenheit, Some("20.0 °C")),
            ("200", Unit::Horsepower, Some("149.1 kW")),
            ("1000", Unit::Pound, Some("453.6 kg")),
            ("10", Unit::Knot, Some("18.5 km/h")),
            ("12.60", Unit::Volt, None),
            ("850", Unit::Kilohm, None),
        ] {
            assert_eq!(Entered::parse(text, unit).unwrap().beside().as_deref(), beside, "{text}");
        }
    }

    proptest! {
        #[test]
        fn what_is_told_reads_back(scaled in -999_999..=999_999_i64, places in 0..=6_u8) {
            let figure = Figure { scaled, places };
            prop_assert_eq!(Figure::parse(&figure.to_string()), Ok(figure));
        }

        #[test]
        fn any_text_is_read_or_refused(text in "[-0-9.,]{0,9}.{0,3}") {
            if let Ok(figure) = Figure::parse(&text) {
                prop_assert_eq!(Figure::parse(&figure.to_string()), Ok(figure));
            }
        }
    }
}
