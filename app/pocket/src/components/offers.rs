//! What was typed lately, offered before the keyboard is needed.

use leptos::prelude::*;

use super::button;
use crate::look::{Look, shown};

/// Buttons that fill a field.
#[component]
pub fn Offers(
    /// What to offer.
    offers: Look<Vec<String>>,
    /// What they are, for a screen reader.
    name: &'static str,
    /// The field that they fill.
    value: RwSignal<String>,
) -> impl IntoView {
    shown(move || {
        let offers = offers.get();
        (!offers.is_empty()).then(|| {
            let fill = |offer: String| {
                let filled = offer.clone();
                button("", offer, move || value.set(filled.clone()))
            };
            view! {
                <div class="offers" role="group" aria-label=name>
                    {offers.into_iter().map(fill).collect_view()}
                </div>
            }
        })
    })
}
