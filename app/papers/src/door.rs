//! The worker's messages: a row of words and what stands beside them.
//!
//! The page may send a file itself; it is read here, so that the page never
//! holds it. Bytes are given away, not copied. A document's parts are handed to
//! the browser as they are made, so that it is never whole in this memory.
//! Photos and a PDF are hashed by the browser, where it does that at all: a
//! module that was just loaded takes far longer. That is waited for, so messages
//! are done one after another, as they came.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::mem;
use std::rc::Rc;

use js_sys::{Array, Promise, Uint8Array};
use quaywright_core::id::{BlobId, Hash, Named};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{Blob, DedicatedWorkerGlobalScope, File, FilePropertyBag, MessageEvent};

use crate::wire::{Answer, Ask};
use crate::work::{Outlet, Work};

/// Listens to the page and tells it that it may ask.
pub fn open() {
    let Ok(worker) = js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>() else { return };
    let page = Page { worker: worker.clone(), parts: Array::new() };
    let room = Rc::new(Room { at_work: RefCell::new((Work::default(), page)), waiting: RefCell::default() });
    let listening = room.clone();
    let on_message = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| hear(&listening, event.data()));
    worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
    on_message.forget();
    room.at_work.borrow_mut().1.answer(Answer::Ready, &[]);
}

/// Who works here, and the messages that wait: the first of them is being done.
struct Room {
    at_work: RefCell<(Work, Page)>,
    waiting: RefCell<VecDeque<(String, JsValue)>>,
}

fn hear(room: &Rc<Room>, message: JsValue) {
    let message: Array = message.unchecked_into();
    let words = message.get(0).as_string().unwrap_or_default();
    room.waiting.borrow_mut().push_back((words, message.get(1)));
    if room.waiting.borrow().len() > 1 {
        return;
    }
    let room = room.clone();
    spawn_local(async move {
        loop {
            let Some((words, beside)) = room.waiting.borrow().front().cloned() else { return };
            room.take(&words, beside).await;
            room.waiting.borrow_mut().pop_front();
        }
    });
}

impl Room {
    async fn take(&self, words: &str, beside: JsValue) {
        let bytes = match beside.dyn_into::<Blob>() {
            Ok(file) => match JsFuture::from(file.array_buffer()).await {
                Ok(buffer) => Uint8Array::new(&buffer),
                Err(_) => return self.fail("the file cannot be read: pick it again"),
            },
            Err(beside) => beside.dyn_into().unwrap_or_else(|_| Uint8Array::new_with_length(0)),
        };
        let Some(ask) = Ask::read(words) else {
            return self.fail("the app is of two versions: close it and open it again");
        };
        let name = if ask == Ask::Photo { named(digest(&bytes)).await } else { None };
        let beside = bytes.to_vec();
        let (work, page) = &mut *self.at_work.borrow_mut();
        match name {
            Some(name) => work.take_whole(Named::known(&beside, name), page),
            None => work.hear(&ask, &beside, page),
        }
    }

    fn fail(&self, words: &str) {
        self.at_work.borrow_mut().1.answer(Answer::Failed(words.to_owned()), &[]);
    }
}

/// Has the browser hash these bytes; it does so only where the page came safely.
fn digest(bytes: &Uint8Array) -> Option<Promise> {
    let worker = js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>().ok()?;
    let subtle = worker.crypto().ok()?.subtle();
    if subtle.is_undefined() {
        return None;
    }
    subtle.digest_with_str_and_js_u8_array("SHA-256", bytes).ok()
}

async fn named(digest: Option<Promise>) -> Option<BlobId> {
    let hash = JsFuture::from(digest?).await.ok()?;
    Uint8Array::new(&hash).to_vec().try_into().ok().map(|bytes| BlobId(Hash::from_bytes(bytes)))
}

/// The page at the other end, and the parts of the file that is made for it.
struct Page {
    worker: DedicatedWorkerGlobalScope,
    parts: Array,
}

fn send(to: &DedicatedWorkerGlobalScope, answer: &Answer, beside: &JsValue, given_away: &Array) {
    let message = Array::of2(&answer.written().into(), beside);
    // A page that is gone needs no answer.
    let _ = to.post_message_with_transfer(&message, given_away);
}

/// Makes a file of parts.
fn file(parts: &Array, name: &str, kind: &str) -> Option<File> {
    let options = FilePropertyBag::new();
    options.set_type(kind);
    File::new_with_u8_array_sequence_and_options(parts, name, &options).ok()
}

const NO_ROOM: &str = "this browser has no room for the file";

impl Outlet for Page {
    fn write(&mut self, bytes: &[u8]) {
        self.parts.push(&Uint8Array::from(bytes));
    }

    fn hand_out(&mut self, name: &str, kind: &str, bytes: BlobId) {
        let parts = mem::take(&mut self.parts);
        match file(&parts, name, kind) {
            Some(file) => send(&self.worker, &Answer::Made(bytes), &file, &Array::new()),
            None => self.answer(Answer::Failed(NO_ROOM.to_owned()), &[]),
        }
    }

    fn hand_out_whole(&mut self, name: &str, kind: &str, bytes: &[u8]) {
        let whole = Uint8Array::from(bytes);
        let digest = digest(&whole);
        let Some(file) = file(&Array::of1(&whole), name, kind) else {
            return self.answer(Answer::Failed(NO_ROOM.to_owned()), &[]);
        };
        let worker = self.worker.clone();
        spawn_local(async move {
            let name = named(digest).await.unwrap_or_else(|| BlobId::of(&whole.to_vec()));
            send(&worker, &Answer::Made(name), &file, &Array::new());
        });
    }

    fn answer(&mut self, answer: Answer, beside: &[u8]) {
        let bytes = Uint8Array::from(beside);
        send(&self.worker, &answer, &bytes, &Array::of1(&bytes.buffer()));
    }
}
