//! Visits that are planned: what a phone says of them, any of them at random, and that none is lost.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use proptest::prelude::*;
use quaywright_core::command::{BoatChoice, Command, NewJob, Refusal};
use quaywright_core::event::{
    Asker, Event, Language, Measures, NextVisit, PayType, Reader, StoryPart, Tags, VisitTime,
};
use quaywright_core::exchange::html;
use quaywright_core::id::{JobId, VisitId};
use quaywright_core::moment::{Day, Moment};
use quaywright_core::owner::message::message;
use quaywright_core::sheet::visits::job_visits;
use quaywright_core::sheet::{LogHead, day_sheet, owner_sheet};
use quaywright_core::text::{Label, Prose};

use crate::formats::text_of;
use crate::histories::{day, id, label, nth};
use crate::phone::{Phone, at};

fn visit(what: &str, when: VisitTime, asked_by: Asker) -> Box<NextVisit> {
    Box::new(NextVisit { what: Label::new(what), when, asked_by })
}

fn on_day(text: &str) -> VisitTime {
    VisitTime::Day(Day::parse(text).unwrap())
}

/// Says everything about visits, with every field filled and left out.
pub(crate) fn are_said(phone: &mut Phone) {
    let first = phone.book.jobs.jobs().next().unwrap();
    let (job, boat) = (first.id, first.boat);
    let mut say = |event| {
        phone.now = Moment::new(phone.now.utc_ms() + 60_001, 60).unwrap();
        phone.say(event).record.id
    };
    let frost = VisitTime::Words(Label::new("before the <first> frost"));
    let surveyor = Asker::Other(Label::new("the surveyor, \"R. Weir\""));
    let planned = [
        visit("Winter lay-up", on_day("2026-10-05"), Asker::Owner),
        visit("Look at the hose & clamps", frost, Asker::Shop),
        visit("Survey", VisitTime::Unsaid, surveyor),
    ]
    .map(|visit| VisitId(say(Event::NextVisitPlanned { job, visit })));
    say(Event::Withdrawn { event: planned[2].0 });
    let later = JobId(say(Event::JobOpened { boat, engine: None, title: Label::new("Lay-up") }));
    let made = say(Event::NextVisitMade { visit: planned[1], job: later });
    say(Event::Withdrawn { event: made });
    say(Event::NextVisitMade { visit: planned[0], job: later });
}

/// Returns a request about visits.
pub(crate) fn command(phone: &Phone, job: JobId, which: usize, amount: u32) -> Option<Command> {
    let when = match amount % 3 {
        0 => VisitTime::Unsaid,
        1 => VisitTime::Day(phone.now.day().plus(which as i64)?),
        _ => VisitTime::Words(Label::new("when the parts are there")),
    };
    let asked_by = if which.is_multiple_of(2) { Asker::Owner } else { Asker::Other(Label::new("the yard")) };
    Some(match which % 3 {
        0 | 1 => Command::PlanVisit { job, visit: visit("Check the shaft seal", when, asked_by) },
        _ => Command::MakeVisit { visit: nth(phone.book.visits.planned().map(|it| it.id), which)?, job },
    })
}

/// Any event about visits.
pub(crate) fn event() -> BoxedStrategy<Event> {
    let when =
        || prop_oneof![Just(VisitTime::Unsaid), day().prop_map(VisitTime::Day), label().prop_map(VisitTime::Words),];
    let asker = || prop_oneof![Just(Asker::Owner), Just(Asker::Shop), label().prop_map(Asker::Other)];
    prop_oneof![
        (id(), label(), when(), asker()).prop_map(|(job, what, when, asked_by)| Event::NextVisitPlanned {
            job: JobId(job),
            visit: Box::new(NextVisit { what, when, asked_by }),
        }),
        (id(), id()).prop_map(|(visit, job)| Event::NextVisitMade { visit: VisitId(visit), job: JobId(job) }),
    ]
    .boxed()
}

fn heron() -> (Phone, JobId) {
    let mut phone = Phone::new(0x77, "2026-05-04T08:00:00.000+01:00");
    let (job, _) = phone.job("Heron", "P. Wherry", "Heat exchanger", "Runs hot");
    (phone, job)
}

/// Opens another job on the boat of one.
fn next_job(phone: &mut Phone, of: JobId, title: &str) -> JobId {
    let boat = BoatChoice::Known(phone.book.jobs.job(of).unwrap().boat);
    let (title, complaint, tags) = (Label::new(title), Prose::default(), Tags::default());
    let new = NewJob { boat, engine: None, title, pay: PayType::CustomerPay, complaint, tags, start: None };
    JobId(phone.must(Command::OpenJob(new)))
}

const NONE: [Vec<String>; 2] = [Vec::new(), Vec::new()];

fn told(phone: &Phone, job: JobId) -> [Vec<String>; 2] {
    let of = job_visits(&phone.book, phone.book.jobs.job(job).unwrap());
    [of.planned, of.before].map(|visits| visits.iter().map(|it| it.words()).collect())
}

#[test]
fn what_would_say_nothing_is_refused() {
    let (mut phone, job) = heron();
    let (other, _) = phone.job("Teal", "", "Impeller", "");
    let plan = |phone: &mut Phone, visit| phone.ask(Command::PlanVisit { job, visit });
    let lay_up = || visit("Winter lay-up", on_day("2026-10-05"), Asker::Owner);
    let unsaid = VisitTime::Unsaid;
    assert_eq!(plan(&mut phone, visit(" ", unsaid.clone(), Asker::Owner)), Err(Refusal::Nameless("what is planned")));
    let nobody = visit("Survey", unsaid.clone(), Asker::Other(Label::default()));
    assert_eq!(plan(&mut phone, nobody), Err(Refusal::Nameless("who asks for the visit")));
    let over = visit("Winter lay-up", on_day("2026-05-03"), Asker::Owner);
    assert_eq!(plan(&mut phone, over), Err(Refusal::VisitIsOver));
    assert!(plan(&mut phone, visit("Look at the gland", on_day("2026-05-04"), Asker::Shop)).is_ok());
    let planned = VisitId(plan(&mut phone, lay_up()).unwrap());
    assert_eq!(plan(&mut phone, lay_up()), Err(Refusal::SaidAlready));

    let make = |phone: &mut Phone, visit, job| phone.ask(Command::MakeVisit { visit, job });
    assert_eq!(make(&mut phone, planned, other), Err(Refusal::AnotherBoat));
    assert_eq!(make(&mut phone, VisitId(job.0), job), Err(Refusal::Unknown("planned visit")));
    assert!(make(&mut phone, planned, job).is_ok());
    assert_eq!(make(&mut phone, planned, job), Err(Refusal::SaidAlready));
    // Words that say nothing are no time.
    let blank = VisitTime::Words(Label::default());
    let id = plan(&mut phone, visit("Anode", blank, Asker::Shop)).unwrap();
    assert_eq!(phone.book.visits.visit(VisitId(id)).unwrap().visit.when, unsaid);
}

#[test]
fn what_was_planned_waits_beside_the_boat_until_a_job_is_that_visit() {
    let (mut phone, first) = heron();
    let lay_up = visit("Winter lay-up", on_day("2026-10-05"), Asker::Owner);
    let beside = next_job(&mut phone, first, "Bilge pump");
    phone.is("2026-05-04T16:00:00.000+01:00");
    let planned = VisitId(phone.must(Command::PlanVisit { job: first, visit: lay_up }));
    let line = "Winter lay-up, Monday 5 October, asked for by the owner".to_owned();
    assert_eq!(told(&phone, first), [vec![line.clone()], vec![]]);
    assert_eq!(told(&phone, beside), NONE, "it was open before the visit was planned");

    phone.is("2026-07-01T09:00:00.000+01:00");
    let between = next_job(&mut phone, first, "Stern gland");
    let (teal, _) = phone.job("Teal", "", "Impeller", "");
    assert_eq!(told(&phone, between), [vec![], vec![line.clone()]]);
    assert_eq!(told(&phone, teal), NONE, "another boat");

    phone.is("2026-10-05T09:00:00.000+01:00");
    let autumn = next_job(&mut phone, first, "Lay-up");
    assert_eq!(told(&phone, autumn), [vec![], vec![line.clone()]]);
    let made = phone.must(Command::MakeVisit { visit: planned, job: autumn });
    let made_line = format!("{line}; made");
    assert_eq!(told(&phone, autumn), [vec![], vec![made_line.clone()]]);
    assert_eq!(told(&phone, between), NONE);
    assert_eq!(told(&phone, first), [vec![made_line], vec![]]);

    phone.must(Command::Withdraw { event: made });
    assert_eq!(told(&phone, between), [vec![], vec![line.clone()]], "it waits again");
    let withdrawal = phone.must(Command::Withdraw { event: planned.0 });
    for job in [first, between, autumn] {
        assert_eq!(told(&phone, job), NONE);
    }
    phone.must(Command::Withdraw { event: withdrawal });
    assert_eq!(told(&phone, autumn), [vec![], vec![line]], "taking it back was taken back");
}

#[test]
fn the_owner_and_the_office_read_what_is_planned() {
    let (mut phone, job) = heron();
    let line = phone.book.jobs.lines_of(job).next().unwrap().id;
    phone.tell(line, StoryPart::Correction, "Tubes cleaned");
    phone.must(Command::PlanVisit { job, visit: visit("Winter lay-up", on_day("2026-10-05"), Asker::Owner) });
    let frost = VisitTime::Words(Label::new("before the first frost"));
    phone.must(Command::PlanVisit { job, visit: visit("Drain it", frost, Asker::Shop) });
    let yard = Asker::Other(Label::new("Lower Basin"));
    let made = VisitId(phone.must(Command::PlanVisit { job, visit: visit("Weigh her", VisitTime::Unsaid, yard) }));

    let expected = [
        (Language::English, "Next visit", "Winter lay-up, Monday 5 October 2026, at your request"),
        (Language::Spanish, "Próxima visita", "Winter lay-up, lunes, 5 de octubre de 2026, a petición suya"),
        (Language::French, "Prochaine visite", "Winter lay-up, lundi 5 octobre 2026, à votre demande"),
        (Language::German, "Nächster Besuch", "Winter lay-up, Montag, 5. Oktober 2026, auf Ihren Wunsch"),
    ];
    let mut sheet = owner_sheet(&phone.book, job, phone.now.day()).unwrap();
    for (language, head, line) in expected {
        sheet.reader = Reader { language, measures: Measures::AsRead };
        let page = text_of(&html::owner_page(&sheet));
        assert!(page.contains(&format!(">{head}</h2>")) && page.contains(line), "{page}");
        let message = message(&sheet);
        // In French a colon and a semicolon stand between spaces.
        let (colon, apart) = if language == Language::French { (" :", " ;") } else { (":", ";") };
        let told = format!("{head}{colon} {line}{apart} Drain it, before the first frost");
        assert!(message.contains(&told), "{message}");
    }

    // What has been made is no next visit; the office still reads it.
    phone.must(Command::MakeVisit { visit: made, job });
    let sheet = owner_sheet(&phone.book, job, phone.now.day()).unwrap();
    assert!(!text_of(&html::owner_page(&sheet)).contains("Weigh her"));
    let day = day_sheet(&phone.book, phone.now.day(), phone.now, LogHead::from(&phone.tip));
    let page = text_of(&html::day_page(&day, Vec::new()));
    assert!(page.contains("Weigh her, asked for by Lower Basin; made"), "{page}");
    assert!(page.contains("Drain it, before the first frost, asked for by us"), "{page}");
}

#[test]
fn a_statement_about_what_is_not_there_is_a_fault_and_changes_nothing() {
    let (mut phone, job) = heron();
    let before = phone.book.visits.clone();
    phone.say(Event::NextVisitMade { visit: VisitId(job.0), job });
    phone.say(Event::NextVisitPlanned {
        job: JobId(job.0.later(90)),
        visit: visit("x", VisitTime::Unsaid, Asker::Shop),
    });
    assert_eq!((phone.book.faults.len(), phone.book.visits == before), (2, true));
    assert_eq!(phone.now.day(), at("2026-05-04T08:00:00.000+01:00").day());
}
