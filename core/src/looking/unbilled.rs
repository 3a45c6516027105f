//! Unbilled work by age: what bills would come to that did not go out.
//!
//! By the price list as it is now, without tax: for each job and whoever pays, what an
//! export would send, corrections of what went out included ([`due`]). Work of open jobs
//! stands apart: nothing of it goes out before the job is finished. A job with a question
//! cannot go out; its amount is what is known so far, and the question is told. A correction
//! stands with whom the line went out that it corrects, as it does in an export.
//!
//! Age counts from the day on which the job was finished, of open work from its first day
//! that did not go out, up to the last day on which anybody said anything. The buckets, up
//! to 7, 30 and 90 days and beyond, are common practice of ageing what is owed.

use std::collections::{BTreeMap, BTreeSet};

use super::answer::{Answer, Block, Cell};
use super::asked::{Asked, Why};
use super::asking::With;
use super::board::choices;
use super::only::Whose;
use super::{Of, names};
use crate::billing::JobWork;
use crate::billing::account::jobs;
use crate::billing::bill::Item;
use crate::billing::outgoing::{Gone, Outgoing, due};
use crate::billing::shares::join;
use crate::event::PayType;
use crate::id::JobId;
use crate::moment::Day;
use crate::money::{Currency, Money, MoneyError};
use crate::order;
use crate::text::Label;

/// What of a job did not go out to one who pays.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unsent {
    /// The job.
    pub job: JobId,
    /// What it is called.
    pub title: Label,
    /// The boat.
    pub name: Label,
    /// Who is billed.
    pub customer: Label,
    /// Who has it, and then who else worked on it.
    pub technicians: Vec<Label>,
    /// Who pays.
    pub pay: PayType,
    /// Whether the job is finished.
    pub finished: bool,
    /// The day from which its age is counted.
    pub since: Day,
    /// What it comes to without tax, so far as it is known.
    pub net: Money,
    /// Its lines.
    pub lines: Vec<Outgoing>,
    /// What keeps it from going out.
    pub questions: Vec<String>,
}

/// Returns what of a book's jobs did not go out; nothing where there is no price list.
///
/// # Errors
/// When a sum is too large.
pub fn unsent(of: &Of<'_>, with: With<'_>) -> Result<Vec<Unsent>, MoneyError> {
    let mut all = Vec::new();
    let Some(prices) = with.prices else { return Ok(all) };
    let mut jobs = jobs(of.own, of.book, of.now);
    with.shares.into_iter().for_each(|shares| join(&mut jobs, shares));
    for job in jobs {
        let (work, bills) = (&job.work, job.bills(prices));
        let lines: Vec<Outgoing> = bills.bills.iter().flat_map(|bill| Outgoing::of(work, bill)).collect();
        let gone: &[Gone] = with.gone.and_then(|gone| gone.get(&work.job)).map(Vec::as_slice).unwrap_or_default();
        let due = due(&lines, gone, &BTreeSet::from([work.job]))?;
        let shared = bills.questions.iter().map(ToString::to_string);
        let shared: Vec<String> = shared.collect();
        let of_pay = |pay: PayType| {
            let of_bill = bills.bills.iter().filter(|bill| bill.pay == pay).flat_map(|bill| &bill.questions);
            shared.iter().cloned().chain(of_bill.map(ToString::to_string)).collect::<Vec<String>>()
        };
        for kind in kinds(&due) {
            let lines: Vec<Outgoing> = due.iter().filter(|line| kind_of(line) == kind).cloned().collect();
            all.extend(one(work, of.who, kind, lines, of_pay(kind.0))?);
        }
    }
    Ok(all)
}

/// Who pays, in which currency, and who is billed.
type Kind<'a> = (PayType, Currency, &'a Label);

fn kind_of(line: &Outgoing) -> Kind<'_> {
    (line.pay, line.net.currency(), &line.customer)
}

fn kinds(due: &[Outgoing]) -> Vec<Kind<'_>> {
    let mut kinds: Vec<Kind<'_>> = Vec::new();
    for line in due {
        let kind = kind_of(line);
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    kinds
}

fn one(
    work: &JobWork,
    who: &Label,
    (pay, currency, customer): Kind<'_>,
    lines: Vec<Outgoing>,
    questions: Vec<String>,
) -> Result<Option<Unsent>, MoneyError> {
    let first = lines.iter().map(|line| line.first).min();
    let Some(since) = work.finished.or(first) else { return Ok(None) };
    Ok(Some(Unsent {
        job: work.job,
        title: work.title.clone(),
        name: work.boat.clone(),
        customer: customer.clone(),
        technicians: [who].into_iter().chain(work.everybody().into_iter().skip(1)).cloned().collect(),
        pay,
        finished: work.finished.is_some(),
        since,
        net: Money::sum(lines.iter().map(|line| line.net), currency)?,
        lines,
        questions,
    }))
}

/// How old work is.
const BUCKETS: [&str; 4] = ["0 to 7 days", "8 to 30", "31 to 90", "Over 90"];

/// Returns in which bucket a number of days is.
fn bucket(days: u64) -> usize {
    match days {
        0..=7 => 0,
        8..=30 => 1,
        31..=90 => 2,
        _ => 3,
    }
}

/// What one customer's work comes to: finished by age, and open.
type Row = ([Money; 4], Money);

/// Returns what did not go out, by customer and age, and each job of it.
///
/// # Errors
/// When a sum is too large.
pub fn answer(whose: &Whose, mut unsent: Vec<Unsent>, today: Option<Day>) -> Result<Answer, MoneyError> {
    let known = unsent.iter().flat_map(|it| it.technicians.iter().map(|technician| (technician, &it.customer)));
    let mut blocks = choices(whose, known, Asked::Unbilled);
    unsent.retain(|it| whose.takes_any(&it.technicians, &it.customer));
    let days = |it: &Unsent| today.and_then(|today| today.days_after(it.since)).unwrap_or_default();
    for pay in PayType::ALL {
        blocks.extend(by_customer(whose, pay, unsent.iter().filter(|it| it.pay == pay), &days)?);
    }
    let asked = unsent.iter().filter(|it| !it.questions.is_empty()).count();
    let unsent = order::by_key(unsent, |it| (!it.finished, it.since, it.job));
    let in_full = *whose != Whose::default();
    blocks.push(Block::head("Job by job"));
    let heads = ["Days", "State", "Boat", "Job", "Owner", "Technician", "Paid by", "Net", "To be answered first"];
    blocks.extend(Block::table(
        &heads,
        unsent.iter().map(|it| job_row(it, days(it))).collect(),
        "Everything went out.",
    ));
    if in_full && !unsent.is_empty() {
        blocks.push(Block::head("Line by line"));
        let heads = ["Job", "Line", "How much", "Each", "Net", "Corrects export"];
        let rows = unsent.iter().flat_map(|it| it.lines.iter().map(line_row)).collect();
        blocks.extend(Block::table(&heads, rows, ""));
    }
    let lead = format!(
        "By the price list as it is now, without tax; {asked} cannot go out before a question is answered. Age is \
         from the day on which a job was finished, of open work from its first day; the buckets are common practice."
    );
    Ok(Answer { asked: Asked::Unbilled(whose.clone()), title: "Unbilled work by age".to_owned(), lead, blocks })
}

fn by_customer<'a>(
    whose: &Whose,
    pay: PayType,
    unsent: impl Iterator<Item = &'a Unsent>,
    days: &dyn Fn(&Unsent) -> u64,
) -> Result<Vec<Block>, MoneyError> {
    let mut sums: BTreeMap<(&Label, Currency), Row> = BTreeMap::new();
    let mut all: BTreeMap<Currency, Row> = BTreeMap::new();
    for it in unsent {
        let currency = it.net.currency();
        for row in [
            sums.entry((&it.customer, currency)).or_insert_with(|| none(currency)),
            all.entry(currency).or_insert_with(|| none(currency)),
        ] {
            let place = if it.finished { &mut row.0[bucket(days(it))] } else { &mut row.1 };
            *place = place.plus(it.net)?;
        }
    }
    if sums.is_empty() {
        return Ok(Vec::new());
    }
    let customers = sums.iter().map(|((name, currency), row)| {
        let asked = Asked::Unbilled(whose.of_customer(Some((*name).clone())));
        cells(Cell::words(name.or("not written")).to(asked), *currency, row)
    });
    let mut rows = customers.collect::<Result<Vec<_>, _>>()?;
    for (currency, row) in &all {
        rows.push(cells(Cell::words("all"), *currency, row)?);
    }
    let [first, second, third, fourth] = BUCKETS;
    let heads = ["Owner", first, second, third, fourth, "Finished in all", "Open work", "Currency"];
    let mut blocks = vec![Block::head(capital(pay.words()))];
    blocks.extend(Block::table(&heads, rows, ""));
    Ok(blocks)
}

fn none(currency: Currency) -> Row {
    ([Money::zero(currency); 4], Money::zero(currency))
}

fn cells(name: Cell, currency: Currency, (finished, open): &Row) -> Result<Vec<Cell>, MoneyError> {
    let in_all = Money::sum(finished.iter().copied(), currency)?;
    let figures = finished.iter().chain([&in_all, open]).map(Cell::figure);
    Ok([name].into_iter().chain(figures).chain([Cell::words(currency.code())]).collect())
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

fn job_row(it: &Unsent, days: u64) -> Vec<Cell> {
    let state = if it.finished { "finished" } else { "open since" };
    vec![
        Cell::figure(days),
        Cell::words(format!("{state} {}", it.since)),
        Cell::words(it.name.or("no name")),
        Cell::words(it.title.or("no title")).to(Asked::Job(it.job)),
        Cell::words(it.customer.or("not written")),
        Cell::words(names(&it.technicians)),
        Cell::words(it.pay.words()),
        Cell::figure(format!("{} {}", it.net, it.net.currency().code())),
        Cell::lines(&it.questions),
    ]
}

fn line_row(line: &Outgoing) -> Vec<Cell> {
    let words = Cell::words(line.words.to_string());
    let why = Item::parse(&line.item).map(|item| Asked::Why(Why::Billed { job: line.job, pay: line.pay, item }));
    vec![
        Cell::words(format!("{}: {}", line.boat.or("no name"), line.title)),
        match why {
            Some(why) => words.to(why),
            None => words,
        },
        Cell::figure(line.how_much()),
        Cell::figure(line.each()),
        Cell::figure(format!("{} {}", line.net, line.net.currency().code())),
        Cell::words(line.corrects.map(|number| number.to_string()).unwrap_or_default()),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn buckets_end_where_they_say() {
        let buckets: Vec<usize> = [0, 7, 8, 30, 31, 90, 91, 4_000].into_iter().map(bucket).collect();
        assert_eq!(buckets, [0, 0, 1, 1, 2, 2, 3, 3]);
    }
}
