//! Letters that can be read in the sun, and at night: every text colour of the style sheet on
//! every ground that it stands on, 7:1 by WCAG 2.2 (relative luminance, contrast ratio).
//!
//! axe judges what stands still on a screen. What comes for a moment is judged here: words that
//! breathe while something is under way, a button under the finger.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// The least contrast of a text: success criterion 1.4.6.
const LEAST: f64 = 7.0;

/// Text colours and the grounds that they stand on. Busy words and pressed buttons swap paper and ink.
const PAIRS: [(&str, &str); 11] = [
    ("--ink", "--paper"),
    ("--ink", "--leaf"),
    ("--paper", "--ink"),
    ("--faded", "--paper"),
    ("--faded", "--leaf"),
    ("--stop", "--paper"),
    ("--stop", "--leaf"),
    ("--running", "--paper"),
    ("--running", "--leaf"),
    ("--on-running", "--running"),
    ("--paper", "--running"),
];

type Colour = [f64; 3];

fn style() -> String {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../app/pocket/style.css");
    fs::read_to_string(&file).unwrap_or_else(|e| panic!("cannot read {}: {e}", file.display()))
}

/// Returns the colours that a block of tokens names.
fn tokens(block: &str) -> BTreeMap<String, Colour> {
    let end = block.find('}').unwrap_or(block.len());
    let token = |line: &str| {
        let (name, value) = line.trim().split_once(": ")?;
        let hex = value.strip_prefix('#')?.strip_suffix(';')?;
        let part = |at: usize| u8::from_str_radix(hex.get(at..at + 2)?, 16).ok().map(f64::from);
        Some((name.to_owned(), [part(0)?, part(2)?, part(4)?]))
    };
    block[..end].lines().filter_map(token).collect()
}

/// Returns the tokens of the day and those of the night.
fn schemes(style: &str) -> [BTreeMap<String, Colour>; 2] {
    let mut blocks = style.split(":root {").skip(1);
    let day = tokens(blocks.next().unwrap_or_default());
    let night = tokens(blocks.next().unwrap_or_default());
    assert!(day.len() >= 8 && day.keys().eq(night.keys()), "{day:?}\n{night:?}");
    [day, night]
}

fn luminance(colour: Colour) -> f64 {
    let [red, green, blue] = colour.map(|part| {
        let part = part / 255.0;
        if part <= 0.04045 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) }
    });
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

fn contrast(one: Colour, other: Colour) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// Returns a colour of which only a part covers its ground.
fn over(colour: Colour, part: f64, ground: Colour) -> Colour {
    std::array::from_fn(|at| colour[at] * part + ground[at] * (1.0 - part))
}

#[test]
fn every_text_stands_out_from_its_ground_by_day_and_by_night() {
    for scheme in schemes(&style()) {
        for (text, ground) in PAIRS {
            let found = contrast(scheme[text], scheme[ground]);
            assert!(found >= LEAST, "{text} on {ground}: {found:.2}");
        }
    }
}

#[test]
fn what_breathes_can_be_read_all_the_while() {
    let style = style();
    let parts: Vec<f64> = style
        .lines()
        .filter_map(|line| line.trim().strip_prefix("opacity: ")?.strip_suffix(';')?.parse().ok())
        .collect();
    assert!(!parts.is_empty(), "nothing breathes any more: this test has nothing to look at");
    for scheme in schemes(&style) {
        for (text, ground) in [("--ink", "--paper"), ("--paper", "--ink")] {
            for &part in &parts {
                let found = contrast(over(scheme[text], part, scheme[ground]), scheme[ground]);
                assert!(found >= LEAST, "{text} on {ground} at {part}: {found:.2}");
            }
        }
    }
}

/// The examples of WCAG's own text: black on white is 21:1, and #767676 is the lightest grey of 4.5:1.
#[test]
fn contrast_is_reckoned_as_published() {
    assert!((contrast([0.0; 3], [255.0; 3]) - 21.0).abs() < 1e-9);
    assert!(contrast([118.0; 3], [255.0; 3]) >= 4.5 && contrast([119.0; 3], [255.0; 3]) < 4.5);
}
