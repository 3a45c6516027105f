//! The part that makes documents and reads files: loaded when it is asked for,
//! stopped when the person says so, and said in words when it does not load.

use std::time::Duration;

use quaywright_core::exchange::intake;
use quaywright_core::id::BlobId;
use quaywright_xtask::server::Mishap;

use crate::ground::World;
use crate::page::SOON;

const MODULE: &str = "papers_bg.wasm";

#[test]
fn a_start_does_not_wait_for_it() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.wait_until_offline_is_ready();
    let asked = page.requests().unwrap();
    let of_papers = |from: &str| asked.iter().any(|it| it.from == from && it.url.contains("papers"));
    assert!(!of_papers("page") && !of_papers("worker"), "{asked:?}");
    assert!(of_papers("service_worker"), "it is kept for later all the same");
}

#[test]
fn what_takes_long_can_be_stopped_and_done_again() {
    let world = World::of_app();
    world.server().mishap(MODULE, Mishap::Slow(Duration::from_secs(8)));
    let page = world.open_workbook();
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    page.place("Hand over");
    page.tap_named("button", "Make a backup");
    page.tap_named("button", "Stop");
    page.said("Stopped. Nothing was made.");
    assert!(page.shows("button", "Make a backup"));

    let backup = world.lay_out("some.txt", b"anything");
    page.bring_back(backup);
    page.said("Reading some.txt");
    page.tap_named("button", "Stop");
    page.said("Stopped. Nothing was taken in.");

    world.server().mend();
    // The browser asks for a file once at a time, so the slow answers come to an end first.
    page.wait_until_offline_is_ready();
    let taken = intake::take(&world.backup(&page)).unwrap();
    assert!(taken.faults.is_empty() && !taken.records.is_empty());
}

#[test]
fn that_it_does_not_load_is_said_and_work_goes_on() {
    let world = World::of_app();
    world.server().mishap(MODULE, Mishap::Status(404));
    let page = world.open_workbook();
    page.place("Hand over");
    page.tap_named("button", "Make the day's file");
    page.said("The part of the app that makes and reads files broke off");
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    page.off_the_clock();
    // The server's answer is in the console.
    page.forget_console_errors().unwrap();
}

#[test]
fn documents_leave_as_pdf_and_the_office_takes_the_day_in() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    page.off_the_clock();
    page.place("Hand over");
    page.choose_labelled("Documents as", "PDF, US Letter");
    let day = world.save_document(&page, "Make the day's file", "day 20");
    let summary = world.save_document(&page, "Make the work summary", "work on Marsh Heron 20");
    for pdf in [&day, &summary] {
        assert!(pdf.starts_with(b"%PDF-1.7"));
    }
    let taken = intake::take(&day).unwrap();
    assert!(taken.faults.is_empty() && taken.records.len() > 3, "{taken:?}");
    assert!(intake::take(&summary).is_err(), "an owner's page carries nothing but what it shows");
    // The next document is on the same paper.
    page.place("Now");
    page.place("Hand over");
    page.wait_for(
        "[...document.querySelectorAll('option')].some(it => it.selected && it.innerText === 'PDF, US Letter')",
        SOON,
    );
}

/// Notes the file of each address that the page makes, and which address it opens.
const NOTED: &str = "(() => {
    const files = new Map(), made = URL.createObjectURL;
    URL.createObjectURL = file => { const url = made.call(URL, file); files.set(url, file); return url; };
    window.open = url => { window.shown = files.get(url); return {}; };
})()";

/// What the page opened to be looked at, as the SHA-256 of its bytes.
const LOOKED_AT: &str = "(async () => {
    const hash = await crypto.subtle.digest('SHA-256', await window.shown.arrayBuffer());
    return [...new Uint8Array(hash)].map(it => it.toString(16).padStart(2, '0')).join('');
})()";

#[test]
fn what_is_looked_at_is_the_very_file_that_leaves_and_tells_hours_only_when_asked() {
    let world = World::of_app();
    let page = world.open_workbook_at("Europe/London", "2026-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Batteries flat");
    page.minutes_pass(77);
    page.off_the_clock();
    page.place("Hand over");
    page.eval::<()>(&format!("void ({NOTED})")).unwrap();
    for told in [false, true] {
        if told {
            page.tap_words("Owners see the hours of labour and diagnosis that they pay by the clock");
        }
        page.hide_what_was_said();
        page.tap_named("button", "Make the work summary");
        page.wait_for_text("work on Marsh Heron");
        page.tap_named("button", "Look at it");
        page.wait_for("window.shown", SOON);
        let looked_at: String = page.eval(LOOKED_AT).unwrap();
        page.tap_named("button", "Save");
        page.said("work on Marsh Heron");
        page.tap_named("button", "Make it anew");
        let file = world.browser().wait_download("work on Marsh Heron");
        let bytes = std::fs::read(&file).unwrap();
        std::fs::remove_file(file).unwrap();
        assert_eq!(BlobId::of(&bytes).to_string(), looked_at);
        let text = String::from_utf8(bytes).unwrap();
        assert_eq!(text.contains("Labour: 1 h 17 min"), told);
    }
    page.assert_quiet();
}
