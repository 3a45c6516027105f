//! Pieces of work that may be done beside each other, and those who do them.
//!
//! Making the books of many technicians is most of what the office waits for, and each
//! is a piece of its own. Rule: the store is read and written by one only, who hands out
//! pieces and takes back what comes of them in the same order; so whoever does them,
//! and however many, it comes to the same.

use crate::store::StoreError;

/// Something that can be worked out without the store.
pub trait Piece: Send {
    /// What comes of it.
    type Done: Send;

    /// Returns how many bytes of lines it holds.
    fn bytes(&self) -> usize;

    /// Works it out.
    fn work(self) -> Self::Done;
}

/// Those who work pieces off.
pub trait Crew {
    /// Takes each piece from `next` and gives what comes of it to `done`, in the same order.
    ///
    /// # Errors
    /// The first that `next` or `done` gives.
    fn work_off<P: Piece, E: From<StoreError>>(
        &self,
        next: &mut dyn FnMut() -> Result<Option<P>, E>,
        done: &mut dyn FnMut(P::Done) -> Result<(), E>,
    ) -> Result<(), E>;
}

/// One who does it all.
pub struct Alone;

impl Crew for Alone {
    fn work_off<P: Piece, E: From<StoreError>>(
        &self,
        next: &mut dyn FnMut() -> Result<Option<P>, E>,
        done: &mut dyn FnMut(P::Done) -> Result<(), E>,
    ) -> Result<(), E> {
        while let Some(piece) = next()? {
            done(piece.work())?;
        }
        Ok(())
    }
}
