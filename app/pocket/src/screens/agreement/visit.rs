//! The next visit: what a job plans, what was planned before it, and the form of one more.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::id::JobId;
use quaywright_core::view::{self, VisitEntry, VisitRow};

use super::estimate::choice;
use crate::components::{Field, named_button};
use crate::desk::{Desk, sentence};
use crate::look::shown;
use crate::platform::page;
use crate::route::{AgreementPart, JobPart, Route};
use crate::screens::heading;

/// What was planned at an earlier visit and waits for a job, on the job's page; nothing where nothing was.
pub fn planned_before(desk: Desk, job: JobId) -> AnyView {
    let rows = desk.look(move |book, now| view::visits_card(book, job, now.day()).before);
    let row = move |row: VisitRow| {
        let name = |what: &str| format!("{what}: {}", row.words);
        let (visit, words) = (row.id, row.words.clone());
        let button = match row.made {
            None => named_button("", "This is that visit", name("This is that visit"), move || {
                desk.tell(Command::MakeVisit { visit, job }, "This job is the visit that was planned");
            }),
            Some(event) => named_button("quiet", "Not this job after all", name("Not this job after all"), move || {
                desk.tell(Command::Withdraw { event }, "The visit waits again");
            }),
        };
        let made = row.made.map(|_| view! { <p class="small">"This job is that visit."</p> });
        view! { <li><p>{words}</p>{made}{button}</li> }
    };
    let rows = shown(move || {
        let told = rows.get();
        (!told.is_empty()).then(|| {
            view! {
                <section class="group">
                    <h2>"Planned at an earlier visit"</h2>
                    <ul class="list">{told.into_iter().map(row).collect_view()}</ul>
                </section>
            }
        })
    });
    view! { {rows} }.into_any()
}

/// What a job plans, with the way to plan more.
pub fn next_visits(desk: Desk, job: JobId) -> AnyView {
    let rows = desk.look(move |book, now| view::visits_card(book, job, now.day()).planned);
    let row = move |row: VisitRow| {
        let event = row.id.0;
        let name = format!("Take it back: {}", row.words);
        let made = row.made.map(|_| view! { <p class="small">"This visit was made."</p> });
        let back = move || desk.tell(Command::Withdraw { event }, "The visit is planned no more");
        view! { <li><p>{row.words}</p>{made}{named_button("quiet", "Take it back", name, back)}</li> }
    };
    let list = shown(move || rows.get().into_iter().map(row).collect_view());
    let none = shown(move || {
        rows.with(Vec::is_empty)
            .then(|| view! { <p class="none">"None is planned. Say what this boat comes back for, and when."</p> })
    });
    view! {
        <section class="group">
            <h2>"Next visit"</h2>
            <ul class="list">{list}</ul>
            {none}
            <p><a class="button" href=Route::Agreement(job, AgreementPart::Visit).link()>"Plan the next visit"</a></p>
        </section>
    }
    .into_any()
}

/// The form.
pub(super) fn form(desk: Desk, job: JobId) -> AnyView {
    let [what, day, words, name] = [(); 4].map(|()| RwSignal::new(String::new()));
    let who = RwSignal::new(0_usize);
    let key = move |field: &str| format!("visit/{job}/{field}");
    day.set(desk.draft(&key("day")).unwrap_or_default());
    let choose_day = move |event| {
        let chosen = event_target_value(&event);
        desk.keep_draft(&key("day"), chosen.clone());
        day.set(chosen);
    };
    let keep = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let [what, day, words, name] = [what, day, words, name].map(|text| text.get_untracked());
        let visit = match (VisitEntry { what, day, words, who: who.get_untracked(), name }).read() {
            Ok(visit) => Box::new(visit),
            Err(why) => return desk.complain(sentence(&why.to_string())),
        };
        spawn_local(async move {
            if desk.ask(Command::PlanVisit { job, visit }, "The next visit is planned").await.is_some() {
                desk.drop_drafts(&key(""));
                page::go(&Route::Job(job, JobPart::Story).fragment());
            }
        });
    };
    let offered = VisitEntry::WHO.map(|who| sentence(who).trim_end_matches('.').to_owned()).to_vec();
    let named = shown(move || {
        (who.get() == VisitEntry::BY_NAME)
            .then(|| view! { <Field name="Who asks for it" value=name draft=key("name") /> })
    });
    let about = desk.look(move |book, _| {
        let place = view::place(book, quaywright_core::event::On::Job(job));
        format!("{} · {}", place.boat, place.job)
    });
    view! {
        {heading("Plan the next visit")}
        <p class="small"><a href=Route::Job(job, JobPart::Story).link()>{move || about.get()}</a></p>
        <p>"The owner's work summary tells it, and the next job on this boat begins with it."</p>
        <form class="group" on:submit=keep>
            <Field name="What is to be done then" value=what draft=key("what") />
            <label>
                <span class="name">"On which day (empty: no day yet)"</span>
                <input type="date" prop:value=move || day.get() on:input=choose_day />
            </label>
            <Field name="Or when, in words (before the first frost, after 50 hours)" value=words draft=key("words") />
            {choice("Who asks for it", offered, who)}
            {named}
            <button type="submit" class="big">"Keep the plan"</button>
        </form>
    }
    .into_any()
}
