//! Drafts of invoices of an export: XML for accounting programs, and a page that says the same.
//!
//! They are made from the lines that went out and from nothing else, so they can be made
//! as often as anybody likes and say the same each time. What cannot be said is named and
//! stops no other draft. The page becomes a PDF with the XML inside where PDFs are made.

use quaywright_core::billing::PriceList;
use quaywright_core::billing::invoice::{Invoice, NoInvoice, Parties, can_be_said, drafts};
use quaywright_core::billing::outgoing::Outgoing;
use quaywright_core::event::PayType;
use quaywright_core::exchange::html::proforma;
use quaywright_core::exchange::pieces::Piece;
use quaywright_core::exchange::{outgoing, ubl};
use quaywright_core::moment::Day;
use quaywright_core::quantity::counted;

use crate::store::{Store, StoreError};

/// What drafts are made with.
#[derive(Clone, Copy)]
pub struct With<'a> {
    /// The shop's price list.
    pub prices: &'a PriceList,
    /// Who sells and who buys.
    pub parties: &'a Parties,
    /// The day that they bear.
    pub issued: Day,
}

/// The drafts of an export.
#[derive(Default)]
pub struct Drafts {
    /// Each that could be made.
    pub made: Vec<Made>,
    /// What could not be said, in sentences.
    pub faults: Vec<String>,
    /// How many lines are on no invoice, since no customer pays them.
    pub others: usize,
}

/// A draft.
pub struct Made {
    /// What its files are called, without an ending.
    pub name: String,
    /// It for accounting programs: UBL 2.1, EN 16931-1.
    pub xml: Vec<u8>,
    /// It for people.
    pub page: Vec<Piece>,
}

/// Why there are no drafts.
#[derive(Debug, thiserror::Error)]
pub enum NoDrafts {
    /// The store does not do it.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The prices cannot be said in such drafts.
    #[error(transparent)]
    Prices(#[from] NoInvoice),
    /// What went out cannot be read.
    #[error(transparent)]
    Line(#[from] outgoing::NotALine),
    /// Nothing of that number went out.
    #[error("there is no export {0} in this store")]
    NoExport(u32),
}

/// Makes the drafts of an export.
///
/// # Errors
/// When the store does not tell what went out, nothing did, or no draft can say such prices.
pub fn of_export(store: &mut dyn Store, number: u32, with: With<'_>) -> Result<Drafts, NoDrafts> {
    can_be_said(with.prices)?;
    let sent = store.sent()?;
    let lines = sent.iter().filter(|sent| sent.export == number).map(|sent| outgoing::read(&sent.form));
    let lines: Vec<Outgoing> = lines.collect::<Result<_, _>>()?;
    if lines.is_empty() {
        return Err(NoDrafts::NoExport(number));
    }
    let others = lines.iter().filter(|line| line.pay != PayType::CustomerPay).count();
    let mut all = Drafts { others, ..Drafts::default() };
    for draft in drafts(number, &lines, with.parties, with.issued) {
        match draft.map_err(|why| why.to_string()).and_then(|invoice| made(&invoice)) {
            Ok(made) => all.made.push(made),
            Err(why) => all.faults.push(why),
        }
    }
    Ok(all)
}

impl Drafts {
    /// Says that not all lines are on a draft, where that is so.
    pub fn others_words(&self) -> Option<String> {
        let lines = counted(self.others, "line");
        let are = if self.others == 1 { "is" } else { "are" };
        (self.others > 0).then(|| format!("{lines} of warranty and internal work {are} on no invoice"))
    }
}

fn made(invoice: &Invoice<'_>) -> Result<Made, String> {
    let (export, nth) = invoice.number;
    let xml = ubl::written(invoice).map_err(|why| why.to_string())?;
    Ok(Made { name: format!("draft-{export}-{nth}"), xml, page: proforma::page(invoice) })
}
