//! A reading that was kept: what it said, how it stands and why, and what can be done with it.

use leptos::prelude::*;
use quaywright_core::command::Command;
use quaywright_core::event::About;
use quaywright_core::id::{EngineId, JobId, ReadingId};
use quaywright_core::reading::finding::Verdict;
use quaywright_core::view::{self, Judged, ReadingCard};

use crate::components::{PhotoButton, Picture, button, named_button};
use crate::desk::Desk;
use crate::look::shown;
use crate::route::Route;

/// One row of a list of readings.
pub fn reading_card(desk: Desk, card: ReadingCard) -> AnyView {
    let (id, title) = (card.id, card.title.clone());
    let said: Vec<String> = card.answers.into_iter().map(|(words, value)| [words, value].join(" ")).collect();
    let note = (!card.note.is_empty()).then(|| view! { <p class="prose">{card.note}</p> });
    let photos = card.photos.into_iter().map(|photo| view! { <Picture photo /> }).collect_view();
    let course = card.engine.map(|engine| {
        let to = Route::Course(engine, card.kind).link();
        view! { <a class="button" href=to aria-label=format!("Course and limits: {title}")>"Course and limits"</a> }
    });
    let put = elsewhere(desk, id, card.job, card.engine);
    let place = card.place.map(|place| view! { <p class="small">{place}</p> });
    let removed = format!("{title} is removed");
    let remove = move || desk.tell(Command::Withdraw { event: id.0 }, removed.clone());
    view! {
        <li>
            <p class="small">{card.when}</p>
            <p><strong>{card.title}</strong></p>
            {place}
            <p>{said.join(" · ")}</p>
            {verdict(card.judged, true)}
            {note}
            <div class="photos">{photos}</div>
            <div class="row">
                <PhotoButton about=About::Reading(id) full_name=format!("Photo of the gauge: {title}") />
                {course}
                {named_button("quiet", "Remove", format!("Remove {title}"), remove)}
            </div>
            {put}
        </li>
    }
    .into_any()
}

/// How a reading stands: never a verdict alone, the reasons and their rules go with it.
pub fn verdict(judged: Judged, folded: bool) -> AnyView {
    let class = if judged.verdict == Verdict::OutOf { "large stop" } else { "large" };
    let headline = judged.headline().map(|words| view! { <p class=class><strong>{words}</strong></p> });
    let figure = |(words, value): (&'static str, String)| {
        view! { <div><p class="label">{words}</p><p class="figure large">{value}</p></div> }
    };
    let figures = judged.told.into_iter().map(figure).collect_view();
    let reason = |(words, rule): (String, String)| {
        view! { <li><p>{words}</p><p class="small">"Rule: "{rule}</p></li> }
    };
    let first = judged.reasons.first().map(|(words, _)| words.clone()).filter(|_| folded);
    let reasons = view! { <ul class="stack">{judged.reasons.into_iter().map(reason).collect_view()}</ul> }.into_any();
    let reasons = if folded {
        view! { <p>{first}</p><details><summary class="choice">"Why, and by which rule"</summary>{reasons}</details> }
            .into_any()
    } else {
        reasons
    };
    let next = judged.next.into_iter().map(|words| view! { <p>{words}</p> }).collect_view();
    view! {
        <div class=if folded { "verdict" } else { "stack verdict framed" }>
            {headline}
            <div class="pair">{figures}</div>
            {reasons}
            {next}
        </div>
    }
    .into_any()
}

/// Where else a reading can go: the other open jobs, no job, another engine.
fn elsewhere(desk: Desk, reading: ReadingId, job: Option<JobId>, engine: Option<EngineId>) -> AnyView {
    let put = move |words: String, told: String, job: Option<JobId>, engine: Option<EngineId>| {
        button("line", words, move || desk.tell(Command::PutReading { reading, job, engine }, told.clone()))
    };
    let jobs = desk.look(view::open_jobs);
    let jobs = shown(move || {
        let row = move |row: view::JobRow| {
            let words = format!("{} · {}", row.boat, row.title);
            put(words.clone(), format!("The reading is on {words}"), Some(row.id), engine)
        };
        let jobs: Vec<view::JobRow> = jobs.get().into_iter().filter(|row| Some(row.id) != job).collect();
        let none = jobs.is_empty().then(|| view! { <p class="none">"No other open job. Begin with a new one."</p> });
        view! { {none}{jobs.into_iter().map(row).collect_view()} }
    });
    let off = job
        .map(|_| put("No job: back on the bench".to_owned(), "The reading is on the bench".to_owned(), None, engine));
    let engines = desk.look(move |book, _| view::engines_to_choose(book, job));
    let engines = shown(move || {
        let row = move |(other, line): (EngineId, String)| {
            put(["Of ", &line].concat(), format!("The reading is of {line}"), job, Some(other))
        };
        engines.get().into_iter().filter(|it| Some(it.0) != engine).map(row).collect_view()
    });
    let summary = if job.is_some() { "Put it on another job or engine" } else { "Put it on a job" };
    view! {
        <details>
            <summary class="choice">{summary}</summary>
            <div class="stack">{jobs}{off}{engines}</div>
        </details>
    }
    .into_any()
}
