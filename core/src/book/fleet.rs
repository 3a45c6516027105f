//! Boats and their engines: the latest facts of each, and every hour-meter reading.

use super::named::Named;
use crate::event::{BoatFacts, Drive, EngineFacts, Reader, Traits};
use crate::id::{BoatId, EngineId, EventId};
use crate::moment::Moment;
use crate::quantity::{Count, EngineHours};

/// All boats and engines.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Fleet {
    boats: Named<Boat>,
    engines: Named<Engine>,
}

/// A boat.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Boat {
    /// Her name in the log.
    pub id: BoatId,
    /// What is known of her.
    pub facts: BoatFacts,
    /// What her owner reads.
    pub reader: Reader,
    /// Her engines in the order in which they were added.
    pub engines: Vec<EngineId>,
}

/// An engine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Engine {
    /// Its name in the log.
    pub id: EngineId,
    /// The boat it is in.
    pub boat: BoatId,
    /// What is known of it.
    pub facts: EngineFacts,
    /// Of what make-up it is, as far as somebody said it.
    pub traits: Traits,
    /// Readings of its hour meter, in the order of the log.
    pub hours: Vec<(Moment, EngineHours)>,
}

impl Engine {
    /// Returns the last reading of the hour meter.
    pub fn last_hours(&self) -> Option<EngineHours> {
        self.hours.last().map(|&(_, hours)| hours)
    }
}

impl Fleet {
    /// Returns a boat.
    pub fn boat(&self, id: BoatId) -> Option<&Boat> {
        self.boats.get(id.0)
    }

    /// Returns all boats in the order in which they were added.
    pub fn boats(&self) -> impl Iterator<Item = &Boat> {
        self.boats.all()
    }

    /// Returns an engine.
    pub fn engine(&self, id: EngineId) -> Option<&Engine> {
        self.engines.get(id.0)
    }

    /// Returns a boat's engines.
    pub fn engines_of(&self, boat: BoatId) -> impl Iterator<Item = &Engine> {
        let ids = self.boats.get(boat.0).map(|boat| boat.engines.as_slice()).unwrap_or_default();
        ids.iter().filter_map(|id| self.engines.get(id.0))
    }

    /// Returns how many engines drive a boat; nothing where none is in the book.
    pub fn driving(&self, boat: BoatId) -> Option<Count> {
        let drives = |engine: &&Engine| engine.traits.drive != Some(Drive::Generator);
        let count = self.engines_of(boat).filter(drives).count();
        u32::try_from(count).ok().filter(|&count| count > 0).map(Count)
    }

    pub(super) fn add_boat(&mut self, id: EventId, facts: &BoatFacts) -> Result<(), EventId> {
        let (id, facts, reader, engines) = (BoatId(id), facts.clone(), Reader::default(), Vec::new());
        self.boats.put(id.0, Boat { id, facts, reader, engines });
        Ok(())
    }

    pub(super) fn amend_boat(&mut self, id: BoatId, facts: &BoatFacts) -> Result<(), EventId> {
        self.boats.known(id.0)?.facts = facts.clone();
        Ok(())
    }

    pub(super) fn reads(&mut self, id: BoatId, reader: Reader) -> Result<(), EventId> {
        self.boats.known(id.0)?.reader = reader;
        Ok(())
    }

    pub(super) fn add_engine(&mut self, id: EventId, boat: BoatId, facts: &EngineFacts) -> Result<(), EventId> {
        self.boats.known(boat.0)?.engines.push(EngineId(id));
        self.engines.put(
            id,
            Engine { id: EngineId(id), boat, facts: facts.clone(), traits: Traits::default(), hours: Vec::new() },
        );
        Ok(())
    }

    pub(super) fn amend_engine(&mut self, id: EngineId, facts: &EngineFacts) -> Result<(), EventId> {
        self.engines.known(id.0)?.facts = facts.clone();
        Ok(())
    }

    pub(super) fn describe(&mut self, id: EngineId, traits: &Traits) -> Result<(), EventId> {
        self.engines.known(id.0)?.traits = traits.clone();
        Ok(())
    }

    pub(super) fn read_hours(&mut self, id: EngineId, at: Moment, hours: EngineHours) -> Result<(), EventId> {
        self.engines.known(id.0)?.hours.push((at, hours));
        Ok(())
    }
}
