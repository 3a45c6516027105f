//! What one of several PDFs says of itself that are one day together.
//!
//! A day whose photos are too many for one PDF is several of them. The first carries the
//! day's data ([`super::bundle`]), each carries its own photos and this, as an attached file
//! `part.json`, so that the office knows a part that has no data and what is in none:
//!
//! | field        | value |
//! |--------------|-------|
//! | `quaywright` | `"day-part"` |
//! | `v`          | version of this form, `1` |
//! | `part`       | the how manieth it is, from 1 |
//! | `of`         | how many there are |
//! | `photos`     | the SHA-256 of each photo and voice note in this part |

use super::bundle::written;
use super::json::{Fields, Json, Wrong};
use crate::id::BlobId;

/// The name of the attached file.
pub const NAME: &str = "part.json";

/// How it begins.
pub(super) const HEAD: &[u8] = br#"{"quaywright":"day-part","v":1,"#;

/// One of several PDFs that are one day together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayPart {
    /// The how manieth it is, from 1.
    pub number: u32,
    /// How many there are.
    pub of: u32,
    /// The photos and voice notes in it.
    pub blobs: Vec<BlobId>,
}

impl DayPart {
    /// Returns it as it is written.
    pub fn written(&self) -> Vec<u8> {
        let blobs: Vec<Json<'_>> = self.blobs.iter().map(|blob| blob.to_string().into()).collect();
        let form = Fields::default().put("quaywright", "day-part").put("v", 1_u32).put("part", self.number);
        written(form.put("of", self.of).put("photos", blobs)).into_bytes()
    }

    /// Reads it; nothing where it is damaged.
    pub(super) fn read(text: &[u8]) -> Option<Self> {
        text.starts_with(HEAD).then(|| read(text).ok()).flatten()
    }
}

fn read(text: &[u8]) -> Result<DayPart, Wrong> {
    let mut of = Json::read(text)?.fields("part")?;
    let (number, count) = (of.number("part")?, of.number("of")?);
    let blob = |name: Json<'_>| match name {
        Json::Text(name) => BlobId::parse(&name).ok_or(Wrong::Unfit("photos")),
        _ => Err(Wrong::Unfit("photos")),
    };
    let blobs = of.list("photos")?.into_iter().map(blob).collect::<Result<_, _>>()?;
    Ok(DayPart { number, of: count, blobs })
}

#[cfg(test)]
mod tests {
    use super::DayPart;
    use crate::id::BlobId;

    #[test]
    fn a_part_is_read_as_it_was_written_and_damage_is_none() {
        let part = DayPart { number: 2, of: 3, blobs: vec![BlobId::of(b"a"), BlobId::of(b"b")] };
        let text = part.written();
        assert_eq!(DayPart::read(&text), Some(part));
        assert_eq!(DayPart::read(&text[..text.len() - 9]), None);
        assert_eq!(DayPart::read(br#"{"quaywright":"day-part","v":2,"part":1}"#), None);
    }
}
