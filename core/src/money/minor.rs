//! An amount in whole minor units of a currency: cents, pence, yen.
//!
//! What a phone keeps and adds up of money is whole, so it needs no decimals
//! and none of what comes with them; the currency says where the point stands
//! (ISO 4217, [`Currency::digits`]). An amount here is never below nothing.

use super::Currency;

/// An amount of at least nothing, in minor units of a currency that is told elsewhere.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Minor(u64);

/// The largest amount that is taken, in minor units.
const LARGEST: u64 = 99_999_999_999;

/// Why a text is no amount, and what to do instead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoAmount {
    /// It holds something else than digits and one point.
    #[error("an amount is written as 95.50: digits, and a point before the decimals")]
    NotANumber,
    /// It has smaller parts than the currency.
    #[error("{} has {} decimals: leave out what is smaller", .0.code(), .0.digits())]
    TooFine(Currency),
    /// It could be a thousand or a decimal part.
    #[error("write thousands without a comma, and a point before the decimals: 1500 or 1.50")]
    Ambiguous,
    /// It is larger than any work on a boat.
    #[error("this amount is too large: check its digits")]
    TooLarge,
}

impl Minor {
    /// Nothing.
    pub const NOTHING: Minor = Minor(0);

    /// Returns so many minor units; none that are too many to be meant.
    pub const fn new(units: u64) -> Option<Self> {
        if units <= LARGEST { Some(Self(units)) } else { None }
    }

    /// Returns so many minor units, as a table of a law has them.
    pub const fn fixed(units: u32) -> Self {
        Self(units as u64)
    }

    /// Returns the minor units.
    pub const fn units(self) -> u64 {
        self.0
    }

    /// Returns both together.
    #[must_use]
    pub const fn plus(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }

    /// Returns what is left when the other is taken away; nothing where it is more.
    #[must_use]
    pub const fn less(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }

    /// Returns `part` of `whole` shares of it, rounded up; all of it where there is no whole.
    #[must_use]
    pub fn share(self, part: u64, whole: u64) -> Self {
        if whole == 0 {
            return self;
        }
        let exact = (u128::from(self.0) * u128::from(part)).div_ceil(u128::from(whole));
        Self(u64::try_from(exact).unwrap_or(u64::MAX))
    }

    /// Reads an amount as it is typed, `95`, `95.5` or `95,50`.
    ///
    /// # Errors
    /// Returns [`NoAmount`] for what is no amount of this currency.
    pub fn parse(text: &str, currency: Currency) -> Result<Self, NoAmount> {
        let text = text.trim();
        let (whole, part) = text.split_once(['.', ',']).unwrap_or((text, ""));
        let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        if whole.is_empty() || !digits(whole) || !digits(part) {
            return Err(NoAmount::NotANumber);
        }
        if text.contains(',') && part.len() == 3 {
            return Err(NoAmount::Ambiguous);
        }
        let places = currency.digits() as usize;
        if part.len() > places {
            return Err(NoAmount::TooFine(currency));
        }
        let padded: String = whole.chars().chain(part.chars()).chain("0".repeat(places - part.len()).chars()).collect();
        padded.parse().ok().and_then(Self::new).ok_or(NoAmount::TooLarge)
    }

    /// Returns the amount with all its decimals, `95.50`.
    pub fn figure(self, currency: Currency) -> String {
        let places = currency.digits() as usize;
        let mut text = self.0.to_string();
        if places > 0 {
            if text.len() <= places {
                text.insert_str(0, &"0".repeat(places + 1 - text.len()));
            }
            text.insert(text.len() - places, '.');
        }
        text
    }

    /// Returns the amount with its currency, `95.50 EUR`.
    pub fn words(self, currency: Currency) -> String {
        [&self.figure(currency), " ", currency.code()].concat()
    }
}

impl std::iter::Sum for Minor {
    fn sum<I: Iterator<Item = Self>>(amounts: I) -> Self {
        amounts.fold(Self::NOTHING, Self::plus)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_read_as_typed_and_written_with_all_decimals() {
        for (text, currency, units, figure) in [
            ("95", Currency::Eur, 9_500, "95.00"),
            (" 95.5 ", Currency::Eur, 9_550, "95.50"),
            ("95,50", Currency::Usd, 9_550, "95.50"),
            ("0.05", Currency::Usd, 5, "0.05"),
            ("0", Currency::Usd, 0, "0.00"),
            ("1200", Currency::Jpy, 1_200, "1200"),
            ("1.234", Currency::Kwd, 1_234, "1.234"),
            ("999999999.99", Currency::Gbp, 99_999_999_999, "999999999.99"),
        ] {
            let amount = Minor::parse(text, currency).unwrap();
            assert_eq!((amount.units(), amount.figure(currency).as_str()), (units, figure), "{text}");
        }
        assert_eq!(Minor::fixed(51_000).words(Currency::Usd), "510.00 USD");
    }

    #[test]
    fn what_is_no_amount_is_refused_with_words() {
        for (text, currency, why) in [
            ("", Currency::Eur, NoAmount::NotANumber),
            (".5", Currency::Eur, NoAmount::NotANumber),
            ("-1", Currency::Eur, NoAmount::NotANumber),
            ("1.2.3", Currency::Eur, NoAmount::NotANumber),
            ("12 hours", Currency::Eur, NoAmount::NotANumber),
            ("1.005", Currency::Eur, NoAmount::TooFine(Currency::Eur)),
            ("1.5", Currency::Jpy, NoAmount::TooFine(Currency::Jpy)),
            ("1,500", Currency::Kwd, NoAmount::Ambiguous),
            ("1,500", Currency::Eur, NoAmount::Ambiguous),
            ("1000000000", Currency::Eur, NoAmount::TooLarge),
            ("99999999999999999999999", Currency::Eur, NoAmount::TooLarge),
        ] {
            assert_eq!(Minor::parse(text, currency), Err(why), "{text}");
        }
    }

    #[test]
    fn shares_are_rounded_up_so_that_none_is_lost() {
        let ten = Minor::fixed(1_000);
        assert_eq!(ten.share(1, 3).units(), 334);
        assert_eq!(ten.share(3, 3), ten);
        assert_eq!(ten.share(5, 0), ten);
        assert_eq!((ten.less(Minor::fixed(1_100)), ten.plus(ten).units()), (Minor::NOTHING, 2_000));
    }
}
