//! The groups of fasteners of a job, and the form for one more.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::id::GroupId;
use quaywright_core::view::{self, GroupRow, GroupText, JobCard};

use crate::desk::use_desk;
use crate::look::{Look, shown};
use crate::platform::page;
use crate::route::Route;
use crate::screens::group::{GroupFields, drop_drafts, group_form};

/// The list, and the form; what is entered opens at once.
#[component]
pub fn Torque(card: Look<JobCard>) -> impl IntoView {
    let desk = use_desk();
    let job = card.with_untracked(|card| card.id);
    let groups = desk.look(move |book, _| view::group_rows(book, job));
    let none = shown(move || {
        let words =
            "Nothing is to be tightened by torque yet. Enter a group of fasteners with the value from its manual.";
        groups.with(Vec::is_empty).then(|| view! { <p class="none">{words}</p> })
    });
    let fields = GroupFields::of(&GroupText::default());
    let keep = move || {
        let facts = match fields.text().read(None) {
            Ok(facts) => Box::new(facts),
            Err(why) => return desk.complain(crate::desk::sentence(&why.to_string())),
        };
        let words = format!("{}: {}", facts.what, facts.pattern.layout().words());
        spawn_local(async move {
            if let Some(event) = desk.ask(Command::AddGroup { job, facts }, words).await {
                fields.fill(&GroupText::default());
                drop_drafts(desk, &job.to_string());
                page::go(&Route::Group(GroupId(event)).fragment());
            }
        });
    };
    // The form comes first on a job without groups and when it is half filled, else the list does.
    let half_typed = desk.draft(&format!("group/{job}/what")).is_some_and(|text| !text.is_empty());
    let open = half_typed || groups.with_untracked(Vec::is_empty);
    view! {
        <ul class="list group">{shown(move || groups.get().into_iter().map(row).collect_view())}</ul>
        {none}
        <details class="group" open=open>
            <summary class="big">"A group to tighten"</summary>
            {group_form(desk, fields, &job.to_string(), "Add the group", keep)}
        </details>
    }
}

fn row(row: GroupRow) -> impl IntoView {
    let skipped = (!row.skipped.is_empty()).then(|| view! { <span class="stop small-line">{row.skipped}</span> });
    view! {
        <li class="bare">
            <a class="entry" href=Route::Group(row.id).link()>
                <span class="grow">
                    <span class="what">{row.name}</span>
                    <span>{row.what}</span>
                    " "
                    {skipped}
                </span>
                <span class="figure">{row.state}</span>
            </a>
        </li>
    }
}
