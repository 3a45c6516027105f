//! A torque: what was typed, exactly, and the same in the other units.
//!
//! A torque stays in the unit in which it was typed, so nothing is lost by
//! keeping it; conversions are ratios of whole numbers and are rounded only when
//! shown. A value always comes from the technician, who says where it stands.
//!
//! Factors: NIST SP 811 (2008), appendix B.8. The inch (25.4 mm), the
//! pound-force (4.448 221 615 260 5 N, footnote 23) and the kilogram-force
//! (9.806 65 N) are exact, hence so are the products.

use std::cmp::Ordering;
use std::fmt;

use super::figure::{self, NotAFigure};
use crate::text::Label;
use thiserror::Error;

/// A unit of torque.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TorqueUnit {
    /// Newton metre.
    NewtonMetre,
    /// Pound-force foot.
    PoundForceFoot,
    /// Pound-force inch, of which twelve are a pound-force foot.
    PoundForceInch,
    /// Kilogram-force metre.
    KilogramForceMetre,
}

impl TorqueUnit {
    /// All units, in the order in which they are offered.
    pub const ALL: [TorqueUnit; 4] = [
        TorqueUnit::NewtonMetre,
        TorqueUnit::PoundForceFoot,
        TorqueUnit::PoundForceInch,
        TorqueUnit::KilogramForceMetre,
    ];

    /// Returns the usual sign.
    pub const fn sign(self) -> &'static str {
        match self {
            TorqueUnit::NewtonMetre => "N·m",
            TorqueUnit::PoundForceFoot => "lbf·ft",
            TorqueUnit::PoundForceInch => "lbf·in",
            TorqueUnit::KilogramForceMetre => "kgf·m",
        }
    }

    /// Returns one of this unit in 10⁻¹⁶ N·m, exactly.
    const fn exact(self) -> u128 {
        match self {
            TorqueUnit::NewtonMetre => 10_000_000_000_000_000,
            TorqueUnit::PoundForceFoot => 13_558_179_483_314_004,
            TorqueUnit::PoundForceInch => 1_129_848_290_276_167,
            TorqueUnit::KilogramForceMetre => 98_066_500_000_000_000,
        }
    }

    /// Reads the unit as it is written in manuals and on wrenches.
    fn parse(text: &str) -> Result<Self, NotATorque> {
        let joins = |c: char| " .·⋅*×-‐‑".contains(c);
        if !text.chars().all(|c| c.is_alphabetic() || joins(c)) {
            return Err(NotATorque::Unit);
        }
        let letters = text.replace(joins, "");
        Ok(match letters.to_lowercase().as_str() {
            "nm" | "newtonmetre" | "newtonmetres" | "newtonmeter" | "newtonmeters" => TorqueUnit::NewtonMetre,
            "lbfft" | "lbft" | "lbsft" | "ftlbf" | "ftlb" | "ftlbs" | "footpound" | "footpounds" | "poundfeet"
            | "poundfoot" => TorqueUnit::PoundForceFoot,
            "lbfin" | "lbin" | "lbsin" | "inlbf" | "inlb" | "inlbs" | "inchpound" | "inchpounds" | "poundinch"
            | "poundinches" => TorqueUnit::PoundForceInch,
            "kgfm" | "kgm" | "mkg" | "mkgf" | "kpm" | "mkp" => TorqueUnit::KilogramForceMetre,
            "lb" | "lbs" | "lbf" | "pound" | "pounds" => return Err(NotATorque::FootOrInch),
            "kgfcm" | "kgcm" | "cmkg" => return Err(NotATorque::Centimetres),
            _ => return Err(NotATorque::Unit),
        })
    }
}

/// Why a text is not a torque.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NotATorque {
    /// The figure cannot be read.
    #[error(transparent)]
    Figure(#[from] NotAFigure),
    /// Pounds alone.
    #[error("foot or inch? Write lbf·ft or lbf·in: one is twelve of the other")]
    FootOrInch,
    /// Kilogram-force centimetres.
    #[error("kgf·cm is not taken: divide by 100 and write kgf·m")]
    Centimetres,
    /// A unit that is not known.
    #[error("the unit must be N·m, lbf·ft, lbf·in or kgf·m")]
    Unit,
    /// A range whose end is not above its beginning, or in another unit.
    #[error("write the lower value first, both in one unit, as 40-45 N·m")]
    Range,
    /// A tolerance as large as the value.
    #[error("the tolerance must be smaller than the value")]
    Tolerance,
    /// An angle that is none.
    #[error("write the angle in whole degrees from 1 to 720, as 30 N·m + 90°")]
    Turn,
}

/// A torque above nothing, as it was typed.
///
/// Two are equal when figure and unit are; which is larger tells [`Torque::compare`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Torque {
    thousandths: u32,
    unit: TorqueUnit,
}

impl Torque {
    pub(super) const ONE_NEWTON_METRE: Torque = Torque { thousandths: 1_000, unit: TorqueUnit::NewtonMetre };

    /// Returns the torque of so many thousandths of a unit; nothing is none.
    pub const fn new(thousandths: u32, unit: TorqueUnit) -> Option<Self> {
        if thousandths == 0 { None } else { Some(Self { thousandths, unit }) }
    }

    /// Reads `45 Nm`, `33 ft-lb`, `120 in lbs`, `6.2 kgf·m`, or a figure alone, which is in `unit`.
    ///
    /// # Errors
    /// Says what to write instead.
    pub fn parse(text: &str, unit: TorqueUnit) -> Result<Self, NotATorque> {
        let (figure, said) = figure::split(text);
        let unit = if said.is_empty() { unit } else { TorqueUnit::parse(said)? };
        Ok(Self { thousandths: figure::thousandths(figure)?, unit })
    }

    /// Returns the figure in thousandths of the unit.
    pub const fn thousandths(self) -> u32 {
        self.thousandths
    }

    /// Returns the unit.
    pub const fn unit(self) -> TorqueUnit {
        self.unit
    }

    /// Tells which of two torques is larger, whatever their units.
    pub fn compare(self, other: Torque) -> Ordering {
        self.exact().cmp(&other.exact())
    }

    /// Returns the same torque in `unit`, to the nearest thousandth.
    pub fn to(self, unit: TorqueUnit) -> Torque {
        Self::of(figure::nearest(self.exact(), unit.exact()), unit)
    }

    /// Returns `above / below` of this torque, to the nearest thousandth of its unit.
    pub(super) fn times(self, above: u128, below: u128) -> Torque {
        Self::of(figure::nearest(u128::from(self.thousandths) * above, below), self.unit)
    }

    /// Returns the torque to the nearest figure of so many digits, as far as thousandths go.
    pub fn rounded(self, digits: usize) -> Torque {
        let all = self.thousandths.max(1).ilog10() + 1;
        let step = 10_u128.pow(all.saturating_sub(u32::try_from(digits).unwrap_or(u32::MAX)));
        Self::of(figure::nearest(self.thousandths.into(), step) * step, self.unit)
    }

    /// Returns how many digits of its figure say something.
    pub fn digits(self) -> usize {
        figure::digits_of(self.thousandths)
    }

    /// Returns the torque in `unit` with as many digits as the typed figure deserves.
    pub fn figure_in(self, unit: TorqueUnit) -> String {
        match unit == self.unit {
            true => figure::plain(self.thousandths),
            false => figure::converted(self.thousandths, self.exact(), 1_000 * unit.exact()),
        }
    }

    /// Returns the torque as typed, and in the unit that the other kind of wrench shows.
    pub fn both_ways(self) -> String {
        let other = self.other_unit();
        let mut told = self.to_string();
        for piece in [" (", &self.figure_in(other), " ", other.sign(), ")"] {
            told.push_str(piece);
        }
        told
    }

    /// Returns the unit of the other kind of wrench: metric goes to pounds, and below ten foot-pounds to inches, as wrenches do; the rest to metric.
    pub fn other_unit(self) -> TorqueUnit {
        let ten_feet = Torque { thousandths: 10_000, unit: TorqueUnit::PoundForceFoot };
        match self.unit {
            TorqueUnit::NewtonMetre if self.compare(ten_feet).is_lt() => TorqueUnit::PoundForceInch,
            TorqueUnit::NewtonMetre => TorqueUnit::PoundForceFoot,
            _ => TorqueUnit::NewtonMetre,
        }
    }

    /// In 10⁻¹⁹ N·m.
    fn exact(self) -> u128 {
        u128::from(self.thousandths) * self.unit.exact()
    }

    /// What no longer fits is held at the ends of what does; nothing that was read comes near them.
    fn of(thousandths: u128, unit: TorqueUnit) -> Torque {
        Torque { thousandths: u32::try_from(thousandths).unwrap_or(u32::MAX).max(1), unit }
    }
}

impl fmt::Display for Torque {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&figure::plain(self.thousandths))?;
        f.write_str(" ")?;
        f.write_str(self.unit.sign())
    }
}

/// What a fastener is to be tightened to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Target {
    /// The torque to aim at.
    pub aim: Torque,
    /// The lowest and the highest that will do, where a tolerance is given, in the unit of the aim.
    pub limits: Option<(Torque, Torque)>,
    /// By how many degrees to turn on from there.
    pub turn: Option<u16>,
}

/// How a reading stands to a target.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// Too loose.
    Below,
    /// Within the tolerance.
    Within,
    /// Too tight.
    Above,
    /// No tolerance was given.
    Unjudged,
}

impl Target {
    /// Reads `45 Nm`, `45 ± 5 Nm`, `45 Nm ± 4 %`, `40-45 Nm`, `30 Nm + 90°`; without a unit in `unit`.
    ///
    /// # Errors
    /// Says what to write instead.
    pub fn parse(text: &str, unit: TorqueUnit) -> Result<Self, NotATorque> {
        let text = text.replace("+/-", "±").replace("+-", "±");
        let (text, turn) = match text.split_once('+') {
            Some((torque, turn)) => (torque, Some(degrees(turn)?)),
            None => (text.as_str(), None),
        };
        let (aim, limits) = match text.split_once('±') {
            Some((aim, tolerance)) => with_tolerance(aim, tolerance, unit)?,
            None => range(text, unit)?,
        };
        Ok(Self { aim, limits, turn })
    }

    /// Returns the target as it could have been typed: a range where it has limits.
    pub fn typed(&self) -> String {
        let mut typed = match self.limits {
            Some((low, high)) => figure::plain(low.thousandths) + "-" + &high.to_string(),
            None => self.aim.to_string(),
        };
        if let Some(degrees) = self.turn {
            typed.extend([" + ", &degrees.to_string(), "°"]);
        }
        typed
    }

    /// Judges a reading.
    pub fn judge(&self, reading: Torque) -> Fit {
        match self.limits {
            None => Fit::Unjudged,
            Some((low, _)) if reading.compare(low).is_lt() => Fit::Below,
            Some((_, high)) if reading.compare(high).is_gt() => Fit::Above,
            Some(_) => Fit::Within,
        }
    }
}

impl fmt::Display for Target {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.aim.both_ways())?;
        if let Some((low, high)) = self.limits {
            write!(f, ", from {} to {high}", figure::plain(low.thousandths))?;
        }
        match self.turn {
            Some(degrees) => write!(f, ", then turn {degrees}°"),
            None => Ok(()),
        }
    }
}

type Limited = (Torque, Option<(Torque, Torque)>);

/// Reads `90°` or `90 deg`.
fn degrees(text: &str) -> Result<u16, NotATorque> {
    let text = text.trim().trim_end_matches('°').trim_end_matches('.');
    let text = text.trim_end_matches("degrees").trim_end_matches("deg").trim_end();
    text.parse().ok().filter(|it| (1..=720).contains(it) && !text.starts_with('+')).ok_or(NotATorque::Turn)
}

/// Reads the two sides of `45 ± 5 Nm` or `45 Nm ± 4 %`.
fn with_tolerance(aim: &str, tolerance: &str, unit: TorqueUnit) -> Result<Limited, NotATorque> {
    if let Some(percent) = tolerance.trim().strip_suffix('%') {
        let aim = Torque::parse(aim, unit)?;
        let part = figure::thousandths(percent)?;
        return around(aim, aim.times(part.into(), 100_000));
    }
    let unit = shared_unit(aim, tolerance, unit)?;
    let aim = Torque::parse(aim, unit)?;
    around(aim, Torque::parse(tolerance, unit)?.to(aim.unit))
}

/// Returns the unit of two figures, which may stand behind either or both, or `unit` where it does not.
fn shared_unit(first: &str, second: &str, unit: TorqueUnit) -> Result<TorqueUnit, NotATorque> {
    let said = |text| Some(figure::split(text).1).filter(|it| !it.is_empty());
    said(second).or(said(first)).map_or(Ok(unit), TorqueUnit::parse)
}

fn around(aim: Torque, part: Torque) -> Result<Limited, NotATorque> {
    let low = aim.thousandths.checked_sub(part.thousandths).filter(|&it| it > 0).ok_or(NotATorque::Tolerance)?;
    let high = aim.thousandths.saturating_add(part.thousandths);
    Ok((aim, Some((Torque { thousandths: low, ..aim }, Torque { thousandths: high, ..aim }))))
}

/// Reads `40-45 Nm`, whose aim is the middle, or a torque alone.
fn range(text: &str, unit: TorqueUnit) -> Result<Limited, NotATorque> {
    // A dash before a figure makes a range; one inside the unit (`ft-lb`) does not.
    let figure_follows = |dash: &(usize, &str)| {
        let rest = &text[dash.0 + dash.1.len()..];
        rest.trim_start().starts_with(|c: char| c.is_ascii_digit())
    };
    let Some((at, dash)) = text.match_indices(['-', '–', '—']).find(figure_follows) else {
        return Ok((Torque::parse(text, unit)?, None));
    };
    let (low, high) = (&text[..at], &text[at + dash.len()..]);
    let unit = shared_unit(low, high, unit)?;
    let (low, high) = (Torque::parse(low, unit)?, Torque::parse(high, unit)?);
    if low.unit != high.unit || low.thousandths >= high.thousandths {
        return Err(NotATorque::Range);
    }
    let aim = Torque::of(figure::nearest(u128::from(low.thousandths) + u128::from(high.thousandths), 2), high.unit);
    Ok((aim, Some((low, high))))
}

/// Where a value stands, typed by the technician.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Source {
    /// The manual, as its cover names it.
    pub manual: Label,
    /// The page.
    pub page: Label,
}

/// A target with the place where it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entered {
    /// The target.
    pub target: Target,
    /// Where it stands.
    pub source: Source,
}

impl Entered {
    /// Returns what is still to be said about where the value comes from.
    pub fn unsaid(&self) -> Option<&'static str> {
        match (self.source.manual.is_empty(), self.source.page.is_empty()) {
            (true, _) => Some("Say which manual the value is from."),
            (false, true) => Some("Say on which page of the manual it stands."),
            (false, false) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::TorqueUnit::*;
    use super::*;
    use proptest::prelude::*;

    fn read(text: &str) -> Torque {
        Torque::parse(text, NewtonMetre).unwrap()
    }

    #[test]
    fn factors_of_sp_811_b_8() {
        // The printed factors, to their seven digits, and the full values behind them.
        for (text, printed) in [("1 lbf·ft", 1_355_818), ("10 lbf·in", 1_129_848), ("1 kgf·m", 9_806_650)] {
            assert_eq!(figure::nearest(read(text).exact(), 10_u128.pow(13)), printed, "{text}");
        }
        let (pound_force, foot, inch) = (44_482_216_152_605_u128, 3_048, 254);
        assert_eq!(PoundForceFoot.exact() * 10, pound_force * foot);
        assert_eq!(PoundForceInch.exact() * 10, pound_force * inch);
        assert_eq!(read("120 lbf·in").compare(read("10 lbf·ft")), Ordering::Equal);
    }

    #[test]
    fn values_worked_from_the_same_factors() {
        // In ten-thousandths, rounded half up by a calculator of many digits.
        for (text, unit, expected) in [
            ("25 N·m", PoundForceFoot, 184_391),
            ("25 N·m", PoundForceInch, 2_212_686),
            ("80 N·m", PoundForceFoot, 590_050),
            ("100 N·m", PoundForceFoot, 737_562),
            ("18 lbf·ft", NewtonMetre, 244_047),
            ("40 lbf·ft", NewtonMetre, 542_327),
            ("55 lbf·ft", NewtonMetre, 745_700),
            ("72 lbf·in", NewtonMetre, 81_349),
            ("120 lbf·in", NewtonMetre, 135_582),
        ] {
            let found = figure::nearest(read(text).exact() * 10, unit.exact());
            assert_eq!(found, expected, "{text} in {}", unit.sign());
        }
    }

    #[test]
    fn shown_both_ways() {
        for (text, expected) in [
            ("45", "45 N·m (33.2 lbf·ft)"),
            ("8 Nm", "8 N·m (70.8 lbf·in)"),
            ("33 ft-lb", "33 lbf·ft (44.7 N·m)"),
            ("72 in-lb", "72 lbf·in (8.13 N·m)"),
            ("6.2 kgf·m", "6.2 kgf·m (60.8 N·m)"),
            ("1000 N·m", "1000 N·m (737.6 lbf·ft)"),
            ("12,5", "12.5 N·m (111 lbf·in)"),
        ] {
            assert_eq!(read(text).both_ways(), expected, "{text}");
        }
    }

    #[test]
    fn rounded_as_a_wrench_is_set() {
        for (text, digits, expected) in [
            ("29.75", 3, "29.8 N·m"),
            ("214.28 lbf in", 3, "214 lbf·in"),
            ("9.9", 3, "9.9 N·m"),
            ("1256", 3, "1260 N·m"),
            ("1256", 4, "1256 N·m"),
            ("0.015", 3, "0.015 N·m"),
        ] {
            assert_eq!(read(text).rounded(digits).to_string(), expected, "{text}");
        }
        assert_eq!((read("45").digits(), read("42.55").digits()), (2, 4));
    }

    #[test]
    fn units_as_people_write_them() {
        for (text, unit) in [
            ("45Nm", NewtonMetre),
            ("45 N.m", NewtonMetre),
            ("45 newton-metres", NewtonMetre),
            ("33 ft.-lbs.", PoundForceFoot),
            ("33 lb ft", PoundForceFoot),
            ("33 FT·LBF", PoundForceFoot),
            ("33 foot pounds", PoundForceFoot),
            ("90 in. lb", PoundForceInch),
            ("90 inch-pounds", PoundForceInch),
            ("6 mkg", KilogramForceMetre),
        ] {
            assert_eq!(read(text).unit(), unit, "{text}");
        }
        for (text, why) in [
            ("33 lb", NotATorque::FootOrInch),
            ("100 kgf·cm", NotATorque::Centimetres),
            ("45 bar", NotATorque::Unit),
            ("Nm", NotATorque::Figure(NotAFigure::Unreadable)),
            ("1,250 lbf in", NotATorque::Figure(NotAFigure::TwoMeanings)),
        ] {
            assert_eq!(Torque::parse(text, NewtonMetre), Err(why), "{text}");
        }
    }

    #[test]
    fn targets() {
        let told = |text| Target::parse(text, NewtonMetre).map(|it| it.to_string());
        for (text, expected) in [
            ("45", "45 N·m (33.2 lbf·ft)"),
            ("45 Nm ± 5", "45 N·m (33.2 lbf·ft), from 40 to 50 N·m"),
            ("45 +/- 5 Nm", "45 N·m (33.2 lbf·ft), from 40 to 50 N·m"),
            ("33 ± 2 ft-lb", "33 lbf·ft (44.7 N·m), from 31 to 35 lbf·ft"),
            ("50 Nm ± 4 %", "50 N·m (36.9 lbf·ft), from 48 to 52 N·m"),
            ("40 Nm-45", "42.5 N·m (31.35 lbf·ft), from 40 to 45 N·m"),
            ("40 Nm - 45 Nm", "42.5 N·m (31.35 lbf·ft), from 40 to 45 N·m"),
            ("40-45 Nm", "42.5 N·m (31.35 lbf·ft), from 40 to 45 N·m"),
            ("29 – 33 ft-lb", "31 lbf·ft (42.0 N·m), from 29 to 33 lbf·ft"),
            ("30 Nm + 90°", "30 N·m (22.1 lbf·ft), then turn 90°"),
            ("20±2 Nm + 180 deg", "20 N·m (14.8 lbf·ft), from 18 to 22 N·m, then turn 180°"),
        ] {
            assert_eq!(told(text).as_deref(), Ok(expected), "{text}");
            let target = Target::parse(text, NewtonMetre).unwrap();
            assert_eq!(Target::parse(&target.typed(), NewtonMetre), Ok(target), "{text}");
        }
        for (text, why) in [
            ("45-40 Nm", NotATorque::Range),
            ("45 ± 45", NotATorque::Tolerance),
            ("45 ± 120 %", NotATorque::Tolerance),
            ("30 + x", NotATorque::Turn),
            ("30 + 0°", NotATorque::Turn),
            ("30 + +9", NotATorque::Turn),
            ("40 Nm-45 ft-lb", NotATorque::Range),
            ("-45", NotATorque::Figure(NotAFigure::Unreadable)),
            ("45 Nm 5", NotATorque::Unit),
            ("45 Nm/5", NotATorque::Unit),
        ] {
            assert_eq!(told(text), Err(why), "{text}");
        }
    }

    #[test]
    fn readings_are_judged_across_units() {
        let target = Target::parse("45 ± 5 Nm", NewtonMetre).unwrap();
        // 40 N·m are 29.50 lbf·ft, 50 N·m are 36.88.
        for (text, fit) in [
            ("29.49 lbf·ft", Fit::Below),
            ("29.51 lbf·ft", Fit::Within),
            ("50 Nm", Fit::Within),
            ("36.89 lbf·ft", Fit::Above),
        ] {
            assert_eq!(target.judge(read(text)), fit, "{text}");
        }
        assert_eq!(Target { limits: None, ..target }.judge(read("1 Nm")), Fit::Unjudged);
    }

    #[test]
    fn a_value_says_where_it_stands() {
        let target = Target::parse("45", NewtonMetre).unwrap();
        let from = |manual, page| Source { manual: Label::new(manual), page: Label::new(page) };
        let unsaid = |source| Entered { target, source }.unsaid().is_some();
        assert!(unsaid(Source::default()) && unsaid(from("Service manual 3", "")) && unsaid(from("", "12")));
        assert!(!unsaid(from("Service manual 3", "4-12")));
    }

    fn any_unit() -> impl Strategy<Value = TorqueUnit> {
        prop::sample::select(TorqueUnit::ALL.to_vec())
    }

    proptest! {
        #[test]
        fn there_and_back_is_the_same(hundredths in 100..4_000_000_u32, from in any_unit(), to in any_unit()) {
            let typed = Torque::new(hundredths * 10, from).unwrap();
            let back = typed.to(to).to(from);
            // Half a thousandth of the coarsest unit is 87 half thousandths of the finest.
            prop_assert!(back.thousandths().abs_diff(typed.thousandths()) <= 44);
            prop_assert_eq!(typed.to(from), typed);
        }

        #[test]
        fn any_text_is_read_or_refused(text in "[0-9.,]{0,5} ?[-±+/% °a-zA-Z·]{0,8}[0-9]{0,3}.{0,3}") {
            if let Ok(target) = Target::parse(&text, NewtonMetre)
                && let Some((low, high)) = target.limits {
                prop_assert!(low.compare(high).is_le() && target.judge(target.aim) == Fit::Within);
            }
        }
    }
}
