//! Taking in: files, folders and packed folders into the store.
//!
//! Others read and check ([`crate::checking`]), this thread keeps. Files are kept some at a
//! time, each batch at once: killed anywhere, what was kept is whole, and doing
//! it again does the rest. The same bytes again change nothing and tell the same
//! faults. A file by a newer program is set aside as it is and tried again at
//! each later run; a bad file is named and stops no other.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::PathBuf;

use quaywright_core::id::Hash;

use crate::changes::changes;
use crate::checking::{Kept, Read, check_all};
use crate::store::{Aside, FileTaken, News, Store, StoreError};

/// How many bytes of lines and photos are kept at once.
const BATCH_BYTES: usize = 8 << 20;
/// How many files are kept at once.
const BATCH_FILES: usize = 200;
/// What a run did.
#[derive(Debug, Default)]
pub(crate) struct Report {
    taken: usize,
    known: usize,
    aside: usize,
    refused: usize,
    news: News,
    /// What is wrong, by file.
    pub(crate) wrong: String,
    /// Which days are not what they were before.
    pub(crate) changed: Vec<String>,
}

impl Report {
    /// Returns what was done in a few words.
    pub(crate) fn words(&self) -> String {
        let mut words = format!("{} taken in, {} known already", files(self.taken), self.known);
        if self.aside > 0 {
            let _ = write!(words, ", {} set aside for a newer program", self.aside);
        }
        if self.refused > 0 {
            let _ = write!(words, ", {} not taken", self.refused);
        }
        let _ = write!(words, "; new: {} records, {} photos", self.news.records.len(), self.news.photos);
        words
    }

    /// Tells whether nothing that was given could be used.
    pub(crate) fn is_nothing(&self) -> bool {
        self.taken + self.known == 0
    }

    fn blame(&mut self, name: &str, faults: impl IntoIterator<Item = impl std::fmt::Display>) {
        for fault in faults {
            let _ = writeln!(self.wrong, "{name}: {fault}");
        }
    }
}

fn files(count: usize) -> String {
    if count == 1 { "1 file".to_owned() } else { format!("{count} files") }
}

/// Takes in what some paths stand for; `progress` hears how many files were looked at.
pub(crate) fn take_in(
    store: &mut dyn Store,
    paths: &[PathBuf],
    progress: &mut dyn FnMut(usize),
) -> Result<Report, StoreError> {
    let mut report = Report::default();
    let mut known = store.files()?;
    again(store, &mut known, &mut report)?;
    let kept = Kept::of(known.clone());
    let (mut batch, mut nth) = (Batch::default(), 0);
    check_all(paths, &kept, &mut |read| {
        keep(store, read, (&mut known, &kept), &mut batch, &mut report)?;
        nth += 1;
        progress(nth);
        Ok(())
    })?;
    batch.empty(store, &kept, &mut report)?;
    report.changed = changes(store, &report.news.records)?;
    Ok(report)
}

/// Tries again what was set aside.
fn again(store: &mut dyn Store, known: &mut BTreeSet<Hash>, report: &mut Report) -> Result<(), StoreError> {
    for (file, _) in store.aside()? {
        let Some(Aside { name, bytes, .. }) = store.brought_back(file)? else { continue };
        if let Read::Taken(taken) = Kept::of(known.clone()).look_at(name, bytes) {
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
        let lines: usize = file.records.iter().map(|(.., line)| line.len()).sum();
        self.bytes += lines + file.photos.iter().map(|(_, bytes)| bytes.len()).sum::<usize>();
        self.files.push(file);
    }

    fn is_full(&self) -> bool {
        self.files.len() >= BATCH_FILES || self.bytes >= BATCH_BYTES
    }

    fn empty(&mut self, store: &mut dyn Store, kept: &Kept, report: &mut Report) -> Result<(), StoreError> {
        if !self.files.is_empty() {
            report.news.add(store.take_in(&self.files)?);
            kept.remember(self.files.iter().flat_map(|file| file.records.iter().map(|(_, hash, _)| hash)));
        }
        *self = Self::default();
        Ok(())
    }
}

fn keep(
    store: &mut dyn Store,
    read: Read,
    (known, kept): (&mut BTreeSet<Hash>, &Kept),
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
                batch.empty(store, kept, report)?;
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
