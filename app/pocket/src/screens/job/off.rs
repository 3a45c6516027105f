//! The off-list: what came off, how many, where it lies, what is back on.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::{About, Details, ItemFacts};
use quaywright_core::id::JobId;
use quaywright_core::quantity::Count;
use quaywright_core::text::Label;
use quaywright_core::view::{self, ItemRow, JobCard};

use crate::components::{CountField, Field, Offers, PhotoButton, Picture, button, named_button};
use crate::desk::{Desk, use_desk};
use crate::look::{Look, shown};

/// The form for one more, and the list.
#[component]
pub fn Off(card: Look<JobCard>) -> impl IntoView {
    let job = card.with_untracked(|card| card.id);
    let off = shown(move || rows(card, |row| row.off > Count(0)).into_iter().map(item).collect_view());
    let back = shown(move || {
        let rows = rows(card, |row| row.off == Count(0));
        (!rows.is_empty()).then(|| {
            view! {
                <h2>"Back on"</h2>
                <ul class="list">{rows.into_iter().map(item).collect_view()}</ul>
            }
        })
    });
    let none = shown(move || {
        card.with(|card| card.off == 0)
            .then(|| view! { <p class="none">"Nothing is off. Enter each thing as it comes off."</p> })
    });
    let empty = card.with_untracked(|card| card.items.is_empty());
    view! {
        <CameOff job empty />
        <h2>"Still off"</h2>
        <ul class="list">{off}</ul>
        {none}
        {back}
    }
}

fn rows(card: Look<JobCard>, which: fn(&ItemRow) -> bool) -> Vec<ItemRow> {
    card.with(|card| card.items.iter().filter(|row| which(row)).cloned().collect())
}

/// The fields of something that came off.
#[derive(Clone, Copy)]
struct Fields {
    what: RwSignal<String>,
    side: RwSignal<String>,
    count: RwSignal<String>,
    size: RwSignal<String>,
    stowed: RwSignal<String>,
}

impl Fields {
    fn of(facts: &ItemFacts) -> Self {
        let field = |label: &Label| RwSignal::new(label.to_string());
        Self {
            what: field(&facts.what),
            side: field(&facts.side),
            count: RwSignal::new(facts.count.to_string()),
            size: field(&facts.size),
            stowed: field(&facts.stowed),
        }
    }

    fn read(self, details: Details) -> Option<ItemFacts> {
        let label = |field: RwSignal<String>| Label::new(&field.get_untracked());
        let count = Count(self.count.get_untracked().trim().parse().ok()?);
        Some(ItemFacts {
            what: label(self.what),
            side: label(self.side),
            count,
            size: label(self.size),
            stowed: label(self.stowed),
            details,
        })
    }
}

#[component]
fn CameOff(
    job: JobId,
    /// Whether nothing has come off yet.
    empty: bool,
) -> impl IntoView {
    let desk = use_desk();
    let fields = Fields::of(&ItemFacts { count: Count(1), ..ItemFacts::default() });
    let key = |field: &str| format!("off/{job}/{field}");
    let recent = move |of: fn(&ItemFacts) -> &Label| desk.look(move |book, _| view::recent_labels(book, job, of));
    let drafts = ["what", "side", "size", "stowed", "count"].map(key);
    let keep = {
        let drafts = drafts.clone();
        move |event: leptos::ev::SubmitEvent| {
            event.prevent_default();
            take_off(desk, job, fields, drafts.clone());
        }
    };
    let [what, side, size, stowed, count] = drafts;
    // The form comes first on a fresh job and when it is half filled, else the list does.
    let open = empty || desk.draft(&what).is_some_and(|text| !text.is_empty());
    view! {
        <details class="group" open=open>
        <summary class="big">"Something came off"</summary>
        <form class="group" on:submit=keep>
            <Field name="What came off" value=fields.what draft=what />
            <CountField name="How many" value=fields.count draft=count />
            <div>
                <Field name="Size" value=fields.size draft=size />
                <Offers offers=recent(|facts| &facts.size) name="Sizes used last" value=fields.size />
            </div>
            <div>
                <Field name="Side (port, front, under …)" value=fields.side draft=side />
                <Offers offers=recent(|facts| &facts.side) name="Sides used last" value=fields.side />
            </div>
            <div>
                <Field name="Where it lies now" value=fields.stowed draft=stowed />
                <Offers offers=recent(|facts| &facts.stowed) name="Places used last" value=fields.stowed />
            </div>
            <button type="submit" class="big">"It came off"</button>
        </form>
        </details>
    }
}

/// Keeps the item; side and place stay in their fields for the next one.
fn take_off(desk: Desk, job: JobId, fields: Fields, drafts: [String; 5]) {
    let Some(item) = fields.read(Details::default()) else { return no_count(desk) };
    let words = format!("{} × {} off", item.count, item.what);
    spawn_local(async move {
        if desk.ask(Command::TakeOff { job, item }, words).await.is_some() {
            fields.what.set(String::new());
            fields.size.set(String::new());
            fields.count.set("1".to_owned());
            drafts.iter().for_each(|draft| desk.drop_draft(draft));
        }
    });
}

fn no_count(desk: Desk) {
    desk.complain("The count is not a whole number: write how many came off.");
}

fn item(row: ItemRow) -> impl IntoView {
    let desk = use_desk();
    let id = row.id;
    let detail = [&row.facts.size, &row.facts.side, &row.facts.stowed].map(Label::as_str);
    let detail: Vec<&str> = detail.into_iter().filter(|text| !text.is_empty()).collect();
    let (class, figure) = if row.off > Count(0) { ("item", row.off) } else { ("item back", row.back) };
    let partly =
        (row.off > Count(0) && row.back > Count(0)).then(|| format!("{} of {} back on", row.back, row.facts.count));
    let photos = row.photos.into_iter().map(|photo| view! { <Picture photo /> }).collect_view();
    view! {
        <li class=class>
            <span class="figure large">{figure.to_string()}</span>
            <div>
                <strong>{row.facts.what.to_string()}</strong>
                <p>{detail.join(" · ")}</p>
                <p class="small">{partly}</p>
            </div>
            {buttons(desk, id, row.off, row.last_return, &row.facts)}
            <div class="photos">{photos}</div>
            <ItemDetails id facts=row.facts />
        </li>
    }
}

fn buttons(
    desk: Desk,
    id: quaywright_core::id::ItemId,
    off: Count,
    last_return: Option<quaywright_core::id::EventId>,
    facts: &ItemFacts,
) -> impl IntoView + use<> {
    let what = facts.what.to_string();
    let put = move |count: Count, what: String| {
        desk.tell(Command::PutBack { item: id, count }, format!("{count} × {what} back on"));
    };
    let all = {
        let what = what.clone();
        let name = if off == Count(1) { "Back on".to_owned() } else { format!("All {off} back on") };
        let full = format!("{name}: {what}");
        (off > Count(0)).then(|| named_button("grow", name, full, move || put(off, what.clone())))
    };
    let one = {
        let what = what.clone();
        let full = format!("1 back on: {what}");
        (off > Count(1)).then(|| named_button("", "1 back on", full, move || put(Count(1), what.clone())))
    };
    let off_again = last_return.map(|event| {
        let words = format!("{what}: off again");
        let full = words.clone();
        named_button("", "Off again", full, move || desk.tell(Command::Withdraw { event }, words.clone()))
    });
    view! {
        <div class="row">
            {all}
            {one}
            {off_again}
            <PhotoButton about=About::Item(id) full_name=format!("Photo of {what}") />
        </div>
    }
}

/// The facts of an item as fields, behind one tap.
#[component]
fn ItemDetails(id: quaywright_core::id::ItemId, facts: ItemFacts) -> impl IntoView {
    let desk = use_desk();
    let fields = Fields::of(&facts);
    let what = facts.what.to_string();
    let keep = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        match fields.read(facts.details.clone()) {
            Some(facts) => desk.tell(Command::AmendItem { item: id, facts }, "Put right"),
            None => no_count(desk),
        }
    };
    let summary = format!("Put right: {what}");
    let never = move || desk.tell(Command::Withdraw { event: id.0 }, format!("{what} was never off"));
    view! {
        <details class="row">
            <summary class="choice">{summary}</summary>
            <form on:submit=keep>
                <Field name="What" value=fields.what />
                <CountField name="Count" value=fields.count />
                <Field name="Size" value=fields.size />
                <Field name="Side" value=fields.side />
                <Field name="Where it lies" value=fields.stowed />
                <button type="submit">"Keep"</button>
                {button("quiet", "It never came off", never)}
            </form>
        </details>
    }
}
