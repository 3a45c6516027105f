//! Hours by customer, who pays and activity, of any days.
//!
//! Made anew from record lines they take as long as making all books does. So each
//! technician's are kept in the store ([`crate::kept`]).

use std::collections::BTreeSet;

use quaywright_core::billing::hours::{DayHours, Of, day_hours};
use quaywright_core::exchange::hours::{KEPT, days, kept, sums};
use quaywright_core::id::DeviceId;
use quaywright_core::moment::{Day, Length};
use quaywright_core::text::Label;

use crate::kept::{Heard, Kept, each_kept};
use crate::people::TechnicianBook;
use crate::store::{Derived, Store, StoreError};

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
    let mut all = Vec::new();
    each_kept(store, &HOURS, anew, read, &mut |who, found| all.push((who.clone(), found)))?;
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
    Derived { name: HOURS.name(who), stamp, bytes: HOURS.bytes(of) }
}

fn stamp(devices: &BTreeSet<DeviceId>, heard: &Heard) -> String {
    HOURS.stamp(devices, heard)
}

/// Hours, as they are kept.
const HOURS: Kept = Kept { what: "hours", form: KEPT, make: |of| kept(&day_hours(&of.book, of.now)) };
