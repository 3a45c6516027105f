//! Which of a technician's jobs need no look any more, because all of them went out.
//!
//! What is to be billed is what did not go out yet. A job of which everything went out
//! at the prices of a list is *settled*: it stays so as long as its work, that list and
//! what went out of it are the same, and needs neither work nor prices to tell that. The
//! *rest* is looked at each time, and carries its work and what went out of it.
//!
//! Rule: an account is worked out from record lines and from what went out, and says so
//! of which; with others it counts for nothing. Whatever cannot be told from it for
//! certain is asked for again: a job that is no longer what it was when it was settled
//! joins the rest, with nothing known of what went out of it.

use std::collections::{BTreeMap, BTreeSet};

use super::bill::{Bill, JobBills, Question};
use super::bills;
use super::outgoing::{Gone, Outgoing, due};
use super::prices::PriceList;
use super::shares::{Shares, apart, join};
use super::work::{JobWork, work};
use crate::book::Book;
use crate::closing::phones::crossings;
use crate::event::ShopRules;
use crate::id::{DeviceId, Hash, JobId};
use crate::moment::{Day, Moment};
use crate::money::MoneyError;
use crate::text::Label;

/// A technician's jobs: which are settled, and the rest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// The devices whose jobs these are.
    pub devices: BTreeSet<DeviceId>,
    /// The price list at which the settled ones went out, by the hash of its file.
    pub prices: Hash,
    /// The last export that was looked at.
    pub export: u32,
    /// By which rules the technician's phones go.
    pub rules: ShopRules,
    /// What is wrong with the log, in sentences.
    pub faults: Vec<String>,
    /// Whose boats there are among all jobs.
    pub customers: BTreeSet<Label>,
    /// Who did them.
    pub technicians: BTreeSet<Label>,
    /// The settled jobs.
    pub settled: BTreeMap<JobId, Settled>,
    /// The others, in the order in which they were opened.
    pub rest: Vec<Unsettled>,
}

/// A job of which everything went out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Settled {
    /// The hash of its work at that time.
    pub work: Hash,
    /// Whether it was not finished then.
    pub is_open: bool,
}

/// A job that has to be looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unsettled {
    /// What was done.
    pub work: JobWork,
    /// The days of which two phones say different things.
    pub crossed: Vec<Day>,
    /// What went out of it, where that is known.
    pub gone: Option<Vec<Gone>>,
}

impl Unsettled {
    /// Returns its bills.
    pub fn bills(&self, prices: &PriceList) -> JobBills {
        let mut bills = bills(&self.work, prices);
        bills.questions.extend(self.crossed.iter().map(|&day| Question::TwoPhones(day)));
        bills
    }

    /// Tells whether everything of it went out.
    ///
    /// # Errors
    /// When a sum is too large.
    pub fn is_settled(&self, bills: &JobBills) -> Result<bool, MoneyError> {
        let Some(gone) = self.gone.as_ref().filter(|_| bills.are_ready()) else { return Ok(false) };
        let lines: Vec<Outgoing> = bills.bills.iter().flat_map(|bill: &Bill| Outgoing::of(&self.work, bill)).collect();
        Ok(due(&lines, gone, &BTreeSet::from([self.work.job]))?.is_empty())
    }
}

/// Returns the jobs of a book up to `now`, with nothing known of what went out.
fn unsettled(book: &Book, now: Moment) -> Vec<Unsettled> {
    let mut crossed: BTreeMap<JobId, BTreeSet<Day>> = BTreeMap::new();
    for crossing in crossings(book) {
        let jobs = [crossing.one.1, crossing.other.1].into_iter().filter_map(|on| book.job_of(on));
        for job in jobs {
            crossed.entry(job).or_default().insert(crossing.day);
        }
    }
    let days = |job: JobId| crossed.get(&job).into_iter().flatten().copied().collect();
    let unsettled = |work: JobWork| Unsettled { crossed: days(work.job), work, gone: None };
    work(book, now).into_iter().map(unsettled).collect()
}

/// Returns the jobs of a book that its technician has, with nothing known of what went out.
pub fn jobs(own: &BTreeSet<DeviceId>, book: &Book, now: Moment) -> Vec<Unsettled> {
    apart(unsettled(book, now), own).0
}

/// Returns what a book says of its technician's share in jobs of others.
pub fn shares(own: &BTreeSet<DeviceId>, book: &Book, now: Moment) -> Vec<Unsettled> {
    apart(unsettled(book, now), own).1
}

impl Account {
    /// Returns the account of a book up to `now`, with nothing known of what went out.
    pub fn of(devices: BTreeSet<DeviceId>, book: &Book, now: Moment, faults: Vec<String>) -> Self {
        let rest = jobs(&devices, book, now);
        Self {
            devices,
            prices: Hash::NONE,
            export: 0,
            rules: book.shop.rules(),
            faults,
            customers: rest.iter().map(|job| job.work.customer.clone()).collect(),
            technicians: rest.iter().map(|job| job.work.technician.clone()).collect(),
            settled: BTreeMap::new(),
            rest,
        }
    }

    /// Puts to the jobs what others did on them.
    pub fn join(&mut self, shares: &Shares) {
        join(&mut self.rest, shares);
        self.technicians.extend(self.rest.iter().flat_map(|job| job.work.everybody()).cloned());
    }

    /// Takes over from an earlier account what is still so; `print` is the hash of a job's work.
    pub fn carry(&mut self, mut earlier: Account, print: impl Fn(&Unsettled) -> Hash) {
        (self.prices, self.export) = (earlier.prices, earlier.export);
        let mut known: BTreeMap<JobId, Option<Vec<Gone>>> =
            earlier.rest.drain(..).map(|job| (job.work.job, job.gone)).collect();
        for mut job in std::mem::take(&mut self.rest) {
            let id = job.work.job;
            match earlier.settled.get(&id) {
                Some(settled) if settled.work == print(&job) => {
                    self.settled.insert(id, *settled);
                }
                Some(_) => self.rest.push(job),
                None => {
                    // Of a device's job that the earlier account does not have nothing was there to go out.
                    let nothing = || earlier.devices.contains(&id.0.device).then(Vec::new);
                    job.gone = known.remove(&id).unwrap_or_else(nothing);
                    self.rest.push(job);
                }
            }
        }
    }

    /// Hears what went out since the last export that was looked at, up to another; tells
    /// whether that leaves all settled jobs as they are.
    pub fn hear(&mut self, gone: &BTreeMap<JobId, Vec<Gone>>, up_to: u32) -> bool {
        if self.settled.keys().any(|job| gone.contains_key(job)) {
            return false;
        }
        for job in &mut self.rest {
            if let (Some(known), Some(more)) = (&mut job.gone, gone.get(&job.work.job)) {
                known.extend(more.iter().cloned());
            }
        }
        self.export = up_to;
        true
    }

    /// Returns how many jobs are not finished.
    pub fn open(&self) -> usize {
        let settled = self.settled.values().filter(|job| job.is_open).count();
        settled + self.rest.iter().filter(|job| job.work.finished.is_none()).count()
    }
}
