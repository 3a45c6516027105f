//! Pieces of work done by as many threads as there are cores, and given back in order.
//!
//! How many bytes of lines are in work at once is bounded; a single piece always is.

use std::collections::BTreeMap;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Mutex, PoisonError};
use std::thread;

use quaywright_desk::crew::{Crew, Piece};
use quaywright_desk::store::StoreError;

/// As many as there are cores.
pub(crate) struct Threads {
    /// How many bytes of lines are in work at once, unless one piece alone has more.
    in_work: usize,
}

impl Threads {
    /// For taking in, which keeps its memory flat.
    pub(crate) const TAKING: Self = Self { in_work: 8 << 20 };
    /// For whoever asks and waits: the books of five years of two technicians are in memory together.
    pub(crate) const ASKING: Self = Self { in_work: 64 << 20 };
}

/// A piece that was done: which it is, how many bytes it had, and what came of it.
type Back<D> = (usize, usize, D);

impl Crew for Threads {
    fn work_off<P: Piece, E: From<StoreError>>(
        &self,
        next: &mut dyn FnMut() -> Result<Option<P>, E>,
        done: &mut dyn FnMut(P::Done) -> Result<(), E>,
    ) -> Result<(), E> {
        let (pieces, piece) = channel();
        let (backs, back) = channel();
        let piece = Mutex::new(piece);
        thread::scope(|scope| {
            // They end when no piece can come any more, so also when this goes wrong.
            let pieces = pieces;
            for _ in 0..cores() {
                let backs = backs.clone();
                scope.spawn(|| work(&piece, backs));
            }
            drop(backs);
            let mut given = Given { back, done, in_work: 0, next: 0, waiting: BTreeMap::new() };
            let mut nth = 0;
            while let Some(piece) = next()? {
                let bytes = piece.bytes();
                while given.in_work > 0 && given.in_work + bytes > self.in_work {
                    given.take_one()?;
                }
                given.in_work += bytes;
                if pieces.send((nth, piece)).is_err() {
                    break;
                }
                nth += 1;
            }
            drop(pieces);
            while given.take_one()? {}
            Ok(())
        })
    }
}

/// Returns how many threads work at once.
fn cores() -> usize {
    thread::available_parallelism().map_or(1, usize::from)
}

fn work<P: Piece>(pieces: &Mutex<Receiver<(usize, P)>>, backs: Sender<Back<P::Done>>) {
    loop {
        let next = pieces.lock().unwrap_or_else(PoisonError::into_inner).recv();
        let Ok((nth, piece)) = next else { return };
        let bytes = piece.bytes();
        if backs.send((nth, bytes, piece.work())).is_err() {
            return;
        }
    }
}

/// What comes back, given on in its order.
struct Given<'a, D, E> {
    back: Receiver<Back<D>>,
    done: &'a mut dyn FnMut(D) -> Result<(), E>,
    in_work: usize,
    next: usize,
    waiting: BTreeMap<usize, D>,
}

impl<D, E> Given<'_, D, E> {
    /// Waits for a piece to be done; tells whether there was one.
    fn take_one(&mut self) -> Result<bool, E> {
        let Ok((nth, bytes, done)) = self.back.recv() else { return Ok(false) };
        self.in_work -= bytes;
        self.waiting.insert(nth, done);
        while let Some(done) = self.waiting.remove(&self.next) {
            (self.done)(done)?;
            self.next += 1;
        }
        Ok(true)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::time::Duration;

    /// A piece that counts how many bytes are in work beside it.
    struct Weighed<'a> {
        nth: usize,
        bytes: usize,
        in_work: &'a AtomicUsize,
        most: &'a AtomicUsize,
    }

    impl Piece for Weighed<'_> {
        type Done = usize;

        fn bytes(&self) -> usize {
            self.bytes
        }

        fn work(self) -> usize {
            let in_work = self.in_work.fetch_add(self.bytes, Ordering::SeqCst) + self.bytes;
            self.most.fetch_max(in_work, Ordering::SeqCst);
            // The earlier ones take longer and come first all the same.
            thread::sleep(Duration::from_millis(20_u64.saturating_sub(self.nth as u64)));
            self.in_work.fetch_sub(self.bytes, Ordering::SeqCst);
            self.nth
        }
    }

    /// Works off some pieces; returns what came and how many bytes were in work at most.
    fn worked(bytes: &[usize], until: usize) -> (Vec<usize>, Result<(), StoreError>, usize) {
        let (in_work, most) = Default::default();
        let mut pieces = bytes.iter().enumerate();
        let mut next = || {
            let piece = pieces.next();
            Ok(piece.map(|(nth, &bytes)| Weighed { nth, bytes, in_work: &in_work, most: &most }))
        };
        let mut came = Vec::new();
        let ended = Threads { in_work: 10 }.work_off(&mut next, &mut |nth| {
            came.push(nth);
            if nth == until { Err(StoreError::Busy) } else { Ok(()) }
        });
        (came, ended, most.into_inner())
    }

    #[test]
    fn pieces_come_back_in_their_order_and_no_more_are_in_work_than_may_be() {
        let (came, ended, most) = worked(&[4; 30], usize::MAX);
        assert!(ended.is_ok());
        assert_eq!(came, (0..30).collect::<Vec<_>>());
        assert!(most <= 10, "{most} bytes were in work");
        // What is larger than may be is worked alone.
        let (came, _, most) = worked(&[4, 50, 4, 4], usize::MAX);
        assert_eq!((came.len(), most), (4, 50));
    }

    #[test]
    fn a_failure_ends_it() {
        let (came, ended, _) = worked(&[1; 30], 7);
        assert!(matches!(ended, Err(StoreError::Busy)));
        assert_eq!(came, (0..8).collect::<Vec<_>>());
    }
}
