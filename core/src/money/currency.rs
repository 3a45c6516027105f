//! Currencies and the number of their decimals.
//!
//! The table is closed: a currency that is not in it is refused, because an
//! amount with a guessed number of decimals is wrong by a factor of ten. Source:
//! ISO 4217, alphabetic codes and minor units, as in the open data set
//! `datasets/currency-codes` on GitHub (`data/codes-all.csv`, commits 051762c
//! and ab9b0ae), read in 2026.

/// A currency of ISO 4217.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "each is its code")]
pub enum Currency {
    Aud,
    Bhd,
    Cad,
    Chf,
    Czk,
    Dkk,
    Eur,
    Gbp,
    Huf,
    Isk,
    Jpy,
    Kwd,
    Nok,
    Nzd,
    Pln,
    Sek,
    Tnd,
    Usd,
}

/// A code that is not in the table.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the currency {0:?} is not known here: use the three letters of ISO 4217, such as EUR or USD")]
pub struct UnknownCurrency(String);

impl Currency {
    /// All, by code.
    pub const ALL: [Currency; 18] = [
        Currency::Aud,
        Currency::Bhd,
        Currency::Cad,
        Currency::Chf,
        Currency::Czk,
        Currency::Dkk,
        Currency::Eur,
        Currency::Gbp,
        Currency::Huf,
        Currency::Isk,
        Currency::Jpy,
        Currency::Kwd,
        Currency::Nok,
        Currency::Nzd,
        Currency::Pln,
        Currency::Sek,
        Currency::Tnd,
        Currency::Usd,
    ];

    const fn row(self) -> (&'static str, u32) {
        match self {
            Currency::Aud => ("AUD", 2),
            Currency::Bhd => ("BHD", 3),
            Currency::Cad => ("CAD", 2),
            Currency::Chf => ("CHF", 2),
            Currency::Czk => ("CZK", 2),
            Currency::Dkk => ("DKK", 2),
            Currency::Eur => ("EUR", 2),
            Currency::Gbp => ("GBP", 2),
            Currency::Huf => ("HUF", 2),
            Currency::Isk => ("ISK", 0),
            Currency::Jpy => ("JPY", 0),
            Currency::Kwd => ("KWD", 3),
            Currency::Nok => ("NOK", 2),
            Currency::Nzd => ("NZD", 2),
            Currency::Pln => ("PLN", 2),
            Currency::Sek => ("SEK", 2),
            Currency::Tnd => ("TND", 3),
            Currency::Usd => ("USD", 2),
        }
    }

    /// Returns the three letters.
    pub const fn code(self) -> &'static str {
        self.row().0
    }

    /// Returns how many decimals an amount has.
    pub const fn digits(self) -> u32 {
        self.row().1
    }

    /// Reads the three letters.
    ///
    /// # Errors
    /// Returns [`UnknownCurrency`] for any other text.
    pub fn parse(text: &str) -> Result<Self, UnknownCurrency> {
        let known = Self::ALL.into_iter().find(|currency| currency.code() == text);
        known.ok_or_else(|| UnknownCurrency(text.to_owned()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_digits_of_iso_4217() {
        // Rows of the open table that differ from the usual two, and some that do not.
        for (code, digits) in [("JPY", 0), ("ISK", 0), ("KWD", 3), ("BHD", 3), ("TND", 3), ("HUF", 2), ("USD", 2)] {
            assert_eq!(Currency::parse(code).map(Currency::digits), Ok(digits), "{code}");
        }
        for unknown in ["", "usd", "EURO", "CLF", "XXX", "US$"] {
            assert!(Currency::parse(unknown).unwrap_err().to_string().contains(unknown), "{unknown}");
        }
    }

    #[test]
    fn every_code_reads_back() {
        assert!(Currency::ALL.is_sorted_by_key(|currency| currency.code()));
        for currency in Currency::ALL {
            assert_eq!(Currency::parse(currency.code()), Ok(currency));
        }
    }
}
