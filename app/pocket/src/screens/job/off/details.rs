//! What more can be said of an item, behind one tap and drawn only then: its facts, what it
//! waits for, what was done instead of putting it back.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::ItemFacts;
use quaywright_core::id::{GroupId, ItemId};
use quaywright_core::quantity::Count;
use quaywright_core::reassembly::tally::How;
use quaywright_core::text::Label;
use quaywright_core::view::{self, ItemRow, TieRow};

use super::came_off::{Fields, no_count};
use super::pointing::{Pointing, beginnings};
use crate::components::{CountField, Field, button, named_button};
use crate::desk::{Desk, use_desk};
use crate::look::shown;
use crate::platform::page;
use crate::route::Route;

/// The facts of an item as fields, and what else can be said of it.
#[component]
pub fn ItemDetails(row: ItemRow, pointing: Pointing) -> impl IntoView {
    let desk = use_desk();
    let opened = RwSignal::new(false);
    let name = row.name.clone();
    let inside = shown(move || {
        opened.get().then(|| {
            view! {
                {left_over(desk, &row)}
                {tighten(desk, &row)}
                {forget(desk, &row)}
                {put_right(desk, &row)}
                {order(desk, row.id, &row.name, pointing)}
                {instead(desk, &row)}
            }
        })
    });
    view! {
        <details class="row" on:toggle=move |event: leptos::ev::Event| opened.set(page::is_open(&event))>
            <summary class="choice">{format!("Put right: {name}")}</summary>
            {inside}
        </details>
    }
}

/// One that lies in the tray although all are on came from somewhere: then one more came off.
fn left_over(desk: Desk, row: &ItemRow) -> Option<AnyView> {
    let (id, name, facts) = (row.id, row.name.clone(), row.facts.clone());
    (row.off == Count(0)).then(|| {
        let full = format!("One is left over: {name}");
        named_button("", "One is left over", full, move || {
            let facts = ItemFacts { count: Count(facts.count.0.saturating_add(1)), ..facts.clone() };
            let words = format!("{name}: {} came off, one is left over", facts.count);
            desk.tell(Command::AmendItem { item: id, facts }, words);
        })
    })
}

/// Fasteners become a group to tighten, count and thread with them; the value is typed there.
fn tighten(desk: Desk, row: &ItemRow) -> Option<AnyView> {
    let (job, name) = (row.job, row.name.clone());
    let facts = view::group_of_item(&row.facts)?;
    let full = format!("Tighten together: {name}");
    let words = format!("{name}: a group to tighten. Type the value and where it stands.");
    Some(named_button("", "Tighten together", full, move || {
        let (facts, words) = (Box::new(facts.clone()), words.clone());
        spawn_local(async move {
            if let Some(event) = desk.ask(Command::AddGroup { job, facts }, words).await {
                page::go(&Route::Group(GroupId(event)).fragment());
            }
        });
    }))
}

/// On a job by a procedure: the next one is told that this was forgotten.
fn forget(desk: Desk, row: &ItemRow) -> Option<AnyView> {
    let (job, what) = (row.job, row.facts.what.clone());
    let is_told = !what.is_empty() && desk.book.with_untracked(|book| view::is_by_procedure(book, job));
    let forget =
        move || desk.tell(Command::Forget { job, step: None, what: what.clone() }, "The next job is told of it");
    is_told.then(|| named_button("", "I forgot this", format!("I forgot this: {}", row.name), forget))
}

fn put_right(desk: Desk, row: &ItemRow) -> AnyView {
    let (id, name) = (row.id, row.name.clone());
    let fields = Fields::of(&row.facts);
    let keep = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        match fields.read() {
            Some(facts) => desk.tell(Command::AmendItem { item: id, facts }, "Put right"),
            None => no_count(desk),
        }
    };
    let never = move || desk.tell(Command::Withdraw { event: id.0 }, format!("{name} was never off"));
    view! {
        <form on:submit=keep>
            {fields.drawn(row.job, None)}
            <button type="submit">"Keep"</button>
            {button("quiet", "It never came off", never)}
        </form>
    }
    .into_any()
}

/// What was said about the order, and the beginnings of more.
fn order(desk: Desk, item: ItemId, name: &str, pointing: Pointing) -> AnyView {
    let ties = desk.look(move |book, _| view::ties_of(book, item));
    let one = move |TieRow { event, words }: TieRow| {
        let full = format!("Not so: {words}");
        let said = full.clone();
        view! {
            <li class="row">
                <span class="grow">{words}</span>
                {named_button("", "Not so", full, move || desk.tell(Command::Withdraw { event }, said.clone()))}
            </li>
        }
    };
    view! {
        <div class="group" role="group" aria-label=format!("Order of {name}")>
            <p class="label">"What goes on first"</p>
            <ul>{shown(move || ties.get().into_iter().map(one).collect_view())}</ul>
            {beginnings(pointing, item, name)}
        </div>
    }
    .into_any()
}

/// What was done instead of putting it back on.
fn instead(desk: Desk, row: &ItemRow) -> Option<AnyView> {
    let (id, name, off) = (row.id, row.name.clone(), row.off);
    let count = RwSignal::new(off.to_string());
    let reason = RwSignal::new(String::new());
    let button = |words: &'static str, how: How| {
        let full = format!("{words}: {name}");
        let said = full.clone();
        named_button("grow", words, full, move || {
            let Ok(count) = count.get_untracked().trim().parse() else { return no_count(desk) };
            let reason = Label::new(&reason.get_untracked());
            let (asked, said) = (Command::DoInstead { item: id, how, count: Count(count), reason }, said.clone());
            spawn_local(async move {
                if desk.ask(asked, said).await.is_some() {
                    desk.drop_drafts(&format!("instead/{id}/"));
                }
            });
        })
    };
    (off > Count(0)).then(|| {
        view! {
            <div class="group stack" role="group" aria-label=format!("Not back on: {name}")>
                <p class="label">"It does not go back on"</p>
                <CountField name="How many do not" value=count draft=format!("instead/{id}/count") />
                <Field name="Why (worn, cracked, no spare …)" value=reason draft=format!("instead/{id}/why") />
                <div class="row">
                    {button("Replaced by new", How::Replaced)}
                    {button("Left off", How::LeftOff)}
                </div>
            </div>
        }
        .into_any()
    })
}
