//! Files that are written: whole or not at all, and never over the store.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use crate::tasks::NotDone;

/// What the store's own file may have beside it while it is written.
const OF_THE_STORE: [&str; 4] = ["", "-journal", "-wal", "-shm"];
/// Under what ending a file is written before it is whole.
const PART: &str = ".part";

/// A file to write to.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Target<'a>(&'a Path);

impl<'a> Target<'a> {
    /// Returns it where it is not the store, whatever it is called.
    ///
    /// # Errors
    /// When writing it would replace the store.
    pub(crate) fn beside(store: &str, file: &'a Path) -> Result<Self, NotDone> {
        let store = place(Path::new(store));
        let written = [place(file), place(&with_ending(file, PART))];
        let is_store = OF_THE_STORE.iter().any(|ending| written.contains(&with_ending(&store, ending)));
        if is_store { Err(NotDone::IsStore { file: file.to_owned() }) } else { Ok(Self(file)) }
    }

    /// Returns it where there is no store.
    pub(crate) const fn alone(file: &'a Path) -> Self {
        Self(file)
    }

    /// Returns where it is.
    pub(crate) const fn path(self) -> &'a Path {
        self.0
    }

    /// Writes it so that it is there whole or not at all.
    pub(crate) fn write(self, bytes: &[u8]) -> Result<(), NotDone> {
        let beside = with_ending(self.0, PART);
        let write = || -> io::Result<()> {
            let mut part = fs::File::create(&beside)?;
            part.write_all(bytes)?;
            part.sync_all()?;
            fs::rename(&beside, self.0)
        };
        write().map_err(|why| NotDone::Unwritten { file: self.0.to_owned(), why })
    }
}

fn with_ending(file: &Path, ending: &str) -> PathBuf {
    let mut name = file.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

/// Returns where a file is, or would be, however the way to it is written.
fn place(file: &Path) -> PathBuf {
    let in_folder = || {
        let folder = file.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        Some(folder.canonicalize().ok()?.join(file.file_name()?))
    };
    file.canonicalize().ok().or_else(in_folder).unwrap_or_else(|| file.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_way_to_the_store_is_a_file_to_write_to() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::create_dir(at("tables")).unwrap();
        fs::write(at("shop.quay"), b"store").unwrap();
        fs::write(at("shop.csv.part"), b"store").unwrap();
        let is_refused = |store: &str, file: &str| {
            let file = at(file);
            Target::beside(at(store).to_str().unwrap(), &file).is_err()
        };
        for way in ["shop.quay", "tables/../shop.quay", "./shop.quay", "shop.quay-journal", "shop.quay-wal"] {
            assert!(is_refused("shop.quay", way), "{way}");
        }
        // What is written first lies beside the file until it is whole.
        assert!(is_refused("shop.csv.part", "shop.csv"));
        for way in ["shop.csv", "tables/shop.quay", "shop.quay.csv", "missing/shop.quay"] {
            assert!(!is_refused("shop.quay", way), "{way}");
        }
        assert!(Target::beside("postgres://office@server/shop", &at("shop.csv")).is_ok());
    }

    #[cfg(unix)]
    #[test]
    fn a_link_is_what_it_leads_to() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::create_dir(at("real")).unwrap();
        fs::write(at("real/shop.quay"), b"store").unwrap();
        std::os::unix::fs::symlink(at("real/shop.quay"), at("table.csv")).unwrap();
        std::os::unix::fs::symlink(at("real"), at("folder")).unwrap();
        let store = at("real/shop.quay");
        let is_refused = |store: &Path, file: &str| Target::beside(store.to_str().unwrap(), &at(file)).is_err();
        assert!(is_refused(&store, "table.csv") && is_refused(&store, "folder/shop.quay"));
        assert!(is_refused(&at("table.csv"), "real/shop.quay") && is_refused(&at("folder/shop.quay"), "table.csv"));
        assert!(is_refused(&at("table.csv"), "folder/shop.quay-journal"));
        assert!(!is_refused(&store, "folder/table.csv"));
    }
}
