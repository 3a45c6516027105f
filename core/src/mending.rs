//! A day mended by hand: what a finger or a keyboard does to its strip, as a mend.
//!
//! A boundary goes to the grid that the technician chose, and never past the far
//! end of either stretch beside it: there the stretch is gone. A typed time is
//! one of the strip's own day; on the night of a clock change it is read at the
//! offset at which it lies within the stretch.
//!
//! Rule: whether a mend may be is decided in [`crate::command`]; here nothing is
//! refused but what is no time at all.

use crate::book::Book;
use crate::book::ledger::Span;
use crate::event::{Doing, Mend};
use crate::moment::{Day, Moment};
use crate::text::Label;

/// The grid to which a boundary goes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Grid {
    /// Whole minutes.
    #[default]
    Minute,
    /// Five minutes.
    Five,
    /// Tenths of an hour.
    Six,
}

impl Grid {
    /// All, finest first.
    pub const ALL: [Grid; 3] = [Grid::Minute, Grid::Five, Grid::Six];

    /// Returns its step in minutes.
    pub const fn minutes(self) -> u8 {
        match self {
            Grid::Minute => 1,
            Grid::Five => 5,
            Grid::Six => 6,
        }
    }
}

/// A stretch of a day, off the clock or at something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    /// When it began, or the beginning of the day.
    pub from: Moment,
    /// When it ended; the end of the day, or now.
    pub to: Moment,
    /// What was done.
    pub doing: Doing,
    /// Whether a mend says so, of all of it or of a part.
    pub mended: bool,
    /// Whether it runs.
    pub runs: bool,
}

/// Returns a day from its first activity to its last one without a gap: what
/// was off the clock in between is a piece too, and what goes on is one piece,
/// whoever said it.
pub fn pieces(book: &Book, day: Day, now: Moment) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    for span in book.ledger.spans_of(day, now) {
        let next = piece(book, span, day);
        match pieces.last_mut() {
            Some(last) if last.to.utc_ms() < next.from.utc_ms() => {
                let from = last.to;
                pieces.push(Piece { from, to: next.from, doing: Doing::Off, mended: false, runs: false });
                pieces.push(next);
            }
            Some(last) if last.doing == next.doing => {
                *last = Piece { from: last.from, mended: last.mended || next.mended, ..next };
            }
            _ => pieces.push(next),
        }
    }
    pieces
}

fn piece(book: &Book, span: Span, day: Day) -> Piece {
    let doing = Doing::At { activity: span.activity, on: span.on };
    let mended = book.ledger.mended(span.said_by).is_some();
    // A day's part of a span that went on over midnight does not run.
    let runs = span.ended_by.is_none() && span.to.day() == day;
    Piece { from: span.from, to: span.to, doing, mended, runs }
}

/// Returns where a boundary between two pieces comes to lie when it is moved towards `to`.
pub fn landing(before: &Piece, after: &Piece, to: Moment, grid: Grid) -> Moment {
    let near = to.nearest(grid.minutes());
    if near.utc_ms() <= before.from.utc_ms() {
        return before.from;
    }
    if near.utc_ms() >= after.to.utc_ms() {
        return after.to;
    }
    near
}

/// Returns the mend that moves the boundary between two pieces to `to`; none where it lies there.
pub fn moved(before: &Piece, after: &Piece, to: Moment, reason: Label) -> Option<Mend> {
    let boundary = after.from;
    if to.utc_ms() > boundary.utc_ms() {
        Some(Mend { from: boundary, to, doing: before.doing, reason })
    } else if to.utc_ms() < boundary.utc_ms() {
        Some(Mend { from: to, to: boundary, doing: after.doing, reason })
    } else {
        None
    }
}

/// Returns the mend that joins a piece with a neighbour: it was what the neighbour was.
/// None for a piece that runs, since the clock would go on saying what it says.
pub fn joined(piece: &Piece, neighbour: &Piece, reason: Label) -> Option<Mend> {
    let Piece { from, to, runs, .. } = *piece;
    (!runs && from.utc_ms() < to.utc_ms()).then_some(Mend { from, to, doing: neighbour.doing, reason })
}

/// Returns the middle of a piece, to the minute: where it is split unless another time is said.
pub fn middle(piece: &Piece) -> Moment {
    let half = piece.to.since(piece.from).unwrap_or_default().minutes() / 2;
    piece.from.moved(i64::try_from(half).unwrap_or_default()).nearest(1)
}

/// Reads a time of day such as `07:05`, `7:05` or `0705`.
pub fn time_of_day(text: &str) -> Option<(u8, u8)> {
    let text = text.trim();
    let (hour, minute) = match text.split_once([':', '.', 'h']) {
        Some(parts) => parts,
        None => text.split_at_checked(text.len().checked_sub(2)?)?,
    };
    let number = |text: &str| text.parse().ok().filter(|_| (1..=2).contains(&text.len()));
    let (hour, minute) = (number(hour)?, number(minute)?);
    (hour < 24 && minute < 60 || (hour, minute) == (24, 0)).then_some((hour, minute))
}

/// Returns the moment of a typed time of `day`: at the offset of one of these
/// ends, the first at which it lies between them, else at that of `from`.
pub fn at(day: Day, (hour, minute): (u8, u8), from: Moment, to: Moment) -> Option<Moment> {
    let read = [from, to].map(|end| Moment::on(day, hour, minute, end.offset_min()));
    let between = |it: &Moment| (from.utc_ms()..=to.utc_ms()).contains(&it.utc_ms());
    read.into_iter().flatten().find(between).or(read[0])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Activity, Event, On};
    use crate::exchange::line;
    use crate::id::DeviceId;
    use crate::log::Tip;

    fn moment(text: &str) -> Moment {
        Moment::parse(text).unwrap()
    }

    fn doing(activity: Activity) -> Doing {
        Doing::At { activity, on: On::NoJob }
    }

    fn told(events: &[(&str, Event)]) -> Book {
        let mut tip = Tip::fresh(DeviceId::new([1; 8]));
        let mut book = Book::default();
        for (at, event) in events {
            let (_, sealed) = line::seal(tip.record(moment(at), event.clone()));
            tip.advance(&sealed);
            book.apply(&sealed.record);
        }
        assert_eq!(book.faults, []);
        book
    }

    fn tapped(taps: &[(&str, Doing)]) -> Book {
        told(&taps.iter().map(|&(at, to)| (at, Event::ClockSwitched { to })).collect::<Vec<_>>())
    }

    fn shown(pieces: &[Piece]) -> Vec<String> {
        let words = |doing| match doing {
            Doing::Off => "off",
            Doing::At { activity, .. } => activity.words(),
        };
        let time = |at: Moment| at.to_string()[11..16].to_owned();
        pieces.iter().map(|it| format!("{} {} {}", time(it.from), time(it.to), words(it.doing))).collect()
    }

    const DAY: &str = "2026-05-04";

    #[test]
    fn a_day_has_no_gap_between_its_first_and_last_activity() {
        let book = tapped(&[
            ("2026-05-04T08:00:00+01:00", doing(Activity::Labour)),
            ("2026-05-04T12:00:00+01:00", Doing::Off),
            ("2026-05-04T12:40:00+01:00", doing(Activity::Travel)),
            ("2026-05-04T13:00:00+01:00", doing(Activity::Diagnosis)),
        ]);
        let day = Day::parse(DAY).unwrap();
        let pieces = pieces(&book, day, moment("2026-05-04T14:00:00+01:00"));
        let expected = ["08:00 12:00 labour", "12:00 12:40 off", "12:40 13:00 travel", "13:00 14:00 diagnosis"];
        assert_eq!(shown(&pieces), expected);
        assert_eq!(pieces.iter().map(|it| it.runs).collect::<Vec<_>>(), [false, false, false, true]);
        assert_eq!(super::pieces(&Book::default(), day, moment("2026-05-04T14:00:00+01:00")), []);
    }

    #[test]
    fn a_boundary_goes_to_the_grid_and_stays_between_its_neighbours() {
        let book = tapped(&[
            ("2026-05-04T08:00:12+01:00", doing(Activity::Labour)),
            ("2026-05-04T09:00:00+01:00", doing(Activity::Travel)),
            ("2026-05-04T09:30:00+01:00", Doing::Off),
        ]);
        let pieces = pieces(&book, Day::parse(DAY).unwrap(), moment("2026-05-04T14:00:00+01:00"));
        let to = |text: &str, grid| landing(&pieces[0], &pieces[1], moment(text), grid).to_string()[11..19].to_owned();
        assert_eq!(to("2026-05-04T09:13:20+01:00", Grid::Minute), "09:13:00");
        assert_eq!(to("2026-05-04T09:13:20+01:00", Grid::Five), "09:15:00");
        assert_eq!(to("2026-05-04T09:13:20+01:00", Grid::Six), "09:12:00");
        assert_eq!(to("2026-05-04T07:00:00+01:00", Grid::Five), "08:00:12");
        assert_eq!(to("2026-05-04T11:00:00+01:00", Grid::Five), "09:30:00");
    }

    #[test]
    fn a_moved_boundary_gives_the_time_to_the_neighbour() {
        let book = tapped(&[
            ("2026-05-04T08:00:00+01:00", doing(Activity::Labour)),
            ("2026-05-04T09:00:00+01:00", doing(Activity::Travel)),
            ("2026-05-04T09:30:00+01:00", Doing::Off),
        ]);
        let (day, now) = (Day::parse(DAY).unwrap(), moment("2026-05-04T14:00:00+01:00"));
        let before = pieces(&book, day, now);
        let after_move = |text: &str| {
            let mend = moved(&before[0], &before[1], moment(text), Label::default())?;
            let mut events = vec![
                ("2026-05-04T08:00:00+01:00", Event::ClockSwitched { to: doing(Activity::Labour) }),
                ("2026-05-04T09:00:00+01:00", Event::ClockSwitched { to: doing(Activity::Travel) }),
                ("2026-05-04T09:30:00+01:00", Event::ClockSwitched { to: Doing::Off }),
            ];
            events.push(("2026-05-04T14:00:00+01:00", Event::Mended(mend)));
            Some(shown(&pieces(&told(&events), day, now)))
        };
        let lengths = |text: &str| after_move(text).map(|rows| rows.join(", "));
        let said = |text: &str| lengths(text).unwrap_or_default();
        assert_eq!(said("2026-05-04T09:10:00+01:00"), "08:00 09:10 labour, 09:10 09:30 travel");
        assert_eq!(said("2026-05-04T08:50:00+01:00"), "08:00 08:50 labour, 08:50 09:30 travel");
        assert_eq!(said("2026-05-04T09:30:00+01:00"), "08:00 09:30 labour");
        assert_eq!(lengths("2026-05-04T09:00:00+01:00"), None);
    }

    #[test]
    fn a_piece_is_joined_with_what_is_above_or_below_it() {
        let taps = [
            ("2026-05-04T08:00:00+01:00", doing(Activity::Labour)),
            ("2026-05-04T09:00:00+01:00", doing(Activity::Travel)),
            ("2026-05-04T09:30:00+01:00", Doing::Off),
            ("2026-05-04T10:00:00+01:00", doing(Activity::Waiting)),
        ];
        let (day, now) = (Day::parse(DAY).unwrap(), moment("2026-05-04T11:00:00+01:00"));
        let before = pieces(&tapped(&taps), day, now);
        let after = |mend: Mend| {
            let mut events: Vec<(&str, Event)> =
                taps.iter().map(|&(at, to)| (at, Event::ClockSwitched { to })).collect();
            events.push(("2026-05-04T11:00:00+01:00", Event::Mended(mend)));
            shown(&pieces(&told(&events), day, now)).join(", ")
        };
        let join = |piece: usize, with: usize| joined(&before[piece], &before[with], Label::default());
        assert_eq!(after(join(1, 0).unwrap()), "08:00 09:30 labour, 09:30 10:00 off, 10:00 11:00 waiting");
        assert_eq!(after(join(2, 3).unwrap()), "08:00 09:00 labour, 09:00 09:30 travel, 09:30 11:00 waiting");
        assert_eq!(after(join(1, 2).unwrap()), "08:00 09:00 labour, 09:00 10:00 off, 10:00 11:00 waiting");
        assert_eq!(join(3, 2), None, "it runs");
        assert_eq!(middle(&before[1]).to_string()[11..16], *"09:15");
    }

    #[test]
    fn reads_a_time_of_day_as_people_type_it() {
        for (text, time) in [
            ("07:05", Some((7, 5))),
            (" 7.05 ", Some((7, 5))),
            ("0705", Some((7, 5))),
            ("705", Some((7, 5))),
            ("7h05", Some((7, 5))),
            ("24:00", Some((24, 0))),
            ("24:01", None),
            ("12:60", None),
            ("", None),
            ("5", None),
            ("1:", None),
            ("123:05", None),
            ("é:05", None),
        ] {
            assert_eq!(time_of_day(text), time, "{text}");
        }
    }

    #[test]
    fn a_typed_time_on_the_night_of_a_clock_change_lies_within_its_stretch() {
        // IANA tz database: Europe/London leaves summer time on 2026-10-25 at 01:00 UTC.
        let day = Day::parse("2026-10-25").unwrap();
        let (from, to) = (moment("2026-10-25T01:50:00+01:00"), moment("2026-10-25T01:40:00+00:00"));
        let typed = |hour, minute| at(day, (hour, minute), from, to).unwrap().to_string();
        assert_eq!(typed(1, 55), "2026-10-25T01:55:00.000+01:00");
        assert_eq!(typed(1, 20), "2026-10-25T01:20:00.000+00:00");
        assert_eq!(typed(3, 0), "2026-10-25T03:00:00.000+01:00", "nowhere in it: as it began");
    }
}
