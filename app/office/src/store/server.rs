//! The store on a server that speaks PostgreSQL's protocol.
//!
//! For a shop that one file does not serve. SQL is kept to what servers that
//! spread their tables over many machines share with PostgreSQL: explicit primary
//! keys, no running numbers, no locks of its own, no tables made within a
//! transaction, short transactions. Rule: a change is one SERIALIZABLE
//! transaction; when the server says that two got into each other's way (40001,
//! 40P01), it is done again from its beginning, a bounded number of times and each
//! time after a longer wait. The line to the server is not encrypted by this
//! program: run both on one machine or in a network of your own.

mod rows;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};
use std::thread;
use std::time::{Duration, SystemTime, UNIX_EPOCH};

use postgres::error::SqlState;
use postgres::fallible_iterator::FallibleIterator as _;
use postgres::types::ToSql;
use postgres::{Client, IsolationLevel, NoTls, Row, Transaction};
use quaywright_core::id::{BlobId, DeviceId, EventId, Hash};

use quaywright_desk::store::{Aside, Derived, Export, FileTaken, News, Sent, Store, StoreError};
use rows::{Rows, put};

/// The form of the tables that this program makes and reads.
const VERSION: i32 = 1;
/// How often a change is tried.
const TRIES: u32 = 12;
/// How long is waited before the second try; each further wait is twice as long.
const FIRST_WAIT: Duration = Duration::from_millis(10);
/// The longest wait.
const LONGEST_WAIT: Duration = Duration::from_secs(1);

/// Each is made by itself; where it is there already, nothing happens.
const TABLES: [&str; 11] = [
    "quay_files (file BYTEA PRIMARY KEY, name TEXT NOT NULL, faults TEXT NOT NULL)",
    "quay_together (one BYTEA, other BYTEA, PRIMARY KEY (one, other))",
    "quay_records (device BYTEA, seq BIGINT, hash BYTEA, line BYTEA NOT NULL, PRIMARY KEY (device, seq, hash))",
    "quay_heard (device BYTEA PRIMARY KEY, lines BIGINT NOT NULL)",
    "quay_names (device BYTEA, seq BIGINT, hash BYTEA, name TEXT NOT NULL, PRIMARY KEY (device, seq, hash))",
    "quay_photos (blob BYTEA PRIMARY KEY, bytes BYTEA NOT NULL)",
    "quay_aside (file BYTEA PRIMARY KEY, name TEXT NOT NULL, bytes BYTEA NOT NULL)",
    "quay_columns (name TEXT PRIMARY KEY, columns TEXT NOT NULL)",
    "quay_exports (number BIGINT PRIMARY KEY, file BYTEA NOT NULL, written BOOLEAN NOT NULL)",
    "quay_sent (export BIGINT, place BIGINT, key TEXT NOT NULL, form TEXT NOT NULL, PRIMARY KEY (export, place))",
    "quay_derived (name TEXT PRIMARY KEY, stamp TEXT NOT NULL, bytes BYTEA NOT NULL)",
];
/// Made last, so that whoever finds it finds all.
const FORM: &str = "quay_form (version INT PRIMARY KEY)";

/// The store.
pub(crate) struct Server {
    client: Client,
}

fn failed(error: postgres::Error) -> StoreError {
    match (error.code(), error.as_db_error()) {
        (Some(code), _) if *code == SqlState::UNDEFINED_TABLE => StoreError::Missing,
        (_, Some(of_server)) => StoreError::Engine(of_server.message().to_owned()),
        // Its own words end where the cause begins.
        _ => {
            let cause = std::error::Error::source(&error).map(|cause| format!(": {cause}")).unwrap_or_default();
            StoreError::Engine(format!("{error}{cause}"))
        }
    }
}

type Asked<T> = Result<T, postgres::Error>;
type Value<'a> = &'a (dyn ToSql + Sync);

impl Server {
    /// Opens the store on a server, and makes its tables where there are none.
    pub(crate) fn open(address: &str) -> Result<Self, StoreError> {
        let mut server = Self { client: Client::connect(address, NoTls).map_err(failed)? };
        match server.version() {
            Err(StoreError::Missing) => {
                for table in TABLES.iter().chain([&FORM]) {
                    again(|| server.client.batch_execute(&format!("CREATE TABLE IF NOT EXISTS {table}")))?;
                }
                let put = "INSERT INTO quay_form (version) VALUES ($1) ON CONFLICT DO NOTHING";
                again(|| server.client.execute(put, &[&VERSION]))?;
                server.version()?;
            }
            known => known?,
        }
        Ok(server)
    }

    /// Opens a store that has to be there.
    pub(crate) fn there(address: &str) -> Result<Self, StoreError> {
        let mut server = Self { client: Client::connect(address, NoTls).map_err(failed)? };
        server.version()?;
        Ok(server)
    }

    fn version(&mut self) -> Result<(), StoreError> {
        let last = "SELECT coalesce(max(version), 0) FROM quay_form";
        let version = self.client.query_one(last, &[]).and_then(|row| row.try_get::<_, i32>(0));
        match version.map_err(failed)? {
            VERSION => Ok(()),
            0 => Err(StoreError::Missing),
            newer => Err(StoreError::Newer(newer.cast_unsigned())),
        }
    }

    /// Does a change in one transaction, and does it again when others got into its way.
    fn change<T>(&mut self, work: impl Fn(&mut Transaction<'_>) -> Asked<T>) -> Result<T, StoreError> {
        again(|| {
            let mut transaction =
                self.client.build_transaction().isolation_level(IsolationLevel::Serializable).start()?;
            let done = work(&mut transaction)?;
            transaction.commit()?;
            Ok(done)
        })
    }

    fn all<T>(&mut self, query: &str, read: impl Fn(&Row) -> Asked<T>) -> Result<Vec<T>, StoreError> {
        let mut all = Vec::new();
        self.each(query, &[], |row| read(row).map(|it| all.push(it)))?;
        Ok(all)
    }

    /// Gives each row to `take`, so that they need not lie in memory together.
    fn each(
        &mut self,
        query: &str,
        values: &[Value<'_>],
        mut take: impl FnMut(&Row) -> Asked<()>,
    ) -> Result<(), StoreError> {
        let mut ask = || {
            let mut rows = self.client.query_raw(query, values.iter().copied())?;
            while let Some(row) = rows.next()? {
                take(&row)?;
            }
            Ok(())
        };
        ask().map_err(failed)
    }

    /// Asks for the row that there may be.
    fn one<T>(
        &mut self,
        query: &str,
        values: &[Value<'_>],
        read: impl FnOnce(Row) -> Asked<T>,
    ) -> Result<Option<T>, StoreError> {
        let row = self.client.query_opt(query, values).map_err(failed)?;
        row.map(read).transpose().map_err(failed)
    }

    /// Returns which lines of some devices are kept; what is kept stays, so this holds later too.
    fn kept(&mut self, devices: &BTreeSet<DeviceId>) -> Result<BTreeSet<(EventId, Hash)>, StoreError> {
        let mut kept = BTreeSet::new();
        for &device in devices {
            self.each("SELECT seq, hash FROM quay_records WHERE device = $1", &[&&device.bytes()[..]], |row| {
                let seq = row.try_get::<_, i64>(0)?.cast_unsigned();
                kept.insert((EventId { device, seq }, hash(row, 1)?));
                Ok(())
            })?;
        }
        Ok(kept)
    }
}

/// Does something until it is done, or fails otherwise than by another's being in the way.
fn again<T>(mut work: impl FnMut() -> Asked<T>) -> Result<T, StoreError> {
    let mut wait = FIRST_WAIT;
    for _ in 1..TRIES {
        match work() {
            Err(error) if is_in_the_way(&error) => thread::sleep(wait + unevenly(wait)),
            done => return done.map_err(failed),
        }
        wait = LONGEST_WAIT.min(wait * 2);
    }
    match work() {
        Err(error) if is_in_the_way(&error) => Err(StoreError::Busy),
        done => done.map_err(failed),
    }
}

fn is_in_the_way(error: &postgres::Error) -> bool {
    // Two that make the same table at once find each other's in the server's own tables.
    let codes = [
        SqlState::T_R_SERIALIZATION_FAILURE,
        SqlState::T_R_DEADLOCK_DETECTED,
        SqlState::DUPLICATE_TABLE,
        SqlState::UNIQUE_VIOLATION,
    ];
    error.code().is_some_and(|code| codes.contains(code))
}

/// Returns up to as long a wait again, so that two do not meet over and over.
fn unevenly(wait: Duration) -> Duration {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    let parts = since.subsec_nanos().wrapping_add(std::process::id().wrapping_mul(7_919)) % 1_000;
    wait * parts / 1_000
}

fn bytes_of<const N: usize>(row: &Row, column: usize) -> Asked<[u8; N]> {
    let mut bytes = [0; N];
    let kept: &[u8] = row.try_get(column)?;
    // Only ours write these columns; of another length it is another's name.
    if kept.len() == N {
        bytes.copy_from_slice(kept);
    }
    Ok(bytes)
}

fn hash(row: &Row, column: usize) -> Asked<Hash> {
    bytes_of(row, column).map(Hash::from_bytes)
}

fn device(row: &Row, column: usize) -> Asked<DeviceId> {
    bytes_of(row, column).map(DeviceId::new)
}

impl Store for Server {
    fn files(&mut self) -> Result<BTreeSet<Hash>, StoreError> {
        Ok(self.all("SELECT file FROM quay_files", |row| hash(row, 0))?.into_iter().collect())
    }

    fn faults_of(&mut self, file: Hash) -> Result<Option<Vec<String>>, StoreError> {
        let which = "SELECT faults FROM quay_files WHERE file = $1";
        let faults = self.one(which, &[&&file.bytes()[..]], |row| row.try_get(0))?;
        Ok(faults.map(|faults: String| faults.lines().map(str::to_owned).collect()))
    }

    fn take_in(&mut self, files: &[FileTaken]) -> Result<News, StoreError> {
        let devices = files.iter().flat_map(|file| file.devices.iter().copied()).collect();
        let kept = self.kept(&devices)?;
        let rows = Rows::of(files, &kept);
        self.change(|transaction| rows.put(transaction))
    }

    fn set_aside(&mut self, aside: &Aside) -> Result<(), StoreError> {
        let put = "INSERT INTO quay_aside (file, name, bytes) VALUES ($1, $2, $3) ON CONFLICT DO NOTHING";
        self.change(|it| it.execute(put, &[&&aside.file.bytes()[..], &aside.name, &aside.bytes]).map(drop))
    }

    fn aside(&mut self) -> Result<Vec<(Hash, String)>, StoreError> {
        let left = "SELECT file, name FROM quay_aside
            WHERE file NOT IN (SELECT file FROM quay_files) ORDER BY name, file";
        self.all(left, |row| Ok((hash(row, 0)?, row.try_get(1)?)))
    }

    fn brought_back(&mut self, file: Hash) -> Result<Option<Aside>, StoreError> {
        let which = "SELECT name, bytes FROM quay_aside WHERE file = $1";
        let aside = |row: Row| Ok(Aside { file, name: row.try_get(0)?, bytes: row.try_get(1)? });
        self.one(which, &[&&file.bytes()[..]], aside)
    }

    fn photo(&mut self, blob: BlobId) -> Result<Option<Vec<u8>>, StoreError> {
        let which = "SELECT bytes FROM quay_photos WHERE blob = $1";
        self.one(which, &[&&blob.0.bytes()[..]], |row| row.try_get(0))
    }

    fn records_of(&mut self, device: DeviceId, take: &mut dyn FnMut(EventId, &[u8])) -> Result<(), StoreError> {
        let all = "SELECT seq, line FROM quay_records WHERE device = $1 ORDER BY seq, hash";
        self.each(all, &[&&device.bytes()[..]], |row| {
            take(EventId { device, seq: row.try_get::<_, i64>(0)?.cast_unsigned() }, row.try_get(1)?);
            Ok(())
        })
    }

    fn devices(&mut self) -> Result<Vec<(DeviceId, Option<String>)>, StoreError> {
        let all = "SELECT device, (SELECT name FROM quay_names WHERE quay_names.device = quay_heard.device
            ORDER BY seq DESC, hash LIMIT 1) FROM quay_heard ORDER BY device";
        self.all(all, |row| Ok((device(row, 0)?, row.try_get(1)?)))
    }

    fn heard(&mut self) -> Result<BTreeMap<DeviceId, u64>, StoreError> {
        let read = |row: &Row| Ok((device(row, 0)?, row.try_get::<_, i64>(1)?.cast_unsigned()));
        Ok(self.all("SELECT device, lines FROM quay_heard", read)?.into_iter().collect())
    }

    fn together(&mut self) -> Result<Vec<(DeviceId, DeviceId)>, StoreError> {
        let all = "SELECT one, other FROM quay_together ORDER BY one, other";
        self.all(all, |row| Ok((device(row, 0)?, device(row, 1)?)))
    }

    fn keep_columns(&mut self, name: &str, columns: &str) -> Result<(), StoreError> {
        let put = "INSERT INTO quay_columns (name, columns) VALUES ($1, $2)
            ON CONFLICT (name) DO UPDATE SET columns = excluded.columns";
        self.change(|it| it.execute(put, &[&name, &columns]).map(drop))
    }

    fn columns(&mut self, name: &str) -> Result<Option<String>, StoreError> {
        self.one("SELECT columns FROM quay_columns WHERE name = $1", &[&name], |row| row.try_get(0))
    }

    fn sent(&mut self) -> Result<Vec<Sent>, StoreError> {
        self.all("SELECT key, export, form FROM quay_sent ORDER BY export, place", |row| {
            Ok(Sent { key: row.try_get(0)?, export: number(row, 1)?, form: row.try_get(2)? })
        })
    }

    fn sent_of(&mut self, after: u32, device: Option<DeviceId>) -> Result<Vec<Sent>, StoreError> {
        let some = "SELECT key, export, form FROM quay_sent WHERE export > $1
            AND ($2::TEXT IS NULL OR substr(key, 1, 17) = $2) ORDER BY export, place";
        let device = device.map(|device| format!("{device}-"));
        let mut all = Vec::new();
        self.each(some, &[&i64::from(after), &device], |row| {
            all.push(Sent { key: row.try_get(0)?, export: number(row, 1)?, form: row.try_get(2)? });
            Ok(())
        })?;
        Ok(all)
    }

    fn last_export(&mut self) -> Result<u32, StoreError> {
        let last = "SELECT coalesce(max(number), 0) FROM quay_exports";
        Ok(self.one(last, &[], |row| number(&row, 0))?.unwrap_or_default())
    }

    fn export(&mut self, seen: u32, file: &[u8], lines: &[(String, String)]) -> Result<Option<u32>, StoreError> {
        self.change(|transaction| {
            let last = transaction.query_one("SELECT coalesce(max(number), 0) FROM quay_exports", &[])?;
            if number(&last, 0)? != seen {
                return Ok(None);
            }
            let next = i64::from(seen) + 1;
            let put_file = "INSERT INTO quay_exports (number, file, written) VALUES ($1, $2, FALSE)";
            transaction.execute(put_file, &[&next, &file])?;
            let places: Vec<i64> = (0..).take(lines.len()).collect();
            let rows = places.iter().zip(lines);
            let values: Vec<Value<'_>> =
                rows.flat_map(|(place, (key, form))| [&next as Value<'_>, place, key, form]).collect();
            put(transaction, "quay_sent (export, place, key, form)", "place", 4, &values)?;
            Ok(Some(seen + 1))
        })
    }

    fn exported(&mut self, which: Option<u32>) -> Result<Option<Export>, StoreError> {
        let query = "SELECT number, file, written FROM quay_exports
            WHERE $1::BIGINT IS NULL OR number = $1 ORDER BY number DESC LIMIT 1";
        let export =
            |row: Row| Ok(Export { number: number(&row, 0)?, file: row.try_get(1)?, written: row.try_get(2)? });
        self.one(query, &[&which.map(i64::from)], export)
    }

    fn written(&mut self, number: u32) -> Result<(), StoreError> {
        let note = "UPDATE quay_exports SET written = TRUE WHERE number = $1";
        self.change(|it| it.execute(note, &[&i64::from(number)]).map(drop))
    }

    fn derived(&mut self, name: &str) -> Result<Option<Derived>, StoreError> {
        let which = "SELECT name, stamp, bytes FROM quay_derived WHERE name = $1";
        self.one(which, &[&name], |row| {
            Ok(Derived { name: row.try_get(0)?, stamp: row.try_get(1)?, bytes: row.try_get(2)? })
        })
    }

    fn keep_derived(&mut self, derived: &Derived) -> Result<(), StoreError> {
        let put = "INSERT INTO quay_derived (name, stamp, bytes) VALUES ($1, $2, $3)
            ON CONFLICT (name) DO UPDATE SET stamp = excluded.stamp, bytes = excluded.bytes";
        self.change(|it| it.execute(put, &[&derived.name, &derived.stamp, &derived.bytes]).map(drop))
    }
}

fn number(row: &Row, column: usize) -> Asked<u32> {
    // Exports are counted from 1 and by this program only.
    Ok(u32::try_from(row.try_get::<_, i64>(column)?).unwrap_or(u32::MAX))
}
