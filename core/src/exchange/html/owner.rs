//! The owner's page: what was found, done and measured, in the owner's language.
//!
//! The program's own words come from [`crate::owner`]. What a person typed stays as it
//! was typed; in a page of another language than the program's it is marked as being of
//! no known language (`lang=""`), so that no voice reads it as if it were of the page's.

use super::pattern::Tightened;
use super::{Gone, Image, Page};
use crate::event::{BoatFacts, Language, Measures, PartFacts, Reader};
use crate::exchange::pieces::Piece;
use crate::sheet::agreement::words as agreement;
use crate::sheet::{OwnerSheet, PairSheet, PhotoSheet, Story};
use crate::words::{Word, Words};

/// Returns the owner's page.
pub fn owner_page(sheet: &OwnerSheet) -> Vec<Piece> {
    let words = Words::of(sheet.reader);
    let say = |word| words.say(word);
    let mut page = Page::begin_for(sheet.reader, &words.headed(sheet.boat.name.as_str(), sheet.title.as_str()));
    page.body();
    page.raw("<header>");
    match sheet.shop.is_empty() {
        true => page.class("p", "label", &say(Word::WorkSummary)),
        false => page.typed("p", "label", sheet.shop.as_str()),
    }
    page.typed("h1", "", sheet.boat.name.as_str());
    page.typed("p", "lead", sheet.title.as_str());
    page.raw("</header><dl>");
    page.fact(&say(Word::State), &say(if sheet.finished { Word::Finished } else { Word::InWork }));
    page.boat_in(&sheet.boat, &words);
    if let Some(engine) = &sheet.engine {
        page.fact(&say(Word::Engine), &words.engine(engine));
    }
    page.typed_fact(&say(Word::Technician), sheet.technician.as_str());
    page.fact(&say(Word::Date), &words.day(sheet.day));
    page.raw("</dl>");
    let not_there = words.not_there(&sheet.heed);
    if !not_there.is_empty() {
        page.class("p", "stop", &words.labelled(Word::DoNotStart, &not_there));
    }
    for story in &sheet.stories {
        page.owner_story(story, &words);
    }
    page.remains(sheet, &words);
    page.list(&say(Word::Cautions), words.cautions(&sheet.heed.cautions).into_iter());
    page.typed_list(&say(Word::Done), sheet.steps.iter().filter(|step| step.done).map(|step| step.text.to_string()));
    let tight = sheet.torque.iter().filter_map(|group| {
        Some(Tightened { group, lines: vec![words.tight(group)?], numbered: words.numbered(group) })
    });
    page.tightened(&say(Word::Tightened), &tight.collect::<Vec<_>>());
    page.list(&say(Word::Instead), sheet.instead.iter().map(|instead| words.instead(instead)));
    page.list(&say(Word::Parts), sheet.parts.iter().map(|part: &PartFacts| words.part(part)));
    page.list(&say(Word::Measured), sheet.readings.iter().map(|reading| words.reading(reading)));
    let recommended = sheet.recommended.iter().map(|(facts, reply)| agreement::recommended(&words, facts, *reply));
    page.list(&say(Word::Recommended), recommended);
    let agreed = sheet.agreed.iter().flat_map(|it| agreement::agreed(&words, it.total, it.more));
    page.list(&say(Word::Agreed), agreed);
    page.time(sheet, &words);
    page.list(&say(Word::NextVisit), sheet.next_visits.iter().map(|visit| words.visit(visit)));
    page.pairs(&sheet.pairs, &words, |page, photo, caption| page.owner_photo(photo, &caption, &words));
    page.owner_photos(&sheet.photos, &words);
    page.as_written(&words);
    page.end()
}

impl Page {
    /// Begins a page for a reader.
    pub(in crate::exchange) fn begin_for(reader: Reader, title: &str) -> Self {
        let mut page = Self::begin_in(reader.language, title);
        if reader.measures == Measures::Us {
            page.raw("<style>@page{size:letter}</style>");
        }
        page
    }

    /// Writes what is known of a boat, for her owner.
    pub(in crate::exchange) fn boat_in(&mut self, boat: &BoatFacts, words: &Words) {
        self.typed_fact(&words.say(Word::Owner), boat.owner.as_str());
        self.typed_fact(&words.say(Word::Berth), boat.berth.as_str());
        self.typed_fact(&words.say(Word::Hin), boat.hin.as_str());
    }

    /// Says that what a person wrote stands as it was written, where the page's language is another.
    pub(in crate::exchange) fn as_written(&mut self, words: &Words) {
        if self.is_of_no_language() {
            self.class("p", "quiet", &words.say(Word::AsWritten));
        }
    }

    /// Writes an element in a language that may be another than the page's.
    pub(in crate::exchange) fn said_in(&mut self, language: Language, name: &str, class: &str, text: &str) {
        match language == self.language {
            true => self.class(name, class, text),
            false => self.element(name, class, &[" lang=\"", language.tag(), "\""].concat(), text),
        }
    }

    /// Tells whether what a person typed is of no language that is known.
    fn is_of_no_language(&self) -> bool {
        self.language != Language::English
    }

    fn owner_story(&mut self, story: &Story, words: &Words) {
        self.raw("<section>");
        let parts =
            [(Word::YouToldUs, &story.complaint), (Word::WeFound, &story.cause), (Word::WeDid, &story.correction)];
        for (word, text) in parts.into_iter().filter(|(_, text)| !text.is_empty()) {
            self.tag("h3", &words.say(word));
            self.typed("p", "prose", text.as_str());
        }
        self.raw("</section>");
    }

    /// Writes what the owner must know is not done.
    fn remains(&mut self, sheet: &OwnerSheet, words: &Words) {
        let off = sheet.off.iter().map(|item| words.off(item));
        let loose = sheet.torque.iter().filter_map(|group| words.loose(group));
        let open = sheet.steps.iter().filter(|step| !step.done).map(|step| step.text.to_string());
        let lines: Vec<String> = off.chain(loose).chain(open).collect();
        self.raw("<section>");
        self.tag("h2", &words.say(Word::StillToDo));
        match (lines.is_empty(), sheet.finished) {
            (false, _) => self.items(&lines),
            (true, true) => self.tag("p", &words.say(Word::Nothing)),
            (true, false) => self.tag("p", &words.say(Word::GoesOn)),
        }
        self.raw("</section>");
    }

    /// Writes the time by activity, where the sheet has any, and how it is meant.
    fn time(&mut self, sheet: &OwnerSheet, words: &Words) {
        if sheet.time.is_empty() {
            return;
        }
        let line = |name: &str, length| words.headed(name, &words.length(length));
        let shares = sheet.time.iter().filter_map(|it| Some(line(&words.activity(it.activity)?, it.length)));
        let in_all = line(&words.say(Word::InAll), sheet.time.iter().map(|it| it.length).sum());
        self.raw("<section>");
        self.tag("h2", &words.say(Word::TimeByWork));
        self.items(&shares.chain([in_all]).collect::<Vec<_>>());
        self.class("p", "quiet", &words.say(Word::TimeAsClocked));
        self.raw("</section>");
    }

    /// Writes pairs of photos, each two beside each other; how a photo is written is the page's.
    pub(super) fn pairs(
        &mut self,
        pairs: &[PairSheet],
        words: &Words,
        written: impl Fn(&mut Self, &PhotoSheet, String),
    ) {
        if pairs.is_empty() {
            return;
        }
        self.raw("<section>");
        self.tag("h2", &words.say(Word::BeforeAfter));
        for pair in pairs {
            self.typed("h3", "", pair.what.as_str());
            self.raw("<div style=\"display:grid;grid-template-columns:1fr 1fr;gap:1rem\">");
            for (word, photo) in [(Word::Before, &pair.before), (Word::After, &pair.after)] {
                let caption = caption(photo, words);
                let caption = caption.map_or_else(|| words.say(word), |caption| words.labelled(word, &caption));
                written(self, photo, caption);
            }
            self.raw("</div>");
        }
        self.raw("</section>");
    }

    fn owner_photos(&mut self, photos: &[PhotoSheet], words: &Words) {
        if photos.is_empty() {
            return;
        }
        self.raw("<section>");
        self.tag("h2", &words.say(Word::Photos));
        for photo in photos {
            let caption = caption(photo, words).unwrap_or_else(|| words.say(Word::Photo));
            self.owner_photo(photo, &caption, words);
        }
        self.raw("</section>");
    }

    /// Writes a photo of which nothing but the picture goes along.
    fn owner_photo(&mut self, photo: &PhotoSheet, caption: &str, words: &Words) {
        let (width, height, gone, alt) = (photo.width, photo.height, gone(words), words.photo(caption, &photo.marks));
        self.figure(photo, caption, |marks| Image { alt, width, height, whole: false, gone, marks });
    }

    /// Writes an element with what a person typed; nothing when nothing was.
    pub(in crate::exchange) fn typed(&mut self, name: &str, class: &str, text: &str) {
        match self.is_of_no_language() {
            true => self.element(name, class, " lang=\"\"", text),
            false => self.class(name, class, text),
        }
    }

    pub(in crate::exchange) fn typed_fact(&mut self, label: &str, text: &str) {
        if !text.is_empty() {
            self.raw("<div>");
            self.tag("dt", label);
            self.typed("dd", "", text);
            self.raw("</div>");
        }
    }

    fn typed_list(&mut self, head: &str, lines: impl Iterator<Item = String>) {
        let lines: Vec<String> = lines.collect();
        if lines.is_empty() {
            return;
        }
        self.raw("<section>");
        self.tag("h2", head);
        self.raw("<ul>");
        lines.iter().for_each(|line| self.typed("li", "", line));
        self.raw("</ul></section>");
    }
}

/// Returns what stands below a photo: what somebody wrote, or what the reading that it shows is called.
fn caption(photo: &PhotoSheet, words: &Words) -> Option<String> {
    let called = photo.of_reading.as_ref().map(|(kind, what)| words.reading_called(*kind, what));
    called.or_else(|| photo.captioned.then(|| photo.caption.clone()))
}

/// Returns what an owner reads where a photo is not shown.
fn gone(words: &Words) -> Gone {
    Gone { absent: words.say(Word::PhotoGone), broken: words.say(Word::PhotoBroken), colon: words.headed("", "") }
}
