//! What was tightened, to what and by which source, as plain data and in words.
//!
//! The office is told of every pass with its times and its wrench; the owner, in
//! one sentence, what holds and where the value is from. A group that is not done
//! to its end is never told as tight.

use crate::book::tightening::{Group, Taken};
use crate::event::GroupFacts;
use crate::id::GroupId;
use crate::moment::Moment;
use crate::sheet::pattern::PatternSheet;
use crate::tightening::group::Pass;
use crate::tightening::guidance::{self, Guidance};
use crate::tightening::torque::Torque;
use crate::view::{day_words, hour_minute};

/// A group on a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TorqueSheet {
    /// The group.
    pub group: GroupId,
    /// What is known of it.
    pub facts: Box<GroupFacts>,
    /// What it holds, with its side.
    pub name: String,
    /// How many fasteners there are and how they lie, "8 in a circle".
    pub fasteners: String,
    /// To what, and by which source: "to 45 N·m (33.2 lbf·ft), from Service manual 3, page 4-12".
    pub value: String,
    /// How many taps are done, of how many: every fastener in every pass.
    pub progress: (usize, usize),
    /// What was passed over, and what came out of its order.
    pub remarks: Vec<String>,
    /// The passes on which anything was done.
    pub passes: Vec<PassSheet>,
    /// How its fasteners lie, and which are done.
    pub drawn: PatternSheet,
}

/// One pass on a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PassSheet {
    /// Its number, from 1.
    pub number: u16,
    /// What is done in it, "70 %, 31.5 N·m".
    pub what: String,
    /// How many fasteners are done, of how many.
    pub progress: (usize, usize),
    /// When the first and the last of them were.
    pub first_last: (Moment, Moment),
    /// The wrenches that were named, with their calibration.
    pub wrenches: Vec<String>,
}

impl TorqueSheet {
    /// Returns what is told of a group.
    pub fn of(group: &Group) -> Self {
        let (state, facts) = (group.state(), &group.facts);
        let remarks = [state.skipped_words(facts.numbering), state.late_words(facts.numbering)];
        let passes = (1..).zip(state.passes()).filter_map(|(number, pass)| pass_sheet(group, number, *pass));
        Self {
            group: group.id,
            facts: Box::new(facts.clone()),
            name: name(facts),
            fasteners: facts.pattern.layout().words(),
            value: value(facts),
            progress: state.progress(),
            remarks: remarks.into_iter().filter(|words| !words.is_empty()).collect(),
            passes: passes.collect(),
            drawn: PatternSheet::of(facts, &state),
        }
    }

    /// Tells whether every fastener is done in every pass.
    pub fn is_complete(&self) -> bool {
        self.progress.0 == self.progress.1
    }

    /// Returns everything, the group first and then a line for each pass.
    pub fn words(&self) -> Vec<String> {
        let (done, of) = self.progress;
        let mut head = [self.name.as_str(), ": ", &self.fasteners, ", ", &self.value, ": "].concat();
        head.push_str(&match (done, self.is_complete()) {
            (_, true) => "done".to_owned(),
            (0, _) => "not tightened yet".to_owned(),
            _ => counted(done, of) + " taps done",
        });
        self.remarks.iter().for_each(|remark| head.extend(["; ", remark]));
        [head].into_iter().chain(self.passes.iter().map(PassSheet::words)).collect()
    }

    /// Returns that a group is tight and how tight, in words; nothing before it is.
    pub fn done_words(&self) -> Option<String> {
        self.is_complete().then(|| [self.name.as_str(), ": ", &self.fasteners, ", tightened ", &self.value].concat())
    }

    /// Returns what is not done of a group, in words.
    pub fn open_words(&self) -> Option<String> {
        let (done, of) = self.progress;
        let open = match done {
            _ if self.is_complete() => return None,
            0 => "not tightened yet".to_owned(),
            _ => "tightening not done, ".to_owned() + &counted(done, of) + " taps",
        };
        Some([self.name.as_str(), ": ", &open].concat())
    }
}

impl PassSheet {
    /// Returns the pass in words.
    pub fn words(&self) -> String {
        let (done, of) = self.progress;
        let (first, last) = self.first_last;
        let mut words = ["pass ", &self.number.to_string(), ", ", &self.what, ": ", &counted(done, of), ", "].concat();
        words.push_str(&day_words(first.day(), first.day()));
        words.extend([" ", &hour_minute(first)]);
        if first.day() != last.day() {
            words.extend([" to ", &day_words(last.day(), first.day()), " ", &hour_minute(last)]);
        } else if hour_minute(first) != hour_minute(last) {
            words.extend([" to ", &hour_minute(last)]);
        }
        self.wrenches.iter().for_each(|wrench| words.extend([", with ", wrench]));
        words
    }
}

/// Returns what a group holds, with its side.
pub(crate) fn name(facts: &GroupFacts) -> String {
    match facts.side.is_empty() {
        true => facts.what.to_string(),
        false => [facts.what.as_str(), ", ", facts.side.as_str()].concat(),
    }
}

/// Returns the torque of a pass as a wrench can be set to it: with three digits, or as many as
/// the value has.
pub(crate) fn settable(torque: Torque, facts: &GroupFacts) -> Torque {
    let typed = facts.entered.as_ref().map_or(0, |entered| entered.target.aim.digits());
    torque.rounded(typed.max(3))
}

/// Returns general guidance for a group: only without a value, and only when thread, strength
/// and surface are known.
pub(crate) fn guided(facts: &GroupFacts) -> Option<Guidance> {
    let hardware = &facts.hardware;
    guidance::offer(facts.entered.as_ref(), hardware.thread?, hardware.strength?, hardware.surface?).ok()
}

/// Returns a wrench with its calibration in words.
pub(crate) fn wrench_words(wrench: &Taken) -> String {
    let name = wrench.wrench.name.as_str();
    match wrench.wrench.calibrated {
        Some(day) => [name, " (calibrated ", &day.to_string(), ")"].concat(),
        None => name.to_owned(),
    }
}

fn value(facts: &GroupFacts) -> String {
    if let Some(entered) = &facts.entered {
        let source = &entered.source;
        let from = [source.manual.or("a manual"), ", page ", source.page.or("?")].concat();
        return ["to ", &entered.target.to_string(), ", value from ", &from].concat();
    }
    match guided(facts) {
        Some(guidance) => "by general guidance only, ".to_owned() + &guidance.words(),
        None => "without a value from a manual".to_owned(),
    }
}

fn pass_sheet(group: &Group, number: u16, pass: Pass) -> Option<PassSheet> {
    let facts = &group.facts;
    let mut first_last: Option<(Moment, Moment)> = None;
    let (mut places, mut wrenches): (Vec<u16>, Vec<String>) = Default::default();
    for (wrench, tap) in group.counting().filter(|(_, tap)| tap.step.pass == number) {
        let (first, last) = first_last.unwrap_or((tap.at, tap.at));
        first_last = Some((first.min(tap.at), last.max(tap.at)));
        if !places.contains(&tap.step.place.0) {
            places.push(tap.step.place.0);
        }
        let wrench = wrench.map(wrench_words);
        wrenches.extend(wrench.filter(|wrench| !wrenches.contains(wrench)));
    }
    let torque = facts.entered.as_ref().and_then(|entered| pass.torque(&entered.target));
    let torque = torque.map(|torque| settable(torque, facts).to_string());
    let what = [Some(pass.words()), torque].into_iter().flatten().collect::<Vec<_>>().join(", ");
    let progress = (places.len(), facts.pattern.order().len());
    Some(PassSheet { number, what, progress, first_last: first_last?, wrenches })
}

fn counted(done: usize, of: usize) -> String {
    [&done.to_string(), " of ", &of.to_string()].concat()
}
