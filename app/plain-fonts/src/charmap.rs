//! Which letter stands for a character, as the table cmap says.

use read_fonts::tables::cmap::CmapSubtable;
use read_fonts::types::GlyphId;
use read_fonts::{FontRef, TableProvider};

/// Which letter stands for a character.
#[derive(Clone)]
pub struct Charmap<'a>(Option<CmapSubtable<'a>>);

impl<'a> Charmap<'a> {
    pub(crate) fn of(font: &FontRef<'a>) -> Self {
        Self(font.cmap().ok().and_then(|cmap| cmap.best_subtable()).map(|(_, _, subtable)| subtable))
    }

    /// Returns the letter for a character, if there is one.
    pub fn map(&self, c: impl Into<u32>) -> Option<GlyphId> {
        match self.0.as_ref()? {
            // Of the Unicode tables a plain font has this one (format 4).
            CmapSubtable::Format4(table) => table.map_codepoint(c.into()).filter(|letter| letter.to_u32() != 0),
            _ => None,
        }
    }
}
