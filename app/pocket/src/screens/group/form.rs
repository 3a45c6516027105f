//! The form of a group of fasteners.
//!
//! What a manual writes is typed as it stands there; beneath it stands what that
//! is in the other unit, or, while there is no value, general guidance under its
//! own name. All but what, how many and the value may be left as it is.

use leptos::ev::SubmitEvent;
use leptos::prelude::*;
use quaywright_core::reassembly::gate::Need;
use quaywright_core::tightening::guidance::{Strength, Surface};
use quaywright_core::tightening::pattern::Numbering;
use quaywright_core::tightening::torque::TorqueUnit;
use quaywright_core::view::{self, GroupText, Shape};

use crate::components::{CountField, Field, Offers};
use crate::desk::{Desk, sentence};
use crate::look::{Look, shown};

/// The fields of a group; choices as their places among what is offered, 0 for none where that is one.
#[derive(Clone, Copy)]
pub struct GroupFields {
    what: RwSignal<String>,
    side: RwSignal<String>,
    shape: RwSignal<usize>,
    count: RwSignal<String>,
    rows: RwSignal<String>,
    value: RwSignal<String>,
    unit: RwSignal<usize>,
    manual: RwSignal<String>,
    page: RwSignal<String>,
    shares: RwSignal<String>,
    numbering: RwSignal<usize>,
    thread: RwSignal<String>,
    strength: RwSignal<usize>,
    surface: RwSignal<usize>,
    needed: RwSignal<usize>,
}

const NUMBERINGS: [Numbering; 2] = [Numbering::ByPosition, Numbering::ByOrder];

fn strengths() -> Vec<Strength> {
    view::strengths_for("")
}

/// Returns the place of what is chosen, after none.
fn place<T: PartialEq>(all: &[T], chosen: Option<T>) -> usize {
    chosen.and_then(|one| all.iter().position(|it| *it == one)).map_or(0, |place| place + 1)
}

fn chosen<T: Copy>(all: &[T], place: usize) -> Option<T> {
    all.get(place.checked_sub(1)?).copied()
}

impl GroupFields {
    /// Returns fields that hold these texts.
    pub fn of(text: &GroupText) -> Self {
        let (field, choice) = (|| RwSignal::new(String::new()), || RwSignal::new(0));
        let fields = Self {
            what: field(),
            side: field(),
            shape: choice(),
            count: field(),
            rows: field(),
            value: field(),
            unit: choice(),
            manual: field(),
            page: field(),
            shares: field(),
            numbering: choice(),
            thread: field(),
            strength: choice(),
            surface: choice(),
            needed: choice(),
        };
        fields.fill(text);
        fields
    }

    /// Puts these texts into the fields.
    pub fn fill(self, text: &GroupText) {
        for (field, text) in [
            (self.what, &text.what),
            (self.side, &text.side),
            (self.count, &text.count),
            (self.rows, &text.rows),
            (self.value, &text.value),
            (self.manual, &text.manual),
            (self.page, &text.page),
            (self.shares, &text.shares),
            (self.thread, &text.thread),
        ] {
            field.set(text.clone());
        }
        self.shape.set(Shape::ALL.iter().position(|&it| it == text.shape).unwrap_or(0));
        self.unit.set(TorqueUnit::ALL.iter().position(|&it| it == text.unit).unwrap_or(0));
        self.numbering.set(NUMBERINGS.iter().position(|&it| it == text.numbering).unwrap_or(0));
        self.strength.set(place(&strengths(), text.strength));
        self.surface.set(place(&Surface::ALL, text.surface));
        self.needed.set(place(&Need::ALL, text.needed));
    }

    /// Returns what the fields hold, and follows them.
    pub fn text(self) -> GroupText {
        GroupText {
            what: self.what.get(),
            side: self.side.get(),
            shape: Shape::ALL.get(self.shape.get()).copied().unwrap_or(Shape::Circle),
            count: self.count.get(),
            rows: self.rows.get(),
            value: self.value.get(),
            unit: TorqueUnit::ALL.get(self.unit.get()).copied().unwrap_or(TorqueUnit::NewtonMetre),
            manual: self.manual.get(),
            page: self.page.get(),
            shares: self.shares.get(),
            numbering: NUMBERINGS.get(self.numbering.get()).copied().unwrap_or(Numbering::ByPosition),
            thread: self.thread.get(),
            strength: chosen(&strengths(), self.strength.get()),
            surface: chosen(&Surface::ALL, self.surface.get()),
            needed: chosen(&Need::ALL, self.needed.get()),
        }
    }
}

/// The fields that are typed, as their drafts are called.
const TYPED: [&str; 9] = ["what", "count", "rows", "value", "manual", "page", "side", "shares", "thread"];

fn draft(place: &str, field: &str) -> String {
    ["group/", place, "/", field].concat()
}

/// Forgets what was half typed in the form at this place, since it is kept.
pub fn drop_drafts(desk: Desk, place: &str) {
    TYPED.iter().for_each(|field| desk.drop_draft(&draft(place, field)));
}

/// Returns the form; half-typed texts are kept under its `place`, and `keep` is what its
/// button, called `words`, does.
pub fn group_form(
    desk: Desk,
    fields: GroupFields,
    place: &str,
    words: &'static str,
    keep: impl Fn() + 'static,
) -> AnyView {
    let [what, count, rows_draft, typed, manual, page, side, shares, thread] = TYPED.map(|field| draft(place, field));
    let submit = move |event: SubmitEvent| {
        event.prevent_default();
        keep();
    };
    let told = Look::at(move || fields.text().told());
    let value = move || told.with(|told| sentence(&told.value).trim_end_matches('.').to_owned());
    let guidance = shown(move || {
        let guidance = told.with(|told| told.guidance.clone())?;
        let beside = guidance.beside.into_iter().map(|words| view! { <p class="small">{words}</p> }).collect_view();
        Some(view! {
            <div role="note" aria-label="General guidance">
                <p>"No value entered. General guidance: "<strong class="figure">{guidance.figure}</strong></p>
                {beside}
            </div>
        })
    });
    let manuals = desk.look(|book, _| view::known_manuals(book));
    let rows = shown(move || {
        let draft = rows_draft.clone();
        (fields.shape.get() == 1).then(|| view! { <CountField name="Rows" value=fields.rows draft /> })
    });
    let none = |words: &'static str| vec![words.to_owned()];
    let strengths: Vec<String> = strengths().iter().map(|it| it.sign().to_owned()).collect();
    let surfaces = Surface::ALL.map(|it| it.words().to_owned());
    let needs = Need::ALL.map(|it| it.words().to_owned());
    view! {
        <form class="group" on:submit=submit>
            <Field name="What is tightened" value=fields.what draft=what />
            {choice("How they lie", Shape::ALL.map(|it| it.words().to_owned()).to_vec(), fields.shape)}
            {rows}
            <CountField name="How many (in each row)" value=fields.count draft=count />
            <div class="pair">
                <Field name="Torque, as the manual writes it" value=fields.value draft=typed />
                {choice("Unit", TorqueUnit::ALL.map(|it| it.sign().to_owned()).to_vec(), fields.unit)}
            </div>
            <p class="figure" role="status">{value}</p>
            <p class="small">"As 45, 40-45, 45 ± 5, 45 ± 4 % or 30 + 90°. Kept as typed."</p>
            <div class="pair">
                <Field name="From which manual" value=fields.manual draft=manual />
                <Field name="Page" value=fields.page draft=page />
            </div>
            <Offers offers=manuals name="Manuals named last" value=fields.manual />
            <details>
                <summary class="choice">"More: side, passes, thread, run gate"</summary>
                <div class="stack">
                    <Field name="Side (port, front, under …)" value=fields.side draft=side />
                    <Field name="Passes, in percent" value=fields.shares draft=shares />
                    {choice("Numbers", vec!["by position".to_owned(), "by order of tightening".to_owned()], fields.numbering)}
                    <Field name="Thread, as M8 or 3/8-16" value=fields.thread draft=thread />
                    {choice("Strength, as marked", [none("not known"), strengths].concat(), fields.strength)}
                    {choice("Threads and heads are", [none("not known"), surfaces.to_vec()].concat(), fields.surface)}
                    {choice("Needed before the engine runs", [none("no"), needs.to_vec()].concat(), fields.needed)}
                </div>
            </details>
            {guidance}
            <button type="submit" class="big">{words}</button>
        </form>
    }
    .into_any()
}

/// One of several, by its place.
fn choice(name: &'static str, offered: Vec<String>, place: RwSignal<usize>) -> AnyView {
    let option = move |(at, words): (usize, String)| {
        view! { <option value=at.to_string() selected=move || place.get() == at>{words}</option> }
    };
    let choose = move |event| place.set(event_target_value(&event).parse().unwrap_or(0));
    view! {
        <label>
            <span class="name">{name}</span>
            <select on:change=choose>{offered.into_iter().enumerate().map(option).collect_view()}</select>
        </label>
    }
    .into_any()
}
