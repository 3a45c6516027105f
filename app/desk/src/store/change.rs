//! One change of a journal, as bytes.
//!
//! A byte tells which; then its fields in the order below. A number is eight bytes,
//! little-endian; bytes and text are their length as a number and themselves; a list is
//! how many as a number and each. The frame around it vouches for the bytes, so what does
//! not read was written by a newer program.
//!
//! | byte | change | fields |
//! |------|--------|--------|
//! | 1 | files taken in | list of files; list of photos: name, place, length |
//! | 2 | a file set aside | hash, name, bytes |
//! | 3 | columns kept | name, columns |
//! | 4 | an export | its file; list of lines: key, form |
//! | 5 | an export's file is written | number |
//! | 6 | a text kept | name, text |
//!
//! A file is: hash, name, list of devices, list of records (device, number, hash, line),
//! list of names (device, number, hash, name), list of faults.

use quaywright_core::id::{BlobId, DeviceId, EventId, Hash};

use super::journal::Place;
use super::{Aside, FileTaken, StoreError};

/// The form of changes that this program reads; a newer one has further bytes above.
const FORM: u32 = 1;

/// A change.
pub(super) enum Change {
    TakenIn { files: Vec<FileTaken>, photos: Vec<(BlobId, Place)> },
    SetAside(Aside),
    Columns { name: String, columns: String },
    Exported { file: Vec<u8>, lines: Vec<(String, String)> },
    Written(u32),
    Text { name: String, text: String },
}

impl Change {
    /// Tells whether it changes nothing.
    pub(super) fn is_nothing(&self) -> bool {
        matches!(self, Self::TakenIn { files, photos } if files.is_empty() && photos.is_empty())
    }

    /// Returns where the photos that it names end.
    pub(super) fn photos_end(&self) -> u64 {
        match self {
            Self::TakenIn { photos, .. } => {
                photos.iter().map(|(_, place)| place.at + u64::from(place.length)).max().unwrap_or_default()
            }
            _ => 0,
        }
    }

    /// Returns it as bytes.
    pub(super) fn written(&self) -> Vec<u8> {
        let mut out = Writer::default();
        match self {
            Self::TakenIn { files, photos } => {
                out.0.push(1);
                out.list(files, |out, file| out.file(file));
                out.list(photos, |out, (blob, place)| {
                    out.hash(blob.0);
                    out.number(place.at);
                    out.number(place.length.into());
                });
            }
            Self::SetAside(aside) => {
                out.0.push(2);
                out.hash(aside.file);
                out.bytes(aside.name.as_bytes());
                out.bytes(&aside.bytes);
            }
            Self::Columns { name, columns } => out.texts(3, name, columns),
            Self::Exported { file, lines } => {
                out.0.push(4);
                out.bytes(file);
                out.list(lines, |out, (key, form)| {
                    out.bytes(key.as_bytes());
                    out.bytes(form.as_bytes());
                });
            }
            Self::Written(number) => {
                out.0.push(5);
                out.number((*number).into());
            }
            Self::Text { name, text } => out.texts(6, name, text),
        }
        out.0
    }

    /// Reads a change.
    pub(super) fn read(bytes: &[u8]) -> Result<Self, StoreError> {
        let mut from = Reader(bytes);
        match from.change() {
            Some(change) if from.0.is_empty() => Ok(change),
            _ => Err(StoreError::Newer(FORM + 1)),
        }
    }
}

#[derive(Default)]
struct Writer(Vec<u8>);

impl Writer {
    fn number(&mut self, number: u64) {
        self.0.extend_from_slice(&number.to_le_bytes());
    }

    fn bytes(&mut self, bytes: &[u8]) {
        self.number(bytes.len() as u64);
        self.0.extend_from_slice(bytes);
    }

    fn texts(&mut self, which: u8, one: &str, other: &str) {
        self.0.push(which);
        self.bytes(one.as_bytes());
        self.bytes(other.as_bytes());
    }

    fn hash(&mut self, hash: Hash) {
        self.0.extend_from_slice(&hash.bytes());
    }

    fn device(&mut self, device: DeviceId) {
        self.0.extend_from_slice(&device.bytes());
    }

    fn list<T>(&mut self, list: &[T], each: impl Fn(&mut Self, &T)) {
        self.number(list.len() as u64);
        list.iter().for_each(|it| each(self, it));
    }

    fn record(&mut self, id: EventId, hash: Hash, bytes: &[u8]) {
        self.device(id.device);
        self.number(id.seq);
        self.hash(hash);
        self.bytes(bytes);
    }

    fn file(&mut self, file: &FileTaken) {
        self.hash(file.file);
        self.bytes(file.name.as_bytes());
        let devices: Vec<_> = file.devices.iter().copied().collect();
        self.list(&devices, |out, device| out.device(*device));
        self.list(&file.records, |out, (id, hash, line)| out.record(*id, *hash, line));
        self.list(&file.names, |out, (id, hash, name)| out.record(*id, *hash, name.as_bytes()));
        self.list(&file.faults, |out, fault| out.bytes(fault.as_bytes()));
    }
}

struct Reader<'a>(&'a [u8]);

impl<'a> Reader<'a> {
    fn change(&mut self) -> Option<Change> {
        let (which, rest) = self.0.split_first()?;
        self.0 = rest;
        Some(match which {
            1 => Change::TakenIn {
                files: self.list(Self::file)?,
                photos: self.list(|from| {
                    let blob = BlobId(from.hash()?);
                    let place = Place { at: from.number()?, length: from.number()?.try_into().ok()? };
                    place.at.checked_add(place.length.into())?;
                    Some((blob, place))
                })?,
            },
            2 => {
                let (file, name) = (self.hash()?, self.text()?);
                Change::SetAside(Aside { file, name, bytes: self.bytes()?.to_vec() })
            }
            3 => Change::Columns { name: self.text()?, columns: self.text()? },
            4 => {
                let file = self.bytes()?.to_vec();
                Change::Exported { file, lines: self.list(|from| Some((from.text()?, from.text()?)))? }
            }
            5 => Change::Written(self.number()?.try_into().ok()?),
            6 => Change::Text { name: self.text()?, text: self.text()? },
            _ => return None,
        })
    }

    fn take(&mut self, length: usize) -> Option<&'a [u8]> {
        let (taken, rest) = self.0.split_at_checked(length)?;
        self.0 = rest;
        Some(taken)
    }

    fn array<const N: usize>(&mut self) -> Option<[u8; N]> {
        self.take(N)?.try_into().ok()
    }

    fn number(&mut self) -> Option<u64> {
        self.array().map(u64::from_le_bytes)
    }

    fn bytes(&mut self) -> Option<&'a [u8]> {
        let length = usize::try_from(self.number()?).ok()?;
        self.take(length)
    }

    fn text(&mut self) -> Option<String> {
        String::from_utf8(self.bytes()?.to_vec()).ok()
    }

    fn hash(&mut self) -> Option<Hash> {
        self.array().map(Hash::from_bytes)
    }

    fn device(&mut self) -> Option<DeviceId> {
        self.array().map(DeviceId::new)
    }

    fn list<T>(&mut self, each: impl Fn(&mut Self) -> Option<T>) -> Option<Vec<T>> {
        let count = self.number()?;
        // Not made as long as it says at once: what it says is read only as far as there are bytes.
        let mut list = Vec::new();
        for _ in 0..count {
            list.push(each(self)?);
        }
        Some(list)
    }

    fn record(&mut self) -> Option<(EventId, Hash, &'a [u8])> {
        let id = EventId { device: self.device()?, seq: self.number()? };
        Some((id, self.hash()?, self.bytes()?))
    }

    fn file(&mut self) -> Option<FileTaken> {
        let (file, name) = (self.hash()?, self.text()?);
        let devices = self.list(Self::device)?.into_iter().collect();
        let records = self.list(|from| from.record().map(|(id, hash, line)| (id, hash, line.to_vec())))?;
        let names = self.list(|from| {
            let (id, hash, name) = from.record()?;
            Some((id, hash, String::from_utf8(name.to_vec()).ok()?))
        })?;
        let faults = self.list(Self::text)?;
        Some(FileTaken { file, name, devices, records, names, photos: Vec::new(), faults })
    }
}
