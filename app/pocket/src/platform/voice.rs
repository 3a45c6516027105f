//! The phone's own recorder: from the microphone to the bytes of a voice note.
//!
//! Rule: nothing is claimed until the bytes are there. Whatever ends a recording (a finger,
//! the longest length, the system that takes the microphone away, the page that is left)
//! ends it in the same way: what was recorded so far is handed on. The microphone is let go
//! as soon as nothing is recorded any more.

use std::cell::RefCell;
use std::rc::Rc;

use futures::channel::oneshot;
use js_sys::{Array, Date, Reflect, Uint8Array};
use quaywright_core::event::Sound;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Blob, BlobEvent, BlobPropertyBag, File, HtmlAudioElement, MediaRecorder, MediaRecorderOptions, MediaStream,
    MediaStreamConstraints, MediaStreamTrack, Url,
};

/// Speech is clear at this rate, and a minute of it is a quarter of a megabyte.
const BITS_PER_SECOND: u32 = 32_000;
/// How often the recorder hands over what it has, in milliseconds.
const SLICE: i32 = 1_000;

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
    let Some(window) = web_sys::window() else { return false };
    let has = |of: &JsValue, name: &str| Reflect::get(of, &JsValue::from_str(name)).is_ok_and(|it| !it.is_undefined());
    has(&window, "MediaRecorder") && has(&window.navigator(), "mediaDevices") && kind().is_some()
}

/// Returns the first form that this browser's recorder writes.
fn kind() -> Option<Sound> {
    Sound::ALL.into_iter().take(3).find(|sound| MediaRecorder::is_type_supported(sound.media_type()))
}

/// A recording that is under way.
#[derive(Clone)]
pub struct Recording {
    recorder: MediaRecorder,
    stream: MediaStream,
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
    let sound = kind().filter(|_| can_record()).ok_or(NoVoice::NoRecorder)?;
    let devices = web_sys::window().and_then(|window| window.navigator().media_devices().ok());
    let constraints = MediaStreamConstraints::new();
    constraints.set_audio(&JsValue::TRUE);
    let asked = devices.ok_or(NoVoice::NoRecorder)?.get_user_media_with_constraints(&constraints).map_err(refused)?;
    let stream: MediaStream = JsFuture::from(asked).await.map_err(refused)?.unchecked_into();
    let options = MediaRecorderOptions::new();
    options.set_mime_type(sound.media_type());
    options.set_audio_bits_per_second(BITS_PER_SECOND);
    let begun = MediaRecorder::new_with_media_stream_and_media_recorder_options(&stream, &options);
    let recorder = begun.map_err(|_| {
        let_go(&stream);
        NoVoice::NoRecorder
    })?;
    let (pieces, (told, ended)) = (Array::new(), oneshot::channel());
    let taken = pieces.clone();
    let on_data = Closure::<dyn Fn(BlobEvent)>::new(move |event: BlobEvent| {
        if let Some(piece) = event.data() {
            taken.push(&piece);
        }
    });
    let told = RefCell::new(Some(told));
    let on_stop = Closure::<dyn Fn()>::new(move || {
        if let Some(told) = told.borrow_mut().take() {
            // Nobody may want it any more.
            let _ = told.send(Date::now());
        }
    });
    recorder.set_ondataavailable(Some(on_data.as_ref().unchecked_ref()));
    recorder.set_onstop(Some(on_stop.as_ref().unchecked_ref()));
    // They live as long as the recorder does, which is up to the browser.
    on_data.forget();
    on_stop.forget();
    if recorder.start_with_time_slice(SLICE).is_err() {
        let_go(&stream);
        return Err(NoVoice::NoMicrophone);
    }
    let ended = Rc::new(RefCell::new(Some(ended)));
    Ok(Recording { recorder, stream, pieces, begun: Date::now(), sound, ended })
}

impl Recording {
    /// Ends it; a second time does nothing.
    pub fn stop(&self) {
        // It may have ended by itself.
        let _ = self.recorder.stop();
        let_go(&self.stream);
    }

    /// Waits until it has ended and returns what was recorded; only the first who asks gets it.
    ///
    /// # Errors
    /// When nothing was recorded.
    pub async fn recorded(&self) -> Result<Recorded, NoVoice> {
        let ended = self.ended.borrow_mut().take().ok_or(NoVoice::Nothing)?;
        let at = ended.await.map_err(|_| NoVoice::Nothing)?;
        let_go(&self.stream);
        let kind = BlobPropertyBag::new();
        kind.set_type(self.sound.media_type());
        let whole = Blob::new_with_blob_sequence_and_options(&self.pieces, &kind).map_err(|_| NoVoice::Nothing)?;
        let bytes = bytes_of(&whole).await.filter(|bytes| !bytes.is_empty()).ok_or(NoVoice::Nothing)?;
        let sound = Sound::of_type(&self.recorder.mime_type()).unwrap_or(self.sound);
        Ok(Recorded { bytes, sound, ms: whole_ms(at - self.begun) })
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
    let player = HtmlAudioElement::new().ok()?;
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
    player.set_onloadedmetadata(Some(on_load.as_ref().unchecked_ref()));
    player.set_onerror(Some(on_error.as_ref().unchecked_ref()));
    player.set_src(&address);
    let loaded = asked.await.unwrap_or(false);
    let seconds = player.duration();
    player.set_onloadedmetadata(None);
    player.set_onerror(None);
    player.set_src("");
    drop(Url::revoke_object_url(&address));
    // What a recorder wrote without its length counts as none.
    loaded.then(|| if seconds.is_finite() { seconds } else { 0.0 })
}

async fn bytes_of(blob: &Blob) -> Option<Vec<u8>> {
    let buffer = JsFuture::from(blob.array_buffer()).await.ok()?;
    Some(Uint8Array::new(&buffer).to_vec())
}

fn whole_ms(ms: f64) -> u32 {
    ms.max(0.0) as u32
}

fn let_go(stream: &MediaStream) {
    stream.get_tracks().iter().for_each(|track| track.unchecked_into::<MediaStreamTrack>().stop());
}

fn refused(error: JsValue) -> NoVoice {
    let name = Reflect::get(&error, &JsValue::from_str("name")).ok().and_then(|name| name.as_string());
    match name.as_deref() {
        Some("NotAllowedError" | "SecurityError") => NoVoice::Refused,
        _ => NoVoice::NoMicrophone,
    }
}
