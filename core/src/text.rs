//! What a person typed, as two kinds: a label of one line, and prose.
//!
//! Typed text is kept as it was written, in any script and with any emoji; only
//! what could not be meant is put right at the door: a label loses line breaks
//! and other control characters and the blanks around it, prose loses control
//! characters other than line breaks and tabs. Nothing is escaped here: each
//! form that leaves the program (HTML, CSV) does that for itself.

use std::fmt;

/// One line of text, trimmed, without control characters; may be empty.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Label(String);

/// Longest label in characters; longer ones are cut, prose is the place for more.
pub const LONGEST_LABEL: usize = 200;

/// Longest prose in characters that a request may hold.
pub const LONGEST_PROSE: usize = 500_000;

impl Label {
    /// Returns `text` as one line of at most [`LONGEST_LABEL`] characters.
    pub fn new(text: &str) -> Self {
        // Most text is plain, and a log has a lot of it.
        if text.len() <= LONGEST_LABEL && is_plain(text) {
            return Self(text.trim().to_owned());
        }
        let one_line: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        let cut: String = one_line.trim().chars().take(LONGEST_LABEL).collect();
        Self(cut.trim_end().to_owned())
    }

    /// Returns the text.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Tells whether nothing was written.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Returns the text, or `other` where nothing was written.
    pub fn or<'a>(&'a self, other: &'a str) -> &'a str {
        if self.is_empty() { other } else { &self.0 }
    }
}

impl fmt::Display for Label {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Tells whether a text has nothing that is ever put right but blanks around it.
fn is_plain(text: &str) -> bool {
    text.bytes().all(|byte| matches!(byte, b' '..=b'~'))
}

/// Text of any length with line breaks; may be empty.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Prose(String);

impl Prose {
    /// Returns `text` with line feeds as the only line breaks, trimmed.
    pub fn new(text: &str) -> Self {
        if text.split('\n').all(is_plain) {
            return Self(text.trim().to_owned());
        }
        let unified = text.replace("\r\n", "\n").replace('\r', "\n");
        let kept: String = unified.chars().filter(|&c| c == '\n' || c == '\t' || !c.is_control()).collect();
        Self(kept.trim().to_owned())
    }

    /// Returns the text.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Tells whether nothing was written.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Returns the number of characters.
    pub fn length(&self) -> usize {
        self.0.chars().count()
    }
}

impl fmt::Display for Prose {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_are_one_line() {
        assert_eq!(Label::new("  raw-water\r\npump\t ").as_str(), "raw-water  pump");
        assert_eq!(Label::new(&"ü".repeat(300)).as_str().chars().count(), LONGEST_LABEL);
        assert_eq!(Label::new(" \n ").or("no name"), "no name");
    }

    #[test]
    fn prose_keeps_what_was_meant() {
        assert_eq!(Prose::new("one\r\ntwo\rthree\u{0}\n").as_str(), "one\ntwo\nthree");
        let mixed = "مرحبا 🛶 </script> =1+1";
        assert_eq!(Prose::new(mixed).as_str(), mixed);
        assert_eq!(Prose::new(&"x".repeat(100_000)).length(), 100_000);
    }

    #[test]
    fn putting_right_twice_changes_nothing() {
        for text in ["a\u{7f}b", "  x ", "\u{200f}مرحبا\u{200e}", &"é ".repeat(150)] {
            let once = Label::new(text);
            assert_eq!(Label::new(once.as_str()), once);
            let prose = Prose::new(text);
            assert_eq!(Prose::new(prose.as_str()), prose);
        }
    }
}
