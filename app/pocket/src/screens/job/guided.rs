//! A job done by a procedure: its steps with what each takes, what does not apply
//! and why, and what the job teaches for the next time.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::{About, Procedure};
use quaywright_core::id::{JobId, ProcedureId, StepId, VersionId};
use quaywright_core::text::Label;
use quaywright_core::view::{
    self, ExpectedRow, GuidedStep, JobCard, LeftOutRow, MeasureRow, SideRun, StartCard, StepRow,
};

use crate::components::{Field, PhotoButton, Picture, button, named_button, voice_button, voice_player};
use crate::desk::{Desk, use_desk};
use crate::look::{Look, shown};
use crate::platform::page;
use crate::route::Route;
use crate::screens::procedure::lines;
use crate::screens::procedures::{is_kept, ready_made};

/// The procedures that were started on the job.
#[component]
pub fn Guided(card: Look<JobCard>) -> impl IntoView {
    let desk = use_desk();
    let job = card.with_untracked(|card| card.id);
    let starts = desk.look(move |book, now| view::started(book, job, now));
    // The step that comes next shows all that it takes; the others show it on a tap.
    let next = Look::at(move || {
        let open =
            card.with(|card| card.steps.iter().filter(|it| it.done.is_none()).map(|it| it.id).collect::<Vec<_>>());
        starts.with(|starts| {
            let steps = starts.iter().flat_map(|it| &it.runs).flat_map(|it| &it.steps);
            steps.map(|it| it.id).find(|id| open.contains(id))
        })
    });
    shown(move || starts.get().into_iter().map(|start| started(card, next, start)).collect_view())
}

fn started(card: Look<JobCard>, next: Look<Option<StepId>>, start: StartCard) -> AnyView {
    let desk = use_desk();
    let job = card.with_untracked(|card| card.id);
    let forgotten = start.forgotten.into_iter().map(|it| view! { <p class="stop">{capital(&it)}</p> }).collect_view();
    let run = |run: SideRun| {
        let side = (!run.side.is_empty()).then(|| view! { <h3>{capital(&run.side)}</h3> });
        let steps = run.steps.into_iter().map(|step| guided(card, next, step)).collect_view();
        view! { {side}<ul class="list">{steps}</ul> }
    };
    let id = start.id;
    let title = start.title.clone();
    let away = move || desk.tell(Command::Withdraw { event: id.0 }, format!("{title} is off this job"));
    view! {
        <h2>{start.title}</h2>
        <p>{start.about}</p>
        <p class="small">{start.took}</p>
        {forgotten}
        {left_out(start.left_out)}
        {start.runs.into_iter().map(run).collect_view()}
        <Lapse job />
        <p>
            <a class="button quiet" href=Route::Procedure(start.procedure).link()>"See the procedure"</a>
            {button("quiet", "Take its steps off this job", away)}
        </p>
    }
    .into_any()
}

fn left_out(rows: Vec<LeftOutRow>) -> Option<AnyView> {
    let count = rows.len();
    let words = if count == 1 { "1 step is left out".to_owned() } else { format!("{count} steps are left out") };
    let row = |row: LeftOutRow| view! { <li><p>{row.text}</p><p class="small">{capital(&row.why)}</p></li> };
    (count > 0).then(|| {
        view! {
            <details class="group">
                <summary class="choice">{words}</summary>
                <ul class="list">{rows.into_iter().map(row).collect_view()}</ul>
            </details>
        }
        .into_any()
    })
}

/// A step: the box to tick stays while the rest of the job changes.
fn guided(card: Look<JobCard>, next: Look<Option<StepId>>, step: GuidedStep) -> AnyView {
    let desk = use_desk();
    let (id, job) = (step.id, card.with_untracked(|card| card.id));
    let row = Look::at(move || card.with(|card| card.steps.iter().find(|it| it.id == id).cloned()));
    let of = move |read: fn(&StepRow) -> String| move || row.with(|row| row.as_ref().map(read).unwrap_or_default());
    let done = move || row.with(|row| row.as_ref().is_some_and(|row| row.done.is_some()));
    let text = row.with_untracked(|row| row.as_ref().map(|row| row.text.clone()).unwrap_or_default());
    let deed = text.clone();
    let tick = move |_| {
        let was = row.with_untracked(|row| row.as_ref().is_some_and(|row| row.done.is_some()));
        let words = if was { format!("Not done after all: {deed}") } else { format!("Done: {deed}") };
        desk.tell(Command::TickStep { step: id, done: !was }, words);
    };
    let told = |class: &'static str, words: &[String]| {
        words.iter().map(|it| view! { <p class=class>{capital(it)}</p> }).collect_view()
    };
    let items = step.guide.items.iter().cloned().map(|it| expected(desk, job, it)).collect_view();
    let measures = step.guide.readings.iter().zip(0..).map(|(it, nth)| measure(id, nth, it)).collect_view();
    let forget = move || {
        desk.tell(Command::Forget { job, step: Some(id), what: Label::default() }, "The next job is told of it");
    };
    let full = format!("I forgot this: {text}");
    let photos = shown(move || {
        let photos = row.with(|row| row.as_ref().map(|row| row.photos.clone()).unwrap_or_default());
        photos.into_iter().map(|photo| view! { <Picture photo /> }).collect_view()
    });
    let voices = shown(move || {
        let voices = row.with(|row| row.as_ref().map(|row| row.voices.clone()).unwrap_or_default());
        voices.into_iter().map(voice_player).collect_view()
    });
    view! {
        <li>
            <div class="step">
                <label>
                    <input type="checkbox" prop:checked=done on:change=tick />
                    <span>
                        {text.clone()}
                        <span class="small">{of(|row| row.done.as_ref().map(|when| format!("done {when}")).unwrap_or_default())}</span>
                    </span>
                </label>
            </div>
            <div class="row">
                <PhotoButton about=About::Step(id) full_name=format!("Photo of {text}") />
                {voice_button(About::Step(id), format!("Voice note on {text}"))}
            </div>
            {told("stop", &step.guide.forgotten)}
            {told("small", &step.guide.unsure)}
            <details open=move || next.get() == Some(id)>
                <summary class="choice">"What it takes"</summary>
                {lines(&step.guide, true)}
                <ul class="list">{items}{measures}</ul>
                {named_button("quiet", "I forgot this", full, forget)}
            </details>
            {voices}
            <div class="photos">{photos}</div>
        </li>
    }
    .into_any()
}

/// Something that should come off: one tap enters it.
fn expected(desk: Desk, job: JobId, row: ExpectedRow) -> AnyView {
    let full = format!("It came off: {}", row.words);
    let facts = row.facts;
    let words = format!("{} × {} off", facts.count, facts.what);
    let enter = move || desk.tell(Command::TakeOff { job, item: facts.clone() }, words.clone());
    let state = if row.entered {
        view! { <span class="small">"on the off-list"</span> }.into_any()
    } else {
        named_button("", "It came off", full, enter)
    };
    let forgotten = row.forgotten.iter().map(|it| view! { <p class="stop">{capital(it)}</p> }).collect_view();
    view! { <li class="row"><div class="grow"><p>{row.words}</p>{forgotten}</div>{state}</li> }.into_any()
}

/// Something that is measured: one tap opens its form, filled in as far as the step knows.
fn measure(step: StepId, nth: u8, row: &MeasureRow) -> AnyView {
    let full = format!("Measure: {}", row.what);
    let taken = row.taken.map(|verdict| view! { <span class="small">" taken: "{verdict}</span> });
    view! {
        <li class="row">
            <p class="grow">{row.what.clone()}{taken}</p>
            <a class="button" href=Route::StepReading(step, nth).link() aria-label=full>"Measure"</a>
        </li>
    }
    .into_any()
}

/// Something that was forgotten beyond the steps.
#[component]
fn Lapse(job: JobId) -> impl IntoView {
    let desk = use_desk();
    let what = RwSignal::new(String::new());
    let draft = StoredValue::new(format!("lapse/{job}"));
    let keep = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        spawn_local(async move {
            let said = Command::Forget { job, step: None, what: Label::new(&what.get_untracked()) };
            if desk.ask(said, "The next job is told of it").await.is_some() {
                desk.drop_draft(&draft.get_value());
                what.set(String::new());
            }
        });
    };
    view! {
        <details>
            <summary class="choice">"Something was forgotten"</summary>
            <form on:submit=keep>
                <Field name="What, for whoever does this the next time" value=what draft=draft.get_value() />
                <button type="submit">"Keep it"</button>
            </form>
        </details>
    }
}

/// What a job can be done by.
#[derive(Clone, PartialEq)]
pub enum Choice {
    /// A procedure of the book.
    Known(VersionId),
    /// One that is taken into the book with it.
    ReadyMade(Box<Procedure>),
}

impl Choice {
    /// Returns what tells it from the others in a draft.
    fn written(&self) -> String {
        match self {
            Self::Known(version) => version.to_string(),
            Self::ReadyMade(one) => ["ready-made/", one.key.as_str()].concat(),
        }
    }
}

/// A choice among the procedures of the book and the ready-made ones.
#[component]
pub fn ProcedureChoice(
    chosen: RwSignal<Option<Choice>>,
    /// Under which name what is chosen is kept until the form is sent.
    #[prop(optional)]
    draft: Option<&'static str>,
) -> impl IntoView {
    let desk = use_desk();
    let rows = desk.look(|book, _| view::procedures(book));
    let found = ready_made(desk);
    let choices = Look::at(move || {
        let rows = rows.get();
        let more = found.get().and_then(Result::ok).unwrap_or_default().into_iter();
        let more: Vec<Procedure> = more.filter(|it| !is_kept(&rows, it)).collect();
        let known = rows.into_iter().map(|row| (row.title, Choice::Known(row.version)));
        known
            .chain(more.into_iter().map(|it| (it.title.to_string(), Choice::ReadyMade(Box::new(it)))))
            .collect::<Vec<_>>()
    });
    let choose = move |event| {
        let nth = event_target_value(&event).parse::<usize>().ok();
        let choice = choices.with_untracked(|all| all.get(nth?).map(|(_, choice)| choice.clone()));
        if let Some(draft) = draft {
            desk.keep_draft(draft, choice.as_ref().map(Choice::written).unwrap_or_default());
        }
        chosen.set(choice);
    };
    // What was chosen before the page died is chosen again as soon as it is among the choices.
    let before = draft.and_then(|draft| desk.draft(draft)).filter(|written| !written.is_empty());
    Effect::new(move || {
        let known = choices.with(|all| {
            let before = before.as_ref()?;
            all.iter().map(|(_, choice)| choice).find(|choice| choice.written() == *before).cloned()
        });
        if known.is_some() && chosen.with_untracked(Option::is_none) {
            chosen.set(known);
        }
    });
    let option = move |(nth, (words, choice)): (usize, (String, Choice))| {
        let words = if matches!(choice, Choice::Known(_)) { words } else { words + " (ready-made)" };
        view! { <option value=nth.to_string() selected=move || chosen.with(|it| it.as_ref() == Some(&choice))>{words}</option> }
    };
    view! {
        <label>
            <span class="name">"With a procedure"</span>
            <select on:change=choose>
                <option value="">"Without one"</option>
                {shown(move || choices.get().into_iter().enumerate().map(option).collect_view())}
            </select>
        </label>
    }
}

/// Starts what was chosen on a job; a ready-made one comes into the book first.
pub async fn start(desk: Desk, job: JobId, choice: Choice) -> bool {
    let version = match choice {
        Choice::Known(version) => Some(version),
        Choice::ReadyMade(one) => desk.keep_procedure(*one).await,
    };
    let Some(version) = version else { return false };
    desk.ask(Command::StartProcedure { job, version }, "Its steps are on the checklist").await.is_some()
}

/// Puts the steps of a procedure on the checklist.
#[component]
pub fn ByProcedure(job: JobId) -> impl IntoView {
    let desk = use_desk();
    let chosen: RwSignal<Option<Choice>> = RwSignal::new(None);
    let take = move || match chosen.get_untracked() {
        Some(choice) => spawn_local(async move {
            if start(desk, job, choice).await {
                chosen.set(None);
            }
        }),
        None => desk.complain("Choose a procedure first."),
    };
    view! {
        <details class="group">
            <summary class="choice">"Do it by a procedure"</summary>
            <div class="stack">
                <ProcedureChoice chosen />
                {button("", "Take its steps", take)}
            </div>
        </details>
    }
}

/// What was done becomes a procedure, or makes one better.
#[component]
pub fn ForTheNextTime(card: Look<JobCard>) -> impl IntoView {
    let desk = use_desk();
    let job = card.with_untracked(|card| card.id);
    let worth = desk.look(move |book, _| view::can_be_learned_from(book, job));
    let known = desk.look(move |book, now| {
        let starts = view::started(book, job, now).into_iter();
        starts.map(|it| (it.procedure, it.title)).collect::<Vec<(ProcedureId, String)>>()
    });
    let keep = move || {
        spawn_local(async move {
            if let Some(event) = desk.ask(Command::KeepAsProcedure { job }, "Kept as a procedure").await {
                page::go(&Route::Procedure(ProcedureId(event)).fragment());
            }
        });
    };
    let learn = move |(procedure, title): (ProcedureId, String)| {
        let words = format!("{title} knows it now");
        let learn = move || desk.tell(Command::LearnFrom { job, procedure }, words.clone());
        button("", format!("Add what this job showed to {title}"), learn)
    };
    shown(move || {
        worth.get().then(|| {
            view! {
                <h2>"For the next time"</h2>
                <p>"What came off, in order, with sizes and photos, and the steps as they were done."</p>
                <div class="row group">
                    {known.get().into_iter().map(learn).collect_view()}
                    {button("", "Keep this job as a procedure", keep)}
                </div>
            }
        })
    })
}

/// Begins words as a sentence does.
pub(super) fn capital(words: &str) -> String {
    let mut words = words.to_owned();
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    words
}
