//! What a claim for warranty needs beyond the story: the part that failed and where
//! it is, which photo proves what, and which reading was before the work and which after.

use crate::text::Label;

/// What is known of a part that failed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FailedPart {
    /// What it is.
    pub what: Label,
    /// Its part number, as on the part.
    pub number: Label,
    /// What is written on the tag that hangs on it.
    pub tag: Label,
    /// What became of it, once that is known.
    pub fate: Option<Fate>,
    /// Where it is kept, or where it went.
    pub place: Label,
}

/// What became of a part that failed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fate {
    /// It is kept, until somebody asks for it.
    Kept,
    /// It was sent back.
    Returned,
    /// It was thrown away.
    Scrapped,
}

impl Fate {
    /// All, in the order in which they are offered.
    pub const ALL: [Fate; 3] = [Fate::Kept, Fate::Returned, Fate::Scrapped];

    /// Returns the trade's word.
    pub const fn words(self) -> &'static str {
        match self {
            Fate::Kept => "kept",
            Fate::Returned => "returned",
            Fate::Scrapped => "scrapped",
        }
    }
}

/// What a photo proves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Shows {
    /// The engine's plate with its serial number.
    SerialPlate,
    /// What failed, as it was found.
    Failure,
    /// The hour meter.
    HourMeter,
    /// The hull identification number on the hull.
    HullNumber,
}

impl Shows {
    /// All, in the order in which they are offered.
    pub const ALL: [Shows; 4] = [Shows::SerialPlate, Shows::Failure, Shows::HourMeter, Shows::HullNumber];

    /// Returns it in words.
    pub const fn words(self) -> &'static str {
        match self {
            Shows::SerialPlate => "serial plate",
            Shows::Failure => "failure",
            Shows::HourMeter => "hour meter",
            Shows::HullNumber => "hull number",
        }
    }
}

/// When a reading was taken, as seen from the repair.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// Before it.
    Before,
    /// After it.
    After,
}

impl Stage {
    /// Both, in their order.
    pub const ALL: [Stage; 2] = [Stage::Before, Stage::After];

    /// Returns it in words.
    pub const fn words(self) -> &'static str {
        match self {
            Stage::Before => "before",
            Stage::After => "after",
        }
    }
}
