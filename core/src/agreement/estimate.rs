//! An estimate: what the work is for, what it costs line by line, until when
//! that holds, and on which terms something is taken apart to find out.
//!
//! Rule: the total is the sum of its lines, tax included as its own line, since
//! a shop's tax is what its own program says; nothing is rounded here. Of two
//! estimates for a job the later one stands, and the earlier one stays readable.
//! One of no line at all says that there is none: where a rule lets an owner waive
//! the written estimate, agreeing to that one is the waiver.

use crate::agreement::rules::RuleSet;
use crate::moment::Day;
use crate::money::Currency;
use crate::money::minor::Minor;
use crate::quantity::Count;
use crate::text::{Label, Prose};

/// What work is expected to cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Estimate {
    /// What is asked for, or what is wrong, in the owner's words.
    pub what_for: Prose,
    /// In which currency all its amounts are.
    pub currency: Currency,
    /// What it promises.
    pub form: Form,
    /// What it is made of, in order; at most [`MOST_LINES`].
    pub lines: Vec<CostLine>,
    /// The last day on which it may be agreed to, if there is one.
    pub valid_until: Option<Day>,
    /// The terms of taking apart, where that is needed to find out.
    pub taking_apart: Option<TakingApart>,
    /// Which rules of repair agreements it follows.
    pub rules: RuleSet,
    /// Whether the owner's work summary tells it beside what was agreed.
    pub on_summary: bool,
}

/// The most lines of an estimate.
pub const MOST_LINES: usize = 100;

/// What an estimate promises.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Form {
    /// What it is expected to come to, line by line.
    #[default]
    Itemised,
    /// The most that it will come to.
    AtMost,
}

impl Form {
    /// Both, in the order in which they are offered.
    pub const ALL: [Form; 2] = [Form::Itemised, Form::AtMost];

    /// Returns it in words.
    pub const fn words(self) -> &'static str {
        match self {
            Form::Itemised => "an estimate",
            Form::AtMost => "the most that it will cost",
        }
    }
}

/// One line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CostLine {
    /// What kind of cost it is.
    pub cost: Cost,
    /// What it is for.
    pub words: Label,
    /// How much.
    pub amount: Minor,
}

/// A kind of cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Cost {
    /// Work, of so many minutes.
    Labour {
        /// Minutes; none where no time was said.
        minutes: u32,
    },
    /// Parts of one kind.
    Parts {
        /// How many.
        count: Count,
    },
    /// Grease, rags, sealant: what a shop charges as a whole.
    ShopSupplies,
    /// Haul-out, transport, disposal, and whatever else is neither.
    Other,
    /// Tax.
    Tax,
}

impl Cost {
    /// One of each, in the order of a document.
    pub const ALL: [Cost; 5] =
        [Cost::Labour { minutes: 0 }, Cost::Parts { count: Count(1) }, Cost::ShopSupplies, Cost::Other, Cost::Tax];

    /// Returns the trade's words.
    pub const fn words(self) -> &'static str {
        match self {
            Cost::Labour { .. } => "labour",
            Cost::Parts { .. } => "parts",
            Cost::ShopSupplies => "shop supplies",
            Cost::Other => "other",
            Cost::Tax => "tax",
        }
    }
}

/// On which terms something is taken apart to find out what is wrong.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TakingApart {
    /// What taking apart and putting together again costs, gaskets and seals included.
    pub price: Minor,
    /// What taking apart destroys and is renewed within that price: gaskets, seals, O-rings.
    pub destroyed: Vec<Label>,
    /// The longest time until it is together again, in days, if the owner wants it so.
    pub days: u16,
    /// Why it may not go back as it was; empty where it can.
    pub not_as_it_was: Label,
}

/// What an estimate's lines come to, by kind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Totals {
    /// Labour.
    pub labour: Minor,
    /// Parts.
    pub parts: Minor,
    /// Shop supplies.
    pub supplies: Minor,
    /// Anything else.
    pub other: Minor,
    /// Tax.
    pub tax: Minor,
    /// Minutes of labour.
    pub minutes: u32,
}

impl Totals {
    /// Returns what it comes to before tax.
    pub fn before_tax(self) -> Minor {
        [self.labour, self.parts, self.supplies, self.other].into_iter().sum()
    }

    /// Returns what it comes to in all.
    pub fn total(self) -> Minor {
        self.before_tax().plus(self.tax)
    }
}

impl Estimate {
    /// Tells whether there is none, and that is what is agreed to: the owner waives it.
    pub fn is_waiver(&self) -> bool {
        self.lines.is_empty() && self.rules.lets_waive()
    }

    /// Returns what the lines come to.
    pub fn totals(&self) -> Totals {
        let mut totals = Totals::default();
        for line in &self.lines {
            let sum = match line.cost {
                Cost::Labour { minutes } => {
                    totals.minutes = totals.minutes.saturating_add(minutes);
                    &mut totals.labour
                }
                Cost::Parts { .. } => &mut totals.parts,
                Cost::ShopSupplies => &mut totals.supplies,
                Cost::Other => &mut totals.other,
                Cost::Tax => &mut totals.tax,
            };
            *sum = sum.plus(line.amount);
        }
        totals
    }

    /// Tells whether it may still be agreed to on a day.
    pub fn holds_on(&self, day: Day) -> bool {
        self.valid_until.is_none_or(|last| day <= last)
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use proptest::prelude::*;

    pub(crate) fn line(cost: Cost, words: &str, units: u32) -> CostLine {
        CostLine { cost, words: Label::new(words), amount: Minor::fixed(units) }
    }

    pub(crate) fn of(lines: Vec<CostLine>) -> Estimate {
        Estimate {
            what_for: Prose::new("Runs hot"),
            currency: Currency::Usd,
            form: Form::Itemised,
            lines,
            valid_until: Day::parse("2026-05-31"),
            taking_apart: None,
            rules: RuleSet::None,
            on_summary: false,
        }
    }

    #[test]
    fn kinds_add_up_and_tax_stands_apart() {
        let estimate = of(vec![
            line(Cost::Labour { minutes: 90 }, "strip", 15_000),
            line(Cost::Labour { minutes: 30 }, "test", 5_000),
            line(Cost::Parts { count: Count(2) }, "seal", 1_840),
            line(Cost::ShopSupplies, "", 500),
            line(Cost::Other, "haul-out", 6_000),
            line(Cost::Tax, "", 135),
        ]);
        let totals = estimate.totals();
        assert_eq!((totals.minutes, totals.labour, totals.parts), (120, Minor::fixed(20_000), Minor::fixed(1_840)));
        assert_eq!((totals.before_tax(), totals.total()), (Minor::fixed(28_340), Minor::fixed(28_475)));
    }

    #[test]
    fn it_holds_up_to_its_last_day() {
        let estimate = of(Vec::new());
        let on = |day: &str| estimate.holds_on(Day::parse(day).unwrap());
        assert_eq!((on("2026-05-31"), on("2026-06-01")), (true, false));
        assert!(Estimate { valid_until: None, ..estimate }.holds_on(Day::parse("2036-06-01").unwrap()));
    }

    proptest! {
        #[test]
        fn the_total_is_the_sum_of_the_lines(lines in prop::collection::vec((0..5_usize, any::<u32>()), 0..MOST_LINES)) {
            let lines: Vec<CostLine> = lines.into_iter().map(|(kind, units)| line(Cost::ALL[kind], "", units)).collect();
            let sum: u64 = lines.iter().map(|line| line.amount.units()).sum();
            prop_assert_eq!(of(lines).totals().total().units(), sum);
        }
    }
}
