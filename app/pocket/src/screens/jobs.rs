//! The list of jobs.

use leptos::prelude::*;
use quaywright_core::view;

use super::{heading, job_list};
use crate::desk::use_desk;
use crate::look::shown;
use crate::route::Route;

/// Open or finished jobs.
#[component]
pub fn JobsScreen(finished: bool) -> impl IntoView {
    let desk = use_desk();
    let jobs =
        desk.look(move |book, now| if finished { view::finished_jobs(book, now) } else { view::open_jobs(book, now) });
    let (title, other, other_name) = if finished {
        ("Finished jobs", Route::Jobs { finished: false }, "Open jobs")
    } else {
        ("Open jobs", Route::Jobs { finished: true }, "Finished jobs")
    };
    let none = if finished { "No job is finished yet." } else { "No open job. Begin with a new one." };
    view! {
        {heading(title)}
        <div class="group">{job_list(jobs)}</div>
        {shown(move || jobs.with(Vec::is_empty).then(|| view! { <p class="none">{none}</p> }))}
        <p class="group"><a class="button big" href=Route::NewJob { boat: None }.link()>"New job"</a></p>
        <div class="row group">
            <a class="button grow" href=other.link()>{other_name}</a>
            <a class="button grow" href=Route::Boats.link()>"Boats"</a>
            <a class="button grow" href=Route::Procedures.link()>"Procedures"</a>
        </div>
    }
}
