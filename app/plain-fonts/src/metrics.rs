//! The measures of a font and of its letters, in the units of its design.

use read_fonts::tables::hmtx::Hmtx;
use read_fonts::tables::os2::SelectionFlags;
use read_fonts::types::GlyphId;
use read_fonts::{FontRef, TableProvider};

/// Within what all letters lie.
pub type BoundingBox = read_fonts::types::BoundingBox<f32>;

/// The measures of a font.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Metrics {
    /// Units of the size.
    pub units_per_em: u16,
    /// Whether all letters are of one width.
    pub is_monospace: bool,
    /// How far letters lean, in degrees.
    pub italic_angle: f32,
    /// How high letters reach.
    pub ascent: f32,
    /// How low letters reach.
    pub descent: f32,
    /// How high capitals are.
    pub cap_height: Option<f32>,
    /// Within what all letters lie.
    pub bounds: Option<BoundingBox>,
}

impl Metrics {
    pub(crate) fn of(font: &FontRef<'_>) -> Self {
        let mut it = Self::default();
        if let Ok(head) = font.head() {
            it.units_per_em = head.units_per_em();
            let [x_min, y_min, x_max, y_max] = [head.x_min(), head.y_min(), head.x_max(), head.y_max()].map(f32::from);
            it.bounds = Some(BoundingBox { x_min, y_min, x_max, y_max });
        }
        if let Ok(post) = font.post() {
            it.is_monospace = post.is_fixed_pitch() != 0;
            it.italic_angle = post.italic_angle().to_f32();
        }
        if let Ok(hhea) = font.hhea() {
            (it.ascent, it.descent) = (f32::from(hhea.ascender().to_i16()), f32::from(hhea.descender().to_i16()));
        }
        if let Ok(os2) = font.os2() {
            it.cap_height = os2.s_cap_height().map(f32::from);
            // Bit 7 of fsSelection: these hold instead of those of hhea.
            if os2.fs_selection().contains(SelectionFlags::USE_TYPO_METRICS) {
                (it.ascent, it.descent) = (f32::from(os2.s_typo_ascender()), f32::from(os2.s_typo_descender()));
            }
        }
        it
    }
}

/// The measures of a font's letters.
#[derive(Clone)]
pub struct GlyphMetrics<'a> {
    letters: u16,
    widths: Option<Hmtx<'a>>,
}

impl<'a> GlyphMetrics<'a> {
    pub(crate) fn of(font: &FontRef<'a>) -> Self {
        Self { letters: font.maxp().map_or(0, |maxp| maxp.num_glyphs()), widths: font.hmtx().ok() }
    }

    /// Returns how wide a letter is.
    pub fn advance_width(&self, letter: GlyphId) -> Option<f32> {
        let at = usize::try_from(letter.to_u32()).ok().filter(|&at| at < usize::from(self.letters))?;
        let widths = self.widths.as_ref()?.h_metrics();
        // The last width holds for all letters after it.
        widths.get(at).or(widths.last()).map(|width| f32::from(width.advance()))
    }
}
