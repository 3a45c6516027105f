//! What was agreed on a job: the estimate, who agreed, what was recommended.
//!
//! One page tells how it stands; each thing that can be said of it has a page of
//! its own, so that a phone that is handed to the owner shows nothing else.

mod consent;
mod estimate;
mod overrun;
mod pad;
mod recommend;
mod visit;

pub use overrun::{OverrunAside, overrun};
pub use visit::{next_visits, planned_before};

use leptos::prelude::*;
use quaywright_core::command::Command;
use quaywright_core::event::Reply;
use quaywright_core::id::JobId;
use quaywright_core::view::{self, AgreementCard, Asked, ConsentRow, EstimateCard, RecommendedRow};

use super::document::Document;
use super::heading;
use crate::components::named_button;
use crate::desk::{Desk, Paper, use_desk};
use crate::look::{Look, shown};
use crate::platform::prefs;
use crate::route::{AgreementPart, JobPart, Route};

/// A job's agreements, open at one of the parts.
#[component]
pub fn AgreementScreen(job: JobId, part: AgreementPart) -> impl IntoView {
    let desk = use_desk();
    let known = desk.look(move |book, _| book.jobs.job(job).is_some());
    shown(move || match part {
        _ if !known.get() => view! {
            {heading("This job is not in the book")}
            <p class="group"><a class="button" href=Route::Jobs { finished: false }.link()>"To the jobs"</a></p>
        }
        .into_any(),
        AgreementPart::Whole => whole(desk, job),
        AgreementPart::Estimate => estimate::form(desk, job),
        AgreementPart::Sign => consent::form(desk, job, Asked::Estimate),
        AgreementPart::More => consent::form(desk, job, Asked::More),
        AgreementPart::Accept => consent::form(desk, job, Asked::Work),
        AgreementPart::Recommend => recommend::form(desk, job),
        AgreementPart::Visit => visit::form(desk, job),
    })
}

fn go_to(job: JobId, part: AgreementPart, class: &'static str, words: &'static str) -> AnyView {
    view! { <a class=class href=Route::Agreement(job, part).link()>{words}</a> }.into_any()
}

fn whole(desk: Desk, job: JobId) -> AnyView {
    let card = desk.look(move |book, now| view::agreement_card(book, job, now));
    let about = move || card.with(|card| card.as_ref().map(|card| card.title.clone()).unwrap_or_default());
    let now = shown(move || card.get().map(|card| stands(job, card)));
    let consents = Look::at(move || card.get().map(|card| card.consents).unwrap_or_default());
    let recommended = Look::at(move || card.get().map(|card| card.recommended).unwrap_or_default());
    let consent_rows = shown(move || consents.get().into_iter().map(|row| consent_row(desk, row)).collect_view());
    let nobody = shown(move || {
        consents.with(Vec::is_empty).then(|| view! { <p class="none">"Nobody has agreed to anything yet."</p> })
    });
    let rows = shown(move || recommended.get().into_iter().map(|row| recommended_row(desk, row)).collect_view());
    let paper = Look::at(move || match prefs::leaf() {
        Some(leaf) => Paper::AgreementPdf(job, leaf),
        None => Paper::Agreement(job),
    });
    view! {
        {heading("Estimate and agreement")}
        <p class="small"><a href=Route::Job(job, JobPart::Story).link()>{about}</a></p>
        <div class="beside">
            <div>
                {overrun(desk, job)}
                {now}
            </div>
            <div>
                <section>
                    <h2>"Agreed"</h2>
                    <ul class="list">{consent_rows}</ul>
                    {nobody}
                    <p class="group">{go_to(job, AgreementPart::Accept, "button", "The owner accepts the work")}</p>
                </section>
                <section>
                    <h2>"Recommended"</h2>
                    <ul class="list">{rows}</ul>
                    <p class="group">{go_to(job, AgreementPart::Recommend, "button", "Recommend more work")}</p>
                </section>
                <section>
                    <h2>"For the owner"</h2>
                    <p>"One sheet: the estimate that stands, who agreed, the signatures with the SHA-256 of what was signed."</p>
                    <Document paper name="Make the sheet" />
                </section>
            </div>
        </div>
    }
    .into_any()
}

/// The estimate that stands, and the one thing to do next.
fn stands(job: JobId, card: AgreementCard) -> AnyView {
    let Some(estimate) = card.estimate else {
        return view! {
            <section>
                <h2>"Estimate"</h2>
                <p class="none">"No estimate yet. Write what the work is expected to cost, then show it to the owner."</p>
                <p>{go_to(job, AgreementPart::Estimate, "button big", "Write an estimate")}</p>
            </section>
        }
        .into_any();
    };
    let missing = card.missing.into_iter().map(|words| view! { <li class="stop">{words}</li> }).collect_view();
    if estimate.is_waiver {
        return view! {
            <section>
                <h2>"Estimate"</h2>
                {told(estimate.clone())}
                <ul class="group">{missing}</ul>
                <div class="row group">
                    {estimate.holds.then(|| go_to(job, AgreementPart::Sign, "button big", "Show the waiver to the owner"))}
                    {go_to(job, AgreementPart::Estimate, "button grow", "Write an estimate")}
                </div>
            </section>
        }
        .into_any();
    }
    let [show, more] = if estimate.holds && estimate.state.ends_with("not agreed to yet") {
        ["button big", "button grow"]
    } else {
        ["button grow", "button big"]
    };
    let next =
        if estimate.holds { go_to(job, AgreementPart::Sign, show, "Show it to the owner") } else { ().into_any() };
    view! {
        <section>
            <h2>"Estimate"</h2>
            {told(estimate)}
            <ul class="group">{missing}</ul>
            <div class="row group">
                {next}
                {go_to(job, AgreementPart::More, more, "Agree to more")}
                {go_to(job, AgreementPart::Estimate, "button grow", "Write it anew")}
            </div>
        </section>
    }
    .into_any()
}

fn told(estimate: EstimateCard) -> AnyView {
    let row = |(what, amount): (String, String)| {
        view! { <tr><th scope="row">{what}</th><td class="figure">{amount}</td></tr> }
    };
    let terms = estimate.terms.into_iter().map(|line| view! { <p class="small">{line}</p> }).collect_view();
    view! {
        <p class="figure large">{estimate.total}</p>
        <p>{estimate.state}</p>
        <details>
            <summary class="choice">"Its lines and terms"</summary>
            <table><tbody>{estimate.rows.into_iter().map(row).collect_view()}</tbody></table>
            {terms}
        </details>
    }
    .into_any()
}

fn consent_row(desk: Desk, row: ConsentRow) -> AnyView {
    let event = row.id.0;
    let name = format!("Take it back: {}", row.words);
    let state = row.state.map(|(same, words)| {
        let class = if same { "small" } else { "stop" };
        view! { <p class=class>{words.trim_end_matches(" What was signed:").to_owned()}</p> }
    });
    let drawn = (!row.drawn.is_empty()).then(|| pad::drawn(&row.drawn));
    let back = move || desk.tell(Command::Withdraw { event }, "The consent is taken back");
    view! {
        <li>
            <p>{row.words}</p>
            {drawn}
            {state}
            {named_button("quiet", "Take it back", name, back)}
        </li>
    }
    .into_any()
}

fn recommended_row(desk: Desk, row: RecommendedRow) -> AnyView {
    let answer = |reply: Reply| {
        let recommendation = row.id;
        let name = format!("{}: {}", reply.words(), row.words);
        let tell = move || desk.tell(Command::AnswerRecommendation { recommendation, reply }, "The answer is kept");
        (row.reply != Some(reply)).then(|| named_button("grow", reply.words(), name, tell))
    };
    let event = row.id.0;
    let remove = move || desk.tell(Command::Withdraw { event }, "The recommendation is taken back");
    let answers = Reply::ALL.map(answer).collect_view();
    let back = format!("Take it back: {}", row.words);
    view! {
        <li>
            <p>{row.words}</p>
            <div class="row group">{answers}{named_button("quiet", "Take it back", back, remove)}</div>
        </li>
    }
    .into_any()
}
