//! Where something comes from, told: the bill's own lines, the time, what was said, photos.
//!
//! What is billed now is told where there is a price list, what went out where there was
//! an export; the clock's time stands beside both, so that a rounding is seen as one.

use super::answer::{Answer, Block, Cell};
use super::asked::{Asked, Why};
use super::asking::With;
use super::why::{Said, Trace, TracedSpan};
use super::{Of, names};
use crate::billing::account::jobs;
use crate::billing::bill::BillLine;
use crate::billing::outgoing::{Gone, Outgoing};
use crate::billing::shares::join;
use crate::moment::Moment;
use crate::view::hour_minute;

/// What a bill says of it now, and what went out of it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Billed {
    /// Its lines as they are billed now.
    pub(super) now: Vec<BillLine>,
    /// What went out.
    pub(super) gone: Vec<Gone>,
}

impl Billed {
    /// Returns what is billed of something and what went out of it.
    pub(super) fn of(of: &Of<'_>, why: &Why, with: With<'_>) -> Self {
        let Why::Billed { job, pay, item } = why else { return Self::default() };
        let bill = |prices| {
            let mut jobs = jobs(of.own, of.book, of.now);
            jobs.retain(|known| known.work.job == *job);
            with.shares.into_iter().for_each(|shares| join(&mut jobs, shares));
            jobs.pop()?.bills(prices).bills.into_iter().find(|bill| bill.pay == *pay)
        };
        let lines = with.prices.and_then(bill).map(|bill| bill.lines).unwrap_or_default();
        let is_of = |line: &Outgoing| line.pay == *pay && line.item == item.to_string();
        let gone = with.gone.and_then(|gone| gone.get(job)).into_iter().flatten();
        Self {
            now: lines.into_iter().filter(|line| line.item == *item).collect(),
            gone: gone.filter(|gone| is_of(&gone.line)).cloned().collect(),
        }
    }
}

/// Returns where something comes from.
pub(super) fn answer(why: &Why, trace: &Trace, billed: &Billed) -> Answer {
    let mut facts = Vec::new();
    if let Some(job) = &trace.job {
        facts.push(("Boat", Cell::words(job.name.or("no name")).to(Asked::Boat(job.boat))));
        facts.push(("Job", Cell::words(job.title.or("no title")).to(Asked::Job(job.job))));
        facts.push(("Owner", Cell::words(job.customer.to_string())));
    }
    facts.push(("Technician", Cell::words(names(&trace.technicians))));
    facts.push(("By the clock", Cell::figure(trace.clock().clock_face())));
    let mut blocks = vec![Block::facts(facts)];
    blocks.extend(bill_blocks(billed));
    if !trace.spans.is_empty() {
        let heads = ["Day", "From", "To", "Activity", "Clock", "For"];
        blocks.push(Block::head("Its time"));
        blocks.extend(Block::table(&heads, trace.spans.iter().map(span_row).collect(), ""));
    }
    let heads = ["Said", "What", "Device", "Number"];
    blocks.push(Block::head("What was said"));
    blocks.extend(Block::table(&heads, trace.said.iter().map(said_row).collect(), "Nothing: there is no time on it."));
    blocks.extend(photo_blocks(trace));
    let lead = match why {
        Why::Billed { .. } => {
            "What it is made of, down to what was said and when. A rounding is the bill's, not the clock's."
        }
        Why::Said(_) => "What was said, and what it counts for now.",
    };
    Answer { asked: Asked::Why(why.clone()), title: format!("Why: {}", trace.what), lead: lead.to_owned(), blocks }
}

fn bill_blocks(billed: &Billed) -> Vec<Block> {
    let mut blocks = Vec::new();
    if !billed.now.is_empty() {
        let row = |line: &BillLine| {
            let quantity = line.unit.counted(line.quantity);
            let amounts = [quantity, line.price.to_string(), line.discount.to_string(), line.net.to_string()];
            [Cell::words(line.words.clone()), Cell::words(line.rule.to_string())]
                .into_iter()
                .chain(amounts.map(Cell::figure))
                .collect()
        };
        blocks.push(Block::head("As it is billed now"));
        let heads = ["Line", "Rule", "How much", "Each", "Off", "Net"];
        blocks.extend(Block::table(&heads, billed.now.iter().map(row).collect(), ""));
    }
    if !billed.gone.is_empty() {
        let row = |gone: &Gone| {
            let line = &gone.line;
            let corrects = line.corrects.map(|number| format!("corrects {number}")).unwrap_or_default();
            let net = format!("{} {}", line.net, line.net.currency().code());
            let cells = [Cell::figure(gone.export), Cell::words(line.rule.to_string()), Cell::words(corrects)];
            cells.into_iter().chain([line.how_much(), line.each(), net].map(Cell::figure)).collect()
        };
        blocks.push(Block::head("What went out"));
        let heads = ["Export", "Rule", "A correction", "How much", "Each", "Net"];
        blocks.extend(Block::table(&heads, billed.gone.iter().map(row).collect(), ""));
    }
    blocks
}

fn span_row(traced: &TracedSpan) -> Vec<Cell> {
    let span = &traced.span;
    let begun = |at: Moment| Cell::figure(hour_minute(at));
    let to = span.ended_by.map_or_else(|| Cell::words("runs"), |by| begun(span.to).to(Asked::Why(Why::Said(by))));
    let activity = Cell::words(span.activity.words()).to(Asked::Why(Why::Said(span.said_by)));
    let on = Cell::words(traced.on.clone());
    vec![
        Cell::words(span.from.day().to_string()),
        begun(span.from).to(Asked::Why(Why::Said(span.begun_by))),
        to,
        activity,
        Cell::figure(span.length().clock_face()),
        match &traced.billed {
            Some(why) => on.to(Asked::Why(why.clone())),
            None => on,
        },
    ]
}

fn said_row(said: &Said) -> Vec<Cell> {
    vec![
        Cell::words(format!("{} {}", said.at.day(), hour_minute(said.at))),
        Cell::words(said.words.clone()).to(Asked::Why(Why::Said(said.event))),
        Cell::words(said.event.device.to_string()),
        Cell::figure(said.event.seq),
    ]
}

fn photo_blocks(trace: &Trace) -> Vec<Block> {
    let some = |within: bool, head: &str| {
        let photos: Vec<_> = trace.photos.iter().filter(|it| it.within == within).map(|it| it.photo.clone()).collect();
        if photos.is_empty() { Vec::new() } else { vec![Block::head(head), Block::Photos(photos)] }
    };
    [some(true, "Photos of that time"), some(false, "Other photos of the job")].concat()
}
