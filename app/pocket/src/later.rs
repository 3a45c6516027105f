//! The screens and errands that are loaded when they are wanted, or soon after the start.
//!
//! A phone waits for what the first screens need and no longer: the rest is
//! a part of the program that is cut off after linking (`cargo xtask` does it)
//! and joined on when somebody goes there. A start decides only the requests of
//! its own screens (`command::Quick`), so the other decisions come with the part.
//! It is joined to the running program, so its names bear the hash of that very
//! program; one of another version is never taken. The service worker keeps it
//! with the rest.
//!
//! A build for the daily work is not cut: there the screens are always here.

use std::pin::Pin;
use std::sync::atomic::{AtomicBool, Ordering};

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::event::About;
use quaywright_core::id::JobId;
use quaywright_core::moment::Length;

use crate::components::button;
use crate::desk::{Desk, Phase};
use crate::look::{Look, shown};
use crate::platform::photo::File;
use crate::platform::{bounce, page, timer};
use crate::route::{JobPart, Route};
use crate::screens::{
    AgreementScreen, BenchScreen, BoatScreen, BoatsScreen, CourseScreen, DayScreen, GroupScreen, HaltedScreen,
    HandOverScreen, HoursScreen, JobScreen, MarksScreen, NewJobScreen, OfficeScreen, OverrunAside, ProcedureScreen,
    ProceduresScreen, ReadingScreen, ReckonScreen, RulesScreen, StepReadingScreen, heading, still_to_leave,
};

/// What the part draws. Whatever is drawn in `draw` alone is loaded later.
#[derive(Clone)]
pub enum Far {
    /// The screen of a place.
    Place(Route),
    /// What should still leave the phone, on the first screen.
    StillToLeave,
    /// A job's page, which stays while one goes from part to part of it.
    Job(JobId, Look<JobPart>),
    /// How much of what was agreed on a job is used.
    Overrun(JobId),
    /// The ways on after a loss.
    Halted(Vec<String>),
}

/// What the part does without a screen.
pub enum Errand {
    /// Takes in the demo shop's days.
    Demo,
    /// Takes in pictures.
    Photos {
        /// What they show.
        about: About,
        /// The pictures.
        files: Vec<File>,
    },
}

/// Draws it. A start has no use for any of it.
fn draw(what: Far) -> AnyView {
    // Done by whatever is drawn first: nearly all that is tapped is drawn here.
    static IS_GUARDED: AtomicBool = AtomicBool::new(false);
    if !IS_GUARDED.swap(true, Ordering::Relaxed) {
        bounce::hear_once();
    }
    match what {
        Far::Place(place) => match place {
            Route::NewJob { boat } => view! { <NewJobScreen boat /> }.into_any(),
            Route::Boats => view! { <BoatsScreen /> }.into_any(),
            Route::Boat(boat) => view! { <BoatScreen boat /> }.into_any(),
            Route::Group(group) => view! { <GroupScreen group /> }.into_any(),
            Route::Photo(photo) => view! { <MarksScreen photo /> }.into_any(),
            Route::Procedures => view! { <ProceduresScreen /> }.into_any(),
            Route::Procedure(procedure) => view! { <ProcedureScreen procedure /> }.into_any(),
            Route::Day(day) => view! { <DayScreen day /> }.into_any(),
            Route::Hours(period, day) => view! { <HoursScreen period day /> }.into_any(),
            Route::Rules => view! { <RulesScreen /> }.into_any(),
            Route::Bench => view! { <BenchScreen /> }.into_any(),
            Route::Reading(kind, job) => view! { <ReadingScreen kind job /> }.into_any(),
            Route::StepReading(step, nth) => view! { <StepReadingScreen step nth /> }.into_any(),
            Route::Course(engine, kind) => view! { <CourseScreen engine kind /> }.into_any(),
            Route::Reckon => view! { <ReckonScreen /> }.into_any(),
            Route::Agreement(job, part) => view! { <AgreementScreen job part /> }.into_any(),
            Route::Office => view! { <OfficeScreen /> }.into_any(),
            Route::HandOver { day } => view! { <HandOverScreen day /> }.into_any(),
            Route::Now | Route::Jobs { .. } | Route::Job(..) | Route::Note { .. } => ().into_any(),
        },
        Far::StillToLeave => still_to_leave(),
        Far::Job(job, part) => view! { <JobScreen job part /> }.into_any(),
        Far::Overrun(job) => view! { <OverrunAside job /> }.into_any(),
        Far::Halted(troubles) => view! { <HaltedScreen troubles /> }.into_any(),
    }
}

/// Returns the errand's work. A start has no use for any of it.
fn work(desk: Desk, errand: Errand) -> Work {
    match errand {
        Errand::Demo => Box::pin(desk.fetch_demo()),
        Errand::Photos { about, files } => Box::pin(desk.take_photos(about, files)),
    }
}

/// What an errand does, until it is done.
type Work = Pin<Box<dyn Future<Output = ()>>>;

/// All ways into the part.
struct Part {
    draw: fn(Far) -> AnyView,
    work: fn(Desk, Errand) -> Work,
}

/// Nothing but the part itself may name it.
const PART: Part = Part { draw, work };

/// Draws what is asked for, if the part is here.
fn drawn(what: &Far) -> Option<AnyView> {
    part::here().map(|part| (part.draw)(what.clone()))
}

/// Runs an errand, or says why it cannot be done.
pub async fn run(desk: Desk, errand: Errand) {
    part::join().await;
    match part::here() {
        Some(part) => (part.work)(desk, errand).await,
        None => desk.complain("This could not be loaded, so nothing was done. Open the workbook again and repeat it."),
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
    if let Some(view) = drawn(&what) {
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
    shown(move || if is_over.get() { drawn(&what).unwrap_or_else(missing) } else { waiting() })
}

/// Returns a part of a screen that nobody waits for: it is not there until it is loaded.
pub fn aside(what: Far) -> AnyView {
    if let Some(view) = drawn(&what) {
        return view;
    }
    let is_here = RwSignal::new(false);
    spawn_local(async move {
        // The first hurry of the start is left alone.
        timer::wait(UNASKED).await;
        part::join().await;
        let _ = is_here.try_set(true);
    });
    shown(move || is_here.get().then(|| drawn(&what)).flatten())
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
    use std::sync::OnceLock;

    use leptos::wasm_split::{SplitLoaderError, wasm_split};

    use super::{PART, Part};

    static HERE: OnceLock<Part> = OnceLock::new();

    /// Joins the part to the program, if that can be done.
    pub async fn join() {
        if HERE.get().is_none()
            && let Ok(part) = far().await
        {
            HERE.get_or_init(|| part);
        }
    }

    /// Returns the part, if it is here.
    pub fn here() -> Option<&'static Part> {
        HERE.get()
    }

    #[wasm_split(later, wasm_split_path = leptos::wasm_split, fallible)]
    fn far() -> Result<Part, SplitLoaderError> {
        Ok(PART)
    }
}

/// The part as it is in daily builds: never cut off.
#[cfg(debug_assertions)]
mod part {
    use super::{PART, Part};

    /// There is nothing to join.
    pub async fn join() {}

    /// Returns the part.
    pub fn here() -> Option<&'static Part> {
        Some(&PART)
    }
}
