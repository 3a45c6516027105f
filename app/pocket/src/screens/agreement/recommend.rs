//! Work that is recommended beyond what was agreed.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::id::JobId;
use quaywright_core::view;

use crate::components::Field;
use crate::desk::{Desk, sentence};
use crate::platform::page;
use crate::route::{AgreementPart, Route};
use crate::screens::heading;

/// The form.
pub(super) fn form(desk: Desk, job: JobId) -> AnyView {
    let [what, why, cost] = [(); 3].map(|()| RwSignal::new(String::new()));
    let key = move |field: &str| format!("recommend/{job}/{field}");
    let keep = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let texts = [what, why, cost].map(|text| text.get_untracked());
        let read = desk.book.with_untracked(|book| view::recommendation(book, &texts[0], &texts[1], &texts[2]));
        let recommendation = match read {
            Ok(recommendation) => Box::new(recommendation),
            Err(why) => return desk.complain(sentence(&why.to_string())),
        };
        spawn_local(async move {
            if desk.ask(Command::Recommend { job, recommendation }, "The recommendation is kept").await.is_some() {
                ["what", "why", "cost"].iter().for_each(|field| desk.drop_draft(&key(field)));
                page::go(&Route::Agreement(job, AgreementPart::Whole).fragment());
            }
        });
    };
    view! {
        {heading("Recommend more work")}
        <p>"The owner's work summary tells it, and whether it was accepted or declined."</p>
        <form class="group" on:submit=keep>
            <Field name="What you recommend" value=what draft=key("what") />
            <Field name="Why, and what may follow if it is not done" value=why draft=key("why") long=true />
            <Field name="About how much it costs (empty: not said)" value=cost draft=key("cost") keyboard="decimal" />
            <button type="submit" class="big">"Keep the recommendation"</button>
        </form>
    }
    .into_any()
}
