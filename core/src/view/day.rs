//! A day as the strip that is mended: its pieces, one after another, without a gap.

use crate::book::Book;
use crate::event::Doing;
use crate::mending::{Piece, pieces};
use crate::moment::{Day, Length, Moment};

use super::{Place, hour_minute, place};

/// One piece of a day's strip.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceRow {
    /// The piece.
    pub piece: Piece,
    /// Local time at its beginning.
    pub from: String,
    /// Local time at its end.
    pub to: String,
    /// What was done, "off the clock" where nothing was.
    pub what: &'static str,
    /// For what; empty off the clock.
    pub place: Place,
    /// How long.
    pub length: Length,
}

/// Returns a day's strip, earliest first.
pub fn day_strip(book: &Book, day: Day, now: Moment) -> Vec<PieceRow> {
    pieces(book, day, now).into_iter().map(|piece| row(book, piece)).collect()
}

fn row(book: &Book, piece: Piece) -> PieceRow {
    let (what, place) = match piece.doing {
        Doing::Off => ("off the clock", Place::default()),
        Doing::At { activity, .. } if activity.is_pause() => (activity.words(), Place::default()),
        Doing::At { activity, on } => (activity.words(), place(book, on)),
    };
    PieceRow {
        piece,
        from: hour_minute(piece.from),
        to: hour_minute(piece.to),
        what,
        place,
        length: piece.to.since(piece.from).unwrap_or_default(),
    }
}
