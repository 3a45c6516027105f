//! A boat: her facts, her engines, her jobs.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::{BoatFacts, Drive, EngineFacts, Fuel, Traits};
use quaywright_core::hin::{self, Doubt};
use quaywright_core::id::{BoatId, EngineId, EventId};
use quaywright_core::procedure::typed;
use quaywright_core::quantity::{EngineHours, Power, PowerUnit, year_of_make};
use quaywright_core::text::Label;
use quaywright_core::view::{self, EngineCard};

use super::bench::courses_of;
use super::reader::reader_fields;
use super::{Heading, job_list};
use crate::components::{Field, button};
use crate::desk::{Desk, sentence, use_desk};
use crate::look::{Look, shown};
use crate::route::Route;

/// A boat's page.
#[component]
pub fn BoatScreen(boat: BoatId) -> impl IntoView {
    let desk = use_desk();
    let card = desk.look(move |book, now| view::boat_card(book, boat, now));
    let name = Look::at(move || {
        card.with(|card| card.as_ref().map_or("Not in the book".to_owned(), |card| card.facts.name.to_string()))
    });
    let engines =
        desk.look(move |book, now| view::boat_card(book, boat, now).map(|card| card.engines).unwrap_or_default());
    let jobs = Look::at(move || card.with(|card| card.as_ref().map(|card| card.jobs.clone()).unwrap_or_default()));
    let facts = card.get_untracked().map(|card| card.facts).unwrap_or_default();
    let reader = Look::at(move || card.with(|card| card.as_ref().map(|card| card.reader).unwrap_or_default()));
    let shown_engines =
        shown(move || engines.get().into_iter().map(|engine| view! { <li><Engine engine /></li> }).collect_view());
    view! {
        <Heading text=name />
        <div class="beside">
            <section>
                <h2>"The boat"</h2>
                <Facts boat facts />
                {reader_fields(desk, boat, reader)}
                {planned(desk, boat)}
                <h2>"Jobs"</h2>
                {job_list(jobs)}
                <p class="group">
                    <a class="button big" href=Route::NewJob { boat: Some(boat) }.link()>"New job on this boat"</a>
                </p>
            </section>
            <section>
                <h2>"Engines"</h2>
                <ul class="list">{shown_engines}</ul>
                <NewEngine boat />
            </section>
        </div>
    }
}

/// The visits that are planned and lie ahead; nothing where none is.
fn planned(desk: Desk, boat: BoatId) -> AnyView {
    let ahead = desk.look(move |book, now| view::visits_of_boat(book, boat, now));
    shown(move || {
        let ahead = ahead.get();
        (!ahead.is_empty()).then(|| {
            let rows = ahead.into_iter().map(|words| view! { <li>{words}</li> }).collect_view();
            view! { <h2>"Planned"</h2><ul class="list">{rows}</ul> }
        })
    })
}

/// Her facts as fields; each is kept when it is left.
#[component]
fn Facts(boat: BoatId, facts: BoatFacts) -> impl IntoView {
    let desk = use_desk();
    let (name, owner) = (filled(&facts.name), filled(&facts.owner));
    let (berth, hin) = (filled(&facts.berth), filled(&facts.hin));
    let keep = Callback::new(move |_: String| {
        let facts = BoatFacts { name: label(name), owner: label(owner), berth: label(berth), hin: label(hin) };
        desk.tell(Command::AmendBoat { boat, facts }, "Boat kept");
    });
    view! {
        <div class="stack">
            <Field name="Name" value=name on_left=keep />
            <Field name="Owner" value=owner on_left=keep />
            <Field name="Berth" value=berth on_left=keep />
            <Field name="HIN, as on the hull" value=hin on_left=keep />
            {hull_number(hin)}
        </div>
    }
}

/// What the hull number says, and what is doubtful about it: never more than a question.
fn hull_number(typed: RwSignal<String>) -> AnyView {
    let checked = Look::at(move || hin::check(&typed.get()));
    shown(move || {
        let checked = checked.get()?;
        let says = checked.says().map(|words| view! { <p class="small">"It says: "{words}"."</p> });
        let doubt = |doubt: &Doubt| view! { <li class="stop">{sentence(&doubt.to_string())}</li> };
        let doubts = checked.doubts.iter().map(doubt).collect_view();
        let asked = (!checked.doubts.is_empty()).then(|| {
            view! {
                <p>"Look at the hull again?"</p>
                <ul class="stack">{doubts}</ul>
                <p class="small">"It is kept as you wrote it. A boat from before November 1972, or built for another country (ISO 10087), may bear another number."</p>
            }
        });
        Some(view! { <div role="status">{says}{asked}</div> })
    })
}

/// The fields of an engine, as their drafts are called; the last is the hour meter's.
const TYPED: [&str; 7] = ["place", "model", "serial", "year", "power", "unit", "hours"];

/// Returns the names of an engine's drafts; `of` is the engine, or the boat that gets one more.
fn drafts(of: EventId) -> [String; 7] {
    TYPED.map(|field| format!("engine/{of}/{field}"))
}

fn drop_drafts(desk: Desk, of: EventId) {
    desk.drop_drafts(&format!("engine/{of}/"));
}

/// The fields of an engine.
#[derive(Clone, Copy)]
struct EngineFields {
    place: RwSignal<String>,
    model: RwSignal<String>,
    serial: RwSignal<String>,
    year: RwSignal<String>,
    power: RwSignal<String>,
    unit: RwSignal<PowerUnit>,
}

impl EngineFields {
    fn of(facts: &EngineFacts) -> Self {
        Self {
            place: filled(&facts.place),
            model: filled(&facts.model),
            serial: filled(&facts.serial),
            year: RwSignal::new(facts.year.map(|year| year.to_string()).unwrap_or_default()),
            power: RwSignal::new(facts.power.map(Power::figure).unwrap_or_default()),
            unit: RwSignal::new(facts.power.map_or(PowerUnit::Kilowatt, |power| power.unit)),
        }
    }

    /// Reads the fields; says which one is not a figure.
    fn read(self) -> Result<EngineFacts, &'static str> {
        let (year, power) = (self.year.get_untracked(), self.power.get_untracked());
        let year = match year.trim() {
            "" => None,
            text => Some(
                year_of_make(text).ok_or("The year is not one that an engine can have: write it with four digits.")?,
            ),
        };
        let power = match power.trim() {
            "" => None,
            text => Some(
                Power::parse(text, self.unit.get_untracked())
                    .ok_or("The power is not a figure with at most one decimal, such as 28 or 28.5.")?,
            ),
        };
        let (place, model, serial) = (label(self.place), label(self.model), label(self.serial));
        Ok(EngineFacts { place, model, serial, year, power })
    }
}

/// An engine: its line, and on a tap its fields.
#[component]
fn Engine(engine: EngineCard) -> impl IntoView {
    let desk = use_desk();
    let fields = EngineFields::of(&engine.facts);
    let hours = RwSignal::new(String::new());
    let id = engine.id;
    let keep = Callback::new(move |_: String| match fields.read() {
        Ok(facts) => spawn_local(async move {
            if desk.ask(Command::AmendEngine { engine: id, facts }, "Engine kept").await.is_some() {
                drop_drafts(desk, id.0);
            }
        }),
        Err(why) => desk.complain(why),
    });
    // What is less than the last is asked about once it was to be kept, not while it is typed.
    let doubted = RwSignal::new(None);
    let keep_hours = move |read: EngineHours, sure: bool| {
        desk.tell(Command::ReadHours { engine: id, hours: read, sure }, format!("{read} hours kept"));
    };
    let read_hours = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        match EngineHours::parse(&hours.get_untracked()) {
            Some(read) => {
                doubted.set(Some(read));
                keep_hours(read, false);
            }
            None => desk.complain("The hours are not a figure with at most one decimal, such as 1204.5."),
        }
    };
    let last = engine.last_hours;
    let less = shown(move || {
        let read = doubted.get().filter(|&read| last.is_some_and(|last| read < last))?;
        let is_typed = EngineHours::parse(&hours.get()) == Some(read);
        let words = is_typed
            .then(|| format!("Less than the last, {}: a new meter, or was that one a slip?", last.unwrap_or(read)))?;
        let keep = button("", format!("It is so: keep {read}"), move || keep_hours(read, true));
        Some(view! { <p class="small">{words}</p>{keep} })
    });
    view! {
        <p><strong>{engine.line}</strong></p>
        <form on:submit=read_hours>
            <div class="pair">
                <Field name="Hour meter shows" value=hours keyboard="decimal" />
                <button type="submit">"Keep the hours"</button>
            </div>
            {less}
        </form>
        <details>
            <summary class="choice">"Put its facts right"</summary>
            <div class="stack">
                <EngineForm fields of=id.0 on_left=keep />
                {make_up(desk, id, engine.traits)}
            </div>
        </details>
        {courses_of(desk, id)}
    }
}

/// What a procedure may ask of an engine beyond its plate: each kept when it is chosen or left.
fn make_up(desk: Desk, engine: EngineId, traits: Traits) -> AnyView {
    let drive = RwSignal::new(traits.drive);
    let fuel = RwSignal::new(traits.fuel);
    let options = RwSignal::new(typed::options_text(traits.options.as_ref()));
    let keep = move || {
        let options = typed::options(&options.get_untracked());
        let traits = Traits { drive: drive.get_untracked(), fuel: fuel.get_untracked(), options };
        desk.tell(Command::DescribeEngine { engine, traits }, "Engine kept");
    };
    let choose_drive = move |words: String| {
        drive.set(Drive::ALL.into_iter().find(|it| it.words() == words));
        keep();
    };
    let choose_fuel = move |words: String| {
        fuel.set(Fuel::ALL.into_iter().find(|it| it.words() == words));
        keep();
    };
    let kept = Callback::new(move |_: String| keep());
    view! {
        {choice("Drive", &Drive::ALL.map(Drive::words), traits.drive.map(Drive::words), Box::new(choose_drive))}
        {choice("Fuel", &Fuel::ALL.map(Fuel::words), traits.fuel.map(Fuel::words), Box::new(choose_fuel))}
        <Field name="Has, with commas between (power steering …); nothing, if it has nothing more" value=options on_left=kept />
    }
    .into_any()
}

/// One of some words, or none of them.
fn choice(
    name: &'static str,
    words: &[&'static str],
    chosen: Option<&'static str>,
    choose: Box<dyn Fn(String)>,
) -> AnyView {
    let option = |it: &&'static str| view! { <option value=*it selected=chosen == Some(*it)>{*it}</option> };
    view! {
        <label>
            <span class="name">{name}</span>
            <select on:change=move |event| choose(event_target_value(&event))>
                <option value="">"Not said"</option>
                {words.iter().map(option).collect_view()}
            </select>
        </label>
    }
    .into_any()
}

#[component]
fn EngineForm(
    fields: EngineFields,
    /// Whose drafts are kept.
    of: EventId,
    #[prop(optional)] on_left: Option<Callback<String>>,
) -> impl IntoView {
    let desk = use_desk();
    let [place, model, serial, year, power, unit_draft, _] = drafts(of);
    let unit_before = desk.draft(&unit_draft).and_then(|sign| PowerUnit::ALL.into_iter().find(|it| it.sign() == sign));
    if let Some(unit) = unit_before {
        fields.unit.set(unit);
    }
    let on_left = on_left.unwrap_or_else(|| Callback::new(|_| {}));
    let units = PowerUnit::ALL.map(|unit| {
        view! { <option value=unit.sign() selected=move || fields.unit.get() == unit>{unit.sign()}</option> }
    });
    let choose = move |event| {
        let sign = event_target_value(&event);
        if let Some(unit) = PowerUnit::ALL.into_iter().find(|unit| unit.sign() == sign) {
            fields.unit.set(unit);
            desk.keep_draft(&unit_draft, sign.clone());
            on_left.run(sign);
        }
    };
    view! {
        <Field name="Which one (port, starboard, generator …)" value=fields.place draft=place on_left />
        <Field name="Model" value=fields.model draft=model on_left />
        <Field name="Serial number" value=fields.serial draft=serial on_left />
        <Field name="Year" value=fields.year draft=year keyboard="numeric" on_left />
        <div class="pair">
            <Field name="Power" value=fields.power draft=power keyboard="decimal" on_left />
            <label>
                <span class="name">"Unit"</span>
                <select on:change=choose>{units.collect_view()}</select>
            </label>
        </div>
    }
}

/// Fields for one more engine.
#[component]
fn NewEngine(boat: BoatId) -> impl IntoView {
    let desk = use_desk();
    let fields = EngineFields::of(&EngineFacts::default());
    let hours = RwSignal::new(String::new());
    let [.., hours_draft] = drafts(boat.0);
    // What was half typed is shown, not folded away.
    let half_typed = drafts(boat.0).iter().any(|draft| desk.draft(draft).is_some_and(|text| !text.is_empty()));
    let add = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let hours_typed = hours.get();
        let read = match hours_typed.trim() {
            "" => Ok(None),
            text => EngineHours::parse(text)
                .map(Some)
                .ok_or("The hours are not a figure with at most one decimal, such as 1204.5."),
        };
        match fields.read().and_then(|facts| read.map(|hours| (facts, hours))) {
            Ok((facts, read)) => add_engine(desk, boat, facts, read, fields, hours),
            Err(why) => desk.complain(why),
        }
    };
    view! {
        <details open=half_typed>
            <summary class="choice">"Add an engine"</summary>
            <form on:submit=add>
                <EngineForm fields of=boat.0 />
                <Field name="Hour meter shows" value=hours draft=hours_draft keyboard="decimal" />
                <button type="submit">"Add the engine"</button>
            </form>
        </details>
    }
}

fn add_engine(
    desk: Desk,
    boat: BoatId,
    facts: EngineFacts,
    read: Option<EngineHours>,
    fields: EngineFields,
    hours: RwSignal<String>,
) {
    spawn_local(async move {
        if desk.ask(Command::AddEngine { boat, facts, hours: read }, "Engine added").await.is_some() {
            drop_drafts(desk, boat.0);
            for field in [fields.place, fields.model, fields.serial, fields.year, fields.power, hours] {
                field.set(String::new());
            }
        }
    });
}

fn filled(label: &Label) -> RwSignal<String> {
    RwSignal::new(label.to_string())
}

fn label(field: RwSignal<String>) -> Label {
    Label::new(&field.get_untracked())
}
