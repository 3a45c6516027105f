//! Notes beside the storages: the witness, and the action under way.
//!
//! The witness lies in localStorage and in Cache Storage, which in the one
//! engine that was tried did not fail together with IndexedDB. The action under
//! way lies in localStorage only: it is written before each action, so it must
//! be quick, and it has to outlive the page, not the browser.

use gloo_storage::{LocalStorage, Storage};
use quaywright_core::moment::Length;
use quaywright_core::store::patience::within;
use quaywright_core::store::{Note, Notes, StoreError};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Cache, Response};

use super::idb::failure;
use super::timer::PageTimer;

/// The cache that holds the witness; the service worker leaves it alone.
pub const CACHE: &str = "quaywright-witness";

/// How long the second place may take, so that it never costs the first one's word.
const CACHE_WAIT: Length = Length::from_ms(1_500);

/// The notes of one place.
#[derive(Clone)]
pub struct BrowserNotes {
    place: String,
}

impl BrowserNotes {
    /// Returns the notes of `place`.
    pub fn new(place: &str) -> Self {
        Self { place: place.to_owned() }
    }

    fn key(&self, note: Note) -> String {
        let kind = match note {
            Note::Witness => "quaywright.witness.",
            Note::UnderWay => "quaywright.queue.",
        };
        [kind, &self.place].concat()
    }

    async fn read_cache(&self) -> Result<Option<String>, StoreError> {
        let found = JsFuture::from(open_cache().await?.match_with_str(&self.address())).await;
        let found = found.map_err(|error| failure(&error))?;
        let Some(response) = found.dyn_ref::<Response>() else { return Ok(None) };
        let text = JsFuture::from(response.text().map_err(|error| failure(&error))?).await;
        Ok(text.map_err(|error| failure(&error))?.as_string())
    }

    async fn write_cache(&self, text: &str) -> Result<(), StoreError> {
        let response = Response::new_with_opt_str(Some(text)).map_err(|error| failure(&error))?;
        let put = open_cache().await?.put_with_str(&self.address(), &response);
        JsFuture::from(put).await.map(drop).map_err(|error| failure(&error))
    }

    /// Returns the address under which the cache holds the witness; nothing is ever asked there.
    fn address(&self) -> String {
        ["/quaywright-witness/", &self.place].concat()
    }
}

impl Notes for BrowserNotes {
    async fn read(&self, note: Note) -> Vec<String> {
        let mut texts = Vec::new();
        texts.extend(LocalStorage::raw().get_item(&self.key(note)).ok().flatten());
        if note == Note::Witness {
            let cached = within(&PageTimer, CACHE_WAIT, self.read_cache()).await;
            texts.extend(cached.ok().flatten());
        }
        texts
    }

    async fn write(&self, note: Note, text: &str) -> Result<(), StoreError> {
        let (storage, key) = (LocalStorage::raw(), self.key(note));
        let written = if text.is_empty() { storage.remove_item(&key) } else { storage.set_item(&key, text) };
        let written = written.map_err(|error: JsValue| failure(&error));
        if note == Note::UnderWay {
            return written;
        }
        let cached = within(&PageTimer, CACHE_WAIT, self.write_cache(text)).await;
        written.or(cached)
    }
}

async fn open_cache() -> Result<Cache, StoreError> {
    let window = web_sys::window().ok_or(StoreError::Lost)?;
    let caches = window.caches().map_err(|error| failure(&error))?;
    let cache = JsFuture::from(caches.open(CACHE)).await.map_err(|error| failure(&error))?;
    Ok(cache.unchecked_into())
}
