//! A day's strip, and how it is mended.
//!
//! Each boundary has a handle to drag, or to move by the arrow keys; each piece
//! opens a form in which everything can be said by typing. Either way one mend
//! comes of it, which can be taken back.

use leptos::ev::{KeyboardEvent, PointerEvent, SubmitEvent};
use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::closing::forgotten::{self, Proposal};
use quaywright_core::command::Command;
use quaywright_core::event::{Activity, Doing, Mend, On};
use quaywright_core::id::{EventId, JobId};
use quaywright_core::mending::{self, Grid};
use quaywright_core::moment::{Day, Moment};
use quaywright_core::sheet::trail::{self, MendSheet};
use quaywright_core::text::Label;
use quaywright_core::view::{self, PieceRow};

use super::Heading;
use super::now::sentence_case;
use crate::components::{Field, button};
use crate::desk::{Desk, sentence, use_desk};
use crate::look::{Look, shown};
use crate::platform::{page, prefs};
use crate::route::Route;

/// So many pixels stand for so many minutes; whole numbers, because writing fractions is a large part of a program.
const PIXELS: i64 = 3;
const MINUTES: i64 = 2;

/// What the parts of the screen share.
#[derive(Clone, Copy)]
struct Bench {
    desk: Desk,
    day: Day,
    rows: Look<Vec<PieceRow>>,
    grid: RwSignal<Grid>,
    /// The piece whose form is open, by its beginning.
    open: RwSignal<Option<Moment>>,
    /// The boundary that is being moved, by where it lies, and where it would go.
    moving: RwSignal<Option<(Moment, Moment)>>,
}

impl Bench {
    /// Moves the boundary at the beginning of a piece, if it goes anywhere.
    fn let_go(self) {
        let Some((boundary, to)) = self.moving.get_untracked() else { return };
        self.moving.set(None);
        let mend = self.rows.with_untracked(|rows| {
            let at = rows.iter().position(|row| row.piece.from == boundary)?;
            mending::moved(&rows.get(at.checked_sub(1)?)?.piece, &rows[at].piece, to, Label::default())
        });
        if let Some(mend) = mend {
            let words = format!("It was {} and not {}", view::hour_minute(to), view::hour_minute(boundary));
            self.desk.tell(Command::Mend(mend), words);
        }
    }

    /// Shows where the boundary would go by so many minutes from where it lies.
    fn move_by(self, boundary: Moment, minutes: i64) {
        let to = self.rows.with_untracked(|rows| {
            let at = rows.iter().position(|row| row.piece.from == boundary)?;
            let (before, after) = (&rows.get(at.checked_sub(1)?)?.piece, &rows[at].piece);
            Some(mending::landing(before, after, boundary.moved(minutes), self.grid.get_untracked()))
        });
        if let Some(to) = to {
            self.moving.set(Some((boundary, to)));
        }
    }
}

/// A day, piece by piece.
#[component]
pub fn DayScreen(day: Day) -> impl IntoView {
    let desk = use_desk();
    let chosen = prefs::grid_minutes();
    let grid = Grid::ALL.into_iter().find(|grid| Some(grid.minutes()) == chosen).unwrap_or_default();
    let bench = Bench {
        desk,
        day,
        rows: desk.look(move |book, now| view::day_strip(book, day, now)),
        grid: RwSignal::new(grid),
        open: RwSignal::new(None),
        moving: RwSignal::new(None),
    };
    let title = desk.look(move |_, now| view::day_words(day, now.day()));
    let worked = desk.look(move |book, now| view::worked(book, day, now).clock_face());
    let beside = |days: i64, words: &'static str| {
        day.plus(days).map(|day| view! { <a class="button grow" href=Route::Day(day).link()>{words}</a> })
    };
    let numbered = move || bench.rows.get().into_iter().enumerate().collect::<Vec<(usize, PieceRow)>>();
    // A piece that only grows stays, and with it the form in it.
    let key = |(at, row): &(usize, PieceRow)| (*at, row.piece.from, row.piece.doing, row.piece.mended, row.piece.runs);
    view! {
        <Heading text=title />
        <p><span class="figure large">{move || worked.get()}</span>" worked"</p>
        <ol class="pieces">
            <For each=numbered key=key children=move |(at, row)| piece(bench, at, row) />
        </ol>
        {shown(move || {
            bench.rows.with(Vec::is_empty).then(|| view! { <p class="none">"Nothing was said of this day."</p> })
        })}
        {forgotten_time(bench)}
        <Missed bench />
        <GridChoice bench />
        {trail(bench)}
        <div class="row group">{beside(-1, "The day before")}{beside(1, "The day after")}</div>
    }
}

/// One piece: its handle, itself, and its form when it is open.
fn piece(bench: Bench, at: usize, row: PieceRow) -> impl IntoView {
    let from = row.piece.from;
    let class = match (row.piece.doing, row.piece.runs) {
        (Doing::Off, _) => "off",
        (_, true) => "running",
        _ => "",
    };
    let first = row.clone();
    let grown = Look::at(move || {
        let grown = bench.rows.with(|rows| rows.iter().find(|row| row.piece.from == from).cloned());
        grown.unwrap_or_else(|| first.clone())
    });
    let height = move || format!("{}px", grown.with(|row| row.length.minutes()) * PIXELS as u64 / MINUTES as u64);
    let until =
        move || grown.with(|row| if row.piece.runs { " until now".to_owned() } else { format!(" until {}", row.to) });
    let length = move || grown.with(|row| row.length.clock_face());
    let place = [row.place.boat.as_str(), row.place.job.as_str()].into_iter().filter(|it| !it.is_empty());
    let place = place.collect::<Vec<_>>().join(" · ");
    let is_open = Look::at(move || bench.open.get() == Some(from));
    let tap = move |_| bench.open.set((!is_open.get_untracked()).then_some(from));
    let handle = (at > 0).then(|| handle(bench, from, &row));
    let mended = row.piece.mended.then_some(" · mended");
    view! {
        <li class=class style:min-height=height>
            {handle}
            <button type="button" class="entry" aria-expanded=move || is_open.get().to_string() on:click=tap>
                <span class="figure">{row.from}</span>
                <span class="grow">
                    <span class="what">{sentence(row.what).trim_end_matches('.').to_owned()}</span>
                    <span class="small">{place}{mended}</span>
                    <span class="away">{until}</span>
                </span>
                <span class="figure">{length}</span>
            </button>
            {shown(move || is_open.get().then(|| form(bench, Some(grown.get_untracked()), move || bench.open.set(None))))}
        </li>
    }
}

/// The handle on the boundary at the beginning of a piece.
fn handle(bench: Bench, boundary: Moment, row: &PieceRow) -> AnyView {
    let at = row.from.clone();
    let name = format!("Boundary at {at}. Arrow keys move it, Enter keeps it, Escape leaves it.");
    let shown = move || match bench.moving.get().filter(|moving| moving.0 == boundary) {
        Some((_, to)) => view::hour_minute(to),
        None => at.clone(),
    };
    let begun = StoredValue::new(None::<i32>);
    let down = move |event: PointerEvent| {
        begun.set_value(Some(event.client_y()));
        page::hold_pointer(&event);
        bench.move_by(boundary, 0);
    };
    let drag = move |event: PointerEvent| {
        if let Some(begun) = begun.get_value() {
            bench.move_by(boundary, i64::from(event.client_y() - begun) * MINUTES / PIXELS);
        }
    };
    let up = move |_: PointerEvent| {
        if begun.get_value().is_some() {
            begun.set_value(None);
            bench.let_go();
        }
    };
    let stop = move |_: PointerEvent| {
        begun.set_value(None);
        bench.moving.set(None);
    };
    let key = move |event: KeyboardEvent| {
        let step = i64::from(bench.grid.get_untracked().minutes());
        let gone = bench.moving.get_untracked().map_or(0, |(from, to)| (to.utc_ms() - from.utc_ms()) / 60_000);
        match event.key().as_str() {
            "ArrowUp" | "ArrowLeft" => bench.move_by(boundary, gone - step),
            "ArrowDown" | "ArrowRight" => bench.move_by(boundary, gone + step),
            "Enter" | " " => bench.let_go(),
            "Escape" => bench.moving.set(None),
            _ => return,
        }
        event.prevent_default();
    };
    let class = move || {
        let is_moving = bench.moving.with(|moving| moving.is_some_and(|moving| moving.0 == boundary));
        if is_moving { "edge moving" } else { "edge" }
    };
    view! {
        <button
            type="button"
            class=class
            aria-label=name
            on:pointerdown=down
            on:pointermove=drag
            on:pointerup=up
            on:pointercancel=stop
            on:keydown=key
            on:blur=move |_| bench.moving.set(None)
        >
            <span aria-live="polite">{shown}</span>
        </button>
    }
    .into_any()
}

/// Time that no tap tells of.
#[component]
fn Missed(bench: Bench) -> impl IntoView {
    let is_open = RwSignal::new(false);
    view! {
        <p class="group">
            <button type="button" aria-expanded=move || is_open.get().to_string() on:click=move |_| is_open.update(|it| *it = !*it)>
                "Time that was not tapped"
            </button>
        </p>
        {shown(move || is_open.get().then(|| form(bench, None, move || is_open.set(false))))}
    }
}

/// The form of a mend: from when to when, what it was, and why; `close` shuts it once that is kept.
fn form(bench: Bench, row: Option<PieceRow>, close: impl Fn() + Copy + 'static) -> AnyView {
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
            <div class="pair">
                <Field name="From" value=from keyboard="numeric" />
                <Field name="Until" value=to keyboard="numeric" />
            </div>
            <div class="choices" role="group" aria-label="What it was">{choices}</div>
            <label>
                <span class="name">"For which job"</span>
                <select on:change=choose>
                    <option value="" selected=move || job.get().is_none()>"No job"</option>
                    {jobs.into_iter().map(option).collect_view()}
                </select>
            </label>
            <Field name="Why (may stay empty)" value=why />
            <button type="submit" class="big">"So it was"</button>
        </form>
    }
    .into_any()
}

/// What looks forgotten, and what would put it right; nothing is done unasked.
fn forgotten_time(bench: Bench) -> AnyView {
    let Bench { desk, day, .. } = bench;
    let proposals = desk.look(move |book, now| forgotten::forgotten(book, day, now));
    let row = move |proposal: Proposal| {
        let words = proposal.to_string();
        let act = move || {
            let commands = proposal.commands(desk.now.get_untracked());
            spawn_local(async move {
                for command in commands {
                    desk.ask(command, "The day says so from now on").await;
                }
            });
        };
        view! { <li class="row"><p class="grow">{words}</p>{button("", "Yes, put it right", act)}</li> }
    };
    shown(move || {
        (!proposals.with(Vec::is_empty)).then(|| {
            let rows = proposals.get().into_iter().map(row).collect_view();
            view! { <section><h2>"Was the clock forgotten?"</h2><ul class="list">{rows}</ul></section> }
        })
    })
}

/// Who said what of the day afterwards, and what it replaced.
fn trail(bench: Bench) -> AnyView {
    let Bench { desk, day, .. } = bench;
    let mends = desk.look(move |book, _| trail::trail(book, day));
    let row = move |mend: MendSheet| {
        let id = mend.mend;
        let back = mend.taken_back.is_none().then(|| button("", "Take back", move || desk.take_back(id)));
        view! { <li class="row"><p class="grow">{mend.words()}</p>{back}</li> }
    };
    shown(move || {
        (!mends.with(Vec::is_empty)).then(|| {
            let rows = mends.get().into_iter().map(row).collect_view();
            view! { <section><h2>"What was put right"</h2><ul class="list">{rows}</ul></section> }
        })
    })
}

/// To which minutes a dragged boundary goes.
#[component]
fn GridChoice(bench: Bench) -> impl IntoView {
    let one = move |grid: Grid| {
        let pressed = move || (bench.grid.get() == grid).to_string();
        let tap = move |_| {
            prefs::set_grid_minutes(grid.minutes());
            bench.grid.set(grid);
        };
        let words = format!("{} min", grid.minutes());
        view! { <button type="button" aria-pressed=pressed on:click=tap>{words}</button> }
    };
    view! {
        <p class="label group">"A dragged boundary goes to steps of"</p>
        <div class="choices" role="group" aria-label="Steps of a dragged boundary">{Grid::ALL.map(one).collect_view()}</div>
    }
}
