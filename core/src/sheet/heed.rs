//! What to heed with a job as it stands: what is missing before the engine runs, and cautions.
//!
//! Whoever has the paper does not have the phone, so paper warns as the phone does.
//!
//! Rule: missing is what somebody marked as needed and is not there, as the run gate says it;
//! of what nobody marked nothing is said. A caution comes up by the words of what remains:
//! of what is off, of steps that are open (and by what their procedure says of them), of
//! groups that are not tight; and by what something missing is needed for. An engine that is
//! known to burn diesel brings up no vapour of gasoline. A job with nothing left brings up none.

use crate::book::Book;
use crate::book::steps::Step;
use crate::event::Fuel;
use crate::id::JobId;
use crate::reassembly::caution::{Caution, brought_up_by};
use crate::reassembly::gate::{Gate, Need};
use crate::sheet::tightening::TorqueSheet;
use crate::view::item_name;

/// What to heed with a job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Heed {
    /// What is missing before the engine runs, in a sentence for the office: "Do not run: hose; oil".
    pub do_not_run: Option<String>,
    /// Items and steps that are missing.
    pub not_there: Vec<String>,
    /// What the fasteners hold that are needed and not tight.
    pub not_tight: Vec<String>,
    /// What may hurt whoever goes on, in the order in which cautions are told.
    pub cautions: Vec<Caution>,
}

impl Heed {
    /// Tells whether there is nothing to heed.
    pub fn is_empty(&self) -> bool {
        self.do_not_run.is_none() && self.cautions.is_empty()
    }
}

/// Returns what to heed with a job.
pub fn heed(book: &Book, job: JobId) -> Heed {
    let items = book.teardown.order(job).into_iter().flat_map(|order| order.sequence.items());
    let missing = Gate::of(items, &book.steps.needed_of(job)).missing;
    let loose = |group: TorqueSheet| (group.facts.needed.is_some() && !group.is_complete()).then_some(group.name);
    let not_tight: Vec<String> = book.tightening.groups_of(job).map(TorqueSheet::of).filter_map(loose).collect();
    let needed: Vec<Need> = missing.iter().map(|it| it.need).collect();
    let not_there: Vec<String> = missing.into_iter().map(|it| it.name).collect();
    Heed {
        do_not_run: do_not_run(&not_there, &not_tight),
        cautions: cautions(book, job, &needed),
        not_there,
        not_tight,
    }
}

/// Says what the run gate says, in a row that bears names with commas in them.
fn do_not_run(not_there: &[String], not_tight: &[String]) -> Option<String> {
    let tightening = not_tight.iter().map(|name| ["tightening of ", name].concat());
    let all: Vec<String> = not_there.iter().cloned().chain(tightening).collect();
    (!all.is_empty()).then(|| ["Do not run: ", &all.join("; ")].concat())
}

fn cautions(book: &Book, job: JobId, needed: &[Need]) -> Vec<Caution> {
    let off = book.teardown.still_off(job).flat_map(|item| brought_up_by(item_name(&item.facts)));
    let open = book.steps.steps_of(job).filter(|step| step.done.is_none());
    let open = open.flat_map(|step| [brought_up_by(step.text.as_str()), by_procedure(book, step)].concat());
    let loose = book.tightening.groups_of(job).filter(|group| !group.state().is_complete());
    let loose = loose.flat_map(|group| brought_up_by(group.facts.what.as_str()));
    let needed = needed.iter().filter_map(|&need| of_need(need));
    let found: Vec<Caution> = off.chain(open).chain(loose).chain(needed).collect();
    let profile = book.jobs.job(job).map(|job| book.profile_of(job)).unwrap_or_default();
    let is_diesel = profile.traits.fuel == Some(Fuel::Diesel);
    Caution::ALL.into_iter().filter(|it| found.contains(it) && !(is_diesel && *it == Caution::FuelVapour)).collect()
}

/// Returns what may hurt where something is missing that is needed for this.
const fn of_need(need: Need) -> Option<Caution> {
    match need {
        Need::CoolingWater => Some(Caution::NoCoolingWater),
        Need::Fuel => Some(Caution::FuelVapour),
        Need::Controls => Some(Caution::StopSwitch),
        Need::Oil | Need::Guards => None,
    }
}

/// Returns what a step's procedure warns of.
fn by_procedure(book: &Book, step: &Step) -> Vec<Caution> {
    let said = || {
        let taken = step.taken?;
        let version = book.procedures.version(book.procedures.start(taken.start)?.version)?;
        version.reads.steps.iter().find(|it| it.number == taken.number).map(|it| it.cautions.clone())
    };
    said().unwrap_or_default()
}
