//! What a batch of files puts into the tables of a server: many rows in one statement,
//! each where it is not there already, always in the order of their keys.

use std::collections::{BTreeMap, BTreeSet};

use postgres::{Row, Transaction};
use quaywright_core::id::{BlobId, DeviceId, EventId, Hash};

use super::{Asked, Value, device};
use quaywright_desk::store::{FileTaken, News};

/// How many rows go to the server at once.
const ROWS: usize = 500;

/// Puts rows of `width` values into a table, those that are there already left alone;
/// returns the columns `told` of the ones that were not.
pub(super) fn put(
    transaction: &mut Transaction<'_>,
    table: &str,
    told: &str,
    width: usize,
    values: &[Value<'_>],
) -> Asked<Vec<Row>> {
    let mut new = Vec::new();
    for some in values.chunks(width * ROWS) {
        let row = |nth: usize| {
            let marks: Vec<String> = (1..=width).map(|place| format!("${}", nth * width + place)).collect();
            format!("({})", marks.join(","))
        };
        let rows: Vec<String> = (0..some.len() / width).map(row).collect();
        let words = format!("INSERT INTO {table} VALUES {} ON CONFLICT DO NOTHING RETURNING {told}", rows.join(","));
        new.extend(transaction.query(&words, some)?);
    }
    Ok(new)
}

/// What a batch of files holds, in the order of keys: two programs that put the same never hold what the other waits for.
#[derive(Default)]
pub(super) struct Rows<'a> {
    files: BTreeMap<Hash, (&'a str, String)>,
    records: BTreeMap<(DeviceId, i64, Hash), &'a [u8]>,
    names: BTreeMap<(DeviceId, i64, Hash), &'a str>,
    photos: BTreeMap<BlobId, &'a [u8]>,
    together: BTreeSet<(DeviceId, DeviceId)>,
}

impl<'a> Rows<'a> {
    /// Returns what files hold beyond the lines that are kept.
    pub(super) fn of(files: &'a [FileTaken], kept: &BTreeSet<(EventId, Hash)>) -> Self {
        let mut rows = Self::default();
        for file in files {
            rows.files.insert(file.file, (&file.name, file.faults_text()));
            let new = file.records.iter().filter(|(id, hash, _)| !kept.contains(&(*id, *hash)));
            rows.records
                .extend(new.map(|(id, hash, line)| ((id.device, id.seq.cast_signed(), *hash), line.as_slice())));
            let names = file.names.iter();
            rows.names.extend(names.map(|(id, hash, name)| ((id.device, id.seq.cast_signed(), *hash), name.as_str())));
            rows.photos.extend(file.photos.iter().map(|(blob, bytes)| (*blob, bytes.as_slice())));
            rows.together.extend(file.together());
        }
        rows
    }

    /// Puts them into the tables; returns what of them was new.
    pub(super) fn put(&self, transaction: &mut Transaction<'_>) -> Asked<News> {
        let files: Vec<_> =
            self.files.iter().map(|(file, (name, faults))| (file.bytes().to_vec(), *name, faults)).collect();
        let values: Vec<Value<'_>> = files.iter().flat_map(|(a, b, c)| [a as Value<'_>, b, c]).collect();
        let files = put(transaction, "quay_files (file, name, faults)", "file", 3, &values)?.len();

        let keyed =
            |&(device, seq, hash): &(DeviceId, i64, Hash)| (device.bytes().to_vec(), seq, hash.bytes().to_vec());
        let records: Vec<_> = self.records.iter().map(|(key, line)| (keyed(key), *line)).collect();
        let values: Vec<Value<'_>> = records.iter().flat_map(|((a, b, c), d)| [a as Value<'_>, b, c, d]).collect();
        let new = put(transaction, "quay_records (device, seq, hash, line)", "device, seq", 4, &values)?;
        let mut heard: BTreeMap<DeviceId, i64> = BTreeMap::new();
        let mut news = News { files, ..News::default() };
        for row in &new {
            let device = device(row, 0)?;
            *heard.entry(device).or_default() += 1;
            news.records.insert(EventId { device, seq: row.try_get::<_, i64>(1)?.cast_unsigned() });
        }
        for (device, lines) in heard {
            let add = "INSERT INTO quay_heard (device, lines) VALUES ($1, $2)
                ON CONFLICT (device) DO UPDATE SET lines = quay_heard.lines + excluded.lines";
            transaction.execute(add, &[&&device.bytes()[..], &lines])?;
        }

        let names: Vec<_> = self.names.iter().map(|(key, name)| (keyed(key), *name)).collect();
        let values: Vec<Value<'_>> = names.iter().flat_map(|((a, b, c), d)| [a as Value<'_>, b, c, d]).collect();
        put(transaction, "quay_names (device, seq, hash, name)", "seq", 4, &values)?;
        for (blob, bytes) in &self.photos {
            let name = &blob.0.bytes()[..];
            news.photos += put(transaction, "quay_photos (blob, bytes)", "blob", 2, &[&name, bytes])?.len();
        }
        for (one, other) in &self.together {
            let (one, other) = (&one.bytes()[..], &other.bytes()[..]);
            put(transaction, "quay_together (one, other)", "one", 2, &[&one, &other])?;
        }
        Ok(news)
    }
}
