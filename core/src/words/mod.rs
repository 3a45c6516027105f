//! The words of owner's documents: which messages there are, and in which language.
//!
//! They stand in message files (`<language>.ftl`, Project Fluent's form), one for each
//! language, with CLDR's plurals. A sentence is a whole message with named holes, since
//! each language orders its words for itself; nothing is put together from halves. What
//! a person typed is never translated. English is the program's own language too, so a
//! text that is signed and what the office reads of it are made of the same messages.
//!
//! [`Word`] names each message once; the tests hold that every language has every
//! message with the same holes, that none is left over and that all are used. To add
//! one: a line in [`Word`], and a message in each of the four files.

pub mod figures;
pub(crate) mod messages;
mod units;

pub(crate) use units::unit_for;

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
    DoNotStart = "do-not-start";
    TighteningOf = "tightening-of";
    Cautions = "cautions";
    Done = "done";
    Tightened = "tightened";
    Instead = "instead";
    Parts = "parts";
    Measured = "measured";
    Photos = "photos";
    Photo = "photo";
    PhotoGone = "photo-gone";
    PhotoBroken = "photo-broken";
    TimeByWork = "time-by-work";
    TimeAsClocked = "time-as-clocked";
    TimeLabour = "time-labour";
    TimeDiagnosis = "time-diagnosis";
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
    NumberedByOrder = "numbered-by-order";
    NumberedByPlace = "numbered-by-place";
    NotTight = "not-tight";
    HalfTight = "half-tight";
    About = "about";
    Between = "between";
    FromTo = "from-to";
    ThenTurn = "then-turn";
    PageOf = "page-of";
    PartOf = "part-of";
    FirstPart = "first-part";
    FurtherPart = "further-part";
    PhotosElsewhere = "photos-elsewhere";
    NotDrawn = "not-drawn";
    Recommended = "recommended";
    Agreed = "agreed";
    NextVisit = "next-visit";
    Labelled = "labelled";
    Row = "row";
    Boat = "boat";
    Work = "work";
    Estimate = "estimate";
    MoreThanEstimate = "more-than-estimate";
    Waiver = "waiver";
    WorkAccepted = "work-accepted";
    What = "what";
    Amount = "amount";
    InAll = "in-all";
    Terms = "terms";
    CostLabour = "cost-labour";
    CostSupplies = "cost-supplies";
    CostOther = "cost-other";
    CostTax = "cost-tax";
    BeforeTax = "before-tax";
    Total = "total";
    AskedFor = "asked-for";
    MadeOn = "made-on";
    PromiseItemised = "promise-itemised";
    PromiseAtMost = "promise-at-most";
    WaiverTerm = "waiver-term";
    ValidUntil = "valid-until";
    ApartPrice = "apart-price";
    ApartDestroyed = "apart-destroyed";
    ApartDays = "apart-days";
    NotAsItWas = "not-as-it-was";
    FollowsRule = "follows-rule";
    FollowsNone = "follows-none";
    CoversCalifornia = "covers-california";
    CoversNewJersey = "covers-new-jersey";
    CoversMiamiDade = "covers-miami-dade";
    Counsel = "counsel";
    ToTheEstimate = "to-the-estimate";
    Added = "added";
    AddedCost = "added-cost";
    MoreWork = "more-work";
    StillOff = "still-off";
    Lies = "lies";
    Consent = "consent";
    TheEstimate = "the-estimate";
    TheWaiver = "the-waiver";
    TheWork = "the-work";
    MoreAgreed = "more-agreed";
    InPerson = "in-person";
    ByTelephone = "by-telephone";
    CalledNumber = "called-number";
    InWriting = "in-writing";
    Signed = "signed";
    NameAsSignature = "name-as-signature";
    SomebodyUnnamed = "somebody-unnamed";
    SignatureOf = "signature-of";
    HashOf = "hash-of";
    StateSame = "state-same";
    StateTranslated = "state-translated";
    StateDiffers = "state-differs";
    StateBroken = "state-broken";
    Accepted = "accepted";
    Declined = "declined";
    NotAnswered = "not-answered";
    Estimated = "estimated";
    AgreedBeyond = "agreed-beyond";
    AgreedInAll = "agreed-in-all";
    OverrunMessage = "overrun-message";
    OverrunHours = "overrun-hours";
    OverrunCost = "overrun-cost";
    OverrunAsk = "overrun-ask";
    DrawnOn = "drawn-on";
    MarkPlace = "mark-place";
    MarkFromTo = "mark-from-to";
    MarkLine = "mark-line";
    MarkNowhere = "mark-nowhere";
    MarkArrow = "mark-arrow";
    MarkRing = "mark-ring";
    MarkWords = "mark-words";
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
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Words {
    reader: Reader,
}

impl Words {
    /// Returns the words for a reader.
    pub const fn of(reader: Reader) -> Self {
        Self { reader }
    }

    /// Returns the words of the technician and the office: English, units as they were read.
    pub const fn own() -> Self {
        Self::of(Reader { language: Language::English, measures: Measures::AsRead })
    }

    /// Returns for whom they are.
    pub const fn reader(&self) -> Reader {
        self.reader
    }

    /// Returns a message without holes.
    pub fn say(&self, word: Word) -> String {
        self.fill(word, &[])
    }

    /// Returns a message with its holes filled.
    pub fn fill(&self, word: Word, holes: &[(&'static str, Hole<'_>)]) -> String {
        let language = self.reader.language;
        messages::filled(file(language), language, word.id(), holes).unwrap_or_else(|| word.id().to_owned())
    }

    /// Returns a text with what it is: `You told us: Runs hot`.
    pub fn labelled(&self, label: Word, text: &str) -> String {
        self.headed(&self.say(label), text)
    }

    /// Returns a text below what it is, as this language sets the colon.
    pub fn headed(&self, label: &str, text: &str) -> String {
        self.fill(Word::Labelled, &[("label", Hole::Text(label)), ("text", Hole::Text(text))])
    }

    /// Returns texts in a row, as this language sets the semicolon.
    pub fn row(&self, texts: &[String]) -> String {
        let Some((first, rest)) = texts.split_first() else { return String::new() };
        let next = |row: String, then: &String| {
            self.fill(Word::Row, &[("first", Hole::Text(&row)), ("then", Hole::Text(then))])
        };
        rest.iter().fold(first.clone(), next)
    }
}

const fn file(language: Language) -> &'static str {
    match language {
        Language::English => include_str!("en.ftl"),
        Language::Spanish => include_str!("es.ftl"),
        Language::French => include_str!("fr.ftl"),
        Language::German => include_str!("de.ftl"),
    }
}

#[cfg(test)]
mod tests {
    use std::collections::{BTreeMap, BTreeSet};
    use std::fs;
    use std::path::Path;

    use super::*;

    /// Returns the messages of a file, each with its holes.
    fn messages(language: Language) -> BTreeMap<String, BTreeSet<String>> {
        let mut all = BTreeMap::new();
        for (name, holes) in messages::oracle::messages(file(language)) {
            assert!(all.insert(name.clone(), holes.into_iter().collect()).is_none(), "{language:?}: {name} twice");
        }
        all
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
