//! Decimal figures, read as people type them and shown with as many digits as they deserve.
//!
//! A figure is kept in thousandths, so that it equals itself on every machine.
//! A comma is taken for the point. What could be a separator of thousands as
//! well is asked about and not guessed: `1,250` is off by a thousand one way.
//!
//! Rounding is half to even (NIST SP 811, 2008, B.7.1). A converted figure keeps
//! the digits of the one that was typed, and one more if it begins with a smaller
//! digit (SP 811, B.7.2); never fewer than three, for a wrench is good to 4 %.

use thiserror::Error;

/// The largest figure that is read, in thousandths.
pub const LARGEST: u32 = 40_000_000;

/// Why a text is not a figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NotAFigure {
    /// There are no digits where digits belong.
    #[error("write a figure, as 45 or 12.5")]
    Unreadable,
    /// A single separator with three digits after it.
    #[error("is that in thousands or a decimal? Write 1250 or 1.25")]
    TwoMeanings,
    /// More decimals than are kept.
    #[error("at most three decimals")]
    TooFine,
    /// Nothing at all.
    #[error("nothing is no value here: write a figure above 0")]
    Zero,
    /// Larger than [`LARGEST`].
    #[error("larger than 40000: is the unit right?")]
    TooLarge,
}

/// Reads `45`, `12.5` or `12,5` as thousandths.
///
/// # Errors
/// Says what to write instead.
pub fn thousandths(text: &str) -> Result<u32, NotAFigure> {
    let text = text.trim().replace(',', ".");
    let (whole, fraction) = text.split_once('.').unwrap_or((&text, "0"));
    let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    if !digits(whole) || !digits(fraction) {
        return Err(NotAFigure::Unreadable);
    }
    match fraction.len() {
        3 if whole.len() <= 3 && !whole.starts_with('0') => return Err(NotAFigure::TwoMeanings),
        4.. => return Err(NotAFigure::TooFine),
        _ => {}
    }
    let whole: u32 = whole.parse().map_err(|_| NotAFigure::TooLarge)?;
    let shift = [1_000, 100, 10, 1][fraction.len()];
    let fraction: u32 = fraction.parse().map_err(|_| NotAFigure::Unreadable)?;
    match whole.checked_mul(1_000).and_then(|it| it.checked_add(fraction * shift)) {
        Some(0) => Err(NotAFigure::Zero),
        Some(all) if all <= LARGEST => Ok(all),
        _ => Err(NotAFigure::TooLarge),
    }
}

/// Returns a text's leading figure, unread, and what follows it.
pub fn split(text: &str) -> (&str, &str) {
    let text = text.trim();
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',').unwrap_or(text.len());
    (&text[..end], text[end..].trim())
}

/// Returns the whole number nearest to `above / below`, the even one of two that are as near.
///
/// `below` is not 0.
pub fn nearest(above: u128, below: u128) -> u128 {
    let (down, rest) = (above / below, above % below);
    let up = match (2 * rest).cmp(&below) {
        std::cmp::Ordering::Less => false,
        std::cmp::Ordering::Equal => down % 2 == 1,
        std::cmp::Ordering::Greater => true,
    };
    down + u128::from(up)
}

/// Returns thousandths as they were typed, `12.5`.
pub fn plain(thousandths: u32) -> String {
    let told = decimals(thousandths.into(), 3);
    told.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Returns how many digits of `thousandths` say something, zeros at the end of a whole figure among them.
pub fn digits_of(thousandths: u32) -> usize {
    plain(thousandths).bytes().filter(u8::is_ascii_digit).skip_while(|&b| b == b'0').count()
}

/// Returns `above / below` with the digits that a conversion of `typed` (thousandths) deserves.
pub fn converted(typed: u32, above: u128, below: u128) -> String {
    let first = |n: u128| n.to_string().into_bytes().first().copied();
    // Ten more decimals than are shown, so that the first digit of a small figure is found too.
    let starts_smaller = first(nearest(above * 10_000_000_000, below)) < first(typed.into());
    significant(above, below, (digits_of(typed) + usize::from(starts_smaller)).max(3))
}

/// Returns `above / below` with so many digits, at most three decimals, and never less than whole.
pub fn significant(above: u128, below: u128, digits: usize) -> String {
    for places in (1..=3).rev() {
        let scaled = nearest(above * 10_u128.pow(places), below);
        if scaled.to_string().len() <= digits {
            return decimals(scaled, places as usize);
        }
    }
    nearest(above, below).to_string()
}

/// Returns sixteenths of an inch as a wrench is marked, `9/16`, `1-1/8`, without the unit.
pub fn sixteenths(all: u8) -> String {
    let (whole, rest) = (all / 16, all % 16);
    if rest == 0 {
        return whole.to_string();
    }
    let shared = 1 << rest.trailing_zeros();
    let mut told = if whole == 0 { String::new() } else { whole.to_string() + "-" };
    [&(rest / shared).to_string(), "/", &(16 / shared).to_string()].into_iter().for_each(|it| told.push_str(it));
    told
}

/// Returns a whole number with its point so many places from the right.
fn decimals(scaled: u128, places: usize) -> String {
    let mut told = scaled.to_string();
    while told.len() <= places {
        told.insert(0, '0');
    }
    told.insert(told.len() - places, '.');
    told
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn figures_as_people_type_them() {
        for (text, expected) in [("45", 45_000), (" 12,5 ", 12_500), ("0.125", 125), ("1250.125", 1_250_125)] {
            assert_eq!(thousandths(text), Ok(expected), "{text}");
        }
        for (text, why) in [
            ("", NotAFigure::Unreadable),
            (".5", NotAFigure::Unreadable),
            ("45.", NotAFigure::Unreadable),
            ("-3", NotAFigure::Unreadable),
            ("1.2.3", NotAFigure::Unreadable),
            ("４５", NotAFigure::Unreadable),
            ("1,250", NotAFigure::TwoMeanings),
            ("1.250", NotAFigure::TwoMeanings),
            ("1.2505", NotAFigure::TooFine),
            ("0,0", NotAFigure::Zero),
            ("40001", NotAFigure::TooLarge),
            ("99999999999", NotAFigure::TooLarge),
        ] {
            assert_eq!(thousandths(text), Err(why), "{text}");
        }
    }

    #[test]
    fn half_goes_to_even_sp_811_b_7_1() {
        // The examples of B.7.1: 6.974 951 5 to 3, 2, 5 and 7 digits, and 6.974 950 5 to 7.
        let cut = |number, places: u32| nearest(number, 10_u128.pow(places));
        assert_eq!([cut(69_749_515, 5), cut(69_749_515, 6), cut(69_749_515, 3)], [697, 70, 69_750]);
        assert_eq!([cut(69_749_515, 1), cut(69_749_505, 1)], [6_974_952, 6_974_950]);
    }

    #[test]
    fn digits_of_a_conversion_sp_811_b_7_2() {
        // The example of B.7.2: 36 ft are 10.9728 m, told as 11.0 m.
        assert_eq!(converted(36_000, 36 * 3048, 10_000), "11.0");
        // Never fewer than three, also where the rule would be content with one.
        assert_eq!(converted(1_000, 8_851, 1_000), "8.85");
        assert_eq!(converted(12_500, 1_225_831, 10_000), "123");
    }

    #[test]
    fn fractions_of_an_inch() {
        let told: Vec<_> = [3, 4, 8, 9, 16, 18, 255].map(sixteenths).into();
        assert_eq!(told, ["3/16", "1/4", "1/2", "9/16", "1", "1-1/8", "15-15/16"]);
    }

    #[test]
    fn rounding_up_takes_no_digit_too_many() {
        assert_eq!(significant(9_996, 1_000, 3), "10.0");
        assert_eq!(significant(99_996, 100_000, 3), "1.00");
        assert_eq!(significant(1_355, 1, 3), "1355");
        assert_eq!(significant(1, 1_000, 3), "0.001");
    }

    proptest! {
        #[test]
        fn what_is_told_reads_back(all in 1..=LARGEST) {
            let told = plain(all);
            match thousandths(&told) {
                Err(NotAFigure::TwoMeanings) => prop_assert!(all % 10 != 0 && (1_000..1_000_000).contains(&all)),
                read => prop_assert_eq!(read, Ok(all)),
            }
        }

        #[test]
        fn any_text_is_read_or_refused(text in ".{0,12}") {
            let (head, rest) = split(&text);
            prop_assert!(text.trim().starts_with(head) && text.trim().ends_with(rest));
            if let Ok(all) = thousandths(head) {
                prop_assert!((1..=LARGEST).contains(&all));
            }
        }
    }
}
