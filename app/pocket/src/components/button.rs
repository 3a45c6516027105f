//! A plain button.

use std::borrow::Cow;

use leptos::prelude::*;

/// Returns a button that does something.
pub fn button(class: &'static str, words: impl Into<Cow<'static, str>>, act: impl Fn() + 'static) -> AnyView {
    built(class, words.into(), None, Box::new(act))
}

/// Returns a button whose words alone would not tell a screen reader what it does.
pub fn named_button(
    class: &'static str,
    words: impl Into<Cow<'static, str>>,
    full_name: String,
    act: impl Fn() + 'static,
) -> AnyView {
    built(class, words.into(), Some(full_name), Box::new(act))
}

fn built(class: &'static str, words: Cow<'static, str>, full_name: Option<String>, act: Box<dyn Fn()>) -> AnyView {
    let class = (!class.is_empty()).then_some(class);
    view! { <button type="button" class=class aria-label=full_name on:click=move |_| act()>{words}</button> }.into_any()
}
