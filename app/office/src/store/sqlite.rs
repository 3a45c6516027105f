//! The store in one SQLite file.
//!
//! SQL is kept to what other engines share: plain tables, primary keys,
//! `ON CONFLICT DO NOTHING`, short transactions. The journal is the default one,
//! which leaves a single file behind and brings the last transaction back after
//! a kill; each transaction is on the disk before it counts. A number of a record
//! beyond what the engine counts, which only a made-up line has, is kept by its bits.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::time::Duration;

use quaywright_core::id::{BlobId, DeviceId, EventId, Hash};
use rusqlite::{Connection, OptionalExtension, Params, Row, Transaction, TransactionBehavior, params};

use quaywright_desk::store::{Aside, Derived, Export, FileTaken, News, Sent, Store, StoreError};

/// The form of the tables that this program makes and reads.
const VERSION: u32 = 2;
/// Marks the file as ours: the letters `Quay`.
const APPLICATION: u32 = 0x5175_6179;
/// How much of the file is held in memory, in units of 1,024 bytes.
const CACHE_KIB: i32 = 32 << 10;
/// How long one program waits for another that is taking in.
const PATIENCE: Duration = Duration::from_secs(60);

const TABLES: &str = "
CREATE TABLE files (file BLOB NOT NULL PRIMARY KEY, name TEXT NOT NULL, faults TEXT NOT NULL);
CREATE TABLE together (one BLOB NOT NULL, other BLOB NOT NULL, PRIMARY KEY (one, other));
CREATE TABLE records (device BLOB NOT NULL, seq INTEGER NOT NULL, hash BLOB NOT NULL, line BLOB NOT NULL,
    PRIMARY KEY (device, seq, hash)) WITHOUT ROWID;
CREATE TABLE names (device BLOB NOT NULL, seq INTEGER NOT NULL, hash BLOB NOT NULL, name TEXT NOT NULL,
    PRIMARY KEY (device, seq, hash)) WITHOUT ROWID;
CREATE TABLE photos (blob BLOB NOT NULL PRIMARY KEY, bytes BLOB NOT NULL);
CREATE TABLE aside (file BLOB NOT NULL PRIMARY KEY, name TEXT NOT NULL, bytes BLOB NOT NULL);
CREATE TABLE columns (name TEXT NOT NULL PRIMARY KEY, columns TEXT NOT NULL);
CREATE TABLE exports (number INTEGER NOT NULL PRIMARY KEY, file BLOB NOT NULL, written INTEGER NOT NULL);
CREATE TABLE sent (export INTEGER NOT NULL, place INTEGER NOT NULL, key TEXT NOT NULL, form TEXT NOT NULL,
    PRIMARY KEY (export, place));
";

/// What the second form has beyond the first.
const MORE_TABLES: &str = "
CREATE TABLE heard (device BLOB NOT NULL PRIMARY KEY, lines INTEGER NOT NULL) WITHOUT ROWID;
CREATE TABLE derived (name TEXT NOT NULL PRIMARY KEY, stamp TEXT NOT NULL, bytes BLOB NOT NULL);
INSERT INTO heard (device, lines) SELECT device, count(*) FROM records GROUP BY device;
";

/// The store.
pub(crate) struct Sqlite {
    connection: Connection,
}

/// What the engine answers.
type Asked<T> = Result<T, rusqlite::Error>;

fn failed(error: rusqlite::Error) -> StoreError {
    match error.sqlite_error_code() {
        Some(rusqlite::ErrorCode::NotADatabase) => StoreError::Foreign,
        _ => StoreError::Engine(error.to_string()),
    }
}

impl Sqlite {
    /// Opens the store in a file, and makes it where there is none.
    pub(crate) fn open(file: &Path) -> Result<Self, StoreError> {
        Self::ready(Connection::open(file).map_err(failed)?)
    }

    /// Opens the store in a file that has to be there.
    pub(crate) fn there(file: &Path) -> Result<Self, StoreError> {
        if file.exists() { Self::open(file) } else { Err(StoreError::Missing) }
    }

    fn ready(mut connection: Connection) -> Result<Self, StoreError> {
        match prepared(&mut connection).map_err(failed)? {
            Form::Ours => Ok(Self { connection }),
            Form::Newer(version) => Err(StoreError::Newer(version)),
            Form::Foreign => Err(StoreError::Foreign),
        }
    }

    /// Does a change in one transaction.
    fn change<T>(&mut self, work: impl FnOnce(&Transaction<'_>) -> Asked<T>) -> Result<T, StoreError> {
        let change = || {
            let transaction = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
            let done = work(&transaction)?;
            transaction.commit()?;
            Ok(done)
        };
        change().map_err(failed)
    }

    /// Asks one statement for all its rows.
    fn all<T>(&self, query: &str, read: impl FnMut(&Row<'_>) -> Asked<T>) -> Result<Vec<T>, StoreError> {
        let ask = || self.connection.prepare_cached(query)?.query_map([], read)?.collect::<Asked<_>>();
        ask().map_err(failed)
    }

    /// Asks one statement for the row that there may be.
    fn one<T>(
        &self,
        query: &str,
        values: impl Params,
        read: impl FnOnce(&Row<'_>) -> Asked<T>,
    ) -> Result<Option<T>, StoreError> {
        let ask = || self.connection.prepare_cached(query)?.query_row(values, read).optional();
        ask().map_err(failed)
    }

    fn put(&self, statement: &str, values: impl Params) -> Result<(), StoreError> {
        self.connection.execute(statement, values).map(drop).map_err(failed)
    }
}

/// Whose tables a file has.
enum Form {
    Ours,
    Newer(u32),
    Foreign,
}

/// Makes the tables of a fresh file, and those that an earlier form lacks.
fn prepared(connection: &mut Connection) -> Asked<Form> {
    connection.busy_timeout(PATIENCE)?;
    connection.pragma_update(None, "synchronous", "FULL")?;
    // What a batch touches stays in memory until it is kept.
    connection.pragma_update(None, "cache_size", -CACHE_KIB)?;
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let pragma = |name| transaction.query_row(&format!("PRAGMA {name}"), [], |row| row.get::<_, u32>(0));
    let tables: u32 = transaction.query_row("SELECT count(*) FROM sqlite_master", [], |row| row.get(0))?;
    match (pragma("application_id")?, pragma("user_version")?) {
        (0, 0) if tables == 0 => {
            transaction.execute_batch(TABLES)?;
            transaction.execute_batch(MORE_TABLES)?;
        }
        (APPLICATION, 1) => transaction.execute_batch(MORE_TABLES)?,
        (APPLICATION, VERSION) => {}
        (APPLICATION, newer) => return Ok(Form::Newer(newer)),
        _ => return Ok(Form::Foreign),
    }
    if pragma("user_version")? != VERSION {
        transaction
            .execute_batch(&format!("PRAGMA application_id = {APPLICATION}; PRAGMA user_version = {VERSION};"))?;
    }
    transaction.commit()?;
    Ok(Form::Ours)
}

impl Store for Sqlite {
    fn files(&mut self) -> Result<BTreeSet<Hash>, StoreError> {
        Ok(self.all("SELECT file FROM files", |row| Ok(Hash::from_bytes(row.get(0)?)))?.into_iter().collect())
    }

    fn faults_of(&mut self, file: Hash) -> Result<Option<Vec<String>>, StoreError> {
        let faults = self.one("SELECT faults FROM files WHERE file = ?1", [file.bytes()], |row| row.get(0))?;
        Ok(faults.map(|faults: String| faults.lines().map(str::to_owned).collect()))
    }

    fn take_in(&mut self, files: &[FileTaken]) -> Result<News, StoreError> {
        self.change(|transaction| {
            let mut news = News::default();
            for file in files {
                news.add(take_in(transaction, file)?);
            }
            Ok(news)
        })
    }

    fn set_aside(&mut self, aside: &Aside) -> Result<(), StoreError> {
        let put = "INSERT INTO aside (file, name, bytes) VALUES (?1, ?2, ?3) ON CONFLICT DO NOTHING";
        self.put(put, params![aside.file.bytes(), aside.name, aside.bytes])
    }

    fn aside(&mut self) -> Result<Vec<(Hash, String)>, StoreError> {
        let left = "SELECT file, name FROM aside WHERE file NOT IN (SELECT file FROM files) ORDER BY name, file";
        self.all(left, |row| Ok((Hash::from_bytes(row.get(0)?), row.get(1)?)))
    }

    fn brought_back(&mut self, file: Hash) -> Result<Option<Aside>, StoreError> {
        let which = "SELECT name, bytes FROM aside WHERE file = ?1";
        self.one(which, [file.bytes()], |row| Ok(Aside { file, name: row.get(0)?, bytes: row.get(1)? }))
    }

    fn photo(&mut self, blob: BlobId) -> Result<Option<Vec<u8>>, StoreError> {
        self.one("SELECT bytes FROM photos WHERE blob = ?1", [blob.0.bytes()], |row| row.get(0))
    }

    fn records_of(&mut self, device: DeviceId, take: &mut dyn FnMut(EventId, &[u8])) -> Result<(), StoreError> {
        let all = "SELECT seq, line FROM records WHERE device = ?1 ORDER BY seq, hash";
        let mut ask = || {
            let mut query = self.connection.prepare_cached(all)?;
            let mut rows = query.query([device.bytes()])?;
            while let Some(row) = rows.next()? {
                let seq = row.get::<_, i64>(0)?.cast_unsigned();
                take(EventId { device, seq }, row.get_ref(1)?.as_blob()?);
            }
            Ok(())
        };
        ask().map_err(failed)
    }

    fn devices(&mut self) -> Result<Vec<(DeviceId, Option<String>)>, StoreError> {
        let all = "SELECT device, (SELECT name FROM names WHERE names.device = heard.device
            ORDER BY seq DESC, hash LIMIT 1) FROM heard ORDER BY device";
        self.all(all, |row| Ok((DeviceId::new(row.get(0)?), row.get(1)?)))
    }

    fn heard(&mut self) -> Result<BTreeMap<DeviceId, u64>, StoreError> {
        let read = |row: &Row<'_>| Ok((DeviceId::new(row.get(0)?), row.get::<_, i64>(1)?.cast_unsigned()));
        Ok(self.all("SELECT device, lines FROM heard", read)?.into_iter().collect())
    }

    fn together(&mut self) -> Result<Vec<(DeviceId, DeviceId)>, StoreError> {
        let all = "SELECT one, other FROM together ORDER BY one, other";
        self.all(all, |row| Ok((DeviceId::new(row.get(0)?), DeviceId::new(row.get(1)?))))
    }

    fn keep_columns(&mut self, name: &str, columns: &str) -> Result<(), StoreError> {
        let put = "INSERT INTO columns (name, columns) VALUES (?1, ?2)
            ON CONFLICT (name) DO UPDATE SET columns = excluded.columns";
        self.put(put, [name, columns])
    }

    fn columns(&mut self, name: &str) -> Result<Option<String>, StoreError> {
        self.one("SELECT columns FROM columns WHERE name = ?1", [name], |row| row.get(0))
    }

    fn sent(&mut self) -> Result<Vec<Sent>, StoreError> {
        let all = "SELECT key, export, form FROM sent ORDER BY export, place";
        self.all(all, |row| Ok(Sent { key: row.get(0)?, export: row.get(1)?, form: row.get(2)? }))
    }

    fn sent_of(&mut self, after: u32, device: Option<DeviceId>) -> Result<Vec<Sent>, StoreError> {
        let some = "SELECT key, export, form FROM sent WHERE export > ?1
            AND (?2 IS NULL OR substr(key, 1, 17) = ?2) ORDER BY export, place";
        let read = |row: &Row<'_>| Ok(Sent { key: row.get(0)?, export: row.get(1)?, form: row.get(2)? });
        let device = device.map(|device| format!("{device}-"));
        let ask =
            || self.connection.prepare_cached(some)?.query_map(params![after, device], read)?.collect::<Asked<_>>();
        ask().map_err(failed)
    }

    fn last_export(&mut self) -> Result<u32, StoreError> {
        let last = self.one("SELECT max(number) FROM exports", [], |row| row.get::<_, Option<u32>>(0))?;
        Ok(last.flatten().unwrap_or_default())
    }

    fn export(&mut self, seen: u32, file: &[u8], lines: &[(String, String)]) -> Result<Option<u32>, StoreError> {
        self.change(|transaction| {
            let last = "SELECT coalesce(max(number), 0) FROM exports";
            let last: u32 = transaction.query_row(last, [], |row| row.get(0))?;
            if last != seen {
                return Ok(None);
            }
            let number = last + 1;
            let put = "INSERT INTO exports (number, file, written) VALUES (?1, ?2, 0)";
            transaction.execute(put, params![number, file])?;
            for (place, (key, form)) in (0u32..).zip(lines) {
                let put = "INSERT INTO sent (export, place, key, form) VALUES (?1, ?2, ?3, ?4)";
                transaction.prepare_cached(put)?.execute(params![number, place, key, form])?;
            }
            Ok(Some(number))
        })
    }

    fn exported(&mut self, number: Option<u32>) -> Result<Option<Export>, StoreError> {
        let which = "SELECT number, file, written FROM exports WHERE ?1 IS NULL OR number = ?1
            ORDER BY number DESC LIMIT 1";
        let read = |row: &Row<'_>| Ok(Export { number: row.get(0)?, file: row.get(1)?, written: row.get(2)? });
        self.one(which, [number], read)
    }

    fn written(&mut self, number: u32) -> Result<(), StoreError> {
        self.put("UPDATE exports SET written = 1 WHERE number = ?1", [number])
    }

    fn derived(&mut self, name: &str) -> Result<Option<Derived>, StoreError> {
        let which = "SELECT name, stamp, bytes FROM derived WHERE name = ?1";
        let read = |row: &Row<'_>| Ok(Derived { name: row.get(0)?, stamp: row.get(1)?, bytes: row.get(2)? });
        self.one(which, [name], read)
    }

    fn keep_derived(&mut self, derived: &Derived) -> Result<(), StoreError> {
        keep_derived(&self.connection, derived).map_err(failed)
    }

    fn keep_all_derived(&mut self, all: &[Derived]) -> Result<(), StoreError> {
        self.change(|transaction| all.iter().try_for_each(|derived| keep_derived(transaction, derived)))
    }
}

fn keep_derived(connection: &Connection, derived: &Derived) -> Asked<()> {
    let put = "INSERT INTO derived (name, stamp, bytes) VALUES (?1, ?2, ?3)
        ON CONFLICT (name) DO UPDATE SET stamp = excluded.stamp, bytes = excluded.bytes";
    connection.prepare_cached(put)?.execute(params![derived.name, derived.stamp, derived.bytes])?;
    Ok(())
}

fn take_in(transaction: &Transaction<'_>, file: &FileTaken) -> Asked<News> {
    let mut news = News::default();
    let put = "INSERT INTO files (file, name, faults) VALUES (?1, ?2, ?3) ON CONFLICT DO NOTHING";
    news.files = transaction.prepare_cached(put)?.execute(params![file.file.bytes(), file.name, file.faults_text()])?;
    let put = "INSERT INTO records (device, seq, hash, line) VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO NOTHING";
    let mut put = transaction.prepare_cached(put)?;
    let mut heard: BTreeMap<DeviceId, i64> = BTreeMap::new();
    for (id, hash, line) in &file.records {
        if put.execute(params![id.device.bytes(), id.seq.cast_signed(), hash.bytes(), line])? > 0 {
            news.records.insert(*id);
            *heard.entry(id.device).or_default() += 1;
        }
    }
    let add = "INSERT INTO heard (device, lines) VALUES (?1, ?2)
        ON CONFLICT (device) DO UPDATE SET lines = heard.lines + excluded.lines";
    let mut add = transaction.prepare_cached(add)?;
    for (device, lines) in &heard {
        add.execute(params![device.bytes(), lines])?;
    }
    let put = "INSERT INTO names (device, seq, hash, name) VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO NOTHING";
    let mut put = transaction.prepare_cached(put)?;
    for (id, hash, name) in &file.names {
        put.execute(params![id.device.bytes(), id.seq.cast_signed(), hash.bytes(), name])?;
    }
    let put = "INSERT INTO photos (blob, bytes) VALUES (?1, ?2) ON CONFLICT DO NOTHING";
    let mut put = transaction.prepare_cached(put)?;
    for (blob, bytes) in &file.photos {
        news.photos += put.execute(params![blob.0.bytes(), bytes])?;
    }
    let put = "INSERT INTO together (one, other) VALUES (?1, ?2) ON CONFLICT DO NOTHING";
    let mut put = transaction.prepare_cached(put)?;
    for (one, other) in file.together() {
        put.execute([one.bytes(), other.bytes()])?;
    }
    Ok(news)
}
