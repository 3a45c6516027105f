//! How tight, with which wrench, in which pattern; and how steep a sling.
//!
//! The value itself is typed by the technician, who says from which manual and
//! page: this program supplies no maker's values. What it adds is the arithmetic
//! around the value, each rule and table with its source. Where a table could
//! only be written from memory, its entries say so ([`Standing`]).
//!
//! Everything is computed in whole numbers. In reading order: [`figure`],
//! [`extent`], [`angle`] and [`torque`] are quantities; [`wrench`] sets the tool;
//! [`thread`] and [`flats`] name the fastener and what fits it; [`pattern`] gives
//! the order and [`group`] what was done of it; [`guidance`] is for plain hardware
//! without a value; [`sling`] is for lifting.

pub mod angle;
pub mod extent;
pub mod figure;
pub mod flats;
pub mod group;
pub mod guidance;
pub mod pattern;
pub mod sling;
pub mod thread;
pub mod torque;
pub mod wrench;

/// Where an entry of a table comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standing {
    /// Read in a published copy of the table, though not always in the standard itself.
    Seen,
    /// From memory: to be held against the part or the standard.
    FromMemory,
}

impl Standing {
    /// Returns what has to be said beside the entry, nothing where it was seen.
    pub const fn words(self) -> &'static str {
        match self {
            Standing::Seen => "",
            Standing::FromMemory => "from memory",
        }
    }
}

/// What has to be said beside everything here that is not the manual.
pub const MANUAL_FIRST: &str = "The engine's service manual, local codes and licensed practice come first.";
