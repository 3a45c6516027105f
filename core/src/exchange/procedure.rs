//! A file of procedures: how one technician gives what he knows to another.
//!
//! Version 1. UTF-8 JSON, one object with exactly these fields, in any order and
//! with any white space, so that it can be written by hand:
//!
//! | field | value |
//! |-------|-------|
//! | `quaywright` | `"procedures"` |
//! | `v` | version of this form |
//! | `procedures` | list of procedures, as `core/src/exchange/wire/procedure.rs` specifies them |
//! | `pictures` | list of `{"blob": "<SHA-256>", "base64": "<RFC 4648, section 4>"}`; may be absent; `null` stands for bytes that the writer did not have |
//!
//! Numbers are whole. A reader refuses a newer version, an unknown field, more
//! than [`MOST_BYTES`] or [`MOST`] procedures, and a procedure that is not
//! [`sound`](crate::procedure::sound); it takes nothing of a file that it refuses.
//! A picture whose bytes are missing, altered or no JPEG does not come in, and is told.
//!
//! ```
//! use quaywright_core::exchange::procedure;
//! let file = br#"{
//!   "quaywright": "procedures", "v": 1,
//!   "procedures": [{ "title": "Flush fitting", "steps": [
//!     { "number": 1, "text": "Unscrew the fitting", "items": [{ "what": "fitting", "count": 1 }],
//!       "only": [{ "drive": "outboard" }] }
//!   ] }]
//! }"#;
//! let read = procedure::read(file)?;
//! assert_eq!(read.procedures[0].title.as_str(), "Flush fitting");
//! # Ok::<(), procedure::NotTaken>(())
//! ```

use base64ct::{Base64, Encoding};

use super::json::{Fields, Json, Wrong};
use super::pieces::{PhotoForm, Piece};
use super::wire::procedure as wire;
use crate::event::Procedure;
use crate::id::BlobId;
use crate::order;
use crate::procedure::sound::{Unsound, sound};

/// The version that this program writes, and the newest that it reads.
pub const VERSION: u32 = 1;
/// The most bytes of a file.
pub const MOST_BYTES: usize = 64 * 1024 * 1024;
/// The most procedures of a file.
pub const MOST: usize = 100;

/// How a file begins that this program wrote, by which it is recognised.
const HEAD: &str = "{\"quaywright\":\"procedures\"";

/// What stands in a file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ProcedureFile {
    /// The procedures.
    pub procedures: Vec<Procedure>,
    /// Each picture as it is written: its name and its base64, nothing where the writer had none.
    pictures: Vec<(BlobId, Option<String>)>,
}

/// Why nothing was taken of a file.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotTaken {
    /// A newer program wrote it.
    #[error("written by a newer Quaywright (form {version}): update this one and take the file in again")]
    Newer {
        /// The version that it names.
        version: u32,
    },
    /// It is no such file.
    #[error("this is no file of procedures: pick the file that a colleague shared")]
    Foreign,
    /// It is one, but cannot be read.
    #[error("this file of procedures is cut off or damaged ({0}): ask for it again")]
    Broken(String),
    /// It is larger than a phone should take.
    #[error("this file holds more than {MOST} procedures or 64 MB: ask for it in parts")]
    TooLarge,
    /// A procedure in it makes no sense.
    #[error("\u{201c}{title}\u{201d} in this file was not taken, nor was anything else: {why}")]
    Unsound {
        /// What it is called.
        title: String,
        /// What is wrong.
        why: Unsound,
    },
}

/// Returns a file of these procedures, with their pictures.
pub fn pieces(procedures: &[&Procedure]) -> Vec<Piece> {
    let steps = procedures.iter().flat_map(|it| &it.steps);
    let pictures = order::each_once(steps.flat_map(|it| &it.pictures).map(|it| it.blob).collect());
    let mut text = [HEAD, ",\"v\":", &VERSION.to_string(), ",\"procedures\":["].concat();
    for (nth, procedure) in procedures.iter().enumerate() {
        text.push_str(if nth == 0 { "\n" } else { ",\n" });
        text.push_str(&Json::from(wire::procedure_form(procedure)).written());
    }
    text.push_str("\n],\"pictures\":[");
    let mut pieces = Vec::with_capacity(pictures.len() * 2 + 1);
    for (nth, blob) in pictures.into_iter().enumerate() {
        text.push_str(if nth == 0 { "\n" } else { ",\n" });
        text.push_str(&["{\"blob\":\"", &blob.to_string(), "\",\"base64\":"].concat());
        pieces.push(Piece::Text(std::mem::take(&mut text).into_bytes()));
        pieces.push(Piece::Photo { blob, form: PhotoForm::Json });
        text.push('}');
    }
    text.push_str("\n]}\n");
    pieces.push(Piece::Text(text.into_bytes()));
    pieces
}

/// Returns a file of these procedures that holds no picture.
pub fn without_pictures(procedures: &[&Procedure]) -> Vec<u8> {
    let forms: Vec<Json<'_>> = procedures.iter().map(|it| wire::procedure_form(it).into()).collect();
    let form = Fields::default().put("quaywright", "procedures").put("v", VERSION).put("procedures", forms);
    Json::from(form).written().into_bytes()
}

/// Tells whether a file begins as one of procedures.
pub fn is_one(file: &[u8]) -> bool {
    let mut begin = file.iter().copied().filter(|byte| !byte.is_ascii_whitespace());
    HEAD.bytes().all(|byte| begin.next() == Some(byte))
}

/// Reads a file, but not yet its pictures.
///
/// # Errors
/// Says why nothing of it is taken, and what to do.
pub fn read(file: &[u8]) -> Result<ProcedureFile, NotTaken> {
    if file.len() > MOST_BYTES {
        return Err(NotTaken::TooLarge);
    }
    let tree = Json::read(file).map_err(|wrong| if is_one(file) { broken(&wrong) } else { NotTaken::Foreign })?;
    let mut of = tree.fields("file").map_err(|_| NotTaken::Foreign)?;
    if of.text("quaywright").ok().as_deref() != Some("procedures") {
        return Err(NotTaken::Foreign);
    }
    match of.number("v") {
        Ok(VERSION) => {}
        Ok(version) if version > VERSION => return Err(NotTaken::Newer { version }),
        _ => return Err(NotTaken::Broken("`v` is no version".to_owned())),
    }
    let read = of.whole(content).map_err(|wrong| broken(&wrong))?;
    if read.procedures.len() > MOST {
        return Err(NotTaken::TooLarge);
    }
    for procedure in &read.procedures {
        sound(procedure).map_err(|why| NotTaken::Unsound { title: procedure.title.to_string(), why })?;
    }
    Ok(read)
}

fn broken(wrong: &Wrong) -> NotTaken {
    NotTaken::Broken(wrong.to_string())
}

fn content(of: &mut Fields<'_>) -> Result<ProcedureFile, Wrong> {
    let procedures = of.list("procedures")?;
    let pictures = of.known("pictures")?.map_or(Ok(Vec::new()), |form| form.list_of("pictures"))?;
    Ok(ProcedureFile {
        procedures: procedures
            .into_iter()
            .map(|it| it.fields("procedures")?.whole(wire::procedure))
            .collect::<Result<_, _>>()?,
        pictures: pictures.into_iter().map(|it| it.fields("pictures")?.whole(picture)).collect::<Result<_, _>>()?,
    })
}

fn picture(of: &mut Fields<'_>) -> Result<(BlobId, Option<String>), Wrong> {
    let blob = of.parsed("blob", BlobId::parse)?;
    match of.known("base64")? {
        Some(Json::Text(text)) => Ok((blob, Some(text.into_owned()))),
        Some(_) => Err(Wrong::Unfit("base64")),
        None => Ok((blob, None)),
    }
}

impl ProcedureFile {
    /// Takes the pictures' bytes out, and out of the steps what has none; returns
    /// how many that were.
    pub fn take_pictures(&mut self) -> (Vec<(BlobId, Vec<u8>)>, usize) {
        let mut taken: Vec<(BlobId, Vec<u8>)> = Vec::new();
        for (blob, base64) in std::mem::take(&mut self.pictures) {
            let bytes = base64.and_then(|text| Base64::decode_vec(&text).ok());
            // A JPEG begins with its marker (ITU-T T.81, annex B); nothing else is shown as a photo.
            let whole = bytes.filter(|bytes| bytes.starts_with(&[0xff, 0xd8]) && BlobId::of(bytes) == blob);
            if let Some(bytes) = whole.filter(|_| taken.iter().all(|it| it.0 != blob)) {
                taken.push((blob, bytes));
            }
        }
        let mut gone = 0;
        for step in self.procedures.iter_mut().flat_map(|it| &mut it.steps) {
            let before = step.pictures.len();
            step.pictures.retain(|it| taken.iter().any(|(blob, _)| *blob == it.blob));
            gone += before - step.pictures.len();
        }
        (taken, gone)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Picture, ProcedureStep, StepNumber};
    use crate::exchange::pieces::assemble;
    use crate::text::Label;

    fn jpeg(content: &str) -> Vec<u8> {
        [b"\xff\xd8".as_slice(), content.as_bytes()].concat()
    }

    fn procedure() -> Procedure {
        let picture = |content: &str| {
            let bytes = jpeg(content);
            let (blob, bytes) = (BlobId::of(&bytes), bytes.len() as u32);
            Picture { blob, bytes, width: 4, height: 3, caption: Label::new(content) }
        };
        let step = |number, pictures| ProcedureStep {
            number: StepNumber(number),
            text: Label::new("Look \"at\" it"),
            pictures,
            ..ProcedureStep::default()
        };
        let steps = vec![step(2, vec![picture("cover"), picture("key")]), step(1, vec![picture("cover")])];
        Procedure { title: Label::new("Impeller"), steps, ..Procedure::default() }
    }

    fn file(have: &[&str]) -> Vec<u8> {
        let have: Vec<Vec<u8>> = have.iter().map(|content| jpeg(content)).collect();
        assemble(&pieces(&[&procedure()]), |blob| have.iter().find(|bytes| BlobId::of(bytes) == blob).cloned())
    }

    #[test]
    fn comes_back_with_its_pictures() {
        let file = file(&["cover", "key"]);
        assert!(is_one(&file));
        let mut read = read(&file).unwrap();
        let (pictures, gone) = read.take_pictures();
        assert_eq!((read.procedures.as_slice(), pictures.len(), gone), ([procedure()].as_slice(), 2, 0));
        assert!(pictures.iter().all(|(blob, bytes)| BlobId::of(bytes) == *blob));
    }

    #[test]
    fn a_picture_that_is_not_there_or_is_another_does_not_come_in() {
        let whole = String::from_utf8(file(&["cover", "key"])).unwrap();
        let altered = whole.replacen("\"base64\":\"/9h", "\"base64\":\"/8h", 1);
        for file in [file(&["key"]), altered.into_bytes()] {
            let mut read = read(&file).unwrap();
            let (pictures, gone) = read.take_pictures();
            let left: usize = read.procedures[0].steps.iter().map(|it| it.pictures.len()).sum();
            assert_eq!((pictures.len(), left + gone), (1, 3));
            assert!(gone > 0);
        }
    }

    #[test]
    fn what_is_refused_is_refused_whole_and_in_words() {
        let good = String::from_utf8(file(&[])).unwrap();
        let said = |file: &str| read(file.as_bytes()).unwrap_err();
        assert_eq!(said(&good.replacen("\"v\":1", "\"v\":2", 1)), NotTaken::Newer { version: 2 });
        assert_eq!(said("Dear all"), NotTaken::Foreign);
        assert_eq!(said("{\"quaywright\":\"backup\",\"v\":1}"), NotTaken::Foreign);
        assert!(matches!(said(&good.replacen("\"v\":1", "\"v\":0", 1)), NotTaken::Broken(_)));
        assert!(matches!(said(&good.replacen("\"number\":1", "\"number\":1,\"new\":2", 1)), NotTaken::Broken(_)));
        let twice = good.replacen("\"number\":1", "\"number\":2", 1);
        assert_eq!(
            said(&twice).to_string(),
            "“Impeller” in this file was not taken, nor was anything else: step 2 has no number of its own: the file is damaged"
        );
        for cut in 1..good.len() - 2 {
            assert!(read(&good.as_bytes()[..cut]).is_err(), "cut after {cut}");
        }
        let many = vec![Json::from(wire::procedure_form(&procedure())).written(); MOST + 1].join(",");
        let many = ["{\"quaywright\":\"procedures\",\"v\":1,\"procedures\":[", &many, "]}"].concat();
        assert_eq!(said(&many), NotTaken::TooLarge);
    }
}
