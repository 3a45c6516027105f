//! The sums held against official examples and tests.
//!
//! Figures are those of the files named beside them: `ConnectingEurope/eInvoicing-EN16931`
//! (validation artefacts 1.3.16, 2026; unit tests and examples) and
//! `OpenPEPPOL/peppol-bis-invoice-3` (2025). Each is a fact that was read there;
//! no file is copied.

use super::*;
use crate::money::Percent;
use crate::money::tax::Reason;
use proptest::prelude::*;
use rust_decimal::Decimal;

fn nok(text: &str) -> Money {
    Money::parse(text, Currency::Nok).unwrap()
}

fn at(rate: &str) -> Tax {
    Tax::standard(Percent::parse(rate).unwrap()).unwrap()
}

fn taxed(net: &str, tax: Tax) -> Taxed {
    Taxed { net: nok(net), tax }
}

fn priced(quantity: &str, price: &str) -> Priced {
    let (quantity, price) = (Quantity::parse(quantity).unwrap(), Price::parse(price).unwrap());
    Priced { quantity, price, per: Quantity::ONE, charges: Vec::new(), allowances: Vec::new() }
}

fn per(priced: Priced, per: &str) -> Priced {
    Priced { per: Quantity::parse(per).unwrap(), ..priced }
}

fn also(priced: Priced, charge: &str, allowance: &str) -> Priced {
    Priced { charges: vec![nok(charge)], allowances: vec![nok(allowance)], ..priced }
}

fn line(priced: Priced, tax: Tax) -> Taxed {
    Taxed { net: priced.net(Currency::Nok).unwrap(), tax }
}

/// Checks the sums told in one line, and the taxes as category, rate, taxable amount and tax.
#[track_caller]
fn check(document: &Document, sums: &str, taxes: &[&str]) {
    let totals = totals(document, TaxBy::Category).unwrap();
    let told = format!(
        "lines {} allowances {} charges {} without {} tax {} with {} due {}",
        totals.lines, totals.allowances, totals.charges, totals.without_tax, totals.tax, totals.with_tax, totals.due
    );
    assert_eq!(told, sums);
    let told = |of: &TaxOf| format!("{} {}: {} {}", of.tax.code(), of.tax.rate(), of.taxable, of.amount);
    assert_eq!(totals.taxes.iter().map(told).collect::<Vec<_>>(), taxes);
}

#[test]
fn the_tax_of_a_category_br_co_17() {
    for (taxable, rate, tax) in [
        // Unit tests BR-CO-17 and BR-S-09 of the artefacts.
        ("1000", "25", "250.00"),
        ("6491.34", "25", "1622.84"),
        ("-6491.34", "25", "-1622.84"),
        ("2141.05", "14", "299.75"),
        ("2141.19", "2.1", "44.96"),
        ("-2141.19", "5.5", "-117.77"),
        ("-72.50", "19", "-13.78"),
        ("12342.61", "4.8", "592.45"),
        ("-6170.72", "20", "-1234.14"),
        // The four that tell the half away from zero from the half to even: examples 2 of UBL
        // and CII, BIS_Billing_30-Tjanster_Kopiering, BIS3_Invoice_positive and _negativ.
        ("1460.50", "25", "365.13"),
        ("5012.42", "25", "1253.11"),
        ("625743.54", "25", "156435.89"),
        ("-625743.54", "25", "-156435.89"),
    ] {
        let totals = totals(&Document::of(vec![taxed(taxable, at(rate))], Currency::Nok), TaxBy::Category).unwrap();
        assert_eq!(totals.tax.to_string(), tax, "{taxable} at {rate} %");
    }
}

#[test]
fn ubl_tc434_example2() {
    // Its first line states 1273.00 for 2 at 1273.00, which the standard does not check; lines
    // are taken here as they state themselves. Lines 2 to 5: see the file.
    let exempt = Tax::Exempt(Reason::new("Exempt New Means of Transport").unwrap());
    let document = Document {
        lines: vec![
            taxed("1273.00", at("25")),
            taxed("-3.96", at("15")),
            taxed("4.96", at("15")),
            taxed("-25.00", exempt),
            taxed("187.50", at("25")),
        ],
        allowances: vec![taxed("100.00", at("25"))],
        charges: vec![taxed("100.00", at("25"))],
        paid: nok("1000.00"),
        ..Document::of(Vec::new(), Currency::Nok)
    };
    check(
        &document,
        "lines 1436.50 allowances 100.00 charges 100.00 without 1436.50 tax 365.28 with 1801.78 due 801.78",
        &["S 15: 1.00 0.15", "S 25: 1460.50 365.13", "E 0: -25.00 0.00"],
    );
}

#[test]
fn peppol_base_example() {
    let document = Document {
        lines: vec![line(priced("7", "400"), at("25")), line(priced("-3", "500"), at("25"))],
        charges: vec![taxed("25", at("25"))],
        ..Document::of(Vec::new(), Currency::Nok)
    };
    check(
        &document,
        "lines 1300.00 allowances 0.00 charges 25.00 without 1325.00 tax 331.25 with 1656.25 due 1656.25",
        &["S 25: 1325.00 331.25"],
    );
}

#[test]
fn peppol_allowance_example() {
    let exempt = Tax::Exempt(Reason::new("Reason for tax exempt").unwrap());
    let document = Document {
        lines: vec![
            line(also(priced("10", "410"), "1", "101"), at("25")),
            line(per(priced("10", "200"), "2"), exempt),
            line(also(priced("10", "100"), "1", "101"), at("25")),
        ],
        allowances: vec![taxed("200", at("25"))],
        charges: vec![taxed("200", at("25"))],
        paid: nok("1000"),
        ..Document::of(Vec::new(), Currency::Nok)
    };
    check(
        &document,
        "lines 5900.00 allowances 200.00 charges 200.00 without 5900.00 tax 1225.00 with 7125.00 due 6125.00",
        &["S 25: 4900.00 1225.00", "E 0: 1000.00 0.00"],
    );
}

#[test]
fn what_is_exempt_for_several_reasons_is_one_category_br_e_01() {
    let exempt = |reason: &str| Tax::Exempt(Reason::new(reason).unwrap());
    let lines = vec![
        taxed("10.00", exempt("labour is not taxed")),
        taxed("5.00", Tax::Zero),
        taxed("20.00", exempt("certificate 17")),
        taxed("30.00", exempt("labour is not taxed")),
    ];
    let totals = totals(&Document::of(lines, Currency::Nok), TaxBy::Category).unwrap();
    let told = |of: &TaxOf| format!("{} {}", of.tax.code(), of.taxable);
    assert_eq!(totals.taxes.iter().map(told).collect::<Vec<_>>(), ["Z 5.00", "E 60.00"]);
    assert_eq!(totals.taxes[1].tax, exempt("labour is not taxed; certificate 17"));
}

#[test]
fn peppol_vat_category_s() {
    // With the discount of 100 and the charge of 200 on the higher rate its lines come to the
    // taxable amounts that it states, 5000 and 2000.
    let document = Document {
        lines: vec![taxed("4000", at("25")), taxed("2000", at("15")), taxed("900", at("25"))],
        allowances: vec![taxed("100", at("25"))],
        charges: vec![taxed("200", at("25"))],
        ..Document::of(Vec::new(), Currency::Nok)
    };
    check(
        &document,
        "lines 6900.00 allowances 100.00 charges 200.00 without 7000.00 tax 1550.00 with 8550.00 due 8550.00",
        &["S 15: 2000.00 300.00", "S 25: 5000.00 1250.00"],
    );
}

#[test]
fn prices_of_ubl_tc434_example8() {
    // Prices finer than a cent, and one for twelve.
    for (priced, net) in [
        (priced("16000", "0.00880"), "140.80"),
        (priced("16000", "0.00101"), "16.16"),
        (per(priced("132", "15.24"), "12"), "167.64"),
    ] {
        assert_eq!(priced.net(Currency::Eur).unwrap().to_string(), net);
    }
    check(
        &Document::of(vec![taxed("908.91", at("21"))], Currency::Nok),
        "lines 908.91 allowances 0.00 charges 0.00 without 908.91 tax 190.87 with 1099.78 due 1099.78",
        &["S 21: 908.91 190.87"],
    );
}

#[test]
fn two_rates_of_ubl_tc434_example1() {
    check(
        &Document::of(vec![taxed("183.23", at("6")), taxed("46.37", at("21"))], Currency::Nok),
        "lines 229.60 allowances 0.00 charges 0.00 without 229.60 tax 20.73 with 250.33 due 250.33",
        &["S 6: 183.23 10.99", "S 21: 46.37 9.74"],
    );
}

#[test]
fn what_is_due_br_co_16() {
    // Unit test BR-CO-16: 1200.78 with tax, 1000.00 paid, rounded by 0.22: 201.00.
    let document = Document {
        paid: nok("1000.00"),
        rounding: nok("0.22"),
        ..Document::of(vec![taxed("1200.78", Tax::Zero)], Currency::Nok)
    };
    assert_eq!(totals(&document, TaxBy::Category).unwrap().due.to_string(), "201.00");
    // BIS_Billing_30-Tjanster_Kopiering: 6265.53 with tax, rounded by 0.47.
    let lines = vec![taxed("5012.42", at("25"))];
    let document = Document { rounding: nok("0.47"), ..Document::of(lines, Currency::Nok) };
    let sums = totals(&document, TaxBy::Category).unwrap();
    assert_eq!((sums.with_tax.to_string(), sums.due.to_string()), ("6265.53".to_owned(), "6266.00".to_owned()));
}

#[test]
fn by_item_or_by_invoice_as_section_324_lets_a_seller_choose() {
    // Worked by hand: three items of 1.00 at 6.5 % are 0.065 each, 0.195 together.
    let document = Document::of(vec![taxed("1.00", at("6.5")); 3], Currency::Nok);
    assert_eq!(totals(&document, TaxBy::Line).unwrap().tax.to_string(), "0.21");
    assert_eq!(totals(&document, TaxBy::Category).unwrap().tax.to_string(), "0.20");
}

#[test]
fn currencies_are_not_mixed() {
    let mut document = Document::of(vec![taxed("1.00", Tax::Zero)], Currency::Nok);
    document.lines.push(Taxed { net: Money::zero(Currency::Eur), tax: Tax::Zero });
    assert_eq!(totals(&document, TaxBy::Category), Err(MoneyError::Mixed(Currency::Nok, Currency::Eur)));
    assert_eq!(Tax::standard(Percent::ZERO), Err(MoneyError::NotPositive));
    assert_eq!(Reason::new("  "), None);
}

fn any_tax() -> impl Strategy<Value = Tax> {
    prop_oneof![
        Just(at("25")),
        Just(at("7.4")),
        Just(at("0.1")),
        Just(Tax::Zero),
        Just(Tax::ReverseCharge),
        Just(Tax::Exempt(Reason::new("certificate 4").unwrap())),
    ]
}

fn any_amounts(least: i64) -> impl Strategy<Value = Vec<Taxed>> {
    let money = |cents| Money::rounded(Decimal::new(cents, 2), Currency::Nok, Rounding::default()).unwrap();
    prop::collection::vec((least..10_000_000, any_tax()), 0..12)
        .prop_map(move |all| all.into_iter().map(|(cents, tax)| Taxed { net: money(cents), tax }).collect())
}

proptest! {
    #[test]
    fn parts_add_up(lines in any_amounts(-10_000_000), allowances in any_amounts(0), charges in any_amounts(0)) {
        let document = Document { allowances, charges, ..Document::of(lines, Currency::Nok) };
        for by in [TaxBy::Category, TaxBy::Line] {
            let sums = totals(&document, by).unwrap();
            let taxable = Money::sum(sums.taxes.iter().map(|of| of.taxable), Currency::Nok);
            prop_assert_eq!(taxable, Ok(sums.without_tax));
            prop_assert_eq!(sums.without_tax.plus(sums.tax), Ok(sums.with_tax));
            // Each rounding moves the tax by half a unit at most.
            let count = match by {
                TaxBy::Category => sums.taxes.len(),
                TaxBy::Line => document.lines.len() + document.allowances.len() + document.charges.len(),
            };
            let exact: Decimal = sums.taxes.iter().map(|of| of.taxable.decimal() * rate(&of.tax) / Decimal::ONE_HUNDRED).sum();
            prop_assert!((exact - sums.tax.decimal()).abs() <= Decimal::new(5, 3) * Decimal::from(count));
        }
    }

    #[test]
    fn the_order_does_not_matter(lines in any_amounts(-10_000_000)) {
        let there = totals(&Document::of(lines.clone(), Currency::Nok), TaxBy::Category);
        let back = totals(&Document::of(lines.into_iter().rev().collect(), Currency::Nok), TaxBy::Category);
        prop_assert_eq!(there, back);
    }

    #[test]
    fn a_further_line_never_makes_it_cheaper(lines in any_amounts(0), more in any_amounts(0)) {
        let fewer = totals(&Document::of(lines.clone(), Currency::Nok), TaxBy::Category).unwrap();
        let all = totals(&Document::of([lines, more].concat(), Currency::Nok), TaxBy::Category).unwrap();
        prop_assert!(!fewer.due.is_negative());
        prop_assert!(fewer.due.decimal() <= all.due.decimal());
    }
}

fn rate(tax: &Tax) -> Decimal {
    Decimal::from_str_exact(&tax.rate().to_string()).unwrap()
}
