//! A photo on the screen, and the button that asks for one.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::event::{About, Mark};
use quaywright_core::id::BlobId;
use quaywright_core::view::{self, Overlay, PhotoCard, Written};

use super::named_button;
use crate::desk::use_desk;
use crate::look::shown;
use crate::platform::page;
use crate::platform::share::ShownAt;
use crate::route::Route;

/// A photo with its caption and what is drawn on it, and the way to draw; it is read when it
/// comes near the screen.
#[component]
pub fn Picture(photo: PhotoCard) -> impl IntoView {
    let draw = Route::Photo(photo.id).link();
    let name = format!("Draw on it: {}", photo.caption);
    view! {
        <div>
            {shown_picture(photo.blob, photo.size, photo.caption, &photo.marks)}
            <a class="button quiet" href=draw aria-label=name>"Draw on it"</a>
        </div>
    }
}

/// Returns a picture with its caption and what is drawn on it.
pub fn shown_picture(blob: BlobId, size: (u16, u16), caption: String, marks: &[Mark]) -> AnyView {
    let over = (!marks.is_empty()).then(|| drawn(&view::overlay(marks, size)));
    view! {
        <figure class="photo">
            {framed(blob, size, view::photo_words(&caption, marks), over.into_any())}
            <figcaption>{caption}</figcaption>
        </figure>
    }
    .into_any()
}

/// Returns marks as a drawing that lies over its photo; the photo's words tell what it shows.
pub fn drawn(overlay: &Overlay) -> AnyView {
    let ((width, height), path, line) = (overlay.size, overlay.path(), overlay.line);
    let written = |words: &Written| {
        let (x, y) = words.middle;
        view! { <text x=x.to_string() y=y.to_string() font-size=words.size.to_string()>{words.text.clone()}</text> }
    };
    view! {
        <svg viewBox=format!("0 0 {width} {height}") preserveAspectRatio="xMinYMin" aria-hidden="true">
            <path class="pale" stroke-width=(3 * line).to_string() d=path.clone()></path>
            <path stroke-width=line.to_string() d=path></path>
            {overlay.written.iter().map(written).collect_view()}
        </svg>
    }
    .into_any()
}

/// Returns a picture, which is read when it comes near the screen, with something over it.
pub fn framed(blob: BlobId, (width, height): (u16, u16), alt: String, over: AnyView) -> AnyView {
    let desk = use_desk();
    let found: RwSignal<Option<Result<ShownAt, String>>, LocalStorage> = RwSignal::new_local(None);
    let frame = NodeRef::<leptos::html::Div>::new();
    let read = move || {
        spawn_local(async move {
            let bytes = desk.photo(blob).await.map_err(|trouble| trouble.to_string());
            let shown = |bytes: Vec<u8>| {
                ShownAt::of("image/jpeg", &bytes).ok_or_else(|| "this photo cannot be shown".to_owned())
            };
            // The screen may be gone by now; then nobody wants it.
            found.try_set(Some(bytes.and_then(shown)));
        });
    };
    Effect::new(move || {
        if let Some(frame) = frame.get() {
            page::when_near(&frame, read);
        }
    });
    let picture = shown(move || {
        found.with(|found| match found {
            None => view! { <div class="waiting"></div> }.into_any(),
            Some(Ok(at)) => view! {
                <img src=at.address().to_owned() alt=alt.clone() width=width.to_string() height=height.to_string() />
            }
            .into_any(),
            Some(Err(why)) => view! { <div class="waiting stop">{crate::desk::sentence(why)}</div> }.into_any(),
        })
    });
    view! { <div class="marked" node_ref=frame>{picture}{over}</div> }.into_any()
}

/// Asks for a photo of something: the camera or the gallery, as the phone offers.
///
/// What the photo is for is kept before the camera opens, because a phone may
/// close the page meanwhile; the app then asks for it again.
#[component]
pub fn PhotoButton(
    /// What it shows.
    about: About,
    /// What the button says.
    #[prop(default = "Photo")]
    name: &'static str,
    /// What a screen reader says, where the name alone would not tell.
    #[prop(optional, into)]
    full_name: Option<String>,
) -> impl IntoView {
    let desk = use_desk();
    let input = NodeRef::<leptos::html::Input>::new();
    let open = move || {
        spawn_local(async move {
            desk.expect_photo(about).await;
            // Who left meanwhile took it along.
            if let Some(Some(input)) = input.try_get_untracked() {
                input.click();
            }
        });
    };
    let picked = move |_| {
        if let Some(input) = input.get_untracked() {
            desk.add_photos(about, &input);
        }
    };
    let full_name = full_name.unwrap_or_else(|| name.to_owned());
    view! {
        {named_button("", name, full_name.clone(), open)}
        <input
            node_ref=input
            class="away"
            type="file"
            accept="image/*"
            multiple
            tabindex="-1"
            aria-label=format!("{full_name}: pick pictures")
            aria-hidden="true"
            on:change=picked
            on:cancel=move |_: leptos::ev::Event| desk.forget_expected_photo()
        />
    }
}
