//! Keeping: one action at a time, in bounded time, and never twice.

use super::super::gather::Link;
use super::super::packs::RUN;
use super::super::patience::{TRIES, again, within};
use super::super::witness::Numbers;
use super::super::{Batch, Kept, Note, Notes, Packs, SecondCopy, Store, StoreError, Timer};
use super::{
    ACTION, ACTION_MEGABYTE_MS, AT_ONCE, CopyKnown, HEAL_AT_ONCE, Known, NOTE, NotKept, Notice, Opened, START, State,
    TURN, Trouble, Vault,
};
use crate::exchange::line;
use crate::id::BlobId;
use crate::moment::Length;
use crate::order;

/// How long a browser gets to count freed room as free.
const FREED: Length = Length::from_ms(1_000);
const UNDER_WAY: &str = "quaywright-under-way 1";

impl<First: Store + Packs, Copy: SecondCopy, Beside: Notes, Clock: Timer> Vault<First, Copy, Beside, Clock> {
    /// Keeps one action, whole or not at all; it is kept when this returns `Ok`.
    ///
    /// The records join the last one that is kept of their device. The second
    /// copy has them too by then, where it answers soon. Afterwards call
    /// [`Vault::settle`], without waiting for it.
    ///
    /// # Errors
    /// As [`NotKept`] says. After [`NotKept::InDoubt`] the same action may be
    /// tried again: it is then found, or kept, once.
    pub async fn append(&self, batch: &Batch) -> Result<(), NotKept> {
        if !self.is_ready() {
            return Err(NotKept::ReadOnly);
        }
        if self.was_kept_after_all(batch).await? {
            return Ok(());
        }
        let links = self.check(batch)?;
        if !batch.blobs.is_empty() && self.is_tight() && !self.hold_reserve().await {
            return Err(NotKept::Storage(StoreError::Full));
        }
        self.note_under_way(batch).await;
        match self.keep(batch).await {
            Ok(()) => {
                self.known.borrow_mut().follow(batch, links);
                self.copy_at_once().await;
            }
            Err(error) if error.is_passing() => {
                self.known.borrow_mut().doubt.clone_from(&batch.records);
                return Err(NotKept::InDoubt(error));
            }
            Err(error) => {
                self.forget_under_way().await;
                return Err(self.somebody_else(error).await);
            }
        }
        self.forget_under_way().await;
        Ok(())
    }

    /// Gives the second copy what was just kept, while the person still waits.
    ///
    /// One engine's database goes on after a write that a kill cut short, finds
    /// its log damaged at a later start and empties itself then. So what was kept
    /// in one place alone could be lost after it was called kept. A second copy
    /// that is slow or at work keeps nobody waiting for long; it is due then.
    async fn copy_at_once(&self) {
        let Ok(_turn) = within(&self.timer, TURN, async { Ok(self.turns.wait().await) }).await else { return };
        let CopyKnown::Level { length, tally } = self.known.borrow().copy else { return };
        let bytes: usize = self.known.borrow().blobs_behind.iter().map(|blob| blob.bytes.len()).sum();
        if let Err(error) = within(&self.timer, with_room_for(bytes, AT_ONCE), self.extend_copy(length, tally)).await {
            self.known.borrow_mut().lost_sight_of_copy(&error);
        }
    }

    /// Returns the records that another page has kept since the last call,
    /// and follows them.
    ///
    /// # Errors
    /// When the first place cannot be read in bounded time.
    pub async fn news(&self) -> Result<Vec<Kept>, StoreError> {
        let beyond = self.known.borrow().shelf.last_names();
        let records = again(&self.first, &self.timer, START, || self.first.records(&beyond)).await?;
        let mut known = self.known.borrow_mut();
        let mut news = Vec::new();
        for record in records {
            if let Some(link) = Link::of(&record)
                && known.joins(&record, link)
            {
                known.advance(&record, link);
                news.push(record);
            }
        }
        Ok(news)
    }

    /// Takes in records and photos from a backup, or of other devices, in any
    /// order and as often as one likes; then opens anew. Also while read-only.
    ///
    /// # Errors
    /// When a part of it is damaged or contradicts what is here; parts before
    /// it may have been taken.
    pub async fn restore(&self, backup: &Batch) -> Result<Opened, NotKept> {
        if self.known.borrow().state.is_none() {
            return Err(NotKept::ReadOnly);
        }
        for record in &backup.records {
            Link::of(record).ok_or(NotKept::NotARecord(record.id))?;
        }
        for blob in &backup.blobs {
            (BlobId::of(&blob.bytes) == blob.id).then_some(()).ok_or(NotKept::NotThePhoto(blob.id))?;
        }
        for blob in &backup.blobs {
            let batch = Batch { records: Vec::new(), blobs: vec![blob.clone()] };
            self.keep(&batch).await.map_err(NotKept::Storage)?;
        }
        for part in backup.records.chunks(HEAL_AT_ONCE) {
            self.take_in(part).await.map_err(NotKept::Storage)?;
        }
        self.open().await.map_err(NotKept::Storage)
    }

    /// Carries on although something is lost, because the person says so.
    ///
    /// Each device that lost numbers is closed ([`Vault::is_closed`]): the
    /// caller goes on under a new device id, so lost numbers never come twice.
    ///
    /// # Errors
    /// When that could not be noted, or a newer program wrote here.
    pub async fn carry_on_without(&self) -> Result<(), NotKept> {
        let witness = {
            let known = self.known.borrow();
            let Some(State::ReadOnly(troubles)) = &known.state else { return Ok(()) };
            if known.newer {
                return Err(NotKept::ReadOnly);
            }
            let mut witness = known.witness.clone();
            for (device, numbers) in known.witness.missing(&known.shelf.numbers) {
                witness.do_without(device, &numbers);
            }
            for trouble in troubles {
                if let Trouble::Conflict(id) | Trouble::Unchained(id) = trouble {
                    witness.do_without(id.device, &Numbers::range(id.seq, id.seq));
                }
            }
            witness
        };
        let text = witness.to_string();
        within(&self.timer, NOTE, self.notes.write(Note::Witness, &text)).await.map_err(NotKept::Storage)?;
        let mut known = self.known.borrow_mut();
        known.witness = witness;
        known.state = Some(State::Ready);
        Ok(())
    }

    /// Keeps or reports the action that the last page did not live to finish.
    pub(super) async fn finish_under_way(&self, opened: &mut Opened) {
        if !self.is_ready() {
            return;
        }
        let texts = within(&self.timer, NOTE, async { Ok(self.notes.read(Note::UnderWay).await) }).await;
        for text in texts.unwrap_or_default() {
            let Some((photos, records)) = read_under_way(&text) else { continue };
            let is_here = |record: &Kept| opened.records.binary_search_by_key(&record.id, |known| known.id);
            if records.iter().all(|record| is_here(record).is_ok_and(|at| opened.records[at] == *record)) {
                self.forget_under_way().await;
                continue;
            }
            let batch = Batch { records, blobs: Vec::new() };
            let is_kept = self.are_here(&photos).await && self.append(&batch).await.is_ok();
            if is_kept {
                opened.records.extend(batch.records.iter().cloned());
                opened.records = order::by_key(std::mem::take(&mut opened.records), |record| record.id);
                opened.notices.push(Notice::KeptLate(batch.records));
            } else {
                opened.notices.push(Notice::NotKept(batch.records));
            }
        }
    }

    /// Keeps a batch in the first place; when it is full, records may take the
    /// room of the start-up cache and of the reserve.
    async fn keep(&self, batch: &Batch) -> Result<(), StoreError> {
        let limit = with_room_for(batch.blobs.iter().map(|blob| blob.bytes.len()).sum(), ACTION);
        let append = || self.first.append(batch);
        let kept = again(&self.first, &self.timer, limit, append).await;
        if kept != Err(StoreError::Full) || !batch.blobs.is_empty() {
            return kept;
        }
        within(&self.timer, ACTION, self.first.drop_packs()).await.map_err(|_| StoreError::Full)?;
        self.known.borrow_mut().gave_room_up();
        let mut tries = 1;
        loop {
            match again(&self.first, &self.timer, limit, append).await {
                Err(StoreError::Full) if tries < TRIES => tries += 1,
                end => return end,
            }
            // A browser may count freed room as free only after a while.
            self.timer.wait(FREED).await;
        }
    }

    /// Takes in verified records: over damage, but never over a record that is right.
    async fn take_in(&self, part: &[Kept]) -> Result<(), StoreError> {
        let is_right = |record: &Kept| {
            let known = self.known.borrow();
            known.newer || known.shelf.numbers.get(&record.id.device).is_some_and(|here| here.contains(record.id.seq))
        };
        let (right, gone): (Vec<Kept>, Vec<Kept>) = part.iter().cloned().partition(is_right);
        let (right, gone) = (Batch { records: right, ..Batch::default() }, Batch { records: gone, ..Batch::default() });
        again(&self.first, &self.timer, START, || self.first.append(&right)).await?;
        again(&self.first, &self.timer, START, || self.first.replace(&gone)).await
    }

    /// Looks up an action that was in doubt; returns whether it was this one and is kept.
    async fn was_kept_after_all(&self, batch: &Batch) -> Result<bool, NotKept> {
        if self.known.borrow().doubt.is_empty() {
            return Ok(false);
        }
        let news = self.news().await.map_err(NotKept::Storage)?;
        self.known.borrow_mut().doubt.clear();
        if news.is_empty() {
            return Ok(false);
        }
        // Its photos came in the same transaction; the second copy learns of them by comparing.
        self.known.borrow_mut().photos_due = true;
        if news == batch.records { Ok(true) } else { Err(NotKept::Earlier(news)) }
    }

    /// Tells a conflict with another page's records from other failures.
    async fn somebody_else(&self, error: StoreError) -> NotKept {
        if matches!(error, StoreError::Conflict(_))
            && let Ok(news) = self.news().await
            && !news.is_empty()
        {
            return NotKept::Earlier(news);
        }
        NotKept::Storage(error)
    }

    /// Returns each record's link, if all of the batch is what it is said to be
    /// and joins what is kept.
    fn check(&self, batch: &Batch) -> Result<Vec<Link>, NotKept> {
        let known = self.known.borrow();
        let mut ends = known.shelf.ends.clone();
        let mut links = Vec::new();
        for record in &batch.records {
            let (id, device) = (record.id, record.id.device);
            let link = Link::of(record).ok_or(NotKept::NotARecord(id))?;
            if known.witness.is_closed(device) {
                return Err(NotKept::Closed(device));
            }
            let end = ends.entry(device).or_default();
            if (end.seq + 1, end.hash) != (id.seq, link.prev) {
                return Err(NotKept::OutOfTurn(id));
            }
            (end.seq, end.hash) = (id.seq, link.hash);
            links.push(link);
        }
        let wrong = batch.blobs.iter().find(|blob| BlobId::of(&blob.bytes) != blob.id);
        wrong.map_or(Ok(links), |blob| Err(NotKept::NotThePhoto(blob.id)))
    }

    /// Writes the action down where it survives the death of the page.
    ///
    /// Only a second chance: an action is kept or not kept without it.
    async fn note_under_way(&self, batch: &Batch) {
        if let Some(text) = write_under_way(batch) {
            let _ = within(&self.timer, NOTE, self.notes.write(Note::UnderWay, &text)).await;
        }
    }

    async fn forget_under_way(&self) {
        let _ = within(&self.timer, NOTE, self.notes.write(Note::UnderWay, "")).await;
    }

    async fn are_here(&self, photos: &[BlobId]) -> bool {
        for &photo in photos {
            if self.blob(photo).await.is_err() {
                return false;
            }
        }
        true
    }
}

/// Returns how long to wait where photos of so many bytes come along.
fn with_room_for(bytes: usize, limit: Length) -> Length {
    limit + Length::from_ms(bytes as u64 / 1_000_000 * ACTION_MEGABYTE_MS)
}

impl Known {
    fn joins(&self, record: &Kept, link: Link) -> bool {
        let end = self.shelf.end(record.id.device);
        (end.seq + 1, end.hash) == (record.id.seq, link.prev)
    }

    /// Notes that the room of the packs and of the reserve belongs to records now.
    fn gave_room_up(&mut self) {
        self.shelf.packed.clear();
        self.packs_due = false;
        self.reserve_due = false;
        self.is_tight = true;
    }

    /// Follows an action that the first place has kept.
    fn follow(&mut self, batch: &Batch, links: Vec<Link>) {
        for (record, link) in batch.records.iter().zip(links) {
            self.advance(record, link);
        }
        if self.copy != CopyKnown::Absent {
            self.blobs_behind.extend(batch.blobs.iter().cloned());
        }
    }

    /// Follows a record that the first place has kept.
    fn advance(&mut self, record: &Kept, link: Link) {
        self.shelf.follow(record.id, link);
        self.witness.note(record.id, link.hash);
        self.witness_due = true;
        self.packs_due |= record.id.seq.is_multiple_of(RUN);
        if self.copy != CopyKnown::Absent {
            self.behind.push((record.clone(), link.hash));
        }
    }
}

/// Returns the note of an action under way: the photos it needs, then its records.
fn write_under_way(batch: &Batch) -> Option<String> {
    let mut text = UNDER_WAY.to_owned();
    for blob in &batch.blobs {
        text.push(' ');
        text.push_str(&blob.id.to_string());
    }
    for record in &batch.records {
        text.push('\n');
        text.push_str(std::str::from_utf8(&record.bytes).ok()?);
    }
    (!batch.records.is_empty()).then_some(text)
}

fn read_under_way(text: &str) -> Option<(Vec<BlobId>, Vec<Kept>)> {
    let mut lines = text.split('\n');
    let photos = lines.next()?.strip_prefix(UNDER_WAY)?.split_whitespace();
    let photos = photos.map(BlobId::parse).collect::<Option<Vec<_>>>()?;
    let record = |line: &str| Some(Kept { id: line::check(line.as_bytes()).ok()?.id, bytes: line.as_bytes().to_vec() });
    let records = lines.map(record).collect::<Option<Vec<_>>>()?;
    Some((photos, records))
}
