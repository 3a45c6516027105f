//! The page of a group of fasteners.
//!
//! It shows one pass at a time: the one in which something is open first, unless
//! another is chosen. A tap on a fastener says that it is tight in the pass that is
//! shown, whatever the order; what is next and what was passed over is told.

use super::job::photo_card;
use super::{PhotoCard, VoiceRow, voices_about, when};
use crate::book::Book;
use crate::book::evidence::Note;
use crate::book::tightening::{Group, Taken};
use crate::event::{About, GroupFacts};
use crate::id::{EventId, GroupId, JobId, NoteId};
use crate::moment::{Day, Moment};
use crate::sheet::tightening::{TorqueSheet, guided, name, settable, wrench_words};
use crate::tightening::MANUAL_FIRST;
use crate::tightening::group::{self, Pass, Step};
use crate::tightening::guidance::LABEL;
use crate::tightening::pattern::{Numbering, Place};
use crate::tightening::torque::Torque;
use crate::tightening::wrench::{HOLD_AT_THE_GRIP, Lever};

/// The page of a group.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GroupCard {
    /// The group.
    pub id: GroupId,
    /// Its job.
    pub job: JobId,
    /// Boat and job.
    pub at: String,
    /// What it holds, with its side.
    pub name: String,
    /// What is known of it.
    pub facts: GroupFacts,
    /// How many there are and how they lie.
    pub fasteners: String,
    /// To what, both ways; or general guidance with what has to be said beside it.
    pub value: Value,
    /// Where the order comes from, and how the fasteners are numbered.
    pub order: [&'static str; 2],
    /// How many taps are done, of how many.
    pub progress: (usize, usize),
    /// What is next; nothing when all is tight.
    pub next: Option<Next>,
    /// What was passed over, and what came late; empty when nothing did.
    pub remarks: Vec<String>,
    /// The passes.
    pub passes: Vec<PassRow>,
    /// The fasteners in the pass that is shown, by their places.
    pub fastener_rows: Vec<FastenerRow>,
    /// The tap that counts and was said last, with its words.
    pub last: Option<(EventId, String)>,
    /// Where that tap was.
    pub last_place: Option<Place>,
    /// The wrench in hand.
    pub wrench: Option<WrenchCard>,
    /// What was done so far, a line each.
    pub record: Vec<String>,
    /// The notes on it, each with its time.
    pub notes: Vec<(NoteId, String, String)>,
    /// Its photos.
    pub photos: Vec<PhotoCard>,
    /// What was said aloud of it.
    pub voices: Vec<VoiceRow>,
}

/// What a group is tightened to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    /// A value of a manual.
    Entered {
        /// Both ways, with tolerance and turn.
        figure: String,
        /// Manual and page.
        source: String,
    },
    /// General guidance.
    Guided {
        /// About so much.
        figure: String,
        /// What has to be said beside it.
        beside: [&'static str; 2],
    },
    /// Nothing is known.
    Unknown,
}

/// What is to be done next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Next {
    /// Which fastener in which pass.
    pub step: Step,
    /// The number that it is shown with.
    pub number: u16,
    /// The pass in words, "pass 2 of 4, 70 %".
    pub pass: String,
    /// What the fastener gets, both ways; the turn; nothing without a value.
    pub figure: String,
    /// What to set the wrench to, when an adapter stands off its drive.
    pub setting: Option<String>,
    /// What speaks against the wrench.
    pub doubts: Vec<&'static str>,
    /// What the button says, "5 is tight".
    pub done: String,
    /// What is said once it is tapped, "5 is tight in pass 2 (70 %)".
    pub said: String,
}

/// One pass.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PassRow {
    /// Its number, from 1.
    pub number: u16,
    /// What is done in it, "70 %".
    pub words: String,
    /// The torque as a wrench is set to it, with an adapter if there is one; empty for a turn.
    pub torque: String,
    /// How many are done, of how many.
    pub progress: (usize, usize),
    /// Whether it is the one that is shown.
    pub shown: bool,
}

/// One fastener in the pass that is shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FastenerRow {
    /// Which fastener in the pass that is shown.
    pub step: Step,
    /// The number that it is shown with.
    pub number: u16,
    /// How it stands.
    pub state: FastenerState,
    /// Number and state in words, "5, next".
    pub name: String,
    /// What is said once it is tapped, "5 is tight in pass 2 (70 %)".
    pub said: String,
}

/// How a fastener stands in a pass.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FastenerState {
    /// Tight.
    Tight,
    /// The one to be done next.
    Next,
    /// Passed over.
    Skipped,
    /// Not yet.
    Open,
}

impl FastenerState {
    /// Returns the state in a word or two.
    pub const fn words(self) -> &'static str {
        match self {
            FastenerState::Tight => "tight",
            FastenerState::Next => "next",
            FastenerState::Skipped => "skipped",
            FastenerState::Open => "open",
        }
    }
}

/// A wrench that was named.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrenchCard {
    /// The event, to take it back.
    pub event: EventId,
    /// Its name, with its calibration.
    pub name: String,
    /// What stands off its drive, and how to hold it then.
    pub adapter: Option<(String, &'static str)>,
}

/// Returns the page of a group, with the pass that is chosen or the first in which something is open.
pub fn group_card(book: &Book, id: GroupId, chosen: Option<u16>, now: Moment) -> Option<GroupCard> {
    let group = book.tightening.group(id).filter(|group| !group.withdrawn)?;
    let job = book.jobs.job(group.job)?;
    let (state, facts) = (group.state(), &group.facts);
    let boat = super::words::boat_name(book, job.boat);
    let shown = shown_pass(&state, chosen);
    let next = next_in(&state, shown).or(state.next());
    let last = group.counting().next_back();
    let last_words = |step| state.step_words(step, facts.numbering);
    let passes = (1..).zip(state.passes());
    let note = |note: &Note| (note.id, when(note.at, now.day()), note.text.to_string());
    Some(GroupCard {
        id,
        job: job.id,
        at: super::words::joined(&[boat, job.title.to_string()], " · "),
        name: name(facts),
        fasteners: facts.pattern.layout().words(),
        value: value(facts),
        order: [facts.pattern.basis().words(), numbering_words(facts)],
        progress: state.progress(),
        next: next.map(|step| to_do(group, &state, step, now.day())),
        remarks: [state.skipped_words(facts.numbering), state.late_words(facts.numbering)]
            .into_iter()
            .filter(|words| !words.is_empty())
            .collect(),
        passes: passes.map(|(number, pass)| pass_row(group, &state, (number, *pass), shown)).collect(),
        fastener_rows: fastener_rows(facts, &state, shown, next),
        last: last.map(|(_, tap)| (tap.id, [&last_words(tap.step), ", ", &when(tap.at, now.day())].concat())),
        last_place: group.counting().next_back().map(|(_, tap)| tap.step.place),
        wrench: group.wrench().map(wrench_card),
        record: TorqueSheet::of(group).passes.iter().map(|pass| pass.words()).collect(),
        notes: book.evidence.notes_about(About::Group(id)).map(note).collect(),
        photos: book.evidence.photos_about(About::Group(id)).map(|photo| photo_card(book, photo)).collect(),
        voices: voices_about(book, About::Group(id)),
        facts: facts.clone(),
    })
}

/// Returns the chosen pass while something is open in it, else the first such, else the last.
fn shown_pass(state: &group::Group, chosen: Option<u16>) -> u16 {
    let last = u16::try_from(state.passes().len()).unwrap_or(1);
    let open = chosen.filter(|&pass| next_in(state, pass).is_some());
    open.or(state.next().map(|step| step.pass)).unwrap_or(last)
}

/// Returns what is open first in a pass.
fn next_in(state: &group::Group, pass: u16) -> Option<Step> {
    state.open().find(|step| step.pass == pass)
}

pub(super) fn value(facts: &GroupFacts) -> Value {
    if let Some(entered) = &facts.entered {
        let source = [entered.source.manual.as_str(), ", page ", entered.source.page.as_str()].concat();
        return Value::Entered { figure: entered.target.to_string(), source };
    }
    match guided(facts) {
        Some(guidance) => Value::Guided { figure: guidance.words(), beside: [LABEL, MANUAL_FIRST] },
        None => Value::Unknown,
    }
}

const fn numbering_words(facts: &GroupFacts) -> &'static str {
    match (facts.numbering, facts.pattern.is_circle()) {
        (Numbering::ByPosition, true) => "Numbered clockwise from the top.",
        (Numbering::ByPosition, false) => "Numbered row by row from the upper left.",
        (Numbering::ByOrder, _) => "Numbered in the order of tightening.",
    }
}

/// Returns what the fastener gets in a pass.
fn torque_of(facts: &GroupFacts, pass: Pass) -> Option<Torque> {
    let target = &facts.entered.as_ref()?.target;
    pass.torque(target).map(|torque| settable(torque, facts))
}

/// Returns what to set the wrench to for a torque, if an adapter stands off its drive.
fn setting(group: &Group, torque: Torque) -> Option<Torque> {
    let lever = group.wrench()?.lever?;
    Some(settable(lever.setting(torque), &group.facts))
}

fn to_do(group: &Group, state: &group::Group, step: Step, today: Day) -> Next {
    let facts = &group.facts;
    let pass = state.pass_of(step).unwrap_or(Pass::Check);
    let number = facts.pattern.number(step.place, facts.numbering);
    let torque = torque_of(facts, pass);
    let set = torque.and_then(|torque| setting(group, torque));
    let wrench = group.wrench().map(|taken| &taken.wrench);
    let guidance = guided(facts);
    let figure = match (pass, torque) {
        (Pass::Turn(degrees), _) => ["turn ", &degrees.to_string(), "°"].concat(),
        (_, Some(torque)) => torque.both_ways(),
        (Pass::Percent(percent), None) => guidance.map(|it| it.share(percent).words()).unwrap_or_default(),
        (Pass::Check, None) => guidance.map(|it| it.words()).unwrap_or_default(),
    };
    let passes = state.passes().len().to_string();
    Next {
        step,
        number,
        pass: ["pass ", &step.pass.to_string(), " of ", &passes, ", ", &pass.words()].concat(),
        figure,
        setting: set.map(|set| set.both_ways()),
        doubts: set
            .or(torque)
            .zip(wrench)
            .map(|(set, wrench)| wrench.doubts(set, today).iter().map(|doubt| doubt.words()).collect())
            .unwrap_or_default(),
        done: number.to_string() + done_words(pass),
        said: said_words(number, step, pass),
    }
}

fn said_words(number: u16, step: Step, pass: Pass) -> String {
    let (number, of) = (number.to_string(), step.pass.to_string());
    [&number, done_words(pass), " in pass ", &of, " (", &pass.words(), ")"].concat()
}

const fn done_words(pass: Pass) -> &'static str {
    match pass {
        Pass::Percent(_) => " is tight",
        Pass::Turn(_) => " is turned",
        Pass::Check => " holds",
    }
}

fn pass_row(group: &Group, state: &group::Group, (number, pass): (u16, Pass), shown: u16) -> PassRow {
    let of = group.facts.pattern.order().len();
    let done = of - state.open().filter(|step| step.pass == number).count();
    let torque = torque_of(&group.facts, pass).map(|torque| setting(group, torque).unwrap_or(torque));
    PassRow {
        number,
        words: pass.words(),
        torque: torque.map(|torque| torque.to_string()).unwrap_or_default(),
        progress: (done, of),
        shown: number == shown,
    }
}

fn fastener_rows(facts: &GroupFacts, state: &group::Group, shown: u16, next: Option<Step>) -> Vec<FastenerRow> {
    let skipped = state.skipped();
    let row = |place: u16| {
        let step = Step { pass: shown, place: Place(place) };
        let number = facts.pattern.number(step.place, facts.numbering);
        let fastener_state = match step {
            _ if state.is_done(step) => FastenerState::Tight,
            _ if next == Some(step) => FastenerState::Next,
            _ if skipped.contains(&step) => FastenerState::Skipped,
            _ => FastenerState::Open,
        };
        let pass = state.pass_of(step).unwrap_or(Pass::Check);
        FastenerRow {
            step,
            number,
            state: fastener_state,
            name: [&number.to_string(), ", ", fastener_state.words()].concat(),
            said: said_words(number, step, pass),
        }
    };
    (1..=facts.pattern.count()).map(row).collect()
}

fn wrench_card(taken: &Taken) -> WrenchCard {
    let adapter = taken.lever.map(|lever| (adapter_words(lever), HOLD_AT_THE_GRIP));
    WrenchCard { event: taken.id, name: wrench_words(taken), adapter }
}

pub(super) fn adapter_words(lever: Lever) -> String {
    let degrees = lever.angle().to_string();
    ["adapter of ", &lever.adapter().to_string(), " at ", &degrees, "° on ", &lever.wrench().to_string()].concat()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{BoatFacts, Event};
    use crate::exchange::line;
    use crate::id::{BoatId, DeviceId};
    use crate::log::Tip;
    use crate::text::Label;
    use crate::tightening::extent::Extent;
    use crate::tightening::wrench::Wrench;
    use crate::view::{GroupText, group_rows, known_manuals, known_wrenches, needed_groups};

    /// A job with one group, told step by step.
    struct Told {
        book: Book,
        tip: Tip,
        now: Moment,
        job: JobId,
        group: GroupId,
    }

    impl Told {
        fn new(text: &GroupText) -> Self {
            let tip = Tip::fresh(DeviceId::new([1; 8]));
            let now = Moment::parse("2026-05-04T10:00:00+01:00").unwrap();
            let mut told = Self { book: Book::default(), tip, now, job: JobId(tip.next()), group: GroupId(tip.next()) };
            let boat = told.say(Event::BoatAdded(BoatFacts { name: Label::new("Heron"), ..BoatFacts::default() }));
            let title = Label::new("Head gasket");
            told.job = JobId(told.say(Event::JobOpened { boat: BoatId(boat), engine: None, title }));
            let facts = Box::new(text.read(None).unwrap());
            told.group = GroupId(told.say(Event::GroupAdded { job: told.job, facts }));
            told
        }

        fn say(&mut self, event: Event) -> EventId {
            self.now = self.now.moved(1);
            let (_, sealed) = line::seal(self.tip.record(self.now, event));
            self.tip.advance(&sealed);
            self.book.apply(&sealed.record);
            assert_eq!(self.book.faults, []);
            sealed.record.id
        }

        fn tap(&mut self, pass: u16, places: &[u16]) {
            for &place in places {
                self.say(Event::FastenerTightened { group: self.group, step: Step { pass, place: Place(place) } });
            }
        }

        fn wrench(&mut self, largest: Option<&str>, adapter: Option<&str>) {
            let unit = crate::tightening::torque::TorqueUnit::NewtonMetre;
            let largest = largest.map(|text| Torque::parse(text, unit).unwrap());
            let wrench = Wrench { name: Label::new("the long one"), largest, calibrated: Day::parse("2026-02-03") };
            let extent = |text| Extent::parse(text).unwrap();
            let lever = adapter.map(|adapter| Lever::new(extent("400 mm"), extent(adapter), 0).unwrap());
            self.say(Event::WrenchTaken { group: self.group, wrench, lever });
        }

        fn card(&self, chosen: Option<u16>) -> GroupCard {
            group_card(&self.book, self.group, chosen, self.now).unwrap()
        }

        fn states(&self, chosen: Option<u16>) -> Vec<&'static str> {
            self.card(chosen).fastener_rows.iter().map(|row| row.state.words()).collect()
        }
    }

    fn head(value: &str) -> GroupText {
        let text = |text: &str| text.to_owned();
        let (manual, page) = (text("Service manual 3"), text("4-12"));
        GroupText {
            what: text("Cylinder head"),
            side: text("port"),
            value: text(value),
            manual,
            page,
            ..<_>::default()
        }
    }

    #[test]
    fn the_next_fastener_stands_with_its_torque_both_ways() {
        let mut told = Told::new(&head("45 Nm ± 5"));
        let card = told.card(None);
        assert_eq!((card.at.as_str(), card.name.as_str()), ("Heron · Head gasket", "Cylinder head, port"));
        let next = card.next.unwrap();
        assert_eq!((next.number, next.pass.as_str()), (1, "pass 1 of 4, 30 %"));
        assert_eq!((next.figure.as_str(), next.done.as_str()), ("13.5 N·m (119 lbf·in)", "1 is tight"));
        assert_eq!((next.setting, next.doubts.as_slice()), (None, &[][..]));
        told.tap(1, &[1, 3, 2, 4]);
        told.tap(2, &[1]);
        let next = told.card(None).next.unwrap();
        assert_eq!(
            (next.number, next.pass.as_str(), next.figure.as_str()),
            (3, "pass 2 of 4, 70 %", "31.5 N·m (23.23 lbf·ft)")
        );
        assert_eq!(told.states(None), ["tight", "open", "next", "open"]);
    }

    #[test]
    fn a_skipped_fastener_comes_first_and_another_pass_can_be_shown() {
        let mut told = Told::new(&head("45 Nm"));
        told.tap(1, &[1, 3, 4]);
        told.tap(2, &[1]);
        assert_eq!(told.states(None), ["tight", "next", "tight", "tight"]);
        assert_eq!(told.card(None).remarks, ["skipped: 2 in pass 1 (30 %)"]);
        assert_eq!(told.states(Some(2)), ["tight", "open", "next", "open"]);
        assert_eq!(told.card(Some(2)).next.map(|next| next.step), Some(Step { pass: 2, place: Place(3) }));
        told.tap(2, &[2, 3, 4]);
        // A chosen pass in which nothing is open gives way.
        assert_eq!(told.card(Some(2)).next.map(|next| next.step.pass), Some(1));
        assert_eq!(group_rows(&told.book, told.job)[0].skipped, "skipped: 2 in pass 1 (30 %)");
    }

    #[test]
    fn the_last_pass_checks_or_turns_and_then_all_is_tight() {
        let mut told = Told::new(&GroupText { shares: "100".to_owned(), ..head("45 Nm") });
        told.tap(1, &[1, 3, 2, 4]);
        let card = told.card(None);
        assert_eq!(card.next.as_ref().map(|next| next.done.as_str()), Some("1 holds"));
        assert_eq!(card.fastener_rows[0].said, "1 holds in pass 2 (check)");
        told.tap(2, &[1, 2, 3, 4]);
        let card = told.card(None);
        assert_eq!((card.next, card.progress), (None, (8, 8)));
        assert!(
            group_rows(&told.book, told.job)[0].complete
                && card.fastener_rows.iter().all(|it| it.name.ends_with("tight"))
        );
        assert!(card.record[0].starts_with("pass 1, 100 %, 45 N·m: 4 of 4, Monday 4 May 10:0"), "{:?}", card.record);
        let mut turned = Told::new(&GroupText { shares: "100".to_owned(), ..head("45 Nm + 90°") });
        turned.tap(1, &[1, 3, 2, 4]);
        let next = turned.card(None).next.unwrap();
        assert_eq!((next.figure.as_str(), next.done.as_str()), ("turn 90°", "1 is turned"));
    }

    #[test]
    fn an_adapter_gives_a_setting_and_the_wrench_is_doubted_at_its_ends() {
        let mut told = Told::new(&head("45 Nm"));
        told.wrench(Some("100 Nm"), Some("100 mm"));
        let next = told.card(None).next.unwrap();
        // 13.5 × 400 / 500 is 10.8, below a fifth of 100.
        assert_eq!(next.setting.as_deref(), Some("10.8 N·m (95.6 lbf·in)"));
        assert!(next.doubts[0].starts_with("Below a fifth"));
        let card = told.card(None);
        let wrench = card.wrench.unwrap();
        assert_eq!(wrench.name, "the long one (calibrated 2026-02-03)");
        assert_eq!(wrench.adapter.map(|it| it.0).as_deref(), Some("adapter of 100 mm at 0° on 400 mm"));
        assert_eq!(card.passes[0].torque, "10.8 N·m");
        told.tap(1, &[1]);
        assert!(told.card(None).record[0].ends_with("with the long one (calibrated 2026-02-03)"));
        told.wrench(None, None);
        assert_eq!(known_wrenches(&told.book, told.group).len(), 1);
        assert_eq!(known_wrenches(&told.book, told.group)[0].lever, None);
        assert_eq!(told.card(None).next.unwrap().setting, None);
    }

    #[test]
    fn a_manual_that_was_named_is_offered_again() {
        let mut told = Told::new(&head("45 Nm"));
        for text in [GroupText { manual: "Manual 7".to_owned(), ..head("20 Nm") }, head("30 Nm"), head("")] {
            told.say(Event::GroupAdded { job: told.job, facts: Box::new(text.read(None).unwrap()) });
        }
        assert_eq!(known_manuals(&told.book), ["Service manual 3", "Manual 7"]);
    }

    #[test]
    fn without_a_value_there_is_guidance_only_and_it_says_so() {
        let text = GroupText {
            thread: "M8".to_owned(),
            strength: crate::tightening::guidance::Strength::parse("8.8"),
            surface: Some(crate::tightening::guidance::Surface::Plain),
            ..head("")
        };
        let card = Told::new(&text).card(None);
        let Value::Guided { figure, beside } = &card.value else { panic!("{:?}", card.value) };
        assert_eq!((figure.as_str(), beside[1]), ("about 25 N·m (18 lbf·ft)", MANUAL_FIRST));
        assert!(card.next.unwrap().figure.starts_with("about 7"));
        let unknown = Told::new(&head("")).card(None);
        assert_eq!((unknown.value, unknown.next.unwrap().figure.as_str()), (Value::Unknown, ""));
    }

    #[test]
    fn what_is_needed_before_the_engine_runs_stands_in_its_gate_until_all_is_tight() {
        use crate::reassembly::gate::{Gate, Need};
        let text = GroupText { needed: Some(Need::CoolingWater), shares: "100".to_owned(), ..head("45") };
        let mut told = Told::new(&text);
        let gate = |told: &Told| Gate::of(&[], &needed_groups(&told.book, told.job)).words();
        assert_eq!(gate(&told), "Do not run: tightening of Cylinder head, port");
        told.tap(1, &[1, 3, 2, 4]);
        told.tap(2, &[1, 2, 3, 4]);
        assert!(gate(&told).starts_with("Nothing that was marked is missing."));
    }
}
