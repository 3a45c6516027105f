//! The screens: each asks the core and shows the answer.

mod agreement;
mod bench;
mod boat;
mod boats;
mod day;
mod document;
mod group;
mod halted;
mod hand_over;
mod hours;
mod job;
mod jobs;
mod marks;
mod new_job;
mod note;
mod now;
mod office;
mod procedure;
mod procedures;
mod reader;
mod rules;

pub use agreement::{AgreementScreen, OverrunAside};
pub use bench::{BenchScreen, CourseScreen, ReadingScreen, ReckonScreen, StepReadingScreen};
pub use boat::BoatScreen;
pub use boats::BoatsScreen;
pub use day::DayScreen;
pub use group::GroupScreen;
pub use halted::HaltedScreen;
pub use hand_over::{HandOverScreen, still_to_leave};
pub use hours::HoursScreen;
pub use job::JobScreen;
pub use jobs::JobsScreen;
pub use marks::MarksScreen;
pub use new_job::NewJobScreen;
pub use note::NoteScreen;
pub use now::NowScreen;
pub use office::OfficeScreen;
pub use procedure::ProcedureScreen;
pub use procedures::ProceduresScreen;
pub use rules::RulesScreen;

use leptos::prelude::*;
use quaywright_core::moment::Length;
use quaywright_core::view::JobRow;

use crate::look::{Look, shown};
use crate::route::{JobPart, Route};

/// The heading of a screen; the focus comes here when the screen changes.
#[component]
pub(crate) fn Heading(text: Look<String>) -> impl IntoView {
    view! { <h1 id="heading" tabindex="-1">{move || text.get()}</h1> }
}

/// The heading of a screen that is always called so.
pub(crate) fn heading(text: &'static str) -> impl IntoView {
    view! { <h1 id="heading" tabindex="-1">{text}</h1> }
}

/// Jobs as links to their pages.
///
/// A row stays while only its time grows, and with it a finger or the focus on it.
pub(crate) fn job_list(jobs: Look<Vec<JobRow>>) -> AnyView {
    let key = |row: &JobRow| JobRow { today: Length::ZERO, ..row.clone() };
    let children = move |row: JobRow| {
        let id = row.id;
        let today = Look::at(move || {
            jobs.with(|jobs| jobs.iter().find(|job| job.id == id).map(|job| job.today).unwrap_or_default())
        });
        job_link(row, today)
    };
    view! { <ul class="list"><For each=move || jobs.get() key children /></ul> }.into_any()
}

fn job_link(row: JobRow, today: Look<Length>) -> AnyView {
    let part = if row.off > 0 { JobPart::Off } else { JobPart::Story };
    let (words, class) = if row.running { ("running", "figure run") } else { ("today", "figure") };
    let figure = shown(move || {
        let worth = row.running || today.with(|today| today.minutes() > 0);
        worth
            .then(|| view! { <span class=class>{today.get().clock_face()}" "<span class="small standing">{words}</span></span> })
    });
    view! {
        <li class="bare">
            <a class="entry" href=Route::Job(row.id, part).link()>
                <span class="grow">
                    <span class="what">{row.boat}</span>
                    <span>{row.title}</span>
                    {still_off(row.off)}
                    {stands(row.stands)}
                </span>
                {figure}
            </a>
        </li>
    }
    .into_any()
}

fn still_off(off: u32) -> Option<impl IntoView> {
    (off > 0).then(|| view! { <span class="stop small-line">{format!(" · {off} still off")}</span> })
}

/// How a job stands that is half together.
pub(crate) fn stands(words: Vec<String>) -> Vec<AnyView> {
    words.into_iter().map(|words| view! { <span class="small">{words}</span> }.into_any()).collect()
}
