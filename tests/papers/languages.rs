//! The demo's owners read their documents in their own language, to the last sentence.
//!
//! What a person typed stays as it was typed, so it is taken out of a text first: all
//! that stands in the log as text. What is left of a text in another language may have
//! nothing in common with English but names, units and signs.

use std::collections::BTreeSet;

use quaywright_core::agreement::consent::Agreed;
use quaywright_core::book::Book;
use quaywright_core::event::{Language, Measures, Reader};
use quaywright_core::exchange::pieces::{PhotoForm, Piece};
use quaywright_core::exchange::{agreement, html};
use quaywright_core::id::JobId;
use quaywright_core::moment::Moment;
use quaywright_core::owner::message::message;
use quaywright_core::sheet::agreement::{agreement_sheet, text_to_sign};
use quaywright_core::sheet::times::owners_time;
use quaywright_core::sheet::{OwnerSheet, owner_sheet};
use serde_json::Value;

use crate::shop::Shop;

/// What may stand in every language: names, units, signs of money and standards.
const ALLOWED: [&str; 31] = [
    "h", "min", "HIN", "SHA", "GBP", "USD", "rpm", "V", "A", "bar", "psi", "kPa", "kW", "hp", "PS", "N", "m", "Nm",
    "lbf", "ft", "in", "mm", "cm", "kg", "l", "C", "F", "kn", "CCA", "AGM", "Total",
];

/// Words that French shares with English.
const FRENCH_TOO: [&str; 2] = ["Date", "Photos"];

/// Returns all that stands as text in a record, the longest first.
fn typed(records: &[Vec<u8>]) -> Vec<String> {
    fn walk(value: Value, texts: &mut BTreeSet<String>) {
        match value {
            Value::String(text) => {
                texts.extend(text.lines().map(str::to_owned));
                texts.insert(text.split_whitespace().collect::<Vec<_>>().join(" "));
            }
            Value::Array(list) => list.into_iter().for_each(|value| walk(value, texts)),
            Value::Object(fields) => fields.into_iter().for_each(|(_, value)| walk(value, texts)),
            _ => {}
        }
    }
    let mut texts = BTreeSet::new();
    for record in records {
        let mut record: Value = serde_json::from_slice(record).unwrap();
        walk(record["event"].take(), &mut texts);
    }
    let mut texts: Vec<String> = texts.into_iter().filter(|text| text.len() > 1).collect();
    texts.sort_by_key(|text| std::cmp::Reverse(text.len()));
    texts
}

/// Takes out what was typed, where it stands as words of its own.
fn without(text: &str, typed: &[String]) -> String {
    let mut left = text.to_owned();
    for words in typed {
        let mut from = 0;
        while let Some(at) = left[from..].find(words.as_str()).map(|at| from + at) {
            let end = at + words.len();
            let is_letter = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
            if is_letter(left[..at].chars().next_back()) || is_letter(left[end..].chars().next()) {
                from = end;
            } else {
                left.replace_range(at..end, "¤");
                from = at;
            }
        }
    }
    left
}

fn plain(html: &str) -> String {
    let signs = [("&#39;", "'"), ("&quot;", "\""), ("&lt;", "<"), ("&gt;", ">"), ("&amp;", "&")];
    signs.iter().fold(html.to_owned(), |text, (written, sign)| text.replace(written, sign))
}

/// Returns each text of a page, with what those hear who cannot see it.
fn texts_of(pieces: &[Piece]) -> Vec<String> {
    let mut texts = Vec::new();
    for piece in pieces {
        match piece {
            Piece::Text(html) => {
                let html = String::from_utf8(html.clone()).unwrap();
                let title = html.split_once("<title>").and_then(|it| it.1.split('<').next());
                texts.extend(title.map(plain));
                let body = html.rsplit("</style>").next().unwrap_or_default();
                for tag in body.split('<') {
                    let (tag, text) = tag.split_once('>').unwrap_or(("", tag));
                    let label = tag.split_once("aria-label=\"").and_then(|it| it.1.split('"').next());
                    texts.extend([text, label.unwrap_or_default()].map(plain));
                }
            }
            Piece::Photo { blob, form: PhotoForm::Image(image) } => {
                texts.extend([
                    image.alt().to_owned(),
                    image.gone().words(*blob, true),
                    image.gone().words(*blob, false),
                ]);
            }
            Piece::Photo { .. } => panic!("an owner hears no voice note"),
        }
    }
    texts.into_iter().map(|text| text.trim().to_owned()).filter(|text| !text.is_empty()).collect()
}

/// Returns every text that the owner of a job's boat can get, in a language.
fn told(book: &Book, job: JobId, now: Moment, language: Language) -> Vec<String> {
    let reader = Reader { language, measures: Measures::AsRead };
    let day = now.day();
    let sheet = OwnerSheet { reader, time: owners_time(book, job, now), ..owner_sheet(book, job, day).unwrap() };
    let mut texts = texts_of(&html::owner_page(&sheet));
    texts.extend(texts_of(&agreement::page(&agreement_sheet(book, job, day, reader).unwrap())));
    texts.extend(message(&sheet).lines().map(str::to_owned));
    let estimates = book.agreements.estimates_of(job).map(|made| Agreed::Estimate(made.id));
    let consents = book.agreements.consents_of(job).map(|given| given.consent.to.clone());
    for to in estimates.chain(consents).chain([Agreed::Work]) {
        let text = text_to_sign(book, job, &to, reader).unwrap();
        texts.extend(text.as_str().lines().map(str::to_owned));
    }
    texts
}

/// Returns the English sentences and phrases of several words, without their holes.
fn english_phrases() -> Vec<String> {
    let file = include_str!("../../core/src/words/en.ftl");
    let lines = file.lines().filter(|line| !line.starts_with('#'));
    let texts = lines.map(|line| line.split_once(" = ").map_or(line, |(_, text)| text));
    let chunks = texts.flat_map(|text| text.split(['{', '}'])).map(|chunk| chunk.trim_matches([' ', ':', ',', '.']));
    let is_phrase = |chunk: &&str| chunk.split(' ').filter(|word| word.len() > 1).count() > 1 && !chunk.contains('$');
    chunks.filter(is_phrase).map(str::to_owned).collect()
}

#[test]
fn every_sentence_of_the_program_is_in_the_owners_language() {
    let shop = Shop::open();
    let (book, now) = (shop.book(), shop.now);
    let typed = typed(&shop.demo.records);
    let phrases = english_phrases();
    assert!(phrases.len() > 60, "{phrases:?}");
    let jobs: Vec<JobId> = book.jobs.jobs().map(|job| job.id).collect();
    let mut offences = BTreeSet::new();
    for job in jobs {
        let english: BTreeSet<String> = told(&book, job, now, Language::English).into_iter().collect();
        for language in [Language::Spanish, Language::French, Language::German] {
            let others = told(&book, job, now, language);
            // As many texts in every language, else something is not told.
            assert!(others.len() >= english.len(), "{language:?}");
            for text in others {
                let left = without(&text, &typed);
                let words: Vec<&str> = left.split(|c: char| !c.is_alphabetic()).filter(|it| !it.is_empty()).collect();
                let shared = |word: &&str| language == Language::French && FRENCH_TOO.contains(word);
                let may_stand = |word: &&str| ALLOWED.contains(word) || shared(word);
                let is_the_same = english.contains(&text) && !words.iter().all(may_stand);
                if is_the_same || phrases.iter().any(|phrase| left.contains(phrase.as_str())) {
                    offences.insert(format!("{language:?}: {text}"));
                }
            }
        }
    }
    assert!(offences.is_empty(), "{offences:#?}");
}

#[test]
fn what_was_typed_is_taken_out_as_whole_words() {
    let typed = ["Seal ring".to_owned(), "in".to_owned()];
    assert_eq!(without("Seal ring: lies in tin 2, Seal rings", &typed), "¤: lies ¤ tin 2, Seal rings");
    assert!(english_phrases().contains(&"This sheet says what was signed".to_owned()));
}

#[test]
fn each_language_is_set_as_it_is_written() {
    let shop = Shop::open();
    let (book, day) = (shop.book(), shop.now.day());
    let typed = typed(&shop.demo.records);
    for job in book.jobs.jobs().map(|job| job.id) {
        for language in [Language::English, Language::Spanish, Language::French, Language::German] {
            let sheet = agreement_sheet(&book, job, day, Reader { language, ..Reader::default() }).unwrap();
            for consent in sheet.consents {
                assert!(consent.words.starts_with(char::is_uppercase), "{}", consent.words);
            }
        }
        // In French a colon stands between spaces.
        let reader = Reader { language: Language::French, ..Reader::default() };
        let page = html::owner_page(&OwnerSheet { reader, ..owner_sheet(&book, job, day).unwrap() });
        for text in texts_of(&page) {
            let left = without(&text, &typed);
            let close = |at: usize| left[..at].ends_with(char::is_alphabetic);
            assert!(!left.match_indices(": ").any(|(at, _)| close(at)), "{text}");
        }
    }
}
