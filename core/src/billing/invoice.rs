//! Drafts of invoices: what went out to accounting, as documents for who pays.
//!
//! Made from the lines of one export and from nothing else, so the same export
//! gives the same drafts however often it is asked. One draft for each customer's
//! job and currency, and one of its own for what is outside of the tax (BR-O-11); what is internal is nobody's invoice, and warranty is claimed, not
//! invoiced. Where corrections take back more than the rest comes to, the draft is
//! a credit note and its amounts are turned round, as EN 16931-1 wants of them
//! (type code 381). They are drafts: the accounting program numbers them.
//!
//! The sums are those of [`crate::money::totals`]. A list that rounds its tax on
//! each line, or whose currency has three digits, cannot be said in the standard
//! (BR-CO-17, BR-DEC rules) and is refused.

use std::collections::{BTreeMap, BTreeSet};

use super::outgoing::Outgoing;
use super::prices::PriceList;
use crate::event::PayType;
use crate::id::JobId;
use crate::moment::Day;
use crate::money::tax::Tax;
use crate::money::totals::{Document, TaxBy, Taxed, Totals, totals};
use crate::money::{Currency, MoneyError};
use crate::text::{Label, Prose};

/// Somebody who sells or buys.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Party {
    /// The name.
    pub name: Label,
    /// Street and number.
    pub street: Label,
    /// The town.
    pub town: Label,
    /// The post code.
    pub post_code: Label,
    /// The country.
    pub country: Country,
    /// The number for value added tax, with the country's letters.
    pub vat: Label,
    /// Another number with the tax office.
    pub tax: Label,
    /// The number under which the business is registered.
    pub registered: Label,
}

/// A country: two letters of ISO 3166-1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Country([u8; 2]);

/// Who sells, who buys, and when it has to be paid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Parties {
    /// The shop.
    pub seller: Party,
    /// When it has to be paid, in words.
    pub terms: Prose,
    /// Who buys, by the name that stands on the boats.
    pub customers: BTreeMap<Label, Party>,
}

/// What a draft is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Something is to be paid: type code 380.
    Invoice,
    /// Something is paid back: type code 381.
    CreditNote,
}

/// A draft of an invoice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Invoice<'a> {
    /// What it is.
    pub kind: Kind,
    /// The export, and which of its drafts, from 1 on.
    pub number: (u32, usize),
    /// When it is made.
    pub issued: Day,
    /// Who sells.
    pub seller: &'a Party,
    /// Who buys.
    pub buyer: &'a Party,
    /// When it has to be paid, in words.
    pub terms: &'a Prose,
    /// What it is for: the boat and the job.
    pub about: String,
    /// Its lines; a credit note's amounts are what is paid back.
    pub lines: Vec<Outgoing>,
    /// Its sums.
    pub totals: Totals,
}

impl Invoice<'_> {
    /// Returns the exports that it corrects, each once.
    pub fn corrects(&self) -> Vec<u32> {
        let exports: BTreeSet<u32> = self.lines.iter().filter_map(|line| line.corrects).collect();
        exports.into_iter().collect()
    }
}

/// Why there is no draft.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoInvoice {
    /// The customer is not known.
    #[error("{0:?} is not among the customers: add the name as it stands on the boat")]
    NoCustomer(String),
    /// The shop has no number with a tax office.
    #[error("the shop's number for value added tax, or another with the tax office, is missing: tax cannot be charged")]
    NoTaxNumber,
    /// The shop sells abroad without a number for value added tax.
    #[error(
        "the shop's number for value added tax is missing: what is sold abroad needs it, another number is not enough"
    )]
    NoVatNumber,
    /// Nothing tells who the shop is.
    #[error("add the shop's number for value added tax, or the number under which it is registered")]
    Unknown,
    /// Who owes the tax has no number.
    #[error("the number for value added tax of {0:?} is missing, who owes the tax")]
    NoBuyersNumber(String),
    /// Nothing tells who the shop is where its number for the tax must not stand.
    #[error("add the number under which the shop is registered: what is outside of the tax bears no number for it")]
    UnknownOutside,
    /// The tax is rounded on each line.
    #[error("the price list rounds tax on each line: these drafts round it once for each rate, and would differ")]
    TaxByLine,
    /// A currency with three digits.
    #[error("{} has three digits after the point: these drafts can have two", .0.code())]
    ThreeDigits(Currency),
    /// The figures do not go.
    #[error(transparent)]
    Money(#[from] MoneyError),
}

impl Country {
    /// Returns the country of two capital letters.
    pub fn parse(text: &str) -> Option<Self> {
        let letters: [u8; 2] = text.as_bytes().try_into().ok()?;
        letters.iter().all(u8::is_ascii_uppercase).then_some(Self(letters))
    }

    /// Returns the letters.
    pub fn letters(self) -> String {
        self.0.map(char::from).iter().collect()
    }
}

/// Tells whether a shop's prices can be said in such drafts at all.
///
/// # Errors
/// [`NoInvoice::TaxByLine`] and [`NoInvoice::ThreeDigits`].
pub fn can_be_said(prices: &PriceList) -> Result<(), NoInvoice> {
    if prices.tax_by == TaxBy::Line {
        Err(NoInvoice::TaxByLine)
    } else if prices.currency.digits() > 2 {
        Err(NoInvoice::ThreeDigits(prices.currency))
    } else {
        Ok(())
    }
}

/// What is on one draft: a job's lines in a currency, outside of the tax or not, for a customer.
type OneDraft = (JobId, Currency, bool, Label);

/// Returns the drafts of an export, in the order in which its lines went out.
pub fn drafts<'a>(
    export: u32,
    lines: &[Outgoing],
    parties: &'a Parties,
    issued: Day,
) -> Vec<Result<Invoice<'a>, NoInvoice>> {
    let of = |line: &Outgoing| (line.job, line.net.currency(), line.tax == Tax::Outside, line.customer.clone());
    let mut jobs: Vec<(OneDraft, Vec<Outgoing>)> = Vec::new();
    for line in lines.iter().filter(|line| line.pay == PayType::CustomerPay) {
        match jobs.iter_mut().find(|(job, _)| *job == of(line)) {
            Some((_, lines)) => lines.push(line.clone()),
            None => jobs.push((of(line), vec![line.clone()])),
        }
    }
    let draft = |(nth, ((_, _, _, customer), lines))| one((export, nth + 1), &customer, lines, parties, issued);
    jobs.into_iter().enumerate().map(draft).collect()
}

fn one<'a>(
    number: (u32, usize),
    customer: &Label,
    lines: Vec<Outgoing>,
    parties: &'a Parties,
    issued: Day,
) -> Result<Invoice<'a>, NoInvoice> {
    let named = || customer.or("no owner").to_owned();
    let buyer = parties.customers.get(customer).ok_or_else(|| NoInvoice::NoCustomer(named()))?;
    let Parties { seller, terms, .. } = parties;
    sound(seller, buyer, &lines)?;
    let mut sums = sums_of(&lines)?;
    let mut lines = lines;
    // Who turns out to be exempt gets tax back, though nothing changed without it.
    let kind = if sums.due.is_negative() { Kind::CreditNote } else { Kind::Invoice };
    if kind == Kind::CreditNote {
        lines = lines.into_iter().map(turned).collect::<Result<_, _>>()?;
        sums = sums_of(&lines)?;
    }
    let about = lines.first().map(|line| format!("{}: {}", line.boat.or("no boat"), line.title.or("no title")));
    let about = about.unwrap_or_default();
    Ok(Invoice { kind, number, issued, seller, buyer, terms, about, lines, totals: sums })
}

/// Tells what the rules of each tax ask for, and who the seller is: BR-S-02, BR-AE-02,
/// BR-IC-02, BR-G-02, BR-O-11, BR-CO-26.
fn sound(seller: &Party, buyer: &Party, lines: &[Outgoing]) -> Result<(), NoInvoice> {
    let is_outside = lines.iter().any(|line| line.tax == Tax::Outside);
    if !is_outside && seller.vat.is_empty() && seller.tax.is_empty() {
        return Err(NoInvoice::NoTaxNumber);
    }
    let goes_abroad = |line: &Outgoing| matches!(line.tax, Tax::IntraCommunity | Tax::Export);
    if seller.vat.is_empty() && lines.iter().any(goes_abroad) {
        return Err(NoInvoice::NoVatNumber);
    }
    if seller.registered.is_empty() && is_outside {
        return Err(NoInvoice::UnknownOutside);
    }
    if seller.registered.is_empty() && seller.vat.is_empty() {
        return Err(NoInvoice::Unknown);
    }
    let owes = |line: &Outgoing| matches!(line.tax, Tax::ReverseCharge | Tax::IntraCommunity);
    if lines.iter().any(owes) && buyer.vat.is_empty() {
        return Err(NoInvoice::NoBuyersNumber(buyer.name.to_string()));
    }
    Ok(())
}

fn sums_of(lines: &[Outgoing]) -> Result<Totals, NoInvoice> {
    let currency = lines.first().map_or(Currency::Eur, |line| line.net.currency());
    let taxed = |line: &Outgoing| Taxed { net: line.net, tax: line.tax.clone() };
    Ok(totals(&Document::of(lines.iter().map(taxed).collect(), currency), TaxBy::Category)?)
}

/// Returns a line with its amounts turned round.
fn turned(line: Outgoing) -> Result<Outgoing, MoneyError> {
    let quantity = crate::money::Quantity::NONE.minus(line.quantity)?;
    let (gross, discount, net) = (line.gross.negated(), line.discount.negated(), line.net.negated());
    Ok(Outgoing { quantity, gross, discount, net, ..line })
}
