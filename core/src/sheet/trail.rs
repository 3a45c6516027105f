//! The trail of the mends: who said what, when, why, and what it replaced.
//!
//! The technician is the book's; the device is in the name of the mend. A mend
//! that was taken back stays on the trail and says when.

use crate::book::Book;
use crate::event::{Doing, On};
use crate::id::EventId;
use crate::moment::{Day, Moment};
use crate::text::Label;
use crate::view::{Place, hour_minute, place};

/// A mend, and what it is laid over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MendSheet {
    /// The event.
    pub mend: EventId,
    /// When it was said.
    pub said: Moment,
    /// From when on.
    pub from: Moment,
    /// Until when.
    pub to: Moment,
    /// What was in fact done.
    pub doing: Doing,
    /// For what, in words.
    pub place: Place,
    /// Why; may be empty.
    pub reason: Label,
    /// When it was taken back, if it does not count.
    pub taken_back: Option<Moment>,
    /// What was said of that time before, earliest first; nothing where nothing was.
    pub replaced: Vec<Replaced>,
}

/// What was said of a time before it was mended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Replaced {
    /// From when on.
    pub from: Moment,
    /// Until when.
    pub to: Moment,
    /// What was done.
    pub doing: Doing,
    /// For what, in words.
    pub place: Place,
    /// The tap or the earlier mend that said so.
    pub said_by: EventId,
}

impl MendSheet {
    /// Returns the mend in one line.
    pub fn words(&self) -> String {
        let was: Vec<String> = self.replaced.iter().map(|it| words(it.doing, &it.place)).collect();
        let was = if was.is_empty() { "nothing".to_owned() } else { was.join(", then ") };
        // Over a night each end bears its day: from 18:00 to 18:00 is a whole day, not nothing.
        let over_night = self.from.day() != last_of(self.to).day();
        let told = |at: Moment| if over_night { format!("{} {}", at.day(), hour_minute(at)) } else { hour_minute(at) };
        let (from, to) = (told(self.from), told(self.to));
        let mut line = format!("{from} to {to}: {}; before: {was}", words(self.doing, &self.place));
        if !self.reason.is_empty() {
            line.push_str(&format!(" ({})", self.reason));
        }
        match self.taken_back {
            Some(at) => line.push_str(&format!("; taken back {} {}", at.day(), hour_minute(at))),
            None => line.push_str(&format!("; said {} {}", self.said.day(), hour_minute(self.said))),
        }
        line
    }
}

/// Returns the last instant before an end: what ends with a midnight is of the day before it.
fn last_of(to: Moment) -> Moment {
    Moment::new(to.utc_ms() - 1, to.offset_min()).unwrap_or(to)
}

/// Returns every mend that touches a local day, in the order of the log.
pub fn trail(book: &Book, day: Day) -> Vec<MendSheet> {
    let touches = |from: Moment, to: Moment| from.day() <= day && day <= last_of(to).day();
    let of_day = book.ledger.mends().filter(|it| touches(it.mend.from, it.mend.to));
    of_day.filter_map(|it| mend_sheet(book, it.id)).collect()
}

/// Returns a mend and what it is laid over.
pub fn mend_sheet(book: &Book, id: EventId) -> Option<MendSheet> {
    let mended = book.ledger.mended(id)?;
    let replaced = book.ledger.covered(id).into_iter().map(|it| Replaced {
        from: it.from,
        to: it.to,
        doing: it.doing,
        place: place_of(book, it.doing),
        said_by: it.said_by,
    });
    let mend = &mended.mend;
    Some(MendSheet {
        mend: id,
        said: mended.said,
        from: mend.from,
        to: mend.to,
        doing: mend.doing,
        place: place_of(book, mend.doing),
        reason: mend.reason.clone(),
        taken_back: book.taken_back(id).filter(|_| mended.withdrawn),
        replaced: replaced.collect(),
    })
}

fn place_of(book: &Book, doing: Doing) -> Place {
    match doing {
        Doing::Off => Place::default(),
        Doing::At { on, .. } => place(book, on),
    }
}

/// Returns an activity and what it is for in words.
fn words(doing: Doing, place: &Place) -> String {
    match doing {
        Doing::Off => "off the clock".to_owned(),
        Doing::At { activity, on: On::NoJob } => activity.words().to_owned(),
        Doing::At { activity, .. } => format!("{} on {}, {}", activity.words(), place.boat, place.job),
    }
}
