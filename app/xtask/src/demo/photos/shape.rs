//! Outlines, in pixels of a sheet of 1200 by 900.
//!
//! An outline without extent is none, and drawing none draws nothing; so a
//! scene is written as a list of strokes, without a question at each.

use tiny_skia::{Path, PathBuilder, Rect, Transform};

/// A point: pixels from the left, pixels from the top.
pub(super) type At = (f32, f32);

/// An outline, or none.
pub(super) type Shape = Option<Path>;

/// Returns a circle.
pub(super) fn circle((x, y): At, radius: f32) -> Shape {
    PathBuilder::from_circle(x, y, radius)
}

/// Returns an upright ellipse.
pub(super) fn oval((x, y): At, across: f32, down: f32) -> Shape {
    PathBuilder::from_oval(Rect::from_xywh(x - across, y - down, 2.0 * across, 2.0 * down)?)
}

/// Returns what lies between two outlines.
pub(super) fn between(outer: Shape, inner: Shape) -> Shape {
    let mut path = PathBuilder::new();
    path.push_path(&outer?);
    path.push_path(&inner?);
    path.finish()
}

/// Returns a rectangle from its upper left corner, with rounded corners.
pub(super) fn slab((x, y): At, width: f32, height: f32, corner: f32) -> Shape {
    let (right, bottom) = (x + width, y + height);
    let mut path = PathBuilder::new();
    path.move_to(x + corner, y);
    path.line_to(right - corner, y);
    path.quad_to(right, y, right, y + corner);
    path.line_to(right, bottom - corner);
    path.quad_to(right, bottom, right - corner, bottom);
    path.line_to(x + corner, bottom);
    path.quad_to(x, bottom, x, bottom - corner);
    path.line_to(x, y + corner);
    path.quad_to(x, y, x + corner, y);
    path.close();
    path.finish()
}

/// Returns an outline with corners.
pub(super) fn polygon(corners: &[At]) -> Shape {
    let mut path = PathBuilder::new();
    trace(&mut path, corners);
    path.close();
    path.finish()
}

/// Returns a line with corners.
pub(super) fn line(points: &[At]) -> Shape {
    let mut path = PathBuilder::new();
    trace(&mut path, points);
    path.finish()
}

/// Returns a smooth line through the points.
pub(super) fn curve(points: &[At]) -> Shape {
    let mut path = PathBuilder::new();
    smooth(&mut path, points, false);
    path.finish()
}

/// Returns a smooth outline through the points.
pub(super) fn pebble(points: &[At]) -> Shape {
    let mut path = PathBuilder::new();
    smooth(&mut path, points, true);
    path.close();
    path.finish()
}

/// Returns the outline turned about a point by degrees, clockwise.
pub(super) fn turned(shape: Shape, about: At, degrees: f32) -> Shape {
    shape?.transform(Transform::from_rotate_at(degrees, about.0, about.1))
}

/// Returns the outline moved.
pub(super) fn moved(shape: Shape, (right, down): At) -> Shape {
    shape?.transform(Transform::from_translate(right, down))
}

/// Returns the point at some distance from the centre, in degrees clockwise from the right.
pub(super) fn around((x, y): At, radius: f32, degrees: f32) -> At {
    let angle = degrees.to_radians();
    (x + radius * angle.cos(), y + radius * angle.sin())
}

/// Returns a hexagon, as a bolt's head is seen from above.
pub(super) fn hexagon(centre: At, radius: f32, degrees: f32) -> Shape {
    let corners: Vec<At> = (0..6).map(|side| around(centre, radius, degrees + 60.0 * side as f32)).collect();
    polygon(&corners)
}

fn trace(path: &mut PathBuilder, points: &[At]) {
    for (nth, &(x, y)) in points.iter().enumerate() {
        if nth == 0 { path.move_to(x, y) } else { path.line_to(x, y) }
    }
}

/// Lays a Catmull-Rom spline through the points: each is passed in the
/// direction from the one before it to the one after it.
fn smooth(path: &mut PathBuilder, points: &[At], closed: bool) {
    let count = points.len() as isize;
    let point = |nth: isize| {
        let nth = if closed { nth.rem_euclid(count) } else { nth.clamp(0, count - 1) };
        points[nth as usize]
    };
    let Some(&(x, y)) = points.first() else { return };
    path.move_to(x, y);
    let pieces = if closed { count } else { count - 1 };
    for nth in 0..pieces {
        let (before, from, to, after) = (point(nth - 1), point(nth), point(nth + 1), point(nth + 2));
        path.cubic_to(
            from.0 + (to.0 - before.0) / 6.0,
            from.1 + (to.1 - before.1) / 6.0,
            to.0 - (after.0 - from.0) / 6.0,
            to.1 - (after.1 - from.1) / 6.0,
            to.0,
            to.1,
        );
    }
}
