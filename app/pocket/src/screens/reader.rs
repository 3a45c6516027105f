//! What a boat's owner reads: the language and the units of the owner's documents.

use leptos::prelude::*;
use quaywright_core::command::Command;
use quaywright_core::event::{Language, Measures, Reader};
use quaywright_core::id::BoatId;

use crate::desk::Desk;
use crate::look::Look;

/// Returns both choices; each is kept with the boat at once.
pub fn reader_fields(desk: Desk, boat: BoatId, reader: Look<Reader>) -> AnyView {
    let keep = move |reader: Reader| {
        let words = format!("Kept: the owner reads {}, units {}", reader.language.words(), reader.measures.words());
        desk.tell(Command::SetReader { boat, reader }, words);
    };
    let by_language = move |event| {
        if let Some(language) = Language::parse(&event_target_value(&event)) {
            keep(Reader { language, ..reader.get_untracked() });
        }
    };
    let by_measures = move |event| {
        if let Some(measures) = Measures::parse(&event_target_value(&event)) {
            keep(Reader { measures, ..reader.get_untracked() });
        }
    };
    let language = move |it: Language| {
        let chosen = move || reader.get().language == it;
        view! { <option value=it.tag() lang=it.tag() selected=chosen>{it.words()}</option> }
    };
    let measures = move |it: Measures| {
        let chosen = move || reader.get().measures == it;
        view! { <option value=it.slug() selected=chosen>{it.words()}</option> }
    };
    view! {
        <div class="row group">
            <label class="grow">
                <span class="name">"Owner reads"</span>
                <select on:change=by_language>{Language::ALL.map(language).collect_view()}</select>
            </label>
            <label class="grow">
                <span class="name">"Units for the owner"</span>
                <select on:change=by_measures>{Measures::ALL.map(measures).collect_view()}</select>
            </label>
        </div>
    }
    .into_any()
}
