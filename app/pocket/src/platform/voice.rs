//! The phone's own recorder: from the microphone to the bytes of a voice note.
//!
//! Rule: nothing is claimed until the bytes are there. Whatever ends a recording (a finger,
//! the longest length, the system that takes the microphone away, the page that is left)
//! ends it in the same way: what was recorded so far is handed on. The microphone is let go
//! as soon as nothing is recorded any more.
//!
//! The recorder (W3C, MediaStream Recording) is spoken to by name, since any of it may be
//! lacking in a browser.

use std::cell::RefCell;
use std::rc::Rc;

use futures::channel::oneshot;
use js_sys::{Array, Date, Function, Object, Promise, Reflect, Uint8Array};
use quaywright_core::event::Sound;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, File, Url};

/// Speech is clear at this rate, and a minute of it is a quarter of a megabyte.
const BITS_PER_SECOND: f64 = 32_000.0;
/// How often the recorder hands over what it has, in milliseconds.
const SLICE: f64 = 1_000.0;

/// Why nothing is recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoVoice {
    /// This browser has no recorder.
    NoRecorder,
    /// The person or the browser refused the microphone.
    Refused,
    /// There is no microphone, or another program has it.
    NoMicrophone,
    /// The recording gave nothing.
    Nothing,
    /// The file is no recording that can be kept.
    NoSound(String),
}

/// A voice note that was recorded.
pub struct Recorded {
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// In what they are written.
    pub sound: Sound,
    /// How long it is, in milliseconds.
    pub ms: u32,
}

/// Tells whether this browser has a recorder and lets pages use the microphone.
pub fn can_record() -> bool {
    kind().is_some() && devices().is_some()
}

/// Returns the first form that this browser's recorder writes.
fn kind() -> Option<Sound> {
    let recorder = recorder()?;
    let writes = |sound: &Sound| call(&recorder, "isTypeSupported", &[sound.media_type().into()]);
    Sound::ALL.into_iter().take(3).find(|sound| writes(sound).is_ok_and(|it| it.is_truthy()))
}

/// A recording that is under way.
#[derive(Clone)]
pub struct Recording {
    recorder: JsValue,
    microphone: JsValue,
    pieces: Array,
    begun: f64,
    sound: Sound,
    ended: Rc<RefCell<Option<oneshot::Receiver<f64>>>>,
}

/// Asks for the microphone and begins to record.
///
/// # Errors
/// Says why nothing is recorded.
pub async fn record() -> Result<Recording, NoVoice> {
    let sound = kind().ok_or(NoVoice::NoRecorder)?;
    let devices = devices().ok_or(NoVoice::NoRecorder)?;
    let asked = call(&devices, "getUserMedia", &[object(&[("audio", JsValue::TRUE)])]).map_err(refused)?;
    let microphone = JsFuture::from(asked.unchecked_into::<Promise>()).await.map_err(refused)?;
    let begun = begin(&microphone, sound);
    if begun.is_err() {
        let_go(&microphone);
    }
    begun.map_err(|_| NoVoice::NoMicrophone)
}

fn begin(microphone: &JsValue, sound: Sound) -> Result<Recording, JsValue> {
    let options = [("mimeType", sound.media_type().into()), ("audioBitsPerSecond", BITS_PER_SECOND.into())];
    let of = Array::of2(microphone, &object(&options));
    let recorder = Reflect::construct(&recorder().ok_or(JsValue::UNDEFINED)?, &of)?;
    let (pieces, (told, ended)) = (Array::new(), oneshot::channel());
    let taken = pieces.clone();
    let on_data = Closure::<dyn Fn(JsValue)>::new(move |event: JsValue| {
        taken.push(&get(&event, "data"));
    });
    let told = RefCell::new(Some(told));
    let on_stop = Closure::<dyn Fn()>::new(move || {
        if let Some(told) = told.borrow_mut().take() {
            // Nobody may want it any more.
            let _ = told.send(Date::now());
        }
    });
    Reflect::set(&recorder, &"ondataavailable".into(), on_data.as_ref())?;
    Reflect::set(&recorder, &"onstop".into(), on_stop.as_ref())?;
    call(&recorder, "start", &[SLICE.into()])?;
    // They live as long as the recorder does, which is up to the browser.
    on_data.forget();
    on_stop.forget();
    let (microphone, ended) = (microphone.clone(), Rc::new(RefCell::new(Some(ended))));
    Ok(Recording { recorder, microphone, pieces, begun: Date::now(), sound, ended })
}

impl Recording {
    /// Ends it; a second time does nothing.
    pub fn stop(&self) {
        // It may have ended by itself.
        let _ = call(&self.recorder, "stop", &[]);
        let_go(&self.microphone);
    }

    /// Waits until it has ended and returns what was recorded; only the first who asks gets it.
    ///
    /// # Errors
    /// When nothing was recorded.
    pub async fn recorded(&self) -> Result<Recorded, NoVoice> {
        let ended = self.ended.borrow_mut().take().ok_or(NoVoice::Nothing)?;
        let at = ended.await.map_err(|_| NoVoice::Nothing)?;
        let_go(&self.microphone);
        let kind = BlobPropertyBag::new();
        kind.set_type(self.sound.media_type());
        let whole = Blob::new_with_blob_sequence_and_options(&self.pieces, &kind).map_err(|_| NoVoice::Nothing)?;
        let bytes = bytes_of(&whole).await.filter(|bytes| !bytes.is_empty()).ok_or(NoVoice::Nothing)?;
        let kind = get(&self.recorder, "mimeType").as_string().unwrap_or_default();
        Ok(Recorded { bytes, sound: Sound::of_type(&kind).unwrap_or(self.sound), ms: whole_ms(at - self.begun) })
    }
}

/// Takes a recording that another program made.
///
/// # Errors
/// When this is no recording that can be kept and played.
pub async fn of_file(file: &File) -> Result<Recorded, NoVoice> {
    let no_sound = || NoVoice::NoSound(file.name());
    let sound = Sound::of_type(&file.type_()).ok_or_else(no_sound)?;
    let seconds = length_of(file).await.ok_or_else(no_sound)?;
    let bytes = bytes_of(file).await.filter(|bytes| !bytes.is_empty()).ok_or_else(no_sound)?;
    Ok(Recorded { bytes, sound, ms: whole_ms(seconds * 1_000.0) })
}

/// Returns how many seconds a file plays, as the browser says; nothing when it cannot play it.
async fn length_of(file: &File) -> Option<f64> {
    let address = Url::create_object_url_with_blob(file).ok()?;
    let player = Reflect::construct(&window("Audio")?.dyn_into::<Function>().ok()?, &Array::new()).ok()?;
    let (told, asked) = oneshot::channel();
    let told = Rc::new(RefCell::new(Some(told)));
    let tell = move |loaded: bool| {
        if let Some(told) = told.borrow_mut().take() {
            let _ = told.send(loaded);
        }
    };
    let fail = tell.clone();
    let on_load = Closure::<dyn Fn()>::new(move || tell(true));
    let on_error = Closure::<dyn Fn()>::new(move || fail(false));
    let set = |name: &str, value: &JsValue| Reflect::set(&player, &name.into(), value);
    let asked_for = set("onloadedmetadata", on_load.as_ref()).and(set("onerror", on_error.as_ref()));
    asked_for.and(set("src", &address.as_str().into())).ok()?;
    let loaded = asked.await.unwrap_or(false);
    let seconds = get(&player, "duration").as_f64().unwrap_or_default();
    // A player that is gone is asked nothing more.
    let _ = set("onloadedmetadata", &JsValue::NULL).and(set("onerror", &JsValue::NULL));
    drop(Url::revoke_object_url(&address));
    // What a recorder wrote without its length counts as none.
    loaded.then(|| if seconds.is_finite() { seconds } else { 0.0 })
}

async fn bytes_of(blob: &Blob) -> Option<Vec<u8>> {
    let asked = call(blob, "arrayBuffer", &[]).ok()?.dyn_into::<Promise>().ok()?;
    let buffer = JsFuture::from(asked).await.ok()?;
    Some(Uint8Array::new(&buffer).to_vec())
}

fn whole_ms(ms: f64) -> u32 {
    ms.max(0.0) as u32
}

/// Ends what the microphone gives, so that the phone no longer shows that it listens.
fn let_go(microphone: &JsValue) {
    if let Ok(tracks) = call(microphone, "getTracks", &[]) {
        Array::from(&tracks).iter().for_each(|track| drop(call(&track, "stop", &[])));
    }
}

fn refused(error: JsValue) -> NoVoice {
    match get(&error, "name").as_string().as_deref() {
        Some("NotAllowedError" | "SecurityError") => NoVoice::Refused,
        _ => NoVoice::NoMicrophone,
    }
}

fn recorder() -> Option<Function> {
    window("MediaRecorder")?.dyn_into().ok()
}

fn devices() -> Option<JsValue> {
    let devices = get(&window("navigator")?, "mediaDevices");
    devices.is_object().then_some(devices)
}

fn window(name: &str) -> Option<JsValue> {
    web_sys::window().map(|window| get(&window, name))
}

/// Returns a field; what has none has `undefined`.
fn get(of: &JsValue, name: &str) -> JsValue {
    Reflect::get(of, &name.into()).unwrap_or(JsValue::UNDEFINED)
}

fn call(of: &JsValue, name: &str, arguments: &[JsValue]) -> Result<JsValue, JsValue> {
    let method: Function = get(of, name).dyn_into()?;
    method.apply(of, &arguments.iter().collect())
}

fn object(fields: &[(&str, JsValue)]) -> JsValue {
    let object = Object::new();
    for (name, value) in fields {
        // A plain object takes every field.
        let _ = Reflect::set(&object, &(*name).into(), value);
    }
    object.into()
}
