//! A job over all its days, as JSON for programs of the office.
//!
//! `schema/job.json` beside this file is its description (JSON Schema, draft
//! 2020-12). It is an object with `quaywright` = `"job"`, `v` = 1, the names of
//! technician and shop, the end of the log that it was made from, its `revision` and,
//! from 2 on, `amends` (`handed-over`, `changes`, each with its `day`, and `also`, what else is different, in words), `days` (`day`,
//! `clock-ms`, `revision` of that whole day) and `job`, which is written as in a
//! day's summary ([`super::bundle`]), only that it tells of all days. Fields may
//! be added without a new version: skip those that you do not know.

use super::bundle::{change_form, job_form, list, log_form, written};
use super::json::{Fields, Json};
use crate::sheet::job::{JobAmended, JobChange, JobDay, JobSummary};

/// The version that this program writes.
pub const VERSION: u32 = 1;

/// The name of a file of these.
pub const NAME: &str = "jobs.json";

/// The description of one, as JSON Schema.
pub const SCHEMA: &str = include_str!("schema/job.json");

/// Returns jobs as a JSON array.
pub fn summaries(jobs: &[JobSummary]) -> Vec<u8> {
    let jobs: Vec<String> = jobs.iter().map(|job| written(form(job))).collect();
    format!("[{}]\n", jobs.join(",\n")).into_bytes()
}

fn form(summary: &JobSummary) -> Fields<'_> {
    let JobSummary { technician, shop, job, revision, days, log } = summary;
    let form = Fields::default().put("quaywright", "job").put("v", VERSION);
    let form = form.put("technician", technician.as_str()).put("shop", shop.as_str()).put("log", log_form(log));
    let form = form.put("revision", revision.number as u64);
    let form = form.put_known("amends", revision.amends.as_ref().map(amended_form));
    form.put("days", list(days, day_form)).put("job", job_form(job))
}

fn amended_form(amended: &JobAmended) -> Fields<'_> {
    let form = Fields::default().put("handed-over", amended.handed_over.to_string());
    let also: Vec<Json<'_>> = amended.also.iter().map(|it| it.words().into()).collect();
    form.put("changes", list(&amended.changes, job_change_form))
        .put_known("also", Some(also).filter(|it| !it.is_empty()))
}

fn job_change_form(it: &JobChange) -> Fields<'_> {
    change_form(&it.change).put("day", it.day.to_string())
}

fn day_form(day: &JobDay) -> Fields<'_> {
    let form = Fields::default().put("day", day.day.to_string()).put("clock-ms", day.clock.ms());
    form.put("revision", day.revision as u64)
}
