//! The clipboard, which a browser gives only straight after a tap.
//!
//! It is asked for by name: where the page is not safe there is none.

use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

/// Copies text; tells whether the browser did it.
pub async fn copy(text: &str) -> bool {
    match asked(text) {
        Some(promise) => JsFuture::from(promise).await.is_ok(),
        None => false,
    }
}

fn asked(text: &str) -> Option<Promise> {
    let clipboard = Reflect::get(&web_sys::window()?.navigator(), &"clipboard".into()).ok()?;
    let write: Function = Reflect::get(&clipboard, &"writeText".into()).ok()?.dyn_into().ok()?;
    write.call1(&clipboard, &JsValue::from_str(text)).ok()?.dyn_into().ok()
}
