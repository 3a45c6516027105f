//! What is to be billed now: of each technician the jobs that did not go out as they are.
//!
//! Made anew from the lines, five years of fifty technicians take many seconds. So each
//! one's account ([`account`]) is kept with a stamp, like the hours: which devices, and how
//! many lines of each. A job that is settled there needs no look as long as the price list
//! is the same and nothing more went out of it. Whatever does not fit is made anew, from
//! the lines and from what went out; nothing kept is ever trusted over them.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

use quaywright_core::billing::PriceList;
use quaywright_core::billing::account::{Account, Settled};
use quaywright_core::billing::outgoing::Gone;
use quaywright_core::billing::shares::Shares;
use quaywright_core::exchange::account::{self, KEPT};
use quaywright_core::exchange::outgoing;
use quaywright_core::id::{DeviceId, Hash, JobId};

use crate::billing::{AllBilled, Billed, NoExport};
use crate::kept::{Heard, Kept, one_kept, stamp_of};
use crate::people::{Phones, TechnicianBook, book_of, logs_of, people_of};
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
pub fn to_bill(store: &mut dyn Store, prices: &Prices, asked: Asked) -> Result<AllBilled, NoExport> {
    let (heard, last) = (store.heard()?, store.last_export()?);
    let shares = shares(store, asked.anew)?;
    let mut all = AllBilled { looked_up_to: Some(last), ..AllBilled::default() };
    let mut since: BTreeMap<u32, GoneByJob> = BTreeMap::new();
    let mut batch: Vec<Derived> = Vec::new();
    for (who, phones) in people_of(store)? {
        let stamp = stamp(&phones, &heard);
        let kept = if asked.anew { None } else { store.derived(&name(&who))? };
        let kept = kept.and_then(|kept| Some((kept.stamp == stamp, account::read(&kept.bytes)?)));
        let kept = kept.filter(|(_, account)| account.settled.is_empty() || account.prices == prices.print);
        let mut is_new = !matches!(kept, Some((true, _)));
        let mut account = match kept {
            Some((true, account)) => account,
            earlier => {
                let Some(mut account) = made(store, (&phones, &shares), last)? else { continue };
                earlier.into_iter().for_each(|(_, earlier)| account.carry(earlier, account::print));
                account
            }
        };
        if account.export != last {
            is_new = true;
            if let Entry::Vacant(place) = since.entry(account.export) {
                place.insert(gone_between(store, (account.export, last), None)?);
            }
            let more = since.get(&account.export).filter(|_| account.export < last);
            if !more.is_some_and(|more| account.hear(more, last)) {
                let Some(anew) = made(store, (&phones, &shares), last)? else { continue };
                account = anew;
            }
        }
        is_new |= ask_what_went_out(store, &mut account)?;
        is_new |= look(&who, &mut account, prices, asked, &mut all)?;
        if is_new && !asked.anew {
            batch.push(Derived { name: name(&who), stamp, bytes: account::written(&account) });
        }
        if batch.iter().map(|it| it.bytes.len()).sum::<usize>() > BATCH_BYTES {
            store.keep_all_derived(&std::mem::take(&mut batch))?;
        }
    }
    store.keep_all_derived(&batch)?;
    Ok(all)
}

/// Returns the account of a technician's lines, with nothing known of what went out up to the last export.
fn made(store: &mut dyn Store, (phones, shares): (&Phones, &Shares), last: u32) -> Result<Option<Account>, StoreError> {
    let of = book_of(&logs_of(store, phones)?);
    Ok(of.map(|of| Account { export: last, ..account_of(of, shares) }))
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
