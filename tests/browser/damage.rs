//! Where Chromium keeps an origin's data, and how to damage it.
//!
//! Damage is done to the files of a browser that is not running, the way a
//! failing flash chip or a cut-off write does it: some bytes flipped, a tail
//! missing, a file gone. Each store of an origin is a failure domain of its own.

use std::fs::{self, OpenOptions};
use std::io::{Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use crate::failure::{Failure, must};

/// The folders in which one origin's data lie in a profile.
pub struct Stores {
    profile: PathBuf,
    port: u16,
}

impl Stores {
    /// Returns the stores of `http://127.0.0.1:port` in a profile.
    pub fn of(profile: &Path, port: u16) -> Self {
        Self { profile: profile.join("Default"), port }
    }

    /// Returns the folder of every IndexedDB database of the origin: log, manifest, tables.
    pub fn leveldb(&self) -> PathBuf {
        self.indexed_db("leveldb")
    }

    /// Returns the folder in which IndexedDB keeps its large values, one file each.
    pub fn blobs(&self) -> PathBuf {
        self.indexed_db("blob")
    }

    /// Returns the folder of the origin private file systems, of all origins of the profile.
    pub fn opfs(&self) -> PathBuf {
        self.profile.join("File System")
    }

    fn indexed_db(&self, part: &str) -> PathBuf {
        self.profile.join("IndexedDB").join(format!("http_127.0.0.1_{}.indexeddb.{part}", self.port))
    }
}

/// Returns the largest file under a folder whose name ends so; an empty ending matches all.
#[track_caller]
pub fn largest(folder: &Path, ending: &str) -> PathBuf {
    let files = files_under(folder).into_iter().filter(|it| it.to_string_lossy().ends_with(ending));
    match files.max_by_key(|it| fs::metadata(it).map_or(0, |it| it.len())) {
        Some(file) => file,
        None => panic!("no file ends in “{ending}” under {}: has anything been stored yet?", folder.display()),
    }
}

/// Returns every file under a folder, in order of name.
pub fn files_under(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        match entry.file_type() {
            Ok(kind) if kind.is_dir() => found.extend(files_under(&entry.path())),
            _ => found.push(entry.path()),
        }
    }
    found.sort();
    found
}

/// Inverts `count` bytes of a file from `offset` on.
#[track_caller]
pub fn flip_bytes(file: &Path, offset: u64, count: usize) {
    let flip = || -> std::io::Result<()> {
        let mut open = OpenOptions::new().read(true).write(true).open(file)?;
        let mut bytes = vec![0; count];
        open.seek(SeekFrom::Start(offset))?;
        open.read_exact(&mut bytes)?;
        bytes.iter_mut().for_each(|byte| *byte = !*byte);
        open.seek(SeekFrom::Start(offset))?;
        open.write_all(&bytes)
    };
    let what = format!("cannot flip {count} bytes at {offset} of {}", file.display());
    must(flip().map_err(Failure::machine(what)));
}

/// Cuts a file down to a fraction of its length.
#[track_caller]
pub fn truncate(file: &Path, fraction: f64) {
    let cut = || -> std::io::Result<()> {
        let open = OpenOptions::new().write(true).open(file)?;
        let length = open.metadata()?.len();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
        open.set_len((length as f64 * fraction) as u64)
    };
    must(cut().map_err(Failure::machine(format!("cannot truncate {}", file.display()))));
}
