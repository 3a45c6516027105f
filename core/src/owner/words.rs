//! The words of owner's documents: which messages there are, and in which language.
//!
//! [`Word`] names each message once; the tests hold that every language has every
//! message with the same holes, that none is left over and that all are used. To add
//! one: a line in [`Word`], and a message in each of the four files.

use fluent_bundle::{FluentArgs, FluentBundle, FluentResource, FluentValue};
use unic_langid::LanguageIdentifier;

use crate::event::{Language, Measures, Reader};

/// Makes the list of messages.
macro_rules! messages {
    ($($word:ident = $id:literal;)+) => {
        /// A message of the owner's documents.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Word { $(#[doc = $id] $word,)+ }

        impl Word {
            /// All messages.
            pub const ALL: &'static [Word] = &[$(Word::$word),+];

            /// Returns its name in the message files.
            pub const fn id(self) -> &'static str {
                match self { $(Word::$word => $id,)+ }
            }
        }
    };
}

messages! {
    WorkSummary = "work-summary";
    AsWritten = "as-written";
    State = "state";
    Finished = "finished";
    InWork = "in-work";
    Owner = "owner";
    Berth = "berth";
    Hin = "hin";
    Engine = "engine";
    Technician = "technician";
    Date = "date";
    YouToldUs = "you-told-us";
    WeFound = "we-found";
    WeDid = "we-did";
    StillToDo = "still-to-do";
    Nothing = "nothing";
    GoesOn = "goes-on";
    Done = "done";
    Tightened = "tightened";
    Instead = "instead";
    Parts = "parts";
    Measured = "measured";
    Photos = "photos";
    Photo = "photo";
    PhotoGone = "photo-gone";
    PhotoBroken = "photo-broken";
    IsOff = "is-off";
    AllOff = "all-off";
    SomeOff = "some-off";
    Replaced = "replaced";
    LeftOff = "left-off";
    PartNumber = "part-number";
    UnnamedEngine = "unnamed-engine";
    Serial = "serial";
    Hours = "hours";
    InCircle = "in-circle";
    InRow = "in-row";
    InRows = "in-rows";
    TightTo = "tight-to";
    TightByGuidance = "tight-by-guidance";
    TightUnknown = "tight-unknown";
    AManual = "a-manual";
    NotTight = "not-tight";
    HalfTight = "half-tight";
    About = "about";
    Between = "between";
    FromTo = "from-to";
    ThenTurn = "then-turn";
    PageOf = "page-of";
    NotDrawn = "not-drawn";
    Recommended = "recommended";
    Agreed = "agreed";
    NextVisit = "next-visit";
    AskedByYou = "asked-by-you";
    AskedByUs = "asked-by-us";
    AskedByOther = "asked-by-other";
    BeforeAfter = "before-after";
    Before = "before";
    After = "after";
    MessageHead = "message-head";
    MessageFinished = "message-finished";
    MessageInWork = "message-in-work";
    ToWatch = "to-watch";
    FullDay = "full-day";
    Weekday = "weekday";
    Month = "month";
}

/// What fills a hole of a message.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hole<'a> {
    /// A whole number, by which a plural is chosen.
    Count(u32),
    /// Text.
    Text(&'a str),
}

/// The words for one reader.
pub struct Words {
    reader: Reader,
    bundle: FluentBundle<FluentResource>,
}

impl Words {
    /// Returns the words for a reader.
    pub fn of(reader: Reader) -> Self {
        let mut bundle = FluentBundle::new(vec![locale(reader)]);
        // The marks would stand in what people copy; each element has its own direction.
        bundle.set_use_isolating(false);
        for file in [file(reader.language), readings(reader.language)] {
            // A file that does not read whole gives what does; the tests read all of them.
            let resource = FluentResource::try_new(file.to_owned()).unwrap_or_else(|(some, _)| some);
            bundle.add_resource_overriding(resource);
        }
        Self { reader, bundle }
    }

    /// Returns for whom they are.
    pub fn reader(&self) -> Reader {
        self.reader
    }

    /// Returns a message without holes.
    pub fn say(&self, word: Word) -> String {
        self.fill(word, &[])
    }

    /// Returns a message with its holes filled.
    pub fn fill(&self, word: Word, holes: &[(&'static str, Hole<'_>)]) -> String {
        self.optional(word.id(), holes).unwrap_or_else(|| word.id().to_owned())
    }

    /// Returns the message of this name, if there is one.
    pub(super) fn optional(&self, id: &str, holes: &[(&'static str, Hole<'_>)]) -> Option<String> {
        let args: FluentArgs<'_> = holes.iter().map(|&(name, hole)| (name, FluentValue::from(hole))).collect();
        let pattern = self.bundle.get_message(id)?.value()?;
        let mut wrong = Vec::new();
        let text = self.bundle.format_pattern(pattern, Some(&args), &mut wrong);
        debug_assert!(wrong.is_empty(), "{id}: {wrong:?}");
        Some(text.into_owned())
    }
}

impl<'a> From<Hole<'a>> for FluentValue<'a> {
    fn from(hole: Hole<'a>) -> Self {
        match hole {
            Hole::Count(count) => count.into(),
            Hole::Text(text) => text.into(),
        }
    }
}

/// Returns the locale of a reader; English is British unless its units are those of the US.
fn locale(reader: Reader) -> LanguageIdentifier {
    let tag = match (reader.language, reader.measures) {
        (Language::English, Measures::Us) => "en-US",
        (Language::English, _) => "en-GB",
        (other, _) => other.tag(),
    };
    // Each of these reads; the tests see that plurals come by them.
    tag.parse().unwrap_or_default()
}

const fn file(language: Language) -> &'static str {
    match language {
        Language::English => include_str!("words/en.ftl"),
        Language::Spanish => include_str!("words/es.ftl"),
        Language::French => include_str!("words/fr.ftl"),
        Language::German => include_str!("words/de.ftl"),
    }
}

/// Returns the messages of the readings; in English they stand in `crate::reading`.
pub(super) const fn readings(language: Language) -> &'static str {
    match language {
        Language::English => "",
        Language::Spanish => include_str!("words/readings.es.ftl"),
        Language::French => include_str!("words/readings.fr.ftl"),
        Language::German => include_str!("words/readings.de.ftl"),
    }
}

#[cfg(test)]
mod tests {
    use std::collections::{BTreeMap, BTreeSet};
    use std::fs;
    use std::path::Path;

    use fluent_syntax::ast::{Entry, Expression, InlineExpression, Pattern, PatternElement};
    use fluent_syntax::parser;

    use super::*;

    /// Returns the messages of a file, each with its holes.
    fn messages(language: Language) -> BTreeMap<String, BTreeSet<String>> {
        let resource = parser::parse(file(language)).unwrap_or_else(|wrong| panic!("{language:?}: {wrong:?}"));
        let mut all = BTreeMap::new();
        for entry in resource.body {
            let Entry::Message(message) = entry else { continue };
            let mut holes = BTreeSet::new();
            holes_of(message.value.as_ref().unwrap(), &mut holes);
            assert!(all.insert(message.id.name.to_owned(), holes).is_none(), "{language:?}: {} twice", message.id.name);
        }
        all
    }

    fn holes_of(pattern: &Pattern<&str>, holes: &mut BTreeSet<String>) {
        for element in &pattern.elements {
            let PatternElement::Placeable { expression } = element else { continue };
            let inline = match expression {
                Expression::Inline(inline) => inline,
                Expression::Select { selector, variants } => {
                    variants.iter().for_each(|variant| holes_of(&variant.value, holes));
                    selector
                }
            };
            match inline {
                InlineExpression::VariableReference { id } => {
                    holes.insert(id.name.to_owned());
                }
                InlineExpression::StringLiteral { .. } => {}
                other => panic!("{other:?} is none of what our files use"),
            }
        }
    }

    #[test]
    fn every_language_has_every_message_with_the_same_holes_and_no_other() {
        let english = messages(Language::English);
        let named: BTreeSet<String> = Word::ALL.iter().map(|word| word.id().to_owned()).collect();
        assert_eq!(english.keys().cloned().collect::<BTreeSet<_>>(), named);
        for language in Language::ALL {
            assert_eq!(messages(language), english, "{language:?}");
        }
    }

    #[test]
    fn every_message_is_used() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR"));
        let mut sources = String::new();
        for root in [folder.join("src"), folder.join("../app/papers/src")] {
            read_all(&root, &mut sources);
        }
        for word in Word::ALL {
            let name = format!("Word::{word:?}");
            let is_whole = |at: usize| !sources[at + name.len()..].starts_with(|c: char| c.is_alphanumeric());
            assert!(sources.match_indices(&name).any(|(at, _)| is_whole(at)), "{name} is used nowhere");
        }
    }

    fn read_all(folder: &Path, sources: &mut String) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                read_all(&path, sources);
            } else if path.extension().is_some_and(|end| end == "rs") {
                sources.push_str(&fs::read_to_string(path).unwrap());
            }
        }
    }

    #[test]
    fn plurals_are_those_of_the_language() {
        let told = |language, count| {
            let words = Words::of(Reader { language, ..Reader::default() });
            words.fill(Word::NotDrawn, &[("count", Hole::Count(count))])
        };
        // CLDR: French counts 0 as one, the others do not.
        let all = Language::ALL.map(|language| [0, 1, 2].map(|count| told(language, count)));
        let expected = [
            ["[0 letters not drawn]", "[1 letter not drawn]", "[2 letters not drawn]"],
            ["[0 letras no dibujadas]", "[1 letra no dibujada]", "[2 letras no dibujadas]"],
            ["[0 lettre non tracée]", "[1 lettre non tracée]", "[2 lettres non tracées]"],
            ["[0 Buchstaben nicht gezeichnet]", "[1 Buchstabe nicht gezeichnet]", "[2 Buchstaben nicht gezeichnet]"],
        ];
        assert_eq!(all, expected);
    }
}
