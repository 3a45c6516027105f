//! An answer of the desk as a page: a file of its own, or what stands within the app's page.
//!
//! Within the app a link leads to `#/office/<address>`. In a file there is nobody to ask,
//! so a link leads to what the same file tells, and is plain text where it tells nothing of
//! it. Bars and courses are drawings of whole numbers; words and figures stand beside each,
//! and who cannot see a drawing is told nothing less. On a narrow screen the cells of a row
//! stand below each other, each with its head.

use super::{Page, escape};
use crate::event::Language;
use crate::exchange::pieces::Piece;
use crate::looking::answer::{Bar, Choice};
use crate::looking::{Answer, Asked, Block, Cell};
use crate::view::Series;

/// Where the app shows answers.
pub const IN_APP: &str = "#/office/";

/// Returns an answer as a file of its own.
pub fn page(answer: &Answer) -> Vec<Piece> {
    let mut page = Page::begin(&answer.title);
    page.raw("<style>");
    page.raw(STYLE);
    page.raw("</style>");
    page.body();
    page.raw("<header>");
    page.tag("h1", &answer.title);
    page.class("p", "lead", &answer.lead);
    page.raw("</header>");
    let told = answer.blocks.iter().filter_map(|block| match block {
        Block::Head { is, .. } => is.as_ref(),
        _ => None,
    });
    let links = Links::Within(told.collect());
    answer.blocks.iter().for_each(|block| page.looked(block, &links));
    page.end()
}

/// Returns what stands below title and lead within the app's page: the ways to other questions,
/// then the answer.
pub fn within_app(answer: &Answer) -> Vec<Piece> {
    let mut page = Page { pieces: Vec::new(), text: String::new(), language: Language::English };
    let places = Asked::places().map(|(words, asked)| Choice {
        words: words.to_owned(),
        chosen: asked.is_like(&answer.asked),
        asked,
    });
    page.choices("Look at", &places);
    answer.blocks.iter().for_each(|block| page.looked(block, &Links::App));
    page.cut();
    page.pieces
}

/// Where links lead.
enum Links<'a> {
    /// To the app's page.
    App,
    /// To a part of this file, where it has one.
    Within(Vec<&'a Asked>),
}

impl Links<'_> {
    fn to(&self, asked: &Asked) -> Option<String> {
        match self {
            Self::App => Some(format!("{IN_APP}{asked}")),
            Self::Within(told) => told.contains(&asked).then(|| format!("#{asked}")),
        }
    }
}

const STYLE: &str = "\
body{max-width:80rem}
a{color:inherit;text-underline-offset:.2em;display:inline-block;min-height:1.5rem}
.pre{white-space:pre-line}
.figure{font-variant-numeric:tabular-nums lining-nums}
.looked th,.looked td{text-align:start;vertical-align:top;padding:.25rem 1rem .25rem 0}
.looked td{min-width:6rem}
.looked .figure{text-align:end;min-width:0;white-space:nowrap}
h2{margin-top:1.75rem;border-top:1px solid var(--rule);padding-top:.75rem}
.bars li{display:grid;grid-template-columns:minmax(8rem,1fr) 5rem 2fr;gap:1rem;align-items:center}
.bars .figure{text-align:end}
svg.long{display:block;width:100%;height:.75rem}
svg.long rect{fill:var(--ink)}
svg.long rect.whole{fill:none}
.course svg{width:100%;max-width:40rem}
.course path{fill:none;stroke:var(--ink);stroke-width:2}
.course .dots{stroke-width:7;stroke-linecap:round}
@media(max-width:48rem){.looked thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}\
.looked tr{display:block;border-top:2px solid;padding:.5rem 0}\
.looked td{display:block;border:0;padding:.125rem 0}.looked .figure{text-align:start}.looked td:empty{display:none}\
.looked td::before{content:attr(data-head) \": \";color:var(--quiet)}\
.bars li{grid-template-columns:1fr auto}.bars svg{grid-column:1/-1}}
";

impl Page {
    fn looked(&mut self, block: &Block, links: &Links<'_>) {
        match block {
            Block::Head { text, is } => self.part(text, is.as_ref()),
            Block::Small(text) => self.tag("h3", text),
            Block::Facts(facts) => self.looked_facts(facts, links),
            Block::Table { heads, rows } => self.looked_table(heads, rows, links),
            Block::Bars(bars) => self.bars(bars, links),
            Block::Course(series) => self.course(series),
            Block::List(cells) => {
                self.raw("<ul>");
                cells.iter().for_each(|cell| self.looked_cell("li", "", cell, links));
                self.raw("</ul>");
            }
            Block::Prose(text) => self.class("p", "prose", text),
            Block::Note(text) => self.class("p", "quiet", text),
            Block::Choices { what, choices } => match links {
                Links::App => self.choices(what, choices),
                Links::Within(_) => self.chosen(what, choices),
            },
            Block::Photos(photos) => {
                photos.iter().for_each(|photo| self.photo(photo, photo.caption.clone(), false));
            }
        }
    }

    /// Writes a heading under which a link finds what is told.
    fn part(&mut self, text: &str, is: Option<&Asked>) {
        let id = is.map(|asked| format!(" id=\"{asked}\"")).unwrap_or_default();
        self.element("h2", "", &id, text);
    }

    fn looked_facts(&mut self, facts: &[(&str, Cell)], links: &Links<'_>) {
        self.raw("<dl class=\"facts\">");
        for (label, cell) in facts.iter().filter(|(_, cell)| !cell.text.is_empty()) {
            self.raw("<div>");
            self.tag("dt", label);
            self.looked_cell("dd", "pre", cell, links);
            self.raw("</div>");
        }
        self.raw("</dl>");
    }

    fn looked_table(&mut self, heads: &[&str], rows: &[Vec<Cell>], links: &Links<'_>) {
        self.raw("<table class=\"looked\"><thead><tr>");
        let figures = |column: usize| rows.iter().any(|row| row.get(column).is_some_and(Cell::is_figure));
        for (column, head) in heads.iter().enumerate() {
            self.raw(if figures(column) { "<th scope=\"col\" class=\"figure\">" } else { "<th scope=\"col\">" });
            escape(&mut self.text, head);
            self.raw("</th>");
        }
        self.raw("</tr></thead><tbody>");
        for row in rows {
            self.raw("<tr>");
            for (head, cell) in heads.iter().zip(row) {
                self.raw("<td data-head=\"");
                escape(&mut self.text, head);
                self.raw(if cell.is_figure() { "\" class=\"figure\">" } else { "\" class=\"pre\">" });
                self.inside(cell, links);
                self.raw("</td>");
            }
            self.raw("</tr>");
        }
        self.raw("</tbody></table>");
    }

    fn looked_cell(&mut self, name: &str, class: &str, cell: &Cell, links: &Links<'_>) {
        self.raw("<");
        self.raw(name);
        if !class.is_empty() {
            self.raw(&format!(" class=\"{class}\""));
        }
        self.raw(">");
        self.inside(cell, links);
        self.raw(&format!("</{name}>"));
    }

    /// Writes what a cell says, as a link where it leads somewhere.
    fn inside(&mut self, cell: &Cell, links: &Links<'_>) {
        match cell.to.as_ref().and_then(|asked| links.to(asked)) {
            Some(to) if !cell.text.is_empty() => self.element("a", "", &format!(" href=\"{to}\""), &cell.text),
            _ => self.tag("span", &cell.text),
        }
    }

    fn choices(&mut self, what: &str, choices: &[Choice]) {
        self.raw("<nav aria-label=\"");
        escape(&mut self.text, what);
        self.raw("\" class=\"narrow\">");
        self.class("span", "label", what);
        for choice in choices {
            let current = if choice.chosen { " aria-current=\"true\"" } else { "" };
            self.element("a", "", &format!(" href=\"{IN_APP}{}\"{current}", choice.asked), &choice.words);
        }
        self.raw("</nav>");
    }

    /// Says what a question is narrowed to, where nothing can be chosen.
    fn chosen(&mut self, what: &str, choices: &[Choice]) {
        if let Some(choice) = choices.iter().skip(1).find(|choice| choice.chosen) {
            self.class("p", "quiet", &format!("Only {}: {}", what.to_lowercase(), choice.words));
        }
    }

    fn bars(&mut self, bars: &[Bar], links: &Links<'_>) {
        let longest = bars.iter().map(|bar| bar.length.ms()).max().unwrap_or_default().max(1);
        self.raw("<ul class=\"bars\">");
        for bar in bars {
            let wide = bar.length.ms().saturating_mul(1_000) / longest;
            self.raw("<li>");
            self.inside(&bar.name, links);
            self.class("span", "figure", &bar.figure);
            self.raw(&format!(
                "<svg class=\"long\" viewBox=\"0 0 1000 12\" preserveAspectRatio=\"none\" aria-hidden=\"true\">\
                 <rect class=\"billed\" width=\"{wide}\" height=\"12\"/></svg></li>"
            ));
        }
        self.raw("</ul>");
    }

    fn course(&mut self, series: &Series) {
        // A field of 300 by 80, and a margin for the dots.
        let spot = |&(x, y): &(u16, u16)| format!("{} {}", 10 + u32::from(x) * 3 / 10, 90 - u32::from(y) * 8 / 100);
        let spots: Vec<String> = series.dots.iter().map(spot).collect();
        let dots: String = spots.iter().map(|spot| format!("M{spot}h0")).collect();
        self.raw("<figure class=\"course\">");
        self.tag("figcaption", &series.words);
        self.raw(&format!(
            "<svg viewBox=\"0 0 320 100\" aria-hidden=\"true\"><path d=\"M{}\"/><path class=\"dots\" d=\"{dots}\"/></svg>",
            spots.join("L")
        ));
        self.rows("When", "Reading", &series.rows);
        self.raw("</figure>");
    }
}
