//! A job's page: its story, off-list, steps, torque, notes and photos, parts, time.
//!
//! On a phone one part is shown at a time; on a desk they lie beside each other.

mod gate;
pub(super) mod guided;
mod off;
mod parts;
mod photos;
mod readings;
mod steps;
mod story;
mod time;
mod torque;
mod warranty;

use leptos::prelude::*;
use quaywright_core::closing;
use quaywright_core::command::Command;
use quaywright_core::event::{Activity, Doing, On, PayType, Tags};
use quaywright_core::id::JobId;
use quaywright_core::view::{self, JobCard};

use gate::RunGate;

use super::now::sentence_case;
use super::{Heading, OverrunAside, heading};
use crate::components::button;
use crate::desk::{Desk, use_desk};
use crate::look::{Look, shown, while_here};
use crate::platform::page;
use crate::route::{AgreementPart, JobPart, Route};

/// A job's page, open at one of its parts.
#[component]
pub fn JobScreen(job: JobId, part: Look<JobPart>) -> impl IntoView {
    let desk = use_desk();
    let card = desk.look(move |book, now| view::job_card(book, job, now.day()));
    let known = Look::at(move || card.with(Option::is_some));
    shown(move || {
        if known.get() {
            let card = Look::at(move || card.get().unwrap_or_else(|| nothing(job)));
            view! { <Job card part /> }.into_any()
        } else {
            view! {
                {heading("This job is not in the book")}
                <p class="group"><a class="button" href=Route::Jobs { finished: false }.link()>"To the jobs"</a></p>
            }
            .into_any()
        }
    })
}

#[component]
fn Job(card: Look<JobCard>, part: Look<JobPart>) -> impl IntoView {
    let title = Look::at(move || card.with(|card| format!("{} · {}", card.boat_name, card.title)));
    let about = shown(move || {
        let card = card.get();
        let engine = card.engine.map(|engine| view! { <p class="small">{engine}</p> });
        view! {
            <p class="small">
                <a href=Route::Boat(card.boat).link()>{card.boat_name}</a>
                {(!card.whereabouts.is_empty()).then(|| format!(", {}", card.whereabouts))}
            </p>
            {engine}
        }
    });
    let claimed = Look::at(move || card.with(is_claimed));
    let wide = wide();
    let section = move |which: JobPart, name: &'static str| {
        let wide = wide.clone();
        let here = Look::at(move || wide.get() || part.get() == which);
        let inside = while_here(here, move || match which {
            JobPart::Story => view! { <story::Story card /> }.into_any(),
            JobPart::Off => view! { <off::Off card /> }.into_any(),
            JobPart::Steps => view! { <steps::Steps card /> }.into_any(),
            JobPart::Torque => view! { <torque::Torque card /> }.into_any(),
            JobPart::Readings => view! { <readings::Readings job=card.with_untracked(|card| card.id) /> }.into_any(),
            JobPart::Photos => view! { <photos::Photos job=card.with_untracked(|card| card.id) /> }.into_any(),
            JobPart::Parts => view! { <parts::Parts job=card.with_untracked(|card| card.id) /> }.into_any(),
            JobPart::Time => view! { <time::Time job=card.with_untracked(|card| card.id) /> }.into_any(),
            JobPart::Warranty => warranty::warranty(card.with_untracked(|card| card.id)),
        });
        view! { <section class=move || if part.get() == which { "part current" } else { "part" } aria-label=name>{inside}</section> }
    };
    view! {
        <Heading text=title />
        {about}
        <RunGate card />
        <WorkOnIt card />
        <OverrunAside job=card.with_untracked(|card| card.id) />
        <PartLinks card part />
        <div class="beside">
            {section(JobPart::Story, "Story")}
            {section(JobPart::Off, "Off-list")}
            {section(JobPart::Steps, "Steps")}
            {section(JobPart::Torque, "Torque")}
            {section(JobPart::Readings, "Readings")}
            {section(JobPart::Photos, "Notes and photos")}
            {section(JobPart::Parts, "Parts used")}
            {section(JobPart::Time, "Time")}
            {shown(move || claimed.get().then(|| section(JobPart::Warranty, "Warranty pack")))}
        </div>
    }
}

/// How wide a screen is on which the parts lie beside each other, as the stylesheet has it.
const WIDE: u16 = 64;

/// Returns whether the parts lie beside each other; it is asked once and followed.
fn wide() -> ArcRwSignal<bool> {
    thread_local! {
        static IS_WIDE: ArcRwSignal<bool> = {
            let wide = ArcRwSignal::new(false);
            let told = wide.clone();
            page::while_wide(WIDE, move |is_wide| told.set(is_wide));
            wide
        };
    }
    IS_WIDE.with(ArcRwSignal::clone)
}

/// The one big action: the clock on this job, or the end of the job.
#[component]
fn WorkOnIt(card: Look<JobCard>) -> impl IntoView {
    let desk = use_desk();
    let state = Look::at(move || card.with(|card| (card.id, card.running, card.finished)));
    shown(move || match state.get() {
        (job, _, true) => view! {
            {not_right(desk, job)}
            {warranty::lacking(desk, job)}
            <div class="row group">
                <a class="button" href=Route::Agreement(job, AgreementPart::Visit).link()>"Plan the next visit"</a>
                <a class="button" href=Route::Job(job, JobPart::Steps).link()>"For the next time"</a>
                {button("", "Open it again", move || desk.tell(Command::ReopenJob { job }, "The job is open again"))}
            </div>
        }
        .into_any(),
        (job, Some(activity), false) => view! {
            <div class="row group">
                <p class="grow run"><strong>{format!("{} is running", sentence_case(activity))}</strong></p>
                {finish(desk, job)}
            </div>
            {warranty::lacking(desk, job)}
        }
        .into_any(),
        (job, None, false) => view! {
            <p class="group">
                {button("big", "Start labour on this job", move || start(desk, job))}
            </p>
            <p class="group">{finish(desk, job)}</p>
            {warranty::lacking(desk, job)}
        }
        .into_any(),
    })
}

/// That the job is finished, and what of it is not right all the same.
fn not_right(desk: Desk, job: JobId) -> AnyView {
    let told = desk
        .look(move |book, _| closing::not_right_of(book, job).into_iter().map(|it| it.to_string()).collect::<Vec<_>>());
    shown(move || {
        let told = told.get();
        if told.is_empty() {
            return view! { <p class="group">"Finished."</p> }.into_any();
        }
        let told = told.into_iter().map(|words| view! { <li>{words}</li> }).collect_view();
        view! {
            <div class="group" role="status">
                <p class="stop">"Finished, but not everything is right:"</p>
                <ul class="stop" aria-label="Not right yet">{told}</ul>
            </div>
        }
        .into_any()
    })
    .into_any()
}

fn start(desk: Desk, job: JobId) {
    let to = Doing::At { activity: Activity::Labour, on: On::Job(job) };
    desk.tell(Command::SwitchClock { to }, "Labour on this job from now on");
}

fn finish(desk: Desk, job: JobId) -> impl IntoView {
    button("", "Finish the job", move || desk.tell(Command::FinishJob { job }, "The job is finished"))
}

/// Links to the parts, each with what it holds.
#[component]
fn PartLinks(card: Look<JobCard>, part: Look<JobPart>) -> impl IntoView {
    let claimed = Look::at(move || card.with(is_claimed));
    let link = move |which: JobPart| {
        let job = card.with_untracked(|card| card.id);
        view! {
            <a href=Route::Job(job, which).link() aria-current=move || (part.get() == which).then_some("true")>
                {move || card.with(|card| part_name(card, which))}
            </a>
        }
    };
    let links = shown(move || {
        let claimed = claimed.get();
        JobPart::ALL.into_iter().filter(|&which| which != JobPart::Warranty || claimed).map(link).collect_view()
    });
    view! { <nav class="parts" aria-label="Parts of the job">{links}</nav> }
}

/// Tells whether a line of the job is paid under warranty.
fn is_claimed(card: &JobCard) -> bool {
    card.lines.iter().any(|line| line.pay == PayType::Warranty)
}

fn part_name(card: &JobCard, part: JobPart) -> String {
    match part {
        JobPart::Story => "Story".to_owned(),
        JobPart::Off if card.off > 0 => format!("Off-list {}", card.off),
        JobPart::Off => "Off-list".to_owned(),
        JobPart::Steps if card.steps.is_empty() => "Steps".to_owned(),
        JobPart::Steps => {
            let done = card.steps.iter().filter(|step| step.done.is_some()).count();
            format!("Steps {done}/{}", card.steps.len())
        }
        JobPart::Torque if card.groups == 0 => "Torque".to_owned(),
        JobPart::Torque => format!("Torque {}/{}", card.tight, card.groups),
        JobPart::Readings => "Readings".to_owned(),
        JobPart::Photos => "Photos".to_owned(),
        JobPart::Parts => "Parts".to_owned(),
        JobPart::Time => "Time".to_owned(),
        JobPart::Warranty => "Warranty".to_owned(),
    }
}

/// A page that is left while its job goes has this to show for a moment.
fn nothing(id: JobId) -> JobCard {
    JobCard {
        id,
        boat: quaywright_core::id::BoatId(id.0),
        boat_name: String::new(),
        whereabouts: String::new(),
        engine: None,
        title: String::new(),
        tags: Tags::default(),
        finished: false,
        running: None,
        lines: Vec::new(),
        off: 0,
        gate: view::RunGate::default(),
        groups: 0,
        tight: 0,
        steps: Vec::new(),
    }
}
