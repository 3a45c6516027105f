//! Wrong reassemblies: each is told when the job is called finished and when the day is closed.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use quaywright_core::book::Book;
use quaywright_core::closing::{closing, not_right_of};
use quaywright_core::command::Command;
use quaywright_core::event::{Activity, Check, Details, Event, ItemFacts, On};
use quaywright_core::id::{GroupId, ItemId, JobId};
use quaywright_core::moment::Day;
use quaywright_core::quantity::Count;
use quaywright_core::text::Label;
use quaywright_core::tightening::group::Step;
use quaywright_core::tightening::pattern::Place;
use quaywright_core::view::{GroupText, off_list};

use crate::phone::Phone;

fn begun() -> (Phone, JobId) {
    let mut phone = Phone::new(1, "2026-05-04T08:00:00+01:00");
    phone.named("M. Sluice", "Lower Basin Boatyard");
    let (job, line) = phone.job("Marsh Heron", "A. Finch", "Cooler leaks", "Drips");
    phone.clock("2026-05-04T08:05:00+01:00", Activity::Labour, On::Line(line));
    (phone, job)
}

/// Finishes the job; sees that it is told just this, then and at the day's end.
#[track_caller]
fn caught(phone: &mut Phone, job: JobId, told: &[&str]) {
    phone.must(Command::FinishJob { job });
    let words = |book: &Book| not_right_of(book, job).iter().map(ToString::to_string).collect::<Vec<_>>();
    let told: Vec<String> = told.iter().map(|words| format!("Marsh Heron, Cooler leaks: {words}")).collect();
    assert_eq!(words(&phone.book), told);
    let day = Day::parse("2026-05-04").unwrap();
    let missing: Vec<String> = closing(&phone.book, day, phone.now).missing.iter().map(ToString::to_string).collect();
    assert!(told.iter().all(|words| missing.contains(words)), "{missing:?}");
}

#[test]
fn a_forgotten_hose() {
    let (mut phone, job) = begun();
    let cooler = phone.off(job, 1, "Cooler", "", "port", "bench");
    let hose = phone.off(job, 1, "Hose", "", "port", "bench");
    phone.back(cooler, 1);
    assert_eq!(off_list(&phone.book, job).wrong, ["Cooler is on too soon: Hose came off after it (port)."]);
    caught(&mut phone, job, &["finished, but 1 thing is still off (Hose)."]);
    phone.back(hose, 1);
    assert_eq!(not_right_of(&phone.book, job), []);
}

#[test]
fn a_nut_left_over_and_one_too_many() {
    let (mut phone, job) = begun();
    let nut = phone.off(job, 12, "Nut", "M8", "front", "tray");
    phone.back(nut, 12);
    assert_eq!(not_right_of(&phone.book, job), []);
    // One lies in the tray.
    let facts = |count| {
        let known = ItemFacts { what: Label::new("Nut"), size: Label::new("M8"), ..ItemFacts::default() };
        ItemFacts { side: Label::new("front"), count: Count(count), ..known }
    };
    phone.must(Command::AmendItem { item: nut, facts: facts(13) });
    assert_eq!(off_list(&phone.book, job).wrong, ["Nut: one missing."]);
    caught(&mut phone, job, &["finished, but 1 thing is still off (Nut)."]);
    // Two phones put it on: thirteen are on, and twelve came off.
    phone.must(Command::AmendItem { item: nut, facts: facts(12) });
    phone.say(Event::BackOn { item: nut, count: Count(1) });
    assert_eq!(off_list(&phone.book, job).wrong, ["Nut: one too many, from where?"]);
    caught(&mut phone, job, &["the counts do not add up (Nut: one too many, from where?)."]);
}

#[test]
fn a_skipped_pass() {
    let (mut phone, job) = begun();
    let words = |text: &str| text.to_owned();
    let text = GroupText {
        what: words("Cap"),
        count: words("4"),
        value: words("20 Nm"),
        manual: words("Manual"),
        page: words("7"),
        ..GroupText::default()
    };
    let facts = Box::new(text.read(None).unwrap());
    let group = GroupId(phone.must(Command::AddGroup { job, facts }));
    for pass in [1, 3, 4] {
        for place in 1..=4 {
            phone.must(Command::Tighten { group, step: Step { pass, place: Place(place) } });
        }
    }
    let told =
        "finished, but not all is tight (Cap: tightening not done, 12 of 16 taps; skipped: all 4 in pass 2 (70 %)).";
    caught(&mut phone, job, &[told]);
}

#[test]
fn a_one_way_part_that_nobody_looked_at() {
    let (mut phone, job) = begun();
    let details = Details { way_up: Label::new("lip down"), ..Details::default() };
    let item = ItemFacts { what: Label::new("Seal"), count: Count(1), details, ..ItemFacts::default() };
    let seal = ItemId(phone.must(Command::TakeOff { job, item }));
    phone.back(seal, 1);
    caught(&mut phone, job, &["nobody has made sure of Seal (lip down)."]);
    phone.must(Command::MakeSure { item: seal, check: Check::WayUp });
    assert_eq!(not_right_of(&phone.book, job), []);
}
