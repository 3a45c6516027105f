//! How an engine's readings of one kind went over the years, and the engine's own limits.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::id::EngineId;
use quaywright_core::reading::Kind;
use quaywright_core::reading::figure::Entered;
use quaywright_core::reading::limits::{Limit, Limits};
use quaywright_core::reading::unit::Unit;
use quaywright_core::text::Label;
use quaywright_core::view::{self, LimitRow, Series};

use crate::components::Field;
use crate::desk::{Desk, sentence, use_desk};
use crate::look::{Look, shown};
use crate::route::Route;
use crate::screens::Heading;

/// The course of one kind on one engine.
#[component]
pub fn CourseScreen(engine: EngineId, kind: Kind) -> impl IntoView {
    let desk = use_desk();
    let line = desk.look(move |book, _| view::engine_card(book, engine).map(|card| card.line).unwrap_or_default());
    let title = Look::at(move || format!("{}: {}", kind.words(), line.get()));
    let courses = desk.look(move |book, now| view::series(book, engine, kind, now.day()));
    let shown_courses = shown(move || {
        let courses = courses.get();
        let none = courses.is_empty().then(|| {
            view! { <p class="none">"What was read twice on this engine shows here, this year's beside last year's."</p> }
        });
        view! { {none}{courses.into_iter().map(course).collect_view()} }
    });
    let limits = desk.look(move |book, _| view::limit_rows(book, engine, kind));
    let limits = shown(move || {
        let (rows, source) = limits.get();
        limit_form(desk, engine, kind, rows, source)
    });
    view! {
        <Heading text=title />
        {shown_courses}
        <h2>"The engine's own limits"</h2>
        <p class="small">"From its manual. They rule over common practice."</p>
        {limits}
    }
}

/// What was read on an engine, each kind with its course and limits, and the kinds that may have limits.
pub fn courses_of(desk: Desk, engine: EngineId) -> AnyView {
    let kinds = desk.look(move |book, now| view::courses_of(book, engine, now.day()));
    let link = move |kind: Kind, beside: String| {
        view! {
            <li class="bare">
                <a class="entry" href=Route::Course(engine, kind).link()>
                    <span class="grow"><span class="what">{kind.words()}</span><span class="small">{beside}</span></span>
                </a>
            </li>
        }
        .into_any()
    };
    let shown_kinds = shown(move || {
        let (known, others) = kinds.get();
        let none = known.is_empty().then(|| view! { <p class="none">"Nothing was measured on it yet."</p> });
        let known = known.into_iter().map(|row| link(row.kind, row.words)).collect_view();
        let others = others.into_iter().map(|kind| link(kind, String::new())).collect_view();
        view! {
            {none}
            <ul class="list">{known}</ul>
            <details>
                <summary class="choice">"Limits for another kind"</summary>
                <ul class="list">{others}</ul>
            </details>
        }
    });
    view! {
        <details>
            <summary class="choice">"Readings and limits"</summary>
            <div class="stack">{shown_kinds}</div>
        </details>
    }
    .into_any()
}

/// A small plot, and the same figures as a table.
fn course(series: Series) -> AnyView {
    // 300 by 80, and a margin for the dots.
    let spot = |&(x, y): &(u16, u16)| {
        [(10 + u32::from(x) * 3 / 10).to_string(), (90 - u32::from(y) * 8 / 100).to_string()].join(" ")
    };
    let spots: Vec<String> = series.dots.iter().map(spot).collect();
    let line = format!("M{}", spots.join("L"));
    let dots: String = spots.iter().map(|spot| format!("M{spot}h0")).collect();
    let told: Vec<String> = series.rows.iter().map(|(when, value)| format!("{when}: {value}")).collect();
    let name = format!("{}. {}", series.words, told.join("; "));
    let row = |(when, value): (String, String)| view! { <tr><td>{when}</td><td class="figure">{value}</td></tr> };
    let rows = series.rows.into_iter().map(row).collect_view();
    view! {
        <figure class="course">
            <figcaption>{series.words}</figcaption>
            <svg viewBox="0 0 320 100" role="img" aria-label=name>
                <path d=line />
                <path class="dots" d=dots />
            </svg>
            <table><thead><tr><th>"When"</th><th>"Reading"</th></tr></thead><tbody>{rows}</tbody></table>
        </figure>
    }
    .into_any()
}

/// One limit as it is typed.
#[derive(Clone, Copy)]
struct Ends {
    low: RwSignal<String>,
    high: RwSignal<String>,
    unit: RwSignal<Unit>,
}

fn limit_form(desk: Desk, engine: EngineId, kind: Kind, rows: Vec<LimitRow>, source: String) -> AnyView {
    if rows.is_empty() {
        return view! { <p class="none">"This kind has nothing to set limits for."</p> }.into_any();
    }
    let source = RwSignal::new(source);
    let place = format!("limits/{engine}/{}/", kind.slug());
    let source_draft = format!("{place}source");
    let ends: Vec<Ends> = rows.iter().map(Ends::of).collect();
    let fields = rows.iter().zip(&ends).map(|(row, ends)| ends.fields(desk, &place, row)).collect_view();
    let keep = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let each: Result<Vec<Limit>, String> = rows.iter().zip(&ends).map(|(row, ends)| ends.read(row)).collect();
        match each {
            Ok(each) => {
                let limits = Box::new(Limits { each, source: Label::new(&source.get_untracked()) });
                let place = place.clone();
                spawn_local(async move {
                    if desk.ask(Command::SetLimits { engine, kind, limits }, "Limits kept").await.is_some() {
                        desk.drop_drafts(&place);
                    }
                });
            }
            Err(why) => desk.complain(sentence(&why)),
        }
    };
    view! {
        <form class="group" on:submit=keep>
            {fields}
            <Field name="From which manual and page" value=source draft=source_draft />
            <button type="submit">"Keep the limits"</button>
        </form>
    }
    .into_any()
}

impl Ends {
    fn of(row: &LimitRow) -> Self {
        let [low, high] = row.ends.clone().map(RwSignal::new);
        Self { low, high, unit: RwSignal::new(row.unit) }
    }

    /// Returns the fields; what is half typed below `place` comes back in its unit.
    fn fields(self, desk: Desk, place: &str, row: &LimitRow) -> AnyView {
        let words = row.name.words();
        let [low, high, unit] = ["low", "high", "unit"].map(|field| format!("{place}{words}/{field}"));
        if let Some(before) = desk.draft(&unit).and_then(|slug| Unit::parse(&slug)) {
            self.unit.set(before);
        }
        let choose = move |event| {
            let slug = event_target_value(&event);
            if let Some(chosen) = Unit::parse(&slug) {
                self.unit.set(chosen);
                desk.keep_draft(&unit, slug);
            }
        };
        let option = |&unit: &Unit| {
            view! { <option value=unit.slug() selected=move || self.unit.get() == unit>{unit.words()}</option> }
        };
        view! {
            <fieldset>
                <legend>{words}</legend>
                <div class="ends">
                    <Field name="Lowest" value=self.low draft=low keyboard="decimal" />
                    <Field name="Highest" value=self.high draft=high keyboard="decimal" />
                    <select aria-label=format!("Unit: {words}") on:change=choose>
                        {row.units.iter().map(option).collect_view()}
                    </select>
                </div>
            </fieldset>
        }
        .into_any()
    }

    /// Reads both ends; an empty one is none.
    fn read(self, row: &LimitRow) -> Result<Limit, String> {
        let end = |text: RwSignal<String>| {
            let text = text.get_untracked();
            let written = Some(text.trim()).filter(|text| !text.is_empty());
            written.map(|text| Entered::parse(text, self.unit.get_untracked())).transpose().map_err(|it| it.to_string())
        };
        Ok(Limit { of: row.name, low: end(self.low)?, high: end(self.high)? })
    }
}
