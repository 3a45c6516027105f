//! The run gate: what of the engine is not there yet, in words, before anything else.
//!
//! What it says is only what somebody marked; with it come the cautions before an engine runs.

use leptos::prelude::*;
use quaywright_core::command::Command;
use quaywright_core::reassembly::gate::Need;
use quaywright_core::view::{self, JobCard, StepRow};

use super::off::{nth_of, pick};
use crate::desk::{Desk, use_desk};
use crate::look::{Look, shown};

/// Whether the engine may run, and how much is still off.
#[component]
pub fn RunGate(card: Look<JobCard>) -> impl IntoView {
    let desk = use_desk();
    let gate = Look::at(move || card.with(|card| card.gate.clone()));
    let off = Look::at(move || card.with(|card| card.off));
    let words = shown(move || {
        let gate = gate.get();
        let words = gate.words?;
        let class = if gate.shut { "stop large" } else { "small" };
        let missing = gate.missing.into_iter().map(|words| view! { <li>{words}</li> }).collect_view();
        Some(view! { <p class=class role="status">{words}</p><ul class="small">{missing}</ul> })
    });
    let still_off = shown(move || {
        let off = off.get();
        let words = if off == 1 { "1 thing is still off".to_owned() } else { format!("{off} things are still off") };
        (off > 0).then(|| view! { <p class="stop">{words}</p> })
    });
    let opened = RwSignal::new(false);
    let inside = shown(move || opened.get().then(|| before_running(desk, card)));
    view! {
        <section aria-label="Before the engine runs">
            {words}
            {still_off}
            <details on:toggle=move |event: leptos::ev::Event| opened.set(crate::platform::page::is_open(&event))>
                <summary class="choice">"Before the engine runs"</summary>
                {inside}
            </details>
        </section>
    }
}

/// The cautions, and which steps are needed.
fn before_running(desk: Desk, card: Look<JobCard>) -> AnyView {
    let steps = Look::at(move || card.with(|card| card.steps.clone()));
    let cautions = view::cautions_before_running().into_iter().map(|words| view! { <p>{words}</p> }).collect_view();
    let step = move |row: StepRow| {
        let needed = RwSignal::new(nth_of(&Need::ALL, row.needed));
        let step = row.id;
        let said = format!("Noted for: {}", row.text);
        let choose = move |nth: Option<usize>| {
            let need = nth.map(|nth| Need::ALL[nth]);
            desk.tell(Command::NeedStep { step, need }, said.clone());
        };
        // The choice is said when it differs from what the book says.
        let known = nth_of(&Need::ALL, row.needed);
        Effect::new(move |_| {
            let nth = needed.get();
            if nth != known {
                choose(nth);
            }
        });
        pick(row.text, Need::ALL.map(Need::words).to_vec(), needed)
    };
    let steps = shown(move || {
        let steps = steps.get();
        (!steps.is_empty()).then(|| {
            view! {
                <p class="label">"Steps that are needed before it runs"</p>
                <div class="stack">{steps.into_iter().map(step).collect_view()}</div>
            }
        })
    });
    view! {
        <div class="caution" role="note">{cautions}</div>
        <p class="small">"Mark on the off-list, and here, what has to be there before the engine runs."</p>
        {steps}
    }
    .into_any()
}
