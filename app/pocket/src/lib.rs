//! The pocket workbook: screens over the core, and thin adapters to the browser.
//!
//! - [`desk`]: where core, storage and screens meet.
//! - [`screens`]: what is seen; they hold no rule.
//! - [`components`]: small parts of a screen.
//! - [`later`]: the screens that a start does not wait for.
//! - [`look`]: what a screen follows and draws anew.
//! - [`platform`]: the browser, and only here.
//! - [`route`]: where one is.
//!
//! Invariant: no request leaves the page's own origin, and nothing is shown as
//! kept before the storage has said so.

#![allow(unreachable_pub, reason = "a component's properties must be as public as the component")]

pub mod components;
pub mod desk;
pub mod later;
pub mod look;
pub mod platform;
pub mod route;
pub mod screens;

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::moment::Length;
use quaywright_core::view;

use components::{Foot, SaidLast, Standing, button};
use desk::{Desk, Phase};
use later::Far;
use look::{Look, shown};
use platform::{page, timer};
use route::{JobPart, Route};
use screens::{JobsScreen, NoteScreen, NowScreen};

/// How long taps rest before the page's title follows.
const TAPS_REST: Length = Length::from_ms(600);

/// The whole app.
#[component]
pub fn App() -> impl IntoView {
    let desk = desk::open();
    provide_context(desk);
    let opening = move || desk.phase.get() == Phase::Opening;
    Effect::new(move || {
        if !opening() {
            page::remove_opening();
        }
    });
    let words = Look::at(move || desk.book.with(view::title));
    Effect::new(move || {
        let title = words.get();
        // The browser is slow with it: it is told when taps rest, and the last words only.
        spawn_local(async move {
            timer::wait(TAPS_REST).await;
            if words.with_untracked(|now| *now == title) {
                page::set_title(&title);
            }
        });
    });
    let foot =
        move || shown(move || matches!(desk.phase.get(), Phase::Ready | Phase::Watching).then(|| view! { <Foot /> }));
    shown(move || {
        (!opening()).then(|| {
            view! {
                <main class="workbook">
                    <Standing />
                    <Screen />
                </main>
                <SaidLast />
                {foot()}
            }
        })
    })
}

/// The screen for the place where one is.
#[component]
fn Screen() -> impl IntoView {
    let desk = desk::use_desk();
    // A job's parts share one page, so going from part to part draws nothing anew.
    let page = Look::at(move || match desk.route.get() {
        Route::Job(job, _) => Route::Job(job, JobPart::Story),
        other => other,
    });
    let part = Look::at(move || match desk.route.get() {
        Route::Job(_, part) => part,
        _ => JobPart::Story,
    });
    follow_focus(desk);
    later::fetch_soon(desk);
    shown(move || match desk.phase.get() {
        Phase::Opening => ().into_any(),
        Phase::Halted(troubles) => later::screen(desk, Far::Halted(troubles)),
        Phase::Failed(why) => view! { <Failed why /> }.into_any(),
        Phase::Ready | Phase::Watching => match page.get() {
            Route::Now => view! { <NowScreen /> }.into_any(),
            Route::Jobs { finished } => view! { <JobsScreen finished /> }.into_any(),
            Route::Note { job } => view! { <NoteScreen job /> }.into_any(),
            Route::Job(job, _) => later::screen(desk, Far::Job(job, part)),
            place => later::screen(desk, Far::Place(place)),
        },
    })
}

/// Moves the focus to the heading when the place changes, so that a screen
/// reader and the keyboard start there; not at the first screen.
fn follow_focus(desk: Desk) {
    Effect::new(move |before: Option<Route>| {
        let route = desk.route.get();
        if before.is_some_and(|before| before != route) {
            request_animation_frame(|| {
                page::to_top();
                page::focus("heading");
            });
        }
        route
    });
}

/// The storage cannot be opened.
#[component]
fn Failed(why: String) -> impl IntoView {
    view! {
        <h1 id="heading" tabindex="-1">"The workbook cannot be opened"</h1>
        <div class="telling grave" role="alert"><p>{why}</p></div>
        <p>"What was kept is still on this device. Close the app and open it again."</p>
        <p class="group">{button("big", "Open again", page::reload)}</p>
    }
}
