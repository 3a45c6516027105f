//! An estimate is written, signed by a finger, overrun, agreed to anew by telephone, and leaves as a sheet.

use quaywright_core::agreement::overrun::Standing;
use quaywright_core::event::Reader;
use quaywright_core::exchange::intake;
use quaywright_core::sheet::SignedState;
use quaywright_core::sheet::agreement::agreement_sheet;
use quaywright_core::view::overrun_card;

use crate::ground::World;
use crate::hand::book_of;
use crate::looks::judge;
use crate::page::{Page, SOON};

fn add_line(page: &Page, kind: &str, words: &str, size: (&str, &str), amount: (&str, &str)) {
    page.choose_labelled("Kind of cost", kind);
    page.fill_labelled("What for", words);
    if !size.0.is_empty() {
        page.fill_labelled(size.0, size.1);
    }
    page.fill_labelled(amount.0, amount.1);
    page.tap_named("button", "Add the line");
}

/// Writes an estimate of two hours and a seal on the job that is open.
fn write_an_estimate(page: &Page) {
    page.tap_named("link", "Estimate and agreement");
    page.wait_for_text("No estimate yet");
    judge(page, "agreement-empty");
    page.tap_named("link", "Write an estimate");
    let hours = ("Hours, such as 2.5 or 2:30", "2");
    add_line(page, "Labour", "find and mend", hours, ("Amount, or a rate such as 95/h", "95/h"));
    page.wait_for_text("190.00 USD");
    add_line(page, "Parts", "Shaft seal", ("How many", "2"), ("Amount, or a price such as 12.50 each", "9.20 each"));
    let percent = "Amount, or per cent of what stands above, such as 7.25 %";
    add_line(page, "Tax", "", ("", ""), (percent, "7.25 %"));
    page.wait_for_text("223.51 USD");
    page.choose_labelled("Rule that it follows", "California, vessels");
    judge(page, "estimate-form");
    page.tap_named("button", "Make the estimate");
    page.said("The estimate is made");
    page.wait_for_text("not agreed to yet");
    page.wait_for_text("nobody has agreed to the estimate yet");
}

#[test]
fn an_estimate_is_signed_overrun_and_agreed_to_anew() {
    let world = World::of_app();
    let page = world.open_workbook_at("America/Los_Angeles", "2026-05-04T08:00:00-07:00");
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Batteries flat");
    page.job("Marsh Heron", "Story");
    write_an_estimate(&page);
    judge(&page, "agreement-open");

    page.tap_named("link", "Show it to the owner");
    page.wait_for_text("Total: 223.51 USD");
    page.draw(".pad", &[(10.0, 60.0), (20.0, 20.0), (30.0, 70.0), (45.0, 30.0), (60.0, 65.0)]);
    page.draw(".pad", &[(15.0, 85.0), (80.0, 80.0)]);
    page.wait_for("document.querySelectorAll('.pad polyline').length === 2", SOON);
    page.hide_what_was_said();
    judge(&page, "agreement-sign");
    // A tap right after a stroke only stops what the browser takes for a flick.
    std::thread::sleep(std::time::Duration::from_millis(600));
    page.tap_named("button", "Agree, as signed");
    page.said("The consent is kept");
    page.wait_for_text("This sheet says what was signed.");

    // The clock goes on past what was agreed, and says so where it stands.
    page.place("Now");
    page.minutes_pass(123);
    page.wait_for_text("More than was agreed: 2:0");
    page.wait_for_text("it asks for a new agreement before the work goes on");
    page.unfold("A message to the owner");
    page.wait_for_text("Please tell us whether and up to which cost we may go on.");
    judge(&page, "now-overrun");
    page.tap_named("link", "Agree to more");
    page.fill_labelled("Which parts and which labour are added", "Trace the field wire, one hour");
    page.fill_labelled("What it adds to the cost, tax included", "101.89");
    page.fill_labelled("Hours of work that it adds (empty: none)", "1");
    page.fill_labelled("Number that you called (empty: the owner called)", "555 0100");
    judge(&page, "agreement-telephone");
    page.tap_named("button", "Keep the consent");
    page.said("The consent is kept");
    page.wait_for_text("called 555 0100");

    page.tap_named("link", "Recommend more work");
    page.fill_labelled("What you recommend", "New belt");
    page.tap_named("button", "Keep the recommendation");
    page.said("The recommendation is kept");
    page.tap_named("button", "declined: New belt: not answered yet");
    page.said("The answer is kept");
    // Who cannot draw types the name.
    page.tap_named("link", "The owner accepts the work");
    page.tap_named("button", "Agree, with the typed name as signature");
    page.said("The consent is kept");
    page.hide_what_was_said();
    judge(&page, "agreement-whole");

    let sheet = world.save_document(&page, "Make the sheet", "agreement on Marsh Heron");
    let sheet = String::from_utf8(sheet).unwrap();
    for told in ["223.51 USD", "<polyline", "SHA-256 of what was signed: ", "called 555 0100", "New belt: declined"] {
        assert!(sheet.contains(told), "{told}");
    }
    let backup = world.backup(&page);
    let book = book_of(&intake::take(&backup).unwrap());
    let job = book.jobs.jobs().next().unwrap().id;
    let now = quaywright_core::moment::Moment::parse("2026-05-04T10:30:00-07:00").unwrap();
    assert_eq!(overrun_card(&book, job, now).unwrap().standing, Standing::Near);
    let sheet = agreement_sheet(&book, job, now.day(), Reader::default()).unwrap();
    let states: Vec<_> = sheet.consents.iter().map(|it| it.signed.as_ref().map(|signed| signed.state)).collect();
    assert_eq!(states, [Some(SignedState::Same), None, Some(SignedState::Same)]);
    page.assert_quiet();
}

#[test]
fn where_a_rule_lets_her_an_owner_signs_that_she_waives_the_estimate() {
    let world = World::of_app();
    let page = world.open_workbook_at("America/New_York", "2026-05-04T08:00:00-04:00");
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Batteries flat");
    page.job("Marsh Heron", "Story");
    page.tap_named("link", "Estimate and agreement");
    page.tap_named("link", "Write an estimate");
    page.choose_labelled("Rule that it follows", "California, vessels");
    page.wait_for("!document.body.innerText.includes('The owner waives the estimate')", SOON);
    page.choose_labelled("Rule that it follows", "New Jersey, watercraft");
    page.wait_for_text("an owner may waive the written estimate");
    judge(&page, "estimate-form-waiver");
    page.tap_named("button", "The owner waives the estimate");
    page.said("The waiver is ready to be signed");
    page.wait_for_text("Waive the estimate");
    page.wait_for_text("You waive the written estimate.");
    page.draw(".pad", &[(10.0, 60.0), (20.0, 20.0), (30.0, 70.0), (45.0, 30.0), (60.0, 65.0)]);
    page.wait_for("document.querySelectorAll('.pad polyline').length === 1", SOON);
    page.hide_what_was_said();
    judge(&page, "waiver-sign");
    // A tap right after a stroke only stops what the browser takes for a flick.
    std::thread::sleep(std::time::Duration::from_millis(600));
    page.tap_named("button", "Agree, as signed");
    page.said("The consent is kept");
    page.wait_for_text("agreed to work without a written estimate, which is waived");
    page.wait_for_text("This sheet says what was signed.");
    page.wait_for("!document.body.innerText.includes('Agree to more')", SOON);
    page.hide_what_was_said();
    judge(&page, "agreement-waived");
    let sheet = world.save_document(&page, "Make the sheet", "agreement on Marsh Heron");
    let sheet = String::from_utf8(sheet).unwrap();
    for told in ["Waiver of the estimate", "<polyline", "13:45A-23"] {
        assert!(sheet.contains(told), "{told}");
    }
    assert!(!sheet.contains("USD"), "{sheet}");
    page.assert_quiet();
}
