//! The checklist of a job.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::About;
use quaywright_core::text::Label;
use quaywright_core::view::{JobCard, StepRow};

use super::guided;
use crate::components::{Field, PhotoButton, Picture, voice_button, voice_player};
use crate::desk::use_desk;
use crate::look::{Look, shown};

/// The steps, and a field for one more.
#[component]
pub fn Steps(card: Look<JobCard>) -> impl IntoView {
    let desk = use_desk();
    let job = card.with_untracked(|card| card.id);
    let steps = Look::at(move || {
        card.with(|card| card.steps.iter().filter(|step| !step.guided).cloned().collect::<Vec<StepRow>>())
    });
    let any = Look::at(move || card.with(|card| !card.steps.is_empty()));
    let text = RwSignal::new(String::new());
    let draft = format!("step/{job}");
    let key = draft.clone();
    let add = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let key = key.clone();
        spawn_local(async move {
            let step = Label::new(&text.get_untracked());
            if desk.ask(Command::AddStep { job, text: step }, "Step added").await.is_some() {
                text.set(String::new());
                desk.drop_draft(&key);
            }
        });
    };
    let none = shown(move || {
        (!any.get()).then(|| view! { <p class="none">"No steps yet. Write down what must not be forgotten."</p> })
    });
    view! {
        <guided::Guided card />
        <ul class="list group">{shown(move || steps.get().into_iter().map(step).collect_view())}</ul>
        {none}
        <form class="group" on:submit=add>
            <Field name="Another step" value=text draft />
            <button type="submit">"Add the step"</button>
        </form>
        <guided::ByProcedure job />
        <guided::ForTheNextTime card />
    }
}

fn step(row: StepRow) -> impl IntoView {
    let desk = use_desk();
    let id = row.id;
    let done = row.done.is_some();
    let text = row.text.clone();
    let tick = move |_| {
        let words = if done { format!("Not done after all: {text}") } else { format!("Done: {text}") };
        desk.tell(Command::TickStep { step: id, done: !done }, words);
    };
    let photos = row.photos.into_iter().map(|photo| view! { <Picture photo /> }).collect_view();
    view! {
        <li>
            <div class="step">
                <label>
                    <input type="checkbox" prop:checked=done on:change=tick />
                    <span>
                        {row.text.clone()}
                        <span class="small">{row.done.map(|when| format!("done {when}"))}</span>
                    </span>
                </label>
            </div>
            <div class="row">
                <PhotoButton about=About::Step(id) full_name=format!("Photo of {}", row.text) />
                {voice_button(About::Step(id), format!("Voice note on {}", row.text))}
            </div>
            {row.voices.into_iter().map(voice_player).collect_view()}
            <div class="photos">{photos}</div>
        </li>
    }
}
