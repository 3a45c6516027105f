//! Bills: a job's time and parts at the shop's prices, one bill for each pay type.
//!
//! - Time by the clock is one billed line for each line of the job, activity and
//!   rate; its length is rounded once, by the price list's rule, so more time never
//!   costs less. Lengths of several such lines are each rounded for themselves.
//! - Where the price list names no rounding, a line of the job is rounded as a whole
//!   by the shop's rules, as the phone shows it, its dearest time first; so it comes to
//!   the phone's hours, and still more time never costs less. The shop's least charge
//!   of a job then fills up the hours of the customer's bill at the rate of labour.
//! - A flat line is so many hours at the rate of labour, whatever the clock says,
//!   once there is time on it or the job is finished. What is not charged is shown
//!   with its hours and no price.
//! - Travel by zone is one charge for each day with travel; a flat line has its
//!   travel in it.
//! - A discount is rounded and taken off each line. A minimum charge fills up what
//!   all time comes to after discounts. Supplies are a part of what labour comes to
//!   after discounts, without travel.
//! - Rates go by the day of the work and by who did it; discounts and taxes by a line's last
//!   day, and by who has the job where several did what is on the line.
//!
//! All of it is common practice; the agreement with the customer decides.

use std::collections::{BTreeMap, BTreeSet};

use super::bill::{Bill, BillLine, Item, JobBills, Question, Unit};
use super::prices::{Discount, PriceList, Travel};
use super::rule::{Case, Charge, Rule, closest};
use super::work::{JobWork, LineWork, PartWork, Piece};
use crate::event::{Activity, Billing, PayType};
use crate::hours::beyond;
use crate::hours::rounding::{LengthRule, in_turn, rounded};
use crate::id::EventId;
use crate::moment::{Day, Length};
use crate::money::tax::Tax;
use crate::money::{Money, MoneyError, Percent, Price, Quantity, Rounding};
use crate::order;
use crate::text::Label;

/// Returns what a job comes to for each who pays.
pub fn bills(work: &JobWork, prices: &PriceList) -> JobBills {
    let pays = work.pays();
    let mut questions = Vec::new();
    let unnamed: Length = work.no_line.iter().map(|piece| piece.length).sum();
    if unnamed > Length::ZERO {
        questions.push(Question::TimeOfNoLine(unnamed));
    }
    let parts = if pays.len() == 1 { work.parts.as_slice() } else { &[] };
    if parts.is_empty() {
        questions.extend(work.parts.iter().map(|part| Question::PartOfNoLine(part.facts.what.to_string())));
    }
    let bills = pays.into_iter().map(|pay| Draft::new(work, prices, pay).bill(parts));
    JobBills { bills: bills.filter(|bill| !bill.lines.is_empty() || !bill.questions.is_empty()).collect(), questions }
}

/// A bill in the making.
struct Draft<'a> {
    work: &'a JobWork,
    prices: &'a PriceList,
    pay: PayType,
    /// Hours billed so far, and of them whether any are by the clock.
    hours: Length,
    is_by_clock: bool,
    lines: Vec<BillLine>,
    questions: Vec<Question>,
}

/// Time that becomes one line.
#[derive(Default)]
struct Heap {
    length: Length,
    days: BTreeSet<Day>,
    from: Vec<EventId>,
    by: BTreeSet<Option<Label>>,
}

impl Heap {
    fn of<'a>(pieces: impl IntoIterator<Item = &'a Piece>) -> Self {
        let mut heap = Self::default();
        pieces.into_iter().for_each(|piece| heap.add(piece));
        heap
    }

    fn add(&mut self, piece: &Piece) {
        self.length = self.length + piece.length;
        self.days.insert(piece.day);
        self.from.extend(&piece.from);
        self.by.insert(piece.by.clone());
    }
}

/// What some lines come to, their first and last day, and their events.
type SoFar = (Money, (Day, Day), Vec<EventId>);

/// What a line is before discount and tax.
struct Plain {
    item: Item,
    charge: Charge,
    words: String,
    rule: Label,
    days: (Day, Day),
    quantity: Quantity,
    unit: Unit,
    price: Price,
    gross: Money,
    from: Vec<EventId>,
    /// Who did it; nobody where it is the job's.
    by: BTreeSet<Option<Label>>,
}

impl<'a> Draft<'a> {
    fn new(work: &'a JobWork, prices: &'a PriceList, pay: PayType) -> Self {
        let (lines, questions) = (Vec::new(), Vec::new());
        Self { work, prices, pay, hours: Length::ZERO, is_by_clock: false, lines, questions }
    }

    fn bill(mut self, parts: &[PartWork]) -> Bill {
        let work = self.work;
        let of_pay: Vec<&LineWork> = work.lines.iter().filter(|line| line.pay == self.pay).collect();
        of_pay.iter().for_each(|line| self.asking(|draft| draft.time(line)));
        self.asking(Self::least);
        self.asking(|draft| draft.zone(&of_pay));
        parts.iter().for_each(|part| self.asking(|draft| draft.part(part)));
        self.asking(Self::minimum);
        self.asking(Self::supplies);
        Bill { job: work.job, pay: self.pay, lines: self.lines, questions: self.questions }
    }

    /// Does one thing; what it leaves open is a question of the bill.
    fn asking(&mut self, work: impl FnOnce(&mut Self) -> Result<(), Question>) {
        if let Err(question) = work(self)
            && !self.questions.contains(&question)
        {
            self.questions.push(question);
        }
    }

    fn case(&self, charge: Charge, day: Day) -> Case<'a> {
        let JobWork { technician, customer, .. } = self.work;
        Case { technician, customer, pay: self.pay, charge, day }
    }

    /// Returns the case of something that one did; of several it is the job's.
    fn case_of<'b>(&'b self, by: &'b BTreeSet<Option<Label>>, charge: Charge, day: Day) -> Case<'b> {
        let one = by.first().filter(|_| by.len() == 1).and_then(Option::as_ref);
        Case { technician: one.unwrap_or(&self.work.technician), ..self.case(charge, day) }
    }

    fn rate(&self, activity: Activity, day: Day) -> Result<&'a Rule<Price>, Question> {
        self.rate_of(None, activity, day)
    }

    fn rate_of(&self, by: Option<&Label>, activity: Activity, day: Day) -> Result<&'a Rule<Price>, Question> {
        let case = self.case(Charge::Activity(activity), day);
        let rate = closest(&self.prices.rates, &Case { technician: by.unwrap_or(case.technician), ..case })?;
        rate.ok_or(Question::NoRate(activity.words(), day))
    }

    fn time(&mut self, line: &LineWork) -> Result<(), Question> {
        match line.billing {
            Billing::ByClock => self.by_clock(line),
            Billing::Flat { minutes } => self.flat(line, Length::from_ms(u64::from(minutes) * 60_000)),
            Billing::NoCharge => self.no_charge(line),
        }
    }

    fn is_by_zone(&self, activity: Activity) -> bool {
        activity == Activity::Travel && matches!(self.prices.travel, Travel::ByZone(_))
    }

    fn by_clock(&mut self, line: &LineWork) -> Result<(), Question> {
        let mut heaps: BTreeMap<(Activity, &Label, Price), Heap> = BTreeMap::new();
        for piece in line.pieces.iter().filter(|piece| !self.is_by_zone(piece.activity)) {
            let rate = self.rate_of(piece.by.as_ref(), piece.activity, piece.day)?;
            heaps.entry((piece.activity, &rate.name, rate.gives)).or_default().add(piece);
        }
        let lengths = self.lengths(&heaps);
        for (((activity, rule, price), heap), length) in heaps.into_iter().zip(lengths) {
            self.hours = self.hours + length;
            self.is_by_clock |= heap.length > Length::ZERO;
            let Some(days) = first_and_last(&heap.days) else { continue };
            self.put(Plain {
                item: Item::Time(line.line, activity),
                charge: Charge::Activity(activity),
                words: of_line(activity.words(), line),
                rule: rule.clone(),
                days,
                quantity: Quantity::hours(length),
                unit: Unit::Hour,
                price,
                gross: price.for_hours(length, self.prices.currency)?,
                from: heap.from,
                by: heap.by,
            })?;
        }
        Ok(())
    }

    /// Returns the lengths that heaps of one line are billed with.
    fn lengths(&self, heaps: &BTreeMap<(Activity, &Label, Price), Heap>) -> Vec<Length> {
        let exact: Vec<Length> = heaps.values().map(|heap| heap.length).collect();
        if let Some(rule) = self.prices.rounding {
            return exact.into_iter().map(|length| rounded(length, rule)).collect();
        }
        let prices: Vec<Price> = heaps.keys().map(|&(_, _, price)| price).collect();
        let turns = order::last_first((0..exact.len()).collect(), |&nth: &usize| prices[nth]);
        let in_order: Vec<Length> = turns.iter().map(|&nth| exact[nth]).collect();
        let mut lengths = exact;
        for (nth, length) in turns.into_iter().zip(in_turn(&in_order, self.work.charge.rule)) {
            lengths[nth] = length;
        }
        lengths
    }

    fn rounding(&self) -> LengthRule {
        self.prices.rounding.unwrap_or(self.work.charge.rule)
    }

    /// Fills up to the shop's least charge, for the customer and where time is by the clock.
    fn least(&mut self) -> Result<(), Question> {
        let least = self.work.charge.minimum;
        let missing = beyond(least, self.hours);
        let holds = self.prices.rounding.is_none() && self.pay == PayType::CustomerPay && self.is_by_clock;
        let Some((_, days, from)) = self.so_far(|_| true)?.filter(|_| holds && missing > Length::ZERO) else {
            return Ok(());
        };
        let rate = self.rate(Activity::Labour, days.1)?;
        self.put(Plain {
            item: Item::Least,
            charge: Charge::Activity(Activity::Labour),
            words: format!("to the least charge of {}", least.clock_face()),
            rule: rate.name.clone(),
            days,
            quantity: Quantity::hours(missing),
            unit: Unit::Hour,
            price: rate.gives,
            gross: rate.gives.for_hours(missing, self.prices.currency)?,
            from,
            by: BTreeSet::new(),
        })
    }

    fn flat(&mut self, line: &LineWork, length: Length) -> Result<(), Question> {
        let mut heap = Heap::of(&line.pieces);
        heap.days.extend(self.work.finished);
        let Some(days) = first_and_last(&heap.days) else { return Ok(()) };
        self.hours = self.hours + length;
        heap.from.push(line.line.0);
        let rate = self.rate(Activity::Labour, days.1)?;
        self.put(Plain {
            item: Item::Flat(line.line),
            charge: Charge::Activity(Activity::Labour),
            words: of_line("flat", line),
            rule: rate.name.clone(),
            days,
            quantity: Quantity::hours(length),
            unit: Unit::Hour,
            price: rate.gives,
            gross: rate.gives.for_hours(length, self.prices.currency)?,
            from: heap.from,
            by: heap.by,
        })
    }

    fn no_charge(&mut self, line: &LineWork) -> Result<(), Question> {
        let heap = Heap::of(&line.pieces);
        let Some(days) = first_and_last(&heap.days) else { return Ok(()) };
        self.put(Plain {
            item: Item::NoCharge(line.line),
            charge: Charge::Activity(Activity::Labour),
            words: of_line("no charge", line),
            rule: Label::default(),
            days,
            quantity: Quantity::hours(rounded(heap.length, self.rounding())),
            unit: Unit::Hour,
            price: Price::default(),
            gross: Money::zero(self.prices.currency),
            from: heap.from,
            by: heap.by,
        })
    }

    fn zone(&mut self, lines: &[&LineWork]) -> Result<(), Question> {
        let Travel::ByZone(zones) = &self.prices.travel else { return Ok(()) };
        let by_clock = lines.iter().filter(|line| line.billing == Billing::ByClock);
        let travel = by_clock.flat_map(|line| &line.pieces).filter(|piece| piece.activity == Activity::Travel);
        let heap = Heap::of(travel);
        let Some(days) = first_and_last(&heap.days) else { return Ok(()) };
        let zone = zones.iter().find(|zone| zone.berths.contains(&self.work.berth));
        let zone = zone.ok_or_else(|| Question::NoZone(self.work.berth.to_string()))?;
        let quantity = Quantity::whole(u32::try_from(heap.days.len()).unwrap_or(u32::MAX));
        self.put(Plain {
            item: Item::Zone(zone.name.clone()),
            charge: Charge::Activity(Activity::Travel),
            words: format!("travel, {}", zone.name),
            rule: zone.name.clone(),
            days,
            quantity,
            unit: Unit::Each,
            price: zone.price,
            gross: zone.price.times(quantity, Quantity::ONE, self.prices.currency)?,
            from: heap.from,
            by: heap.by,
        })
    }

    fn part(&mut self, part: &PartWork) -> Result<(), Question> {
        let facts = &part.facts;
        let cost = self.prices.costs.get(&facts.number).filter(|_| !facts.number.is_empty());
        let cost = cost.ok_or_else(|| Question::NoCost(numbered(part)))?;
        let price = self.prices.bands.price(*cost)?;
        let quantity = Quantity::whole(facts.count.0);
        self.put(Plain {
            item: Item::Part(part.part),
            charge: Charge::Parts,
            words: numbered(part),
            rule: Label::default(),
            days: (part.day, part.day),
            quantity,
            unit: Unit::Each,
            price,
            gross: price.times(quantity, Quantity::ONE, self.prices.currency)?,
            from: vec![part.part.0],
            by: BTreeSet::from([part.by.clone()]),
        })
    }

    /// Returns what the lines of some items come to so far; nothing where there are none.
    fn so_far(&self, counts: impl Fn(&Item) -> bool) -> Result<Option<SoFar>, Question> {
        let lines: Vec<&BillLine> = self.lines.iter().filter(|line| counts(&line.item)).collect();
        let net = Money::sum(lines.iter().map(|line| line.net), self.prices.currency)?;
        let days = lines.iter().flat_map(|line| [line.first, line.last]).collect();
        let from = lines.iter().flat_map(|line| line.from.iter().copied()).collect();
        Ok(first_and_last(&days).map(|days| (net, days, from)))
    }

    fn minimum(&mut self) -> Result<(), Question> {
        let time = self.so_far(|item| matches!(item, Item::Time(..) | Item::Flat(_) | Item::Least | Item::Zone(_)))?;
        let Some((net, days, from)) = time else { return Ok(()) };
        let charge = Charge::Activity(Activity::Labour);
        let Some(rule) = closest(&self.prices.minimum, &self.case(charge, days.1))? else { return Ok(()) };
        let missing = rule.gives.minus(net)?;
        if missing.is_negative() || missing.is_zero() {
            return Ok(());
        }
        let words = format!("to the minimum charge of {}", rule.gives);
        let tax = self.tax(charge, days.1)?;
        let line = Plain { item: Item::Minimum, charge, words, rule: rule.name.clone(), ..one(missing, days, from)? };
        self.lines.push(line.with(&self.work.technician, Money::zero(self.prices.currency), tax)?);
        Ok(())
    }

    fn supplies(&mut self) -> Result<(), Question> {
        let is_labour = |item: &Item| {
            matches!(item, Item::Time(_, activity) if *activity != Activity::Travel) || matches!(item, Item::Flat(_))
        };
        let Some((net, days, from)) = self.so_far(is_labour)? else { return Ok(()) };
        let Some(rule) = closest(&self.prices.supplies, &self.case(Charge::Supplies, days.1))? else { return Ok(()) };
        let share = net.percent(rule.gives.rate, Rounding::HalfAwayFromZero)?;
        let charged = match rule.gives.cap {
            Some(cap) => share.or_at_most(cap)?,
            None => share,
        };
        if charged.is_zero() {
            return Ok(());
        }
        let (item, charge, rule) = (Item::Supplies, Charge::Supplies, rule.name.clone());
        self.put(Plain { item, charge, words: "shop supplies".to_owned(), rule, ..one(charged, days, from)? })
    }

    fn tax(&self, charge: Charge, day: Day) -> Result<Tax, Question> {
        let rule = closest(&self.prices.taxes, &self.case(charge, day))?;
        rule.map(|rule| rule.gives.clone()).ok_or(Question::NoTax(charge_words(charge)))
    }

    fn put(&mut self, plain: Plain) -> Result<(), Question> {
        let case = self.case_of(&plain.by, plain.charge, plain.days.1);
        let discount = closest(&self.prices.discounts, &case)?;
        let rate = discount.map_or(Percent::ZERO, |rule| Discount::rate(rule.gives));
        let discount = plain.gross.percent(rate, Rounding::HalfAwayFromZero)?;
        let tax = closest(&self.prices.taxes, &case)?.map(|rule| rule.gives.clone());
        let tax = tax.ok_or(Question::NoTax(charge_words(plain.charge)))?;
        self.lines.push(plain.with(&self.work.technician, discount, tax)?);
        Ok(())
    }
}

impl Plain {
    fn with(self, technician: &Label, discount: Money, tax: Tax) -> Result<BillLine, MoneyError> {
        let Self { item, words, rule, days: (first, last), quantity, unit, price, gross, from, by, .. } = self;
        let (net, from) = (gross.minus(discount)?, order::each_once(from));
        let by = names(technician, &by);
        Ok(BillLine { item, words, by, rule, first, last, quantity, unit, price, gross, discount, net, tax, from })
    }
}

/// Returns a line of one piece for an amount.
fn one(amount: Money, days: (Day, Day), from: Vec<EventId>) -> Result<Plain, MoneyError> {
    Ok(Plain {
        item: Item::Minimum,
        charge: Charge::Time,
        words: String::new(),
        rule: Label::default(),
        days,
        quantity: Quantity::ONE,
        unit: Unit::Each,
        price: Price::of(amount)?,
        gross: amount,
        from,
        by: BTreeSet::new(),
    })
}

/// Returns who did something; whoever has the job where nobody is named.
fn names(technician: &Label, by: &BTreeSet<Option<Label>>) -> Label {
    let names: Vec<&str> = by.iter().map(|who| who.as_ref().unwrap_or(technician).as_str()).collect();
    if names.is_empty() { technician.clone() } else { Label::new(&names.join(", ")) }
}

fn first_and_last(days: &BTreeSet<Day>) -> Option<(Day, Day)> {
    Some((*days.first()?, *days.last()?))
}

/// Returns what a line of time is called: the word, then the complaint's first line.
fn of_line(word: &str, line: &LineWork) -> String {
    match line.complaint.as_str().lines().next() {
        Some(complaint) if !complaint.is_empty() => format!("{word}: {complaint}"),
        _ => word.to_owned(),
    }
}

fn numbered(part: &PartWork) -> String {
    let (what, number) = (&part.facts.what, &part.facts.number);
    if number.is_empty() { what.to_string() } else { format!("{what}, {number}") }
}

const fn charge_words(charge: Charge) -> &'static str {
    match charge {
        Charge::Time => "time",
        Charge::Activity(activity) => activity.words(),
        Charge::Parts => "parts",
        Charge::Supplies => "shop supplies",
    }
}
