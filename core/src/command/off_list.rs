//! What may be asked of the off-list and of the order in which it goes back on.
//!
//! Rule: more than came off is refused with the question where the rest is from; what
//! goes round in a circle is refused with the circle; what is said already is refused, so
//! that taking it back once is enough.

use super::{Refusal, counted, known};
use crate::book::Book;
use crate::book::teardown::{Item, Order, Saying};
use crate::event::Check;
use crate::id::ItemId;
use crate::quantity::Count;
use crate::reassembly::tally::Balance;
use crate::reassembly::ties::{Freed, Tie};

/// Lets pass a count that is not more than is still off.
pub(super) fn fits(book: &Book, item: ItemId, count: Count) -> Result<(), Refusal> {
    let item = item_there(book, item)?;
    counted(count)?;
    let (off, settled) = (item.facts.count, item.settled());
    if count > item.still_off() { Err(Refusal::TooManyBack { off, settled, asked: count }) } else { Ok(()) }
}

fn item_there(book: &Book, item: ItemId) -> Result<&Item, Refusal> {
    known(book.teardown.item(item).filter(|item| !item.withdrawn), "item")
}

/// Returns by how many more than came off there would be: "one too many, from where?".
pub(super) fn too_many(off: Count, settled: Count, asked: Count) -> String {
    let told = u64::from(settled.0) + u64::from(asked.0);
    Balance::TooMany(told.saturating_sub(off.0.into())).words().unwrap_or_default()
}

/// Lets pass a tie that closes no circle and is not said yet.
pub(super) fn tied(book: &Book, tie: Tie) -> Result<Tie, Refusal> {
    let order = order_of(book, tie.item)?;
    order.sequence.may_tie(tie).map_err(Refusal::Order)?;
    is_new(book, tie.item, Saying::Tied(tie))?;
    Ok(tie)
}

/// Lets pass a freeing of two items of one side that is not said yet.
pub(super) fn freed(book: &Book, two: Freed) -> Result<Freed, Refusal> {
    let order = order_of(book, two.0)?;
    order.sequence.may_free(two).map_err(Refusal::Order)?;
    is_new(book, two.0, Saying::Freed(two))?;
    is_new(book, two.0, Saying::Freed(Freed(two.1, two.0)))?;
    Ok(two)
}

fn order_of(book: &Book, item: ItemId) -> Result<&Order, Refusal> {
    known(book.teardown.order(item_there(book, item)?.job), "item")
}

/// Refuses what was said of the order already, so that taking it back once is enough.
fn is_new(book: &Book, item: ItemId, saying: Saying) -> Result<(), Refusal> {
    let said = book.teardown.said_of_order(item_there(book, item)?.job);
    if said.iter().any(|it| !it.withdrawn && it.saying == saying) { Err(Refusal::SaidAlready) } else { Ok(()) }
}

/// Lets pass that an item is made sure of when something of it is on.
pub(super) fn make_sure(book: &Book, item: ItemId, check: Check) -> Result<(), Refusal> {
    let item = item_there(book, item)?;
    known(item.facts.details.checks().find(|&it| it == check), "check")?;
    match (item.not_sure().contains(&check), item.tally().has_some_on()) {
        (true, _) => Ok(()),
        (false, true) => Err(Refusal::SaidAlready),
        (false, false) => Err(Refusal::NotOnYet),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::command::Command;
    use crate::command::tests::Bench;
    use crate::event::{Consumable, Details, ItemFacts, Renew};
    use crate::id::JobId;
    use crate::reassembly::tally::How;
    use crate::reassembly::ties::{Refused, TieKind};
    use crate::text::Label;

    fn facts(what: &str, side: &str, count: u32, details: Details) -> ItemFacts {
        let [what, side] = [what, side].map(Label::new);
        ItemFacts { what, side, count: Count(count), details, ..ItemFacts::default() }
    }

    fn take_off(bench: &mut Bench, job: JobId, item: ItemFacts) -> ItemId {
        ItemId(bench.ask(Command::TakeOff { job, item }).unwrap())
    }

    fn instead(item: ItemId, how: How, count: u32, reason: &str) -> Command {
        Command::DoInstead { item, how, count: Count(count), reason: Label::new(reason) }
    }

    fn names(bench: &Bench, job: JobId) -> Vec<&str> {
        bench.book.teardown.order(job).unwrap().sequence.next().map(|it| it.name()).collect()
    }

    #[test]
    fn twelve_off_eleven_on_is_one_missing_and_thirteen_one_too_many() {
        let mut bench = Bench::new();
        let job = bench.job();
        let bolts = take_off(&mut bench, job, facts("Bolt", "port", 12, Details::default()));
        let back = |count| Command::PutBack { item: bolts, count: Count(count) };
        bench.ask(back(11)).unwrap();
        let balance = |bench: &Bench| bench.book.teardown.item(bolts).unwrap().tally().balance().words();
        assert_eq!(balance(&bench).as_deref(), Some("one missing"));
        let refusal = bench.ask(back(2)).unwrap_err();
        assert_eq!(
            refusal.to_string(),
            "12 came off and 11 are accounted for: one too many, from where? Look in the tray, or put the count right"
        );
        bench.ask(instead(bolts, How::Replaced, 1, "stretched")).unwrap();
        assert_eq!(balance(&bench), None);
        let refusal = bench.ask(instead(bolts, How::LeftOff, 1, "no spare")).unwrap_err();
        assert_eq!(refusal, Refusal::TooManyBack { off: Count(12), settled: Count(12), asked: Count(1) });
    }

    #[test]
    fn what_does_not_go_back_on_says_why_and_can_be_taken_back() {
        let mut bench = Bench::new();
        let job = bench.job();
        let guard = take_off(&mut bench, job, facts("Belt guard", "front", 1, Details::default()));
        assert_eq!(bench.ask(instead(guard, How::LeftOff, 1, " ")), Err(Refusal::NoReason));
        let left = bench.ask(instead(guard, How::LeftOff, 1, "cracked, new one ordered")).unwrap();
        assert_eq!(bench.book.teardown.still_off(job).count(), 0);
        let known = bench.book.teardown.item(guard).unwrap();
        assert_eq!((known.back(), known.settled()), (Count(0), Count(1)));
        bench.ask(Command::Withdraw { event: left }).unwrap();
        assert_eq!(bench.book.teardown.still_off(job).count(), 1);
    }

    #[test]
    fn a_tie_makes_an_item_wait_until_it_is_taken_back() {
        let mut bench = Bench::new();
        let job = bench.job();
        let mut off = |what, side| take_off(&mut bench, job, facts(what, side, 1, Details::default()));
        let (hose, cooler, shield) = (off("hose", "port"), off("cooler", "front"), off("shield", "front"));
        let tie = |item, other| Command::Tie(Tie { item, kind: TieKind::Behind, other });
        assert_eq!(names(&bench, job), ["shield", "hose"]);
        let said = bench.ask(tie(hose, shield)).unwrap();
        assert_eq!(names(&bench, job), ["hose"]);
        assert_eq!(bench.ask(tie(hose, shield)), Err(Refusal::SaidAlready));
        let round = bench.ask(tie(cooler, hose)).unwrap_err().to_string();
        let circle = "this goes round in a circle (hose waits for cooler: cooler is behind it, cooler waits for shield: \
                      shield came off after it (front), shield waits for hose: hose is behind it)";
        assert!(round.starts_with(circle), "{round}");
        assert_eq!(bench.ask(tie(hose, hose)), Err(Refusal::Order(Refused::Itself)));
        assert_eq!(bench.ask(Command::Free(Freed(hose, shield))), Err(Refusal::Order(Refused::OtherSide)));
        bench.ask(Command::Free(Freed(cooler, shield))).unwrap();
        assert_eq!(bench.ask(Command::Free(Freed(shield, cooler))), Err(Refusal::SaidAlready));
        assert_eq!(names(&bench, job), ["cooler", "hose"]);
        bench.ask(Command::Withdraw { event: said }).unwrap();
        assert_eq!(names(&bench, job), ["shield", "cooler", "hose"]);
    }

    #[test]
    fn items_of_two_jobs_do_not_wait_for_each_other() {
        let mut bench = Bench::new();
        let (one, other) = (bench.job(), bench.job_beside());
        let hose = take_off(&mut bench, one, facts("hose", "port", 1, Details::default()));
        let clip = take_off(&mut bench, other, facts("clip", "port", 1, Details::default()));
        let tie = Tie { item: hose, kind: TieKind::HeldBy, other: clip };
        assert_eq!(bench.ask(Command::Tie(tie)), Err(Refusal::Order(Refused::Unknown)));
    }

    #[test]
    fn a_one_way_part_is_made_sure_of_each_time_it_goes_on() {
        let mut bench = Bench::new();
        let job = bench.job();
        let renew = Renew::new(vec![Consumable::ORing]);
        let details = Details { way_up: Label::new("lip down"), renew, ..Details::default() };
        let seal = take_off(&mut bench, job, facts("Shaft seal", "under", 2, details));
        let sure = |check| Command::MakeSure { item: seal, check };
        let not_sure = |bench: &Bench| bench.book.teardown.item(seal).unwrap().not_sure();
        assert_eq!(bench.ask(sure(Check::WayUp)), Err(Refusal::NotOnYet));
        assert_eq!(not_sure(&bench), []);
        let back = Command::PutBack { item: seal, count: Count(1) };
        bench.ask(back.clone()).unwrap();
        assert_eq!(not_sure(&bench), [Check::WayUp, Check::New(Consumable::ORing)]);
        let made_sure = bench.ask(sure(Check::WayUp)).unwrap();
        bench.ask(sure(Check::New(Consumable::ORing))).unwrap();
        assert_eq!((not_sure(&bench).len(), bench.ask(sure(Check::WayUp))), (0, Err(Refusal::SaidAlready)));
        let gasket = Check::New(Consumable::Gasket);
        assert_eq!(bench.ask(sure(gasket)), Err(Refusal::Unknown("check")));
        bench.ask(Command::Withdraw { event: made_sure }).unwrap();
        assert_eq!(not_sure(&bench), [Check::WayUp]);
        bench.ask(sure(Check::WayUp)).unwrap();
        let second = bench.ask(back).unwrap();
        assert_eq!(not_sure(&bench).len(), 2, "the second one is another one");
        bench.ask(Command::Withdraw { event: second }).unwrap();
        assert_eq!(not_sure(&bench), []);
        bench.ask(instead(seal, How::LeftOff, 1, "not there")).unwrap();
        assert_eq!(not_sure(&bench), []);
    }
}
