//! The blocks of a document, read from the pieces of its page.
//!
//! A document is told once, as a page (`core::exchange::html`); the PDF is that
//! page typeset, so neither can say more than the other. The page's elements
//! are few and written by this program alone, which is all that is read here:
//! what stands in an element that is not known is set as plain text, so that
//! nothing of a page is ever left out.

use quaywright_core::exchange::html::{Gone, Image};
use quaywright_core::exchange::pieces::{PhotoForm, Piece};
use quaywright_core::id::BlobId;
use quaywright_core::view::Overlay;

/// A block of a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Block {
    /// The name of the document.
    Title(String),
    /// A small line before it.
    Label(String),
    /// A larger line after it.
    Lead(String),
    /// A line across, where a section begins; heavy below the name and where a job begins.
    Rule { heavy: bool },
    /// A section's heading; large for a job's.
    Head { text: String, large: bool },
    /// A small heading within a section.
    Small(String),
    /// Text.
    Words { text: String, quiet: bool },
    /// A sentence that must not be missed.
    Warning(String),
    /// Labels and what they say; large for a day's sums.
    Facts { facts: Vec<(String, String)>, large: bool },
    /// A list.
    List(Vec<String>),
    /// A table: its first row is its head.
    Table(Vec<Vec<String>>),
    /// Photos that stand together.
    Photos(Vec<Photo>),
    /// Lines drawn by hand.
    Drawn(Drawing),
    /// Fasteners where they lie.
    Pattern(Pattern),
}

/// Lines drawn by hand: a signature.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Drawing {
    /// What it is, for whoever cannot see it.
    pub(super) alt: String,
    pub(super) caption: String,
    /// The places of each line, on a field of the core's size.
    pub(super) lines: Vec<Vec<(u16, u16)>>,
}

/// Fasteners where they lie, in thousandths of the drawing's width.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Pattern {
    /// What it shows, for whoever cannot see it.
    pub(super) alt: String,
    pub(super) caption: String,
    /// How wide it is on a screen, in pixels.
    pub(super) width: u16,
    pub(super) height: u16,
    pub(super) fasteners: Vec<Fastener>,
}

/// A fastener of a drawing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Fastener {
    pub(super) place: (u16, u16),
    pub(super) radius: u16,
    pub(super) number: String,
    /// Its ring is heavy.
    pub(super) is_done: bool,
}

/// A photo of a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Photo {
    pub(super) blob: BlobId,
    pub(super) alt: String,
    /// What is said where there is no picture.
    pub(super) gone: Gone,
    pub(super) caption: String,
    /// What is drawn on it.
    pub(super) marks: Overlay,
}

/// A document that was read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Paper {
    /// What it is called.
    pub(super) title: String,
    /// In which language it is (BCP 47).
    pub(super) language: String,
    pub(super) blocks: Vec<Block>,
    /// Elements that are not known.
    pub(super) unknown: Vec<String>,
}

/// Reads the pieces of a page.
pub(super) fn read(pieces: &[Piece]) -> Paper {
    let mut reader = Reader::default();
    for piece in pieces {
        match piece {
            Piece::Text(text) => reader.text(&String::from_utf8_lossy(text)),
            Piece::Photo { blob, form: PhotoForm::Image(image) } => reader.photo(*blob, image),
            Piece::Photo { .. } => {}
        }
    }
    reader.paper
}

#[derive(Default)]
struct Reader {
    paper: Paper,
    /// The element whose text is being read, and its class.
    element: String,
    class: String,
    words: String,
    in_body: bool,
    in_job: bool,
    /// The label of a fact whose text follows.
    label: String,
    /// The class of the figure that is being read.
    figure: String,
}

impl Reader {
    fn text(&mut self, mut rest: &str) {
        while let Some(open) = rest.find('<') {
            self.words.push_str(&unescaped(&rest[..open]));
            let Some(length) = rest[open..].find('>') else { return };
            let tag = &rest[open + 1..open + length];
            rest = &rest[open + length + 1..];
            match tag.strip_prefix('/') {
                Some(name) => self.close(name),
                None => self.open(tag),
            }
        }
        self.words.push_str(&unescaped(rest));
    }

    fn open(&mut self, tag: &str) {
        let (name, attributes) = tag.split_once(' ').unwrap_or((tag, ""));
        let class = attribute(attributes, "class");
        self.words.clear();
        match name {
            "html" => self.paper.language = attribute(attributes, "lang").to_owned(),
            "body" => self.in_body = true,
            "section" => {
                self.in_job = class == "job";
                self.put(Block::Rule { heavy: self.in_job });
            }
            "dl" => self.put(Block::Facts { facts: Vec::new(), large: class == "sums" }),
            "ul" => self.put(Block::List(Vec::new())),
            "table" => self.put(Block::Table(Vec::new())),
            "tr" => {
                if let Some(Block::Table(rows)) = self.paper.blocks.last_mut() {
                    rows.push(Vec::new());
                }
            }
            "figure" => self.figure = class.to_owned(),
            "svg" if self.figure == "pattern" => self.put(Block::Pattern(pattern(attributes))),
            "circle" => {
                if let Some(Block::Pattern(pattern)) = self.paper.blocks.last_mut() {
                    pattern.fasteners.push(fastener(attributes));
                }
            }
            "svg" => {
                let alt = unescaped(attribute(attributes, "aria-label"));
                self.put(Block::Drawn(Drawing { alt, ..Drawing::default() }));
            }
            "polyline" => {
                if let Some(Block::Drawn(drawing)) = self.paper.blocks.last_mut() {
                    drawing.lines.push(places(attribute(attributes, "points")));
                }
            }
            "header" | "div" => {}
            _ => {
                let known = ["title", "h1", "h2", "h3", "p", "dt", "dd", "li", "td", "th", "figcaption", "text"];
                if self.in_body && !known.contains(&name) {
                    self.paper.unknown.push(name.to_owned());
                }
                self.element = name.to_owned();
                self.class = class.to_owned();
            }
        }
    }

    fn close(&mut self, name: &str) {
        match name {
            "section" => self.in_job = false,
            "header" => self.put(Block::Rule { heavy: true }),
            _ => {}
        }
        if name != self.element {
            return;
        }
        let text = std::mem::take(&mut self.words);
        let text = text.trim_end().to_owned();
        let element = std::mem::take(&mut self.element);
        if !self.in_body {
            if element == "title" {
                self.paper.title = text;
            }
            return;
        }
        match element.as_str() {
            "h1" => self.put(Block::Title(text)),
            "h2" => self.put(Block::Head { text, large: self.in_job }),
            "h3" => self.put(Block::Small(text)),
            "dt" => self.label = text,
            "dd" => self.fact(text),
            "li" => self.item(text),
            "td" | "th" => self.cell(text),
            "figcaption" => self.caption(text),
            "text" => self.number(text),
            _ => self.paragraph(text),
        }
    }

    fn put(&mut self, block: Block) {
        self.paper.blocks.push(block);
    }

    fn paragraph(&mut self, text: String) {
        let block = match self.class.as_str() {
            "label" => Block::Label(text),
            "lead" => Block::Lead(text),
            "stop" => Block::Warning(text),
            class => Block::Words { text, quiet: class == "quiet" },
        };
        self.put(block);
    }

    fn fact(&mut self, text: String) {
        let label = std::mem::take(&mut self.label);
        match self.paper.blocks.last_mut() {
            Some(Block::Facts { facts, .. }) => facts.push((label, text)),
            _ => self.put(Block::Facts { facts: vec![(label, text)], large: false }),
        }
    }

    fn item(&mut self, text: String) {
        match self.paper.blocks.last_mut() {
            Some(Block::List(items)) => items.push(text),
            _ => self.put(Block::List(vec![text])),
        }
    }

    fn cell(&mut self, text: String) {
        if let Some(Block::Table(rows)) = self.paper.blocks.last_mut()
            && let Some(row) = rows.last_mut()
        {
            row.push(text);
        }
    }

    fn photo(&mut self, blob: BlobId, image: &Image) {
        let (alt, gone, marks) = (image.alt().to_owned(), image.gone().clone(), image.marks().clone());
        let photo = Photo { blob, alt, gone, caption: String::new(), marks };
        match self.paper.blocks.last_mut() {
            Some(Block::Photos(photos)) => photos.push(photo),
            _ => self.put(Block::Photos(vec![photo])),
        }
    }

    fn caption(&mut self, text: String) {
        match self.paper.blocks.last_mut() {
            Some(Block::Photos(photos)) => {
                photos.iter_mut().last().into_iter().for_each(|it| it.caption.clone_from(&text))
            }
            Some(Block::Drawn(drawing)) => drawing.caption = text,
            Some(Block::Pattern(pattern)) => pattern.caption = text,
            _ => {}
        }
    }

    fn number(&mut self, text: String) {
        if let Some(Block::Pattern(pattern)) = self.paper.blocks.last_mut()
            && let Some(fastener) = pattern.fasteners.last_mut()
        {
            fastener.number = text;
        }
    }
}

/// Reads how large a drawing of fasteners is.
fn pattern(attributes: &str) -> Pattern {
    let height = attribute(attributes, "viewBox").rsplit(' ').next().map(figure);
    Pattern {
        alt: unescaped(attribute(attributes, "aria-label")),
        width: figure(attribute(attributes, "width")),
        height: height.unwrap_or_default(),
        ..Pattern::default()
    }
}

fn fastener(attributes: &str) -> Fastener {
    let [x, y, radius] = ["cx", "cy", "r"].map(|name| figure(attribute(attributes, name)));
    let is_done = attribute(attributes, "class") == "done";
    Fastener { place: (x, y), radius, number: String::new(), is_done }
}

/// Reads a whole number; what is none is nothing.
fn figure(text: &str) -> u16 {
    text.parse().unwrap_or_default()
}

/// Returns what an attribute says; nothing where it is not there.
fn attribute<'a>(attributes: &'a str, name: &str) -> &'a str {
    let rest = attributes.split_once(name).and_then(|(_, rest)| rest.strip_prefix("=\""));
    rest.and_then(|rest| rest.split_once('"')).map(|(value, _)| value).unwrap_or_default()
}

/// Reads the points of a line.
fn places(points: &str) -> Vec<(u16, u16)> {
    let place = |pair: &str| pair.split_once(',').and_then(|(x, y)| Some((x.parse().ok()?, y.parse().ok()?)));
    points.split(' ').filter_map(place).collect()
}

/// Returns text as it was before it was escaped.
fn unescaped(text: &str) -> String {
    const SIGNS: [(&str, &str); 5] = [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#39;", "'"), ("&amp;", "&")];
    // The ampersand comes last, so that nothing is read twice.
    SIGNS.iter().fold(text.to_owned(), |text, (escaped, sign)| text.replace(escaped, sign))
}

#[cfg(test)]
mod tests {
    use super::{Block, Drawing, Fastener, Pattern, read};
    use quaywright_core::book::Book;
    use quaywright_core::exchange::pieces::Piece;
    use quaywright_core::exchange::{agreement, html, line};
    use quaywright_core::id::{DeviceId, Hash};
    use quaywright_core::moment::Moment;
    use quaywright_core::sheet::agreement::agreement_sheet;
    use quaywright_core::sheet::{LogHead, day_sheet, owner_sheet};

    fn blocks(html: &str) -> Vec<Block> {
        let paper =
            read(&[Piece::Text(format!("<html lang=\"fr\"><head><title>T</title></head><body>{html}").into_bytes())]);
        assert_eq!((paper.title.as_str(), paper.language.as_str()), ("T", "fr"));
        paper.blocks
    }

    #[test]
    fn reads_the_elements_of_a_page() {
        let html = "<header><p class=\"label\" dir=\"auto\">Yard</p><h1 dir=\"auto\">Heron &amp; Co &lt;b&gt; &amp;lt;</h1></header>\
            <dl class=\"sums\"><div><dt dir=\"auto\">Worked</dt><dd dir=\"auto\">7:30</dd></div></dl>\
            <section class=\"job\"><h2 dir=\"auto\">Job</h2></section>\
            <section><h2>Steps</h2><ul><li dir=\"auto\">one\ntwo</li><li>b</li></ul></section>\
            <table><tr><th>Activity</th><th>Hours</th></tr><tr><td>labour</td><td>1:00</td></tr></table>";
        assert_eq!(
            blocks(html),
            [
                Block::Label("Yard".into()),
                Block::Title("Heron & Co <b> &lt;".into()),
                Block::Rule { heavy: true },
                Block::Facts { facts: vec![("Worked".into(), "7:30".into())], large: true },
                Block::Rule { heavy: true },
                Block::Head { text: "Job".into(), large: true },
                Block::Rule { heavy: false },
                Block::Head { text: "Steps".into(), large: false },
                Block::List(vec!["one\ntwo".into(), "b".into()]),
                Block::Table(vec![vec!["Activity".into(), "Hours".into()], vec!["labour".into(), "1:00".into()]]),
            ]
        );
    }

    #[test]
    fn every_element_of_our_pages_is_known() {
        let lines = include_bytes!("../../../../tests/formats/v3/every-kind.jsonl").split(|&byte| byte == b'\n');
        let sealed: Vec<_> = lines.filter_map(|line| line::read(line).ok()).collect();
        let book = Book::replay(sealed.iter().map(|sealed| &sealed.record));
        let now = Moment::parse("2026-05-04T18:00:00.000+01:00").unwrap();
        let log = LogHead { device: DeviceId::new([0xa1; 8]), seq: 1, hash: Hash::NONE };
        let day = html::day_page(&day_sheet(&book, now.day(), now, log), Vec::new());
        let owners = book.jobs.jobs().filter_map(|job| owner_sheet(&book, job.id, now.day()));
        let agreed = book
            .jobs
            .jobs()
            .filter_map(|job| agreement_sheet(&book, job.id, now.day(), quaywright_core::event::Reader::default()));
        let agreed = agreed.map(|sheet| agreement::page(&sheet));
        let pages: Vec<_> = owners.map(|sheet| html::owner_page(&sheet)).chain([day]).chain(agreed).collect();
        assert!(pages.len() > 1);
        for page in pages {
            let paper = read(&page);
            assert_eq!(paper.unknown, Vec::<String>::new(), "set it in this module and in `flow`");
            assert!(!paper.title.is_empty() && paper.blocks.len() > 5);
        }
    }

    #[test]
    fn reads_a_drawing_of_fasteners() {
        let html = "<figure class=\"pattern\"><svg viewBox=\"0 0 1000 250\" width=\"183\" role=\"img\" aria-label=\"Cap &amp; two\">\
            <circle cx=\"375\" cy=\"125\" r=\"60\" class=\"done\"/><text x=\"375\" y=\"125\" font-size=\"60\">2</text>\
            <circle cx=\"625\" cy=\"126\" r=\"60\"/><text x=\"625\" y=\"126\" font-size=\"60\">1</text>\
            </svg><figcaption dir=\"auto\">Two in a row</figcaption></figure>";
        let fastener = |place, number: &str, is_done| Fastener { place, radius: 60, number: number.into(), is_done };
        let pattern = Pattern {
            alt: "Cap & two".into(),
            caption: "Two in a row".into(),
            width: 183,
            height: 250,
            fasteners: vec![fastener((375, 125), "2", true), fastener((625, 126), "1", false)],
        };
        assert_eq!(blocks(html), [Block::Pattern(pattern)]);
    }

    #[test]
    fn reads_a_signature() {
        let html = "<figure class=\"signature\"><svg viewBox=\"0 0 3000 1000\" role=\"img\" aria-label=\"Signature of A &amp; B\">\
            <polyline points=\"1,2 30,40\"/><polyline points=\"5,6\"/></svg><figcaption dir=\"auto\">A &amp; B</figcaption></figure>";
        let drawing = Drawing {
            alt: "Signature of A & B".into(),
            caption: "A & B".into(),
            lines: vec![vec![(1, 2), (30, 40)], vec![(5, 6)]],
        };
        assert_eq!(blocks(html), [Block::Drawn(drawing)]);
    }

    #[test]
    fn what_is_not_known_is_named_and_its_text_stays() {
        let paper = read(&[Piece::Text(b"<body><aside>Beware</aside></body>".to_vec())]);
        assert_eq!(paper.unknown, ["aside"]);
        assert_eq!(paper.blocks, [Block::Words { text: "Beware".into(), quiet: false }]);
    }
}
