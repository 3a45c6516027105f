//! Drafts of invoices, held against the schemas of UBL 2.1 as OASIS publishes them and
//! the rules of EN 16931-1 as their makers wrote them: CEN/TC 434's Schematron for UBL,
//! run by a processor of others.

use std::collections::BTreeMap;
use std::fs;
use std::process::Command;

use quaywright_core::billing::bill::Unit;
use quaywright_core::billing::invoice::{Country, Parties, Party, drafts};
use quaywright_core::billing::outgoing::Outgoing;
use quaywright_core::event::PayType;
use quaywright_core::exchange::ubl;
use quaywright_core::id::{DeviceId, EventId, JobId};
use quaywright_core::moment::Day;
use quaywright_core::money::tax::{Reason, Tax};
use quaywright_core::money::{Currency, Money, Percent, Price, Quantity};
use quaywright_core::text::{Label, Prose};

fn party(name: &str, country: &str, vat: &str) -> Party {
    let label = Label::new;
    Party {
        name: label(name),
        street: label("Wharf Road 3"),
        town: label("Lockby"),
        post_code: label("LB1 2AA"),
        country: Country::parse(country).unwrap(),
        vat: label(vat),
        tax: Label::default(),
        registered: label("0042"),
    }
}

fn parties() -> Parties {
    let seller = party("Lower Basin Boatyard", "GB", "GB123456789");
    let customers = [("Trust", "GB", "GB987654321"), ("Abroad", "FR", "FR12345678901")];
    let customers = customers.map(|(name, country, vat)| (Label::new(name), party(name, country, vat)));
    Parties { seller, terms: Prose::new("Within 14 days"), customers: BTreeMap::from(customers) }
}

/// A line of one job; `signed` is its quantity in tenths, below nothing for what is taken back.
fn line(job: u64, customer: &str, signed: i32, price: &str, discount: bool, tax: Tax) -> Outgoing {
    let event = EventId { device: DeviceId::new([1; 8]), seq: job };
    let tenths = Quantity::parse(&format!("{}.{}", signed.abs() / 10, signed.abs() % 10)).unwrap();
    let quantity = if signed < 0 { Quantity::NONE.minus(tenths).unwrap() } else { tenths };
    let price = Price::parse(price).unwrap();
    let gross = price.times(quantity, Quantity::whole(1), Currency::Eur).unwrap();
    let rate = Percent::parse(if discount { "12.5" } else { "0" }).unwrap();
    let discount = gross.percent(rate, quaywright_core::money::Rounding::HalfAwayFromZero).unwrap();
    let day = Day::parse("2026-05-04").unwrap();
    Outgoing {
        job: JobId(event),
        title: Label::new("Pump leaks"),
        boat: Label::new("Heron"),
        customer: Label::new(customer),
        technician: Label::new("M. Sluice"),
        pay: PayType::CustomerPay,
        item: "labour".to_owned(),
        words: Label::new("Labour: pump leaks"),
        rule: Label::new("yard"),
        first: day,
        last: day,
        quantity,
        unit: Unit::Hour,
        price,
        gross,
        discount,
        net: gross.minus(discount).unwrap(),
        tax,
        corrects: (signed < 0).then_some(1),
        from: vec![event],
    }
}

/// Every category, discounts given and taken back, differences, and what is paid back in all.
fn jobs() -> Vec<Outgoing> {
    let standard = |rate: &str| Tax::standard(Percent::parse(rate).unwrap()).unwrap();
    let exempt = |reason: &str| Tax::Exempt(Reason::new(reason).unwrap());
    vec![
        line(1, "Trust", 15, "60", true, standard("20")),
        line(1, "Trust", 5, "33.33", false, standard("5")),
        line(1, "Trust", 10, "21.30", false, Tax::Zero),
        line(2, "Trust", 7, "61.37", false, exempt("Certificate 17")),
        line(2, "Trust", 3, "61.37", false, exempt("Labour is not taxed")),
        line(3, "Abroad", 12, "60", false, Tax::ReverseCharge),
        line(4, "Abroad", 12, "60", false, Tax::IntraCommunity),
        line(5, "Abroad", 12, "60", true, Tax::Export),
        line(6, "Trust", -3, "60", true, standard("20")),
        line(6, "Trust", -5, "33.33", false, Tax::Zero),
        line(7, "Trust", -3, "60", true, standard("20")),
        line(7, "Trust", 9, "60.05", false, standard("20")),
        line(9, "Trust", -10, "60", false, standard("20")),
        line(9, "Trust", 10, "60", false, exempt("Certificate 17")),
        Outgoing { net: Money::parse("3.34", Currency::Eur).unwrap(), ..odd(8) },
    ]
}

/// A difference of two rounded amounts: a tenth of an hour more at 33.33, but 3.34 more.
fn odd(job: u64) -> Outgoing {
    let of = line(job, "Trust", 1, "33.33", false, Tax::standard(Percent::parse("20").unwrap()).unwrap());
    Outgoing { gross: Money::parse("3.34", Currency::Eur).unwrap(), ..of }
}

#[test]
fn no_rule_of_the_standard_is_broken() {
    let folder = tempfile::tempdir().unwrap();
    let mut files = Vec::new();
    let mut put = |lines: &[Outgoing], parties: &Parties| {
        for draft in drafts(files.len() as u32 + 1, lines, parties, Day::parse("2026-05-31").unwrap()) {
            let file = folder.path().join(format!("{}.xml", files.len()));
            fs::write(&file, ubl::written(&draft.unwrap()).unwrap()).unwrap();
            files.push(file);
        }
    };
    put(&jobs(), &parties());
    // What is outside of the tax names nobody's number for it (BR-O-02), though both have one.
    // What is taxed of the same job stands in another.
    let taxed = line(10, "Trust", 12, "60", false, Tax::standard(Percent::parse("20").unwrap()).unwrap());
    put(&[line(10, "Trust", 12, "60", false, Tax::Outside), taxed], &parties());
    // And one that breaks a rule, to see that it would be told: a total that is not the sum.
    let sound = fs::read_to_string(&files[0]).unwrap();
    let broken = folder.path().join("broken.xml");
    let (before, due) = sound.split_once("<cbc:PayableAmount currencyID=\"EUR\">").unwrap();
    fs::write(&broken, format!("{before}<cbc:PayableAmount currencyID=\"EUR\">1{due}")).unwrap();
    files.push(broken);
    // Another that no schema allows: its number stands after its day.
    let number = "<cbc:ID>1-1</cbc:ID>\n";
    let turned =
        sound.replacen(number, "", 1).replacen("<cbc:InvoiceTypeCode>", &format!("{number}<cbc:InvoiceTypeCode>"), 1);
    files.push(folder.path().join("turned.xml"));
    fs::write(&files[files.len() - 1], turned).unwrap();
    let output = Command::new("invoice-rules").args(&files).output();
    let output = output.expect("`cargo xtask test --only papers` installs invoice-rules");
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success(), "{said}{}", String::from_utf8_lossy(&output.stderr));
    let told: Vec<&str> = said.lines().filter(|line| !line.ends_with("rules asked")).collect();
    assert_eq!(said.lines().count() - told.len(), files.len(), "{said}");
    assert_eq!(told.len(), 2, "{told:#?}");
    assert!(told[0].starts_with("broken.xml: fatal: [BR-CO-16]"), "{told:#?}");
    assert!(told[1].starts_with("turned.xml: schema: ") && told[1].contains("IssueDate"), "{told:#?}");
}
