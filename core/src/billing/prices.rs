//! A shop's price list: all that is charged, and by which rules.
//!
//! Figures are the shop's own; there is no default for any of them. A list that
//! names no discount, minimum or supplies charges none; a case for which it
//! names no rate, no tax or no cost of a part is a question and not a guess.

use std::collections::BTreeMap;

use super::rule::{Holds, Rule};
use crate::hours::rounding::LengthRule;
use crate::money::tax::Tax;
use crate::money::totals::TaxBy;
use crate::money::{Currency, Money, MoneyError, Percent, Price};
use crate::order;
use crate::text::Label;

/// What a shop charges.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceList {
    /// The currency of all its figures.
    pub currency: Currency,
    /// How the length of each billed line is rounded, each for itself. Where the list does not
    /// say it, the shop's own rules hold as the technician's phone has them: a line of the job is
    /// rounded as a whole, and the job has its least charge.
    pub rounding: Option<LengthRule>,
    /// Prices of an hour.
    pub rates: Vec<Rule<Price>>,
    /// What the time of a bill comes to at least.
    pub minimum: Vec<Rule<Money>>,
    /// How travel is charged.
    pub travel: Travel,
    /// What is added for what is used up.
    pub supplies: Vec<Rule<Supplies>>,
    /// What parts cost the shop, each, by their number.
    pub costs: BTreeMap<Label, Price>,
    /// What is added to the cost of parts.
    pub bands: Bands,
    /// What is taken off.
    pub discounts: Vec<Rule<Discount>>,
    /// Which tax is on what.
    pub taxes: Vec<Rule<Tax>>,
    /// Where the tax is rounded.
    pub tax_by: TaxBy,
}

impl PriceList {
    /// Returns the name of every rule, and where it holds.
    pub fn rules(&self) -> Vec<(&Label, &Holds)> {
        fn of<T>(rules: &[Rule<T>]) -> impl Iterator<Item = (&Label, &Holds)> {
            rules.iter().map(|rule| (&rule.name, &rule.holds))
        }
        let prices = of(&self.rates).chain(of(&self.minimum)).chain(of(&self.supplies));
        prices.chain(of(&self.discounts)).chain(of(&self.taxes)).collect()
    }
}

/// How travel is charged.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Travel {
    /// By the hour, as other time.
    #[default]
    ByHour,
    /// Once for each day with travel on the job, by where the boat lies.
    ByZone(Vec<Zone>),
}

/// Berths that are as far away as one another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Zone {
    /// What the shop calls it.
    pub name: Label,
    /// Which berths are in it, as they are written on the boats.
    pub berths: Vec<Label>,
    /// What the way there and back costs.
    pub price: Price,
}

/// What is charged for rags, cleaner, grease and the like: a part of the labour, up to a cap.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Supplies {
    /// So much of what the labour comes to.
    pub rate: Percent,
    /// At most this much on a bill.
    pub cap: Option<Money>,
}

/// A part that is taken off, never more than all.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Discount(Percent);

impl Discount {
    /// Returns a rate as a discount; nothing where it is more than all.
    pub fn new(rate: Percent) -> Option<Self> {
        rate.is_a_part().then_some(Self(rate))
    }

    /// Returns the rate.
    pub fn rate(self) -> Percent {
        self.0
    }
}

/// What is added to the cost of a part, by what it costs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Bands(Vec<(Price, Percent)>);

impl Bands {
    /// Returns bands, each from a cost on; below the first nothing is added.
    pub fn new(bands: Vec<(Price, Percent)>) -> Self {
        Self(order::by_key(bands, |&(from, _)| from))
    }

    /// Returns what one costs the customer.
    ///
    /// # Errors
    /// When the price is too large.
    pub fn price(&self, cost: Price) -> Result<Price, MoneyError> {
        let band = self.0.iter().rev().find(|&&(from, _)| from <= cost);
        cost.marked_up(band.map_or(Percent::ZERO, |&(_, rate)| rate))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn price(text: &str) -> Price {
        Price::parse(text).unwrap()
    }

    fn rate(text: &str) -> Percent {
        Percent::parse(text).unwrap()
    }

    #[test]
    fn a_part_is_marked_up_by_its_band() {
        // The bands are made up; the products are worked by hand.
        let bands = Bands::new(vec![(price("100"), rate("25")), (price("0"), rate("60")), (price("20"), rate("40"))]);
        for (cost, expected) in
            [("0", "0"), ("2.35", "3.76"), ("19.99", "31.984"), ("20", "28"), ("99.99", "139.986"), ("100", "125")]
        {
            assert_eq!(bands.price(price(cost)), Ok(price(expected)), "{cost}");
        }
        assert_eq!(Bands::default().price(price("7")), Ok(price("7")));
    }

    #[test]
    fn a_discount_is_never_more_than_all() {
        assert!(Discount::new(rate("100")).is_some());
        assert_eq!(Discount::new(rate("100.5")), None);
    }
}
