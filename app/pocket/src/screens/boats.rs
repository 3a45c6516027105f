//! The list of boats.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::BoatFacts;
use quaywright_core::id::BoatId;
use quaywright_core::text::Label;
use quaywright_core::view;

use super::heading;
use crate::components::Field;
use crate::desk::use_desk;
use crate::look::shown;
use crate::platform::page;
use crate::route::Route;

/// All boats, and a field for a new one.
#[component]
pub fn BoatsScreen() -> impl IntoView {
    let desk = use_desk();
    let boats = desk.look(|book, _| view::boats(book));
    let name = RwSignal::new(String::new());
    let add = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        spawn_local(async move {
            let facts = BoatFacts { name: Label::new(&name.get_untracked()), ..BoatFacts::default() };
            let words = format!("{} is in the book", facts.name);
            if let Some(boat) = desk.ask(Command::AddBoat(facts), words).await {
                desk.drop_draft("new-boat");
                page::go(&Route::Boat(BoatId(boat)).fragment());
            }
        });
    };
    let row = |boat: view::BoatRow| {
        view! {
            <li class="bare">
                <a class="entry" href=Route::Boat(boat.id).link()>
                    <span class="grow"><span class="what">{boat.name}</span><span>{boat.whereabouts}</span></span>
                </a>
            </li>
        }
    };
    view! {
        {heading("Boats")}
        <ul class="list group">{shown(move || boats.get().into_iter().map(row).collect_view())}</ul>
        {shown(move || boats.with(Vec::is_empty).then(|| view! { <p class="none">"No boat yet."</p> }))}
        <h2>"Another boat"</h2>
        <form on:submit=add>
            <Field name="Boat's name" value=name draft="new-boat" />
            <button type="submit">"Add the boat"</button>
        </form>
    }
}
