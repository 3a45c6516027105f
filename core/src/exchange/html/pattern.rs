//! Groups of fasteners as a page shows them: in words, each with its drawing.
//!
//! The drawing is made of circles and numbers in thousandths of its width; what it shows stands
//! below it. It is so wide that the smallest number can be read, and never wider than the page.

use super::{Page, escape};
use crate::sheet::pattern::PatternSheet;
use crate::sheet::tightening::TorqueSheet;

/// A group on a page.
pub(super) struct Tightened<'a> {
    pub(super) group: &'a TorqueSheet,
    /// What is told of it.
    pub(super) lines: Vec<String>,
    /// What its drawing shows.
    pub(super) numbered: String,
}

/// How large a fastener is on a screen, as the radius in pixels.
const RADIUS: u32 = 11;

impl<'a> Tightened<'a> {
    /// Returns a group of which this is told, and what its drawing shows in English.
    pub(super) fn told(group: &'a TorqueSheet, lines: Vec<String>) -> Self {
        Self { group, lines, numbered: group.drawn.words.clone() }
    }
}

impl Page {
    /// Writes groups below a heading; nothing where there are none.
    pub(super) fn tightened(&mut self, head: &str, groups: &[Tightened<'_>]) {
        if groups.is_empty() {
            return;
        }
        self.raw("<section>");
        self.tag("h2", head);
        for Tightened { group, lines, numbered } in groups {
            self.items(lines);
            self.pattern(&group.name, &group.drawn, numbered);
        }
        self.raw("</section>");
    }

    fn pattern(&mut self, name: &str, drawn: &PatternSheet, numbered: &str) {
        let PatternSheet { height, radius, .. } = drawn;
        let width = RADIUS * 1_000 / (*radius).max(1);
        let begin = "<figure class=\"pattern\"><svg viewBox=\"0 0 1000 ";
        self.raw(&format!("{begin}{height}\" width=\"{width}\" role=\"img\" aria-label=\""));
        // It may stand on another leaf than what is told of the group.
        let words = [name, ". ", numbered].concat();
        escape(&mut self.text, &words);
        self.raw("\">");
        for fastener in &drawn.fasteners {
            let (x, y) = (fastener.spot.x, fastener.spot.y);
            let class = if fastener.is_done { " class=\"done\"" } else { "" };
            self.raw(&format!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\"{class}/>"));
            self.raw(&format!("<text x=\"{x}\" y=\"{y}\" font-size=\"{radius}\">{}</text>", fastener.number));
        }
        self.raw("</svg>");
        self.tag("figcaption", &words);
        self.raw("</figure>");
    }
}
