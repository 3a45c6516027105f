//! How the fasteners of a group lie, drawn for paper and told in words.
//!
//! Each stands at its place with the number that the screen shows it with; a heavy ring says that
//! it is done in every pass. Rule: nothing is told by looks alone, so the words name the order and
//! what is still open, for whoever cannot see the drawing too.

use std::collections::BTreeSet;

use crate::event::GroupFacts;
use crate::tightening::group::Group;
use crate::tightening::pattern::{Numbering, Place};
use crate::view::{Spot, drawing};

/// A drawing of a group's fasteners.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PatternSheet {
    /// Its height, in thousandths of its width.
    pub height: u32,
    /// How large each fastener is drawn: its radius, in thousandths of the width.
    pub radius: u32,
    /// Each by its place.
    pub fasteners: Vec<FastenerSheet>,
    /// What it shows.
    pub words: String,
}

/// A fastener on a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FastenerSheet {
    /// Where it is.
    pub spot: Spot,
    /// The number that it is shown with.
    pub number: u16,
    /// Whether it is done in every pass.
    pub is_done: bool,
}

/// The largest that a fastener is drawn.
const LARGEST: u32 = 60;
/// How far it reaches towards its neighbour, in hundredths of the way.
const REACH: u32 = 40;

impl PatternSheet {
    /// Returns the drawing of a group, as far as it is tightened.
    pub fn of(facts: &GroupFacts, state: &Group) -> Self {
        let GroupFacts { pattern, numbering, .. } = facts;
        let drawn = drawing(pattern.layout());
        let open: BTreeSet<Place> = state.open().map(|step| step.place).collect();
        let places = (1..=pattern.count()).map(Place);
        let fastener = |(place, &spot): (Place, &Spot)| FastenerSheet {
            spot,
            number: pattern.number(place, *numbering),
            is_done: !open.contains(&place),
        };
        Self {
            height: drawn.height,
            radius: radius(&drawn.spots),
            fasteners: places.zip(&drawn.spots).map(fastener).collect(),
            words: words(facts, &open),
        }
    }
}

/// Returns how large fasteners can be drawn: neighbours leave room for each other.
fn radius(spots: &[Spot]) -> u32 {
    let apart = |pair: &[Spot]| {
        let [right, down] = [pair[0].x.abs_diff(pair[1].x), pair[0].y.abs_diff(pair[1].y)];
        (right * right + down * down).isqrt()
    };
    spots.windows(2).map(apart).min().map_or(LARGEST, |apart| LARGEST.min(apart * REACH / 100))
}

fn words(facts: &GroupFacts, open: &BTreeSet<Place>) -> String {
    let pattern = &facts.pattern;
    let numbers = |places: &mut dyn Iterator<Item = Place>| {
        let numbers: Vec<String> = places.map(|place| pattern.number(place, facts.numbering).to_string()).collect();
        numbers.join(", ")
    };
    let way = if pattern.is_circle() { "clockwise from the top" } else { "row by row from the upper left" };
    let numbered = match facts.numbering {
        Numbering::ByPosition => {
            let order = numbers(&mut pattern.order().iter().copied());
            ["Numbered ", way, "; tightened in the order ", &order, ". "].concat()
        }
        Numbering::ByOrder => {
            let lie = numbers(&mut (1..=pattern.count()).map(Place));
            ["Numbered in the order of tightening; ", way, " they are ", &lie, ". "].concat()
        }
    };
    let count = usize::from(pattern.count());
    let state = match open.len() {
        0 => "All are done in every pass.".to_owned(),
        all if all == count => "None is done in every pass.".to_owned(),
        _ => ["A heavy ring is done in every pass; still open: ", &numbers(&mut open.iter().copied()), "."].concat(),
    };
    [&numbered, &state, " ", pattern.basis().words()].concat()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::Hardware;
    use crate::text::Label;
    use crate::tightening::group::{Shares, Step, Tap};
    use crate::tightening::pattern::{Layout, Pattern};

    fn facts(layout: Layout, numbering: Numbering) -> GroupFacts {
        GroupFacts {
            what: Label::new("End cap"),
            side: Label::default(),
            pattern: Pattern::of(layout).unwrap(),
            numbering,
            entered: None,
            shares: Shares::parse("50, 100").unwrap(),
            hardware: Hardware::default(),
            needed: None,
        }
    }

    fn drawn(facts: &GroupFacts, steps: &[(u16, u16)]) -> PatternSheet {
        let mut state = Group::new(facts.pattern.clone(), facts.shares.passes(None));
        for &(pass, place) in steps {
            state.apply(Tap::Done(Step { pass, place: Place(place) })).unwrap();
        }
        PatternSheet::of(facts, &state)
    }

    fn all(facts: &GroupFacts) -> Vec<(u16, u16)> {
        let passes = 1..=u16::try_from(facts.shares.passes(None).len()).unwrap();
        passes.flat_map(|pass| (1..=facts.pattern.count()).map(move |place| (pass, place))).collect()
    }

    #[test]
    fn each_bears_the_number_of_the_screen_and_a_heavy_ring_when_it_is_done() {
        let by_order = facts(Layout::Circle(4), Numbering::ByOrder);
        let steps: Vec<_> = all(&by_order).into_iter().filter(|&(_, place)| place == 1 || place == 3).collect();
        let sheet = drawn(&by_order, &steps);
        let seen: Vec<_> = sheet.fasteners.iter().map(|it| (it.number, it.is_done)).collect();
        assert_eq!(seen, [(1, true), (3, false), (2, true), (4, false)]);
        assert_eq!((sheet.fasteners[1].spot, sheet.height), (Spot { x: 922, y: 500 }, 1_000));
        assert!(sheet.words.starts_with(
            "Numbered in the order of tightening; clockwise from the top they are 1, 3, 2, 4. \
             A heavy ring is done in every pass; still open: 3, 4. Star sequence"
        ));
    }

    #[test]
    fn the_words_say_what_the_drawing_shows() {
        let rows = facts(Layout::Rectangle { rows: 1, columns: 3 }, Numbering::ByPosition);
        let begins = "Numbered row by row from the upper left; tightened in the order 2, 1, 3. ";
        let none = drawn(&rows, &[(1, 2)]).words;
        assert!(none.starts_with(&[begins, "None is done in every pass."].concat()), "{none}");
        let whole = drawn(&rows, &all(&rows)).words;
        assert!(
            whole.starts_with(&[begins, "All are done in every pass. From the centre outward"].concat()),
            "{whole}"
        );
    }

    #[test]
    fn no_two_fasteners_touch() {
        let circles = (2..97).map(Layout::Circle);
        let rows = (1..10).map(|rows| Layout::Rectangle { rows, columns: 10 - rows });
        for layout in circles.chain(rows).filter(|layout| Pattern::of(*layout).is_ok()) {
            let sheet = drawn(&facts(layout, Numbering::ByOrder), &[]);
            let spots = || sheet.fasteners.iter().map(|it| it.spot);
            for (nth, one) in spots().enumerate() {
                for other in spots().skip(nth + 1) {
                    let square = one.x.abs_diff(other.x).pow(2) + one.y.abs_diff(other.y).pow(2);
                    assert!(square > (2 * sheet.radius).pow(2), "{layout:?}");
                }
            }
        }
    }
}
