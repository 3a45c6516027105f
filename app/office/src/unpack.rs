//! Paths to files: folders and packed folders opened up, within bounds.
//!
//! A day file is a few hundred kilobytes and a phone's whole backup some hundred
//! megabytes at most; what claims to be larger is refused by name before it is
//! read. Nothing is ever unpacked to the disk, so no name in an archive can lead
//! anywhere; names are only shown, without control characters. Links inside
//! folders are not followed, and an archive within an archive is not opened.

use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};

use zip::ZipArchive;
use zip::result::ZipError;

/// How much is read at most.
#[derive(Clone, Copy)]
pub(crate) struct Bounds {
    /// Of one file, in megabytes.
    file_mb: u64,
    /// Of all that is unpacked from one archive, in megabytes.
    archive_mb: u64,
    /// How many files one archive holds.
    files: usize,
}

/// The bounds of every run.
pub(crate) const BOUNDS: Bounds = Bounds { file_mb: 256, archive_mb: 4096, files: 50_000 };

impl Bounds {
    fn file(self) -> u64 {
        self.file_mb << 20
    }

    fn too_large(self) -> String {
        format!("larger than {} MB and so no day file: take in the single days", self.file_mb)
    }
}

/// A file that was found, or what is wrong with it.
pub(crate) struct Found {
    /// What it is called, for people.
    pub(crate) name: String,
    /// Its bytes.
    pub(crate) bytes: Result<Vec<u8>, String>,
}

impl Found {
    fn wrong(name: impl Into<String>, why: impl Into<String>) -> Self {
        Self { name: name.into(), bytes: Err(why.into()) }
    }
}

/// Returns the files that some paths stand for, in order: files as they are, folders opened up.
pub(crate) fn files(paths: &[PathBuf]) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for path in paths {
        // A path that a person names may be a link; inside folders links are left out.
        if path.is_dir() { open_folder(path, &mut files) } else { files.push(path.clone()) }
    }
    files
}

fn open_folder(folder: &Path, files: &mut Vec<PathBuf>) {
    let Ok(entries) = fs::read_dir(folder) else {
        // Named as a file it is told why it cannot be read.
        return files.push(folder.to_owned());
    };
    let mut entries: Vec<_> = entries.flatten().collect();
    entries.sort_by_key(fs::DirEntry::file_name);
    for entry in entries {
        match entry.file_type() {
            Ok(kind) if kind.is_dir() => open_folder(&entry.path(), files),
            Ok(kind) if kind.is_file() => files.push(entry.path()),
            _ => {}
        }
    }
}

/// Reads a file, or each file in an archive, and gives it to `take`, one at a time.
pub(crate) fn read(path: &Path, bounds: Bounds, take: &mut dyn FnMut(Found)) {
    let name = shown(&path.display().to_string());
    let mut file = match File::open(path) {
        Ok(file) => file,
        Err(error) => return take(Found::wrong(name, format!("cannot be read: {error}"))),
    };
    let mut head = [0; 4];
    let length = file.metadata().map_or(0, |it| it.len());
    let is_packed = file.read_exact(&mut head).is_ok() && head == *b"PK\x03\x04";
    if is_packed {
        return read_archive(&name, path, bounds, take);
    }
    if length > bounds.file() {
        return take(Found::wrong(name, bounds.too_large()));
    }
    let bytes = File::open(path).and_then(|file| {
        let mut bytes = Vec::new();
        // It may have grown since.
        file.take(bounds.file() + 1).read_to_end(&mut bytes).map(|_| bytes)
    });
    let bytes = match bytes {
        Ok(bytes) if bytes.len() as u64 > bounds.file() => Err(bounds.too_large()),
        Ok(bytes) => Ok(bytes),
        Err(error) => Err(format!("cannot be read: {error}")),
    };
    take(Found { name, bytes });
}

fn read_archive(name: &str, path: &Path, bounds: Bounds, take: &mut dyn FnMut(Found)) {
    let opened = File::open(path).map_err(ZipError::from).and_then(ZipArchive::new);
    let mut archive = match opened {
        Ok(archive) if archive.len() > bounds.files => {
            return take(Found::wrong(name, format!("holds more than {} files: unpack it by parts", bounds.files)));
        }
        Ok(archive) => archive,
        Err(error) => return take(Found::wrong(name, format!("cannot be unpacked: {error}"))),
    };
    let mut left = bounds.archive_mb << 20;
    for nth in 0..archive.len() {
        let mut entry = match archive.by_index(nth) {
            Ok(entry) if entry.is_dir() => continue,
            Ok(entry) => entry,
            Err(error) => {
                take(Found::wrong(format!("{name}, file {}", nth + 1), format!("cannot be unpacked: {error}")));
                continue;
            }
        };
        let inner = format!("{name}: {}", shown(&String::from_utf8_lossy(entry.name_raw())));
        let mut bytes = Vec::new();
        // What the archive says of a file's length is not relied on.
        let read = entry.by_ref().take(bounds.file().min(left) + 1).read_to_end(&mut bytes);
        let length = bytes.len() as u64;
        if length > left {
            return take(Found::wrong(
                name,
                format!("holds more than {} MB: the rest was left out, unpack it by parts", bounds.archive_mb),
            ));
        }
        left -= length;
        let bytes = match read {
            Err(error) => Err(format!("cannot be unpacked: {error}")),
            Ok(_) if length > bounds.file() => Err(bounds.too_large()),
            Ok(_) if bytes.starts_with(b"PK\x03\x04") => Err("packed within a packed file: unpack it first".to_owned()),
            Ok(_) => Ok(bytes),
        };
        take(Found { name: inner, bytes });
    }
}

/// Returns a name as it can be shown: without control characters, and cut.
fn shown(name: &str) -> String {
    name.chars().filter(|c| !c.is_control()).take(300).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Write;
    use zip::write::{SimpleFileOptions, ZipWriter};

    fn packed(files: &[(&str, &[u8])]) -> Vec<u8> {
        let mut archive = ZipWriter::new(std::io::Cursor::new(Vec::new()));
        for (name, bytes) in files {
            archive.start_file(*name, SimpleFileOptions::default()).unwrap();
            archive.write_all(bytes).unwrap();
        }
        archive.finish().unwrap().into_inner()
    }

    /// Reads a file of these bytes; tells each found file as its name and length, or its fault.
    fn told(bytes: &[u8]) -> Vec<String> {
        let bounds = Bounds { file_mb: 1, archive_mb: 3, files: 9 };
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("it");
        fs::write(&path, bytes).unwrap();
        let mut told = Vec::new();
        read(&path, bounds, &mut |found| {
            let name = found.name.replace(&folder.path().display().to_string(), "");
            told.push(match found.bytes {
                Ok(bytes) => format!("{name} {}", bytes.len()),
                Err(why) => format!("{name} {why}"),
            });
        });
        told
    }

    #[test]
    fn names_in_an_archive_lead_nowhere() {
        let bytes = packed(&[("../../etc/day.html", b"abc"), ("/root/day.html", b"de"), ("a\u{1b}[2Jb\n", b"")]);
        assert_eq!(told(&bytes), ["/it: ../../etc/day.html 3", "/it: /root/day.html 2", "/it: a[2Jb 0"]);
    }

    #[test]
    fn what_unpacks_to_too_much_is_refused_by_name() {
        let (much, more) = (vec![0; (1 << 20) + 1], vec![0; 900 << 10]);
        let bytes = packed(&[("bomb", &much), ("good", b"day"), ("1", &more), ("2", &more), ("3", &more), ("4", b"")]);
        assert!(bytes.len() < 16 << 10, "megabytes of nothing pack well");
        let told = told(&bytes);
        assert_eq!(told[0], "/it: bomb larger than 1 MB and so no day file: take in the single days");
        assert_eq!(told[1], "/it: good 3");
        assert_eq!(told[4], "/it holds more than 3 MB: the rest was left out, unpack it by parts");
        assert_eq!(told.len(), 5);
        let many: Vec<String> = (0..10).map(|nth| nth.to_string()).collect();
        let many: Vec<(&str, &[u8])> = many.iter().map(|name| (name.as_str(), &b""[..])).collect();
        assert_eq!(super::tests::told(&packed(&many)), ["/it holds more than 9 files: unpack it by parts"]);
    }

    #[test]
    fn archives_in_archives_and_broken_ones_are_named() {
        let inner = packed(&[("day", b"x")]);
        assert_eq!(
            told(&packed(&[("inner.zip", &inner)])),
            ["/it: inner.zip packed within a packed file: unpack it first"]
        );
        let mut cut = packed(&[("day", b"some words that are long enough")]);
        cut.truncate(40);
        assert!(told(&cut)[0].starts_with("/it cannot be unpacked"));
        assert_eq!(told(b""), ["/it 0"]);
    }

    #[test]
    fn a_huge_file_is_not_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("huge");
        // Two gigabytes that take no room on the disk.
        File::create(&path).unwrap().set_len(2 << 30).unwrap();
        read(&path, BOUNDS, &mut |found| assert!(found.bytes.unwrap_err().starts_with("larger than 256 MB")));
    }

    #[cfg(unix)]
    #[test]
    fn folders_are_opened_in_order_and_links_are_not_followed() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::create_dir(at("b")).unwrap();
        fs::write(at("b/2"), b"").unwrap();
        fs::write(at("a"), b"").unwrap();
        fs::write(at("c"), b"").unwrap();
        std::os::unix::fs::symlink(folder.path(), at("b/loop")).unwrap();
        assert_eq!(files(&[folder.path().to_owned()]), [at("a"), at("b/2"), at("c")]);
        assert_eq!(files(&[at("missing")]), [at("missing")]);
    }
}
