//! The phone's clock and its source of random numbers.
//!
//! The core is told the time and the device's identity; here they come from.

use js_sys::{Date, Function};
use quaywright_core::id::DeviceId;
use quaywright_core::moment::Moment;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

/// Returns the moment that the phone's clock shows, with the offset in force.
///
/// A clock outside the years 1970 to 9999 is taken for the beginning of 1970,
/// which the screen cannot show as a believable time.
pub fn now() -> Moment {
    let date = Date::new_0();
    let offset_min = -date.get_timezone_offset() as i16;
    Moment::new(date.get_time() as i64, offset_min).or_else(|| Moment::new(0, 0)).unwrap_or_else(never)
}

/// Calls `tick` at each full second for as long as the page lives.
pub fn every_second(tick: impl Fn() + 'static) {
    let closure = Closure::<dyn Fn()>::new(tick);
    if let Some(window) = web_sys::window() {
        let callback: &Function = closure.as_ref().unchecked_ref();
        let started = window.set_interval_with_callback_and_timeout_and_arguments_0(callback, 1_000);
        if started.is_ok() {
            closure.forget();
        }
    }
}

/// Draws an identity for a new device.
///
/// # Errors
/// When the browser has no source of random numbers.
pub fn draw_device() -> Result<DeviceId, String> {
    let mut bytes = [0; 8];
    let crypto = web_sys::window().and_then(|window| window.crypto().ok());
    let drawn = crypto.and_then(|crypto| crypto.get_random_values_with_u8_array(&mut bytes).ok());
    drawn.map(|_| DeviceId::new(bytes)).ok_or_else(|| "this browser gives no random numbers".to_owned())
}

/// The beginning of 1970 is a moment; this arm only satisfies the compiler.
fn never() -> Moment {
    wasm_bindgen::throw_str("the beginning of 1970 is no moment")
}
