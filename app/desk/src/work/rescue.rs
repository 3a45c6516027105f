//! The files of a store that does not open, given away as they are.
//!
//! A damaged journal is read by nobody and changed by nothing; whoever has its bytes can
//! have them looked at. They may be many, so they are given in parts.

use super::{NotDone, Outlet, finish, table};
use crate::store::journal::{Medium, NotOpened};
use crate::wire::Answer;

/// How much is read and given at once.
const PART: u64 = 4 << 20;

/// Gives the files of a store that is not open.
pub fn rescue<M: Medium>(closed: &mut NotOpened<M>, out: &mut impl Outlet) {
    let changes = give("office-changes.bin", &mut closed.log, out);
    finish(changes.and_then(|()| give("office-photos.bin", &mut closed.photos, out)), out);
}

/// Gives a file that is not empty.
fn give(name: &str, file: &mut impl Medium, out: &mut impl Outlet) -> Result<(), NotDone> {
    let unread = |why: String| NotDone::words(format_args!("{name} cannot be read: {why}"));
    let length = file.length().map_err(unread)?;
    let mut at = 0;
    while at < length {
        let part = file.read(at, PART.min(length - at) as usize).map_err(unread)?;
        at += part.len() as u64;
        if part.is_empty() {
            return Err(unread("it ends too early".to_owned()));
        } else if at < length {
            out.answer(Answer::Part, &part);
        } else {
            table(out, name, None, &part);
        }
    }
    Ok(())
}
