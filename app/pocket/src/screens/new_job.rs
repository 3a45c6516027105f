//! A new job: a boat, a few words, and the clock can run at once.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::{BoatChoice, Command, NewJob};
use quaywright_core::event::{Activity, BoatFacts, PayType, Tags};
use quaywright_core::id::{BoatId, EngineId, EventId, JobId};
use quaywright_core::text::{Label, Prose};
use quaywright_core::view;

use super::heading;
use super::job::guided::{self, Choice, ProcedureChoice};
use crate::components::{Field, TagField, button};
use crate::desk::{Desk, use_desk};
use crate::look::{Look, shown};
use crate::platform::page;
use crate::route::{JobPart, Route};

#[derive(Clone, Copy)]
struct Fields {
    boat: RwSignal<Option<BoatId>>,
    engine: RwSignal<Option<EngineId>>,
    boat_name: RwSignal<String>,
    owner: RwSignal<String>,
    title: RwSignal<String>,
    complaint: RwSignal<String>,
    tags: RwSignal<String>,
    pay: RwSignal<PayType>,
    procedure: RwSignal<Option<Choice>>,
    /// Whether the job is being opened, so that a finger that bounces opens one.
    opening: RwSignal<bool>,
}

const DRAFTS: [&str; 9] = [
    "new-job/boat",
    "new-job/owner",
    "new-job/title",
    "new-job/complaint",
    "new-job/known-boat",
    "new-job/pay",
    "new-job/engine",
    "new-job/tags",
    "new-job/procedure",
];

impl Fields {
    fn job(self, start: Option<Activity>) -> NewJob {
        let text = |field: RwSignal<String>| Label::new(&field.get_untracked());
        let boat = match self.boat.get_untracked() {
            Some(boat) => BoatChoice::Known(boat),
            None => BoatChoice::New(BoatFacts {
                name: text(self.boat_name),
                owner: text(self.owner),
                ..BoatFacts::default()
            }),
        };
        NewJob {
            boat,
            engine: self.engine.get_untracked(),
            title: text(self.title),
            pay: self.pay.get_untracked(),
            complaint: Prose::new(&self.complaint.get_untracked()),
            tags: Tags::typed(&self.tags.get_untracked()),
            start,
        }
    }
}

/// The form of a new job.
#[component]
pub fn NewJobScreen(boat: Option<BoatId>) -> impl IntoView {
    let desk = use_desk();
    let text = || RwSignal::new(String::new());
    let chosen_before = || desk.draft(DRAFTS[4]).and_then(|id| EventId::parse(&id)).map(BoatId);
    let pay_before = desk.draft(DRAFTS[5]).and_then(|words| PayType::ALL.into_iter().find(|pay| pay.words() == words));
    let fields = Fields {
        boat: RwSignal::new(boat.or_else(chosen_before)),
        engine: RwSignal::new(None),
        boat_name: text(),
        owner: text(),
        title: text(),
        complaint: text(),
        tags: text(),
        procedure: RwSignal::new(None),
        opening: RwSignal::new(false),
        pay: RwSignal::new(pay_before.unwrap_or(PayType::CustomerPay)),
    };
    let keep_pay = Callback::new(move |pay: PayType| desk.keep_draft(DRAFTS[5], pay.words().to_owned()));
    let submit = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        open(desk, fields, Some(Activity::Labour));
    };
    view! {
        {heading("New job")}
        <form class="group" on:submit=submit>
            <BoatChoices fields />
            <EngineChoice fields />
            <Field name="What is to be done" value=fields.title draft=DRAFTS[2] />
            <Field name="Complaint, in the customer's words" value=fields.complaint draft=DRAFTS[3] long=true />
            <ProcedureChoice chosen=fields.procedure draft=DRAFTS[8] />
            <PayChoice pay=fields.pay on_chosen=keep_pay />
            <TagField value=fields.tags draft=DRAFTS[7] />
            {such_jobs(desk, fields.tags)}
            <button type="submit" class="big">"Open it and start labour"</button>
            {button("", "Open it, clock as it is", move || open(desk, fields, None))}
        </form>
    }
}

fn open(desk: Desk, fields: Fields, start: Option<Activity>) {
    if fields.opening.get_untracked() {
        return;
    }
    fields.opening.set(true);
    // Read before anything is waited for: when it is kept the form may be gone.
    let (job, procedure) = (fields.job(start), fields.procedure.get_untracked());
    spawn_local(async move {
        let first = match job.boat {
            BoatChoice::Known(_) => 0,
            BoatChoice::New(_) => 1,
        };
        let words = format!("{} is open", job.title);
        if let Some(event) = desk.ask(Command::OpenJob(job), words).await {
            DRAFTS.into_iter().for_each(|draft| desk.drop_draft(draft));
            // The job follows its boat where both are new.
            let job = JobId(event.later(first));
            let place = match procedure {
                Some(choice) => {
                    guided::start(desk, job, choice).await;
                    Route::Job(job, JobPart::Steps)
                }
                None if start.is_some() => Route::Now,
                None => Route::Job(job, JobPart::Story),
            };
            page::go(&place.fragment());
        }
        let _ = fields.opening.try_set(false);
    });
}

/// What such jobs took, as soon as there is a tag.
fn such_jobs(desk: Desk, tags: RwSignal<String>) -> AnyView {
    let took = desk.look(move |book, now| view::such_jobs_took(book, &Tags::typed(&tags.get()), None, now));
    shown(move || took.get().map(|words| view! { <p role="status">{words}</p> }))
}

#[component]
fn BoatChoices(fields: Fields) -> impl IntoView {
    let desk = use_desk();
    let boats = desk.look(|book, _| view::boats(book));
    let choose = move |event| {
        let chosen = event_target_value(&event);
        desk.keep_draft(DRAFTS[4], chosen.clone());
        fields.boat.set(boats.with_untracked(|boats| boats.iter().find(|b| b.id.to_string() == chosen).map(|b| b.id)));
    };
    let option = move |boat: view::BoatRow| {
        view! { <option value=boat.id.to_string() selected=move || fields.boat.get() == Some(boat.id)>{boat.name}</option> }
    };
    let known = shown(move || {
        (!boats.with(Vec::is_empty)).then(|| {
            view! {
                <label>
                    <span class="name">"Boat"</span>
                    <select on:change=choose>
                        <option value="" selected=move || fields.boat.get().is_none()>"A boat that is not in the book"</option>
                        {boats.get().into_iter().map(option).collect_view()}
                    </select>
                </label>
            }
        })
    });
    let new = shown(move || {
        fields.boat.get().is_none().then(|| {
            view! {
                <Field name="Boat's name" value=fields.boat_name draft=DRAFTS[0] />
                <Field name="Owner" value=fields.owner draft=DRAFTS[1] />
            }
        })
    });
    view! {
        {known}
        {new}
    }
}

/// Which engine, where the boat has several.
#[component]
fn EngineChoice(fields: Fields) -> impl IntoView {
    let desk = use_desk();
    let engines = Look::at(move || {
        let engines = desk.book.with(|book| fields.boat.get().map(|boat| view::engines(book, boat)));
        engines.filter(|engines| engines.len() > 1).unwrap_or_default()
    });
    // What was chosen before the page died counts as long as the boat is the same.
    let chosen_before = move || {
        let engine = desk.draft(DRAFTS[6]).and_then(|id| EventId::parse(&id)).map(EngineId);
        engine.filter(|&engine| engines.with_untracked(|all| all.iter().any(|one| one.id == engine)))
    };
    Effect::new(move |before: Option<Option<BoatId>>| {
        let boat = fields.boat.get();
        match before {
            None => fields.engine.set(chosen_before()),
            Some(before) if before != boat => {
                fields.engine.set(None);
                desk.drop_draft(DRAFTS[6]);
            }
            Some(_) => {}
        }
        boat
    });
    let choose = move |event| {
        let chosen = event_target_value(&event);
        desk.keep_draft(DRAFTS[6], chosen.clone());
        fields.engine.set(engines.with_untracked(|all| all.iter().find(|e| e.id.to_string() == chosen).map(|e| e.id)));
    };
    let option = move |engine: view::EngineCard| {
        let selected = move || fields.engine.get() == Some(engine.id);
        view! { <option value=engine.id.to_string() selected=selected>{engine.line}</option> }
    };
    shown(move || {
        (!engines.with(Vec::is_empty)).then(|| {
            view! {
                <label>
                    <span class="name">"Engine"</span>
                    <select on:change=choose>
                        <option value="">"None in particular"</option>
                        {engines.get().into_iter().map(option).collect_view()}
                    </select>
                </label>
            }
        })
    })
}

/// Who pays, as a choice of three.
#[component]
pub(super) fn PayChoice(
    pay: RwSignal<PayType>,
    #[prop(optional)] on_chosen: Option<Callback<PayType>>,
) -> impl IntoView {
    // Radio buttons belong together by name; each group on a page needs its own.
    let group = format!("pay-{}", page::running_number());
    let choice = move |one: PayType| {
        let chosen = move |_| {
            pay.set(one);
            if let Some(on_chosen) = on_chosen {
                on_chosen.run(one);
            }
        };
        view! {
            <label class="choice">
                <input type="radio" name=group.clone() prop:checked=move || pay.get() == one on:change=chosen />
                {one.words()}
            </label>
        }
    };
    view! {
        <fieldset>
            <legend>"Who pays"</legend>
            {PayType::ALL.map(choice).collect_view()}
        </fieldset>
    }
}
