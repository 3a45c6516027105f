//! A worker with a program of its own, from the page.
//!
//! What is sent is a line of words, what is heard is one too, each with bytes or a
//! file beside it; the worker can be stopped at any moment. Which words there are, the
//! program at the other end says.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::future::poll_fn;
use std::rc::Rc;
use std::task::{Poll, Waker};

use js_sys::{Array, Uint8Array};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, MessageEvent, Worker};

/// A worker, which ends when this does.
pub struct Room {
    worker: Worker,
    heard: Rc<Heard>,
    broke_off: &'static str,
    _on_message: Closure<dyn Fn(MessageEvent)>,
    _on_error: Closure<dyn Fn()>,
}

/// What was heard and is not yet taken, and who waits for more.
#[derive(Default)]
struct Heard {
    told: RefCell<VecDeque<Result<(String, JsValue), Ended>>>,
    waits: RefCell<Option<Waker>>,
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
    fn put(&self, told: Result<(String, JsValue), Ended>) {
        self.told.borrow_mut().push_back(told);
        if let Some(waker) = self.waits.borrow_mut().take() {
            waker.wake();
        }
    }
}

impl Room {
    /// Starts the worker of a script beside the page; `broke_off` says that it could not be.
    ///
    /// # Errors
    /// When this browser starts none.
    pub fn start(script: &str, broke_off: &'static str) -> Result<Self, Ended> {
        let worker = Worker::new(script).map_err(|_| Ended::Failed(broke_off.to_owned()))?;
        let heard = Rc::new(Heard::default());
        let (hears, fails) = (heard.clone(), heard.clone());
        let on_message = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            let message: Array = event.data().unchecked_into();
            hears.put(Ok((message.get(0).as_string().unwrap_or_default(), message.get(1))));
        });
        let on_error = Closure::<dyn Fn()>::new(move || fails.put(Err(Ended::Failed(broke_off.to_owned()))));
        worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
        worker.set_onerror(Some(on_error.as_ref().unchecked_ref()));
        Ok(Self { worker, heard, broke_off, _on_message: on_message, _on_error: on_error })
    }

    /// Says that the worker is not what this page takes it for.
    pub fn broke_off(&self) -> Ended {
        Ended::Failed(self.broke_off.to_owned())
    }

    /// Gives the worker the program that it waits for; nothing lets it fetch that by itself.
    pub fn give_program(&self, program: &JsValue) {
        if self.worker.post_message(program).is_err() {
            self.heard.put(Err(self.broke_off()));
        }
    }

    /// Sends words, with bytes beside them.
    pub fn send(&self, words: &str, bytes: &[u8]) {
        self.give(words, &Uint8Array::from(bytes));
    }

    /// Sends words, and gives away the bytes beside them.
    pub fn give(&self, words: &str, bytes: &Uint8Array) {
        self.post(words, bytes, &Array::of1(&bytes.buffer()));
    }

    /// Sends words, with a file beside them, which the worker reads.
    pub fn send_file(&self, words: &str, file: &Blob) {
        self.post(words, file, &Array::new());
    }

    fn post(&self, words: &str, beside: &JsValue, given_away: &Array) {
        let message = Array::of2(&words.into(), beside);
        if self.worker.post_message_with_transfer(&message, given_away).is_err() {
            self.heard.put(Err(self.broke_off()));
        }
    }

    /// Returns the next words and what stands beside them.
    ///
    /// # Errors
    /// When it was stopped or failed.
    pub async fn hear(&self) -> Result<(String, JsValue), Ended> {
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

impl Drop for Room {
    fn drop(&mut self) {
        self.worker.terminate();
    }
}

/// Returns the bytes that stand beside words.
pub fn bytes(beside: &JsValue) -> Vec<u8> {
    beside.dyn_ref().map(Uint8Array::to_vec).unwrap_or_default()
}
