//! The office's worker, from the page, and files that are picked or dropped for it.
//!
//! The worker holds the store, so there is one while the office page is open. What is
//! sent is [`Ask`], what is heard is [`Answer`]; files go over as the browser has them,
//! and are read at the other end.

use std::pin::Pin;
use std::rc::Rc;

use js_sys::{Array, Function, Promise};
use quaywright_desk::wire::{Answer, Ask};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    DragEvent, File, FileSystemDirectoryEntry, FileSystemDirectoryReader, FileSystemEntry, FileSystemFileEntry,
    HtmlInputElement,
};

pub use super::room::Ended;
use super::room::{Room, bytes};
use super::share::Ready;

/// The script that starts the worker, beside the page.
const SCRIPT: &str = "desk-worker.js";
const BROKE_OFF: &str = "the office's part of the app broke off: try again, or close the app and open it again";

/// The worker at the store.
pub struct Office(Room);

/// A file that was picked or dropped.
#[derive(Clone)]
pub struct Picked {
    /// What it is called, with the folder that it came in.
    pub name: String,
    file: File,
}

impl Office {
    /// Starts the worker; what comes of that is the first thing to be heard.
    ///
    /// # Errors
    /// When this browser starts none.
    pub fn start() -> Result<Rc<Self>, Ended> {
        Room::start(SCRIPT, BROKE_OFF).map(|room| Rc::new(Self(room)))
    }

    /// Asks, with bytes beside it.
    pub fn ask(&self, ask: &Ask, bytes: &[u8]) {
        self.0.send(&ask.written(), bytes);
    }

    /// Asks, with a file beside it, which the worker reads.
    pub fn ask_with_file(&self, ask: &Ask, file: &Picked) {
        self.0.send_file(&ask.written(), &file.file);
    }

    /// Asks, with a file beside it that was made here.
    pub fn ask_with_made(&self, ask: &Ask, file: &Ready) {
        self.0.send_file(&ask.written(), file.file());
    }

    /// Returns the next answer and the bytes beside it; that something could not be done is an answer too.
    ///
    /// # Errors
    /// When it was stopped or failed.
    pub async fn hear(&self) -> Result<(Answer, Vec<u8>), Ended> {
        let (words, beside) = self.0.hear().await?;
        match Answer::read(&words) {
            Some(answer) => Ok((answer, bytes(&beside))),
            None => Err(self.0.broke_off()),
        }
    }

    /// Says that the worker is not what this page takes it for.
    pub fn broke_off(&self) -> Ended {
        self.0.broke_off()
    }

    /// Stops the work at once; what is kept stays.
    pub fn stop(&self) {
        self.0.stop();
    }
}

/// Returns the files that were picked, by name; the same ones can be picked again.
pub fn picked(input: &HtmlInputElement) -> Vec<Picked> {
    let mut all = Vec::new();
    if let Some(files) = input.files() {
        for file in (0..files.length()).filter_map(|nth| files.item(nth)) {
            // Files of a folder bear the way to them.
            let path = js_sys::Reflect::get(&file, &"webkitRelativePath".into()).ok().and_then(|path| path.as_string());
            let name = path.filter(|path| !path.is_empty()).unwrap_or_else(|| file.name());
            all.push(Picked { name, file });
        }
    }
    input.set_value("");
    in_order(all)
}

/// Returns the files that were dropped, those in folders too, by name.
pub fn dropped(event: &DragEvent) -> impl Future<Output = Vec<Picked>> + use<> {
    event.prevent_default();
    let mut all = Vec::new();
    let mut entries = Vec::new();
    if let Some(items) = event.data_transfer().map(|data| data.items()) {
        // What was dropped is gone after the event, so all of it is asked for at once.
        for item in (0..items.length()).filter_map(|nth| items.get(nth)) {
            match item.webkit_get_as_entry().ok().flatten() {
                Some(entry) => entries.push(entry),
                None => all.extend(item.get_as_file().ok().flatten().map(|file| Picked { name: file.name(), file })),
            }
        }
    }
    async move {
        for entry in entries {
            open_up(entry, &mut all).await;
        }
        in_order(all)
    }
}

/// Lets files be dropped here.
pub fn allow_drop(event: &DragEvent) {
    event.prevent_default();
}

fn in_order(mut all: Vec<Picked>) -> Vec<Picked> {
    all.sort_by(|one, other| one.name.cmp(&other.name));
    all
}

/// Adds the files of an entry; a folder that cannot be read adds none.
fn open_up(entry: FileSystemEntry, all: &mut Vec<Picked>) -> Pin<Box<dyn Future<Output = ()> + '_>> {
    Box::pin(async move {
        let name = entry.full_path().trim_start_matches('/').to_owned();
        if entry.is_file() {
            let entry: FileSystemFileEntry = entry.unchecked_into();
            let file = told(|then| entry.file_with_callback(then)).await;
            all.extend(file.and_then(|file| file.dyn_into().ok()).map(|file| Picked { name, file }));
            return;
        }
        let reader: FileSystemDirectoryReader = entry.unchecked_into::<FileSystemDirectoryEntry>().create_reader();
        loop {
            // A folder is told some at a time, until there are none.
            let some = told(|then| drop(reader.read_entries_with_callback(then))).await;
            let some: Array = some.and_then(|some| some.dyn_into().ok()).unwrap_or_default();
            if some.length() == 0 {
                return;
            }
            for inner in some.iter() {
                open_up(inner.unchecked_into(), all).await;
            }
        }
    })
}

/// Waits for what a browser tells by a callback.
async fn told(ask: impl FnOnce(&Function)) -> Option<JsValue> {
    let mut ask = Some(ask);
    let promise = Promise::new(&mut |resolve: Function, _| {
        if let Some(ask) = ask.take() {
            ask(&resolve);
        }
    });
    JsFuture::from(promise).await.ok()
}
