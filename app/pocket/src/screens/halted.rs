//! Something that was kept is gone: what happened, and the ways on.
//!
//! Nothing is written here until the person chooses: bring back a backup, save
//! what is left, or carry on without what is lost.

use leptos::prelude::*;

use super::Heading;
use crate::desk::{Paper, use_desk};
use crate::platform::photo::{self, FileInput};

/// The page while the workbook is read-only because of a loss.
#[component]
pub fn HaltedScreen(troubles: Vec<String>) -> impl IntoView {
    let desk = use_desk();
    let sure = RwSignal::new(false);
    let picked = move |event: leptos::ev::Event| {
        let input: FileInput = event_target(&event);
        desk.bring_back(photo::picked(&input));
    };
    let carry_on = move || {
        if sure.get() {
            view! {
                <p class="stop">"What is missing stays missing. A backup that turns up later can still be brought in."</p>
                <button type="button" on:click=move |_| desk.carry_on_without()>"Yes, carry on without it"</button>
            }
            .into_any()
        } else {
            view! {
                <button type="button" on:click=move |_| sure.set(true)>"Carry on without what is missing …"</button>
            }
            .into_any()
        }
    };
    view! {
        <Heading text="Something that was kept is missing".to_owned() />
        <div class="telling grave" role="alert">
            {troubles.into_iter().map(|text| view! { <p>{text}</p> }).collect_view()}
        </div>
        <p>"Nothing is written until you choose. What is still here can be read and saved."</p>
        <div class="stack group">
            <label class="file">
                "Bring back a backup"
                <input class="away" type="file" aria-label="Bring back a backup" on:change=picked />
            </label>
            <button type="button" on:click=move |_| desk.save(Paper::Backup)>"Save what is left"</button>
            {carry_on}
        </div>
    }
}
