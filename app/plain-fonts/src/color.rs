//! Letters that have colours: a plain font has none, so none is ever returned.

use read_fonts::types::{BoundingBox, GlyphId, Point};

pub use read_fonts::tables::colr::{CompositeMode, Extend};

use crate::instance::LocationRef;

/// The letters with colours of a font: none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ColorGlyphCollection;

impl ColorGlyphCollection {
    /// Returns no letter.
    pub const fn get(self, _: GlyphId) -> Option<ColorGlyph> {
        None
    }
}

/// A letter with colours: there is none.
#[derive(Clone, Copy, Debug)]
pub enum ColorGlyph {}

impl ColorGlyph {
    /// Paints it.
    ///
    /// # Errors
    /// Never, since there is none.
    pub fn paint<'a>(&self, _: impl Into<LocationRef<'a>>, _: &mut impl ColorPainter) -> Result<(), NotPainted> {
        match *self {}
    }
}

/// Why a letter was not painted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotPainted;

/// A colour of a run of colours.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ColorStop {
    /// Where, from 0 to 1.
    pub offset: f32,
    /// How solid.
    pub alpha: f32,
    /// Which colour of the palette.
    pub palette_index: u16,
}

/// What an area would be filled with.
#[derive(Clone, Copy, Debug)]
pub enum Brush<'a> {
    /// One colour.
    Solid {
        /// Which of the palette.
        palette_index: u16,
        /// How solid.
        alpha: f32,
    },
    /// Colours along a line.
    LinearGradient {
        /// Where it begins.
        p0: Point<f32>,
        /// Where it ends.
        p1: Point<f32>,
        /// The colours.
        color_stops: &'a [ColorStop],
        /// What is beyond.
        extend: Extend,
    },
    /// Colours from circle to circle.
    RadialGradient {
        /// The middle of the first.
        c0: Point<f32>,
        /// How large it is.
        r0: f32,
        /// The middle of the second.
        c1: Point<f32>,
        /// How large it is.
        r1: f32,
        /// The colours.
        color_stops: &'a [ColorStop],
        /// What is beyond.
        extend: Extend,
    },
    /// Colours around a point.
    SweepGradient {
        /// The point.
        c0: Point<f32>,
        /// Where it begins, in degrees.
        start_angle: f32,
        /// Where it ends.
        end_angle: f32,
        /// The colours.
        color_stops: &'a [ColorStop],
        /// What is beyond.
        extend: Extend,
    },
}

/// How a drawing would be turned and moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transform {
    /// x to x.
    pub xx: f32,
    /// x to y.
    pub yx: f32,
    /// y to x.
    pub xy: f32,
    /// y to y.
    pub yy: f32,
    /// Along x.
    pub dx: f32,
    /// Along y.
    pub dy: f32,
}

/// Who would paint.
pub trait ColorPainter {
    /// Turns what follows.
    fn push_transform(&mut self, transform: Transform);
    /// Turns back.
    fn pop_transform(&mut self);
    /// Keeps what follows within a letter.
    fn push_clip_glyph(&mut self, letter: GlyphId);
    /// Keeps what follows within a box.
    fn push_clip_box(&mut self, clip: BoundingBox<f32>);
    /// Lifts the last of these.
    fn pop_clip(&mut self);
    /// Fills.
    fn fill(&mut self, brush: Brush<'_>);
    /// Begins a layer.
    fn push_layer(&mut self, mode: CompositeMode);
    /// Ends it.
    fn pop_layer(&mut self);
}
