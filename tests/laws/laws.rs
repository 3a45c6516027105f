//! Laws that hold for every history, tried on random ones.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use std::collections::HashSet;

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, TestCaseError, TestRunner};
use quaywright_core::book::Book;
use quaywright_core::book::ledger::Span;
use quaywright_core::closing::closing;
use quaywright_core::closing::forgotten::forgotten;
use quaywright_core::event::{Doing, Event};
use quaywright_core::exchange::intake::{Fault, IntakeError, Place};
use quaywright_core::exchange::{backup, bundle, intake, line, pieces::assemble, plain, table};
use quaywright_core::hours::rounding::Charge;
use quaywright_core::id::{DeviceId, EventId, Hash};
use quaywright_core::log::{Log, LogFault, Record, Sealed, Tip};
use quaywright_core::moment::{Length, Moment};
use quaywright_core::sheet::{DaySheet, LogHead, Share, day_sheet, owner_sheet};

use quaywright_core::view::{SpanRow, day_rows};
use quaywright_papers::wire::{Leaf, Paper};

use crate::histories::{DEVICES, Happening, asked_of_one, event, history, lived, moment};
use crate::owner;
use crate::phone::Phone;
use crate::press::press;
use crate::schemas::{misfits_of_days, misfits_of_jobs};

/// Nothing is written beside the sources; a failure says its smallest case.
fn config(cases: u32) -> Config {
    Config { cases, failure_persistence: None, ..Config::default() }
}

fn fold(log: &Log) -> Book {
    Book::replay(log.in_order().into_iter().map(|sealed| &sealed.record))
}

fn union(phones: &[Phone]) -> Log {
    let mut log = Log::default();
    phones.iter().for_each(|phone| log.merge(&phone.log));
    log
}

fn merged(a: &Log, b: &Log) -> Log {
    let mut log = a.clone();
    log.merge(b);
    log
}

fn sheets(book: &Book, now: Moment) -> Vec<DaySheet> {
    let log = LogHead::from(&Tip::fresh(DeviceId::new([0; 8])));
    book.ledger.days(now).into_iter().map(|day| day_sheet(book, day, now, log)).collect()
}

fn backup_of(phone: &Phone) -> Vec<u8> {
    assemble(&backup::pieces(phone.lines.iter().map(Vec::as_slice), &[]), |_| None)
}

proptest! {
    #![proptest_config(config(128))]

    #[test]
    fn merging_logs_is_a_union(history in history(60), forged in prop::collection::vec(event(), 0..4)) {
        let phones = lived(&history);
        let mut logs: Vec<Log> = phones.iter().map(|phone| phone.log.clone()).collect();
        // A device that was copied says other things under the same names.
        let mut copy = Phone::new(0, "2026-05-04T08:00:00.000+01:00");
        forged.into_iter().for_each(|event| drop(copy.say(event)));
        logs.push(copy.log);
        let [a, b, c] = [&logs[0], &logs[1], &logs[DEVICES]];
        prop_assert_eq!(&merged(a, a), a);
        prop_assert_eq!(merged(a, b), merged(b, a));
        prop_assert_eq!(merged(a, c), merged(c, a));
        prop_assert_eq!(merged(&merged(a, b), c), merged(a, &merged(b, c)));
    }

    #[test]
    fn the_book_does_not_depend_on_the_order_of_arrival(history in history(60), seed in any::<u64>()) {
        let log = union(&lived(&history));
        let mut arrivals: Vec<Sealed> = log.by_name().cloned().collect();
        arrivals.sort_by_key(|sealed| Hash::of(format!("{seed} {}", sealed.record.id).as_bytes()));
        let mut other = Log::default();
        arrivals.into_iter().for_each(|sealed| other.take(sealed));
        prop_assert_eq!(fold(&log), fold(&other));
        prop_assert_eq!(log.faults(), []);
    }

    #[test]
    fn replaying_gives_what_was_applied_step_by_step(history in history(60)) {
        let mut alone = history;
        alone.retain(|(_, happening)| !matches!(happening, Happening::Heard { .. }));
        alone.iter_mut().for_each(|(device, _)| *device = 0);
        let phones = lived(&alone);
        prop_assert_eq!(&fold(&phones[0].log), &phones[0].book);
    }

    #[test]
    fn a_line_reads_back_as_it_was_written(event in event(), now in moment(), seq in 0..u64::MAX - 1) {
        let tip = Tip { seq, ..Tip::fresh(DeviceId::new([9; 8])) };
        let record: Record = tip.record(now, event);
        let (bytes, sealed) = line::seal(record.clone());
        prop_assert_eq!(&sealed.record, &record);
        prop_assert!(!bytes.contains(&b'\n'));
        prop_assert_eq!(line::read(&bytes), Ok(sealed));
    }

    #[test]
    fn the_days_of_a_book_add_up(history in history(80)) {
        let phones = lived(&history);
        let book = fold(&union(&phones));
        let now = phones[0].now;
        let total: Length = book.ledger.spans(now).iter().map(Span::length).sum();
        let sheets = sheets(&book, now);
        prop_assert_eq!(sheets.iter().map(|sheet| sheet.total).sum::<Length>(), total);
        for sheet in &sheets {
            adds_up(sheet)?;
            // What is different from what was handed over is all of the difference.
            if let Some(amended) = &sheet.revision.amends {
                prop_assert!(!amended.changes.is_empty());
                // Two may have left at the same instant, with a mend between them.
                let told = book.handovers.days_told();
                let told = told.filter(|it| it.day == sheet.day && it.at == amended.handed_over);
                let mut before = told.map(|told| told.times.iter().map(|it| it.length).sum::<Length>());
                let left: Length = amended.changes.iter().map(|it| it.before).sum();
                let came: Length = amended.changes.iter().map(|it| it.after).sum();
                prop_assert!(before.any(|before| before + came == sheet.total + left));
            }
        }
        prop_assert_eq!(milliseconds(&table::table(&sheets)), u128::from(total.ms()));
    }

    #[test]
    fn spans_follow_each_other_without_overlap(history in history(80)) {
        let phones = lived(&history);
        let book = fold(&union(&phones));
        let spans = book.ledger.spans(phones[0].now);
        for pair in spans.windows(2) {
            prop_assert!(pair[0].to.utc_ms() <= pair[1].from.utc_ms());
            // Between the two ends of one mend lies what it says, which may be nothing.
            let off = book.ledger.mended(pair[1].begun_by).is_some_and(|it| it.mend.doing == Doing::Off);
            if pair[0].ended_by == Some(pair[1].begun_by) && !off {
                // The same instant, told by two phones that may be in two zones.
                prop_assert_eq!(pair[0].to.utc_ms(), pair[1].from.utc_ms());
            }
        }
    }

    #[test]
    fn withdrawing_a_withdrawal_leaves_the_time_as_it_was(history in history(80)) {
        let phones = lived(&history);
        let before = fold(&union(&phones));
        let mends: Vec<EventId> = before.ledger.mends().filter(|it| !it.withdrawn).map(|it| it.id).collect();
        for mend in mends {
            let mut log = Phone::new(200, "2100-01-01T00:00:00.000+00:00");
            log.hear(&union(&phones));
            let first = log.say(Event::Withdrawn { event: mend }).record.id;
            prop_assert_eq!(log.book.ledger.mended(mend).map(|it| it.withdrawn), Some(true));
            prop_assert_eq!(&fold(&log.log).ledger, &log.book.ledger);
            log.say(Event::Withdrawn { event: first });
            prop_assert_eq!(&log.book.ledger, &before.ledger);
        }
    }

    #[test]
    fn never_more_back_on_than_came_off(history in asked_of_one(80)) {
        let phones = lived(&history);
        let book = &phones[0].book;
        prop_assert_eq!(&book.faults, &[]);
        for item in book.jobs.jobs().flat_map(|job| book.teardown.items_of(job.id)) {
            prop_assert!(item.settled() <= item.facts.count);
        }
    }

    #[test]
    fn every_document_can_be_made_of_every_history(history in history(60)) {
        let phones = lived(&history);
        let book = fold(&union(&phones));
        let now = phones[0].now;
        for sheet in sheets(&book, now) {
            let page = assemble(&bundle::page(&sheet, phones[0].lines.iter().map(Vec::as_slice)), |_| None);
            let read = bundle::read_bundle(&page);
            prop_assert_eq!(read.map(|bundle| bundle.intake.records.len()), Ok(phones[0].lines.len()));
            prop_assert!(!plain::plain(&sheet).is_empty());
            prop_assert_eq!(misfits_of_days(std::slice::from_ref(&sheet)), Vec::<String>::new());
            for missing in closing(&book, sheet.day, now).missing {
                prop_assert!(missing.to_string().ends_with('.'));
            }
            for proposal in forgotten(&book, sheet.day, now) {
                prop_assert!(proposal.to_string().ends_with('?'));
                let end = proposal.to.unwrap_or(proposal.span.to);
                prop_assert!(proposal.span.from.utc_ms() <= proposal.from.utc_ms() && proposal.from.utc_ms() < end.utc_ms());
                prop_assert!(!proposal.commands(end).is_empty());
            }
            let rows = day_rows(&book, sheet.day, now);
            let distinct: HashSet<&SpanRow> = rows.iter().collect();
            prop_assert_eq!(distinct.len(), rows.len());
        }
        prop_assert_eq!(misfits_of_jobs(&book, now, LogHead::from(&phones[0].tip)), Vec::<String>::new());
        for job in book.jobs.jobs() {
            let sheet = owner_sheet(&book, job.id, now.day()).unwrap();
            prop_assert_eq!(owner::misfits(&sheet), Vec::<String>::new());
        }
    }

    #[test]
    fn an_altered_byte_of_a_backup_is_found_and_named(history in asked_of_one(30), at in any::<prop::sample::Index>(), with in 1..=255_u8) {
        let phone = lived(&history).swap_remove(0);
        let mut file = backup_of(&phone);
        let at = at.index(file.len());
        let number = file[..at].iter().filter(|&&byte| byte == b'\n').count() + 1;
        let last = number == phone.lines.len() + 2;
        let end_of_line = file[at] == b'\n';
        file[at] ^= with;
        match backup::read(&file) {
            // The version of the file itself was altered.
            Err(error) => prop_assert!(number == 1 && error != IntakeError::Broken),
            Ok(intake) => {
                prop_assert!(!intake.faults.is_empty() || last && end_of_line && file[at] == b'\r');
                if number > 1 && !last && !end_of_line && file[at] != b'\n' {
                    let named = |fault: &Fault| match fault {
                        Fault::Record { place, .. } | Fault::Photo { place, .. } | Fault::Stray(place) => *place == Place::Line(number),
                        _ => false,
                    };
                    prop_assert!(intake.faults.iter().any(named), "{:?}", intake.faults);
                    prop_assert_eq!(intake.records.len(), phone.lines.len() - 1);
                }
            }
        }
    }

    #[test]
    fn a_missing_record_is_named_by_the_one_after_it(history in asked_of_one(30), which in any::<prop::sample::Index>()) {
        let phone = lived(&history).swap_remove(0);
        if phone.lines.len() < 2 {
            return Ok(());
        }
        let gone = which.index(phone.lines.len() - 1);
        let mut log = Log::default();
        for (at, bytes) in phone.lines.iter().enumerate() {
            if at != gone {
                log.take(line::read(bytes).unwrap());
            }
        }
        let after = EventId { device: phone.tip.device, seq: gone as u64 + 2 };
        prop_assert_eq!(log.faults(), [LogFault::Gap(after)]);
    }

    #[test]
    fn a_newer_file_is_refused_whole(history in asked_of_one(20), version in 3..u32::MAX) {
        let phone = lived(&history).swap_remove(0);
        let newer = format!(r#""v":{version}"#);
        let file = String::from_utf8(backup_of(&phone)).unwrap().replacen(r#""v":1"#, &newer, 1);
        prop_assert_eq!(intake::take(file.as_bytes()), Err(IntakeError::Newer { version }));
        // One record by a newer program is enough: a log is taken whole or not.
        let head = format!(r#"{{"v":{version},"id":"0000000000000000-1","said":"otherwise""#);
        let record = format!(r#"{head},"hash":"{}"}}"#, Hash::of(head.as_bytes()));
        let records = phone.lines.iter().map(Vec::as_slice).chain([record.as_bytes()]);
        let file = assemble(&backup::pieces(records, &[]), |_| None);
        prop_assert_eq!(intake::take(&file), Err(IntakeError::Newer { version }));
    }
}

proptest! {
    #![proptest_config(config(512))]

    #[test]
    fn no_reader_panics(bytes in prop::collection::vec(any::<u8>(), 0..400), start in 0..8_usize) {
        let begins = ["", "{\"v\":1,", "{\"quaywright\":\"backup\",\"v\":1,", "{\"quaywright\":\"day\",\"v\":1,",
            "<!doctype html><script type=\"application/json\" id=\"quaywright-day\">{\"quaywright\":\"day\",\"v\":1,",
            "{\"blob\":\"", "%PDF-1.7\n",
            "%PDF-1.7\n1 0 obj\n<</Type/EmbeddedFile/Filter/FlateDecode/Length 200>>\nstream\nx\u{1}"];
        let file = [begins[start].as_bytes(), &bytes].concat();
        let _ = (line::read(&file), line::check(&file), line::read_verified(&file));
        let _ = (backup::read(&file), bundle::read_bundle(&file), intake::recognise(&file), intake::take(&file));
    }

    #[test]
    fn no_reader_panics_on_a_damaged_file(history in asked_of_one(12), cut in any::<prop::sample::Index>(), at in any::<prop::sample::Index>(), with in any::<u8>()) {
        let phone = lived(&history).swap_remove(0);
        let sheet = day_sheet(&phone.book, phone.now.day(), phone.now, LogHead::from(&phone.tip));
        let mut file = assemble(&bundle::page(&sheet, phone.lines.iter().map(Vec::as_slice)), |_| None);
        let at = at.index(file.len());
        file[at] = with;
        file.truncate(cut.index(file.len()) + 1);
        let taken = intake::take(&file);
        // Whatever is taken vouches for itself.
        for (bytes, sealed) in taken.map(|intake| intake.records).unwrap_or_default() {
            prop_assert!(phone.lines.contains(&bytes));
            prop_assert_eq!(phone.log.get(sealed.record.id), Some(&sealed));
        }
    }
}

/// A byte that becomes another, and where the file ends early, if it does.
type Damage = (prop::sample::Index, u8, Option<prop::sample::Index>);

fn damage() -> impl Strategy<Value = Damage> {
    (any::<prop::sample::Index>(), any::<u8>(), prop::option::of(any::<prop::sample::Index>()))
}

proptest! {
    // A PDF takes longer to make than to read, so each is damaged in many ways.
    #![proptest_config(config(64))]

    #[test]
    fn no_reader_panics_on_a_damaged_pdf(history in asked_of_one(12), damages in prop::collection::vec(damage(), 24)) {
        let phone = lived(&history).swap_remove(0);
        let paper = Paper::DayPdf(phone.now.day(), Leaf::A4);
        let whole = press(&phone.lines, phone.tip.device, phone.now, paper, |_| None).bytes;
        prop_assert_eq!(intake::take(&whole).unwrap().records.len(), phone.lines.len());
        for (at, with, cut) in damages {
            let mut file = whole.clone();
            let at = at.index(file.len());
            file[at] = with;
            file.truncate(cut.map_or(file.len(), |cut| cut.index(file.len()) + 1));
            // Whatever is taken vouches for itself.
            for (bytes, sealed) in intake::take(&file).map(|intake| intake.records).unwrap_or_default() {
                prop_assert!(phone.lines.contains(&bytes));
                prop_assert_eq!(phone.log.get(sealed.record.id), Some(&sealed));
            }
        }
    }
}

#[test]
fn the_histories_are_worth_trying() {
    let mut runner = TestRunner::deterministic();
    let mut seen = [0_usize; 10];
    for _ in 0..200 {
        let history = history(80).new_tree(&mut runner).unwrap().current();
        let phones = lived(&history);
        let book = fold(&union(&phones));
        let now = phones[0].now;
        let sheets = sheets(&book, now);
        let jobs = || book.jobs.jobs();
        seen[0] += usize::from(sheets.len() > 1);
        seen[1] += usize::from(sheets.iter().any(|sheet| !sheet.pauses.is_empty()));
        seen[2] += usize::from(jobs().any(|job| book.teardown.items_of(job.id).any(|item| item.back().0 > 0)));
        seen[3] += usize::from(book.ledger.set_backs().next().is_some());
        seen[4] += usize::from(!book.faults.is_empty());
        seen[6] += usize::from(book.ledger.mends().count() > 1);
        seen[7] += usize::from(book.ledger.mends().any(|it| it.withdrawn));
        seen[8] += usize::from(book.ledger.mends().any(|it| book.ledger.covered(it.id).len() > 1));
        seen[9] += usize::from(book.shop.chosen().is_some_and(|rules| rules.bill != Charge::default()));
        seen[5] += usize::from(phones.iter().any(|phone| phone.log.len() > phone.lines.len()));
    }
    assert!(seen.iter().all(|&times| times >= 5), "of 200 histories: {seen:?}");
}

/// Every part of a day is in exactly one row.
fn adds_up(sheet: &DaySheet) -> Result<(), TestCaseError> {
    let sum = |shares: &[Share]| shares.iter().map(|share| share.length).sum::<Length>();
    let jobs: Length = sheet.jobs.iter().map(|job| job.time()).sum();
    for job in &sheet.jobs {
        let hours = &job.hours;
        let days = hours.days.iter().map(|&(_, length)| length);
        prop_assert_eq!(days.sum::<Length>(), hours.all.clock);
        let lines = hours.lines.iter().map(|line| line.hours.clock);
        prop_assert_eq!(lines.sum::<Length>() + hours.no_line, hours.all.clock);
        let today = hours.days.iter().find(|(day, _)| *day == sheet.day).map(|&(_, length)| length);
        prop_assert_eq!(today.unwrap_or_default(), job.time());
        let lines = hours.lines.iter().map(|line| line.hours.billed);
        prop_assert_eq!(lines.sum::<Length>() + hours.minimum, hours.all.billed);
        let paid = hours.by_pay.iter().map(|&(_, both)| both.billed);
        prop_assert_eq!(paid.sum::<Length>(), hours.all.billed);
    }
    prop_assert_eq!(jobs + sum(&sheet.no_job), sheet.worked);
    prop_assert_eq!(sheet.worked + sum(&sheet.pauses), sheet.total);
    Ok(())
}

fn milliseconds(table: &[u8]) -> u128 {
    let text = String::from_utf8(table.to_vec()).unwrap();
    let mut reader = csv::Reader::from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    reader.records().map(|row| row.unwrap()[12].parse::<u128>().unwrap()).sum()
}
