//! Packed folders opened up, within bounds.
//!
//! A day file is a few hundred kilobytes and a phone's whole backup some hundred
//! megabytes at most; what claims to be larger is refused by name before it is
//! read. Nothing is ever unpacked to a disk, so no name in an archive can lead
//! anywhere; names are only shown, without control characters. An archive within
//! an archive is not opened.

use std::io::{Read, Seek};

use zip::ZipArchive;

/// How much is read at most.
#[derive(Clone, Copy, Debug)]
pub struct Bounds {
    /// Of one file, in megabytes.
    file_mb: u64,
    /// Of all that is unpacked from one archive, in megabytes.
    archive_mb: u64,
    /// How many files one archive holds.
    files: usize,
}

/// The bounds of every run.
pub const BOUNDS: Bounds = Bounds { file_mb: 256, archive_mb: 4096, files: 50_000 };

impl Bounds {
    fn file(self) -> u64 {
        self.file_mb << 20
    }

    fn too_large(self) -> String {
        format!("larger than {} MB and so no day file: take in the single days", self.file_mb)
    }
}

/// A file that was found, or what is wrong with it.
#[derive(Debug)]
pub struct Found {
    /// What it is called, for people.
    pub name: String,
    /// Its bytes.
    pub bytes: Result<Vec<u8>, String>,
}

impl Found {
    /// Returns a file that cannot be read.
    pub fn wrong(name: impl Into<String>, why: impl Into<String>) -> Self {
        Self { name: name.into(), bytes: Err(why.into()) }
    }
}

/// Tells whether a file that begins like this is a packed one.
fn is_packed(head: &[u8]) -> bool {
    head.starts_with(b"PK\x03\x04")
}

/// Reads a file of so many bytes, or each file in it when it is packed, and gives it to `take`.
pub fn read(name: &str, mut file: impl Read + Seek, length: u64, bounds: Bounds, take: &mut dyn FnMut(Found)) {
    let mut head = [0; 4];
    if file.read_exact(&mut head).is_ok() && is_packed(&head) {
        return read_archive(name, file, bounds, take);
    }
    if length > bounds.file() {
        return take(Found::wrong(name, bounds.too_large()));
    }
    // The end of a file is seen where there is room for a byte more.
    let mut bytes = Vec::with_capacity(usize::try_from(length).unwrap_or_default() + 1);
    // It may have grown since.
    let read = file.rewind().and_then(|()| file.take(bounds.file() + 1).read_to_end(&mut bytes));
    let bytes = match read {
        Ok(length) if length as u64 > bounds.file() => Err(bounds.too_large()),
        Ok(_) => Ok(bytes),
        Err(error) => Err(format!("cannot be read: {error}")),
    };
    take(Found { name: name.to_owned(), bytes });
}

/// Reads each file in an archive and gives it to `take`, one at a time.
fn read_archive(name: &str, file: impl Read + Seek, bounds: Bounds, take: &mut dyn FnMut(Found)) {
    let mut archive = match ZipArchive::new(file) {
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
            Ok(_) if is_packed(&bytes) => Err("packed within a packed file: unpack it first".to_owned()),
            Ok(_) => Ok(bytes),
        };
        take(Found { name: inner, bytes });
    }
}

/// Returns a name as it can be shown: without control characters, and cut.
pub fn shown(name: &str) -> String {
    name.chars().filter(|c| !c.is_control()).take(300).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::{Cursor, Write};
    use zip::write::{SimpleFileOptions, ZipWriter};

    fn packed(files: &[(&str, &[u8])]) -> Vec<u8> {
        let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
        for (name, bytes) in files {
            archive.start_file(*name, SimpleFileOptions::default()).unwrap();
            archive.write_all(bytes).unwrap();
        }
        archive.finish().unwrap().into_inner()
    }

    /// Reads a file of these bytes; tells each found file as its name and length, or its fault.
    fn told(bytes: &[u8]) -> Vec<String> {
        let bounds = Bounds { file_mb: 1, archive_mb: 3, files: 9 };
        let mut told = Vec::new();
        read("it", Cursor::new(bytes), bytes.len() as u64, bounds, &mut |Found { name, bytes }| {
            told.push(match bytes {
                Ok(bytes) => format!("{name} {}", bytes.len()),
                Err(why) => format!("{name} {why}"),
            });
        });
        told
    }

    #[test]
    fn names_in_an_archive_lead_nowhere() {
        let bytes = packed(&[("../../etc/day.html", b"abc"), ("/root/day.html", b"de"), ("a\u{1b}[2Jb\n", b"")]);
        assert_eq!(told(&bytes), ["it: ../../etc/day.html 3", "it: /root/day.html 2", "it: a[2Jb 0"]);
    }

    #[test]
    fn what_unpacks_to_too_much_is_refused_by_name() {
        let (much, more) = (vec![0; (1 << 20) + 1], vec![0; 900 << 10]);
        let bytes = packed(&[("bomb", &much), ("good", b"day"), ("1", &more), ("2", &more), ("3", &more), ("4", b"")]);
        assert!(bytes.len() < 16 << 10, "megabytes of nothing pack well");
        let told = told(&bytes);
        assert_eq!(told[0], "it: bomb larger than 1 MB and so no day file: take in the single days");
        assert_eq!(told[1], "it: good 3");
        assert_eq!(told[4], "it holds more than 3 MB: the rest was left out, unpack it by parts");
        assert_eq!(told.len(), 5);
        let many: Vec<String> = (0..10).map(|nth| nth.to_string()).collect();
        let many: Vec<(&str, &[u8])> = many.iter().map(|name| (name.as_str(), &b""[..])).collect();
        assert_eq!(self::told(&packed(&many)), ["it holds more than 9 files: unpack it by parts"]);
    }

    #[test]
    fn archives_in_archives_and_broken_ones_are_named() {
        let inner = packed(&[("day", b"x")]);
        assert_eq!(
            told(&packed(&[("inner.zip", &inner)])),
            ["it: inner.zip packed within a packed file: unpack it first"]
        );
        let mut cut = packed(&[("day", b"some words that are long enough")]);
        cut.truncate(40);
        assert!(told(&cut)[0].starts_with("it cannot be unpacked"));
    }
}
