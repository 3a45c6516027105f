//! Lengths of tools and slings, in whole micrometres.
//!
//! An inch is 25.4 mm exactly (NIST SP 811, 2008, appendix B.8), so a wrench in
//! inches and an adapter in millimetres can be put into one formula as they are.

use std::fmt;

use super::figure::{self, NotAFigure};
use thiserror::Error;

/// A length above nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Extent {
    micrometres: u32,
}

/// Why a text is not a length.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NotAnExtent {
    /// The figure cannot be read.
    #[error(transparent)]
    Figure(#[from] NotAFigure),
    /// There is no unit, or one that is not known.
    #[error("write the unit: mm, cm, m, in or ft")]
    Unit,
    /// Shorter than a micrometre or longer than four kilometres.
    #[error("no tool and no sling is of that length")]
    Unlikely,
}

impl Extent {
    /// Reads `400 mm`, `40 cm`, `1.2 m`, `16 in`, `1-1/2 in`, `16"` or `8 ft`.
    ///
    /// # Errors
    /// Says what to write instead.
    pub fn parse(text: &str) -> Result<Self, NotAnExtent> {
        let text = text.trim();
        let unit_at = text.find(|c: char| c.is_alphabetic() || "\"'″′".contains(c)).ok_or(NotAnExtent::Unit)?;
        let (figure, unit) = text.split_at(unit_at);
        let nanometres = match unit.trim_end_matches('.') {
            "mm" => 1_000_000,
            "cm" => 10_000_000,
            "m" => 1_000_000_000,
            "in" | "\"" | "″" | "inch" | "inches" => 25_400_000,
            "ft" | "'" | "′" | "foot" | "feet" => 304_800_000,
            _ => return Err(NotAnExtent::Unit),
        };
        let (above, below) = ratio(figure.trim())?;
        let micrometres = figure::nearest(above * nanometres, below * 1_000);
        let micrometres = u32::try_from(micrometres).ok().filter(|&it| it > 0).ok_or(NotAnExtent::Unlikely)?;
        Ok(Self { micrometres })
    }

    /// Returns the length of so many micrometres; nothing is none.
    pub const fn new(micrometres: u32) -> Option<Self> {
        if micrometres == 0 { None } else { Some(Self { micrometres }) }
    }

    /// Returns the length in micrometres.
    pub const fn micrometres(self) -> u32 {
        self.micrometres
    }
}

/// Reads a decimal figure, or a fraction as a rule is marked: `3/4`, `1-1/2`, `1 1/2`.
fn ratio(figure: &str) -> Result<(u128, u128), NotAFigure> {
    let Some((above, below)) = figure.split_once('/') else {
        return Ok((figure::thousandths(figure)?.into(), 1_000));
    };
    let below: u128 = match below {
        "2" => 2,
        "4" => 4,
        "8" => 8,
        "16" => 16,
        "32" => 32,
        _ => return Err(NotAFigure::Unreadable),
    };
    if above.contains(['.', ',']) {
        return Err(NotAFigure::Unreadable);
    }
    let (whole, above) = match above.rsplit_once(['-', ' ']) {
        Some((whole, above)) => (figure::thousandths(whole)?.into(), above),
        None => (0, above),
    };
    Ok((whole * below + u128::from(figure::thousandths(above)?), 1_000 * below))
}

impl fmt::Display for Extent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&figure::plain(self.micrometres))?;
        f.write_str(" mm")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inches_and_millimetres_meet() {
        let read = |text| Extent::parse(text).map(Extent::micrometres);
        for (text, expected) in [
            ("400 mm", 400_000),
            ("40cm", 400_000),
            ("1,2 m", 1_200_000),
            ("16 in", 406_400),
            ("1.5\"", 38_100),
            ("8 ft.", 2_438_400),
            ("3/4 in", 19_050),
            ("1-1/2\"", 38_100),
            ("1 1/32 in", 26_194),
        ] {
            assert_eq!(read(text), Ok(expected), "{text}");
        }
        for wrong in ["1/3 in", "/2 in", "1/ in", "-1/2 in", "1--1/2 in", "1.5/2 in", "in"] {
            assert_eq!(read(wrong), Err(NotAnExtent::Figure(NotAFigure::Unreadable)), "{wrong}");
        }
        assert_eq!(read("12"), Err(NotAnExtent::Unit));
        assert_eq!(read("12 yd"), Err(NotAnExtent::Unit));
        assert_eq!(read("0 mm"), Err(NotAnExtent::Figure(NotAFigure::Zero)));
        assert_eq!(read("39000 m"), Err(NotAnExtent::Unlikely));
        assert_eq!(Extent::parse("2 in").map(|it| it.to_string()).as_deref(), Ok("50.8 mm"));
    }
}
