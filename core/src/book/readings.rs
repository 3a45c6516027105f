//! Readings, what they were put on, and the engines' own limits.
//!
//! A reading may be taken on the bench and put on a job later, or on another one and
//! another engine; where it is now is what was last said and not withdrawn. The same holds for limits.

use super::named::Named;
use crate::event::{ReadingFacts, Stage, TakenFor};
use crate::id::{EngineId, EventId, JobId, ReadingId};
use crate::moment::Moment;
use crate::reading::Kind;
use crate::reading::limits::Limits;

/// All readings and limits.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Readings {
    readings: Named<Reading>,
    moves: Named<Move>,
    limits: Named<OwnLimits>,
}

/// A reading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// Its name in the log.
    pub id: ReadingId,
    /// When it was taken.
    pub at: Moment,
    /// What it was taken for.
    taken_for: TakenFor,
    /// What is known of it.
    pub facts: ReadingFacts,
    /// Whether it was taken before the repair or after it, where somebody said so.
    pub stage: Option<Stage>,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

/// A reading was put somewhere else.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Move {
    reading: ReadingId,
    to: TakenFor,
    withdrawn: bool,
}

/// Limits that were set for an engine.
#[derive(Clone, Debug, PartialEq, Eq)]
struct OwnLimits {
    engine: EngineId,
    kind: Kind,
    limits: Limits,
    withdrawn: bool,
}

impl Readings {
    /// Returns a reading, withdrawn or not.
    pub fn reading(&self, id: ReadingId) -> Option<&Reading> {
        self.readings.get(id.0)
    }

    /// Returns the readings that count, in the order in which they were taken.
    pub fn readings(&self) -> impl DoubleEndedIterator<Item = &Reading> {
        self.readings.all().filter(|reading| !reading.withdrawn)
    }

    /// Returns what a reading is for now.
    pub fn is_for(&self, reading: &Reading) -> TakenFor {
        let moved = self.moves.all().rfind(|it| it.reading == reading.id && !it.withdrawn);
        moved.map_or(reading.taken_for, |it| it.to)
    }

    /// Returns the job that a reading is on now, if it is on one.
    pub fn job_of(&self, reading: &Reading) -> Option<JobId> {
        self.is_for(reading).job
    }

    /// Returns the engine that a reading names now, if it names one.
    pub fn engine_named(&self, reading: &Reading) -> Option<EngineId> {
        self.is_for(reading).engine
    }

    /// Returns an engine's own limits for a kind of reading.
    pub fn limits_of(&self, engine: EngineId, kind: Kind) -> Option<&Limits> {
        let set = self.limits.all().rfind(|it| (it.engine, it.kind, it.withdrawn) == (engine, kind, false));
        set.map(|it| &it.limits)
    }

    pub(super) fn take(
        &mut self,
        id: EventId,
        at: Moment,
        taken_for: TakenFor,
        facts: &ReadingFacts,
    ) -> Result<(), EventId> {
        let reading = Reading { id: ReadingId(id), at, taken_for, facts: facts.clone(), stage: None, withdrawn: false };
        self.readings.put(id, reading);
        Ok(())
    }

    pub(super) fn stage(&mut self, reading: ReadingId, stage: Option<Stage>) -> Result<(), EventId> {
        self.readings.known(reading.0)?.stage = stage;
        Ok(())
    }

    pub(super) fn assign(&mut self, id: EventId, reading: ReadingId, to: TakenFor) -> Result<(), EventId> {
        self.readings.known(reading.0)?;
        self.moves.put(id, Move { reading, to, withdrawn: false });
        Ok(())
    }

    pub(super) fn set_limits(
        &mut self,
        id: EventId,
        engine: EngineId,
        kind: Kind,
        limits: &Limits,
    ) -> Result<(), EventId> {
        self.limits.put(id, OwnLimits { engine, kind, limits: limits.clone(), withdrawn: false });
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        let reading = self.readings.get(id).map(|it| it.withdrawn);
        let moved = || self.moves.get(id).map(|it| it.withdrawn);
        reading.or_else(moved).or_else(|| self.limits.get(id).map(|it| it.withdrawn))
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        if let Ok(reading) = self.readings.known(id) {
            reading.withdrawn = withdrawn;
        } else if let Ok(moved) = self.moves.known(id) {
            moved.withdrawn = withdrawn;
        } else if let Ok(limits) = self.limits.known(id) {
            limits.withdrawn = withdrawn;
        } else {
            return false;
        }
        true
    }
}
