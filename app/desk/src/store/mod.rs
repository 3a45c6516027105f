//! What the office keeps, and what keeping must promise.
//!
//! Record lines are kept verbatim, by device, number and hash: the same line
//! again changes nothing, and two different lines of one name are both kept, so
//! that the conflict stays visible. Nothing that was taken in is changed or
//! removed. What is derived (books, days, bills) is made anew from the lines.
//!
//! Each change is one call and one transaction: killed at any moment, all of it
//! is there or nothing. Two programs may take in at once; one waits.

mod change;
pub mod contract;
pub mod journal;
mod state;

use std::collections::{BTreeMap, BTreeSet};

use quaywright_core::id::{BlobId, DeviceId, EventId, Hash};

/// What is said of a store of which a part is damaged.
const SPOILT: &str = "the store is damaged and was left as it is: save what is there, then begin anew beside it, \
    take the days in again, and mind that it is not known there what went out";

/// Why the store did not do it.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// There is none.
    #[error("there is no store here: look at the name, or make one with `take-in`")]
    Missing,
    /// A newer program made it.
    #[error("the store was made by a newer Quaywright (form {0}): update this one; nothing was changed")]
    Newer(u32),
    /// The file is something else.
    #[error("this file is no store of Quaywright: name another one, and it is made")]
    Foreign,
    /// A line in it is not what was put there.
    #[error("record {0} in the store is damaged: bring back a copy of the store, or take the files in anew")]
    Damaged(EventId),
    /// What lies there is not all that was put there.
    #[error("{SPOILT}")]
    Spoilt,
    /// Others change the same all the time.
    #[error("other programs change this store all the time: wait for them, then run this again")]
    Busy,
    /// The engine says no.
    #[error("the store cannot be used: {0}")]
    Engine(String),
}

/// A file that was read, as it goes into the store.
#[derive(Clone, Debug)]
pub struct FileTaken {
    /// The hash of its bytes.
    pub file: Hash,
    /// What it is called.
    pub name: String,
    /// The devices that it has records of, kept ones too.
    pub devices: BTreeSet<DeviceId>,
    /// Its record lines by name and hash, without those that are known to be kept.
    pub records: Vec<(EventId, Hash, Vec<u8>)>,
    /// Which of them say who works there.
    pub names: Vec<(EventId, Hash, String)>,
    /// Its photos.
    pub photos: Vec<(BlobId, Vec<u8>)>,
    /// What of it was not taken, in sentences.
    pub faults: Vec<String>,
}

impl FileTaken {
    /// Returns how many bytes its lines and photos have.
    pub fn bytes(&self) -> usize {
        let lines: usize = self.records.iter().map(|(.., line)| line.len()).sum();
        lines + self.photos.iter().map(|(_, bytes)| bytes.len()).sum::<usize>()
    }

    /// Returns the pairs of them, each in both orders.
    pub fn together(&self) -> Vec<(DeviceId, DeviceId)> {
        let pairs = self.devices.iter().flat_map(|&one| self.devices.iter().map(move |&other| (one, other)));
        pairs.filter(|(one, other)| one != other).collect()
    }

    /// Returns the faults as one text, a line each.
    pub fn faults_text(&self) -> String {
        self.faults.iter().map(|fault| format!("{}\n", fault.replace('\n', " "))).collect()
    }
}

/// A file by a newer program, kept until this one can read it.
#[derive(Clone, Debug)]
pub struct Aside {
    /// The hash of its bytes.
    pub file: Hash,
    /// What it is called.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// What of a batch was new.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct News {
    /// How many files.
    pub files: usize,
    /// Which records.
    pub records: BTreeSet<EventId>,
    /// How many photos.
    pub photos: usize,
}

impl News {
    /// Adds those of another batch.
    pub fn add(&mut self, other: News) {
        self.files += other.files;
        // Not `append`, which builds the whole set anew for each batch.
        self.records.extend(other.records);
        self.photos += other.photos;
    }
}

/// A line of a bill that went out in an export.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sent {
    /// Which of all bills' lines it is: the same as long as it stands for the same.
    pub key: String,
    /// The export that it went out in.
    pub export: u32,
    /// Its form, for the difference that a later correction makes: see the bill's export.
    pub form: String,
}

/// An export: what went out, and whether its file is known to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Export {
    /// Its number, from 1 on.
    pub number: u32,
    /// The bytes of its file.
    pub file: Vec<u8>,
    /// Whether they were written.
    pub written: bool,
}

/// Something that was worked out from lines and is kept, so that it need not be each time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Derived {
    /// What of.
    pub name: String,
    /// Which lines it was worked out from: with others it counts for nothing.
    pub stamp: String,
    /// What it came to.
    pub bytes: Vec<u8>,
}

/// A place where the office keeps what it took in.
pub trait Store {
    /// Returns the hashes of all files that were taken in.
    fn files(&mut self) -> Result<BTreeSet<Hash>, StoreError>;

    /// Returns what was not taken of a file when it was taken in; nothing for a file that was not.
    fn faults_of(&mut self, file: Hash) -> Result<Option<Vec<String>>, StoreError>;

    /// Takes some files in: all of them or, when it fails, none.
    fn take_in(&mut self, files: &[FileTaken]) -> Result<News, StoreError>;

    /// Keeps a file of a newer program as it is.
    fn set_aside(&mut self, aside: &Aside) -> Result<(), StoreError>;

    /// Returns the hash and the name of each file that was set aside and not taken in since.
    fn aside(&mut self) -> Result<Vec<(Hash, String)>, StoreError>;

    /// Returns a file that was set aside.
    fn brought_back(&mut self, file: Hash) -> Result<Option<Aside>, StoreError>;

    /// Returns the bytes of a photo or a voice note.
    fn photo(&mut self, blob: BlobId) -> Result<Option<Vec<u8>>, StoreError>;

    /// Gives every record line of a device to `take`, by number; of two lines of one name both.
    fn records_of(&mut self, device: DeviceId, take: &mut dyn FnMut(EventId, &[u8])) -> Result<(), StoreError>;

    /// Returns all devices and each one's last word on who works there.
    fn devices(&mut self) -> Result<Vec<(DeviceId, Option<String>)>, StoreError>;

    /// Returns how many lines of each device are kept: another number whenever one came in.
    fn heard(&mut self) -> Result<BTreeMap<DeviceId, u64>, StoreError>;

    /// Returns the pairs of devices of which one file had records.
    fn together(&mut self) -> Result<Vec<(DeviceId, DeviceId)>, StoreError>;

    /// Keeps columns under a name, in place of earlier ones.
    fn keep_columns(&mut self, name: &str, columns: &str) -> Result<(), StoreError>;

    /// Returns the columns of that name.
    fn columns(&mut self, name: &str) -> Result<Option<String>, StoreError>;

    /// Returns every line that went out, in the order in which they did.
    fn sent(&mut self) -> Result<Vec<Sent>, StoreError>;

    /// Returns the lines that went out after an export, of the jobs of a device or of all.
    ///
    /// # Errors
    /// When the engine says no.
    fn sent_of(&mut self, after: u32, device: Option<DeviceId>) -> Result<Vec<Sent>, StoreError> {
        let is_of = |sent: &Sent| device.is_none_or(|device| sent.key.starts_with(&format!("{device}-")));
        Ok(self.sent()?.into_iter().filter(|sent| sent.export > after && is_of(sent)).collect())
    }

    /// Returns the number of the last export; 0 before the first.
    ///
    /// # Errors
    /// When the engine says no.
    fn last_export(&mut self) -> Result<u32, StoreError> {
        Ok(self.exported(None)?.map_or(0, |last| last.number))
    }

    /// Marks lines as gone out in the next export. Refuses when another export was
    /// made since `seen`, the number of the last one known.
    fn export(&mut self, seen: u32, file: &[u8], lines: &[(String, String)]) -> Result<Option<u32>, StoreError>;

    /// Returns the export of a number, or the last one.
    fn exported(&mut self, number: Option<u32>) -> Result<Option<Export>, StoreError>;

    /// Notes that the file of an export was written.
    fn written(&mut self, number: u32) -> Result<(), StoreError>;

    /// Returns what was worked out and kept under a name.
    fn derived(&mut self, name: &str) -> Result<Option<Derived>, StoreError>;

    /// Keeps what was worked out, in place of what was of that name.
    fn keep_derived(&mut self, derived: &Derived) -> Result<(), StoreError>;

    /// Keeps several such, at once where that is quicker; killed in between, some may be missing.
    ///
    /// # Errors
    /// When the engine says no.
    fn keep_all_derived(&mut self, all: &[Derived]) -> Result<(), StoreError> {
        all.iter().try_for_each(|derived| self.keep_derived(derived))
    }
}
