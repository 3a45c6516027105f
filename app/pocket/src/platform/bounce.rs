//! Cold wet fingers bounce: what they say twice is heard once.
//!
//! A form is sent once a tap, and a tap is not heard that comes at once after another, on the
//! same spot, and finds other words there than the finger meant: the screen has changed under
//! it. The same words are heard each time, so who counts bolts one by one is not held up.
//!
//! Properties are asked for by their names: methods would be more for each start to load.

use std::cell::RefCell;

use js_sys::Reflect;
use leptos::task::spawn_local;
use quaywright_core::moment::Length;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Element, Event};

use super::timer;

/// How long after a form was sent a finger may still bounce on its button.
const FORM: Length = Length::from_ms(400);
/// How long after a tap another on the same spot may be its bounce, in milliseconds.
const TAP_MS: f64 = 300.0;
/// How far from each other two taps on the same spot may be, in pixels: half of a small target.
const SPOT: f64 = 24.0;
/// What a form bears that was sent just now.
const SENT: &str = "data-sent";

thread_local! {
    /// The tap that was heard last.
    static HEARD: RefCell<Option<Tap>> = const { RefCell::new(None) };
}

/// Begins to hear once what bounces, for as long as the page lives.
pub fn hear_once() {
    listen_first("click", hear_tap);
    listen_first("submit", send_once);
    listen_first("input", |event| is_at_it_again(&event));
}

/// A tap on a control.
struct Tap {
    at_ms: f64,
    spot: (f64, f64),
    /// What the control says, without its figures: they may count what is tapped.
    words: String,
}

impl Tap {
    /// Returns the tap of an event; nothing for the keyboard's clicks and the program's own, or beside a control.
    fn of(event: &Event) -> Option<Self> {
        let number = |name| property(event, name)?.as_f64();
        let control = element(event)?.closest("a, button, summary, label").ok().flatten()?;
        let words = ["ariaLabel", "textContent"].map(|name| property(&control, name).and_then(|it| it.as_string()));
        let words = words.into_iter().flatten().collect::<String>().replace(|c: char| c.is_ascii_digit(), "");
        let tap = Self { at_ms: number("timeStamp")?, spot: (number("clientX")?, number("clientY")?), words };
        (number("detail")? > 0.0).then_some(tap)
    }

    fn is_bounce_of(&self, before: &Self) -> bool {
        let near = |one: f64, other: f64| (one - other).abs() <= SPOT;
        self.at_ms - before.at_ms < TAP_MS
            && near(self.spot.0, before.spot.0)
            && near(self.spot.1, before.spot.1)
            && self.words != before.words
    }
}

fn hear_tap(event: Event) {
    let Some(tap) = Tap::of(&event) else { return is_at_it_again(&event) };
    if HEARD.with_borrow(|heard| heard.as_ref().is_some_and(|before| tap.is_bounce_of(before))) {
        return ignore(&event);
    }
    HEARD.set(Some(tap));
    is_at_it_again(&event);
}

/// Lets each form be sent once a tap: a second tap at once, or while the first is still being
/// kept, is a cold finger's, and with nothing typed in between it would say the same again.
fn send_once(event: Event) {
    let Some(form) = element(&event) else { return };
    if form.has_attribute(SENT) {
        ignore(&event);
    } else if form.set_attribute(SENT, "").is_ok() {
        spawn_local(async move {
            timer::wait(FORM).await;
            while form.query_selector("[type=submit][aria-busy]").is_ok_and(|at_work| at_work.is_some()) {
                timer::wait(FORM).await;
            }
            let _ = form.remove_attribute(SENT);
        });
    }
}

/// Whoever types or taps anything in a form but what sends it means the next time as well.
fn is_at_it_again(event: &Event) {
    let Some(at) = element(event).filter(|at| !matches!(at.closest("[type=submit]"), Ok(Some(_)))) else { return };
    if let Ok(Some(form)) = at.closest("form") {
        let _ = form.remove_attribute(SENT);
    }
}

/// Lets nothing else hear of an event.
fn ignore(event: &Event) {
    event.prevent_default();
    let _ = Reflect::set(event, &JsValue::from_str("cancelBubble"), &JsValue::TRUE);
}

fn element(event: &Event) -> Option<Element> {
    event.target().and_then(|target| target.dyn_into::<Element>().ok())
}

fn property(of: &JsValue, name: &str) -> Option<JsValue> {
    Reflect::get(of, &JsValue::from_str(name)).ok()
}

/// Hears of an event before any handler of the element's own.
fn listen_first(name: &str, then: fn(Event)) {
    let Some(window) = web_sys::window() else { return };
    let closure = Closure::<dyn Fn(Event)>::new(then);
    let _ = window.add_event_listener_with_callback_and_bool(name, closure.as_ref().unchecked_ref(), true);
    closure.forget();
}
