//! The app opens: whole, quietly, and the second time without any network.

use quaywright_xtask::server::Mishap;
use serde_json::{Value, json};

use crate::ground::{World, dist};
use crate::looks::judge;
use crate::page::{Page, SOON, Screen};

/// The sheet that is seen before the app is there is taken away by the app itself.
fn wait_until_open(page: &Page) {
    page.wait_for("!document.getElementById('opening') && document.body.innerText.trim() !== ''", 2 * SOON);
}

#[test]
fn it_opens_without_a_complaint_and_asks_its_own_origin_only() {
    let world = World::of_app();
    let page = world.open();
    wait_until_open(&page);
    page.wait_for("navigator.serviceWorker.controller", SOON);
    assert_eq!(page.console_errors().unwrap(), Vec::<String>::new());
    let own = [world.address(), format!("blob:{}", world.address()), "data:".to_owned()];
    let requests = page.requests().unwrap();
    assert!(!requests.is_empty());
    for request in requests {
        assert!(own.iter().any(|it| request.url.starts_with(it)), "asked elsewhere: {request:?}");
    }
}

#[test]
fn it_opens_again_with_the_server_stopped() {
    let mut world = World::of_app();
    let page = world.open();
    wait_until_open(&page);
    page.wait_for("navigator.serviceWorker.controller", SOON);
    world.stop_server();
    page.reload().unwrap();
    wait_until_open(&page);
    world.restart_browser();
    wait_until_open(&world.open());
}

#[test]
fn it_can_be_put_on_the_home_screen() {
    let world = World::of_app();
    let page = world.open();
    wait_until_open(&page);
    let verdict = page.call("Page.getInstallabilityErrors", json!({})).unwrap();
    assert_eq!(verdict["installabilityErrors"], json!([]));
    let manifest = page.call("Page.getAppManifest", json!({})).unwrap();
    assert_eq!(manifest["errors"], json!([]));
    let words: Value = serde_json::from_str(manifest["data"].as_str().unwrap()).unwrap();
    assert_eq!(words["name"], "Quaywright");
}

#[test]
fn the_first_screen_breaks_no_rule_of_accessibility() {
    let world = World::of_app();
    let page = world.open();
    wait_until_open(&page);
    for (screen, dark) in [(Screen::PHONE, false), (Screen::PHONE, true), (Screen::DESK, false), (Screen::DESK, true)] {
        page.viewport(screen).unwrap();
        page.media(dark).unwrap();
        let found: String = page.axe().unwrap().iter().map(ToString::to_string).collect();
        assert!(found.is_empty(), "on {screen:?}, dark {dark}:\n{found}");
    }
}

/// Returns the path of the program's own file, which has the hash of its bytes in its name.
fn program() -> String {
    let files = std::fs::read_dir(dist()).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let mut programs: Vec<String> = files.filter(|name| name.ends_with("_bg.wasm")).collect();
    // The page's own program is the one that its page names.
    let page = std::fs::read_to_string(dist().join("index.html")).unwrap();
    programs.retain(|name| page.contains(name.as_str()));
    assert_eq!(programs.len(), 1, "{programs:?}");
    format!("/{}", programs[0])
}

#[test]
fn a_program_that_does_not_arrive_is_said_in_words() {
    for mishap in [Mishap::Status(503), Mishap::Truncated] {
        let world = World::of_app();
        world.server().mishap(&program(), mishap);
        let page = world.open();
        let shown = "document.getElementById('opening-failed')?.checkVisibility()";
        page.wait_for(shown, 2 * SOON);
        page.wait_for_text("What was kept is still on this device.");
        judge(&page, "opening-failed");
        // The next try finds everything in order.
        world.server().mend();
        page.reload().unwrap();
        wait_until_open(&page);
    }
}

#[test]
fn a_browser_without_storage_is_said_in_words() {
    let world = World::of_app();
    let page = world.browser().blank();
    let refuse = "(() => {
        const open = IDBFactory.prototype.open;
        IDBFactory.prototype.open = function (...given) {
            if (sessionStorage.getItem('refuse') !== 'no') throw new DOMException('not here', 'SecurityError');
            return open.apply(this, given);
        };
    })()";
    page.before_each_document(refuse).unwrap();
    page.go(&world.address()).unwrap();
    page.wait_for_text("The workbook cannot be opened");
    page.wait_for_text("This browser gives the app no storage");
    judge(&page, "opening-without-storage");
    page.eval::<()>("void sessionStorage.setItem('refuse', 'no')").unwrap();
    page.tap_named("button", "Open again");
    page.wait_for("document.querySelector('.choices button')", 2 * SOON);
}

#[test]
fn the_browser_is_asked_once_to_keep_what_is_here_and_only_when_there_is_something() {
    let world = World::of_app();
    let page = world.browser().blank();
    let count = "globalThis.asked = 0;
        const persist = StorageManager.prototype.persist;
        StorageManager.prototype.persist = function () { asked++; return persist.call(this); };";
    page.before_each_document(count).unwrap();
    page.go(&world.address()).unwrap();
    page.wait_until_open();
    page.place("Now");
    assert_eq!(page.eval::<u32>("asked").unwrap(), 0, "nothing is kept yet");
    for activity in ["Waiting", "Travel"] {
        page.do_now("On no job", activity);
    }
    page.wait_for("asked === 1", SOON);
    page.do_now("On no job", "Waiting");
    assert_eq!(page.eval::<u32>("asked").unwrap(), 1);
}
