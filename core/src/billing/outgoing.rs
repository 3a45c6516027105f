//! What goes out to accounting: each line once, and corrections as differences.
//!
//! A line is known by its key: the job and who pays, what it is for, the rule that
//! sets its price, its tax and its currency. Rule: what went out under a key, all
//! added up, is what the bill says; what is missing to that goes out as a
//! difference and names the export that it corrects. So nothing goes out twice,
//! and what went out is never changed silently: a line that is gone, or stands
//! under another rate or tax now, goes out once more with its amounts taken back.
//! Words alone make no difference. A difference goes to whom the line went out that it
//! corrects, whoever has the boat now.

use std::collections::{BTreeMap, BTreeSet};

use super::bill::{Bill, BillLine, Unit};
use super::work::JobWork;
use crate::event::PayType;
use crate::id::{EventId, JobId};
use crate::moment::Day;
use crate::money::tax::Tax;
use crate::money::{Money, MoneyError, Price, Quantity};
use crate::text::Label;

/// A line of a bill with all that it says to a program that knows nothing else.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outgoing {
    /// The job.
    pub job: JobId,
    /// What it is called.
    pub title: Label,
    /// The boat.
    pub boat: Label,
    /// Who is billed.
    pub customer: Label,
    /// Who did it.
    pub technician: Label,
    /// Who pays.
    pub pay: PayType,
    /// What it is for: the same text as long as it stands for the same.
    pub item: String,
    /// The same in words.
    pub words: Label,
    /// The rule that sets the price.
    pub rule: Label,
    /// The first day of it.
    pub first: Day,
    /// The last day of it.
    pub last: Day,
    /// How much; of a difference, how much more.
    pub quantity: Quantity,
    /// Of what.
    pub unit: Unit,
    /// For how much each.
    pub price: Price,
    /// What it comes to.
    pub gross: Money,
    /// What is taken off.
    pub discount: Money,
    /// What is left.
    pub net: Money,
    /// The tax that is on it.
    pub tax: Tax,
    /// The export that a difference corrects.
    pub corrects: Option<u32>,
    /// The events that it comes from.
    pub from: Vec<EventId>,
}

/// A line that went out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gone {
    /// The number of its export.
    pub export: u32,
    /// The line.
    pub line: Outgoing,
}

impl Outgoing {
    /// Returns the lines of a bill.
    pub fn of(work: &JobWork, bill: &Bill) -> Vec<Self> {
        let line = |line: &BillLine| Self {
            job: bill.job,
            title: work.title.clone(),
            boat: work.boat.clone(),
            customer: work.customer.clone(),
            technician: line.by.clone(),
            pay: bill.pay,
            item: line.item.to_string(),
            words: Label::new(&line.words),
            rule: line.rule.clone(),
            first: line.first,
            last: line.last,
            quantity: line.quantity,
            unit: line.unit,
            price: line.price,
            gross: line.gross,
            discount: line.discount,
            net: line.net,
            tax: line.tax.clone(),
            corrects: None,
            from: line.from.clone(),
        };
        bill.lines.iter().map(line).collect()
    }

    /// Returns what the line is known by.
    pub fn key(&self) -> String {
        let (tax, currency) = (&self.tax, self.net.currency().code());
        let pay = self.pay.words();
        format!(
            "{}, {pay}: {} at {:?}, {} {} {currency}",
            self.job,
            self.item,
            self.rule.as_str(),
            tax.code(),
            tax.rate()
        )
    }

    /// Tells whether it is a difference of an amount alone, since a price or a discount was changed.
    pub fn is_of_price_alone(&self) -> bool {
        self.corrects.is_some() && self.quantity == Quantity::NONE
    }

    /// Returns how much it is of, in words for people.
    pub fn how_much(&self) -> String {
        if self.is_of_price_alone() { "as before".to_owned() } else { self.unit.counted(self.quantity) }
    }

    /// Returns for how much each, in words for people.
    pub fn each(&self) -> String {
        if self.is_of_price_alone() { format!("now {}", self.price) } else { self.price.to_string() }
    }

    fn sums(&self) -> Sums {
        Sums { quantity: self.quantity, gross: self.gross, discount: self.discount, net: self.net }
    }
}

/// What is added up under a key.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Sums {
    quantity: Quantity,
    gross: Money,
    discount: Money,
    net: Money,
}

impl Sums {
    fn minus(self, other: Sums) -> Result<Sums, MoneyError> {
        Ok(Sums {
            quantity: self.quantity.minus(other.quantity)?,
            gross: self.gross.minus(other.gross)?,
            discount: self.discount.minus(other.discount)?,
            net: self.net.minus(other.net)?,
        })
    }

    fn none(like: Sums) -> Sums {
        let zero = Money::zero(like.net.currency());
        Sums { quantity: Quantity::NONE, gross: zero, discount: zero, net: zero }
    }

    fn negated(self) -> Result<Sums, MoneyError> {
        Sums::none(self).minus(self)
    }

    fn is_none(self) -> bool {
        self == Sums::none(self)
    }
}

/// Returns what has to go out so that all that went out is what the bills say:
/// first of the bills' lines in their order, then of lines that are gone.
///
/// `settled` are the jobs whose bills the lines are; of any other job nothing is taken back.
///
/// # Errors
/// When a sum is too large.
pub fn due(lines: &[Outgoing], gone: &[Gone], settled: &BTreeSet<JobId>) -> Result<Vec<Outgoing>, MoneyError> {
    let mut earlier: BTreeMap<String, (Sums, &Gone)> = BTreeMap::new();
    for one in gone {
        let sums = one.line.sums();
        let known = earlier.entry(one.line.key()).or_insert((Sums::none(sums), one));
        *known = (known.0.minus(sums.negated()?)?, one);
    }
    let mut due = Vec::new();
    for line in lines {
        let known = earlier.remove(&line.key());
        due.extend(match known {
            None => Some(line.clone()),
            Some((sums, last)) => {
                let line = Outgoing { customer: last.line.customer.clone(), ..line.clone() };
                difference(&line, line.sums().minus(sums)?, last.export)
            }
        });
    }
    for (_, (sums, last)) in earlier.into_iter().filter(|(_, (_, last))| settled.contains(&last.line.job)) {
        due.extend(difference(&last.line, sums.negated()?, last.export));
    }
    Ok(due)
}

fn difference(line: &Outgoing, sums: Sums, corrects: u32) -> Option<Outgoing> {
    let Sums { quantity, gross, discount, net } = sums;
    let line = Outgoing { quantity, gross, discount, net, corrects: Some(corrects), ..line.clone() };
    (!sums.is_none()).then_some(line)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::id::DeviceId;
    use crate::money::{Currency, Percent};
    use proptest::prelude::*;

    fn job(nth: u64) -> JobId {
        JobId(EventId { device: DeviceId::new([1; 8]), seq: nth })
    }

    fn line(nth: u64, item: &str, rule: &str, tenths: u32) -> Outgoing {
        let net = Money::parse(&(tenths * 6).to_string(), Currency::Eur).unwrap();
        let day = Day::parse("2026-05-04").unwrap();
        Outgoing {
            job: job(nth),
            title: Label::new("Stern gland"),
            boat: Label::new("Heron"),
            customer: Label::new("Towpath Trust"),
            technician: Label::new("M. Sluice"),
            pay: PayType::CustomerPay,
            item: item.to_owned(),
            words: Label::new("labour"),
            rule: Label::new(rule),
            first: day,
            last: day,
            quantity: Quantity::parse(&format!("{}.{}", tenths / 10, tenths % 10)).unwrap(),
            unit: Unit::Hour,
            price: Price::parse("60").unwrap(),
            gross: net,
            discount: Money::zero(Currency::Eur),
            net,
            tax: Tax::standard(Percent::parse("20").unwrap()).unwrap(),
            corrects: None,
            from: vec![job(nth).0],
        }
    }

    fn money(text: &str) -> Money {
        Money::parse(text, Currency::Eur).unwrap()
    }

    fn settled(lines: &[Outgoing], gone: &[Gone]) -> BTreeSet<JobId> {
        lines.iter().chain(gone.iter().map(|gone| &gone.line)).map(|line| line.job).collect()
    }

    /// Lets lines go out; tells what did as quantity, amount and what it corrects.
    fn export(lines: &[Outgoing], gone: &mut Vec<Gone>) -> Vec<String> {
        let export = gone.last().map_or(1, |last| last.export + 1);
        let due = due(lines, gone, &settled(lines, gone)).unwrap();
        let told = |line: &Outgoing| {
            let corrects = line.corrects.map(|number| format!(", corrects {number}")).unwrap_or_default();
            format!("{} {} {} {}{corrects}", line.item, line.rule, line.quantity, line.net)
        };
        let told = due.iter().map(told).collect();
        gone.extend(due.into_iter().map(|line| Gone { export, line }));
        told
    }

    #[test]
    fn each_line_goes_out_once_and_a_correction_as_its_difference() {
        let mut gone = Vec::new();
        let first = [line(1, "labour", "yard", 15), line(1, "travel", "yard", 5)];
        assert_eq!(export(&first, &mut gone), ["labour yard 1.5 90.00", "travel yard 0.5 30.00"]);
        assert_eq!(export(&first, &mut gone), [""; 0]);
        let mended = [line(1, "labour", "yard", 12), line(1, "travel", "yard", 5)];
        assert_eq!(export(&mended, &mut gone), ["labour yard -0.3 -18.00, corrects 1"]);
        assert_eq!(export(&mended, &mut gone), [""; 0]);
        // Another rate, and a line that is gone.
        let other = [line(1, "labour", "trust", 12)];
        assert_eq!(
            export(&other, &mut gone),
            ["labour trust 1.2 72.00", "labour yard -1.2 -72.00, corrects 2", "travel yard -0.5 -30.00, corrects 1"]
        );
        // And back again.
        assert_eq!(
            export(&mended, &mut gone),
            [
                "labour yard 1.2 72.00, corrects 3",
                "travel yard 0.5 30.00, corrects 3",
                "labour trust -1.2 -72.00, corrects 3"
            ]
        );
    }

    #[test]
    fn words_make_no_difference_and_other_jobs_are_left_alone() {
        let mut gone = Vec::new();
        let line = line(1, "labour", "yard", 15);
        export(std::slice::from_ref(&line), &mut gone);
        let renamed = Outgoing { words: Label::new("labour: leaks"), customer: Label::new("Trust"), ..line };
        assert_eq!(export(&[renamed], &mut gone), [""; 0]);
        assert_eq!(due(&[], &gone, &BTreeSet::from([job(2)])), Ok(Vec::new()));
    }

    #[test]
    fn a_difference_of_a_price_alone_is_told_in_words() {
        let one = line(1, "labour", "yard", 15);
        let dearer =
            Outgoing { price: Price::parse("65").unwrap(), gross: money("97.50"), net: money("97.50"), ..one.clone() };
        let gone = [Gone { export: 1, line: one.clone() }];
        let told = |lines: &[Outgoing]| {
            let due = due(lines, &gone, &settled(lines, &gone)).unwrap();
            due.iter().map(|it| format!("{} at {} = {}", it.how_much(), it.each(), it.net)).collect::<Vec<_>>()
        };
        assert_eq!(told(std::slice::from_ref(&dearer)), ["as before at now 65 = 7.50"]);
        let longer = Outgoing { quantity: Quantity::parse("2.5").unwrap(), ..dearer };
        assert_eq!(told(&[longer]), ["1 hour at 65 = 7.50"]);
        assert_eq!(told(&[]), ["-1.5 hours at 60 = -90.00"]);
    }

    #[test]
    fn a_difference_goes_to_whom_the_line_went_out() {
        let mut gone = Vec::new();
        export(&[line(1, "labour", "yard", 15)], &mut gone);
        let of_other = |item, tenths| Outgoing { customer: Label::new("Ferry Board"), ..line(1, item, "yard", tenths) };
        let lines = [of_other("labour", 12), of_other("travel", 5)];
        let due = due(&lines, &gone, &settled(&lines, &gone)).unwrap();
        let told: Vec<_> = due.iter().map(|line| (line.item.as_str(), line.customer.as_str())).collect();
        assert_eq!(told, [("labour", "Towpath Trust"), ("travel", "Ferry Board")]);
    }

    proptest! {
        #[test]
        fn what_went_out_adds_up_to_what_the_bills_say(
            states in prop::collection::vec(prop::collection::btree_map((1u64..3, 0usize..3, 0usize..2), 0u32..40, 0..6), 1..6)
        ) {
            let (items, rules) = (["labour", "travel", "part"], ["yard", "trust"]);
            let mut gone = Vec::new();
            for state in states {
                let line = |(&(nth, item, rule), &tenths): (&(u64, usize, usize), &u32)| line(nth, items[item], rules[rule], tenths);
                let lines: Vec<_> = state.iter().map(line).collect();
                export(&lines, &mut gone);
                prop_assert_eq!(export(&lines, &mut gone), [""; 0], "nothing goes out twice");
                let mut sums: BTreeMap<String, Money> = BTreeMap::new();
                for one in &gone {
                    let sum = sums.entry(one.line.key()).or_insert(Money::zero(Currency::Eur));
                    *sum = sum.plus(one.line.net).unwrap();
                }
                sums.retain(|_, sum| !sum.is_zero());
                let said: BTreeMap<_, _> = lines.iter().map(|it| (it.key(), it.net)).filter(|it| !it.1.is_zero()).collect();
                prop_assert_eq!(sums, said);
            }
        }
    }
}
