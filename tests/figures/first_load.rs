//! What the first visit transfers until one may work.
//!
//! Counted are the files that the page and its workers ask the server for until
//! the screen is usable. The service worker fetches the whole list beside it, for
//! the starts without a network; that is counted apart, as the precache.

use std::collections::BTreeSet;

use quaywright_xtask::bench::Figure;
use quaywright_xtask::bench::bytes::{FIRST_LOAD, kilobytes, sizes};

use crate::failure::must;
use crate::ground::{World, dist};
use crate::start::{MARK, wait_until_usable};

/// Returns the bytes of the first load, raw and compressed.
pub fn figures() -> [Figure; 2] {
    let world = World::of_app();
    let page = world.browser().blank();
    must(page.before_each_document(MARK));
    must(page.go(&world.address()));
    wait_until_usable(&page);
    let asked = must(page.requests());
    // What the page asks for afterwards, of itself, nobody has waited for.
    let afterwards =
        "performance.getEntriesByType('resource').filter(it => it.startTime > usableAt).map(it => it.name)";
    let afterwards: Vec<String> = must(page.eval(afterwards));
    let waited_for = asked.iter().filter(|it| it.from != "service_worker" && !afterwards.contains(&it.url));
    let own = waited_for.filter_map(|it| it.url.strip_prefix(&world.address()));
    let names: BTreeSet<&str> = own.map(|name| if name.is_empty() { "index.html" } else { name }).collect();
    let files: Vec<_> = names.iter().map(|name| dist().join(name)).collect();
    let (raw, small) = sizes(&files).unwrap().into_iter().fold((0, 0), |sum, size| (sum.0 + size.0, sum.1 + size.1));
    let named = names.into_iter().collect::<Vec<_>>().join(", ");
    [
        kilobytes("first-load-raw", raw, None, format!("{} files until one may work: {named}", files.len())),
        kilobytes("first-load-brotli", small, Some(FIRST_LOAD), format!("the same {}, brotli 11 each", files.len())),
    ]
}
