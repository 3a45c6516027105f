//! What a run changed of days that were known before it.
//!
//! A day whose time is another than it was is named with what it was and what it
//! is now, by job and activity. Days that are new are no change.

use std::collections::BTreeSet;

use quaywright_core::book::handover::Told;
use quaywright_core::id::{DeviceId, EventId};
use quaywright_core::moment::Day;
use quaywright_core::sheet::amended::changes as changes_of;

use crate::people::{TechnicianBook, book_of, log_of, people_of};
use crate::store::{Store, StoreError};

/// Returns what the books of some new records say of earlier days that they did not say before.
pub(crate) fn changes(store: &mut impl Store, new: &BTreeSet<EventId>) -> Result<Vec<String>, StoreError> {
    let touched: BTreeSet<DeviceId> = new.iter().map(|id| id.device).collect();
    let mut words = Vec::new();
    for (who, devices) in people_of(store)? {
        if devices.is_disjoint(&touched) {
            continue;
        }
        let Some(before) = book_of(&log_of(store, &devices, new)?) else { continue };
        let Some(after) = book_of(&log_of(store, &devices, &BTreeSet::new())?) else { continue };
        // A day on which the clock still ran was told half way; that it went on is no change.
        let half = before.book.ledger.running().map(|_| before.now.day());
        for day in before.book.ledger.days(before.now).into_iter().filter(|&day| Some(day) != half) {
            let (was, is) = (times(&before, day), times(&after, day));
            words.extend(changes_of(&after.book, &was, &is).iter().map(|it| format!("{who}, {day}: {}", it.words())));
        }
    }
    Ok(words)
}

fn times(of: &TechnicianBook, day: Day) -> Vec<Told> {
    of.book.times_of(day, of.now)
}
