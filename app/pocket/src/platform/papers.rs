//! The papers' worker, from the page.
//!
//! It is started for one piece of work and ended with it, so its memory goes
//! too. What is sent is [`Ask`], what is heard is [`Answer`], each with bytes or
//! a file beside it; the worker can be stopped at any moment, for it keeps
//! nothing.
//!
//! Its program is compiled here, once, and given to each worker: what the browser made of it for
//! one piece of work is there for the next.

use std::cell::RefCell;
use std::rc::Rc;

use js_sys::WebAssembly;
use quaywright_papers::wire::{Answer, Ask};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::Blob;

pub use super::room::Ended;
use super::room::{Room, bytes};
use super::share::Ready;
use super::store::Lying;

/// The script that starts the worker, beside the page.
const SCRIPT: &str = "papers-worker.js";
/// The program that it runs.
const PROGRAM: &str = "papers_bg.wasm";
const BROKE_OFF: &str =
    "the part of the app that makes and reads files broke off: try again, or close the app and open it again";

/// A worker that makes documents and takes files in.
pub struct Papers(Room);

/// An answer and what stands beside it.
pub struct Told {
    /// The answer.
    pub answer: Answer,
    beside: JsValue,
}

impl Papers {
    /// Starts a worker; what comes of that is the first thing to be heard.
    ///
    /// # Errors
    /// When this browser starts none.
    pub fn start() -> Result<Rc<Self>, Ended> {
        let papers = Rc::new(Self(Room::start(SCRIPT, BROKE_OFF)?));
        let waits = Rc::downgrade(&papers);
        spawn_local(async move {
            let program = program().await;
            if let Some(papers) = waits.upgrade() {
                papers.0.give_program(&program);
            }
        });
        Ok(papers)
    }

    /// Asks, with bytes beside it.
    pub fn ask(&self, ask: &Ask, bytes: &[u8]) {
        self.0.send(&ask.written(), bytes);
    }

    /// Asks, and gives away a photo as it lies in the database.
    pub fn ask_with_lying(&self, ask: &Ask, photo: &Lying) {
        self.0.give(&ask.written(), &photo.0);
    }

    /// Asks, with a file beside it, which the worker reads.
    pub fn ask_with_file(&self, ask: &Ask, file: &Blob) {
        self.0.send_file(&ask.written(), file);
    }

    /// Returns the next answer.
    ///
    /// # Errors
    /// When it was stopped or failed.
    pub async fn hear(&self) -> Result<Told, Ended> {
        let (words, beside) = self.0.hear().await?;
        match Answer::read(&words) {
            Some(Answer::Failed(why)) => Err(Ended::Failed(why)),
            Some(answer) => Ok(Told { answer, beside }),
            None => Err(self.0.broke_off()),
        }
    }

    /// Stops the work at once; what was heard of it is forgotten.
    pub fn stop(&self) {
        self.0.stop();
    }
}

impl Told {
    /// Returns the bytes beside the answer.
    pub fn bytes(&self) -> Vec<u8> {
        bytes(&self.beside)
    }

    /// Returns the document beside the answer.
    pub fn document(self) -> Ready {
        Ready::from(self.beside.unchecked_into::<web_sys::File>())
    }
}

/// Returns the program, compiled when it is first asked for; nothing where that fails: then the worker
/// fetches it by itself, and says what is wrong.
async fn program() -> JsValue {
    thread_local! {
        static COMPILED: RefCell<JsValue> = const { RefCell::new(JsValue::UNDEFINED) };
    }
    let known = COMPILED.with_borrow(JsValue::clone);
    let Some(window) = web_sys::window().filter(|_| known.is_undefined()) else { return known };
    let fetched = window.fetch_with_str(PROGRAM);
    let compiled = JsFuture::from(WebAssembly::compile_streaming(&fetched)).await.unwrap_or(JsValue::UNDEFINED);
    COMPILED.set(compiled.clone());
    compiled
}
