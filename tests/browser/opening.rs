//! The app opens: whole, quietly, and the second time without any network.

use crate::ground::World;
use crate::page::{Page, SOON, Screen};
use serde_json::{Value, json};

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
