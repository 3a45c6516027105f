//! Small choices: one of a few words, or yes and no.

use leptos::prelude::*;

/// Returns a choice of one of these words or of none; the value counts from 0.
pub fn pick(name: String, words: Vec<&'static str>, value: RwSignal<Option<usize>>) -> AnyView {
    let choose = move |event| value.set(event_target_value(&event).parse().ok());
    let option = |(nth, words): (usize, &'static str)| {
        view! { <option value=nth.to_string() prop:selected=move || value.get() == Some(nth)>{words}</option> }
    };
    let options = words.into_iter().enumerate().map(option).collect_view();
    view! {
        <label>
            <span class="name">{name}</span>
            <select on:change=choose>
                <option value="" prop:selected=move || value.get().is_none()>"–"</option>
                {options}
            </select>
        </label>
    }
    .into_any()
}

/// Returns a yes or no.
pub fn yes(name: &'static str, value: RwSignal<bool>) -> AnyView {
    view! {
        <label class="choice">
            <input
                type="checkbox"
                prop:checked=move || value.get()
                on:change=move |event| value.set(event_target_checked(&event))
            />
            {name}
        </label>
    }
    .into_any()
}

/// Returns where something stands among all.
pub fn nth_of<T: PartialEq>(all: &[T], one: Option<T>) -> Option<usize> {
    let one = one?;
    all.iter().position(|it| *it == one)
}
