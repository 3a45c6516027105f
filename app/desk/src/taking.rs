//! Taking in: files into the store.
//!
//! Others read and check ([`crate::checking`]), a [`Taking`] keeps. Files are kept some at a
//! time, each batch at once: killed anywhere, what was kept is whole, and doing
//! it again does the rest. The same bytes again change nothing and tell the same
//! faults. A file by a newer program is set aside as it is and tried again at
//! each later run; a bad file is named and stops no other.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::sync::Arc;

use quaywright_core::id::Hash;
use quaywright_core::quantity::counted;

use crate::changes::changes;
use crate::checking::{Kept, Read};
use crate::crew::{Alone, Crew};
use crate::store::{Aside, FileTaken, News, Store, StoreError};
use crate::told::Told;
use crate::unpack::Found;

/// How many bytes of lines and photos are kept at once.
const BATCH_BYTES: usize = 8 << 20;
/// How many files are kept at once.
const BATCH_FILES: usize = 200;
/// What a run did.
#[derive(Debug, Default)]
pub struct Report {
    taken: usize,
    known: usize,
    aside: usize,
    refused: usize,
    news: News,
    /// What is wrong, by file.
    pub wrong: String,
    /// Which days are not what they were before.
    pub changed: Vec<String>,
}

impl Report {
    /// Returns what was done in a few words.
    pub fn words(&self) -> String {
        let mut words = format!("{} taken in, {} known already", counted(self.taken, "file"), self.known);
        if self.aside > 0 {
            let _ = write!(words, ", {} set aside for a newer program", self.aside);
        }
        if self.refused > 0 {
            let _ = write!(words, ", {} not taken", self.refused);
        }
        let (records, photos) = (counted(self.news.records.len(), "record"), counted(self.news.photos, "photo"));
        let _ = write!(words, "; new: {records}, {photos}");
        words
    }

    /// Says what was done, what is wrong, and what is not as it was.
    pub fn tell(&self, told: &mut Told) {
        told.wrong.push_str(&self.wrong);
        self.changed.iter().for_each(|changed| told.say(format_args!("changed: {changed}")));
        told.say(self.words());
    }

    /// Tells whether nothing that was given could be used.
    pub fn is_nothing(&self) -> bool {
        self.taken + self.known == 0
    }

    fn blame(&mut self, name: &str, faults: impl IntoIterator<Item = impl std::fmt::Display>) {
        for fault in faults {
            let _ = writeln!(self.wrong, "{name}: {fault}");
        }
    }
}

/// A run of taking in, one file after the other.
pub struct Taking {
    known: BTreeSet<Hash>,
    kept: Arc<Kept>,
    batch: Batch,
    report: Report,
}

impl Taking {
    /// Begins a run, by trying again what was set aside.
    ///
    /// # Errors
    /// When the store does not do it.
    pub fn begin(store: &mut dyn Store) -> Result<Self, StoreError> {
        let mut report = Report::default();
        let mut known = store.files()?;
        again(store, &mut known, &mut report)?;
        let kept = Arc::new(Kept::of(known.clone()));
        Ok(Self { known, kept, batch: Batch::default(), report })
    }

    /// Returns what is known to be kept, for whoever looks at the files.
    pub fn kept(&self) -> Arc<Kept> {
        self.kept.clone()
    }

    /// Keeps a file that was looked at, or notes what it is.
    ///
    /// # Errors
    /// When the store does not do it; what was kept before stays.
    pub fn keep(&mut self, store: &mut dyn Store, read: Read) -> Result<(), StoreError> {
        let Self { known, batch, report, .. } = self;
        keep(store, read, known, batch, report)
    }

    /// Keeps what is left, and says what the run changed of earlier days.
    ///
    /// # Errors
    /// When the store does not do it; what was kept before stays.
    pub fn end(self, store: &mut dyn Store) -> Result<Report, StoreError> {
        self.end_with(store, &Alone)
    }

    /// As [`Taking::end`], with others who help.
    ///
    /// # Errors
    /// When the store does not do it; what was kept before stays.
    pub fn end_with(mut self, store: &mut dyn Store, crew: &impl Crew) -> Result<Report, StoreError> {
        self.batch.empty(store, &mut self.report)?;
        self.report.changed = changes(store, &self.report.news.records, crew)?;
        Ok(self.report)
    }
}

/// Tries again what was set aside.
fn again(store: &mut dyn Store, known: &mut BTreeSet<Hash>, report: &mut Report) -> Result<(), StoreError> {
    for (file, _) in store.aside()? {
        let Some(Aside { name, bytes, .. }) = store.brought_back(file)? else { continue };
        if let Read::Taken(taken) = Kept::of(known.clone()).look_at(Found { name, bytes: Ok(bytes) }) {
            known.insert(file);
            report.blame(&taken.name, &taken.faults);
            report.taken += 1;
            report.news.add(store.take_in(&[taken])?);
        }
    }
    Ok(())
}

/// Files that are kept together.
#[derive(Default)]
struct Batch {
    files: Vec<FileTaken>,
    bytes: usize,
}

impl Batch {
    fn put(&mut self, file: FileTaken) {
        self.bytes += file.bytes();
        self.files.push(file);
    }

    fn is_full(&self) -> bool {
        self.files.len() >= BATCH_FILES || self.bytes >= BATCH_BYTES
    }

    fn empty(&mut self, store: &mut dyn Store, report: &mut Report) -> Result<(), StoreError> {
        if !self.files.is_empty() {
            report.news.add(store.take_in(&self.files)?);
        }
        *self = Self::default();
        Ok(())
    }
}

fn keep(
    store: &mut dyn Store,
    read: Read,
    known: &mut BTreeSet<Hash>,
    batch: &mut Batch,
    report: &mut Report,
) -> Result<(), StoreError> {
    match read {
        Read::Known { name, file } => {
            report.known += 1;
            report.blame(&name, store.faults_of(file)?.unwrap_or_default());
        }
        // It came twice in this run; its faults were told.
        Read::Taken(file) if !known.insert(file.file) => report.known += 1,
        Read::Taken(file) => {
            report.taken += 1;
            report.blame(&file.name, &file.faults);
            batch.put(file);
            if batch.is_full() {
                batch.empty(store, report)?;
            }
        }
        Read::Newer { aside, why } => {
            report.aside += 1;
            report.blame(&aside.name, [why]);
            store.set_aside(&aside)?;
        }
        Read::Wrong { name, why } => {
            report.refused += 1;
            report.blame(&name, [why]);
        }
    }
    Ok(())
}
