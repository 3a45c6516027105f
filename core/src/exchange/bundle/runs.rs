//! Day files of one phone read one after the other: what is the same is not read again.
//!
//! A day's file holds the whole log of its phone, so its records begin, to the byte, as
//! those of the day before it. How far an earlier file's records were read and found
//! right is kept as milestones: so many bytes of its list of records, and their SHA-256.
//! Where a later file's list begins with the same bytes, all records up to there are the
//! same, and known; only what follows is read line by line.
//!
//! Rule: this is a quicker way to the same result and never another one. Whatever is
//! not as our programs write it, or not right, ends the quick way, and the file is read
//! whole. What is left once the records are cut out is read as any bundle's JSON, and has
//! to hold the mark that stands for them at their very place.

use std::borrow::Cow;

use super::find;
use crate::exchange::intake::{Intake, Known};
use crate::exchange::json::Json;
use crate::exchange::line;
use crate::id::{DeviceId, Hash, Hashing};

/// How the records of a day's file begin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Milestone {
    /// How many bytes of the list, from its bracket on.
    pub length: usize,
    /// Their hash.
    pub hash: Hash,
    /// Whose records these are; the first record's device first.
    pub devices: Vec<DeviceId>,
}

/// A bundle's JSON without its records.
#[derive(Debug)]
pub struct Cut {
    /// The JSON with one mark in place of its records.
    pub(super) frame: Vec<u8>,
    /// Where the mark stands.
    at: usize,
}

/// How the list of records begins.
const LIST: &[u8] = br#","records":["#;
/// What stands in the frame in place of records.
const MARK: &[u8] = br#""cut""#;
/// How many bytes there are between milestones, at least.
const APART: usize = 32 * 1024;

impl Cut {
    /// Tells whether a frame's records are the mark at its place and nothing else; a text
    /// that merely says the same stands elsewhere.
    pub(super) fn is_in(&self, records: &[Json<'_>]) -> bool {
        let is_ours = |text: &str| self.frame.get(self.at + 1..).is_some_and(|rest| rest.as_ptr() == text.as_ptr());
        matches!(records, [Json::Text(Cow::Borrowed(text))] if is_ours(text))
    }
}

/// Takes the records out of a bundle's JSON: what is left, and the records; `milestones` are those known of the phone
/// whose record comes first, the earliest first.
///
/// Returns nothing where the file has to be read in the usual way.
pub fn cut(
    json: &[u8],
    known: &dyn Known,
    milestones: impl FnOnce(DeviceId) -> Vec<Milestone>,
) -> Option<(Cut, Intake)> {
    let at = find(json, LIST)? + LIST.len();
    let list = json.get(at..)?;
    let mut reading = Reading { list, at: 0, hashing: Hashing::default(), hashed: 0, intake: Intake::default() };
    reading.skip(&milestones(first_device(list)?));
    reading.read(known)?;
    let frame = [&json[..at], MARK, &list[reading.at..]].concat();
    Some((Cut { frame, at }, reading.intake))
}

/// Returns the device that the first record of a list names.
fn first_device(list: &[u8]) -> Option<DeviceId> {
    const HEAD: &[u8] = br#""{\"v\":1,\"id\":\""#;
    const DIGITS: usize = 16;
    let from = blank(list, 0) + HEAD.len();
    DeviceId::parse(std::str::from_utf8(list.get(from..from + DIGITS)?).ok()?)
}

/// Returns where something stands that is not white space.
fn blank(list: &[u8], from: usize) -> usize {
    let is_blank = |byte: &&u8| matches!(byte, b' ' | b'\n' | b'\r' | b'\t');
    from + list.get(from..).unwrap_or_default().iter().take_while(is_blank).count()
}

/// A list of records that is being read.
struct Reading<'a> {
    list: &'a [u8],
    /// How far it was read.
    at: usize,
    hashing: Hashing,
    /// How much of it was hashed.
    hashed: usize,
    intake: Intake,
}

impl Reading<'_> {
    /// Goes past all that is the same as it was at a milestone.
    fn skip(&mut self, milestones: &[Milestone]) {
        for milestone in milestones {
            let Some(next) = self.list.get(self.at..milestone.length) else { return };
            let mut hashing = self.hashing.clone();
            hashing.take(next);
            if hashing.clone().finish() != milestone.hash {
                return;
            }
            self.hashing = hashing;
            (self.at, self.hashed) = (milestone.length, milestone.length);
            self.intake.known.extend(&milestone.devices);
        }
    }

    /// Reads the rest up to the list's end.
    fn read(&mut self, known: &dyn Known) -> Option<()> {
        let mut devices: Vec<DeviceId> = Vec::new();
        devices.extend(first_device(self.list));
        devices.extend(self.intake.known.iter().filter(|device| !devices.contains(device)).collect::<Vec<_>>());
        let mut line = Vec::new();
        loop {
            let next = blank(self.list, self.at);
            match self.list.get(next)? {
                b']' => break,
                b',' if self.at > 0 => self.at = blank(self.list, next + 1),
                b'"' if self.at == 0 => self.at = next,
                _ => return None,
            }
            if *self.list.get(self.at)? != b'"' {
                return None;
            }
            self.at += 1 + unescaped(&self.list[self.at + 1..], &mut line)?;
            let (id, sealed) = line::read_unless(&line, &|hash| known.has(hash)).ok()?;
            match sealed {
                Some(sealed) => self.intake.records.push((line.clone(), sealed)),
                None => {
                    self.intake.known.insert(id.device);
                }
            }
            if !devices.contains(&id.device) {
                devices.push(id.device);
            }
            if self.at - self.hashed >= APART {
                self.mark(&devices);
            }
        }
        if self.at > self.hashed {
            self.mark(&devices);
        }
        self.at = blank(self.list, self.at);
        Some(())
    }

    fn mark(&mut self, devices: &[DeviceId]) {
        self.hashing.take(&self.list[self.hashed..self.at]);
        self.hashed = self.at;
        let hash = self.hashing.clone().finish();
        self.intake.milestones.push(Milestone { length: self.at, hash, devices: devices.to_vec() });
    }
}

/// Puts the text of a JSON string, as our programs write it, into `line`; returns the length with its closing quote.
fn unescaped(text: &[u8], line: &mut Vec<u8>) -> Option<usize> {
    line.clear();
    let (mut from, mut at) = (0, 0);
    loop {
        at += text.get(at..)?.iter().position(|byte| matches!(byte, b'"' | b'\\' | ..b' '))?;
        line.extend_from_slice(&text[from..at]);
        match text[at] {
            b'"' => return Some(at + 1),
            b'\\' => match text.get(at + 1)? {
                // What was escaped begins the next stretch.
                b'"' | b'\\' => (from, at) = (at + 1, at + 2),
                b'u' if text.get(at + 2..at + 6)? == b"003c" => {
                    line.push(b'<');
                    (from, at) = (at + 6, at + 6);
                }
                _ => return None,
            },
            _ => return None,
        }
    }
}

#[cfg(test)]
mod tests;
