//! A photo on the screen, and the button that asks for one.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::event::About;
use quaywright_core::id::BlobId;
use quaywright_core::view::PhotoCard;

use super::named_button;
use crate::desk::use_desk;
use crate::look::shown;
use crate::platform::page;
use crate::platform::share::ShownAt;

/// A photo with its caption; it is read when it comes near the screen.
#[component]
pub fn Picture(photo: PhotoCard) -> impl IntoView {
    shown_picture(photo.blob, photo.size, photo.caption)
}

/// Returns a picture with its caption, which is read when it comes near the screen.
pub fn shown_picture(blob: BlobId, (width, height): (u16, u16), caption: String) -> AnyView {
    let desk = use_desk();
    let found: RwSignal<Option<Result<ShownAt, String>>, LocalStorage> = RwSignal::new_local(None);
    let frame = NodeRef::<leptos::html::Figure>::new();
    let read = move || {
        spawn_local(async move {
            let bytes = desk.photo(blob).await.map_err(|trouble| trouble.to_string());
            let picture =
                bytes.and_then(|bytes| ShownAt::jpeg(&bytes).ok_or_else(|| "this photo cannot be shown".to_owned()));
            // The screen may be gone by now; then nobody wants it.
            found.try_set(Some(picture));
        });
    };
    Effect::new(move || {
        if let Some(frame) = frame.get() {
            page::when_near(&frame, read);
        }
    });
    let alt = caption.clone();
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
    view! {
        <figure class="photo" node_ref=frame>
            {picture}
            <figcaption>{caption}</figcaption>
        </figure>
    }
    .into_any()
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
            if let Some(input) = input.get_untracked() {
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
