//! The off-list of a job: what can go on now, what has to wait and for what, what is back on.
//!
//! Rule: the list names what stands in each part, and rows are made of those only that are
//! looked at, so that a teardown of thousands is drawn as quickly as one of ten. What waits
//! for a part that has to come is not told as next. A caution comes up where an item's words
//! name its danger, and before the engine runs.

use crate::book::Book;
use crate::book::procedures::Lapse;
use crate::book::teardown::{Item, Order, Saying};
use crate::event::{About, Check, Details, ItemFacts};
use crate::id::{EventId, ItemId, JobId};
use crate::quantity::Count;
use crate::reassembly::carry::{Awaited, half_together};
use crate::reassembly::caution::{Caution, brought_up_by};
use crate::reassembly::gate::{Gate, NeededStep};
use crate::reassembly::tally::{How, Instead};
use crate::reassembly::ties::{Freed, Tie, TieKind};
use crate::reassembly::{Removed, row};
use crate::tightening::flats::proposal;
use crate::tightening::thread::Thread;

use super::job::photos_about;
use super::procedure::{forgotten_before, forgotten_words, is_of};
use super::{PhotoCard, VoiceRow, needed_groups};

/// How many waits of an item are told.
const WAITS_TOLD: usize = 3;
/// How many names stand in one sentence.
const NAMES_TOLD: usize = 4;
/// How many things that are wrong are told, each in a sentence.
const WRONG_TOLD: usize = 12;

/// The off-list of a job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OffList {
    /// Whether something came off last, so that more may: nothing was put back since.
    pub apart: bool,
    /// What can go on now, what came off last first.
    pub next: Vec<ItemId>,
    /// What is off and has to wait.
    pub waiting: Vec<ItemId>,
    /// What is settled, what came off last first.
    pub back: Vec<ItemId>,
    /// What is on and nobody has made sure of, all of it.
    pub to_check: Vec<ToCheck>,
    /// What does not add up or cannot hold, in sentences.
    pub wrong: Vec<String>,
}

/// One row of the off-list.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct ItemRow {
    /// The item.
    pub id: ItemId,
    /// The job.
    pub job: JobId,
    /// What it is; never empty.
    pub name: String,
    /// What is known of it.
    pub facts: ItemFacts,
    /// What more is known of it, in words.
    pub known: Vec<String>,
    /// Where it was forgotten before, on a job by the same procedure.
    pub forgotten: Vec<String>,
    /// How many are still off.
    pub off: Count,
    /// How many are back on, new ones not counted.
    pub back: Count,
    /// Whether the counts add up, when they were begun: "one missing".
    pub balance: Option<String>,
    /// What was done instead of putting them back: "1 left off: no spare".
    pub instead: Vec<String>,
    /// The last statement of what became of some, to take back.
    pub last_return: Option<EventId>,
    /// What nobody has made sure of although it is on.
    pub not_sure: Vec<CheckRow>,
    /// Its photos.
    pub photos: Vec<PhotoCard>,
    /// What was said aloud of it.
    pub voices: Vec<VoiceRow>,
}

/// What an item waits for.
///
/// It changes with each thing that goes back on, the rest of a row seldom: told apart, a row
/// with its photos stays while what it waits for goes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Waits {
    /// In words; empty when it can go on.
    pub words: Vec<String>,
    /// Whether some of it are on although it has to wait.
    pub too_soon: bool,
}

/// An item that is on and something of it to make sure of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToCheck {
    /// The item.
    pub item: ItemId,
    /// What it is.
    pub name: String,
    /// What to make sure of.
    pub row: CheckRow,
}

/// Something to make sure of.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct CheckRow {
    /// What.
    pub check: Check,
    /// In words: "lip down", "new O-ring".
    pub words: String,
}

/// A statement about the order, as a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TieRow {
    /// The event, to take back.
    pub event: EventId,
    /// In words: "hose is behind cooler".
    pub words: String,
}

/// The run gate of a job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RunGate {
    /// What is missing: "Do not run: cooling water hose, oil"; none while nothing is marked.
    pub words: Option<String>,
    /// Whether something is missing.
    pub shut: bool,
    /// Each thing that is missing, and why.
    pub missing: Vec<String>,
}

/// Returns the off-list of a job.
pub fn off_list(book: &Book, job: JobId) -> OffList {
    let Some(order) = book.teardown.order(job) else { return OffList { apart: true, ..OffList::default() } };
    let sequence = &order.sequence;
    let (ready, held): (Vec<_>, Vec<_>) = sequence.next().partition(|it| it.awaits.is_none());
    let held = held.into_iter().chain(sequence.waiting());
    let unsure = sequence.items().filter(|it| !it.is_sure);
    let check = |item: &Item| {
        let (item, name, rows) = (item.id, item_name(&item.facts).to_owned(), not_sure(item));
        rows.into_iter().map(move |row| ToCheck { item, name: name.clone(), row })
    };
    OffList {
        apart: book.teardown.came_off_last(job),
        next: ready.iter().map(|it| it.id).collect(),
        waiting: held.map(|it| it.id).collect(),
        back: sequence.items().rev().filter(|it| it.tally.is_settled()).map(|it| it.id).collect(),
        to_check: unsure.filter_map(|it| book.teardown.item(it.id)).flat_map(check).collect(),
        wrong: wrong(book, job, order),
    }
}

/// Returns the rows of some items of one job, in their order.
pub fn item_rows(book: &Book, ids: &[ItemId]) -> Vec<ItemRow> {
    let job = ids.first().and_then(|&id| book.teardown.item(id)).map(|item| item.job);
    let Some(job) = job else { return Vec::new() };
    let seen = Seen { book, lapses: forgotten_before(book, job) };
    ids.iter().filter_map(|&id| seen.row(id)).collect()
}

/// Returns what an item waits for.
pub fn waits(book: &Book, id: ItemId) -> Waits {
    let item = book.teardown.item(id);
    let Some((item, order)) = item.and_then(|item| Some((item, book.teardown.order(item.job)?))) else {
        return Waits::default();
    };
    let tally = item.tally();
    Waits {
        words: if tally.is_settled() { Vec::new() } else { waits_words(order, item) },
        too_soon: tally.has_some_on() && order.sequence.how_many_waits(id) > 0,
    }
}

/// What a row is made of.
struct Seen<'a> {
    book: &'a Book,
    lapses: Vec<&'a Lapse>,
}

impl Seen<'_> {
    fn row(&self, id: ItemId) -> Option<ItemRow> {
        let item = self.book.teardown.item(id)?;
        let tally = item.tally();
        Some(ItemRow {
            id,
            job: item.job,
            name: item_name(&item.facts).to_owned(),
            facts: item.facts.clone(),
            known: known(&item.facts.details),
            forgotten: self.forgotten(item),
            off: item.still_off(),
            back: item.back(),
            balance: tally.balance().words().filter(|_| item.settled() > Count(0)),
            instead: item.instead().map(instead_words).collect(),
            last_return: item.returns.iter().rev().find(|it| !it.withdrawn).map(|it| it.id),
            not_sure: not_sure(item),
            photos: photos_about(self.book, About::Item(id)),
            voices: super::voices_about(self.book, About::Item(id)),
        })
    }

    /// Returns where a thing of this name was forgotten before, each boat once.
    fn forgotten(&self, item: &Item) -> Vec<String> {
        let mut words: Vec<String> = Vec::new();
        for lapse in self.lapses.iter().filter(|it| is_of(it, item.facts.what.as_str())) {
            let told = forgotten_words(self.book, lapse);
            if !words.contains(&told) {
                words.push(told);
            }
        }
        words
    }
}

/// Returns what an item waits for, first what has to come, in at most a few lines.
fn waits_words(order: &Order, item: &Item) -> Vec<String> {
    let awaits = &item.facts.details.awaits;
    let mut words = Vec::new();
    if !awaits.is_empty() {
        let holds_up = order.sequence.held_up_by(item.id);
        let held = if holds_up > 0 { ["; holds up ", &holds_up.to_string()].concat() } else { String::new() };
        words.push(["waits for a part: ", awaits.as_str(), &held].concat());
    }
    words.extend(order.sequence.waits(item.id).take(WAITS_TOLD).map(|it| it.to_string()));
    let more = order.sequence.how_many_waits(item.id).saturating_sub(WAITS_TOLD);
    if more > 0 {
        words.push(["and ", &more.to_string(), " more"].concat());
    }
    words
}

/// Returns what an item is, or that nobody wrote it.
pub fn item_name(facts: &ItemFacts) -> &str {
    facts.what.or("something without a name")
}

fn not_sure(item: &Item) -> Vec<CheckRow> {
    let row = |check| CheckRow { check, words: check_words(check, &item.facts.details) };
    item.not_sure().into_iter().map(row).collect()
}

/// Returns what has to be made sure of, in words.
pub fn check_words(check: Check, details: &Details) -> String {
    match check {
        Check::WayUp => details.way_up.to_string(),
        Check::New(consumable) => ["new ", consumable.words()].concat(),
    }
}

pub(crate) fn instead_words(instead: &Instead) -> String {
    let how = match instead.how {
        How::Replaced => " replaced: ",
        How::LeftOff => " left off: ",
    };
    [&instead.count.to_string(), how, instead.reason.as_str()].concat()
}

fn known(details: &Details) -> Vec<String> {
    let mut words = Vec::new();
    words.extend((!details.way_up.is_empty()).then(|| ["this way up: ", details.way_up.as_str()].concat()));
    let renew: Vec<&str> = details.renew.all().iter().map(|it| it.words()).collect();
    words.extend((!renew.is_empty()).then(|| ["has to be new: ", &renew.join(", ")].concat()));
    words.extend(details.end.map(|end| end.words().to_owned()));
    words.extend(details.tied_back.then(|| "tied back in place".to_owned()));
    words.extend(details.needed.map(|need| ["needed before running: ", need.words()].concat()));
    words
}

/// Returns what does not add up, went on too soon, is on unsure, or cannot hold.
fn wrong(book: &Book, job: JobId, order: &Order) -> Vec<String> {
    let mut words = Vec::new();
    let sequence = &order.sequence;
    for item in sequence.items().filter(|it| it.tally.has_some_on() || !it.tally.instead().is_empty()) {
        let sentence = |balance: String| {
            // A question ends itself.
            let end = if balance.ends_with('?') { "" } else { "." };
            [item.name(), ": ", &balance, end].concat()
        };
        words.extend(item.tally.balance().words().map(sentence));
    }
    for item in sequence.too_soon() {
        let first = sequence.waits(item.id).next().map(|it| it.to_string()).unwrap_or_default();
        words.push([item.name(), " is on too soon: ", &first, "."].concat());
    }
    if order.left_out > 0 {
        let standing = book.teardown.said_of_order(job).iter().filter(|it| !it.withdrawn);
        words.extend(
            standing.filter_map(|it| order.why_not(it.saying)).map(|why| ["Not taken: ", &why.to_string()].concat()),
        );
    }
    if words.len() > WRONG_TOLD {
        let more = words.len() - WRONG_TOLD;
        words.truncate(WRONG_TOLD);
        words.push(["And ", &more.to_string(), " more."].concat());
    }
    words
}

/// Returns what was said about the order of an item and others, to take back.
pub fn ties_of(book: &Book, item: ItemId) -> Vec<TieRow> {
    let Some(job) = book.teardown.item(item).map(|item| item.job) else { return Vec::new() };
    let said = book.teardown.said_of_order(job).iter().filter(|it| !it.withdrawn && it.saying.both().contains(&item));
    said.map(|it| TieRow { event: it.id, words: saying_words(book, it.saying) }).collect()
}

fn saying_words(book: &Book, saying: Saying) -> String {
    let name = |id: ItemId| book.teardown.item(id).map(|item| item_name(&item.facts)).unwrap_or_default();
    match saying {
        Saying::Tied(Tie { item, kind: TieKind::Behind, other }) => [name(item), " is behind ", name(other)].concat(),
        Saying::Tied(Tie { item, kind: TieKind::HeldBy, other }) => [name(item), " is held by ", name(other)].concat(),
        Saying::Freed(Freed(one, other)) => [name(one), " and ", name(other), " do not wait for each other"].concat(),
    }
}

/// Returns the run gate of a job: what is marked as needed and not there.
pub fn run_gate(book: &Book, job: JobId) -> RunGate {
    let steps = needed_steps(book, job);
    let none = Order::default();
    let gate = Gate::of(book.teardown.order(job).unwrap_or(&none).sequence.items(), &steps);
    RunGate {
        words: (gate.marked > 0).then(|| gate.words()),
        shut: !gate.is_open(),
        missing: gate.missing.iter().map(|it| [&it.name, ": ", &it.why].concat()).collect(),
    }
}

/// Returns how a job stands that is half together, in a few sentences; none when all is on
/// and nobody is unsure of anything.
pub fn how_it_stands(book: &Book, job: JobId) -> Vec<String> {
    let Some(order) = book.teardown.order(job) else { return Vec::new() };
    let stands = half_together(&order.sequence, &needed_steps(book, job));
    let name = |id: &ItemId| order.sequence.item(*id).map(Removed::name).unwrap_or_default();
    let lies = stands.next.first().and_then(|&id| order.sequence.item(id)).map(|it| it.stowed.as_str());
    let lies = lies.filter(|lies| !lies.is_empty()).map(|lies| [" (lies: ", lies, ")"].concat()).unwrap_or_default();
    let next = row(stands.next.iter().map(name), NAMES_TOLD);
    let uneven = stands.uneven.iter().filter_map(|it| Some([&it.name, " ", &it.balance.words()?].concat()));
    let part = |it: &Awaited| [&it.name, " (", it.part.as_str(), ")"].concat();
    let not_sure = book.teardown.not_sure(job).map(|item| item_name(&item.facts).to_owned());
    let too_soon = stands.too_soon.iter().map(|it| it.name.clone());
    let rest = [
        ("Does not add up: ", uneven.collect()),
        ("On too soon: ", too_soon.collect()),
        ("Not made sure of: ", not_sure.collect()),
        ("Waits for parts: ", stands.awaited.iter().map(part).collect()),
    ];
    let mut words = Vec::new();
    words.extend((!next.is_empty()).then(|| ["Next: ", &next, &lies].concat()));
    for (head, names) in rest {
        let names: Vec<String> = names;
        words.extend((!names.is_empty()).then(|| [head, &row(names.iter().map(String::as_str), NAMES_TOLD)].concat()));
    }
    words.extend((!stands.gate.is_open()).then(|| stands.gate.words()));
    words
}

/// Returns the steps and the groups to tighten that are needed before the engine runs.
fn needed_steps(book: &Book, job: JobId) -> Vec<NeededStep> {
    let mut needed = book.steps.needed_of(job);
    needed.extend(needed_groups(book, job));
    needed
}

/// Returns the whole texts of the cautions that words bring up.
pub fn cautions(words: &str) -> Vec<String> {
    brought_up_by(words).into_iter().map(Caution::told).collect()
}

/// Returns the whole texts of the cautions that come up before an engine runs.
pub fn cautions_before_running() -> Vec<String> {
    Caution::BEFORE_RUNNING.into_iter().map(Caution::told).collect()
}

/// Returns which wrench to try on a size that is half typed; nothing while it is no listed thread.
pub fn wrench_for(size: &str) -> Option<String> {
    Some(proposal(thread_of(size)?)).filter(|words| !words.is_empty())
}

/// Returns the thread that a size begins with: "M8 x 40" is a thread and a length.
pub(super) fn thread_of(size: &str) -> Option<Thread> {
    let size = size.trim();
    let head = size.split([' ', '×', ',']).next().unwrap_or_default();
    Thread::parse(size).or_else(|_| Thread::parse(head)).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::Book;
    use crate::event::{BoatFacts, Consumable, Event, Renew};
    use crate::exchange::line;
    use crate::id::{BoatId, DeviceId, StepId};
    use crate::log::Tip;
    use crate::moment::Moment;
    use crate::reassembly::gate::Need;
    use crate::text::Label;

    fn id(seq: u64) -> EventId {
        EventId { device: DeviceId::new([1; 8]), seq }
    }

    const JOB: JobId = JobId(EventId { device: DeviceId::new([1; 8]), seq: 2 });

    /// Returns the book of a job on which this happened, a minute after each other.
    fn told(events: Vec<Event>) -> Book {
        let mut tip = Tip::fresh(DeviceId::new([1; 8]));
        let mut book = Book::default();
        let boat = Event::BoatAdded(BoatFacts { name: Label::new("Heron"), ..BoatFacts::default() });
        let job = Event::JobOpened { boat: BoatId(id(1)), engine: None, title: Label::new("Cooler") };
        for (minute, event) in (0..).zip([boat, job].into_iter().chain(events)) {
            let at = Moment::new(1_777_000_000_000 + minute * 60_000, 60).unwrap();
            let (_, sealed) = line::seal(tip.record(at, event));
            tip.advance(&sealed);
            book.apply(&sealed.record);
        }
        assert_eq!(book.faults, []);
        book
    }

    fn off(what: &str, side: &str, count: u32, details: Details) -> Event {
        let [what, side] = [what, side].map(Label::new);
        Event::CameOff {
            job: JOB,
            item: ItemFacts { what, side, count: Count(count), details, ..ItemFacts::default() },
        }
    }

    fn plain(what: &str, side: &str, count: u32) -> Event {
        off(what, side, count, Details::default())
    }

    fn on(seq: u64, count: u32) -> Event {
        Event::BackOn { item: ItemId(id(seq)), count: Count(count) }
    }

    fn names(book: &Book, ids: &[ItemId]) -> Vec<String> {
        item_rows(book, ids).into_iter().map(|row| row.name).collect()
    }

    #[test]
    fn a_forgotten_hose_is_told_three_times() {
        let needed = Details { needed: Some(Need::CoolingWater), ..Details::default() };
        let book = told(vec![plain("cooler", "port", 1), off("cooling water hose", "port", 1, needed), on(3, 1)]);
        let list = off_list(&book, JOB);
        assert_eq!(list.wrong, ["cooler is on too soon: cooling water hose came off after it (port)."]);
        assert_eq!((names(&book, &list.next), list.apart), (vec!["cooling water hose".to_owned()], false));
        assert!(waits(&book, list.back[0]).too_soon);
        let gate = run_gate(&book, JOB);
        assert_eq!((gate.words.as_deref(), gate.shut), (Some("Do not run: cooling water hose"), true));
        assert_eq!(gate.missing, ["cooling water hose: one missing"]);
    }

    #[test]
    fn what_was_said_last_tells_whether_things_come_off_or_go_back() {
        let gone = |event| Event::Withdrawn { event: id(event) };
        let mut events = vec![plain("cooler", "port", 1), plain("hose", "port", 1)];
        for (event, apart) in
            [(on(4, 1), false), (gone(5), true), (gone(6), false), (plain("clip", "top", 1), true), (gone(8), false)]
                // What is back on of a thing that never came off says nothing either.
                .into_iter()
                .chain([(gone(4), true)])
        {
            events.push(event);
            assert_eq!(off_list(&told(events.clone()), JOB).apart, apart, "{:?}", events.last());
        }
    }

    #[test]
    fn a_nut_left_over_is_one_missing() {
        let book = told(vec![plain("nut", "front", 4), on(3, 3)]);
        let list = off_list(&book, JOB);
        assert_eq!(list.wrong, ["nut: one missing."]);
        assert_eq!(item_rows(&book, &list.next)[0].balance.as_deref(), Some("one missing"));
    }

    #[test]
    fn what_waits_says_for_what_and_a_part_that_has_to_come_is_not_next() {
        let awaits = Details { awaits: Label::new("seal kit"), ..Details::default() };
        let events = vec![plain("cooler", "port", 1), plain("hose", "port", 1), off("seal", "port", 1, awaits)];
        let book = told(events);
        let list = off_list(&book, JOB);
        assert_eq!((list.next.len(), names(&book, &list.waiting).join(", ")), (0, "seal, hose, cooler".to_owned()));
        assert_eq!(waits(&book, list.waiting[0]).words, ["waits for a part: seal kit; holds up 2"]);
        assert_eq!(
            waits(&book, list.waiting[2]).words,
            ["seal came off after it (port)", "hose came off after it (port)"]
        );
    }

    #[test]
    fn a_one_way_part_asks_to_be_made_sure_of() {
        let renew = Renew::new(vec![Consumable::ORing]);
        let details = Details { way_up: Label::new("lip down"), renew, ..Details::default() };
        let sure = Event::MadeSure { item: ItemId(id(3)), check: Check::New(Consumable::ORing) };
        let book = told(vec![off("seal", "", 1, details), on(3, 1), sure]);
        let row = item_rows(&book, &[ItemId(id(3))]).remove(0);
        assert_eq!(row.not_sure, [CheckRow { check: Check::WayUp, words: "lip down".to_owned() }]);
        assert_eq!(row.known, ["this way up: lip down", "has to be new: O-ring"]);
    }

    #[test]
    fn what_a_row_waits_for_is_cut_and_says_how_much_more_there_is() {
        let book = told((0..7).map(|_| plain("bolt", "port", 1)).collect());
        let list = off_list(&book, JOB);
        assert_eq!((list.next.len(), list.waiting.len()), (1, 6));
        let words = |nth: usize| waits(&book, list.waiting[nth]).words;
        assert_eq!((words(2).len(), words(5)[3].as_str()), (3, "and 3 more"));
    }

    #[test]
    fn of_much_that_is_wrong_the_first_is_told_and_how_much_more() {
        let off = (0..20).map(|_| plain("bolt", "port", 2)).collect::<Vec<_>>();
        let book = told(off.into_iter().chain((3..23).map(|seq| on(seq, 1))).collect());
        let wrong = off_list(&book, JOB).wrong;
        assert_eq!((wrong.len(), wrong[12].as_str()), (13, "And 27 more."));
    }

    #[test]
    fn a_job_half_together_says_how_it_stands() {
        let awaits = Details { awaits: Label::new("seal kit"), ..Details::default() };
        let way_up = Details { way_up: Label::new("arrow to bow"), needed: Some(Need::Guards), ..Details::default() };
        let events = vec![
            plain("bolt", "port", 12),
            off("seal", "under", 1, awaits),
            off("guard", "front", 1, way_up),
            on(3, 11),
            on(5, 1),
        ];
        let words = [
            "Next: bolt",
            "Does not add up: bolt one missing",
            "Not made sure of: guard",
            "Waits for parts: seal (seal kit)",
        ];
        assert_eq!(how_it_stands(&told(events.clone()), JOB), words);
        assert_eq!(how_it_stands(&told(events[..3].to_vec()), JOB).pop().as_deref(), Some("Do not run: guard"));
        assert_eq!(how_it_stands(&told(Vec::new()), JOB), [""; 0]);
    }

    #[test]
    fn ties_are_told_in_words() {
        let tie = Tie { item: ItemId(id(3)), kind: TieKind::HeldBy, other: ItemId(id(4)) };
        let book = told(vec![plain("cover", "port", 1), plain("bolt", "front", 1), Event::Tied(tie)]);
        assert_eq!(ties_of(&book, ItemId(id(4))), [TieRow { event: id(5), words: "cover is held by bolt".to_owned() }]);
        assert_eq!(waits(&book, off_list(&book, JOB).waiting[0]).words, ["it holds cover"]);
    }

    #[test]
    fn a_step_shuts_the_gate_until_it_is_done() {
        let step = StepId(id(3));
        let added = Event::StepAdded { job: JOB, text: Label::new("Fill gearcase oil") };
        let events = vec![added, Event::StepNeeded { step, need: Some(Need::Oil) }];
        assert_eq!(run_gate(&told(events.clone()), JOB).words.as_deref(), Some("Do not run: Fill gearcase oil"));
        let done = [events, vec![Event::StepTicked { step, done: true }]].concat();
        assert!(!run_gate(&told(done), JOB).shut);
        assert_eq!(run_gate(&told(Vec::new()), JOB), RunGate::default());
    }

    #[test]
    fn a_thread_proposes_its_wrench_while_it_is_typed() {
        // ISO 272 and ISO 4762 as the table of `tightening::flats` has them.
        let words = wrench_for("M8 x 40").unwrap();
        assert!(words.contains("13 mm") && words.contains("12 mm") && words.contains("6 mm"), "{words}");
        assert!(wrench_for("3/8-16").is_some());
        for nothing in ["", "M", "tape A", "32 mm bore"] {
            assert_eq!(wrench_for(nothing), None, "{nothing}");
        }
    }
}
