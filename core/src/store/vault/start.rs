//! The start: what is there, is it whole, and who heals whom.

use std::collections::BTreeSet;

use super::super::frames::{self, Scan, TAIL, Tally};
use super::super::gather::{Break, Gather, Link, Shelf};
use super::super::packs::{self, Pack, RUN};
use super::super::patience::{again, within};
use super::super::witness::Witness;
use super::super::{Batch, FileEnd, Found, Kept, Note, Notes, Packs, SecondCopy, Store, StoreError, Timer};
use super::{
    BEHIND, COPY_END, CopyKnown, HEAL_AT_ONCE, Known, LATELY, NOTE, Notice, Opened, START, State, Trouble, Vault,
};
use crate::id::{EventId, Hash};
use crate::order;

/// What the first place holds by itself.
struct Load {
    shelf: Shelf,
    /// Packs that did not join.
    aside: Vec<Pack>,
    /// Not every record verified.
    flawed: bool,
}

/// What the start came to.
struct Outcome {
    shelf: Shelf,
    rivals: Vec<Kept>,
    newer: Option<u32>,
    copy: CopyKnown,
    behind: Vec<(Kept, Hash)>,
    notices: Vec<Notice>,
}

/// The second copy as it was read.
pub(super) struct CopyRead {
    pub(super) scan: Scan,
    length: u64,
    tally: Option<Tally>,
}

impl<First: Store + Packs, Copy: SecondCopy, Beside: Notes, Clock: Timer> Vault<First, Copy, Beside, Clock> {
    /// Opens for writing: loads, verifies, compares, heals, and says what is left.
    ///
    /// # Errors
    /// When the first place as a whole cannot be read in bounded time.
    pub async fn open(&self) -> Result<Opened, StoreError> {
        let _turn = self.turns.wait().await;
        let mut found = again(&self.first, &self.timer, START, || self.first.found()).await?;
        if self.is_ready() {
            // How the place was found has been dealt with by the first opening.
            found = Found::default();
        }
        let mut witness = self.witness().await;
        let load = self.load(&witness).await?;
        let end = within(&self.timer, COPY_END, self.copy.end(TAIL)).await;
        let mut outcome = match if_whole(&found, &witness, load, &end) {
            Ok(outcome) => outcome,
            Err(load) => self.reconcile(&witness, *load, end).await?,
        };
        let forgone = outcome.newer.is_none() && forgo_told(&mut witness, &outcome.shelf);
        outcome.notices.extend(forgone.then_some(Notice::BackupUntold));
        let troubles = troubles(&found, &witness, &mut outcome);
        let witness_due = note_all(&mut witness, &outcome.shelf) || forgone;
        let records = std::mem::take(&mut outcome.shelf.records);
        let packs_due = packs_due(&outcome.shelf);
        let state = if troubles.is_empty() { State::Ready } else { State::ReadOnly(troubles) };
        *self.known.borrow_mut() = Known {
            state: Some(state.clone()),
            shelf: outcome.shelf,
            newer: outcome.newer.is_some(),
            witness,
            witness_due,
            copy: outcome.copy,
            behind: outcome.behind,
            packs_due,
            reserve_due: true,
            photos_due: true,
            ..Known::default()
        };
        let mut opened = Opened { records, rivals: outcome.rivals, state, notices: outcome.notices };
        self.finish_under_way(&mut opened).await;
        Ok(opened)
    }

    /// Looks without writing anything: for a page that is not the writer, and for
    /// documents. A vault that is open stays as it is.
    ///
    /// # Errors
    /// When the first place as a whole cannot be read in bounded time.
    pub async fn look(&self) -> Result<Vec<Kept>, StoreError> {
        let mut load = self.load(&Witness::default()).await?;
        let records = std::mem::take(&mut load.shelf.records);
        let mut known = self.known.borrow_mut();
        if known.state.is_none() {
            *known = Known { shelf: load.shelf, ..Known::default() };
        }
        Ok(records)
    }

    async fn witness(&self) -> Witness {
        let texts = within(&self.timer, NOTE, async { Ok(self.notes.read(Note::Witness).await) }).await;
        let mut witness = Witness::default();
        for told in texts.unwrap_or_default().iter().filter_map(|text| Witness::parse(text)) {
            witness.absorb(&told);
        }
        witness
    }

    /// Reads the packs, then the records after them.
    async fn load(&self, witness: &Witness) -> Result<Load, StoreError> {
        // A cache that cannot be read is a cache that is not there.
        let bytes = within(&self.timer, START, self.first.packs()).await.unwrap_or_default();
        let packs: Vec<Pack> = bytes.iter().filter_map(|bytes| packs::read(bytes)).collect();
        let mut load = Load { shelf: Shelf::against(witness), aside: Vec::new(), flawed: false };
        for pack in order::by_key(packs, |pack| pack.first) {
            load.aside.extend(load.shelf.take_pack(pack));
        }
        let beyond = load.shelf.last_packed();
        for record in again(&self.first, &self.timer, START, || self.first.records(&beyond)).await? {
            match Link::of(&record) {
                Some(link) => load.shelf.take(record, link),
                None => load.flawed = true,
            }
        }
        load.shelf = load.shelf.sorted();
        Ok(load)
    }

    /// Reads everything there is, joins it, and heals each place from the union.
    async fn reconcile(
        &self,
        witness: &Witness,
        load: Load,
        end: Result<FileEnd, StoreError>,
    ) -> Result<Outcome, StoreError> {
        let mut gather = Gather::default();
        let held = gather.take(again(&self.first, &self.timer, START, || self.first.records(&[])).await?);
        let copied = match end {
            Ok(end) => self.read_copy(end).await,
            Err(error) => Err(error),
        };
        let copied = copied.map(|mut read| {
            let right = gather.take(std::mem::take(&mut read.scan.records));
            (read, right)
        });
        // Packs that verify are a third copy.
        gather.take(load.shelf.records);
        gather.take(load.aside.into_iter().flat_map(|pack| pack.records).collect());
        let mut notices = self.heal_first(gather.lacking(&held)).await;
        let copy = match copied {
            Ok((read, right)) => {
                let (copy, notice) = self.heal_copy(&gather, &read, &right).await;
                notices.extend(notice);
                copy
            }
            Err(error) => {
                notices.push(Notice::NoCopy(error.clone()));
                if_absent(&error)
            }
        };
        let newer = gather.newer.values().max().copied();
        let rivals = gather.rivals.iter().map(|(rival, _)| rival.clone()).collect();
        Ok(Outcome { shelf: gather.shelve(witness), rivals, newer, copy, behind: Vec::new(), notices })
    }

    /// Puts what the first place lacks in its place, a part at a time.
    pub(super) async fn heal_first(&self, lacking: Vec<Kept>) -> Vec<Notice> {
        let mut healed = 0;
        for part in lacking.chunks(HEAL_AT_ONCE) {
            let batch = Batch { records: part.to_vec(), blobs: Vec::new() };
            if let Err(error) = again(&self.first, &self.timer, START, || self.first.replace(&batch)).await {
                return vec![Notice::NotHealed(error)];
            }
            healed += part.len();
        }
        Vec::from_iter((healed > 0).then_some(Notice::RecordsHealed(healed)))
    }

    pub(super) async fn read_copy(&self, end: FileEnd) -> Result<CopyRead, StoreError> {
        let whole = within(&self.timer, BEHIND, self.copy.whole()).await?;
        let tally = if whole.is_empty() { Some(Tally::default()) } else { frames::tally_at_end(&whole) };
        Ok(CopyRead { scan: frames::scan(&whole), length: end.length, tally })
    }

    /// Levels the second copy with the union: adds what it lacks where it is
    /// whole, and writes it anew where it is not.
    pub(super) async fn heal_copy(
        &self,
        gather: &Gather,
        read: &CopyRead,
        right: &BTreeSet<EventId>,
    ) -> (CopyKnown, Option<Notice>) {
        // This version cannot tell what a newer record is worth: nothing may be lost here.
        if !gather.newer.is_empty() {
            return (CopyKnown::Unsure, None);
        }
        let is_whole = read.scan.damaged.is_empty();
        let all = tally(gather.hashes());
        if is_whole && read.tally == Some(all) {
            return (CopyKnown::Level { length: read.length, tally: all }, None);
        }
        let held = tally(gather.hashes_of(right));
        let is_short = is_whole && gather.rivals.is_empty() && read.tally == Some(held);
        let (at, mut tally) = if is_short { (read.length, held) } else { (0, Tally::default()) };
        let mut bytes = Vec::new();
        for (record, hash) in gather.all().filter(|(record, _)| !is_short || !right.contains(&record.id)) {
            frames::write(&mut bytes, &record, hash, &mut tally);
        }
        let written =
            async { if is_short { self.copy.write(at, &bytes).await } else { self.copy.rewrite(&bytes).await } };
        match within(&self.timer, BEHIND, written).await {
            Ok(()) => {
                let healed = gather.lacking(right).len();
                let level = CopyKnown::Level { length: at + bytes.len() as u64, tally };
                (level, (healed > 0 && !is_whole).then_some(Notice::CopyHealed(healed)))
            }
            Err(error) => (CopyKnown::Unsure, Some(Notice::CopyBehind(error))),
        }
    }
}

fn tally(hashes: impl Iterator<Item = Hash>) -> Tally {
    let mut tally = Tally::default();
    hashes.for_each(|hash| tally.add(hash));
    tally
}

/// Returns the common case, where nothing has to be healed, or gives back the load.
fn if_whole(
    found: &Found,
    witness: &Witness,
    load: Load,
    end: &Result<FileEnd, StoreError>,
) -> Result<Outcome, Box<Load>> {
    let sound = found.is_whole() && !load.flawed && load.shelf.breaks.is_empty();
    if !sound || !witness.missing(&load.shelf.numbers).is_empty() {
        return Err(Box::new(load));
    }
    let Some((copy, lately)) = compare(&load.shelf, end) else { return Err(Box::new(load)) };
    let record = |(id, hash)| Some((load.shelf.get(id)?.clone(), hash));
    let behind = lately.into_iter().filter_map(record).collect();
    let notices = end.as_ref().err().map(|error| Notice::NoCopy(error.clone())).into_iter().collect();
    Ok(Outcome { shelf: load.shelf, rivals: Vec::new(), newer: None, copy, behind, notices })
}

/// Returns what is known of the second copy and what it lacks of late, or
/// `None` when it has to be read wholly.
fn compare(shelf: &Shelf, end: &Result<FileEnd, StoreError>) -> Option<(CopyKnown, Vec<(EventId, Hash)>)> {
    let end = match end {
        Ok(end) => end,
        Err(error) => return Some((if_absent(error), Vec::new())),
    };
    let tally = tally_of(end)?;
    let level = CopyKnown::Level { length: end.length, tally };
    if tally == shelf.tally {
        return Some((level, Vec::new()));
    }
    Some((level, shelf.lately(tally, LATELY)?))
}

pub(super) fn tally_of(end: &FileEnd) -> Option<Tally> {
    if end.length == 0 { Some(Tally::default()) } else { frames::tally_at_end(&end.bytes) }
}

pub(super) fn if_absent(error: &StoreError) -> CopyKnown {
    if matches!(error, StoreError::Unavailable(_)) { CopyKnown::Absent } else { CopyKnown::Unsure }
}

pub(super) fn packs_due(shelf: &Shelf) -> bool {
    let packed = |device| shelf.packed.get(device).map_or(0, |end| end.seq);
    shelf.ends.iter().any(|(device, end)| end.seq - packed(device) >= RUN)
}

/// Notes everything that is here; returns whether that was news.
fn note_all(witness: &mut Witness, shelf: &Shelf) -> bool {
    let before = witness.clone();
    for (&device, numbers) in &shelf.numbers {
        witness.note_all(device, numbers, shelf.end(device).hash);
    }
    *witness != before
}

/// Goes on without what is missing if it tells only that backups left; returns
/// whether there was such. Noted late, it is found anew by the next start.
fn forgo_told(witness: &mut Witness, shelf: &Shelf) -> bool {
    let missing = witness.missing(&shelf.numbers);
    let only_told = missing.iter().all(|(device, numbers)| witness.only_tell(*device, numbers));
    if missing.is_empty() || shelf.records.is_empty() || !only_told {
        return false;
    }
    missing.iter().for_each(|(device, numbers)| witness.do_without(*device, numbers));
    true
}

/// Says what stands in the way of writing; a gap that nobody vouches for is only a notice.
fn troubles(found: &Found, witness: &Witness, outcome: &mut Outcome) -> Vec<Trouble> {
    let shelf = &outcome.shelf;
    let mut troubles = Vec::new();
    for &link in &shelf.breaks {
        match link {
            Break::Conflict(id) if !witness.goes_without(id) => troubles.push(Trouble::Conflict(id)),
            Break::Unchained(id) if !witness.goes_without(id) => troubles.push(Trouble::Unchained(id)),
            Break::Gap { device, from, to } if !witness.goes_without(EventId { device, seq: from }) => {
                outcome.notices.push(Notice::Gap { device, from, to });
            }
            _ => {}
        }
    }
    // Until this program can read them, nobody knows what else is missing.
    if let Some(version) = outcome.newer {
        return vec![Trouble::Newer(version)];
    }
    let missing = witness.missing(&shelf.numbers);
    if shelf.records.is_empty() && !missing.is_empty() {
        return vec![Trouble::AllGone];
    }
    for (device, numbers) in missing {
        let gone = numbers.ranges().iter().map(|&(from, to)| Trouble::Missing { device, from, to });
        troubles.extend(gone);
    }
    if let Some(words) = &found.lost
        && shelf.records.is_empty()
        && witness.is_empty()
    {
        troubles.push(Trouble::Lost(words.clone()));
    }
    troubles
}
