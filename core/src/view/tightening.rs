//! A job's groups of fasteners, and what is offered when one is entered.

use super::group_card::{Value, adapter_words, value};
use super::off::thread_of;
use crate::book::Book;
use crate::book::tightening::Group;
use crate::event::{GroupFacts, Hardware, ItemFacts, ItemKind};
use crate::id::{GroupId, JobId};
use crate::order;
use crate::reassembly::gate::NeededStep;
use crate::sheet::tightening::{name, wrench_words};
use crate::text::Label;
use crate::tightening::group::Shares;
use crate::tightening::pattern::{Layout, Numbering, Pattern};
use crate::tightening::wrench::{Lever, Wrench};

/// One group in a job's list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GroupRow {
    /// The group.
    pub id: GroupId,
    /// What it holds, with its side.
    pub name: String,
    /// How many there are, and what they are tightened to.
    pub what: String,
    /// How far it is: "12 of 32", "all tight".
    pub state: String,
    /// What was passed over; empty when nothing was.
    pub skipped: String,
    /// Whether all is tight.
    pub complete: bool,
}

/// A wrench that was named before, to be taken again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KnownWrench {
    /// The wrench.
    pub wrench: Wrench,
    /// What stood off its drive.
    pub lever: Option<Lever>,
    /// It in words.
    pub words: String,
}

/// Returns the groups of a job.
pub fn group_rows(book: &Book, job: JobId) -> Vec<GroupRow> {
    book.tightening.groups_of(job).map(group_row).collect()
}

fn group_row(group: &Group) -> GroupRow {
    let state = group.state();
    let (done, of) = state.progress();
    let what = match value(&group.facts) {
        Value::Entered { figure, .. } => figure,
        Value::Guided { figure, .. } => "general guidance ".to_owned() + &figure,
        Value::Unknown => "no value entered".to_owned(),
    };
    GroupRow {
        id: group.id,
        name: name(&group.facts),
        what: [&group.facts.pattern.layout().words(), ", ", &what].concat(),
        state: match state.is_complete() {
            true => "all tight".to_owned(),
            false => [&done.to_string(), " of ", &of.to_string()].concat(),
        },
        skipped: state.skipped_words(group.facts.numbering),
        complete: state.is_complete(),
    }
}

/// Returns fasteners that came off as a group to tighten: their count in a circle, their thread
/// where the size is one, no value. Nothing for a single one, and for what is no fastener.
pub fn group_of_item(item: &ItemFacts) -> Option<GroupFacts> {
    let thread = thread_of(item.size.as_str());
    let is_one = item.details.kind.map_or(thread.is_some(), |kind| kind == ItemKind::Fastener);
    let layout = Layout::Circle(u16::try_from(item.count.0).ok()?);
    let pattern = Pattern::of(layout).ok().filter(|_| is_one)?;
    Some(GroupFacts {
        what: item.what.clone(),
        side: item.side.clone(),
        pattern,
        numbering: Numbering::ByPosition,
        entered: None,
        shares: Shares::default(),
        hardware: Hardware { thread, ..Hardware::default() },
        needed: item.details.needed,
    })
}

/// Returns what of a job's groups is needed before the engine runs, as the run gate takes it.
pub fn needed_groups(book: &Book, job: JobId) -> Vec<NeededStep> {
    let needed = |group: &Group| {
        let text = Label::new(&["tightening of ", &name(&group.facts)].concat());
        Some(NeededStep { need: group.facts.needed?, text, done: group.state().is_complete() })
    };
    book.tightening.groups_of(job).filter_map(needed).collect()
}

/// Returns the manuals that values are from, the one that was named last first.
pub fn known_manuals(book: &Book) -> Vec<String> {
    let mut known: Vec<String> = Vec::new();
    for group in book.tightening.groups().rev() {
        let manual = group.facts.entered.as_ref().map(|entered| entered.source.manual.to_string());
        known.extend(manual.filter(|manual| !manual.is_empty() && !known.contains(manual)));
    }
    known.truncate(4);
    known
}

/// Returns the wrenches that were named anywhere, each once as it was named last: the one in
/// hand on this group first, then those of its job, of each the last first.
pub fn known_wrenches(book: &Book, group: GroupId) -> Vec<KnownWrench> {
    let job = book.tightening.group(group).map(|group| group.job);
    let near = |one: &Group| (one.id == group, Some(one.job) == job);
    let taken = book.tightening.groups().flat_map(|one| one.wrenches.iter().map(move |taken| (near(one), taken)));
    let taken = taken.filter(|(_, taken)| !taken.withdrawn);
    let mut known: Vec<KnownWrench> = Vec::new();
    for (_, taken) in order::last_first(taken.collect(), |(near, taken)| (*near, taken.at, taken.id)) {
        if !known.iter().any(|it| it.wrench.name == taken.wrench.name) {
            let adapter = taken.lever.map(|lever| ", ".to_owned() + &adapter_words(lever)).unwrap_or_default();
            let words = wrench_words(taken) + &adapter;
            known.push(KnownWrench { wrench: taken.wrench.clone(), lever: taken.lever, words });
        }
    }
    known.truncate(6);
    known
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::Details;
    use crate::quantity::Count;

    fn item(count: u32, size: &str, kind: Option<ItemKind>) -> ItemFacts {
        let (what, size) = (Label::new("Bolt, end cap"), Label::new(size));
        ItemFacts {
            what,
            size,
            count: Count(count),
            details: Details { kind, ..Details::default() },
            ..ItemFacts::default()
        }
    }

    #[test]
    fn fasteners_become_a_group_with_their_count_and_thread_and_no_value() {
        let group = group_of_item(&item(8, "M8 x 30, 13 mm", None)).unwrap();
        assert_eq!((group.pattern.count(), group.what.as_str(), group.entered), (8, "Bolt, end cap", None));
        assert_eq!(group.hardware.thread.map(|it| it.to_string()).as_deref(), Some("M8"));
        let slotted = group_of_item(&item(6, "slotted", Some(ItemKind::Fastener))).unwrap();
        assert_eq!((slotted.pattern.count(), slotted.hardware.thread), (6, None));
        for none in [item(8, "32 mm bore", None), item(1, "M8", None), item(2, "M8", Some(ItemKind::Cable))] {
            assert_eq!(group_of_item(&none), None, "{}", none.size);
        }
    }
}
