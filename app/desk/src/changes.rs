//! What a run changed of days that were known before it.
//!
//! A day whose time is another than it was is named with what it was and what it
//! is now, by job and activity. Days that are new are no change.

use std::collections::{BTreeMap, BTreeSet};

use quaywright_core::book::handover::Told;
use quaywright_core::id::{DeviceId, EventId};
use quaywright_core::moment::Day;
use quaywright_core::sheet::amended::changes as changes_of;

use crate::hours;
use crate::people::{TechnicianBook, book_of, log_of, people_of};
use crate::store::{Store, StoreError};

/// Returns what the books of some new records say of earlier days that they did not say before.
pub fn changes(store: &mut dyn Store, new: &BTreeSet<EventId>) -> Result<Vec<String>, StoreError> {
    let mut come: BTreeMap<DeviceId, u64> = BTreeMap::new();
    new.iter().for_each(|id| *come.entry(id.device).or_default() += 1);
    let heard = store.heard()?;
    let mut words = Vec::new();
    for (who, devices) in people_of(store)? {
        if !devices.iter().any(|device| come.contains_key(device)) {
            continue;
        }
        let Some(after) = book_of(&log_of(store, &devices, &BTreeSet::new())?) else { continue };
        // The book is made, so what is asked of it most often is kept at once.
        hours::keep(store, (&who, &devices), &after, &heard)?;
        if devices.iter().all(|device| come.get(device) >= heard.get(device)) {
            continue;
        }
        let Some(before) = book_of(&log_of(store, &devices, new)?) else { continue };
        // A day on which the clock still ran was told half way; that it went on is no change.
        let half = before.book.ledger.running().map(|_| before.now.day());
        let days: Vec<Day> = before.book.ledger.days(before.now);
        let days: Vec<Day> = days.into_iter().filter(|&day| Some(day) != half).collect();
        let (was, is) = (times(&before, &days), times(&after, &days));
        for ((day, was), (_, is)) in was.iter().zip(&is) {
            words.extend(changes_of(&after.book, was, is).iter().map(|it| format!("{who}, {day}: {}", it.words())));
        }
    }
    Ok(words)
}

fn times(of: &TechnicianBook, days: &[Day]) -> Vec<(Day, Vec<Told>)> {
    of.book.times_of_days(days, of.now)
}
