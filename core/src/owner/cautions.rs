//! Cautions, as the owner reads them.
//!
//! The English sentences are those of [`crate::reassembly::caution`]; each other language has
//! a file whose messages bear the cautions' names. As everywhere, a caution comes with its
//! source, and at the end of all with what comes first.

use crate::event::Language;
use crate::reassembly::caution::{Caution, Source, told_together};
use crate::sheet::heed::Heed;
use crate::words::messages::filled;
use crate::words::{Hole, Word, Words};

impl Words {
    /// Returns what is missing before the engine is started; empty where nothing is.
    pub fn not_there(&self, heed: &Heed) -> String {
        let tightening = |name: &String| self.fill(Word::TighteningOf, &[("name", Hole::Text(name))]);
        let all = heed.not_there.iter().cloned().chain(heed.not_tight.iter().map(tightening));
        self.row(&all.collect::<Vec<_>>())
    }

    /// Returns cautions, a line each, and at their end what comes first.
    pub fn cautions(&self, cautions: &[Caution]) -> Vec<String> {
        let language = self.reader().language;
        let said = |name: &str, holes: &[(&str, Hole)]| filled(messages(language), language, name, holes);
        let line = |it: &Caution| {
            let (text, source) = (said(&slug(*it), &[])?, source(*it, |name| said(name, &[]))?);
            said("from", &[("text", Hole::Text(&text)), ("source", Hole::Text(&source))])
        };
        let first = said("first", &[]);
        match cautions.iter().map(line).chain([first]).collect::<Option<Vec<_>>>() {
            Some(lines) if !cautions.is_empty() => lines,
            // English; and better told in English than not told.
            _ => told_together(cautions),
        }
    }
}

/// Returns where a caution comes from; a rule's section is called the same everywhere.
fn source(caution: Caution, said: impl Fn(&str) -> Option<String>) -> Option<String> {
    match (caution, caution.source()) {
        (Caution::Propeller, _) => said("source-propeller"),
        (_, Source::CommonPractice) => said("source-common-practice"),
        (_, Source::Rule(section)) => Some(section.to_owned()),
    }
}

fn slug(caution: Caution) -> String {
    caution.name().replace(' ', "-")
}

/// Returns the messages of the cautions; in English they stand in the code.
const fn messages(language: Language) -> &'static str {
    match language {
        Language::English => "",
        Language::Spanish => include_str!("cautions.es.ftl"),
        Language::French => include_str!("cautions.fr.ftl"),
        Language::German => include_str!("cautions.de.ftl"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::Reader;
    use crate::reassembly::caution::FIRST;
    use crate::words::messages::oracle;

    const OTHERS: [Language; 3] = [Language::Spanish, Language::French, Language::German];

    #[test]
    fn every_language_has_a_message_for_each_caution_and_none_that_is_left_over() {
        let named = ["from", "first", "source-common-practice", "source-propeller"].map(str::to_owned);
        let expected: std::collections::BTreeSet<String> = Caution::ALL.map(slug).into_iter().chain(named).collect();
        for language in OTHERS {
            oracle::agrees(messages(language), language);
            let names = oracle::messages(messages(language)).into_iter().map(|(name, _)| name).collect();
            assert_eq!(expected, names, "{language:?}");
        }
    }

    #[test]
    fn cautions_are_told_with_their_source_and_what_comes_first() {
        let told =
            |language, cautions: &[Caution]| Words::of(Reader { language, ..Reader::default() }).cautions(cautions);
        let english = told(Language::English, &Caution::ALL);
        assert_eq!(english.last().map(String::as_str), Some(FIRST));
        for language in OTHERS {
            let lines = told(language, &Caution::ALL);
            assert_eq!(lines.len(), Caution::ALL.len() + 1, "{language:?}");
            assert!(lines.iter().all(|line| !english.contains(line)), "{lines:?}");
            assert_eq!(lines.iter().filter(|line| line.contains("CFR")).count(), 4, "{lines:?}");
            assert_eq!(told(language, &[]), Vec::<String>::new());
        }
        let german = told(Language::German, &[Caution::NoCoolingWater]);
        assert!(german[0].ends_with("Quelle: allgemein üblich."), "{german:?}");
    }
}
