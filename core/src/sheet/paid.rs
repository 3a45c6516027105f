//! What is paid: hours worked by workweek, with overtime, by the shop's rules.
//!
//! The phone shows it and the office pays by it, so it is worked out here, once.
//! Rule: which pauses count is judged by their true lengths; only then starts and
//! stops are rounded for pay, and the week is split into plain time and overtime.

use std::collections::BTreeMap;

use crate::book::ledger::Span;
use crate::event::ShopRules;
use crate::hours::overtime::{Week, weeks};
use crate::hours::rounding::punch;
use crate::hours::{Stretch, worked, workweek};
use crate::moment::{Day, Length};

/// Hours worked, before and after starts and stops are rounded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paid {
    /// What counts as hours worked, exact, by the first day of each workweek.
    pub counted: BTreeMap<Day, Length>,
    /// The same by workday.
    pub by_day: BTreeMap<Day, Length>,
    /// What is paid, by workweek, earliest first.
    pub weeks: Vec<Week>,
}

/// Returns what some spans come to. A pause is judged whole, so they have to
/// begin early enough to hold the whole of a pause that ends in the first week.
pub fn paid(spans: &[Span], rules: &ShopRules) -> Paid {
    let stretches = spans.iter().map(|span| Stretch { from: span.from, to: span.to, activity: span.activity });
    let judged = worked::judge(stretches, rules.pauses);
    let exact = workweek::by_day(worked::counted(&judged), rules.week.start);
    let rounded = worked::counted(&judged).map(|(from, to)| (punch(from, rules.pay), punch(to, rules.pay)));
    let paid = workweek::by_day(rounded, rules.week.start);
    let counted = workweek::by_week(&exact, rules.week);
    Paid { counted, by_day: exact, weeks: weeks(&paid, rules.week, rules.overtime) }
}
