//! One row of the off-list: what it is, what it waits for, and what can be said of it.

use leptos::prelude::*;
use quaywright_core::command::Command;
use quaywright_core::event::About;
use quaywright_core::quantity::Count;
use quaywright_core::text::Label;
use quaywright_core::view::{self, ItemRow};

use super::details::ItemDetails;
use super::pointing::{Pointing, target};
use super::{NEXT_ON, go_on};
use crate::components::{PhotoButton, Picture, named_button, voice_button, voice_player};
use crate::desk::use_desk;
use crate::look::{Look, shown};
use crate::screens::job::guided::capital;

/// Returns a row; while it is next it is the big action.
pub fn item(row: ItemRow, is_next: Look<bool>, pointing: Pointing) -> AnyView {
    let detail = [&row.facts.size, &row.facts.side, &row.facts.stowed].map(Label::as_str);
    let detail: Vec<&str> = detail.into_iter().filter(|text| !text.is_empty()).collect();
    let is_off = row.off > Count(0);
    let (class, figure) = if is_off { ("item", row.off) } else { ("item back", row.back) };
    let partly = (is_off && row.back > Count(0))
        .then(|| format!("{} of {} back on: {}", row.back, row.facts.count, row.balance.clone().unwrap_or_default()));
    let photos = row.photos.clone().into_iter().map(|photo| view! { <Picture photo /> }).collect_view();
    let voices = row.voices.clone().into_iter().map(voice_player).collect_view();
    let id = row.id;
    let waits = use_desk().look(move |book, _| view::waits(book, id));
    let waits = shown(move || {
        let view::Waits { words, too_soon } = waits.get();
        let head = if too_soon { "On too soon" } else { "Waits" };
        (!words.is_empty()).then(|| view! { <p class="small">{format!("{head}: {}", words.join("; "))}</p> })
    });
    let told = row.known.iter().chain(&row.instead).cloned().collect::<Vec<_>>().join(" · ");
    let forgotten = row.forgotten.iter().map(|it| view! { <p class="stop">{capital(it)}</p> }).collect_view();
    let words = format!("{} {}", row.name, row.facts.side);
    let dangers = shown(move || is_next.get().then(|| cautions(view::cautions(&words))));
    let next = move || is_next.get().then_some(NEXT_ON);
    let focus = move || is_next.get().then_some("-1");
    view! {
        <li class=class id=next tabindex=focus>
            <span class="figure large">{figure.to_string()}</span>
            <div>
                <strong>{row.name.clone()}</strong>
                <p>{detail.join(" · ")}</p>
                <p class="small">{told}</p>
                <p class="small">{partly}</p>
                {forgotten}
                {waits}
            </div>
            {dangers}
            {target(pointing, row.id, row.name.clone())}
            {buttons(&row, is_next)}
            {voices}
            <div class="photos">{photos}</div>
            <ItemDetails row pointing />
        </li>
    }
    .into_any()
}

/// Returns cautions, one under the other.
pub fn cautions(told: Vec<String>) -> Option<AnyView> {
    (!told.is_empty()).then(|| {
        let told = told.into_iter().map(|words| view! { <p>{words}</p> }).collect_view();
        view! { <div class="caution" role="note">{told}</div> }.into_any()
    })
}

fn buttons(row: &ItemRow, is_next: Look<bool>) -> AnyView {
    let desk = use_desk();
    let (id, off) = (row.id, row.off);
    let what = row.name.clone();
    let put = move |count: Count, what: String| {
        let (command, words) = (Command::PutBack { item: id, count }, format!("{count} × {what} back on"));
        if is_next.get_untracked() { go_on(desk, command, words) } else { desk.tell(command, words) }
    };
    let all = {
        let what = what.clone();
        let name = if off == Count(1) { "Back on".to_owned() } else { format!("All {off} back on") };
        let full = format!("{name}: {what}");
        let button = move || {
            let what = what.clone();
            let class = if is_next.get() { "big" } else { "grow" };
            named_button(class, name.clone(), full.clone(), move || put(off, what.clone()))
        };
        (off > Count(0)).then(|| shown(button))
    };
    let one = {
        let what = what.clone();
        let full = format!("1 back on: {what}");
        (off > Count(1)).then(|| named_button("", "1 back on", full, move || put(Count(1), what.clone())))
    };
    let off_again = row.last_return.map(|event| {
        let words = format!("{what}: off again");
        let full = words.clone();
        named_button("", "Off again", full, move || desk.tell(Command::Withdraw { event }, words.clone()))
    });
    view! {
        <div class="row">
            {all}
            {one}
            {off_again}
            <PhotoButton about=About::Item(id) full_name=format!("Photo of {what}") />
            {voice_button(About::Item(id), format!("Voice note on {what}"))}
        </div>
    }
    .into_any()
}
