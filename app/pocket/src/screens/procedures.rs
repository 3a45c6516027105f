//! The procedures: those of the book, the ready-made ones, and a colleague's file.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::event::Procedure;
use quaywright_core::id::{ProcedureId, VersionId};
use quaywright_core::view::{self, ProcedureRow};

use super::heading;
use crate::components::{button, named_button};
use crate::desk::{Desk, use_desk};
use crate::look::{Look, shown};
use crate::platform::page;
use crate::platform::photo::{self, FileInput};
use crate::route::Route;

/// The list, and where more come from.
#[component]
pub fn ProceduresScreen() -> impl IntoView {
    let desk = use_desk();
    let rows = desk.look(|book, _| view::procedures(book));
    let none = shown(move || {
        rows.with(Vec::is_empty).then(|| {
            view! { <p class="none">"None yet. Take a ready-made one, or keep a job as one on its page, under Steps."</p> }
        })
    });
    let row = |row: ProcedureRow| {
        view! {
            <li class="bare">
                <a class="entry" href=Route::Procedure(row.id).link()>
                    <span class="grow"><span class="what">{row.title}</span><span>{row.detail}</span></span>
                </a>
            </li>
        }
    };
    let picked = move |event: leptos::ev::Event| {
        let input: FileInput = event_target(&event);
        desk.bring_back(photo::picked(&input));
    };
    view! {
        {heading("Procedures")}
        <ul class="list group">{shown(move || rows.get().into_iter().map(row).collect_view())}</ul>
        {none}
        <h2>"Ready-made"</h2>
        <p class="small">"Written from general trade knowledge. They hold no maker's value: the engine's service manual decides."</p>
        <ReadyMade rows />
        <h2>"From a colleague"</h2>
        <p class="group">
            <label class="file">
                "Take in a file of procedures"
                <input class="away" type="file" aria-label="Take in a file of procedures" on:change=picked />
            </label>
        </p>
    }
}

/// The ready-made procedures that are not in the book, as far as they are here.
pub(super) fn ready_made(desk: Desk) -> RwSignal<Option<Result<Vec<Procedure>, String>>> {
    let found = RwSignal::new(None);
    spawn_local(async move {
        let all = desk.ready_made().await;
        // Who left meanwhile took the signal along.
        let _ = found.try_set(Some(all));
    });
    found
}

/// Tells whether a ready-made procedure is in the book.
pub(super) fn is_kept(rows: &[ProcedureRow], one: &Procedure) -> bool {
    rows.iter().any(|row| row.key == one.key)
}

#[component]
fn ReadyMade(rows: Look<Vec<ProcedureRow>>) -> impl IntoView {
    let desk = use_desk();
    let found = ready_made(desk);
    let row = move |one: Procedure| {
        let title = one.title.to_string();
        let full = format!("Take it: {title}");
        let take = move || take(desk, one.clone());
        view! { <li class="row"><p class="grow"><strong>{title}</strong></p>{named_button("", "Take it", full, take)}</li> }
    };
    shown(move || match found.get() {
        None => view! { <p class="busy" role="status">"Looking for them …"</p> }.into_any(),
        Some(Err(why)) => view! {
            <p role="alert">{format!("They are not here: {why}")}</p>
            {button("", "Look again", page::reload)}
        }
        .into_any(),
        Some(Ok(all)) => {
            let rest = rows.with(|rows| all.into_iter().filter(|it| !is_kept(rows, it)).collect::<Vec<_>>());
            if rest.is_empty() {
                return view! { <p class="none">"All of them are in the book."</p> }.into_any();
            }
            view! { <ul class="list group">{rest.into_iter().map(row).collect_view()}</ul> }.into_any()
        }
    })
}

fn take(desk: Desk, one: Procedure) {
    spawn_local(async move {
        if let Some(VersionId(event)) = desk.keep_procedure(one).await {
            // What was not in the book is named by the event that kept it.
            page::go(&Route::Procedure(ProcedureId(event)).fragment());
        }
    });
}
