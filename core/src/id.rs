//! Names of things.
//!
//! Ids come from the log: a thing is named by the event that made it, and an
//! event by the device that wrote it and a running number. So nothing draws
//! random ids, two devices never clash, and the same log always gives the same
//! names. Bytes (photos, whole files) are named by their SHA-256.

use std::fmt;

use base16ct::lower;
use sha2::{Digest, Sha256};

/// One installation on one device; drawn once at random by the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DeviceId([u8; 8]);

impl DeviceId {
    /// Returns the device with these eight bytes.
    pub const fn new(bytes: [u8; 8]) -> Self {
        Self(bytes)
    }

    /// Returns the eight bytes.
    pub const fn bytes(self) -> [u8; 8] {
        self.0
    }

    /// Reads sixteen lower-case hexadecimal digits.
    pub fn parse(text: &str) -> Option<Self> {
        hex(text).map(Self)
    }
}

impl fmt::Display for DeviceId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&lower::encode_string(&self.0))
    }
}

/// The name of an event: the device that wrote it and its running number, from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EventId {
    /// Who wrote it.
    pub device: DeviceId,
    /// The running number, from 1.
    pub seq: u64,
}

impl EventId {
    /// Reads `<device>-<number>`.
    pub fn parse(text: &str) -> Option<Self> {
        let (device, seq) = text.split_once('-')?;
        let seq = seq.parse().ok().filter(|&seq| seq > 0 && !text.contains("-0") && !text.contains('+'))?;
        Some(Self { device: DeviceId::parse(device)?, seq })
    }

    /// Returns the name of the event `steps` after this one.
    pub fn later(self, steps: u64) -> Self {
        Self { seq: self.seq + steps, ..self }
    }
}

impl fmt::Display for EventId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.device, self.seq)
    }
}

/// Gives each kind of thing its own type, so that a boat is never taken for a job.
macro_rules! named_by_its_event {
    ($($(#[$doc:meta])* $name:ident)+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub EventId);

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }
    )+};
}

named_by_its_event! {
    /// A boat.
    BoatId
    /// An engine on a boat.
    EngineId
    /// A job on a boat.
    JobId
    /// A line of a job: one complaint with its own pay type.
    LineId
    /// Something that came off.
    ItemId
    /// A step of a job's checklist.
    StepId
    /// A note.
    NoteId
    /// A photo as evidence; its bytes are named by a [`BlobId`].
    PhotoId
    /// A voice note; its bytes are named by a [`BlobId`].
    VoiceId
    /// A pair of photos.
    PairId
    /// A part used on a job.
    PartId
    /// A part that failed.
    FailedId
    /// A group of fasteners that are tightened together.
    GroupId
    /// A procedure, by the event that kept it first.
    ProcedureId
    /// One version of a procedure: that it was kept, or amended.
    VersionId
    /// That a procedure was started on a job.
    StartId
    /// A reading.
    ReadingId
    /// An estimate.
    EstimateId
    /// That somebody agreed.
    ConsentId
    /// Work that was recommended.
    RecommendationId
    /// A visit that is planned.
    VisitId
}

/// The SHA-256 of some bytes (FIPS 180-4).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hash([u8; 32]);

impl Hash {
    /// What stands before the first record of a device.
    pub const NONE: Hash = Hash([0; 32]);

    /// Returns the hash of `bytes`.
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    /// Reads 64 lower-case hexadecimal digits.
    pub fn parse(text: &str) -> Option<Self> {
        hex(text).map(Self)
    }

    /// Returns the 32 bytes.
    pub const fn bytes(self) -> [u8; 32] {
        self.0
    }

    /// Returns the hash with these 32 bytes.
    pub const fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }
}

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&lower::encode_string(&self.0))
    }
}

impl fmt::Debug for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Hash({self})")
    }
}

/// The hash of bytes that come piece by piece.
#[derive(Clone, Debug, Default)]
pub struct Hashing(Sha256);

impl Hashing {
    /// Takes the next piece.
    pub fn take(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    /// Returns the hash of all pieces in their order.
    pub fn finish(self) -> Hash {
        Hash(self.0.finalize().into())
    }
}

/// The name of a photo's or a file's bytes: their hash.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BlobId(pub Hash);

impl BlobId {
    /// Returns the name of `bytes`.
    pub fn of(bytes: &[u8]) -> Self {
        Self(Hash::of(bytes))
    }

    /// Reads 64 lower-case hexadecimal digits.
    pub fn parse(text: &str) -> Option<Self> {
        Hash::parse(text).map(Self)
    }
}

/// Bytes together with their name, as whoever hashed them says it: a browser does that by
/// itself several times as fast as a program in WebAssembly.
#[derive(Clone, Copy, Debug)]
pub struct Named<'a> {
    bytes: &'a [u8],
    name: BlobId,
}

impl<'a> Named<'a> {
    /// Hashes these bytes.
    pub fn of(bytes: &'a [u8]) -> Self {
        Self { bytes, name: BlobId::of(bytes) }
    }

    /// Returns these bytes, of which `name` is known to be the name.
    pub const fn known(bytes: &'a [u8], name: BlobId) -> Self {
        Self { bytes, name }
    }

    /// Returns the bytes if this is their name.
    pub fn under(self, name: BlobId) -> Option<&'a [u8]> {
        (self.name == name).then_some(self.bytes)
    }
}

impl fmt::Display for BlobId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

fn hex<const N: usize>(text: &str) -> Option<[u8; N]> {
    let mut bytes = [0; N];
    (lower::decode(text, &mut bytes).ok()?.len() == N).then_some(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_read_back() {
        let id = EventId { device: DeviceId::new([7; 8]), seq: 12 };
        assert_eq!(id.to_string(), "0707070707070707-12");
        assert_eq!(EventId::parse("0707070707070707-12"), Some(id));
        for wrong in
            ["", "0707070707070707", "0707070707070707-0", "0707070707070707-+1", "07-1", "0707070707070707-01"]
        {
            assert_eq!(EventId::parse(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn hashes_the_example_of_fips_180() {
        // NIST, FIPS 180-4 example values for SHA-256, one-block message "abc".
        let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(Hash::of(b"abc").to_string(), expected);
        assert_eq!(Hash::parse(expected), Some(Hash::of(b"abc")));
        let mut pieces = Hashing::default();
        pieces.take(b"a");
        pieces.take(b"bc");
        assert_eq!(pieces.finish(), Hash::of(b"abc"));
    }
}
