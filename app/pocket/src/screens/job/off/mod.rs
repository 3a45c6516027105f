//! The off-list: what came off, what goes on next, what has to wait and for what.
//!
//! One big action at a time: while things come off it is "It came off", while they go back
//! on it is what is next. Whatever has to be made sure of comes before either.

mod came_off;
mod details;
mod pick;
mod pointing;
mod row;

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::moment::Length;
use quaywright_core::view::{self, ItemRow, JobCard, OffList, ToCheck};

use crate::components::button;
use crate::desk::{Desk, Paper, use_desk};
use crate::look::{Look, shown};
use crate::platform::{page, timer};

use super::super::hand_over::Document;
use came_off::CameOff;
pub use pick::{nth_of, pick};
use pointing::{Pointing, banner};
use row::item;

/// How many rows of each part of the list are drawn unasked, and how many more each time.
const ROWS_AT_ONCE: usize = 30;
/// Where the keyboard and a screen reader go after something was put back on: to what is to be
/// made sure of, or else to what is next.
const MAKE_SURE: &str = "make-sure";
const NEXT_ON: &str = "next-on";
/// How long the list takes to be drawn anew.
const DRAWN: Length = Length::from_ms(60);

/// What came off, and the list.
#[component]
pub fn Off(card: Look<JobCard>) -> impl IntoView {
    let desk = use_desk();
    let job = card.with_untracked(|card| card.id);
    let most = RwSignal::new(ROWS_AT_ONCE);
    let list = desk.look(move |book, _| view::off_list(book, job, most.get()));
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
    let form = shown(move || is_apart.get().then(|| view! { <CameOff job /> }));
    let more = Look::at(move || list.with(|list| list.more.iter().sum::<usize>()));
    let more = shown(move || {
        let more = more.get();
        (more > 0).then(|| button("quiet", format!("{more} more"), move || most.update(|most| *most += ROWS_AT_ONCE)))
    });
    view! {
        {ways(apart)}
        {wrong}
        {to_check(desk, list)}
        {banner(pointing)}
        {form}
        <h2>"Still off"</h2>
        {nothing_off(list)}
        {part("Can go on now", list, |list| &list.next, apart, pointing)}
        {part("Has to wait", list, |list| &list.waiting, apart, pointing)}
        {part("Back on", list, |list| &list.back, apart, pointing)}
        {more}
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
            timer::wait(DRAWN).await;
            page::focus(NEXT_ON);
            page::focus(MAKE_SURE);
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

/// One part of the list; a row that is the same stays and is not drawn anew.
fn part(
    name: &'static str,
    list: Look<OffList>,
    of: fn(&OffList) -> &Vec<ItemRow>,
    apart: RwSignal<bool>,
    pointing: Pointing,
) -> AnyView {
    let is_first_big = name == "Can go on now";
    // What is next is drawn as the big action, and only while things go back on.
    let rows = move || {
        let big = is_first_big && !apart.get();
        let rows: Vec<ItemRow> = list.with(|list| of(list).clone());
        rows.into_iter().enumerate().map(|(nth, row)| (big && nth == 0, row)).collect::<Vec<_>>()
    };
    let any = Look::at(move || list.with(|list| !of(list).is_empty()));
    let children = move |(big, row): (bool, ItemRow)| item(row, big, pointing);
    shown(move || {
        any.get().then(|| {
            view! {
                <h3>{name}</h3>
                <ul class="list"><For each=rows key=|row| row.clone() children /></ul>
            }
        })
    })
}
