//! A line that went out, as the office's store keeps it.
//!
//! A JSON object, version 1: `v`, `job`, `title`, `boat`, `customer`,
//! `technician`, `pay`, `item`, `words`, `rule`, `first`, `last`, `quantity`,
//! `unit` (`hour`, `each`), `price`, `gross`, `discount`, `net`, `currency`,
//! `category` with `percent` or `reason` as in a price list, `corrects` (left out
//! where it corrects nothing), `from` (names of events). Figures are text.

use super::json::{Fields, Json, Wrong};
use super::prices;
use super::wire::{label, pay_word};
use crate::billing::bill::Unit;
use crate::billing::outgoing::Outgoing;
use crate::event::PayType;
use crate::id::{EventId, JobId};
use crate::moment::Day;
use crate::money::tax::Tax;
use crate::money::{Currency, Money, Price, Quantity};

const VERSION: u32 = 1;

/// Why a kept line is not read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a line that went out cannot be read: {0}")]
pub struct NotALine(String);

impl From<Wrong> for NotALine {
    fn from(wrong: Wrong) -> Self {
        Self(wrong.to_string())
    }
}

/// Writes a line.
pub fn written(line: &Outgoing) -> String {
    let form = Fields::default().put("v", VERSION).put("job", line.job.to_string()).put("title", line.title.as_str());
    let form = form.put("boat", line.boat.as_str()).put("customer", line.customer.as_str());
    let form = form.put("technician", line.technician.as_str()).put("pay", pay_word(line.pay));
    let form = form.put("item", line.item.as_str()).put("words", line.words.as_str()).put("rule", line.rule.as_str());
    let form = form.put("first", line.first.to_string()).put("last", line.last.to_string());
    let form = form.put("quantity", line.quantity.to_string()).put("unit", line.unit.words());
    let form = form.put("price", line.price.to_string()).put("gross", line.gross.to_string());
    let form = form.put("discount", line.discount.to_string()).put("net", line.net.to_string());
    let form = form.put("currency", line.net.currency().code()).put("category", line.tax.code());
    let form = match &line.tax {
        Tax::Standard(_) => form.put("percent", line.tax.rate().to_string()),
        Tax::Exempt(reason) => form.put("reason", reason.as_str()),
        _ => form,
    };
    let from: Vec<Json<'_>> = line.from.iter().map(|id| id.to_string().into()).collect();
    Json::from(form.put_known("corrects", line.corrects).put("from", from)).written()
}

/// Reads a line.
///
/// # Errors
/// Returns [`NotALine`] for anything that was not written here.
pub fn read(form: &str) -> Result<Outgoing, NotALine> {
    let mut of = Json::read(form.as_bytes())?.fields("line")?;
    if of.number::<u32>("v")? != VERSION {
        return Err(NotALine("a newer Quaywright wrote it: update this one".to_owned()));
    }
    let currency = Currency::parse(&of.text("currency")?).map_err(|why| NotALine(why.to_string()))?;
    let money =
        |of: &mut Fields<'_>, name| Money::parse(&of.text(name)?, currency).map_err(|why| NotALine(why.to_string()));
    let id = |form: Json<'_>| match form {
        Json::Text(text) => EventId::parse(&text).ok_or(Wrong::Unfit("from")),
        _ => Err(Wrong::Unfit("from")),
    };
    let line = Outgoing {
        job: of.parsed("job", |text| EventId::parse(text).map(JobId))?,
        title: of.parsed("title", label)?,
        boat: of.parsed("boat", label)?,
        customer: of.parsed("customer", label)?,
        technician: of.parsed("technician", label)?,
        pay: of.parsed("pay", |word| PayType::ALL.into_iter().find(|&pay| pay_word(pay) == word))?,
        item: of.text("item")?.into_owned(),
        words: of.parsed("words", label)?,
        rule: of.parsed("rule", label)?,
        first: of.parsed("first", Day::parse)?,
        last: of.parsed("last", Day::parse)?,
        quantity: of.parsed("quantity", |text| Quantity::parse(text).ok())?,
        unit: of.parsed("unit", |word| [Unit::Hour, Unit::Each].into_iter().find(|unit| unit.words() == word))?,
        price: of.parsed("price", |text| Price::parse(text).ok())?,
        gross: money(&mut of, "gross")?,
        discount: money(&mut of, "discount")?,
        net: money(&mut of, "net")?,
        tax: prices::tax(&mut of).map_err(|why| NotALine(why.to_string()))?,
        corrects: if of.has("corrects") { Some(of.number("corrects")?) } else { None },
        from: of.list("from")?.into_iter().map(id).collect::<Result<_, _>>()?,
    };
    of.end()?;
    Ok(line)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::id::DeviceId;
    use crate::money::Percent;
    use crate::money::tax::Reason;
    use crate::text::Label;

    fn line() -> Outgoing {
        let id = EventId { device: DeviceId::new([9; 8]), seq: 4 };
        let money = |text| Money::parse(text, Currency::Eur).unwrap();
        let day = Day::parse("2026-05-04").unwrap();
        Outgoing {
            job: JobId(id),
            title: Label::new("Stern gland"),
            boat: Label::new("Heron, \"the old one\""),
            customer: Label::new("=Trust"),
            technician: Label::new("M. Sluice"),
            pay: PayType::Warranty,
            item: "flat".to_owned(),
            words: Label::new("flat: leaks"),
            rule: Label::new("yard"),
            first: day,
            last: day.plus(1).unwrap(),
            quantity: Quantity::parse("-1.5").unwrap(),
            unit: Unit::Hour,
            price: Price::parse("60.125").unwrap(),
            gross: money("-90.19"),
            discount: money("0"),
            net: money("-90.19"),
            tax: Tax::standard(Percent::parse("7.25").unwrap()).unwrap(),
            corrects: Some(3),
            from: vec![id, id.later(2)],
        }
    }

    #[test]
    fn what_is_written_reads_back() {
        let exempt = Tax::Exempt(Reason::new("certificate 12").unwrap());
        for tax in [line().tax, exempt, Tax::Zero, Tax::ReverseCharge, Tax::IntraCommunity, Tax::Export, Tax::Outside] {
            for corrects in [None, Some(3)] {
                let line = Outgoing { tax: tax.clone(), corrects, ..line() };
                assert_eq!(read(&written(&line)), Ok(line));
            }
        }
        assert!(read("{}").is_err());
        assert!(read(&written(&line()).replace("\"v\":1", "\"v\":2")).unwrap_err().to_string().contains("newer"));
    }
}
