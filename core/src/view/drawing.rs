//! Where the fasteners of a group are drawn.
//!
//! Whole thousandths of the drawing's width, so that a screen can lay a target over
//! each place. Rule: a place is a target only where neighbours lie at least 48 px
//! apart on the narrowest phone, 328 px beside its margins; else the list is for taps.

use crate::tightening::angle::{self, ONE};
use crate::tightening::pattern::Layout;

/// A drawing of a group.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drawing {
    /// Its height, in thousandths of its width.
    pub height: u32,
    /// The radius of the circle on which they lie, if they do.
    pub circle: Option<u32>,
    /// Each fastener by its place.
    pub spots: Vec<Spot>,
    /// Whether each can be a target for a finger.
    pub targets: bool,
}

/// Where a fastener is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot {
    /// From the left, in thousandths of the width.
    pub x: u32,
    /// From the top, in thousandths of the width.
    pub y: u32,
}

/// The width of a drawing.
const WIDTH: u32 = 1_000;
/// Room for a target: 50 px of the narrowest drawing, and a little.
const ROOM: u32 = 155;
/// The most that rows and columns lie apart.
const LOOSEST: u32 = 250;

/// Returns the drawing of a group whose fasteners lie like this.
pub fn drawing(layout: Layout) -> Drawing {
    match layout {
        Layout::Circle(count) => on_a_circle(count),
        Layout::Rectangle { rows, columns } => in_rows(rows.into(), columns.into()),
    }
}

fn on_a_circle(count: u16) -> Drawing {
    let radius = (WIDTH - ROOM) / 2;
    let spot = |nth: u32| {
        // Clockwise from the top, to the nearest degree: nobody sees a half.
        let degrees = (360 * nth + u32::from(count) / 2) / u32::from(count);
        let (right, up) = around(u16::try_from(degrees).unwrap_or(0));
        let along = |millionths: i64| {
            let off = i64::from(radius) * millionths / i64::from(ONE);
            u32::try_from(i64::from(WIDTH / 2) + off).unwrap_or(0)
        };
        Spot { x: along(right), y: along(-up) }
    };
    // Two neighbours are a chord apart: twice the radius times the sine of half the angle between them.
    let chord = u64::from(2 * radius) * u64::from(angle::sine(180 / count.max(1))) / u64::from(ONE);
    let spots = (0..count.into()).map(spot).collect();
    Drawing { height: WIDTH, circle: Some(radius), spots, targets: chord >= 147 }
}

/// Returns the sine and the cosine of up to a full turn, in millionths.
fn around(degrees: u16) -> (i64, i64) {
    match degrees % 360 {
        half @ 0..=180 => (i64::from(sine_of_half(half)), angle::cosine(half)),
        rest => (-i64::from(sine_of_half(360 - rest)), angle::cosine(360 - rest)),
    }
}

fn sine_of_half(degrees: u16) -> u32 {
    if degrees <= 90 { angle::sine(degrees) } else { angle::sine(180 - degrees) }
}

fn in_rows(rows: u32, columns: u32) -> Drawing {
    let apart = (WIDTH / columns.max(1)).min(LOOSEST);
    let left = (WIDTH - apart * columns) / 2;
    let spot =
        |place: u32| Spot { x: left + apart * (place % columns) + apart / 2, y: apart * (place / columns) + apart / 2 };
    Drawing {
        height: apart * rows,
        circle: None,
        spots: (0..rows * columns).map(spot).collect(),
        targets: apart >= ROOM,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn xy(layout: Layout) -> Vec<(u32, u32)> {
        drawing(layout).spots.iter().map(|spot| (spot.x, spot.y)).collect()
    }

    #[test]
    fn a_circle_goes_clockwise_from_the_top() {
        assert_eq!(xy(Layout::Circle(4)), [(500, 78), (922, 500), (500, 922), (78, 500)]);
        let six = xy(Layout::Circle(6));
        assert!(six[1].0 > 500 && six[1].1 < 500 && six[4].0 < 500 && six[4].1 > 500);
    }

    #[test]
    fn rows_go_from_the_upper_left() {
        assert_eq!(xy(Layout::Rectangle { rows: 1, columns: 2 }), [(375, 125), (625, 125)]);
        let drawn = drawing(Layout::Rectangle { rows: 2, columns: 5 });
        assert_eq!((drawn.height, drawn.spots[5]), (400, Spot { x: 100, y: 300 }));
    }

    #[test]
    fn targets_only_where_a_finger_has_room() {
        // 48 px of 328 are 147 thousandths.
        for count in 2..97 {
            let drawn = drawing(Layout::Circle(count));
            let [first, second] = [drawn.spots[0], drawn.spots[1]];
            let square = |a: u32, b: u32| u64::from(a.abs_diff(b)).pow(2);
            let apart = square(first.x, second.x) + square(first.y, second.y);
            assert!(!drawn.targets || apart >= 147 * 147, "{count}");
            assert_eq!(drawn.targets, count <= 16, "{count}");
        }
        assert!(drawing(Layout::Rectangle { rows: 9, columns: 6 }).targets);
        assert!(!drawing(Layout::Rectangle { rows: 1, columns: 7 }).targets);
    }

    #[test]
    fn every_spot_lies_on_the_drawing() {
        let circles = (2..97).map(Layout::Circle);
        let rows = (1..10).map(|rows| Layout::Rectangle { rows, columns: 10 - rows });
        for layout in circles.chain(rows) {
            let drawn = drawing(layout);
            assert!(drawn.spots.iter().all(|it| it.x > 0 && it.x < WIDTH && it.y > 0 && it.y < drawn.height));
        }
    }
}
