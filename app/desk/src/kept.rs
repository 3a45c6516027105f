//! What is worked out of each technician's lines and kept, so that no book is made for it.
//!
//! It is kept in the store with a stamp: its form, which devices (those of others too that
//! the book is made with), and how many lines of each. Lines are never removed, so another stamp means other lines, and what bears it is
//! made anew; nothing kept is ever trusted over the lines.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::fmt::Write as _;

use quaywright_core::id::DeviceId;
use quaywright_core::text::Label;

use crate::crew::{Crew, Piece};
use crate::people::{BookLines, Phones, TechnicianBook, book_of, logs_of, people_of};
use crate::store::{Derived, Store, StoreError};

/// How many lines there are of each device.
pub(crate) type Heard = BTreeMap<DeviceId, u64>;

/// Something that is kept of each technician.
pub(crate) struct Kept {
    /// What it is called.
    pub(crate) what: &'static str,
    /// The form in which it is written.
    pub(crate) form: u32,
    /// How it is made of a book.
    pub(crate) make: fn(&TechnicianBook) -> Vec<u8>,
}

impl Kept {
    /// Returns the name under which a technician's is kept.
    pub(crate) fn name(&self, who: &str) -> String {
        format!("{} of {who}", self.what)
    }

    /// Returns its bytes.
    pub(crate) fn bytes(&self, of: &TechnicianBook) -> Vec<u8> {
        (self.make)(of)
    }

    /// Returns what says of which lines it was made.
    pub(crate) fn stamp(&self, phones: &Phones, heard: &Heard) -> String {
        stamp_of(self.form, phones, heard)
    }
}

/// Returns what says of which lines something was made, and in which form it is written.
pub(crate) fn stamp_of(form: u32, phones: &Phones, heard: &Heard) -> String {
    let mut stamp = format!("form {form}");
    for device in &phones.all() {
        let _ = write!(stamp, ", {device}: {}", heard.get(device).copied().unwrap_or_default());
    }
    stamp
}

/// What is to be read of one technician's: as it is kept, or made of lines.
struct Reading<'a, T> {
    kept: &'a Kept,
    who: String,
    stamp: String,
    from: From<T>,
}

enum From<T> {
    Kept(T),
    Lines(BookLines),
}

/// What was read, or made to be kept.
enum Found<T> {
    Read(T),
    Made(Derived),
}

impl<T: Send> Piece for Reading<'_, T> {
    /// Whose it is; nothing of somebody who said nothing.
    type Done = Result<Option<(String, Found<T>)>, StoreError>;

    fn bytes(&self) -> usize {
        match &self.from {
            From::Kept(_) => 0,
            From::Lines(lines) => lines.bytes(),
        }
    }

    fn work(self) -> Self::Done {
        let Self { kept, who, stamp, from } = self;
        let found = match from {
            From::Kept(read) => Found::Read(read),
            From::Lines(lines) => {
                let Some(of) = lines.book()? else { return Ok(None) };
                Found::Made(Derived { name: kept.name(&who), stamp, bytes: kept.bytes(&of) })
            }
        };
        Ok(Some((who, found)))
    }
}

/// Tells what is read of each technician's, one after another; it is made where it is not kept
/// yet, and for all where it is asked for `anew`, and then not kept.
pub(crate) fn each_kept<T: Default + Send>(
    store: &mut dyn Store,
    crew: &impl Crew,
    kept: &Kept,
    anew: bool,
    read: &dyn Fn(&[u8]) -> Option<T>,
    tell: &mut dyn FnMut(&Label, T),
) -> Result<(), StoreError> {
    let heard = store.heard()?;
    let mut people = people_of(store)?.into_iter();
    let store = RefCell::new(store);
    let mut next = || {
        let Some((who, phones)) = people.next() else { return Ok(None) };
        let (mut store, stamp) = (store.borrow_mut(), kept.stamp(&phones, &heard));
        let from = match known(*store, kept, (&who, &stamp), anew, read)? {
            Some(known) => From::Kept(known),
            None => From::Lines(BookLines::of(*store, &phones)?),
        };
        Ok(Some(Reading { kept, who, stamp, from }))
    };
    crew.work_off(&mut next, &mut |found: Result<Option<(String, Found<T>)>, StoreError>| {
        let Some((who, found)) = found? else { return Ok(()) };
        let found = match found {
            Found::Read(found) => found,
            Found::Made(derived) => {
                if !anew {
                    store.borrow_mut().keep_derived(&derived)?;
                }
                read(&derived.bytes).unwrap_or_default()
            }
        };
        tell(&Label::new(&who), found);
        Ok(())
    })
}

/// Returns what is read of what is kept, where it is of these lines.
fn known<T>(
    store: &mut dyn Store,
    kept: &Kept,
    (who, stamp): (&str, &str),
    anew: bool,
    read: &dyn Fn(&[u8]) -> Option<T>,
) -> Result<Option<T>, StoreError> {
    let known = if anew { None } else { store.derived(&kept.name(who))?.filter(|known| known.stamp == stamp) };
    Ok(known.and_then(|known| read(&known.bytes)))
}

/// Returns what is read of a technician's; nothing of somebody who said nothing.
pub(crate) fn one_kept<T: Default>(
    store: &mut dyn Store,
    kept: &Kept,
    (who, phones, heard): (&str, &Phones, &Heard),
    anew: bool,
    read: &dyn Fn(&[u8]) -> Option<T>,
) -> Result<Option<T>, StoreError> {
    let stamp = kept.stamp(phones, heard);
    if let Some(found) = known(store, kept, (who, &stamp), anew, read)? {
        return Ok(Some(found));
    }
    let Some(of) = book_of(&logs_of(store, phones)?) else { return Ok(None) };
    let derived = Derived { name: kept.name(who), stamp, bytes: kept.bytes(&of) };
    if !anew {
        store.keep_derived(&derived)?;
    }
    Ok(Some(read(&derived.bytes).unwrap_or_default()))
}
