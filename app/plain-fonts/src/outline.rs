//! The outlines of letters, as the table glyf has them.
//!
//! A letter is a row of closed lines, of points on them and points beside them; two
//! points beside follow each other with one on the line half way between. Or it is put
//! together from other letters, each moved and perhaps turned.

use std::marker::PhantomData;

use read_fonts::tables::glyf::{Anchor, CompositeGlyph, CompositeGlyphFlags, CurvePoint, Glyf, Glyph, SimpleGlyph};
use read_fonts::tables::loca::Loca;
use read_fonts::types::GlyphId;
use read_fonts::{FontRef, TableProvider};

use crate::instance::{LocationRef, Size};

/// How deep letters may be put together from letters.
const DEEPEST: u8 = 8;

/// Who draws an outline.
pub trait OutlinePen {
    /// Begins a line.
    fn move_to(&mut self, x: f32, y: f32);
    /// Draws a straight line.
    fn line_to(&mut self, x: f32, y: f32);
    /// Draws a curve with one point beside it.
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32);
    /// Draws a curve with two points beside it, which a plain font has none of.
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32);
    /// Closes the line.
    fn close(&mut self);
}

/// How letters are drawn: in the units of the design.
#[derive(Clone, Copy, Debug)]
pub struct DrawSettings<'a>(PhantomData<&'a ()>);

impl<'a> DrawSettings<'a> {
    /// Returns the one way to draw.
    pub fn unhinted(_: Size, _: impl Into<LocationRef<'a>>) -> Self {
        Self(PhantomData)
    }
}

/// Why a letter was not drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotDrawn;

/// The outlines of a font's letters.
#[derive(Clone)]
pub struct OutlineGlyphCollection<'a>(Option<(Loca<'a>, Glyf<'a>)>);

impl<'a> OutlineGlyphCollection<'a> {
    pub(crate) fn of(font: &FontRef<'a>) -> Self {
        Self(font.loca(None).ok().zip(font.glyf().ok()))
    }

    /// Returns the outline of a letter; one that has no lines, such as a space, has an empty one.
    pub fn get(&self, letter: GlyphId) -> Option<OutlineGlyph<'a>> {
        let (loca, _) = self.0.as_ref()?;
        let is_there = usize::try_from(letter.to_u32()).is_ok_and(|at| at < loca.len());
        is_there.then(|| OutlineGlyph { all: self.clone(), letter })
    }

    fn read(&self, letter: GlyphId) -> Result<Option<Glyph<'a>>, NotDrawn> {
        let (loca, glyf) = self.0.as_ref().ok_or(NotDrawn)?;
        loca.get_glyf(letter, glyf).map_err(|_| NotDrawn)
    }
}

/// The outline of a letter.
#[derive(Clone)]
pub struct OutlineGlyph<'a> {
    all: OutlineGlyphCollection<'a>,
    letter: GlyphId,
}

impl OutlineGlyph<'_> {
    /// Draws it.
    ///
    /// # Errors
    /// When the font is damaged.
    pub fn draw<'b>(&self, _: DrawSettings<'b>, pen: &mut impl OutlinePen) -> Result<(), NotDrawn> {
        draw(&self.all, self.letter, Placed::AS_IT_IS, DEEPEST, pen)
    }
}

/// Where a letter stands within the one that is put together from it.
#[derive(Clone, Copy)]
struct Placed {
    /// x to x, x to y, y to x, y to y.
    turned: [f32; 4],
    moved: (f32, f32),
}

impl Placed {
    const AS_IT_IS: Self = Self { turned: [1.0, 0.0, 0.0, 1.0], moved: (0.0, 0.0) };

    fn of(self, (x, y): (f32, f32)) -> (f32, f32) {
        let [xx, yx, xy, yy] = self.turned;
        (xx * x + xy * y + self.moved.0, yx * x + yy * y + self.moved.1)
    }

    /// Returns where something stands that stands so within this.
    fn with(self, inner: Self) -> Self {
        let [xx, yx, xy, yy] = self.turned;
        let [ixx, iyx, ixy, iyy] = inner.turned;
        let turned = [xx * ixx + xy * iyx, yx * ixx + yy * iyx, xx * ixy + xy * iyy, yx * ixy + yy * iyy];
        Self { turned, moved: self.of(inner.moved) }
    }
}

fn draw(
    all: &OutlineGlyphCollection<'_>,
    letter: GlyphId,
    placed: Placed,
    deeper: u8,
    pen: &mut impl OutlinePen,
) -> Result<(), NotDrawn> {
    match all.read(letter)? {
        None => Ok(()),
        Some(Glyph::Simple(lines)) => draw_lines(&lines, placed, pen),
        Some(Glyph::Composite(parts)) => draw_parts(all, &parts, placed, deeper.checked_sub(1).ok_or(NotDrawn)?, pen),
    }
}

fn draw_parts(
    all: &OutlineGlyphCollection<'_>,
    parts: &CompositeGlyph<'_>,
    placed: Placed,
    deeper: u8,
    pen: &mut impl OutlinePen,
) -> Result<(), NotDrawn> {
    for part in parts.components() {
        // One that is put point on point is in no plain font.
        let Anchor::Offset { x, y } = part.anchor else { return Err(NotDrawn) };
        let turn = part.transform;
        let turned = [turn.xx, turn.yx, turn.xy, turn.yy].map(|it| it.to_f32());
        let mut inner = Placed { turned, moved: (f32::from(x), f32::from(y)) };
        if part.flags.contains(CompositeGlyphFlags::SCALED_COMPONENT_OFFSET) {
            inner.moved = Placed { turned, moved: (0.0, 0.0) }.of(inner.moved);
        }
        draw(all, part.glyph.into(), placed.with(inner), deeper, pen)?;
    }
    Ok(())
}

fn draw_lines(letter: &SimpleGlyph<'_>, placed: Placed, pen: &mut impl OutlinePen) -> Result<(), NotDrawn> {
    let points: Vec<CurvePoint> = letter.points().collect();
    let mut from = 0;
    for end in letter.end_pts_of_contours() {
        let to = usize::from(end.get()) + 1;
        draw_line(points.get(from..to).ok_or(NotDrawn)?, placed, pen);
        from = to;
    }
    Ok(())
}

/// Draws one closed line.
fn draw_line(points: &[CurvePoint], placed: Placed, pen: &mut impl OutlinePen) {
    let at = |point: &CurvePoint| placed.of((f32::from(point.x), f32::from(point.y)));
    let half_way = |one: (f32, f32), other: (f32, f32)| (f32::midpoint(one.0, other.0), f32::midpoint(one.1, other.1));
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return };
    // It begins at a point that is on it: the first, else the last, else half way between these.
    let (begin, rest) = match (first.on_curve, last.on_curve) {
        (true, _) => (at(first), &points[1..]),
        (false, true) => (at(last), &points[..points.len() - 1]),
        (false, false) => (half_way(at(last), at(first)), points),
    };
    pen.move_to(begin.0, begin.1);
    let mut beside: Option<(f32, f32)> = None;
    for point in rest {
        let here = at(point);
        match (beside, point.on_curve) {
            (None, true) => pen.line_to(here.0, here.1),
            (Some((x, y)), true) => pen.quad_to(x, y, here.0, here.1),
            (None, false) => {}
            (Some((x, y)), false) => {
                let (to_x, to_y) = half_way((x, y), here);
                pen.quad_to(x, y, to_x, to_y);
            }
        }
        beside = if point.on_curve { None } else { Some(here) };
    }
    if let Some((x, y)) = beside {
        pen.quad_to(x, y, begin.0, begin.1);
    }
    pen.close();
}
