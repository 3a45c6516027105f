//! An engine's own limits, typed from its manual: they rule over common practice.
//!
//! Limits are set for what a kind of reading measures (each cylinder's pressure, the
//! spread), lowest or highest or both, in any unit. The technician says where they
//! are from, because this program supplies no maker's values.

use super::figure::Entered;
use super::finding::{Finding, Point, Reason, Standing, Verdict};
use super::form::{Name, sentence};
use crate::text::Label;

/// What one thing that is measured must keep to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limit {
    /// What is measured.
    pub of: Name,
    /// The lowest that is good.
    pub low: Option<Entered>,
    /// The highest that is good.
    pub high: Option<Entered>,
}

/// The limits of one kind of reading on one engine.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Limits {
    /// One for each thing that has some.
    pub each: Vec<Limit>,
    /// The manual and page, as typed.
    pub source: Label,
}

impl Limits {
    /// Judges a finding by these limits; once they rule on something of it, common practice is no longer asked.
    pub fn rule(&self, finding: &mut Finding) {
        let ruled: Vec<Reason> = finding.points.iter().flat_map(|point| self.reasons(point)).collect();
        if ruled.is_empty() {
            return;
        }
        finding.reasons.retain(|it| !matches!(it.standing, Standing::Practice) && it.verdict != Verdict::CannotSay);
        finding.reasons.splice(0..0, ruled);
    }

    fn reasons(&self, point: &Point) -> Vec<Reason> {
        let limit = self.each.iter().find(|limit| limit.of == point.name);
        let Some(limit) = limit else { return Vec::new() };
        let alike = |it: &Entered| it.unit.quantity() == point.unit.quantity();
        let low = limit.low.filter(alike);
        let high = limit.high.filter(alike);
        let ends = [(low, "lowest"), (high, "highest")];
        let rule: Vec<String> = ends.iter().filter_map(|(it, word)| it.map(|it| format!("{word} {it}"))).collect();
        if rule.is_empty() {
            return Vec::new();
        }
        let below = low.filter(|low| point.amount < low.amount()).map(|low| ("below the lowest", low));
        let above = high.filter(|high| point.amount > high.amount()).map(|high| ("above the highest", high));
        let passed = below.or(above);
        let verdict = if passed.is_some() { Verdict::OutOf } else { Verdict::Within };
        let how = passed.map_or("within its limits".to_owned(), |(words, end)| [words, &end.to_string()].join(", "));
        let which = if point.nth > 0 { format!(" {}", point.nth) } else { String::new() };
        let from = if self.source.is_empty() { String::new() } else { format!("; {}", self.source) };
        vec![Reason {
            verdict,
            words: sentence(&format!("{}{which} {} is {how}", point.name.words(), point.told())),
            rule: format!("{} ({}{from})", rule.join(", "), Standing::Entered.words()),
            standing: Standing::Entered,
        }]
    }
}
