//! Waiting, by the browser's clock for pages.
//!
//! Only for bounding waits and for letting typing rest: what a person times is
//! two noted instants, never a counter here.

use js_sys::{Function, Promise};
use quaywright_core::moment::Length;
use quaywright_core::store::Timer;
use wasm_bindgen_futures::JsFuture;

/// Waits by `setTimeout`.
#[derive(Clone, Copy, Debug, Default)]
pub struct PageTimer;

impl Timer for PageTimer {
    async fn wait(&self, length: Length) {
        wait(length).await;
    }
}

/// Returns after `length`, or later while the page is hidden.
pub async fn wait(length: Length) {
    let Some(window) = web_sys::window() else { return };
    let ms = i32::try_from(length.ms()).unwrap_or(i32::MAX);
    let mut alarm = None;
    let rings = Promise::new(&mut |resolve: Function, _| {
        alarm = window.set_timeout_with_callback_and_timeout_and_arguments_0(&resolve, ms).ok();
    });
    let _cancelled_when_dropped = Alarm(alarm);
    // A promise that is only ever resolved cannot fail.
    let _ = JsFuture::from(rings).await;
}

struct Alarm(Option<i32>);

impl Drop for Alarm {
    fn drop(&mut self) {
        if let (Some(window), Some(alarm)) = (web_sys::window(), self.0) {
            window.clear_timeout_with_handle(alarm);
        }
    }
}
