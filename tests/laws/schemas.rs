//! The summaries for programs of others fit their descriptions (JSON Schema,
//! draft 2020-12), as an independent validator reads both.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use std::sync::LazyLock;

use jsonschema::Validator;
use quaywright_core::book::Book;
use quaywright_core::exchange::{bundle, job_summary as job};
use quaywright_core::moment::Moment;
use quaywright_core::sheet::job::{JobSummary, job_summary};
use quaywright_core::sheet::{DaySheet, LogHead, day_sheet};
use serde_json::Value;

use crate::formats::every_kind_of_the_fourth_form;
use crate::phone::Phone;

static DAY: LazyLock<Validator> = LazyLock::new(|| validator(bundle::SCHEMA));
static JOB: LazyLock<Validator> = LazyLock::new(|| validator(job::SCHEMA));

fn validator(schema: &str) -> Validator {
    let schema: Value = serde_json::from_str(schema).unwrap();
    jsonschema::draft202012::meta::validate(&schema).unwrap();
    jsonschema::draft202012::new(&schema).unwrap()
}

fn misfits(validator: &Validator, documents: &[u8]) -> Vec<String> {
    let documents: Vec<Value> = serde_json::from_slice(documents).unwrap();
    let said = documents.iter().flat_map(|document| validator.iter_errors(document));
    said.map(|misfit| format!("{}: {misfit}", misfit.instance_path())).collect()
}

/// Returns in what days do not fit their description.
pub(crate) fn misfits_of_days(days: &[DaySheet]) -> Vec<String> {
    misfits(&DAY, &bundle::summaries(days))
}

/// Returns in what the jobs of a book do not fit their description.
pub(crate) fn misfits_of_jobs(book: &Book, now: Moment, log: LogHead) -> Vec<String> {
    let jobs = book.jobs.jobs().filter_map(|job| job_summary(book, job.id, now, log));
    misfits(&JOB, &job::summaries(&jobs.collect::<Vec<_>>()))
}

fn told(phone: &Phone) -> (DaySheet, Vec<JobSummary>) {
    let log = LogHead::from(&phone.tip);
    let jobs = phone.book.jobs.jobs().filter_map(|job| job_summary(&phone.book, job.id, phone.now, log));
    (day_sheet(&phone.book, phone.now.day(), phone.now, log), jobs.collect())
}

#[test]
fn what_every_kind_of_event_gives_fits() {
    let phone = every_kind_of_the_fourth_form();
    let (day, jobs) = told(&phone);
    assert!(!day.jobs.is_empty() && !jobs.is_empty());
    assert_eq!(misfits_of_days(&[day]), Vec::<String>::new());
    assert_eq!(misfits_of_jobs(&phone.book, phone.now, LogHead::from(&phone.tip)), Vec::<String>::new());
}

#[test]
fn a_document_that_does_not_fit_is_found() {
    let phone = every_kind_of_the_fourth_form();
    let text = String::from_utf8(bundle::summaries(&[told(&phone).0])).unwrap();
    for (was, is) in [("\"labour\"", "\"leisure\""), ("\"worked-ms\":", "\"worked\":"), ("\"amends\":", "\"amended\":")]
    {
        assert!(text.contains(was), "{was}");
        assert!(!misfits(&DAY, text.replace(was, is).as_bytes()).is_empty(), "{is}");
    }
}

#[test]
fn a_job_is_told_over_all_its_days_and_the_days_add_up() {
    use quaywright_core::event::{About, Activity, On};
    let mut phone = Phone::new(0x5e, "2026-05-04T08:00:00.000+01:00");
    let (job, line) = phone.job("Heron", "P. Wherry", "Stern gland", "Drips");
    phone.clock("2026-05-04T09:00:00.000+01:00", Activity::Labour, On::Line(line));
    phone.stop("2026-05-04T10:30:00.000+01:00");
    phone.note(About::Job(job), "Packing is 8 mm");
    phone.clock("2026-05-06T13:00:00.000+01:00", Activity::Diagnosis, On::Line(line));
    phone.stop("2026-05-06T13:45:00.000+01:00");
    phone.note(About::Job(job), "Drips 3 a minute");
    let summary = told(&phone).1.pop().unwrap();
    let days: Vec<_> =
        summary.days.iter().map(|day| (day.day.to_string(), day.clock.clock_face(), day.revision)).collect();
    assert_eq!(days, [("2026-05-04".into(), "1:30".into(), 1), ("2026-05-06".into(), "0:45".into(), 1)]);
    assert_eq!(summary.job.time().clock_face(), "2:15");
    assert_eq!(summary.job.hours.all.clock, summary.days.iter().map(|day| day.clock).sum());
    assert_eq!((summary.job.notes.len(), summary.log.seq), (2, phone.tip.seq));
}
