//! The story of each line: complaint, cause, correction, and who pays; before it what was planned, after it what is.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::{Billing, PayType, StoryPart, Tags};
use quaywright_core::id::LineId;
use quaywright_core::moment::Length;
use quaywright_core::quantity::billed_minutes;
use quaywright_core::text::{Label, Prose};
use quaywright_core::view::{JobCard, LineCard};

use crate::components::{Field, TagField, button};
use crate::desk::{Desk, sentence, use_desk};
use crate::look::{Look, shown};
use crate::route::{AgreementPart, Route};
use crate::screens::agreement::{next_visits, planned_before};
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
        {planned_before(desk, job)}
        <div class="group stack">
            <Field name="What is to be done" value=title on_left=retitle />
            {tags(desk, card)}
            <a class="button" href=Route::Agreement(job, AgreementPart::Whole).link()>"Estimate and agreement"</a>
        </div>
        <For each=move || lines.get() key=|id| *id children=line />
        <p class="group">
            {button("", "Another line, with its own payer", add)}
        </p>
        {next_visits(desk, job)}
    }
}

/// The job's tags, kept when the field is left or one is tapped.
fn tags(desk: Desk, card: Look<JobCard>) -> AnyView {
    let job = card.with_untracked(|card| card.id);
    let draft = format!("tags/{job}");
    let known = Look::at(move || card.with(|card| card.tags.text()));
    let value = RwSignal::new(String::new());
    Effect::new(move || value.set(known.get()));
    let key = draft.clone();
    let keep = Callback::new(move |text: String| {
        let (key, tags) = (key.clone(), Tags::typed(&text));
        spawn_local(async move {
            if desk.ask(Command::TagJob { job, tags }, "Tags kept").await.is_some() {
                desk.drop_draft(&key);
            }
        });
    });
    view! { <TagField value draft on_changed=keep /> }.into_any()
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
            {billing_choice(desk, id, first.billing)}
        </section>
    }
}

const WAYS: [(&str, &str); 3] = [("clock", "by the clock"), ("flat", "a flat number of hours"), ("no", "no charge")];

/// How a line is billed; hours are asked for where they are flat.
fn billing_choice(desk: Desk, line: LineId, now: Billing) -> AnyView {
    let (way, hours) = match now {
        Billing::ByClock => ("clock", String::new()),
        Billing::Flat { minutes } => ("flat", Length::from_ms(u64::from(minutes) * 60_000).clock_face()),
        Billing::NoCharge => ("no", String::new()),
    };
    let (way, hours) = (RwSignal::new(way), RwSignal::new(hours));
    let tell = move |billing| desk.tell(Command::BillLine { line, billing }, "Billed so from now on");
    let choose = move |event| {
        let chosen = event_target_value(&event);
        way.set(WAYS.into_iter().map(|(way, _)| way).find(|way| *way == chosen).unwrap_or("clock"));
        match way.get_untracked() {
            "clock" => tell(Billing::ByClock),
            "no" => tell(Billing::NoCharge),
            // Flat counts once the hours are there.
            _ => {}
        }
    };
    let typed = Callback::new(move |text: String| match billed_minutes(&text) {
        Some(minutes) => tell(Billing::Flat { minutes }),
        None => desk.complain("Hours are written as 2.5 or 2:30."),
    });
    let option = move |(name, words): (&'static str, &'static str)| {
        view! { <option value=name selected=move || way.get() == name>{words}</option> }
    };
    view! {
        <label>
            <span class="name">"How it is billed"</span>
            <select on:change=choose>{WAYS.map(option).collect_view()}</select>
        </label>
        {shown(move || {
            (way.get() == "flat").then(|| {
                view! { <Field name="Billed hours, such as 2.5 or 2:30" value=hours keyboard="decimal" on_left=typed /> }
            })
        })}
    }
    .into_any()
}
