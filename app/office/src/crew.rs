//! Pieces of work done by as many threads as there are cores, and given back in order.
//!
//! How many bytes of lines are in work at once is bounded, so that two technicians'
//! long logs are never in memory together; a single one always is.

use std::collections::BTreeMap;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Mutex, PoisonError};
use std::thread;

use quaywright_desk::changes::{Crew, Done, Piece};
use quaywright_desk::store::StoreError;

/// How many bytes of lines are in work at once, unless one piece alone has more.
const IN_WORK: usize = 8 << 20;

/// As many as there are cores.
pub(crate) struct Threads;

/// A piece that was done: which it is, how many bytes it had, and what came of it.
type Back = (usize, usize, Result<Done, StoreError>);

impl Crew for Threads {
    fn work_off(
        &self,
        next: &mut dyn FnMut() -> Result<Option<Piece>, StoreError>,
        done: &mut dyn FnMut(Done) -> Result<(), StoreError>,
    ) -> Result<(), StoreError> {
        let (pieces, piece) = channel();
        let (backs, back) = channel();
        let piece = Mutex::new(piece);
        thread::scope(|scope| {
            // They end when no piece can come any more, so also when this goes wrong.
            let pieces = pieces;
            for _ in 0..thread::available_parallelism().map_or(1, usize::from) {
                let backs = backs.clone();
                scope.spawn(|| work(&piece, backs));
            }
            drop(backs);
            let mut given = Given { back, done, in_work: 0, next: 0, waiting: BTreeMap::new() };
            let mut nth = 0;
            while let Some(piece) = next()? {
                let bytes = piece.bytes();
                while given.in_work > 0 && given.in_work + bytes > IN_WORK {
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

fn work(pieces: &Mutex<Receiver<(usize, Piece)>>, backs: Sender<Back>) {
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
struct Given<'a> {
    back: Receiver<Back>,
    done: &'a mut dyn FnMut(Done) -> Result<(), StoreError>,
    in_work: usize,
    next: usize,
    waiting: BTreeMap<usize, Done>,
}

impl Given<'_> {
    /// Waits for a piece to be done; tells whether there was one.
    fn take_one(&mut self) -> Result<bool, StoreError> {
        let Ok((nth, bytes, done)) = self.back.recv() else { return Ok(false) };
        self.in_work -= bytes;
        self.waiting.insert(nth, done?);
        while let Some(done) = self.waiting.remove(&self.next) {
            (self.done)(done)?;
            self.next += 1;
        }
        Ok(true)
    }
}
