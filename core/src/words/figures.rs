//! Days, numbers, units and money as the owner's language writes them.
//!
//! Source: the Unicode Common Locale Data Repository: the full date, the signs of numbers
//! and of money for `en-GB`, `en-US`, `es`, `fr` and `de`; a test holds them against the ICU of a
//! real Chromium. Four digits stand together in Spanish and nowhere else, in numbers as in
//! money (CLDR's `minimumGroupingDigits`), so a column of hours is written in one way; a year
//! is no number and goes through none of this. One choice of our own: French parts thousands by
//! U+00A0 where CLDR has U+202F, which the letters of a PDF do not have.
//!
//! What is signed keeps to how it was first written ([`Words::amount`], [`Words::figure`]),
//! so that a sheet and what was signed of it stay the same to the last byte.
//!
//! A figure is told in the units that the owner chose, with what was read in brackets
//! where that was another unit; a converted figure keeps the digits of the one that was
//! read (NIST SP 811, 2008, B.7). With no choice it is told as it was read.

use super::{Hole, Word, Words, unit_for};
use crate::event::{Language, Measures};
use crate::moment::{Day, Length, Moment};
use crate::money::Currency;
use crate::money::minor::Minor;
use crate::quantity::{Power, PowerUnit};
use crate::reading::unit::{Unit, decimal};
use crate::tightening::guidance::Guidance;
use crate::tightening::torque::{Target, Torque, TorqueUnit};

use Hole::{Count, Text};

impl Words {
    /// Returns a day in words with its year, `Monday 4 May 2026`.
    pub fn day(&self, day: Day) -> String {
        let (year, month, date) = day.parts();
        let weekday = u32::try_from(day.weekday()).unwrap_or_default();
        let weekday = self.fill(Word::Weekday, &[("number", Count(weekday))]);
        let month = self.fill(Word::Month, &[("number", Count(month))]);
        let style = if self.reader().measures == Measures::Us { "us" } else { "other" };
        let (year, date) = (year.to_string(), date.to_string());
        let holes = [("style", Text(style)), ("weekday", Text(&weekday)), ("month", Text(&month))];
        self.fill(Word::FullDay, &[&holes[..], &[("day", Text(&date)), ("year", Text(&year))]].concat())
    }

    /// Returns a length in hours and minutes, whose symbols are everybody's; begun minutes are cut.
    pub fn length(&self, length: Length) -> String {
        let (hours, minutes) = (length.minutes() / 60, length.minutes() % 60);
        match hours {
            0 => format!("{minutes} min"),
            _ => format!("{hours} h {minutes:02} min"),
        }
    }

    /// Returns a number that is written with a point, `12345.6`, as the language writes it.
    pub fn number(&self, plain: &str) -> String {
        self.parted(plain, self.least_parted())
    }

    /// Returns an amount of money as the language writes it.
    pub fn money(&self, amount: Minor, currency: Currency) -> String {
        let told = self.number(&amount.figure(currency));
        let sign = match currency {
            Currency::Eur => "€",
            Currency::Gbp => match self.reader().language {
                Language::Spanish => "GBP",
                Language::French => "£GB",
                Language::English | Language::German => "£",
            },
            Currency::Usd if self.reader().measures == Measures::Us => "$",
            currency => currency.code(),
        };
        match self.reader().language {
            Language::English if sign.chars().count() > 1 => [sign, "\u{a0}", &told].concat(),
            Language::English => [sign, &told].concat(),
            _ => [&told, "\u{a0}", sign].concat(),
        }
    }

    /// Returns an amount as it is signed: as the language writes money, but in
    /// English with the currency's code after the plain figure, `1284.50 USD`, as it is
    /// signed since the first agreement, whatever dollars are meant. What is not part of a
    /// text that is signed is told by [`Words::money`].
    pub fn amount(&self, amount: Minor, currency: Currency) -> String {
        match self.reader().language {
            Language::English => amount.words(currency),
            _ => self.money(amount, currency),
        }
    }

    /// Returns an amount, as it is signed in a table whose currency is told below it: four
    /// digits stand together in every language.
    pub fn figure(&self, amount: Minor, currency: Currency) -> String {
        match self.reader().language {
            Language::English => amount.figure(currency),
            _ => self.parted(&amount.figure(currency), 5),
        }
    }

    /// Returns a moment: its whole day and the time of the clock.
    pub fn when(&self, at: Moment) -> String {
        let (hour, minute) = at.time_of_day();
        format!("{}, {hour:02}:{minute:02}", self.day(at.day()))
    }

    /// Returns an engine's power.
    pub fn power(&self, power: Power) -> String {
        let read = [&self.number(&power.figure()), " ", power.unit.sign()].concat();
        let unit_read = match power.unit {
            PowerUnit::Kilowatt => Unit::Kilowatt,
            PowerUnit::Horsepower => Unit::Horsepower,
            PowerUnit::MetricHorsepower => Unit::MetricHorsepower,
        };
        let unit = unit_for(self.reader().measures, unit_read);
        if unit == unit_read {
            return read;
        }
        let whole = decimal(unit.scaled(unit_read.amount(power.tenths.into(), 1), 0), 0);
        with_read(&[&self.number(&whole), " ", unit.words()].concat(), &read)
    }

    /// Returns what a fastener is tightened to.
    pub fn target(&self, target: &Target) -> String {
        let mut told = self.torque(target.aim);
        if let Some((low, high)) = target.limits {
            let unit = self.torque_unit(target.aim);
            let (low, high) = (self.number(&low.figure_in(unit)), self.number(&high.figure_in(unit)));
            let high = [&high, " ", unit.sign()].concat();
            told = self.fill(Word::FromTo, &[("aim", Text(&told)), ("low", Text(&low)), ("high", Text(&high))]);
        }
        if let Some(degrees) = target.turn {
            told = self.fill(Word::ThenTurn, &[("torque", Text(&told)), ("degrees", Count(degrees.into()))]);
        }
        told
    }

    /// Returns general guidance in both units.
    pub fn guidance(&self, guidance: &Guidance) -> String {
        let (own, other) = (guidance.low.unit(), guidance.other_unit());
        let pounds_first = match self.reader().measures {
            Measures::AsRead => own == TorqueUnit::PoundForceFoot,
            Measures::Metric => false,
            Measures::Us => true,
        };
        let own_first = (own == TorqueUnit::PoundForceFoot) == pounds_first;
        let (first, second) = if own_first { (own, other) } else { (other, own) };
        let span = |unit: TorqueUnit| {
            let (low, high) = guidance.span(unit);
            let (low, high) = (self.number(&low), self.number(&high));
            let figure = match low == high {
                true => low,
                false => self.fill(Word::Between, &[("low", Text(&low)), ("high", Text(&high))]),
            };
            [&figure, " ", unit.sign()].concat()
        };
        let figure = with_read(&span(first), &span(second));
        self.fill(Word::About, &[("figure", Text(&figure))])
    }

    /// Returns a torque: as read with the other unit in brackets, or as chosen with what was read.
    fn torque(&self, torque: Torque) -> String {
        let (unit, read) = (self.torque_unit(torque), torque.unit());
        let one = |unit: TorqueUnit| [&self.number(&torque.figure_in(unit)), " ", unit.sign()].concat();
        match self.reader().measures {
            Measures::AsRead => with_read(&one(read), &one(torque.other_unit())),
            _ if unit == read => one(read),
            _ => with_read(&one(unit), &one(read)),
        }
    }

    /// Returns the unit in which a torque is told first.
    fn torque_unit(&self, torque: Torque) -> TorqueUnit {
        match (self.reader().measures, torque.unit()) {
            (Measures::AsRead, read) => read,
            (Measures::Metric, _) => TorqueUnit::NewtonMetre,
            (Measures::Us, read @ (TorqueUnit::PoundForceFoot | TorqueUnit::PoundForceInch)) => read,
            (Measures::Us, _) => torque.to(TorqueUnit::NewtonMetre).other_unit(),
        }
    }

    /// Returns from how many digits on thousands are parted.
    const fn least_parted(&self) -> usize {
        match self.reader().language {
            Language::Spanish => 5,
            Language::English | Language::French | Language::German => 4,
        }
    }

    /// Returns a number with the language's signs, its thousands parted from so many digits on.
    fn parted(&self, plain: &str, least: usize) -> String {
        let (whole, part) = plain.split_once('.').map_or((plain, None), |(whole, part)| (whole, Some(part)));
        let digits = whole.trim_start_matches('-');
        let mut told = whole[..whole.len() - digits.len()].to_owned();
        told.push_str(&if digits.len() < least { digits.to_owned() } else { self.grouped(digits) });
        part.into_iter().for_each(|part| told.extend([self.signs().0, part]));
        told
    }

    fn grouped(&self, digits: &str) -> String {
        let mut told = String::new();
        for (at, digit) in digits.char_indices() {
            if at > 0 && (digits.len() - at).is_multiple_of(3) {
                told.push_str(self.signs().1);
            }
            told.push(digit);
        }
        told
    }

    /// Returns the signs before decimals and between thousands.
    fn signs(&self) -> (&'static str, &'static str) {
        match self.reader().language {
            Language::English => (".", ","),
            Language::Spanish | Language::German => (",", "."),
            Language::French => (",", "\u{a0}"),
        }
    }
}

/// Returns a figure with another in brackets.
fn with_read(told: &str, read: &str) -> String {
    [told, " (", read, ")"].concat()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::Reader;

    fn words(language: Language) -> Words {
        Words::of(Reader { language, ..Reader::default() })
    }

    #[test]
    fn thousands_are_parted_as_each_language_parts_them() {
        // CLDR: `minimumGroupingDigits` is 2 in Spanish and 1 in the others.
        let told = |language| ["999.5", "2140", "-2407.3", "12345"].map(|number| words(language).number(number));
        assert_eq!(told(Language::English), ["999.5", "2,140", "-2,407.3", "12,345"]);
        assert_eq!(told(Language::Spanish), ["999,5", "2140", "-2407,3", "12.345"]);
        assert_eq!(told(Language::French), ["999,5", "2\u{a0}140", "-2\u{a0}407,3", "12\u{a0}345"]);
        assert_eq!(told(Language::German), ["999,5", "2.140", "-2.407,3", "12.345"]);
    }

    #[test]
    fn what_is_signed_is_written_as_it_was_when_the_first_was_signed() {
        // Texts that were signed are compared to the last byte, so these may never change.
        let amounts = [99_999, 128_450, 1_234_567].map(Minor::fixed);
        let table = |language| amounts.map(|amount| words(language).figure(amount, Currency::Eur));
        assert_eq!(table(Language::English), ["999.99", "1284.50", "12345.67"]);
        assert_eq!(table(Language::Spanish), ["999,99", "1284,50", "12.345,67"]);
        assert_eq!(table(Language::French), ["999,99", "1284,50", "12\u{a0}345,67"]);
        assert_eq!(table(Language::German), ["999,99", "1284,50", "12.345,67"]);
        let total = |language| words(language).amount(Minor::fixed(128_450), Currency::Eur);
        assert_eq!(
            Language::ALL.map(total),
            ["1284.50 EUR", "1284,50\u{a0}€", "1\u{a0}284,50\u{a0}€", "1.284,50\u{a0}€"]
        );
        assert_eq!(words(Language::English).money(Minor::fixed(128_450), Currency::Gbp), "£1,284.50");
    }
}
