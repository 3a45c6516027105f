//! The page itself: its address, its title, where the focus is.
//!
//! The place in the app is the fragment of the address (`#/job/…`), so every
//! way is an ordinary link, the browser's back button works, and no server has
//! to know any of it.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use js_sys::{Array, Function};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Element, Event, FocusOptions, HtmlElement, IntersectionObserver, IntersectionObserverEntry,
    IntersectionObserverInit, Window,
};

fn window() -> Option<Window> {
    web_sys::window()
}

/// Returns the fragment of the address, without `#`.
pub fn fragment() -> String {
    let hash = window().and_then(|window| window.location().hash().ok()).unwrap_or_default();
    hash.trim_start_matches('#').to_owned()
}

/// Returns the value of a field of the address's query.
pub fn query(field: &str) -> Option<String> {
    let search = window()?.location().search().ok()?;
    let fields = search.strip_prefix('?')?.split('&');
    fields
        .filter_map(|pair| pair.split_once('=').or(Some((pair, ""))))
        .find(|(name, _)| *name == field)
        .map(|(_, value)| value.to_owned())
}

/// Goes to another place in the app.
pub fn go(fragment: &str) {
    if let Some(window) = window() {
        // Setting a fragment never leaves the page and so never fails.
        let _ = window.location().set_hash(fragment);
    }
}

/// Goes to another place without leaving the present one in the history.
pub fn go_instead(fragment: &str) {
    let history = window().and_then(|window| window.history().ok());
    if let Some(history) = history {
        let _ = history.replace_state_with_url(&JsValue::NULL, "", Some(&format!("./#{fragment}")));
    }
}

thread_local! {
    /// The control that was tapped last, and when.
    static TAPPED: RefCell<Option<(Element, f64)>> = const { RefCell::new(None) };
}

/// How long after a tap what is asked for may come of it, in milliseconds: the handling of one event.
const OF_ONE_TAP: f64 = 100.0;

/// Begins to note which control is tapped, for [`at_work`].
pub fn note_taps() {
    let Some(window) = window() else { return };
    let note = Closure::<dyn Fn(Event)>::new(|event: Event| {
        let target = event.target().and_then(|target| target.dyn_into::<Element>().ok());
        let control = target.and_then(|target| target.closest("button, .button, label").ok().flatten());
        TAPPED.set(control.map(|control| (control, js_sys::Date::now())));
    });
    // Before any handler of the control's own.
    let _ = window.add_event_listener_with_callback_and_bool("click", note.as_ref().unchecked_ref(), true);
    note.forget();
}

/// A control that shows that it is at work, until this is dropped.
#[must_use]
pub struct AtWork(Option<Element>);

/// Lets the control whose tap is being handled show that it is at work.
pub fn at_work() -> AtWork {
    let tapped = TAPPED.take().filter(|(_, at)| (0.0..OF_ONE_TAP).contains(&(js_sys::Date::now() - at)));
    if let Some((control, _)) = &tapped {
        // Nothing else hangs on it: without the mark the tap is kept all the same.
        let _ = control.set_attribute("aria-busy", "true");
    }
    AtWork(tapped.map(|(control, _)| control))
}

impl Drop for AtWork {
    fn drop(&mut self) {
        if let Some(control) = &self.0 {
            let _ = control.remove_attribute("aria-busy");
        }
    }
}

/// Calls `then` whenever the place changes.
///
/// Whoever goes back by the phone's own gesture leaves a field with the screen; it hears
/// that it is left while all that it has to do with is still there.
pub fn on_fragment(then: impl Fn(String) + 'static) {
    listen("hashchange", move || {
        let field = document().and_then(|document| document.active_element());
        if let Some(field) = field.and_then(|field| field.closest("input, textarea").ok().flatten()) {
            let _ = field.unchecked_ref::<HtmlElement>().blur();
        }
        then(fragment());
    });
}

fn listen(event: &str, then: impl Fn() + 'static) {
    let closure = Closure::<dyn Fn()>::new(then);
    if let Some(window) = window() {
        let callback: &Function = closure.as_ref().unchecked_ref();
        if window.add_event_listener_with_callback(event, callback).is_ok() {
            closure.forget();
        }
    }
}

fn document() -> Option<web_sys::Document> {
    window()?.document()
}

/// Sets the page's title.
pub fn set_title(title: &str) {
    if let Some(document) = document() {
        document.set_title(title);
    }
}

/// Moves the focus to the element with this id, so that a screen reader starts there.
pub fn focus(id: &str) {
    let element = document().and_then(|document| document.get_element_by_id(id));
    if let Some(element) = element.and_then(|element| element.dyn_into::<HtmlElement>().ok()) {
        let _ = element.focus();
    }
}

/// Moves the focus to the element with this id and brings it under the thumb, or the big action in
/// it: how far above the foot that is, its style says (`scroll-margin-bottom`).
pub fn to_thumb(id: &str) {
    if let Some(element) = document().and_then(|document| document.get_element_by_id(id)) {
        if let Some(element) = element.dyn_ref::<HtmlElement>() {
            let stay = FocusOptions::new();
            stay.set_prevent_scroll(true);
            let _ = element.focus_with_options(&stay);
        }
        let action = element.query_selector(".big").ok().flatten();
        action.unwrap_or(element).scroll_into_view_with_bool(false);
    }
}

/// Scrolls back to the top.
pub fn to_top() {
    if let Some(window) = window() {
        window.scroll_to_with_x_and_y(0.0, 0.0);
    }
}

/// Presses the element with this id, as the finger would.
pub fn press(id: &str) {
    let element = document().and_then(|document| document.get_element_by_id(id));
    if let Some(element) = element.and_then(|element| element.dyn_into::<HtmlElement>().ok()) {
        element.click();
    }
}

/// Lets whatever the pointer does from now on come to the element under it, until it is lifted.
pub fn hold_pointer(event: &web_sys::PointerEvent) {
    let element = event.current_target().and_then(|target| target.dyn_into::<Element>().ok());
    if let Some(element) = element {
        // A pointer that is gone already holds nothing.
        let _ = element.set_pointer_capture(event.pointer_id());
    }
}

/// Returns where a pointer is on the element that listens, on a field of this size; none where it is beside it.
pub fn place_in(event: &web_sys::PointerEvent, wide: u16, high: u16) -> Option<(u16, u16)> {
    let element = event.current_target()?.dyn_into::<Element>().ok()?;
    let place = |at: i32, of: i32, size: u16| {
        let on_field = i64::from(at) * i64::from(size) / i64::from(of.max(1));
        u16::try_from(on_field).ok().filter(|&it| it <= size)
    };
    let (x, y) = (event.offset_x(), event.offset_y());
    Some((place(x, element.client_width(), wide)?, place(y, element.client_height(), high)?))
}

/// Takes away what the page showed before the app was there.
pub fn remove_opening() {
    if let Some(element) = document().and_then(|document| document.get_element_by_id("opening")) {
        Element::remove(&element);
    }
}

/// Loads the page anew.
pub fn reload() {
    if let Some(window) = window() {
        let _ = window.location().reload();
    }
}

/// Calls `then` once when `element` comes near what is on the screen.
///
/// A browser without the means for it is told at once.
pub fn when_near(element: &Element, then: impl Fn() + 'static) {
    let then = Rc::new(then);
    let seen = then.clone();
    let closure =
        Closure::<dyn Fn(Array, IntersectionObserver)>::new(move |entries: Array, observer: IntersectionObserver| {
            let near =
                entries.iter().any(|entry| entry.unchecked_into::<IntersectionObserverEntry>().is_intersecting());
            if near {
                observer.disconnect();
                seen();
            }
        });
    let options = IntersectionObserverInit::new();
    options.set_root_margin("400px");
    match IntersectionObserver::new_with_options(closure.as_ref().unchecked_ref(), &options) {
        Ok(observer) => {
            observer.observe(element);
            closure.forget();
        }
        Err(_) => then(),
    }
}

/// Tells `then` whether the window is as wide as `rem` letters' heights, now and at each change, for as
/// long as the page lives.
pub fn while_wide(rem: u16, then: impl Fn(bool) + 'static) {
    let query = ["(min-width: ", &rem.to_string(), "rem)"].concat();
    let Some(list) = window().and_then(|window| window.match_media(&query).ok().flatten()) else { return };
    then(list.matches());
    let heard = list.clone();
    let told = Closure::<dyn Fn()>::new(move || then(heard.matches()));
    list.set_onchange(Some(told.as_ref().unchecked_ref()));
    told.forget();
}

/// A watch over where an element is; it ends when this goes.
pub struct Watching {
    observer: IntersectionObserver,
    _told: Closure<dyn Fn(Array)>,
}

impl Drop for Watching {
    fn drop(&mut self) {
        self.observer.disconnect();
    }
}

/// Tells `then` each time that `element` comes near what is on the screen or goes far from it,
/// and once at the start; a browser without the means for it is told that it is near.
pub fn while_near(element: &Element, then: impl Fn(bool) + 'static) -> Option<Watching> {
    let then = Rc::new(then);
    let seen = then.clone();
    let told = Closure::<dyn Fn(Array)>::new(move |entries: Array| {
        let last = entries.iter().next_back().map(JsCast::unchecked_into::<IntersectionObserverEntry>);
        last.into_iter().for_each(|entry| seen(entry.is_intersecting()));
    });
    let options = IntersectionObserverInit::new();
    options.set_root_margin("1000px");
    match IntersectionObserver::new_with_options(told.as_ref().unchecked_ref(), &options) {
        Ok(observer) => {
            observer.observe(element);
            Some(Watching { observer, _told: told })
        }
        Err(_) => {
            then(true);
            None
        }
    }
}

/// Tells whether something in `element` has the keyboard or is unfolded.
pub fn is_in_use(element: &Element) -> bool {
    element.query_selector(":focus, details[open]").ok().flatten().is_some()
}

/// Returns how high `element` is, for a style.
pub fn height(element: &Element) -> String {
    [&element.client_height().to_string(), "px"].concat()
}

/// Tells whether what was unfolded or folded is open now.
pub fn is_open(event: &web_sys::Event) -> bool {
    let target = event.current_target().and_then(|target| target.dyn_into::<Element>().ok());
    target.is_some_and(|target| target.has_attribute("open"))
}

/// Returns a number that no other call on this page returns.
pub fn running_number() -> u32 {
    thread_local! {
        static LAST: Cell<u32> = const { Cell::new(0) };
    }
    LAST.with(|last| {
        last.set(last.get() + 1);
        last.get()
    })
}

/// Tells a panic in the console and on the screen: nothing that was kept is lost by it.
pub fn tell_panics() {
    std::panic::set_hook(Box::new(|panic| {
        log(&panic.to_string());
        let Some(body) = document().and_then(|document| document.body()) else { return };
        body.set_text_content(Some(
            "Quaywright stopped on a fault of its own. What was kept is safe: close it and open it again.",
        ));
    }));
}

/// Does `work` and leaves how long it took last under `name` in the browser's own list of timings
/// (User Timing), where the figures read it.
pub fn timed<T>(name: &str, work: impl FnOnce() -> T) -> T {
    let Some(timings) = window().and_then(|window| window.performance()) else { return work() };
    timings.clear_marks_with_mark_name(name);
    timings.clear_measures_with_measure_name(name);
    // A browser without the list does the work all the same.
    let _ = timings.mark(name);
    let done = work();
    let _ = timings.measure_with_start_mark(name, name);
    done
}

/// Writes text to the browser's console, for whoever looks into a fault.
pub fn log(text: &str) {
    web_sys::console::error_1(&JsValue::from_str(text));
}

/// Asks the browser to keep this app's storage; tells whether it will.
pub async fn ask_to_persist() -> Option<bool> {
    let storage = window()?.navigator().storage();
    let asked = JsFuture::from(storage.persist().ok()?).await.ok()?;
    asked.as_bool()
}

/// Tells whether the app was opened from the home screen and not in a browser tab.
pub fn is_installed() -> bool {
    let query = |text: &str| window().and_then(|w| w.match_media(text).ok().flatten()).is_some_and(|m| m.matches());
    let apple = window()
        .and_then(|window| js_sys::Reflect::get(&window.navigator(), &JsValue::from_str("standalone")).ok())
        .is_some_and(|value| value.is_truthy());
    query("(display-mode: standalone)") || query("(display-mode: fullscreen)") || apple
}

/// Tells whether this browser drops a tab's storage after a week without use,
/// as those of one phone system do; told by a property that only they have.
pub fn drops_after_a_week() -> bool {
    let standalone = window()
        .and_then(|window| js_sys::Reflect::get(&window.navigator(), &JsValue::from_str("standalone")).ok())
        .is_some_and(|value| !value.is_undefined());
    standalone && !is_installed()
}

/// Gets a file of this origin as its bytes.
///
/// # Errors
/// Gives back what the server or the browser said.
pub async fn fetch_bytes(path: &str) -> Result<Vec<u8>, String> {
    let file = fetch(path).await?;
    let buffer = JsFuture::from(file.array_buffer()).await.map_err(|value| format!("{path}: {value:?}"))?;
    Ok(js_sys::Uint8Array::new(&buffer).to_vec())
}

/// Gets a file of this origin.
///
/// # Errors
/// Gives back what the server or the browser said.
pub async fn fetch(path: &str) -> Result<web_sys::Blob, String> {
    let window = window().ok_or_else(|| "no window".to_owned())?;
    let said = |value: JsValue| format!("{path}: {value:?}");
    let response = JsFuture::from(window.fetch_with_str(path)).await.map_err(said)?;
    let response: web_sys::Response = response.dyn_into().map_err(said)?;
    if !response.ok() {
        return Err(format!("{path}: {}", response.status()));
    }
    let file = JsFuture::from(response.blob().map_err(said)?).await.map_err(said)?;
    file.dyn_into().map_err(said)
}
