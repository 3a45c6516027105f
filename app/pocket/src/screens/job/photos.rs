//! Notes and photos of a job, latest first.

use leptos::prelude::*;
use quaywright_core::command::Command;
use quaywright_core::event::About;
use quaywright_core::id::{EventId, PhotoId};
use quaywright_core::text::Label;
use quaywright_core::view::{EvidenceRow, JobCard};

use crate::components::{Field, PhotoButton, Picture, button, voice_button, voice_player};
use crate::desk::{Desk, use_desk};
use crate::look::{Look, shown};
use crate::route::Route;

/// The buttons for more, and the rows.
#[component]
pub fn Photos(card: Look<JobCard>) -> impl IntoView {
    let desk = use_desk();
    let job = card.with_untracked(|card| card.id);
    let rows = Look::at(move || card.with(|card| card.evidence.clone()));
    let none = shown(move || {
        rows.with(Vec::is_empty)
            .then(|| view! { <p class="none">"Nothing yet. A photo now saves a question later."</p> })
    });
    let list = shown(move || rows.get().into_iter().map(|row| view! { <li>{evidence(desk, row)}</li> }).collect_view());
    view! {
        <div class="row group">
            <PhotoButton about=About::Job(job) name="Photo of the job" />
            <a class="button grow" href=Route::Note { job: Some(job) }.link()>"Note"</a>
            {voice_button(About::Job(job), "Voice note on the job".to_owned())}
        </div>
        <ul class="list group">{list}</ul>
        {none}
    }
}

fn evidence(desk: Desk, row: EvidenceRow) -> impl IntoView {
    match row {
        EvidenceRow::Note { id, when, about, text } => view! {
            <p class="small">{told(when, about)}</p>
            <p class="prose">{text}</p>
            {remove(desk, id.0, "Remove this note", "The note is removed")}
        }
        .into_any(),
        EvidenceRow::Photo { when, about, photo } => {
            let id = photo.id.0;
            let caption = caption(desk, photo.id);
            view! {
                <p class="small">{told(when, about)}</p>
                <Picture photo />
                {caption}
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

fn told(when: String, about: Option<String>) -> String {
    match about {
        Some(about) => format!("{when}, {about}"),
        None => when,
    }
}

fn remove(desk: Desk, event: EventId, name: &'static str, words: &'static str) -> impl IntoView {
    button("quiet", name, move || desk.tell(Command::Withdraw { event }, words))
}
