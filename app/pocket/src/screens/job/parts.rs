//! Parts that went into a job.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::PartFacts;
use quaywright_core::id::JobId;
use quaywright_core::quantity::Count;
use quaywright_core::text::Label;
use quaywright_core::view::{self, PartRow};

use crate::components::{CountField, Field, named_button};
use crate::desk::{Desk, use_desk};
use crate::look::shown;

/// The form for one more, and the list.
#[component]
pub fn Parts(job: JobId) -> impl IntoView {
    let desk = use_desk();
    let parts = desk.look(move |book, _| view::parts_of(book, job));
    let (what, number) = (RwSignal::new(String::new()), RwSignal::new(String::new()));
    let count = RwSignal::new("1".to_owned());
    let drafts = ["what", "number", "count"].map(|field| format!("part/{job}/{field}"));
    let [what_draft, number_draft, count_draft] = drafts.clone();
    let add = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let Ok(counted) = count.get_untracked().trim().parse() else {
            return desk.complain("The count is not a whole number: write how many were used.");
        };
        let part = PartFacts {
            what: Label::new(&what.get_untracked()),
            number: Label::new(&number.get_untracked()),
            count: Count(counted),
        };
        let words = format!("{} × {} used", part.count, part.what);
        let drafts = drafts.clone();
        spawn_local(async move {
            if desk.ask(Command::UsePart { job, part }, words).await.is_some() {
                what.set(String::new());
                number.set(String::new());
                count.set("1".to_owned());
                drafts.iter().for_each(|draft| desk.drop_draft(draft));
            }
        });
    };
    let none = shown(move || parts.with(Vec::is_empty).then(|| view! { <p class="none">"No parts yet."</p> }));
    let list = shown(move || parts.get().into_iter().map(|row| part(desk, row)).collect_view());
    view! {
        <ul class="list group">{list}</ul>
        {none}
        <form class="group" on:submit=add>
            <Field name="Part" value=what draft=what_draft />
            <Field name="Part number, as on the packet" value=number draft=number_draft />
            <CountField name="How many used" value=count draft=count_draft />
            <button type="submit">"Add the part"</button>
        </form>
    }
}

fn part(desk: Desk, row: PartRow) -> impl IntoView {
    let event = row.id.0;
    let what = row.facts.what.to_string();
    let words = format!("{what} is removed");
    let remove = move || desk.tell(Command::Withdraw { event }, words.clone());
    view! {
        <li class="step">
            <span class="figure large">{row.facts.count.to_string()}</span>
            <span class="grow"><strong>{what.clone()}</strong> <span class="small">{row.facts.number.to_string()}</span></span>
            {named_button("quiet", "Remove", format!("Remove {what}"), remove)}
        </li>
    }
}
