//! One writer across the tabs of a browser.
//!
//! The page that holds the Web Lock of a place writes; the others show, and
//! follow what it keeps. A lock can stay held for a moment by a page that has
//! just gone, so it is waited for, in bounded time; and whoever did not get it
//! stays in the queue and is told when it is his turn. Where a browser has no
//! locks, names of records still guard: a second record of one name is refused.

use std::cell::RefCell;

use js_sys::{Function, Promise, Reflect};
use quaywright_core::moment::Length;
use quaywright_core::store::StoreError;
use quaywright_core::store::patience::within;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::BroadcastChannel;

use super::timer::PageTimer;

/// How long a page waits for the one before it to be gone.
const PATIENCE: Length = Length::from_ms(1_500);

/// Whether this page writes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// This page writes, for as long as it lives.
    Writer,
    /// Another page writes.
    Reader,
}

thread_local! {
    static CHANNEL: RefCell<Option<BroadcastChannel>> = const { RefCell::new(None) };
}

/// Asks to be the writer of `place`. For a reader, `at_last` is called once when
/// it becomes the writer after all.
pub async fn take_turn(place: &str, at_last: impl FnOnce() + 'static) -> Turn {
    let Some(granted) = request(&["quaywright-log.", place].concat()) else { return Turn::Writer };
    let waiting = granted.clone();
    let in_time = within(&PageTimer, PATIENCE, async { JsFuture::from(waiting).await.map_err(|_| StoreError::Lost) });
    match in_time.await {
        Ok(_) => Turn::Writer,
        // Not allowed to lock at all: as in a browser without locks.
        Err(StoreError::Lost) => Turn::Writer,
        Err(_) => {
            wasm_bindgen_futures::spawn_local(async move {
                if JsFuture::from(granted).await.is_ok() {
                    at_last();
                }
            });
            Turn::Reader
        }
    }
}

/// Calls `heard` whenever another page of this browser has kept something in `place`.
pub fn on_news(place: &str, heard: impl Fn() + 'static) {
    let Ok(channel) = BroadcastChannel::new(&["quaywright-log.", place].concat()) else { return };
    let closure = Closure::<dyn Fn()>::new(heard);
    channel.set_onmessage(Some(closure.as_ref().unchecked_ref()));
    closure.forget();
    CHANNEL.set(Some(channel));
}

/// Tells the other pages that something was kept, once [`on_news`] was called.
pub fn tell_others() {
    CHANNEL.with_borrow(|channel| {
        if let Some(channel) = channel {
            // A page that does not hear it reads anew when it is shown.
            let _ = channel.post_message(&JsValue::from_str("kept"));
        }
    });
}

/// Requests the lock; the promise is fulfilled when it is held, and it is held
/// until the page is gone. `None` where there are no locks.
fn request(name: &str) -> Option<Promise> {
    let navigator = web_sys::window()?.navigator();
    let locks = Reflect::get(&navigator, &"locks".into()).ok().filter(JsValue::is_object)?;
    let request: Function = Reflect::get(&locks, &"request".into()).ok()?.dyn_into().ok()?;
    let mut refused = None;
    let granted = Promise::new(&mut |resolve: Function, reject: Function| {
        let hold = Closure::once_into_js(move |_lock: JsValue| {
            let _ = resolve.call0(&JsValue::NULL);
            Promise::new(&mut |_, _| {})
        });
        match request.call2(&locks, &JsValue::from_str(name), &hold) {
            Ok(asked) => {
                // The browser may refuse later, by rejecting its own promise.
                let refuse = Closure::once(move |error: JsValue| {
                    let _ = reject.call1(&JsValue::NULL, &error);
                });
                let _ = asked.unchecked_into::<Promise>().catch(&refuse);
                refuse.forget();
            }
            Err(error) => refused = Some(error),
        }
    });
    if refused.is_some() { None } else { Some(granted) }
}
