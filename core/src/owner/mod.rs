//! What a boat's owner reads of a job, in the owner's language and units.
//!
//! The words themselves, days, numbers and money stand in [`crate::words`]; here they are
//! put to what a sheet holds.
//!
//! - `lines`: what the owner is told of an item, a group, an engine, a visit; `readings`: of
//!   what was measured, with messages of their own (`readings.<language>.ftl`).
//! - `cautions`: what to heed, with messages of their own too.
//! - [`message`]: the summary in under 600 characters.
//!
//! Only the module that makes documents links any of this: a phone that starts loads no
//! message file.

mod cautions;
mod lines;
pub mod message;
mod readings;

pub use crate::words;
