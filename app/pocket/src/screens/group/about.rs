//! What was noted, photographed and said aloud of a group.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::About;
use quaywright_core::id::NoteId;
use quaywright_core::text::Prose;
use quaywright_core::view::GroupCard;

use crate::components::{Field, PhotoButton, Picture, button, voice_button, voice_player};
use crate::desk::Desk;
use crate::look::{Look, shown};

/// Returns the notes, voice notes and photos of the group, and the ways to add to them.
pub fn about(desk: Desk, card: Look<GroupCard>) -> AnyView {
    let (id, name) = card.with_untracked(|card| (card.id, card.name.clone()));
    let about = About::Group(id);
    let kept = Look::at(move || card.with(|card| (card.notes.clone(), card.voices.clone(), card.photos.clone())));
    let kept = shown(move || {
        let (notes, voices, photos) = kept.get();
        let note = move |(note, when, text): (NoteId, String, String)| {
            let away = move || desk.tell(Command::Withdraw { event: note.0 }, "The note is removed");
            view! {
                <li>
                    <p class="small">{when}</p>
                    <p class="prose">{text}</p>
                    {button("quiet", "Remove this note", away)}
                </li>
            }
        };
        view! {
            <ul class="list">{notes.into_iter().map(note).collect_view()}</ul>
            {voices.into_iter().map(voice_player).collect_view()}
            <div class="photos">{photos.into_iter().map(|photo| view! { <Picture photo /> }).collect_view()}</div>
        }
    });
    view! {
        <section>
            <h2>"Notes and photos"</h2>
            <div class="row">
                <PhotoButton about full_name=format!("Photo of {name}") />
                {voice_button(about, format!("Voice note on {name}"))}
            </div>
            {kept}
            {note_form(desk, about, &id.to_string())}
        </section>
    }
    .into_any()
}

fn note_form(desk: Desk, about: About, key: &str) -> AnyView {
    let text = RwSignal::new(String::new());
    let draft = format!("note/{key}");
    let key = draft.clone();
    let keep = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let key = key.clone();
        spawn_local(async move {
            let written = Prose::new(&text.get_untracked());
            if desk.ask(Command::WriteNote { about, text: written }, "Note kept").await.is_some() {
                text.set(String::new());
                desk.drop_draft(&key);
            }
        });
    };
    view! {
        <form class="group" on:submit=keep>
            <Field name="Note on the group" value=text draft />
            <button type="submit">"Keep the note"</button>
        </form>
    }
    .into_any()
}
