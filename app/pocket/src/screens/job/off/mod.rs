//! The off-list: what came off, what goes on next, what has to wait and for what.
//!
//! One big action at a time: while things come off it is "It came off", while they go back
//! on it is what is next. Whatever has to be made sure of comes before either.

mod came_off;
mod details;
mod list;
mod pick;
mod pointing;
mod row;

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::view::{self, JobCard, OffList, ToCheck};

use crate::components::button;
use crate::desk::{Desk, Paper, use_desk};
use crate::look::{Look, shown};
use crate::platform::page;

use super::super::document::Document;
use came_off::CameOff;
use list::{back_on, part};
pub use pick::{nth_of, pick};
use pointing::{Pointing, banner};

/// Where the keyboard and a screen reader go after something was put back on: to what is to be
/// made sure of, or else to what is next.
const MAKE_SURE: &str = "make-sure";
const NEXT_ON: &str = "next-on";

/// Under which name it is timed how long finding takes what goes on next.
const FOUND: &str = "next-found";

/// What came off, and the list.
#[component]
pub fn Off(card: Look<JobCard>) -> impl IntoView {
    let desk = use_desk();
    let job = card.with_untracked(|card| card.id);
    let list = desk.look(move |book, _| page::timed(FOUND, || view::off_list(book, job)));
    // Whoever has half typed something is taking apart.
    let typed = desk.draft(&format!("off/{job}/what")).is_some_and(|text| !text.is_empty());
    let apart = RwSignal::new(typed || list.with_untracked(|list| list.apart));
    let pointing = Pointing::default();
    let wrong = Look::at(move || list.with(|list| list.wrong.clone()));
    let wrong = shown(move || {
        let wrong = wrong.get();
        (!wrong.is_empty()).then(|| {
            view! { <ul class="stop group" aria-label="What does not add up">{wrong.into_iter().map(|words| view! { <li>{words}</li> }).collect_view()}</ul> }
        })
    });
    // A tap on the way that is chosen already draws nothing anew: half of a form may be filled in.
    let is_apart = Look::at(move || apart.get());
    // What is next is drawn as the big action, and only while things go back on.
    let next = Look::at(move || (!apart.get()).then(|| list.with(|list| list.next.first().copied())).flatten());
    let never = Look::at(|| None);
    let form = shown(move || is_apart.get().then(|| view! { <CameOff job /> }));
    view! {
        {ways(apart)}
        {wrong}
        {to_check(desk, list)}
        {banner(pointing)}
        {form}
        <h2>"Still off"</h2>
        {nothing_off(list)}
        {part(desk, "Can go on now", Look::at(move || list.with(|list| list.next.clone())), next, pointing)}
        {part(desk, "Has to wait", Look::at(move || list.with(|list| list.waiting.clone())), never, pointing)}
        {back_on(desk, Look::at(move || list.with(|list| list.back.clone())), pointing)}
        <section class="group">
            <h2>"Hand the job on"</h2>
            <p class="small">"One file with this job, its photos and nothing else, for the phone of a colleague."</p>
            <Document paper=Look::at(move || Paper::JobFile(job)) name="Make the job's file" />
        </section>
    }
}

/// Keeps what the big action says, and goes on to what comes next.
fn go_on(desk: Desk, command: Command, words: String) {
    spawn_local(async move {
        if desk.ask(command, words).await.is_some() {
            // The list is drawn anew before the next frame; it shows where it will stay.
            leptos::task::tick().await;
            page::to_thumb(NEXT_ON);
            page::to_thumb(MAKE_SURE);
        }
    });
}

/// The two ways to work, of which one is chosen.
fn ways(apart: RwSignal<bool>) -> AnyView {
    let way = |words: &'static str, is_it: bool| {
        let pressed = move || (apart.get() == is_it).to_string();
        view! { <button type="button" aria-pressed=pressed on:click=move |_| apart.set(is_it)>{words}</button> }
    };
    view! {
        <div class="pair choices group" role="group" aria-label="What is done">
            {way("Taking apart", true)}
            {way("Putting together", false)}
        </div>
    }
    .into_any()
}

fn nothing_off(list: Look<OffList>) -> AnyView {
    let none = Look::at(move || list.with(|list| list.next.is_empty() && list.waiting.is_empty()));
    shown(move || none.get().then(|| view! { <p class="none">"Nothing is off. Enter each thing as it comes off."</p> }))
}

/// What is on and nobody has made sure of: each is one tap.
fn to_check(desk: Desk, list: Look<OffList>) -> AnyView {
    let checks = Look::at(move || list.with(|list| list.to_check.clone()));
    let one = move |ToCheck { item, name, row }: ToCheck| {
        let words = format!("{name}: {}", row.words);
        let said = format!("Made sure: {words}");
        let sure = move || go_on(desk, Command::MakeSure { item, check: row.check }, said.clone());
        view! { <li class="stack"><p class="stop">{words}</p>{button("big", "I have made sure", sure)}</li> }
    };
    shown(move || {
        let checks = checks.get();
        (!checks.is_empty()).then(|| {
            view! {
                <section class="group" aria-label="Make sure">
                    <h2 id=MAKE_SURE tabindex="-1">"Make sure"</h2>
                    <ul class="list">{checks.into_iter().map(one).collect_view()}</ul>
                </section>
            }
        })
    })
}
