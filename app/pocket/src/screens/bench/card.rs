//! A reading that was kept: what it said, how it stands and why, and what can be done with it.

use leptos::prelude::*;
use quaywright_core::command::Command;
use quaywright_core::event::About;
use quaywright_core::id::ReadingId;
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
    let put = card.place.is_none().then(|| put_on_a_job(desk, id));
    let removed = format!("{title} is removed");
    let remove = move || desk.tell(Command::Withdraw { event: id.0 }, removed.clone());
    view! {
        <li>
            <p class="small">{card.when}</p>
            <p><strong>{card.title}</strong></p>
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
            <p class=class><strong>{judged.verdict.words()}</strong></p>
            <div class="pair">{figures}</div>
            {reasons}
            {next}
        </div>
    }
    .into_any()
}

fn put_on_a_job(desk: Desk, reading: ReadingId) -> AnyView {
    let jobs = desk.look(view::open_jobs);
    let rows = shown(move || {
        let row = move |row: view::JobRow| {
            let words = format!("{} · {}", row.boat, row.title);
            let told = format!("The reading is on {words}");
            let job = row.id;
            button("line", words, move || desk.tell(Command::PutReading { reading, job }, told.clone()))
        };
        let jobs = jobs.get();
        let none = jobs.is_empty().then(|| view! { <p class="none">"No open job. Begin with a new one."</p> });
        view! { {none}{jobs.into_iter().map(row).collect_view()} }
    });
    view! {
        <details>
            <summary class="choice">"Put it on a job"</summary>
            <div class="stack">{rows}</div>
        </details>
    }
    .into_any()
}
