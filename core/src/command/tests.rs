//! A phone without a browser asks, and what it is told.

use super::*;
use crate::event::Hardware;
use crate::event::Senseless;
use crate::hours::overtime::Overtime;
use crate::id::DeviceId;
use crate::log::Tip;
use crate::moment::TimeOfDay;
use crate::tightening::group::Shares;
use crate::tightening::group::Slip;
use crate::tightening::pattern::{Layout, Numbering, Pattern, Place};
use crate::tightening::torque::{Entered, Source, Target, TorqueUnit};

/// A phone without a browser: decides, seals, applies.
pub(super) struct Bench {
    pub(super) book: Book,
    tip: Tip,
    now: Moment,
}

impl Bench {
    pub(super) fn new() -> Self {
        let now = Moment::parse("2026-05-04T08:00:00+01:00").unwrap();
        Self { book: Book::default(), tip: Tip::fresh(DeviceId::new([1; 8])), now }
    }

    pub(super) fn ask(&mut self, command: Command) -> Result<EventId, Refusal> {
        let first = self.tip.next();
        for event in decide(&self.book, command, first, self.now)? {
            let (_, sealed) = crate::exchange::line::seal(self.tip.record(self.now, event));
            self.tip.advance(&sealed);
            self.book.apply(&sealed.record);
        }
        assert_eq!(self.book.faults, [], "what was decided always makes sense");
        Ok(first)
    }

    pub(super) fn job(&mut self) -> JobId {
        self.opened(Some(Activity::Diagnosis))
    }

    /// Opens one more job, and leaves the clock as it is.
    pub(super) fn job_beside(&mut self) -> JobId {
        self.opened(None)
    }

    fn opened(&mut self, start: Option<Activity>) -> JobId {
        let boat = BoatChoice::New(BoatFacts { name: Label::new("Heron"), ..BoatFacts::default() });
        let new = NewJob {
            boat,
            engine: None,
            title: Label::new("No charge"),
            pay: PayType::CustomerPay,
            complaint: Prose::new("Batteries flat every morning"),
            tags: Tags::default(),
            start,
        };
        JobId(self.ask(Command::OpenJob(new)).unwrap().later(1))
    }

    fn item(&mut self, job: JobId, count: u32) -> ItemId {
        let item = ItemFacts { what: Label::new("Bolt"), count: Count(count), ..ItemFacts::default() };
        ItemId(self.ask(Command::TakeOff { job, item }).unwrap())
    }
}

#[test]
fn one_request_opens_a_job_on_a_new_boat_with_the_clock_running() {
    let mut bench = Bench::new();
    let job = bench.job();
    let opened = bench.book.jobs.job(job).unwrap();
    assert_eq!(bench.book.fleet.boat(opened.boat).unwrap().facts.name.as_str(), "Heron");
    assert_eq!(bench.book.jobs.lines_of(job).count(), 1);
    assert_eq!(bench.book.ledger.running().map(|span| span.on), Some(On::Job(job)));
}

#[test]
fn the_clock_refuses_what_makes_no_sense() {
    let mut bench = Bench::new();
    let job = bench.job();
    let at = |activity, on| Command::SwitchClock { to: Doing::At { activity, on } };
    assert_eq!(bench.ask(at(Activity::Diagnosis, On::Job(job))), Err(Refusal::AlreadyDoing));
    assert_eq!(bench.ask(at(Activity::MealPeriod, On::Job(job))), Err(Refusal::PauseOnJob));
    assert!(bench.ask(at(Activity::MealPeriod, On::NoJob)).is_ok());
    assert!(bench.ask(Command::UndoTap).is_ok());
    assert_eq!(bench.book.ledger.running().map(|span| span.activity), Some(Activity::Diagnosis));
    assert!(bench.ask(Command::UndoTap).is_ok());
    assert_eq!(bench.ask(Command::UndoTap), Err(Refusal::NothingToUndo));
    assert_eq!(bench.ask(Command::SwitchClock { to: Doing::Off }), Err(Refusal::AlreadyDoing));
}

#[test]
fn a_mend_is_refused_with_what_to_do_instead() {
    let mut bench = Bench::new();
    let job = bench.job();
    let at = |text| Moment::parse(text).unwrap();
    let nobody = JobId(EventId { device: DeviceId::new([9; 8]), seq: 1 });
    let doing = |activity, on| Doing::At { activity, on };
    let labour = doing(Activity::Labour, On::Job(job));
    bench.now = at("2026-05-04T12:00:00+01:00");
    for (from, to, doing, said) in [
        ("2026-05-04T09:00:00+01:00", "2026-05-04T09:00:00+01:00", labour, Err(Refusal::NoTime)),
        ("2026-05-04T10:00:00+01:00", "2026-05-04T09:00:00+01:00", labour, Err(Refusal::NoTime)),
        ("2026-05-04T11:00:00+01:00", "2026-05-04T12:00:00.001+01:00", labour, Err(Refusal::InTheFuture)),
        ("2026-05-03T08:59:59+01:00", "2026-05-04T09:00:00+01:00", labour, Err(Refusal::LongerThanADay)),
        (
            "2026-05-04T09:00:00+01:00",
            "2026-05-04T10:00:00+01:00",
            doing(Activity::Labour, On::Job(nobody)),
            Err(Refusal::Unknown("job")),
        ),
        (
            "2026-05-04T09:00:00+01:00",
            "2026-05-04T10:00:00+01:00",
            doing(Activity::RestPeriod, On::Job(job)),
            Err(Refusal::PauseOnJob),
        ),
        (
            "2026-05-04T09:00:00+01:00",
            "2026-05-04T10:00:00+01:00",
            doing(Activity::Diagnosis, On::Job(job)),
            Err(Refusal::ChangesNothing),
        ),
        ("2026-05-04T06:00:00+01:00", "2026-05-04T08:00:00+01:00", Doing::Off, Err(Refusal::ChangesNothing)),
        // The same instant told in another place is still the present.
        ("2026-05-03T11:00:00+00:00", "2026-05-04T11:00:00+00:00", labour, Ok(())),
        ("2026-05-04T09:00:00+01:00", "2026-05-04T10:00:00+01:00", labour, Err(Refusal::ChangesNothing)),
        ("2026-05-04T09:00:00+01:00", "2026-05-04T12:00:00+01:00", Doing::Off, Ok(())),
    ] {
        let mend = Mend { from: at(from), to: at(to), doing, reason: Label::new("forgot to tap") };
        assert_eq!(bench.ask(Command::Mend(mend)).map(drop), said, "{from} to {to}");
    }
    assert_eq!(bench.book.ledger.running().map(|span| span.from), Some(bench.now));
}

#[test]
fn billing_tags_and_captions_need_what_they_are_about() {
    let mut bench = Bench::new();
    let job = bench.job();
    let line = bench.book.jobs.lines_of(job).next().unwrap().id;
    let tags = Tags::new(["lift", "", "engine out", "lift"].map(Label::new).to_vec());
    bench.ask(Command::BillLine { line, billing: Billing::Flat { minutes: 90 } }).unwrap();
    bench.ask(Command::TagJob { job, tags }).unwrap();
    assert_eq!(bench.book.jobs.line(line).unwrap().billing, Billing::Flat { minutes: 90 });
    let words: Vec<&str> = bench.book.jobs.job(job).unwrap().tags.words().iter().map(Label::as_str).collect();
    assert_eq!(words, ["engine out", "lift"]);
    let nothing = EventId { device: DeviceId::new([9; 8]), seq: 1 };
    let bill = Command::BillLine { line: LineId(nothing), billing: Billing::NoCharge };
    assert_eq!(bench.ask(bill), Err(Refusal::Unknown("job line")));
    let tag = Command::TagJob { job: JobId(nothing), tags: Tags::default() };
    assert_eq!(bench.ask(tag), Err(Refusal::Unknown("job")));
    let caption = Command::Caption { photo: PhotoId(nothing), caption: Label::new("Bolts") };
    assert_eq!(bench.ask(caption), Err(Refusal::Unknown("photo")));
}

#[test]
fn the_shops_rules_are_said_taken_back_and_refused_when_they_make_no_sense() {
    let mut bench = Bench::new();
    assert_eq!(bench.ask(Command::SetShopRules(ShopRules::default())), Err(Refusal::SameRules));
    let rules = ShopRules { usual_end: TimeOfDay::at_minute(1_000), ..ShopRules::default() };
    let said = bench.ask(Command::SetShopRules(rules)).unwrap();
    assert_eq!((bench.book.shop.rules(), bench.book.shop.chosen()), (rules, Some(rules)));
    let weekly = Length::from_ms(0);
    let none = ShopRules { overtime: Overtime { weekly, ..rules.overtime }, ..rules };
    let refusal = bench.ask(Command::SetShopRules(none)).unwrap_err();
    assert_eq!(refusal, Refusal::Senseless(Senseless::Weekly));
    assert_eq!(refusal.to_string(), "a workweek has 168 hours: enter from 1 to 168");
    bench.ask(Command::Withdraw { event: said }).unwrap();
    assert_eq!((bench.book.shop.rules(), bench.book.shop.chosen()), (ShopRules::default(), None));
    // Said by something else than this program they are a fault and change nothing.
    let (_, sealed) = crate::exchange::line::seal(bench.tip.record(bench.now, Event::ShopRulesSet(none)));
    bench.book.apply(&sealed.record);
    assert_eq!(bench.book.faults, [crate::book::Fault::NoSuchRules { record: sealed.record.id }]);
    assert_eq!(bench.book.shop.chosen(), None);
}

#[test]
fn a_job_is_opened_with_its_tags() {
    let mut bench = Bench::new();
    let boat = bench.book.fleet.boats().next().map(|boat| boat.id);
    assert_eq!(boat, None);
    let new = NewJob {
        boat: BoatChoice::New(BoatFacts { name: Label::new("Heron"), ..BoatFacts::default() }),
        engine: None,
        title: Label::new("Impeller"),
        pay: PayType::CustomerPay,
        complaint: Prose::default(),
        tags: Tags::typed("impeller, twin,, impeller"),
        start: Some(Activity::Labour),
    };
    let job = JobId(bench.ask(Command::OpenJob(new)).unwrap().later(1));
    let tags = &bench.book.jobs.job(job).unwrap().tags;
    assert_eq!((tags.text().as_str(), tags.toggled("twin").text().as_str()), ("impeller, twin", "impeller"));
    assert_eq!(tags.toggled("port"), Tags::typed("impeller,port,twin"));
    assert_eq!(bench.book.ledger.running().map(|span| span.on), Some(On::Job(job)));
}

#[test]
fn undoing_an_undo_brings_the_tap_back() {
    let mut bench = Bench::new();
    bench.job();
    let undo = bench.ask(Command::UndoTap).unwrap();
    assert_eq!(bench.book.ledger.running(), None);
    let redo = bench.ask(Command::Withdraw { event: undo }).unwrap();
    assert!(bench.book.ledger.running().is_some());
    bench.ask(Command::Withdraw { event: redo }).unwrap();
    assert_eq!(bench.book.ledger.running(), None);
}

#[test]
fn nothing_is_taken_back_twice() {
    let mut bench = Bench::new();
    let job = bench.job();
    let note = bench.ask(Command::WriteNote { about: About::Job(job), text: Prose::new("Belt is worn") }).unwrap();
    let back = bench.ask(Command::Withdraw { event: note }).unwrap();
    assert_eq!(bench.ask(Command::Withdraw { event: note }), Err(Refusal::NotToBeTakenBack));
    let again = bench.ask(Command::Withdraw { event: back }).unwrap();
    assert_eq!(bench.ask(Command::Withdraw { event: back }), Err(Refusal::NotToBeTakenBack));
    assert_eq!(bench.book.evidence.notes().count(), 1);
    bench.ask(Command::Withdraw { event: again }).unwrap();
    assert_eq!(bench.book.evidence.notes().count(), 0);
    assert_eq!(bench.ask(Command::Withdraw { event: job.0 }), Err(Refusal::NotToBeTakenBack));
}

#[test]
fn a_line_added_by_mistake_goes_and_its_time_stays_on_the_job() {
    let mut bench = Bench::new();
    let job = bench.job();
    let add = Command::AddLine { job, pay: PayType::Warranty, complaint: Prose::default() };
    let line = LineId(bench.ask(add).unwrap());
    let on = On::Line(line);
    bench.ask(Command::SwitchClock { to: Doing::At { activity: Activity::Labour, on } }).unwrap();
    bench.ask(Command::Withdraw { event: line.0 }).unwrap();
    assert_eq!(bench.book.jobs.lines_of(job).count(), 1);
    assert_eq!(bench.book.job_of(on), Some(job));
}

#[test]
fn a_job_without_an_engine_is_on_the_boats_only_one() {
    let mut bench = Bench::new();
    let job = bench.job();
    let engine_of = |bench: &Bench| bench.book.engine_of(bench.book.jobs.job(job).unwrap()).map(|engine| engine.id);
    assert_eq!(engine_of(&bench), None);
    let boat = bench.book.jobs.job(job).unwrap().boat;
    let add = Command::AddEngine { boat, facts: EngineFacts::default(), hours: None };
    let first = EngineId(bench.ask(add.clone()).unwrap());
    assert_eq!(engine_of(&bench), Some(first));
    bench.ask(add).unwrap();
    assert_eq!(engine_of(&bench), None);
}

#[test]
fn counting_back_on_is_exact() {
    let mut bench = Bench::new();
    let job = bench.job();
    let bolts = bench.item(job, 12);
    let back = |count| Command::PutBack { item: bolts, count: Count(count) };
    bench.ask(back(11)).unwrap();
    assert_eq!(bench.book.teardown.item(bolts).unwrap().still_off(), Count(1));
    let refusal = bench.ask(back(2)).unwrap_err();
    assert_eq!(refusal, Refusal::TooManyBack { off: Count(12), settled: Count(11), asked: Count(2) });
    let last = bench.ask(back(1)).unwrap();
    assert_eq!(bench.book.teardown.still_off(job).count(), 0);
    bench.ask(Command::Withdraw { event: last }).unwrap();
    assert_eq!(bench.book.teardown.item(bolts).unwrap().still_off(), Count(1));
    let facts = ItemFacts { what: Label::new("Bolt"), count: Count(5), ..ItemFacts::default() };
    let fewer = bench.ask(Command::AmendItem { item: bolts, facts });
    assert_eq!(fewer, Err(Refusal::FewerThanBack { settled: Count(11) }));
}

#[test]
fn what_was_put_back_twice_is_not_brought_back_twice() {
    let mut bench = Bench::new();
    let job = bench.job();
    let bolts = bench.item(job, 3);
    let all = Command::PutBack { item: bolts, count: Count(3) };
    let first = bench.ask(all.clone()).unwrap();
    let undo = bench.ask(Command::Withdraw { event: first }).unwrap();
    bench.ask(all).unwrap();
    let refusal = bench.ask(Command::Withdraw { event: undo });
    assert_eq!(refusal, Err(Refusal::TooManyBack { off: Count(3), settled: Count(3), asked: Count(3) }));
}

#[test]
fn empty_names_and_foreign_things_are_refused() {
    let mut bench = Bench::new();
    let nobody = JobId(EventId { device: DeviceId::new([9; 8]), seq: 1 });
    assert_eq!(bench.ask(Command::FinishJob { job: nobody }), Err(Refusal::Unknown("job")));
    assert_eq!(bench.ask(Command::AddBoat(BoatFacts::default())), Err(Refusal::Nameless("the boat's name")));
    let long = Prose::new(&"x".repeat(LONGEST_PROSE + 1));
    let note = Command::WriteNote { about: About::Day, text: long };
    assert_eq!(bench.ask(note), Err(Refusal::TooLong(LONGEST_PROSE + 1)));
}

fn head_bolts(value: Option<(&str, &str)>) -> Box<GroupFacts> {
    let read = |(text, page)| {
        let source = Source { manual: Label::new("Service manual 3"), page: Label::new(page) };
        Entered { target: Target::parse(text, TorqueUnit::NewtonMetre).unwrap(), source }
    };
    Box::new(GroupFacts {
        what: Label::new("Cylinder head"),
        side: Label::new("port"),
        pattern: Pattern::of(Layout::Circle(8)).unwrap(),
        numbering: Numbering::ByPosition,
        entered: value.map(read),
        shares: Shares::default(),
        hardware: Hardware::default(),
        needed: None,
    })
}

#[test]
fn a_torque_value_is_kept_only_with_where_it_stands() {
    let mut bench = Bench::new();
    let job = bench.job();
    let mut add = |facts| bench.ask(Command::AddGroup { job, facts });
    let refusal = add(head_bolts(Some(("45 Nm", "")))).unwrap_err();
    assert_eq!(refusal.to_string(), "Say on which page of the manual it stands.");
    assert!(add(head_bolts(Some(("45 Nm", "4-12")))).is_ok() && add(head_bolts(None)).is_ok());
    let nameless = Box::new(GroupFacts { what: Label::default(), ..*head_bolts(None) });
    assert_eq!(add(nameless), Err(Refusal::Nameless("what is tightened")));
}

#[test]
fn a_fastener_is_tightened_once_in_a_pass_until_that_is_taken_back() {
    let mut bench = Bench::new();
    let job = bench.job();
    let group = GroupId(bench.ask(Command::AddGroup { job, facts: head_bolts(None) }).unwrap());
    let tap = |pass, place| Command::Tighten { group, step: Step { pass, place: Place(place) } };
    let first = bench.ask(tap(1, 1)).unwrap();
    assert_eq!(bench.ask(tap(1, 1)), Err(Refusal::Slip(Slip::AlreadyDone)));
    assert_eq!(bench.ask(tap(1, 9)), Err(Refusal::Slip(Slip::NotHere)));
    assert_eq!(bench.ask(tap(5, 1)), Err(Refusal::Slip(Slip::NotHere)));
    // Another order than the pattern's happens, and is told.
    bench.ask(tap(2, 3)).unwrap();
    let taken_back = bench.ask(Command::Withdraw { event: first }).unwrap();
    bench.ask(tap(1, 1)).unwrap();
    bench.ask(Command::Withdraw { event: taken_back }).unwrap();
    assert_eq!(bench.book.tightening.group(group).unwrap().state().progress().0, 2);
    bench.ask(Command::Withdraw { event: group.0 }).unwrap();
    assert_eq!(bench.ask(tap(1, 2)), Err(Refusal::Unknown("group")));
    let wrench = Command::TakeWrench { group, wrench: Wrench::default(), lever: None };
    assert_eq!(bench.ask(wrench), Err(Refusal::Nameless("what the wrench is called")));
}

#[test]
fn an_hour_meter_does_not_run_back() {
    let mut bench = Bench::new();
    let job = bench.job();
    let boat = bench.book.jobs.job(job).unwrap().boat;
    let hours = |text| EngineHours::parse(text).unwrap();
    let add = Command::AddEngine { boat, facts: EngineFacts::default(), hours: Some(hours("812.5")) };
    let engine = EngineId(bench.ask(add).unwrap());
    let read = |text, sure| Command::ReadHours { engine, hours: hours(text), sure };
    let less = bench.ask(read("81.2", false));
    assert_eq!(less, Err(Refusal::HoursBackwards { last: hours("812.5") }));
    bench.ask(read("815", false)).unwrap();
    assert_eq!(bench.book.fleet.engine(engine).unwrap().last_hours(), Some(hours("815")));
    // A new meter, or the last one was a slip: whoever looked again is believed.
    bench.ask(read("3.5", true)).unwrap();
    bench.ask(read("4", false)).unwrap();
    assert_eq!(bench.book.fleet.engine(engine).unwrap().last_hours(), Some(hours("4")));
}
