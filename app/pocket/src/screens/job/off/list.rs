//! The parts of the list, of which only what is near the screen is drawn.
//!
//! A teardown may have thousands of items, each with photos. They stand in runs of a few
//! rows. A run near the screen has its rows; one that is far away is only as high as they
//! were, so that nothing moves under the finger, and its photos are let go. A run in which
//! something is unfolded or has the keyboard stays: half of a form may be filled in there.
//!
//! The rows of a run come and go a few at a time: ten at once held up a slow phone's finger.
//!
//! Runs are counted from the end of the list: things go at its beginning, so what goes shortens
//! the first run and no row of the others is drawn anew. Which row is next is told to the rows.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::id::ItemId;
use quaywright_core::moment::Length;
use quaywright_core::view::{self, ItemRow};

use super::pointing::Pointing;
use super::row::item;
use crate::desk::Desk;
use crate::look::{Look, shown};
use crate::platform::{page, timer};

/// How many rows stand in a run.
const RUN: usize = 10;
/// How many rows come or go at once, before the browser may do something else.
const AT_ONCE: usize = 3;

/// Returns one part of the list under its name; the row of what is next is the big action.
pub fn part(
    desk: Desk,
    name: &'static str,
    ids: Look<Vec<ItemId>>,
    next: Look<Option<ItemId>>,
    pointing: Pointing,
) -> AnyView {
    let any = Look::at(move || ids.with(|ids| !ids.is_empty()));
    shown(move || any.get().then(|| view! { <h3>{name}</h3> {runs(desk, ids, next, pointing)} }))
}

/// Returns what is back on, which is looked at seldom: behind one tap.
pub fn back_on(desk: Desk, ids: Look<Vec<ItemId>>, pointing: Pointing) -> AnyView {
    let count = Look::at(move || ids.with(Vec::len));
    let any = Look::at(move || count.get() > 0);
    let opened = RwSignal::new(false);
    let inside = shown(move || opened.get().then(|| runs(desk, ids, Look::at(|| None), pointing)));
    view! {
        <details class="group" hidden=move || !any.get() on:toggle=move |event: leptos::ev::Event| opened.set(page::is_open(&event))>
            <summary class="choice">{move || format!("Back on: {}", count.get())}</summary>
            {inside}
        </details>
    }
    .into_any()
}

fn runs(desk: Desk, ids: Look<Vec<ItemId>>, next: Look<Option<ItemId>>, pointing: Pointing) -> AnyView {
    let count = Look::at(move || ids.with(|ids| ids.len().div_ceil(RUN)));
    let children = move |nth: usize| {
        // The first ones are drawn at once: in them stands what is next.
        let at_once = nth + 2 >= count.get_untracked();
        run(desk, nth, at_once, ids, next, pointing)
    };
    view! { <For each=move || (0..count.get()).rev() key=|nth| *nth children /> }.into_any()
}

/// Returns what stands in a run, counted from the end of the list.
fn members(ids: &[ItemId], nth: usize) -> Vec<ItemId> {
    let end = ids.len().saturating_sub(nth * RUN);
    ids[end.saturating_sub(RUN)..end].to_vec()
}

/// A run of rows; a row that is the same stays and is not drawn anew.
fn run(
    desk: Desk,
    nth: usize,
    at_once: bool,
    ids: Look<Vec<ItemId>>,
    next: Look<Option<ItemId>>,
    pointing: Pointing,
) -> AnyView {
    let frame = NodeRef::<leptos::html::Ul>::new();
    let near = RwSignal::new(at_once);
    let drawn = RwSignal::new(if at_once { RUN } else { 0 });
    let height = RwSignal::new(String::new());
    // A run of which nothing is drawn asks nothing, neither what is in it nor the book.
    let own = Look::at(move || match drawn.get() {
        0 => Vec::new(),
        rows => ids.with(|ids| members(ids, nth).into_iter().take(rows).collect()),
    });
    let rows = Look::at(move || {
        let own = own.get();
        if own.is_empty() { Vec::new() } else { desk.book.with(|book| view::item_rows(book, &own)) }
    });
    let watching = StoredValue::new_local(None);
    Effect::new(move || {
        if let Some(frame) = frame.get() {
            let watched = frame.clone();
            let told = move |is_near: bool| {
                let stays = is_near || page::is_in_use(&frame);
                if stays == near.get_untracked() {
                    return;
                }
                if !stays && drawn.get_untracked() == RUN {
                    height.set(page::height(&frame));
                }
                near.set(stays);
                spawn_local(draw(near, drawn));
            };
            watching.set_value(page::while_near(&watched, told));
        }
    });
    // A run that was never drawn is as high as most are; until all of it is, nothing moves.
    let kept = move || match drawn.get() {
        RUN => String::new(),
        _ if height.with(String::is_empty) => [&(RUN * 12).to_string(), "rem"].concat(),
        _ => height.get(),
    };
    let children = move |row: ItemRow| {
        let id = row.id;
        item(row, Look::at(move || next.get() == Some(id)), pointing)
    };
    view! {
        <ul class="list" node_ref=frame style:min-height=kept>
            <For each=move || rows.get() key=ItemRow::clone children />
        </ul>
    }
    .into_any()
}

/// Draws the rows of a run that is near, or takes them away where it is far, until it is done.
async fn draw(near: RwSignal<bool>, drawn: RwSignal<usize>) {
    while let (Some(near), Some(rows)) = (near.try_get_untracked(), drawn.try_get_untracked()) {
        let next = if near { RUN.min(rows + AT_ONCE) } else { rows.saturating_sub(AT_ONCE) };
        if next == rows {
            return;
        }
        drawn.set(next);
        timer::wait(Length::ZERO).await;
    }
}
