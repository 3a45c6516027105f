//! Now: what runs, one tap to something else, and the day as a strip.

use leptos::prelude::*;
use quaywright_core::command::Quick;
use quaywright_core::event::{About, Activity, Doing, On};
use quaywright_core::id::JobId;
use quaywright_core::moment::Length;
use quaywright_core::view::{self, JobRow, LineChoice, Period, Running, SpanRow};

use super::{Heading, stands};
use crate::components::{PhotoButton, button};
use crate::desk::{Desk, sentence, use_desk};
use crate::later::{self, Far};
use crate::look::{Look, shown};
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

/// How many rows of the day are drawn unasked: those of a busy day. Each one
/// would be painted anew at each tap.
const ROWS_AT_FIRST: usize = 40;

/// What runs, switch, and the day as a strip.
#[component]
pub fn NowScreen() -> impl IntoView {
    let desk = use_desk();
    let running = desk.look(|book, now| view::running_since(book, now.day()));
    let day = desk.look(|_, now| view::day_words(now.day(), now.day()));
    view! {
        <Heading text=day />
        <div class="beside">
            <div>
                <Clock running />
                <Switch running />
                {later::aside(Far::StillToLeave)}
            </div>
            <Strip />
        </div>
    }
}

/// The clock itself: what is done, for what, since when, how long.
///
/// A tap changes its words only: what it is drawn with stays while the job does.
#[component]
fn Clock(running: Look<Option<Running>>) -> impl IntoView {
    let desk = use_desk();
    let job = Look::at(move || running.with(|running| running.as_ref().map(|running| running.job)));
    let face = shown(move || match job.get() {
        Some(job) => on_the_clock(desk, running, job).into_any(),
        None => view! {
            <p class="activity">"Off the clock"</p>
            <p>"Tap what you do now. The time counts until you tap something else."</p>
        }
        .into_any(),
    });
    // Only where something was agreed: how much of it is used is a part that comes later.
    let agreed = desk.look(|book, _| {
        let on = book.ledger.running().and_then(|span| book.job_of(span.on));
        on.filter(|&job| view::is_agreed(book, job))
    });
    let used = shown(move || agreed.get().map(|job| later::aside(Far::Overrun(job))));
    view! {
        <section class="clock" aria-label="The clock">{face}</section>
        {used}
    }
}

fn on_the_clock(desk: Desk, running: Look<Option<Running>>, job: Option<JobId>) -> impl IntoView {
    let told = move |words: fn(&Running) -> String| {
        view! { {move || running.with(|running| running.as_ref().map(words).unwrap_or_default())} }
    };
    let elapsed = move || {
        let from = running.with(|running| running.as_ref().map(|running| running.from));
        from.and_then(|from| desk.now.get().since(from)).unwrap_or_default()
    };
    let off = move || desk.tell(Quick::SwitchClock { to: Doing::Off }, "Off the clock");
    let place = |running: &Running| match running.place.boat.as_str() {
        "" => "no job".to_owned(),
        boat => format!("{boat} · {}", running.place.job),
    };
    view! {
        <p>{told(place)}</p>
        <p class="figure huge run" role="timer" aria-label="running for">
            {move || elapsed().clock_face()}
            <span class="seconds">{move || format!(":{:02}", elapsed().ms() / 1_000 % 60)}</span>
        </p>
        <p>
            <span class="activity">{told(|running| sentence_case(running.activity))}</span>
            " since "
            <span class="figure">{told(|running| running.since.clone())}</span>
        </p>
        <div class="row group">
            <a class="button grow" href=Route::Note { job }.link()>"Note"</a>
            <span class="grow row"><PhotoButton about=job.map_or(About::Day, About::Job) /></span>
            {button("grow", "Off the clock", off)}
        </div>
    }
}

/// Everything that one tap switches to.
#[component]
fn Switch(running: Look<Option<Running>>) -> impl IntoView {
    let desk = use_desk();
    let open = desk.look(view::open_jobs);
    let no_job = Look::at(move || open.with(Vec::is_empty));
    // The running job's time grows each minute; the others stand still under the finger.
    let others =
        Look::at(move || open.with(|jobs| jobs.iter().filter(|job| !job.running).cloned().collect::<Vec<JobRow>>()));
    // A tap changes which button is pressed, and draws none anew.
    let current = Look::at(move || running.with(|running| running.as_ref().map(|it| (it.activity, it.on))));
    let on_job = Look::at(move || {
        running.with(|running| running.as_ref().filter(|it| it.job.is_some()).map(|it| (it.place.boat.clone(), it.on)))
    });
    let here =
        shown(move || on_job.get().map(|(boat, on)| activities(desk, format!("On {boat}"), &ON_A_JOB, on, current)));
    let elsewhere = activities(desk, "On no job".to_owned(), &ON_NO_JOB, On::NoJob, current);
    let rows = move || others.get().into_iter().map(|job| switch_to(desk, job)).collect_view();
    let none = shown(move || {
        no_job.get().then(|| view! { <p class="none">"No open job yet. A new job takes a boat and a few words."</p> })
    });
    let switch = shown(move || {
        (!others.with(Vec::is_empty)).then(|| {
            view! {
                <p class="label">"Switch to labour on"</p>
                <ul class="list">{shown(rows)}</ul>
            }
        })
    });
    let lines = shown(move || {
        let running = running.get().filter(|running| !running.lines.is_empty())?;
        let activity = running.activity;
        let lines = running.lines.into_iter().map(|line| line_choice(desk, activity, line)).collect_view();
        Some(view! {
            <section class="group" aria-label="For which line">
                <p class="label">"For which line of the job"</p>
                <div class="stack">{lines}</div>
            </section>
        })
    });
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
    let tap = move |_| desk.tell(Quick::SwitchClock { to }, "On this line from now on");
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
    current: Look<Option<(Activity, On)>>,
) -> impl IntoView {
    let choice = |&activity: &Activity| {
        let tap = move |_| {
            let words = format!("{} from now on", sentence_case(activity));
            desk.tell(Quick::SwitchClock { to: Doing::At { activity, on } }, words);
        };
        view! {
            <button
                type="button"
                aria-pressed=move || (current.get() == Some((activity, on))).to_string()
                on:click=tap
            >
                {sentence_case(activity)}
            </button>
        }
    };
    let label = title.clone();
    view! {
        <section class="group" aria-label=label>
            <p class="label">{title}</p>
            <div class="choices">{offered.iter().map(choice).collect_view()}</div>
        </section>
    }
}

fn switch_to(desk: Desk, job: JobRow) -> impl IntoView {
    let words = format!("Labour on {} from now on", job.boat);
    let on = On::Job(job.id);
    let tap = move |_| {
        desk.tell(Quick::SwitchClock { to: Doing::At { activity: Activity::Labour, on } }, words.clone());
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
                    {stands(job.stands)}
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
    let today = move || Route::Day(desk.minute.get().day()).link();
    let week = move || Route::Hours(Period::Week, desk.minute.get().day()).link();
    let whole = RwSignal::new(false);
    let most = move || if whole.get() { usize::MAX } else { ROWS_AT_FIRST };
    let latest_first = move || rows.get().into_iter().rev().take(most()).collect::<Vec<SpanRow>>();
    let earlier = Look::at(move || rows.with(Vec::len).saturating_sub(most()));
    let is_cut = Look::at(move || earlier.get() > 0);
    let show_earlier = shown(move || {
        is_cut.get().then(|| {
            view! {
                <p class="group">
                    <button type="button" class="quiet" on:click=move |_| whole.set(true)>
                        {move || format!("{} earlier today", earlier.get())}
                    </button>
                </p>
            }
        })
    });
    view! {
        <section aria-label="Today">
            <h2>"Today "<span class="figure">{move || worked.get()}</span>" worked"</h2>
            // A row that is the same stays and is not drawn anew.
            <ol class="strip"><For each=latest_first key=SpanRow::clone children=span_row /></ol>
            {show_earlier}
            {shown(move || rows.with(Vec::is_empty).then(|| view! { <p class="none">"Nothing yet."</p> }))}
            <div class="row group">
                <a class="button grow" href=today>"Put the day right"</a>
                <a class="button grow" href=week>"The week in hours"</a>
            </div>
        </section>
    }
}

fn span_row(row: SpanRow) -> impl IntoView {
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
