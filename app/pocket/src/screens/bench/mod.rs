//! The bench: what can be measured and reckoned, as questions; with or without a job.

mod card;
mod course;
mod reading;
mod reckon;

pub use card::reading_card;
pub use course::{CourseScreen, courses_of};
pub use reading::{ReadingScreen, StepReadingScreen};
pub use reckon::ReckonScreen;

use leptos::prelude::*;
use quaywright_core::id::JobId;
use quaywright_core::reading::Kind;
use quaywright_core::view::{self, ReadingCard};

use super::heading;
use crate::desk::use_desk;
use crate::look::{Look, shown};
use crate::route::Route;

/// How many readings that are on no job are shown.
const LOOSE: usize = 20;

/// The questions, and what was measured without a job.
#[component]
pub fn BenchScreen() -> impl IntoView {
    let desk = use_desk();
    let loose = desk.look(|book, now| view::readings_on_the_bench(book, now.day(), LOOSE));
    view! {
        {heading("Bench")}
        {questions(None)}
        <h2>"Torque"</h2>
        <ul class="list">
            <li class="bare">{entry(Route::Reckon, "What is this torque in other units?", "Also with an adapter, and general guidance")}</li>
        </ul>
        <h2>"Kept, on no job yet"</h2>
        {cards(loose, "Nothing. What is measured here can be put on a job later.")}
    }
}

/// What can be measured, by the question that each kind answers.
pub fn questions(job: Option<JobId>) -> AnyView {
    let question = move |&kind: &Kind| {
        view! { <li class="bare">{entry(Route::Reading(kind, job), kind.question(), kind.words())}</li> }
    };
    let shelf = move |shelf: view::Shelf| {
        let kinds = shelf.kinds.iter().map(question).collect_view();
        view! {
            <h2>{shelf.words}</h2>
            <ul class="list">{kinds}</ul>
        }
    };
    view::shelves().into_iter().map(shelf).collect_view().into_any()
}

fn entry(to: Route, what: &'static str, beside: &'static str) -> AnyView {
    view! {
        <a class="entry" href=to.link()>
            <span class="grow">
                <span class="what">{what}</span>
                <span class="small">{beside}</span>
            </span>
        </a>
    }
    .into_any()
}

/// Readings as a list, or words where there are none.
pub fn cards(readings: Look<Vec<ReadingCard>>, none: &'static str) -> AnyView {
    let desk = use_desk();
    let list = shown(move || readings.get().into_iter().map(|card| reading_card(desk, card)).collect_view());
    let empty = shown(move || readings.with(Vec::is_empty).then(|| view! { <p class="none">{none}</p> }));
    view! {
        <ul class="list">{list}</ul>
        {empty}
    }
    .into_any()
}
