//! What follows a kept action, and reading photos.

use std::collections::BTreeSet;

use super::super::frames::{self, TAIL};
use super::super::gather::{End, Gather};
use super::super::packs;
use super::super::patience::within;
use super::super::reserve;
use super::super::{Batch, Blob, Kept, Note, Notes, Packs, SecondCopy, Store, StoreError, Timer};
use super::start::{if_absent, tally_of};
use super::{BEHIND, BlobTrouble, COPY_END, CopyKnown, GATHER_AT_ONCE, Known, NOTE, Notice, Vault};
use crate::id::{BlobId, EventId};
use crate::moment::Length;
use crate::order;

impl<First: Store + Packs, Copy: SecondCopy, Beside: Notes, Clock: Timer> Vault<First, Copy, Beside, Clock> {
    /// Brings the witness, the second copy, the photos and the start-up cache
    /// up to date with what is kept; call it after a start and after each action.
    ///
    /// A call while another one is at work, or a start, returns at once: what is
    /// due stays due. What fails is told, and done by a later call.
    pub async fn settle(&self) -> Vec<Notice> {
        let mut notices = Vec::new();
        let Some(_turn) = self.turns.take() else { return notices };
        while self.is_ready() && self.is_anything_due() && !notices.iter().any(is_unfinished) {
            self.settle_witness(&mut notices).await;
            self.settle_reserve().await;
            self.settle_copy(&mut notices).await;
            self.settle_photos(&mut notices).await;
            self.settle_packs().await;
        }
        notices
    }

    /// Reads both copies of all records, byte for byte, and heals each from the
    /// other: finds damage that a start does not look for. Call it once after
    /// each start, when nothing else is to be done; it includes [`Vault::settle`].
    pub async fn audit(&self) -> Vec<Notice> {
        self.known.borrow_mut().audit_due = true;
        self.settle().await
    }

    /// Returns a photo's bytes, verified; heals the first place from the second copy.
    ///
    /// # Errors
    /// As [`BlobTrouble`] says; other photos are not affected.
    pub async fn blob(&self, id: BlobId) -> Result<Vec<u8>, BlobTrouble> {
        let is_right = |bytes: &[u8]| BlobId::of(bytes) == id;
        let first = within(&self.timer, BEHIND, self.first.blob(id)).await;
        let trouble = match first {
            Ok(Some(bytes)) if is_right(&bytes) => return Ok(bytes),
            Ok(None) => BlobTrouble::Missing,
            Err(error) if error.is_passing() => BlobTrouble::Unread,
            _ => BlobTrouble::Damaged,
        };
        match within(&self.timer, BEHIND, self.copy.blob(id)).await {
            Ok(Some(bytes)) if is_right(&bytes) => {
                let blobs = vec![Blob { id, bytes: bytes.clone() }];
                let healed = Batch { records: Vec::new(), blobs };
                // The photo is shown even where it cannot be put back.
                let _ = within(&self.timer, BEHIND, self.first.replace(&healed)).await;
                Ok(bytes)
            }
            Ok(Some(_)) => Err(BlobTrouble::Damaged),
            _ => Err(trouble),
        }
    }

    fn is_anything_due(&self) -> bool {
        let known = self.known.borrow();
        let copy_due = match known.copy {
            CopyKnown::Absent => false,
            CopyKnown::Unsure => true,
            CopyKnown::Level { .. } => known.audit_due || !known.behind.is_empty() || !known.blobs_behind.is_empty(),
        };
        let photos_due = known.photos_due && !known.is_tight;
        known.witness_due || copy_due || photos_due || known.packs_due || known.reserve_due
    }

    /// Tells whether what room there is belongs to records.
    pub(super) fn is_tight(&self) -> bool {
        self.known.borrow().is_tight
    }

    /// Holds the reserve unless it is there.
    async fn settle_reserve(&self) {
        if std::mem::take(&mut self.known.borrow_mut().reserve_due)
            && within(&self.timer, BEHIND, self.first.has_reserve()).await == Ok(false)
        {
            self.hold_reserve().await;
        }
    }

    /// Holds the reserve; returns false when there is no room for it.
    pub(super) async fn hold_reserve(&self) -> bool {
        let held = within(&self.timer, BEHIND, self.first.put_reserve(&reserve::bytes())).await;
        let is_tight = held == Err(StoreError::Full);
        self.known.borrow_mut().is_tight = is_tight;
        !is_tight
    }

    async fn settle_witness(&self, notices: &mut Vec<Notice>) {
        if !std::mem::take(&mut self.known.borrow_mut().witness_due) {
            return;
        }
        let text = self.known.borrow().witness.to_string();
        if let Err(error) = within(&self.timer, NOTE, self.notes.write(Note::Witness, &text)).await {
            self.known.borrow_mut().witness_due = true;
            notices.push(Notice::NoWitness(error));
        }
    }

    async fn settle_copy(&self, notices: &mut Vec<Notice>) {
        let audit = std::mem::take(&mut self.known.borrow_mut().audit_due);
        let known = self.known.borrow().copy;
        let done = match known {
            CopyKnown::Absent => Ok(Vec::new()),
            CopyKnown::Level { length, tally } if !audit => self.extend_copy(length, tally).await.map(|()| Vec::new()),
            _ => self.compare_copy(audit).await,
        };
        match done {
            Ok(told) => notices.extend(told),
            Err(error) => {
                let mut known = self.known.borrow_mut();
                known.lost_sight_of_copy(&error);
                let is_absent = known.copy == CopyKnown::Absent;
                notices.push(if is_absent { Notice::NoCopy(error) } else { Notice::CopyBehind(error) });
            }
        }
    }

    /// Adds what is behind: photos first, then the records that name them.
    pub(super) async fn extend_copy(&self, length: u64, mut tally: frames::Tally) -> Result<(), StoreError> {
        let (records, blobs) = {
            let mut known = self.known.borrow_mut();
            if known.is_tight {
                // Two copies of a photo are a luxury then; it is copied when there is room again.
                known.photos_due |= !known.blobs_behind.is_empty();
                known.blobs_behind.clear();
            }
            (std::mem::take(&mut known.behind), std::mem::take(&mut known.blobs_behind))
        };
        for blob in &blobs {
            within(&self.timer, BEHIND, self.copy.put_blob(blob)).await?;
        }
        let mut bytes = Vec::new();
        for (record, hash) in &records {
            frames::write(&mut bytes, record, *hash, &mut tally);
        }
        if bytes.is_empty() {
            return Ok(());
        }
        within(&self.timer, BEHIND, self.copy.write(length, &bytes)).await?;
        self.known.borrow_mut().copy = CopyKnown::Level { length: length + bytes.len() as u64, tally };
        Ok(())
    }

    /// Finds out what the second copy holds, and levels it with the first place.
    async fn compare_copy(&self, audit: bool) -> Result<Vec<Notice>, StoreError> {
        let end = within(&self.timer, COPY_END, self.copy.end(TAIL)).await?;
        if let Some(tally) = tally_of(&end)
            && !audit
        {
            let mut known = self.known.borrow_mut();
            if tally == known.shelf.tally {
                known.copy = CopyKnown::Level { length: end.length, tally };
                known.behind.clear();
                return Ok(Vec::new());
            }
        }
        let mut gather = Gather::default();
        let records = within(&self.timer, BEHIND, self.first.records(&[])).await?;
        let held = self.gather_in(&mut gather, records).await;
        let mut read = self.read_copy(end).await?;
        let records = std::mem::take(&mut read.scan.records);
        let right = self.gather_in(&mut gather, records).await;
        let mut notices = self.heal_first(gather.lacking(&held)).await;
        let copy = match self.heal_copy(&gather, &read, &right).await {
            (_, Some(Notice::CopyBehind(error))) => return Err(error),
            (CopyKnown::Unsure, _) => return Err(StoreError::Other("a newer Quaywright wrote here".to_owned())),
            (copy, notice) => {
                notices.extend(notice);
                copy
            }
        };
        let mut known = self.known.borrow_mut();
        known.copy = copy;
        // What was kept while this was at work is still behind.
        known.behind.retain(|(record, _)| !held.contains(&record.id));
        Ok(notices)
    }

    /// Gathers records a part at a time, so that a tap is answered in between.
    async fn gather_in(&self, gather: &mut Gather, records: Vec<Kept>) -> BTreeSet<EventId> {
        let mut right = BTreeSet::new();
        let mut records = records.into_iter();
        while records.len() > 0 {
            right.extend(gather.take(records.by_ref().take(GATHER_AT_ONCE).collect()));
            if records.len() > 0 {
                self.timer.wait(Length::ZERO).await;
            }
        }
        right
    }

    /// Gives each place the photos that only the other has.
    async fn settle_photos(&self, notices: &mut Vec<Notice>) {
        if self.is_tight() {
            return;
        }
        let is_absent = self.known.borrow().copy == CopyKnown::Absent;
        if !std::mem::take(&mut self.known.borrow_mut().photos_due) || is_absent {
            return;
        }
        match self.level_photos().await {
            Ok(0) => {}
            Ok(healed) => notices.push(Notice::PhotosHealed(healed)),
            Err(error) => {
                self.known.borrow_mut().photos_due = true;
                notices.push(Notice::CopyBehind(error));
            }
        }
    }

    async fn level_photos(&self) -> Result<usize, StoreError> {
        let first = order::each_once(within(&self.timer, BEHIND, self.first.blob_ids()).await?);
        let copy = order::each_once(within(&self.timer, BEHIND, self.copy.blob_ids()).await?);
        for &id in first.iter().filter(|id| copy.binary_search(id).is_err()) {
            let bytes = within(&self.timer, BEHIND, self.first.blob(id)).await;
            // A damaged photo is not copied; who looks at it is told.
            if let Ok(Some(bytes)) = bytes
                && BlobId::of(&bytes) == id
            {
                within(&self.timer, BEHIND, self.copy.put_blob(&Blob { id, bytes })).await?;
            }
        }
        let mut healed = 0;
        for &id in copy.iter().filter(|id| first.binary_search(id).is_err()) {
            healed += usize::from(self.blob(id).await.is_ok());
        }
        Ok(healed)
    }

    /// Makes the packs that are due, each of records that were verified one by one.
    async fn settle_packs(&self) {
        if !std::mem::take(&mut self.known.borrow_mut().packs_due) || self.is_tight() {
            return;
        }
        let beyond = self.known.borrow().shelf.last_packed();
        // A cache is made later when it cannot be made now.
        let Ok(records) = within(&self.timer, BEHIND, self.first.records(&beyond)).await else { return };
        let packed = self.known.borrow().shelf.packed.clone();
        for run in packs::runs(&records, &packed) {
            let (Some(bytes), Some((first, _)), Some((last, link))) = (packs::write(&run), run.first(), run.last())
            else {
                continue;
            };
            if within(&self.timer, BEHIND, self.first.put_pack(first.id, &bytes)).await.is_err() {
                return;
            }
            let end = End { seq: last.id.seq, hash: link.hash };
            self.known.borrow_mut().shelf.packed.insert(last.id.device, end);
        }
    }
}

impl Known {
    /// Notes that the second copy failed: what it holds is found out by comparing.
    pub(super) fn lost_sight_of_copy(&mut self, error: &StoreError) {
        self.copy = if_absent(error);
        self.photos_due = true;
        self.blobs_behind.clear();
    }
}

/// Tells whether a notice says that a later call has to try again.
pub(super) fn is_unfinished(notice: &Notice) -> bool {
    matches!(notice, Notice::CopyBehind(_) | Notice::NoWitness(_))
}
