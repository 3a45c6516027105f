//! How much of what was agreed is used, told while the clock runs.

use leptos::prelude::*;
use quaywright_core::agreement::overrun::Standing;
use quaywright_core::id::JobId;
use quaywright_core::view::{self, OverrunCard};

use crate::desk::{Desk, use_desk};
use crate::look::shown;
use crate::route::{AgreementPart, Route};

/// How it stands on a job, whatever it is.
pub fn overrun(desk: Desk, job: JobId) -> AnyView {
    let card = desk.look(move |book, now| view::overrun_card(book, job, now));
    shown(move || card.get().map(|card| told(job, card)))
}

/// How it stands on a job, beside other things: only once it is worth a look.
#[component]
pub fn OverrunAside(job: JobId) -> impl IntoView {
    let desk = use_desk();
    let card =
        desk.look(move |book, now| view::overrun_card(book, job, now).filter(|card| card.standing >= Standing::Near));
    shown(move || card.get().map(|card| told(job, card)))
}

fn told(job: JobId, card: OverrunCard) -> AnyView {
    let is_past = card.standing >= Standing::Past;
    let words = card.words.into_iter().map(|line| view! { <p>{line}</p> }).collect_view();
    let message = card.message.map(|text| {
        view! {
            <details>
                <summary class="choice">"A message to the owner"</summary>
                <p class="prose">{text.clone()}</p>
                <p class="group"><a class="button" href=view::message_link(&text)>"Open it as a message"</a></p>
            </details>
        }
    });
    let agree = is_past.then(|| {
        view! {
            <p class="group">
                <a class="button" href=Route::Agreement(job, AgreementPart::More).link()>"Agree to more"</a>
            </p>
        }
    });
    let (class, inner) = if is_past { ("telling grave group", "stop") } else { ("telling group", "") };
    view! {
        <section class=class aria-label="Agreed and used">
            <div class=inner>{words}</div>
            {message}
            {agree}
        </section>
    }
    .into_any()
}
