//! A visit is planned where a job ends, and the next job on the boat begins with it.

use quaywright_core::exchange::intake;
use quaywright_core::sheet::visits::job_visits;

use crate::ground::World;
use crate::hand::book_of;
use crate::looks::judge;

#[test]
fn a_visit_that_is_planned_waits_for_the_next_job_on_the_boat() {
    let world = World::of_app();
    let page = world.open_workbook_at("America/Los_Angeles", "2026-05-04T08:00:00-07:00");
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Batteries flat");
    page.job("Marsh Heron", "Story");
    page.wait_for_text("None is planned.");
    page.tap_named("link", "Plan the next visit");

    // What says nothing is refused in words; what was typed stays.
    page.fill_labelled("On which day (empty: no day yet)", "2026-05-01");
    page.tap_named("button", "Keep the plan");
    page.wait_for_text("Write what is planned first.");
    page.fill_labelled("What is to be done then", "Winter lay-up");
    page.tap_named("button", "Keep the plan");
    page.wait_for_text("That day is over");
    page.fill_labelled("On which day (empty: no day yet)", "2026-10-05");
    page.hide_what_was_said();
    judge(&page, "visit-form");
    page.tap_named("button", "Keep the plan");
    page.said("The next visit is planned");
    page.wait_for_text("Winter lay-up, Monday 5 October, asked for by the owner");

    // Taken back and brought back.
    page.tap_named("button", "Take it back: Winter lay-up, Monday 5 October, asked for by the owner");
    page.said("The visit is planned no more");
    page.wait_for_text("None is planned.");
    page.tap_named("button", "Take back");
    page.wait_for_text("Winter lay-up, Monday 5 October");

    page.minutes_pass(3);
    page.tap_named("link", "Marsh Heron");
    page.wait_for_text("Planned");
    judge(&page, "boat-planned");
    page.tap_named("link", "New job on this boat");
    page.fill_labelled("What is to be done", "Lay-up");
    page.tap_named("button", "Open it and start labour");
    page.said("is open");
    page.job("Lay-up", "Story");
    page.wait_for_text("Planned at an earlier visit");
    page.hide_what_was_said();
    judge(&page, "visit-planned-before");
    let line = "Winter lay-up, Monday 5 October, asked for by the owner, planned on Monday 4 May";
    page.tap_named("button", &format!("This is that visit: {line}"));
    page.wait_for_text("This job is that visit.");

    let book = book_of(&intake::take(&world.backup(&page)).unwrap());
    let told = book.jobs.jobs().map(|job| job_visits(&book, job)).map(|it| (it.planned.len(), it.before.len()));
    assert_eq!(told.collect::<Vec<_>>(), [(1, 0), (0, 1)]);
    page.assert_quiet();
}
