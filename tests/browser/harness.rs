//! The harness tried on a made-up page, so that a failure of the app's tests is the app's.
//!
//! Each test shows that an instrument reads something when there is something
//! to read: a recorder that records nothing would make every promise look kept.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use std::{fs, panic};

use tempfile::TempDir;

use crate::damage::{files_under, flip_bytes, largest, truncate};
use crate::failure::Failure;
use crate::ground::World;
use crate::group::wait_until;
use crate::page::{ANY, Page, SOON, Screen};

fn made_up(screen: Screen) -> World {
    World::of(&Path::new(env!("CARGO_MANIFEST_DIR")).join("browser/harness"), screen)
}

/// Returns the message with which an action ends its test.
fn complaint(action: impl FnOnce()) -> String {
    let outcome = panic::catch_unwind(panic::AssertUnwindSafe(action));
    let words = outcome.expect_err("it should have ended the test");
    words.downcast_ref::<String>().cloned().unwrap_or_default()
}

#[test]
fn a_page_is_asked_and_answers_or_throws() {
    let world = made_up(Screen::PHONE);
    let page = world.open();
    assert_eq!(page.eval::<u32>("Promise.resolve(6 * 7)").unwrap(), 42);
    page.eval::<()>("undefined").unwrap();
    assert!(matches!(page.eval::<u32>("'words'"), Err(Failure::Unexpected { .. })));
    let thrown = page.eval::<u32>("Promise.reject(new Error('no oil'))").unwrap_err();
    assert!(thrown.to_string().contains("no oil"), "{thrown}");
    assert!(page.text().contains("A made-up page"));
    page.wait_for_text("far down");

    let words = complaint(|| page.wait_for("window.never", Duration::from_millis(200)));
    assert!(words.contains("window.never") && words.contains("A made-up page"), "{words}");
    assert!(matches!(world.browser().blank().go("http://127.0.0.1:1/"), Err(Failure::Refused { .. })));
    page.close().unwrap();
}

#[test]
fn a_tap_is_a_touch_on_what_a_person_can_reach() {
    let world = made_up(Screen::PHONE);
    let page = world.open();
    page.tap("#count");
    page.wait_for_text("1 counted by touch+touch");
    page.tap_named("button", "Count");
    page.wait_for_text("2 counted");
    page.tap_named(ANY, "Deep");
    page.wait_for_text("reached");
    page.tap_named("checkbox", "Wet");
    page.wait_for("document.getElementById('wet').checked", SOON);
    page.tap_named(ANY, "Add photo");
    assert!(page.shows("button", "Covered"));
    assert!(!page.shows("button", "Missing"));

    page.eval::<()>("void document.body.insertAdjacentHTML('beforeend', '<div class=lid></div>')").unwrap();
    let words = complaint(|| page.tap_named("button", "Covered"));
    assert!(words.contains("is covered by <div class=\"lid\">"), "{words}");
    page.eval::<()>("void document.querySelector('.lid').remove()").unwrap();
    page.eval::<()>("void (document.getElementById('covered').disabled = true)").unwrap();
    let words = complaint(|| page.tap("#covered"));
    assert!(words.contains("is disabled"), "{words}");
}

#[test]
fn fields_are_filled_and_files_chosen() {
    let world = made_up(Screen::PHONE);
    let page = world.open();
    let value = |id: &str| page.eval::<String>(&format!("document.getElementById('{id}').value")).unwrap();
    page.fill_labelled("Name", "Sea cock");
    assert_eq!(value("name"), "Sea cock");
    page.type_into("#name", "");
    assert_eq!(value("name"), "");
    page.fill_labelled("Start", "07:45");
    assert_eq!(value("start"), "07:45");
    page.choose_labelled("Side", "Starboard");
    assert_eq!(value("side"), "Starboard");
    page.tap("#name");
    page.press("Tab");
    assert_eq!(page.eval::<String>("document.activeElement.id").unwrap(), "start");

    let folder = TempDir::new().unwrap();
    let photo = |name: &str, bytes: &[u8]| -> PathBuf {
        let path = folder.path().join(name);
        fs::write(&path, bytes).unwrap();
        path
    };
    page.choose_file("#photo", &[photo("a.jpg", b"123"), photo("b.jpg", b"12345")]);
    page.wait_for_text("a.jpg:3 b.jpg:5");
}

#[test]
fn screen_light_speed_and_sleep_are_set() {
    let world = made_up(Screen::PHONE);
    let page = world.open();
    let size = "[innerWidth, innerHeight, devicePixelRatio, navigator.maxTouchPoints]";
    assert_eq!(page.eval::<[f64; 4]>(size).unwrap(), [390.0, 844.0, 2.0, 1.0]);
    page.viewport(Screen::DESK).unwrap();
    assert_eq!(page.eval::<[f64; 4]>(size).unwrap(), [1280.0, 800.0, 1.0, 1.0]);

    let dark = "matchMedia('(prefers-color-scheme: dark)').matches";
    page.media(true).unwrap();
    assert!(page.eval::<bool>(dark).unwrap());
    page.media(false).unwrap();
    assert!(!page.eval::<bool>(dark).unwrap());

    // How slow is for the bench to say: on a shared machine a timed test proves nothing.
    page.cpu(6.0).unwrap();
    assert_eq!(page.eval::<u32>("1 + 1").unwrap(), 2);
    page.cpu(1.0).unwrap();

    assert_eq!(page.eval::<String>("document.visibilityState").unwrap(), "visible");
    page.freeze().unwrap();
    page.wait_for("document.visibilityState === 'hidden' && sessionStorage.slept === 'yes'", SOON);
    let ticks: u32 = page.eval("ticks").unwrap();
    std::thread::sleep(Duration::from_millis(300));
    assert_eq!(page.eval::<u32>("ticks").unwrap(), ticks);
    page.thaw().unwrap();
    page.wait_for(&format!("document.visibilityState === 'visible' && ticks > {ticks}"), SOON);

    page.before_each_document("window.planted = true").unwrap();
    page.reload().unwrap();
    assert!(page.eval::<bool>("window.planted").unwrap());

    let picture = TempDir::new().unwrap();
    page.screenshot(&picture.path().join("page.png")).unwrap();
    assert!(fs::read(picture.path().join("page.png")).unwrap().starts_with(b"\x89PNG"));
}

#[test]
fn requests_are_recorded_from_page_worker_and_service_worker() {
    let world = made_up(Screen::PHONE);
    let page = world.open();
    page.eval::<String>("copy('x')").unwrap();
    start_service_worker(&page);
    let seen = page.requests().unwrap();
    let by = |from: &str, end: &str| seen.iter().any(|it| it.from == from && it.url.ends_with(end));
    assert!(by("page", "page.js"), "{seen:?}");
    assert!(by("worker", "asked-by-worker.txt"), "{seen:?}");
    assert!(by("service_worker", "asked-by-service-worker.txt"), "{seen:?}");
    assert!(world.server().requests().contains(&"/asked-by-worker.txt".to_owned()));

    page.forget_requests().unwrap();
    assert_eq!(page.requests().unwrap(), []);
}

/// What a policy stops never becomes a request, so both have to be looked at.
#[test]
fn a_call_to_another_origin_is_seen_with_a_policy_and_without() {
    let call = "fetch('http://elsewhere.example/beacon').then(() => 'answered', () => 'failed')";
    let without = TempDir::new().unwrap();
    fs::write(without.path().join("index.html"), "<!doctype html><title>No policy</title>").unwrap();
    let world = World::of(without.path(), Screen::PHONE);
    let page = world.open();
    assert_eq!(page.eval::<String>(call).unwrap(), "failed");
    assert!(page.requests().unwrap().iter().any(|it| it.url == "http://elsewhere.example/beacon"));

    let world = made_up(Screen::PHONE);
    let page = world.open();
    assert_eq!(page.eval::<String>(call).unwrap(), "failed");
    assert!(page.console_errors().unwrap().join("\n").contains("elsewhere.example/beacon"));
}

#[test]
fn complaints_are_heard() {
    let world = made_up(Screen::PHONE);
    let page = world.open();
    assert_eq!(page.console_errors().unwrap(), Vec::<String>::new());
    page.eval::<()>("void console.error('low oil', 3)").unwrap();
    page.eval::<()>("void setTimeout(() => { throw new Error('seized') })").unwrap();
    page.eval::<()>("fetch('http://elsewhere.example/').catch(() => {}).then(() => {})").unwrap();
    page.eval::<()>("void alert('look here')").unwrap();
    page.eval::<()>("fetch('missing.png').then(() => {})").unwrap();
    page.wait_for("true", SOON);
    let heard = page.console_errors().unwrap().join("\n");
    for words in ["low oil 3", "seized", "Content Security Policy", "look here", "missing.png"] {
        assert!(heard.contains(words), "{words} is missing in:\n{heard}");
    }
    page.forget_console_errors().unwrap();
    assert_eq!(page.console_errors().unwrap(), Vec::<String>::new());
}

#[test]
fn the_network_is_cut_for_page_and_service_worker() {
    let mut world = made_up(Screen::PHONE);
    let page = world.open();
    start_service_worker(&page);
    let page_sees = "fetch('asked-later.txt?' + Math.random()).then(() => 'online', () => 'offline')";
    let worker_sees = "new Promise(done => { \
        navigator.serviceWorker.onmessage = event => done(event.data); \
        navigator.serviceWorker.controller.postMessage('ask'); })";
    for (offline, word) in [(false, "online"), (true, "offline"), (false, "online")] {
        page.offline(offline).unwrap();
        assert_eq!(page.eval::<String>(page_sees).unwrap(), word);
        assert_eq!(page.eval::<String>(worker_sees).unwrap(), word);
    }
    let address = world.address();
    world.stop_server();
    assert_eq!(page.eval::<String>(page_sees).unwrap(), "offline");
    world.start_server();
    assert_eq!(world.address(), address);
    assert_eq!(page.eval::<String>(page_sees).unwrap(), "online");
}

#[test]
fn storage_is_limited_and_cleared() {
    let world = made_up(Screen::PHONE);
    let page = world.open();
    page.quota(Some(300_000)).unwrap();
    page.eval::<bool>("keep('small')").unwrap();
    let refused = page.eval::<bool>("keep(photo(2000000))").unwrap_err();
    assert!(refused.to_string().contains("Quota"), "{refused}");
    page.quota(None).unwrap();
    page.eval::<bool>("keep(photo(2000000))").unwrap();
    assert_eq!(page.eval::<usize>("kept().then(it => it.length)").unwrap(), 2);
    page.clear_origin().unwrap();
    page.reload().unwrap();
    assert_eq!(page.eval::<usize>("kept().then(it => it.length)").unwrap(), 0);
}

#[test]
fn a_strict_write_outlives_a_killed_browser() {
    let mut world = made_up(Screen::PHONE);
    let page = world.open();
    for n in 0..20 {
        assert!(page.eval::<bool>(&format!("keep({n})")).unwrap());
    }
    let begun = Instant::now();
    world.kill_browser();
    assert!(begun.elapsed() < SOON);
    assert!(matches!(page.eval::<u32>("1"), Err(Failure::Gone(_))));

    world.start_browser();
    let page = world.open();
    assert_eq!(page.eval::<Vec<u32>>("kept()").unwrap(), (0..20).collect::<Vec<_>>());
}

#[test]
fn a_killed_renderer_takes_its_page_and_no_more() {
    let world = made_up(Screen::PHONE);
    let page = world.open();
    page.eval::<bool>("keep('before')").unwrap();
    world.browser().kill_renderers();
    assert!(matches!(page.eval::<u32>("1"), Err(Failure::Crashed(_))));
    page.reload().unwrap();
    assert_eq!(page.eval::<Vec<String>>("kept()").unwrap(), ["before"]);
}

#[test]
fn the_stores_are_found_and_damaged() {
    let mut world = made_up(Screen::PHONE);
    let page = world.open();
    for _ in 0..100 {
        page.eval::<bool>("keep('x'.repeat(500))").unwrap();
    }
    page.eval::<bool>("keep(photo(300000))").unwrap();
    assert_eq!(page.eval::<String>("copy('a second copy')").unwrap(), "written");
    world.close_browser();

    let stores = world.stores();
    let log = largest(&stores.leveldb(), ".log");
    assert!(fs::metadata(largest(&stores.blobs(), "")).unwrap().len() >= 300_000);
    let copies = files_under(&stores.opfs());
    assert!(copies.iter().any(|it| fs::read(it).unwrap() == b"a second copy"), "{copies:?}");

    flip_bytes(&log, fs::metadata(&log).unwrap().len() / 2, 64);
    world.start_browser();
    let page = world.open();
    page.wait_for("window.dataLoss", SOON);
    assert_eq!(page.eval::<String>("dataLoss").unwrap(), "total");
}

#[test]
fn files_are_cut_and_flipped() {
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("000003.log");
    fs::write(&file, [0_u8; 10]).unwrap();
    flip_bytes(&file, 2, 3);
    assert_eq!(fs::read(&file).unwrap(), [0, 0, 255, 255, 255, 0, 0, 0, 0, 0]);
    truncate(&file, 0.4);
    assert_eq!(fs::read(&file).unwrap(), [0, 0, 255, 255]);
    assert!(complaint(|| flip_bytes(&file, 2, 3)).contains("000003.log"));
}

#[test]
fn downloads_are_captured() {
    let world = made_up(Screen::PHONE);
    let page = world.open();
    for _ in 0..2 {
        page.tap_named("link", "Save the day");
        let file = world.browser().wait_download("day sheet");
        assert_eq!(fs::read_to_string(&file).unwrap(), "job,hours\n");
        fs::remove_file(file).unwrap();
    }
}

#[test]
fn axe_finds_the_planted_violation_past_the_policy() {
    let world = made_up(Screen::DESK);
    let page = world.open();
    let found = page.axe().unwrap();
    let words = found.iter().map(ToString::to_string).collect::<String>();
    assert!(found.iter().any(|it| it.rule == "image-alt" && it.impact == "critical"), "{words}");
    page.eval::<()>("void document.getElementById('planted').remove()").unwrap();
    let left = page.axe().unwrap();
    assert!(left.iter().all(|it| it.rule != "image-alt" && !it.help.is_empty() && !it.places.is_empty()));
    assert_eq!(page.console_errors().unwrap(), Vec::<String>::new());
}

#[test]
fn a_browser_restarts_on_its_profile() {
    let mut world = made_up(Screen::PHONE);
    world.open().eval::<bool>("keep('kept')").unwrap();
    world.restart_browser();
    assert_eq!(world.open().eval::<Vec<String>>("kept()").unwrap(), ["kept"]);
}

fn start_service_worker(page: &Page) {
    page.eval::<()>("navigator.serviceWorker.register('sw.js').then(() => {})").unwrap();
    page.wait_for("navigator.serviceWorker.controller", SOON);
}

#[test]
fn a_slowed_page_stands_and_goes_on_in_turn_and_is_let_go() {
    let world = made_up(Screen::PHONE);
    let page = world.open();
    let processes = world.browser().renderers();
    let stands = || processes.iter().filter(|&&process| is_stopped(process)).count();
    let slowed = world.browser().slow_renderers(4);
    assert!(wait_until(SOON, || stands() > 0), "it is stopped");
    assert!(wait_until(SOON, || stands() == 0), "it goes on");
    assert_eq!(page.eval::<u32>("Promise.resolve(6 * 7)").unwrap(), 42, "it answers meanwhile");
    drop(slowed);
    assert_eq!(stands(), 0, "it is let go");
}

fn is_stopped(process: u32) -> bool {
    let stat = fs::read_to_string(format!("/proc/{process}/stat")).unwrap_or_default();
    stat.rsplit_once(')').is_some_and(|(_, rest)| rest.trim_start().starts_with('T'))
}
