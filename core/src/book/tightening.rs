//! Groups of fasteners, and every tap on them.
//!
//! A tap that was said counts, in whatever order: what was passed over and what
//! came late is told and not put right. Two taps on the same fastener in the same
//! pass are one as long as either counts, so phones that both said it agree.
//!
//! Rule: when the value, the shape or the passes of a group are changed, what was
//! tightened until then was tightened to something else. It stays in the record
//! and counts no more.

use super::named::Named;
use crate::event::GroupFacts;
use crate::id::{EventId, GroupId, JobId};
use crate::moment::Moment;
use crate::tightening::group::{self, Step, Tap};
use crate::tightening::wrench::{Lever, Wrench};

/// All groups of all jobs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tightening {
    groups: Named<Group>,
    // As with what came off: a screen must not look through years of other jobs.
    by_job: Named<Vec<GroupId>>,
    /// The group of each tap and of each wrench.
    said: Named<GroupId>,
}

/// A group of fasteners that are tightened together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// Its name in the log.
    pub id: GroupId,
    /// The job.
    pub job: JobId,
    /// When it was entered.
    pub at: Moment,
    /// What is known of it.
    pub facts: GroupFacts,
    /// Every tap, also those that count no more.
    pub taps: Vec<Tightened>,
    /// Every wrench that was named.
    pub wrenches: Vec<Taken>,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
    /// How many taps were made before the work was changed.
    before: usize,
}

/// A fastener that is tight in a pass.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tightened {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// Which fastener in which pass.
    pub step: Step,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

/// A wrench that was named.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taken {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// The wrench.
    pub wrench: Wrench,
    /// What stands off its drive.
    pub lever: Option<Lever>,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
    /// How many taps were made before.
    after: usize,
}

impl Group {
    fn new(id: EventId, at: Moment, job: JobId, facts: &GroupFacts) -> Self {
        let (taps, wrenches) = (Vec::new(), Vec::new());
        Self { id: GroupId(id), job, at, facts: facts.clone(), taps, wrenches, withdrawn: false, before: 0 }
    }

    /// Returns what is done, what is next and what was passed over.
    pub fn state(&self) -> group::Group {
        let mut state = self.untouched();
        for (_, tap) in self.counting() {
            // Said twice it is as good as once, so a tap that changes nothing is none the worse.
            let _ = state.apply(Tap::Done(tap.step));
        }
        state
    }

    /// Tells whether anything of it is tight.
    pub fn is_begun(&self) -> bool {
        self.counting().next().is_some()
    }

    /// Returns the taps that count, each with the wrench that was in hand.
    pub fn counting(&self) -> impl DoubleEndedIterator<Item = (Option<&Taken>, &Tightened)> {
        let counts = |(nth, tap): &(usize, &Tightened)| *nth >= self.before && !tap.withdrawn;
        self.taps.iter().enumerate().filter(counts).map(|(nth, tap)| (self.wrench_at(nth), tap))
    }

    /// Returns the wrench that is in hand now.
    pub fn wrench(&self) -> Option<&Taken> {
        self.wrench_at(self.taps.len())
    }

    fn wrench_at(&self, tap: usize) -> Option<&Taken> {
        self.wrenches.iter().rfind(|taken| !taken.withdrawn && taken.after <= tap)
    }

    fn untouched(&self) -> group::Group {
        let turn = self.facts.entered.as_ref().and_then(|entered| entered.target.turn);
        group::Group::new(self.facts.pattern.clone(), self.facts.shares.passes(turn))
    }
}

impl Tightening {
    /// Returns a group, withdrawn or not.
    pub fn group(&self, id: GroupId) -> Option<&Group> {
        self.groups.get(id.0)
    }

    /// Returns the groups that count, of all jobs.
    pub fn groups(&self) -> impl DoubleEndedIterator<Item = &Group> {
        self.groups.all().filter(|group| !group.withdrawn)
    }

    /// Returns a job's groups in the order in which they were entered.
    pub fn groups_of(&self, job: JobId) -> impl DoubleEndedIterator<Item = &Group> {
        let ids = self.by_job.get(job.0).map(Vec::as_slice).unwrap_or_default();
        ids.iter().filter_map(|id| self.groups.get(id.0)).filter(|group| !group.withdrawn)
    }

    pub(super) fn add(&mut self, id: EventId, at: Moment, job: JobId, facts: &GroupFacts) -> Result<(), EventId> {
        self.groups.put(id, Group::new(id, at, job, facts));
        self.by_job.of(job.0).push(GroupId(id));
        Ok(())
    }

    pub(super) fn amend(&mut self, group: GroupId, facts: &GroupFacts) -> Result<(), EventId> {
        let group = self.groups.known(group.0)?;
        if !group.facts.same_work(facts) {
            group.before = group.taps.len();
        }
        group.facts = facts.clone();
        Ok(())
    }

    pub(super) fn take(
        &mut self,
        id: EventId,
        at: Moment,
        group: GroupId,
        wrench: &Wrench,
        lever: Option<Lever>,
    ) -> Result<(), EventId> {
        let known = self.groups.known(group.0)?;
        let (wrench, after) = (wrench.clone(), known.taps.len());
        known.wrenches.push(Taken { id, at, wrench, lever, withdrawn: false, after });
        self.said.put(id, group);
        Ok(())
    }

    /// Refuses a step that the group does not have.
    pub(super) fn tighten(&mut self, id: EventId, at: Moment, group: GroupId, step: Step) -> Result<(), EventId> {
        let known = self.groups.known(group.0)?;
        if !known.untouched().has(step) {
            return Err(group.0);
        }
        known.taps.push(Tightened { id, at, step, withdrawn: false });
        self.said.put(id, group);
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        if let Some(group) = self.groups.get(id) {
            return Some(group.withdrawn);
        }
        let group = self.group(*self.said.get(id)?)?;
        let tap = group.taps.iter().rfind(|tap| tap.id == id).map(|tap| tap.withdrawn);
        tap.or_else(|| group.wrenches.iter().find(|taken| taken.id == id).map(|taken| taken.withdrawn))
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        if let Ok(group) = self.groups.known(id) {
            group.withdrawn = withdrawn;
            return true;
        }
        let Some(group) = self.said.get(id).and_then(|group| self.groups.known(group.0).ok()) else { return false };
        let tap = group.taps.iter_mut().rfind(|tap| tap.id == id).map(|tap| &mut tap.withdrawn);
        let wrench = group.wrenches.iter_mut().find(|taken| taken.id == id).map(|taken| &mut taken.withdrawn);
        let Some(mark) = tap.or(wrench) else { return false };
        *mark = withdrawn;
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::Hardware;
    use crate::id::DeviceId;
    use crate::text::Label;
    use crate::tightening::group::Shares;
    use crate::tightening::pattern::{Layout, Numbering, Pattern, Place};
    use crate::tightening::torque::{Entered, Source, Target, TorqueUnit};

    fn name(seq: u64) -> EventId {
        EventId { device: DeviceId::new([1; 8]), seq }
    }

    fn facts(value: &str) -> GroupFacts {
        let target = Target::parse(value, TorqueUnit::NewtonMetre).unwrap();
        GroupFacts {
            what: Label::new("Exhaust elbow"),
            side: Label::new("aft"),
            pattern: Pattern::of(Layout::Circle(4)).unwrap(),
            numbering: Numbering::ByPosition,
            entered: Some(Entered { target, source: Source::default() }),
            shares: Shares::parse("50, 100").unwrap(),
            hardware: Hardware::default(),
            needed: None,
        }
    }

    /// What is said of one group, each thing named by a running number.
    struct Said {
        book: Tightening,
        seq: u64,
    }

    const GROUP: u64 = 1;

    impl Said {
        fn new(facts: &GroupFacts) -> Self {
            let mut said = Self { book: Tightening::default(), seq: GROUP };
            said.book.add(name(GROUP), said.now(), JobId(name(99)), facts).unwrap();
            said
        }

        fn now(&self) -> Moment {
            Moment::new(60_000 * self.seq as i64, 0).unwrap()
        }

        fn tap(&mut self, pass: u16, place: u16) -> Result<EventId, EventId> {
            self.seq += 1;
            let step = Step { pass, place: Place(place) };
            self.book.tighten(name(self.seq), self.now(), GroupId(name(GROUP)), step).map(|()| name(self.seq))
        }

        fn wrench(&mut self, called: &str) -> EventId {
            self.seq += 1;
            let wrench = Wrench { name: Label::new(called), ..Wrench::default() };
            self.book.take(name(self.seq), self.now(), GroupId(name(GROUP)), &wrench, None).unwrap();
            name(self.seq)
        }

        fn group(&self) -> &Group {
            self.book.group(GroupId(name(GROUP))).unwrap()
        }

        fn done(&self) -> usize {
            self.group().state().progress().0
        }
    }

    #[test]
    fn a_tap_counts_until_it_is_taken_back_and_again_after() {
        let mut said = Said::new(&facts("20"));
        let first = said.tap(1, 1).unwrap();
        said.tap(1, 3).unwrap();
        assert_eq!((said.done(), said.book.marked(first)), (2, Some(false)));
        assert!(said.book.mark(first, true));
        assert_eq!((said.done(), said.book.marked(first)), (1, Some(true)));
        let state = said.group().state();
        assert_eq!(state.skipped_words(Numbering::ByPosition), "skipped: 1 in pass 1 (50 %)");
        assert!(said.book.mark(first, false));
        assert_eq!(said.done(), 2);
        assert!(!said.book.mark(name(50), true));
    }

    #[test]
    fn said_on_two_phones_it_is_one() {
        let mut said = Said::new(&facts("20"));
        let first = said.tap(1, 1).unwrap();
        said.tap(1, 1).unwrap();
        assert_eq!(said.done(), 1);
        said.book.mark(first, true);
        assert_eq!(said.done(), 1);
    }

    #[test]
    fn what_the_group_does_not_have_cannot_be_tight() {
        let mut said = Said::new(&facts("20"));
        for (pass, place) in [(0, 1), (4, 1), (1, 0), (1, 5)] {
            assert_eq!(said.tap(pass, place), Err(name(GROUP)));
        }
        assert_eq!(said.done(), 0);
    }

    #[test]
    fn another_value_begins_anew_and_another_name_does_not() {
        let mut said = Said::new(&facts("20"));
        said.tap(1, 1).unwrap();
        let renamed = GroupFacts { what: Label::new("Elbow"), numbering: Numbering::ByOrder, ..facts("20") };
        said.book.amend(GroupId(name(GROUP)), &renamed).unwrap();
        assert_eq!(said.done(), 1);
        said.book.amend(GroupId(name(GROUP)), &facts("25")).unwrap();
        assert_eq!((said.done(), said.group().taps.len()), (0, 1));
        said.tap(1, 1).unwrap();
        assert_eq!(said.done(), 1);
    }

    #[test]
    fn each_tap_knows_the_wrench_that_was_in_hand() {
        let mut said = Said::new(&facts("20"));
        said.tap(1, 1).unwrap();
        let small = said.wrench("small");
        said.tap(1, 3).unwrap();
        said.wrench("large");
        said.tap(1, 2).unwrap();
        let wrenches = |said: &Said| {
            let name = |taken: &Taken| taken.wrench.name.to_string();
            said.group().counting().map(|(taken, _)| taken.map(name).unwrap_or_default()).collect::<Vec<_>>()
        };
        assert_eq!(wrenches(&said), ["", "small", "large"]);
        assert_eq!(said.book.marked(small), Some(false));
        said.book.mark(small, true);
        assert_eq!(wrenches(&said), ["", "", "large"]);
        assert_eq!(said.group().wrench().map(|taken| taken.wrench.name.as_str()), Some("large"));
    }

    #[test]
    fn a_group_that_was_a_mistake_is_not_among_the_jobs_groups() {
        let mut said = Said::new(&facts("20"));
        let of_job = |said: &Said| (said.book.groups_of(JobId(name(99))).count(), said.book.groups().count());
        assert_eq!(of_job(&said), (1, 1));
        assert!(said.book.mark(name(GROUP), true));
        assert_eq!(of_job(&said), (0, 0));
    }
}
