//! One at a time, where two futures of one page share something.

use std::cell::{Cell, RefCell};
use std::task::{Poll, Waker};

/// A turn that one holds and others may wait for.
#[derive(Debug, Default)]
pub(super) struct Turns {
    taken: Cell<bool>,
    waiting: RefCell<Vec<Waker>>,
}

/// Holding the turn; it is given up when this is dropped.
#[derive(Debug)]
pub(super) struct Turn<'a>(&'a Turns);

impl Turns {
    /// Returns the turn, unless somebody holds it.
    pub(super) fn take(&self) -> Option<Turn<'_>> {
        (!self.taken.replace(true)).then(|| Turn(self))
    }

    /// Waits for the turn.
    pub(super) async fn wait(&self) -> Turn<'_> {
        std::future::poll_fn(|context| match self.take() {
            Some(turn) => Poll::Ready(turn),
            None => {
                self.waiting.borrow_mut().push(context.waker().clone());
                Poll::Pending
            }
        })
        .await
    }
}

impl Drop for Turn<'_> {
    fn drop(&mut self) {
        self.0.taken.set(false);
        self.0.waiting.take().into_iter().for_each(Waker::wake);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::pin::pin;
    use std::task::Context;

    #[test]
    fn one_holds_it_and_the_next_waits() {
        let turns = Turns::default();
        let mut context = Context::from_waker(Waker::noop());
        let first = turns.take();
        assert!(first.is_some());
        assert!(turns.take().is_none() && turns.take().is_none(), "asking in vain takes nothing away");
        let mut next = pin!(turns.wait());
        assert!(next.as_mut().poll(&mut context).is_pending());
        drop(first);
        let Poll::Ready(second) = next.as_mut().poll(&mut context) else { panic!("the turn was given up") };
        assert!(turns.take().is_none());
        drop(second);
        assert!(turns.take().is_some());
    }
}
