//! What was measured, as the owner reads it.
//!
//! The names of kinds, of figures, choices and verdicts are closed lists of
//! [`crate::reading`], so each has a message whose name is its slug. A reason is a
//! sentence of the rules; its message is named by its own English words. One that has
//! no message is told in English, which is better than not told.

use crate::event::{Language, Stage};
use crate::reading::Kind;
use crate::reading::figure::Entered;
use crate::reading::finding::Verdict;
use crate::reading::form::{Given, Name, Value};
use crate::reading::unit::{Unit, decimal};
use crate::sheet::readings::ReadingSheet;
use crate::text::Label;
use crate::words::messages::filled;
use crate::words::{Hole, Word, Words, unit_for};

/// A reason that holds figures: what stands before, between and after them, and its message.
struct Form {
    start: &'static str,
    middle: &'static str,
    end: &'static str,
    message: &'static str,
}

const fn form(message: &'static str, start: &'static str, middle: &'static str, end: &'static str) -> Form {
    Form { start, middle, end, message }
}

/// The reasons of limits, of a given range and of cylinders beside each other.
const FORMS: [Form; 8] = [
    form("f-below-limit", "", " is below the lowest, ", "."),
    form("f-above-limit", "", " is above the highest, ", "."),
    form("f-within-limits", "", " is within its limits", "."),
    form("f-below-range", "", " is below the lowest", "."),
    form("f-above-range", "", " is above the highest", "."),
    form("f-within-range", "", " is within the range", "."),
    form("f-lower-cylinder", "Cylinder ", " is lower than cylinder ", "."),
    form("f-neighbours", "Cylinders ", " and ", " are both low: look at the gasket between them."),
];

impl Words {
    /// Returns a reading in plain words: what was read, what it comes to, how it stands and why.
    pub fn reading(&self, sheet: &ReadingSheet) -> String {
        let typed = sheet.facts.kind.inputs().iter().flat_map(|input| {
            let of_input = sheet.facts.given.iter().filter(move |given| given.name == input.name);
            of_input.map(move |given| self.given(input.words, given))
        });
        let told = sheet.finding.told.iter().map(|told| [self.sentence(told.words), self.told(&told.value)].join(" "));
        let all: Vec<String> = typed.chain(told).collect();
        let verdict = sheet.finding.verdict();
        let read = self.headed(&self.reading_name(sheet), &self.row(&all));
        let read = match sheet.stage {
            Some(Stage::Before) => self.labelled(Word::Before, &read),
            Some(Stage::After) => self.labelled(Word::After, &read),
            None => read,
        };
        let mut words = [&read, ". ", &self.verdict(verdict), "."].concat();
        for reason in sheet.finding.reasons.iter().filter(|reason| reason.verdict == verdict) {
            words.extend([" ", &self.reason(&reason.words)]);
        }
        words
    }

    /// Returns what was worked out: figures, of which one may name its cylinder, or words.
    fn told(&self, value: &str) -> String {
        match value.split_once(", cylinder ") {
            Some((leak, nth)) => {
                let cylinder = self.listed("name-", Name::Cylinder.slug(), Name::Cylinder.words());
                [&self.figures_in(leak), ", ", &cylinder, " ", nth].concat()
            }
            None if value.starts_with(|c: char| c.is_alphabetic()) => self.sentence(value),
            None => self.figures_in(value),
        }
    }

    /// Returns which reading it was and how it stands.
    pub fn reading_in_short(&self, sheet: &ReadingSheet) -> String {
        [&self.reading_name(sheet), " (", &self.verdict(sheet.finding.verdict()), ")"].concat()
    }

    fn reading_name(&self, sheet: &ReadingSheet) -> String {
        self.reading_called(sheet.facts.kind, &sheet.facts.what)
    }

    /// Returns what a reading of a kind is called: the kind, and what was measured.
    pub(crate) fn reading_called(&self, kind: Kind, what: &Label) -> String {
        let kind = self.listed("kind-", kind.slug(), kind.words());
        if what.is_empty() { kind } else { [&kind, ", ", what.as_str()].concat() }
    }

    fn verdict(&self, verdict: Verdict) -> String {
        let slug = match verdict {
            Verdict::CannotSay => "cannot-say",
            Verdict::Within => "within",
            Verdict::Watch => "watch",
            Verdict::OutOf => "out-of",
        };
        self.listed("verdict-", slug, verdict.words())
    }

    fn given(&self, label: &str, given: &Given) -> String {
        let label = self.sentence(label);
        let label = if given.nth > 0 { [&label, " ", &given.nth.to_string()].concat() } else { label };
        let value = match given.value {
            Value::Figure(entered) => self.entered(entered),
            Value::Choice(choice) => self.listed("choice-", choice.slug(), choice.words()),
        };
        [label, value].join(" ")
    }

    /// Returns a figure that was read: in the units chosen, with what was read beside it.
    fn entered(&self, entered: Entered) -> String {
        let read = self.figures_in(&entered.to_string());
        let unit = unit_for(self.reader().measures, entered.unit);
        if unit == entered.unit {
            return read;
        }
        let places = places_for(entered, unit);
        let told = [&self.number(&decimal(unit.scaled(entered.amount(), places), places)), " ", unit.words()].concat();
        [&told, " (", &read, ")"].concat()
    }

    /// Returns text of the program's with its numbers as the language writes them.
    fn figures_in(&self, text: &str) -> String {
        let mut told = String::new();
        for piece in text.split_inclusive(' ') {
            let bare = piece.trim_end_matches(|c: char| !c.is_ascii_digit());
            let digits = bare.strip_prefix('-').unwrap_or(bare);
            let is_number = !digits.is_empty()
                && digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.')
                && digits.bytes().filter(|&byte| byte == b'.').count() < 2;
            match is_number {
                true => told.extend([&self.number(bare), &piece[bare.len()..]]),
                false => told.push_str(piece),
            }
        }
        told
    }

    /// Returns the message of a case of a closed list.
    fn listed(&self, list: &str, slug: &str, english: &str) -> String {
        self.found(&[list, slug].concat(), english)
    }

    /// Returns the message that is named by a sentence's own words.
    fn sentence(&self, english: &str) -> String {
        self.found(&named_by(english), english)
    }

    /// Returns a reason; one that holds figures is told by its form.
    fn reason(&self, english: &str) -> String {
        let formed = FORMS.iter().find_map(|form| {
            let (before, rest) = english.split_once(form.middle)?;
            let limit = rest.strip_suffix(form.end)?;
            let value = before.strip_prefix(form.start)?;
            // In English it is told as it stands, but for its figures.
            if self.reader().language == Language::English {
                return Some(self.figures_in(english));
            }
            let (value, limit) = (self.amount_named(value), self.figures_in(limit));
            let holes = [("value", Hole::Text(&value)), ("limit", Hole::Text(&limit))];
            filled(messages(self.reader().language), self.reader().language, form.message, &holes)
        });
        formed.unwrap_or_else(|| self.sentence(english))
    }

    /// Returns `Pressure 2 10.2 bar`: what it is, which of several, and the figure.
    fn amount_named(&self, english: &str) -> String {
        let lower = english.to_lowercase();
        let names = Name::ALL.iter().filter(|name| lower.starts_with(&[name.words(), " "].concat()));
        let Some(name) = names.max_by_key(|name| name.words().len()) else { return self.figures_in(english) };
        let rest = &english[name.words().len()..];
        [&self.listed("name-", name.slug(), name.words()), &*self.figures_in(rest)].concat()
    }

    fn found(&self, id: &str, english: &str) -> String {
        if self.reader().language == Language::English {
            return english.to_owned();
        }
        filled(messages(self.reader().language), self.reader().language, id, &[]).unwrap_or_else(|| english.to_owned())
    }
}

/// Returns the messages of the readings; in English they stand in [`crate::reading`].
const fn messages(language: Language) -> &'static str {
    match language {
        Language::English => "",
        Language::Spanish => include_str!("readings.es.ftl"),
        Language::French => include_str!("readings.fr.ftl"),
        Language::German => include_str!("readings.de.ftl"),
    }
}

/// Returns the name of the message for a sentence: its words, with hyphens.
pub(super) fn named_by(english: &str) -> String {
    let words = english.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    ["r-", &words.map(str::to_ascii_lowercase).collect::<Vec<_>>().join("-")].concat()
}

/// Returns with how many decimals a figure is told in another unit: as many as its last
/// digit is worth there, so that nothing finer is claimed than was read.
fn places_for(entered: Entered, unit: Unit) -> u8 {
    // A degree's nothing lies elsewhere in each unit, so what one more makes is taken as a difference.
    let step = (entered.unit.amount(1, entered.places()) - entered.unit.amount(0, 0)).abs();
    let thousandths = (unit.scaled(step, 3) - unit.scaled(0, 3)).abs();
    match thousandths {
        500.. => 0,
        50.. => 1,
        5.. => 2,
        _ => 3,
    }
}

#[cfg(test)]
mod tests {
    use std::collections::{BTreeMap, BTreeSet};
    use std::fs;
    use std::path::Path;

    use super::*;
    use crate::event::{Measures, Reader};
    use crate::reading::form::Choice;
    use crate::words::messages::oracle;

    const OTHERS: [Language; 3] = [Language::Spanish, Language::French, Language::German];

    /// Returns the names of a language's messages, and which of them have holes.
    fn named(language: Language) -> BTreeMap<String, bool> {
        let all = oracle::messages(messages(language)).into_iter();
        all.map(|(name, holes)| (name, !holes.is_empty())).collect()
    }

    #[test]
    fn every_message_is_filled_as_the_library_fills_it() {
        OTHERS.into_iter().for_each(|language| oracle::agrees(messages(language), language));
    }

    /// Returns the English texts of the rules: all that stands between quotes in their files.
    fn rules() -> BTreeSet<String> {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
        let kinds = fs::read_dir(folder.join("reading/kinds")).unwrap().map(|entry| entry.unwrap().path());
        let files = kinds.chain([folder.join("tightening/sling.rs"), folder.join("reading/limits.rs")]);
        let text = |path| fs::read_to_string(path).unwrap();
        files.flat_map(|path| text(path).split('"').map(str::to_owned).collect::<Vec<_>>()).collect()
    }

    #[test]
    fn the_other_languages_have_the_same_messages_and_each_names_something_of_the_rules() {
        let all = named(Language::Spanish);
        for language in OTHERS {
            assert_eq!(named(language), all, "{language:?}");
        }
        let rules: BTreeSet<String> = rules().iter().map(|text| named_by(text)).collect();
        let listed =
            |list: &str, slugs: Vec<&str>| slugs.into_iter().map(|slug| [list, slug].concat()).collect::<Vec<_>>();
        let lists: BTreeSet<String> = [
            listed("kind-", Kind::ALL.iter().map(|it| it.slug()).collect()),
            listed("choice-", Choice::ALL.iter().map(|it| it.slug()).collect()),
            listed("name-", Name::ALL.iter().map(|it| it.slug()).collect()),
            listed("verdict-", vec!["cannot-say", "within", "watch", "out-of"]),
            FORMS.iter().map(|form| form.message.to_owned()).collect(),
        ]
        .concat()
        .into_iter()
        .collect();
        let left_over: Vec<_> = all.keys().filter(|name| !lists.contains(*name) && !rules.contains(*name)).collect();
        assert!(left_over.is_empty(), "these name nothing of the rules: {left_over:#?}");
    }

    #[test]
    fn every_kind_question_choice_and_verdict_is_said_in_every_language() {
        let all = named(Language::Spanish);
        let mut lacking = Vec::new();
        for kind in Kind::ALL {
            assert!(all.contains_key(&["kind-", kind.slug()].concat()), "{}", kind.words());
            let inputs = kind.inputs().iter().map(|input| named_by(input.words));
            lacking.extend(inputs.filter(|name| !all.contains_key(name)));
        }
        assert!(lacking.is_empty(), "these are said in no other language: {lacking:#?}");
        // What is the same everywhere needs no message: sizes, voltages, temperatures, AGM and AWG.
        let same = |choice: &&Choice| choice.words().starts_with(|c: char| c.is_ascii_digit());
        let same_too = [Choice::Agm, Choice::Awg];
        for choice in Choice::ALL.iter().filter(|it| !same(it) && !same_too.contains(it)) {
            let said = all.contains_key(&["choice-", choice.slug()].concat());
            assert!(said, "{} ({})", choice.words(), choice.slug());
        }
    }

    #[test]
    fn figures_are_told_as_fine_as_they_were_read() {
        let told = |measures, text, unit| {
            let words = Words::of(Reader { language: Language::German, measures });
            words.entered(Entered::parse(text, unit).unwrap())
        };
        // 1 psi is 0.068 947 57 bar, 1 °F is 5/9 °C (NIST SP 811, B.8); worked by hand.
        assert_eq!(told(Measures::Metric, "170", Unit::Psi), "11,7 bar (170 psi)");
        assert_eq!(told(Measures::Us, "11.7", Unit::Bar), "170 psi (11,7 bar)");
        assert_eq!(told(Measures::Metric, "185", Unit::Fahrenheit), "85 °C (185 °F)");
        assert_eq!(told(Measures::Us, "85", Unit::Celsius), "185 °F (85 °C)");
        assert_eq!(told(Measures::Metric, "12.60", Unit::Volt), "12,60 V");
        assert_eq!(told(Measures::AsRead, "170", Unit::Psi), "170 psi");
        assert_eq!(told(Measures::AsRead, "12345", Unit::TurnMinute), "12.345 rpm");
    }

    #[test]
    fn reasons_with_figures_are_said_by_their_form() {
        let words = Words::of(Reader { language: Language::German, ..Reader::default() });
        let told = |english| words.reason(english);
        assert_eq!(
            told("Pressure 2 10.2 bar is below the lowest, 11 bar."),
            "Druck 2 10,2 bar liegt unter dem Mindestwert, 11 bar."
        );
        assert_eq!(told("Cylinder 2 is lower than cylinder 1."), "Zylinder 2 liegt niedriger als Zylinder 1.");
        let both = "Cylinders 2 and 3 are both low: look at the gasket between them.";
        assert_eq!(told(both), "Zylinder 2 und 3 sind beide niedrig: Dichtung dazwischen prüfen.");
        assert_eq!(told("It holds."), "Hält.");
        assert_eq!(told("What nobody translated."), "What nobody translated.");
    }
}
