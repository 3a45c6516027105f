//! Amounts of money, prices, quantities and rates, as exact decimals.
//!
//! An amount has exactly the decimals of its currency, always; a price may have
//! more, and what it comes to is rounded once, by a named rule. Nothing is added
//! across currencies. Figures are bounded so that no product is ever cut.

use std::fmt;

use rust_decimal::{Decimal, RoundingStrategy};

use super::{Currency, MoneyError};
use crate::moment::Length;

/// What becomes of the part of an amount that its currency cannot say.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rounding {
    /// To the nearest; the exact half away from zero. EN 16931 (its examples tell
    /// it from the other) and the sales tax of the United States' streamlined
    /// agreement (section 324: up when the third decimal is more than four).
    #[default]
    HalfAwayFromZero,
    /// To the nearest; the exact half to the even digit.
    HalfToEven,
}

impl Rounding {
    const fn strategy(self) -> RoundingStrategy {
        match self {
            Rounding::HalfAwayFromZero => RoundingStrategy::MidpointAwayFromZero,
            Rounding::HalfToEven => RoundingStrategy::MidpointNearestEven,
        }
    }
}

/// An amount in a currency, with exactly its decimals; may be less than zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Money {
    currency: Currency,
    amount: Decimal,
}

impl Money {
    /// Returns no money.
    pub fn zero(currency: Currency) -> Self {
        Self { currency, amount: Decimal::new(0, currency.digits()) }
    }

    /// Reads `1253.11`, or less than zero with a `-` before it.
    ///
    /// # Errors
    /// When it is no number, or has more decimals than the currency.
    pub fn parse(text: &str, currency: Currency) -> Result<Self, MoneyError> {
        Ok(Self { currency, amount: padded(decimal(text, LONGEST_AMOUNT, currency.digits())?, currency) })
    }

    /// Returns an exact figure as an amount.
    ///
    /// # Errors
    /// [`MoneyError::TooLarge`] beyond what is kept exactly.
    pub fn rounded(exact: Decimal, currency: Currency, rule: Rounding) -> Result<Self, MoneyError> {
        let amount = exact.round_dp_with_strategy(currency.digits(), rule.strategy());
        if amount.abs() > Decimal::new(LARGEST, 0) {
            return Err(MoneyError::TooLarge);
        }
        Ok(Self { currency, amount: padded(amount, currency) })
    }

    /// Returns the currency.
    pub fn currency(self) -> Currency {
        self.currency
    }

    /// Returns the figure.
    pub fn decimal(self) -> Decimal {
        self.amount
    }

    /// Tells whether it is less than nothing.
    pub fn is_negative(self) -> bool {
        self.amount < Decimal::ZERO
    }

    /// Tells whether it is nothing.
    pub fn is_zero(self) -> bool {
        self.amount.is_zero()
    }

    /// Returns both together.
    ///
    /// # Errors
    /// When the currencies differ or the sum is too large.
    pub fn plus(self, other: Self) -> Result<Self, MoneyError> {
        if self.currency != other.currency {
            return Err(MoneyError::Mixed(self.currency, other.currency));
        }
        let sum = self.amount.checked_add(other.amount).ok_or(MoneyError::TooLarge)?;
        Self::rounded(sum, self.currency, Rounding::default())
    }

    /// Returns what is left after the other is taken away.
    ///
    /// # Errors
    /// When the currencies differ or the difference is too large.
    pub fn minus(self, other: Self) -> Result<Self, MoneyError> {
        self.plus(other.negated())
    }

    /// Returns the amount the other way round.
    #[must_use]
    pub fn negated(self) -> Self {
        // Zero has no sign, so that nothing is ever written as -0.00.
        let amount = if self.is_zero() { self.amount } else { -self.amount };
        Self { amount, ..self }
    }

    /// Returns a part of it.
    ///
    /// # Errors
    /// When the amount is too large.
    pub fn percent(self, rate: Percent, rule: Rounding) -> Result<Self, MoneyError> {
        let exact = self.amount.checked_mul(rate.0).and_then(|hundredfold| hundredfold.checked_div(HUNDRED));
        Self::rounded(exact.ok_or(MoneyError::TooLarge)?, self.currency, rule)
    }

    /// Returns the sum of amounts in one currency.
    ///
    /// # Errors
    /// When one is in another currency or the sum is too large.
    pub fn sum(amounts: impl IntoIterator<Item = Self>, currency: Currency) -> Result<Self, MoneyError> {
        amounts.into_iter().try_fold(Self::zero(currency), Self::plus)
    }

    /// Returns the greater of two amounts in one currency.
    ///
    /// # Errors
    /// When the currencies differ.
    pub fn or_at_least(self, least: Self) -> Result<Self, MoneyError> {
        Ok(if self.minus(least)?.is_negative() { least } else { self })
    }

    /// Returns the lesser of two amounts in one currency.
    ///
    /// # Errors
    /// When the currencies differ.
    pub fn or_at_most(self, most: Self) -> Result<Self, MoneyError> {
        Ok(if most.minus(self)?.is_negative() { most } else { self })
    }
}

/// The figure alone, with all decimals of its currency.
impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.amount.fmt(f)
    }
}

/// What one of something costs, in the currency of the list that it stands in; never less than nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Price(Decimal);

impl Price {
    /// Reads a price with at most six decimals.
    ///
    /// # Errors
    /// When it is no such number, or less than nothing (EN 16931, BR-27).
    pub fn parse(text: &str) -> Result<Self, MoneyError> {
        not_negative(text, 6).map(Self)
    }

    /// Returns the figure.
    pub fn decimal(self) -> Decimal {
        self.0
    }

    /// Returns an amount as the price of one.
    ///
    /// # Errors
    /// When it is less than nothing.
    pub fn of(amount: Money) -> Result<Self, MoneyError> {
        if amount.is_negative() {
            Err(MoneyError::Negative(amount.to_string()))
        } else {
            Ok(Self(amount.amount.normalize()))
        }
    }

    /// Returns the price with so much added to it, to at most six decimals.
    ///
    /// # Errors
    /// When the price is too large.
    pub fn marked_up(self, by: Percent) -> Result<Self, MoneyError> {
        let factor = HUNDRED.checked_add(by.0).and_then(|percent| percent.checked_div(HUNDRED));
        let price = factor.and_then(|factor| self.0.checked_mul(factor)).ok_or(MoneyError::TooLarge)?;
        Ok(Self(price.round_dp_with_strategy(6, RoundingStrategy::MidpointAwayFromZero).normalize()))
    }

    /// Returns what so many come to, at this price for `per` of them.
    ///
    /// # Errors
    /// [`MoneyError::NotPositive`] for a `per` of nothing; when it is too large.
    pub fn times(self, of: Quantity, per: Quantity, currency: Currency) -> Result<Money, MoneyError> {
        if per.0 <= Decimal::ZERO {
            return Err(MoneyError::NotPositive);
        }
        let exact = self.0.checked_mul(of.0).and_then(|all| all.checked_div(per.0)).ok_or(MoneyError::TooLarge)?;
        Money::rounded(exact, currency, Rounding::default())
    }

    /// Returns what a length of time comes to at this price an hour.
    ///
    /// # Errors
    /// When it is too large.
    pub fn for_hours(self, length: Length, currency: Currency) -> Result<Money, MoneyError> {
        self.times(Quantity(Decimal::from(length.ms())), Quantity(Decimal::from(MS_OF_AN_HOUR)), currency)
    }
}

impl fmt::Display for Price {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// How many or how much of something; less than zero for what comes back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Quantity(Decimal);

impl Quantity {
    /// None.
    pub const NONE: Quantity = Quantity(Decimal::ZERO);
    /// One.
    pub const ONE: Quantity = Quantity(Decimal::ONE);

    /// Returns a whole number of something.
    pub fn whole(count: u32) -> Self {
        Self(Decimal::from(count))
    }

    /// Returns a length in hours, to four decimals, the half up.
    pub fn hours(length: Length) -> Self {
        let hours = Decimal::from(length.ms()) / Decimal::from(MS_OF_AN_HOUR);
        Self(hours.round_dp_with_strategy(4, RoundingStrategy::MidpointAwayFromZero).normalize())
    }

    /// Returns what is left after the other is taken away.
    ///
    /// # Errors
    /// When the difference is too large.
    pub fn minus(self, other: Self) -> Result<Self, MoneyError> {
        self.0.checked_sub(other.0).map(|left| Self(left.normalize())).ok_or(MoneyError::TooLarge)
    }

    /// Reads a quantity with at most four decimals.
    ///
    /// # Errors
    /// When it is no such number.
    pub fn parse(text: &str) -> Result<Self, MoneyError> {
        decimal(text, LONGEST_WHOLE, 4).map(Self)
    }

    /// Returns the figure.
    pub fn decimal(self) -> Decimal {
        self.0
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// A rate in hundredths, never less than nothing: of a tax, a discount or a mark-up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Percent(Decimal);

impl Percent {
    /// Nothing of it.
    pub const ZERO: Percent = Percent(Decimal::ZERO);

    /// Reads a rate with at most four decimals, without a sign.
    ///
    /// # Errors
    /// When it is no such number.
    pub fn parse(text: &str) -> Result<Self, MoneyError> {
        not_negative(text, 4).map(|rate| Self(rate.normalize()))
    }

    /// Tells whether it is nothing.
    pub fn is_zero(self) -> bool {
        self.0.is_zero()
    }

    /// Tells whether it is no more than the whole.
    pub fn is_a_part(self) -> bool {
        self.0 <= HUNDRED
    }
}

impl fmt::Display for Percent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

const HUNDRED: Decimal = Decimal::ONE_HUNDRED;
const MS_OF_AN_HOUR: u32 = 3_600_000;
/// The largest amount. With the longest figures that are read (9 digits, and 6 or 4
/// decimals) an amount times a rate, and a price times a quantity, have at most 28
/// digits, which the 96 bits of a decimal hold exactly.
const LARGEST: i64 = 99_999_999_999;
const LONGEST_WHOLE: usize = 9;
/// So many digits the largest amount has: what was written reads back.
const LONGEST_AMOUNT: usize = 11;

/// Reads at most `longest_whole` digits with at most `digits` decimals after a point.
fn decimal(text: &str, longest_whole: usize, digits: u32) -> Result<Decimal, MoneyError> {
    let not_a_number = || MoneyError::NotANumber(text.chars().take(40).collect());
    let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
    let all_digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let unsigned = whole.strip_prefix('-').unwrap_or(whole);
    if !all_digits(unsigned) || !all_digits(part) {
        return Err(not_a_number());
    }
    if unsigned.len() > longest_whole {
        return Err(MoneyError::TooLarge);
    }
    let part = part.trim_end_matches('0');
    if part.len() > digits as usize {
        return Err(MoneyError::TooFine { text: text.chars().take(40).collect(), digits });
    }
    let read = Decimal::from_str_exact(&format!("{whole}.{part}0")).map_err(|_| not_a_number())?.normalize();
    Ok(if read.is_zero() { Decimal::ZERO } else { read })
}

fn not_negative(text: &str, digits: u32) -> Result<Decimal, MoneyError> {
    let read = decimal(text, LONGEST_WHOLE, digits)?;
    if read < Decimal::ZERO { Err(MoneyError::Negative(text.to_owned())) } else { Ok(read) }
}

/// Returns the figure with all decimals of the currency, and without a sign on nothing.
fn padded(amount: Decimal, currency: Currency) -> Decimal {
    let mut amount = if amount.is_zero() { Decimal::ZERO } else { amount };
    amount.rescale(currency.digits());
    amount
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn eur(text: &str) -> Money {
        Money::parse(text, Currency::Eur).unwrap()
    }

    fn rate(text: &str) -> Percent {
        Percent::parse(text).unwrap()
    }

    #[test]
    fn amounts_are_written_with_all_their_decimals() {
        for (text, currency, written) in [
            ("0", Currency::Eur, "0.00"),
            ("-0", Currency::Eur, "0.00"),
            ("95.5", Currency::Eur, "95.50"),
            ("-95.50", Currency::Usd, "-95.50"),
            ("95.500", Currency::Usd, "95.50"),
            ("1200", Currency::Jpy, "1200"),
            ("1.234", Currency::Kwd, "1.234"),
            ("007.1", Currency::Eur, "7.10"),
        ] {
            assert_eq!(Money::parse(text, currency).unwrap().to_string(), written, "{text}");
        }
        assert_eq!(eur("5.00").minus(eur("5.00")).unwrap().negated().to_string(), "0.00");
    }

    #[test]
    fn what_is_no_amount_is_refused_with_words() {
        for text in ["", ".", "1,5", "1.", ".5", "1e3", "+1", "1_000", "--1", "NaN", "1 000", "٣", "$5"] {
            assert_eq!(Money::parse(text, Currency::Eur), Err(MoneyError::NotANumber(text.to_owned())), "{text}");
        }
        assert!(matches!(Money::parse("1.005", Currency::Eur), Err(MoneyError::TooFine { digits: 2, .. })));
        assert!(matches!(Money::parse("1.5", Currency::Jpy), Err(MoneyError::TooFine { digits: 0, .. })));
        assert_eq!(Money::parse("99999999999", Currency::Eur).unwrap().to_string(), "99999999999.00");
        assert_eq!(Money::parse("100000000000", Currency::Eur), Err(MoneyError::TooLarge));
        assert_eq!(Price::parse("1000000000"), Err(MoneyError::TooLarge));
        assert_eq!(Price::parse("-1"), Err(MoneyError::Negative("-1".to_owned())));
        let mixed = eur("1").plus(Money::zero(Currency::Usd)).unwrap_err();
        assert_eq!(mixed.to_string(), "EUR and USD cannot be added: make one document for each currency");
    }

    #[test]
    fn the_half_goes_up_as_in_the_streamlined_sales_tax_agreement_section_324() {
        // Its rule (third decimal more than four goes up), worked by hand: each is an exact
        // half, and to the even digit it would be another cent.
        for (amount, tax, up, even) in [
            ("1.00", "6.5", "0.07", "0.06"),
            ("2.50", "7", "0.18", "0.18"),
            ("0.50", "25", "0.13", "0.12"),
            ("12.50", "7.4", "0.93", "0.92"),
        ] {
            let by = |rule| eur(amount).percent(rate(tax), rule).unwrap().to_string();
            assert_eq!(by(Rounding::HalfAwayFromZero), up, "{amount}");
            assert_eq!(by(Rounding::HalfToEven), even, "{amount}");
        }
        // Cut after the third decimal or not, it is the same cent.
        let exact = Decimal::from_str_exact("0.0145").unwrap();
        assert_eq!(Money::rounded(exact, Currency::Usd, Rounding::default()).unwrap().to_string(), "0.01");
    }

    #[test]
    fn hours_times_a_price() {
        let hours = |minutes: u64| Length::from_ms(minutes * 60_000);
        let price = Price::parse("96").unwrap();
        assert_eq!(price.for_hours(hours(45), Currency::Usd).unwrap().to_string(), "72.00");
        // 20 minutes at 100 are a third, which no decimal holds; at 95.50 for 6 minutes it is exact.
        let hundred = Price::parse("100").unwrap();
        assert_eq!(hundred.for_hours(hours(20), Currency::Usd).unwrap().to_string(), "33.33");
        assert_eq!(Price::parse("95.5").unwrap().for_hours(hours(6), Currency::Usd).unwrap().to_string(), "9.55");
        assert_eq!(Quantity::hours(hours(20)).to_string(), "0.3333");
        assert_eq!(Quantity::hours(hours(90)).to_string(), "1.5");
        assert_eq!(Price::parse("80").unwrap().marked_up(rate("35")).unwrap(), Price::parse("108").unwrap());
    }

    proptest! {
        #[test]
        fn no_text_makes_it_stop(text in ".{0,24}") {
            let _ = (Price::parse(&text), Percent::parse(&text), Quantity::parse(&text));
            if let Ok(money) = Money::parse(&text, Currency::Eur) {
                prop_assert_eq!(Money::parse(&money.to_string(), Currency::Eur), Ok(money));
            }
        }

        #[test]
        fn more_time_never_costs_less(cents in 0u32..100_000, short in 0u64..100_000_000, more in 0u64..100_000_000) {
            let price = Price(Decimal::new(i64::from(cents), 2));
            let cost = |ms| price.for_hours(Length::from_ms(ms), Currency::Eur).unwrap().decimal();
            prop_assert!(cost(short) <= cost(short + more));
        }

        #[test]
        fn what_is_taken_away_and_added_again_is_the_same(a in -9_999_999_999i64..9_999_999_999, b in -9_999_999_999i64..9_999_999_999) {
            let money = |cents| Money::rounded(Decimal::new(cents, 2), Currency::Gbp, Rounding::default()).unwrap();
            prop_assert_eq!(money(a).minus(money(b)).unwrap().plus(money(b)), Ok(money(a)));
            prop_assert_eq!(money(a).plus(money(b)), money(b).plus(money(a)));
        }
    }
}
