//! Files on their way out: shared or downloaded.
//!
//! Sharing needs a finger on the glass just before, so a file is ready before
//! its button is. A share sheet that does not take a file says so before it opens or
//! only then; either way the reason is told, so that another form can be offered.

use js_sys::{Array, Function, Reflect, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, File, FilePropertyBag, HtmlAnchorElement, ShareData, Url};

/// The largest set of files that the share sheet takes in the strictest browser.
const MOST_SHARED_BYTES: f64 = 50.0 * 1024.0 * 1024.0;

/// A file that can leave.
#[derive(Clone, Debug)]
pub struct Ready {
    file: File,
}

/// Why the share sheet does not take a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// This browser shares no files at all.
    NoFiles,
    /// It shares files, and none of this kind.
    Kind,
    /// It shares files of this kind, and none so large.
    Size,
    /// It said this only when it was asked to: browsers that look at a file's kind only then do so.
    Said(String),
}

impl Refusal {
    /// Returns it as a sentence.
    pub fn words(&self) -> String {
        match self {
            Self::NoFiles => "This browser has no share sheet for files.".to_owned(),
            Self::Kind => "The share sheet of this browser takes no file of this kind.".to_owned(),
            Self::Size => "The share sheet of this browser takes no file so large.".to_owned(),
            Self::Said(name) => format!("The share sheet did not take this file ({name})."),
        }
    }

    /// Returns whether it may take the same file another time.
    pub fn may_pass(&self) -> bool {
        matches!(self, Self::Said(_))
    }
}

impl From<File> for Ready {
    fn from(file: File) -> Self {
        Self { file }
    }
}

impl Ready {
    /// Makes a file of bytes of this media type; there is none when the browser has no room for it.
    pub fn of(name: &str, media_type: &str, bytes: &[u8]) -> Option<Self> {
        let options = FilePropertyBag::new();
        options.set_type(media_type);
        let parts = Array::of1(&Uint8Array::from(bytes));
        File::new_with_u8_array_sequence_and_options(&parts, name, &options).ok().map(Self::from)
    }

    /// Makes one file of several that are its parts; there is none when the browser has no room for it.
    pub fn joined(name: &str, media_type: &str, parts: &[Self]) -> Option<Self> {
        let options = FilePropertyBag::new();
        options.set_type(media_type);
        let all = parts.iter().map(|part| &part.file).collect::<Array>();
        // A file is made of files as of bytes: the same call serves both, and is here already.
        File::new_with_u8_array_sequence_and_options(&all, name, &options).ok().map(Self::from)
    }

    /// Returns it as the browser has it.
    pub fn file(&self) -> &Blob {
        &self.file
    }

    /// Returns its name.
    pub fn name(&self) -> String {
        self.file.name()
    }

    /// Returns its size in bytes.
    pub fn bytes(&self) -> f64 {
        self.file.size()
    }

    /// Tells whether this browser's share sheet takes the file.
    pub fn can_be_shared(&self) -> bool {
        self.refusal().is_none()
    }

    /// Returns why this browser's share sheet does not take the file, as far as it says so beforehand.
    pub fn refusal(&self) -> Option<Refusal> {
        let is_taken = self.share_data().is_some_and(|data| can_share(&data));
        if is_taken && self.bytes() < MOST_SHARED_BYTES {
            return None;
        }
        Some(match (takes(&self.file.type_()), takes("text/plain") || takes("image/jpeg")) {
            (true, _) => Refusal::Size,
            (false, true) => Refusal::Kind,
            (false, false) => Refusal::NoFiles,
        })
    }

    /// Opens the share sheet; tells whether an app took the file.
    ///
    /// # Errors
    /// When the browser refuses; a person who changes their mind is no error.
    pub async fn share(&self) -> Result<bool, Refusal> {
        let data = self.share_data().ok_or(Refusal::NoFiles)?;
        let window = web_sys::window().ok_or(Refusal::NoFiles)?;
        match JsFuture::from(window.navigator().share_with_data(&data)).await {
            Ok(_) => Ok(true),
            // W3C Web Share API: a person who closes the sheet is told so.
            Err(error) if name_of(&error) == "AbortError" => Ok(false),
            Err(error) => Err(self.refusal().unwrap_or_else(|| Refusal::Said(name_of(&error)))),
        }
    }

    /// Returns the text in it.
    pub async fn text(&self) -> Option<String> {
        JsFuture::from(self.file.text()).await.ok()?.as_string()
    }

    /// Opens the file in a page of its own, to be looked at.
    ///
    /// # Errors
    /// When the browser refuses.
    pub fn open(&self) -> Result<(), String> {
        let refused = |_| "this browser opens no page for it: save it and open it there".to_owned();
        let url = Url::create_object_url_with_blob(&self.file).map_err(refused)?;
        let window = web_sys::window().ok_or("no window")?;
        let opened = window.open_with_url_and_target(&url, "_blank").map_err(refused)?;
        revoke_later(url);
        opened.map(drop).ok_or_else(|| refused(JsValue::NULL))
    }

    /// Gives the file to the browser as a download.
    ///
    /// # Errors
    /// When the browser refuses.
    pub fn download(&self) -> Result<(), String> {
        let said = |value: JsValue| format!("the file could not be saved: {value:?}");
        let url = Url::create_object_url_with_blob(&self.file).map_err(said)?;
        let document = web_sys::window().and_then(|window| window.document()).ok_or("no page")?;
        let link: HtmlAnchorElement = document.create_element("a").map_err(said)?.unchecked_into();
        link.set_href(&url);
        link.set_download(&self.file.name());
        link.click();
        revoke_later(url);
        Ok(())
    }

    fn share_data(&self) -> Option<ShareData> {
        let data = ShareData::new();
        let files = Array::of1(&self.file);
        Reflect::set(&data, &JsValue::from_str("files"), &files).ok()?;
        Some(data)
    }
}

/// A browser that is still reading the file must find it there.
fn revoke_later(url: String) {
    let revoke = wasm_bindgen::closure::Closure::once_into_js(move || drop(Url::revoke_object_url(&url)));
    if let Some(window) = web_sys::window() {
        let callback: &Function = revoke.unchecked_ref();
        drop(window.set_timeout_with_callback_and_timeout_and_arguments_0(callback, 60_000));
    }
}

/// Tells whether this browser's share sheet takes small files of a kind.
pub fn takes(media_type: &str) -> bool {
    let end = match media_type {
        "application/pdf" => "pdf",
        "text/html" => "html",
        "application/json" => "json",
        "text/csv" => "csv",
        "image/jpeg" => "jpg",
        _ => "txt",
    };
    Ready::of(&["a.", end].concat(), media_type, b"a")
        .and_then(|it| it.share_data())
        .is_some_and(|data| can_share(&data))
}

fn can_share(data: &ShareData) -> bool {
    let Some(window) = web_sys::window() else { return false };
    let navigator = window.navigator();
    let has = Reflect::has(&navigator, &JsValue::from_str("canShare")).unwrap_or(false);
    has && navigator.can_share_with_data(data)
}

fn name_of(error: &JsValue) -> String {
    let name = Reflect::get(error, &JsValue::from_str("name")).ok();
    name.and_then(|name| name.as_string()).unwrap_or_else(|| "unknown".to_owned())
}

/// An address under which the page can show bytes, until it is dropped.
pub struct ShownAt(String);

impl ShownAt {
    /// Gives bytes of this media type an address.
    pub fn of(media_type: &str, bytes: &[u8]) -> Option<Self> {
        let options = BlobPropertyBag::new();
        options.set_type(media_type);
        let parts = Array::of1(&Uint8Array::from(bytes));
        let blob = Blob::new_with_u8_array_sequence_and_options(&parts, &options).ok()?;
        Url::create_object_url_with_blob(&blob).ok().map(Self)
    }

    /// Returns the address.
    pub fn address(&self) -> &str {
        &self.0
    }
}

impl Drop for ShownAt {
    fn drop(&mut self) {
        drop(Url::revoke_object_url(&self.0));
    }
}
