//! Taking in: files, folders and packed folders into the store.
//!
//! One thread reads, unpacks and checks, this one keeps; between them only a few
//! files wait, so memory stays flat however many come. Files are kept some at a
//! time, each batch at once: killed anywhere, what was kept is whole, and doing
//! it again does the rest. The same bytes again change nothing and tell the same
//! faults. A file by a newer program is set aside as it is and tried again at
//! each later run; a bad file is named and stops no other.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{SyncSender, sync_channel};
use std::thread;

use quaywright_core::event::Event;
use quaywright_core::exchange::intake::{self, IntakeError};
use quaywright_core::id::{EventId, Hash};

use crate::changes::changes;
use crate::store::{Aside, FileTaken, News, Store, StoreError};
use crate::unpack::{self, BOUNDS, Found};

/// How many bytes of lines and photos are kept at once.
const BATCH_BYTES: usize = 8 << 20;
/// How many files are kept at once.
const BATCH_FILES: usize = 200;
/// How many files wait between the threads.
const WAITING: usize = 4;

/// What a file turned out to be.
enum Read {
    Known { name: String, file: Hash },
    Taken(FileTaken),
    Newer { aside: Aside, why: String },
    Wrong { name: String, why: String },
}

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
    store: &mut impl Store,
    paths: &[PathBuf],
    progress: &mut dyn FnMut(usize),
) -> Result<Report, StoreError> {
    let mut report = Report::default();
    let mut known = store.files()?;
    again(store, &mut known, &mut report)?;
    let (sender, receiver) = sync_channel(WAITING);
    thread::scope(|scope| {
        scope.spawn(move || read_all(paths, known, &sender));
        let mut batch = Batch::default();
        for (nth, read) in (1..).zip(receiver) {
            keep(store, read, &mut batch, &mut report)?;
            progress(nth);
        }
        batch.empty(store, &mut report)
    })?;
    report.changed = changes(store, &report.news.records)?;
    Ok(report)
}

/// Tries again what was set aside.
fn again(store: &mut impl Store, known: &mut BTreeSet<Hash>, report: &mut Report) -> Result<(), StoreError> {
    for (file, _) in store.aside()? {
        let Some(Aside { name, bytes, .. }) = store.brought_back(file)? else { continue };
        if let Read::Taken(taken) = looked_at(name, bytes, known) {
            known.insert(file);
            report.blame(&taken.name, &taken.faults);
            report.taken += 1;
            report.news.add(store.take_in(&[taken])?);
        }
    }
    Ok(())
}

fn read_all(paths: &[PathBuf], mut known: BTreeSet<Hash>, sender: &SyncSender<Read>) {
    for path in unpack::files(paths) {
        if !read_one(&path, &mut known, sender) {
            return;
        }
    }
}

/// Reads a file and sends what it is; tells whether the other side still listens.
fn read_one(path: &Path, known: &mut BTreeSet<Hash>, sender: &SyncSender<Read>) -> bool {
    let mut is_heard = true;
    unpack::read(path, BOUNDS, &mut |Found { name, bytes }| {
        if !is_heard {
            return;
        }
        let read = match bytes {
            Ok(bytes) => looked_at(name, bytes, known),
            Err(why) => Read::Wrong { name, why },
        };
        if let Read::Taken(taken) = &read {
            known.insert(taken.file);
        }
        is_heard = sender.send(read).is_ok();
    });
    is_heard
}

fn looked_at(name: String, bytes: Vec<u8>, known: &BTreeSet<Hash>) -> Read {
    let file = Hash::of(&bytes);
    if known.contains(&file) {
        return Read::Known { name, file };
    }
    let intake = match intake::take(&bytes) {
        Ok(intake) => intake,
        Err(why @ IntakeError::Newer { .. }) => {
            return Read::Newer { why: why.to_string(), aside: Aside { file, name, bytes } };
        }
        Err(why) => return Read::Wrong { name, why: why.to_string() },
    };
    let mut names = Vec::new();
    let mut records = Vec::with_capacity(intake.records.len());
    for (line, sealed) in intake.records {
        let (id, hash): (EventId, Hash) = (sealed.record.id, sealed.hash);
        if let Event::TechnicianNamed { name, .. } = sealed.record.event
            && !name.is_empty()
        {
            names.push((id, hash, name.to_string()));
        }
        records.push((id, hash, line));
    }
    let faults = intake.faults.iter().map(ToString::to_string).collect();
    Read::Taken(FileTaken { file, name, records, names, photos: intake.blobs, faults })
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

    fn empty(&mut self, store: &mut impl Store, report: &mut Report) -> Result<(), StoreError> {
        if !self.files.is_empty() {
            report.news.add(store.take_in(&self.files)?);
        }
        *self = Self::default();
        Ok(())
    }
}

fn keep(store: &mut impl Store, read: Read, batch: &mut Batch, report: &mut Report) -> Result<(), StoreError> {
    match read {
        Read::Known { name, file } => {
            report.known += 1;
            // One that came twice in this run may not be kept yet; its faults were told.
            report.blame(&name, store.faults_of(file)?.unwrap_or_default());
        }
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
