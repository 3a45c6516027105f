//! What a run changed of days that were known before it.
//!
//! A day whose time is another than it was is named with what it was and what it
//! is now, by job and activity; what else of it is another (who pays, how a line is billed,
//! parts, readings, notes, photos) stands in one line for each job. Days that are new are no
//! change, and neither is work that went on. A boat that bears another
//! owner's name than before is named too, since bills go by it and nobody can know whether
//! she was sold or he is written otherwise. The books are made for
//! that, so what is asked of them most often is kept at once.
//!
//! Each technician's book is a [`Piece`] of work of its own.

use std::collections::{BTreeMap, BTreeSet};

use quaywright_core::book::Book;
use quaywright_core::book::handover::Told;
use quaywright_core::id::{DeviceId, EventId};
use quaywright_core::log::Sealed;
use quaywright_core::moment::Day;
use quaywright_core::sheet::amended::changes as changes_of;
use quaywright_core::sheet::since::since;

use crate::accounts;
use crate::crew::{Crew, Piece};
use crate::hours;
use crate::people::{BookLines, Folded, folded, judged, people_of};
use crate::store::{Derived, Store, StoreError};

/// How many bytes of what was worked out are kept at once.
const BATCH_BYTES: usize = 4 << 20;
/// Of how many technicians it is kept at once.
const BATCH: usize = 200;

/// What is to be worked out of one technician's lines.
struct Changing {
    who: String,
    stamp: String,
    lines: BookLines,
    /// The account that is kept, where there is one, and the stamp that it is to bear.
    account: Option<(Vec<u8>, String)>,
    /// Which of the lines are new; nothing where all are.
    new: Option<BTreeSet<EventId>>,
}

/// What came of a piece.
struct Done {
    derived: Vec<Derived>,
    words: Vec<String>,
}

impl Piece for Changing {
    /// An error where a line is not what was put into the store.
    type Done = Result<Done, StoreError>;

    fn bytes(&self) -> usize {
        self.lines.bytes()
    }

    fn work(self) -> Self::Done {
        let Self { who, stamp, lines, account, new } = self;
        let logs = lines.logs()?;
        let records = logs.records();
        let mut done = Done { derived: Vec::new(), words: Vec::new() };
        let Some(after) = folded(&logs.own, &records) else { return Ok(done) };
        done.derived.push(hours::derived(&who, stamp, &after.book, after.now));
        let before = new.and_then(|new| {
            let before: Vec<&Sealed> =
                records.iter().filter(|sealed| !new.contains(&sealed.record.id)).copied().collect();
            folded(&logs.own, &before)
        });
        if let Some(before) = before {
            done.words = changed(&who, &before, &after);
        }
        if let Some((kept, stamp)) = account {
            let of = judged(&logs.own, after);
            done.derived.extend(accounts::brought_up(&who, stamp, of, &kept));
        }
        Ok(done)
    }
}

/// Returns what the books of some new records say of earlier days that they did not say before.
///
/// # Errors
/// When the store does not do it.
pub fn changes(store: &mut dyn Store, new: &BTreeSet<EventId>, crew: &impl Crew) -> Result<Vec<String>, StoreError> {
    let mut come: BTreeMap<DeviceId, u64> = BTreeMap::new();
    new.iter().for_each(|id| *come.entry(id.device).or_default() += 1);
    let heard = store.heard()?;
    let people = people_of(store)?.into_iter();
    let mut changed = people.filter(|(_, phones)| phones.all().iter().any(|device| come.contains_key(device)));
    let store = std::cell::RefCell::new(store);
    let mut next = || {
        let Some((who, phones)) = changed.next() else { return Ok(None) };
        let lines = BookLines::of(*store.borrow_mut(), &phones)?;
        let is_all = phones.own.iter().all(|device| come.get(device) >= heard.get(device));
        let of = |device: DeviceId| new.range(EventId { device, seq: 0 }..=EventId { device, seq: u64::MAX });
        let new = (!is_all).then(|| phones.all().iter().flat_map(|&device| of(device)).copied().collect());
        // Only where bills are asked for is there one; what others did joins it then.
        let account = match phones.beside.is_empty() {
            true => store.borrow_mut().derived(&accounts::name(&who))?,
            false => None,
        };
        let account = account.map(|kept| (kept.bytes, accounts::stamp(&phones, &heard)));
        Ok(Some(Changing { stamp: hours::stamp(&phones, &heard), who, lines, account, new }))
    };
    let (mut words, mut batch) = (Vec::new(), Vec::new());
    crew.work_off(&mut next, &mut |done: Result<Done, StoreError>| {
        let done = done?;
        words.extend(done.words);
        batch.extend(done.derived);
        let bytes: usize = batch.iter().map(|it: &Derived| it.bytes.len()).sum();
        if batch.len() >= BATCH || bytes >= BATCH_BYTES {
            store.borrow_mut().keep_all_derived(&std::mem::take(&mut batch))?;
        }
        Ok(())
    })?;
    store.into_inner().keep_all_derived(&batch)?;
    Ok(words)
}

/// Returns what days that are whole before are after, where that is something else.
fn changed(who: &str, before: &Folded, after: &Folded) -> Vec<String> {
    // A day on which the clock still ran was told half way; that it went on is no change.
    let half = before.book.ledger.running().map(|_| before.now.day());
    let days: Vec<Day> = before.book.ledger.days(before.now);
    let days: Vec<Day> = days.into_iter().filter(|&day| Some(day) != half).collect();
    let (was, is) = (times(before, &days), times(after, &days));
    let mut words = Vec::new();
    for ((day, was), (_, is)) in was.iter().zip(&is) {
        words.extend(changes_of(&after.book, was, is).iter().map(|it| format!("{who}, {day}: {}", it.words())));
    }
    let (as_of, days) = ((&before.book, before.now), days.into_iter().collect());
    let others = since(as_of, &after.book, &days, &after.own);
    words.extend(others.iter().map(|it| format!("{who}, {}: {}", it.day, it.words())));
    words.extend(owners(&before.book, &after.book).map(|it| format!("{who}: {it}")));
    words
}

/// Returns which boats bear another owner's name than they did, in sentences.
fn owners<'a>(before: &'a Book, after: &'a Book) -> impl Iterator<Item = String> + 'a {
    before.fleet.boats().filter_map(|was| {
        let (was, is) = (&was.facts, &after.fleet.boat(was.id)?.facts);
        let words = "what is not billed yet is billed to that name";
        (!was.owner.is_empty() && is.owner != was.owner).then(|| {
            format!(
                "{}: owner {:?} is now {:?}; {words}",
                is.name.or("no boat"),
                was.owner.as_str(),
                is.owner.or("no owner")
            )
        })
    })
}

fn times(of: &Folded, days: &[Day]) -> Vec<(Day, Vec<Told>)> {
    of.book.times_of_days(days, of.now)
}
