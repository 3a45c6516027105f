//! Every letter of the fonts that the app carries, held against an independent reader of fonts.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::raw::TableProvider;
use skrifa::{FontRef, GlyphId, MetadataProvider};
use ttf_parser::{Face, OutlineBuilder};

const FONTS: [&[u8]; 2] = [
    include_bytes!("../../papers/fonts/OpenSans-Regular.ttf"),
    include_bytes!("../../papers/fonts/OpenSans-Semibold.ttf"),
];

/// What was drawn, one after the other.
#[derive(Debug, Default, PartialEq)]
struct Drawn(Vec<(char, [f32; 4])>);

impl OutlinePen for Drawn {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.push(('m', [x, y, 0.0, 0.0]));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.0.push(('l', [x, y, 0.0, 0.0]));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.0.push(('q', [x1, y1, x, y]));
    }

    fn curve_to(&mut self, _: f32, _: f32, _: f32, _: f32, _: f32, _: f32) {
        self.0.push(('c', [0.0; 4]));
    }

    fn close(&mut self) {
        self.0.push(('z', [0.0; 4]));
    }
}

impl OutlineBuilder for Drawn {
    fn move_to(&mut self, x: f32, y: f32) {
        OutlinePen::move_to(self, x, y);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        OutlinePen::line_to(self, x, y);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        OutlinePen::quad_to(self, x1, y1, x, y);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        OutlinePen::curve_to(self, x1, y1, x2, y2, x, y);
    }

    fn close(&mut self) {
        OutlinePen::close(self);
    }
}

impl Drawn {
    /// Leaves out a straight line back to where its closed line begins: closing draws it.
    fn plain(self) -> Self {
        let mut plain = Vec::new();
        let mut begin = [0.0; 4];
        for (what, at) in self.0 {
            if what == 'm' {
                begin = at;
            }
            if what == 'z' && plain.last() == Some(&('l', begin)) {
                plain.pop();
            }
            plain.push((what, at));
        }
        Self(plain)
    }
}

#[test]
fn every_letter_has_the_same_outline_and_width() {
    for bytes in FONTS {
        let (font, face) = (FontRef::new(bytes).unwrap(), Face::parse(bytes, 0).unwrap());
        let (outlines, widths) = (font.outline_glyphs(), font.glyph_metrics(Size::unscaled(), LocationRef::default()));
        assert_eq!(font.glyph_names().num_glyphs(), u32::from(face.number_of_glyphs()));
        let mut with_lines = 0;
        for number in 0..face.number_of_glyphs() {
            let (mut ours, mut theirs) = (Drawn::default(), Drawn::default());
            let settings = DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
            outlines.get(GlyphId::new(number.into())).unwrap().draw(settings, &mut ours).unwrap();
            face.outline_glyph(ttf_parser::GlyphId(number), &mut theirs);
            with_lines += usize::from(!ours.0.is_empty());
            assert_eq!(ours.plain(), theirs.plain(), "letter {number}");
            let width = face.glyph_hor_advance(ttf_parser::GlyphId(number)).map(f32::from);
            assert_eq!(widths.advance_width(GlyphId::new(number.into())), width, "letter {number}");
        }
        assert!(with_lines > 700, "{with_lines}");
        let beyond = GlyphId::new(face.number_of_glyphs().into());
        assert!(outlines.get(beyond).is_none() && widths.advance_width(beyond).is_none());
    }
}

#[test]
fn every_character_has_the_same_letter() {
    for bytes in FONTS {
        let (font, face) = (FontRef::new(bytes).unwrap(), Face::parse(bytes, 0).unwrap());
        let charmap = font.charmap();
        for c in '\0'..='\u{2ffff}' {
            let ours = charmap.map(c).map(|it| it.to_u32());
            // The letter 0 stands for what the font lacks.
            let theirs = face.glyph_index(c).map(|it| u32::from(it.0)).filter(|&letter| letter != 0);
            assert_eq!(ours, theirs, "{c:?}");
        }
    }
}

#[test]
fn the_measures_are_the_same() {
    for bytes in FONTS {
        let (font, face) = (FontRef::new(bytes).unwrap(), Face::parse(bytes, 0).unwrap());
        let metrics = font.metrics(Size::unscaled(), LocationRef::default());
        assert_eq!(metrics.units_per_em, face.units_per_em());
        let told = [metrics.ascent, metrics.descent, metrics.cap_height.unwrap()];
        assert_eq!(told, [face.ascender(), face.descender(), face.capital_height().unwrap()].map(f32::from));
        let (bounds, all) = (metrics.bounds.unwrap(), face.global_bounding_box());
        let told = [bounds.x_min, bounds.y_min, bounds.x_max, bounds.y_max];
        assert_eq!(told, [all.x_min, all.y_min, all.x_max, all.y_max].map(f32::from));
        assert_eq!((metrics.is_monospace, metrics.italic_angle), (face.is_monospaced(), face.italic_angle()));
        let attributes = font.attributes();
        assert_eq!(attributes.weight.value(), f32::from(face.weight().to_number()));
        assert_eq!(attributes.stretch.ratio(), 1.0);
    }
}

#[test]
fn a_damaged_font_is_refused_and_nothing_more() {
    let whole = FONTS[0];
    let font = FontRef::new(whole).unwrap();
    let glyf = font.glyf().unwrap().offset_data().as_bytes();
    let begin = glyf.as_ptr() as usize - whole.as_ptr() as usize;
    for byte in [0x00, 0x7f, 0xff] {
        let mut torn = whole.to_vec();
        torn[begin..begin + 4_000].iter_mut().for_each(|it| *it = byte);
        let font = FontRef::new(&torn).unwrap();
        let outlines = font.outline_glyphs();
        let drawn = (0..font.glyph_names().num_glyphs()).filter(|&number| {
            let settings = DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
            outlines.get(GlyphId::new(number)).unwrap().draw(settings, &mut Drawn::default()).is_ok()
        });
        assert!(drawn.count() > 100);
    }
}
