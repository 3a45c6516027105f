//! What the files are like that a shop writes itself: in words, with an example to begin with.
//!
//! The command tells them as its help, and the office page where they are chosen, so
//! whoever has only the one needs not the other.

use quaywright_core::exchange::billed::Columns;

/// Something that a shop writes itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// The price list.
    Prices,
    /// The list of who sells and who buys.
    Parties,
    /// The columns of exports.
    Columns,
}

/// A price list to begin with, in which every kind of rule stands once.
const PRICES: &str = r#"{"quaywright": "prices", "v": 1, "currency": "GBP", "rounding": "tenth", "tax-by": "category",
   "rates": [{"name": "yard", "price": "60"},
             {"name": "second year", "technician": "R. Thwart", "price": "50"},
             {"name": "maker", "pay": "warranty", "price": "48"},
             {"name": "2027", "from": "2027-01-01", "to": "2027-12-31", "price": "64"}],
   "minimum": [{"name": "callout", "pay": "customer-pay", "amount": "45"}],
   "zones": [{"name": "near", "berths": ["Basin 4", "Basin 5"], "price": "18.50"}],
   "supplies": [{"name": "rags", "percent": "5", "at-most": "12.50"}],
   "costs": [{"number": "IMP-6", "cost": "14.20"}],
   "bands": [{"from": "0", "percent": "50"}, {"from": "20", "percent": "40"}],
   "discounts": [{"name": "ferries", "customer": "Ferry Board", "charge": "time", "percent": "10"}],
   "taxes": [{"name": "VAT", "category": "S", "percent": "20"},
             {"name": "schools", "customer": "Harbour School", "category": "E", "reason": "certificate 12"}]}
"#;

/// How its rules are read.
const OF_PRICES: &str = "\
Only currency, rates and taxes have to be there. Each rule may name a technician, a customer, pay (customer-pay,
warranty, internal), charge (time, labour, diagnosis, travel, ..., parts, supplies), from and to; of two that hold,
the one that names all that the other names, and more, wins. A new price for the future is a new rule with its day:
one that is changed in its place changes what was billed before, and goes out as differences.
Rounding of each line: exact, hundredth, five-minutes, tenth, quarter, up-to-tenth; left out, the shop's rules on the
phones hold. Tax is rounded by category or by line. Without zones travel is by the hour.
Categories of tax: S, Z, E, AE, K, G, O. What of a job it does not price is asked, never guessed.";

/// Who sells and who buys, to begin with.
const PARTIES: &str = r#"{"quaywright": "parties", "v": 1, "terms": "Within 14 days",
   "seller": {"name": "Lower Basin Boatyard", "country": "GB", "vat": "GB123456789"},
   "customers": [{"name": "Towpath Trust", "town": "Lockby", "country": "GB"}]}
"#;

impl Form {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Prices, Self::Parties, Self::Columns];

    /// Returns what it is like, in words around the example.
    pub fn words(self) -> String {
        match self {
            Self::Prices => format!(
                "A price list is a file like this, with rates, prices and taxes of the shop's own:\n  {PRICES}{OF_PRICES}"
            ),
            Self::Parties => format!(
                "The file of who sells and who buys is like this; customers are found by their names on the phones:\n  {}",
                PARTIES.trim_end()
            ),
            Self::Columns => format!(
                "The fields are {}. A field alone is its own head.\n\
                 Example: Customer=customer,What=words,Net=net,Currency=currency",
                Columns::fields()
            ),
        }
    }

    /// Returns a file to begin with, and what it is called; columns are typed and need none.
    pub const fn example(self) -> Option<(&'static str, &'static str)> {
        match self {
            Self::Prices => Some(("prices-example.json", PRICES)),
            Self::Parties => Some(("parties-example.json", PARTIES)),
            Self::Columns => None,
        }
    }

    /// Returns it as a word.
    pub const fn slug(self) -> &'static str {
        match self {
            Self::Prices => "prices",
            Self::Parties => "parties",
            Self::Columns => "columns",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quaywright_core::billing::prices::{Bands, Travel};
    use quaywright_core::exchange::{parties, prices};

    #[test]
    fn an_example_can_be_used_as_it_is_and_the_words_hold_it_whole() {
        let list = prices::read(PRICES.as_bytes()).expect(PRICES);
        let kinds = [list.rates.len(), list.minimum.len(), list.supplies.len(), list.costs.len(), list.discounts.len()];
        assert!(!kinds.contains(&0) && list.travel != Travel::ByHour && list.bands != Bands::default(), "{PRICES}");
        for rounding in ["exact", "hundredth", "five-minutes", "tenth", "quarter", "up-to-tenth"] {
            let other = PRICES.replace("\"tenth\"", &format!("{rounding:?}"));
            assert!(prices::read(other.as_bytes()).is_ok() && OF_PRICES.contains(rounding), "{rounding}");
        }
        assert!(parties::read(PARTIES.as_bytes()).is_ok(), "{PARTIES}");
        for form in Form::ALL {
            let (words, example) = (form.words(), form.example());
            assert!(example.is_none_or(|(_, file)| words.contains(file.trim_end())), "{words}");
        }
        let columns = Form::Columns.words();
        let example = columns.rsplit_once("Example: ").map(|(_, example)| example).expect("an example");
        assert!(Columns::parse(example).is_ok(), "{example}");
    }
}
