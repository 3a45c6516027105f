//! The written shape of what a claim for warranty needs: version 3 added all of it.
//!
//! A part that failed has `what`, `number`, `tag`, `place` and, once it is known,
//! its `fate`: `kept`, `returned` or `scrapped`. What a photo `shows` is
//! `serial-plate`, `failure`, `hour-meter` or `hull-number`; the `stage` of a reading
//! is `before` or `after`. Both are left out where it shows, or is, neither.

use super::{known, label, line, photo, reading};
use crate::event::{Event, FailedPart, Fate, Shows, Stage};
use crate::exchange::json::{Fields, Wrong};
use crate::id::{EventId, FailedId, PhotoId, ReadingId};

/// Writes what is known of a part that failed.
pub(in crate::exchange) fn failed_form(part: &FailedPart) -> Fields<'_> {
    let form = Fields::default().put("what", part.what.as_str()).put("number", part.number.as_str());
    let form = form.put("tag", part.tag.as_str()).put("place", part.place.as_str());
    form.put_known("fate", part.fate.map(Fate::words))
}

fn failed_part(of: &mut Fields<'_>) -> Result<FailedPart, Wrong> {
    Ok(FailedPart {
        what: of.parsed("what", label)?,
        number: of.parsed("number", label)?,
        tag: of.parsed("tag", label)?,
        place: of.parsed("place", label)?,
        fate: known(of, "fate", |word| Fate::ALL.into_iter().find(|fate| fate.words() == word))?,
    })
}

pub(super) fn part_failed(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    Ok(Event::PartFailed { line: of.parsed("line", line)?, part: Box::new(of.nested("part", failed_part)?) })
}

pub(super) fn amended(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    let failed = of.parsed("failed", |text| EventId::parse(text).map(FailedId))?;
    Ok(Event::FailedPartAmended { failed, part: Box::new(of.nested("part", failed_part)?) })
}

pub(super) fn shows_form(photo: PhotoId, shows: Option<Shows>) -> Fields<'static> {
    Fields::default().put("photo", photo.to_string()).put_known("shows", shows.map(shows_word))
}

pub(super) fn photo_shows(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    let shows = known(of, "shows", |word| Shows::ALL.into_iter().find(|&it| shows_word(it) == word))?;
    Ok(Event::PhotoShows { photo: of.parsed("photo", photo)?, shows })
}

pub(super) fn stage_form(reading: ReadingId, stage: Option<Stage>) -> Fields<'static> {
    Fields::default().put("reading", reading.to_string()).put_known("stage", stage.map(Stage::words))
}

pub(super) fn reading_staged(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    let stage = known(of, "stage", |word| Stage::ALL.into_iter().find(|it| it.words() == word))?;
    Ok(Event::ReadingStaged { reading: of.parsed("reading", reading::reading)?, stage })
}

/// Returns the written word of what a photo shows.
pub(in crate::exchange) const fn shows_word(shows: Shows) -> &'static str {
    match shows {
        Shows::SerialPlate => "serial-plate",
        Shows::Failure => "failure",
        Shows::HourMeter => "hour-meter",
        Shows::HullNumber => "hull-number",
    }
}
