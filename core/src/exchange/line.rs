//! One record as one line of JSON: the form in which everything is kept and sent.
//!
//! Version 1. A line is UTF-8 JSON without line breaks, with exactly these
//! fields in this order:
//!
//! | field   | value |
//! |---------|-------|
//! | `v`     | version of this form, `1` |
//! | `id`    | `<device>-<number>`: sixteen lower-case hexadecimal digits, then a running number from 1 |
//! | `at`    | RFC 3339, milliseconds, numeric offset |
//! | `hlc`   | hybrid logical clock, `<milliseconds>.<counter>` |
//! | `prev`  | `hash` of the device's record before it; 64 zeros for number 1 |
//! | `event` | the event: `{"<kind>": {…}}`, kinds and fields as in `core/src/exchange/wire.rs` |
//! | `hash`  | SHA-256, lower-case hexadecimal, of all bytes of the line before `,"hash":` |
//!
//! So a line vouches for itself, and each line for the one before it: any
//! altered byte is found and the record named. A reader takes every version up
//! to its own and refuses a newer one whole, keeping the bytes.
//!
//! ```
//! use quaywright_core::{event::Event, exchange::line, id::DeviceId, log::Tip, moment::Moment, text::Label};
//! let tip = Tip::fresh(DeviceId::new([0xab; 8]));
//! let now = Moment::parse("2026-05-04T07:58:12.000+01:00")?;
//! let event = Event::TechnicianNamed { name: Label::new("A. Hand"), shop: Label::new("River Yard") };
//! let (bytes, sealed) = line::seal(tip.record(now, event));
//! assert!(bytes.starts_with(br#"{"v":1,"id":"abababababababab-1","at":"2026-05-04T07:58:12.000+01:00","hlc":"1777877892000.0","#));
//! assert_eq!(line::read(&bytes)?, sealed);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

use serde::{Deserialize, Serialize};

use super::wire::{EventForm, text};
use crate::event::Event;
use crate::id::{EventId, Hash};
use crate::log::{Hlc, Record, Sealed};
use crate::moment::Moment;

/// The version that this program writes, and the newest that it reads.
pub const VERSION: u32 = 1;

/// Why a line is not taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    /// A newer program wrote it.
    #[error("written by a newer Quaywright (form {version}): update this one, nothing was changed")]
    Newer {
        /// The version it names.
        version: u32,
    },
    /// The bytes are not those that were written.
    #[error("altered since it was written")]
    Altered,
    /// It is not a record.
    #[error("not a record of this program ({0})")]
    NotARecord(String),
}

/// What a line says of itself once its hash has been verified.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Checked {
    /// Its name.
    pub id: EventId,
    /// The hash of the record before it.
    pub prev: Hash,
    /// Its own hash.
    pub hash: Hash,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct LineForm {
    v: u32,
    #[serde(with = "text")]
    id: EventId,
    #[serde(with = "text")]
    at: Moment,
    #[serde(with = "text")]
    hlc: Hlc,
    #[serde(with = "text")]
    prev: Hash,
    #[serde(with = "EventForm")]
    event: Event,
    // Written by hand, since it covers the bytes of all the others.
    #[serde(with = "text", skip_serializing)]
    hash: Hash,
}

#[derive(Deserialize)]
struct ChainForm {
    #[serde(with = "text")]
    id: EventId,
    #[serde(with = "text")]
    prev: Hash,
    #[serde(with = "text")]
    hash: Hash,
}

#[derive(Deserialize)]
struct VersionForm {
    v: u32,
}

const HASH_FIELD: &[u8] = br#","hash":""#;
const HASH_DIGITS: usize = 64;
const END: &[u8] = br#""}"#;

/// Writes a record; returns its line, without line feed, and the record with its hash.
pub fn seal(record: Record) -> (Vec<u8>, Sealed) {
    let Record { id, at, hlc, prev, event } = record;
    let form = LineForm { v: VERSION, id, at, hlc, prev, event, hash: Hash::NONE };
    // Writing plain values with text keys to memory cannot fail.
    let mut line = serde_json::to_vec(&form).unwrap_or_default();
    line.pop();
    let hash = Hash::of(&line);
    line.extend_from_slice(HASH_FIELD);
    line.extend_from_slice(hash.to_string().as_bytes());
    line.extend_from_slice(END);
    (line, Sealed { record: Record { id, at, hlc, prev, event: form.event }, hash })
}

/// Reads a line and verifies its hash.
///
/// # Errors
/// Returns [`ReadError::Newer`] for a newer version, [`ReadError::Altered`] when
/// the hash does not fit the bytes, [`ReadError::NotARecord`] for anything else.
pub fn read(line: &[u8]) -> Result<Sealed, ReadError> {
    verify(line)?;
    read_verified(line)
}

/// Reads a line whose bytes were verified by other means, such as the hash of a
/// whole pack of lines.
///
/// # Errors
/// As [`read`], but an altered line may be read as it stands.
pub fn read_verified(line: &[u8]) -> Result<Sealed, ReadError> {
    refuse_newer(line)?;
    let LineForm { id, at, hlc, prev, event, hash, .. } = parse(line)?;
    Ok(Sealed { record: Record { id, at, hlc, prev, event }, hash })
}

/// Verifies a line's own hash and reads its name and chain, without interpreting the event.
///
/// # Errors
/// As [`read`].
pub fn check(line: &[u8]) -> Result<Checked, ReadError> {
    verify(line)?;
    let ChainForm { id, prev, hash } = parse(line)?;
    Ok(Checked { id, prev, hash })
}

fn verify(line: &[u8]) -> Result<(), ReadError> {
    refuse_newer(line)?;
    if !line.starts_with(br#"{"v":"#) {
        return Err(ReadError::NotARecord("it does not begin as a line of a log".to_owned()));
    }
    let hashed = || {
        let before_end = line.strip_suffix(END)?;
        let (head, digits) = before_end.split_at_checked(before_end.len().checked_sub(HASH_DIGITS)?)?;
        let hash = Hash::parse(std::str::from_utf8(digits).ok()?)?;
        Some(Hash::of(head.strip_suffix(HASH_FIELD)?) == hash)
    };
    if hashed() == Some(true) { Ok(()) } else { Err(ReadError::Altered) }
}

fn refuse_newer(line: &[u8]) -> Result<(), ReadError> {
    if line.starts_with(br#"{"v":1,"#) {
        return Ok(());
    }
    match serde_json::from_slice::<VersionForm>(line) {
        Ok(VersionForm { v }) if v > VERSION => Err(ReadError::Newer { version: v }),
        _ => Ok(()),
    }
}

fn parse<'a, T: Deserialize<'a>>(line: &'a [u8]) -> Result<T, ReadError> {
    serde_json::from_slice(line).map_err(|error| ReadError::NotARecord(error.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Activity, Doing, On};
    use crate::id::DeviceId;
    use crate::log::Tip;
    use crate::text::{Label, Prose};

    fn tip() -> Tip {
        Tip::fresh(DeviceId::new([0xab; 8]))
    }

    fn line_of(event: Event) -> Vec<u8> {
        let now = Moment::parse("2026-05-04T07:58:12.000+01:00").unwrap();
        seal(tip().record(now, event)).0
    }

    fn tap() -> Event {
        Event::ClockSwitched { to: Doing::At { activity: Activity::Labour, on: On::NoJob } }
    }

    #[test]
    fn is_written_like_this() {
        let line = String::from_utf8(line_of(tap())).unwrap();
        expect_test::expect![[r#"{"v":1,"id":"abababababababab-1","at":"2026-05-04T07:58:12.000+01:00","hlc":"1777877892000.0","prev":"0000000000000000000000000000000000000000000000000000000000000000","event":{"clock-switched":{"to":{"at":{"activity":"labour","on":"no-job"}}}},"hash":"e48cf6100b980bf33dc88e87fac853ae8ed01d5b516f172fb0031771828add6c"}"#]]
        .assert_eq(&line);
    }

    #[test]
    fn any_altered_byte_is_found() {
        let line = line_of(tap());
        for at in 0..line.len() {
            for bit in 0..8 {
                let mut altered = line.clone();
                altered[at] ^= 1 << bit;
                assert!(read(&altered).is_err(), "byte {at}, bit {bit}");
                assert!(check(&altered).is_err(), "byte {at}, bit {bit}");
            }
        }
    }

    #[test]
    fn a_newer_form_is_refused_by_its_version() {
        let newer = br#"{"v":2,"id":"abababababababab-1","what":"unknown"}"#;
        assert_eq!(read(newer), Err(ReadError::Newer { version: 2 }));
        assert_eq!(check(newer), Err(ReadError::Newer { version: 2 }));
    }

    #[test]
    fn foreign_bytes_are_no_record() {
        for foreign in [&b""[..], b"{}", b"[1,2]", b"\xff\xfe", b"{\"v\":0}", b"{\"v\":1,", b"Name,Hours"] {
            assert!(matches!(read(foreign), Err(ReadError::NotARecord(_) | ReadError::Altered)));
        }
    }

    #[test]
    fn hard_text_comes_back_the_same() {
        for text in ["</script><b>", "=1+1", "مرحبا 🛶\nשלום", "\"\\\u{2028}", &"x".repeat(100_000)] {
            let event = Event::NoteWritten { about: crate::event::About::Day, text: Prose::new(text) };
            let line = line_of(event.clone());
            assert!(!line.contains(&b'\n'));
            assert_eq!(read(&line).unwrap().record.event, event);
        }
        let event = Event::TechnicianNamed { name: Label::new("ŁÓ-Ж"), shop: Label::default() };
        assert_eq!(read(&line_of(event.clone())).unwrap().record.event, event);
    }
}
