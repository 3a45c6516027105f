//! What a claim for warranty on the job's lines has and lacks, and the pack that tells it.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::{About, FailedPart, Fate, Shows, Stage};
use quaywright_core::id::{JobId, LineId};
use quaywright_core::text::Label;
use quaywright_core::view::{self, ClaimCard, FailedRow, ProofRow, StageRow};

use crate::components::{Field, PhotoButton, Picture, named_button};
use crate::desk::{Desk, Paper, use_desk};
use crate::look::{Look, shown};
use crate::platform::prefs;
use crate::screens::document::Document;

/// Names, beside the end of the job, what its claims lack.
pub fn lacking(desk: Desk, job: JobId) -> AnyView {
    let lacks = desk.look(move |book, now| view::claim_lacks(book, job, now));
    let sentence = |words: String| view! { <p class="stop">{words}</p> };
    shown(move || lacks.get().into_iter().map(sentence).collect_view())
}

/// Each claimed line, then the job's readings and photos, to be pointed at.
pub fn warranty(job: JobId) -> AnyView {
    let desk = use_desk();
    let all = desk.look(move |book, now| view::claims(book, job, now));
    let lines = Look::at(move || all.with(|all| all.lines.iter().map(|claim| claim.line).collect::<Vec<LineId>>()));
    let claim = move |line: LineId| {
        let card = Look::at(move || all.with(|all| all.lines.iter().find(|claim| claim.line == line).cloned()));
        claim(desk, line, card)
    };
    let readings = Look::at(move || all.with(|all| all.readings.clone()));
    let photos = Look::at(move || all.with(|all| all.photos.clone()));
    let reading_rows = shown(move || readings.get().into_iter().map(|row| reading(desk, row)).collect_view());
    let photo_rows = shown(move || photos.get().into_iter().map(|row| photo(desk, row)).collect_view());
    let none = |words: &'static str| view! { <p class="none">{words}</p> };
    view! {
        {shown(move || lines.get().into_iter().map(claim).collect_view())}
        <h2>"Readings before and after"</h2>
        {shown(move || readings.with(Vec::is_empty).then(|| none("No reading yet: take one under Readings, before you begin and when it is done.")))}
        <ul class="list">{reading_rows}</ul>
        <h2>"Photos that prove it"</h2>
        <p class="row"><PhotoButton about=About::Job(job) name="Photo" full_name="Photo of the serial plate or the failure" /></p>
        <ul class="list">{photo_rows}</ul>
    }
    .into_any()
}

/// One claimed line: what it lacks, what failed, and its pack.
fn claim(desk: Desk, line: LineId, card: Look<Option<ClaimCard>>) -> AnyView {
    let name = move || card.with(|card| card.as_ref().map(|card| card.name.clone()).unwrap_or_default());
    let lacks = Look::at(move || card.with(|card| card.as_ref().map(|card| card.lacks.clone()).unwrap_or_default()));
    let failed = Look::at(move || card.with(|card| card.as_ref().map(|card| card.failed.clone()).unwrap_or_default()));
    let lacking = shown(move || {
        if lacks.with(Vec::is_empty) {
            return view! { <p>"The pack is whole."</p> }.into_any();
        }
        let row = |words: String| view! { <li>{words}</li> };
        let rows = lacks.get().into_iter().map(row).collect_view();
        view! { <p class="stop">"The pack is not whole yet:"</p><ul>{rows}</ul> }.into_any()
    });
    let rows = shown(move || failed.get().into_iter().map(|row| failed_row(desk, row)).collect_view());
    let paper = Look::at(move || match prefs::leaf() {
        Some(leaf) => Paper::WarrantyPdf(line, leaf),
        None => Paper::WarrantyPack(line),
    });
    view! {
        <section class="stack group" aria-label=name>
            <h2>{name}</h2>
            {lacking}
            <Document paper name="Make the warranty pack" big=true />
            <p class="small">"Story, failed part and clock hours of this line; machine, parts, readings and photos of the whole job. Nobody else's, and no prices."</p>
            <h2>"Failed part"</h2>
            <ul class="list">{rows}</ul>
            {new_part(desk, line)}
        </section>
    }
    .into_any()
}

/// The fields of a part that failed.
#[derive(Clone, Copy)]
struct PartFields {
    what: RwSignal<String>,
    number: RwSignal<String>,
    tag: RwSignal<String>,
    place: RwSignal<String>,
    fate: RwSignal<Option<Fate>>,
}

impl PartFields {
    fn of(part: &FailedPart) -> Self {
        let filled = |label: &Label| RwSignal::new(label.to_string());
        let (what, number, tag, place) =
            (filled(&part.what), filled(&part.number), filled(&part.tag), filled(&part.place));
        Self { what, number, tag, place, fate: RwSignal::new(part.fate) }
    }

    fn read(self) -> Box<FailedPart> {
        let label = |field: RwSignal<String>| Label::new(&field.get_untracked());
        let (what, number, tag, place) = (label(self.what), label(self.number), label(self.tag), label(self.place));
        Box::new(FailedPart { what, number, tag, place, fate: self.fate.get_untracked() })
    }

    /// Draws them; `keep` is run when one was changed and left.
    fn drawn(self, drafts: [String; 4], keep: Callback<String>) -> AnyView {
        let [what, number, tag, place] = drafts;
        let fates = Fate::ALL.map(Fate::words);
        let chosen = self.fate.get_untracked().map(Fate::words);
        let choose = move |words: String| {
            self.fate.set(Fate::ALL.into_iter().find(|fate| fate.words() == words));
            keep.run(words);
        };
        view! {
            <Field name="Part that failed" value=self.what draft=what on_left=keep />
            <Field name="Number on the part" value=self.number draft=number on_left=keep />
            {one_of("What became of it", "Not said", &fates, chosen, Box::new(choose))}
            <Field name="Where it is, or where it went" value=self.place draft=place on_left=keep />
            <Field name="What its tag says" value=self.tag draft=tag on_left=keep />
        }
        .into_any()
    }
}

fn new_part(desk: Desk, line: LineId) -> AnyView {
    let fields = PartFields::of(&FailedPart::default());
    let drafts = ["what", "number", "tag", "place"].map(|field| format!("failed/{line}/{field}"));
    let keys = drafts.clone();
    let add = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let (part, keys) = (fields.read(), keys.clone());
        let words = format!("{} is the part that failed", part.what);
        spawn_local(async move {
            if desk.ask(Command::FailPart { line, part }, words).await.is_some() {
                [fields.what, fields.number, fields.tag, fields.place].into_iter().for_each(|it| it.set(String::new()));
                keys.iter().for_each(|key| desk.drop_draft(key));
            }
        });
    };
    view! {
        <details>
            <summary class="choice">"Enter a failed part"</summary>
            <form class="stack" on:submit=add>
                {fields.drawn(drafts, Callback::new(|_| {}))}
                <button type="submit">"Keep the failed part"</button>
            </form>
        </details>
    }
    .into_any()
}

fn failed_row(desk: Desk, row: FailedRow) -> AnyView {
    let id = row.id;
    let fields = PartFields::of(&row.part);
    let drafts = ["what", "number", "tag", "place"].map(|field| format!("failed/{id}/{field}"));
    let keys = drafts.clone();
    let keep = Callback::new(move |_: String| {
        let keys = keys.clone();
        spawn_local(async move {
            let command = Command::AmendFailed { failed: id, part: fields.read() };
            if desk.ask(command, "Failed part kept").await.is_some() {
                keys.iter().for_each(|key| desk.drop_draft(key));
            }
        });
    });
    let what = row.part.what.to_string();
    let remove = move || desk.tell(Command::Withdraw { event: id.0 }, "The failed part is removed");
    view! {
        <li>
            <p><strong>{row.words}</strong></p>
            <details>
                <summary class="choice">"Put it right"</summary>
                <div class="stack">{fields.drawn(drafts, keep)}</div>
            </details>
            {named_button("quiet", "Remove", format!("Remove {what}"), remove)}
        </li>
    }
    .into_any()
}

fn reading(desk: Desk, row: StageRow) -> AnyView {
    let reading = row.reading;
    let choose = move |words: String| {
        let stage = Stage::ALL.into_iter().find(|stage| stage.words() == words);
        let told = stage.map_or("The reading is neither before nor after", |stage| match stage {
            Stage::Before => "The reading is from before",
            Stage::After => "The reading is from after",
        });
        desk.tell(Command::StageReading { reading, stage }, told);
    };
    let stages = Stage::ALL.map(Stage::words);
    view! { <li>{one_of(row.words, "neither", &stages, row.stage.map(Stage::words), Box::new(choose))}</li> }.into_any()
}

fn photo(desk: Desk, row: ProofRow) -> AnyView {
    let id = row.photo.id;
    let choose = move |words: String| {
        let shows = Shows::ALL.into_iter().find(|shows| shows.words() == words);
        let told = shows.map_or("The photo proves nothing in particular".to_owned(), |it| {
            format!("The photo shows the {}", it.words())
        });
        desk.tell(Command::SayShows { photo: id, shows }, told);
    };
    let proofs = Shows::ALL.map(Shows::words);
    let name = format!("{}: it shows", row.photo.caption);
    let shows = row.shows.map(Shows::words);
    view! {
        <li>
            <Picture photo=row.photo />
            {one_of(name, "nothing in particular", &proofs, shows, Box::new(choose))}
        </li>
    }
    .into_any()
}

/// One of some words, or `none` of them.
fn one_of(
    name: impl Into<String>,
    none: &'static str,
    words: &[&'static str],
    chosen: Option<&'static str>,
    choose: Box<dyn Fn(String)>,
) -> AnyView {
    let option = |it: &&'static str| view! { <option value=*it selected=chosen == Some(*it)>{*it}</option> };
    let name: String = name.into();
    view! {
        <label>
            <span class="name">{name}</span>
            <select on:change=move |event| choose(event_target_value(&event))>
                <option value="">{none}</option>
                {words.iter().map(option).collect_view()}
            </select>
        </label>
    }
    .into_any()
}
