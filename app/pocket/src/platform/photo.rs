//! From a picked file to a small upright JPEG without a position.
//!
//! The size is asked of an image element, which reads no more than the head of
//! the file; scaling is left to a worker (`public/photo-worker.js`), one photo
//! at a time, because a large one takes a phone's memory to its limit.

use futures::channel::oneshot;
use js_sys::{ArrayBuffer, Object, Reflect, Uint8Array};
use quaywright_core::moment::Length;
use quaywright_core::store::StoreError;
use quaywright_core::store::patience::within;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};

use super::timer::PageTimer;

pub use web_sys::{Blob, File, HtmlInputElement as FileInput};
use web_sys::{HtmlImageElement, MessageEvent, Url, Worker};

/// The long side of what is kept, in pixels.
pub const LONG_SIDE: u32 = 1_600;

/// How long making one picture small may take.
const LONGEST: Length = Length::from_ms(60_000);

/// A small upright JPEG.
pub struct Small {
    /// The file's bytes.
    pub bytes: Vec<u8>,
    /// Width in pixels.
    pub width: u16,
    /// Height in pixels.
    pub height: u16,
}

/// Returns the files that were picked and empties the input, so that the same
/// file can be picked again.
pub fn picked(input: &FileInput) -> Vec<File> {
    let files = input.files();
    let count = files.as_ref().map_or(0, web_sys::FileList::length);
    let picked = (0..count).filter_map(|index| files.as_ref().and_then(|files| files.get(index))).collect();
    input.set_value("");
    picked
}

/// Returns the beginning of a file, at most so many bytes of it.
pub fn head(file: &File, bytes: i32) -> Option<Blob> {
    file.slice_with_i32_and_i32(0, bytes).ok()
}

/// Makes a picked picture small and upright and leaves out all but the pixels.
///
/// # Errors
/// Says in words that this browser cannot open the picture.
pub async fn make_small(file: &File) -> Result<Small, String> {
    let cannot = || {
        format!(
            "{} cannot be opened as a picture here, so it was not added. It is still where you picked it from; \
             a JPEG or a screenshot of it will do.",
            file.name()
        )
    };
    let (width, height) = size_of(file).await.ok_or_else(cannot)?;
    let (width, height) = fitted(width, height, LONG_SIDE).ok_or_else(cannot)?;
    scaled(file, width, height).await.ok_or_else(cannot)
}

/// Makes a kept photo smaller, to a long side of so many pixels, for a document that
/// has no room for it as it is; nothing when that cannot be done or it is small enough.
pub async fn smaller(jpeg: &[u8], (width, height): (u16, u16), long_side: u32) -> Option<Vec<u8>> {
    let (width, height) = (u32::from(width), u32::from(height));
    let to = fitted(width, height, long_side).filter(|&to| to != (width, height))?;
    let file = Blob::new_with_u8_array_sequence(&js_sys::Array::of1(&Uint8Array::from(jpeg))).ok()?;
    scaled(&file, to.0, to.1).await.map(|small| small.bytes)
}

/// Returns width and height of the upright picture with such a long side, never larger than it was.
fn fitted(width: u32, height: u32, long_side: u32) -> Option<(u32, u32)> {
    let long = width.max(height);
    if long == 0 {
        return None;
    }
    if long <= long_side {
        return Some((width, height));
    }
    let scale = |side: u32| ((u64::from(side) * u64::from(long_side) + u64::from(long) / 2) / u64::from(long)) as u32;
    Some((scale(width).max(1), scale(height).max(1)))
}

async fn size_of(file: &File) -> Option<(u32, u32)> {
    let address = Url::create_object_url_with_blob(file).ok()?;
    let image = HtmlImageElement::new().ok()?;
    let (told, asked) = oneshot::channel::<bool>();
    let told = std::rc::Rc::new(std::cell::RefCell::new(Some(told)));
    let tell = move |loaded: bool| {
        if let Some(told) = told.borrow_mut().take() {
            // The other end is gone only when nobody wants to know any more.
            let _ = told.send(loaded);
        }
    };
    let fail = tell.clone();
    let on_load = Closure::<dyn Fn()>::new(move || tell(true));
    let on_error = Closure::<dyn Fn()>::new(move || fail(false));
    image.set_onload(Some(on_load.as_ref().unchecked_ref()));
    image.set_onerror(Some(on_error.as_ref().unchecked_ref()));
    image.set_src(&address);
    let loaded = asked.await.unwrap_or(false);
    let size = (image.natural_width(), image.natural_height());
    image.set_onload(None);
    image.set_onerror(None);
    image.set_src("");
    drop(Url::revoke_object_url(&address));
    loaded.then_some(size)
}

async fn scaled(file: &Blob, width: u32, height: u32) -> Option<Small> {
    let worker = Worker::new("photo-worker.js").ok()?;
    let (told, asked) = oneshot::channel::<JsValue>();
    let told = std::rc::Rc::new(std::cell::RefCell::new(Some(told)));
    let tell = move |answer: JsValue| {
        if let Some(told) = told.borrow_mut().take() {
            let _ = told.send(answer);
        }
    };
    let fail = tell.clone();
    let on_message = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| tell(event.data()));
    let on_error = Closure::<dyn Fn()>::new(move || fail(JsValue::NULL));
    worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
    worker.set_onerror(Some(on_error.as_ref().unchecked_ref()));
    let request = Object::new();
    let set = |name: &str, value: &JsValue| Reflect::set(&request, &JsValue::from_str(name), value).is_ok();
    let complete = set("id", &JsValue::from(1))
        && set("file", file)
        && set("width", &JsValue::from(width))
        && set("height", &JsValue::from(height));
    if !complete || worker.post_message(&request).is_err() {
        return None;
    }
    // A picture that takes the worker's memory may take it away without a word.
    let answer = within(&PageTimer, LONGEST, async { asked.await.map_err(|_| StoreError::Aborted) }).await;
    worker.set_onmessage(None);
    worker.set_onerror(None);
    worker.terminate();
    let bytes = Reflect::get(&answer.ok()?, &JsValue::from_str("bytes")).ok()?.dyn_into::<ArrayBuffer>().ok()?;
    Some(Small {
        bytes: Uint8Array::new(&bytes).to_vec(),
        width: u16::try_from(width).ok()?,
        height: u16::try_from(height).ok()?,
    })
}
