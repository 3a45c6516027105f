//! Working time: what counts as work, on which day and in which week, and how
//! it is rounded for whom.
//!
//! The clock's exact time is kept as it is; everything here answers a question
//! about it and replaces nothing. The figures that come from the federal
//! regulations of the United States (29 CFR parts 778 and 785) are the defaults,
//! kept as data, and each names its section.
//!
//! In reading order: [`days`] cuts at the borders of days, [`workweek`] puts days
//! into weeks, [`rounding`] makes the figures of pay and of bills.

pub mod days;
pub mod rounding;
pub mod workweek;

#[cfg(test)]
mod zones;
