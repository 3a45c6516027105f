//! What was measured on a job, and how more is.

use leptos::prelude::*;
use quaywright_core::id::JobId;
use quaywright_core::view;

use crate::desk::use_desk;
use crate::screens::bench::{cards, questions};

/// The questions behind one tap, and the readings.
#[component]
pub fn Readings(job: JobId) -> impl IntoView {
    let desk = use_desk();
    let readings = desk.look(move |book, now| view::readings_of(book, job, now.day()));
    view! {
        <details class="group">
            <summary class="big">"Take a reading"</summary>
            {questions(Some(job))}
        </details>
        <div class="group">{cards(readings, "Nothing measured yet.")}</div>
    }
}
