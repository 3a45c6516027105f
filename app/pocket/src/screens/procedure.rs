//! A procedure's page: how it reads, what was learned, and its rows to be put right.

mod pictures;
mod rows;

use leptos::prelude::*;
use quaywright_core::command::Command;
use quaywright_core::event::{Picture, Procedure, ProcedureStep, StepNumber, Tags};
use quaywright_core::id::{ProcedureId, VersionId};
use quaywright_core::procedure::typed;
use quaywright_core::text::Label;
use quaywright_core::view::{self, ExpectedRow, Guide};

use super::document::Document;
use super::{Heading, heading};
use crate::components::{Field, button, shown_picture};
use crate::desk::{Desk, Paper, use_desk};
use crate::look::{Look, shown};
use crate::route::Route;

/// A procedure's page.
#[component]
pub fn ProcedureScreen(procedure: ProcedureId) -> impl IntoView {
    let desk = use_desk();
    let known = desk.look(move |book, _| book.procedures.current(procedure).is_some());
    shown(move || {
        if known.get() {
            return view! { <Page procedure /> }.into_any();
        }
        view! {
            {heading("This procedure is not in the book")}
            <p class="group"><a class="button" href=Route::Procedures.link()>"To the procedures"</a></p>
        }
        .into_any()
    })
}

#[component]
fn Page(procedure: ProcedureId) -> impl IntoView {
    let desk = use_desk();
    let card = desk.look(move |book, now| view::procedure_card(book, procedure, now));
    let of = move |read: fn(&view::ProcedureCard) -> String| {
        Look::at(move || card.with(|card| card.as_ref().map(read).unwrap_or_default()))
    };
    let title = of(|card| card.reads.title.to_string());
    let reads = Look::at(move || card.with(|card| card.as_ref().map(|card| card.reads.clone()).unwrap_or_default()));
    let told = shown(move || {
        let card = card.get()?;
        let forgotten = card.forgotten.into_iter().map(|it| view! { <li>{it}</li> }).collect::<Vec<_>>();
        let forgotten =
            (!forgotten.is_empty()).then(|| view! { <h2>"Forgotten before"</h2><ul class="list">{forgotten}</ul> });
        Some(view! {
            <p>{card.reads.about.to_string()}</p>
            <p class="small">{card.took}" "{card.history}</p>
            {forgotten}
        })
    });
    let paper = desk.look(move |book, _| {
        Paper::Procedure(book.procedures.current(procedure).map_or(VersionId(procedure.0), |it| it.id))
    });
    // A step that was changed is drawn anew, and stays open.
    let opened: RwSignal<Option<StepNumber>> = RwSignal::new(None);
    let steps = shown(move || {
        let reads = reads.get();
        let last = reads.steps.len();
        (1..).zip(reads.steps).map(|(nth, step)| step_row(opened, procedure, (nth, last), step)).collect_view()
    });
    let add = move || {
        amend(desk, procedure, "Step added: write what is to be done", |reads| {
            let number = reads.steps.iter().map(|it| it.number.0).max().unwrap_or(0).saturating_add(1);
            let number = StepNumber(number);
            let text = Label::new("New step");
            reads.steps.push(ProcedureStep { number, text, ..ProcedureStep::default() });
        });
    };
    let away = move || desk.tell(Command::Withdraw { event: procedure.0 }, "The procedure is out of the book");
    view! {
        <Heading text=title />
        {told}
        <h2>"Steps"</h2>
        <ol class="list">{steps}</ol>
        <p class="group">{button("", "Add a step", add)}</p>
        <h2>"The procedure"</h2>
        <Head procedure reads />
        <h2>"For a colleague"</h2>
        <p>"One file with the steps and pictures; nothing of any boat, customer or time is in it."</p>
        <Document paper name="Make a file of it" />
        <p class="group">{button("quiet", "Take it out of the book", away)}</p>
    }
}

/// Changes how the procedure reads, from how it reads now.
fn amend(desk: Desk, procedure: ProcedureId, words: &'static str, change: impl FnOnce(&mut Procedure)) {
    if let Some(request) = amended(desk, procedure, change) {
        desk.tell(request, words);
    }
}

/// Returns what asks for that change.
fn amended(desk: Desk, procedure: ProcedureId, change: impl FnOnce(&mut Procedure)) -> Option<Command> {
    let now = desk.book.with_untracked(|book| book.procedures.current(procedure).map(|it| it.reads.clone()));
    now.map(|mut to| {
        change(&mut to);
        Command::AmendProcedure { procedure, to }
    })
}

/// Title, tags and what to know, each kept when it is left.
#[component]
fn Head(procedure: ProcedureId, reads: Look<Procedure>) -> impl IntoView {
    let desk = use_desk();
    let reads = reads.get_untracked();
    let (title, about) = (RwSignal::new(reads.title.to_string()), RwSignal::new(reads.about.to_string()));
    let tags = RwSignal::new(typed::words_text(reads.tags.words()));
    let keep = Callback::new(move |_: String| {
        amend(desk, procedure, "Kept", |to| {
            to.title = Label::new(&title.get_untracked());
            to.about = Label::new(&about.get_untracked());
            to.tags = Tags::new(typed::words(&tags.get_untracked()));
        });
    });
    view! {
        <div class="stack">
            <Field name="What the work is" value=title on_left=keep />
            <Field name="What to know before" value=about on_left=keep />
            <Field name="Tags, with commas between" value=tags on_left=keep />
        </div>
    }
}

fn step_row(
    opened: RwSignal<Option<StepNumber>>,
    procedure: ProcedureId,
    (nth, last): (usize, usize),
    step: ProcedureStep,
) -> AnyView {
    let desk = use_desk();
    let guide = view::guide(&step);
    let number = step.number;
    let text = step.text.to_string();
    let side = (!step.side.is_empty()).then(|| view! { <span class="small">{step.side.to_string()}</span> });
    let only = guide.only.clone().map(|only| view! { <p class="small">{only}</p> });
    let shift = move |by: isize| {
        amend(desk, procedure, "Moved", |to| {
            let place = to.steps.iter().position(|it| it.number == number);
            let other = place.and_then(|it| it.checked_add_signed(by)).filter(|&it| it < to.steps.len());
            if let (Some(place), Some(other)) = (place, other) {
                to.steps.swap(place, other);
            }
        });
    };
    let earlier = (nth > 1).then(|| button("", "Earlier", move || shift(-1)));
    let later = (nth < last).then(|| button("", "Later", move || shift(1)));
    let turn = move |_| opened.update(|it| *it = if *it == Some(number) { None } else { Some(number) });
    let out = move || amend(desk, procedure, "The step is out", |to| to.steps.retain(|it| it.number != number));
    view! {
        <li>
            <p><span class="figure">{nth.to_string()}" "</span><strong>{text.clone()}</strong>" "{side}</p>
            {only}
            {lines(&guide, false)}
            <details open=opened.get_untracked() == Some(number)>
                <summary class="choice" on:click=turn>{format!("Change step {nth}")}</summary>
                <div class="row group">{earlier} {later} {button("quiet", "Take it out", out)}</div>
                {pictures::pictures(procedure, number, &step.pictures)}
                <rows::StepForm procedure step />
            </details>
        </li>
    }
    .into_any()
}

/// What a step takes, one line each; the cautions first where they are needed now.
pub(super) fn lines(guide: &Guide, needed_now: bool) -> AnyView {
    let line = |name: &'static str, text: String| {
        (!text.is_empty()).then(|| view! { <p><span class="label">{name}</span>{text}</p> })
    };
    let told = |caution: &String| if needed_now { caution.clone() } else { short(caution) };
    let cautions = guide.cautions.iter().map(|it| view! { <p class="stop">{told(it)}</p> }).collect_view();
    let items: Vec<String> = guide.items.iter().map(|it: &ExpectedRow| it.words.clone()).collect();
    let measures: Vec<String> = guide.readings.iter().map(|it| it.what.clone()).collect();
    let [items, measures] = [items, measures].map(|it| if needed_now { String::new() } else { it.join("; ") });
    let pictures = guide.pictures.iter().cloned().map(picture).collect_view();
    view! {
        {cautions}
        {line("Tools", guide.tools.clone())}
        {line("Used up", guide.consumables.clone())}
        {line("Comes off", items)}
        {line("Tighten together", guide.fasteners.join("; "))}
        {line("Measure", measures)}
        <div class="photos">{pictures}</div>
    }
    .into_any()
}

fn picture(picture: Picture) -> AnyView {
    shown_picture(picture.blob, (picture.width, picture.height), picture.caption.to_string(), &[])
}

/// The name of a caution; its whole text stands where the step is done.
fn short(caution: &str) -> String {
    caution.split(':').next().unwrap_or_default().to_owned()
}
