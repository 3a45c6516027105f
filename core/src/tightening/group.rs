//! What was tightened of a group, and what is next.
//!
//! A group is tightened in passes, each a share of the torque over all fasteners
//! in the order of the [`Pattern`]: 30, 70 and 100 % unless the technician says
//! otherwise (ASME PCC-1's legacy passes are 20 to 30, 50 to 70 and 100 %, from
//! memory). A last pass checks, round the circle. After a turn by an angle a
//! torque says nothing more, so there the turn itself is the last pass.
//!
//! The state is a fold of taps. What is next is always the earliest that is still
//! to do: a fastener that was passed over stays named until it is done.

use std::fmt;

use super::pattern::{Numbering, Pattern, Place};
use super::torque::{Target, Torque};
use thiserror::Error;

/// One pass over all fasteners of a group.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pass {
    /// To so many percent of the torque.
    Percent(u8),
    /// On by so many degrees.
    Turn(u16),
    /// At full torque, to see that nothing turns any more.
    Check,
}

impl Pass {
    /// Returns the torque to set for this pass, nothing where it is a turn.
    pub fn torque(self, target: &Target) -> Option<Torque> {
        match self {
            Pass::Percent(percent) => Some(target.aim.times(percent.into(), 100)),
            Pass::Check => Some(target.aim),
            Pass::Turn(_) => None,
        }
    }

    /// Returns the pass in words.
    pub fn words(self) -> String {
        match self {
            Pass::Percent(percent) => percent.to_string() + " %",
            Pass::Turn(degrees) => "turn ".to_owned() + &degrees.to_string() + "°",
            Pass::Check => "check".to_owned(),
        }
    }
}

/// Why shares make no passes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NoPasses {
    /// They do not rise to 100, or there are more than ten.
    #[error("write rising shares that end with 100, at most ten, as 30, 70, 100")]
    NotRising,
}

/// To which shares of the torque the passes go, in percent: rising to 100.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shares(Vec<u8>);

impl Shares {
    /// Returns these percentages as shares.
    ///
    /// # Errors
    /// When they do not rise to 100, or are more than ten.
    pub fn new(percents: Vec<u8>) -> Result<Self, NoPasses> {
        let rising = percents.windows(2).all(|pair| pair[0] < pair[1]);
        if !rising || percents.first() == Some(&0) || percents.last() != Some(&100) || percents.len() > 10 {
            return Err(NoPasses::NotRising);
        }
        Ok(Self(percents))
    }

    /// Reads `30, 70, 100`, with or without percent signs; nothing written means the usual shares.
    ///
    /// # Errors
    /// As [`Shares::new`].
    pub fn parse(text: &str) -> Result<Self, NoPasses> {
        let figures = text.split([',', ' ', ';', '/', '%']).filter(|figure| !figure.is_empty());
        let percents: Option<Vec<u8>> = figures.map(|figure| figure.parse().ok()).collect();
        match percents {
            Some(none) if none.is_empty() => Ok(Self::default()),
            Some(percents) => Self::new(percents),
            None => Err(NoPasses::NotRising),
        }
    }

    /// Returns the percentages.
    pub fn percents(&self) -> &[u8] {
        &self.0
    }

    /// Returns the passes to these shares, and the last one: by an angle where a `turn` is
    /// asked for, else the check.
    pub fn passes(&self, turn: Option<u16>) -> Vec<Pass> {
        let last = turn.map_or(Pass::Check, Pass::Turn);
        self.0.iter().map(|&percent| Pass::Percent(percent)).chain([last]).collect()
    }
}

impl Default for Shares {
    /// The usual ones.
    fn default() -> Self {
        Self(vec![30, 70, 100])
    }
}

impl fmt::Display for Shares {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (nth, percent) in self.0.iter().enumerate() {
            write!(f, "{}{percent}", if nth == 0 { "" } else { ", " })?;
        }
        Ok(())
    }
}

/// One fastener in one pass.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Step {
    /// The pass, from 1.
    pub pass: u16,
    /// The fastener.
    pub place: Place,
}

/// What is said about a group.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tap {
    /// A fastener is done in a pass.
    Done(Step),
    /// The last tap that counts is taken back.
    Undo,
}

/// Why a tap changed nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum Slip {
    /// The group has no such fastener or no such pass.
    #[error("this group has no such fastener or pass")]
    NotHere,
    /// It is done already.
    #[error("this one is done in this pass: take the next")]
    AlreadyDone,
    /// There is no tap to take back.
    #[error("nothing is tightened yet, so there is nothing to take back")]
    NothingToUndo,
}

/// A group of fasteners as far as it is tightened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    pattern: Pattern,
    passes: Vec<Pass>,
    /// Every step in the order in which it should be done.
    plan: Vec<Step>,
    /// Whether each step of the plan is done.
    done: Vec<bool>,
    /// The steps that are done, by their place in the plan, in the order in which they were.
    taps: Vec<usize>,
}

impl Group {
    /// Returns a group of which nothing is tightened.
    pub fn new(pattern: Pattern, passes: Vec<Pass>) -> Self {
        let of = |(pass, kind): (u16, &Pass)| {
            let order = if *kind == Pass::Check { pattern.check_order() } else { pattern.order().to_vec() };
            order.into_iter().map(move |place| Step { pass, place })
        };
        let plan: Vec<_> = (1..).zip(&passes).flat_map(of).collect();
        let done = vec![false; plan.len()];
        Self { pattern, passes, plan, done, taps: Vec::new() }
    }

    /// Takes in a tap.
    ///
    /// # Errors
    /// When it changes nothing; the group is then as it was.
    pub fn apply(&mut self, tap: Tap) -> Result<(), Slip> {
        match tap {
            Tap::Undo => {
                let last = self.taps.pop().ok_or(Slip::NothingToUndo)?;
                self.done[last] = false;
            }
            Tap::Done(step) => {
                let at = self.place_in_plan(step).ok_or(Slip::NotHere)?;
                if self.done[at] {
                    return Err(Slip::AlreadyDone);
                }
                self.done[at] = true;
                self.taps.push(at);
            }
        }
        Ok(())
    }

    /// Returns the pattern.
    pub const fn pattern(&self) -> &Pattern {
        &self.pattern
    }

    /// Returns the passes in order.
    pub fn passes(&self) -> &[Pass] {
        &self.passes
    }

    /// Returns the pass of a step.
    pub fn pass_of(&self, step: Step) -> Option<Pass> {
        self.passes.get(usize::from(step.pass).checked_sub(1)?).copied()
    }

    /// Returns the earliest step that is still to do; nothing when all are done.
    pub fn next(&self) -> Option<Step> {
        self.open().next()
    }

    /// Returns the steps that are still to do, in their order.
    pub fn open(&self) -> impl Iterator<Item = Step> {
        self.still(self.plan.len())
    }

    /// Returns the steps that were passed over: still to do, though a later one is done.
    pub fn skipped(&self) -> Vec<Step> {
        let furthest = self.done.iter().rposition(|&done| done).unwrap_or(0);
        self.still(furthest).collect()
    }

    /// Returns the steps that were done after a later one, in the order in which they were.
    pub fn late(&self) -> Vec<Step> {
        let mut furthest = 0;
        let mut is_late = |at: usize| {
            let late = at < furthest;
            furthest = furthest.max(at);
            late
        };
        self.taps.iter().filter(|&&at| is_late(at)).map(|&at| self.plan[at]).collect()
    }

    /// Returns how many steps are done and how many there are.
    pub fn progress(&self) -> (usize, usize) {
        (self.taps.len(), self.plan.len())
    }

    /// Tells whether every fastener is done in every pass.
    pub fn is_complete(&self) -> bool {
        self.next().is_none()
    }

    /// Tells whether the group has such a fastener and such a pass.
    pub fn has(&self, step: Step) -> bool {
        self.pass_of(step).is_some() && (1..=self.pattern.count()).contains(&step.place.0)
    }

    /// Tells whether a step is done.
    pub fn is_done(&self, step: Step) -> bool {
        self.place_in_plan(step).is_some_and(|at| self.done[at])
    }

    /// Returns what was passed over in words, `skipped: 7 in pass 2 (70 %)`; empty when nothing was.
    pub fn skipped_words(&self, numbering: Numbering) -> String {
        self.told("skipped: ", &self.skipped(), numbering)
    }

    /// Returns what was done late in words, `out of its order: 7 in pass 2 (70 %)`; empty when nothing was.
    pub fn late_words(&self, numbering: Numbering) -> String {
        self.told("out of its order: ", &self.late(), numbering)
    }

    /// Returns a step in words, `7 in pass 2 (70 %)`.
    pub fn step_words(&self, step: Step, numbering: Numbering) -> String {
        let number = self.pattern.number(step.place, numbering).to_string();
        let pass = self.pass_of(step).map(Pass::words).unwrap_or_default();
        [&number, " in pass ", &step.pass.to_string(), " (", &pass, ")"].concat()
    }

    /// Tells steps pass by pass, `7, 3 in pass 1 (30 %); all 8 in pass 2 (70 %)`.
    fn told(&self, head: &str, steps: &[Step], numbering: Numbering) -> String {
        const NAMED: usize = 6;
        let mut told = String::new();
        for (number, pass) in (1_u16..).zip(&self.passes) {
            let places = || steps.iter().filter(|step| step.pass == number).map(|step| step.place);
            let count = places().count();
            if count == 0 {
                continue;
            }
            told.push_str(if told.is_empty() { head } else { "; " });
            if count == self.pattern.order().len() {
                told.extend(["all ", &count.to_string()]);
            } else {
                let named = places().take(NAMED).map(|place| self.pattern.number(place, numbering).to_string());
                told.push_str(&named.collect::<Vec<_>>().join(", "));
            }
            if count < self.pattern.order().len() && count > NAMED {
                told.extend([" and ", &(count - NAMED).to_string(), " more"]);
            }
            told.extend([" in pass ", &number.to_string(), " (", &pass.words(), ")"]);
        }
        told
    }

    /// Every pass takes as many steps as there are fasteners.
    fn place_in_plan(&self, step: Step) -> Option<usize> {
        let count = usize::from(self.pattern.count());
        let begin = usize::from(step.pass.checked_sub(1)?) * count;
        let pass = self.plan.get(begin..begin + count)?;
        pass.iter().position(|it| it.place == step.place).map(|at| begin + at)
    }

    /// The steps before the `end` of the plan that are not done.
    fn still(&self, end: usize) -> impl Iterator<Item = Step> {
        self.plan[..end].iter().zip(&self.done).filter(|it| !it.1).map(|it| *it.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tightening::pattern::Layout;
    use crate::tightening::torque::TorqueUnit;
    use proptest::prelude::*;
    use std::collections::BTreeSet;

    fn target(text: &str) -> Target {
        Target::parse(text, TorqueUnit::NewtonMetre).unwrap()
    }

    fn group(layout: Layout, text: &str) -> Group {
        Group::new(Pattern::of(layout).unwrap(), Shares::default().passes(target(text).turn))
    }

    fn step(pass: u16, place: u16) -> Step {
        Step { pass, place: Place(place) }
    }

    #[test]
    fn passes_and_their_torques() {
        let torques = |shares: &[u8], text| {
            let target = target(text);
            let torque = |pass: &Pass| pass.torque(&target).map(|it| it.to_string());
            let passes = Shares::new(shares.to_vec()).map(|it| it.passes(target.turn));
            passes.map(|it| it.iter().map(|pass| (pass.words(), torque(pass))).collect::<Vec<_>>())
        };
        const USUAL: [u8; 3] = [30, 70, 100];
        let told = |pass: &str, torque: &str| (pass.to_owned(), Some(torque.to_owned()));
        let usual = vec![told("30 %", "16.5 N·m"), told("70 %", "38.5 N·m"), told("100 %", "55 N·m")];
        let check = [usual.clone(), vec![told("check", "55 N·m")]].concat();
        assert_eq!(torques(&USUAL, "55 Nm"), Ok(check));
        let turn = [usual, vec![("turn 90°".to_owned(), None)]].concat();
        assert_eq!(torques(&USUAL, "55 Nm + 90°"), Ok(turn));
        assert_eq!(torques(&[30, 60, 100], "55 Nm").map(|it| it[1].1.clone()), Ok(Some("33 N·m".to_owned())));
        for wrong in [&[][..], &[0, 100], &[70, 30, 100], &[30, 70], &[50, 50, 100], &[100, 120]] {
            assert_eq!(torques(wrong, "55"), Err(NoPasses::NotRising), "{wrong:?}");
        }
    }

    #[test]
    fn shares_as_they_are_typed() {
        let read = |text| Shares::parse(text).map(|it| it.to_string());
        for (text, expected) in [
            ("", "30, 70, 100"),
            ("50, 100", "50, 100"),
            ("50 100", "50, 100"),
            ("30 % / 60 % / 100 %", "30, 60, 100"),
            ("100", "100"),
        ] {
            assert_eq!(read(text).as_deref(), Ok(expected), "{text}");
        }
        for wrong in ["third, full", "30, 70", "100, 30", "30, 130", "1.5, 100"] {
            assert_eq!(read(wrong), Err(NoPasses::NotRising), "{wrong}");
        }
    }

    #[test]
    fn following_what_is_next_does_all_and_ends_round_the_circle() {
        let mut group = group(Layout::Circle(6), "20 Nm");
        let mut places = Vec::new();
        while let Some(next) = group.next() {
            group.apply(Tap::Done(next)).unwrap();
            assert_eq!(group.skipped(), []);
            places.push(next.place.0);
        }
        let star = [1, 4, 2, 5, 3, 6];
        assert_eq!(places, [star, star, star, [1, 2, 3, 4, 5, 6]].concat());
        assert!(group.is_complete() && group.progress() == (24, 24));
    }

    #[test]
    fn a_skipped_one_is_named_until_it_is_done() {
        let mut group = group(Layout::Circle(4), "20 Nm");
        for done in [step(1, 1), step(1, 2), step(1, 4), step(2, 1)] {
            group.apply(Tap::Done(done)).unwrap();
        }
        assert_eq!(group.next(), Some(step(1, 3)));
        assert_eq!(group.skipped_words(Numbering::ByPosition), "skipped: 3 in pass 1 (30 %)");
        // The third clockwise is the second to be tightened.
        assert_eq!(group.skipped_words(Numbering::ByOrder), "skipped: 2 in pass 1 (30 %)");
        group.apply(Tap::Done(step(1, 3))).unwrap();
        assert_eq!((group.skipped_words(Numbering::ByOrder).as_str(), group.next()), ("", Some(step(2, 3))));
        // It stays told that it came late, until that is taken back.
        assert_eq!(group.late_words(Numbering::ByPosition), "out of its order: 3 in pass 1 (30 %)");
        group.apply(Tap::Undo).unwrap();
        assert_eq!(group.late(), []);
        group.apply(Tap::Done(step(1, 3))).unwrap();
        assert!(group.is_done(step(2, 1)) && !group.is_done(step(2, 3)));
    }

    #[test]
    fn a_whole_pass_left_out_is_caught() {
        let mut group = group(Layout::Circle(4), "20 Nm");
        for pass in [1, 3, 4] {
            for place in 1..=4 {
                group.apply(Tap::Done(step(pass, place))).unwrap();
            }
        }
        assert!(!group.is_complete());
        assert_eq!(group.skipped(), [1, 3, 2, 4].map(|place| step(2, place)));
        let mut whole = self::group(Layout::Circle(8), "20 Nm");
        whole.apply(Tap::Done(step(2, 1))).unwrap();
        let told = whole.skipped_words(Numbering::ByPosition);
        assert_eq!(told, "skipped: all 8 in pass 1 (30 %)");
    }

    #[test]
    fn slips_change_nothing() {
        let mut group = group(Layout::Circle(4), "20 Nm");
        assert_eq!(group.apply(Tap::Undo), Err(Slip::NothingToUndo));
        group.apply(Tap::Done(step(1, 1))).unwrap();
        let before = group.clone();
        assert_eq!(group.apply(Tap::Done(step(1, 1))), Err(Slip::AlreadyDone));
        for (pass, place) in [(0, 1), (5, 1), (1, 0), (1, 5)] {
            assert_eq!(group.apply(Tap::Done(step(pass, place))), Err(Slip::NotHere));
            assert!(!group.has(step(pass, place)));
        }
        assert_eq!(group, before);
        assert_eq!((group.pass_of(step(0, 1)), group.pass_of(step(4, 1))), (None, Some(Pass::Check)));
    }

    fn any_layout() -> impl Strategy<Value = Layout> {
        prop_oneof![
            (2..40_u16).prop_map(Layout::Circle),
            (1..6_u16, 2..7_u16).prop_map(|(rows, columns)| Layout::Rectangle { rows, columns }),
        ]
    }

    proptest! {
        #[test]
        fn taps_are_a_set_with_a_memory(
                layout in any_layout(), said in prop::collection::vec((0..6_u16, 0..42_u16, any::<bool>()), 0..80)) {
            let mut group = group(layout, "20 Nm");
            let plan = group.plan.clone();
            let mut model: Vec<Step> = Vec::new();
            for (pass, place, undo) in said {
                let (tap, step) = (if undo { Tap::Undo } else { Tap::Done(step(pass, place)) }, step(pass, place));
                let before = group.clone();
                let expected = match undo {
                    true => model.pop().is_some(),
                    false => plan.contains(&step) && !model.contains(&step),
                };
                prop_assert_eq!(group.apply(tap).is_ok(), expected);
                if !expected {
                    prop_assert_eq!(&group, &before);
                } else if !undo {
                    model.push(step);
                    let mut back = group.clone();
                    back.apply(Tap::Undo).unwrap();
                    prop_assert_eq!(&back, &before);
                }
                let done: BTreeSet<_> = model.iter().copied().collect();
                let left: Vec<_> = plan.iter().copied().filter(|it| !done.contains(it)).collect();
                prop_assert_eq!(group.next(), left.first().copied());
                let later = |at: &Step| plan.iter().skip_while(|it| *it != at).any(|it| done.contains(it));
                let passed_over: Vec<_> = left.iter().copied().filter(later).collect();
                prop_assert_eq!(group.skipped(), passed_over);
                prop_assert_eq!(group.progress(), (done.len(), plan.len()));
                let place = |step: &Step| plan.iter().position(|it| it == step);
                let is_late = |&(nth, step): &(usize, &Step)| model[..nth].iter().any(|it| place(it) > place(step));
                let late: Vec<_> = model.iter().enumerate().filter(is_late).map(|it| *it.1).collect();
                prop_assert_eq!(group.late(), late);
            }
            // From any state, following what is next does every fastener once in every pass.
            while let Some(next) = group.next() {
                group.apply(Tap::Done(next)).unwrap();
            }
            let tapped: BTreeSet<_> = group.taps.iter().map(|&at| plan[at]).collect();
            prop_assert_eq!((group.taps.len(), tapped), (plan.len(), plan.iter().copied().collect()));
            prop_assert!(group.skipped().is_empty());
        }
    }
}
