//! Somebody agrees: to the estimate, to more than it, or to the work as it was done.
//!
//! In person the text stands on the screen as it will be kept, and the owner
//! signs below it; who cannot draw types the name, which then stands for the
//! signature. Where the owner waives the estimate, that is what is agreed to. By telephone or in writing there is nothing to sign, but more to note.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::agreement::consent::{Stroke, Strokes};
use quaywright_core::command::Command;
use quaywright_core::id::JobId;
use quaywright_core::view::{self, Asked, ConsentEntry, ToSign};

use super::estimate::choice;
use super::pad::pad;
use crate::components::Field;
use crate::desk::{Desk, sentence};
use crate::look::{Look, shown};
use crate::platform::page;
use crate::route::{AgreementPart, Route};
use crate::screens::heading;

/// The form.
pub(super) fn form(desk: Desk, job: JobId, asked: Asked) -> AnyView {
    let owner = desk.book.with_untracked(|book| {
        let boat = book.jobs.job(job).and_then(|job| book.fleet.boat(job.boat));
        boat.map(|boat| boat.facts.owner.to_string()).unwrap_or_default()
    });
    let way = RwSignal::new(usize::from(asked == Asked::More));
    let by = RwSignal::new(owner);
    let [number, time, what, added, hours] = [(); 5].map(|()| RwSignal::new(String::new()));
    let drawn: RwSignal<Vec<Stroke>> = RwSignal::new(Vec::new());
    let key = move |field: &str| format!("consent/{job}/{field}");
    let entry = move || ConsentEntry {
        way: way.get(),
        by: by.get(),
        number: number.get(),
        time: time.get(),
        what: what.get(),
        added: added.get(),
        hours: hours.get(),
    };
    let text = Look::at(move || {
        let entry = entry();
        desk.book.with(|book| match entry.to(book, job, asked) {
            Ok(to) => view::shown_to_sign(book, job, &to),
            Err(why) => ToSign { language: "en", lines: vec![sentence(&why.to_string())] },
        })
    });
    // Another text is signed anew.
    Effect::new(move || {
        let _ = text.get();
        drawn.set(Vec::new());
    });
    let agree = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let Some(strokes) = Strokes::new(drawn.get_untracked()) else {
            return desk.complain("The signature is too long to be kept: clear it and sign again.");
        };
        let now = crate::platform::clock::now();
        let entry = untrack(entry);
        let consent = desk.book.with_untracked(|book| entry.read(book, job, asked, strokes, now));
        let consent = match consent {
            Ok(consent) => Box::new(consent),
            Err(why) => return desk.complain(sentence(&why.to_string())),
        };
        spawn_local(async move {
            if desk.ask(Command::GiveConsent { job, consent }, "The consent is kept").await.is_some() {
                desk.drop_drafts(&key(""));
                page::go(&Route::Agreement(job, AgreementPart::Whole).fragment());
            }
        });
    };
    let is_waived = desk.book.with_untracked(|book| view::is_waived(book, job));
    let title = match asked {
        Asked::Estimate if is_waived => "Waive the estimate",
        Asked::Estimate => "Agree to the estimate",
        Asked::More => "Agree to more",
        Asked::Work => "Accept the work",
    };
    let more = (asked == Asked::More).then(|| {
        view! {
            <Field name="Which parts and which labour are added" value=what draft=key("what") long=true />
            <Field name="What it adds to the cost, tax included" value=added draft=key("added") keyboard="decimal" />
            <Field name="Hours of work that it adds (empty: none)" value=hours draft=key("hours") keyboard="decimal" />
        }
    });
    let how = shown(move || {
        match way.get() {
        0 => signing(text, drawn),
        1 => view! {
            <Field name="Number that you called (empty: the owner called)" value=number draft=key("number") keyboard="tel" />
            <Field name="At which time today (empty: now)" value=time draft=key("time") keyboard="numeric" />
        }
        .into_any(),
        _ => view! { <Field name="At which time today (empty: now)" value=time draft=key("time") keyboard="numeric" /> }.into_any(),
    }
    });
    let words = move || match (way.get(), drawn.with(Vec::is_empty)) {
        (0, true) => "Agree, with the typed name as signature",
        (0, false) => "Agree, as signed",
        _ => "Keep the consent",
    };
    let ways = ConsentEntry::WAYS.map(|way| sentence(way).trim_end_matches('.').to_owned()).to_vec();
    view! {
        {heading(title)}
        <form on:submit=agree>
            {choice("How it is agreed", ways, way)}
            {more}
            <Field name="Name of who agrees" value=by draft=key("by") />
            {how}
            <button type="submit" class="big">{words}</button>
            <a class="button quiet" href=Route::Agreement(job, AgreementPart::Whole).link()>"Not now"</a>
        </form>
    }
    .into_any()
}

/// The text as it will be kept, and the field to sign in.
fn signing(text: Look<ToSign>, drawn: RwSignal<Vec<Stroke>>) -> AnyView {
    let lines = shown(move || {
        let ToSign { language, lines } = text.get();
        lines.into_iter().map(|line| view! { <p dir="auto" lang=language>{line}</p> }).collect_view()
    });
    view! {
        <section class="to-sign" aria-label="What is agreed to">{lines}</section>
        {pad(drawn)}
    }
    .into_any()
}
