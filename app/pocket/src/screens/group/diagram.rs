//! The fasteners of a group as they lie, drawn by the app.
//!
//! Each is a button with its number and, as a word, how it stands; where they lie
//! too close for a finger the drawing only shows, and the list takes the taps.

use leptos::prelude::*;
use quaywright_core::view::{self, FastenerRow, FastenerState, GroupCard, Spot};

use super::tighten;
use crate::desk::Desk;
use crate::look::{Look, shown};

/// Above so many the numbers do not fit any more.
const NUMBERED: usize = 32;

/// Returns the drawing; it is made anew only when the fasteners lie otherwise.
pub(super) fn diagram(desk: Desk, card: Look<GroupCard>) -> AnyView {
    let layout = Look::at(move || card.with(|card| (card.id, card.facts.pattern.layout())));
    let pass = move || card.with(|card| card.passes.iter().find(|pass| pass.shown).map(|pass| pass.words.clone()));
    let name = move || format!("Fasteners, {}", pass().unwrap_or_default());
    shown(move || {
        let drawn = view::drawing(layout.get().1);
        let spots = drawn.spots.clone();
        let many = spots.len() > NUMBERED;
        let spot = move |(nth, spot): (usize, Spot)| {
            let at = (per_mille(spot.x, 1_000), per_mille(spot.y, drawn.height));
            if drawn.targets { target(desk, card, nth, at) } else { dot(card, nth, at, many) }
        };
        let spots = spots.into_iter().enumerate().map(spot).collect_view();
        let rim = drawn.circle.map(|radius| {
            view! { <circle cx="500" cy="500" r=radius.to_string() /> }
        });
        let way = move || way(card, &drawn.spots);
        let frame = format!("0 0 1000 {}", drawn.height);
        view! {
            <div class="drawing" role="group" aria-label=name style:aspect-ratio=format!("1000 / {}", drawn.height)>
                <svg viewBox=frame aria-hidden="true">
                    {rim}
                    <path d=way />
                </svg>
                {spots}
            </div>
        }
    })
}

/// Tenths of a percent, written out.
fn per_mille(part: u32, whole: u32) -> String {
    let tenths = part * 1_000 / whole.max(1);
    format!("{}.{}%", tenths / 10, tenths % 10)
}

fn row(card: Look<GroupCard>, nth: usize) -> Option<FastenerRow> {
    card.with(|card| card.fastener_rows.get(nth).cloned())
}

fn class(card: Look<GroupCard>, nth: usize) -> &'static str {
    match row(card, nth).map(|row| row.state) {
        Some(FastenerState::Tight) => "spot tight",
        Some(FastenerState::Next) => "spot next",
        Some(FastenerState::Skipped) => "spot skipped",
        _ => "spot",
    }
}

fn target(desk: Desk, card: Look<GroupCard>, nth: usize, at: (String, String)) -> AnyView {
    let tap = move |_| {
        if let Some(row) = row(card, nth) {
            tighten(desk, card, row.step, row.said);
        }
    };
    view! {
        <button
            type="button"
            class=move || class(card, nth)
            style:left=at.0
            style:top=at.1
            aria-label=move || row(card, nth).map(|row| row.name).unwrap_or_default()
            on:click=tap
        >
            {move || row(card, nth).map(|row| row.number)}
        </button>
    }
    .into_any()
}

fn dot(card: Look<GroupCard>, nth: usize, at: (String, String), many: bool) -> AnyView {
    let number = move || row(card, nth).filter(|row| !many || row.state == FastenerState::Next).map(|row| row.number);
    view! {
        <span class=move || class(card, nth) style:left=at.0 style:top=at.1 aria-hidden="true">
            {move || number()}
        </span>
    }
    .into_any()
}

/// The line from the fastener that was tightened last to the next one.
fn way(card: Look<GroupCard>, spots: &[Spot]) -> String {
    let ends = card.with(|card| {
        let next = card.next.as_ref()?.step.place;
        Some([card.last_place?, next].map(|place| spots.get(usize::from(place.0).checked_sub(1)?).copied()))
    });
    match ends {
        Some([Some(from), Some(to)]) => format!("M{} {}L{} {}", from.x, from.y, to.x, to.y),
        _ => String::new(),
    }
}
