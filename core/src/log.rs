//! The log: who said what when, in which order, and that nothing is missing.
//!
//! A record is an event with its name, its moment, a hybrid logical clock and
//! the hash of the record before it by the same device. The union of two logs
//! by name is the merge: it does not matter in which order logs arrive or how
//! often. Two different records of one name are a conflict, reported and never
//! settled silently.
//!
//! Order: records are folded by (hybrid logical clock, device, number). The
//! hybrid clock follows the wall clock but never runs backwards and is always
//! past every record its device had seen, so an answer never comes before its
//! question, even when a phone's clock is set back by a day.
//! Rule: Kulkarni, Demirbas, Madappa, Avva, Leone, "Logical Physical Clocks",
//! OPODIS 2014, figure 5, with milliseconds as physical time.

pub mod beside;

use std::collections::BTreeMap;
use std::fmt;

use crate::event::Event;
use crate::id::{DeviceId, EventId, Hash};
use crate::moment::Moment;
use crate::order;

/// A hybrid logical clock: milliseconds since 1970 UTC, then a counter.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hlc {
    /// The greatest wall time seen, in milliseconds.
    pub ms: u64,
    /// Counts events at the same `ms`.
    pub count: u32,
}

impl Hlc {
    /// Returns the clock of the next own event at wall time `now`.
    pub fn tick(self, now: Moment) -> Self {
        let wall = now.utc_ms().unsigned_abs();
        if wall > self.ms { Self { ms: wall, count: 0 } } else { self.bumped() }
    }

    /// Returns the clock after `other` was seen.
    pub fn seen(self, other: Hlc) -> Self {
        self.max(other)
    }

    fn bumped(self) -> Self {
        match self.count.checked_add(1) {
            Some(count) => Self { count, ..self },
            None => Self { ms: self.ms + 1, count: 0 },
        }
    }

    /// Reads `<ms>.<count>`.
    pub fn parse(text: &str) -> Option<Self> {
        let (ms, count) = text.split_once('.')?;
        let is_written_so = |number: &str| number == "0" || !number.starts_with(['0', '+']);
        (is_written_so(ms) && is_written_so(count)).then_some(())?;
        Some(Self { ms: ms.parse().ok()?, count: count.parse().ok()? })
    }
}

impl fmt::Display for Hlc {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.ms, self.count)
    }
}

/// An event with all that makes it a link of its device's chain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// Its name.
    pub id: EventId,
    /// When it was said, by the device's clock.
    pub at: Moment,
    /// Where it stands in the order of all records.
    pub hlc: Hlc,
    /// The hash of the record before it by the same device.
    pub prev: Hash,
    /// What was said.
    pub event: Event,
}

/// A record and the hash of its written form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sealed {
    /// The record.
    pub record: Record,
    /// The hash that its written line carries and the next record names.
    pub hash: Hash,
}

/// The end of one device's chain: what the next record must join.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tip {
    /// The device.
    pub device: DeviceId,
    /// The number of its last record; 0 before the first.
    pub seq: u64,
    /// The hash of its last record.
    pub hash: Hash,
    /// The greatest hybrid clock seen from any device.
    pub hlc: Hlc,
}

impl Tip {
    /// Returns the tip of a device that has said nothing yet.
    pub fn fresh(device: DeviceId) -> Self {
        Self { device, seq: 0, hash: Hash::NONE, hlc: Hlc::default() }
    }

    /// Returns the end of `device`'s chain, past all these records, which come by name.
    pub fn after<'a>(device: DeviceId, records: impl IntoIterator<Item = &'a Sealed>) -> Self {
        let mut tip = Self::fresh(device);
        for sealed in records {
            if sealed.record.id.device == device {
                tip.advance(sealed);
            } else {
                tip.hlc = tip.hlc.seen(sealed.record.hlc);
            }
        }
        tip
    }

    /// Returns the name that the next event will get.
    pub fn next(&self) -> EventId {
        EventId { device: self.device, seq: self.seq + 1 }
    }

    /// Returns the record that says `event` at `now` and joins this tip.
    pub fn record(&self, now: Moment, event: Event) -> Record {
        Record { id: self.next(), at: now, hlc: self.hlc.tick(now), prev: self.hash, event }
    }

    /// Moves the tip past a record that joins it.
    pub fn advance(&mut self, sealed: &Sealed) {
        self.seq = sealed.record.id.seq;
        self.hash = sealed.hash;
        self.hlc = self.hlc.seen(sealed.record.hlc);
    }
}

/// What is wrong with a log, by record.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, thiserror::Error)]
pub enum LogFault {
    /// Two different records have one name.
    #[error("record {0} exists in two different versions; keep both files and ask the office")]
    Conflict(EventId),
    /// Records are missing before this one.
    #[error("records are missing before {0}")]
    Gap(EventId),
    /// A record does not follow from the one before it.
    #[error("record {0} does not follow from the record before it: one of the two was altered")]
    Broken(EventId),
}

/// Returns records, each of its own name, in the order of the fold.
pub fn in_order<'a>(records: impl IntoIterator<Item = &'a Sealed>) -> Vec<&'a Sealed> {
    order::by_key(records.into_iter().collect(), |sealed: &&Sealed| (sealed.record.hlc, sealed.record.id))
}

/// A set of records of any devices.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Log {
    records: BTreeMap<EventId, Sealed>,
    // By hash, each once.
    conflicts: BTreeMap<EventId, Vec<Sealed>>,
}

impl Log {
    /// Takes one record into the set.
    ///
    /// Of two different records of one name the one with the smaller hash is
    /// used, so that the result does not depend on the order of arrival; both
    /// are kept and reported by [`Log::faults`].
    pub fn take(&mut self, sealed: Sealed) {
        let id = sealed.record.id;
        match self.records.get(&id) {
            None => {
                self.records.insert(id, sealed);
            }
            Some(known) if known.hash == sealed.hash => {}
            Some(known) => {
                let rivals = self.conflicts.entry(id).or_default();
                for rival in [known.clone(), sealed] {
                    if let Err(place) = rivals.binary_search_by_key(&rival.hash, |known| known.hash) {
                        rivals.insert(place, rival);
                    }
                }
                if let Some(first) = rivals.first() {
                    self.records.insert(id, first.clone());
                }
            }
        }
    }

    /// Takes every record of another log: the union by name.
    pub fn merge(&mut self, other: &Log) {
        let rivals = other.conflicts.values().flatten();
        for sealed in other.records.values().chain(rivals) {
            self.take(sealed.clone());
        }
    }

    /// Returns the records in the order of the fold.
    pub fn in_order(&self) -> Vec<&Sealed> {
        in_order(self.records.values())
    }

    /// Returns the records by name.
    pub fn by_name(&self) -> impl Iterator<Item = &Sealed> {
        self.records.values()
    }

    /// Returns the record of that name.
    pub fn get(&self, id: EventId) -> Option<&Sealed> {
        self.records.get(&id)
    }

    /// Returns how many names the log holds.
    pub fn len(&self) -> usize {
        self.records.len()
    }

    /// Tells whether nothing was said yet.
    pub fn is_empty(&self) -> bool {
        self.records.is_empty()
    }

    /// Returns the end of `device`'s chain, past everything in this log.
    pub fn tip(&self, device: DeviceId) -> Tip {
        Tip::after(device, self.records.values())
    }

    /// Returns what is wrong: conflicts, gaps, links that do not hold.
    pub fn faults(&self) -> Vec<LogFault> {
        let mut faults: Vec<LogFault> = self.conflicts.keys().map(|&id| LogFault::Conflict(id)).collect();
        let mut before: Option<&Sealed> = None;
        for sealed in self.records.values() {
            let id = sealed.record.id;
            let previous = before.filter(|p| p.record.id.device == id.device);
            let (seq, hash) = previous.map_or((0, Hash::NONE), |p| (p.record.id.seq, p.hash));
            if id.seq != seq + 1 {
                faults.push(LogFault::Gap(id));
            } else if sealed.record.prev != hash {
                faults.push(LogFault::Broken(id));
            }
            before = Some(sealed);
        }
        faults
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(ms: i64) -> Moment {
        Moment::new(ms, 0).unwrap()
    }

    #[test]
    fn hybrid_clock_never_runs_back() {
        let first = Hlc::default().tick(at(1_000));
        let set_back = first.tick(at(10));
        assert!(set_back > first);
        assert_eq!(set_back, Hlc { ms: 1_000, count: 1 });
        assert_eq!(set_back.tick(at(2_000)), Hlc { ms: 2_000, count: 0 });
        assert_eq!(Hlc { ms: 5, count: u32::MAX }.tick(at(1)), Hlc { ms: 6, count: 0 });
    }

    #[test]
    fn hybrid_clock_reads_back() {
        let clock = Hlc { ms: 17, count: 3 };
        assert_eq!(Hlc::parse(&clock.to_string()), Some(clock));
        assert_eq!(Hlc::parse("0.0"), Some(Hlc::default()));
        for wrong in ["", "17", "17.03", "017.3", "+17.3", "17.+3", "17.3 ", "17.", "-1.0", "00.0"] {
            assert_eq!(Hlc::parse(wrong), None, "{wrong}");
        }
    }
}
