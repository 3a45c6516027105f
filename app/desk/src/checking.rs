//! A file looked at: what it is, and what of it is new.
//!
//! A record line that is known to be kept is verified and not read again: a day's
//! file holds the whole log of its phone, and most of it came with the day before.
//! Several threads may look at files at once; what they know is shared.

use std::collections::{BTreeSet, HashSet};
use std::sync::{PoisonError, RwLock};

use quaywright_core::event::Event;
use quaywright_core::exchange::intake::{self, IntakeError};
use quaywright_core::id::{EventId, Hash};

use crate::store::{Aside, FileTaken};
use crate::unpack::Found;

/// How many lines are remembered; each takes some 40 bytes.
const REMEMBERED: usize = 1_000_000;

/// What a file turned out to be.
pub enum Read {
    /// It was taken in before.
    Known {
        /// What it is called.
        name: String,
        /// The hash of its bytes.
        file: Hash,
    },
    /// It can be.
    Taken(FileTaken),
    /// A newer program wrote it.
    Newer {
        /// The file as it is.
        aside: Aside,
        /// What it is, in words.
        why: String,
    },
    /// It cannot be taken in.
    Wrong {
        /// What it is called.
        name: String,
        /// What is wrong with it, in words.
        why: String,
    },
}

/// The files and lines that are in the store.
#[derive(Default)]
pub struct Kept {
    files: BTreeSet<Hash>,
    lines: RwLock<HashSet<Hash>>,
}

impl Kept {
    /// Returns what is known at the beginning.
    pub fn of(files: BTreeSet<Hash>) -> Self {
        Self { files, ..Self::default() }
    }

    /// Remembers lines that were kept; only such, so that what is left out of a file is in the store.
    pub fn remember<'a>(&self, lines: impl Iterator<Item = &'a Hash>) {
        let mut known = self.lines.write().unwrap_or_else(PoisonError::into_inner);
        if known.len() > REMEMBERED {
            known.clear();
        }
        known.extend(lines);
    }

    /// Looks at a file that was found.
    pub fn look_at(&self, Found { name, bytes }: Found) -> Read {
        let bytes = match bytes {
            Ok(bytes) => bytes,
            Err(why) => return Read::Wrong { name, why },
        };
        let file = Hash::of(&bytes);
        if self.files.contains(&file) {
            return Read::Known { name, file };
        }
        let known = self.lines.read().unwrap_or_else(PoisonError::into_inner);
        let intake = match intake::take_unless(&bytes, &|hash| known.contains(hash)) {
            Ok(intake) => intake,
            Err(why @ IntakeError::Newer { .. }) => {
                return Read::Newer { why: why.to_string(), aside: Aside { file, name, bytes } };
            }
            Err(why) => return Read::Wrong { name, why: why.to_string() },
        };
        drop(known);
        let mut devices: BTreeSet<_> = intake.known.iter().map(|id| id.device).collect();
        let mut names = Vec::new();
        let mut records = Vec::with_capacity(intake.records.len());
        for (line, sealed) in intake.records {
            let (id, hash): (EventId, Hash) = (sealed.record.id, sealed.hash);
            devices.insert(id.device);
            if let Event::TechnicianNamed { name, .. } = sealed.record.event
                && !name.is_empty()
            {
                names.push((id, hash, name.to_string()));
            }
            records.push((id, hash, line));
        }
        let faults = intake.faults.iter().map(ToString::to_string).collect();
        Read::Taken(FileTaken { file, name, devices, records, names, photos: intake.blobs, faults })
    }
}
