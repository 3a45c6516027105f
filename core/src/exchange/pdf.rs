//! What stands inside a day's PDF for programs, taken out again.
//!
//! The day bundle as PDF (PDF/A-3, ISO 19005-3) is for people to read and
//! carries, as attached files, `day.json` ([`super::bundle`]; without the photos'
//! bytes) and `hours.csv` ([`super::table`]). A photo of the day is an image of
//! the document, its JPEG as it was taken in, a voice note an attached file; each is known by
//! its SHA-256. One of several PDFs that are one day together says so ([`super::part`]).
//!
//! Rule: a file's index is not trusted. The streams are found where they lie, one
//! after the other from the beginning, which ends whatever the file says: by ISO
//! 32000-1, 7.5.7, no stream lies in another. What is packed is opened up to a
//! limit for the whole file, and only what is marked as an attached file.
//! Records and photos vouch for themselves, so a stream that is no longer used
//! does no harm. A PDF that was locked with a password is refused.

use std::borrow::Cow;

use super::bundle::JSON_HEAD;
use super::intake::{IntakeError, PDF};
use super::part::{self, DayPart};
use crate::id::BlobId;

/// How many bytes all attached files of a PDF may have together once they are opened.
const OPENED: usize = 256 * 1024 * 1024;
/// How far before its stream an object may begin.
const OBJECT_HEAD: usize = 4 * 1024;

/// What a day's PDF carries.
pub(super) struct Inside<'a> {
    /// The bundle's JSON.
    pub(super) data: Vec<u8>,
    /// Every JPEG and every further file, by the name of its bytes.
    pub(super) photos: Vec<(BlobId, Cow<'a, [u8]>)>,
    /// Which of several PDFs it is that are one day together.
    pub(super) part: Option<DayPart>,
}

impl Inside<'_> {
    /// Returns the bytes of this name.
    pub(super) fn bytes(&self, blob: BlobId) -> Option<Vec<u8>> {
        self.photos.iter().find(|photo| photo.0 == blob).map(|photo| photo.1.to_vec())
    }
}

/// Tells whether a file says that it is a PDF.
pub(super) fn is_pdf(file: &[u8]) -> bool {
    file.starts_with(b"%PDF-")
}

/// Tells whether a PDF has attached files.
pub(super) fn carries_files(file: &[u8]) -> bool {
    find(file, b"/EmbeddedFile").is_some()
}

/// Takes out what a day's PDF carries.
pub(super) fn inside(file: &[u8]) -> Result<Inside<'_>, IntakeError> {
    let mut inside = Inside { data: Vec::new(), photos: Vec::new(), part: None };
    let mut left = OPENED;
    for stream in (Streams { file, at: 0 }) {
        if stream.is(b"/DCTDecode") {
            inside.photos.push((BlobId::of(stream.bytes), stream.bytes.into()));
        } else if stream.is(b"/EmbeddedFile") {
            let opened = stream.opened(left)?;
            left -= opened.len();
            // What was written later stands further down and counts.
            if opened.starts_with(JSON_HEAD) {
                inside.data = opened;
            } else if opened.starts_with(part::HEAD) {
                inside.part = DayPart::read(&opened);
            } else {
                inside.photos.push((BlobId::of(&opened), opened.into()));
            }
        }
    }
    match (inside.data.is_empty() && inside.part.is_none(), find(file, b"/Encrypt").is_some()) {
        (false, _) => Ok(inside),
        (true, true) => Err(IntakeError::Foreign("this PDF is locked: ask for it without a password")),
        (true, false) if !file.trim_ascii_end().ends_with(b"%%EOF") => Err(IntakeError::Broken),
        (true, false) => Err(IntakeError::Foreign(PDF)),
    }
}

/// A stream of a PDF.
struct Stream<'a> {
    /// What stands before it of its object.
    head: &'a [u8],
    bytes: &'a [u8],
}

impl Stream<'_> {
    fn is(&self, what: &[u8]) -> bool {
        find(self.head, what).is_some()
    }

    /// Returns the bytes, opened if they are packed.
    fn opened(&self, most: usize) -> Result<Vec<u8>, IntakeError> {
        if !self.is(b"/Filter") {
            return if self.bytes.len() > most { Err(TOO_LARGE) } else { Ok(self.bytes.to_vec()) };
        }
        if !self.is(b"/FlateDecode") || self.is(b"/DecodeParms") {
            return Err(IntakeError::Broken);
        }
        let opened = miniz_oxide::inflate::decompress_to_vec_zlib_with_limit(self.bytes, most);
        opened.map_err(|error| match error.status {
            miniz_oxide::inflate::TINFLStatus::HasMoreOutput => TOO_LARGE,
            _ => IntakeError::Broken,
        })
    }
}

const TOO_LARGE: IntakeError =
    IntakeError::Foreign("what this PDF carries is larger than a day can be: ask for the day again");

/// The streams of a file, in their order.
struct Streams<'a> {
    file: &'a [u8],
    at: usize,
}

impl<'a> Iterator for Streams<'a> {
    type Item = Stream<'a>;

    fn next(&mut self) -> Option<Self::Item> {
        const BEGIN: &[u8] = b"stream";
        const END: &[u8] = b"endstream";
        loop {
            let word = self.at + find(&self.file[self.at..], BEGIN)?;
            let after = &self.file[word + BEGIN.len()..];
            // ISO 32000-1, 7.3.8.1: the word is followed by a line feed, with or without a carriage return.
            let Some(rest) = after.strip_prefix(b"\r\n").or(after.strip_prefix(b"\n")) else {
                self.at = word + BEGIN.len();
                continue;
            };
            let start = self.file.len() - rest.len();
            let head = &self.file[self.at.max(word.saturating_sub(OBJECT_HEAD))..word];
            let head = rfind(head, b" obj").map_or(head, |at| &head[at..]);
            let said = length(head).and_then(|length| rest.split_at_checked(length));
            let bytes = match said {
                Some((bytes, after)) if after.trim_ascii_start().starts_with(END) => bytes,
                // The length stands elsewhere, or is wrong.
                _ => {
                    let bytes = &rest[..find(rest, END)?];
                    bytes.strip_suffix(b"\n").map(|it| it.strip_suffix(b"\r").unwrap_or(it)).unwrap_or(bytes)
                }
            };
            let end = find(&rest[bytes.len()..], END).unwrap_or_default() + END.len();
            self.at = self.file.len().min(start + bytes.len() + end);
            return Some(Stream { head, bytes });
        }
    }
}

/// Returns the length of a stream where its head says it; nothing where that is said elsewhere.
fn length(head: &[u8]) -> Option<usize> {
    let text = std::str::from_utf8(&head[find(head, b"/Length")? + b"/Length".len()..]).ok()?;
    let text = text.trim_start();
    let digits = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let (number, rest) = text.split_at(digits);
    // `12 0 R` names the object that holds the length.
    let elsewhere = rest.trim_start().starts_with(|c: char| c.is_ascii_digit());
    if elsewhere { None } else { number.parse().ok() }
}

fn find(text: &[u8], what: &[u8]) -> Option<usize> {
    text.windows(what.len()).position(|window| window == what)
}

fn rfind(text: &[u8], what: &[u8]) -> Option<usize> {
    text.windows(what.len()).rposition(|window| window == what)
}

#[cfg(test)]
mod tests {
    use super::*;

    const DATA: &[u8] = br#"{"quaywright":"day","v":1}"#;

    fn object(head: &str, bytes: &[u8]) -> Vec<u8> {
        [b"5 0 obj\n<<", head.as_bytes(), b">>\nstream\n", bytes, b"\nendstream\nendobj\n"].concat()
    }

    fn file(objects: &[Vec<u8>]) -> Vec<u8> {
        [b"%PDF-1.7\n", &objects.concat()[..], b"trailer\n<<>>\n%%EOF\n"].concat()
    }

    fn packed(bytes: &[u8]) -> Vec<u8> {
        miniz_oxide::deflate::compress_to_vec_zlib(bytes, 6)
    }

    #[test]
    fn finds_data_and_photos_however_their_length_is_said() {
        let jpeg = b"\xff\xd8 endstream? \n stream\n \xff\xd9".as_slice();
        for length in [packed(DATA).len().to_string(), "7 0 R".to_owned(), "3".to_owned(), "99999999".to_owned()] {
            let data = object(&format!("/Type/EmbeddedFile/Filter/FlateDecode/Length {length}"), &packed(DATA));
            let photo = object(&format!("/Subtype/Image/Filter/DCTDecode/Length {}", jpeg.len()), jpeg);
            let file = file(&[object("/Length 4", b"page"), photo, data]);
            let inside = inside(&file).ok().unwrap();
            assert_eq!((inside.data.as_slice(), inside.photos), (DATA, vec![(BlobId::of(jpeg), jpeg.into())]));
        }
    }

    #[test]
    fn what_was_written_later_counts() {
        let later = [DATA, b" "].concat();
        let both = [DATA, &later].map(|data| object("/Type/EmbeddedFile", data));
        assert_eq!(inside(&file(&both)).ok().unwrap().data, later);
    }

    #[test]
    fn refuses_in_words_what_is_locked_cut_or_too_large() {
        let refused = |file: &[u8]| inside(file).err().unwrap();
        let reading = file(&[object("/Length 4", b"page")]);
        assert_eq!(refused(&reading), IntakeError::Foreign(PDF));
        assert_eq!(refused(&reading[..40]), IntakeError::Broken);
        let locked = [&reading[..], b"<</Encrypt 3 0 R>>%%EOF"].concat();
        assert!(matches!(refused(&locked), IntakeError::Foreign(words) if words.contains("locked")));
        let torn = object("/Type/EmbeddedFile/Filter/FlateDecode", &packed(DATA)[..9]);
        assert_eq!(refused(&file(&[torn])), IntakeError::Broken);
        let odd = object("/Type/EmbeddedFile/Filter/LZWDecode", DATA);
        assert_eq!(refused(&file(&[odd])), IntakeError::Broken);
        // 300 MB of zeros in 300 kB.
        let bomb = object("/Type/EmbeddedFile/Filter/FlateDecode", &packed(&vec![0; 100 << 20]));
        assert!(matches!(refused(&file(&[bomb.clone(), bomb.clone(), bomb])), TOO_LARGE));
    }

    #[test]
    fn a_file_of_nothing_but_beginnings_ends() {
        let beginnings = b"stream\n".repeat(200_000);
        assert_eq!(inside(&file(&[beginnings])).err(), Some(IntakeError::Foreign(PDF)));
        let ends = b"5 0 obj stream\nendstream ".repeat(50_000);
        assert_eq!(inside(&file(&[ends])).err(), Some(IntakeError::Foreign(PDF)));
    }
}
