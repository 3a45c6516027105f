//! The story of each line: complaint, cause, correction, and who pays.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::{PayType, StoryPart};
use quaywright_core::id::LineId;
use quaywright_core::text::{Label, Prose};
use quaywright_core::view::{JobCard, LineCard};

use crate::components::{Field, button};
use crate::desk::{sentence, use_desk};
use crate::look::Look;
use crate::screens::new_job::PayChoice;

/// All lines of a job.
#[component]
pub fn Story(card: Look<JobCard>) -> impl IntoView {
    let desk = use_desk();
    let lines = Look::at(move || card.with(|card| card.lines.iter().map(|line| line.id).collect::<Vec<LineId>>()));
    let line = move |id: LineId| {
        let position = lines.with_untracked(|lines| lines.iter().position(|&one| one == id).unwrap_or(0) + 1);
        let first = card.with_untracked(|card| card.lines.iter().find(|line| line.id == id).cloned());
        first.map(|first| view! { <Line first position /> })
    };
    let job = card.with_untracked(|card| card.id);
    let add = move || {
        let command = Command::AddLine { job, pay: PayType::CustomerPay, complaint: Prose::default() };
        desk.tell(command, "Another line: who pays, and what for?");
    };
    let title = RwSignal::new(card.with_untracked(|card| card.title.clone()));
    let retitle = Callback::new(move |text: String| {
        desk.tell(Command::RetitleJob { job, title: Label::new(&text) }, "The job is called so from now on");
    });
    view! {
        <div class="group"><Field name="What is to be done" value=title on_left=retitle /></div>
        <For each=move || lines.get() key=|id| *id children=line />
        <p class="group">
            {button("", "Another line, with its own payer", add)}
        </p>
    }
}

/// One line. Each part is kept when its field is left.
#[component]
fn Line(first: LineCard, position: usize) -> impl IntoView {
    let desk = use_desk();
    let id = first.id;
    let pay = RwSignal::new(first.pay);
    let set_pay = Callback::new(move |pay: PayType| {
        desk.tell(Command::SetPay { line: id, pay }, sentence(pay.words()));
    });
    let parts = StoryPart::ALL.into_iter().zip(first.story);
    let field = move |(part, text): (StoryPart, String)| {
        let draft = format!("story/{id}/{}", part.words());
        let key = draft.clone();
        let value = RwSignal::new(text);
        let keep = Callback::new(move |text: String| {
            let key = key.clone();
            spawn_local(async move {
                let command = Command::TellStory { line: id, part, text: Prose::new(&text) };
                let words = format!("{} kept", sentence(part.words()).trim_end_matches('.'));
                if desk.ask(command, words).await.is_some() {
                    desk.drop_draft(&key);
                }
            });
        });
        let name = sentence(part.words()).trim_end_matches('.').to_owned();
        view! { <Field name value draft long=true on_left=keep /> }
    };
    view! {
        <section class="stack group" aria-label=format!("Line {position}")>
            <h2>{format!("Line {position}")}</h2>
            {parts.map(field).collect_view()}
            <PayChoice pay on_chosen=set_pay />
        </section>
    }
}
