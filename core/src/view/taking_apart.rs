//! What taking something apart to find out may cost and take, as the estimate's form proposes it.
//!
//! It is taken from the job and its procedure: what came off, or is expected to, names the
//! gaskets and seals that taking apart destroys; finished jobs by the same procedure name the
//! hours of work and the days from the first item off to the last one back on; the lines of the
//! estimate name what an hour and a part cost.
//!
//! Rule: the longest of what such jobs took is proposed and never a middle one, since a longest
//! time is what is promised (California's Harbors and Navigation Code section 413(b) asks for
//! it, and for a price with the gaskets in it). A proposal is told with where it comes from and
//! is only taken when somebody takes it.

use crate::agreement::estimate::{Cost, CostLine};
use crate::book::Book;
use crate::event::{Consumable, Details, ItemKind};
use crate::id::JobId;
use crate::moment::{Length, Moment};
use crate::money::Currency;
use crate::money::minor::Minor;
use crate::order;
use crate::procedure::variant::variant;

use super::item_name;

/// What is proposed for taking apart and putting together again.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ApartProposal {
    /// What it costs, as it is typed; nothing where no job or no rate is known.
    pub price: Option<String>,
    /// The longest time until it is together again, in days, as it is typed.
    pub days: Option<String>,
    /// Where both come from, and what is not in them.
    pub because: Vec<String>,
}

/// Returns what taking apart destroys on a job, as far as its off-list tells, and its procedure:
/// seals and gaskets, and what has to be new with an item.
pub fn destroyed_by_taking_apart(book: &Book, job: JobId) -> Vec<String> {
    let mut told: Vec<String> = Vec::new();
    let mut add = |name: &str, details: &Details| {
        let seal = (details.kind == Some(ItemKind::Seal)).then(|| name.to_owned());
        let new = details.renew.all().iter().filter(|it| is_destroyed(**it));
        for what in seal.into_iter().chain(new.map(|it| format!("{} of {name}", it.words()))) {
            if !told.contains(&what) {
                told.push(what);
            }
        }
    };
    for item in book.teardown.items_of(job) {
        add(item_name(&item.facts), &item.facts.details);
    }
    for start in book.procedures.starts_of(job) {
        let Some(version) = book.procedures.version(start.version) else { continue };
        for kept in variant(&version.reads, &start.engine).kept {
            kept.step.items.iter().for_each(|item| add(item.what.as_str(), &item.details));
        }
    }
    told
}

/// Tells whether it is of the things that disassembly normally destroys.
const fn is_destroyed(consumable: Consumable) -> bool {
    matches!(consumable, Consumable::Gasket | Consumable::Seal | Consumable::ORing | Consumable::CotterPin)
}

/// Returns what is proposed for a job whose estimate has these lines so far.
pub fn apart_proposal(book: &Book, job: JobId, lines: &[CostLine], currency: Currency, now: Moment) -> ApartProposal {
    let before = such_jobs(book, job);
    let mut proposal = ApartProposal::default();
    let Some(hours) = longest_work(book, &before, now) else {
        if book.procedures.starts_of(job).next().is_none() {
            proposal.because.push("Start the job by a procedure, to see what such jobs took.".to_owned());
        }
        return proposal;
    };
    let took =
        ["The longest of ", &counted(before.len()), " by this procedure took ", &hours.clock_face(), " h of work"];
    let rate = lines.iter().rev().find_map(rate_of);
    match rate {
        Some(rate) => {
            let gaskets = gaskets(book, job, lines);
            let parts: Minor = gaskets.iter().map(|line| line.amount).sum();
            proposal.price = Some(by_the_hour(rate, hours).plus(parts).figure(currency));
            let rate = rate.figure(currency);
            let and = match gaskets.len() {
                0 => ". The gaskets and seals are not in the price: add them.".to_owned(),
                count => format!(", with {count} of the lines for gaskets and seals."),
            };
            proposal.because.push([&took.concat(), "; at ", &rate, " an hour", &and].concat());
        }
        None => proposal.because.push(took.concat() + ". Add a line of labour with its hours, to reckon the price."),
    }
    if let Some(days) = before.iter().filter_map(|&job| days_apart(book, job)).max() {
        proposal.days = Some(days.to_string());
        let days = if days == 1 { "1 day".to_owned() } else { format!("{days} days") };
        proposal.because.push(["From the first item off to the last one back on it was at most ", &days, "."].concat());
    }
    proposal
}

fn counted(jobs: usize) -> String {
    if jobs == 1 { "1 job".to_owned() } else { format!("{jobs} jobs") }
}

/// Returns the finished jobs that were done by a procedure by which this one is done.
fn such_jobs(book: &Book, job: JobId) -> Vec<JobId> {
    let of = &book.procedures;
    let mine: Vec<_> = of.starts_of(job).filter_map(|start| of.procedure_of(start)).collect();
    let started = of.starts().filter(|start| of.procedure_of(start).is_some_and(|it| mine.contains(&it)));
    let made_from = mine.iter().filter_map(|id| of.procedure(*id).and_then(|kept| kept.from));
    let jobs = order::each_once(started.map(|start| start.job).chain(made_from).collect());
    let finished = |other: &JobId| *other != job && book.jobs.job(*other).is_some_and(|it| it.finished.is_some());
    jobs.into_iter().filter(finished).collect()
}

/// Returns the longest time on the clock that one of some jobs took.
fn longest_work(book: &Book, jobs: &[JobId], now: Moment) -> Option<Length> {
    if jobs.is_empty() {
        return None;
    }
    let spans = book.ledger.spans(now);
    let of = |job: &JobId| spans.iter().filter(|it| book.job_of(it.on) == Some(*job)).map(|it| it.length()).sum();
    jobs.iter().map(of).max().filter(|&length| length > Length::ZERO)
}

/// Returns on how many days, both ends counted, something of a job was off.
fn days_apart(book: &Book, job: JobId) -> Option<u64> {
    let first = book.teardown.items_of(job).map(|item| item.off).min()?;
    let returns = book.teardown.items_of(job).flat_map(|item| item.returns.iter()).filter(|back| !back.withdrawn);
    let last = returns.map(|back| back.at).max()?;
    const DAY_MS: u64 = 86_400_000;
    Some(last.since(first)?.ms() / DAY_MS + 1)
}

/// Returns what an hour costs on a line of labour.
fn rate_of(line: &CostLine) -> Option<Minor> {
    match line.cost {
        Cost::Labour { minutes } if minutes > 0 => Some(line.amount.share(60, u64::from(minutes))),
        _ => None,
    }
}

/// Returns the cost of a length at a rate an hour, rounded up.
fn by_the_hour(rate: Minor, length: Length) -> Minor {
    let minutes = length.ms().div_ceil(60_000);
    rate.share(minutes, 60)
}

/// Returns the lines of parts that are named as what taking apart destroys.
fn gaskets<'a>(book: &Book, job: JobId, lines: &'a [CostLine]) -> Vec<&'a CostLine> {
    let destroyed: Vec<String> = destroyed_by_taking_apart(book, job).iter().map(|it| it.to_lowercase()).collect();
    let is_one = |line: &&CostLine| {
        let words = line.words.as_str().to_lowercase();
        matches!(line.cost, Cost::Parts { .. }) && !words.is_empty() && destroyed.iter().any(|it| it.contains(&words))
    };
    lines.iter().filter(is_one).collect()
}
