//! A procedure drawn from a job: what came off, in order, and what was done.
//!
//! What came off becomes steps, one for each run of things off the same side; every
//! step of the checklist, group of fasteners and reading becomes a step, each where
//! it happened: a step when it was done, one that was not done at the end. Photos
//! go with what they show; where they were taken stays behind.
//!
//! A job that was done by a procedure gives that procedure with what the job has
//! shown beyond it: things that came off and were not expected, other counts and
//! sizes, what else was tightened or measured, steps that were added by hand. Nothing is taken out of it, because the
//! next engine may need what this one did not.

use super::Book;
use super::jobs::Job;
use super::procedures::Taken;
use super::steps::Step;
use super::teardown::Item;
use crate::event::{
    About, Details, ExpectedItem, ExpectedReading, Fasteners, Picture, Procedure, ProcedureStep, StepNumber,
};
use crate::moment::Moment;
use crate::order;
use crate::procedure::sound::MOST_ROWS;
use crate::text::Label;

/// Returns a procedure as a job was done; without steps where there is nothing to say.
pub fn drafted(book: &Book, job: &Job) -> Procedure {
    let mut steps: Vec<(Option<Moment>, ProcedureStep)> = Vec::new();
    for item in book.teardown.items_of(job.id) {
        let side = &item.facts.side;
        match steps.last_mut().filter(|(_, step)| step.side == *side && has_room(step)) {
            Some((_, step)) if !done_between(book, job, item, step) => add_item(book, step, item),
            _ => {
                let mut step = ProcedureStep { text: off_words(side), side: side.clone(), ..ProcedureStep::default() };
                add_item(book, &mut step, item);
                steps.push((Some(item.off), step));
            }
        }
    }
    steps.extend(book.steps.steps_of(job.id).map(|step| (step.done, from_checklist(book, step))));
    steps.extend(tightened(book, job));
    steps.extend(measured(book, job));
    // What has no moment was not done, and stands last.
    let steps = order::by_key(steps, |(at, _)| (at.is_none(), *at));
    let number = |(nth, (_, step))| ProcedureStep { number: StepNumber(nth), ..step };
    let steps = (1..).zip(steps).map(number).collect();
    Procedure { title: job.title.clone(), tags: job.tags.clone(), steps, ..Procedure::default() }
}

/// Returns a procedure with what a job has shown beyond it.
pub fn improved(book: &Book, job: &Job, procedure: &Procedure) -> Procedure {
    let mut better = procedure.clone();
    for item in book.teardown.items_of(job.id) {
        learn_item(book, &mut better, item);
    }
    let mut last: Option<StepNumber> = None;
    for step in book.steps.steps_of(job.id) {
        let of_it = |taken: &Taken| better.steps.iter().any(|it| it.number == taken.number);
        match step.taken.filter(of_it) {
            Some(taken) => {
                last = Some(taken.number);
                add_pictures(book, &mut better, taken.number, step);
            }
            None if says_so(&better, &step.text) => {}
            None => {
                let new = ProcedureStep { number: next_number(&better), ..from_checklist(book, step) };
                let place = last.and_then(|last| better.steps.iter().position(|it| it.number == last));
                last = Some(new.number);
                better.steps.insert(place.map_or(better.steps.len(), |place| place + 1), new);
            }
        }
    }
    for (_, step) in tightened(book, job).chain(measured(book, job)) {
        if !knows(&better, &step) {
            better.steps.push(ProcedureStep { number: next_number(&better), ..step });
        }
    }
    better
}

/// Returns what was tightened together, when it was entered; to what, the manual says.
fn tightened(book: &Book, job: &Job) -> impl Iterator<Item = (Option<Moment>, ProcedureStep)> {
    book.tightening.groups_of(job.id).map(|group| {
        let facts = &group.facts;
        let fasteners = vec![Fasteners { what: facts.what.clone(), layout: facts.pattern.layout() }];
        let (text, side) = (Label::new(&["Tighten ", facts.what.as_str()].concat()), facts.side.clone());
        (Some(group.at), ProcedureStep { text, side, fasteners, ..ProcedureStep::default() })
    })
}

/// Returns what was measured, each kind and thing once, when it was read first.
fn measured(book: &Book, job: &Job) -> impl Iterator<Item = (Option<Moment>, ProcedureStep)> {
    let mut seen: Vec<ExpectedReading> = Vec::new();
    let of_job = book.readings.readings().filter(|it| book.readings.job_of(it) == Some(job.id));
    let first: Vec<_> = of_job
        .filter_map(|reading| {
            let (kind, what) = (Some(reading.facts.kind), &reading.facts.what);
            let what = Label::new(what.or(reading.facts.kind.words()));
            let expected = ExpectedReading { what, kind };
            (!seen.contains(&expected)).then(|| seen.push(expected.clone()))?;
            let text = Label::new(&["Measure ", expected.what.as_str()].concat());
            Some((Some(reading.at), ProcedureStep { text, readings: vec![expected], ..ProcedureStep::default() }))
        })
        .collect();
    first.into_iter()
}

fn says_so(procedure: &Procedure, text: &Label) -> bool {
    procedure.steps.iter().any(|it| it.text == *text)
}

/// Tells whether a procedure tightens or measures what a step does.
fn knows(procedure: &Procedure, step: &ProcedureStep) -> bool {
    let tightens =
        |fasteners: &Fasteners| procedure.steps.iter().flat_map(|it| &it.fasteners).any(|it| it.what == fasteners.what);
    let measures = |reading: &ExpectedReading| {
        let mut readings = procedure.steps.iter().flat_map(|it| &it.readings);
        readings.any(|it| it.kind == reading.kind || it.what == reading.what)
    };
    step.fasteners.iter().all(tightens) && step.readings.iter().all(measures)
}

/// Corrects what was expected by what came off, or adds it to its side.
fn learn_item(book: &Book, better: &mut Procedure, item: &Item) {
    let facts = &item.facts;
    let same = |it: &ExpectedItem| it.what.as_str().eq_ignore_ascii_case(facts.what.as_str());
    let on_side = |step: &ProcedureStep| step.side == facts.side;
    // The side decides where the same name stands on several.
    let of_side = better.steps.iter().position(|step| on_side(step) && step.items.iter().any(same));
    let expected = of_side.or_else(|| better.steps.iter().position(|step| step.items.iter().any(same)));
    if let Some(step) = expected.and_then(|place| better.steps.get_mut(place)) {
        if let Some(expected) = step.items.iter_mut().find(|it| same(it)) {
            expected.count = facts.count;
            if !facts.size.is_empty() {
                expected.size = facts.size.clone();
            }
        }
        return;
    }
    let off = off_words(&facts.side);
    if !better.steps.iter().any(|step| step.text == off && has_room(step)) {
        let number = next_number(better);
        let side = facts.side.clone();
        better.steps.push(ProcedureStep { number, text: off.clone(), side, ..ProcedureStep::default() });
    }
    if let Some(step) = better.steps.iter_mut().find(|step| step.text == off && has_room(step)) {
        add_item(book, step, item);
    }
}

fn add_pictures(book: &Book, better: &mut Procedure, number: StepNumber, step: &Step) {
    if let Some(known) = better.steps.iter_mut().find(|it| it.number == number) {
        for picture in pictures(book, About::Step(step.id)) {
            if known.pictures.len() < MOST_ROWS && known.pictures.iter().all(|it| it.blob != picture.blob) {
                known.pictures.push(picture);
            }
        }
    }
}

/// Tells whether a step of the checklist was done between what a step says came off last and an item.
fn done_between(book: &Book, job: &Job, item: &Item, step: &ProcedureStep) -> bool {
    let before = step.items.len();
    let mut earlier = book.teardown.items_of(job.id).take_while(|it| it.id != item.id);
    let last = earlier.by_ref().last().filter(|_| before > 0).map(|it| it.off);
    book.steps.steps_of(job.id).filter_map(|it| it.done).any(|done| Some(done) >= last && done < item.off)
}

fn has_room(step: &ProcedureStep) -> bool {
    step.items.len() < MOST_ROWS && step.pictures.len() < MOST_ROWS
}

fn off_words(side: &Label) -> Label {
    if side.is_empty() { Label::new("Take off") } else { Label::new(&["Take off, ", side.as_str()].concat()) }
}

fn add_item(book: &Book, step: &mut ProcedureStep, item: &Item) {
    let facts = &item.facts;
    let (what, count, size) = (facts.what.clone(), facts.count, facts.size.clone());
    // How this one lay, and what it waited for, is this job's own.
    let details = Details { tied_back: false, awaits: Label::default(), ..facts.details.clone() };
    step.items.push(ExpectedItem { what, count, size, details });
    step.pictures.extend(pictures(book, About::Item(item.id)));
    step.pictures.truncate(MOST_ROWS);
}

/// Returns a step of a checklist as one of a procedure; one that came from a procedure keeps what that says.
fn from_checklist(book: &Book, step: &Step) -> ProcedureStep {
    let of_procedure = step.taken.and_then(|taken| {
        let version = book.procedures.version(book.procedures.start(taken.start)?.version)?;
        version.reads.steps.iter().find(|it| it.number == taken.number).cloned()
    });
    let mut drawn = of_procedure.unwrap_or_default();
    drawn.text = step.text.clone();
    drawn.pictures.extend(pictures(book, About::Step(step.id)));
    drawn.pictures.truncate(MOST_ROWS);
    drawn
}

fn pictures(book: &Book, about: About) -> impl Iterator<Item = Picture> {
    book.evidence.photos().filter(move |it| it.about == about).map(|photo| {
        let facts = &photo.facts;
        let (blob, bytes, caption) = (facts.blob, facts.bytes, facts.caption.clone());
        Picture { blob, bytes, width: facts.width, height: facts.height, caption }
    })
}

fn next_number(procedure: &Procedure) -> StepNumber {
    StepNumber(procedure.steps.iter().map(|it| it.number.0).max().unwrap_or(0).saturating_add(1))
}
