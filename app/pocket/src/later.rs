//! The screens that are loaded when they are wanted, or soon after the start.
//!
//! A phone waits for what the first screens need and no longer: the others are
//! a part of the program that is cut off after linking (`cargo xtask` does it)
//! and joined on when somebody goes there. It is joined to the running program,
//! so its names bear the hash of that very program; one of another version is
//! never taken. The service worker keeps it with the rest.
//!
//! A build for the daily work is not cut: there the screens are always here.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::id::JobId;
use quaywright_core::moment::Length;

use crate::components::button;
use crate::desk::{Desk, Phase};
use crate::look::{Look, shown};
use crate::platform::{page, timer};
use crate::route::{JobPart, Route};
use crate::screens::{
    AgreementScreen, BenchScreen, BoatScreen, BoatsScreen, CourseScreen, DayScreen, GroupScreen, HandOverScreen,
    HoursScreen, JobScreen, NewJobScreen, OverrunAside, ProcedureScreen, ProceduresScreen, ReadingScreen, ReckonScreen,
    RulesScreen, heading,
};

/// What the part draws. Whatever is drawn in `draw` alone is loaded later.
#[derive(Clone, Copy)]
pub enum Far {
    /// The screen of a place.
    Place(Route),
    /// A job's page, which stays while one goes from part to part of it.
    Job(JobId, Look<JobPart>),
    /// How much of what was agreed on a job is used.
    Overrun(JobId),
}

/// Draws it. A start has no use for any of it.
fn draw(what: Far) -> AnyView {
    match what {
        Far::Place(place) => match place {
            Route::NewJob { boat } => view! { <NewJobScreen boat /> }.into_any(),
            Route::Boats => view! { <BoatsScreen /> }.into_any(),
            Route::Boat(boat) => view! { <BoatScreen boat /> }.into_any(),
            Route::Group(group) => view! { <GroupScreen group /> }.into_any(),
            Route::Procedures => view! { <ProceduresScreen /> }.into_any(),
            Route::Procedure(procedure) => view! { <ProcedureScreen procedure /> }.into_any(),
            Route::Day(day) => view! { <DayScreen day /> }.into_any(),
            Route::Hours(period, day) => view! { <HoursScreen period day /> }.into_any(),
            Route::Rules => view! { <RulesScreen /> }.into_any(),
            Route::Bench => view! { <BenchScreen /> }.into_any(),
            Route::Reading(kind, job) => view! { <ReadingScreen kind job /> }.into_any(),
            Route::Course(engine, kind) => view! { <CourseScreen engine kind /> }.into_any(),
            Route::Reckon => view! { <ReckonScreen /> }.into_any(),
            Route::Agreement(job, part) => view! { <AgreementScreen job part /> }.into_any(),
            Route::HandOver { day } => view! { <HandOverScreen day /> }.into_any(),
            Route::Now | Route::Jobs { .. } | Route::Job(..) | Route::Note { .. } => ().into_any(),
        },
        Far::Job(job, part) => view! { <JobScreen job part /> }.into_any(),
        Far::Overrun(job) => view! { <OverrunAside job /> }.into_any(),
    }
}

/// How long after the start the part is fetched unasked.
const UNASKED: Length = Length::from_ms(1_500);

/// Fetches the part once the first hurry is over, so that it is there when it is wanted.
pub fn fetch_soon(desk: Desk) {
    let open = Look::at(move || matches!(desk.phase.get(), Phase::Ready | Phase::Watching));
    Effect::new(move || {
        if open.get() {
            spawn_local(async move {
                timer::wait(UNASKED).await;
                // If it fails nobody has missed it yet; it is asked for again when somebody does.
                part::join().await;
            });
        }
    });
}

/// Returns a screen that is loaded when it is wanted.
pub fn screen(desk: Desk, what: Far) -> AnyView {
    if let Some(view) = part::draw(what) {
        return view;
    }
    let place = desk.route.get_untracked();
    let is_over = RwSignal::new(false);
    spawn_local(async move {
        part::join().await;
        // Who left meanwhile took the signal along, and is left alone.
        let _ = is_over.try_set(true);
        if desk.route.get_untracked() == place {
            // The heading that had the focus is gone.
            request_animation_frame(|| page::focus("heading"));
        }
    });
    shown(move || if is_over.get() { part::draw(what).unwrap_or_else(missing) } else { waiting() })
}

/// Returns a part of a screen that nobody waits for: it is not there until it is loaded.
pub fn aside(what: Far) -> AnyView {
    if let Some(view) = part::draw(what) {
        return view;
    }
    let is_here = RwSignal::new(false);
    spawn_local(async move {
        // The first hurry of the start is left alone.
        timer::wait(UNASKED).await;
        part::join().await;
        let _ = is_here.try_set(true);
    });
    shown(move || is_here.get().then(|| part::draw(what)).flatten())
}

fn waiting() -> AnyView {
    view! {
        {heading("One moment …")}
        <p class="busy" role="status">"This page is being loaded."</p>
    }
    .into_any()
}

fn missing() -> AnyView {
    view! {
        {heading("This page could not be loaded")}
        <p role="alert">
            "Nothing that was kept is touched. Another version of the workbook may have taken the place of the one that is open: open it again."
        </p>
        <p class="group">{button("big", "Open again", page::reload)}</p>
    }
    .into_any()
}

/// The part, cut off after linking.
#[cfg(not(debug_assertions))]
mod part {
    use std::sync::atomic::{AtomicBool, Ordering::Relaxed};

    use futures::FutureExt;
    use leptos::prelude::AnyView;
    use leptos::wasm_split::{SplitLoaderError, wasm_split};

    use super::Far;

    static HERE: AtomicBool = AtomicBool::new(false);

    /// Joins the part to the program, if that can be done.
    pub async fn join() {
        if preload().await.is_ok() {
            HERE.store(true, Relaxed);
        }
    }

    /// Draws what is asked for, if the part is here.
    pub fn draw(what: Far) -> Option<AnyView> {
        // What is here need not be waited for.
        HERE.load(Relaxed).then(|| far(what).now_or_never()?.ok()).flatten()
    }

    #[wasm_split(later, wasm_split_path = leptos::wasm_split, preload(preload), fallible)]
    fn far(what: Far) -> Result<AnyView, SplitLoaderError> {
        Ok(super::draw(what))
    }
}

/// The part as it is in daily builds: never cut off.
#[cfg(debug_assertions)]
mod part {
    use leptos::prelude::AnyView;

    use super::Far;

    /// There is nothing to join.
    pub async fn join() {}

    /// Draws what is asked for.
    pub fn draw(what: Far) -> Option<AnyView> {
        Some(super::draw(what))
    }
}
