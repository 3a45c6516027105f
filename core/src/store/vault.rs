//! The rules of keeping: a first place, a second copy, and notes beside them.
//!
//! - **Kept** means that the first place has said so, and the second copy too
//!   where it is free and answers soon. Only then does the caller show the new state; the
//!   witness, and a slow second copy, follow in [`Vault::settle`], which nobody
//!   needs to wait for.
//! - **A start takes nothing for granted.** Every record is verified; the two
//!   copies are compared; what one lacks it gets from the other; and what was
//!   once kept and is nowhere left is told as [`Trouble`].
//! - **With trouble the vault is read-only.** The ways out are a backup
//!   ([`Vault::restore`]) or the person's word ([`Vault::carry_on_without`]),
//!   after which lost numbers are never used again: their device is closed.
//!   Only the entry that a backup left asks for no word: no backup can hold it,
//!   so where nothing else is missing it is told, and its device closed too.
//! - **Every call ends in bounded time**, kept or visibly not kept. What is in
//!   doubt is looked up before anything else is kept.
//! - **Nothing is ever deleted**, and nothing is created silently.

mod after;
mod keep;
mod start;
#[cfg(test)]
mod tests;

use std::cell::RefCell;

use super::frames::Tally;
use super::gather::Shelf;
use super::turn::Turns;
use super::witness::Witness;
use super::{Blob, Kept, Notes, Packs, SecondCopy, Store, StoreError, Timer};
use crate::id::{BlobId, DeviceId, EventId, Hash};
use crate::moment::Length;

/// How long a person waits for one try of one action.
const ACTION: Length = Length::from_ms(4_000);
/// How much longer for each million bytes of photos.
const ACTION_MEGABYTE_MS: u64 = 1_000;
/// How long a start waits for the first place.
const START: Length = Length::from_ms(20_000);
/// How long a start waits for the end of the second copy.
const COPY_END: Length = Length::from_ms(4_000);
/// How long a person waits until the second copy is free: not for an audit of years.
const TURN: Length = Length::from_ms(50);
/// How long a person waits for the second copy of one action.
const AT_ONCE: Length = Length::from_ms(800);
/// How long work that nobody waits for may take.
const BEHIND: Length = Length::from_ms(30_000);
/// How long a note may take.
const NOTE: Length = Length::from_ms(2_000);
/// How many records are healed in one transaction.
const HEAL_AT_ONCE: usize = 500;
/// How many records are verified without a pause while somebody may be working.
const GATHER_AT_ONCE: usize = 100;
/// How many records the second copy may lack and still be only a little behind.
const LATELY: usize = 64;

/// What stands in the way of writing.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Trouble {
    /// Nothing is left of what was kept.
    #[error("everything that was kept on this device is gone: bring back a backup, or carry on without it")]
    AllGone,
    /// Some of what was kept is nowhere left.
    #[error("{} of device {device} {} gone: bring back a backup, or carry on without {}", records(*from, *to), are(*from, *to), them(*from, *to))]
    Missing {
        /// The device.
        device: DeviceId,
        /// The first number that is gone.
        from: u64,
        /// The last number that is gone.
        to: u64,
    },
    /// The browser says that it lost what was here, and nothing tells what it was.
    #[error("the browser lost what was kept ({0}): bring back a backup, or carry on without it")]
    Lost(String),
    /// Two different records have one name.
    #[error("record {0} exists twice with different contents: save a copy of both, then carry on")]
    Conflict(EventId),
    /// A record does not follow from the one before it.
    #[error("record {0} does not follow from the record before it: save a copy, then bring back a backup or carry on")]
    Unchained(EventId),
    /// A newer program wrote here.
    #[error("a newer Quaywright wrote here (form {0}): bring this one up to date, nothing was changed")]
    Newer(u32),
}

/// What a person should know, though work goes on.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Notice {
    /// The first place had lost records and got them back.
    #[error("{} damaged or gone, and restored from the second copy", were(*.0, "record"))]
    RecordsHealed(usize),
    /// The first place had lost photos and got them back.
    #[error("{} gone, and restored from the second copy", were(*.0, "photo"))]
    PhotosHealed(usize),
    /// The second copy had lost records and got them back.
    #[error("in the second copy {} damaged or gone, and restored", were(*.0, "record"))]
    CopyHealed(usize),
    /// Records could be read but not put back.
    #[error("damaged records could not be put right: {0}")]
    NotHealed(StoreError),
    /// There is no second copy on this device.
    #[error("this device keeps no second copy: make backups ({0})")]
    NoCopy(StoreError),
    /// The second copy is behind and is tried again with the next action.
    #[error("the second copy is not up to date: {0}")]
    CopyBehind(StoreError),
    /// What is kept could not be noted elsewhere.
    #[error("a later loss could go unnoticed: {0}")]
    NoWitness(StoreError),
    /// Numbers of a device never were here.
    #[error("{} of device {device} {} not here", records(*from, *to), are(*from, *to))]
    Gap {
        /// The device.
        device: DeviceId,
        /// The first number that is not here.
        from: u64,
        /// The last number that is not here.
        to: u64,
    },
    /// Nothing is missing but the entries that backups left.
    #[error("everything of the backup is here. That it was made was noted after it, so that one entry is not in it")]
    BackupUntold,
    /// An action that the last page did not live to finish is kept now.
    #[error("the last action had not been finished and is kept now")]
    KeptLate(Vec<Kept>),
    /// An action that the last page did not live to finish cannot be kept any more.
    #[error("the last action was not kept: do it again")]
    NotKept(Vec<Kept>),
}

/// Returns "1 record was" or "3 records were".
fn were(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what} was") } else { format!("{count} {what}s were") }
}

/// Returns "record 4" or "records 4 to 7".
fn records(from: u64, to: u64) -> String {
    if from == to { format!("record {from}") } else { format!("records {from} to {to}") }
}

fn are(from: u64, to: u64) -> &'static str {
    if from == to { "is" } else { "are" }
}

fn them(from: u64, to: u64) -> &'static str {
    if from == to { "it" } else { "them" }
}

/// Whether there may be writing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum State {
    /// Everything that was ever kept is here.
    Ready,
    /// It may be read, exported and restored only.
    ReadOnly(Vec<Trouble>),
}

/// What a start found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opened {
    /// Every record that verified, by name.
    pub records: Vec<Kept>,
    /// Verified records whose name another one has, for an export.
    pub rivals: Vec<Kept>,
    /// Whether there may be writing.
    pub state: State,
    /// What a person should know.
    pub notices: Vec<Notice>,
}

/// Why an action was not kept.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotKept {
    /// The storage refused it; nothing of it is kept.
    #[error("not kept: {0}")]
    Storage(StoreError),
    /// The storage did not say; the next call, or the next start, finds out.
    #[error("perhaps not kept: {0}")]
    InDoubt(StoreError),
    /// These records were kept in the meantime: take them in, then decide anew.
    #[error("something else was kept in the meantime: look, then do it again")]
    Earlier(Vec<Kept>),
    /// The vault is not open for writing.
    #[error("not kept: the book is read-only now")]
    ReadOnly,
    /// The device's numbers must not be used any more.
    #[error("not kept: device {0} lost records and is closed, a new device id must be drawn")]
    Closed(DeviceId),
    /// The record does not join what is here.
    #[error("not kept: record {0} does not follow from the last one")]
    OutOfTurn(EventId),
    /// The bytes are not the record that they are said to be.
    #[error("not taken: record {0} is damaged or not a record")]
    NotARecord(EventId),
    /// The bytes are not the photo that they are said to be.
    #[error("not taken: photo {0} is damaged")]
    NotThePhoto(BlobId),
}

/// Why a photo cannot be shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BlobTrouble {
    /// No place has it.
    #[error("this photo is not on this device: bring back a backup")]
    Missing,
    /// No place has it undamaged.
    #[error("this photo is damaged: bring back a backup")]
    Damaged,
    /// The storage does not answer.
    #[error("this photo cannot be read now: close the app and open it again")]
    Unread,
}

/// A first place, a second copy, notes, and a timer, joined by the rules.
///
/// One action at a time: the caller awaits [`Vault::append`] before the next.
/// [`Vault::settle`] and [`Vault::blob`] may run beside it.
pub struct Vault<First, Copy, Beside, Clock> {
    first: First,
    copy: Copy,
    notes: Beside,
    timer: Clock,
    known: RefCell<Known>,
    /// Who may write the second copy: a start, or what settles.
    turns: Turns,
}

/// What the vault knows of its places.
#[derive(Default)]
struct Known {
    /// Whether and why not there may be writing; `None` before the start.
    state: Option<State>,
    /// What the first place holds; without the records, which the caller has.
    shelf: Shelf,
    witness: Witness,
    witness_due: bool,
    copy: CopyKnown,
    /// What is kept and still has to go to the second copy.
    behind: Vec<(Kept, Hash)>,
    blobs_behind: Vec<Blob>,
    packs_due: bool,
    reserve_due: bool,
    /// There is no room for the reserve, so what room there is belongs to records.
    is_tight: bool,
    photos_due: bool,
    audit_due: bool,
    /// There are records of a newer form.
    newer: bool,
    /// The records of an action of which it is not known whether it was kept.
    doubt: Vec<Kept>,
}

/// What is known of the second copy.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum CopyKnown {
    /// It must be compared first.
    #[default]
    Unsure,
    /// There is none.
    Absent,
    /// It ends here and holds this.
    Level { length: u64, tally: Tally },
}

impl<First: Store + Packs, Copy: SecondCopy, Beside: Notes, Clock: Timer> Vault<First, Copy, Beside, Clock> {
    /// Returns a vault over these places; nothing is touched before [`Vault::open`].
    pub fn new(first: First, copy: Copy, notes: Beside, timer: Clock) -> Self {
        Self { first, copy, notes, timer, known: RefCell::default(), turns: Turns::default() }
    }

    /// Tells whether the device may write no more, because numbers of it are lost.
    pub fn is_closed(&self, device: DeviceId) -> bool {
        self.known.borrow().witness.is_closed(device)
    }

    /// Notes that a kept record tells only that a backup left; call it before
    /// [`Vault::settle`].
    pub fn note_told(&self, id: EventId) {
        let mut known = self.known.borrow_mut();
        known.witness.note_told(id);
        known.witness_due = true;
    }

    /// Tells whether everything that is kept is in the second copy too.
    pub fn has_second_copy(&self) -> bool {
        let known = self.known.borrow();
        matches!(known.copy, CopyKnown::Level { .. }) && known.behind.is_empty() && known.blobs_behind.is_empty()
    }

    fn is_ready(&self) -> bool {
        self.known.borrow().state == Some(State::Ready)
    }
}
