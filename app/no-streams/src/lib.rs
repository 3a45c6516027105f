//! Streams that carry nothing, in the place of the crate of this name.
//!
//! The framework links it for functions that run on a server. This app asks no
//! server; but that crate's classes are exports of the WebAssembly module, which
//! no linker leaves out, and every phone had to load them. Here are the few
//! names that the framework's code mentions and never calls.

use futures::stream::{self, Stream};
use wasm_bindgen::{JsValue, throw_val};

/// A stream of the browser.
pub struct ReadableStream(web_sys::ReadableStream);

impl ReadableStream {
    /// Takes a stream of the browser.
    pub fn from_raw(raw: web_sys::ReadableStream) -> Self {
        Self(raw)
    }

    /// Returns a stream that ends at once.
    pub fn from_stream(_: impl Stream<Item = Result<JsValue, JsValue>> + 'static) -> Self {
        Self(web_sys::ReadableStream::new().unwrap_or_else(|error| throw_val(error)))
    }

    /// Returns the stream of the browser.
    pub fn into_raw(self) -> web_sys::ReadableStream {
        self.0
    }

    /// Returns a stream that ends at once.
    pub fn into_stream(self) -> impl Stream<Item = Result<JsValue, JsValue>> {
        stream::empty()
    }
}
