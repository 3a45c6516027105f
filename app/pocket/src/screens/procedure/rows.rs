//! A step's rows as a form: words, things and conditions, each a field that is kept when it is left.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::{Condition, ProcedureStep, StepNumber};
use quaywright_core::id::ProcedureId;
use quaywright_core::procedure::condition::Field as Row;
use quaywright_core::procedure::typed;
use quaywright_core::reassembly::caution::Caution;
use quaywright_core::text::Label;

use super::amended;
use crate::components::{Field, button, named_button};
use crate::desk::{Desk, sentence, use_desk};
use crate::look::shown;

/// The fields of a step.
#[derive(Clone, Copy)]
struct Fields {
    text: RwSignal<String>,
    side: RwSignal<String>,
    tools: RwSignal<String>,
    consumables: RwSignal<String>,
    items: RwSignal<String>,
    fasteners: RwSignal<String>,
    readings: RwSignal<String>,
}

impl Fields {
    fn of(step: &ProcedureStep) -> Self {
        Self {
            text: RwSignal::new(step.text.to_string()),
            side: RwSignal::new(step.side.to_string()),
            tools: RwSignal::new(typed::words_text(&step.tools)),
            consumables: RwSignal::new(typed::words_text(&step.consumables)),
            items: RwSignal::new(typed::items_text(&step.items)),
            fasteners: RwSignal::new(typed::fasteners_text(&step.fasteners)),
            readings: RwSignal::new(typed::readings_text(&step.readings)),
        }
    }

    /// Writes the fields into a step; says which line is not read.
    fn write(self, step: &mut ProcedureStep) -> Result<(), String> {
        let said = |wrong: typed::NotRead| sentence(&wrong.to_string());
        step.items = typed::items(&self.items.get_untracked(), &step.items).map_err(said)?;
        step.fasteners = typed::fasteners(&self.fasteners.get_untracked()).map_err(said)?;
        step.text = Label::new(&self.text.get_untracked());
        step.side = Label::new(&self.side.get_untracked());
        step.tools = typed::words(&self.tools.get_untracked());
        step.consumables = typed::words(&self.consumables.get_untracked());
        step.readings = typed::readings(&self.readings.get_untracked(), &step.readings);
        Ok(())
    }
}

/// Everything of a step that can be typed or chosen.
#[component]
pub fn StepForm(procedure: ProcedureId, step: ProcedureStep) -> impl IntoView {
    let desk = use_desk();
    let fields = Fields::of(&step);
    let number = step.number;
    let place = format!("step/{procedure}/{}/", number.0);
    let key = |field: &str| format!("{place}{field}");
    let [text, side, tools, consumables] = ["text", "side", "tools", "consumables"].map(key);
    let [items, fasteners, readings] = ["items", "fasteners", "readings"].map(key);
    let keep = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let mut written = step.clone();
        match fields.write(&mut written) {
            Ok(()) => {
                let asked = amended_step(desk, procedure, number, move |it| {
                    // Conditions and cautions have their own buttons.
                    let (only, cautions) = (std::mem::take(&mut it.only), std::mem::take(&mut it.cautions));
                    *it = ProcedureStep { only, cautions, ..written };
                });
                let (Some(asked), place) = (asked, place.clone()) else { return };
                spawn_local(async move {
                    if desk.ask(asked, "Step kept").await.is_some() {
                        desk.drop_drafts(&place);
                    }
                });
            }
            Err(why) => desk.complain(why),
        }
    };
    let (only, cautions) = desk.book.with_untracked(|book| {
        let reads = book.procedures.current(procedure).map(|it| &it.reads);
        let step = reads.and_then(|reads| reads.steps.iter().find(|it| it.number == number));
        step.map(|it| (it.only.clone(), it.cautions.clone())).unwrap_or_default()
    });
    view! {
        <form class="group" on:submit=keep>
            <Field name="What is to be done" value=fields.text draft=text />
            <Field name="Side" value=fields.side draft=side />
            <Field name="Tools, with commas between" value=fields.tools draft=tools />
            <Field name="Used up, with commas between" value=fields.consumables draft=consumables />
            <Field name="Comes off, one a line: 6 × cover screw, M5" value=fields.items draft=items long=true />
            <Field name="Tightened together, one a line: cover, 6 in a circle" value=fields.fasteners draft=fasteners long=true />
            <Field name="Measured, one a line" value=fields.readings draft=readings long=true />
            <button type="submit">"Keep the step"</button>
        </form>
        {conditions(desk, procedure, number, only)}
        {cautions_of(desk, procedure, number, &cautions)}
    }
}

fn amend_step(
    desk: Desk,
    procedure: ProcedureId,
    number: StepNumber,
    words: &'static str,
    change: impl FnOnce(&mut ProcedureStep),
) {
    if let Some(asked) = amended_step(desk, procedure, number, change) {
        desk.tell(asked, words);
    }
}

fn amended_step(
    desk: Desk,
    procedure: ProcedureId,
    number: StepNumber,
    change: impl FnOnce(&mut ProcedureStep),
) -> Option<Command> {
    amended(desk, procedure, |to| {
        if let Some(step) = to.steps.iter_mut().find(|it| it.number == number) {
            change(step);
        }
    })
}

/// For which engines: a row for each condition, and fields for one more.
fn conditions(desk: Desk, procedure: ProcedureId, number: StepNumber, only: Vec<Condition>) -> AnyView {
    let row = move |(nth, condition): (usize, Condition)| {
        let words = condition.words();
        let full = format!("Take out the condition {words}");
        let out = move || {
            amend_step(desk, procedure, number, "The condition is out", |step| {
                if nth < step.only.len() {
                    step.only.remove(nth);
                }
            });
        };
        view! { <li class="row"><p class="grow">{words}</p>{named_button("quiet", "Take out", full, out)}</li> }
    };
    let field = RwSignal::new(Row::ALL[0]);
    let value = RwSignal::new(String::new());
    let choose_field = move |event| {
        let chosen = event_target_value(&event);
        if let Some(row) = Row::ALL.into_iter().find(|it| it.words() == chosen) {
            field.set(row);
            value.set(row.choices().first().copied().unwrap_or_default().to_owned());
        }
    };
    let add = move || match field.get_untracked().read(&value.get_untracked()) {
        Ok(condition) => amend_step(desk, procedure, number, "The condition is kept", |step| step.only.push(condition)),
        Err(why) => desk.complain(sentence(&why.to_string())),
    };
    let option = |words: &'static str| view! { <option value=words>{words}</option> };
    let value_field = shown(move || {
        let choices = field.get().choices();
        if choices.is_empty() {
            return view! { <Field name="Value" value /> }.into_any();
        }
        view! {
            <label>
                <span class="name">"Value"</span>
                <select on:change=move |event| value.set(event_target_value(&event))>
                    {choices.into_iter().map(option).collect_view()}
                </select>
            </label>
        }
        .into_any()
    });
    view! {
        <h3>"Only for engines with"</h3>
        <ul class="list">{only.into_iter().enumerate().map(row).collect_view()}</ul>
        <div class="pair">
            <label>
                <span class="name">"Field"</span>
                <select on:change=choose_field>{Row::ALL.map(|it| option(it.words())).collect_view()}</select>
            </label>
            {value_field}
        </div>
        <p class="group">{button("", "Add the condition", add)}</p>
    }
    .into_any()
}

/// What to watch for: a box for each caution.
fn cautions_of(desk: Desk, procedure: ProcedureId, number: StepNumber, set: &[Caution]) -> AnyView {
    let choice = |caution: Caution| {
        let on = set.contains(&caution);
        let turn = move |_| {
            amend_step(desk, procedure, number, "Cautions kept", |step| {
                if on {
                    step.cautions.retain(|it| *it != caution);
                } else {
                    step.cautions.push(caution);
                }
            });
        };
        view! {
            <label class="choice"><input type="checkbox" prop:checked=on on:change=turn />{caution.name()}</label>
        }
    };
    view! {
        <fieldset class="group">
            <legend>"Cautions, beyond those that its words bring up"</legend>
            {Caution::ALL.map(choice).collect_view()}
        </fieldset>
    }
    .into_any()
}
