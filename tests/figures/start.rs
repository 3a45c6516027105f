//! How soon one may work, from the navigation on, with no network at all.
//!
//! The server is stopped, so everything comes from the service worker, which is
//! stopped too before each start: on a phone it never runs by then. Usable means
//! that the heading of Now and the ways to the other places have been painted
//! and the sheet of the opening is gone.
//!
//! Chromium slows the page's own thread only; reading the storage and compiling
//! run beside it at full speed, as do the workers.

use std::thread::sleep;
use std::time::Duration;

use quaywright_xtask::bench::Figure;
use serde_json::json;

use crate::failure::must;
use crate::ground::World;
use crate::page::Page;
use crate::{milliseconds, percentile};

/// How often a start is measured.
const STARTS: usize = 9;
const PATIENCE: Duration = Duration::from_secs(60);

/// Notes in the page when it was usable, in milliseconds since the navigation.
pub const MARK: &str = "(() => {
    const seen = it => Boolean(it?.checkVisibility());
    const usable = () => !document.getElementById('opening') && seen(document.querySelector('main.workbook h1'))
        && document.querySelectorAll('nav.foot a').length >= 3 && seen(document.querySelector('nav.foot'));
    const watching = new MutationObserver(() => {
        if (!usable()) return;
        watching.disconnect();
        // The message comes after the frame that the request is for has been painted.
        requestAnimationFrame(() => {
            const { port1, port2 } = new MessageChannel();
            port1.onmessage = () => { globalThis.usableAt = performance.now(); };
            port2.postMessage(0);
        });
    });
    watching.observe(document, { childList: true, subtree: true });
})()";

/// Waits until one may work, and returns when that was, in milliseconds since the navigation.
pub fn wait_until_usable(page: &Page) -> f64 {
    page.wait_for("globalThis.usableAt", PATIENCE);
    must(page.eval("usableAt"))
}

/// Returns the median of some starts.
pub fn figures(world: &World, name: &str, slowed: f64, aim: Option<f64>, book: &str) -> [Figure; 1] {
    let times: Vec<f64> = (0..STARTS).map(|_| once(world, slowed)).collect();
    let conditions = format!(
        "{book}; server stopped, service worker stopped before each start, page slowed {slowed} times; median of {STARTS}, {:.0} to {:.0}",
        percentile(&times, 0),
        percentile(&times, 100),
    );
    [milliseconds(name.to_owned(), percentile(&times, 50), aim, conditions)]
}

fn once(world: &World, slowed: f64) -> f64 {
    let page = world.browser().blank();
    quieten(&page);
    must(page.before_each_document(MARK));
    must(page.call("ServiceWorker.enable", json!({})));
    must(page.call("ServiceWorker.stopAllWorkers", json!({})));
    must(page.cpu(slowed));
    must(page.go(&world.address()));
    let time = wait_until_usable(&page);
    assert!(!page.text().contains("open in another tab"), "the page before is not gone; {}", page.describe());
    must(page.close());
    // Until its lock is given back the next page would only show.
    sleep(Duration::from_millis(500));
    time
}

/// Lets the page work without being watched: an accessibility tree that is kept
/// up to date, and every request told, would be measured too.
pub fn quieten(page: &Page) {
    for domain in ["Accessibility", "DOM", "Log", "Network"] {
        must(page.call(&format!("{domain}.disable"), json!({})));
    }
}
