//! What taking in costs on the office page: how long 200 day files take, and whether the screen freezes.
//!
//! Ten technicians, twenty days each, made up; picked at once on an unslowed page. Counted
//! from the pick until the report is on the screen. Long tasks are those that the browser
//! itself tells of on the page's own thread (W3C, Long Tasks API: more than 50 ms).

use std::fs;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use quaywright_xtask::bench::{Figure, Unit};
use quaywright_xtask::demo::yard;
use serde_json::json;

use crate::failure::must;
use crate::ground::World;
use crate::milliseconds;
use crate::start::quieten;

const TECHNICIANS: u16 = 10;
const DAYS: u32 = 20;
const AIM: f64 = 5_000.0;
const PATIENCE: Duration = Duration::from_secs(120);

const WATCH: &str = "(() => {
    const long = globalThis.long = [];
    new PerformanceObserver(list => long.push(...list.getEntries().map(it => it.duration)))
        .observe({ type: 'longtask' });
})()";

/// Takes the figures on a phone that holds nothing else.
pub fn figures(world: &World) -> [Figure; 2] {
    let folder = tempfile::tempdir().unwrap();
    let count = yard::day_files(folder.path(), TECHNICIANS, DAYS).unwrap();
    let mut paths: Vec<PathBuf> = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let bytes: u64 = paths.iter().map(|path| fs::metadata(path).unwrap().len()).sum();
    let page = world.browser().blank();
    must(page.go(&world.address()));
    page.wait_until_open();
    page.wait_until_offline_is_ready();
    quieten(&page);
    must(page.eval::<()>(&format!("void (location.hash = {})", json!("#/office"))));
    page.wait_for_text("Nothing is taken in yet");
    must(page.eval::<()>(WATCH));
    let begun = Instant::now();
    page.choose_file("input[aria-label='Pick files']", &paths);
    page.wait_for("document.body.innerText.includes('files taken in')", PATIENCE);
    let took = begun.elapsed();
    let long: Vec<f64> = must(page.eval("long"));
    let conditions =
        format!("{count} day files of {TECHNICIANS} technicians, {} MB, page not slowed", bytes / 1_000_000);
    let longest = long.iter().copied().fold(0.0, f64::max);
    [
        milliseconds(
            "office-page-takes-in".to_owned(),
            took.as_secs_f64() * 1_000.0,
            Some(AIM),
            format!("{conditions}; from the pick to the report"),
        ),
        Figure {
            name: "office-page-long-tasks".to_owned(),
            value: long.len() as f64,
            unit: Unit::Tasks,
            aim: Some(0.0),
            conditions: format!(
                "{conditions}; tasks of more than 50 ms on the page's thread, the longest {longest:.0} ms"
            ),
        },
    ]
}
