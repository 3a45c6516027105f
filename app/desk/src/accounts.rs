//! What is to be billed now: of each technician the jobs that did not go out as they are.
//!
//! Made anew from the lines, five years of fifty technicians take many seconds. So each
//! one's account ([`account`]) is kept with a stamp, like the hours: which devices, and how
//! many lines of each. A job that is settled there needs no look as long as the price list
//! is the same and nothing more went out of it. Whatever does not fit is made anew, from
//! the lines and from what went out; nothing kept is ever trusted over them.

use std::cell::RefCell;
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use quaywright_core::billing::PriceList;
use quaywright_core::billing::account::{Account, Settled};
use quaywright_core::billing::outgoing::Gone;
use quaywright_core::billing::shares::Shares;
use quaywright_core::exchange::account::{self, KEPT};
use quaywright_core::exchange::outgoing;
use quaywright_core::id::{DeviceId, Hash, JobId};

use crate::billing::{AllBilled, Billed, NoExport};
use crate::crew::{Crew, Piece};
use crate::kept::{Heard, Kept, one_kept, stamp_of};
use crate::people::{BookLines, Phones, TechnicianBook, people_of};
use crate::store::{Derived, Sent, Store, StoreError};

/// A price list, and the hash of its file.
pub struct Prices {
    /// The list.
    pub list: PriceList,
    /// The hash.
    pub print: Hash,
}

/// What is asked for.
#[derive(Clone, Copy, Debug, Default)]
pub struct Asked {
    /// Whether open jobs are billed too.
    pub open: bool,
    /// Whether all is made anew from the lines.
    pub anew: bool,
}

/// What went out of each job.
type GoneByJob = BTreeMap<JobId, Vec<Gone>>;

/// How many bytes of accounts are kept at once.
const BATCH_BYTES: usize = 8 << 20;

/// Returns the bills of all jobs that did not go out as they are.
///
/// # Errors
/// When the store does not do it or the figures do not go.
pub fn to_bill(store: &mut dyn Store, crew: &impl Crew, prices: &Prices, asked: Asked) -> Result<AllBilled, NoExport> {
    let (heard, last) = (store.heard()?, store.last_export()?);
    let shares = shares(store, asked.anew)?;
    let mut people = people_of(store)?.into_iter();
    let mut since = Since { last, gone: BTreeMap::new() };
    let store = RefCell::new(store);
    let mut next = || {
        let Some((who, phones)) = people.next() else { return Ok(None) };
        let (mut store, stamp) = (store.borrow_mut(), stamp(&phones, &heard));
        let kept = if asked.anew { None } else { store.derived(&name(&who))? };
        let kept = kept.and_then(|kept| Some((kept.stamp == stamp, account::read(&kept.bytes)?)));
        let kept = kept.filter(|(_, account)| account.settled.is_empty() || account.prices == prices.print);
        let from = since.from(*store, &phones, kept)?;
        Ok(Some(Looking { who, stamp, from, last, shares: &shares, prices, asked }))
    };
    let mut all = AllBilled { looked_up_to: Some(last), ..AllBilled::default() };
    let mut batch: Vec<Derived> = Vec::new();
    crew.work_off(&mut next, &mut |seen: Result<Option<Seen>, NoExport>| {
        let Some(Seen { bills, derived }) = seen? else { return Ok(()) };
        all.join(bills);
        batch.extend(derived);
        if batch.iter().map(|it| it.bytes.len()).sum::<usize>() > BATCH_BYTES {
            store.borrow_mut().keep_all_derived(&std::mem::take(&mut batch))?;
        }
        Ok::<_, NoExport>(())
    })?;
    store.into_inner().keep_all_derived(&batch)?;
    Ok(all)
}

/// What a technician's account is come by.
enum From {
    /// As it was kept; and whether it heard something since.
    Kept(Account, bool),
    /// Made of lines, with what is still so of an earlier one.
    Lines {
        lines: BookLines,
        earlier: Option<Account>,
        /// What went out after the earlier one's last export, of all jobs.
        since: Option<Arc<GoneByJob>>,
        /// All that went out of the technician's own devices' jobs.
        gone: GoneByJob,
    },
}

/// What went out after some exports, up to the last.
struct Since {
    last: u32,
    gone: BTreeMap<u32, Arc<GoneByJob>>,
}

impl Since {
    /// Returns what went out after an export; nothing where it is the last or, which cannot be, a later one.
    fn of(&mut self, store: &mut dyn Store, export: u32) -> Result<Option<Arc<GoneByJob>>, NoExport> {
        if export >= self.last {
            return Ok(None);
        }
        let gone = match self.gone.entry(export) {
            Entry::Vacant(place) => place.insert(Arc::new(gone_between(store, (export, self.last), None)?)),
            Entry::Occupied(place) => place.into_mut(),
        };
        Ok(Some(gone.clone()))
    }

    /// Returns what an account is come by: what is kept, where that is of these very lines and can hear what went out since.
    fn from(
        &mut self,
        store: &mut dyn Store,
        phones: &Phones,
        kept: Option<(bool, Account)>,
    ) -> Result<From, NoExport> {
        let earlier = match kept {
            Some((true, mut account)) => {
                let is_behind = account.export != self.last;
                let more = self.of(store, account.export)?;
                if !is_behind || more.is_some_and(|more| account.hear(&more, self.last)) {
                    let is_new = ask_what_went_out(store, &mut account)?;
                    return Ok(From::Kept(account, is_behind || is_new));
                }
                None
            }
            Some((false, earlier)) => Some(earlier),
            None => None,
        };
        let since = match &earlier {
            Some(earlier) => self.of(store, earlier.export)?,
            None => None,
        };
        let mut gone = GoneByJob::new();
        for &device in phones.own.iter().filter(|_| self.last > 0) {
            gone.extend(gone_between(store, (0, self.last), Some(device))?);
        }
        Ok(From::Lines { lines: BookLines::of(store, phones)?, earlier, since, gone })
    }
}

/// A technician's account that is to be looked at.
struct Looking<'a> {
    who: String,
    stamp: String,
    from: From,
    /// The last export.
    last: u32,
    shares: &'a Shares,
    prices: &'a Prices,
    asked: Asked,
}

/// What was seen of it.
struct Seen {
    bills: AllBilled,
    /// The account, where it is not as it was kept.
    derived: Option<Derived>,
}

impl Piece for Looking<'_> {
    /// Nothing of somebody who said nothing.
    type Done = Result<Option<Seen>, NoExport>;

    fn bytes(&self) -> usize {
        match &self.from {
            From::Kept(..) => 0,
            From::Lines { lines, .. } => lines.bytes(),
        }
    }

    fn work(self) -> Self::Done {
        let Self { who, stamp, from, last, shares, prices, asked } = self;
        let (mut account, is_new) = match from {
            From::Kept(account, is_new) => (account, is_new),
            From::Lines { lines, earlier, since, gone } => {
                let Some(of) = lines.book()? else { return Ok(None) };
                let made = Account { export: last, ..account_of(of, shares) };
                let mut account = carried(made, earlier, since.as_deref(), last);
                account.rest.iter_mut().filter(|job| job.gone.is_none()).for_each(|job| {
                    job.gone = Some(gone.get(&job.work.job).cloned().unwrap_or_default());
                });
                (account, true)
            }
        };
        let mut bills = AllBilled::default();
        let is_new = look(&who, &mut account, prices, asked, &mut bills)? || is_new;
        let derived =
            (is_new && !asked.anew).then(|| Derived { name: name(&who), stamp, bytes: account::written(&account) });
        Ok(Some(Seen { bills, derived }))
    }
}

/// Returns an account that was made anew, with what is still so of an earlier one where that can hear what went out since.
fn carried(made: Account, earlier: Option<Account>, since: Option<&GoneByJob>, last: u32) -> Account {
    let Some(earlier) = earlier else { return made };
    let mut account = made.clone();
    account.carry(earlier, account::print);
    let has_heard = account.export == last || since.is_some_and(|since| account.hear(since, last));
    if has_heard { account } else { made }
}

/// Returns the account of a book, with what others did on its jobs.
pub(crate) fn account_of(of: TechnicianBook, shares: &Shares) -> Account {
    let mut account = Account::of(of.own, &of.book, of.now, of.faults);
    account.join(shares);
    account
}

/// Returns what everybody did on jobs of others.
///
/// # Errors
/// When the store does not tell it.
pub fn shares(store: &mut dyn Store, anew: bool) -> Result<Shares, StoreError> {
    let (heard, mut all) = (store.heard()?, Shares::new());
    // Who has nobody's records beside the own ones has done nothing on another's job.
    for (who, phones) in people_of(store)?.iter().filter(|(_, phones)| !phones.beside.is_empty()) {
        let shares = one_kept(store, &SHARES, (who, phones, &heard), anew, &account::shares_read)?;
        shares.into_iter().flatten().for_each(|share| all.entry(share.work.job).or_default().push(share));
    }
    Ok(all)
}

/// What somebody did on jobs of others, as it is kept.
const SHARES: Kept = Kept {
    what: "shares",
    form: KEPT,
    make: |of| account::shares_written(&quaywright_core::billing::account::shares(&of.own, &of.book, of.now)),
};

/// Asks for what went out of the jobs of which that is not known; tells whether there was one.
fn ask_what_went_out(store: &mut dyn Store, account: &mut Account) -> Result<bool, NoExport> {
    let unknown = account.rest.iter().filter(|job| job.gone.is_none()).map(|job| job.work.job.0.device);
    let unknown: BTreeSet<DeviceId> = unknown.collect();
    for &device in &unknown {
        let mut gone = match account.export {
            0 => GoneByJob::new(),
            _ => gone_between(store, (0, account.export), Some(device))?,
        };
        let of_device = account.rest.iter_mut().filter(|job| job.work.job.0.device == device && job.gone.is_none());
        of_device.for_each(|job| job.gone = Some(gone.remove(&job.work.job).unwrap_or_default()));
    }
    Ok(!unknown.is_empty())
}

/// Returns what went out after an export up to another, of the jobs of a device or of all.
fn gone_between(
    store: &mut dyn Store,
    (after, up_to): (u32, u32),
    device: Option<DeviceId>,
) -> Result<GoneByJob, NoExport> {
    let mut gone = GoneByJob::new();
    for Sent { export, form, .. } in store.sent_of(after, device)?.into_iter().filter(|sent| sent.export <= up_to) {
        let line = outgoing::read(&form)?;
        gone.entry(line.job).or_default().push(Gone { export, line });
    }
    Ok(gone)
}

/// Looks at all that is not settled; what turns out to be is from now on. Tells whether anything did.
fn look(
    who: &str,
    account: &mut Account,
    prices: &Prices,
    asked: Asked,
    all: &mut AllBilled,
) -> Result<bool, NoExport> {
    all.hear(who, account);
    if !asked.open {
        all.open += account.open();
    }
    if account.settled.is_empty() {
        account.prices = prices.print;
    }
    let settled = account.settled.len();
    let mut left = Vec::new();
    for job in std::mem::take(&mut account.rest) {
        let is_open = job.work.finished.is_none();
        if is_open && !asked.open {
            left.push(job);
            continue;
        }
        let bills = job.bills(&prices.list);
        if job.is_settled(&bills)? {
            account.settled.insert(job.work.job, Settled { work: account::print(&job), is_open });
            continue;
        }
        all.gone.extend(job.gone.iter().flatten().cloned());
        all.jobs.push(Billed { work: job.work.clone(), bills });
        left.push(job);
    }
    account.rest = left;
    all.settled += account.settled.values().filter(|job| asked.open || !job.is_open).count();
    Ok(account.settled.len() > settled)
}

/// Brings a kept account up to a book that was made of the lines of a stamp, of a technician
/// on whose jobs nobody else worked.
pub(crate) fn brought_up(who: &str, stamp: String, of: TechnicianBook, kept: &[u8]) -> Option<Derived> {
    let earlier = account::read(kept)?;
    let mut account = account_of(of, &Shares::new());
    account.carry(earlier, account::print);
    Some(Derived { name: name(who), stamp, bytes: account::written(&account) })
}

/// Returns under which name a technician's account is kept.
pub(crate) fn name(who: &str) -> String {
    format!("account of {who}")
}

/// Returns what tells of which lines an account is.
pub(crate) fn stamp(phones: &Phones, heard: &Heard) -> String {
    stamp_of(KEPT, phones, heard)
}
