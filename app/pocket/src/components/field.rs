//! Fields to type into; what is half typed survives the death of the page.

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::named_button;
use crate::desk::use_desk;
use crate::platform::page;

/// A text field with its name above it.
#[component]
pub fn Field(
    /// What to write.
    #[prop(into)]
    name: String,
    /// What is written.
    value: RwSignal<String>,
    /// Under which key a half-typed text is kept.
    #[prop(optional, into)]
    draft: Option<String>,
    /// Whether it takes several lines.
    #[prop(optional)]
    long: bool,
    /// The keyboard that a phone shows: `decimal`, `text` …
    #[prop(default = "text")]
    keyboard: &'static str,
    /// What to do when the field is left changed.
    #[prop(optional, into)]
    on_left: Option<Callback<String>>,
) -> impl IntoView {
    let desk = use_desk();
    if let Some(kept) = draft.as_deref().and_then(|key| desk.draft(key)).filter(|kept| !kept.is_empty()) {
        value.set(kept);
    }
    let left_draft = draft.clone();
    let typed = move |text: String| {
        if let Some(key) = draft.as_deref() {
            desk.keep_draft(key, text.clone());
        }
        value.set(text);
    };
    let left = move |text: String| {
        // Whoever leaves it may open the camera next, and a phone may end the page meanwhile. A field
        // is also left by being taken off the screen, when what belongs to the screen is gone already.
        if let Some(key) = left_draft.clone() {
            spawn_local(async move { desk.store_draft(&key).await });
        }
        if let Some(on_left) = on_left {
            // What was to be done may be gone with the screen; a draft is kept all the same.
            let _ = on_left.try_run(text);
        }
    };
    let input = if long {
        view! {
            <textarea
                prop:value=move || value.get()
                on:input=move |event| typed(event_target_value(&event))
                on:change=move |event| left(event_target_value(&event))
            ></textarea>
        }
        .into_any()
    } else {
        view! {
            <input
                type="text"
                autocomplete="off"
                inputmode=keyboard
                prop:value=move || value.get()
                on:input=move |event| typed(event_target_value(&event))
                on:change=move |event| left(event_target_value(&event))
            />
        }
        .into_any()
    };
    view! {
        <label>
            <span class="name">{name}</span>
            {input}
        </label>
    }
}

/// A count with a button for less and one for more.
#[component]
pub fn CountField(
    /// What is counted.
    #[prop(into)]
    name: String,
    /// The count as typed.
    value: RwSignal<String>,
    /// Under which key a half-typed count is kept.
    #[prop(optional, into)]
    draft: Option<String>,
) -> impl IntoView {
    let desk = use_desk();
    if let Some(kept) = draft.as_deref().and_then(|key| desk.draft(key)).filter(|kept| !kept.is_empty()) {
        value.set(kept);
    }
    let draft = StoredValue::new(draft);
    let typed = move |text: String| {
        draft.with_value(|draft| draft.iter().for_each(|key| desk.keep_draft(key, text.clone())));
        value.set(text);
    };
    let step = move |by: i64| {
        let now: i64 = value.get_untracked().trim().parse().unwrap_or(0);
        typed((now + by).clamp(1, 9_999).to_string());
    };
    let less = format!("{name}: one less");
    let more = format!("{name}: one more");
    // Several counts may stand on one page, and a label names the first of an id.
    let id = format!("count-{}", page::running_number());
    view! {
        <div>
            <label class="label" for=id.clone()>{name}</label>
            <div class="count">
                {named_button("", "−", less, move || step(-1))}
                <input
                    id=id
                    type="text"
                    inputmode="numeric"
                    autocomplete="off"
                    prop:value=move || value.get()
                    on:input=move |event| typed(event_target_value(&event))
                />
                {named_button("", "+", more, move || step(1))}
            </div>
        </div>
    }
}
