//! The form for what came off, and its facts as fields.
//!
//! One tap says that something came off, whatever is typed by then; the rest comes after.
//! Side and place stay for the next one, sizes used last are offered first, and "same again"
//! says the last one once more.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::{About, Consumable, Details, ItemFacts, ItemKind, OpenEnd, Renew};
use quaywright_core::id::{ItemId, JobId};
use quaywright_core::quantity::Count;
use quaywright_core::reassembly::gate::Need;
use quaywright_core::text::Label;
use quaywright_core::view;

use super::pick::{nth_of, pick, yes};
use crate::components::{CountField, Field, Offers, PhotoButton, named_button};
use crate::desk::{Desk, use_desk};
use crate::look::{Look, shown};

/// The facts of something that came off, as fields.
#[derive(Clone, Copy)]
pub struct Fields {
    what: RwSignal<String>,
    side: RwSignal<String>,
    count: RwSignal<String>,
    size: RwSignal<String>,
    stowed: RwSignal<String>,
    kind: RwSignal<Option<usize>>,
    way_up: RwSignal<String>,
    renew: [RwSignal<bool>; 6],
    end: RwSignal<Option<usize>>,
    tied_back: RwSignal<bool>,
    awaits: RwSignal<String>,
    needed: RwSignal<Option<usize>>,
}

impl Fields {
    /// Returns fields that hold these facts.
    pub fn of(facts: &ItemFacts) -> Self {
        let field = |label: &Label| RwSignal::new(label.to_string());
        let details = &facts.details;
        Self {
            what: field(&facts.what),
            side: field(&facts.side),
            count: RwSignal::new(facts.count.to_string()),
            size: field(&facts.size),
            stowed: field(&facts.stowed),
            kind: RwSignal::new(nth_of(&ItemKind::ALL, details.kind)),
            way_up: field(&details.way_up),
            renew: Consumable::ALL.map(|it| RwSignal::new(details.renew.all().contains(&it))),
            end: RwSignal::new(nth_of(&OpenEnd::ALL, details.end)),
            tied_back: RwSignal::new(details.tied_back),
            awaits: field(&details.awaits),
            needed: RwSignal::new(nth_of(&Need::ALL, details.needed)),
        }
    }

    /// Returns the facts that the fields hold; none while the count is no number.
    pub fn read(self) -> Option<ItemFacts> {
        let label = |field: RwSignal<String>| Label::new(&field.get_untracked());
        let count = Count(self.count.get_untracked().trim().parse().ok()?);
        let renew = Consumable::ALL.into_iter().zip(self.renew).filter(|it| it.1.get_untracked());
        let details = Details {
            kind: self.kind.get_untracked().map(|nth| ItemKind::ALL[nth]),
            way_up: label(self.way_up),
            renew: Renew::new(renew.map(|it| it.0).collect()),
            end: self.end.get_untracked().map(|nth| OpenEnd::ALL[nth]),
            tied_back: self.tied_back.get_untracked(),
            awaits: label(self.awaits),
            needed: self.needed.get_untracked().map(|nth| Need::ALL[nth]),
        };
        let [what, side, size, stowed] = [self.what, self.side, self.size, self.stowed].map(label);
        Some(ItemFacts { what, side, count, size, stowed, details })
    }

    /// Makes ready for the next one: its side and place are likely the same.
    fn next(self) {
        for field in [self.what, self.size, self.way_up, self.awaits] {
            field.set(String::new());
        }
        self.count.set("1".to_owned());
        self.renew.iter().for_each(|it| it.set(false));
        self.kind.set(None);
        self.end.set(None);
        self.needed.set(None);
        self.tied_back.set(false);
    }

    /// Draws the fields; `job` offers what was typed last on it, `drafts` keep what is half typed.
    pub fn drawn(self, job: JobId, drafts: Option<[String; 5]>) -> AnyView {
        let desk = use_desk();
        let recent = move |of: fn(&ItemFacts) -> &Label| desk.look(move |book, _| view::recent_labels(book, job, of));
        let [what, side, size, stowed, count] = drafts.map_or([const { None }; 5], |drafts| drafts.map(Some));
        let words = Look::at(move || view::wrench_for(&self.size.get()));
        let wrench = shown(move || {
            words.get().map(|words| view! { <p class="small" role="status">{format!("Try a wrench of {words}.")}</p> })
        });
        let more = [self.way_up, self.awaits].map(|field| !field.get_untracked().is_empty());
        let picked = self.kind.get_untracked().is_some() || self.needed.get_untracked().is_some();
        let renew = [
            yes("new gasket", self.renew[0]),
            yes("new seal", self.renew[1]),
            yes("new O-ring", self.renew[2]),
            yes("thread locker", self.renew[3]),
            yes("sealant", self.renew[4]),
            yes("new cotter pin", self.renew[5]),
        ];
        view! {
            {field("What came off", self.what, what)}
            {cautions(self.what)}
            {count_field(self.count, count)}
            <div>
                {field("Size", self.size, size)}
                {wrench}
                <Offers offers=recent(|facts| &facts.size) name="Sizes used last" value=self.size />
            </div>
            <div>
                {field("Side (port, front, under …)", self.side, side)}
                <Offers offers=recent(|facts| &facts.side) name="Sides used last" value=self.side />
            </div>
            <div>
                {field("Where it lies now", self.stowed, stowed)}
                <Offers offers=recent(|facts| &facts.stowed) name="Places used last" value=self.stowed />
            </div>
            <details open=picked || more[0] || more[1]>
                <summary class="choice">"Way up, new parts, what it is needed for"</summary>
                <div class="stack">
                    {field("Which way up (lip down, arrow to bow)", self.way_up, None)}
                    <fieldset><legend>"Has to go back with"</legend><div class="pair">{renew}</div></fieldset>
                    {pick("Needed before the engine runs".to_owned(), Need::ALL.map(Need::words).to_vec(), self.needed)}
                    {field("Waits for this part", self.awaits, None)}
                    {pick("What kind of thing".to_owned(), ItemKind::ALL.map(ItemKind::words).to_vec(), self.kind)}
                    {pick("Open end".to_owned(), OpenEnd::ALL.map(OpenEnd::words).to_vec(), self.end)}
                    {yes("tied back in place", self.tied_back)}
                </div>
            </details>
        }
        .into_any()
    }
}

fn field(name: &'static str, value: RwSignal<String>, draft: Option<String>) -> AnyView {
    match draft {
        Some(draft) => view! { <Field name value draft /> }.into_any(),
        None => view! { <Field name value /> }.into_any(),
    }
}

fn count_field(value: RwSignal<String>, draft: Option<String>) -> AnyView {
    match draft {
        Some(draft) => view! { <CountField name="How many" value draft /> }.into_any(),
        None => view! { <CountField name="How many" value /> }.into_any(),
    }
}

/// The cautions that what is typed brings up.
fn cautions(what: RwSignal<String>) -> AnyView {
    let told = Look::at(move || view::cautions(&what.get()));
    shown(move || super::row::cautions(told.get()))
}

/// The form for the next thing that comes off.
#[component]
pub fn CameOff(job: JobId) -> impl IntoView {
    let desk = use_desk();
    let fields = Fields::of(&ItemFacts { count: Count(1), ..ItemFacts::default() });
    let drafts = ["what", "side", "size", "stowed", "count"].map(|field| format!("off/{job}/{field}"));
    let last: RwSignal<Option<(ItemId, ItemFacts)>> = RwSignal::new(None);
    let keep = {
        let drafts = drafts.clone();
        move |event: leptos::ev::SubmitEvent| {
            event.prevent_default();
            let Some(facts) = fields.read() else { return no_count(desk) };
            take_off(desk, job, facts, Some((fields, drafts.clone())), last);
        }
    };
    let after = shown(move || {
        let (id, facts) = last.get()?;
        let name = view::item_name(&facts).to_owned();
        let again = format!("Same again: {name}");
        let again = named_button("grow", "Same again", again, move || take_off(desk, job, facts.clone(), None, last));
        Some(view! {
            <section class="group" aria-label="What came off last">
                <p class="label">{format!("Last: {name}")}</p>
                <div class="row">
                    {again}
                    <PhotoButton about=About::Item(id) full_name=format!("Photo of {name}, the last one") />
                </div>
            </section>
        })
    });
    view! {
        <form class="group" on:submit=keep aria-label="Something came off">
            <button type="submit" class="big">"It came off"</button>
            {after}
            {fields.drawn(job, Some(drafts))}
        </form>
    }
}

/// Keeps the item, and makes the fields ready for the next one.
fn take_off(
    desk: Desk,
    job: JobId,
    facts: ItemFacts,
    form: Option<(Fields, [String; 5])>,
    last: RwSignal<Option<(ItemId, ItemFacts)>>,
) {
    let words = format!("{} × {} off", facts.count, view::item_name(&facts));
    spawn_local(async move {
        let Some(id) = desk.ask(Command::TakeOff { job, item: facts.clone() }, words).await else { return };
        last.set(Some((ItemId(id), facts)));
        if let Some((fields, drafts)) = form {
            fields.next();
            drafts.iter().for_each(|draft| desk.drop_draft(draft));
        }
    });
}

/// Says that a count is no number.
pub fn no_count(desk: Desk) {
    desk.complain("The count is not a whole number: write how many came off.");
}
