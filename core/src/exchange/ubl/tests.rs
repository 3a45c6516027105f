//! Drafts as files; what the standard's own rules say of them is asked in `tests/papers`.

use std::collections::BTreeMap;

use expect_test::expect_file;

use super::*;
use crate::billing::invoice::{Country, NoInvoice, Parties, can_be_said, drafts};
use crate::event::PayType;
use crate::exchange::html::proforma;
use crate::exchange::pieces::assemble;
use crate::exchange::prices;
use crate::id::{DeviceId, EventId, JobId};
use crate::moment::Day;
use crate::money::tax::Reason;
use crate::money::{Currency, Percent};
use crate::text::{Label, Prose};

fn party(name: &str) -> Party {
    let none = Label::default;
    let country = Country::parse("GB").unwrap();
    let name = Label::new(name);
    Party {
        name,
        street: none(),
        town: none(),
        post_code: none(),
        country,
        vat: none(),
        tax: none(),
        registered: none(),
    }
}

fn parties() -> Parties {
    let seller = Party { vat: Label::new("GB123456789"), town: Label::new("Lockby"), ..party("Lower Basin Boatyard") };
    let customers = BTreeMap::from([(Label::new("Trust"), party("Towpath Trust <& \"Sons\">"))]);
    Parties { seller, terms: Prose::new("Within 14 days"), customers }
}

fn line(quantity: &str, unit: Unit, price: &str, gross: &str, discount: &str, tax: Tax) -> Outgoing {
    let money = |text: &str| Money::parse(text, Currency::Gbp).unwrap();
    let day = Day::parse("2026-05-04").unwrap();
    let event = EventId { device: DeviceId::new([1; 8]), seq: 7 };
    Outgoing {
        job: JobId(event),
        title: Label::new("Pump leaks"),
        boat: Label::new("Heron"),
        customer: Label::new("Trust"),
        technician: Label::new("M. Sluice"),
        pay: PayType::CustomerPay,
        item: "labour".to_owned(),
        words: Label::new("Labour: pump leaks"),
        rule: Label::new("yard"),
        first: day,
        last: day.plus(2).unwrap(),
        quantity: Quantity::NONE.minus(Quantity::NONE.minus(Quantity::parse(quantity).unwrap()).unwrap()).unwrap(),
        unit,
        price: Price::parse(price).unwrap(),
        gross: money(gross),
        discount: money(discount),
        net: money(gross).minus(money(discount)).unwrap(),
        tax,
        corrects: None,
        from: vec![event],
    }
}

fn vat() -> Tax {
    Tax::standard(Percent::parse("20").unwrap()).unwrap()
}

fn taken_back(of: Outgoing) -> Outgoing {
    let quantity = Quantity::NONE.minus(of.quantity).unwrap();
    let (gross, discount, net) = (of.gross.negated(), of.discount.negated(), of.net.negated());
    Outgoing { quantity, gross, discount, net, corrects: Some(3), ..of }
}

fn issued() -> Day {
    Day::parse("2026-05-31").unwrap()
}

#[test]
fn an_invoice_and_a_credit_note_are_written_as_ever() {
    let labour = line("1.5", Unit::Hour, "60", "90.00", "9.00", vat());
    let part = line("1", Unit::Each, "21.30", "21.30", "0.00", Tax::Zero);
    // A difference of two rounded amounts: 0.1 hours more at 33.33, but 3.34 more.
    let odd = line("0.1", Unit::Hour, "33.33", "3.34", "0.00", vat());
    let parties = parties();
    let [invoice] = &drafts(4, &[labour.clone(), part, odd], &parties, issued())[..] else { panic!("one job") };
    let text = |invoice| String::from_utf8(written(invoice).unwrap()).unwrap();
    expect_file!["invoice.xml"].assert_eq(&text(invoice.as_ref().unwrap()));
    let [credit] = &drafts(5, &[taken_back(labour)], &parties, issued())[..] else { panic!("one job") };
    let credit = credit.as_ref().unwrap();
    assert_eq!(credit.kind, Kind::CreditNote);
    expect_file!["credit-note.xml"].assert_eq(&text(credit));
}

#[test]
fn only_what_xml_allows_stands_in_a_text() {
    // Production [2] of XML 1.0, fifth edition, https://www.w3.org/TR/xml/#charsets:
    // Char ::= #x9 | #xA | #xD | [#x20-#xD7FF] | [#xE000-#xFFFD] | [#x10000-#x10FFFF]
    let allowed = |c: char| {
        let is_of_the_plane = matches!(c, '\t' | '\n' | '\r' | ' '..='\u{D7FF}' | '\u{E000}'..='\u{FFFD}');
        is_of_the_plane || c >= '\u{10000}'
    };
    let all: String = ('\0'..=char::MAX).collect();
    let mut written = String::new();
    Node::Text(all).put(&mut written);
    let wrong: Vec<_> = written.chars().filter(|&c| !allowed(c)).map(|c| c.escape_unicode().to_string()).collect();
    assert_eq!(wrong, [""; 0]);
    let ends = ["\u{D7FF}", "\u{E000}", "\u{FFFD}", "\u{10000}", "\u{1FFFE}", "\u{10FFFF}", "\n", "é", "漢"];
    assert!(ends.iter().all(|end| written.contains(end)), "what is allowed stays");
}

#[test]
fn the_page_says_what_the_file_says() {
    let labour = line("1.5", Unit::Hour, "60", "90.00", "9.00", vat());
    let free = line("2", Unit::Each, "21.30", "42.60", "0.00", Tax::Exempt(Reason::new("Certificate 17").unwrap()));
    let back =
        taken_back(Outgoing { words: Label::new("Travel"), ..line("0.5", Unit::Hour, "30", "15.00", "0.00", vat()) });
    let mut parties = parties();
    parties.seller.registered = Label::new("0042");
    let [invoice] = &drafts(4, &[labour, free, back], &parties, issued())[..] else { panic!("one job") };
    let page = proforma::page(invoice.as_ref().unwrap());
    let page = String::from_utf8(assemble(&page, |_| None)).unwrap().replace(" dir=\"auto\"", "");
    let cells =
        |row: &[&str]| format!("<tr>{}</tr>", row.iter().map(|it| format!("<td>{it}</td>")).collect::<String>());
    for row in [
        ["Labour: pump leaks", "1.5 hours", "60", "90.00"],
        ["less discount", "-", "-", "-9.00"],
        ["Labour: pump leaks", "2 each", "21.3", "42.60"],
        ["Travel", "-0.5 hours", "30", "-15.00"],
        // 81.00 less 15.00, and a fifth of it.
        ["S", "20 %", "66.00", "13.20"],
        ["E: Certificate 17", "0 %", "42.60", "0.00"],
    ] {
        assert!(page.contains(&cells(&row)), "{row:?} is not in\n{page}");
    }
    for (what, says) in [
        ("Without tax", "108.60"),
        ("Tax", "13.20"),
        ("Due", "121.80 GBP"),
        ("To be paid", "Within 14 days"),
        ("Corrects export", "3"),
        ("From", "Lower Basin Boatyard, Lockby, GB, GB123456789, 0042"),
    ] {
        let fact = format!("<dt>{what}</dt><dd>{says}</dd>");
        assert!(page.contains(&fact), "{fact} is not in\n{page}");
    }
}

#[test]
fn each_currency_has_a_draft_of_its_own() {
    let old = taken_back(line("1", Unit::Hour, "60", "60.00", "0.00", vat()));
    let euros = Money::parse("72.00", Currency::Eur).unwrap();
    let none = Money::zero(Currency::Eur);
    let new = Outgoing { gross: euros, discount: none, net: euros, corrects: None, ..old.clone() };
    let new = Outgoing { quantity: Quantity::ONE, price: Price::parse("72").unwrap(), ..new };
    let parties = parties();
    let told = |draft: &Result<Invoice<'_>, NoInvoice>| {
        let draft = draft.as_ref().unwrap();
        (draft.number, draft.kind, format!("{} {}", draft.totals.due, draft.totals.due.currency().code()))
    };
    let told: Vec<_> = drafts(2, &[new, old], &parties, issued()).iter().map(told).collect();
    assert_eq!(
        told,
        [((2, 1), Kind::Invoice, "86.40 EUR".to_owned()), ((2, 2), Kind::CreditNote, "72.00 GBP".to_owned()),]
    );
}

#[test]
fn what_is_outside_of_the_tax_has_a_draft_of_its_own() {
    let labour = line("1", Unit::Hour, "60", "60.00", "0.00", Tax::Outside);
    let part = line("1", Unit::Each, "21.30", "21.30", "0.00", vat());
    let mut parties = parties();
    parties.seller.registered = Label::new("0042");
    let drafts = drafts(2, &[labour.clone(), part, labour], &parties, issued());
    let [outside, taxed] = &drafts[..] else { panic!("{drafts:?}") };
    let told = |draft: &Result<Invoice<'_>, NoInvoice>| {
        let draft = draft.as_ref().unwrap();
        (draft.lines.len(), draft.totals.due.to_string(), String::from_utf8(written(draft).unwrap()).unwrap())
    };
    let ((lines, due, xml), taxed) = (told(outside), told(taxed));
    assert_eq!((lines, due.as_str(), taxed.0, taxed.1.as_str()), (2, "120.00", 1, "25.56"));
    assert!(!xml.contains("GB123456789") && taxed.2.contains("GB123456789"), "{xml}");
}

#[test]
fn tax_that_is_paid_back_is_a_credit_note() {
    let taxed = taken_back(line("1", Unit::Hour, "60", "60.00", "0.00", vat()));
    let exempt = line("1", Unit::Hour, "60", "60.00", "0.00", Tax::Exempt(Reason::new("Certificate 17").unwrap()));
    let parties = parties();
    let [draft] = &drafts(2, &[exempt, taxed], &parties, issued())[..] else { panic!("one job") };
    let Invoice { kind, totals, .. } = draft.as_ref().unwrap();
    let sums = [totals.without_tax, totals.tax, totals.due].map(|it| it.to_string());
    assert_eq!((*kind, sums), (Kind::CreditNote, ["0.00", "12.00", "12.00"].map(str::to_owned)));
}

#[test]
fn prices_that_the_standard_cannot_say_are_refused() {
    let list = |currency: &str, by: &str| {
        let file = format!(
            "{{\"quaywright\": \"prices\", \"v\": 1, \"currency\": {currency:?}, \"tax-by\": {by:?}, \
             \"rates\": [], \"taxes\": []}}"
        );
        can_be_said(&prices::read(file.as_bytes()).unwrap())
    };
    assert_eq!(list("GBP", "category"), Ok(()));
    assert_eq!(list("GBP", "line"), Err(NoInvoice::TaxByLine));
    assert_eq!(list("KWD", "category"), Err(NoInvoice::ThreeDigits(Currency::Kwd)));
}

#[test]
fn what_cannot_be_said_is_named() {
    let parties = parties();
    let refused = |parties: &Parties, lines: &[Outgoing]| {
        let drafts = drafts(1, lines, parties, issued());
        drafts.into_iter().map(|it| it.map(|_| ()).unwrap_err()).collect::<Vec<_>>()
    };
    let labour = line("1", Unit::Hour, "60", "60.00", "0.00", vat());
    let stranger = Outgoing { customer: Label::new("Somebody"), ..labour.clone() };
    assert_eq!(refused(&parties, &[stranger]), [NoInvoice::NoCustomer("Somebody".to_owned())]);
    let name = parties.customers[&Label::new("Trust")].name.to_string();
    let owed = Outgoing { tax: Tax::ReverseCharge, ..labour.clone() };
    assert_eq!(refused(&parties, &[owed]), [NoInvoice::NoBuyersNumber(name)]);
    let nobody = Parties { seller: Party { tax: Label::new("7"), ..party("Yard") }, ..parties.clone() };
    assert_eq!(refused(&nobody, std::slice::from_ref(&labour)), [NoInvoice::Unknown]);
    let untaxed = Parties { seller: party("Yard"), ..parties.clone() };
    assert_eq!(refused(&untaxed, std::slice::from_ref(&labour)), [NoInvoice::NoTaxNumber]);
    let known = Party { tax: Label::new("7"), registered: Label::new("0042"), ..party("Yard") };
    let known = Parties { seller: known, ..parties.clone() };
    for abroad in [Tax::IntraCommunity, Tax::Export] {
        assert_eq!(refused(&known, &[Outgoing { tax: abroad, ..labour.clone() }]), [NoInvoice::NoVatNumber]);
    }
    assert!(drafts(1, std::slice::from_ref(&labour), &known, issued())[0].is_ok());
    let all_outside = [Outgoing { tax: Tax::Outside, ..labour.clone() }];
    assert_eq!(refused(&parties, &all_outside), [NoInvoice::UnknownOutside]);
    let claimed = Outgoing { pay: PayType::Warranty, ..labour.clone() };
    let internal = Outgoing { pay: PayType::Internal, ..labour };
    assert_eq!(drafts(1, &[claimed, internal], &parties, issued()), []);
}
