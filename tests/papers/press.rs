//! Makes documents as the worker does, and asks programs of others what they see.

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};

use quaywright_core::id::{BlobId, DeviceId};
use quaywright_core::moment::Moment;
use quaywright_papers::wire::{Answer, Ask, Paper, Photos, TooMuch};
use quaywright_papers::work::{Outlet, Work};

/// The page at the other end.
#[derive(Default)]
struct Page {
    written: Vec<u8>,
    made: Option<(String, Vec<u8>)>,
    answers: Vec<Answer>,
}

impl Outlet for Page {
    fn write(&mut self, bytes: &[u8]) {
        self.written.extend_from_slice(bytes);
    }

    fn hand_out(&mut self, name: &str, _kind: &str, bytes: BlobId) {
        let file = std::mem::take(&mut self.written);
        assert_eq!(bytes, BlobId::of(&file), "{name}");
        self.made = Some((name.to_owned(), file));
    }

    fn hand_out_whole(&mut self, name: &str, _kind: &str, file: &[u8]) {
        assert!(self.written.is_empty(), "{name}");
        self.made = Some((name.to_owned(), file.to_vec()));
    }

    fn answer(&mut self, answer: Answer, _beside: &[u8]) {
        self.answers.push(answer);
    }
}

/// A document that was made.
pub(crate) struct Sheaf {
    /// Its name.
    pub(crate) name: String,
    /// Its bytes.
    pub(crate) bytes: Vec<u8>,
    /// What was said of it.
    pub(crate) faults: Vec<String>,
}

/// Makes a document of a log's lines.
pub(crate) fn press(
    lines: &[Vec<u8>],
    device: DeviceId,
    now: Moment,
    paper: Paper,
    photo: impl Fn(BlobId) -> Option<Vec<u8>>,
) -> Sheaf {
    pressed(lines, Ask::Make { paper, now, device: Some(device), photos: Photos::Whole }, photo)
        .expect("room for the photos")
}

/// Makes a document, perhaps of smaller photos; or says how many bytes of photos are too much.
pub(crate) fn pressed(
    lines: &[Vec<u8>],
    make: Ask,
    photo: impl Fn(BlobId) -> Option<Vec<u8>>,
) -> Result<Sheaf, TooMuch> {
    let (mut work, mut page) = (Work::default(), Page::default());
    work.hear(&Ask::Lines, &lines.join(&b'\n'), &mut page);
    work.hear(&make, &[], &mut page);
    let shot = if matches!(make, Ask::Make { photos: Photos::Smaller, .. }) { Ask::Smaller } else { Ask::Photo };
    let mut faults = Vec::new();
    let mut heard = 0;
    while let Some(answer) = page.answers.get(heard).cloned() {
        heard += 1;
        match answer {
            Answer::Wanted { blob, .. } | Answer::Another(blob) => match photo(blob) {
                Some(bytes) => work.hear(&shot, &bytes, &mut page),
                None => work.hear(&Ask::NoPhoto, &[], &mut page),
            },
            Answer::Fault(words) => faults.push(words),
            Answer::TooMuch(much) => return Err(much),
            other => panic!("{other:?}"),
        }
    }
    let (name, bytes) = page.made.expect("a document");
    Ok(Sheaf { name, bytes, faults })
}

impl Sheaf {
    /// Lays the document down where other programs can read it.
    pub(crate) fn lay(&self) -> (tempfile::TempDir, PathBuf) {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join(&self.name);
        fs::write(&file, &self.bytes).unwrap();
        if let Some(shown) = std::env::var_os("QUAYWRIGHT_PAPERS") {
            fs::write(PathBuf::from(shown).join(&self.name), &self.bytes).unwrap();
        }
        (folder, file)
    }

    /// Returns a file that the document carries, as another program finds it.
    #[track_caller]
    pub(crate) fn attached(&self, name: &str) -> Vec<u8> {
        let (folder, file) = self.lay();
        let out = folder.path().join(name);
        let detach = Command::new("pdfdetach").args(["-savefile", name, "-o"]).arg(&out).arg(&file).output().unwrap();
        assert!(detach.status.success(), "{name}: {detach:?}");
        fs::read(out).unwrap()
    }

    /// Returns what a program says of the document, which must be content with it.
    #[track_caller]
    pub(crate) fn asked(&self, program: &str, words: &[&str]) -> String {
        let (_folder, file) = self.lay();
        let file = file.to_str().unwrap();
        let words: Vec<&str> = words.iter().map(|&word| if word == "FILE" { file } else { word }).collect();
        let Output { status, stdout, stderr } = Command::new(program).args(&words).output().unwrap_or_else(|error| {
            panic!("{program}: {error}; cargo xtask test installs it, by hand: apt-get install qpdf poppler-utils")
        });
        let (said, warned) = (String::from_utf8_lossy(&stdout), String::from_utf8_lossy(&stderr));
        // This poppler takes the flag `Suspects false`, which PDF/UA wants, for a fault (ISO 32000-1, table 321: a boolean).
        let warned = warned.replace("Syntax Error: Suspects object is wrong type (boolean)\n", "");
        assert!(status.success() && warned.is_empty(), "{program} of {}: {said}\n{warned}", self.name);
        said.into_owned()
    }
}
