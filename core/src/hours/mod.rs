//! Working time: what counts as work, on which day and in which week, and how
//! it is rounded for whom.
//!
//! The clock's exact time is kept as it is; everything here answers a question
//! about it and replaces nothing. The figures that come from the federal
//! regulations of the United States (29 CFR parts 778 and 785) are the defaults,
//! kept as data, and each names its section.
//!
//! In reading order: [`days`] cuts at the borders of days, [`workweek`] puts days
//! into weeks, [`worked`] says what counts, [`overtime`] splits a week,
//! [`rounding`] makes the figures of pay and of bills, [`estimate`] looks back.

pub mod days;
pub mod estimate;
pub mod overtime;
pub mod rounding;
pub mod worked;
pub mod workweek;

#[cfg(test)]
mod zones;

use crate::event::Activity;
use crate::moment::{Length, Moment};

/// What has to be said beside every figure of working time.
pub const LOCAL_LAW: &str = "Local law may ask for more. Ask the authority where the work is done.";

/// A stretch of time with one activity, as the clock gives it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// When it began.
    pub from: Moment,
    /// When it ended, not before it began.
    pub to: Moment,
    /// What was done.
    pub activity: Activity,
}

impl Stretch {
    /// Returns how long it is.
    pub fn length(&self) -> Length {
        self.to.since(self.from).unwrap_or_default()
    }
}

/// Returns a number of minutes as a length.
const fn minutes(count: u64) -> Length {
    Length::from_ms(count * 60_000)
}

/// Returns what `whole` has beyond `part`; nothing when it has less.
pub(crate) fn beyond(whole: Length, part: Length) -> Length {
    Length::from_ms(whole.ms().saturating_sub(part.ms()))
}
