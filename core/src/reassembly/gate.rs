//! The run gate: what must be there before the engine may run, and what is missing.
//!
//! Items and steps are marked as needed for one of a few groups. The gate says in
//! words what of them is missing; it says nothing about what nobody marked, and it
//! never says that running is safe.
//!
//! Rule: a replaced item is there. One that was left off on purpose is settled for
//! the back-on order but not there, so the gate names it, with the reason.

use super::Removed;
use super::row;
use super::tally::How;
use crate::text::Label;

/// What of the engine something is needed for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Need {
    /// The water that cools it.
    CoolingWater,
    /// Its oil.
    Oil,
    /// Its fuel, and that none leaks.
    Fuel,
    /// Throttle, shift, steering and stop.
    Controls,
    /// What keeps hands and clothes from moving parts.
    Guards,
}

impl Need {
    /// All, in the order in which they are told.
    pub const ALL: [Need; 5] = [Need::CoolingWater, Need::Oil, Need::Fuel, Need::Controls, Need::Guards];

    /// Returns the group's name.
    pub const fn words(self) -> &'static str {
        match self {
            Need::CoolingWater => "cooling water",
            Need::Oil => "oil",
            Need::Fuel => "fuel",
            Need::Controls => "controls",
            Need::Guards => "guards",
        }
    }
}

/// A step that is needed before the engine runs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NeededStep {
    /// What it is needed for.
    pub need: Need,
    /// What is to be done.
    pub text: Label,
    /// Whether it is done.
    pub done: bool,
}

/// What is missing before the engine may run.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Gate {
    /// How many items and steps are marked as needed.
    pub marked: usize,
    /// What of them is missing: by group, items in the order of removal, then steps.
    pub missing: Vec<NotThere>,
}

/// One thing that is missing before the engine may run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotThere {
    /// What it is needed for.
    pub need: Need,
    /// What it is.
    pub name: String,
    /// What is wrong with it: "one missing", "not done", "left off: no spare".
    pub why: String,
}

impl Gate {
    /// Returns what is missing of some items and steps.
    pub fn of<'a>(
        items: impl IntoIterator<Item = &'a Removed>,
        steps: impl IntoIterator<Item = &'a NeededStep>,
    ) -> Self {
        let items = items.into_iter().filter_map(|it| Some((it.needed?, item_not_there(it))));
        let steps = steps.into_iter().map(|it| (it.need, step_not_there(it)));
        let marked: Vec<(Need, Option<NotThere>)> = items.chain(steps).collect();
        let mut gate = Gate { marked: marked.len(), missing: Vec::new() };
        for group in Need::ALL {
            let of_group = marked.iter().filter(|it| it.0 == group);
            gate.missing.extend(of_group.filter_map(|it| it.1.clone()));
        }
        gate
    }

    /// Tells whether nothing that was marked is missing.
    pub fn is_open(&self) -> bool {
        self.missing.is_empty()
    }

    /// Returns the gate in one sentence: "Do not run: cooling water hose, oil".
    pub fn words(&self) -> String {
        match (self.missing.as_slice(), self.marked) {
            ([], 0) => "Nothing is marked as needed before the engine runs.".to_owned(),
            ([], _) => "Nothing that was marked is missing. Look for yourself before you run the engine.".to_owned(),
            (missing, _) => {
                let mut words = "Do not run: ".to_owned();
                words.push_str(&row(missing.iter().map(|it| it.name.as_str()), usize::MAX));
                words
            }
        }
    }
}

fn item_not_there(item: &Removed) -> Option<NotThere> {
    let why = match item.tally.balance().words() {
        Some(words) if !item.tally.is_settled() => words,
        _ => {
            let left_off = item.tally.instead().iter().find(|it| it.how == How::LeftOff)?;
            let mut why = "left off: ".to_owned();
            why.push_str(left_off.reason.as_str());
            why
        }
    };
    Some(NotThere { need: item.needed?, name: item.name().to_owned(), why })
}

fn step_not_there(step: &NeededStep) -> Option<NotThere> {
    let name = step.text.or(step.need.words()).to_owned();
    (!step.done).then(|| NotThere { need: step.need, name, why: "not done".to_owned() })
}

#[cfg(test)]
mod tests {
    use super::super::samples::removed;
    use super::super::tally::{Instead, Tally};
    use super::*;
    use crate::quantity::Count;

    fn needed(seq: u64, what: &str, need: Need, tally: Tally) -> Removed {
        Removed { needed: Some(need), tally, ..removed(seq, what, "port") }
    }

    fn step(text: &str, need: Need, done: bool) -> NeededStep {
        NeededStep { need, text: Label::new(text), done }
    }

    fn off(count: u32) -> Tally {
        Tally::off(Count(count))
    }

    fn instead(how: How) -> Instead {
        Instead::new(how, Count(1), Label::new("cracked")).unwrap()
    }

    #[test]
    fn the_gate_names_what_is_missing_by_group() {
        let items = [
            removed(1, "badge", "port"),
            needed(2, "belt guard", Need::Guards, off(1)),
            needed(3, "cooling water hose", Need::CoolingWater, off(1)),
            needed(4, "fuel line", Need::Fuel, off(1).with_on(Count(1))),
        ];
        let steps = [step("oil", Need::Oil, false), step("shift cable set", Need::Controls, true)];
        let gate = Gate::of(&items, &steps);
        assert_eq!(gate.words(), "Do not run: cooling water hose, oil, belt guard");
        assert_eq!((gate.marked, gate.is_open()), (5, false));
        assert_eq!(Gate::of(&items[2..], &steps).words(), "Do not run: cooling water hose, oil");
    }

    #[test]
    fn it_says_what_is_wrong_with_each() {
        let why = |tally| Gate::of(&[needed(1, "hose clamp", Need::CoolingWater, tally)], &[]).missing;
        let cases = [
            (off(4).with_on(Count(3)), Some("one missing")),
            (off(4).with_on(Count(4)), None),
            (off(4).with_on(Count(5)), None),
            (off(1).with(instead(How::Replaced)), None),
            (off(1).with(instead(How::LeftOff)), Some("left off: cracked")),
            (off(3).with(instead(How::LeftOff)), Some("2 missing")),
        ];
        for (tally, expected) in cases {
            let found = why(tally.clone());
            assert_eq!(found.first().map(|it| it.why.as_str()), expected, "{tally:?}");
        }
        assert_eq!(Gate::of(&[], &[step("", Need::Oil, false)]).words(), "Do not run: oil");
    }

    #[test]
    fn an_open_gate_does_not_call_running_safe() {
        let done = [step("oil", Need::Oil, true)];
        for (gate, begins) in
            [(Gate::of(&[], &done), "Nothing that was marked"), (Gate::of(&[], &[]), "Nothing is marked")]
        {
            assert!(gate.is_open() && gate.words().starts_with(begins), "{gate:?}");
            assert!(!gate.words().contains("safe"));
        }
    }
}
