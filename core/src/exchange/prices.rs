//! A shop's price list as a file that the office writes by hand.
//!
//! JSON, version 1. All figures are text with a point, `"96.00"`, so that no
//! program on the way makes a binary fraction of them. What may be left out is
//! marked with *.
//!
//! | field         | value |
//! |---------------|-------|
//! | `quaywright`  | `"prices"` |
//! | `v`           | `1` |
//! | `currency`    | code of ISO 4217 |
//! | `rounding` *  | of the length of a billed line: `exact`, `hundredth`, `five-minutes`, `tenth`, `quarter` (each to the nearest), `up-to-tenth`; left out, the shop's rules on the phones hold, their least charge too |
//! | `tax-by` *    | `category` (once for each, also when left out) or `line` |
//! | `rates`       | rules with `price`, an hour |
//! | `minimum` *   | rules with `amount`, of all time of a bill |
//! | `zones` *     | `name`, `berths` (a list), `price`: travel by zone; left out, travel is by the hour |
//! | `supplies` *  | rules with `percent` of the labour and * `at-most` |
//! | `costs` *     | `number`, `cost` of a part |
//! | `bands` *     | `from` (a cost), `percent` that is added |
//! | `discounts` * | rules with `percent` |
//! | `taxes`       | rules with `category` (`S`, `Z`, `E`, `AE`, `K`, `G`, `O`), `percent` with `S`, `reason` with `E` |
//!
//! A rule has a `name`, its own in its list, and may name where it holds:
//! `technician`, `customer`, `pay` (`customer-pay`, `warranty`, `internal`),
//! `charge` (`time`, an activity as in record lines, `parts`, `supplies`),
//! `from` and `to` (days, both included). A field that is not known is refused,
//! because one that was meant and misspelt would bill wrongly.

use std::collections::BTreeMap;

use super::json::{Fields, Json, Wrong};
use super::wire::{activity_word, pay_word};
use crate::billing::prices::{Bands, Discount, PriceList, Supplies, Travel, Zone};
use crate::billing::rule::{Charge, Holds, Rule};
use crate::event::{Activity, PayType};
use crate::hours::rounding::LengthRule;
use crate::moment::Day;
use crate::money::tax::{Reason, Tax};
use crate::money::totals::TaxBy;
use crate::money::{Currency, Money, Percent, Price};
use crate::text::Label;

/// The version that this program reads.
pub const VERSION: u32 = 1;

/// Why a price list is not taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("this price list cannot be used: {0}")]
pub struct NoPriceList(String);

impl From<Wrong> for NoPriceList {
    fn from(wrong: Wrong) -> Self {
        Self(wrong.to_string())
    }
}

impl NoPriceList {
    fn at(place: &str, why: impl std::fmt::Display) -> Self {
        Self(format!("{place}: {why}"))
    }
}

type Found<T> = Result<T, NoPriceList>;

/// Reads a price list.
///
/// # Errors
/// Returns [`NoPriceList`] with the place and what to do.
pub fn read(file: &[u8]) -> Found<PriceList> {
    let mut of = Json::read(super::intake::trimmed(file))?.fields("prices")?;
    if of.text("quaywright")? != "prices" {
        return Err(NoPriceList("it should say \"quaywright\": \"prices\"".to_owned()));
    }
    let version: u32 = of.number("v")?;
    if version > VERSION {
        return Err(NoPriceList(format!("a newer Quaywright wrote it (form {version}): update this one")));
    }
    let currency = Currency::parse(&of.text("currency")?).map_err(|why| NoPriceList::at("currency", why))?;
    let money =
        |of: &mut Fields<'_>, name| Money::parse(&of.text(name)?, currency).map_err(|why| NoPriceList::at(name, why));
    let list = PriceList {
        currency,
        rounding: if of.has("rounding") { Some(of.parsed("rounding", rounding)?) } else { None },
        tax_by: of.known("tax-by")?.map_or(Ok(TaxBy::Category), tax_by)?,
        rates: rules(&mut of, "rates", |of| price(of, "price"))?,
        minimum: rules(&mut of, "minimum", |of| {
            let amount = money(of, "amount")?;
            if amount.is_negative() { Err(NoPriceList("`amount` is less than nothing".to_owned())) } else { Ok(amount) }
        })?,
        travel: travel(&mut of)?,
        supplies: rules(&mut of, "supplies", |of| {
            let cap = if of.has("at-most") { Some(money(of, "at-most")?) } else { None };
            if cap.is_some_and(Money::is_negative) {
                return Err(NoPriceList("`at-most` is less than nothing".to_owned()));
            }
            Ok(Supplies { rate: percent(of)?, cap })
        })?,
        costs: costs(&mut of)?,
        bands: Bands::new(each(&mut of, "bands", |of| Ok((price(of, "from")?, percent(of)?)))?),
        discounts: rules(&mut of, "discounts", |of| {
            Discount::new(percent(of)?).ok_or_else(|| NoPriceList("a discount of more than 100 percent".to_owned()))
        })?,
        taxes: rules(&mut of, "taxes", tax)?,
    };
    of.end()?;
    Ok(list)
}

/// Reads each object of a list that may be left out.
fn each<'a, T>(of: &mut Fields<'a>, name: &'static str, read: impl Fn(&mut Fields<'a>) -> Found<T>) -> Found<Vec<T>> {
    let list = if of.has(name) { of.list(name)? } else { Vec::new() };
    let one = |form: Json<'a>| -> Found<T> {
        let mut of = form.fields(name)?;
        let value = read(&mut of)?;
        of.end()?;
        Ok(value)
    };
    let placed = |nth: usize, why: NoPriceList| NoPriceList::at(&format!("{name}, number {nth}"), why.0);
    (1..).zip(list).map(|(nth, form)| one(form).map_err(|why| placed(nth, why))).collect()
}

fn rules<'a, T>(
    of: &mut Fields<'a>,
    name: &'static str,
    gives: impl Fn(&mut Fields<'a>) -> Found<T>,
) -> Found<Vec<Rule<T>>> {
    let rules = each(of, name, |of| {
        let name = Label::new(&of.text("name")?);
        Ok(Rule { name, holds: holds(of)?, gives: gives(of)? })
    })?;
    let mut names: Vec<&Label> = rules.iter().map(|rule| &rule.name).collect();
    names.sort_unstable();
    if let Some(two) = names.windows(2).find(|two| two[0] == two[1]) {
        return Err(NoPriceList::at(name, format!("two rules are called {:?}", two[0].as_str())));
    }
    Ok(rules)
}

fn holds(of: &mut Fields<'_>) -> Found<Holds> {
    let holds = Holds {
        technician: optional(of, "technician", |text| Some(Label::new(text)))?,
        customer: optional(of, "customer", |text| Some(Label::new(text)))?,
        pay: optional(of, "pay", |word| PayType::ALL.into_iter().find(|&pay| pay_word(pay) == word))?,
        charge: optional(of, "charge", charge)?,
        from: optional(of, "from", Day::parse)?,
        to: optional(of, "to", Day::parse)?,
    };
    match (holds.from, holds.to) {
        (Some(from), Some(to)) if to < from => Err(NoPriceList(format!("it ends on {to}, before it begins"))),
        _ => Ok(holds),
    }
}

fn optional<T>(of: &mut Fields<'_>, name: &'static str, parse: fn(&str) -> Option<T>) -> Found<Option<T>> {
    if of.has(name) { Ok(Some(of.parsed(name, parse)?)) } else { Ok(None) }
}

fn charge(word: &str) -> Option<Charge> {
    match word {
        "time" => Some(Charge::Time),
        "parts" => Some(Charge::Parts),
        "supplies" => Some(Charge::Supplies),
        _ => {
            let billed = |it: &Activity| !it.is_pause() && activity_word(*it) == word;
            Activity::ALL.into_iter().find(billed).map(Charge::Activity)
        }
    }
}

fn price(of: &mut Fields<'_>, name: &'static str) -> Found<Price> {
    Price::parse(&of.text(name)?).map_err(|why| NoPriceList::at(name, why))
}

fn percent(of: &mut Fields<'_>) -> Found<Percent> {
    Percent::parse(&of.text("percent")?).map_err(|why| NoPriceList::at("percent", why))
}

fn travel(of: &mut Fields<'_>) -> Found<Travel> {
    if !of.has("zones") {
        return Ok(Travel::ByHour);
    }
    let zones: Vec<Zone> = each(of, "zones", |of| {
        let name = Label::new(&of.text("name")?);
        let berth = |berth: Json<'_>| match berth {
            Json::Text(berth) => Ok(Label::new(&berth)),
            _ => Err(Wrong::Unfit("berths")),
        };
        let berths = of.list("berths")?.into_iter().map(berth).collect::<Result<_, _>>()?;
        Ok(Zone { name, berths, price: price(of, "price")? })
    })?;
    let mut berths: Vec<&Label> = zones.iter().flat_map(|zone| &zone.berths).collect();
    berths.sort_unstable();
    match berths.windows(2).find(|two| two[0] == two[1]) {
        Some(two) => Err(NoPriceList::at("zones", format!("the berth {:?} is in two of them", two[0].as_str()))),
        None => Ok(Travel::ByZone(zones)),
    }
}

fn costs(of: &mut Fields<'_>) -> Found<BTreeMap<Label, Price>> {
    let mut costs = BTreeMap::new();
    for (number, cost) in each(of, "costs", |of| Ok((Label::new(&of.text("number")?), price(of, "cost")?)))? {
        if let Some(twice) = costs.insert(number.clone(), cost).map(|_| number) {
            return Err(NoPriceList::at("costs", format!("the part {:?} is named twice", twice.as_str())));
        }
    }
    Ok(costs)
}

pub(super) fn tax(of: &mut Fields<'_>) -> Found<Tax> {
    match &*of.text("category")? {
        "S" => Tax::standard(percent(of)?).map_err(|why| NoPriceList::at("percent", why)),
        "Z" => Ok(Tax::Zero),
        "E" => {
            let reason = Reason::new(&of.text("reason")?);
            reason.map(Tax::Exempt).ok_or_else(|| NoPriceList("what is exempt needs a reason".to_owned()))
        }
        "AE" => Ok(Tax::ReverseCharge),
        "K" => Ok(Tax::IntraCommunity),
        "G" => Ok(Tax::Export),
        "O" => Ok(Tax::Outside),
        other => Err(NoPriceList(format!("there is no tax category {other:?}: use S, Z, E, AE, K, G or O"))),
    }
}

fn rounding(word: &str) -> Option<LengthRule> {
    LengthRule::ALL.into_iter().find(|&rule| rounding_word(rule) == word)
}

const fn rounding_word(rule: LengthRule) -> &'static str {
    match rule {
        LengthRule::Exact => "exact",
        LengthRule::NearestHundredth => "hundredth",
        LengthRule::NearestFiveMinutes => "five-minutes",
        LengthRule::NearestTenth => "tenth",
        LengthRule::NearestQuarter => "quarter",
        LengthRule::UpToTenth => "up-to-tenth",
    }
}

fn tax_by(word: Json<'_>) -> Found<TaxBy> {
    match word {
        Json::Text(word) if word == "category" => Ok(TaxBy::Category),
        Json::Text(word) if word == "line" => Ok(TaxBy::Line),
        _ => Err(NoPriceList("`tax-by` is `category` or `line`".to_owned())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const LIST: &str = r#"{
        "quaywright": "prices", "v": 1, "currency": "GBP", "rounding": "up-to-tenth",
        "rates": [
            {"name": "yard", "price": "58.00"},
            {"name": "travel", "charge": "travel", "price": "30"},
            {"name": "trust, 2026", "customer": "Towpath Trust", "pay": "customer-pay", "technician": "M. Sluice",
             "charge": "time", "from": "2026-01-01", "to": "2026-12-31", "price": "52.50"}
        ],
        "minimum": [{"name": "callout", "pay": "customer-pay", "amount": "45.00"}],
        "supplies": [{"name": "rags", "percent": "6", "at-most": "18"}],
        "costs": [{"number": "IMP-6", "cost": "14.20"}],
        "bands": [{"from": "0", "percent": "50"}, {"from": "50", "percent": "30"}],
        "discounts": [{"name": "members", "customer": "Towpath Trust", "charge": "parts", "percent": "5"}],
        "taxes": [{"name": "VAT", "category": "S", "percent": "20"},
                  {"name": "abroad", "customer": "Ferry Board", "category": "E", "reason": "certificate 12"}]
    }"#;

    #[test]
    fn a_list_is_read() {
        let list = read(LIST.as_bytes()).unwrap();
        assert_eq!(
            (list.currency, list.rounding, list.tax_by),
            (Currency::Gbp, Some(LengthRule::UpToTenth), TaxBy::Category)
        );
        assert_eq!(list.rates[2].holds.charge, Some(Charge::Time));
        assert_eq!(list.rates[2].holds.to, Day::parse("2026-12-31"));
        assert_eq!(list.rates[2].gives, Price::parse("52.5").unwrap());
        assert_eq!(list.supplies[0].gives.cap, Some(Money::parse("18", Currency::Gbp).unwrap()));
        assert_eq!(list.taxes[1].gives.code(), "E");
        assert_eq!(list.travel, Travel::ByHour);
        assert_eq!(list.costs.len(), 1);
    }

    #[test]
    fn what_is_wrong_is_told_with_its_place() {
        for (found, put, told) in [
            ("\"GBP\"", "\"gbp\"", "currency: the currency \"gbp\" is not known here"),
            ("\"58.00\"", "58.00", "a number is not whole"),
            ("\"58.00\"", "\"58,00\"", "rates, number 1: price: \"58,00\" is no number"),
            ("\"58.00\"", "\"-58\"", "rates, number 1: price: -58 is less than nothing"),
            ("\"charge\": \"travel\"", "\"charge\": \"towing\"", "rates, number 2: `charge` is not what it should be"),
            ("\"charge\": \"travel\"", "\"charges\": \"travel\"", "rates, number 2: `charges` is unknown"),
            ("\"name\": \"travel\"", "\"name\": \"yard\"", "rates: two rules are called \"yard\""),
            ("\"2026-12-31\"", "\"2025-12-31\"", "rates, number 3: it ends on 2025-12-31, before it begins"),
            ("\"percent\": \"5\"", "\"percent\": \"105\"", "discounts, number 1: a discount of more than 100 percent"),
            ("\"percent\": \"20\"", "\"percent\": \"0\"", "taxes, number 1: percent: enter more than 0 here"),
            ("\"reason\": \"certificate 12\"", "\"reason\": \" \"", "taxes, number 2: what is exempt needs a reason"),
            ("\"v\": 1", "\"v\": 2", "a newer Quaywright wrote it (form 2)"),
            ("\"amount\": \"45.00\"", "\"amount\": \"-1\"", "minimum, number 1: `amount` is less than nothing"),
        ] {
            assert!(LIST.contains(found));
            let error = read(LIST.replacen(found, put, 1).as_bytes()).unwrap_err().to_string();
            assert!(error.contains(told), "{error}");
        }
        let zones = r#""zones": [{"name": "near", "berths": ["A", "B"], "price": "5"}, {"name": "far", "berths": ["B"], "price": "9"}], "costs""#;
        let error = read(LIST.replacen("\"costs\"", zones, 1).as_bytes()).unwrap_err().to_string();
        assert!(error.contains("zones: the berth \"B\" is in two of them"), "{error}");
    }

    proptest! {
        #[test]
        fn no_bytes_make_it_stop(at in 0..LIST.len(), byte in any::<u8>()) {
            let mut bytes = LIST.as_bytes().to_vec();
            bytes[at] = byte;
            let _ = read(&bytes);
        }
    }
}
