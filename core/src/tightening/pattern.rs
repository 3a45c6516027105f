//! In which order the fasteners of a group are tightened.
//!
//! **Circles** follow the legacy star sequence of ASME PCC-1 for multiples of
//! four up to 32: fours of two opposite pairs at right angles, after a table of
//! which four comes next. The sequence for 12 was seen printed, the others are
//! from memory ([`Basis`]). Other even numbers go by opposite pairs, odd ones to
//! the place nearest to opposite; larger multiples of four spread the fours
//! evenly. **Rectangles** go from the centre outward, each place followed by the
//! one across the centre (common practice).
//!
//! A maker's figure always wins. Two numberings are in use, by position and by
//! order; a screen says which one it shows ([`Numbering`]).

use crate::order;
use thiserror::Error;

/// A fastener's place from 1: clockwise on a circle, row by row in a rectangle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place(pub u16);

/// How the fasteners of a group lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Layout {
    /// So many on a circle, evenly spaced.
    Circle(u16),
    /// Rows by columns, a single row among them.
    Rectangle {
        /// How many rows.
        rows: u16,
        /// How many in each row.
        columns: u16,
    },
}

impl Layout {
    /// Returns how many there are and how they lie: "8 in a circle", "2 rows of 5", "4 in a row".
    pub fn words(self) -> String {
        match self {
            Layout::Circle(count) => count.to_string() + " in a circle",
            Layout::Rectangle { rows: 1, columns: count } | Layout::Rectangle { rows: count, columns: 1 } => {
                count.to_string() + " in a row"
            }
            Layout::Rectangle { rows, columns } => [&rows.to_string(), " rows of ", &columns.to_string()].concat(),
        }
    }
}

/// The most fasteners of one group.
pub const MOST: u16 = 96;

/// Why a layout has no pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NoPattern {
    /// Fewer than two.
    #[error("a pattern needs at least two fasteners")]
    TooFew,
    /// More than [`MOST`].
    #[error("at most 96 fasteners in one group: make several")]
    TooMany,
}

/// Where the order of a pattern comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Basis {
    /// ASME PCC-1's legacy sequence, seen printed on a page outside the standard.
    LegacySeen,
    /// ASME PCC-1's legacy sequence, from memory.
    LegacyFromMemory,
    /// No standard sequence for this number is known here; opposite ones follow each other.
    OppositeOnes,
    /// From the centre outward.
    CentreOutward,
}

impl Basis {
    /// Returns the basis in words.
    pub const fn words(self) -> &'static str {
        match self {
            Basis::LegacySeen => "Star sequence (ASME PCC-1 legacy). The maker's figure wins.",
            Basis::LegacyFromMemory => "Star sequence (ASME PCC-1 legacy, from memory). The maker's figure wins.",
            Basis::OppositeOnes => "Opposite ones in turn (common practice). The maker's figure wins.",
            Basis::CentreOutward => "From the centre outward (common practice). The maker's figure wins.",
        }
    }
}

/// Which number a fastener is shown with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Numbering {
    /// Where it lies.
    ByPosition,
    /// When it is tightened.
    ByOrder,
}

/// The order of a group's fasteners.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pattern {
    layout: Layout,
    basis: Basis,
    order: Vec<Place>,
}

impl Pattern {
    /// Returns the pattern of a layout.
    ///
    /// # Errors
    /// When there are too few fasteners or too many.
    pub fn of(layout: Layout) -> Result<Self, NoPattern> {
        let count = match layout {
            Layout::Circle(count) => count,
            Layout::Rectangle { rows, columns } => rows.saturating_mul(columns),
        };
        match count {
            0 | 1 => return Err(NoPattern::TooFew),
            2..=MOST => {}
            _ => return Err(NoPattern::TooMany),
        }
        let (order, basis) = match layout {
            Layout::Circle(_) => circle(count),
            Layout::Rectangle { rows, columns } => (rectangle(rows, columns), Basis::CentreOutward),
        };
        Ok(Self { layout, basis, order: order.into_iter().map(|from_zero| Place(from_zero + 1)).collect() })
    }

    /// Returns how the fasteners lie.
    pub const fn layout(&self) -> Layout {
        self.layout
    }

    /// Returns how many there are.
    pub const fn count(&self) -> u16 {
        match self.layout {
            Layout::Circle(count) => count,
            Layout::Rectangle { rows, columns } => rows * columns,
        }
    }

    /// Tells whether they lie on a circle.
    pub const fn is_circle(&self) -> bool {
        matches!(self.layout, Layout::Circle(_))
    }

    /// Returns where the order comes from.
    pub const fn basis(&self) -> Basis {
        self.basis
    }

    /// Returns the places in the order in which they are tightened.
    pub fn order(&self) -> &[Place] {
        &self.order
    }

    /// Returns the places in the order of the last check: round the circle, or again from the centre.
    pub fn check_order(&self) -> Vec<Place> {
        match self.layout {
            Layout::Circle(count) => (1..=count).map(Place).collect(),
            Layout::Rectangle { .. } => self.order.clone(),
        }
    }

    /// Returns the number that a place is shown with; by order, 0 for one that is not of the group.
    pub fn number(&self, place: Place, numbering: Numbering) -> u16 {
        match numbering {
            Numbering::ByPosition => place.0,
            Numbering::ByOrder => (1..).zip(&self.order).find(|it| *it.1 == place).map_or(0, |it| it.0),
        }
    }
}

/// Returns the places of a circle from 0, in order.
fn circle(count: u16) -> (Vec<u16>, Basis) {
    match (count % 4, count % 2) {
        (0, _) => {
            let quarter = count / 4;
            let (fours, basis) = fours(quarter);
            let of = |four: u16| [0, 2, 1, 3].map(|nth| four + nth * quarter);
            (fours.into_iter().flat_map(of).collect(), basis)
        }
        (_, 0) => {
            let half = count / 2;
            (steps(half).into_iter().flat_map(|pair| [pair, pair + half]).collect(), Basis::OppositeOnes)
        }
        _ => (steps(count), Basis::OppositeOnes),
    }
}

/// Returns 0 to an odd `count`, each nearly half way round from the one before.
fn steps(count: u16) -> Vec<u16> {
    let step = (count / 2).max(1);
    (0..count).map(|nth| nth * step % count).collect()
}

/// Returns in which order the fours of a circle are tightened, each named by its first place from 0.
fn fours(quarter: u16) -> (Vec<u16>, Basis) {
    let listed: &[u16] = match quarter {
        1 => &[0],
        2 => &[0, 1],
        3 => return (vec![0, 1, 2], Basis::LegacySeen),
        4 => &[0, 2, 1, 3],
        5 => &[0, 2, 4, 1, 3],
        6 => &[0, 3, 1, 4, 2, 5],
        7 => &[0, 3, 5, 1, 4, 6, 2],
        8 => &[0, 4, 2, 6, 1, 5, 3, 7],
        // Counting with the bits in reverse, each four falls into the largest gap that is left.
        _ => {
            let bits = 16 - (quarter - 1).leading_zeros();
            let spread = (0..1_u16 << bits).map(|nth| nth.reverse_bits() >> (16 - bits));
            return (spread.filter(|&four| four < quarter).collect(), Basis::OppositeOnes);
        }
    };
    (listed.to_vec(), Basis::LegacyFromMemory)
}

/// Returns the places of a rectangle from 0, nearest to the centre first, each before the one across it.
fn rectangle(rows: u16, columns: u16) -> Vec<u16> {
    let last = rows * columns - 1;
    let distance = |place: u16| {
        let off = |at: u16, count: u16| u32::from((2 * at).abs_diff(count - 1)).pow(2);
        off(place / columns, rows) + off(place % columns, columns)
    };
    order::by_key((0..=last).collect(), |&place| (distance(place), place.min(last - place), place))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn pattern(layout: Layout) -> Pattern {
        Pattern::of(layout).unwrap()
    }

    #[track_caller]
    fn check(layout: Layout, basis: Basis, expected: &str) {
        let pattern = pattern(layout);
        let told: Vec<_> = pattern.order().iter().map(|place| place.0.to_string()).collect();
        assert_eq!(told.join("-"), expected.replace(", ", "-"), "{layout:?}");
        assert_eq!(pattern.basis(), basis, "{layout:?}");
    }

    #[test]
    fn the_legacy_star_for_12_as_a_published_page_prints_it() {
        check(Layout::Circle(12), Basis::LegacySeen, "1-7-4-10, 2-8-5-11, 3-9-6-12");
    }

    #[test]
    fn the_legacy_stars_from_memory() {
        for (count, expected) in [
            (4, "1-3-2-4"),
            (8, "1-5-3-7, 2-6-4-8"),
            (16, "1-9-5-13, 3-11-7-15, 2-10-6-14, 4-12-8-16"),
            (20, "1-11-6-16, 3-13-8-18, 5-15-10-20, 2-12-7-17, 4-14-9-19"),
            (24, "1-13-7-19, 4-16-10-22, 2-14-8-20, 5-17-11-23, 3-15-9-21, 6-18-12-24"),
            (28, "1-15-8-22, 4-18-11-25, 6-20-13-27, 2-16-9-23, 5-19-12-26, 7-21-14-28, 3-17-10-24"),
            (32, "1-17-9-25, 5-21-13-29, 3-19-11-27, 7-23-15-31, 2-18-10-26, 6-22-14-30, 4-20-12-28, 8-24-16-32"),
        ] {
            check(Layout::Circle(count), Basis::LegacyFromMemory, expected);
        }
    }

    #[test]
    fn other_numbers_go_to_the_opposite() {
        for (count, expected) in [
            (2, "1-2"),
            (3, "1-2-3"),
            (5, "1-3-5-2-4"),
            (6, "1-4, 2-5, 3-6"),
            (7, "1-4-7-3-6-2-5"),
            (10, "1-6, 3-8, 5-10, 2-7, 4-9"),
            (14, "1-8, 4-11, 7-14, 3-10, 6-13, 2-9, 5-12"),
        ] {
            check(Layout::Circle(count), Basis::OppositeOnes, expected);
        }
    }

    #[test]
    fn rectangles_go_outward() {
        for (rows, columns, expected) in [
            (1, 4, "2-3, 1-4"),
            (2, 2, "1-4, 2-3"),
            (2, 3, "2-5, 1-6, 3-4"),
            (2, 5, "3-8, 2-9, 4-7, 1-10, 5-6"),
            (3, 3, "5, 2-8, 4-6, 1-9, 3-7"),
        ] {
            check(Layout::Rectangle { rows, columns }, Basis::CentreOutward, expected);
        }
    }

    #[test]
    fn numbers_by_order_are_the_other_way_round() {
        let by_order = |count| {
            let pattern = pattern(Layout::Circle(count));
            (1..=count).map(|place| pattern.number(Place(place), Numbering::ByOrder)).collect::<Vec<_>>()
        };
        // Worked by machine from the two sequences, labels read clockwise.
        assert_eq!(by_order(12), [1, 5, 9, 3, 7, 11, 2, 6, 10, 4, 8, 12]);
        assert_eq!(by_order(20), [1, 13, 5, 17, 9, 3, 15, 7, 19, 11, 2, 14, 6, 18, 10, 4, 16, 8, 20, 12]);
        // Of the legacy stars, both numberings are the same list for 4, 8, 16 and 32 only.
        for count in (4..=32).step_by(4) {
            let order: Vec<_> = pattern(Layout::Circle(count)).order().iter().map(|place| place.0).collect();
            assert_eq!(by_order(count) == order, count.is_power_of_two(), "{count}");
        }
        assert_eq!(pattern(Layout::Circle(12)).number(Place(7), Numbering::ByPosition), 7);
    }

    #[test]
    fn powers_of_two_count_with_their_bits_in_reverse() {
        for count in [4_u16, 8, 16, 32, 64] {
            let reversed = |nth: u16| (nth.reverse_bits() >> (16 - count.trailing_zeros())) + 1;
            let expected: Vec<_> = (0..count).map(reversed).map(Place).collect();
            assert_eq!(pattern(Layout::Circle(count)).order(), expected);
        }
    }

    #[test]
    fn every_circle_holds_each_place_once_and_jumps() {
        for count in 2..=MOST {
            let pattern = pattern(Layout::Circle(count));
            let order: Vec<_> = pattern.order().iter().map(|place| place.0 - 1).collect();
            assert_eq!(order::each_once(order.clone()), (0..count).collect::<Vec<_>>());
            let apart = |a: u16, b: u16| a.abs_diff(b).min(count - a.abs_diff(b));
            // Two neighbours never follow each other where there is room not to.
            if count >= 5 {
                assert!(order.windows(2).all(|pair| apart(pair[0], pair[1]) > 1), "{count}");
            }
            // The second of each pair is opposite the first, of an odd number as nearly as can be.
            let pairs = if count % 2 == 0 { order.chunks(2) } else { order[..2].chunks(2) };
            assert!(pairs.clone().all(|pair| apart(pair[0], pair[1]) == count / 2), "{count}");
            // Of a multiple of four, two pairs following each other are square.
            if count % 4 == 0 {
                assert!(order.chunks(4).all(|four| apart(four[0], four[2]) == count / 4), "{count}");
            }
        }
    }

    #[test]
    fn layouts_in_words() {
        let rectangle = |rows, columns| Layout::Rectangle { rows, columns }.words();
        assert_eq!(Layout::Circle(8).words(), "8 in a circle");
        assert_eq!([rectangle(2, 5), rectangle(1, 4), rectangle(4, 1)], ["2 rows of 5", "4 in a row", "4 in a row"]);
    }

    #[test]
    fn too_few_and_too_many() {
        for layout in [Layout::Circle(0), Layout::Circle(1), Layout::Rectangle { rows: 0, columns: 9 }] {
            assert_eq!(Pattern::of(layout), Err(NoPattern::TooFew));
        }
        for layout in [Layout::Circle(97), Layout::Rectangle { rows: 900, columns: 900 }] {
            assert_eq!(Pattern::of(layout), Err(NoPattern::TooMany));
        }
    }

    proptest! {
        #[test]
        fn a_rectangle_never_comes_back_inward(rows in 1..10_u16, columns in 1..10_u16) {
            prop_assume!(rows * columns >= 2);
            let pattern = pattern(Layout::Rectangle { rows, columns });
            let order: Vec<_> = pattern.order().iter().map(|place| place.0 - 1).collect();
            prop_assert_eq!(order::each_once(order.clone()), (0..rows * columns).collect::<Vec<_>>());
            let from_centre = |&place: &u16| {
                let off = |at: u16, count: u16| f64::from(at) - f64::from(count - 1) / 2.0;
                off(place / columns, rows).hypot(off(place % columns, columns))
            };
            prop_assert!(order.is_sorted_by(|a, b| from_centre(a) <= from_centre(b) + 1e-9));
            // After the middle one, if there is one, each is followed by the one across the centre.
            let pairs = &order[order.len() % 2..];
            prop_assert!(pairs.chunks(2).all(|pair| pair[0] + pair[1] == rows * columns - 1));
            prop_assert_eq!(pattern.check_order(), pattern.order());
        }
    }
}
