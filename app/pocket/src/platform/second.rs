//! The second copy: files in the origin private file system.
//!
//! Only a worker may write such files and flush them, so a small script
//! (`public/copy-worker.js`) moves the bytes, and this is its other end. What
//! the bytes mean is decided in the core. The worker is started by the first
//! call and answers each message by its number.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use js_sys::{Array, Function, Object, Promise, Reflect, Uint8Array};
use quaywright_core::id::BlobId;
use quaywright_core::store::{Blob, FileEnd, SecondCopy, StoreError};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{MessageEvent, Worker};

use super::idb::words;

/// Who waits for an answer, by the number of what was asked.
type Waiting = Rc<RefCell<Vec<(u32, Function)>>>;

/// The second copy of one place.
pub struct OpfsCopy {
    script: String,
    place: String,
    worker: RefCell<Option<Rc<Line>>>,
}

/// A line to the worker.
struct Line {
    worker: Worker,
    waiting: Waiting,
    next: Cell<u32>,
    dead: Rc<Cell<bool>>,
    _on_message: Closure<dyn Fn(MessageEvent)>,
    _on_error: Closure<dyn Fn()>,
}

impl OpfsCopy {
    /// Returns the second copy of `place`, moved by the worker at this address.
    pub fn new(place: &str, script: &str) -> Self {
        Self { script: script.to_owned(), place: place.to_owned(), worker: RefCell::default() }
    }

    fn line(&self) -> Result<Rc<Line>, StoreError> {
        let open = self.worker.borrow().clone().filter(|line| !line.dead.get());
        if let Some(line) = open {
            return Ok(line);
        }
        let line = Rc::new(Line::new(&self.script)?);
        *self.worker.borrow_mut() = Some(line.clone());
        Ok(line)
    }

    /// Sends a request with its fields and returns the answer.
    async fn ask(&self, what: &str, fields: &[(&str, JsValue)]) -> Result<JsValue, StoreError> {
        let message = Object::new();
        let common = [("what", what.into()), ("place", self.place.as_str().into())];
        for (field, value) in common.iter().chain(fields) {
            set(&message, field, value)?;
        }
        self.line()?.ask(&message).await
    }
}

impl Line {
    fn new(script: &str) -> Result<Self, StoreError> {
        let worker = Worker::new(script).map_err(|error| StoreError::Unavailable(words(&error)))?;
        let waiting = Waiting::default();
        let on_message = {
            let waiting = waiting.clone();
            Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| answer(&waiting, &event.data()))
        };
        let dead = Rc::new(Cell::new(false));
        let on_error = {
            let (waiting, dead) = (waiting.clone(), dead.clone());
            Closure::<dyn Fn()>::new(move || {
                dead.set(true);
                give_up(&waiting);
            })
        };
        worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
        worker.set_onerror(Some(on_error.as_ref().unchecked_ref()));
        Ok(Self { worker, waiting, next: Cell::new(1), dead, _on_message: on_message, _on_error: on_error })
    }

    async fn ask(&self, message: &Object) -> Result<JsValue, StoreError> {
        let number = self.next.replace(self.next.get().wrapping_add(1));
        set(message, "id", &number.into())?;
        let answered = Promise::new(&mut |resolve: Function, _| {
            self.waiting.borrow_mut().push((number, resolve));
        });
        self.worker.post_message(message).map_err(|error| StoreError::Other(words(&error)))?;
        let reply = JsFuture::from(answered).await.map_err(|error| StoreError::Other(words(&error)))?;
        match text(&reply, "error") {
            Some(name) => Err(failure(&name, text(&reply, "message").unwrap_or_default())),
            None => Reflect::get(&reply, &"ok".into()).map_err(|error| StoreError::Other(words(&error))),
        }
    }
}

impl Drop for Line {
    fn drop(&mut self) {
        self.worker.terminate();
    }
}

impl SecondCopy for OpfsCopy {
    async fn end(&self, most: usize) -> Result<FileEnd, StoreError> {
        let reply = self.ask("end", &[("most", (most as f64).into())]).await?;
        let length = Reflect::get(&reply, &"length".into()).ok().and_then(|length| length.as_f64());
        let bytes = Reflect::get(&reply, &"bytes".into()).unwrap_or_default();
        Ok(FileEnd { length: length.unwrap_or_default() as u64, bytes: bytes_of(&bytes) })
    }

    async fn whole(&self) -> Result<Vec<u8>, StoreError> {
        self.ask("whole", &[]).await.map(|reply| bytes_of(&reply))
    }

    async fn write(&self, at: u64, bytes: &[u8]) -> Result<(), StoreError> {
        self.ask("write", &[("at", (at as f64).into()), ("bytes", Uint8Array::from(bytes).into())]).await.map(drop)
    }

    async fn rewrite(&self, bytes: &[u8]) -> Result<(), StoreError> {
        self.ask("rewrite", &[("bytes", Uint8Array::from(bytes).into())]).await.map(drop)
    }

    async fn put_blob(&self, blob: &Blob) -> Result<(), StoreError> {
        let bytes = Uint8Array::from(blob.bytes.as_slice());
        self.ask("put", &[("name", blob.id.to_string().into()), ("bytes", bytes.into())]).await.map(drop)
    }

    async fn blob(&self, id: BlobId) -> Result<Option<Vec<u8>>, StoreError> {
        let reply = self.ask("get", &[("name", id.to_string().into())]).await?;
        Ok((!reply.is_null()).then(|| bytes_of(&reply)))
    }

    async fn blob_ids(&self) -> Result<Vec<BlobId>, StoreError> {
        let names: Array = self.ask("list", &[]).await?.unchecked_into();
        Ok(names.iter().filter_map(|name| BlobId::parse(&name.as_string()?)).collect())
    }
}

/// Hands an answer to whoever waits for it.
fn answer(waiting: &Waiting, reply: &JsValue) {
    let number = Reflect::get(reply, &"id".into()).ok().and_then(|id| id.as_f64()).unwrap_or_default();
    let place = waiting.borrow().iter().position(|&(asked, _)| asked == number as u32);
    if let Some(place) = place {
        let (_, resolve) = waiting.borrow_mut().swap_remove(place);
        let _ = resolve.call1(&JsValue::NULL, reply);
    }
}

/// Answers everybody who waits: the worker did not start.
fn give_up(waiting: &Waiting) {
    let reply = Object::new();
    let _ = set(&reply, "error", &"NotSupportedError".into());
    let _ = set(&reply, "message", &"the worker of the second copy did not start".into());
    for (_, resolve) in std::mem::take(&mut *waiting.borrow_mut()) {
        let _ = resolve.call1(&JsValue::NULL, &reply);
    }
}

fn failure(name: &str, message: String) -> StoreError {
    match name {
        "NotSupportedError" | "SecurityError" => StoreError::Unavailable(message),
        "QuotaExceededError" => StoreError::Full,
        // Another page, or one that has just died, holds the file.
        "NoModificationAllowedError" => StoreError::Lost,
        _ => StoreError::Other([name, &message].join(": ")),
    }
}

fn bytes_of(value: &JsValue) -> Vec<u8> {
    value.dyn_ref::<Uint8Array>().map(Uint8Array::to_vec).unwrap_or_default()
}

fn text(object: &JsValue, field: &str) -> Option<String> {
    Reflect::get(object, &JsValue::from_str(field)).ok()?.as_string()
}

fn set(object: &Object, field: &str, value: &JsValue) -> Result<(), StoreError> {
    let set = Reflect::set(object, &JsValue::from_str(field), value);
    set.map(drop).map_err(|error| StoreError::Other(words(&error)))
}
