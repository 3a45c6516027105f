//! The backup: everything as one file of JSON lines, to come back the same.
//!
//! Version 1. UTF-8, each line ended by a line feed:
//!
//! 1. `{"quaywright":"backup","v":1,"records":<n>,"photos":<m>}`
//! 2. n record lines, verbatim, as [`super::line`] specifies them;
//! 3. m photo lines, `{"blob":"<SHA-256>","base64":"<RFC 4648, section 4>"}`;
//!    `null` stands for the bytes of a photo that the writer did not have;
//! 4. `{"end":<n + m>}`
//!
//! Nothing but the counts stands outside what is hashed, so every altered byte
//! and every missing line is noticed. A reader keeps what is good and names
//! what is not, by line; a newer version it refuses whole. Writing what was
//! read without a fault gives the same bytes. Plain record lines without the
//! first and last line are read too.

use base64ct::{Base64, Encoding};

use super::intake::{Fault, Intake, IntakeError, Known, Nothing, Place};
use super::json::Json;
use super::line::{self, ReadError};
use super::pieces::{PhotoForm, Piece};
use crate::id::{BlobId, EventId, Hash};

/// The version that this program writes, and the newest that it reads.
pub const VERSION: u32 = 1;

/// Returns a backup of these record lines and photos, in this order.
pub fn pieces<'a>(records: impl IntoIterator<Item = &'a [u8]>, photos: &[BlobId]) -> Vec<Piece> {
    let mut lines = Vec::new();
    let mut count = 0;
    for record in records {
        lines.extend_from_slice(record);
        lines.push(b'\n');
        count += 1;
    }
    let mut text = header(count, photos.len()).into_bytes();
    text.push(b'\n');
    text.append(&mut lines);
    let mut pieces = Vec::with_capacity(photos.len() * 2 + 1);
    for &blob in photos {
        text.extend_from_slice(PHOTO_HEAD);
        text.extend_from_slice(blob.to_string().as_bytes());
        text.extend_from_slice(PHOTO_MIDDLE);
        pieces.push(Piece::Text(std::mem::take(&mut text)));
        pieces.push(Piece::Photo { blob, form: PhotoForm::Json });
        text.extend_from_slice(b"}\n");
    }
    text.extend_from_slice(end(count + photos.len()).as_bytes());
    text.push(b'\n');
    pieces.push(Piece::Text(text));
    pieces
}

const PHOTO_HEAD: &[u8] = br#"{"blob":""#;
const PHOTO_MIDDLE: &[u8] = br#"","base64":"#;
const NAME_DIGITS: usize = 64;

fn header(records: usize, photos: usize) -> String {
    format!(r#"{{"quaywright":"backup","v":{VERSION},"records":{records},"photos":{photos}}}"#)
}

fn end(count: usize) -> String {
    format!(r#"{{"end":{count}}}"#)
}

/// What a backup's first line says.
struct Header {
    version: u32,
    records: usize,
    photos: usize,
}

/// Reads the first line of a backup of this version or a newer one, whose further fields are not known.
fn read_header(line: &[u8]) -> Option<Header> {
    let mut of = Json::read(line).ok()?.fields("header").ok()?;
    (of.text("quaywright").ok()? == "backup").then_some(())?;
    let mut count = |name| of.number(name).unwrap_or_default();
    let (records, photos) = (count("records"), count("photos"));
    Some(Header { version: of.number("v").ok()?, records, photos })
}

/// Reads a backup or plain record lines.
///
/// # Errors
/// Returns [`IntakeError::Newer`] when a newer program wrote it; nothing is
/// then taken. Whatever else is wrong becomes a fault beside what is good.
pub fn read(file: &[u8]) -> Result<Intake, IntakeError> {
    read_knowing(file, &Nothing)
}

/// Reads a file; of records that are known it is only told whose they are.
///
/// # Errors
/// As [`read`].
pub fn read_knowing(file: &[u8], known: &dyn Known) -> Result<Intake, IntakeError> {
    let mut reader = Reader::knowing(known);
    let mut lines = file.split(|&byte| byte == b'\n').map(|line| line.strip_suffix(b"\r").unwrap_or(line)).peekable();
    let mut number = 0;
    while let Some(line) = lines.next() {
        number += 1;
        if !(line.is_empty() && lines.peek().is_none()) {
            reader.take(number, line)?;
        }
    }
    Ok(reader.finish())
}

struct Reader<'a> {
    known: &'a dyn Known,
    intake: Intake,
    header: Option<(usize, usize)>,
    photos: usize,
    records: usize,
    end: Option<usize>,
}

impl<'a> Reader<'a> {
    fn knowing(known: &'a dyn Known) -> Self {
        Self { known, intake: Intake::default(), header: None, photos: 0, records: 0, end: None }
    }

    fn take(&mut self, number: usize, line: &[u8]) -> Result<(), IntakeError> {
        let place = Place::Line(number);
        if self.end.is_some() {
            self.intake.faults.push(Fault::Stray(place));
        } else if line.starts_with(PHOTO_HEAD) {
            self.photos += 1;
            self.photo(place, line);
        } else if line.starts_with(br#"{"v":"#) {
            self.records += 1;
            self.record(place, line)?;
        } else if let Some(count) = end_line(line) {
            self.end = Some(count);
        } else if number > 1 || !self.header(line)? {
            self.intake.faults.push(Fault::Stray(place));
        }
        Ok(())
    }

    /// Takes the first line; tells whether it is what a writer writes.
    fn header(&mut self, line: &[u8]) -> Result<bool, IntakeError> {
        let Some(said) = read_header(line) else { return Ok(false) };
        if said.version > VERSION {
            return Err(IntakeError::Newer { version: said.version });
        }
        self.header = Some((said.records, said.photos));
        Ok(header(said.records, said.photos).as_bytes() == line)
    }

    fn record(&mut self, place: Place, line: &[u8]) -> Result<(), IntakeError> {
        take_record(&mut self.intake, place, line, self.known)
    }

    fn photo(&mut self, place: Place, line: &[u8]) {
        let Some((blob, base64)) = photo_line(line) else {
            self.intake.faults.push(Fault::Photo { place, blob: None });
            return;
        };
        match base64 {
            b"null" => self.intake.faults.push(Fault::PhotoMissing(blob)),
            _ => take_photo(&mut self.intake, place, blob, unquoted(base64)),
        }
    }

    fn finish(mut self) -> Intake {
        let found = (self.records, self.photos);
        let in_all = self.records + self.photos;
        let by_header = self.header.filter(|&said| said != found).map(|(records, photos)| records + photos);
        let by_end = self.end.filter(|&said| said != in_all);
        if let Some(said) = by_header.or(by_end) {
            self.intake.faults.push(Fault::Incomplete { said, found: in_all });
        }
        if self.header.is_some() && self.end.is_none() {
            self.intake.faults.push(Fault::Cut);
        }
        self.intake
    }
}

fn end_line(line: &[u8]) -> Option<usize> {
    let digits = line.strip_prefix(br#"{"end":"#)?.strip_suffix(b"}")?;
    let count = std::str::from_utf8(digits).ok()?.parse().ok()?;
    (line == end(count).as_bytes()).then_some(count)
}

fn photo_line(line: &[u8]) -> Option<(BlobId, &[u8])> {
    let (name, rest) = line.strip_prefix(PHOTO_HEAD)?.split_at_checked(NAME_DIGITS)?;
    let blob = BlobId::parse(std::str::from_utf8(name).ok()?)?;
    Some((blob, rest.strip_prefix(PHOTO_MIDDLE)?.strip_suffix(b"}")?))
}

fn unquoted(json: &[u8]) -> &[u8] {
    json.strip_prefix(b"\"").and_then(|rest| rest.strip_suffix(b"\"")).unwrap_or_default()
}

/// Takes a record line, or names it as a fault.
pub(super) fn take_record(
    intake: &mut Intake,
    place: Place,
    line: &[u8],
    known: &dyn Known,
) -> Result<(), IntakeError> {
    match line::read_unless(line, &|hash| known.has(hash)) {
        Ok((_, Some(sealed))) => intake.records.push((line.to_vec(), sealed)),
        Ok((id, None)) => {
            intake.known.insert(id.device);
        }
        Err(ReadError::Newer { version }) if vouches_for_itself(line) => return Err(IntakeError::Newer { version }),
        Err(why) => intake.faults.push(Fault::Record { place, claims: claimed_name(line), why }),
    }
    Ok(())
}

/// Takes a photo's base64, or names it as a fault.
pub(super) fn take_photo(intake: &mut Intake, place: Place, blob: BlobId, base64: &[u8]) {
    take_bytes(intake, place, blob, std::str::from_utf8(base64).ok().and_then(|text| Base64::decode_vec(text).ok()));
}

/// Takes a photo's bytes, or names it as a fault.
pub(super) fn take_bytes(intake: &mut Intake, place: Place, blob: BlobId, bytes: Option<Vec<u8>>) {
    match bytes.filter(|bytes| BlobId::of(bytes) == blob) {
        Some(bytes) => intake.blobs.push((blob, bytes)),
        None => intake.faults.push(Fault::Photo { place, blob: Some(blob) }),
    }
}

/// Tells a line of a newer version from one whose version is a flipped bit.
fn vouches_for_itself(line: &[u8]) -> bool {
    let fits = || {
        let before_end = line.strip_suffix(br#""}"#)?;
        let (head, digits) = before_end.split_at_checked(before_end.len().checked_sub(NAME_DIGITS)?)?;
        let hash = Hash::parse(std::str::from_utf8(digits).ok()?)?;
        Some(Hash::of(head.strip_suffix(br#","hash":""#)?) == hash)
    };
    fits() == Some(true)
}

/// Returns the name that a line says it has, which need not be true.
fn claimed_name(line: &[u8]) -> Option<EventId> {
    const NAME: &[u8] = br#""id":""#;
    let from = line.windows(NAME.len()).take(40).position(|window| window == NAME)? + NAME.len();
    let name = line[from..].split(|&byte| byte == b'"').next()?;
    EventId::parse(std::str::from_utf8(name).ok()?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{About, Event};
    use crate::exchange::pieces::assemble;
    use crate::id::DeviceId;
    use crate::log::Tip;
    use crate::moment::Moment;
    use crate::text::Prose;

    fn lines(count: u64) -> Vec<Vec<u8>> {
        let mut tip = Tip::fresh(DeviceId::new([7; 8]));
        let now = Moment::parse("2026-05-04T08:00:00+01:00").unwrap();
        let mut say = |n| {
            let text = Prose::new(&format!("note {n}"));
            let (line, sealed) = line::seal(tip.record(now, Event::NoteWritten { about: About::Day, text }));
            tip.advance(&sealed);
            line
        };
        (0..count).map(&mut say).collect()
    }

    fn file() -> Vec<u8> {
        let photos = [b"first".to_vec(), b"second".to_vec()];
        let names = photos.each_ref().map(|bytes| BlobId::of(bytes));
        let lines = lines(3);
        let pieces = pieces(lines.iter().map(Vec::as_slice), &names);
        assemble(&pieces, |name| photos.iter().find(|bytes| BlobId::of(bytes) == name).cloned())
    }

    fn written_again(intake: &Intake) -> Vec<u8> {
        let names: Vec<BlobId> = intake.blobs.iter().map(|blob| blob.0).collect();
        let pieces = pieces(intake.records.iter().map(|record| record.0.as_slice()), &names);
        assemble(&pieces, |name| intake.blobs.iter().find(|blob| blob.0 == name).map(|blob| blob.1.clone()))
    }

    #[test]
    fn comes_back_byte_for_byte() {
        let file = file();
        let intake = read(&file).unwrap();
        assert_eq!(intake.faults, []);
        assert_eq!((intake.records.len(), intake.blobs.len()), (3, 2));
        assert_eq!(written_again(&intake), file);
    }

    #[test]
    fn every_flipped_bit_is_found() {
        let file = file();
        for at in 0..file.len() {
            for bit in 0..8 {
                let mut altered = file.clone();
                altered[at] ^= 1 << bit;
                let found = read(&altered).map(|intake| intake.faults.len());
                assert_ne!(found, Ok(0), "byte {at}, bit {bit}");
            }
        }
    }

    #[test]
    fn a_bad_line_is_named_and_the_others_are_kept() {
        let text = String::from_utf8(file()).unwrap().replace("note 1", "note 9");
        let intake = read(text.as_bytes()).unwrap();
        assert_eq!(intake.records.len(), 2);
        let told: Vec<String> = intake.faults.iter().map(ToString::to_string).collect();
        assert_eq!(told, ["line 3: record 0707070707070707-2 was not taken: altered since it was written"]);
    }

    #[test]
    fn a_cut_file_gives_what_is_whole() {
        let file = file();
        for length in 0..file.len() - 1 {
            let intake = read(&file[..length]).unwrap();
            assert!(length == 0 || !intake.faults.is_empty(), "cut after {length} bytes");
        }
    }

    #[test]
    fn a_newer_version_is_refused_whole() {
        let newer = String::from_utf8(file()).unwrap().replacen(r#""v":1"#, r#""v":2"#, 1);
        assert_eq!(read(newer.as_bytes()), Err(IntakeError::Newer { version: 2 }));
        let head = r#"{"v":5,"id":"0707070707070707-1","kind":"unheard of""#;
        let line = format!(r#"{head},"hash":"{}"}}"#, Hash::of(head.as_bytes()));
        assert_eq!(read(line.as_bytes()), Err(IntakeError::Newer { version: 5 }));
    }

    #[test]
    fn a_photo_that_was_not_there_is_told_when_read() {
        let name = BlobId::of(b"gone");
        let file = assemble(&pieces([], &[name]), |_| None);
        assert_eq!(read(&file).unwrap().faults, [Fault::PhotoMissing(name)]);
    }
}
