//! The marks on a photo, drawn over it.
//!
//! The same outlines as on the screen and in the page ([`quaywright_core::view::Overlay`]):
//! each line broad and pale, then narrow and dark; words dark on a pale strip. Nothing
//! reaches beyond the photo. What they say stands in the words of the photo's tag.

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Rect};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke};
use krilla::surface::Surface;
use quaywright_core::view::{Overlay, Pen, Written};

use super::letters::{Face, Letters};

/// Draws marks over a photo whose upper left corner is at `x`, `y` and whose pixels are `scale` points large.
pub(super) fn draw(surface: &mut Surface<'_>, letters: &Letters, marks: &Overlay, at: (f32, f32, f32)) {
    let (x, y, scale) = at;
    let (width, height) = (f32::from(marks.size.0) * scale, f32::from(marks.size.1) * scale);
    let Some(photo) = rectangle(x, y, width, height) else { return };
    surface.push_clip_path(&photo, &FillRule::NonZero);
    if let Some(path) = outline(&marks.pens, at) {
        let narrow = marks.line as f32 * scale;
        surface.set_fill(None);
        for (color, width) in [(pale(), 3.0 * narrow), (dark(), narrow)] {
            surface.set_stroke(Some(stroke(color, width)));
            surface.draw_path(&path);
        }
        surface.set_stroke(None);
    }
    for written in &marks.written {
        words(surface, letters, written, at, width);
    }
    surface.pop();
}

/// How far the pale strip reaches beside the words, in sizes of the letters.
const BESIDE: f32 = 0.2;

fn dark() -> rgb::Color {
    rgb::Color::new(0x16, 0x19, 0x1a)
}

fn pale() -> rgb::Color {
    rgb::Color::new(0xff, 0xff, 0xff)
}

/// Draws words as they stand on the photo; what these letters are too wide for is drawn smaller.
fn words(
    surface: &mut Surface<'_>,
    letters: &Letters,
    written: &Written,
    (x, y, scale): (f32, f32, f32),
    photo_width: f32,
) {
    let text = &written.text;
    let wide = letters.width(Face::Strong, text) + 2.0 * BESIDE;
    let size = (written.size as f32 * scale).min(photo_width / wide);
    let (width, beside) = (letters.width(Face::Strong, text) * size, BESIDE * size);
    let half = (width / 2.0 + beside).min(photo_width / 2.0);
    let middle = x + (written.middle.0 as f32 * scale).clamp(half, photo_width - half);
    let down = y + written.middle.1 as f32 * scale;
    let strip = rectangle(middle - width / 2.0 - beside, down - 0.65 * size, width + 2.0 * beside, 1.3 * size);
    if let Some(strip) = strip {
        surface.set_fill(Some(fill(pale())));
        surface.draw_path(&strip);
    }
    surface.set_fill(Some(fill(dark())));
    // The letters' capitals are 0.71 of their size high and stand amid the strip.
    let base = Point::from_xy(middle - width / 2.0, down + size * 0.71 / 2.0);
    let shapes = letters.shapes(Face::Strong, text);
    surface.draw_glyphs(base, &shapes, letters.font(Face::Strong), text, size, false);
}

fn outline(pens: &[Pen], (x, y, scale): (f32, f32, f32)) -> Option<Path> {
    let on = |point: (i32, i32)| (x + point.0 as f32 * scale, y + point.1 as f32 * scale);
    let mut path = PathBuilder::new();
    for pen in pens {
        match *pen {
            Pen::To(to) => {
                let (x, y) = on(to);
                path.move_to(x, y);
            }
            Pen::Line(to) => {
                let (x, y) = on(to);
                path.line_to(x, y);
            }
            Pen::Curve(one, other, to) => {
                let ((x1, y1), (x2, y2), (x, y)) = (on(one), on(other), on(to));
                path.cubic_to(x1, y1, x2, y2, x, y);
            }
        }
    }
    path.finish()
}

fn rectangle(x: f32, y: f32, width: f32, height: f32) -> Option<Path> {
    let mut path = PathBuilder::new();
    path.push_rect(Rect::from_xywh(x, y, width, height)?);
    path.finish()
}

fn fill(color: rgb::Color) -> Fill {
    Fill { paint: color.into(), opacity: NormalizedF32::ONE, ..Fill::default() }
}

fn stroke(color: rgb::Color, width: f32) -> Stroke {
    let (line_cap, line_join) = (LineCap::Round, LineJoin::Round);
    Stroke { paint: color.into(), width, line_cap, line_join, opacity: NormalizedF32::ONE, ..Stroke::default() }
}
