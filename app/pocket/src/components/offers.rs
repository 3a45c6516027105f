//! What was typed lately, offered before the keyboard is needed.

use leptos::prelude::*;

/// Buttons that fill a field.
#[component]
pub fn Offers(
    /// What to offer.
    #[prop(into)]
    offers: Signal<Vec<String>>,
    /// What they are, for a screen reader.
    name: &'static str,
    /// The field that they fill.
    value: RwSignal<String>,
) -> impl IntoView {
    move || {
        let offers = offers.get();
        (!offers.is_empty()).then(|| {
            let button = |offer: String| {
                let filled = offer.clone();
                view! { <button type="button" on:click=move |_| value.set(filled.clone())>{offer}</button> }
            };
            view! {
                <div class="offers" role="group" aria-label=name>
                    {offers.into_iter().map(button).collect_view()}
                </div>
            }
        })
    }
}
