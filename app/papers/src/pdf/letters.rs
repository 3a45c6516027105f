//! The letters of a PDF: which there are, and how wide each is.
//!
//! Two faces of one font are in the program; `fonts/README.md` says which and
//! under what licence. They have Latin, Greek, Cyrillic and common signs, where
//! one character is one shape, so nothing has to be shaped. What they lack is
//! never drawn as an empty box: words in brackets say how much is missing, and
//! the whole text goes along for whoever copies it or has it read aloud.

use krilla::text::{Font, GlyphId, KrillaGlyph};
use quaywright_core::event::{Language, Reader};
use quaywright_core::owner::words::{Hole, Word, Words};
use skrifa::charmap::Charmap;
use skrifa::instance::{LocationRef, Size};
use skrifa::metrics::GlyphMetrics;
use skrifa::{FontRef, MetadataProvider};

const REGULAR: &[u8] = include_bytes!("../../fonts/OpenSans-Regular.ttf");
const STRONG: &[u8] = include_bytes!("../../fonts/OpenSans-Semibold.ttf");

/// A face of the font.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Face {
    Regular,
    Strong,
}

/// Both faces, ready to draw with.
pub(super) struct Letters {
    regular: Cut,
    strong: Cut,
    words: Words,
}

struct Cut {
    font: Font,
    places: Charmap<'static>,
    widths: GlyphMetrics<'static>,
    /// Font units of the size.
    units: f32,
}

impl Letters {
    /// Returns the letters that the program carries, for a document in a language (BCP 47).
    pub(super) fn new(language: &str) -> Option<Self> {
        let language = Language::parse(language).unwrap_or_default();
        let words = Words::of(Reader { language, ..Reader::default() });
        Some(Self { regular: Cut::new(REGULAR)?, strong: Cut::new(STRONG)?, words })
    }

    /// Returns the document's own words.
    pub(super) fn words(&self) -> &Words {
        &self.words
    }

    fn cut(&self, face: Face) -> &Cut {
        match face {
            Face::Regular => &self.regular,
            Face::Strong => &self.strong,
        }
    }

    /// Returns the font to draw a face with.
    pub(super) fn font(&self, face: Face) -> Font {
        self.cut(face).font.clone()
    }

    /// Returns the shapes of a text, and how wide they are together at size 1.
    pub(super) fn shapes(&self, face: Face, text: &str) -> Vec<KrillaGlyph> {
        let cut = self.cut(face);
        let shape = |(at, c): (usize, char)| {
            let shape = cut.places.map(c)?;
            let width = cut.widths.advance_width(shape).unwrap_or_default() / cut.units;
            let range = at..at + c.len_utf8();
            Some(KrillaGlyph::new(GlyphId::new(shape.to_u32()), width, 0.0, 0.0, 0.0, range, None))
        };
        text.char_indices().filter_map(shape).collect()
    }

    /// Returns how wide a text is at size 1.
    pub(super) fn width(&self, face: Face, text: &str) -> f32 {
        text.chars().map(|c| self.width_of(face, c)).sum()
    }

    /// Returns how wide a character is at size 1.
    pub(super) fn width_of(&self, face: Face, c: char) -> f32 {
        let cut = self.cut(face);
        let width = cut.places.map(c).and_then(|shape| cut.widths.advance_width(shape));
        width.unwrap_or_default() / cut.units
    }

    /// Returns a text as it can be drawn: where letters are lacking, words in
    /// brackets say so.
    pub(super) fn drawable(&self, text: &str) -> Drawable {
        let mut drawn = String::with_capacity(text.len());
        let mut lacking = 0;
        let mut lacks = false;
        let flush = |drawn: &mut String, lacking: &mut usize| {
            if *lacking > 0 {
                let count = Hole::Count(u32::try_from(*lacking).unwrap_or(u32::MAX));
                drawn.push_str(&self.words.fill(Word::NotDrawn, &[("count", count)]));
                *lacking = 0;
            }
        };
        for c in text.chars() {
            if self.regular.places.map(c).is_some_and(|shape| shape.to_u32() != 0) && !is_unseen(c) {
                flush(&mut drawn, &mut lacking);
                drawn.push(c);
            } else if c == '\n' || c == '\t' {
                flush(&mut drawn, &mut lacking);
                drawn.push(if c == '\n' { '\n' } else { ' ' });
            } else if !is_unseen(c) {
                lacking += 1;
                lacks = true;
            }
        }
        flush(&mut drawn, &mut lacking);
        Drawable { text: drawn, lacks }
    }
}

impl Cut {
    fn new(bytes: &'static [u8]) -> Option<Self> {
        let face = FontRef::new(bytes).ok()?;
        let font = Font::new(bytes.into(), 0)?;
        let widths = face.glyph_metrics(Size::unscaled(), LocationRef::default());
        Some(Self { units: font.units_per_em(), font, places: face.charmap(), widths })
    }
}

/// A text that can be drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Drawable {
    pub(super) text: String,
    /// Whether letters were lacking.
    pub(super) lacks: bool,
}

/// Returns whether a character is for programs and has no shape of its own.
fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}')
        || matches!(c, '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}')
}

#[cfg(test)]
mod tests {
    use super::{Face, Letters};

    #[test]
    fn figures_are_of_one_width_so_that_columns_stand() {
        let letters = Letters::new("en").unwrap();
        for face in [Face::Regular, Face::Strong] {
            let widths = "0123456789".chars().map(|c| letters.width_of(face, c));
            let first = letters.width_of(face, '0');
            assert!(first > 0.4 && widths.into_iter().all(|width| width == first));
        }
    }

    #[test]
    fn letters_of_europe_are_there_and_what_is_lacking_is_said() {
        let letters = Letters::new("en").unwrap();
        for text in ["Ångström 2 × ½″ – 40 °C ≥ 3 €", "Ørsted, Łódź, Şişli, Ștefan", "Ναυαγός", "Причал №5"]
        {
            let drawn = letters.drawable(text);
            assert_eq!((drawn.text.as_str(), drawn.lacks), (text, false));
        }
        for (text, shown) in [
            ("سفينة 12", "[5 letters not drawn] 12"),
            ("Boat 舟", "Boat [1 letter not drawn]"),
            ("🛶 pump", "[1 letter not drawn] pump"),
        ] {
            let drawn = letters.drawable(text);
            assert_eq!((drawn.text.as_str(), drawn.lacks), (shown, true));
        }
        // Marks for programs are neither drawn nor missed.
        assert_eq!(letters.drawable("a\u{202e}b\u{feff}\u{0}").text, "ab");
    }
}
