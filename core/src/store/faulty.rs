//! A place that fails as told, so that every failure can be tried.
//!
//! [`Faulty`] wraps a first place, a second copy or notes. Before each call it
//! asks its [`Faults`], shared by all places of a test, whether this call shall
//! fail and how: before or after the work was done, with an error or with
//! silence for ever, or late.

use std::cell::RefCell;
use std::rc::Rc;
use std::task::Poll;

use super::{Batch, Blob, FileEnd, Found, Kept, Note, Notes, Packs, SecondCopy, Store, StoreError};
use crate::id::{BlobId, EventId};

/// How a call fails.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Whether the work is done nevertheless.
    pub done: bool,
    /// What the call says; `None` when it never answers.
    pub says: Option<StoreError>,
}

/// The calls that can fail.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Call {
    /// [`Store::found`]
    Found,
    /// [`Store::append`]
    Append,
    /// [`Store::replace`]
    Replace,
    /// [`Store::records`]
    Records,
    /// [`Store::blob`]
    Blob,
    /// [`Store::blob_ids`]
    BlobIds,
    /// [`Packs::put_pack`]
    PutPack,
    /// [`Packs::packs`]
    Packs,
    /// [`Packs::put_reserve`]
    PutReserve,
    /// [`Packs::has_reserve`]
    HasReserve,
    /// [`Packs::drop_packs`]
    DropPacks,
    /// [`SecondCopy::end`]
    CopyEnd,
    /// [`SecondCopy::whole`]
    CopyWhole,
    /// [`SecondCopy::write`]
    CopyWrite,
    /// [`SecondCopy::rewrite`]
    CopyRewrite,
    /// [`SecondCopy::put_blob`]
    CopyPutBlob,
    /// [`SecondCopy::blob`]
    CopyBlob,
    /// [`SecondCopy::blob_ids`]
    CopyBlobIds,
    /// [`Notes::write`]
    WriteNote,
}

type Plan = dyn Fn(Call, usize) -> Option<Fault>;

/// Which calls fail, and the calls that were made.
#[derive(Clone, Default)]
pub struct Faults {
    plan: Option<Rc<Plan>>,
    /// Makes each call answer late, by a number of turns that this number draws.
    late: Option<u64>,
    made: Rc<RefCell<Vec<Call>>>,
}

impl Faults {
    /// Fails each call for which `plan`, given the call and how many calls were
    /// made before it, returns a fault.
    pub fn new(plan: impl Fn(Call, usize) -> Option<Fault> + 'static) -> Self {
        Self { plan: Some(Rc::new(plan)), ..Self::default() }
    }

    /// Fails the call after `before` others, of any kind.
    pub fn at(before: usize, fault: Fault) -> Self {
        Self::new(move |_, made| (made == before).then(|| fault.clone()))
    }

    /// Fails nothing, but lets each call begin and answer after a few turns of
    /// others, so that what goes on side by side meets in many ways.
    pub fn late(seed: u64) -> Self {
        Self { late: Some(seed), ..Self::default() }
    }

    /// Fails every call of a kind.
    pub fn every(kind: Call, fault: Fault) -> Self {
        Self::new(move |call, _| (call == kind).then(|| fault.clone()))
    }

    /// Returns the calls that were made, in order.
    pub fn made(&self) -> Vec<Call> {
        self.made.borrow().clone()
    }

    async fn dawdle(&self) {
        let Some(seed) = self.late else { return };
        // Any fixed mixing does; this is one round of a linear congruence.
        let mixed = (seed + 1)
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(self.made.borrow().len() as u64 * 2_654_435_761);
        for _ in 0..(mixed >> 20) % 4 {
            one_turn().await;
        }
    }

    fn next(&self, call: Call) -> Option<Fault> {
        let mut made = self.made.borrow_mut();
        made.push(call);
        self.plan.as_ref()?(call, made.len() - 1)
    }
}

/// Lets others have one turn.
pub async fn one_turn() {
    let mut waited = false;
    std::future::poll_fn(|context| {
        context.waker().wake_by_ref();
        if std::mem::replace(&mut waited, true) { Poll::Ready(()) } else { Poll::Pending }
    })
    .await;
}

/// A place whose calls fail as its [`Faults`] say.
#[derive(Clone, Default)]
pub struct Faulty<Place> {
    place: Place,
    faults: Faults,
}

impl<Place> Faulty<Place> {
    /// Wraps a place.
    pub fn new(place: Place, faults: &Faults) -> Self {
        Self { place, faults: faults.clone() }
    }

    async fn call<T>(&self, call: Call, work: impl Future<Output = Result<T, StoreError>>) -> Result<T, StoreError> {
        let fault = self.faults.next(call);
        self.faults.dawdle().await;
        let Some(fault) = fault else {
            let answer = work.await;
            self.faults.dawdle().await;
            return answer;
        };
        if fault.done {
            work.await?;
        }
        match fault.says {
            Some(error) => Err(error),
            None => std::future::pending().await,
        }
    }
}

impl<Place: Store> Store for Faulty<Place> {
    async fn found(&self) -> Result<Found, StoreError> {
        self.call(Call::Found, self.place.found()).await
    }

    async fn append(&self, batch: &Batch) -> Result<(), StoreError> {
        self.call(Call::Append, self.place.append(batch)).await
    }

    async fn replace(&self, batch: &Batch) -> Result<(), StoreError> {
        self.call(Call::Replace, self.place.replace(batch)).await
    }

    async fn records(&self, beyond: &[EventId]) -> Result<Vec<Kept>, StoreError> {
        self.call(Call::Records, self.place.records(beyond)).await
    }

    async fn blob(&self, id: BlobId) -> Result<Option<Vec<u8>>, StoreError> {
        self.call(Call::Blob, self.place.blob(id)).await
    }

    async fn blob_ids(&self) -> Result<Vec<BlobId>, StoreError> {
        self.call(Call::BlobIds, self.place.blob_ids()).await
    }

    async fn reconnect(&self) {
        self.place.reconnect().await;
    }
}

impl<Place: Packs> Packs for Faulty<Place> {
    async fn put_pack(&self, first: EventId, bytes: &[u8]) -> Result<(), StoreError> {
        self.call(Call::PutPack, self.place.put_pack(first, bytes)).await
    }

    async fn packs(&self) -> Result<Vec<Vec<u8>>, StoreError> {
        self.call(Call::Packs, self.place.packs()).await
    }

    async fn put_reserve(&self, bytes: &[u8]) -> Result<(), StoreError> {
        self.call(Call::PutReserve, self.place.put_reserve(bytes)).await
    }

    async fn has_reserve(&self) -> Result<bool, StoreError> {
        self.call(Call::HasReserve, self.place.has_reserve()).await
    }

    async fn drop_packs(&self) -> Result<(), StoreError> {
        self.call(Call::DropPacks, self.place.drop_packs()).await
    }
}

impl<Place: SecondCopy> SecondCopy for Faulty<Place> {
    async fn end(&self, most: usize) -> Result<FileEnd, StoreError> {
        self.call(Call::CopyEnd, self.place.end(most)).await
    }

    async fn whole(&self) -> Result<Vec<u8>, StoreError> {
        self.call(Call::CopyWhole, self.place.whole()).await
    }

    async fn write(&self, at: u64, bytes: &[u8]) -> Result<(), StoreError> {
        self.call(Call::CopyWrite, self.place.write(at, bytes)).await
    }

    async fn rewrite(&self, bytes: &[u8]) -> Result<(), StoreError> {
        self.call(Call::CopyRewrite, self.place.rewrite(bytes)).await
    }

    async fn put_blob(&self, blob: &Blob) -> Result<(), StoreError> {
        self.call(Call::CopyPutBlob, self.place.put_blob(blob)).await
    }

    async fn blob(&self, id: BlobId) -> Result<Option<Vec<u8>>, StoreError> {
        self.call(Call::CopyBlob, self.place.blob(id)).await
    }

    async fn blob_ids(&self) -> Result<Vec<BlobId>, StoreError> {
        self.call(Call::CopyBlobIds, self.place.blob_ids()).await
    }
}

impl<Place: Notes> Notes for Faulty<Place> {
    async fn read(&self, note: Note) -> Vec<String> {
        self.place.read(note).await
    }

    async fn write(&self, note: Note, text: &str) -> Result<(), StoreError> {
        self.call(Call::WriteNote, self.place.write(note, text)).await
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::moment::Length;
    use crate::store::contract::{Writer, contract};
    use crate::store::memory::{MemoryStore, NoWait};
    use crate::store::patience::within;

    #[test]
    fn without_faults_it_is_the_place() {
        pollster::block_on(contract(&Faulty::new(MemoryStore::default(), &Faults::default())));
    }

    #[test]
    fn fails_as_told() {
        let cases = [
            (Fault { done: false, says: Some(StoreError::Full) }, StoreError::Full, 0),
            (Fault { done: true, says: Some(StoreError::Aborted) }, StoreError::Aborted, 1),
            (Fault { done: false, says: None }, StoreError::Silent, 0),
            (Fault { done: true, says: None }, StoreError::Silent, 1),
        ];
        for (fault, error, kept) in cases {
            let place = MemoryStore::default();
            let faults = Faults::at(1, fault);
            let faulty = Faulty::new(place.clone(), &faults);
            let batch = Batch { records: Writer::new(1).records(1), blobs: Vec::new() };
            pollster::block_on(async {
                assert_eq!(faulty.found().await, Ok(Found::default()));
                assert_eq!(within(&NoWait, Length::ZERO, faulty.append(&batch)).await, Err(error));
                assert_eq!(place.contents(|contents| contents.records.len()), kept);
                assert_eq!(faulty.append(&batch).await, Ok(()));
            });
            assert_eq!(faults.made(), [Call::Found, Call::Append, Call::Append]);
        }
    }
}
