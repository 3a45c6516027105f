//! Tags: typed with commas between them, or tapped where they were given before.

use leptos::prelude::*;
use quaywright_core::event::Tags;
use quaywright_core::view;

use super::Field;
use crate::desk::use_desk;
use crate::look::shown;

/// A field of tags, and below it those of other jobs to tap.
#[component]
pub fn TagField(
    /// What is written, with commas.
    value: RwSignal<String>,
    /// Under which key a half-typed text is kept.
    #[prop(into)]
    draft: String,
    /// What to do when the tags are others.
    #[prop(optional, into)]
    on_changed: Option<Callback<String>>,
) -> impl IntoView {
    let desk = use_desk();
    let known = desk.look(|book, _| view::known_tags(book));
    let changed = move |text: String| {
        if let Some(on_changed) = on_changed {
            on_changed.run(text);
        }
    };
    let key = draft.clone();
    let toggle = move |word: &str| {
        let text = Tags::typed(&value.get_untracked()).toggled(word).text();
        value.set(text.clone());
        desk.keep_draft(&key, text.clone());
        changed(text);
    };
    let offer = move |word: String| {
        let (name, toggle) = (word.clone(), toggle.clone());
        let given = word.clone();
        let pressed = move || Tags::typed(&value.get()).words().iter().any(|one| one.as_str() == given).to_string();
        view! { <button type="button" aria-pressed=pressed on:click=move |_| toggle(&name)>{word}</button> }
    };
    let offers = shown(move || {
        let known = known.get();
        (!known.is_empty()).then(|| {
            let buttons = known.into_iter().map(offer.clone()).collect_view();
            view! { <div class="offers" role="group" aria-label="Tags of other jobs">{buttons}</div> }
        })
    });
    let left = Callback::new(changed);
    view! {
        <div>
            <Field name="Tags, with commas between: what kind of job it is" value draft on_left=left />
            {offers}
        </div>
    }
}
