//! Who sells and who buys, as a file that the office writes by hand.
//!
//! JSON, version 1; what may be left out is marked with *.
//!
//! | field        | value |
//! |--------------|-------|
//! | `quaywright` | `"parties"` |
//! | `v`          | `1` |
//! | `seller`     | a party: the shop |
//! | `terms`      | when it has to be paid, in words: `Within 14 days` |
//! | `customers`  | a list: a party each, with * `as`, the name that stands on the boats where it is another |
//!
//! A party has `name`, * `street`, * `town`, * `post-code`, `country` (two letters
//! of ISO 3166-1), * `vat` (the number for value added tax, with the country's
//! letters), * `tax` (another number with the tax office) and * `registered` (the
//! number of the business). A field that is not known is refused, because it was
//! meant to say something.

use std::collections::BTreeMap;

use super::json::{Fields, Json, Wrong};
use super::wire::label;
use crate::billing::invoice::{Country, Parties, Party};
use crate::text::{Label, Prose};

/// The version that this program reads.
pub const VERSION: u32 = 1;

/// Why the file is not taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("this list of parties cannot be used: {0}")]
pub struct NoParties(String);

impl From<Wrong> for NoParties {
    fn from(wrong: Wrong) -> Self {
        Self(wrong.to_string())
    }
}

/// Reads the file.
///
/// # Errors
/// Returns [`NoParties`] with the place and what to do.
pub fn read(file: &[u8]) -> Result<Parties, NoParties> {
    let mut of = Json::read(super::intake::trimmed(file))?.fields("parties")?;
    if of.text("quaywright")? != "parties" {
        return Err(NoParties("it should say \"quaywright\": \"parties\"".to_owned()));
    }
    let version: u32 = of.number("v")?;
    if version > VERSION {
        return Err(NoParties(format!("a newer Quaywright wrote it (form {version}): update this one")));
    }
    let mut shop = of.take("seller")?.fields("seller")?;
    let seller = party(&mut shop)?;
    shop.end()?;
    let terms = Prose::new(&of.text("terms")?);
    if terms.is_empty() {
        return Err(NoParties("`terms` says nothing: write when an invoice has to be paid".to_owned()));
    }
    let mut customers = BTreeMap::new();
    for form in of.list("customers")? {
        let mut one = form.fields("customers")?;
        let known_as = optional(&mut one, "as")?;
        let party = party(&mut one)?;
        one.end()?;
        let known_as = if known_as.is_empty() { party.name.clone() } else { known_as };
        if customers.insert(known_as.clone(), party).is_some() {
            return Err(NoParties(format!("two customers stand on the boats as {:?}", known_as.as_str())));
        }
    }
    of.end()?;
    Ok(Parties { seller, terms, customers })
}

fn party(of: &mut Fields<'_>) -> Result<Party, NoParties> {
    let name = of.parsed("name", label)?;
    if name.is_empty() {
        return Err(NoParties("a party has no `name`".to_owned()));
    }
    Ok(Party {
        name,
        street: optional(of, "street")?,
        town: optional(of, "town")?,
        post_code: optional(of, "post-code")?,
        country: of.parsed("country", Country::parse)?,
        vat: optional(of, "vat")?,
        tax: optional(of, "tax")?,
        registered: optional(of, "registered")?,
    })
}

fn optional(of: &mut Fields<'_>, name: &'static str) -> Result<Label, NoParties> {
    if of.has(name) { Ok(of.parsed(name, label)?) } else { Ok(Label::default()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = r#"{"quaywright": "parties", "v": 1, "terms": "Within 14 days",
        "seller": {"name": "Lower Basin Boatyard", "country": "GB", "vat": "GB1"},
        "customers": [{"as": "Trust", "name": "Towpath Trust", "town": "Lockby", "country": "GB"}]}"#;

    #[test]
    fn a_customer_is_known_by_the_name_on_the_boat() {
        let parties = read(FILE.as_bytes()).unwrap();
        assert_eq!(parties.seller.vat.as_str(), "GB1");
        assert_eq!(parties.terms.as_str(), "Within 14 days");
        let trust = &parties.customers[&Label::new("Trust")];
        assert_eq!((trust.name.as_str(), trust.town.as_str(), trust.street.as_str()), ("Towpath Trust", "Lockby", ""));
    }

    #[test]
    fn what_cannot_be_meant_is_refused_with_its_place() {
        for (from, to, says) in [
            ("parties\", ", "prices\", ", "\"parties\""),
            ("\"v\": 1", "\"v\": 2", "newer"),
            ("\"vat\"", "\"vta\"", "vta"),
            ("Lower Basin Boatyard", "", "name"),
            ("Within 14 days", " ", "when an invoice has to be paid"),
            ("\"GB\", \"vat\"", "\"gb\", \"vat\"", "country"),
            ("Within 14 days\"", "Within 14 days\", \"customers\": []", "customers"),
        ] {
            let why = read(FILE.replacen(from, to, 1).as_bytes()).unwrap_err().to_string();
            assert!(why.contains(says), "{why}");
        }
        let customer = r#"{"as": "Trust", "name": "Another", "country": "GB"}, {"as": "Trust""#;
        let twice = read(FILE.replacen("{\"as\": \"Trust\"", customer, 1).as_bytes()).unwrap_err();
        assert!(twice.to_string().contains("two customers"), "{twice}");
    }
}
