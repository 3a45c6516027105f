//! The sums of an invoice, by the calculation rules of EN 16931-1.
//!
//! | rule     | what it says |
//! |----------|--------------|
//! | BR-CO-10 | sum of lines = all line net amounts |
//! | BR-CO-11 | sum of allowances = all allowances on the document |
//! | BR-CO-12 | sum of charges = all charges on the document |
//! | BR-CO-13 | without tax = lines - allowances + charges |
//! | BR-CO-14 | tax = the tax of all categories |
//! | BR-CO-15 | with tax = without tax + tax |
//! | BR-CO-16 | due = with tax - paid + rounding amount |
//! | BR-CO-17 | a category's tax = taxable amount x rate, rounded |
//!
//! A line's net amount is price times quantity, rounded, and then its own
//! charges and allowances, each rounded (Peppol BIS Billing 3.0, "Calculation").
//! Sums of rounded amounts are not rounded again. EN 16931 rounds the tax of a
//! category once; where a tax is computed by the item, as section 324 of the
//! streamlined sales tax agreement lets a seller do, [`TaxBy::Line`] rounds it
//! on each line. The standard wants at most two decimals (BR-DEC rules); a
//! currency with three keeps its three here, and no such draft can be exchanged.

use super::tax::Tax;
use super::{Currency, Money, MoneyError, Price, Quantity, Rounding};

/// An amount, and the tax that is on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taxed {
    /// The amount without tax.
    pub net: Money,
    /// The tax.
    pub tax: Tax,
}

/// A line's price before it becomes an amount.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Priced {
    /// How many.
    pub quantity: Quantity,
    /// The price.
    pub price: Price,
    /// For how many the price is.
    pub per: Quantity,
    /// What is charged beyond it.
    pub charges: Vec<Money>,
    /// What is taken off.
    pub allowances: Vec<Money>,
}

impl Priced {
    /// Returns the line's net amount.
    ///
    /// # Errors
    /// When currencies are mixed, or an amount is too large.
    pub fn net(&self, currency: Currency) -> Result<Money, MoneyError> {
        let gross = self.price.times(self.quantity, self.per, currency)?;
        let charges = Money::sum(self.charges.iter().copied(), currency)?;
        gross.plus(charges)?.minus(Money::sum(self.allowances.iter().copied(), currency)?)
    }
}

/// What an invoice is added up from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Document {
    /// The currency of all its amounts.
    pub currency: Currency,
    /// Its lines.
    pub lines: Vec<Taxed>,
    /// What is taken off the whole, as positive amounts.
    pub allowances: Vec<Taxed>,
    /// What is charged on the whole.
    pub charges: Vec<Taxed>,
    /// What was paid before.
    pub paid: Money,
    /// What is added so that a round sum is due.
    pub rounding: Money,
}

impl Document {
    /// Returns a document of these lines alone.
    pub fn of(lines: Vec<Taxed>, currency: Currency) -> Self {
        let none = Money::zero(currency);
        Self { currency, lines, allowances: Vec::new(), charges: Vec::new(), paid: none, rounding: none }
    }
}

/// Where the tax is rounded.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TaxBy {
    /// Once for each category, as EN 16931 says.
    #[default]
    Category,
    /// On each line, allowance and charge.
    Line,
}

/// The tax of one category at one rate; what is exempt for several reasons is one (BR-E-01), with all of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TaxOf {
    /// The category.
    pub tax: Tax,
    /// What it is on.
    pub taxable: Money,
    /// What it comes to.
    pub amount: Money,
}

/// The sums of an invoice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Totals {
    /// All lines.
    pub lines: Money,
    /// All allowances on the document.
    pub allowances: Money,
    /// All charges on the document.
    pub charges: Money,
    /// Without tax.
    pub without_tax: Money,
    /// The tax by category, in the order of the categories.
    pub taxes: Vec<TaxOf>,
    /// All tax.
    pub tax: Money,
    /// With tax.
    pub with_tax: Money,
    /// What is due.
    pub due: Money,
}

/// Adds up a document.
///
/// # Errors
/// When currencies are mixed, or a sum is too large.
pub fn totals(document: &Document, by: TaxBy) -> Result<Totals, MoneyError> {
    let currency = document.currency;
    let sum = |of: &[Taxed]| Money::sum(of.iter().map(|taxed| taxed.net), currency);
    let (lines, allowances, charges) = (sum(&document.lines)?, sum(&document.allowances)?, sum(&document.charges)?);
    let without_tax = lines.minus(allowances)?.plus(charges)?;
    let taxes = taxes(document, by)?;
    let tax = Money::sum(taxes.iter().map(|of| of.amount), currency)?;
    let with_tax = without_tax.plus(tax)?;
    let due = with_tax.minus(document.paid)?.plus(document.rounding)?;
    Ok(Totals { lines, allowances, charges, without_tax, taxes, tax, with_tax, due })
}

fn taxes(document: &Document, by: TaxBy) -> Result<Vec<TaxOf>, MoneyError> {
    let zero = Money::zero(document.currency);
    let added = document.lines.iter().chain(&document.charges).map(|it| (&it.tax, it.net));
    let taken_off = document.allowances.iter().map(|it| (&it.tax, it.net.negated()));
    let mut taxes: Vec<TaxOf> = Vec::new();
    for (tax, net) in added.chain(taken_off) {
        let known = taxes.iter().position(|of| of.tax.code() == tax.code() && of.tax.rate() == tax.rate());
        let place = known.unwrap_or_else(|| {
            let place = taxes.partition_point(|of| of.tax < *tax);
            taxes.insert(place, TaxOf { tax: tax.clone(), taxable: zero, amount: zero });
            place
        });
        let of = &mut taxes[place];
        of.tax.hear(tax);
        of.taxable = of.taxable.plus(net)?;
        of.amount = match by {
            TaxBy::Category => of.taxable.percent(tax.rate(), Rounding::HalfAwayFromZero)?,
            TaxBy::Line => of.amount.plus(net.percent(tax.rate(), Rounding::HalfAwayFromZero)?)?,
        };
    }
    Ok(taxes)
}

#[cfg(test)]
mod tests;
