//! Paths to files: folders opened up, and each file read within bounds.
//!
//! What claims to be larger than a day file can be is refused by name before it is
//! read. Links inside folders are not followed.

use std::fs::{self, File};
use std::path::{Path, PathBuf};

use quaywright_desk::unpack::{self, Bounds, Found, shown};

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
    // Whoever opened a pipe would wait until somebody writes to it.
    if fs::metadata(path).is_ok_and(|it| !it.is_file() && !it.is_dir()) {
        return take(Found::wrong(name, "is a pipe or a device, and no file: copy what it gives into one"));
    }
    match File::open(path) {
        Ok(file) => {
            let length = file.metadata().map_or(0, |it| it.len());
            unpack::read(&name, file, length, bounds, take);
        }
        Err(error) => take(Found::wrong(name, format!("cannot be read: {error}"))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quaywright_desk::unpack::BOUNDS;

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
    fn what_is_no_file_is_named_and_not_waited_for() {
        let mut told = Vec::new();
        read(Path::new("/dev/null"), BOUNDS, &mut |found| told.push(found.bytes.unwrap_err()));
        assert_eq!(told, ["is a pipe or a device, and no file: copy what it gives into one"]);
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
