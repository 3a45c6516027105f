//! Reads and fills messages: the form of Project Fluent, as far as our files use it.
//!
//! A message is `name = text`. In the text `{ $hole }` is filled, `{"…"}` stands for
//! itself, and a row of variants is chosen by a hole's number or text:
//!
//! ```text
//! days = { $count ->
//!     [one] { $count } day
//!    *[other] { $count } days
//! }
//! ```
//!
//! The first variant whose key is the text, the number or the number's plural category
//! holds; else the one with the star. Of the categories (CLDR) only `one` is told from
//! the rest: it is 1 in English, Spanish and German, and 0 or 1 in French.
//!
//! A phone carries this instead of the library that the form is from, which weighs more
//! than all our words; the library is the oracle of the tests, and one of them holds that
//! no file uses more of the form than this.

use super::Hole;
use crate::event::Language;

/// A hole's name and what fills it.
pub(crate) type Filled<'a> = (&'a str, Hole<'a>);

/// Returns the message of this name with its holes filled, if the file has it.
pub(crate) fn filled(file: &str, language: Language, name: &str, holes: &[Filled<'_>]) -> Option<String> {
    let mut text = String::new();
    fill(&mut text, pattern(file, name)?, language, holes);
    Some(text)
}

/// Returns the text of a message, up to the line before the next one.
fn pattern<'a>(file: &'a str, name: &str) -> Option<&'a str> {
    let mut rest = file;
    loop {
        let line = rest.split('\n').next()?;
        if let Some(text) = line.strip_prefix(name).and_then(|it| it.strip_prefix(" = ")) {
            let begins = line.len() - text.len();
            return Some(rest[begins..begins + length(&rest[begins..])].trim_end());
        }
        rest = rest.get(line.len() + 1..)?;
    }
}

/// Returns how long a message's text is: to the end of the line on which all braces are closed.
fn length(text: &str) -> usize {
    let mut open = 0_usize;
    for (at, c) in text.char_indices() {
        match c {
            '{' => open += 1,
            '}' => open = open.saturating_sub(1),
            '\n' if open == 0 => return at,
            _ => {}
        }
    }
    text.len()
}

fn fill(told: &mut String, text: &str, language: Language, holes: &[Filled<'_>]) {
    let mut rest = text;
    while let Some((before, from)) = rest.split_once('{') {
        told.push_str(before);
        let end = closing(from);
        place(told, from[..end].trim(), language, holes);
        rest = from.get(end + 1..).unwrap_or_default();
    }
    told.push_str(rest);
}

/// Returns where the brace is that closes what was opened before `text`.
fn closing(text: &str) -> usize {
    let mut open = 1_usize;
    for (at, c) in text.char_indices() {
        match c {
            '{' => open += 1,
            '}' => open -= 1,
            _ => {}
        }
        if open == 0 {
            return at;
        }
    }
    text.len()
}

/// Writes what stands between two braces.
fn place(told: &mut String, inside: &str, language: Language, holes: &[Filled<'_>]) {
    if let Some(quoted) = inside.strip_prefix('"') {
        return told.push_str(quoted.trim_end_matches('"'));
    }
    let (name, variants) = inside.split_once("->").map_or((inside, None), |(name, rest)| (name.trim(), Some(rest)));
    let hole = holes.iter().find(|hole| name.strip_prefix('$') == Some(hole.0)).map(|hole| hole.1);
    debug_assert!(hole.is_some(), "{name} is not given");
    match (hole, variants) {
        (Some(Hole::Text(text)), None) => told.push_str(text),
        (Some(Hole::Count(count)), None) => told.push_str(&count.to_string()),
        (Some(hole), Some(variants)) => fill(told, chosen(variants, language, hole), language, holes),
        (None, _) => {}
    }
}

/// Returns the text of the variant that holds.
fn chosen<'a>(variants: &'a str, language: Language, hole: Hole<'_>) -> &'a str {
    let mut otherwise = "";
    for line in variants.lines().map(str::trim) {
        let (is_default, line) = line.strip_prefix('*').map_or((false, line), |line| (true, line));
        let Some((key, text)) = line.strip_prefix('[').and_then(|line| line.split_once("] ")) else { continue };
        if holds(key, language, hole) {
            return text;
        }
        if is_default {
            otherwise = text;
        }
    }
    otherwise
}

fn holds(key: &str, language: Language, hole: Hole<'_>) -> bool {
    match hole {
        Hole::Text(text) => key == text,
        Hole::Count(count) => key.parse() == Ok(count) || (key == "one" && is_one(language, count)),
    }
}

/// Tells whether a number's plural category is `one` (CLDR, cardinals).
const fn is_one(language: Language, count: u32) -> bool {
    match language {
        Language::English | Language::Spanish | Language::German => count == 1,
        Language::French => count <= 1,
    }
}

/// Holds a file of messages against the library.
#[cfg(test)]
pub(crate) mod oracle {
    use fluent_bundle::{FluentArgs, FluentBundle, FluentResource, FluentValue};
    use fluent_syntax::ast::{Entry, Expression, InlineExpression, Pattern, PatternElement};
    use fluent_syntax::parser;

    use super::*;

    /// Returns the messages of a file, each with the names of its holes.
    pub(crate) fn messages(file: &str) -> Vec<(String, Vec<String>)> {
        let resource = parser::parse(file).unwrap_or_else(|wrong| panic!("{wrong:?}"));
        let message = |entry| match entry {
            Entry::Message(message) => {
                let mut holes = Vec::new();
                holes_of(&message.value.unwrap(), false, &mut holes);
                Some((message.id.name.to_owned(), holes))
            }
            _ => None,
        };
        resource.body.into_iter().filter_map(message).collect()
    }

    /// Names the holes of a pattern, and fails on what our reader does not know.
    fn holes_of(pattern: &Pattern<&str>, within: bool, holes: &mut Vec<String>) {
        for element in &pattern.elements {
            let PatternElement::Placeable { expression } = element else { continue };
            match expression {
                Expression::Inline(InlineExpression::VariableReference { id }) => holes.push(id.name.to_owned()),
                Expression::Inline(InlineExpression::StringLiteral { value }) => {
                    assert!(!value.contains(['{', '}', '"', '\\']), "{value}");
                }
                Expression::Select { selector: InlineExpression::VariableReference { id }, variants } => {
                    assert!(!within, "a choice within a choice");
                    holes.push(id.name.to_owned());
                    variants.iter().for_each(|variant| holes_of(&variant.value, true, holes));
                }
                other => panic!("{other:?} is none of what our files use"),
            }
        }
    }

    fn by_the_library(bundle: &FluentBundle<FluentResource>, name: &str, holes: &[(&str, Hole<'_>)]) -> String {
        let value = |hole| match hole {
            Hole::Count(count) => FluentValue::from(count),
            Hole::Text(text) => FluentValue::from(text),
        };
        let args: FluentArgs<'_> = holes.iter().map(|&(name, hole)| (name, value(hole))).collect();
        let pattern = bundle.get_message(name).unwrap().value().unwrap();
        let mut wrong = Vec::new();
        let text = bundle.format_pattern(pattern, Some(&args), &mut wrong).into_owned();
        assert!(wrong.is_empty(), "{name}: {wrong:?}");
        text
    }

    /// Fills every message of a file by both, with numbers and with text.
    pub(crate) fn agrees(file: &str, language: Language) {
        let mut bundle = FluentBundle::new(vec![language.tag().parse().unwrap()]);
        bundle.set_use_isolating(false);
        bundle.add_resource(FluentResource::try_new(file.to_owned()).unwrap()).unwrap();
        let numbers = [0, 1, 2, 3, 5, 6, 8, 11, 12, 21, 100, 1_000_000].map(Hole::Count);
        let texts = ["us", "other", "Seal <8 { } \"x\" %", ""].map(Hole::Text);
        for (name, names) in messages(file) {
            for hole in numbers.into_iter().chain(texts) {
                let holes: Vec<(&str, Hole<'_>)> = names.iter().map(|name| (name.as_str(), hole)).collect();
                let told = filled(file, language, &name, &holes).unwrap();
                assert_eq!(told, by_the_library(&bundle, &name, &holes), "{language:?}, {name}, {hole:?}");
            }
        }
        assert_eq!(filled(file, language, "no-such-message", &[]), None);
    }
}

#[cfg(test)]
mod tests {
    use super::super::file;
    use super::*;

    #[test]
    fn every_message_is_filled_as_the_library_fills_it() {
        Language::ALL.into_iter().for_each(|language| oracle::agrees(file(language), language));
    }

    #[test]
    fn a_message_of_several_lines_ends_where_its_braces_do() {
        let file = "a = one\n\n# A remark.\nb = { $n ->\n    [one] { $n } day\n   *[other] { $n } days\n} left\nc = x";
        let told = |name, n| filled(file, Language::English, name, &[("n", Hole::Count(n))]);
        assert_eq!([told("b", 1), told("b", 2)], [Some("1 day left".to_owned()), Some("2 days left".to_owned())]);
        assert_eq!((told("a", 0), told("c", 0)), (Some("one".to_owned()), Some("x".to_owned())));
        assert_eq!(told("d", 0), None);
    }
}
