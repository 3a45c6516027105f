//! Blocks set one below the other, page after page.
//!
//! A heading never ends a page and takes the rule above it along, a row of a table or of
//! facts is never torn, a photo keeps its caption and a signature what is said of it below.
//! Each kind of block has one function here, and each names its part in the tree of tags
//! as it is set.

use std::collections::BTreeMap;

use krilla::image::Image;
use quaywright_core::agreement::consent::{HIGH, WIDE};
use quaywright_core::id::BlobId;
use quaywright_core::owner::words::{Hole, Word};
use quaywright_core::view::Overlay;

use super::leaf::{FOOT, MARGIN, Mark, Part, Style, Tone, size};
use super::letters::{Face, Letters};
use super::lines::lines;
use super::markup::{Block, Drawing, Fastener, Pattern, Photo};
use super::tree::{Kind, NodeId, Tree};
use crate::wire::Leaf;

const fn style(face: Face, size: f32, leading: f32, tone: Tone) -> Style {
    Style { face, size, leading, tone }
}

const TITLE: Style = style(Face::Strong, 22.0, 28.0, Tone::Ink);
const LEAD: Style = style(Face::Regular, 13.0, 18.0, Tone::Ink);
const JOB: Style = style(Face::Strong, 16.0, 21.0, Tone::Ink);
const HEAD: Style = style(Face::Strong, 12.5, 17.0, Tone::Ink);
const SMALL: Style = style(Face::Strong, 8.5, 12.0, Tone::Quiet);
const BODY: Style = style(Face::Regular, 10.5, 15.0, Tone::Ink);
const WARNING: Style = style(Face::Strong, 10.5, 15.0, Tone::Ink);
const QUIET: Style = style(Face::Regular, 10.5, 15.0, Tone::Quiet);
const SUM: Style = style(Face::Regular, 18.0, 23.0, Tone::Ink);
const FOOTING: Style = style(Face::Regular, 8.0, 11.0, Tone::Quiet);

/// How high a photo may be: alone, and beside another, where the page is no lower than three rows of them.
const PHOTO_ALONE: f32 = 312.0;
const PHOTO_BESIDE: f32 = 240.0;
/// How much of the height stands below a photo: two lines of words and what is between rows.
const BELOW_PHOTO: f32 = 36.0;
const GUTTER: f32 = 15.0;
/// How high the field of a signature is.
const DRAWN: f32 = 56.0;
/// How high that is with two lines above it and its caption and three lines below it.
const SIGNED: f32 = 2.0 * BODY.leading + 3.0 + DRAWN + 4.0 + SMALL.leading + 8.0 + 3.0 * QUIET.leading;

/// How large a pixel of a page is.
const PIXEL: f32 = 0.75;
/// How wide the ring of a fastener is: of one that is done in every pass, and of the others.
const HEAVY: f32 = 2.4;
const LIGHT: f32 = 0.8;

/// The photos that came in, by their names; nothing for one that cannot be shown.
pub(super) type Pictures = BTreeMap<BlobId, Option<Image>>;

/// A document that is being set.
pub(super) struct Flow<'a> {
    letters: &'a Letters,
    pictures: &'a Pictures,
    leaf: Leaf,
    /// What stands on each page.
    pub(super) pages: Vec<Vec<(Part, Mark)>>,
    /// What it all is.
    pub(super) tree: Tree,
    /// The headings, with their pages and how far down they stand.
    pub(super) headings: Vec<(String, usize, f32)>,
    /// How many texts could not be drawn whole.
    pub(super) lacking: usize,
    /// A rule that stands above what follows, on the same page: whether it is heavy.
    above: Option<bool>,
    /// Whether words would stand close below something that is no text.
    below_rows: bool,
    y: f32,
}

impl<'a> Flow<'a> {
    /// Begins on an empty page.
    pub(super) fn new(letters: &'a Letters, pictures: &'a Pictures, leaf: Leaf) -> Self {
        let (pages, tree, headings) = (vec![Vec::new()], Tree::default(), Vec::new());
        let (above, below_rows) = (None, false);
        Self { letters, pictures, leaf, pages, tree, headings, lacking: 0, above, below_rows, y: MARGIN }
    }

    /// Sets a block; `rest` is what comes after it.
    pub(super) fn set(&mut self, block: &Block, rest: &[Block]) {
        if let Block::Rule { heavy } = block {
            // Of rules that follow each other with nothing between them the heavy one is drawn.
            self.above = Some(*heavy || self.above == Some(true));
            self.below_rows = false;
            return;
        }
        self.rule(needed(block, rest));
        match block {
            Block::Title(text) => self.title(text),
            Block::Label(text) => self.paragraph(text, SMALL),
            Block::Lead(text) => self.paragraph(text, LEAD),
            Block::Rule { .. } => {}
            Block::Head { text, large } => self.heading(2, text, if *large { JOB } else { HEAD }, rest),
            Block::Small(text) => self.heading(3, text, SMALL, rest),
            Block::Warning(text) => self.paragraph(text, WARNING),
            Block::Words { text, quiet } => {
                if self.below_rows {
                    self.space(8.0);
                }
                // What somebody signed, and the signature.
                if matches!(rest.first(), Some(Block::Drawn(_))) {
                    self.room(SIGNED);
                }
                self.paragraph(text, if *quiet { QUIET } else { BODY });
            }
            Block::Facts { facts, large } => self.facts(facts, if *large { SUM } else { BODY }),
            Block::List(items) => self.list(items),
            Block::Table(rows) => self.table(rows),
            Block::Photos(photos) => self.photos(photos),
            Block::Pattern(pattern) => self.pattern(pattern),
            Block::Drawn(drawing) => {
                self.drawing(drawing, matches!(rest.first(), Some(Block::Words { quiet: true, .. })))
            }
        }
        self.below_rows = matches!(block, Block::List(_) | Block::Table(_) | Block::Photos(_));
    }

    /// Writes the foot of each page.
    pub(super) fn feet(&mut self, title: &str) {
        let (width, height) = size(self.leaf);
        let y = height - MARGIN - FOOT + 7.0;
        let whole = |number: usize| Hole::Count(u32::try_from(number).unwrap_or(u32::MAX));
        let count = whole(self.pages.len());
        let title = self.letters.drawable(title).text;
        let title = self.cut(&title, FOOTING, self.width() - 90.0).into_iter().next().unwrap_or_default();
        for (number, page) in (1..).zip(&mut self.pages) {
            let numbering = self.letters.words().fill(Word::PageOf, &[("page", whole(number)), ("count", count)]);
            let x = width - MARGIN - self.letters.width(FOOTING.face, &numbering) * FOOTING.size;
            page.push((Part::Foot, Mark::Text { text: title.clone(), style: FOOTING, x: MARGIN, y }));
            page.push((Part::Foot, Mark::Text { text: numbering, style: FOOTING, x, y }));
        }
    }

    fn width(&self) -> f32 {
        size(self.leaf).0 - 2.0 * MARGIN
    }

    fn bottom(&self) -> f32 {
        size(self.leaf).1 - MARGIN - FOOT
    }

    /// Goes to the next page unless so much fits on this one.
    fn room(&mut self, height: f32) {
        if self.y + height > self.bottom() && self.y > MARGIN {
            self.pages.push(Vec::new());
            self.y = MARGIN;
        }
    }

    /// Leaves a space, which no page begins with.
    fn space(&mut self, height: f32) {
        if self.y > MARGIN {
            self.y += height;
        }
    }

    fn mark(&mut self, part: Part, mark: Mark) -> (usize, usize) {
        let page = self.pages.len().saturating_sub(1);
        let marks = &mut self.pages[page];
        marks.push((part, mark));
        (page, marks.len() - 1)
    }

    fn cut(&self, text: &str, style: Style, width: f32) -> Vec<String> {
        lines(self.letters, style.face, style.size, width, text)
    }

    /// Returns the lines of what a person wrote; what cannot be drawn is said in the tree.
    fn told(&mut self, node: NodeId, text: &str, style: Style, width: f32) -> Vec<String> {
        let drawable = self.letters.drawable(text);
        if drawable.lacks {
            self.lacking += 1;
            self.tree.say(node, text);
        }
        self.cut(&drawable.text, style, width)
    }

    /// Puts lines at a place, whatever is there.
    fn put(&mut self, node: NodeId, lines: Vec<String>, style: Style, x: f32, mut y: f32) {
        for text in lines {
            if !text.is_empty() {
                let place = self.mark(Part::Content, Mark::Text { text, style, x, y });
                self.tree.mark(node, place);
            }
            y += style.leading;
        }
    }

    /// Lets lines flow over pages; none stands alone at a page's end.
    fn flow(&mut self, node: NodeId, lines: Vec<String>, style: Style, x: f32) {
        let count = lines.len();
        for (at, line) in lines.into_iter().enumerate() {
            let together = if at == 0 && count > 1 { 2.0 } else { 1.0 };
            self.room(together * style.leading);
            self.put(node, vec![line], style, x, self.y);
            self.y += style.leading;
        }
    }

    fn title(&mut self, text: &str) {
        let node = self.tree.grow(None, Kind::Heading(1, text.to_owned()));
        self.headings.push((text.to_owned(), self.pages.len() - 1, self.y));
        let lines = self.told(node, text, TITLE, self.width());
        self.flow(node, lines, TITLE, MARGIN);
    }

    fn paragraph(&mut self, text: &str, style: Style) {
        let node = self.tree.grow(None, Kind::Paragraph);
        let lines = self.told(node, text, style, self.width());
        self.flow(node, lines, style, MARGIN);
    }

    /// Draws the rule that waits, together with what follows, which needs so much room at least.
    fn rule(&mut self, follows: f32) {
        let Some(heavy) = self.above.take() else { return };
        let (before, height, after) = if heavy { (14.0, 1.5, 10.0) } else { (10.0, 0.5, 8.0) };
        self.room(before + height + after + follows);
        // A page begins with no light rule.
        if self.y == MARGIN && !heavy {
            return;
        }
        self.space(before);
        let tone = if heavy { Tone::Ink } else { Tone::Rule };
        self.mark(Part::Layout, Mark::Rule { x: MARGIN, y: self.y, width: self.width(), height, tone });
        self.y += height + after;
    }

    fn heading(&mut self, level: u16, text: &str, style: Style, rest: &[Block]) {
        let node = self.tree.grow(None, Kind::Heading(level, text.to_owned()));
        let lines = self.told(node, text, style, self.width());
        let follows = least(rest);
        if level > 2 {
            self.space(5.0);
        }
        self.room(lines.len() as f32 * style.leading + follows);
        if level == 2 {
            self.headings.push((text.to_owned(), self.pages.len() - 1, self.y));
        }
        self.flow(node, lines, style, MARGIN);
        if level == 2 {
            self.y += 3.0;
        }
    }

    /// Sets labels above what they say, as many beside each other as there is room for.
    fn facts(&mut self, facts: &[(String, String)], style: Style) {
        if facts.is_empty() {
            return;
        }
        let columns = 3;
        let width = (self.width() - GUTTER * (columns - 1) as f32) / columns as f32;
        let list = self.tree.grow(None, Kind::List);
        for row in facts.chunks(columns) {
            let mut cells = Vec::new();
            for (label, text) in row {
                let item = self.tree.grow(Some(list), Kind::Item);
                let (name, body) = (self.tree.grow(Some(item), Kind::Label), self.tree.grow(Some(item), Kind::Body));
                let (label, text) = (self.told(name, label, SMALL, width), self.told(body, text, style, width));
                cells.push((name, label, body, text));
            }
            let height = |label: &[String], text: &[String]| {
                label.len() as f32 * SMALL.leading + text.len() as f32 * style.leading
            };
            let high = cells.iter().map(|(_, label, _, text)| height(label, text)).fold(0.0, f32::max);
            self.room(high + 6.0);
            for (column, (name, label, body, text)) in cells.into_iter().enumerate() {
                let x = MARGIN + column as f32 * (width + GUTTER);
                let below = self.y + label.len() as f32 * SMALL.leading;
                self.put(name, label, SMALL, x, self.y);
                self.put(body, text, style, x, below);
            }
            self.y += high + 6.0;
        }
    }

    fn list(&mut self, items: &[String]) {
        let list = self.tree.grow(None, Kind::List);
        for (at, text) in items.iter().enumerate() {
            let item = self.tree.grow(Some(list), Kind::Item);
            let body = self.tree.grow(Some(item), Kind::Body);
            let lines = self.told(body, text, BODY, self.width());
            self.room(lines.len().min(2) as f32 * BODY.leading + 4.0);
            if at > 0 && self.y > MARGIN {
                self.hairline();
            }
            self.flow(body, lines, BODY, MARGIN);
        }
        self.y += 4.0;
    }

    fn hairline(&mut self) {
        self.y += 2.0;
        let (x, y, width) = (MARGIN, self.y, self.width());
        self.mark(Part::Layout, Mark::Rule { x, y, width, height: 0.4, tone: Tone::Hairline });
        self.y += 2.4;
    }

    /// Sets a table: the widest column of words takes what the others leave; figures stand at the right.
    fn table(&mut self, rows: &[Vec<String>]) {
        let widths = self.columns(rows);
        let figures: Vec<bool> = (0..widths.len()).map(|column| column > 0 && is_of_figures(rows, column)).collect();
        let table = self.tree.grow(None, Kind::Table);
        self.space(if self.below_rows { 12.0 } else { 4.0 });
        for (at, row) in rows.iter().enumerate() {
            let (style, kind) = if at == 0 { (SMALL, Kind::HeadCell) } else { (BODY, Kind::Cell) };
            let node = self.tree.grow(Some(table), Kind::Row);
            let mut cells = Vec::new();
            for (text, width) in row.iter().zip(&widths) {
                let cell = self.tree.grow(Some(node), kind.clone());
                let lines = self.told(cell, text, style, *width);
                cells.push((cell, lines));
            }
            let high = cells.iter().map(|(_, lines)| lines.len()).max().unwrap_or_default() as f32 * style.leading;
            self.room(high + 4.8);
            if at > 0 && self.y > MARGIN {
                self.hairline();
            }
            self.row(cells, &widths, &figures, style);
            self.y += high;
        }
    }

    fn row(&mut self, cells: Vec<(NodeId, Vec<String>)>, widths: &[f32], figures: &[bool], style: Style) {
        let mut x = MARGIN;
        for (((cell, lines), width), at_right) in cells.into_iter().zip(widths).zip(figures) {
            for (number, line) in lines.into_iter().enumerate() {
                let wide = self.letters.width(style.face, line.trim_end()) * style.size;
                let at = if *at_right { x + width - wide } else { x };
                self.put(cell, vec![line], style, at, self.y + number as f32 * style.leading);
            }
            x += width + GUTTER;
        }
    }

    /// Returns how wide the columns of a table are.
    fn columns(&self, rows: &[Vec<String>]) -> Vec<f32> {
        let count = rows.iter().map(Vec::len).max().unwrap_or_default();
        let gutters = GUTTER * count.saturating_sub(1) as f32;
        let most = (self.width() - gutters) / count.max(1) as f32;
        let natural = |column: usize| {
            let cells = rows.iter().filter_map(|row| row.get(column));
            let wide = |text: &String| self.letters.width(Face::Strong, text) * BODY.size + 1.0;
            cells.map(wide).fold(0.0, f32::max)
        };
        let mut widths: Vec<f32> = (0..count).map(natural).collect();
        let of_words = (0..count).filter(|&column| !is_of_figures(rows, column));
        let widest = of_words.max_by(|&a, &b| widths[a].total_cmp(&widths[b])).unwrap_or_default();
        widths.iter_mut().for_each(|width| *width = width.min(most));
        let others: f32 = widths.iter().enumerate().filter(|it| it.0 != widest).map(|it| it.1).sum();
        if let Some(width) = widths.get_mut(widest) {
            *width = self.width() - gutters - others;
        }
        widths
    }

    /// Sets photos, two beside each other unless one is alone.
    fn photos(&mut self, photos: &[Photo]) {
        self.space(3.0);
        // Below a heading three rows fill a page, on the lower of the two papers too.
        let third = (self.bottom() - MARGIN - 2.0 * HEAD.leading) / 3.0 - BELOW_PHOTO;
        let (columns, highest) = if photos.len() == 1 { (1, PHOTO_ALONE) } else { (2, PHOTO_BESIDE.min(third)) };
        let width = (self.width() - GUTTER * (columns - 1) as f32) / columns as f32;
        for row in photos.chunks(columns) {
            let set: Vec<_> = row.iter().map(|photo| self.measured(photo, width, highest)).collect();
            let high = set.iter().map(|photo| photo.size.1).fold(0.0, f32::max);
            let words = set.iter().map(|photo| photo.caption.len()).max().unwrap_or_default() as f32 * SMALL.leading;
            self.room(high + words + 10.0);
            for (column, photo) in set.into_iter().enumerate() {
                self.photo(photo, MARGIN + column as f32 * (width + GUTTER), high);
            }
            self.y += high + 4.0 + words + 8.0;
        }
    }

    /// Sets lines drawn by hand above what they are.
    fn drawing(&mut self, drawing: &Drawing, is_said: bool) {
        let figure = self.tree.grow(None, Kind::Figure(drawing.alt.clone()));
        let node = self.tree.grow(Some(figure), Kind::Caption);
        let caption = self.told(node, &drawing.caption, SMALL, self.width());
        self.space(3.0);
        // What is said of what was signed stands below it.
        let said = if is_said { 3.0 * QUIET.leading } else { 0.0 };
        self.room(DRAWN + 4.0 + caption.len() as f32 * SMALL.leading + 8.0 + said);
        let (x, y) = (MARGIN, self.y);
        let scale = DRAWN / f32::from(HIGH);
        let place = |&(across, down): &(u16, u16)| (x + f32::from(across) * scale, y + f32::from(down) * scale);
        let lines = drawing.lines.iter().map(|line| line.iter().map(place).collect()).collect();
        let place = self.mark(Part::Content, Mark::Lines { lines, width: 1.1 });
        self.tree.mark(figure, place);
        let width = f32::from(WIDE) * scale;
        self.mark(Part::Layout, Mark::Rule { x, y: y + DRAWN, width, height: 0.5, tone: Tone::Rule });
        self.put(node, caption.clone(), SMALL, x, y + DRAWN + 4.0);
        self.y += DRAWN + 4.0 + caption.len() as f32 * SMALL.leading + 8.0;
    }

    /// Sets fasteners where they lie, with their numbers, above what that shows.
    fn pattern(&mut self, pattern: &Pattern) {
        let figure = self.tree.grow(None, Kind::Figure(pattern.alt.clone()));
        let node = self.tree.grow(Some(figure), Kind::Caption);
        let caption = self.told(node, &pattern.caption, SMALL, self.width());
        let width = (f32::from(pattern.width) * PIXEL).min(self.width());
        let scale = width / 1_000.0;
        let height = f32::from(pattern.height) * scale;
        let words = caption.len() as f32 * SMALL.leading;
        self.space(6.0);
        self.room(height + 4.0 + words + 10.0);
        let y = self.y;
        for fastener in &pattern.fasteners {
            self.fastener(fastener, figure, scale);
        }
        self.put(node, caption, SMALL, MARGIN, y + height + 4.0);
        self.y += height + 4.0 + words + 10.0;
    }

    fn fastener(&mut self, fastener: &Fastener, figure: NodeId, scale: f32) {
        let (x, y) = (f32::from(fastener.place.0) * scale + MARGIN, f32::from(fastener.place.1) * scale + self.y);
        let radius = f32::from(fastener.radius) * scale;
        let width = if fastener.is_done { HEAVY } else { LIGHT };
        let ring = self.mark(Part::Content, Mark::Lines { lines: vec![ring(x, y, radius)], width });
        self.tree.mark(figure, ring);
        let style = Style { size: radius, leading: radius, tone: Tone::Ink, ..SMALL };
        let across = self.letters.width(style.face, &fastener.number) * style.size;
        let number = vec![fastener.number.clone()];
        self.put(figure, number, style, x - across / 2.0, y - radius / 2.0);
    }

    fn measured(&mut self, photo: &Photo, width: f32, highest: f32) -> Measured {
        let known = self.pictures.get(&photo.blob);
        let image = known.cloned().flatten();
        let figure = self.tree.grow(None, Kind::Figure(photo.alt.clone()));
        let size = match image.as_ref().map(Image::size) {
            Some((wide, high)) if wide > 0 && high > 0 => {
                let scale = (width / wide as f32).min(highest / high as f32);
                (wide as f32 * scale, high as f32 * scale)
            }
            _ => (width, 60.0),
        };
        let node = self.tree.grow(Some(figure), Kind::Caption);
        let caption = self.told(node, &photo.caption, SMALL, width);
        let gone = photo.gone.words(photo.blob, known.is_some());
        let marks = Some(&photo.marks).filter(|marks| !marks.is_empty()).map(|marks| self.drawable(marks));
        Measured { image, size, gone, figure, node, caption, marks }
    }

    /// Returns marks whose words have only letters that can be drawn; the photo's own words have all.
    fn drawable(&self, marks: &Overlay) -> Overlay {
        let mut marks = marks.clone();
        for written in &mut marks.written {
            written.text = self.letters.drawable(&written.text).text;
        }
        marks
    }

    fn photo(&mut self, photo: Measured, x: f32, high: f32) {
        let Measured { image, size: (width, height), gone, figure, node, caption, marks } = photo;
        let y = self.y + high - height;
        match image {
            Some(image) => {
                let place = self.mark(Part::Content, Mark::Photo { image, x, y, width, height });
                self.tree.mark(figure, place);
                if let Some(marks) = marks {
                    let scale = width / f32::from(marks.size.0.max(1));
                    let place = self.mark(Part::Content, Mark::Drawn { marks, x, y, scale });
                    self.tree.mark(figure, place);
                }
            }
            None => {
                for y in [y, y + height - 0.5] {
                    self.mark(Part::Layout, Mark::Rule { x, y, width, height: 0.5, tone: Tone::Rule });
                }
                let words = self.cut(&gone, QUIET, width);
                self.put(figure, words, QUIET, x, y + (height - QUIET.leading) / 2.0);
            }
        }
        self.put(node, caption, SMALL, x, self.y + high + 4.0);
    }
}

/// Returns a ring, as a line that nobody can tell from one.
fn ring(x: f32, y: f32, radius: f32) -> Vec<(f32, f32)> {
    const CORNERS: u16 = 48;
    let corner = |nth: u16| {
        let turned = f32::from(nth) / f32::from(CORNERS) * std::f32::consts::TAU;
        (x + radius * turned.cos(), y + radius * turned.sin())
    };
    (0..=CORNERS).map(corner).collect()
}

/// Returns how high the least is with which blocks begin, or nothing for none.
fn least(blocks: &[Block]) -> f32 {
    match blocks {
        [] => 0.0,
        [Block::Photos(_), ..] => PHOTO_BESIDE,
        // Three in a row; a row of two lines is as high as this.
        [Block::Facts { facts, .. }, ..] => 45.0 * facts.len().div_ceil(3).clamp(1, 4) as f32,
        [Block::Table(_), ..] => 45.0,
        [Block::Words { .. }, Block::Drawn(_), ..] => SIGNED,
        _ => 2.0 * BODY.leading,
    }
}

/// Returns how high the least is that must stand below a rule: a heading and a little of what it heads.
fn needed(block: &Block, rest: &[Block]) -> f32 {
    match block {
        Block::Head { large, .. } => least(rest) + 3.0 + if *large { JOB.leading } else { HEAD.leading },
        Block::Small(_) => least(rest) + 5.0 + SMALL.leading,
        other => least(std::slice::from_ref(other)),
    }
}

/// Returns whether a column of a table holds figures, below its head.
fn is_of_figures(rows: &[Vec<String>], column: usize) -> bool {
    let mut cells = rows.iter().skip(1).filter_map(|row| row.get(column)).filter(|text| !text.is_empty());
    cells.all(|text| text.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '−' | '+')))
}

/// A photo that is ready to be placed.
struct Measured {
    image: Option<Image>,
    /// What stands there when there is no image.
    gone: String,
    size: (f32, f32),
    figure: NodeId,
    node: NodeId,
    caption: Vec<String>,
    marks: Option<Overlay>,
}
