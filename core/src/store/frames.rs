//! The form of the second copy: a file of frames, one for each record.
//!
//! Numbers are little-endian. A frame is:
//!
//! | bytes | what |
//! |-------|------|
//! | 4     | `f5 51 57 01`; `f5` occurs in no UTF-8 text, so a record never holds it |
//! | 4     | length of the record's bytes |
//! | 8, 8  | the record's device and number |
//! | …     | the record's bytes, as they are kept |
//! | 4     | CRC-32 (ISO 3309) of all the above |
//! | 8, 32 | the tally so far: how many frames, and their record hashes, joined by XOR |
//! | 4     | length of the record's bytes again |
//! | 4     | CRC-32 of the 48 bytes before it |
//!
//! So the last 52 bytes of a file tell what it holds, and are compared at every
//! start; the CRC-32s find damage anywhere; and reading goes on at the next
//! whole frame. A frame vouches only for its bytes: whether a record is right,
//! its own hash tells.

use std::ops::Range;

use crc::{CRC_32_ISO_HDLC, Crc};

use super::Kept;
use crate::id::{DeviceId, EventId, Hash};

const MAGIC: [u8; 4] = [0xf5, b'Q', b'W', 1];
const HEAD: usize = 24;

static CRC: Crc<u32> = Crc::<u32>::new(&CRC_32_ISO_HDLC);

/// The length of what stands after a frame's record, and tells the tally.
pub const TAIL: usize = 52;

/// How many records there are, and their hashes joined by XOR: equal for equal
/// sets of records, whatever their order.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// How many records.
    pub count: u64,
    joined: [u8; 32],
}

impl Tally {
    /// Counts one more record.
    pub fn add(&mut self, hash: Hash) {
        self.count += 1;
        self.join(hash.bytes());
    }

    /// Counts one record less.
    pub fn take_away(&mut self, hash: Hash) {
        self.count = self.count.saturating_sub(1);
        self.join(hash.bytes());
    }

    /// Counts all of another tally's records too.
    pub fn absorb(&mut self, other: Tally) {
        self.count += other.count;
        self.join(other.joined);
    }

    /// Returns the 32 bytes of the joined hashes.
    pub fn joined(&self) -> Hash {
        Hash::from_bytes(self.joined)
    }

    /// Returns the tally of `count` records with these joined hashes.
    pub fn new(count: u64, joined: Hash) -> Self {
        Self { count, joined: joined.bytes() }
    }

    fn join(&mut self, bytes: [u8; 32]) {
        for (mine, other) in self.joined.iter_mut().zip(bytes) {
            *mine ^= other;
        }
    }
}

/// Writes one more frame: the record, and the tally with it counted.
///
/// A record longer than 4 GB does not occur; its frame would not be read.
pub fn write(into: &mut Vec<u8>, record: &Kept, hash: Hash, tally: &mut Tally) {
    tally.add(hash);
    let start = into.len();
    let length = (record.bytes.len() as u32).to_le_bytes();
    into.extend_from_slice(&MAGIC);
    into.extend_from_slice(&length);
    into.extend_from_slice(&record.id.device.bytes());
    into.extend_from_slice(&record.id.seq.to_le_bytes());
    into.extend_from_slice(&record.bytes);
    let body = CRC.checksum(&into[start..]);
    let tail = into.len();
    into.extend_from_slice(&body.to_le_bytes());
    into.extend_from_slice(&tally.count.to_le_bytes());
    into.extend_from_slice(&tally.joined);
    into.extend_from_slice(&length);
    let end = CRC.checksum(&into[tail..]);
    into.extend_from_slice(&end.to_le_bytes());
}

/// What a file of frames holds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Scan {
    /// The records of all whole frames, in the file's order.
    pub records: Vec<Kept>,
    /// What is not a whole frame.
    pub damaged: Vec<Range<usize>>,
}

/// Reads every whole frame, wherever it lies.
pub fn scan(file: &[u8]) -> Scan {
    let mut scan = Scan::default();
    let mut at = 0;
    while at < file.len() {
        if let Some((record, length)) = frame(&file[at..]) {
            scan.records.push(record);
            at += length;
        } else {
            let next = next_frame(file, at + 1);
            scan.damaged.push(at..next);
            at = next;
        }
    }
    scan
}

/// Returns the tally that the end of a file tells, if it is the end of a frame.
pub fn tally_at_end(end: &[u8]) -> Option<Tally> {
    let tail = Tail::read(end.last_chunk::<TAIL>()?)?;
    Some(tail.tally)
}

struct Tail {
    body_crc: u32,
    tally: Tally,
    length: u32,
}

impl Tail {
    fn read(bytes: &[u8; TAIL]) -> Option<Self> {
        (CRC.checksum(&bytes[..48]) == u32_at(bytes, 48)?).then_some(())?;
        let tally = Tally { count: u64_at(bytes, 4)?, joined: *bytes[12..44].first_chunk()? };
        Some(Self { body_crc: u32_at(bytes, 0)?, tally, length: u32_at(bytes, 44)? })
    }
}

/// Returns the record at the start of `bytes` and the frame's length.
fn frame(bytes: &[u8]) -> Option<(Kept, usize)> {
    let head = bytes.get(..HEAD)?;
    head.starts_with(&MAGIC).then_some(())?;
    let length = u32_at(head, 4)?;
    let body_end = HEAD.checked_add(length as usize)?;
    let whole = body_end.checked_add(TAIL)?;
    let tail = Tail::read(bytes.get(body_end..whole)?.first_chunk()?)?;
    let body = &bytes[..body_end];
    (tail.length == length && CRC.checksum(body) == tail.body_crc).then_some(())?;
    let id = EventId { device: DeviceId::new(*head[8..16].first_chunk()?), seq: u64_at(head, 16)? };
    Some((Kept { id, bytes: body[HEAD..].to_vec() }, whole))
}

fn next_frame(file: &[u8], from: usize) -> usize {
    let mut at = from;
    while let Some(step) = file[at..].iter().position(|&byte| byte == MAGIC[0]) {
        at += step;
        if frame(&file[at..]).is_some() {
            return at;
        }
        at += 1;
    }
    file.len()
}

fn u32_at(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_le_bytes(*bytes.get(at..)?.first_chunk()?))
}

fn u64_at(bytes: &[u8], at: usize) -> Option<u64> {
    Some(u64::from_le_bytes(*bytes.get(at..)?.first_chunk()?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn record(seq: u64) -> Kept {
        let id = EventId { device: DeviceId::new([3; 8]), seq };
        Kept { id, bytes: format!("{{\"record\":{seq}}}").into_bytes() }
    }

    /// A file of `count` records, and where each frame begins and the last ends.
    fn file(count: u64) -> (Vec<u8>, Vec<usize>, Tally) {
        let (mut bytes, mut starts, mut tally) = (Vec::new(), vec![0], Tally::default());
        for record in (1..=count).map(record) {
            write(&mut bytes, &record, Hash::of(&record.bytes), &mut tally);
            starts.push(bytes.len());
        }
        (bytes, starts, tally)
    }

    fn seqs(scan: &Scan) -> Vec<u64> {
        for found in &scan.records {
            assert_eq!(*found, record(found.id.seq), "a record that was never written");
        }
        scan.records.iter().map(|found| found.id.seq).collect()
    }

    #[test]
    fn is_written_like_this() {
        // CRC-32 of "123456789" is cbf43926: the check value of ISO 3309 (CRC catalogue).
        assert_eq!(CRC.checksum(b"123456789"), 0xcbf4_3926);
        let (bytes, ..) = file(1);
        // Made from the table above with Python's struct, zlib and hashlib.
        let hex = data_encoding::HEXLOWER.encode(&bytes);
        expect_test::expect![[r#"f55157010c000000030303030303030301000000000000007b227265636f7264223a317d64befb350100000000000000779f75f4001165884aff00d6e50ca358a1e5587bc3ac3ebe751acaabc5596ceb0c000000134e0959"#]]
        .assert_eq(&hex);
    }

    #[test]
    fn reads_what_it_writes() {
        let (bytes, _, tally) = file(5);
        let scan = scan(&bytes);
        assert_eq!(seqs(&scan), [1, 2, 3, 4, 5]);
        assert_eq!(scan.damaged, []);
        assert_eq!(tally_at_end(&bytes), Some(tally));
        assert_eq!(tally_at_end(&bytes[bytes.len() - TAIL..]), Some(tally));
        assert_eq!(tally.count, 5);
    }

    #[test]
    fn a_cut_file_gives_every_frame_before_the_cut() {
        let (bytes, starts, _) = file(4);
        for cut in 0..bytes.len() {
            let scan = scan(&bytes[..cut]);
            let whole = starts.iter().filter(|&&end| end > 0 && end <= cut).count();
            assert_eq!(scan.records.len(), whole, "cut at {cut}");
            let torn = (cut > starts[whole]).then(|| starts[whole]..cut);
            assert_eq!(scan.damaged, Vec::from_iter(torn), "cut at {cut}");
            assert_eq!(tally_at_end(&bytes[..cut]).is_some(), whole > 0 && cut == starts[whole], "cut at {cut}");
        }
    }

    #[test]
    fn any_flipped_byte_costs_its_own_frame_only() {
        let (bytes, starts, tally) = file(4);
        for at in 0..bytes.len() {
            for flip in [0x01, 0x80, 0xff] {
                let mut damaged = bytes.clone();
                damaged[at] ^= flip;
                let hit = starts.partition_point(|&start| start <= at) as u64;
                let left: Vec<u64> = (1..=4).filter(|&seq| seq != hit).collect();
                let scan = scan(&damaged);
                assert_eq!(seqs(&scan), left, "byte {at}");
                assert_eq!(scan.damaged.len(), 1, "byte {at}");
                // A damaged end never passes for another tally.
                let end = tally_at_end(&damaged);
                assert!(end.is_none() || end == Some(tally), "byte {at}");
            }
        }
    }

    #[test]
    fn bytes_lost_or_added_at_a_boundary_cost_at_most_its_neighbours() {
        let (bytes, starts, _) = file(5);
        for &start in &starts {
            for at in start.saturating_sub(1)..=(start + 1).min(bytes.len()) {
                let mut longer = bytes.clone();
                longer.insert(at, 0xf5);
                assert!(scan(&longer).records.len() >= 4, "added at {at}");
                seqs(&scan(&longer));
                if at < bytes.len() {
                    let mut shorter = bytes.clone();
                    shorter.remove(at);
                    assert_eq!(scan(&shorter).records.len(), 4, "lost at {at}");
                    seqs(&scan(&shorter));
                }
            }
        }
    }

    #[test]
    fn the_tally_of_a_set_does_not_depend_on_its_order() {
        let hashes: Vec<Hash> = (0..5_u8).map(|n| Hash::of(&[n])).collect();
        let (mut forth, mut back) = (Tally::default(), Tally::default());
        hashes.iter().for_each(|&hash| forth.add(hash));
        hashes.iter().rev().for_each(|&hash| back.add(hash));
        assert_eq!(forth, back);
        back.take_away(hashes[2]);
        assert_ne!(forth, back);
        let mut rest = Tally::default();
        rest.add(hashes[2]);
        back.absorb(rest);
        assert_eq!(forth, back);
        assert_eq!(Tally::new(forth.count, forth.joined()), forth);
    }

    proptest! {
        #[test]
        fn any_bytes_are_read(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
            let scan = scan(&bytes);
            let _ = tally_at_end(&bytes);
            prop_assert!(scan.damaged.iter().all(|range| range.start < range.end && range.end <= bytes.len()));
        }

        #[test]
        fn frames_are_found_among_any_bytes(before in proptest::collection::vec(any::<u8>(), 0..80), after in proptest::collection::vec(any::<u8>(), 0..80)) {
            let (frames, ..) = file(3);
            let bytes = [before, frames, after].concat();
            prop_assert_eq!(seqs(&scan(&bytes)), [1, 2, 3]);
        }
    }
}
