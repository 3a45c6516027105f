//! Files packed into one, for whoever can save one file only.
//!
//! They are stored and not compressed: most are PDFs, which are already. No time stands
//! beside them, so the same files give the same bytes.

use std::io::{Cursor, Write};

use zip::CompressionMethod;
use zip::write::{SimpleFileOptions, ZipWriter};

/// A file into which others are packed.
pub struct Packing(ZipWriter<Cursor<Vec<u8>>>);

impl Default for Packing {
    fn default() -> Self {
        Self(ZipWriter::new(Cursor::default()))
    }
}

impl Packing {
    /// Puts a file in.
    ///
    /// # Errors
    /// In words, when one of that name is there, or it is too large.
    pub fn put(&mut self, name: &str, bytes: &[u8]) -> Result<(), String> {
        let options = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
        let named = |why: &dyn std::fmt::Display| format!("{name} cannot be packed: {why}");
        self.0.start_file(name, options).map_err(|why| named(&why))?;
        self.0.write_all(bytes).map_err(|why| named(&why))
    }

    /// Returns the packed file.
    ///
    /// # Errors
    /// In words, when it is too large.
    pub fn end(self) -> Result<Vec<u8>, String> {
        self.0.finish().map(Cursor::into_inner).map_err(|why| format!("the files cannot be packed: {why}"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unpack::{self, BOUNDS};

    #[test]
    fn what_is_packed_is_found_again_and_the_same_files_give_the_same_bytes() {
        let packed = || {
            let mut packing = Packing::default();
            packing.put("draft-1-1.xml", b"<Invoice/>").unwrap();
            packing.put("draft-1-1.pdf", b"%PDF").unwrap();
            assert!(packing.put("draft-1-1.pdf", b"%PDF").unwrap_err().starts_with("draft-1-1.pdf cannot be packed"));
            packing.end().unwrap()
        };
        let (file, mut found) = (packed(), Vec::new());
        let length = file.len() as u64;
        unpack::read("drafts.zip", Cursor::new(&file), length, BOUNDS, &mut |it| {
            found.push((it.name, it.bytes.unwrap()));
        });
        let expected = [("drafts.zip: draft-1-1.xml", &b"<Invoice/>"[..]), ("drafts.zip: draft-1-1.pdf", b"%PDF")];
        assert_eq!(found, expected.map(|(name, bytes)| (name.to_owned(), bytes.to_vec())));
        assert!(packed() == file);
    }
}
