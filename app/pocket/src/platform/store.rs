//! The first place: records and photos in IndexedDB.
//!
//! One action is one strict transaction over records and photos, so both are
//! kept or neither. A record lies under `<device>-<number of twelve digits>`,
//! which sorts by name; a photo under its SHA-256. Values are bytes, never
//! structured objects or Blobs, which some engines have lost. Only primary keys
//! are used: an index can be damaged by itself.

use std::collections::VecDeque;
use std::rc::Rc;

use js_sys::{Array, ArrayBuffer, Uint8Array};
use quaywright_core::id::{BlobId, DeviceId, EventId};
use quaywright_core::order;
use quaywright_core::store::{Batch, Found, Kept, Packs, Store, StoreError};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{IdbKeyRange, IdbObjectStore, IdbRequest};

use super::idb::{BLOBS, Database, EVENTS, PACKS, answer, failure};

/// The key of the reserve: past every key of a pack, which begin with a hexadecimal digit.
const RESERVE: &str = "reserve";
/// How many records are read in one request.
const AT_ONCE: u32 = 1_000;

/// A photo's bytes as they lie in the database: nobody has verified them, and this program holds no copy.
pub struct Lying(pub(super) Uint8Array);

/// Records and photos in one database.
#[derive(Clone)]
pub struct IdbStore(Rc<Database>);

impl IdbStore {
    /// Returns the store in the database of that name.
    pub fn new(name: &str) -> Self {
        Self(Database::named(name))
    }

    async fn get(&self, part: &str, key: &str) -> Result<Option<Vec<u8>>, StoreError> {
        let reading = self.0.reading(&[part]).await?;
        let request = reading.part(part)?.get(&JsValue::from_str(key)).map_err(|error| failure(&error))?;
        let value = answer(&request).await?;
        reading.kept().await?;
        Ok((!value.is_undefined()).then(|| bytes_of(&value)))
    }

    /// Returns the first of some photos as they lie there, up to one that is not there, for
    /// whoever looks at their bytes himself.
    ///
    /// # Errors
    /// When one cannot be read; then none is told.
    pub async fn lying(&self, ids: &[BlobId]) -> Result<VecDeque<(BlobId, Lying)>, StoreError> {
        let reading = self.0.reading(&[BLOBS]).await?;
        let part = reading.part(BLOBS)?;
        let ask = |id: &BlobId| part.get(&JsValue::from_str(&id.to_string())).map_err(|error| failure(&error));
        let asked = ids.iter().map(ask).collect::<Result<Vec<_>, _>>()?;
        let mut lying = VecDeque::new();
        for (id, answered) in ids.iter().zip(asked.iter().map(answer).collect::<Vec<_>>()) {
            let Ok(photo) = answered.await?.dyn_into() else { break };
            lying.push_back((*id, Lying(photo)));
        }
        Ok(lying)
    }

    /// Reads the records between two keys, a part at a time.
    async fn between(&self, above: Option<&str>, below: Option<&str>, into: &mut Vec<Kept>) -> Result<(), StoreError> {
        let mut above = above.map(str::to_owned);
        loop {
            let range = range(above.as_deref(), below)?;
            let keys = self.keys(&range).await?;
            match self.values(&range).await {
                Ok(values) if values.len() == keys.len() => {
                    let records = keys.iter().zip(values).filter_map(|(key, value)| kept(key, bytes_of(&value)));
                    into.extend(records);
                }
                Err(error) if error.is_passing() => return Err(error),
                // One value that cannot be read spoils the request for all: read singly.
                _ => self.singly(&keys, into).await,
            }
            if keys.len() < AT_ONCE as usize {
                return Ok(());
            }
            above = keys.last().cloned();
        }
    }

    async fn keys(&self, range: &JsValue) -> Result<Vec<String>, StoreError> {
        let reading = self.0.reading(&[EVENTS]).await?;
        let part = reading.part(EVENTS)?;
        let request = part.get_all_keys_with_key_and_limit(range, AT_ONCE).map_err(|error| failure(&error))?;
        let keys: Array = answer(&request).await?.unchecked_into();
        reading.kept().await?;
        Ok(keys.iter().filter_map(|key| key.as_string()).collect())
    }

    async fn values(&self, range: &JsValue) -> Result<Vec<JsValue>, StoreError> {
        let reading = self.0.reading(&[EVENTS]).await?;
        let part = reading.part(EVENTS)?;
        let request = part.get_all_with_key_and_limit(range, AT_ONCE).map_err(|error| failure(&error))?;
        let values: Array = answer(&request).await?.unchecked_into();
        reading.kept().await?;
        Ok(values.to_vec())
    }

    async fn singly(&self, keys: &[String], into: &mut Vec<Kept>) {
        for key in keys {
            // What cannot be read is as good as damaged; it is healed like that.
            let bytes = self.get(EVENTS, key).await.ok().flatten().unwrap_or_default();
            into.extend(kept(key, bytes));
        }
    }

    async fn put_all(&self, batch: &Batch, under: Under) -> Result<(), StoreError> {
        if batch.records.is_empty() && batch.blobs.is_empty() {
            return Ok(());
        }
        let writing = self.0.writing(&[EVENTS, BLOBS]).await?;
        let (events, blobs) = (writing.part(EVENTS)?, writing.part(BLOBS)?);
        let looks = if under == Under::TheSame { look_up(&events, &batch.records)? } else { Vec::new() };
        for record in &batch.records {
            let lay = if under == Under::Nothing { IdbObjectStore::add_with_key } else { IdbObjectStore::put_with_key };
            lay_down(lay, &events, &key_of(record.id), &record.bytes)?;
        }
        for blob in &batch.blobs {
            put(&blobs, &blob.id.to_string(), &blob.bytes)?;
        }
        // The database answers in the order in which it was asked, so what was there is
        // known before the transaction can end; one that is dropped is undone.
        for (record, known) in looks {
            let known = answer(&known).await?;
            if !known.is_undefined() && bytes_of(&known) != record.bytes {
                return Err(StoreError::Conflict(record.id));
            }
        }
        writing.kept().await
    }
}

impl Store for IdbStore {
    async fn found(&self) -> Result<Found, StoreError> {
        self.0.found().await
    }

    async fn append(&self, batch: &Batch) -> Result<(), StoreError> {
        // A name is nearly always new. The database itself refuses one that is not, so a tap
        // waits for no answer of its before it is committed.
        match self.put_all(batch, Under::Nothing).await {
            Err(StoreError::Other(_)) => self.put_all(batch, Under::TheSame).await,
            end => end,
        }
    }

    async fn replace(&self, batch: &Batch) -> Result<(), StoreError> {
        self.put_all(batch, Under::Anything).await
    }

    async fn records(&self, beyond: &[EventId]) -> Result<Vec<Kept>, StoreError> {
        let mut records = Vec::new();
        let beyond = order::by_key(beyond.to_vec(), |&end| end);
        let mut above = None;
        for end in beyond {
            let device_begins = key_of(EventId { seq: 0, ..end });
            self.between(above.as_deref(), Some(&device_begins), &mut records).await?;
            above = Some(key_of(end));
        }
        self.between(above.as_deref(), None, &mut records).await?;
        Ok(records)
    }

    async fn blob(&self, id: BlobId) -> Result<Option<Vec<u8>>, StoreError> {
        self.get(BLOBS, &id.to_string()).await
    }

    async fn blob_ids(&self) -> Result<Vec<BlobId>, StoreError> {
        let reading = self.0.reading(&[BLOBS]).await?;
        let request = reading.part(BLOBS)?.get_all_keys().map_err(|error| failure(&error))?;
        let keys: Array = answer(&request).await?.unchecked_into();
        reading.kept().await?;
        Ok(keys.iter().filter_map(|key| BlobId::parse(&key.as_string()?)).collect())
    }

    async fn reconnect(&self) {
        self.0.disconnect();
    }
}

impl Packs for IdbStore {
    async fn put_pack(&self, first: EventId, bytes: &[u8]) -> Result<(), StoreError> {
        let writing = self.0.writing(&[PACKS]).await?;
        put(&writing.part(PACKS)?, &key_of(first), bytes)?;
        writing.kept().await
    }

    async fn packs(&self) -> Result<Vec<Vec<u8>>, StoreError> {
        let reading = self.0.reading(&[PACKS]).await?;
        let packs = range(None, Some(RESERVE))?;
        let request = reading.part(PACKS)?.get_all_with_key(&packs).map_err(|error| failure(&error))?;
        let packs: Array = answer(&request).await?.unchecked_into();
        reading.kept().await?;
        Ok(packs.iter().map(|pack| bytes_of(&pack)).collect())
    }

    async fn put_reserve(&self, bytes: &[u8]) -> Result<(), StoreError> {
        let writing = self.0.writing(&[PACKS]).await?;
        put(&writing.part(PACKS)?, RESERVE, bytes)?;
        writing.kept().await
    }

    async fn has_reserve(&self) -> Result<bool, StoreError> {
        let reading = self.0.reading(&[PACKS]).await?;
        let request = reading.part(PACKS)?.get_key(&JsValue::from_str(RESERVE)).map_err(|error| failure(&error))?;
        let key = answer(&request).await?;
        reading.kept().await?;
        Ok(!key.is_undefined())
    }

    async fn drop_packs(&self) -> Result<(), StoreError> {
        let writing = self.0.writing(&[PACKS]).await?;
        writing.part(PACKS)?.clear().map_err(|error| failure(&error))?;
        writing.kept().await
    }
}

/// What may lie under the names of records that are put down.
#[derive(Clone, Copy, PartialEq)]
enum Under {
    /// Nothing: else nothing is kept.
    Nothing,
    /// Nothing, or the same bytes.
    TheSame,
    /// Whatever it is, it is written over.
    Anything,
}

/// A way to put a value down under a key.
type Lay = fn(&IdbObjectStore, &JsValue, &JsValue) -> Result<IdbRequest, JsValue>;

/// Asks what lies under the names of these records.
fn look_up<'a>(events: &IdbObjectStore, records: &'a [Kept]) -> Result<Vec<(&'a Kept, IdbRequest)>, StoreError> {
    let ask = |record: &Kept| events.get(&JsValue::from_str(&key_of(record.id))).map_err(|error| failure(&error));
    records.iter().map(|record| Ok((record, ask(record)?))).collect()
}

pub(super) fn put(part: &IdbObjectStore, key: &str, bytes: &[u8]) -> Result<(), StoreError> {
    lay_down(IdbObjectStore::put_with_key, part, key, bytes)
}

fn lay_down(lay: Lay, part: &IdbObjectStore, key: &str, bytes: &[u8]) -> Result<(), StoreError> {
    let laid = lay(part, &Uint8Array::from(bytes), &JsValue::from_str(key));
    laid.map(drop).map_err(|error| failure(&error))
}

/// Returns a value's bytes; one that is no bytes is as good as damaged.
pub(super) fn bytes_of(value: &JsValue) -> Vec<u8> {
    match value.dyn_ref::<Uint8Array>() {
        Some(bytes) => bytes.to_vec(),
        None if value.is_instance_of::<ArrayBuffer>() => Uint8Array::new(value).to_vec(),
        None => Vec::new(),
    }
}

fn range(above: Option<&str>, below: Option<&str>) -> Result<JsValue, StoreError> {
    let range = match (above.map(JsValue::from_str), below.map(JsValue::from_str)) {
        (Some(above), Some(below)) => IdbKeyRange::bound_with_lower_open_and_upper_open(&above, &below, true, true),
        (Some(above), None) => IdbKeyRange::lower_bound_with_open(&above, true),
        (None, Some(below)) => IdbKeyRange::upper_bound_with_open(&below, true),
        (None, None) => return Ok(JsValue::UNDEFINED),
    };
    range.map(JsValue::from).map_err(|error| failure(&error))
}

fn key_of(id: EventId) -> String {
    let seq = id.seq.to_string();
    let mut key = id.device.to_string();
    key.push('-');
    (seq.len()..12).for_each(|_| key.push('0'));
    key.push_str(&seq);
    key
}

fn kept(key: &str, bytes: Vec<u8>) -> Option<Kept> {
    let (device, seq) = key.split_once('-')?;
    let id = EventId { device: DeviceId::parse(device)?, seq: seq.parse().ok()? };
    Some(Kept { id, bytes })
}
