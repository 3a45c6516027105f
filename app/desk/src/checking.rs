//! A file looked at: what it is, and what of it is new.
//!
//! A day's file holds the whole log of its phone, and most of it came with the day
//! before. A beginning that is the same as that of an earlier file is known by its
//! hash ([`runs`]); of what follows, a line that came before is verified and not read
//! again. Several threads may look at files at once; what they know is shared.
//!
//! Rule: what is left out of a file stands in a file before it in the same run. Files
//! are kept in their order, and when one cannot be, none after it is.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

use quaywright_core::event::Event;
use quaywright_core::exchange::bundle::runs::{self, Cut, Milestone};
use quaywright_core::exchange::intake::{self, Intake, IntakeError, Known};
use quaywright_core::id::{DeviceId, EventId, Hash};

use crate::store::{Aside, FileTaken};
use crate::unpack::Found;

/// How many lines are remembered; each takes some 50 bytes.
const REMEMBERED: usize = 1_000_000;
/// How many milestones are remembered; each takes some 120 bytes.
const MILESTONES: usize = 200_000;

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

/// The files that are in the store, and what came in this run.
#[derive(Default)]
pub struct Kept {
    files: BTreeSet<Hash>,
    looked_at: AtomicUsize,
    come: Mutex<Come>,
}

/// What came, each with the number of the first file that it came in.
#[derive(Default)]
struct Come {
    lines: HashMap<Hash, usize>,
    milestones: HashMap<DeviceId, BTreeMap<usize, (usize, Milestone)>>,
    marked: usize,
}

/// What is known to whoever looks at the file of a number: what came in those before it.
struct Before<'a> {
    kept: &'a Kept,
    nth: usize,
}

impl Known for Before<'_> {
    fn has(&self, hash: &Hash) -> bool {
        self.kept.come().lines.get(hash).is_some_and(|&nth| nth < self.nth)
    }

    fn cut(&self, json: &[u8]) -> Option<(Cut, Intake)> {
        runs::cut(json, self, |device| {
            let come = self.kept.come();
            let of = come.milestones.get(&device).into_iter().flat_map(BTreeMap::values);
            of.filter(|(nth, _)| *nth < self.nth).map(|(_, milestone)| milestone.clone()).collect()
        })
    }
}

impl Come {
    /// Remembers what came in the file of a number.
    fn learn(&mut self, nth: usize, intake: &Intake) {
        if self.lines.len() > REMEMBERED || self.marked > MILESTONES {
            *self = Self::default();
        }
        for (_, sealed) in &intake.records {
            self.lines.entry(sealed.hash).and_modify(|first| *first = nth.min(*first)).or_insert(nth);
        }
        for milestone in &intake.milestones {
            let Some(&device) = milestone.devices.first() else { continue };
            let place = self.milestones.entry(device).or_default().entry(milestone.length);
            let place = place.or_insert_with(|| {
                self.marked += 1;
                (nth, milestone.clone())
            });
            if nth < place.0 {
                *place = (nth, milestone.clone());
            }
        }
    }
}

impl Read {
    /// Returns how many bytes it holds, roughly.
    pub fn bytes(&self) -> usize {
        match self {
            Self::Known { .. } | Self::Wrong { .. } => 0,
            Self::Taken(file) => file.bytes(),
            Self::Newer { aside, .. } => aside.bytes.len(),
        }
    }
}

impl Kept {
    /// Returns what is known at the beginning.
    pub fn of(files: BTreeSet<Hash>) -> Self {
        Self { files, ..Self::default() }
    }

    fn come(&self) -> MutexGuard<'_, Come> {
        self.come.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Looks at the next file; each has to be kept before the next one is.
    pub fn look_at(&self, found: Found) -> Read {
        self.look_at_nth(self.looked_at.fetch_add(1, Ordering::Relaxed), found)
    }

    /// Looks at the file of a number; files are looked at in any order and have to be kept in that of their numbers.
    pub fn look_at_nth(&self, nth: usize, Found { name, bytes }: Found) -> Read {
        let bytes = match bytes {
            Ok(bytes) => bytes,
            Err(why) => return Read::Wrong { name, why },
        };
        let file = Hash::of(&bytes);
        if self.files.contains(&file) {
            return Read::Known { name, file };
        }
        let intake = match intake::take_knowing(&bytes, &Before { kept: self, nth }) {
            Ok(intake) => intake,
            Err(why @ IntakeError::Newer { .. }) => {
                return Read::Newer { why: why.to_string(), aside: Aside { file, name, bytes } };
            }
            Err(why) => return Read::Wrong { name, why: why.to_string() },
        };
        self.come().learn(nth, &intake);
        let mut devices = intake.known;
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

#[cfg(test)]
mod tests {
    use super::*;
    use quaywright_core::event::About;
    use quaywright_core::exchange::line::seal;
    use quaywright_core::log::Tip;
    use quaywright_core::moment::Moment;
    use quaywright_core::text::Prose;

    /// Returns the file of a log of so many notes.
    fn file(notes: u64) -> Found {
        let mut tip = Tip::fresh(DeviceId::new([7; 8]));
        let now = Moment::parse("2026-05-04T08:00:00+01:00").unwrap();
        let mut lines = Vec::new();
        for nth in 0..notes {
            let text = Prose::new(&format!("note {nth}"));
            let (line, sealed) = seal(tip.record(now, Event::NoteWritten { about: About::Day, text }));
            tip.advance(&sealed);
            lines.extend(line);
            lines.push(b'\n');
        }
        Found { name: format!("{notes}"), bytes: Ok(lines) }
    }

    fn new(read: Read) -> usize {
        let Read::Taken(file) = read else { panic!("it can be taken") };
        assert_eq!(file.devices.len(), 1);
        file.records.len()
    }

    #[test]
    fn only_what_stands_in_a_file_before_it_is_left_out_of_a_file() {
        let kept = Kept::default();
        assert_eq!(new(kept.look_at_nth(5, file(4))), 4);
        // An earlier one that is looked at later is kept first, so it has to bring all its lines.
        assert_eq!(new(kept.look_at_nth(3, file(3))), 3);
        assert_eq!(new(kept.look_at_nth(4, file(4))), 1);
        assert_eq!(new(kept.look_at_nth(6, file(5))), 1);
    }

    #[test]
    fn files_looked_at_one_after_the_other_bring_what_is_new() {
        let kept = Kept::default();
        assert_eq!([2, 5, 3, 6].map(|notes| new(kept.look_at(file(notes)))), [2, 3, 0, 1]);
    }
}
