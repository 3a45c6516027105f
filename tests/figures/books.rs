//! The workbooks that are measured: an empty one, the demo shop's days, years.
//!
//! They come in through the app's own “Bring back a backup”, once and at full
//! speed, and are at rest before anything is measured: both copies and the
//! start-up cache written, the service worker in charge.

use std::thread::sleep;
use std::time::{Duration, Instant};

use quaywright_core::exchange::{backup, line, pieces};
use quaywright_core::moment::Moment;
use quaywright_core::store::packs::RUN;
use quaywright_xtask::demo::{self, large::big_log};
use tempfile::TempDir;

use crate::failure::must;
use crate::ground::World;

const DAY_MS: i64 = 24 * 60 * 60 * 1_000;

/// How long a hundred thousand records may take to come in, and to settle.
const PATIENCE: Duration = Duration::from_secs(240);

/// Counts the packs of the start-up cache.
const PACKS: &str = "new Promise((done, fail) => {
    const opening = indexedDB.open('quaywright');
    opening.onerror = () => fail(opening.error);
    opening.onsuccess = () => {
        const asked = opening.result.transaction(['packs']).objectStore('packs').count();
        asked.onerror = () => fail(asked.error);
        asked.onsuccess = () => { opening.result.close(); done(asked.result); };
    };
})";

/// Returns the demo shop's days up to now, as a backup.
pub fn demo() -> Vec<u8> {
    let folder = TempDir::new().unwrap();
    let file = demo::write(folder.path(), demo::now().unwrap()).unwrap();
    std::fs::read(file).unwrap()
}

/// Returns years of work that end today or yesterday, as a backup.
pub fn long(events: usize) -> Vec<u8> {
    let (seed, some_day) = (7, Moment::parse("2020-01-06T07:30:00+00:00").unwrap());
    let last = line::read(big_log(events, some_day, seed).last().unwrap()).unwrap().record.at;
    let days = (demo::now().unwrap().utc_ms() - last.utc_ms()).div_euclid(DAY_MS);
    let from = Moment::new(some_day.utc_ms() + days * DAY_MS, 0).unwrap();
    let records = big_log(events, from, seed);
    assert_eq!(records.len(), events);
    pieces::assemble(&backup::pieces(records.iter().map(Vec::as_slice), &[]), |_| None)
}

/// Opens the app for the first time and lets it come to rest, with nothing in it.
pub fn open_empty(world: &World) {
    let page = world.open_workbook();
    page.wait_until_offline_is_ready();
}

/// Opens the app for the first time, brings a backup back and lets it come to rest.
pub fn bring_back(world: &World, backup: &[u8]) {
    let page = world.open_workbook();
    page.wait_until_offline_is_ready();
    page.place("Hand over");
    page.bring_back(world.lay_out("backup.jsonl", backup));
    page.wait_for("document.querySelector('.said')?.innerText.includes('are here now')", PATIENCE);
    let lines = backup.iter().filter(|&&byte| byte == b'\n').count() as u64;
    // The first line is the title; the cache is written last of all.
    let due = lines.saturating_sub(1) / RUN;
    let deadline = Instant::now() + PATIENCE;
    while must(page.eval::<u64>(PACKS)) < due {
        assert!(Instant::now() < deadline, "the start-up cache is not written; {}", page.describe());
        sleep(Duration::from_millis(200));
    }
}
