//! A group of fasteners as it is typed, and a wrench.
//!
//! A form holds texts and choices; it is read whole, and the first thing that
//! cannot be read is told with what to write instead. While it is typed it says
//! what it would come to: the value both ways, or, where there is none, general
//! guidance and what is needed for it.

use thiserror::Error;

use super::torque::{self, NotReckoned, Reckoned};
use crate::event::{GroupFacts, Hardware};
use crate::moment::Day;
use crate::reassembly::gate::Need;
use crate::text::Label;
use crate::tightening::group::{NoPasses, Shares};
use crate::tightening::guidance::{Strength, Surface};
use crate::tightening::pattern::{Layout, NoPattern, Numbering, Pattern};
use crate::tightening::thread::{NotAThread, Thread};
use crate::tightening::torque::{Entered, NotATorque, Source, Target, Torque, TorqueUnit};
use crate::tightening::wrench::{Lever, Wrench};

/// How the fasteners of a group lie, as a choice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// On a circle.
    Circle,
    /// In rows beside each other.
    Rows,
}

impl Shape {
    /// All, in the order in which they are offered.
    pub const ALL: [Shape; 2] = [Shape::Circle, Shape::Rows];

    /// Returns the choice in words.
    pub const fn words(self) -> &'static str {
        match self {
            Shape::Circle => "in a circle",
            Shape::Rows => "in rows",
        }
    }
}

/// A group as it is typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GroupText {
    /// What the fasteners hold.
    pub what: String,
    /// On which side.
    pub side: String,
    /// How they lie.
    pub shape: Shape,
    /// How many there are on a circle, or in each row.
    pub count: String,
    /// How many rows there are; not looked at for a circle.
    pub rows: String,
    /// To what: `45 Nm`, `40-45`, `30 + 90°`; nothing when no value is at hand.
    pub value: String,
    /// What a figure alone is in.
    pub unit: TorqueUnit,
    /// In which manual the value stands.
    pub manual: String,
    /// On which page of it.
    pub page: String,
    /// To which shares the passes go; nothing for the usual ones.
    pub shares: String,
    /// Which number each is shown with.
    pub numbering: Numbering,
    /// The thread, if it is known.
    pub thread: String,
    /// The strength that is marked.
    pub strength: Option<Strength>,
    /// How they rub.
    pub surface: Option<Surface>,
    /// What of the engine they are needed for.
    pub needed: Option<Need>,
}

/// Why what is typed makes no group.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NoGroup {
    /// A count cannot be read.
    #[error("write how many there are as a whole number")]
    Count,
    /// So many make no pattern.
    #[error(transparent)]
    Pattern(#[from] NoPattern),
    /// The value cannot be read.
    #[error("torque: {0}")]
    Value(#[from] NotATorque),
    /// The passes cannot be read.
    #[error("passes: {0}")]
    Passes(#[from] NoPasses),
    /// The thread cannot be read.
    #[error("thread: {0}")]
    Thread(#[from] NotAThread),
}

/// What a half-typed group says of itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Told {
    /// The value both ways, or what is wrong with it.
    pub value: String,
    /// General guidance, only while no value is typed.
    pub guidance: Option<Reckoned>,
}

impl Default for GroupText {
    fn default() -> Self {
        let text = String::new;
        Self {
            what: text(),
            side: text(),
            shape: Shape::Circle,
            count: "4".to_owned(),
            rows: "2".to_owned(),
            value: text(),
            unit: TorqueUnit::NewtonMetre,
            manual: text(),
            page: text(),
            shares: Shares::default().to_string(),
            numbering: Numbering::ByPosition,
            thread: text(),
            strength: None,
            surface: None,
            needed: None,
        }
    }
}

impl GroupText {
    /// Returns what is known of a group as texts.
    pub fn of(facts: &GroupFacts) -> Self {
        let (shape, rows, count) = match facts.pattern.layout() {
            Layout::Circle(count) => (Shape::Circle, 1, count),
            Layout::Rectangle { rows, columns } => (Shape::Rows, rows, columns),
        };
        let value = facts.entered.as_ref();
        let source = |of: fn(&Source) -> &Label| value.map(|it| of(&it.source).to_string()).unwrap_or_default();
        Self {
            what: facts.what.to_string(),
            side: facts.side.to_string(),
            shape,
            count: count.to_string(),
            rows: rows.to_string(),
            value: value.map(|it| it.target.typed()).unwrap_or_default(),
            unit: value.map_or(TorqueUnit::NewtonMetre, |it| it.target.aim.unit()),
            manual: source(|it| &it.manual),
            page: source(|it| &it.page),
            shares: facts.shares.to_string(),
            numbering: facts.numbering,
            thread: facts.hardware.thread.map(|it| it.to_string()).unwrap_or_default(),
            strength: facts.hardware.strength,
            surface: facts.hardware.surface,
            needed: facts.needed,
        }
    }

    /// Reads the group; a value whose text is still that of `before` stays what it was, digit by digit.
    ///
    /// # Errors
    /// Says what to write instead.
    pub fn read(&self, before: Option<&GroupFacts>) -> Result<GroupFacts, NoGroup> {
        Ok(GroupFacts {
            what: Label::new(&self.what),
            side: Label::new(&self.side),
            pattern: Pattern::of(self.layout()?)?,
            numbering: self.numbering,
            entered: self.entered(before)?,
            shares: Shares::parse(&self.shares)?,
            hardware: Hardware {
                thread: written(&self.thread).map(Thread::parse).transpose()?,
                strength: self.strength,
                surface: self.surface,
            },
            needed: self.needed,
        })
    }

    /// Returns what it would come to.
    pub fn told(&self) -> Told {
        let both_ways = |value| match torque::torque_both_ways(value, self.unit) {
            Ok(reckoned) => reckoned.figure,
            Err(why) => why.to_string(),
        };
        match written(&self.value) {
            Some(value) => Told { value: both_ways(value), guidance: None },
            None => Told { value: String::new(), guidance: self.guidance() },
        }
    }

    fn guidance(&self) -> Option<Reckoned> {
        torque::general_guidance(written(&self.thread)?, self.strength?, self.surface?).ok()
    }

    fn layout(&self) -> Result<Layout, NoGroup> {
        let whole = |text: &str| text.trim().parse::<u16>().map_err(|_| NoGroup::Count);
        let count = whole(&self.count)?;
        Ok(match self.shape {
            Shape::Circle => Layout::Circle(count),
            Shape::Rows => Layout::Rectangle { rows: whole(&self.rows)?, columns: count },
        })
    }

    fn entered(&self, before: Option<&GroupFacts>) -> Result<Option<Entered>, NoGroup> {
        let Some(value) = written(&self.value) else { return Ok(None) };
        let source = Source { manual: Label::new(&self.manual), page: Label::new(&self.page) };
        let untouched = before.and_then(|facts| facts.entered.as_ref()).map(|entered| entered.target);
        let target = match untouched.filter(|target| target.typed() == value) {
            Some(target) => target,
            None => Target::parse(value, self.unit)?,
        };
        Ok(Some(Entered { target, source }))
    }
}

/// A wrench as it is typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WrenchText {
    /// What it is called.
    pub name: String,
    /// The largest torque on its scale, with its unit.
    pub largest: String,
    /// When it was last calibrated, `2026-02-03`.
    pub calibrated: String,
    /// From the drive to the middle of the grip, with its unit.
    pub length: String,
    /// From the drive to the fastener, when an adapter stands off it.
    pub adapter: String,
    /// Degrees between the adapter and the handle's line.
    pub angle: String,
}

/// Why what is typed makes no wrench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NoWrench {
    /// The end of its scale cannot be read.
    #[error("end of its scale: {0}")]
    Largest(#[from] NotATorque),
    /// The day of its calibration cannot be read.
    #[error("write the day of the calibration as 2026-02-03, or leave it empty")]
    Calibrated,
    /// With its adapter it makes no lever.
    #[error(transparent)]
    Lever(#[from] NotReckoned),
}

impl WrenchText {
    /// Reads the wrench, whose scale is in `unit` where none is written; the adapter only when one is.
    ///
    /// # Errors
    /// Says what to write instead.
    pub fn read(&self, unit: TorqueUnit) -> Result<(Wrench, Option<Lever>), NoWrench> {
        let largest = written(&self.largest).map(|text| Torque::parse(text, unit)).transpose()?;
        let calibrated =
            written(&self.calibrated).map(|text| Day::parse(text).ok_or(NoWrench::Calibrated)).transpose()?;
        let lever =
            written(&self.adapter).map(|adapter| torque::lever(&self.length, adapter, &self.angle)).transpose()?;
        Ok((Wrench { name: Label::new(&self.name), largest, calibrated }, lever))
    }
}

fn written(text: &str) -> Option<&str> {
    let text = text.trim();
    (!text.is_empty()).then_some(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn head() -> GroupText {
        GroupText {
            what: "Cylinder head".to_owned(),
            count: "8".to_owned(),
            value: "33.3 Nm ± 4 %".to_owned(),
            manual: "Service manual 3".to_owned(),
            page: "4-12".to_owned(),
            ..GroupText::default()
        }
    }

    #[test]
    fn what_is_read_shows_as_it_was_typed_and_reads_back() {
        for text in [
            head(),
            GroupText { value: "29-33 ft-lb".to_owned(), unit: TorqueUnit::PoundForceFoot, ..head() },
            GroupText { shape: Shape::Rows, count: "5".to_owned(), value: String::new(), ..head() },
            GroupText { thread: "M8".to_owned(), strength: Some(Strength::Class8_8), shares: String::new(), ..head() },
        ] {
            let facts = text.read(None).unwrap();
            assert_eq!(GroupText::of(&facts).read(Some(&facts)), Ok(facts));
        }
        let changed = GroupText { value: "35".to_owned(), ..GroupText::of(&head().read(None).unwrap()) };
        assert_eq!(changed.read(None).unwrap().entered.unwrap().target.to_string(), "35 N·m (25.8 lbf·ft)");
    }

    #[test]
    fn the_first_thing_that_cannot_be_read_is_told() {
        let why = |text: GroupText| text.read(None).unwrap_err().to_string();
        let count = |count: &str| GroupText { count: count.to_owned(), ..head() };
        assert_eq!(why(count("")), "write how many there are as a whole number");
        assert_eq!(why(count("1")), "a pattern needs at least two fasteners");
        assert_eq!(why(GroupText { rows: "x".to_owned(), shape: Shape::Rows, ..head() }), why(count("")));
        assert!(why(GroupText { value: "45 bar".to_owned(), ..head() }).starts_with("torque: the unit must be"));
        assert!(why(GroupText { shares: "70, 30".to_owned(), ..head() }).starts_with("passes: write rising shares"));
        assert!(why(GroupText { thread: "M9".to_owned(), ..head() }).starts_with("thread: this size is not"));
    }

    #[test]
    fn guidance_is_offered_only_while_no_value_is_typed() {
        let (strength, surface) = (Some(Strength::Class8_8), Some(Surface::Oiled));
        let plain = GroupText { thread: "M8".to_owned(), strength, surface, value: String::new(), ..head() };
        assert!(plain.told().guidance.is_some_and(|it| it.figure.starts_with("about ")));
        assert_eq!(GroupText { surface: None, ..plain.clone() }.told(), Told::default());
        let typed = GroupText { value: "25".to_owned(), ..plain.clone() }.told();
        assert_eq!((typed.value.as_str(), typed.guidance), ("25 N·m (18.4 lbf·ft)", None));
        let wrong = GroupText { value: "25 lb".to_owned(), ..plain }.told();
        assert!(wrong.value.starts_with("torque: foot or inch?"), "{}", wrong.value);
    }

    #[test]
    fn a_wrench_is_read_with_its_adapter_only_when_one_is_written() {
        let text = |length: &str, adapter: &str| WrenchText {
            name: "the long one".to_owned(),
            largest: "150".to_owned(),
            calibrated: "2026-02-03".to_owned(),
            length: length.to_owned(),
            adapter: adapter.to_owned(),
            angle: String::new(),
        };
        let unit = TorqueUnit::PoundForceFoot;
        let (wrench, lever) = text("", "").read(unit).unwrap();
        assert_eq!((wrench.largest.map(|it| it.to_string()).as_deref(), lever), (Some("150 lbf·ft"), None));
        assert!(text("16 in", "4 in").read(unit).unwrap().1.is_some());
        assert!(matches!(text("", "4 in").read(unit), Err(NoWrench::Lever(NotReckoned::Wrench(_)))));
        let undated = WrenchText { calibrated: "3 February".to_owned(), ..text("", "") };
        assert_eq!(undated.read(unit), Err(NoWrench::Calibrated));
    }
}
