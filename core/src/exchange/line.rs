//! One record as one line of JSON: the form in which everything is kept and sent.
//!
//! Versions 1 to 4. A line is UTF-8 JSON without line breaks, with exactly these
//! fields in this order:
//!
//! | field   | value |
//! |---------|-------|
//! | `v`     | version of this form: the lowest that knows the event's kind |
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
//! Version 2 (2026) added the kinds `mended`, `line-billed`, `job-tagged` and
//! `photo-captioned`; versions 3 and 4 (2026) added kinds and fields, each named as such
//! in `core/src/exchange/wire.rs`. A line is written in the lowest
//! version that can say it: an older program refuses a file for one newer line,
//! and a log that never used a new kind stays readable to it. So each record
//! has exactly one written form, and a line of any other version is refused.
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

use super::json::{Fields, Json, Wrong};
use super::wire;
use crate::id::{EventId, Hash};
use crate::log::{Hlc, Record, Sealed};

/// The newest version that this program writes and reads.
pub const VERSION: u32 = 4;

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

const HASH_FIELD: &[u8] = br#","hash":""#;
const HASH_DIGITS: usize = 64;
const END: &[u8] = br#""}"#;

/// Writes a record; returns its line, without line feed, and the record with its hash.
pub fn seal(record: Record) -> (Vec<u8>, Sealed) {
    let form = Fields::default().put("v", wire::version(&record.event)).put("id", record.id.to_string());
    let form =
        form.put("at", record.at.to_string()).put("hlc", record.hlc.to_string()).put("prev", record.prev.to_string());
    let mut line = Json::from(form.put("event", wire::written(&record.event))).written().into_bytes();
    // The hash covers all the others' bytes, and so stands after them.
    line.pop();
    let hash = Hash::of(&line);
    line.extend_from_slice(HASH_FIELD);
    line.extend_from_slice(hash.to_string().as_bytes());
    line.extend_from_slice(END);
    (line, Sealed { record, hash })
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

/// Reads a line and verifies its hash; of one whose hash is known, which was read
/// before and is the same to the last byte, it returns the name and nothing more.
///
/// # Errors
/// As [`read`].
pub fn read_unless(line: &[u8], known: &dyn Fn(&Hash) -> bool) -> Result<(EventId, Option<Sealed>), ReadError> {
    let hash = verify(line)?;
    if let Some(id) = known(&hash).then(|| name(line)).flatten() {
        return Ok((id, None));
    }
    read_verified(line).map(|sealed| (sealed.record.id, Some(sealed)))
}

/// Returns the name that stands at the beginning of a line.
fn name(line: &[u8]) -> Option<EventId> {
    const BEFORE: &[u8] = br#"{"v":1,"id":""#;
    let name = line.get(BEFORE.len()..)?.split(|&byte| byte == b'"').next()?;
    EventId::parse(std::str::from_utf8(name).ok()?)
}

/// Reads a line whose bytes were verified by other means, such as the hash of a
/// whole pack of lines.
///
/// # Errors
/// As [`read`], but an altered line may be read as it stands.
pub fn read_verified(line: &[u8]) -> Result<Sealed, ReadError> {
    refuse_newer(line)?;
    whole(line).map_err(not_a_record)
}

/// Verifies a line's own hash and reads its name and chain, without interpreting the event.
///
/// # Errors
/// As [`read`].
pub fn check(line: &[u8]) -> Result<Checked, ReadError> {
    verify(line)?;
    chain(line).map_err(not_a_record)
}

fn verify(line: &[u8]) -> Result<Hash, ReadError> {
    refuse_newer(line)?;
    if !line.starts_with(br#"{"v":"#) {
        return Err(ReadError::NotARecord("it does not begin as a line of a log".to_owned()));
    }
    let hashed = || {
        let before_end = line.strip_suffix(END)?;
        let (head, digits) = before_end.split_at_checked(before_end.len().checked_sub(HASH_DIGITS)?)?;
        let hash = Hash::parse(std::str::from_utf8(digits).ok()?)?;
        (Hash::of(head.strip_suffix(HASH_FIELD)?) == hash).then_some(hash)
    };
    hashed().ok_or(ReadError::Altered)
}

fn refuse_newer(line: &[u8]) -> Result<(), ReadError> {
    let known: [&[u8]; 4] = [br#"{"v":1,"#, br#"{"v":2,"#, br#"{"v":3,"#, br#"{"v":4,"#];
    if known.iter().any(|head| line.starts_with(head)) {
        return Ok(());
    }
    match version(line) {
        Ok(version) if version > VERSION => Err(ReadError::Newer { version }),
        _ => Ok(()),
    }
}

fn version(line: &[u8]) -> Result<u32, Wrong> {
    Json::read(line)?.fields("record")?.number("v")
}

fn chain(line: &[u8]) -> Result<Checked, Wrong> {
    let mut of = Json::read(line)?.fields("record")?;
    Ok(Checked {
        id: of.parsed("id", EventId::parse)?,
        prev: of.parsed("prev", Hash::parse)?,
        hash: of.parsed("hash", Hash::parse)?,
    })
}

fn whole(line: &[u8]) -> Result<Sealed, Wrong> {
    let mut of = Json::read(line)?.fields("record")?;
    let version: u32 = of.number("v")?;
    let record = Record {
        id: of.parsed("id", EventId::parse)?,
        at: of.parsed("at", wire::moment)?,
        hlc: of.parsed("hlc", Hlc::parse)?,
        prev: of.parsed("prev", Hash::parse)?,
        event: wire::read(of.take("event")?)?,
    };
    if version != wire::version(&record.event) {
        return Err(Wrong::Unfit("v"));
    }
    let hash = of.parsed("hash", Hash::parse)?;
    of.end()?;
    Ok(Sealed { record, hash })
}

fn not_a_record(wrong: Wrong) -> ReadError {
    ReadError::NotARecord(wrong.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Activity, Doing, Event, On, Tags};
    use crate::id::{DeviceId, JobId};
    use crate::log::Tip;
    use crate::moment::Moment;
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
    fn a_known_line_is_verified_and_named() {
        let line = line_of(tap());
        let sealed = read(&line).unwrap();
        let known = |hash: &Hash| *hash == sealed.hash;
        assert_eq!(read_unless(&line, &known), Ok((sealed.record.id, None)));
        assert_eq!(read_unless(&line, &|_| false), Ok((sealed.record.id, Some(sealed.clone()))));
        let mut altered = line;
        altered[60] ^= 1;
        assert_eq!(read_unless(&altered, &known), Err(ReadError::Altered));
    }

    #[test]
    fn a_newer_form_is_refused_by_its_version() {
        let newer = br#"{"v":5,"id":"abababababababab-1","what":"unknown"}"#;
        assert_eq!(read(newer), Err(ReadError::Newer { version: 5 }));
        assert_eq!(check(newer), Err(ReadError::Newer { version: 5 }));
    }

    #[test]
    fn a_line_is_written_in_the_lowest_version_that_can_say_it_and_no_other() {
        let tagged = Event::JobTagged { job: JobId(tip().next()), tags: Tags::new(vec![Label::new("lift")]) };
        for (event, version, other) in [(tap(), 1, 2), (tagged, 2, 1)] {
            let text = String::from_utf8(line_of(event)).unwrap();
            let (version, other) = (format!(r#"{{"v":{version},"#), format!(r#"{{"v":{other},"#));
            assert!(text.starts_with(&version), "{text}");
            let head = text.rsplit_once(r#","hash":""#).unwrap().0.replacen(&version, &other, 1);
            let forged = format!(r#"{head},"hash":"{}"}}"#, Hash::of(head.as_bytes()));
            assert_eq!(read(forged.as_bytes()), Err(ReadError::NotARecord(Wrong::Unfit("v").to_string())));
        }
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
