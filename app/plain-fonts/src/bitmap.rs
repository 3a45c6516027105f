//! Letters that are pictures: a plain font has none, so none is ever returned.

use read_fonts::types::GlyphId;

use crate::instance::Size;

/// The pictures of a font: none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BitmapStrikes;

impl BitmapStrikes {
    /// Returns no picture.
    pub const fn glyph_for_size(self, _: Size, _: GlyphId) -> Option<BitmapGlyph<'static>> {
        None
    }

    /// Returns no form of pictures.
    pub const fn format(self) -> Option<BitmapFormat> {
        None
    }
}

/// In which table pictures would be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BitmapFormat {
    /// The table sbix.
    Sbix,
}

/// Which corner of a picture would stand at the letter's place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// The upper left one.
    TopLeft,
    /// The lower left one.
    BottomLeft,
}

/// What a picture would be written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BitmapData<'a> {
    /// Pixels of four bytes.
    Bgra(&'a [u8]),
    /// A PNG.
    Png(&'a [u8]),
    /// How solid each pixel is.
    Mask(&'a [u8]),
}

/// A letter as a picture: there is none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BitmapGlyph<'a> {
    /// Its bytes.
    pub data: BitmapData<'a>,
    /// How far right of its place it begins.
    pub bearing_x: f32,
    /// How far above its place it begins.
    pub bearing_y: f32,
    /// How far right within the picture.
    pub inner_bearing_x: f32,
    /// How far above within the picture.
    pub inner_bearing_y: f32,
    /// How many of its pixels are one size of the letters.
    pub ppem_y: f32,
    /// Which corner stands at its place.
    pub placement_origin: Origin,
    never: Never,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Never {}
