//! Hours by customer, who pays and activity, of any days.
//!
//! Made anew from record lines they take as long as making all books does. So each
//! technician's are kept in the store ([`crate::kept`]).

use quaywright_core::billing::hours::{DayHours, Of, day_hours};
use quaywright_core::book::Book;
use quaywright_core::exchange::hours::{KEPT, days, kept, sums};
use quaywright_core::moment::{Day, Length, Moment};
use quaywright_core::text::Label;

use crate::crew::Crew;
use crate::kept::{Heard, Kept, each_kept};
use crate::people::Phones;
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
pub fn hours(store: &mut dyn Store, crew: &impl Crew, asked: Asked) -> Result<ByTechnician, StoreError> {
    let all = each(store, crew, asked.anew, &|bytes| sums(bytes, asked.from, asked.to))?;
    Ok(all.into_iter().filter(|(_, sums)| !sums.is_empty()).collect())
}

/// Returns each technician's hours in a store, day by day.
///
/// # Errors
/// When the store does not tell them.
pub fn by_day(store: &mut dyn Store, crew: &impl Crew) -> Result<Vec<(Label, Vec<DayHours>)>, StoreError> {
    each(store, crew, false, &days)
}

/// Returns what is read of each technician's kept hours, which are made where they are not kept yet.
fn each<T: Default + Send>(
    store: &mut dyn Store,
    crew: &impl Crew,
    anew: bool,
    read: &dyn Fn(&[u8]) -> Option<T>,
) -> Result<Vec<(Label, T)>, StoreError> {
    let mut all = Vec::new();
    each_kept(store, crew, &HOURS, anew, read, &mut |who, found| all.push((who.clone(), found)))?;
    Ok(all)
}

/// Returns a technician's hours as they are kept.
pub(crate) fn derived(who: &str, stamp: String, book: &Book, now: Moment) -> Derived {
    Derived { name: HOURS.name(who), stamp, bytes: kept(&day_hours(book, now)) }
}

/// Returns what tells of which lines hours are.
pub(crate) fn stamp(phones: &Phones, heard: &Heard) -> String {
    HOURS.stamp(phones, heard)
}

/// Hours, as they are kept.
const HOURS: Kept = Kept { what: "hours", form: KEPT, make: |of| kept(&day_hours(&of.book, of.now)) };
