//! What the owner is told of one thing: an item, a part, an engine, a group of fasteners.
//!
//! Each is one line of the owner's page. A group that is not tightened to its end is
//! never told as tight.

use crate::event::{Activity, Asker, GroupFacts, Mark, NextVisit, PartFacts, Spot, VisitTime};
use crate::reassembly::tally::How;
use crate::sheet::tightening::{TorqueSheet, guided};
use crate::sheet::{EngineSheet, InsteadSheet};
use crate::tightening::pattern::{Layout, Numbering};
use crate::view::ninth_of;
use crate::words::{Hole, Word, Words};

use Hole::{Count as Number, Text};

impl Words {
    /// Returns what is drawn on a photo after what it shows, for who cannot see it.
    pub fn photo(&self, caption: &str, marks: &[Mark]) -> String {
        if marks.is_empty() {
            return caption.to_owned();
        }
        let marks: Vec<String> = marks.iter().map(|mark| self.mark(mark)).collect();
        self.fill(Word::DrawnOn, &[("caption", Text(caption)), ("marks", Text(&self.row(&marks)))])
    }

    fn mark(&self, mark: &Mark) -> String {
        let place = |spot: Spot| self.fill(Word::MarkPlace, &[("ninth", Number(ninth_of(spot)))]);
        match mark {
            Mark::Stroke(spots) => match (spots.first(), spots.last()) {
                (Some(&from), Some(&to)) if ninth_of(from) != ninth_of(to) => {
                    self.fill(Word::MarkFromTo, &[("from", Text(&place(from))), ("to", Text(&place(to)))])
                }
                (Some(&at), _) => self.fill(Word::MarkLine, &[("place", Text(&place(at)))]),
                (None, _) => self.say(Word::MarkNowhere),
            },
            Mark::Arrow(_, to) => self.fill(Word::MarkArrow, &[("place", Text(&place(*to)))]),
            Mark::Ring(at, _) => self.fill(Word::MarkRing, &[("place", Text(&place(*at)))]),
            Mark::Words(at, words) => {
                self.fill(Word::MarkWords, &[("words", Text(words.as_str())), ("place", Text(&place(*at)))])
            }
        }
    }

    /// Returns what was replaced or left off, and why.
    pub fn instead(&self, sheet: &InsteadSheet) -> String {
        let instead = &sheet.instead;
        let word = match instead.how {
            How::Replaced => Word::Replaced,
            How::LeftOff => Word::LeftOff,
        };
        let (item, reason) = (Text(sheet.what.as_str()), Text(instead.reason.as_str()));
        self.fill(word, &[("item", item), ("count", Number(instead.count.0)), ("reason", reason)])
    }

    /// Returns what time went into, where an owner may see it.
    pub fn activity(&self, activity: Activity) -> Option<String> {
        match activity {
            Activity::Labour => Some(self.say(Word::TimeLabour)),
            Activity::Diagnosis => Some(self.say(Word::TimeDiagnosis)),
            _ => None,
        }
    }

    /// Returns a part that was used.
    pub fn part(&self, part: &PartFacts) -> String {
        if part.number.is_empty() {
            return [&part.count.to_string(), " × ", part.what.as_str()].concat();
        }
        let (count, what, number) = (Number(part.count.0), Text(part.what.as_str()), Text(part.number.as_str()));
        self.fill(Word::PartNumber, &[("count", count), ("part", what), ("number", number)])
    }

    /// Returns a visit that is planned: what, when, and who asked for it.
    pub fn visit(&self, visit: &NextVisit) -> String {
        let when = match &visit.when {
            VisitTime::Unsaid => String::new(),
            VisitTime::Day(day) => self.day(*day),
            VisitTime::Words(words) => words.to_string(),
        };
        let asked = match &visit.asked_by {
            Asker::Owner => self.say(Word::AskedByYou),
            Asker::Shop => self.say(Word::AskedByUs),
            Asker::Other(name) if name.is_empty() => String::new(),
            Asker::Other(name) => self.fill(Word::AskedByOther, &[("name", Text(name.as_str()))]),
        };
        joined(&[visit.what.as_str(), &when, &asked])
    }

    /// Returns an engine in one line.
    pub fn engine(&self, engine: &EngineSheet) -> String {
        let facts = &engine.facts;
        let serial = match facts.serial.is_empty() {
            true => String::new(),
            false => self.fill(Word::Serial, &[("serial", Text(facts.serial.as_str()))]),
        };
        let year = facts.year.map(|year| year.to_string()).unwrap_or_default();
        let power = facts.power.map(|power| self.power(power)).unwrap_or_default();
        let hours = engine.hours.map(|hours| self.number(&hours.to_string()));
        let hours = hours.map(|hours| self.fill(Word::Hours, &[("hours", Text(&hours))])).unwrap_or_default();
        let words = joined(&[facts.place.as_str(), facts.model.as_str(), &serial, &year, &power, &hours]);
        if words.is_empty() { self.say(Word::UnnamedEngine) } else { words }
    }

    /// Returns what holds of a group and by which value; nothing while it is not done.
    pub fn tight(&self, sheet: &TorqueSheet) -> Option<String> {
        sheet.is_complete().then(|| {
            let facts = &sheet.facts;
            let layout = self.layout(facts.pattern.layout());
            let (name, layout) = (("name", Text(&sheet.name)), ("layout", Text(&layout)));
            let Some(entered) = &facts.entered else { return self.tight_without_value(facts, name, layout) };
            let torque = self.target(&entered.target);
            let a_manual = self.say(Word::AManual);
            let (manual, page) = (entered.source.manual.or(&a_manual), entered.source.page.or("?"));
            let holes = [name, layout, ("torque", Text(&torque)), ("manual", Text(manual)), ("page", Text(page))];
            self.fill(Word::TightTo, &holes)
        })
    }

    /// Returns what the numbers of a group's drawing are.
    pub fn numbered(&self, sheet: &TorqueSheet) -> String {
        let GroupFacts { pattern, numbering, .. } = &*sheet.facts;
        if *numbering == Numbering::ByOrder {
            return self.say(Word::NumberedByOrder);
        }
        let order: Vec<String> = pattern.order().iter().map(|place| place.0.to_string()).collect();
        self.fill(Word::NumberedByPlace, &[("order", Text(&order.join(", ")))])
    }

    fn tight_without_value(&self, facts: &GroupFacts, name: Filled<'_>, layout: Filled<'_>) -> String {
        let Some(guidance) = guided(facts) else { return self.fill(Word::TightUnknown, &[name, layout]) };
        let torque = self.guidance(&guidance);
        self.fill(Word::TightByGuidance, &[name, layout, ("torque", Text(&torque))])
    }

    /// Returns what is not done of a group; nothing once it is.
    pub fn loose(&self, sheet: &TorqueSheet) -> Option<String> {
        let name = ("name", Text(&sheet.name));
        match sheet.progress {
            _ if sheet.is_complete() => None,
            (0, _) => Some(self.fill(Word::NotTight, &[name])),
            _ => Some(self.fill(Word::HalfTight, &[name])),
        }
    }

    fn layout(&self, layout: Layout) -> String {
        let number = |count: u16| Number(count.into());
        match layout {
            Layout::Circle(count) => self.fill(Word::InCircle, &[("count", number(count))]),
            Layout::Rectangle { rows: 1, columns: count } | Layout::Rectangle { rows: count, columns: 1 } => {
                self.fill(Word::InRow, &[("count", number(count))])
            }
            Layout::Rectangle { rows, columns } => {
                self.fill(Word::InRows, &[("rows", number(rows)), ("count", number(columns))])
            }
        }
    }
}

type Filled<'a> = (&'static str, Hole<'a>);

/// Returns what is written of these, with commas between.
fn joined(parts: &[&str]) -> String {
    let told: Vec<&str> = parts.iter().copied().filter(|part| !part.is_empty()).collect();
    told.join(", ")
}
