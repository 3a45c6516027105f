//! What may be asked of the marks on a photo.
//!
//! Rule: a request names the mark that it draws and the one that it takes away, never all of
//! them, so that two strokes in quick succession both stay. A line by hand keeps no more of its
//! places than the eye tells apart.

use super::{Refusal, known, named};
use crate::book::Book;
use crate::event::{Event, Mark, Spot};
use crate::id::PhotoId;

/// How many places the marks on one photo may have together.
pub const MOST_SPOTS: usize = 2_000;

/// How far two places of a line by hand lie apart at least: a hundredth of the photo.
const APART: u32 = 100;

/// Draws a mark, or draws it in the place of another, or takes that one away.
pub(super) fn draw(
    book: &Book,
    photo: PhotoId,
    instead_of: Option<Mark>,
    mark: Option<Mark>,
) -> Result<Event, Refusal> {
    let mut marks = known(book.evidence.photo_of(photo), "photo")?.marks.clone();
    let mark = mark.map(fitted).transpose()?;
    match (instead_of, mark) {
        (Some(old), mark) => {
            let at = known(marks.iter().rposition(|it| *it == old), "mark")?;
            marks.splice(at..=at, mark);
        }
        (None, mark) => marks.extend(mark),
    }
    let spots = marks.iter().map(|mark| if let Mark::Stroke(spots) = mark { spots.len() } else { 1 });
    if spots.sum::<usize>() > MOST_SPOTS {
        return Err(Refusal::TooManyMarks);
    }
    Ok(Event::PhotoMarked { photo, marks })
}

fn fitted(mark: Mark) -> Result<Mark, Refusal> {
    Ok(match mark {
        Mark::Stroke(spots) => Mark::Stroke(thinned(spots)),
        Mark::Words(at, words) => Mark::Words(at, named(words, "the words for the photo")?),
        mark => mark,
    })
}

/// Leaves out what lies next to the place before; the first and the last place stay.
fn thinned(spots: Vec<Spot>) -> Vec<Spot> {
    let last = spots.last().copied();
    let mut kept: Vec<Spot> = Vec::new();
    for spot in spots {
        if kept.last().is_none_or(|before| before.apart(spot) >= APART) {
            kept.push(spot);
        }
    }
    if kept.len() > 1 && kept.last() != last.as_ref() {
        kept.pop();
        kept.extend(last);
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::command::Command;
    use crate::command::tests::Bench;
    use crate::event::{About, PhotoFacts};
    use crate::id::{BlobId, DeviceId, EventId};
    use crate::text::Label;

    fn spot(x: u16, y: u16) -> Spot {
        Spot::new(x, y).unwrap()
    }

    fn photographed(bench: &mut Bench) -> PhotoId {
        let photo = PhotoFacts {
            blob: BlobId::of(b"x"),
            bytes: 1,
            width: 4,
            height: 3,
            caption: Label::default(),
            taken: None,
            position: None,
        };
        PhotoId(bench.ask(Command::TakePhoto { about: About::Day, photo }).unwrap())
    }

    fn marks(bench: &Bench, photo: PhotoId) -> Vec<Mark> {
        bench.book.evidence.photo_of(photo).unwrap().marks.clone()
    }

    #[test]
    fn marks_are_drawn_changed_and_taken_away_one_by_one() {
        let mut bench = Bench::new();
        let photo = photographed(&mut bench);
        let (ring, arrow) = (Mark::Ring(spot(5_000, 5_000), 900), Mark::Arrow(spot(0, 0), spot(9, 9)));
        for mark in [&ring, &arrow] {
            bench.ask(Command::Draw { photo, instead_of: None, mark: Some(mark.clone()) }).unwrap();
        }
        let moved = ring.shifted(-300, 200);
        assert_eq!(moved, Mark::Ring(spot(4_700, 5_200), 900));
        bench.ask(Command::Draw { photo, instead_of: Some(ring.clone()), mark: Some(moved.clone()) }).unwrap();
        assert_eq!(marks(&bench, photo), [moved.clone(), arrow.clone()]);
        let gone = Command::Draw { photo, instead_of: Some(ring), mark: None };
        assert_eq!(bench.ask(gone), Err(Refusal::Unknown("mark")));
        bench.ask(Command::Draw { photo, instead_of: Some(moved), mark: None }).unwrap();
        assert_eq!(marks(&bench, photo), [arrow]);
        let wordless = Command::Draw { photo, instead_of: None, mark: Some(Mark::Words(spot(1, 1), Label::new(" "))) };
        assert_eq!(bench.ask(wordless), Err(Refusal::Nameless("the words for the photo")));
    }

    #[test]
    fn a_line_by_hand_keeps_its_ends_and_what_the_eye_tells_apart() {
        let mut bench = Bench::new();
        let photo = photographed(&mut bench);
        let line = (0..=250).map(|x| spot(x, 0)).collect();
        bench.ask(Command::Draw { photo, instead_of: None, mark: Some(Mark::Stroke(line)) }).unwrap();
        assert_eq!(marks(&bench, photo), [Mark::Stroke(vec![spot(0, 0), spot(100, 0), spot(250, 0)])]);
        assert_eq!(thinned(vec![spot(7, 7)]), [spot(7, 7)]);
    }

    #[test]
    fn a_photo_carries_so_many_marks() {
        let mut bench = Bench::new();
        let photo = photographed(&mut bench);
        let zigzag = |nth: usize| spot(if nth.is_multiple_of(2) { 0 } else { 10_000 }, 0);
        let full = Mark::Stroke((0..MOST_SPOTS).map(zigzag).collect());
        bench.ask(Command::Draw { photo, instead_of: None, mark: Some(full) }).unwrap();
        let more = Command::Draw { photo, instead_of: None, mark: Some(Mark::Ring(spot(1, 1), 3)) };
        assert_eq!(bench.ask(more), Err(Refusal::TooManyMarks));
        let photo = PhotoId(EventId { device: DeviceId::new([9; 8]), seq: 1 });
        assert_eq!(bench.ask(Command::Draw { photo, instead_of: None, mark: None }), Err(Refusal::Unknown("photo")));
    }
}
