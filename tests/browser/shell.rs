//! The shell around the workbook: its files on the phone, new versions of them, the home screen.
//!
//! A version is taken whole or not at all, and never under a hand that works.
//! The second version here is the first with one byte changed, stamped anew.

use std::fs;
use std::path::Path;
use std::time::Duration;

use quaywright_xtask::server::Mishap;
use quaywright_xtask::stamp;
use serde_json::{Value, json};
use tempfile::TempDir;

use crate::ground::{World, dist};
use crate::hand::CORNERS;
use crate::looks::judge;
use crate::page::{Page, SOON, Screen};
use crate::phone::Held;

/// Looks for a new version and returns what became of it: `installed`, `redundant`, or `none`.
const LOOK_FOR_UPDATE: &str = "(async () => {
    const registration = await navigator.serviceWorker.getRegistration();
    await registration.update();
    const worker = registration.installing || registration.waiting;
    if (!worker) return 'none';
    if (worker.state === 'installing') {
        await new Promise(done => worker.addEventListener('statechange', done, { once: true }));
    }
    return worker.state;
})()";

/// Asks the worker that answers for the page which version it is.
const VERSION: &str = "new Promise(done => {
    const channel = new MessageChannel();
    channel.port1.onmessage = event => done(event.data);
    navigator.serviceWorker.controller.postMessage({ type: 'version' }, [channel.port2]);
})";

const CACHES: &str = "caches.keys().then(names => names.filter(it => it.startsWith('quaywright-files-')))";

/// Returns the built app with one byte changed and stamped anew, and its version.
pub fn next_version() -> (TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    copy(&dist(), folder.path());
    let page = folder.path().join("index.html");
    let text = fs::read_to_string(&page).unwrap();
    let changed = text.replace("Works without a network.", "Works without a network!");
    assert_ne!(text, changed);
    fs::write(&page, changed).unwrap();
    let version = stamp::stamp(folder.path(), "/").unwrap();
    (folder, version)
}

/// Copies a folder with all that is in it.
pub fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).unwrap();
        }
    }
}

fn description(page: &Page) -> String {
    page.eval("document.querySelector('meta[name=description]').content").unwrap()
}

#[test]
fn a_new_version_is_offered_and_waits_for_the_hand() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.wait_until_offline_is_ready();
    let old: String = page.eval(VERSION).unwrap();
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    let (folder, new) = next_version();
    world.server().set_root(folder.path()).unwrap();

    page.reload().unwrap();
    page.wait_until_open();
    page.wait_for_text("A new version of Quaywright is ready.");
    judge(&page, "new-version");
    page.tap_named("button", "Later");
    page.wait_for("!document.body.innerText.includes('A new version')", SOON);
    page.job("Marsh Heron", "Story");
    page.fill_labelled("Cause", "Half a senten");
    std::thread::sleep(Duration::from_millis(700));
    // Neither later nor another look changes what answers, until the person says so.
    assert_eq!(page.eval::<String>(LOOK_FOR_UPDATE).unwrap(), "installed");
    assert_eq!(page.eval::<String>(VERSION).unwrap(), old);
    page.reload().unwrap();
    page.wait_until_open();
    assert_eq!((page.eval::<String>(VERSION).unwrap(), description(&page).ends_with('.')), (old, true));

    page.part("Off-list");
    page.tap_named("button", "Taking apart");
    page.fill_labelled("What came off", "Belt guard");
    page.tap_named("button", "Use the new version");
    page.wait_for("document.querySelector('meta[name=description]').content.endsWith('!')", 2 * SOON);
    page.wait_until_open();
    assert_eq!(page.eval::<String>(VERSION).unwrap(), new);
    assert_eq!(page.eval::<Vec<String>>(CACHES).unwrap(), [format!("quaywright-files-{new}")]);
    page.wait_for("[...document.querySelectorAll('input')].some(it => it.value === 'Belt guard')", SOON);
    page.part("Story");
    page.wait_for("[...document.querySelectorAll('textarea')].some(it => it.value === 'Half a senten')", SOON);
    page.place("Now");
    page.clock_shows("Marsh Heron");
    assert!(!page.text().contains("A new version"));
    page.assert_quiet();
}

/// An older version's tab stays open while another takes the new one: what it writes meanwhile is
/// kept, it comes to the new version by the same button, and neither waits for the other.
#[test]
fn a_tab_of_the_version_before_goes_on_writing_and_follows_when_it_is_asked() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.wait_until_offline_is_ready();
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    let other = world.open();
    other.wait_until_open();
    other.wait_for_text("This one only shows");
    let (folder, new) = next_version();
    world.server().set_root(folder.path()).unwrap();
    page.eval::<String>(LOOK_FOR_UPDATE).unwrap();
    for tab in [&page, &other] {
        tab.wait_for_text("A new version of Quaywright is ready.");
    }

    page.tap_named("button", "Use the new version");
    page.wait_for("document.querySelector('meta[name=description]').content.endsWith('!')", 2 * SOON);
    page.wait_until_open();
    // The tab that only showed has its turn at once, still in the version before.
    other.wait_for("!document.body.innerText.includes('This one only shows')", SOON);
    page.wait_for_text("This one only shows");
    assert!(description(&other).ends_with('.'));
    other.place("Now");
    other.do_now("On no job", "Travel");
    page.place("Now");
    page.clock_shows("Travel");

    // What it was offered holds for it too, though no version waits any more.
    other.tap_named("button", "Use the new version");
    other.wait_for("document.querySelector('meta[name=description]').content.endsWith('!')", 2 * SOON);
    other.wait_until_open();
    assert_eq!(other.eval::<String>(VERSION).unwrap(), new);
    page.wait_for("!document.body.innerText.includes('This one only shows')", SOON);
    page.do_now("On no job", "Waiting");
    other.clock_shows("Waiting");
    let held = Held::of(world.backup(&page)).clock();
    assert_eq!(held, ["labour", "travel", "waiting"]);
}

/// Each way in which a file can arrive wrongly, for a file of each kind.
#[test]
fn one_wrong_file_keeps_the_old_version_whole() {
    let mut world = World::of_app();
    let page = world.open_workbook();
    page.wait_until_offline_is_ready();
    let old: String = page.eval(VERSION).unwrap();
    let (folder, new) = next_version();
    let names = stamp::listed(folder.path()).unwrap();
    let of_kind = |end: &str| names.keys().find(|name| name.ends_with(end)).unwrap().clone();
    let sample = [".html", ".wasm", ".css", ".webmanifest", "any-512.png", "photo-worker.js"].map(of_kind);
    world.server().set_root(folder.path()).unwrap();
    for name in &sample {
        for mishap in [Mishap::Status(503), Mishap::Status(404), Mishap::Truncated, Mishap::Altered] {
            world.server().mishap(name, mishap);
            let state: String = page.eval(LOOK_FOR_UPDATE).unwrap();
            assert_eq!(state, "redundant", "{name}, {mishap:?}");
            assert_eq!(page.eval::<String>(VERSION).unwrap(), old, "{name}, {mishap:?}");
            let caches = page.eval::<Vec<String>>(CACHES).unwrap();
            assert_eq!(caches, [format!("quaywright-files-{old}")], "{name}, {mishap:?}");
            world.server().mend();
        }
    }
    // And each file of the list, one after the other, goes wrong in one way.
    let ways = [Mishap::Altered, Mishap::Truncated, Mishap::Status(404)];
    for (name, mishap) in names.keys().zip(ways.into_iter().cycle()) {
        world.server().mishap(name, mishap);
        assert_eq!(page.eval::<String>(LOOK_FOR_UPDATE).unwrap(), "redundant", "{name}, {mishap:?}");
        assert_eq!(page.eval::<Vec<String>>(CACHES).unwrap(), [format!("quaywright-files-{old}")], "{name}");
        world.server().mend();
    }
    assert!(!page.text().contains("A new version"));
    // What the server answered wrongly is in the console; the app itself says nothing.
    page.forget_console_errors().unwrap();
    world.stop_server();
    page.reload().unwrap();
    page.wait_until_open();
    assert!(description(&page).ends_with('.'));
    world.start_server();
    world.server().set_root(folder.path()).unwrap();
    assert_eq!(page.eval::<String>(LOOK_FOR_UPDATE).unwrap(), "installed");
    page.wait_for_text("A new version of Quaywright is ready.");
    page.tap_named("button", "Use the new version");
    page.wait_for("document.querySelector('meta[name=description]').content.endsWith('!')", 2 * SOON);
    page.wait_until_open();
    assert_eq!(page.eval::<String>(VERSION).unwrap(), new);
}

#[test]
fn the_home_screen_has_two_ways_in_without_a_network() {
    let mut world = World::of_app();
    let page = world.open_workbook();
    page.wait_until_offline_is_ready();
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    let verdict = page.call("Page.getInstallabilityErrors", json!({})).unwrap();
    assert_eq!(verdict["installabilityErrors"], json!([]));
    let manifest = page.call("Page.getAppManifest", json!({})).unwrap();
    assert_eq!(manifest["errors"], json!([]));
    let manifest: Value = serde_json::from_str(manifest["data"].as_str().unwrap()).unwrap();
    for icon in ["icons", "shortcuts"].iter().flat_map(|list| manifest[list].as_array().unwrap()) {
        let icon = if icon["src"].is_null() { &icon["icons"][0] } else { icon };
        let js = format!(
            "fetch({}).then(it => it.blob()).then(createImageBitmap).then(it => it.width + 'x' + it.height)",
            icon["src"]
        );
        assert_eq!(page.eval::<String>(&js).unwrap(), icon["sizes"], "{icon}");
    }

    world.stop_server();
    let shortcuts: Vec<&str> =
        manifest["shortcuts"].as_array().unwrap().iter().filter_map(|it| it["url"].as_str()).collect();
    assert_eq!(shortcuts, ["./?do=note", "./?do=clock"]);
    for (query, words) in [("?do=note", "Note on Marsh Heron: No charge"), ("?do=clock", "On no job")] {
        page.go(&format!("{}{query}", world.address())).unwrap();
        page.wait_until_open();
        page.wait_for_text(words);
        // The way in is gone from the address, or the next reload would go there again.
        page.place("Jobs");
        page.reload().unwrap();
        page.wait_until_open();
        page.wait_for("location.hash === '#/jobs' && document.querySelector('h1').innerText === 'Open jobs'", SOON);
    }
    page.assert_quiet();
}

#[test]
fn a_whole_session_asks_nobody_else_and_complains_of_nothing() {
    let world = World::of(&dist(), Screen::DESK);
    let page = world.open_workbook();
    page.wait_until_offline_is_ready();
    let picture = world.lay_out("bolts.jpg", &page.paint("jpeg", 640, 480, CORNERS));
    page.name_technician("R. Teal", "Slipway Works");
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    page.photograph("Photo", &[picture]);
    for place in ["#/jobs", "#/jobs/finished", "#/boats", "#/new-job", "#/note", "#/nowhere", "#/now"] {
        page.eval::<()>(&format!("void (location.hash = '{place}')")).unwrap();
        page.wait_for("document.querySelector('h1').innerText !== ''", SOON);
    }
    page.off_the_clock();
    let backup = world.backup(&page);
    world.save_document(&page, "Make the day's file", "day ");
    world.save_document(&page, "Make the work summary", "work on ");
    page.bring_back(world.lay_out("backup.txt", &backup));
    page.said("are here now");
    page.reload().unwrap();
    page.wait_until_open();

    let own = [world.address(), format!("blob:{}", world.address()), "data:".to_owned()];
    let requests = page.requests().unwrap();
    // Workers ask for nothing; that they would be heard, the harness shows.
    for from in ["page", "service_worker"] {
        assert!(requests.iter().any(|it| it.from == from), "no request of a {from} was seen at all");
    }
    for request in requests {
        assert!(own.iter().any(|it| request.url.starts_with(it)) && request.method == "GET", "{request:?}");
    }
    page.assert_quiet();
}
