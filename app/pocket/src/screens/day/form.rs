//! The form of a mend: from when to when, what it was, for which job, and why.
//!
//! A piece is split by saying what a part of it was, and joined with a neighbour
//! by a tap; a time off the clock is filled like any other piece. All of it goes
//! by keys as well.

use leptos::ev::SubmitEvent;
use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::{Activity, Doing, Mend, On};
use quaywright_core::id::{EventId, JobId};
use quaywright_core::mending::{self, Piece};
use quaywright_core::moment::Moment;
use quaywright_core::text::Label;
use quaywright_core::view::{self, PieceRow};

use super::Bench;
use crate::components::{Field, button};
use crate::screens::now::sentence_case;

/// The form of a mend: from when to when, what it was, and why; `close` shuts it once that is kept.
pub(super) fn form(bench: Bench, row: Option<PieceRow>, close: impl Fn() + Copy + 'static) -> AnyView {
    let Bench { desk, day, .. } = bench;
    let was = row.as_ref().map_or(Doing::At { activity: Activity::Labour, on: On::NoJob }, |row| row.piece.doing);
    let (from, to) = row.as_ref().map_or((String::new(), String::new()), |row| (row.from.clone(), row.to.clone()));
    let (from, to, why) = (RwSignal::new(from), RwSignal::new(to), RwSignal::new(String::new()));
    let activity = RwSignal::new(match was {
        Doing::Off => None,
        Doing::At { activity, .. } => Some(activity),
    });
    let job = RwSignal::new(match was {
        Doing::Off => None,
        Doing::At { on, .. } => desk.book.with_untracked(|book| book.job_of(on)),
    });
    let doing = move || {
        let Some(activity) = activity.get_untracked() else { return Doing::Off };
        let same_job = |on: &On| desk.book.with_untracked(|book| book.job_of(*on)) == job.get_untracked();
        let on = match (was, job.get_untracked()) {
            // The line stays with the job.
            (Doing::At { on, .. }, Some(_)) if same_job(&on) => on,
            (_, Some(job)) if !activity.is_pause() => On::Job(job),
            _ => On::NoJob,
        };
        Doing::At { activity, on: if activity.is_pause() { On::NoJob } else { on } }
    };
    // Times are no draft: those of a form that was left would pass for the piece's own a week later.
    let why_draft = format!("mend/{day}/{}", row.as_ref().map_or(String::new(), |row| row.piece.from.to_string()));
    let draft = StoredValue::new(why_draft.clone());
    let joins = row.as_ref().map(|row| joins(bench, row.piece.from, close));
    let halves = row.as_ref().map(|row| halves(&row.piece, from, to));
    let keep = move |event: SubmitEvent| {
        event.prevent_default();
        let piece = row.as_ref().map(|row| row.piece);
        let typed = |field: RwSignal<String>, end: Option<Moment>| {
            let text = field.get_untracked();
            // What was not typed over stays to the millisecond.
            let unchanged = end.filter(|&end| view::hour_minute(end) == text);
            unchanged.or_else(|| {
                let now = desk.now.get_untracked();
                let (first, last) = piece.map_or((now, now), |piece| (piece.from, piece.to));
                mending::at(day, mending::time_of_day(&text)?, first, last)
            })
        };
        let (from, to) = (typed(from, piece.map(|it| it.from)), typed(to, piece.map(|it| it.to)));
        let (Some(from), Some(to)) = (from, to) else {
            return desk.complain("A time is written as 10:40: say from when and until when.");
        };
        let mend = Mend { from, to, doing: doing(), reason: Label::new(&why.get_untracked()) };
        spawn_local(async move {
            if desk.ask(Command::Mend(mend), "The day says so from now on").await.is_some() {
                draft.with_value(|draft| desk.drop_draft(draft));
                close();
            }
        });
    };
    let button = move |one: Option<Activity>| {
        let words = one.map_or_else(|| "Off the clock".to_owned(), sentence_case);
        let pressed = move || (activity.get() == one).to_string();
        view! { <button type="button" aria-pressed=pressed on:click=move |_| activity.set(one)>{words}</button> }
    };
    let choices = Activity::ALL.into_iter().map(Some).chain([None]).map(button).collect_view();
    let jobs = desk.book.with_untracked(|book| {
        let now = desk.now.get_untracked();
        let (mut jobs, finished) = (view::open_jobs(book, now), view::finished_jobs(book, now));
        jobs.extend(finished);
        jobs
    });
    let option = move |row: view::JobRow| {
        let selected = move || job.get() == Some(row.id);
        view! { <option value=row.id.to_string() selected=selected>{format!("{} · {}", row.boat, row.title)}</option> }
    };
    let choose = move |event| job.set(EventId::parse(&event_target_value(&event)).map(JobId));
    view! {
        <form class="mend" on:submit=keep>
            {joins}
            <div class="pair">
                <Field name="From" value=from keyboard="numeric" />
                <Field name="Until" value=to keyboard="numeric" />
            </div>
            {halves}
            <div class="choices" role="group" aria-label="What it was">{choices}</div>
            <label>
                <span class="name">"For which job"</span>
                <select on:change=choose>
                    <option value="" selected=move || job.get().is_none()>"No job"</option>
                    {jobs.into_iter().map(option).collect_view()}
                </select>
            </label>
            <Field name="Why (may stay empty)" value=why draft=why_draft />
            <button type="submit" class="big">"So it was"</button>
        </form>
    }
    .into_any()
}

/// Buttons that make a piece what the one above or below it was.
fn joins(bench: Bench, from: Moment, close: impl Fn() + Copy + 'static) -> AnyView {
    let neighbours = bench.rows.with_untracked(|rows| {
        let Some(at) = rows.iter().position(|row| row.piece.from == from) else { return Vec::new() };
        let above = at.checked_sub(1).and_then(|above| rows.get(above)).map(|row| ("above", row));
        let below = rows.get(at + 1).map(|row| ("below", row));
        let joined = |(side, row): (&str, &PieceRow)| {
            let mend = mending::joined(&rows[at].piece, &row.piece, Label::default())?;
            let on = if row.place.boat.is_empty() { String::new() } else { format!(" on {}", row.place.boat) };
            Some((format!("Join with {}{on} {side}", row.what), mend))
        };
        above.into_iter().chain(below).filter_map(joined).collect::<Vec<(String, Mend)>>()
    });
    let join = |(words, mend): (String, Mend)| {
        let act = move || {
            let mend = mend.clone();
            spawn_local(async move {
                if bench.desk.ask(Command::Mend(mend), "Joined").await.is_some() {
                    close();
                }
            });
        };
        button("grow", words, act)
    };
    view! { <div class="row">{neighbours.into_iter().map(join).collect_view()}</div> }.into_any()
}

/// Buttons that leave a half of a piece in the form, to say what that part was.
fn halves(piece: &Piece, from: RwSignal<String>, to: RwSignal<String>) -> AnyView {
    let middle = view::hour_minute(mending::middle(piece));
    let (first, second) = (middle.clone(), middle.clone());
    view! {
        <div class="row" role="group" aria-label="Split it">
            {button("grow", format!("Only until {middle}"), move || to.set(first.clone()))}
            {button("grow", format!("Only from {middle}"), move || from.set(second.clone()))}
        </div>
    }
    .into_any()
}
