//! The screens: each asks the core and shows the answer.

mod boat;
mod boats;
mod day;
mod halted;
mod hand_over;
mod job;
mod jobs;
mod new_job;
mod note;
mod now;

pub use boat::BoatScreen;
pub use boats::BoatsScreen;
pub use day::DayScreen;
pub use halted::HaltedScreen;
pub use hand_over::HandOverScreen;
pub use job::JobScreen;
pub use jobs::JobsScreen;
pub use new_job::NewJobScreen;
pub use note::NoteScreen;
pub use now::NowScreen;

use leptos::prelude::*;
use quaywright_core::view::JobRow;

use crate::look::Look;
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

/// A job as a link to its page.
pub(crate) fn job_link(row: JobRow) -> impl IntoView {
    let part = if row.off > 0 { JobPart::Off } else { JobPart::Story };
    view! {
        <li class="bare">
            <a class="entry" href=Route::Job(row.id, part).link()>
                <span class="grow">
                    <span class="what">{row.boat.clone()}</span>
                    <span>{row.title.clone()}</span>
                    {still_off(row.off)}
                </span>
                {today(&row)}
            </a>
        </li>
    }
}

fn still_off(off: u32) -> Option<impl IntoView> {
    (off > 0).then(|| view! { <span class="stop small-line">{format!(" · {off} still off")}</span> })
}

fn today(row: &JobRow) -> impl IntoView + use<> {
    let length = row.today.clock_face();
    let words = if row.running { "running" } else { "today" };
    let worth = row.running || row.today.minutes() > 0;
    let class = if row.running { "figure run" } else { "figure" };
    worth.then(|| view! { <span class=class>{length}" "<span class="small">{words}</span></span> })
}
