//! Random groups of fasteners, and what holds for each of them.
#![allow(clippy::unwrap_used, reason = "strategies give only what can be made")]

use std::collections::BTreeSet;

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use quaywright_core::book::Book;
use quaywright_core::book::tightening::Group;
use quaywright_core::command::Command;
use quaywright_core::event::{Activity, Event, GroupFacts, Hardware, On, Reader, StoryPart};
use quaywright_core::id::{GroupId, JobId};
use quaywright_core::moment::{Day, Moment};
use quaywright_core::owner::words::Words;
use quaywright_core::reassembly::gate::Need;
use quaywright_core::sheet::owner_sheet;
use quaywright_core::text::Label;
use quaywright_core::tightening::extent::Extent;
use quaywright_core::tightening::group::{Shares, Step};
use quaywright_core::tightening::guidance::{Strength, Surface};
use quaywright_core::tightening::pattern::{Layout, Numbering, Pattern, Place};
use quaywright_core::tightening::thread::{System, Thread};
use quaywright_core::tightening::torque::{Entered, Source, Target, Torque, TorqueUnit};
use quaywright_core::tightening::wrench::{Lever, Wrench};
use quaywright_core::view::GroupText;

use crate::histories::{day, history, id, label, lived, nth};
use crate::journeys::{Journey, travel};
use crate::phone::Phone;

/// Returns a request about a group of a job, or a new one.
pub(crate) fn command(phone: &Phone, job: JobId, which: usize, amount: u32) -> Option<Command> {
    let book = &phone.book;
    let some = nth(book.tightening.groups().map(|group| group.id), which);
    let value = ["20 Nm", "33 ft-lb + 90°"][which % 2];
    let source = Source { manual: Label::new("Manual"), page: Label::new("7") };
    let target = Target::parse(value, TorqueUnit::NewtonMetre).unwrap();
    let facts = Box::new(GroupFacts {
        what: Label::new("Cover"),
        side: Label::default(),
        pattern: Pattern::of(Layout::Circle(2 + (which % 3) as u16)).unwrap(),
        numbering: Numbering::ByPosition,
        entered: (amount > 2).then_some(Entered { target, source }),
        shares: Shares::parse("50, 100").unwrap(),
        hardware: Hardware::default(),
        needed: None,
    });
    let Some(group) = some.filter(|_| !which.is_multiple_of(19)) else { return Some(Command::AddGroup { job, facts }) };
    let next = || book.tightening.group(group)?.state().next();
    Some(match (which % 25, next()) {
        (0, _) => Command::AmendGroup { group, facts },
        (1, _) => {
            let wrench = Wrench { name: Label::new("the long one"), ..Wrench::default() };
            Command::TakeWrench { group, wrench, lever: None }
        }
        (2, _) => Command::Withdraw { event: group.0 },
        (3 | 4, _) => {
            let taps = book.tightening.group(group)?.taps.iter().map(|tap| tap.id);
            Command::Withdraw { event: nth(taps, which)? }
        }
        (5 | 6, _) => Command::Tighten { group, step: Step { pass: amount as u16, place: Place(which as u16 % 6) } },
        (_, step) => Command::Tighten { group, step: step? },
    })
}

fn torque() -> impl Strategy<Value = Torque> {
    (1..40_000_000_u32, unit()).prop_map(|(thousandths, unit)| Torque::new(thousandths, unit).unwrap())
}

fn unit() -> impl Strategy<Value = TorqueUnit> {
    prop::sample::select(TorqueUnit::ALL.to_vec())
}

fn target() -> impl Strategy<Value = Target> {
    let limits = prop::option::of((0..1_000_u32, 0..1_000_u32));
    (1_001..40_000_000_u32, unit(), limits, prop::option::of(1..=720_u16)).prop_map(|(aim, unit, limits, turn)| {
        let torque = |thousandths| Torque::new(thousandths, unit).unwrap();
        let limits = limits.map(|(down, up)| (torque(aim - down), torque(aim + up)));
        Target { aim: torque(aim), limits, turn }
    })
}

fn pattern() -> impl Strategy<Value = Pattern> {
    let rectangle = (1..9_u16, 2..11_u16).prop_map(|(rows, columns)| Layout::Rectangle { rows, columns });
    prop_oneof![(2..97_u16).prop_map(Layout::Circle), rectangle].prop_map(|layout| Pattern::of(layout).unwrap())
}

fn shares() -> impl Strategy<Value = Shares> {
    prop::collection::btree_set(1..100_u8, 0..9)
        .prop_map(|below| Shares::new(below.into_iter().chain([100]).collect()).unwrap())
}

fn hardware() -> impl Strategy<Value = Hardware> {
    let threads: Vec<Thread> = Thread::all(System::Metric).chain(Thread::all(System::Inch)).collect();
    let strengths = [Strength::of(System::Metric), Strength::of(System::Inch)].concat();
    let thread = prop::option::of(prop::sample::select(threads));
    let strength = prop::option::of(prop::sample::select(strengths));
    let surface = prop::option::of(prop::sample::select(Surface::ALL.to_vec()));
    (thread, strength, surface).prop_map(|(thread, strength, surface)| Hardware { thread, strength, surface })
}

fn facts() -> impl Strategy<Value = Box<GroupFacts>> {
    let entered = (target(), label(), label())
        .prop_map(|(target, manual, page)| Entered { target, source: Source { manual, page } });
    let numbering = prop::sample::select(vec![Numbering::ByPosition, Numbering::ByOrder]);
    let needed = prop::option::of(prop::sample::select(Need::ALL.to_vec()));
    (label(), label(), pattern(), numbering, prop::option::of(entered), shares(), hardware(), needed).prop_map(
        |(what, side, pattern, numbering, entered, shares, hardware, needed)| {
            Box::new(GroupFacts { what, side, pattern, numbering, entered, shares, hardware, needed })
        },
    )
}

/// Any event about a group of fasteners.
pub(crate) fn event() -> impl Strategy<Value = Event> {
    let wrench = (label(), prop::option::of(torque()), prop::option::of(day()))
        .prop_map(|(name, largest, calibrated)| Wrench { name, largest, calibrated });
    let lever = (1..u32::MAX, 1..u32::MAX, 0..181_u16).prop_filter_map("no lever", |(wrench, adapter, angle)| {
        Lever::new(Extent::new(wrench)?, Extent::new(adapter)?, angle).ok()
    });
    let group = || id().prop_map(GroupId);
    prop_oneof![
        (id(), facts()).prop_map(|(id, facts)| Event::GroupAdded { job: JobId(id), facts }),
        (group(), facts()).prop_map(|(group, facts)| Event::GroupAmended { group, facts }),
        (group(), wrench, prop::option::of(lever)).prop_map(|(group, wrench, lever)| Event::WrenchTaken {
            group,
            wrench,
            lever
        }),
        (group(), any::<u16>(), any::<u16>()).prop_map(|(group, pass, place)| Event::FastenerTightened {
            group,
            step: Step { pass, place: Place(place) }
        }),
    ]
}

/// Lets two phones say what a person may ask for about the groups of one job, now and then
/// hearing of each other.
fn lived_over_groups(asked: &[(bool, u8, usize, u32)]) -> [Phone; 2] {
    let mut phones = [1, 2].map(|device| Phone::new(device, "2026-05-04T08:00:00.000+01:00"));
    let (job, _) = phones[0].job("Heron", "P. Wherry", "Head gasket", "");
    for &(first, hears, which, amount) in asked {
        let other = phones[usize::from(first)].log.clone();
        let phone = &mut phones[usize::from(!first)];
        if hears.is_multiple_of(8) {
            phone.hear(&other);
        }
        phone.now = Moment::new(phone.now.utc_ms() + 1_000, 60).unwrap();
        if phone.book.jobs.job(job).is_some()
            && let Some(command) = command(phone, job, which, amount)
        {
            // What is refused did not happen.
            drop(phone.ask(command));
        }
    }
    let [a, b] = phones.each_ref().map(|phone| phone.log.clone());
    phones[0].hear(&b);
    phones[1].hear(&a);
    phones
}

fn asked() -> impl Strategy<Value = Vec<(bool, u8, usize, u32)>> {
    prop::collection::vec((any::<bool>(), any::<u8>(), 0..500_usize, 1..5_u32), 0..150)
}

fn adds_up(book: &Book) -> Result<(), TestCaseError> {
    for group in book.tightening.groups() {
        let state = group.state();
        let said: BTreeSet<Step> = group.counting().map(|(_, tap)| tap.step).collect();
        prop_assert!(said.iter().all(|&step| state.is_done(step)));
        let (done, of) = state.progress();
        prop_assert_eq!(done, said.len());
        prop_assert_eq!(of, group.facts.pattern.order().len() * state.passes().len());
        prop_assert_eq!(state.is_complete(), done == of);
        // Nothing is called skipped that is done, and what is next is not done.
        prop_assert!(state.skipped().iter().chain(state.next().iter()).all(|step| !said.contains(step)));
        prop_assert!(group.counting().all(|(_, tap)| !tap.withdrawn && state.has(tap.step)));
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_done_of_a_group_is_what_was_said_and_not_taken_back(asked in asked()) {
        let [one, other] = lived_over_groups(&asked);
        prop_assert_eq!(&one.book, &other.book);
        adds_up(&one.book)?;
    }

    #[test]
    fn senseless_taps_change_nothing(history in history(80)) {
        for phone in lived(&history) {
            adds_up(&phone.book)?;
        }
    }
}

#[test]
fn the_groups_are_worth_trying() {
    let mut runner = TestRunner::deterministic();
    let mut seen = [0_usize; 6];
    for _ in 0..100 {
        let [phone, _] = lived_over_groups(&asked().new_tree(&mut runner).unwrap().current());
        let groups: Vec<&Group> = phone.book.tightening.groups().collect();
        let any = |of: fn(&Group) -> bool| usize::from(groups.iter().any(|group| of(group)));
        seen[0] += any(|group| group.state().is_complete());
        seen[1] += any(|group| !group.state().skipped().is_empty());
        seen[2] += any(|group| group.taps.iter().any(|tap| tap.withdrawn));
        seen[3] += any(|group| group.counting().count() < group.taps.iter().filter(|tap| !tap.withdrawn).count());
        seen[4] += any(|group| group.counting().any(|(wrench, _)| wrench.is_some()));
        seen[5] += any(|group| !group.state().late().is_empty());
    }
    assert!(seen.iter().all(|&times| times >= 5), "of 100 pairs of phones: {seen:?}");
}

#[test]
fn a_pass_that_was_skipped_is_told_to_everybody() {
    let mut phone = Phone::new(0xd1, "2026-05-04T08:00:00.000+01:00");
    phone.named("M. Sluice", "Lower Basin Boatyard");
    let (job, line) = phone.job("Heron", "P. Wherry", "Head gasket", "Steams at the exhaust");
    phone.clock("2026-05-04T08:10:00.000+01:00", Activity::Labour, On::Job(job));
    let mut group = |what: &str, value: &str, count: u16, shares: &str| {
        let [what, value, shares] = [what, value, shares].map(str::to_owned);
        let (manual, page) = ("Service manual 3".to_owned(), "4-12".to_owned());
        let text = GroupText { what, value, shares, manual, page, count: count.to_string(), ..GroupText::default() };
        GroupId(phone.must(Command::AddGroup { job, facts: Box::new(text.read(None).unwrap()) }))
    };
    let (head, elbow) =
        (group("Cylinder head", "45 Nm ± 5", 8, "30, 70, 100"), group("Exhaust elbow", "20 Nm", 4, "100"));
    group("Rocker cover", "", 6, "");
    let wrench = Wrench { name: Label::new("the long one"), calibrated: Day::parse("2026-02-03"), largest: None };
    phone.must(Command::TakeWrench { group: head, wrench, lever: None });
    let tap = |phone: &mut Phone, group, pass, place| {
        phone.now = Moment::new(phone.now.utc_ms() + 30_000, 60).unwrap();
        phone.must(Command::Tighten { group, step: Step { pass, place: Place(place) } })
    };
    for pass in [1, 3] {
        for place in [1, 5, 3, 7, 2, 6, 4, 8] {
            tap(&mut phone, head, pass, place);
        }
    }
    let slip = tap(&mut phone, head, 4, 1);
    phone.must(Command::Withdraw { event: slip });
    for (pass, place) in [(1, 1), (1, 3), (1, 4), (1, 2), (2, 1), (2, 2), (2, 3), (2, 4)] {
        tap(&mut phone, elbow, pass, place);
    }
    phone.tell(line, StoryPart::Cause, "Gasket burnt through.");
    phone.tell(line, StoryPart::Correction, "Gasket renewed.");
    phone.stop("2026-05-04T09:00:00.000+01:00");
    phone.must(Command::FinishJob { job });

    let book = travel("a-pass-skipped", Journey::of(phone)).book;
    let owner = owner_sheet(&book, job, Day::parse("2026-05-04").unwrap()).unwrap().torque;
    let words = Words::of(Reader::default());
    let tight =
        "Exhaust elbow: 4 in a circle, tightened to 20 N·m (14.8 lbf·ft), value from Service manual 3, page 4-12";
    assert_eq!(owner.iter().filter_map(|group| words.tight(group)).collect::<Vec<_>>(), [tight]);
    let open = ["Cylinder head: not tightened to the end", "Rocker cover: not tightened yet"];
    assert_eq!(owner.iter().filter_map(|group| words.loose(group)).collect::<Vec<_>>(), open);
}
