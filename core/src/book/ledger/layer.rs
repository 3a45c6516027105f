//! Stretches of time, and how one lies over another.
//!
//! Two layers make the timeline: below what the taps of the clock say, above
//! what mends say. The upper one is painted once, as mends come, so a tap costs
//! the same after years of mends; the two are laid on each other only for the
//! days that are asked for.
//!
//! Rule: a boundary is the moment of the event that made it, with its offset,
//! and both sides of a boundary have the same moment.

use crate::event::Doing;
use crate::id::EventId;
use crate::moment::{Length, Moment};

/// A stretch of time in which one thing was done, or nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// When it began.
    pub from: Moment,
    /// When it ended, not included.
    pub to: Moment,
    /// What was done.
    pub doing: Doing,
    /// The tap or the mend that says so.
    pub said_by: EventId,
    /// The tap or the mend before which something else was done.
    pub begun_by: EventId,
    /// The tap or the mend from which on something else was done; none while it runs.
    pub ended_by: Option<EventId>,
}

impl Stretch {
    /// Returns how long it is.
    pub fn length(&self) -> Length {
        self.to.since(self.from).unwrap_or_default()
    }

    fn until(self, to: Moment, ended_by: EventId) -> Self {
        Self { to, ended_by: Some(ended_by), ..self }
    }

    pub(super) fn after(self, over: &Stretch) -> Self {
        Self { from: over.to, begun_by: over.ended_by.unwrap_or(over.said_by), ..self }
    }

    fn is_empty(&self) -> bool {
        self.from.utc_ms() >= self.to.utc_ms()
    }
}

/// Stretches in the order of time, none of which overlaps another.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Layer(Vec<Stretch>);

impl Layer {
    /// Returns the stretches, earliest first.
    pub(super) fn stretches(&self) -> &[Stretch] {
        &self.0
    }

    /// Returns the stretches that overlap a time, earliest first.
    pub(super) fn overlapping(&self, from: Moment, to: Moment) -> &[Stretch] {
        &self.0[self.place(from, to)]
    }

    /// Lays a stretch over whatever is there.
    pub(super) fn paint(&mut self, new: Stretch) {
        let under = self.place(new.from, new.to);
        let first = self.0[under.clone()].first();
        let left = first.filter(|it| it.from.utc_ms() < new.from.utc_ms()).map(|it| it.until(new.from, new.begun_by));
        let last = self.0[under.clone()].last();
        let right = last.filter(|it| it.to.utc_ms() > new.to.utc_ms()).map(|it| it.after(&new));
        self.0.splice(under, [left, Some(new), right].into_iter().flatten());
    }

    /// Takes out everything that touches a time, directly or through others, and
    /// returns the time that is bare now. No stretch reaches over its ends.
    pub(super) fn scrape(&mut self, from: Moment, to: Moment) -> (Moment, Moment) {
        let mut bare = self.place(from, to);
        let touch = |a: &Stretch, b: &Stretch| a.to.utc_ms() == b.from.utc_ms();
        while bare.start > 0 && !bare.is_empty() && touch(&self.0[bare.start - 1], &self.0[bare.start]) {
            bare.start -= 1;
        }
        while bare.end < self.0.len() && !bare.is_empty() && touch(&self.0[bare.end - 1], &self.0[bare.end]) {
            bare.end += 1;
        }
        let mut gone = self.0.drain(bare);
        let first = gone.next();
        let last = gone.next_back().or(first);
        let earlier = first.map_or(from, |it| if it.from.utc_ms() < from.utc_ms() { it.from } else { from });
        let later = last.map_or(to, |it| if it.to.utc_ms() > to.utc_ms() { it.to } else { to });
        (earlier, later)
    }

    /// Returns where the stretches stand that overlap a time.
    fn place(&self, from: Moment, to: Moment) -> std::ops::Range<usize> {
        let start = self.0.partition_point(|it| it.to.utc_ms() <= from.utc_ms());
        let end = self.0.partition_point(|it| it.from.utc_ms() < to.utc_ms());
        start..end.max(start)
    }
}

/// Lays stretches over others; both in the order of time and without overlap.
///
/// What runs still runs after whatever lies over it. Of what took no time
/// something is left unless another thing lies over that instant.
pub(super) fn laid_over(base: &[Stretch], over: &[Stretch]) -> Vec<Stretch> {
    let mut laid = Vec::with_capacity(base.len() + 2 * over.len());
    let mut over = over.iter().peekable();
    for &below in base {
        let mut rest = Some(below);
        while let Some(left) = rest {
            let begins = |it: &&&Stretch| {
                it.from.utc_ms() < left.to.utc_ms() || left.is_empty() && it.from.utc_ms() <= left.from.utc_ms()
            };
            let Some(&above) = over.peek().filter(begins) else { break };
            if above.to.utc_ms() > left.from.utc_ms() {
                if above.from.utc_ms() > left.from.utc_ms() {
                    laid.push(left.until(above.from, above.begun_by));
                }
                let goes_on = above.to.utc_ms() < left.to.utc_ms() || left.ended_by.is_none();
                rest = goes_on.then(|| left.after(above));
                if !goes_on {
                    break;
                }
            }
            laid.push(*above);
            over.next();
        }
        laid.extend(rest.map(|rest| if rest.is_empty() { Stretch { to: rest.from, ..rest } } else { rest }));
    }
    laid.extend(over);
    laid
}

/// Returns the parts of some stretches that lie between two moments.
pub(super) fn between(stretches: Vec<Stretch>, from: Moment, to: Moment) -> Vec<Stretch> {
    let inside = stretches.into_iter().filter_map(|mut it| {
        if it.from.utc_ms() < from.utc_ms() {
            it.from = from;
        }
        if it.to.utc_ms() > to.utc_ms() {
            it.to = to;
        }
        (!it.is_empty()).then_some(it)
    });
    inside.collect()
}
