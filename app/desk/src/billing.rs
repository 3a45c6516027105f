//! Bills of all that is in a store, and what of them goes out.
//!
//! Jobs are billed when they are finished; an open one only when that is asked
//! for. A job with a question is named and left out, and so is whatever went out
//! of it before. An export is kept in the store before its file is written, in
//! one transaction with the marks on its lines: killed in between, the next run
//! writes that same file first, so no line is lost and none goes out twice.

use std::collections::{BTreeMap, BTreeSet};

use quaywright_core::billing::account::Account;
use quaywright_core::billing::bill::{Bill, JobBills};
use quaywright_core::billing::outgoing::{Gone, Outgoing, due};
use quaywright_core::billing::rule::Holds;
use quaywright_core::billing::{JobWork, PriceList};
use quaywright_core::exchange::billed::{Columns, table};
use quaywright_core::exchange::outgoing;
use quaywright_core::money::{Money, MoneyError};
use quaywright_core::quantity::counted;
use quaywright_core::text::Label;

use crate::accounts::{account_of, shares};
use crate::crew::Crew;
use crate::people::{RulesSaid, TechnicianBook, each_book, people_of};
use crate::store::{Export, Sent, Store, StoreError};
use crate::told::Told;

/// Why there is no export.
#[derive(Debug, thiserror::Error)]
pub enum NoExport {
    /// The store does not do it.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// What went out cannot be read.
    #[error(transparent)]
    Line(#[from] outgoing::NotALine),
    /// The figures do not go.
    #[error(transparent)]
    Money(#[from] MoneyError),
    /// Amounts would stand in one column that nobody could add up.
    #[error("this export takes back what went out in another currency: add the field currency to the columns")]
    Currencies,
    /// Other programs export all the time.
    #[error("another program exports from this store: wait for it, then try again")]
    Busy,
}

/// A job and its bills.
pub struct Billed {
    /// What was done.
    pub work: JobWork,
    /// What it comes to.
    pub bills: JobBills,
}

/// All jobs that are to be billed.
#[derive(Default)]
pub struct AllBilled {
    /// The jobs, by technician and in the order in which they were opened.
    pub jobs: Vec<Billed>,
    /// How many are open and were left out.
    pub open: usize,
    /// How many went out as they are and were left out.
    pub settled: usize,
    /// Whose boats there are among all jobs.
    pub customers: BTreeSet<Label>,
    /// Who did them.
    pub technicians: BTreeSet<Label>,
    /// What went out of the jobs up to an export; see `looked_up_to`.
    pub gone: Vec<Gone>,
    /// The last export that was looked at; none where what went out was not.
    pub looked_up_to: Option<u32>,
    /// Which rules of the shop the phones have.
    pub rules: RulesSaid,
    /// What is wrong with the logs, in sentences.
    pub faults: Vec<String>,
}

/// Returns the bills of all jobs in a store; of open ones only when `open` says so.
///
/// # Errors
/// When the store does not tell the lines.
pub fn billed(
    store: &mut dyn Store,
    crew: &impl Crew,
    prices: &PriceList,
    open: bool,
) -> Result<AllBilled, StoreError> {
    let (shares, people) = (shares(store, true)?, people_of(store)?);
    let bills = |who: &str, of: TechnicianBook| {
        let (mut all, account) = (AllBilled::default(), account_of(of, &shares));
        all.hear(who, &account);
        for job in account.rest {
            if job.work.finished.is_none() && !open {
                all.open += 1;
            } else {
                let bills = job.bills(prices);
                all.jobs.push(Billed { work: job.work, bills });
            }
        }
        all
    };
    let mut all = AllBilled::default();
    each_book(store, crew, people, &bills, &mut |_, more| {
        all.join(more);
        Ok::<_, StoreError>(())
    })?;
    Ok(all)
}

impl AllBilled {
    /// Takes in what there is of another technician.
    pub(crate) fn join(&mut self, more: Self) {
        let Self { jobs, open, settled, customers, technicians, gone, looked_up_to: _, rules, faults } = more;
        self.jobs.extend(jobs);
        self.open += open;
        self.settled += settled;
        self.customers.extend(customers);
        self.technicians.extend(technicians);
        self.gone.extend(gone);
        self.rules.join(rules);
        self.faults.extend(faults);
    }

    /// Hears what there is to know of a technician beside the jobs.
    pub(crate) fn hear(&mut self, who: &str, account: &Account) {
        self.faults.extend(account.faults.iter().map(|fault| format!("{who}: {fault}")));
        self.rules.hear(who, account.rules);
        self.customers.extend(account.customers.iter().cloned());
        self.technicians.extend(account.technicians.iter().cloned());
    }

    /// Says what is open, what is wrong and what has to be known of them.
    pub fn tell(&self, prices: &PriceList, told: &mut Told) {
        let differ = prices.rounding.is_none().then(|| self.rules.differ()).flatten();
        self.strangers(prices)
            .into_iter()
            .chain(differ)
            .chain(self.of_others())
            .for_each(|it| told.say(format_args!("note: {it}")));
        let questions = self.jobs.iter().flat_map(Billed::questions);
        self.faults.iter().cloned().chain(questions).for_each(|it| told.blame(it));
        if self.open > 0 {
            let are = if self.open == 1 { "is" } else { "are" };
            told.say(format_args!("{} {are} left out", counted(self.open, "open job")));
        }
    }

    /// Returns the bills of all jobs as text.
    ///
    /// # Errors
    /// When an amount is larger than can be written.
    pub fn text(&self, prices: &PriceList) -> Result<String, MoneyError> {
        let text = |job: &Billed| Ok([job.text(prices)?, self.left_of(job)?, "\n".to_owned()].concat());
        self.jobs.iter().filter(|job| !job.bills.bills.is_empty()).map(text).collect()
    }

    /// Returns what is left to go out of a job of which something went out before, in words: its
    /// bill says what it comes to in all.
    fn left_of(&self, job: &Billed) -> Result<String, MoneyError> {
        let gone: Vec<Gone> = self.gone.iter().filter(|gone| gone.line.job == job.work.job).cloned().collect();
        if gone.is_empty() || !job.bills.are_ready() {
            return Ok(String::new());
        }
        let lines: Vec<Outgoing> = job.bills.bills.iter().flat_map(|bill| Outgoing::of(&job.work, bill)).collect();
        let mut sums: BTreeMap<&str, Money> = BTreeMap::new();
        let due = due(&lines, &gone, &BTreeSet::from([job.work.job]))?;
        for net in due.iter().map(|line| line.net) {
            let code = net.currency().code();
            let sum = sums.get(code).map_or(Ok(net), |sum| sum.plus(net))?;
            sums.insert(code, sum);
        }
        let sums: Vec<String> = sums.iter().map(|(code, sum)| format!("{code} {sum}")).collect();
        Ok(format!("  went out before; left without tax: {}\n", sums.join(", ")))
    }

    /// Says the bills of all jobs, and how many are left out because nothing more is to be billed of them.
    ///
    /// # Errors
    /// When an amount is larger than can be written.
    pub fn tell_bills(&self, prices: &PriceList, told: &mut Told) -> Result<(), MoneyError> {
        told.said.push_str(&self.text(prices)?);
        if self.settled > 0 {
            let (have, are) = if self.settled == 1 { ("has", "is") } else { ("have", "are") };
            let jobs = counted(self.settled, "job");
            told.say(format_args!("{jobs} {have} nothing more to bill and {are} left out"));
        }
        Ok(())
    }

    /// Returns a sentence for each job of which something went out to another customer than is billed
    /// now: the boat was sold, or the owner is written otherwise, or was wrong.
    pub fn of_others(&self) -> Vec<String> {
        let sentence = |job: &Billed| {
            let of_job = self.gone.iter().filter(|gone| gone.line.job == job.work.job);
            let others: BTreeSet<(&str, u32)> = of_job
                .filter(|gone| gone.line.customer != job.work.customer)
                .map(|gone| (gone.line.customer.or("no owner"), gone.export))
                .collect();
            let went: Vec<String> = others.iter().map(|(who, export)| format!("{who:?} in export {export}")).collect();
            let words = "what corrects it goes there too: if that is somebody else, put it right in accounting";
            (!went.is_empty()).then(|| format!("{}: went out to {}; {words}", job.words(), went.join(", ")))
        };
        self.jobs.iter().filter_map(sentence).collect()
    }

    /// Returns a sentence for each rule that names somebody on none of the jobs: a
    /// customer or a technician who is written otherwise now, perhaps.
    pub fn strangers(&self, prices: &PriceList) -> Vec<String> {
        let stranger = |(rule, holds): (&Label, &Holds)| {
            let named = holds.customer.iter().filter(|name| !self.customers.contains(name));
            let named = named.chain(holds.technician.iter().filter(|name| !self.technicians.contains(name)));
            let says =
                |name: &Label| format!("{:?} names {:?}, who is on none of these jobs", rule.as_str(), name.as_str());
            named.map(says).collect::<Vec<_>>()
        };
        prices.rules().into_iter().flat_map(stranger).collect()
    }
}

impl Billed {
    /// Returns job and boat in words.
    pub fn words(&self) -> String {
        let JobWork { title, boat, customer, .. } = &self.work;
        let technicians: Vec<&str> = self.work.everybody().into_iter().map(Label::as_str).collect();
        let technicians = technicians.join(", ");
        format!("{}: {} ({}), {technicians}", boat.or("no boat"), title.or("no title"), customer.or("no owner"))
    }

    /// Returns what is open, in sentences.
    pub fn questions(&self) -> Vec<String> {
        let of_bills = self.bills.bills.iter().flat_map(|bill| &bill.questions);
        self.bills.questions.iter().chain(of_bills).map(|it| format!("{}: {it}", self.words())).collect()
    }

    /// Returns its bills as text.
    pub fn text(&self, prices: &PriceList) -> Result<String, MoneyError> {
        let mut text = format!("{}\n", self.words());
        for bill in &self.bills.bills {
            put_bill(&mut text, bill, prices)?;
        }
        Ok(text)
    }
}

fn put_bill(text: &mut String, bill: &Bill, prices: &PriceList) -> Result<(), MoneyError> {
    let totals = bill.totals(prices)?;
    text.push_str(&format!("  {}\n", bill.pay.words()));
    for line in &bill.lines {
        let (words, quantity, price) = (&line.words, line.unit.counted(line.quantity), line.price);
        let discount = if line.discount.is_zero() { String::new() } else { format!(" less {}", line.discount) };
        text.push_str(&format!("    {words}: {quantity} at {price}{discount} = {}\n", line.net));
    }
    let mut sum = |words: &str, amount: Money| text.push_str(&format!("    {words} {amount}\n"));
    sum("without tax", totals.without_tax);
    for of in &totals.taxes {
        sum(&format!("tax {} {} % on {}:", of.tax.code(), of.tax.rate(), of.taxable), of.amount);
    }
    sum(&format!("due {}", prices.currency.code()), totals.due);
    Ok(())
}

/// What became of an export.
pub enum Exported {
    /// There is nothing to go out.
    Nothing,
    /// An earlier one whose file is not known to be written: it comes first.
    Earlier(Export),
    /// A new one, with so many lines.
    New(Export, Lines),
}

/// How many lines an export holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lines {
    all: usize,
    /// How many of them are differences to what went out before.
    corrections: usize,
}

impl Exported {
    /// Says what became of it.
    pub fn words(&self) -> String {
        match self {
            Self::Nothing => "Nothing to export: everything went out before.".to_owned(),
            Self::Earlier(export) => {
                format!("Export {} had not been written and is now; run this again for what is new", export.number)
            }
            Self::New(export, Lines { all, corrections }) => {
                let holds = format!("Export {} holds {}", export.number, counted(*all, "line"));
                // A price that was changed for the future without its day changes what was billed long ago too.
                match (*corrections, *all) {
                    (0, _) => holds,
                    (1, 1) => format!("{holds}, a difference to what went out before"),
                    (1, _) => format!("{holds}, 1 of them a difference to what went out before"),
                    (some, _) => format!("{holds}, {some} of them differences to what went out before"),
                }
            }
        }
    }
}

/// How often an export is made anew because another came in between.
const TRIES: usize = 5;

/// Makes the next export of all bills that are ready.
///
/// # Errors
/// When the store does not do it, what went out cannot be read, or the figures do not go.
pub fn export(store: &mut dyn Store, all: &AllBilled, columns: &Columns) -> Result<Exported, NoExport> {
    let ready = || all.jobs.iter().filter(|job| job.bills.are_ready());
    let lines: Vec<Outgoing> =
        ready().flat_map(|job| job.bills.bills.iter().flat_map(|bill| Outgoing::of(&job.work, bill))).collect();
    let settled = ready().map(|job| job.work.job).collect();
    for _ in 0..TRIES {
        let last = store.exported(None)?;
        if let Some(last) = last.as_ref().filter(|last| !last.written) {
            return Ok(Exported::Earlier(last.clone()));
        }
        let seen = last.map_or(0, |last| last.number);
        let read = |Sent { export, form, .. }| Ok(Gone { export, line: outgoing::read(&form)? });
        let later = store.sent_of(all.looked_up_to.unwrap_or_default(), None)?.into_iter().map(read);
        let later = later.collect::<Result<Vec<_>, NoExport>>()?;
        let gone = [all.gone.as_slice(), &later].concat();
        let due = due(&lines, &gone, &settled)?;
        if due.is_empty() {
            return Ok(Exported::Nothing);
        }
        let currencies: BTreeSet<&str> = due.iter().map(|line| line.net.currency().code()).collect();
        if currencies.len() > 1 && !columns.tell_the_currency() {
            return Err(NoExport::Currencies);
        }
        let file = table(&due, seen + 1, columns);
        let marks: Vec<_> = due.iter().map(|line| (line.key(), outgoing::written(line))).collect();
        if let Some(number) = store.export(seen, &file, &marks)? {
            let corrections = due.iter().filter(|line| line.corrects.is_some()).count();
            let lines = Lines { all: due.len(), corrections };
            return Ok(Exported::New(Export { number, file, written: false }, lines));
        }
    }
    Err(NoExport::Busy)
}
