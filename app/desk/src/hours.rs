//! Hours by customer, who pays and activity, of any days.
//!
//! Made anew from record lines they take as long as making all books does. So each
//! technician's are kept in the store with a stamp: which devices, and how many
//! lines of each. Lines are never removed, so another stamp means other lines, and
//! what bears it is made anew; nothing kept is ever trusted over the lines.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use quaywright_core::billing::hours::{DayHours, Of, day_hours};
use quaywright_core::exchange::hours::{KEPT, days, kept, sums};
use quaywright_core::id::DeviceId;
use quaywright_core::moment::{Day, Length};
use quaywright_core::text::Label;

use crate::people::{TechnicianBook, book_of, log_of, people_of};
use crate::store::{Derived, Store, StoreError};

/// How many lines there are of each device.
type Heard = BTreeMap<DeviceId, u64>;

/// Each technician's hours.
type ByTechnician = Vec<(Label, Vec<(Of, Length)>)>;

/// Which days are asked for, and whether what is kept may answer.
#[derive(Clone, Copy)]
pub struct Asked {
    /// The first day, if there is to be one.
    pub from: Option<Day>,
    /// The last day, if there is to be one.
    pub to: Option<Day>,
    /// Whether all is made anew from the lines.
    pub anew: bool,
}

/// Returns each technician's hours in a store.
///
/// # Errors
/// When the store does not tell them.
pub fn hours(store: &mut dyn Store, asked: Asked) -> Result<ByTechnician, StoreError> {
    let all = each(store, asked.anew, &|bytes| sums(bytes, asked.from, asked.to))?;
    Ok(all.into_iter().filter(|(_, sums)| !sums.is_empty()).collect())
}

/// Returns each technician's hours in a store, day by day.
///
/// # Errors
/// When the store does not tell them.
pub fn by_day(store: &mut dyn Store) -> Result<Vec<(Label, Vec<DayHours>)>, StoreError> {
    each(store, false, &days)
}

/// Returns what is read of each technician's kept hours, which are made where they are not kept yet.
fn each<T: Default>(
    store: &mut dyn Store,
    anew: bool,
    read: &dyn Fn(&[u8]) -> Option<T>,
) -> Result<Vec<(Label, T)>, StoreError> {
    let heard = store.heard()?;
    let earlier = if anew { Vec::new() } else { store.derived()? };
    let earlier: BTreeMap<String, Derived> = earlier.into_iter().map(|it| (it.name.clone(), it)).collect();
    let mut all = Vec::new();
    for (who, devices) in people_of(store)? {
        let stamp = stamp(&devices, &heard);
        let known = earlier.get(&name(&who)).filter(|known| known.stamp == stamp);
        let found = match known.and_then(|known| read(&known.bytes)) {
            Some(found) => found,
            None => {
                let Some(of) = book_of(&log_of(store, &devices, &BTreeSet::new())?) else { continue };
                let derived = derived(&who, stamp, &of);
                if !anew {
                    store.keep_derived(&derived)?;
                }
                read(&derived.bytes).unwrap_or_default()
            }
        };
        all.push((Label::new(&who), found));
    }
    Ok(all)
}

/// Keeps a technician's hours, whose book was made of the lines that were there at `heard` or of more.
pub fn keep(
    store: &mut dyn Store,
    (who, devices): (&str, &BTreeSet<DeviceId>),
    of: &TechnicianBook,
    heard: &Heard,
) -> Result<(), StoreError> {
    store.keep_derived(&derived(who, stamp(devices, heard), of))
}

fn derived(who: &str, stamp: String, of: &TechnicianBook) -> Derived {
    Derived { name: name(who), stamp, bytes: kept(&day_hours(&of.book, of.now)) }
}

fn name(who: &str) -> String {
    format!("hours of {who}")
}

fn stamp(devices: &BTreeSet<DeviceId>, heard: &Heard) -> String {
    let mut stamp = format!("form {KEPT}");
    for device in devices {
        let _ = write!(stamp, ", {device}: {}", heard.get(device).copied().unwrap_or_default());
    }
    stamp
}
