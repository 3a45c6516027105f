//! A photo to be drawn on: arrows, rings, lines by hand and a few words.
//!
//! A mark is kept as soon as the finger leaves the glass, and the photo's own pixels stay as
//! they are. What a finger does, keys do too: a mark is placed in one of nine parts of the
//! photo and then moved. The list of marks is what is on the photo, in words.

use leptos::ev::{PointerEvent, TouchEvent};
use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::{Mark, Spot, WHOLE};
use quaywright_core::id::PhotoId;
use quaywright_core::view::{self, MarkedPhoto, NINTHS, Tool};

use super::{Heading, heading};
use crate::components::{Field, Offers, button, drawn, framed, named_button};
use crate::desk::{Desk, use_desk};
use crate::look::{Look, shown};
use crate::platform::page;
use crate::route::{JobPart, Route};

/// How far a tap moves a mark: a hundredth and a half of the photo.
const STEP: i16 = 150;
/// As many words as can be read on a photo.
const WORDS: [&str; 4] = ["lip down", "arrow to bow", "this way up", "leaks here"];

/// The page on which one draws.
#[component]
pub fn MarksScreen(photo: PhotoId) -> impl IntoView {
    let desk = use_desk();
    let found = desk.look(move |book, _| view::marked_photo(book, photo));
    let known = Look::at(move || found.with(Option::is_some));
    shown(move || match (known.get(), found.get_untracked()) {
        (true, Some(before)) => {
            // A page that is left while its photo goes has what it showed before for a moment.
            let card = Look::at(move || found.get().unwrap_or_else(|| before.clone()));
            page_of(desk, card)
        }
        _ => view! {
            {heading("This photo is not in the book")}
            <p class="group"><a class="button" href=Route::Jobs { finished: false }.link()>"To the jobs"</a></p>
        }
        .into_any(),
    })
}

/// What is drawn with, and what is typed for it.
#[derive(Clone, Copy)]
struct Hand {
    tool: RwSignal<Tool>,
    words: RwSignal<String>,
}

fn page_of(desk: Desk, card: Look<MarkedPhoto>) -> AnyView {
    let hand = Hand { tool: RwSignal::new(Tool::Arrow), words: RwSignal::new(String::new()) };
    let title = Look::at(move || card.with(|card| card.photo.caption.clone()));
    let back = card.with_untracked(|card| {
        let words = card.of.clone().unwrap_or_default();
        let to = card.job.map_or(Route::Now, |job| Route::Job(job, JobPart::Photos));
        view! { <p class="small"><a href=to.link()>{words}</a></p> }
    });
    view! {
        <Heading text=title />
        {back}
        {tools(hand)}
        {board(desk, card, hand)}
        {by_keys(desk, card, hand)}
        {list(desk, card)}
    }
    .into_any()
}

fn tools(hand: Hand) -> AnyView {
    let tool = move |tool: Tool| {
        let pressed = move || (hand.tool.get() == tool).to_string();
        view! { <button type="button" aria-pressed=pressed on:click=move |_| hand.tool.set(tool)>{tool.words()}</button> }
    };
    let offers = Look::at(|| WORDS.map(str::to_owned).to_vec());
    let is_words = Look::at(move || hand.tool.get() == Tool::Words);
    let words = shown(move || {
        is_words.get().then(|| {
            view! {
                <div class="group">
                    <Field name="Words on the photo" value=hand.words />
                    <Offers offers name="Words that are often used" value=hand.words />
                </div>
            }
        })
    });
    view! {
        <div class="choices pair group" role="group" aria-label="Draw with">{Tool::ALL.map(tool).collect_view()}</div>
        {words}
        <p class="small" role="status">{move || hand.tool.get().how()}</p>
    }
    .into_any()
}

/// Keeps a mark; what is missing for it is said.
fn keep(desk: Desk, card: Look<MarkedPhoto>, mark: Option<Mark>, before: Option<Mark>, said: &'static str) {
    let photo = card.with_untracked(|card| card.photo.id);
    desk.tell(Command::Draw { photo, instead_of: before, mark }, said);
}

/// Returns where on the photo a pointer is; none where it is beside it.
fn spot_under(event: &PointerEvent) -> Option<Spot> {
    page::place_in(event, WHOLE, WHOLE).and_then(|(x, y)| Spot::new(x, y))
}

/// The photo with its marks, and what the finger draws just now.
fn board(desk: Desk, card: Look<MarkedPhoto>, hand: Hand) -> AnyView {
    let (blob, size) = card.with_untracked(|card| (card.photo.blob, card.photo.size));
    let alt = card.with_untracked(|card| card.photo.caption.clone());
    let path: RwSignal<Vec<Spot>> = RwSignal::new(Vec::new());
    let mark = move || hand.tool.get().mark(&path.get(), &hand.words.get(), size);
    // What was drawn stays to be seen until it is kept, and follows no finger any more.
    let pressed = StoredValue::new(false);
    let down = move |event: PointerEvent| {
        page::hold_pointer(&event);
        pressed.set_value(true);
        path.set(spot_under(&event).into_iter().collect());
    };
    let drag = move |event: PointerEvent| {
        if pressed.get_value() {
            path.update(|path| path.extend(spot_under(&event)));
        }
    };
    let stop = move |_| {
        pressed.set_value(false);
        path.set(Vec::new());
    };
    let up = move |_| {
        pressed.set_value(false);
        let Some(mark) = untrack(mark) else { return };
        let photo = card.with_untracked(|card| card.photo.id);
        let drawn = path.get_untracked();
        spawn_local(async move {
            desk.ask(Command::Draw { photo, instead_of: None, mark: Some(mark) }, "Drawn").await;
            // Another stroke may have begun meanwhile.
            if path.try_with_untracked(|now| *now == drawn) == Some(true) {
                path.set(Vec::new());
            }
        });
    };
    let kept = Look::at(move || card.with(|card| card.photo.marks.clone()));
    let kept = shown(move || kept.with(|marks| drawn(&view::overlay(marks, size))));
    let now = shown(move || drawn(&view::overlay(mark().as_slice(), size)));
    // A flick here is no gesture of the browser's: none that scrolls, and none that the next tap would only stop.
    let over = view! {
        {kept}
        {now}
        <div
            class="pen"
            on:touchstart=move |event: TouchEvent| event.prevent_default()
            on:pointerdown=down
            on:pointermove=drag
            on:pointerup=up
            on:pointercancel=stop
        ></div>
    };
    view! { <div class="photo board group">{framed(blob, size, alt, over.into_any())}</div> }.into_any()
}

/// The same by keys: a place among nine, then small steps.
fn by_keys(desk: Desk, card: Look<MarkedPhoto>, hand: Hand) -> AnyView {
    let place = move |(name, middle): (&'static str, Option<Spot>)| {
        let full = move || format!("{} at the {name}", hand.tool.get().words());
        let put = move |_| {
            let size = card.with_untracked(|card| card.photo.size);
            let path: Vec<Spot> = middle.into_iter().collect();
            let mark = hand.tool.get_untracked().mark(&path, &hand.words.get_untracked(), size);
            keep(desk, card, mark, None, "Drawn");
        };
        view! { <button type="button" aria-label=full on:click=put>{name}</button> }
    };
    let step = move |words: &'static str, right: i16, down: i16| {
        button("", words, move || match card.with_untracked(|card| card.photo.marks.last().cloned()) {
            Some(last) => keep(desk, card, Some(last.shifted(right, down)), Some(last), "Moved"),
            None => desk.complain("Nothing is drawn yet: place a mark first."),
        })
    };
    view! {
        <details class="group">
            <summary class="choice">"Without a finger"</summary>
            <p class="small">"Where the mark is to be:"</p>
            <div class="choices" role="group" aria-label="Place the mark">{NINTHS.map(place).collect_view()}</div>
            <p class="small group">"Move the last mark a little:"</p>
            <div class="choices pair" role="group" aria-label="Move the last mark">
                {step("To the left", -STEP, 0)}
                {step("To the right", STEP, 0)}
                {step("Up", 0, -STEP)}
                {step("Down", 0, STEP)}
            </div>
        </details>
    }
    .into_any()
}

/// What is drawn, in words; each mark can be taken away, the last one with one tap.
fn list(desk: Desk, card: Look<MarkedPhoto>) -> AnyView {
    let rows = Look::at(move || card.with(|card| card.rows.clone()));
    let row = move |(mark, words): (Mark, String)| {
        let away = move || keep(desk, card, None, Some(mark.clone()), "Taken away");
        view! {
            <li class="step">
                <span class="grow">{words.clone()}</span>
                {named_button("quiet", "Take away", format!("Take away: {words}"), away)}
            </li>
        }
    };
    let last = move |mark: Mark| {
        button("", "Take the last mark back", move || keep(desk, card, None, Some(mark.clone()), "Taken back"))
    };
    shown(move || {
        let rows = rows.get();
        let last = rows.last().map(|(mark, _)| view! { <p class="group">{last(mark.clone())}</p> });
        let none = rows.is_empty().then(|| view! { <p class="none">"Nothing is drawn yet."</p> });
        view! {
            {last}
            <h2>"Drawn on it"</h2>
            {none}
            <ul class="list">{rows.into_iter().map(row).collect_view()}</ul>
        }
    })
}
