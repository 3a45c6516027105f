//! Something that was kept is gone: what happened, and the ways on.
//!
//! Nothing is written here until the person chooses: bring back a backup, save
//! what is left, or carry on without what is lost.

use leptos::prelude::*;

use super::heading;
use crate::components::button;
use crate::desk::{Paper, use_desk};
use crate::look::shown;
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
    let carry_on = shown(move || {
        if sure.get() {
            view! {
                <p class="stop">"What is missing stays missing. A backup that turns up later can still be brought in."</p>
                {button("", "Yes, carry on without it", move || desk.carry_on_without())}
            }
            .into_any()
        } else {
            button("", "Carry on without what is missing …", move || sure.set(true))
        }
    });
    view! {
        {heading("Something that was kept is missing")}
        <div class="telling grave" role="alert">
            {troubles.into_iter().map(|text| view! { <p>{text}</p> }).collect_view()}
        </div>
        <p>"Nothing is written until you choose. What is still here can be read and saved."</p>
        <div class="stack group">
            <label class="file">
                "Bring back a backup"
                <input class="away" type="file" aria-label="Bring back a backup" on:change=picked />
            </label>
            {button("", "Save what is left", move || desk.save(Paper::Backup))}
            {carry_on}
        </div>
    }
}
