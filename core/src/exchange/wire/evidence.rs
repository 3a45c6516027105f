//! The written shape of marks on a photo, of pairs of photos and of voice notes.
//!
//! Version 3 added all. A mark is an object of one field, the name of its
//! shape, with a list of whole numbers: `stroke` and `arrow` have x and y of
//! each of their places, `ring` has x and y of its middle and its radius, `words` has
//! x, y and then the words; all in ten thousandths of the photo (`event/marks.rs`).

use super::{label, photo};
use crate::event::{Event, Mark, Sound, Spot, VoiceFacts};
use crate::exchange::json::{Fields, Json, Wrong};
use crate::id::{BlobId, PhotoId};
use crate::text::Label;

/// Writes what is drawn on a photo.
pub(super) fn marked_form(photo: PhotoId, marks: &[Mark]) -> Fields<'_> {
    let marks: Vec<Json<'_>> = marks.iter().map(|mark| mark_form(mark).into()).collect();
    Fields::default().put("photo", photo.to_string()).put("marks", marks)
}

/// Reads what is drawn on a photo.
pub(super) fn photo_marked(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    let marks = of.list("marks")?.into_iter().map(mark).collect::<Result<Vec<Mark>, Wrong>>()?;
    Ok(Event::PhotoMarked { photo: of.parsed("photo", photo)?, marks })
}

fn mark_form(mark: &Mark) -> Fields<'_> {
    let list = |numbers: &[u16]| numbers.iter().map(|&number| number.into()).collect::<Vec<Json<'static>>>();
    let form = Fields::default();
    match mark {
        Mark::Stroke(spots) => {
            let numbers: Vec<u16> = spots.iter().flat_map(|spot| [spot.x(), spot.y()]).collect();
            form.put("stroke", list(&numbers))
        }
        Mark::Arrow(from, to) => form.put("arrow", list(&[from.x(), from.y(), to.x(), to.y()])),
        Mark::Ring(middle, radius) => form.put("ring", list(&[middle.x(), middle.y(), *radius])),
        Mark::Words(at, words) => {
            let mut all = list(&[at.x(), at.y()]);
            all.push(words.as_str().into());
            form.put("words", all)
        }
    }
}

fn mark(form: Json<'_>) -> Result<Mark, Wrong> {
    let wrong = || Wrong::Unfit("marks");
    let (shape, Json::List(mut list)) = form.only_field("marks")? else { return Err(wrong()) };
    let words = match list.pop_if(|last| matches!(last, Json::Text(_))) {
        Some(Json::Text(words)) => Some(Label::new(&words)),
        _ => None,
    };
    let number = |number: Json<'_>| match number {
        Json::Number(number) => u16::try_from(number).map_err(|_| wrong()),
        _ => Err(wrong()),
    };
    let numbers = list.into_iter().map(number).collect::<Result<Vec<u16>, Wrong>>()?;
    let spot = |x: u16, y: u16| Spot::new(x, y).ok_or_else(wrong);
    match (&*shape, numbers.as_slice()) {
        ("words", &[x, y]) => Ok(Mark::Words(spot(x, y)?, words.ok_or_else(wrong)?)),
        _ if words.is_some() => Err(wrong()),
        ("stroke", all) if all.len() % 2 == 0 => {
            Ok(Mark::Stroke(all.chunks_exact(2).map(|two| spot(two[0], two[1])).collect::<Result<Vec<Spot>, Wrong>>()?))
        }
        ("arrow", &[x, y, to_x, to_y]) => Ok(Mark::Arrow(spot(x, y)?, spot(to_x, to_y)?)),
        ("ring", &[x, y, radius]) => Ok(Mark::Ring(spot(x, y)?, radius)),
        _ => Err(wrong()),
    }
}

/// Writes a pair of photos.
pub(super) fn paired_form(before: PhotoId, after: PhotoId, what: &Label) -> Fields<'_> {
    let form = Fields::default().put("before", before.to_string()).put("after", after.to_string());
    form.put("what", what.as_str())
}

/// Reads a pair of photos.
pub(super) fn photos_paired(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    let (before, after) = (of.parsed("before", photo)?, of.parsed("after", photo)?);
    Ok(Event::PhotosPaired { before, after, what: of.parsed("what", label)? })
}

/// Writes what is known of a voice note.
pub(super) fn voice_form(facts: &VoiceFacts) -> Fields<'static> {
    let form = Fields::default().put("blob", facts.blob.to_string()).put("bytes", facts.bytes);
    form.put("ms", facts.ms).put("sound", sound_word(facts.sound))
}

/// Reads what is known of a voice note.
pub(super) fn voice_facts(of: &mut Fields<'_>) -> Result<VoiceFacts, Wrong> {
    Ok(VoiceFacts {
        blob: of.parsed("blob", BlobId::parse)?,
        bytes: of.number("bytes")?,
        ms: of.number("ms")?,
        sound: of.parsed("sound", sound)?,
    })
}

const fn sound_word(sound: Sound) -> &'static str {
    match sound {
        Sound::Webm => "webm",
        Sound::Mp4 => "mp4",
        Sound::Ogg => "ogg",
        Sound::Wav => "wav",
        Sound::Mp3 => "mp3",
    }
}

fn sound(word: &str) -> Option<Sound> {
    Sound::ALL.into_iter().find(|&sound| sound_word(sound) == word)
}
