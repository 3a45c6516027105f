//! The written form of what a boat's owner reads: a language's tag (BCP 47) and the
//! units, `as-read`, `metric` or `us`.
//!
//! Version 3 added it.

use super::{boat, known};
use crate::event::{Event, Language, Measures, Reader};
use crate::exchange::json::{Fields, Wrong};
use crate::id::BoatId;

/// Writes what a boat's owner reads.
pub(super) fn reads_form(boat: BoatId, reader: Reader) -> Fields<'static> {
    put(Fields::default().put("boat", boat.to_string()), reader)
}

/// Writes a language and units.
pub(super) fn put(form: Fields<'_>, reader: Reader) -> Fields<'_> {
    form.put("language", reader.language.tag()).put("units", reader.measures.slug())
}

/// Reads for whom something that was signed was written; what is not said is the default,
/// which is never written, so that each record has one form.
pub(super) fn of_signed(of: &mut Fields<'_>) -> Result<Reader, Wrong> {
    let (language, measures) = (known(of, "language", Language::parse)?, known(of, "units", Measures::parse)?);
    match (language, measures) {
        (None, None) => Ok(Reader::default()),
        (Some(language), Some(measures)) if (Reader { language, measures }) != Reader::default() => {
            Ok(Reader { language, measures })
        }
        _ => Err(Wrong::Unfit("language")),
    }
}

/// Reads what a boat's owner reads.
pub(super) fn owner_reads(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    let reader =
        Reader { language: of.parsed("language", Language::parse)?, measures: of.parsed("units", Measures::parse)? };
    Ok(Event::OwnerReads { boat: of.parsed("boat", boat)?, reader })
}
