//! Amounts with their units, as newtypes over whole numbers.
//!
//! A technician types tenths of an hour and of a unit of power; kept as whole
//! tenths they are equal to themselves on every machine and in every file.

use std::fmt;

/// How many of a thing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Count(pub u32);

impl fmt::Display for Count {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// Returns how many of something, in words: `1 job`, `2 jobs`.
pub fn counted(count: usize, one: &str) -> String {
    if count == 1 { ["1 ", one].concat() } else { format!("{count} {one}s") }
}

/// What an engine's hour meter shows, in tenths of an hour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EngineHours {
    /// Tenths of an hour.
    pub tenths: u32,
}

impl EngineHours {
    /// Reads `1204` or `1204.5`; a comma is taken for the point.
    pub fn parse(text: &str) -> Option<Self> {
        tenths(text).map(|tenths| Self { tenths })
    }
}

impl fmt::Display for EngineHours {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.tenths / 10, self.tenths % 10)
    }
}

/// Reads the year in which something was made, written with four digits; no engine is older than
/// 1850, and what is beyond 2200 is a slip.
pub fn year_of_make(text: &str) -> Option<u16> {
    let digits = text.len() == 4 && text.bytes().all(|byte| byte.is_ascii_digit());
    text.parse().ok().filter(|year| digits && (1850..=2200).contains(year))
}

/// Reads hours as they are billed, `2`, `2.5`, `2,25` or `2:30`, and returns minutes;
/// a part of a minute is rounded.
pub fn billed_minutes(text: &str) -> Option<u32> {
    let text = text.trim();
    if let Some((hours, minutes)) = text.split_once(':') {
        let minutes = Some(minutes).filter(|it| it.len() == 2).and_then(digits).filter(|&it| it < 60)?;
        return digits(hours)?.checked_mul(60)?.checked_add(minutes);
    }
    let (hours, part) = text.split_once(['.', ',']).unwrap_or((text, "0"));
    let hundredths = match part.len() {
        1 => digits(part)? * 10,
        2 => digits(part)?,
        _ => return None,
    };
    digits(hours)?.checked_mul(60)?.checked_add((hundredths * 60 + 50) / 100)
}

/// Reads up to five digits and nothing else.
fn digits(text: &str) -> Option<u32> {
    let all = text.bytes().all(|byte| byte.is_ascii_digit());
    text.parse().ok().filter(|_| all && text.len() <= 5)
}

/// A unit of an engine's power.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PowerUnit {
    /// Kilowatt.
    Kilowatt,
    /// Horsepower of 550 foot-pounds a second.
    Horsepower,
    /// Metric horsepower of 75 kilogram-metres a second.
    MetricHorsepower,
}

impl PowerUnit {
    /// All units, in the order in which they are offered.
    pub const ALL: [PowerUnit; 3] = [PowerUnit::Kilowatt, PowerUnit::Horsepower, PowerUnit::MetricHorsepower];

    /// Returns the usual sign.
    pub const fn sign(self) -> &'static str {
        match self {
            PowerUnit::Kilowatt => "kW",
            PowerUnit::Horsepower => "hp",
            PowerUnit::MetricHorsepower => "PS",
        }
    }
}

/// An engine's rated power as its plate or papers say it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Power {
    /// Tenths of the unit.
    pub tenths: u32,
    /// The unit.
    pub unit: PowerUnit,
}

impl Power {
    /// Reads `28` or `28.5` in `unit`.
    pub fn parse(text: &str, unit: PowerUnit) -> Option<Self> {
        tenths(text).map(|tenths| Self { tenths, unit })
    }

    /// Returns the figure without its unit, `28` or `28.5`.
    pub fn figure(self) -> String {
        match self.tenths % 10 {
            0 => (self.tenths / 10).to_string(),
            tenth => format!("{}.{tenth}", self.tenths / 10),
        }
    }
}

impl fmt::Display for Power {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.figure(), self.unit.sign())
    }
}

/// Reads a figure with at most one decimal as tenths.
fn tenths(text: &str) -> Option<u32> {
    let text = text.trim().replace(',', ".");
    let (whole, tenth) = text.split_once('.').unwrap_or((&text, "0"));
    let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    if !digits(whole) || !digits(tenth) || tenth.len() > 1 {
        return None;
    }
    let whole: u32 = whole.parse().ok()?;
    whole.checked_mul(10)?.checked_add(tenth.parse().ok()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_year_of_make_has_four_digits_and_is_one_of_engines() {
        for (text, year) in [
            ("1850", Some(1850)),
            ("2200", Some(2200)),
            ("1849", None),
            ("2201", None),
            ("98", None),
            ("+998", None),
            ("02004", None),
            ("", None),
        ] {
            assert_eq!(year_of_make(text), year, "{text}");
        }
    }

    #[test]
    fn reads_billed_hours_as_people_type_them() {
        for (text, minutes) in [
            ("2", Some(120)),
            (" 2.5 ", Some(150)),
            ("2,25", Some(135)),
            ("0.33", Some(20)),
            ("2:30", Some(150)),
            ("0:05", Some(5)),
            ("2:5", None),
            ("2:60", None),
            ("2.125", None),
            ("-1", None),
            ("+1", None),
            ("", None),
            (".5", None),
            ("100000", None),
        ] {
            assert_eq!(billed_minutes(text), minutes, "{text}");
        }
    }

    #[test]
    fn reads_tenths() {
        assert_eq!(EngineHours::parse(" 1204,5 ").map(|h| h.to_string()).as_deref(), Some("1204.5"));
        assert_eq!(Power::parse("28", PowerUnit::Kilowatt).map(|p| p.to_string()).as_deref(), Some("28 kW"));
        for wrong in ["", ".", "1.25", "-3", "1e3", "NaN", "99999999999", "+5", "５"] {
            assert_eq!(EngineHours::parse(wrong), None, "{wrong}");
        }
    }
}
