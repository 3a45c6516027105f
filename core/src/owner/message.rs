//! The work summary as a short message: what fits where one types, under 600 characters.
//!
//! It is made of the owner's sheet, so it can tell nothing that the page does not tell.
//! Whole sentences go in by weight (what is missing before the engine runs, what was done, what is still to do, what was
//! recommended, what is planned, what is to be watched, what was found) while there is room; a person's text that is too long is cut
//! between two words, with an ellipsis, and one that cannot be cut so is left out.
//! Characters are counted as Unicode's, so what a person sees as one may count as several
//! and never as less.

use super::words::{Hole, Word, Words};
use crate::reading::finding::Verdict;
use crate::sheet::agreement::words as agreement;
use crate::sheet::{OwnerSheet, Story};
use crate::text::Prose;

/// A message has fewer characters than this.
pub const LIMIT: usize = 600;
/// How much of it one text of a person takes at most, while others wait for room.
const SHARE: usize = 220;
/// The most that a name takes.
const NAME: usize = 60;

/// Returns the message of a job's work summary.
pub fn message(sheet: &OwnerSheet) -> String {
    let words = Words::of(sheet.reader);
    let mut message = Message { text: String::new() };
    message.add(&words.head(sheet), LIMIT);
    message.add(&words.say(if sheet.finished { Word::MessageFinished } else { Word::MessageInWork }), LIMIT);
    let sign = joined(&[cut(sheet.technician.as_str(), NAME), cut(sheet.shop.as_str(), NAME)], ", ");
    let kept_free = if sign.is_empty() { 0 } else { sign.chars().count() + 1 };
    for (word, told) in words.by_weight(sheet) {
        message.labelled(&words, word, &told, LIMIT - kept_free);
    }
    message.add(&sign, LIMIT);
    message.text
}

struct Message {
    text: String,
}

impl Message {
    /// Adds a line if it fits whole.
    fn add(&mut self, line: &str, limit: usize) {
        if !line.is_empty() && self.length() + 1 + line.chars().count() < limit {
            if !self.text.is_empty() {
                self.text.push('\n');
            }
            self.text.push_str(line);
        }
    }

    /// Adds a label and what belongs to it, cut to the room that is left.
    fn labelled(&mut self, words: &Words, word: Word, told: &str, limit: usize) {
        let label = words.labelled(word, "");
        let room = limit.saturating_sub(self.length() + label.chars().count() + 2).min(SHARE);
        let told = cut(told, room);
        if !told.is_empty() {
            self.add(&words.labelled(word, &told), limit);
        }
    }

    fn length(&self) -> usize {
        self.text.chars().count()
    }
}

impl Words {
    fn head(&self, sheet: &OwnerSheet) -> String {
        let (boat, title) = (cut(sheet.boat.name.as_str(), NAME), cut(sheet.title.as_str(), NAME));
        match (boat.is_empty(), title.is_empty()) {
            (true, _) => title,
            (_, true) => boat,
            _ => self.fill(Word::MessageHead, &[("boat", Hole::Text(&boat)), ("title", Hole::Text(&title))]),
        }
    }

    /// Returns what there is to tell, what matters most first.
    fn by_weight(&self, sheet: &OwnerSheet) -> [(Word, String); 7] {
        let story = |part: fn(&Story) -> &Prose| {
            let told = sheet.stories.iter().map(|story| one_line(part(story).as_str()));
            told.filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" ")
        };
        let off = sheet.off.iter().map(|item| self.off(item));
        let loose = sheet.torque.iter().filter_map(|group| self.loose(group));
        let open = sheet.steps.iter().filter(|step| !step.done).map(|step| step.text.to_string());
        let remains: Vec<String> = off.chain(loose).chain(open).collect();
        let recommended = sheet.recommended.iter().map(|(facts, reply)| agreement::recommended(self, facts, *reply));
        let stands_out = |verdict| matches!(verdict, Verdict::Watch | Verdict::OutOf);
        let watch = sheet.readings.iter().filter(|reading| stands_out(reading.finding.verdict()));
        let watch: Vec<String> = watch.map(|reading| self.reading_in_short(reading)).collect();
        [
            (Word::DoNotStart, self.not_there(&sheet.heed)),
            (Word::WeDid, story(|story| &story.correction)),
            (Word::StillToDo, self.row(&remains)),
            (Word::Recommended, self.row(&recommended.collect::<Vec<_>>())),
            (Word::NextVisit, self.row(&sheet.next_visits.iter().map(|visit| self.visit(visit)).collect::<Vec<_>>())),
            (Word::ToWatch, self.row(&watch)),
            (Word::WeFound, story(|story| &story.cause)),
        ]
    }
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn joined(parts: &[String], between: &str) -> String {
    let told: Vec<&str> = parts.iter().map(String::as_str).filter(|part| !part.is_empty()).collect();
    told.join(between)
}

/// Returns a text of at most so many characters, cut between two words; nothing where the
/// first word alone is longer.
fn cut(text: &str, most: usize) -> String {
    let text = one_line(text);
    if text.chars().count() <= most {
        return text;
    }
    let mut kept = String::new();
    for word in text.split(' ') {
        if kept.chars().count() + 1 + word.chars().count() + 2 > most {
            break;
        }
        if !kept.is_empty() {
            kept.push(' ');
        }
        kept.push_str(word);
    }
    if !kept.is_empty() {
        kept.push_str(" …");
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::cut;

    #[test]
    fn a_text_is_cut_between_words_or_left_out() {
        assert_eq!(cut("New shaft seal fitted", 40), "New shaft seal fitted");
        assert_eq!(cut("New shaft seal fitted", 18), "New shaft seal …");
        assert_eq!(cut("New shaft seal fitted", 15), "New shaft …");
        assert_eq!(cut("Dampfschifffahrtsgesellschaft", 10), "");
        // A family is one sign of seven characters, and stays whole or goes.
        assert_eq!(cut("crew 👨‍👩‍👧‍👦 aboard", 10), "crew …");
        assert_eq!(cut("two\nlines", 40), "two lines");
    }
}
