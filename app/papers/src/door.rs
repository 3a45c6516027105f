//! The worker's messages: a row of words and what stands beside them.
//!
//! The page may send a file itself; it is read here, so that the page never
//! holds it. Bytes are given away, not copied. A document's parts are handed to
//! the browser as they are made, so that it is never whole in this memory.

use std::cell::RefCell;
use std::mem;
use std::rc::Rc;

use js_sys::{Array, Uint8Array};
use quaywright_core::id::BlobId;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{Blob, DedicatedWorkerGlobalScope, File, FilePropertyBag, MessageEvent};

use crate::wire::{Answer, Ask};
use crate::work::{Outlet, Work};

/// Listens to the page and tells it that it may ask.
pub fn open() {
    let Ok(worker) = js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>() else { return };
    let page = Rc::new(RefCell::new((Work::default(), Page { worker: worker.clone(), parts: Array::new() })));
    let listening = page.clone();
    let on_message = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| hear(&listening, event.data()));
    worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
    on_message.forget();
    page.borrow_mut().1.answer(Answer::Ready, &[]);
}

type Room = Rc<RefCell<(Work, Page)>>;

fn hear(room: &Room, message: JsValue) {
    let message: Array = message.unchecked_into();
    let words = message.get(0).as_string().unwrap_or_default();
    match message.get(1).dyn_into::<Blob>() {
        Ok(file) => {
            let room = room.clone();
            spawn_local(async move {
                match JsFuture::from(file.array_buffer()).await {
                    Ok(buffer) => take(&room, &words, &Uint8Array::new(&buffer).to_vec()),
                    Err(_) => fail(&room, "the file cannot be read: pick it again"),
                }
            });
        }
        Err(beside) => take(room, &words, &beside.dyn_ref().map(Uint8Array::to_vec).unwrap_or_default()),
    }
}

fn take(room: &Room, words: &str, beside: &[u8]) {
    let (work, page) = &mut *room.borrow_mut();
    match Ask::read(words) {
        Some(ask) => work.hear(&ask, beside, page),
        None => page.answer(Answer::Failed("the app is of two versions: close it and open it again".to_owned()), &[]),
    }
}

fn fail(room: &Room, words: &str) {
    room.borrow_mut().1.answer(Answer::Failed(words.to_owned()), &[]);
}

/// The page at the other end, and the parts of the file that is made for it.
struct Page {
    worker: DedicatedWorkerGlobalScope,
    parts: Array,
}

impl Page {
    fn send(&self, answer: &Answer, beside: &JsValue, given_away: &Array) {
        let message = Array::of2(&answer.written().into(), beside);
        // A page that is gone needs no answer.
        let _ = self.worker.post_message_with_transfer(&message, given_away);
    }
}

impl Outlet for Page {
    fn write(&mut self, bytes: &[u8]) {
        self.parts.push(&Uint8Array::from(bytes));
    }

    fn hand_out(&mut self, name: &str, kind: &str, bytes: BlobId) {
        let parts = mem::take(&mut self.parts);
        let options = FilePropertyBag::new();
        options.set_type(kind);
        match File::new_with_u8_array_sequence_and_options(&parts, name, &options) {
            Ok(file) => self.send(&Answer::Made(bytes), &file, &Array::new()),
            Err(_) => self.answer(Answer::Failed("this browser has no room for the file".to_owned()), &[]),
        }
    }

    fn answer(&mut self, answer: Answer, beside: &[u8]) {
        let bytes = Uint8Array::from(beside);
        self.send(&answer, &bytes, &Array::of1(&bytes.buffer()));
    }
}
