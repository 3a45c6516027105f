//! The papers' worker, from the page.
//!
//! It is started for one piece of work and ended with it, so its memory goes
//! too. What is sent is [`Ask`], what is heard is [`Answer`], each with bytes or
//! a file beside it; the worker can be stopped at any moment, for it keeps
//! nothing.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::future::poll_fn;
use std::rc::Rc;
use std::task::{Poll, Waker};

use js_sys::{Array, Uint8Array};
use quaywright_papers::wire::{Answer, Ask};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, MessageEvent, Worker};

use super::share::Ready;

/// The script that starts the worker, beside the page.
const SCRIPT: &str = "papers-worker.js";

/// A worker that makes documents and takes files in.
pub struct Papers {
    worker: Worker,
    heard: Rc<Heard>,
    _on_message: Closure<dyn Fn(MessageEvent)>,
    _on_error: Closure<dyn Fn()>,
}

/// What was heard and is not yet taken, and who waits for more.
#[derive(Default)]
struct Heard {
    told: RefCell<VecDeque<Result<Told, Ended>>>,
    waits: RefCell<Option<Waker>>,
}

/// An answer and what stands beside it.
pub struct Told {
    /// The answer.
    pub answer: Answer,
    beside: JsValue,
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ended {
    /// The person stopped it.
    Stopped,
    /// It could not be done; in words.
    Failed(String),
}

impl Heard {
    fn put(&self, told: Result<Told, Ended>) {
        self.told.borrow_mut().push_back(told);
        if let Some(waker) = self.waits.borrow_mut().take() {
            waker.wake();
        }
    }
}

impl Papers {
    /// Starts a worker; what comes of that is the first thing to be heard.
    ///
    /// # Errors
    /// When this browser starts none.
    pub fn start() -> Result<Rc<Self>, Ended> {
        let worker = Worker::new(SCRIPT).map_err(|_| did_not_start())?;
        let heard = Rc::new(Heard::default());
        let (hears, fails) = (heard.clone(), heard.clone());
        let on_message =
            Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| hears.put(read(&event.data())));
        let on_error = Closure::<dyn Fn()>::new(move || fails.put(Err(did_not_start())));
        worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
        worker.set_onerror(Some(on_error.as_ref().unchecked_ref()));
        Ok(Rc::new(Self { worker, heard, _on_message: on_message, _on_error: on_error }))
    }

    /// Asks, with bytes beside it.
    pub fn ask(&self, ask: &Ask, bytes: &[u8]) {
        let bytes = Uint8Array::from(bytes);
        self.send(ask, &bytes, &Array::of1(&bytes.buffer()));
    }

    /// Asks, with a file beside it, which the worker reads.
    pub fn ask_with_file(&self, ask: &Ask, file: &Blob) {
        self.send(ask, file, &Array::new());
    }

    fn send(&self, ask: &Ask, beside: &JsValue, given_away: &Array) {
        let message = Array::of2(&ask.written().into(), beside);
        if self.worker.post_message_with_transfer(&message, given_away).is_err() {
            self.heard.put(Err(did_not_start()));
        }
    }

    /// Returns the next answer.
    ///
    /// # Errors
    /// When it was stopped or failed.
    pub async fn hear(&self) -> Result<Told, Ended> {
        poll_fn(|context| match self.heard.told.borrow_mut().pop_front() {
            Some(told) => Poll::Ready(told),
            None => {
                *self.heard.waits.borrow_mut() = Some(context.waker().clone());
                Poll::Pending
            }
        })
        .await
    }

    /// Stops the work at once; what was heard of it is forgotten.
    pub fn stop(&self) {
        self.worker.terminate();
        self.heard.told.borrow_mut().clear();
        self.heard.put(Err(Ended::Stopped));
    }
}

impl Drop for Papers {
    fn drop(&mut self) {
        self.worker.terminate();
    }
}

impl Told {
    /// Returns the bytes beside the answer.
    pub fn bytes(&self) -> Vec<u8> {
        self.beside.dyn_ref().map(Uint8Array::to_vec).unwrap_or_default()
    }

    /// Returns the document beside the answer.
    pub fn document(self) -> Ready {
        Ready::from(self.beside.unchecked_into::<web_sys::File>())
    }
}

fn read(message: &JsValue) -> Result<Told, Ended> {
    let message: &Array = message.unchecked_ref();
    match message.get(0).as_string().and_then(|words| Answer::read(&words)) {
        Some(Answer::Failed(why)) => Err(Ended::Failed(why)),
        Some(answer) => Ok(Told { answer, beside: message.get(1) }),
        None => Err(did_not_start()),
    }
}

fn did_not_start() -> Ended {
    Ended::Failed(
        "the part of the app that makes and reads files broke off: try again, or close the app and open it again"
            .to_owned(),
    )
}
