//! For whom an owner's documents are written: in which language, in which units.
//!
//! What is typed stays as it was typed; these choose the program's own words and
//! the units beside a typed figure.

/// A language that owner's documents are written in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Language {
    /// English.
    #[default]
    English,
    /// Spanish.
    Spanish,
    /// French.
    French,
    /// German.
    German,
}

impl Language {
    /// All, in the order in which they are offered.
    pub const ALL: [Language; 4] = [Language::English, Language::Spanish, Language::French, Language::German];

    /// Returns its tag (BCP 47).
    pub const fn tag(self) -> &'static str {
        match self {
            Language::English => "en",
            Language::Spanish => "es",
            Language::French => "fr",
            Language::German => "de",
        }
    }

    /// Returns what its speakers call it.
    pub const fn words(self) -> &'static str {
        match self {
            Language::English => "English",
            Language::Spanish => "Español",
            Language::French => "Français",
            Language::German => "Deutsch",
        }
    }

    /// Returns the language with this tag.
    pub fn parse(tag: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|it| it.tag() == tag)
    }
}

/// In which units figures are told.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measures {
    /// As they were read.
    #[default]
    AsRead,
    /// Metric, with what was read beside it where that was another unit.
    Metric,
    /// US customary, likewise.
    Us,
}

impl Measures {
    /// All, in the order in which they are offered.
    pub const ALL: [Measures; 3] = [Measures::AsRead, Measures::Metric, Measures::Us];

    /// Returns the word in written forms.
    pub const fn slug(self) -> &'static str {
        match self {
            Measures::AsRead => "as-read",
            Measures::Metric => "metric",
            Measures::Us => "us",
        }
    }

    /// Returns the choice in words.
    pub const fn words(self) -> &'static str {
        match self {
            Measures::AsRead => "as read",
            Measures::Metric => "metric",
            Measures::Us => "US",
        }
    }

    /// Returns the choice of that slug.
    pub fn parse(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|it| it.slug() == slug)
    }
}

/// For whom an owner's document is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Reader {
    /// In which language.
    pub language: Language,
    /// In which units.
    pub measures: Measures,
}

impl Reader {
    /// Returns it in one word, `de/metric`.
    pub fn written(self) -> String {
        [self.language.tag(), "/", self.measures.slug()].concat()
    }

    /// Returns what [`Self::written`] says.
    pub fn parse(word: &str) -> Option<Self> {
        let (tag, slug) = word.split_once('/')?;
        Some(Self { language: Language::parse(tag)?, measures: Measures::parse(slug)? })
    }
}
