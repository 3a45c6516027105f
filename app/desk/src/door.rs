//! The worker's messages and files: only here the browser.
//!
//! The page hands over one file at a time, as it was picked; it is read here, a window
//! at a time when it is packed, so that neither the page nor this memory holds more than
//! it must. The store's two files are in the origin private file system. Whoever holds
//! them is their only writer: the browser gives them to one worker at a time, and a page
//! that has just gone may hold them a little longer. A damaged store stays where it is; one
//! that is begun anew lies in a folder beside it, and of these the last is opened.

use std::cell::RefCell;
use std::io::{self, Read, Seek, SeekFrom};
use std::rc::Rc;

use js_sys::{Array, Function, Promise, Reflect, Uint8Array};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{
    Blob, DedicatedWorkerGlobalScope, FileReaderSync, FileSystemDirectoryHandle, FileSystemFileHandle,
    FileSystemGetDirectoryOptions, FileSystemGetFileOptions, FileSystemReadWriteOptions, FileSystemSyncAccessHandle,
    MessageEvent,
};

use crate::store::StoreError;
use crate::store::journal::{Journal, Medium, NotOpened};
use crate::wire::{Answer, Ask};
use crate::work::{Outlet, Work, rescue};

/// Listens to the page and tells it that it may ask.
pub fn open() {
    let Ok(worker) = js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>() else { return };
    let room: Room = Rc::new(RefCell::new((Store::None, Page { worker: worker.clone() })));
    let listening = room.clone();
    let on_message = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| hear(&listening, event.data()));
    worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
    on_message.forget();
    room.borrow_mut().1.answer(Answer::Ready, &[]);
}

type Room = Rc<RefCell<(Store, Page)>>;

/// The store of this room.
enum Store {
    /// It was not opened yet, or could not be.
    None,
    /// It is open.
    Open(Box<Work<Handle>>),
    /// It is damaged: the files, and at which place.
    Damaged(NotOpened<Handle>, String),
}

fn hear(room: &Room, message: JsValue) {
    let message: Array = message.unchecked_into();
    let ask = message.get(0).as_string().and_then(|words| Ask::read(&words));
    if let Some(Ask::Open(place)) = &ask {
        return spawn_local(begin(room.clone(), place.clone()));
    }
    let (store, page) = &mut *room.borrow_mut();
    let (ask, work) = match (ask, store) {
        (Some(ask), Store::Open(work)) => (ask, work),
        (Some(Ask::Rescue), Store::Damaged(closed, _)) => return rescue(closed, page),
        (Some(Ask::BeginAnew), Store::Damaged(_, place)) => {
            return spawn_local(begin_anew(room.clone(), place.clone()));
        }
        (Some(_), Store::Damaged(closed, _)) => return page.answer(Answer::Failed(closed.why.to_string()), &[]),
        _ => {
            let words = "the app is of two versions: close it and open it again";
            return page.answer(Answer::Failed(words.to_owned()), &[]);
        }
    };
    match (ask, message.get(1).dyn_into::<Blob>()) {
        (Ask::File(name), Ok(file)) => match FileReaderSync::new() {
            Ok(reader) => {
                let length = file.size() as u64;
                work.hear_file(&name, Window { file, reader, length, at: 0, from: 0, bytes: Vec::new() }, length, page);
            }
            Err(_) => page.answer(Answer::Failed("this browser reads no files here".to_owned()), &[]),
        },
        (ask, beside) => {
            let bytes = match beside {
                Ok(file) => FileReaderSync::new().and_then(|reader| read(&reader, &file)).unwrap_or_default(),
                Err(beside) => beside.dyn_ref().map(Uint8Array::to_vec).unwrap_or_default(),
            };
            work.hear(ask, &bytes, page);
        }
    }
}

async fn begin(room: Room, place: String) {
    match newest(&place).await {
        Ok((folder, _)) => open_in(&room, &folder, place).await,
        Err(error) => room.borrow_mut().1.answer(Answer::Failed(words(&error)), &[]),
    }
}

/// Begins with an empty store beside those of a place.
async fn begin_anew(room: Room, place: String) {
    let made = async {
        let (_, nth) = newest(&place).await?;
        folder(&office().await?, &named(&place, nth + 1), true).await
    };
    match made.await {
        Ok(folder) => open_in(&room, &folder, place).await,
        Err(error) => room.borrow_mut().1.answer(Answer::Failed(words(&error)), &[]),
    }
}

async fn open_in(room: &Room, folder: &FileSystemDirectoryHandle, place: String) {
    let files = async { Ok::<_, String>((file(folder, "changes").await?, file(folder, "photos").await?)) };
    let opened = files.await.map(|(log, photos)| Journal::open(log, photos));
    let (store, page) = &mut *room.borrow_mut();
    match opened {
        Ok(Ok(journal)) => *store = Store::Open(Box::new(Work::begin(journal, page))),
        Ok(Err(closed)) => {
            let why = closed.why.to_string();
            if matches!(closed.why, StoreError::Spoilt) {
                page.answer(Answer::Damaged, &[]);
                *store = Store::Damaged(closed, place);
            }
            page.answer(Answer::Failed(why), &[]);
        }
        Err(why) => page.answer(Answer::Failed(why), &[]),
    }
}

/// The page at the other end.
struct Page {
    worker: DedicatedWorkerGlobalScope,
}

impl Outlet for Page {
    fn answer(&mut self, answer: Answer, beside: &[u8]) {
        let bytes = Uint8Array::from(beside);
        let message = Array::of2(&answer.written().into(), &bytes);
        // A page that is gone needs no answer.
        let _ = self.worker.post_message_with_transfer(&message, &Array::of1(&bytes.buffer()));
    }
}

/// How much of a picked file is read at once.
const WINDOW: u64 = 4 << 20;

/// A picked file, of which a part is in memory.
struct Window {
    file: Blob,
    reader: FileReaderSync,
    length: u64,
    at: u64,
    from: u64,
    bytes: Vec<u8>,
}

impl Read for Window {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        if self.at >= self.length {
            return Ok(0);
        }
        if !(self.from..self.from + self.bytes.len() as u64).contains(&self.at) {
            let end = self.length.min(self.at + WINDOW.max(into.len() as u64));
            let part = self.file.slice_with_f64_and_f64(self.at as f64, end as f64);
            let part =
                part.and_then(|part| read(&self.reader, &part)).map_err(|error| io::Error::other(words(&error)))?;
            (self.from, self.bytes) = (self.at, part);
        }
        let there = self.bytes.get((self.at - self.from) as usize..).unwrap_or_default();
        let count = there.len().min(into.len());
        into[..count].copy_from_slice(&there[..count]);
        self.at += count as u64;
        Ok(count)
    }
}

impl Seek for Window {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        let to = match to {
            SeekFrom::Start(at) => Some(at),
            SeekFrom::End(by) => self.length.checked_add_signed(by),
            SeekFrom::Current(by) => self.at.checked_add_signed(by),
        };
        self.at = to.ok_or_else(|| io::Error::other("before the file's beginning"))?;
        Ok(self.at)
    }
}

fn read(reader: &FileReaderSync, file: &Blob) -> Result<Vec<u8>, JsValue> {
    reader.read_as_array_buffer(file).map(|buffer| Uint8Array::new(&buffer).to_vec())
}

/// A file in the origin private file system.
struct Handle(FileSystemSyncAccessHandle);

impl Medium for Handle {
    fn length(&mut self) -> Result<u64, String> {
        self.0.get_size().map(|size| size as u64).map_err(|error| words(&error))
    }

    fn read(&mut self, at: u64, length: usize) -> Result<Vec<u8>, String> {
        let mut bytes = vec![0; length];
        let options = FileSystemReadWriteOptions::new();
        options.set_at(at as f64);
        let count = self.0.read_with_u8_array_and_options(&mut bytes, &options).map_err(|error| words(&error))?;
        bytes.truncate(count as usize);
        Ok(bytes)
    }

    fn write(&mut self, at: u64, bytes: &[u8]) -> Result<(), String> {
        let options = FileSystemReadWriteOptions::new();
        options.set_at(at as f64);
        let written = if bytes.is_empty() {
            0.0
        } else {
            self.0.write_with_u8_array_and_options(bytes, &options).map_err(|error| words(&error))?
        };
        if written as usize != bytes.len() {
            return Err("this browser has no room for more".to_owned());
        }
        let end = at as f64 + written;
        self.0.truncate_with_f64(end).and_then(|()| self.0.flush()).map_err(|error| words(&error))
    }
}

impl Drop for Handle {
    fn drop(&mut self) {
        self.0.close();
    }
}

/// Returns the folder of all the office's stores.
async fn office() -> Result<FileSystemDirectoryHandle, JsValue> {
    let worker: DedicatedWorkerGlobalScope = js_sys::global().dyn_into()?;
    let top = JsFuture::from(worker.navigator().storage().get_directory()).await?.dyn_into()?;
    folder(&top, "quaywright-office", true).await
}

/// Returns a folder within another; where there is none it may be made.
async fn folder(
    within: &FileSystemDirectoryHandle,
    name: &str,
    make: bool,
) -> Result<FileSystemDirectoryHandle, JsValue> {
    let options = FileSystemGetDirectoryOptions::new();
    options.set_create(make);
    JsFuture::from(within.get_directory_handle_with_options(name, &options)).await?.dyn_into()
}

/// Returns what the nth store of a place is called, counted from 1.
fn named(place: &str, nth: u32) -> String {
    if nth == 1 { place.to_owned() } else { format!("{place} {nth}") }
}

/// Returns the folder of a place's last store, made where there is none, and the how manieth it is.
async fn newest(place: &str) -> Result<(FileSystemDirectoryHandle, u32), JsValue> {
    let office = office().await?;
    let (mut last, mut nth) = (folder(&office, &named(place, 1), true).await?, 1);
    while let Ok(next) = folder(&office, &named(place, nth + 1), false).await {
        (last, nth) = (next, nth + 1);
    }
    Ok((last, nth))
}

/// How often a file is asked for that another page holds, and how long is waited between.
const TRIES: (u32, i32) = (40, 50);

async fn file(folder: &FileSystemDirectoryHandle, name: &str) -> Result<Handle, String> {
    let options = FileSystemGetFileOptions::new();
    options.set_create(true);
    let file = JsFuture::from(folder.get_file_handle_with_options(name, &options)).await;
    let file: FileSystemFileHandle = file.map_err(|error| words(&error))?.unchecked_into();
    for _ in 0..TRIES.0 {
        match JsFuture::from(file.create_sync_access_handle()).await {
            Ok(handle) => return Ok(Handle(handle.unchecked_into())),
            Err(error) if words(&error).starts_with("NoModificationAllowedError") => wait(TRIES.1).await,
            Err(error) => return Err(words(&error)),
        }
    }
    Err("the office is open in another tab or window: work on there, or close it and open this page again".to_owned())
}

async fn wait(milliseconds: i32) {
    let promise = Promise::new(&mut |resolve: Function, _| {
        if let Ok(worker) = js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>() {
            let _ = worker.set_timeout_with_callback_and_timeout_and_arguments_0(&resolve, milliseconds);
        }
    });
    let _ = JsFuture::from(promise).await;
}

fn words(error: &JsValue) -> String {
    let field = |name: &str| Reflect::get(error, &JsValue::from_str(name)).ok().and_then(|value| value.as_string());
    format!("{}: {}", field("name").unwrap_or_default(), field("message").unwrap_or_default())
}
