//! The form of a reading: it answers while one types.
//!
//! One form serves all kinds: its fields are what the kind asks for. A figure that is
//! not usual is asked about before it is judged; what is half typed is a draft.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::{ReadingFacts, TakenFor};
use quaywright_core::id::{EngineId, EventId, JobId, StepId};
use quaywright_core::reading::Kind;
use quaywright_core::reading::form::{Choice, Input, Instead, Name, Need, Of, Question, Typed};
use quaywright_core::reading::unit::Unit;
use quaywright_core::text::{Label, Prose};
use quaywright_core::view::{self, Answer};

use super::card::verdict;
use super::cards;
use crate::components::{Field, button};
use crate::desk::{Desk, sentence, use_desk};
use crate::look::{Look, shown};
use crate::platform::page;
use crate::route::{JobPart, Route};
use crate::screens::heading;

/// The form of one kind.
#[derive(Clone, Copy)]
struct Form {
    desk: Desk,
    kind: Kind,
    job: Option<JobId>,
    step: Option<StepId>,
    typed: RwSignal<Vec<Typed>>,
    /// How many cylinders are shown.
    cylinders: RwSignal<u8>,
    engine: RwSignal<Option<EngineId>>,
    answer: Look<Answer>,
    /// Questions that were answered with yes, it is so.
    sure: RwSignal<Vec<String>>,
}

/// Takes a reading, for a job or on the bench.
#[component]
pub fn ReadingScreen(kind: Kind, job: Option<JobId>) -> impl IntoView {
    taking(use_desk(), kind, job, None)
}

/// Takes the reading that a step asks for; the step knows it afterwards.
#[component]
pub fn StepReadingScreen(step: StepId, nth: u8) -> impl IntoView {
    let desk = use_desk();
    match desk.book.with_untracked(|book| view::asked_reading(book, step, nth)) {
        Some(asked) => taking(desk, asked.kind, Some(asked.job), Some((step, asked.what))),
        None => view! {
            {heading("Not in the book")}
            <p class="none">"No step asks for this reading. The job may be on another phone."</p>
        }
        .into_any(),
    }
}

fn taking(desk: Desk, kind: Kind, job: Option<JobId>, asked: Option<(StepId, String)>) -> AnyView {
    let (step, asked) = asked.unzip();
    let form = Form::new(desk, kind, job, step);
    let part = |needed: bool| form.inputs(move |input| (input.need != Need::May) == needed);
    let [what, instrument, note] = ["what", "instrument", "note"].map(|_| RwSignal::new(String::new()));
    let asked_for = asked.clone().map(|what| view! { <p><span class="label">"For the step"</span>{what}</p> });
    what.set(asked.unwrap_or_default());
    let drafts = ["what", "instrument", "note"].map(|field| form.key(field));
    let [what_draft, instrument_draft, note_draft] = drafts.clone();
    let keep = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        form.keep([what, instrument, note], drafts.clone());
    };
    let loose = desk.look(move |book, now| {
        let mut loose = view::readings_on_the_bench(book, now.day(), super::LOOSE);
        loose.retain(|card| card.kind == kind);
        loose
    });
    let kept = job.is_none().then(|| {
        view! {
            <h2>"Kept, on no job yet"</h2>
            {cards(loose, "Nothing yet.")}
        }
    });
    view! {
        {heading(kind.question())}
        {asked_for}
        <p class="small">{kind.before()}</p>
        <form class="group" on:submit=keep>
            {part(true)}
            {form.more()}
            <section aria-label="Answer" aria-live="polite">{form.answered()}</section>
            <details>
                <summary class="choice">"It helps to say more"</summary>
                <div class="stack">
                    {part(false)}
                    {form.engines()}
                    <Field name="What was measured (start battery, port engine …)" value=what draft=what_draft />
                    <Field name="With which instrument" value=instrument draft=instrument_draft />
                    <Field name="Note" value=note draft=note_draft long=true />
                </div>
            </details>
            <button type="submit" class="big">"Keep this reading"</button>
        </form>
        {kept}
    }
    .into_any()
}

impl Form {
    fn new(desk: Desk, kind: Kind, job: Option<JobId>, step: Option<StepId>) -> Self {
        let mut blank = desk.book.with_untracked(|book| view::blank_form(book, kind));
        for field in &mut blank {
            let figure = figure(kind, field, job, step);
            field.text = desk.draft(&figure).unwrap_or_default();
            // A figure without the unit that it was typed in would be another figure.
            let unit = desk.draft(&unit_of(&figure)).and_then(|slug| Unit::parse(&slug));
            field.unit = unit.unwrap_or(field.unit);
        }
        let filled = blank.iter().filter(|field| !field.text.is_empty()).map(|field| field.nth).max();
        let of_job = job.and_then(|job| desk.book.with_untracked(|book| view::engine_of_job(book, job)));
        let (typed, engine) = (RwSignal::new(blank), RwSignal::new(of_job));
        let answer = desk.look(move |book, _| view::answer(book, kind, engine.get(), &typed.get()));
        let cylinders = RwSignal::new(filled.unwrap_or_default().max(4));
        Self { desk, kind, job, step, typed, cylinders, engine, answer, sure: RwSignal::new(Vec::new()) }
    }

    /// Where what is half typed in a field of the form is kept.
    fn key(self, field: &str) -> String {
        key(self.kind, field, self.job, self.step)
    }

    /// Where a half-typed figure is kept.
    fn figure(self, field: &Typed) -> String {
        figure(self.kind, field, self.job, self.step)
    }

    /// Writes into a field.
    fn write(self, at: usize, text: String) {
        let key = self.typed.with_untracked(|all| self.figure(&all[at]));
        self.desk.keep_draft(&key, text.clone());
        self.typed.update(|all| all[at].text = text);
    }

    /// Says in which unit a field is.
    fn write_unit(self, at: usize, unit: Unit) {
        let before = self.typed.get_untracked();
        self.typed.update(|all| view::choose_unit(all, at, unit));
        self.typed.with_untracked(|all| {
            for (field, _) in all.iter().zip(&before).filter(|(field, was)| field.unit != was.unit) {
                self.desk.keep_draft(&unit_of(&self.figure(field)), field.unit.slug().to_owned());
            }
        });
    }

    /// The fields of those inputs.
    fn inputs(self, which: impl Fn(&Input) -> bool) -> AnyView {
        let fields = self.typed.get_untracked().into_iter().enumerate();
        let field = |(at, field): (usize, Typed)| {
            let input = self.kind.input(field.name).filter(|input| which(input))?;
            let (inside, nth) = (self.field(at, input, field.nth), field.nth);
            let beyond = move || nth > self.cylinders.get();
            Some(view! { <div hidden={move || beyond()}>{inside}</div> }.into_any())
        };
        fields.filter_map(field).collect_view().into_any()
    }

    fn field(self, at: usize, input: &'static Input, nth: u8) -> AnyView {
        let name = if nth > 0 { format!("{} {nth}", input.words) } else { input.words.to_owned() };
        let text = move || self.typed.with(|all| all[at].text.clone());
        let wrong = shown(move || {
            let is_this = |it: &&(_, u8, String)| it.0 == input.name && it.1 == nth;
            let why = self.answer.with(|answer| answer.wrong.iter().find(is_this).map(|it| it.2.clone()));
            why.map(|why| view! { <p class="stop small-line">{sentence(&why)}</p> })
        });
        let beside = shown(move || {
            let is_this = |it: &&(_, u8, String)| it.0 == input.name && it.1 == nth;
            let beside = self.answer.with(|answer| answer.beside.iter().find(is_this).map(|it| it.2.clone()));
            beside.map(|beside| view! { <p class="small small-line">"= "{beside}</p> })
        });
        match input.of {
            Of::Figure { units, usual } => {
                // A phone's keyboard for figures may have no minus.
                let keyboard = if usual.0 < 0 { "text" } else { "decimal" };
                view! {
                    <div>
                        <div class="measure">
                            <label>
                                <span class="name">{name.clone()}</span>
                                <input
                                    type="text"
                                    autocomplete="off"
                                    inputmode=keyboard
                                    prop:value=text
                                    on:input=move |event| self.write(at, event_target_value(&event))
                                />
                            </label>
                            {self.units(at, units, &name)}
                        </div>
                        {wrong}
                        {beside}
                    </div>
                }
                .into_any()
            }
            Of::Choice(choices) => {
                let option = move |&choice: &Choice| {
                    let chosen = move || self.typed.with(|all| all[at].text == choice.slug());
                    view! { <option value=choice.slug() selected=chosen>{choice.words()}</option> }
                };
                let none = if input.need == Need::May { "not said" } else { "choose" };
                view! {
                    <label>
                        <span class="name">{name}</span>
                        <select on:change=move |event| self.write(at, event_target_value(&event))>
                            <option value="">{none}</option>
                            {choices.iter().map(option).collect_view()}
                        </select>
                    </label>
                }
                .into_any()
            }
        }
    }

    /// The units of a field; of one unit only its sign.
    fn units(self, at: usize, units: &'static [Unit], name: &str) -> AnyView {
        let choose = move |event| {
            if let Some(unit) = Unit::parse(&event_target_value(&event)) {
                self.write_unit(at, unit);
            }
        };
        let option = move |&unit: &Unit| {
            let chosen = move || self.typed.with(|all| all[at].unit == unit);
            let words = if unit == Unit::Number { "no unit" } else { unit.words() };
            view! { <option value=unit.slug() selected=chosen>{words}</option> }
        };
        match units {
            [only] => view! { <span class="unit">{only.words()}</span> }.into_any(),
            units => {
                let name = format!("Unit: {name}");
                view! { <select aria-label=name on:change=choose>{units.iter().map(option).collect_view()}</select> }
                    .into_any()
            }
        }
    }

    /// One more cylinder, where the kind has some.
    fn more(self) -> Option<AnyView> {
        let most = self.kind.inputs().iter().find_map(|input| match input.need {
            Need::Each(most) => Some(most),
            _ => None,
        })?;
        let add = move || self.cylinders.update(|shown| *shown = most.min(*shown + 1));
        Some(button("", "One more cylinder", add))
    }

    /// The engine, where no job names it: its own limits rule, and its course is shown.
    fn engines(self) -> Option<AnyView> {
        let engines = self.desk.book.with_untracked(|book| view::engines_to_choose(book, self.job));
        let wanted = self.engine.get_untracked().is_none() && !engines.is_empty();
        let option = |(engine, words): (EngineId, String)| view! { <option value=engine.to_string()>{words}</option> };
        wanted.then(|| {
            let choose = move |event| self.engine.set(EventId::parse(&event_target_value(&event)).map(EngineId));
            view! {
                <label>
                    <span class="name">"Of which engine"</span>
                    <select on:change=choose>
                        <option value="">"none"</option>
                        {engines.into_iter().map(option).collect_view()}
                    </select>
                </label>
            }
            .into_any()
        })
    }

    /// What is not yet sure.
    fn open_questions(self) -> Vec<Question> {
        let mut questions = self.answer.with(|answer| answer.questions.clone());
        self.sure.with(|sure| questions.retain(|question| !sure.contains(&question.words)));
        questions
    }

    fn answered(self) -> AnyView {
        shown(move || {
            let questions = self.open_questions();
            if !questions.is_empty() {
                return questions.into_iter().map(|question| self.question(question)).collect_view().into_any();
            }
            self.answer.with(|answer| match &answer.judged {
                Some(judged) => verdict(judged.clone(), false),
                None => view! { <p class="small">"Still to write: "{answer.missing.join(", ")}"."</p> }.into_any(),
            })
        })
    }

    fn question(self, question: Question) -> AnyView {
        let Question { name, nth, words, instead } = question;
        let asked = words.clone();
        let change = instead.map(|instead| {
            let set = move || match instead {
                Instead::Unit(unit) => {
                    let is_it = |field: &Typed| (field.name, field.nth) == (name, nth);
                    if let Some(at) = self.typed.with_untracked(|all| all.iter().position(is_it)) {
                        self.write_unit(at, unit);
                    }
                }
                Instead::System(system) => {
                    let at = self.typed.with_untracked(|all| all.iter().position(|field| field.name == Name::System));
                    if let Some(at) = at {
                        self.write(at, system.slug().to_owned());
                    }
                }
            };
            button("", format!("Yes, {}", instead.words()), set)
        });
        let sure = move || self.sure.update(|sure| sure.push(asked.clone()));
        view! {
            <div class="telling">
                <p>{words}</p>
                <div class="row">{change}{button("", if instead.is_some() { "No, it is so" } else { "It is so" }, sure)}</div>
            </div>
        }
        .into_any()
    }

    fn keep(self, texts: [RwSignal<String>; 3], drafts: [String; 3]) {
        let answer = self.answer.get_untracked();
        if let Some((_, _, why)) = answer.wrong.first() {
            return self.desk.complain(sentence(why));
        }
        if let Some(question) = untrack(|| self.open_questions()).first() {
            return self.desk.complain(question.words.clone());
        }
        let [what, instrument, note] = texts.map(|text| text.get_untracked());
        let reading = Box::new(ReadingFacts {
            kind: self.kind,
            what: Label::new(&what),
            given: answer.given,
            instrument: Label::new(&instrument),
            note: Prose::new(&note),
        });
        let engine = self.engine.get_untracked();
        let taken_for = TakenFor { job: self.job, engine, step: self.step };
        // Named before anything is waited for: when it is kept the form may be gone.
        let figures = self.typed.with_untracked(|all| all.iter().map(|field| self.figure(field)).collect::<Vec<_>>());
        spawn_local(async move {
            let words = format!("{} kept", self.kind.words());
            if self.desk.ask(Command::TakeReading { taken_for, reading }, words).await.is_none() {
                return;
            }
            for figure in &figures {
                self.desk.drop_draft(figure);
                self.desk.drop_draft(&unit_of(figure));
            }
            self.typed.update(|all| all.iter_mut().for_each(|field| field.text.clear()));
            drafts.iter().for_each(|draft| self.desk.drop_draft(draft));
            texts.iter().for_each(|text| text.set(String::new()));
            if let Some(job) = self.job {
                let part = if self.step.is_some() { JobPart::Steps } else { JobPart::Readings };
                page::go(&Route::Job(job, part).fragment());
            }
        });
    }
}

/// Where what is half typed in a field is kept: for each step and each job by itself, since what
/// was read on one engine is no figure of another.
fn key(kind: Kind, field: &str, job: Option<JobId>, step: Option<StepId>) -> String {
    let of = step.map(|step| step.to_string()).or(job.map(|job| job.to_string())).unwrap_or_default();
    format!("reading/{}/{field}/{of}", kind.slug())
}

fn figure(kind: Kind, field: &Typed, job: Option<JobId>, step: Option<StepId>) -> String {
    key(kind, &format!("{}/{}", field.name.slug(), field.nth), job, step)
}

/// Where the unit of a half-typed figure is kept.
fn unit_of(figure: &str) -> String {
    format!("{figure}/unit")
}
