//! Notes and photos of a job, latest first.

use leptos::prelude::*;
use quaywright_core::command::Command;
use quaywright_core::event::About;
use quaywright_core::id::{EventId, JobId, PhotoId};
use quaywright_core::text::Label;
use quaywright_core::view::{self, EvidenceRow, PairRow};

use crate::components::{Field, PhotoButton, Picture, button, voice_button, voice_player};
use crate::desk::{Desk, use_desk};
use crate::look::shown;
use crate::route::Route;

/// The buttons for more, and the rows.
#[component]
pub fn Photos(job: JobId) -> impl IntoView {
    let desk = use_desk();
    let rows = desk.look(move |book, now| view::evidence_of(book, job, now.day()));
    let none = shown(move || {
        rows.with(Vec::is_empty)
            .then(|| view! { <p class="none">"Nothing yet. A photo now saves a question later."</p> })
    });
    let first: RwSignal<Option<PhotoId>> = RwSignal::new(None);
    let list =
        shown(move || rows.get().into_iter().map(|row| view! { <li>{evidence(desk, row, first)}</li> }).collect_view());
    let pairs = desk.look(move |book, _| view::pairs(book, job));
    let pairs = shown(move || {
        (!pairs.with(Vec::is_empty)).then(|| {
            let rows = pairs.get().into_iter().map(|row| view! { <li>{pair(desk, row)}</li> }).collect_view();
            view! { <h3>"Before and after"</h3><ul class="list">{rows}</ul> }
        })
    });
    let asked = shown(move || {
        first.get().map(|_| {
            view! {
                <div class="row group">
                    <p class="grow" role="status">"Now point at the photo that shows it afterwards."</p>
                    {button("quiet", "No pair", move || first.set(None))}
                </div>
            }
        })
    });
    view! {
        <div class="row group">
            <PhotoButton about=About::Job(job) name="Photo of the job" />
            <a class="button grow" href=Route::Note { job: Some(job) }.link()>"Note"</a>
            {voice_button(About::Job(job), "Voice note on the job".to_owned())}
        </div>
        {pairs}
        {asked}
        <ul class="list group">{list}</ul>
        {none}
    }
}

fn evidence(desk: Desk, row: EvidenceRow, first: RwSignal<Option<PhotoId>>) -> impl IntoView {
    match row {
        EvidenceRow::Note { id, when, about, text } => view! {
            <p class="small">{told(when, about)}</p>
            <p class="prose">{text}</p>
            {remove(desk, id.0, "Remove this note", "The note is removed")}
        }
        .into_any(),
        EvidenceRow::Photo { when, about, photo } => {
            let id = photo.id.0;
            let photo_id = photo.id;
            let caption = caption(desk, photo.id);
            view! {
                <p class="small">{told(when, about)}</p>
                <Picture photo />
                {caption}
                {pairing(desk, photo_id, first)}
                {remove(desk, id, "Remove this photo", "The photo is removed")}
            }
            .into_any()
        }
        EvidenceRow::Voice { when, about, voice } => view! {
            <p class="small">{told(when, about)}</p>
            {voice_player(voice)}
        }
        .into_any(),
    }
}

/// Lets the technician say what a photo shows.
fn caption(desk: Desk, photo: PhotoId) -> AnyView {
    let value = RwSignal::new(String::new());
    let keep = Callback::new(move |text: String| {
        desk.tell(Command::Caption { photo, caption: Label::new(&text) }, "Kept what it shows");
    });
    view! {
        <details>
            <summary class="choice">"Say what it shows"</summary>
            <Field name="What it shows" value on_left=keep />
        </details>
    }
    .into_any()
}

/// Lets the technician point at two photos that show the same thing: first before, then after.
fn pairing(desk: Desk, photo: PhotoId, first: RwSignal<Option<PhotoId>>) -> AnyView {
    shown(move || match first.get() {
        None => button("quiet", "This is before the work", move || first.set(Some(photo))).into_any(),
        Some(before) if before == photo => view! { <p class="small">"Before the work"</p> }.into_any(),
        Some(before) => button("", "And this is after it", move || {
            first.set(None);
            let command = Command::PairPhotos { before, after: photo, what: Label::default() };
            desk.tell(command, "The owner sees both beside each other");
        })
        .into_any(),
    })
    .into_any()
}

fn pair(desk: Desk, row: PairRow) -> impl IntoView {
    view! {
        <div class="photos">
            <div><p class="small">"Before"</p><Picture photo=row.before /></div>
            <div><p class="small">"After"</p><Picture photo=row.after /></div>
        </div>
        {remove(desk, row.event, "Part this pair", "The photos are no pair any more")}
    }
}

fn told(when: String, about: Option<String>) -> String {
    match about {
        Some(about) => format!("{when}, {about}"),
        None => when,
    }
}

fn remove(desk: Desk, event: EventId, name: &'static str, words: &'static str) -> impl IntoView {
    button("quiet", name, move || desk.tell(Command::Withdraw { event }, words))
}
