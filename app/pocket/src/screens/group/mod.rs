//! A group of fasteners, tightened one by one.
//!
//! What is next stands first and large, with its torque; under it one big button
//! says that it is tight. The drawing and the list take other taps: what happened
//! otherwise than planned can be said, and stays told.

mod about;
mod diagram;
mod form;
mod wrench;

use leptos::ev::MouseEvent;
use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::id::GroupId;
use quaywright_core::tightening::group::Step;
use quaywright_core::view::{self, FastenerRow, FastenerState, GroupCard, GroupText, Next, PassRow, Value};

pub use form::{GroupFields, drop_drafts, group_form};

use super::{Heading, heading};
use crate::components::{button, named_button};
use crate::desk::{Desk, sentence, use_desk};
use crate::look::{Look, shown};
use crate::platform::page;
use crate::route::{JobPart, Route};

/// The page of a group.
#[component]
pub fn GroupScreen(group: GroupId) -> impl IntoView {
    let desk = use_desk();
    let chosen = RwSignal::new(None);
    let found = desk.look(move |book, now| view::group_card(book, group, chosen.get(), now));
    let known = Look::at(move || found.with(Option::is_some));
    shown(move || match (known.get(), found.get_untracked()) {
        (true, Some(before)) => {
            // A page that is left while its group goes has what it showed before for a moment.
            let card = Look::at(move || found.get().unwrap_or_else(|| before.clone()));
            page_of(desk, card, chosen)
        }
        _ => view! {
            {heading("This group is not in the book")}
            <p class="group"><a class="button" href=Route::Jobs { finished: false }.link()>"To the jobs"</a></p>
        }
        .into_any(),
    })
}

fn page_of(desk: Desk, card: Look<GroupCard>, chosen: RwSignal<Option<u16>>) -> AnyView {
    let title = Look::at(move || card.with(|card| card.name.clone()));
    let job = card.with_untracked(|card| card.job);
    let at = move || card.with(|card| card.at.clone());
    view! {
        <Heading text=title />
        <p class="small"><a href=Route::Job(job, JobPart::Torque).link()>{at}</a></p>
        {value(card)}
        {remarks(card)}
        {next(desk, card)}
        {diagram::diagram(desk, card)}
        {passes(card, chosen)}
        {last(desk, card)}
        {list(desk, card)}
        {wrench::wrench(desk, card)}
        {record(card)}
        {about::about(desk, card)}
        {put_right(desk, card)}
    }
    .into_any()
}

/// How soon after a tap another one is the same finger's.
const BOUNCE_MS: f64 = 300.0;

/// Says that a fastener is tight; once all are, the focus goes to the heading, since the button is gone.
fn tighten(desk: Desk, card: Look<GroupCard>, step: Step, said: String) {
    let group = card.with_untracked(|card| card.id);
    spawn_local(async move {
        let kept = desk.ask(Command::Tighten { group, step }, said).await.is_some();
        // Asked of the book: who left meanwhile took the card along.
        let now = desk.now.get_untracked();
        let rest = || desk.book.with_untracked(|book| view::group_card(book, group, None, now)?.next);
        if kept && rest().is_none() {
            page::focus("heading");
        }
    });
}

/// How many, to what, and by which source.
fn value(card: Look<GroupCard>) -> AnyView {
    let shown_value = Look::at(move || card.with(|card| (card.fasteners.clone(), card.value.clone())));
    shown(move || {
        let (fasteners, value) = shown_value.get();
        match value {
            Value::Entered { figure, source } => view! {
                <p>{fasteners}", to "<strong class="figure">{figure}</strong></p>
                <p class="small">{source}</p>
            }
            .into_any(),
            Value::Guided { figure, beside } => view! {
                <p>{fasteners}", no value entered. General guidance: "<strong class="figure">{figure}</strong></p>
                <p class="small">{beside[0]}" "{beside[1]}</p>
            }
            .into_any(),
            Value::Unknown => view! {
                <p>{fasteners}", no value entered."</p>
                <p class="small">"Look it up in the engine's service manual and put it right below."</p>
            }
            .into_any(),
        }
    })
}

/// What was passed over and what came late.
fn remarks(card: Look<GroupCard>) -> AnyView {
    let remarks = Look::at(move || card.with(|card| card.remarks.clone()));
    let row = |words: String| view! { <p class="stop">{sentence(&words)}</p> };
    shown(move || remarks.get().into_iter().map(row).collect_view())
}

/// What is next, and the one big action.
fn next(desk: Desk, card: Look<GroupCard>) -> AnyView {
    let is_open = Look::at(move || card.with(|card| card.next.is_some()));
    shown(move || {
        if !is_open.get() {
            let progress = card.with_untracked(|card| card.progress.1);
            return view! { <p class="group run"><strong>{format!("All tight: {progress} of {progress}.")}</strong></p> }
                .into_any();
        }
        let pass = move || card.with(|card| card.next.as_ref().map(|next| next.pass.clone()));
        let number = move || card.with(|card| card.next.as_ref().map(|next| next.number));
        // With an adapter the wrench is set to another figure, and that is the one to read.
        let figure = move || {
            card.with(|card| card.next.as_ref().map(|next| next.setting.as_ref().unwrap_or(&next.figure).clone()))
        };
        let done = move || card.with(|card| card.next.as_ref().map(|next| next.done.clone()));
        let how = Look::at(move || {
            let told = |next: &Next| (next.setting.is_some().then(|| next.figure.clone()), next.doubts.clone());
            card.with(|card| card.next.as_ref().map(told))
        });
        let how = shown(move || {
            let (gets, doubts) = how.get().unwrap_or_default();
            let gets = gets.map(|gets| view! { <p>{format!("Set with the adapter; the fastener gets {gets}.")}</p> });
            let doubts = doubts.into_iter().map(|words| view! { <p class="stop">{words}</p> }).collect_view();
            view! { {gets}{doubts} }
        });
        let last_tap = StoredValue::new(f64::NEG_INFINITY);
        let tap = move |event: MouseEvent| {
            // A finger that bounces would say of the next one what it said of this, which has no wrench on it yet.
            if event.time_stamp() - last_tap.get_value() < BOUNCE_MS {
                return;
            }
            last_tap.set_value(event.time_stamp());
            if let Some(next) = card.with_untracked(|card| card.next.clone()) {
                tighten(desk, card, next.step, next.said);
            }
        };
        view! {
            <div class="group next">
                <p class="small">{pass}</p>
                <p class="figure huge">"Next: "{number}</p>
                <p class="figure large">{figure}</p>
                {how}
                <button type="button" class="big" on:click=tap>{done}</button>
            </div>
        }
        .into_any()
    })
}

/// The passes; one of them is shown.
fn passes(card: Look<GroupCard>, chosen: RwSignal<Option<u16>>) -> AnyView {
    let count = Look::at(move || card.with(|card| card.passes.len()));
    let row = move |nth: usize| card.with(|card| card.passes.get(nth).cloned());
    let words = |row: PassRow| {
        let (done, of) = row.progress;
        view! { <span class="lines"><span>{format!("{}: {done}/{of}", row.words)}</span><span>{row.torque}</span></span> }
    };
    let pass = move |nth: usize| {
        let choose = move |_| chosen.set(u16::try_from(nth + 1).ok());
        view! {
            <button
                type="button"
                aria-pressed=move || row(nth).is_some_and(|row| row.shown).to_string()
                on:click=choose
            >
                {move || row(nth).map(words)}
            </button>
        }
    };
    shown(move || {
        view! {
            <div class="choices group" role="group" aria-label="Passes">{(0..count.get()).map(pass).collect_view()}</div>
        }
    })
}

/// The way back from the last tap.
fn last(desk: Desk, card: Look<GroupCard>) -> AnyView {
    let last = Look::at(move || card.with(|card| card.last.clone()));
    shown(move || {
        last.get().map(|(event, words)| {
            let name = format!("Take back {words}");
            view! { <p class="group">{button("", name, move || desk.take_back(event))}</p> }
        })
    })
}

/// The fasteners as a list, for keys, for a screen reader, and where they lie too close.
fn list(desk: Desk, card: Look<GroupCard>) -> AnyView {
    let rows = Look::at(move || card.with(|card| card.fastener_rows.clone()));
    let crowded = card.with_untracked(|card| !view::drawing(card.facts.pattern.layout()).targets);
    let row = move |row: FastenerRow| {
        let FastenerRow { step, number, state, said, .. } = row;
        let tap = (state != FastenerState::Tight).then(|| {
            named_button("", "Tight", format!("Tight: {number}"), move || tighten(desk, card, step, said.clone()))
        });
        view! {
            <li class="step">
                <span class="figure large">{number}</span>
                <span class="grow">{state.words()}</span>
                {tap}
            </li>
        }
    };
    view! {
        <details class="group" open=crowded>
            <summary class="choice">"As a list"</summary>
            <ol class="list">{shown(move || rows.get().into_iter().map(row).collect_view())}</ol>
        </details>
    }
    .into_any()
}

/// What was done so far, and how the order is found.
fn record(card: Look<GroupCard>) -> AnyView {
    let record = Look::at(move || card.with(|card| card.record.clone()));
    let order = Look::at(move || card.with(|card| card.order));
    let row = |line: String| view! { <li>{sentence(&line)}</li> };
    shown(move || {
        let lines = record.get().into_iter().map(row).collect_view();
        view! {
            <section>
                <h2>"Record"</h2>
                <ul class="list">{lines}</ul>
                {order.get().map(|words| view! { <p class="small">{words}</p> }).collect_view()}
            </section>
        }
    })
}

/// The facts of the group as fields, behind one tap.
fn put_right(desk: Desk, card: Look<GroupCard>) -> AnyView {
    let (group, job, facts) = card.with_untracked(|card| (card.id, card.job, card.facts.clone()));
    let fields = GroupFields::of(&GroupText::of(&facts));
    let keep = move || {
        let facts = match card.with_untracked(|card| fields.text().read(Some(&card.facts))) {
            Ok(facts) => Box::new(facts),
            Err(why) => return desk.complain(sentence(&why.to_string())),
        };
        spawn_local(async move {
            if desk.ask(Command::AmendGroup { group, facts }, "Put right").await.is_some() {
                drop_drafts(desk, &group.to_string());
            }
        });
    };
    let never = move || {
        spawn_local(async move {
            if desk.ask(Command::Withdraw { event: group.0 }, "The group is removed").await.is_some() {
                page::go(&Route::Job(job, JobPart::Torque).fragment());
            }
        });
    };
    view! {
        <details class="group">
            <summary class="choice">"Put right"</summary>
            <p class="small">
                "Another value, shape or row of passes begins the tightening anew: what was tight was tight to something else."
            </p>
            {group_form(desk, fields, &group.to_string(), "Keep", keep)}
            {button("quiet", "This group was a mistake", never)}
        </details>
    }
    .into_any()
}
