//! A job goes from one technician to another as a file, and comes back.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use std::collections::BTreeSet;

use proptest::prelude::*;
use quaywright_core::billing::account::{self, Account};
use quaywright_core::billing::shares::Shares;
use quaywright_core::billing::work::JobWork;
use quaywright_core::book::Book;
use quaywright_core::command::Command;
use quaywright_core::event::{About, Activity, Event, On, TakenFor};
use quaywright_core::exchange::pieces::assemble;
use quaywright_core::exchange::{backup, intake, job_file, line};
use quaywright_core::id::{BoatId, JobId, ReadingId, VersionId};
use quaywright_core::log::Log;
use quaywright_core::log::beside::with_beside;
use quaywright_core::moment::{Length, Moment};
use quaywright_core::order;
use quaywright_core::quantity::Count;
use quaywright_core::reassembly::ties::{Tie, TieKind};
use quaywright_core::text::Label;

use crate::histories::{history, lived};
use crate::phone::{Phone, jpeg};

/// Returns a job's file as the phone makes it, of everything that it holds.
fn file_of(phone: &Phone, job: JobId) -> Vec<u8> {
    let held = job_file::records_of(&phone.log, job);
    let records: Vec<_> = phone.log.by_name().filter(|it| held.contains(&it.record.id)).cloned().collect();
    let lines: Vec<Vec<u8>> = records.iter().map(|it| line::seal(it.record.clone()).0).collect();
    let photos = order::each_once(phone.book.evidence.photos_about(About::Job(job)).map(|it| it.facts.blob).collect());
    assemble(&backup::pieces(lines.iter().map(Vec::as_slice), &photos), |_| Some(jpeg("cooler")))
}

fn taken_in(phone: &mut Phone, file: &[u8]) -> usize {
    let taken = intake::take(file).unwrap();
    assert_eq!(taken.faults, []);
    let mut log = Log::default();
    taken.records.into_iter().for_each(|(_, sealed)| log.take(sealed));
    phone.hear(&log);
    taken.blobs.len()
}

#[test]
fn a_job_goes_to_another_technician_and_comes_back_with_both_histories() {
    let mut first = Phone::new(1, "2026-05-04T08:00:00+01:00");
    first.named("M. Sluice", "Lower Basin Boatyard");
    let (other_job, _) = first.job("Grey Seal", "T. Crake", "Pump", "Water under the floor");
    let (job, line) = first.job("Marsh Heron", "A. Finch", "Cooler leaks", "Drips");
    first.clock("2026-05-04T08:05:00+01:00", Activity::Labour, On::Line(line));
    first.note(About::Job(other_job), "another boat's");
    let cooler = first.off(job, 1, "Cooler", "", "port", "bench");
    let bolts = first.off(job, 12, "Bolt", "M8", "front", "red tray");
    let tie = Tie { item: cooler, kind: TieKind::HeldBy, other: bolts };
    first.must(Command::Tie(tie));
    let wrong = first.off(job, 1, "Clip", "", "port", "");
    first.must(Command::Withdraw { event: wrong.0 });
    first.photo(About::Job(job), &jpeg("cooler"), "the cooler");
    first.stop("2026-05-04T10:00:00+01:00");

    let mut second = Phone::new(2, "2026-05-05T08:00:00+01:00");
    second.named("R. Teal", "Lower Basin Boatyard");
    assert_eq!(taken_in(&mut second, &file_of(&first, job)), 1);
    assert_eq!(second.book.faults, []);
    assert_eq!(second.book.jobs.jobs().map(|job| job.title.as_str()).collect::<Vec<_>>(), ["Cooler leaks"]);
    assert_eq!(second.book.technician.name.as_str(), "R. Teal");
    assert_eq!((second.book.ledger.last(), second.book.evidence.notes().count()), (None, 0));
    assert_eq!(second.book.teardown.order(job), first.book.teardown.order(job));

    // The second goes on; meanwhile the first says something too.
    second.back(cooler, 1);
    second.back(bolts, 11);
    first.is("2026-05-05T08:30:00+01:00").note(About::Job(job), "new bolts are in the van");
    taken_in(&mut first, &file_of(&second, job));
    taken_in(&mut second, &file_of(&first, job));
    assert_eq!((&first.book.faults, &second.book.faults), (&Vec::new(), &Vec::new()));
    assert_eq!(first.book.teardown.order(job), second.book.teardown.order(job));
    assert_eq!(first.book.teardown.item(bolts).unwrap().still_off(), Count(1));
    assert_eq!(second.book.evidence.notes().count(), 1);
    assert_eq!(first.book.technician.name.as_str(), "M. Sluice");
    assert!(first.book.ledger.last().is_some() && second.book.ledger.last().is_none());
    // Whoever has what each said by himself, and nothing of what they exchanged, comes to the same books.
    let said = |phone: &Phone| {
        let own = phone.log.by_name().filter(|it| it.record.id.device == phone.tip.device);
        let mut log = Log::default();
        own.for_each(|it| log.take(it.clone()));
        log
    };
    let (by_first, by_second) = (said(&first), said(&second));
    for (own, other, phone) in [(&by_first, &by_second, &first), (&by_second, &by_first, &second)] {
        assert_eq!(with_beside(own, other), phone.log.in_order());
    }
    // Taking the same file in again changes nothing.
    let before = first.book.clone();
    taken_in(&mut first, &file_of(&second, job));
    assert_eq!(first.book, before);
}

#[test]
fn no_file_is_made_of_a_job_that_was_never_opened() {
    let mut phone = Phone::new(1, "2026-05-04T08:00:00+01:00");
    let (job, line) = phone.job("Marsh Heron", "A. Finch", "Cooler leaks", "Drips");
    assert!(job_file::records_of(&phone.log, JobId(line.0)).is_empty());
    assert_eq!(job_file::records_of(&phone.log, job).len(), 3);
}

/// Statements about a job that name a clock where a boat, a reading or a version of a procedure has to stand.
#[test]
fn a_clock_goes_nowhere_whatever_is_said_of_it() {
    let mut first = Phone::new(1, "2026-05-04T08:00:00+01:00");
    let (job, line) = first.job("Marsh Heron", "A. Finch", "Cooler leaks", "Drips");
    let clock = first.tip.next();
    first.clock("2026-05-04T08:05:00+01:00", Activity::Labour, On::Line(line));
    let to = TakenFor { job: Some(job), engine: None, step: None };
    let mut second = Phone::new(2, "2026-05-05T08:00:00+01:00");
    for phone in [&mut first, &mut second] {
        phone.say(Event::ReadingAssigned { reading: ReadingId(clock), to });
        phone.say(Event::ProcedureStarted { job, version: VersionId(clock) });
    }
    assert!(!job_file::records_of(&first.log, job).contains(&clock));
    let beside = with_beside(&second.log, &first.log);
    assert!(beside.iter().any(|sealed| sealed.record.id == job.0));
    assert!(beside.iter().all(|sealed| sealed.record.id != clock));

    let opened = Event::JobOpened { boat: BoatId(clock), engine: None, title: Label::new("Pump") };
    let of_nothing = JobId(first.say(opened).record.id);
    assert_eq!(job_file::records_of(&first.log, of_nothing), BTreeSet::from([of_nothing.0]));
}

/// What each device said by itself.
fn said_by_each(phones: &[Phone]) -> Vec<Log> {
    let of = |phone: &Phone| {
        let mut log = Log::default();
        phone.log.by_name().filter(|it| it.record.id.device == phone.tip.device).for_each(|it| log.take(it.clone()));
        log
    };
    phones.iter().map(of).collect()
}

/// Returns how long the clock of a book ran on jobs.
fn on_jobs(book: &Book, now: Moment) -> Length {
    let work = book.ledger.spans(now).into_iter().filter(|span| !span.activity.is_pause());
    work.filter(|span| book.job_of(book.booked(span.on)).is_some()).map(|span| span.length()).sum()
}

fn length_of(work: &JobWork) -> Length {
    work.lines.iter().flat_map(|line| &line.pieces).chain(&work.no_line).map(|piece| piece.length).sum()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_minute_on_a_job_that_went_through_many_hands_is_billed_once(history in history(80)) {
        let logs = said_by_each(&lived(&history));
        let (mut clock, mut accounts, mut shares) = (Length::ZERO, Vec::new(), Shares::new());
        for (nth, own) in logs.iter().enumerate() {
            let mut others = Log::default();
            logs.iter().enumerate().filter(|(other, _)| *other != nth).for_each(|(_, log)| others.merge(log));
            let records = with_beside(own, &others);
            let Some(last) = records.iter().rfind(|it| own.get(it.record.id).is_some()) else { continue };
            let (now, devices) = (last.record.at, BTreeSet::from([last.record.id.device]));
            let book = Book::replay(records.iter().map(|sealed| &sealed.record));
            // Nobody else's clock runs in it.
            let spans = book.ledger.spans(now);
            prop_assert!(spans.iter().all(|span| devices.contains(&span.said_by.device)));
            clock = clock + on_jobs(&book, now);
            for share in account::shares(&devices, &book, now) {
                prop_assert!(!devices.contains(&share.work.job.0.device));
                shares.entry(share.work.job).or_default().push(share);
            }
            accounts.push(Account::of(devices, &book, now, Vec::new()));
        }
        accounts.iter_mut().for_each(|account| account.join(&shares));
        let jobs = accounts.iter().flat_map(|account| &account.rest);
        prop_assert_eq!(jobs.map(|job| length_of(&job.work)).sum::<Length>(), clock);
    }
}
