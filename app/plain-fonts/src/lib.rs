//! A reader of plain fonts, in the place of the crate of this name.
//!
//! What writes PDFs reads fonts by that crate, which reads all there are: letters
//! of four languages for outlines, hints, letters that are pictures or have
//! colours, fonts that vary. Which of it a font needs is seen only when the program
//! runs, so no linker leaves anything out; it was a quarter of the module that makes
//! documents. The fonts here (`app/papers/fonts`) are of the plainest form: TrueType
//! outlines of one shape, without hints. This reads that form and nothing else, and
//! has of that crate the names that are asked for; what a plain font cannot have is
//! never there, and its types say so.
//!
//! Sources: the `OpenType` specification, chapters glyf, cmap, hmtx, hhea, head, maxp, OS/2
//! and post. The tables themselves are read by `read-fonts`; an independent reader of
//! fonts is the oracle of the tests.

pub mod attribute;
pub mod bitmap;
pub mod charmap;
pub mod color;
pub mod instance;
pub mod metrics;
pub mod outline;

pub use outline::OutlineGlyphCollection;
pub use read_fonts as raw;
pub use read_fonts::FontRef;
pub use read_fonts::types::{GlyphId, Tag};

use read_fonts::TableProvider;

/// Names that are mostly wanted together.
pub mod prelude {
    pub use crate::instance::{LocationRef, Size};
}

/// What there is to know of a font.
pub trait MetadataProvider<'a>: Sized {
    /// Returns how heavy and how wide it is.
    fn attributes(&self) -> attribute::Attributes;

    /// Returns along what it varies: nothing.
    fn axes(&self) -> instance::AxisCollection;

    /// Returns its letters' names, of which only their number is known.
    fn glyph_names(&self) -> GlyphNames;

    /// Returns its measures.
    fn metrics(&self, size: instance::Size, location: impl Into<instance::LocationRef<'a>>) -> metrics::Metrics;

    /// Returns the measures of its letters.
    fn glyph_metrics(
        &self,
        size: instance::Size,
        location: impl Into<instance::LocationRef<'a>>,
    ) -> metrics::GlyphMetrics<'a>;

    /// Returns which letter stands for a character.
    fn charmap(&self) -> charmap::Charmap<'a>;

    /// Returns the outlines of its letters.
    fn outline_glyphs(&self) -> OutlineGlyphCollection<'a>;

    /// Returns its letters that have colours: none.
    fn color_glyphs(&self) -> color::ColorGlyphCollection;

    /// Returns its letters that are pictures: none.
    fn bitmap_strikes(&self) -> bitmap::BitmapStrikes;
}

impl<'a> MetadataProvider<'a> for FontRef<'a> {
    fn attributes(&self) -> attribute::Attributes {
        attribute::Attributes::of(self)
    }

    fn axes(&self) -> instance::AxisCollection {
        instance::AxisCollection
    }

    fn glyph_names(&self) -> GlyphNames {
        GlyphNames(self.maxp().map_or(0, |maxp| u32::from(maxp.num_glyphs())))
    }

    fn metrics(&self, _: instance::Size, _: impl Into<instance::LocationRef<'a>>) -> metrics::Metrics {
        metrics::Metrics::of(self)
    }

    fn glyph_metrics(&self, _: instance::Size, _: impl Into<instance::LocationRef<'a>>) -> metrics::GlyphMetrics<'a> {
        metrics::GlyphMetrics::of(self)
    }

    fn charmap(&self) -> charmap::Charmap<'a> {
        charmap::Charmap::of(self)
    }

    fn outline_glyphs(&self) -> OutlineGlyphCollection<'a> {
        OutlineGlyphCollection::of(self)
    }

    fn color_glyphs(&self) -> color::ColorGlyphCollection {
        color::ColorGlyphCollection
    }

    fn bitmap_strikes(&self) -> bitmap::BitmapStrikes {
        bitmap::BitmapStrikes
    }
}

/// The names of letters, of which only their number is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GlyphNames(u32);

impl GlyphNames {
    /// Returns how many letters there are.
    pub const fn num_glyphs(self) -> u32 {
        self.0
    }
}
