//! A day's strip, and how it is mended.
//!
//! Each boundary has a handle to drag, or to move by the arrow keys; each piece
//! opens a form in which everything can be said by typing. Either way one mend
//! comes of it, which can be taken back.

mod form;

use leptos::ev::{KeyboardEvent, PointerEvent};
use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::closing::forgotten::{self, Proposal};
use quaywright_core::command::Command;
use quaywright_core::event::Doing;
use quaywright_core::mending::{self, Grid};
use quaywright_core::moment::{Day, Moment};
use quaywright_core::sheet::trail::{self, MendSheet};
use quaywright_core::text::Label;
use quaywright_core::view::{self, Period, PieceRow};

use form::form;

use super::Heading;
use crate::components::button;
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
        {forgotten_time(bench)}
        <ol class="pieces">
            <For each=numbered key=key children=move |(at, row)| piece(bench, at, row) />
        </ol>
        {shown(move || {
            bench.rows.with(Vec::is_empty).then(|| view! { <p class="none">"Nothing was said of this day."</p> })
        })}
        <Missed bench />
        <GridChoice bench />
        {trail(bench)}
        <p class="group"><a class="button" href=Route::Hours(Period::Week, day).link()>"The week in hours"</a></p>
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
