//! How much of what was agreed is used, and when it is time to agree anew.
//!
//! The clock knows minutes and the parts list knows counts; what they cost is
//! what the estimate itself says: labour at the estimate's own rate, a part at
//! the price of the line of the same name. A part that the estimate does not
//! name has no price here and is told instead.
//!
//! Rule: what it comes to is the estimate with each kind of cost raised to what
//! is used of it already, tax in proportion. So it is a least figure, it never
//! falls while the clock runs, and unused labour pays for no part.

use super::estimate::{Cost, Estimate};
use super::rules::Rule;
use crate::moment::Length;
use crate::money::minor::Minor;
use crate::text::Label;

/// What was agreed beyond an estimate.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Added {
    /// Its cost.
    pub amount: Minor,
    /// Its work, in minutes.
    pub minutes: u32,
}

/// What is used by now.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Used {
    /// The clock's work.
    pub labour: Length,
    /// Parts: what they are called and how many.
    pub parts: Vec<(Label, u32)>,
}

/// How what is used stands to what was agreed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Overrun {
    /// Minutes of work that were agreed, and that the clock counts.
    pub minutes: (u64, u64),
    /// What was agreed in all, and what it comes to at least by now.
    pub cost: (Minor, Minor),
    /// Parts that were used and are in no estimate.
    pub unnamed: Vec<Label>,
    /// How it stands.
    pub standing: Standing,
}

/// How much is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Less than four fifths of the agreed work.
    Within,
    /// Four fifths of it or more: time to look ahead.
    Near,
    /// More than was agreed, of time or of cost.
    Past,
    /// More than the followed rule lets pass without a new agreement.
    AgreeAnew,
}

/// From which share of the agreed work on it is told, in hundredths. Common practice, no source.
const NEAR: u64 = 80;
const MS_OF_A_MINUTE: u64 = 60_000;

/// Returns how what is used stands to an estimate and what was agreed beyond it.
pub fn overrun(estimate: &Estimate, added: Added, used: &Used, rule: Option<&Rule>) -> Overrun {
    let totals = estimate.totals();
    let agreed_minutes = u64::from(totals.minutes) + u64::from(added.minutes);
    let clocked = used.labour.ms() / MS_OF_A_MINUTE;
    // What was agreed beyond pays for its own minutes, and for parts as far as it goes.
    let (more_parts, unnamed) = more_parts(estimate, used);
    let more = more_labour(estimate, clocked.saturating_sub(u64::from(added.minutes)));
    let more = more.plus(more_parts.less(added.amount));
    let tax = if more == Minor::NOTHING { more } else { totals.tax.share(more.units(), totals.before_tax().units()) };
    let agreed = totals.total().plus(added.amount);
    let comes_to = agreed.plus(more).plus(tax);
    let passed = rule.and_then(|rule| rule.more.as_ref()).is_some_and(|it| comes_to > it.value.lets_pass(agreed));
    let standing = match agreed_minutes {
        _ if comes_to > agreed && passed => Standing::AgreeAnew,
        _ if comes_to > agreed => Standing::Past,
        0 => Standing::Within,
        minutes if clocked > minutes => Standing::Past,
        minutes if clocked * 100 >= minutes * NEAR => Standing::Near,
        _ => Standing::Within,
    };
    Overrun { minutes: (agreed_minutes, clocked), cost: (agreed, comes_to), unnamed, standing }
}

/// Returns what the work costs beyond the estimate at the estimate's own rate.
fn more_labour(estimate: &Estimate, clocked: u64) -> Minor {
    let timed = estimate.lines.iter().filter(|line| matches!(line.cost, Cost::Labour { minutes: 1.. }));
    let amount: Minor = timed.map(|line| line.amount).sum();
    match u64::from(estimate.totals().minutes) {
        0 => Minor::NOTHING,
        minutes => amount.share(clocked.max(minutes), minutes).less(amount),
    }
}

/// Returns what the used parts cost beyond the estimate, and which it does not name.
fn more_parts(estimate: &Estimate, used: &Used) -> (Minor, Vec<Label>) {
    let (mut more, mut unnamed) = (Minor::NOTHING, Vec::new());
    for (what, count) in &used.parts {
        let line = estimate.lines.iter().find_map(|line| match line.cost {
            Cost::Parts { count } if same(&line.words, what) => Some((count.0.max(1), line.amount)),
            _ => None,
        });
        match line {
            Some((named, amount)) => {
                let (used, named) = (u64::from((*count).max(named)), u64::from(named));
                more = more.plus(amount.share(used, named).less(amount));
            }
            None => unnamed.push(what.clone()),
        }
    }
    (more, unnamed)
}

fn same(one: &Label, other: &Label) -> bool {
    one.as_str().to_lowercase() == other.as_str().to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::super::estimate::tests::{line, of};
    use super::super::rules::RuleSet;
    use super::*;
    use crate::quantity::Count;
    use proptest::prelude::*;

    /// Two hours at 100.00, two seals, and 10 % tax on 240.00.
    fn two_hours() -> Estimate {
        of(vec![
            line(Cost::Labour { minutes: 120 }, "strip and test", 20_000),
            line(Cost::Parts { count: Count(2) }, "Shaft seal", 4_000),
            line(Cost::Tax, "", 2_400),
        ])
    }

    fn used(minutes: u64, parts: &[(&str, u32)]) -> Used {
        let parts = parts.iter().map(|&(what, count)| (Label::new(what), count)).collect();
        Used { labour: Length::from_ms(minutes * MS_OF_A_MINUTE), parts }
    }

    #[test]
    fn work_beyond_what_was_agreed_costs_the_estimates_own_rate() {
        for (minutes, standing, comes_to) in [
            (0, Standing::Within, 26_400),
            (95, Standing::Within, 26_400),
            (96, Standing::Near, 26_400),
            (120, Standing::Near, 26_400),
            (121, Standing::Past, 26_400 + 167 + 17),
            (150, Standing::Past, 26_400 + 5_000 + 500),
        ] {
            let found = overrun(&two_hours(), Added::default(), &used(minutes, &[]), None);
            assert_eq!(
                (found.standing, found.cost),
                (standing, (Minor::fixed(26_400), Minor::fixed(comes_to))),
                "{minutes}"
            );
        }
    }

    #[test]
    fn what_was_agreed_later_counts() {
        let added = Added { amount: Minor::fixed(6_000), minutes: 30 };
        let at = |minutes, parts: &[(&str, u32)]| overrun(&two_hours(), added, &used(minutes, parts), None);
        assert_eq!(at(150, &[]).standing, Standing::Near);
        assert_eq!(at(150, &[]).cost, (Minor::fixed(32_400), Minor::fixed(32_400)));
        assert_eq!(at(151, &[]).standing, Standing::Past);
        // One more seal of 20.00 is within what was agreed later.
        assert_eq!(at(100, &[("shaft SEAL", 3)]).standing, Standing::Within);
        assert_eq!(at(100, &[("shaft SEAL", 6)]).cost.1, Minor::fixed(32_400 + 2_000 + 200));
    }

    #[test]
    fn parts_that_no_line_names_are_told_and_have_no_price() {
        let found = overrun(&two_hours(), Added::default(), &used(0, &[("Hose clip", 4), ("Shaft seal", 2)]), None);
        assert_eq!((found.unnamed, found.standing), (vec![Label::new("Hose clip")], Standing::Within));
    }

    #[test]
    fn a_rule_lets_pass_what_it_says_and_no_more() {
        let anew = |minutes, rules: RuleSet| {
            overrun(&two_hours(), Added::default(), &used(minutes, &[]), rules.rule()).standing == Standing::AgreeAnew
        };
        // Ten dollars of 264 dollars are less than a tenth: 5 minutes cost 9.17 with tax, 6 cost 11.00.
        assert!(!anew(125, RuleSet::MiamiDade) && anew(126, RuleSet::MiamiDade));
        assert!(anew(121, RuleSet::California) && !anew(120, RuleSet::California));
        assert!(!anew(500, RuleSet::None));
    }

    proptest! {
        #[test]
        fn more_used_is_never_less_overrun(
            minutes in 0..600_u64, more in 0..600_u64, seals in 0..9_u32, others in 0..9_u32,
            amount in 0..90_000_u32, extra in 0..200_u32, rule in 0..RuleSet::ALL.len(),
        ) {
            let added = Added { amount: Minor::fixed(amount), minutes: extra };
            let at = |minutes, seals| {
                overrun(&two_hours(), added, &used(minutes, &[("Shaft seal", seals)]), RuleSet::ALL[rule].rule())
            };
            let (before, after) = (at(minutes, seals), at(minutes + more, seals + others));
            prop_assert!(after.standing >= before.standing && after.cost.1 >= before.cost.1);
            prop_assert!(before.cost.1 >= before.cost.0);
        }
    }
}
