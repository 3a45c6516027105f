//! Leaves of paper, and what is drawn on them.
//!
//! Everything is placed first and drawn afterwards, so that a page can name how
//! many there are. Lengths are points (1/72 inch), from the top left corner.

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Rect, Size, Transform};
use krilla::image::Image;
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, LineCap, LineJoin, Stroke};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag, Identifier};

use super::drawn;
use super::letters::{Face, Letters};
use crate::wire::Leaf;
use quaywright_core::view::Overlay;

/// How far the text stands from the edge: 18 mm.
pub(super) const MARGIN: f32 = 51.0;
/// How far the foot of the page reaches up from the lower margin.
pub(super) const FOOT: f32 = 18.0;

/// Returns how wide and how high a leaf is.
pub(super) fn size(leaf: Leaf) -> (f32, f32) {
    match leaf {
        Leaf::A4 => (595.28, 841.89),
        Leaf::Letter => (612.0, 792.0),
    }
}

/// How dark something is printed; each at least 7 to 1 against white, rules apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tone {
    Ink,
    Quiet,
    Rule,
    Hairline,
}

/// How a text looks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Style {
    pub(super) face: Face,
    pub(super) size: f32,
    pub(super) leading: f32,
    pub(super) tone: Tone,
}

/// Something on a page.
pub(super) enum Mark {
    /// A line of text; `y` is its upper edge.
    Text { text: String, style: Style, x: f32, y: f32 },
    /// A filled rectangle: a rule.
    Rule { x: f32, y: f32, width: f32, height: f32, tone: Tone },
    /// Lines from place to place.
    Lines { lines: Vec<Vec<(f32, f32)>>, width: f32 },
    /// A photo.
    Photo { image: Image, x: f32, y: f32, width: f32, height: f32 },
    /// What is drawn on a photo; its pixels are `scale` points large.
    Drawn { marks: Overlay, x: f32, y: f32, scale: f32 },
}

/// Whether a mark says something or only decorates.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    Content,
    Layout,
    Foot,
}

/// Draws a page's marks and returns what each is called in the tree of tags.
pub(super) fn draw(surface: &mut Surface<'_>, letters: &Letters, marks: &[(Part, Mark)]) -> Vec<Identifier> {
    let draw_one = |(part, mark): &(Part, Mark)| {
        let identifier = surface.start_tagged(match part {
            Part::Content => ContentTag::Other,
            Part::Layout => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
            Part::Foot => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Footer)),
        });
        draw_mark(surface, letters, mark);
        surface.end_tagged();
        identifier
    };
    marks.iter().map(draw_one).collect()
}

fn draw_mark(surface: &mut Surface<'_>, letters: &Letters, mark: &Mark) {
    match mark {
        Mark::Text { text, style, x, y } => {
            surface.set_fill(Some(fill(style.tone)));
            let shapes = letters.shapes(style.face, text);
            // The letters' capitals are 0.71 of their size high and stand amid the line.
            let base = y + (style.leading + style.size * 0.71) / 2.0;
            surface.draw_glyphs(Point::from_xy(*x, base), &shapes, letters.font(style.face), text, style.size, false);
        }
        Mark::Rule { x, y, width, height, tone } => {
            surface.set_fill(Some(fill(*tone)));
            if let Some(path) = rectangle(*x, *y, *width, *height) {
                surface.draw_path(&path);
            }
        }
        Mark::Lines { lines, width } => {
            surface.set_fill(None);
            surface.set_stroke(Some(Stroke {
                paint: color(Tone::Ink).into(),
                width: *width,
                line_cap: LineCap::Round,
                line_join: LineJoin::Round,
                ..Stroke::default()
            }));
            if let Some(path) = drawn(lines) {
                surface.draw_path(&path);
            }
            surface.set_stroke(None);
        }
        Mark::Photo { image, x, y, width, height } => {
            if let Some(size) = Size::from_wh(*width, *height) {
                surface.push_transform(&Transform::from_translate(*x, *y));
                surface.draw_image(image.clone(), size);
                surface.pop();
            }
        }
        Mark::Drawn { marks, x, y, scale } => drawn::draw(surface, letters, marks, (*x, *y, *scale)),
    }
}

fn rectangle(x: f32, y: f32, width: f32, height: f32) -> Option<Path> {
    let mut path = PathBuilder::new();
    path.push_rect(Rect::from_xywh(x, y, width, height)?);
    path.finish()
}

/// Returns lines as a path; a single place is a dot.
fn drawn(lines: &[Vec<(f32, f32)>]) -> Option<Path> {
    let mut path = PathBuilder::new();
    for line in lines {
        let Some(&(x, y)) = line.first() else { continue };
        path.move_to(x, y);
        path.line_to(x + 0.1, y);
        line.iter().skip(1).for_each(|&(x, y)| path.line_to(x, y));
    }
    path.finish()
}

fn color(tone: Tone) -> rgb::Color {
    match tone {
        Tone::Ink => rgb::Color::new(0x16, 0x19, 0x1a),
        Tone::Quiet => rgb::Color::new(0x46, 0x4b, 0x4d),
        Tone::Rule => rgb::Color::new(0x8a, 0x8a, 0x84),
        Tone::Hairline => rgb::Color::new(0xc8, 0xc8, 0xc0),
    }
}

fn fill(tone: Tone) -> Fill {
    let color = color(tone);
    Fill { paint: color.into(), opacity: NormalizedF32::ONE, ..Fill::default() }
}
