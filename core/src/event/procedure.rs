//! A procedure: how a piece of work is done, step by step, and for which engines.
//!
//! It is plain data. A step says what to do and on which side, what to watch for,
//! what it takes, what is expected to come off, what is tightened and what is
//! measured. It holds no value of a maker: a torque or a limit comes from the
//! service manual when the work is done.
//!
//! Rule: each step keeps its number through all versions, so that what was
//! learned about it stays with it wherever it moves in the list.

use super::{Details, Tags};
use crate::id::BlobId;
use crate::quantity::{Count, Power};
use crate::reading::Kind;
use crate::reassembly::caution::Caution;
use crate::text::Label;
use crate::tightening::pattern::Layout;

/// How a piece of work is done.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Procedure {
    /// What names it through all versions, on every phone and in every file;
    /// empty for one that never left the phone that made it.
    pub key: Label,
    /// What the work is.
    pub title: Label,
    /// What else to know before it begins.
    pub about: Label,
    /// Words under which it is found.
    pub tags: Tags,
    /// What is done, in order.
    pub steps: Vec<ProcedureStep>,
}

/// One step of a procedure.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ProcedureStep {
    /// Its number in the procedure, from 1; no two have the same.
    pub number: StepNumber,
    /// What is to be done.
    pub text: Label,
    /// On which side of the machine; nothing written is a side too.
    pub side: Label,
    /// What to watch for, beyond what the words bring up by themselves.
    pub cautions: Vec<Caution>,
    /// What is needed to do it.
    pub tools: Vec<Label>,
    /// What is used up.
    pub consumables: Vec<Label>,
    /// What is expected to come off.
    pub items: Vec<ExpectedItem>,
    /// What is tightened together.
    pub fasteners: Vec<Fasteners>,
    /// What is measured.
    pub readings: Vec<ExpectedReading>,
    /// What it looks like.
    pub pictures: Vec<Picture>,
    /// For which engines; without a row for all.
    pub only: Vec<Condition>,
}

/// The number of a step in its procedure.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StepNumber(pub u16);

/// Something that is expected to come off, on the side of its step.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ExpectedItem {
    /// What it is.
    pub what: Label,
    /// How many, at least one.
    pub count: Count,
    /// Which size, where that is known.
    pub size: Label,
    /// What kind of thing it is, which way up it goes, what has to be new.
    pub details: Details,
}

/// Fasteners that are tightened together; to what, the manual says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fasteners {
    /// What they hold.
    pub what: Label,
    /// How they lie, and how many.
    pub layout: Layout,
}

/// Something that is measured in a step.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ExpectedReading {
    /// What is read, in words.
    pub what: Label,
    /// The kind of reading, where there are rules for it.
    pub kind: Option<Kind>,
}

/// A picture of a step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// The name of its bytes, a JPEG.
    pub blob: BlobId,
    /// How many bytes.
    pub bytes: u32,
    /// Width in pixels, upright.
    pub width: u16,
    /// Height in pixels, upright.
    pub height: u16,
    /// What it shows.
    pub caption: Label,
}

/// One row of what an engine must be for a step to apply.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Condition {
    /// At least so powerful.
    PowerFrom(Power),
    /// At most so powerful.
    PowerTo(Power),
    /// Made in this year or later.
    YearFrom(u16),
    /// Made in this year or earlier.
    YearTo(u16),
    /// At least so many engines drive the boat.
    EnginesFrom(Count),
    /// At most so many engines drive the boat.
    EnginesTo(Count),
    /// It drives the boat like this; several such rows are alternatives.
    Drive(Drive),
    /// It burns this; several such rows are alternatives.
    Fuel(Fuel),
    /// It has this.
    With(Label),
    /// It does not have this.
    Without(Label),
}

/// How an engine drives the boat.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Drive {
    /// An outboard.
    Outboard,
    /// An inboard with a sterndrive.
    Sterndrive,
    /// An inboard with a shaft.
    Shaft,
    /// An inboard with a saildrive.
    Saildrive,
    /// An inboard with a water jet.
    Jet,
    /// An inboard with a steerable pod.
    Pod,
    /// It drives no propeller but a generator.
    Generator,
}

impl Drive {
    /// All, in the order in which they are offered.
    pub const ALL: [Drive; 7] =
        [Drive::Outboard, Drive::Sterndrive, Drive::Shaft, Drive::Saildrive, Drive::Jet, Drive::Pod, Drive::Generator];

    /// Returns the trade's words.
    pub const fn words(self) -> &'static str {
        match self {
            Drive::Outboard => "outboard",
            Drive::Sterndrive => "sterndrive",
            Drive::Shaft => "inboard with shaft",
            Drive::Saildrive => "saildrive",
            Drive::Jet => "water jet",
            Drive::Pod => "pod drive",
            Drive::Generator => "generator",
        }
    }
}

/// What an engine burns.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fuel {
    /// Petrol, which is gasoline.
    Petrol,
    /// Diesel.
    Diesel,
    /// Liquefied petroleum gas.
    Gas,
    /// Nothing: it is electric.
    Electric,
}

impl Fuel {
    /// All, in the order in which they are offered.
    pub const ALL: [Fuel; 4] = [Fuel::Petrol, Fuel::Diesel, Fuel::Gas, Fuel::Electric];

    /// Returns the trade's words.
    pub const fn words(self) -> &'static str {
        match self {
            Fuel::Petrol => "petrol (gasoline)",
            Fuel::Diesel => "diesel",
            Fuel::Gas => "LPG",
            Fuel::Electric => "electric",
        }
    }
}

/// What of an engine's make-up decides which steps apply, as far as somebody said it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Traits {
    /// How it drives the boat.
    pub drive: Option<Drive>,
    /// What it burns.
    pub fuel: Option<Fuel>,
    /// What it has beyond the plain engine ("power steering"): all of it, once it is said.
    pub options: Option<Tags>,
}
