//! The screens that a start does not wait for: with no network, in an update, and when they cannot be had.
//!
//! Each is asked for by a page that has just been loaded, so that nothing of an
//! earlier visit is there already.

use std::fs;
use std::path::Path;

use quaywright_xtask::server::Mishap;
use quaywright_xtask::stamp;
use tempfile::TempDir;

use crate::failure::must;
use crate::ground::{World, dist};
use crate::page::{Page, SOON};
use crate::shell::copy;

/// Every place that is loaded later, and words that only its own screen shows.
const PLACES: [(&str, &str); 6] = [
    ("/new-job", "Complaint, in the customer's words"),
    ("/boats", "Marsh Heron"),
    ("/hand-over", "For the office"),
    ("/day/2026-05-04", "4 May"),
    ("/bench", "Kept, on no job yet"),
    ("/reading/battery-at-rest", "Voltage at rest"),
];
/// The same for the parts of a job's page.
const PARTS: [(&str, &str); 5] = [
    ("Steps", "Another step"),
    ("Readings", "Take a reading"),
    ("Photos", "Photo of the job"),
    ("Parts", "Add the part"),
    ("Time", "Clock and billed"),
];

/// Whether this document has asked for the part.
const ASKED: &str = "performance.getEntriesByType('resource').some(it => it.name.endsWith('-later.wasm'))";

/// Lets a page not have the part before `wanted` is set.
const HOLD_BACK: &str = "(() => {
    const ask = globalThis.fetch;
    globalThis.fetch = (what, ...more) => {
        const early = String(what).endsWith('-later.wasm') && !globalThis.wanted;
        return early ? Promise.reject(new Error('not yet')) : ask(what, ...more);
    };
})()";

/// Loads the page anew at a place.
#[track_caller]
fn start_at(page: &Page, place: &str) {
    must(page.eval::<()>(&format!("void history.replaceState(null, '', '#{place}')")));
    must(page.reload());
    page.wait_until_open();
}

/// Goes to everything that is loaded later, each from a start of its own.
#[track_caller]
fn go_everywhere(page: &Page) {
    for (place, words) in PLACES {
        start_at(page, place);
        page.wait_for_text(words);
        page.wait_for(ASKED, SOON);
    }
    start_at(page, "/now");
    for (part, words) in PARTS {
        page.job("Marsh Heron", part);
        must(page.reload());
        page.wait_until_open();
        page.wait_for_text(words);
    }
    let boat = "[...document.querySelectorAll('main a')].find(it => it.hash.startsWith('#/boat/'))";
    let place: String = must(page.eval(&format!("{boat}.hash.slice(1)")));
    start_at(page, &place);
    page.wait_for_text("New job on this boat");
    page.assert_quiet();
}

/// Returns the built app with another name of its program, as after any change in it, stamped anew.
fn another_program() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    copy(&dist(), folder.path());
    let names = stamp::listed(folder.path()).unwrap();
    let old = names.keys().find_map(|name| name.strip_suffix("-later.wasm")).unwrap();
    for name in names.keys() {
        let file = folder.path().join(name);
        if let Ok(text) = fs::read_to_string(&file) {
            // What the page states of the bytes would have to be counted anew; a page may also state nothing.
            let text = text.replace(old, "quaywright-another");
            fs::write(&file, if name == "index.html" { without_integrity(&text) } else { text }).unwrap();
        }
        if name.starts_with(old) {
            fs::rename(&file, folder.path().join(name.replace(old, "quaywright-another"))).unwrap();
        }
    }
    stamp::stamp(folder.path(), "/").unwrap();
    folder
}

fn without_integrity(page: &str) -> String {
    let mut parts = page.split(" integrity=\"");
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |text, part| text + part.split_once('"').map_or(part, |(_, rest)| rest))
}

#[track_caller]
fn take_the_new_version(page: &Page, folder: &Path) {
    must(page.reload());
    page.wait_until_open();
    page.wait_for_text("A new version of Quaywright is ready.");
    page.tap_named("button", "Use the new version");
    let new = "[...document.querySelectorAll('link')].some(it => it.href.includes('quaywright-another'))";
    page.wait_for(new, 2 * SOON);
    page.wait_until_open();
    assert!(fs::exists(folder.join("quaywright-another-later.wasm")).unwrap());
}

#[test]
fn everything_is_there_without_a_network_also_after_an_update() {
    let mut world = World::of_app();
    let page = world.open_workbook();
    page.wait_until_offline_is_ready();
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    world.stop_server();
    go_everywhere(&page);

    let folder = another_program();
    world.start_server();
    world.server().set_root(folder.path()).unwrap();
    start_at(&page, "/now");
    take_the_new_version(&page, folder.path());
    world.stop_server();
    go_everywhere(&page);
}

#[test]
fn a_page_whose_version_is_gone_says_so_and_opens_again() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.wait_until_offline_is_ready();
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    // A second tab that has not needed the part yet.
    let other = world.browser().blank();
    must(other.before_each_document(HOLD_BACK));
    must(other.go(&world.address()));
    other.wait_until_open();
    other.wait_for_text("This one only shows");

    let folder = another_program();
    world.server().set_root(folder.path()).unwrap();
    take_the_new_version(&page, folder.path());
    must(other.eval::<()>("void (globalThis.wanted = true)"));
    must(other.eval::<()>("void (location.hash = '/boats')"));
    other.wait_for_text("This page could not be loaded");
    // The job that is shown needs nothing that is gone.
    other.place("Now");
    other.clock_shows("Marsh Heron");
    must(other.eval::<()>("void (location.hash = '/boats')"));
    other.wait_for_text("This page could not be loaded");
    must(other.forget_console_errors());
    other.tap_named("button", "Open again");
    other.wait_until_open();
    must(other.eval::<()>("void (globalThis.wanted = true)"));
    must(other.eval::<()>("void (location.hash = '/hand-over')"));
    other.wait_for_text("For the office");
}

#[test]
fn what_could_not_be_had_is_asked_for_again() {
    let world = World::of_app();
    let names = stamp::listed(&dist()).unwrap();
    let part = names.keys().find(|name| name.ends_with("-later.wasm")).unwrap();
    world.server().mishap(part, Mishap::Status(503));
    let page = world.open_workbook();
    must(page.eval::<()>("void (location.hash = '/hand-over')"));
    page.wait_for_text("This page could not be loaded");
    page.place("Now");
    world.server().mend();
    page.place("Hand over");
    page.wait_for_text("For the office");
    let heading: bool = must(page.eval("document.activeElement?.id === 'heading'"));
    assert!(heading, "the focus is at the heading of what was loaded");
}
