//! Hull identification numbers: what one says of a boat, and which rule it breaks.
//!
//! A number that is read off a wet transom is copied wrong easily, and a claim for
//! warranty comes back for it. So each rule that is broken is named, with the place
//! in the number. It is a question and never a refusal: boats from before November
//! 1972 have none, and boats of other countries may bear another.
//!
//! Rule: 33 CFR 181.25 (a) to (d), read as current through 2024-09-30: twelve
//! characters without slash, hyphen or space; maker, serial number without I, O
//! and Q, month letter, year digit, model year. The two older forms (1972-11-01 to
//! 1984-07-31) are told as boat dealers' pages tell them; that their serial numbers
//! had no I, O or Q either is from memory. A country code in front is ISO 10087's
//! form, from memory. How far year and model year lie apart is common practice.

use std::fmt;

use crate::moment::MONTHS;

/// What a number says, and what is doubtful about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Checked {
    /// The country code before it, if one stands there.
    pub country: Option<String>,
    /// When the boat was made, as far as the number says it.
    pub made: Option<Made>,
    /// The rules that it breaks, in the order of its characters.
    pub doubts: Vec<Doubt>,
}

/// When a boat was made, by one of the forms. Months count from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Made {
    /// As written since 1984-08-01.
    Current {
        /// Month of manufacture or certification.
        month: u8,
        /// Year of the same: the last with that digit that is not after the model year.
        year: u16,
        /// Model year.
        model: u16,
    },
    /// Month and year in digits, 1972 to 1984.
    StraightYear {
        /// Month of manufacture.
        month: u8,
        /// Year of manufacture.
        year: u16,
    },
    /// M, model year, and a month that counts from August, 1972 to 1984.
    ModelYear {
        /// Month of manufacture.
        month: u8,
        /// Year of manufacture.
        year: u16,
        /// Model year.
        model: u16,
    },
}

/// A rule that a number breaks. `place` counts its characters from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Doubt {
    /// Something stands between the characters.
    #[error("slashes, hyphens or spaces stand in it, and none should (33 CFR 181.25)")]
    Interrupted,
    /// It is too long or too short.
    #[error("it has {0} characters, not 12 (33 CFR 181.25){hint}", hint = length_hint(*.0))]
    Length(usize),
    /// A character that no number has.
    #[error("character {place} is {found}, which is neither a letter A to Z nor a digit (33 CFR 181.25)")]
    Foreign {
        /// Where.
        place: usize,
        /// What stands there.
        found: char,
    },
    /// A letter that is taken for a digit.
    #[error("character {place} is {found}, but a serial number has no I, O or Q (33 CFR 181.25 (b)): is it {digit}?", digit = digit_like(*.found))]
    Serial {
        /// Where.
        place: usize,
        /// What stands there.
        found: char,
    },
    /// No month.
    #[error("character 9 is {0}, but a month is a letter A to L (33 CFR 181.25 (c)){hint}", hint = month_hint(*.0))]
    Month(char),
    /// No year.
    #[error("character 10 is {0}, but it is the last digit of the year (33 CFR 181.25 (c)){hint}", hint = digit_hint(*.0))]
    Year(char),
    /// No model year.
    #[error("characters 11 and 12 are {0}{1}, but they are the last two digits of the model year (33 CFR 181.25 (d))")]
    ModelYear(char, char),
    /// The model year is long after the year.
    #[error("it says made in {year} for model year {model}, which is far apart: look at characters 10 to 12 again")]
    FarApart {
        /// When it says that the boat was made.
        year: u16,
        /// Its model year.
        model: u16,
    },
}

/// The years in which the older forms were written.
const OLDER: std::ops::RangeInclusive<u16> = 72..=84;
/// A boat is seldom sold as of a model year that begins later than this after she was made.
const YEARS_APART: u16 = 2;
const LENGTH: usize = 12;

/// Returns what a number says as it was typed; nothing where nothing was typed.
pub fn check(typed: &str) -> Option<Checked> {
    let typed: Vec<char> = typed.trim().to_uppercase().chars().collect();
    if typed.is_empty() {
        return None;
    }
    let (country, rest) = country(&typed);
    let characters: Vec<char> = rest.iter().copied().filter(|&c| !is_between(c)).collect();
    let mut doubts = Vec::new();
    if characters.len() != rest.len() {
        doubts.push(Doubt::Interrupted);
    }
    let Ok(number) = <[char; LENGTH]>::try_from(characters) else {
        let length = rest.iter().filter(|&&c| !is_between(c)).count();
        doubts.push(Doubt::Length(length));
        return Some(Checked { country, made: None, doubts });
    };
    for (place, found) in (1..).zip(number) {
        if !found.is_ascii_alphanumeric() {
            doubts.push(Doubt::Foreign { place, found });
        } else if (4..=8).contains(&place) && matches!(found, 'I' | 'O' | 'Q') {
            doubts.push(Doubt::Serial { place, found });
        }
    }
    let date = [number[8], number[9], number[10], number[11]];
    let made = older(date).or_else(|| current(date, &mut doubts));
    Some(Checked { country, made, doubts })
}

fn is_between(c: char) -> bool {
    matches!(c, '-' | '/' | '–' | '_') || c.is_whitespace()
}

/// Parts a country code from the number, where two letters stand before twelve characters.
fn country(typed: &[char]) -> (Option<String>, &[char]) {
    let Some((code, rest)) = typed.split_at_checked(2) else { return (None, typed) };
    let length = rest.iter().filter(|&&c| !is_between(c)).count();
    if length != LENGTH || !code.iter().all(char::is_ascii_uppercase) {
        return (None, typed);
    }
    let from = usize::from(rest.first() == Some(&'-'));
    (Some(code.iter().collect()), &rest[from..])
}

/// Reads a date of one of the older forms.
fn older([first, second, third, last]: [char; 4]) -> Option<Made> {
    let two = |tens: char, ones: char| Some(digit(tens)? * 10 + digit(ones)?);
    if first == 'M' {
        let model = two(second, third).filter(|year| OLDER.contains(year))?;
        // A is August, the month in which a model year begins.
        let after_august = month_letter(last)? - 1;
        let (month, before) = if after_august < 5 { (after_august + 8, 1) } else { (after_august - 4, 0) };
        return Some(Made::ModelYear { month, year: 1900 + model - before, model: 1900 + model });
    }
    let month = two(first, second).and_then(|it| u8::try_from(it).ok()).filter(|it| (1..=12).contains(it))?;
    let year = two(third, last).filter(|year| OLDER.contains(year))?;
    Some(Made::StraightYear { month, year: 1900 + year })
}

/// Reads a date of the current form.
fn current([first, second, third, last]: [char; 4], doubts: &mut Vec<Doubt>) -> Option<Made> {
    let (month, ones) = (month_letter(first), digit(second));
    let model = digit(third).zip(digit(last)).map(|(tens, ones)| tens * 10 + ones);
    doubts.extend(month.is_none().then_some(Doubt::Month(first)));
    doubts.extend(ones.is_none().then_some(Doubt::Year(second)));
    doubts.extend(model.is_none().then_some(Doubt::ModelYear(third, last)));
    // No number of this form is older than model year 1973; from 2073 on this must be another rule.
    let model = model.map(|two| if two > 72 { 1900 + two } else { 2000 + two })?;
    let (month, year) = (month?, model - (model - ones?) % 10);
    if model - year > YEARS_APART {
        doubts.push(Doubt::FarApart { year, model });
    }
    Some(Made::Current { month, year, model })
}

fn digit(c: char) -> Option<u16> {
    c.to_digit(10).and_then(|digit| u16::try_from(digit).ok())
}

/// Returns which letter from A to L it is, from 1.
fn month_letter(c: char) -> Option<u8> {
    ('A'..='L').contains(&c).then(|| c as u8 - b'A' + 1)
}

const fn length_hint(length: usize) -> &'static str {
    match length {
        17 => "; 17 are a trailer's or a vehicle's number",
        5..=9 => "; is it the registration number?",
        _ => "",
    }
}

const fn digit_like(letter: char) -> &'static str {
    if letter == 'I' { "1" } else { "0" }
}

const fn month_hint(found: char) -> &'static str {
    match found {
        '1' => ": is it the letter I, September?",
        '8' => ": is it the letter B, February?",
        _ => "",
    }
}

const fn digit_hint(found: char) -> &'static str {
    match found {
        'B' => ": is it 8?",
        'I' => ": is it 1?",
        'O' | 'Q' => ": is it 0?",
        _ => "",
    }
}

impl fmt::Display for Made {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (Self::Current { month, year, .. }
        | Self::StraightYear { month, year }
        | Self::ModelYear { month, year, .. }) = *self;
        let name = MONTHS.get(usize::from(month) - 1).unwrap_or(&"");
        write!(f, "made {name} {year}")?;
        match self {
            Self::Current { model, .. } => write!(f, ", model year {model}"),
            Self::ModelYear { model, .. } => write!(f, ", model year {model} (older form)"),
            Self::StraightYear { .. } => f.write_str(" (older form)"),
        }
    }
}

impl Checked {
    /// Returns what the number says, in one line; nothing where it says nothing.
    pub fn says(&self) -> Option<String> {
        let country = self.country.as_ref().map(|code| format!("country code {code} (ISO 10087)"));
        let words: Vec<String> = self.made.map(|made| made.to_string()).into_iter().chain(country).collect();
        (!words.is_empty()).then(|| words.join("; "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use expect_test::expect;
    use proptest::prelude::*;

    fn made(number: &str) -> Option<Made> {
        let checked = check(number).unwrap();
        assert_eq!(checked.doubts, [], "{number}");
        checked.made
    }

    fn doubts(number: &str) -> Vec<Doubt> {
        check(number).unwrap().doubts
    }

    #[test]
    fn numbers_as_builders_and_dealers_explain_them() {
        let current = |month, year, model| Some(Made::Current { month, year, model });
        // macgregorsailors.com, quoting a builders' guide.
        assert_eq!(made("ABC12345L495"), current(12, 1994, 1995));
        // boat-alert.com/hin-types.htm: a row for each form.
        assert_eq!(made("ABC12345A788"), current(1, 1987, 1988));
        assert_eq!(made("ABC123451275"), Some(Made::StraightYear { month: 12, year: 1975 }));
        let older = |month, year, model| Some(Made::ModelYear { month, year, model });
        assert_eq!(made("ABC12345M75A"), older(8, 1974, 1975));
        // sailboatdata.com/forums/reply/85740: the ends of three numbers.
        assert_eq!(made("ABC12345M82H"), older(3, 1982, 1982));
        assert_eq!(made("ABC12345C585"), current(3, 1985, 1985));
        assert_eq!(made("ABC12345K485"), current(11, 1984, 1985));
        // A decade and a century are crossed backwards (worked out).
        assert_eq!(made("ABC12345I900"), current(9, 1999, 2000));
        assert_eq!(made("ABC12345L910"), current(12, 2009, 2010));
    }

    #[test]
    fn a_letter_that_looks_like_a_digit_is_none_in_the_serial_number_only() {
        assert_eq!(doubts("ABC1O345D404"), [Doubt::Serial { place: 5, found: 'O' }]);
        // "It's an I, but it's ok": September (macgregorsailors.com).
        assert_eq!(made("ABC12345I304"), Some(Made::Current { month: 9, year: 2003, model: 2004 }));
        assert_eq!(doubts("ABC12345M304"), [Doubt::Month('M')]);
        assert_eq!(doubts("ABC123451304"), [Doubt::Month('1')]);
        assert_eq!(doubts("ABC12345AB04"), [Doubt::Year('B')]);
        assert_eq!(doubts("ABC12345A4O4"), [Doubt::ModelYear('O', '4')]);
        assert_eq!(doubts("ABC12345A504"), [Doubt::FarApart { year: 1995, model: 2004 }]);
    }

    #[test]
    fn what_is_no_such_number_is_asked_about() {
        assert_eq!(check("  "), None);
        assert_eq!(doubts("ABC 12345 L495"), [Doubt::Interrupted]);
        assert_eq!(doubts("FL 1234 AB"), [Doubt::Interrupted, Doubt::Length(8)]);
        assert_eq!(doubts("1ABCD2345EF678901"), [Doubt::Length(17)]);
        assert_eq!(doubts("ÄBC12345L495"), [Doubt::Foreign { place: 1, found: 'Ä' }]);
    }

    #[test]
    fn a_country_code_may_stand_before_it() {
        let checked = check("us-abc12345a797").unwrap();
        assert_eq!((checked.country.as_deref(), &checked.doubts[..]), (Some("US"), &[][..]));
        expect!["made January 1997, model year 1997; country code US (ISO 10087)"].assert_eq(&checked.says().unwrap());
        assert_eq!(check("USABC12345A797").unwrap().country.as_deref(), Some("US"));
    }

    #[test]
    fn each_doubt_names_its_rule_and_what_it_may_be() {
        let told = ["ABC1O345D404", "ABC123451304", "ABC12345A4", "1ABCD2345EF678901"]
            .map(|number| doubts(number).iter().map(ToString::to_string).collect::<Vec<_>>().join("; "));
        expect![[r#"
            character 5 is O, but a serial number has no I, O or Q (33 CFR 181.25 (b)): is it 0?
            character 9 is 1, but a month is a letter A to L (33 CFR 181.25 (c)): is it the letter I, September?
            it has 10 characters, not 12 (33 CFR 181.25)
            it has 17 characters, not 12 (33 CFR 181.25); 17 are a trailer's or a vehicle's number"#]]
        .assert_eq(&told.join("\n"));
    }

    proptest! {
        #[test]
        fn whatever_is_typed_is_read(text in "\\PC{0,24}") {
            let checked = check(&text);
            prop_assert_eq!(checked.is_none(), text.trim().is_empty());
        }

        /// Every number that the rule allows is read as what it was written from.
        #[test]
        fn a_sound_number_is_read_back(maker in "[A-Z]{3}", serial in "[A-HJ-NPR-Z0-9]{5}", month in 1..=12_u8, year in 1984..=2070_u16, later in 0..=2_u16) {
            let letter = char::from(b'A' + month - 1);
            let model = year + later;
            let number = format!("{maker}{serial}{letter}{}{:02}", year % 10, model % 100);
            prop_assert_eq!(check(&number).unwrap(), Checked { country: None, made: Some(Made::Current { month, year, model }), doubts: Vec::new() });
        }
    }
}
