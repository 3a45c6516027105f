//! The field that a signature is drawn in with a finger, and a signature as it was drawn.
//!
//! Places are whole numbers on a field of the core's size, whatever the screen's;
//! a place that is hardly another than the one before it is left out.

use leptos::ev::{PointerEvent, TouchEvent};
use leptos::prelude::*;
use quaywright_core::agreement::consent::{HIGH, MOST_PLACES, MOST_STROKES, Stroke, Strokes, WIDE};
use quaywright_core::view;

use crate::components::button;
use crate::look::shown;
use crate::platform::page;

/// How far two places of a line lie apart at least.
const APART: u16 = 12;

fn view_box() -> String {
    format!("0 0 {WIDE} {HIGH}")
}

/// A signature as it was drawn.
pub(super) fn drawn(strokes: &Strokes) -> AnyView {
    let lines =
        view::drawn_points(strokes).into_iter().map(|points| view! { <polyline points=points /> }).collect_view();
    view! { <svg class="signature" viewBox=view_box() role="img" aria-label="Signature">{lines}</svg> }.into_any()
}

/// The field to sign in.
pub(super) fn pad(strokes: RwSignal<Vec<Stroke>>) -> AnyView {
    let drawing = StoredValue::new(false);
    let down = move |event: PointerEvent| {
        event.prevent_default();
        page::hold_pointer(&event);
        let has_room = strokes.with_untracked(|all| all.len() < MOST_STROKES && count(all) < MOST_PLACES);
        if let Some(place) = page::place_in(&event, WIDE, HIGH).filter(|_| has_room) {
            drawing.set_value(true);
            strokes.update(|all| all.push(vec![place]));
        }
    };
    let go = move |event: PointerEvent| {
        if drawing.get_value()
            && let Some(place) = page::place_in(&event, WIDE, HIGH)
        {
            let is_worth = strokes.with_untracked(|all| count(all) < MOST_PLACES && is_apart(all, place));
            if is_worth {
                strokes.update(|all| all.last_mut().into_iter().for_each(|stroke| stroke.push(place)));
            }
        }
    };
    let up = move |_: PointerEvent| drawing.set_value(false);
    let lines = shown(move || {
        let all = strokes.get();
        all.iter().map(|stroke| view! { <polyline points=view::stroke_points(stroke) /> }).collect_view()
    });
    view! {
        <div>
            <p class="label">"Sign here with a finger; or leave it empty, and the typed name stands for it"</p>
            // A flick here is no gesture of the browser's, which the next tap would only stop.
            <div
                class="pad"
                on:touchstart=move |event: TouchEvent| event.prevent_default()
                on:pointerdown=down on:pointermove=go on:pointerup=up on:pointercancel=up
            >
                <svg viewBox=view_box() role="img" aria-label="Field to sign in">{lines}</svg>
            </div>
            {button("quiet", "Clear the signature", move || strokes.set(Vec::new()))}
        </div>
    }
    .into_any()
}

fn count(strokes: &[Stroke]) -> usize {
    strokes.iter().map(Vec::len).sum()
}

fn is_apart(strokes: &[Stroke], (x, y): (u16, u16)) -> bool {
    let last = strokes.last().and_then(|stroke| stroke.last());
    last.is_none_or(|&(before_x, before_y)| x.abs_diff(before_x) + y.abs_diff(before_y) >= APART)
}
