//! A quick note on the running job, or on the day.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Quick;
use quaywright_core::event::About;
use quaywright_core::id::JobId;
use quaywright_core::text::Prose;
use quaywright_core::view;

use super::Heading;
use crate::components::Field;
use crate::desk::use_desk;
use crate::look::Look;
use crate::platform::page;
use crate::route::{JobPart, Route};

const DRAFT: &str = "note";

/// The form of a note; `job` is where it belongs, else the running job, else the day.
#[component]
pub fn NoteScreen(job: Option<JobId>) -> impl IntoView {
    let desk = use_desk();
    let job = job.or_else(|| desk.book.with_untracked(|book| view::running(book).and_then(|running| running.job)));
    let on_job = RwSignal::new(job.is_some());
    let text = RwSignal::new(String::new());
    let title = Look::at(move || {
        let job = job.filter(|_| on_job.get());
        desk.book.with(|book| view::note_title(book, job))
    });
    let keep = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let job = job.filter(|_| on_job.get_untracked());
        let about = job.map_or(About::Day, About::Job);
        spawn_local(async move {
            let text = Prose::new(&text.get_untracked());
            if desk.ask(Quick::WriteNote { about, text }, "Note kept").await.is_some() {
                desk.drop_draft(DRAFT);
                let back = job.map_or(Route::Now, |job| Route::Job(job, JobPart::Photos));
                page::go(&back.fragment());
            }
        });
    };
    let elsewhere = job.map(|_| {
        view! {
            <button type="button" class="quiet" on:click=move |_| on_job.update(|on| *on = !*on)>
                {move || if on_job.get() { "Put it on the day instead" } else { "Put it on the job" }}
            </button>
        }
    });
    view! {
        <Heading text=title />
        <form class="group" on:submit=keep>
            <Field name="What to remember" value=text draft=DRAFT long=true />
            <button type="submit" class="big">"Keep the note"</button>
            {elsewhere}
        </form>
    }
}
