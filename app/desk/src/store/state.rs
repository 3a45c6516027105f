//! What a journal's changes come to, in memory.
//!
//! A pure fold: the same changes in the same order always give the same. It promises
//! what the tables of a database do: a line of one name and hash is there once, the last
//! word on a name counts, nothing is taken away.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use quaywright_core::id::{BlobId, DeviceId, EventId, Hash};

use super::change::Change;
use super::journal::Place;
use super::{Aside, Derived, Export, FileTaken, News, Sent};

/// One device's lines, by number and hash.
type Lines = BTreeMap<(u64, Hash), Box<[u8]>>;

/// All that is kept.
#[derive(Default)]
pub(super) struct State {
    files: BTreeMap<Hash, String>,
    records: BTreeMap<DeviceId, Lines>,
    names: BTreeMap<DeviceId, BTreeMap<(Reverse<u64>, Hash), String>>,
    photos: BTreeMap<BlobId, Place>,
    together: BTreeSet<(DeviceId, DeviceId)>,
    aside: BTreeMap<Hash, Aside>,
    columns: BTreeMap<String, String>,
    texts: BTreeMap<String, String>,
    exports: Vec<(Vec<u8>, bool)>,
    sent: Vec<Sent>,
    derived: BTreeMap<String, Derived>,
}

impl State {
    /// Lays a change over what is there.
    pub(super) fn apply(&mut self, change: Change) {
        match change {
            Change::TakenIn { files, photos } => {
                files.into_iter().for_each(|file| self.take_in(file));
                for (blob, place) in photos {
                    self.photos.entry(blob).or_insert(place);
                }
            }
            Change::SetAside(aside) => {
                self.aside.entry(aside.file).or_insert(aside);
            }
            Change::Columns { name, columns } => {
                self.columns.insert(name, columns);
            }
            Change::Text { name, text } => {
                self.texts.insert(name, text);
            }
            Change::Exported { file, lines } => {
                self.exports.push((file, false));
                let export = self.last_export();
                self.sent.extend(lines.into_iter().map(|(key, form)| Sent { key, export, form }));
            }
            Change::Written(number) => {
                if let Some(export) = nth(number).and_then(|nth| self.exports.get_mut(nth)) {
                    export.1 = true;
                }
            }
        }
    }

    fn take_in(&mut self, file: FileTaken) {
        self.together.extend(file.together());
        self.files.entry(file.file).or_insert_with(|| file.faults_text());
        for (id, hash, line) in file.records {
            self.records.entry(id.device).or_default().entry((id.seq, hash)).or_insert(line.into());
        }
        for (id, hash, name) in file.names {
            self.names.entry(id.device).or_default().entry((Reverse(id.seq), hash)).or_insert(name);
        }
    }

    fn has(&self, id: EventId, hash: Hash) -> bool {
        self.records.get(&id.device).is_some_and(|lines| lines.contains_key(&(id.seq, hash)))
    }

    /// Returns what of some files is not there yet.
    pub(super) fn news(&self, files: &[FileTaken]) -> News {
        let mut news = News::default();
        let (mut hashes, mut photos) = (BTreeSet::new(), BTreeSet::new());
        for file in files {
            news.files += usize::from(!self.files.contains_key(&file.file) && hashes.insert(file.file));
            let new = file.records.iter().filter(|(id, hash, _)| !self.has(*id, *hash));
            news.records.extend(new.map(|(id, ..)| *id));
            photos.extend(file.photos.iter().map(|(blob, _)| *blob).filter(|blob| self.photo(*blob).is_none()));
        }
        news.photos = photos.len();
        news
    }

    /// Returns what of some files is to be written: each line once, without photos, which lie elsewhere.
    pub(super) fn fresh(&self, files: &[FileTaken]) -> Vec<FileTaken> {
        let mut seen = BTreeSet::new();
        let mut fresh = Vec::new();
        for file in files {
            // A day's file holds the whole log of its phone, and most of it is here.
            let new = file.records.iter().filter(|(id, hash, _)| !self.has(*id, *hash));
            let records: Vec<_> = new.filter(|(id, hash, _)| seen.insert((*id, *hash))).cloned().collect();
            if !records.is_empty() || !self.files.contains_key(&file.file) {
                fresh.push(FileTaken {
                    file: file.file,
                    name: file.name.clone(),
                    devices: file.devices.clone(),
                    records,
                    names: file.names.clone(),
                    photos: Vec::new(),
                    faults: file.faults.clone(),
                });
            }
        }
        fresh
    }

    pub(super) fn files(&self) -> BTreeSet<Hash> {
        self.files.keys().copied().collect()
    }

    pub(super) fn faults_of(&self, file: Hash) -> Option<Vec<String>> {
        Some(self.files.get(&file)?.lines().map(str::to_owned).collect())
    }

    pub(super) fn photo(&self, blob: BlobId) -> Option<Place> {
        self.photos.get(&blob).copied()
    }

    pub(super) fn aside(&self) -> Vec<(Hash, String)> {
        let left = self.aside.values().filter(|aside| !self.files.contains_key(&aside.file));
        let mut left: Vec<_> = left.map(|aside| (aside.file, aside.name.clone())).collect();
        left.sort_by(|one, other| (&one.1, one.0).cmp(&(&other.1, other.0)));
        left
    }

    pub(super) fn aside_of(&self, file: Hash) -> Option<&Aside> {
        self.aside.get(&file)
    }

    pub(super) fn records_of(&self, device: DeviceId) -> impl Iterator<Item = (EventId, &[u8])> {
        let lines = self.records.get(&device).into_iter().flatten();
        lines.map(move |(&(seq, _), line)| (EventId { device, seq }, &line[..]))
    }

    pub(super) fn devices(&self) -> Vec<(DeviceId, Option<String>)> {
        let last = |device: &DeviceId| self.names.get(device)?.values().next().cloned();
        self.records.keys().map(|device| (*device, last(device))).collect()
    }

    pub(super) fn heard(&self) -> BTreeMap<DeviceId, u64> {
        self.records.iter().map(|(device, lines)| (*device, lines.len() as u64)).collect()
    }

    pub(super) fn together(&self) -> Vec<(DeviceId, DeviceId)> {
        self.together.iter().copied().collect()
    }

    pub(super) fn columns(&self, name: &str) -> Option<String> {
        self.columns.get(name).cloned()
    }

    pub(super) fn text(&self, name: &str) -> Option<&str> {
        self.texts.get(name).map(String::as_str)
    }

    pub(super) fn sent(&self) -> &[Sent] {
        &self.sent
    }

    pub(super) fn last_export(&self) -> u32 {
        u32::try_from(self.exports.len()).unwrap_or(u32::MAX)
    }

    pub(super) fn exported(&self, number: u32) -> Option<Export> {
        let (file, written) = self.exports.get(nth(number)?)?;
        Some(Export { number, file: file.clone(), written: *written })
    }

    pub(super) fn derived(&self, name: &str) -> Option<&Derived> {
        self.derived.get(name)
    }

    pub(super) fn keep_derived(&mut self, derived: Derived) {
        self.derived.insert(derived.name.clone(), derived);
    }
}

/// Returns the place of an export, which are counted from 1.
fn nth(number: u32) -> Option<usize> {
    usize::try_from(number.checked_sub(1)?).ok()
}
