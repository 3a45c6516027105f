//! Now: what runs, one tap to something else, and the day as a strip.

use leptos::prelude::*;
use quaywright_core::command::Command;
use quaywright_core::event::{About, Activity, Doing, On};
use quaywright_core::moment::Length;
use quaywright_core::view::{self, JobRow, LineChoice, Running, SpanRow};

use super::Heading;
use crate::components::PhotoButton;
use crate::desk::{Desk, sentence, use_desk};
use crate::route::Route;

/// What may be done for the job at hand.
const ON_A_JOB: [Activity; 6] = [
    Activity::Labour,
    Activity::Diagnosis,
    Activity::Travel,
    Activity::PartsRun,
    Activity::Waiting,
    Activity::Paperwork,
];

/// What may be done for no job in particular.
const ON_NO_JOB: [Activity; 6] = [
    Activity::Travel,
    Activity::PartsRun,
    Activity::Waiting,
    Activity::Paperwork,
    Activity::MealPeriod,
    Activity::RestPeriod,
];

/// What runs, switch, and the day as a strip.
#[component]
pub fn NowScreen() -> impl IntoView {
    let desk = use_desk();
    let running = desk.look(|book, _| view::running(book));
    let day = desk.look(|_, now| view::day_words(now.day(), now.day()));
    view! {
        <Heading text=Signal::derive(move || day.get()) />
        <div class="beside">
            <div>
                <Clock running />
                <Switch running />
            </div>
            <Strip />
        </div>
    }
}

/// The clock itself: what is done, for what, since when, how long.
#[component]
fn Clock(running: Memo<Option<Running>>) -> impl IntoView {
    let desk = use_desk();
    let face = move || match running.get() {
        Some(running) => on_the_clock(desk, running).into_any(),
        None => view! {
            <p class="activity">"Off the clock"</p>
            <p>"Tap what you do now. The time counts until you tap something else."</p>
        }
        .into_any(),
    };
    view! { <section class="clock" aria-label="The clock">{face}</section> }
}

fn on_the_clock(desk: Desk, running: Running) -> impl IntoView {
    let from = running.from;
    let elapsed = move || desk.now.get().since(from).unwrap_or_default();
    let seconds = move || format!(":{:02}", elapsed().ms() / 1_000 % 60);
    let about = running.job.map_or(About::Day, About::Job);
    let place = if running.place.boat.is_empty() {
        "no job".to_owned()
    } else {
        format!("{} · {}", running.place.boat, running.place.job)
    };
    view! {
        <p>{place}</p>
        <p class="figure huge run" role="timer" aria-label="running for">
            {move || elapsed().clock_face()}
            <span class="seconds">{seconds}</span>
        </p>
        <p>
            <span class="activity">{sentence_case(running.activity)}</span>
            " since "
            <span class="figure">{running.since}</span>
        </p>
        <div class="row group">
            <a class="button grow" href=Route::Note { job: running.job }.link()>"Note"</a>
            <span class="grow row"><PhotoButton about /></span>
            <button
                type="button"
                class="grow"
                on:click=move |_| desk.tell(Command::SwitchClock { to: Doing::Off }, "Off the clock")
            >
                "Off the clock"
            </button>
        </div>
    }
}

/// Everything that one tap switches to.
#[component]
fn Switch(running: Memo<Option<Running>>) -> impl IntoView {
    let desk = use_desk();
    let no_job = desk.look(|book, now| view::open_jobs(book, now).is_empty());
    // The running job's time grows each minute; the others stand still under the finger.
    let others = desk.look(|book, now| {
        let jobs = view::open_jobs(book, now).into_iter();
        jobs.filter(|job| !job.running).collect::<Vec<JobRow>>()
    });
    let here = move || {
        running.get().filter(|running| running.job.is_some()).map(|running| {
            let title = format!("On {}", running.place.boat);
            activities(desk, title, &ON_A_JOB, running.on, Some((running.activity, running.on)))
        })
    };
    let elsewhere = move || {
        let current = running.get().map(|running| (running.activity, running.on));
        activities(desk, "On no job".to_owned(), &ON_NO_JOB, On::NoJob, current)
    };
    let rows = move || others.get().into_iter().map(|job| switch_to(desk, job)).collect_view();
    let none = move || {
        no_job.get().then(|| view! { <p class="none">"No open job yet. A new job takes a boat and a few words."</p> })
    };
    let switch = move || {
        (!others.with(Vec::is_empty)).then(|| {
            view! {
                <p class="label">"Switch to labour on"</p>
                <ul class="list">{rows}</ul>
            }
        })
    };
    let lines = move || {
        let running = running.get().filter(|running| !running.lines.is_empty())?;
        let activity = running.activity;
        let lines = running.lines.into_iter().map(|line| line_choice(desk, activity, line)).collect_view();
        Some(view! {
            <section class="group" aria-label="For which line">
                <p class="label">"For which line of the job"</p>
                <div class="stack">{lines}</div>
            </section>
        })
    };
    view! {
        {here}
        {lines}
        <section class="group">
            {switch}
            {none}
            <p class="group"><a class="button big" href=Route::NewJob { boat: None }.link()>"New job"</a></p>
        </section>
        {elsewhere}
    }
}

fn line_choice(desk: Desk, activity: Activity, line: LineChoice) -> AnyView {
    let to = Doing::At { activity, on: On::Line(line.id) };
    let tap = move |_| desk.tell(Command::SwitchClock { to }, "On this line from now on");
    view! {
        <button type="button" class="line" aria-pressed=line.chosen.to_string() on:click=tap>{line.words}</button>
    }
    .into_any()
}

fn activities(
    desk: Desk,
    title: String,
    offered: &'static [Activity],
    on: On,
    current: Option<(Activity, On)>,
) -> impl IntoView {
    let button = |&activity: &Activity| {
        let pressed = current == Some((activity, on));
        let tap = move |_| {
            let words = format!("{} from now on", sentence_case(activity));
            desk.tell(Command::SwitchClock { to: Doing::At { activity, on } }, words);
        };
        view! { <button type="button" aria-pressed=pressed.to_string() on:click=tap>{sentence_case(activity)}</button> }
    };
    let label = title.clone();
    view! {
        <section class="group" aria-label=label>
            <p class="label">{title}</p>
            <div class="choices">{offered.iter().map(button).collect_view()}</div>
        </section>
    }
}

fn switch_to(desk: Desk, job: JobRow) -> impl IntoView {
    let words = format!("Labour on {} from now on", job.boat);
    let on = On::Job(job.id);
    let tap = move |_| {
        desk.tell(Command::SwitchClock { to: Doing::At { activity: Activity::Labour, on } }, words.clone());
    };
    let off = (job.off > 0).then(|| view! { <span class="stop">{format!(" · {} still off", job.off)}</span> });
    let today = (job.today > Length::ZERO)
        .then(|| view! { <span class="figure">{job.today.clock_face()}" "<span class="small">"today"</span></span> });
    view! {
        <li class="bare">
            <button type="button" class="entry" on:click=tap>
                <span class="grow">
                    <span class="what">{job.boat}</span>
                    <span>{job.title}</span>
                    {off}
                </span>
                {today}
            </button>
        </li>
    }
}

/// The day as a strip.
#[component]
fn Strip() -> impl IntoView {
    let desk = use_desk();
    let rows = desk.look(|book, now| view::day_rows(book, now.day(), now));
    let worked = desk.look(|book, now| view::worked(book, now.day(), now).clock_face());
    let strip = move || rows.get().into_iter().rev().map(span_row).collect_view();
    view! {
        <section aria-label="Today">
            <h2>"Today "<span class="figure">{move || worked.get()}</span>" worked"</h2>
            <ol class="strip">{strip}</ol>
            {move || rows.with(Vec::is_empty).then(|| view! { <p class="none">"Nothing yet."</p> })}
        </section>
    }
}

pub(super) fn span_row(row: SpanRow) -> impl IntoView {
    let class = match (&row.to, row.activity.is_pause()) {
        (None, _) => "running",
        (Some(_), true) => "paused",
        (Some(_), false) => "",
    };
    let place =
        if row.place.boat.is_empty() { row.place.job } else { format!("{} · {}", row.place.boat, row.place.job) };
    let place = (!row.activity.is_pause()).then_some(place);
    let until = row.to.unwrap_or_else(|| "now".to_owned());
    view! {
        <li class=class>
            <span class="figure">{row.from}</span>
            <span>
                <strong>{sentence_case(row.activity)}</strong>
                <span class="small">{place}</span>
                <span class="away">{format!("until {until}")}</span>
            </span>
            <span class="figure">{row.length.clock_face()}</span>
        </li>
    }
}

/// Returns an activity's words as they begin a line.
pub(super) fn sentence_case(activity: Activity) -> String {
    sentence(activity.words()).trim_end_matches('.').to_owned()
}
