//! A text cut into lines of a width.
//!
//! Where a line may end is Unicode's rule (UAX #14), but a number is not parted from
//! its unit (NIST SP 811, section 7.2, has a space there); a word that is wider than
//! the line is cut where it must be. A line keeps the space at its end: words
//! stay apart for whoever reads the text and not the picture.

use unicode_linebreak::{BreakOpportunity, linebreaks};

use super::letters::{Face, Letters};

/// Returns the lines of `text`, none of them wider than `width` at `size`.
pub(super) fn lines(letters: &Letters, face: Face, size: f32, width: f32, text: &str) -> Vec<String> {
    let room = width / size;
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut from = 0;
    for (to, break_) in linebreaks(text) {
        if break_ == BreakOpportunity::Allowed && is_before_unit(&text[from..to], &text[to..]) {
            continue;
        }
        let word = text[from..to].trim_end_matches(['\n', '\r']);
        from = to;
        let seen = letters.width(face, line.as_str()) + letters.width(face, word.trim_end());
        if seen > room && !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        put_word(letters, face, room, word, &mut line, &mut lines);
        let ends = break_ == BreakOpportunity::Mandatory;
        if ends && (to < text.len() || !line.is_empty()) {
            lines.push(std::mem::take(&mut line));
        }
    }
    lines
}

/// Tells whether a number ends here and what may be its unit follows: up to three letters or
/// signs, or what is joined by a point, such as lbf·ft.
fn is_before_unit(before: &str, after: &str) -> bool {
    let unit = after.split_whitespace().next().unwrap_or_default().trim_end_matches([',', '.', ';', ':', ')']);
    let is_short = unit.chars().count() <= 3 || unit.contains('·');
    let is_number = before.strip_suffix(' ').is_some_and(|it| it.ends_with(|c: char| c.is_ascii_digit()));
    is_number && is_short && !unit.is_empty() && !unit.contains(|c: char| c.is_ascii_digit())
}

/// Adds a word to a line that has room for it or is empty.
fn put_word(letters: &Letters, face: Face, room: f32, word: &str, line: &mut String, lines: &mut Vec<String>) {
    let mut width = letters.width(face, line);
    for c in word.chars() {
        let of_it = letters.width_of(face, c);
        if width + of_it > room && !c.is_whitespace() && !line.is_empty() {
            lines.push(std::mem::take(line));
            width = 0.0;
        }
        line.push(c);
        width += of_it;
    }
}

#[cfg(test)]
mod tests {
    use super::{Face, Letters, lines};

    fn cut(width: f32, text: &str) -> Vec<String> {
        let letters = Letters::new("en").unwrap();
        let lines = lines(&letters, Face::Regular, 10.0, width, text);
        for line in &lines {
            assert!(letters.width(Face::Regular, line.trim_end()) * 10.0 <= width + 0.01, "{line}");
        }
        lines
    }

    #[test]
    fn nothing_is_lost_and_no_line_is_too_wide() {
        let text = "The gland dripped; its packing was hard. Cleaned, repacked and left to drip 3 times a minute.";
        let lines = cut(120.0, text);
        assert!(lines.len() > 3);
        assert_eq!(lines.concat(), text);
    }

    #[test]
    fn a_number_and_its_unit_stay_together() {
        for (text, torn) in
            [("D3-0563, 2011, 29 kW, 6190.5 h", "kW"), ("at 1500 rpm.", "rpm"), ("to 16.2 lbf·ft", "lbf")]
        {
            for width in 60..160 {
                let lines = cut(width as f32, text);
                assert!(!lines.iter().any(|line| line.starts_with(torn) || line.starts_with("h")), "{lines:?}");
                assert_eq!(lines.concat(), text);
            }
        }
        assert_eq!(cut(30.0, "12 rings"), ["12 ", "rings"]);
    }

    #[test]
    fn a_word_that_is_too_wide_is_cut() {
        let text = "GB-".to_owned() + &"X".repeat(200);
        let lines = cut(100.0, &text);
        assert!(lines.len() > 5);
        assert_eq!(lines.concat(), text);
    }

    #[test]
    fn a_person_s_lines_stay() {
        assert_eq!(cut(500.0, "one\ntwo\n\nthree"), ["one", "two", "", "three"]);
        assert_eq!(cut(500.0, "one\n"), ["one"]);
        assert_eq!(cut(500.0, ""), Vec::<String>::new());
    }
}
