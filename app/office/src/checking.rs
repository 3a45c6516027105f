//! Files read by one thread, checked by as many as there are cores, and handed on
//! in the order in which they stand.
//!
//! What is under way is bounded in bytes, so memory stays flat however many files
//! come and however slowly they are kept.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;

use quaywright_desk::checking::{Kept, Read};
use quaywright_desk::store::StoreError;
use quaywright_desk::unpack::{BOUNDS, Found};

use crate::reading;

/// How many bytes of files are under way at most, unless one alone is larger.
const UNDER_WAY: usize = 24 << 20;
/// What a file under way costs at least.
const LEAST: usize = 64 << 10;
/// What one costs at least that was checked.
const A_READ: usize = 4 << 10;

/// Reads and checks what some paths stand for and gives each to `take`, in their order.
pub(crate) fn check_all(
    paths: &[PathBuf],
    kept: &Kept,
    take: &mut dyn FnMut(Read) -> Result<(), StoreError>,
) -> Result<(), StoreError> {
    let room = Room::default();
    let (finds, found) = channel();
    let (checks, checked) = channel();
    let found = Mutex::new(found);
    thread::scope(|scope| {
        scope.spawn(|| read_all(paths, finds, &room));
        for _ in 0..thread::available_parallelism().map_or(1, usize::from) {
            let checks = checks.clone();
            scope.spawn(|| check(&found, checks, kept, &room));
        }
        drop(checks);
        let done = in_order(checked, |bytes, read| {
            let done = take(read);
            room.give_back(bytes);
            done
        });
        room.close();
        done
    })
}

/// A file under way: which it is, how many bytes it takes, and itself.
type Way<T> = (usize, usize, T);

fn read_all(paths: &[PathBuf], finds: Sender<Way<Found>>, room: &Room) {
    let mut nth = 0;
    for path in reading::files(paths) {
        let mut is_wanted = true;
        reading::read(&path, BOUNDS, &mut |found: Found| {
            let bytes = found.bytes.as_ref().map_or(0, Vec::len).max(LEAST);
            is_wanted = is_wanted && room.take(bytes) && finds.send((nth, bytes, found)).is_ok();
            nth += 1;
        });
        if !is_wanted {
            return;
        }
    }
}

fn check(found: &Mutex<Receiver<Way<Found>>>, checks: Sender<Way<Read>>, kept: &Kept, room: &Room) {
    loop {
        let next = found.lock().unwrap_or_else(PoisonError::into_inner).recv();
        let Ok((nth, length, found)) = next else { return };
        let read = kept.look_at_nth(nth, found);
        // Of most files little is new, and the rest is no longer in memory.
        let left = (read.bytes() + A_READ).min(length);
        room.give_back(length - left);
        if checks.send((nth, left, read)).is_err() {
            return;
        }
    }
}

/// Gives on what comes in any order by its number.
fn in_order<T>(
    come: Receiver<Way<T>>,
    mut give: impl FnMut(usize, T) -> Result<(), StoreError>,
) -> Result<(), StoreError> {
    let mut waiting = BTreeMap::new();
    let mut next = 0;
    for (nth, bytes, it) in come {
        waiting.insert(nth, (bytes, it));
        while let Some((bytes, it)) = waiting.remove(&next) {
            give(bytes, it)?;
            next += 1;
        }
    }
    Ok(())
}

/// How many bytes are under way; none when nothing is wanted any more.
struct Room {
    used: Mutex<Option<usize>>,
    changed: Condvar,
}

impl Default for Room {
    fn default() -> Self {
        Self { used: Mutex::new(Some(0)), changed: Condvar::new() }
    }
}

impl Room {
    fn used(&self) -> MutexGuard<'_, Option<usize>> {
        self.used.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Waits until there is room; tells whether anything is wanted.
    fn take(&self, bytes: usize) -> bool {
        let is_full = |used: &mut Option<usize>| used.is_some_and(|used| used > 0 && used + bytes > UNDER_WAY);
        let mut used = self.changed.wait_while(self.used(), is_full).unwrap_or_else(PoisonError::into_inner);
        *used = used.map(|used| used + bytes);
        used.is_some()
    }

    fn give_back(&self, bytes: usize) {
        let mut used = self.used();
        *used = used.map(|used| used - bytes);
        self.changed.notify_all();
    }

    fn close(&self) {
        *self.used() = None;
        self.changed.notify_all();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    fn made(folder: &std::path::Path, count: usize) -> Vec<PathBuf> {
        let make = |nth: usize| {
            let path = folder.join(format!("{nth:04}"));
            // The earlier ones are longer and so take longer; they come first all the same.
            fs::write(&path, "x".repeat((count - nth) * 40_000)).unwrap();
            path
        };
        (0..count).map(make).collect()
    }

    #[test]
    fn files_come_in_their_order_and_a_failure_ends_it() {
        let folder = tempfile::tempdir().unwrap();
        let paths = made(folder.path(), 60);
        let (kept, mut names) = (Kept::default(), Vec::new());
        let mut hear = |read: Read| {
            let Read::Wrong { name, .. } = read else { return Err(StoreError::Foreign) };
            names.push(name);
            if names.len() > 100 { Err(StoreError::Busy) } else { Ok(()) }
        };
        check_all(&paths, &kept, &mut hear).unwrap();
        assert!(matches!(check_all(&paths, &kept, &mut hear), Err(StoreError::Busy)));
        let expected = paths.iter().map(|path| path.display().to_string());
        assert_eq!(names[..60], expected.collect::<Vec<_>>());
        assert_eq!(names.len(), 101, "nothing is taken after a failure");
    }
}
