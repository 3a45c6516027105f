//! The written form of what a boat's owner reads: a language's tag (BCP 47) and the
//! units, `as-read`, `metric` or `us`.
//!
//! Version 3 added it.

use super::boat;
use crate::event::{Event, Language, Measures, Reader};
use crate::exchange::json::{Fields, Wrong};
use crate::id::BoatId;

/// Writes what a boat's owner reads.
pub(super) fn reads_form(boat: BoatId, reader: Reader) -> Fields<'static> {
    let form = Fields::default().put("boat", boat.to_string());
    form.put("language", reader.language.tag()).put("units", reader.measures.slug())
}

/// Reads what a boat's owner reads.
pub(super) fn owner_reads(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    let reader =
        Reader { language: of.parsed("language", Language::parse)?, measures: of.parsed("units", Measures::parse)? };
    Ok(Event::OwnerReads { boat: of.parsed("boat", boat)?, reader })
}
