//! What is half typed, so that a page that dies takes nothing with it.
//!
//! Drafts are no records: they are written over and taken away. They lie in the
//! same database, in a part of their own, as strictly as everything else. Each
//! call ends in bounded time, so that none holds up a start or the camera.

use std::rc::Rc;

use js_sys::Array;
use quaywright_core::moment::Length;
use quaywright_core::store::StoreError;
use quaywright_core::store::patience::{TRIES, within};
use wasm_bindgen::{JsCast, JsValue};

use super::idb::{DRAFTS, Database, answer, failure};
use super::store::{bytes_of, put};
use super::timer::PageTimer;

/// How long one try may take.
const PATIENCE: Length = Length::from_ms(3_000);

/// The drafts of one database.
#[derive(Clone)]
pub struct Drafts(Rc<Database>);

impl Drafts {
    /// Returns the drafts in the database of that name.
    pub fn open(name: &str) -> Self {
        Self(Database::named(name))
    }

    /// Keeps a draft under its key; an empty text takes it away.
    ///
    /// # Errors
    /// When the draft is as it was before.
    pub async fn put(&self, key: &str, text: &str) -> Result<(), StoreError> {
        if text.is_empty() {
            return self.remove(key).await;
        }
        self.again(|| async {
            let writing = self.0.writing(&[DRAFTS]).await?;
            put(&writing.part(DRAFTS)?, key, text.as_bytes())?;
            writing.kept().await
        })
        .await
    }

    /// Returns the draft under that key.
    ///
    /// # Errors
    /// When it cannot be read.
    pub async fn get(&self, key: &str) -> Result<Option<String>, StoreError> {
        self.again(|| async {
            let reading = self.0.reading(&[DRAFTS]).await?;
            let request = reading.part(DRAFTS)?.get(&JsValue::from_str(key)).map_err(|error| failure(&error))?;
            let value = answer(&request).await?;
            reading.kept().await?;
            Ok((!value.is_undefined()).then(|| text_of(&value)))
        })
        .await
    }

    /// Returns every draft with its key, by key.
    ///
    /// # Errors
    /// When they cannot be read.
    pub async fn all(&self) -> Result<Vec<(String, String)>, StoreError> {
        self.again(|| self.read_all()).await
    }

    async fn read_all(&self) -> Result<Vec<(String, String)>, StoreError> {
        let reading = self.0.reading(&[DRAFTS]).await?;
        let part = reading.part(DRAFTS)?;
        let keys = part.get_all_keys().map_err(|error| failure(&error))?;
        let values = part.get_all().map_err(|error| failure(&error))?;
        let keys: Array = answer(&keys).await?.unchecked_into();
        let values: Array = answer(&values).await?.unchecked_into();
        reading.kept().await?;
        let draft = |(key, value): (JsValue, JsValue)| Some((key.as_string()?, text_of(&value)));
        Ok(keys.iter().zip(values.iter()).filter_map(draft).collect())
    }

    /// Takes a draft away.
    ///
    /// # Errors
    /// When it is still there.
    pub async fn remove(&self, key: &str) -> Result<(), StoreError> {
        self.again(|| async {
            let writing = self.0.writing(&[DRAFTS]).await?;
            writing.part(DRAFTS)?.delete(&JsValue::from_str(key)).map_err(|error| failure(&error))?;
            writing.kept().await
        })
        .await
    }

    /// Makes a call, and what passes again on a new connection.
    async fn again<T, Call: Future<Output = Result<T, StoreError>>>(
        &self,
        mut call: impl FnMut() -> Call,
    ) -> Result<T, StoreError> {
        let mut tries = 1;
        loop {
            match within(&PageTimer, PATIENCE, call()).await {
                Err(error) if error.is_passing() && tries < TRIES => tries += 1,
                end => return end,
            }
            self.0.disconnect();
        }
    }
}

fn text_of(value: &JsValue) -> String {
    String::from_utf8_lossy(&bytes_of(value)).into_owned()
}
