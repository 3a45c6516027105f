//! Who works on which devices, and each technician's book.
//!
//! Devices belong together when their last word on who works there is the same
//! name; a device that never said it belongs to whoever shares a file with it. A
//! book is made of one technician's lines at a time, so what lies in memory is
//! one book and not the shop's. The office has no "now" of its own: a clock that
//! still runs is read up to the last thing that the technician said.

use std::collections::{BTreeMap, BTreeSet};

use quaywright_core::book::Book;
use quaywright_core::closing::phones::crossings;
use quaywright_core::event::ShopRules;
use quaywright_core::exchange::line;
use quaywright_core::id::{DeviceId, EventId};
use quaywright_core::log::{Log, Sealed};
use quaywright_core::moment::Moment;

use crate::store::{Store, StoreError};

/// Returns each technician's devices by name; one that nobody named goes by itself.
pub fn people(
    devices: &[(DeviceId, Option<String>)],
    together: &BTreeSet<(DeviceId, DeviceId)>,
) -> BTreeMap<String, BTreeSet<DeviceId>> {
    let names: BTreeMap<DeviceId, &String> =
        devices.iter().filter_map(|(device, name)| Some((*device, name.as_ref()?))).collect();
    let mut people: BTreeMap<String, BTreeSet<DeviceId>> = BTreeMap::new();
    for &(device, _) in devices {
        let mut beside = together.range((device, DeviceId::new([0; 8]))..).take_while(|pair| pair.0 == device);
        let name = names.get(&device).copied().or_else(|| beside.find_map(|pair| names.get(&pair.1).copied()));
        people.entry(name.cloned().unwrap_or_else(|| format!("device {device}"))).or_default().insert(device);
    }
    people
}

/// Returns each technician's devices in a store.
pub fn people_of(store: &mut dyn Store) -> Result<BTreeMap<String, BTreeSet<DeviceId>>, StoreError> {
    Ok(people(&store.devices()?, &store.together()?.into_iter().collect()))
}

/// Record lines of some devices as they stand in a store, to be read elsewhere.
#[derive(Default)]
pub(crate) struct Lines {
    bytes: Vec<u8>,
    /// Each one's name, and where it ends.
    ends: Vec<(EventId, usize)>,
}

impl Lines {
    /// Returns the lines of some devices.
    pub(crate) fn of(store: &mut dyn Store, devices: &BTreeSet<DeviceId>) -> Result<Self, StoreError> {
        let mut lines = Self::default();
        for &device in devices {
            store.records_of(device, &mut |id, bytes| {
                lines.bytes.extend_from_slice(bytes);
                lines.ends.push((id, lines.bytes.len()));
            })?;
        }
        Ok(lines)
    }

    /// Returns how many bytes they have.
    pub(crate) fn bytes(&self) -> usize {
        self.bytes.len()
    }

    /// Returns the log that they make.
    pub(crate) fn log(&self) -> Result<Log, StoreError> {
        let (mut log, mut from) = (Log::default(), 0);
        for &(id, end) in &self.ends {
            let bytes = self.bytes.get(from..end).unwrap_or_default();
            log.take(line::read(bytes).map_err(|_| StoreError::Damaged(id))?);
            from = end;
        }
        Ok(log)
    }
}

/// Returns the log of some devices in a store, without some records.
pub fn log_of(
    store: &mut dyn Store,
    devices: &BTreeSet<DeviceId>,
    without: &BTreeSet<EventId>,
) -> Result<Log, StoreError> {
    let mut log = Log::default();
    let mut damaged = None;
    for &device in devices {
        store.records_of(device, &mut |id, bytes| {
            if without.contains(&id) {
                return;
            }
            match line::read(bytes) {
                Ok(sealed) => log.take(sealed),
                Err(_) => damaged = damaged.or(Some(id)),
            }
        })?;
    }
    match damaged {
        Some(id) => Err(StoreError::Damaged(id)),
        None => Ok(log),
    }
}

/// Which rules of the shop the technicians' phones have.
#[derive(Default)]
pub struct RulesSaid(Vec<(ShopRules, Vec<String>)>);

impl RulesSaid {
    /// Hears by which rules a technician's phone goes.
    pub fn hear(&mut self, who: &str, rules: ShopRules) {
        match self.0.iter_mut().find(|(known, _)| *known == rules) {
            Some((_, names)) => names.push(who.to_owned()),
            None => self.0.push((rules, vec![who.to_owned()])),
        }
    }

    /// Returns a sentence where not all have the same; each is reckoned by his own.
    pub fn differ(&self) -> Option<String> {
        let names: Vec<String> = self.0.iter().map(|(_, names)| names.join(", ")).collect();
        let words = "not all phones have the same rules of the shop for time, and each is reckoned by its own";
        (names.len() > 1).then(|| format!("{words}: {}", names.join("; others: ")))
    }
}

/// A technician's book, read up to the last thing that was said.
pub struct TechnicianBook {
    /// The book.
    pub book: Book,
    /// When that was.
    pub now: Moment,
    /// On which device.
    pub device: DeviceId,
    /// What is wrong with the log and what made no sense, in sentences.
    pub faults: Vec<String>,
}

/// Returns the book that a log gives; nothing for an empty one.
pub fn book_of(log: &Log) -> Option<TechnicianBook> {
    folded(&log.in_order()).map(|of| judged(log, of))
}

/// Returns the book that a log gave with what is wrong with it.
pub(crate) fn judged(log: &Log, of: Folded) -> TechnicianBook {
    let Folded { book, now, device } = of;
    let mut faults: Vec<String> = log.faults().iter().map(ToString::to_string).collect();
    faults.extend(book.faults.iter().map(ToString::to_string));
    faults.extend(crossings(&book).iter().map(ToString::to_string));
    TechnicianBook { book, now, device, faults }
}

/// A book of some records, and when the last of them was said.
pub(crate) struct Folded {
    /// The book.
    pub(crate) book: Book,
    /// When that was.
    pub(crate) now: Moment,
    /// On which device.
    pub(crate) device: DeviceId,
}

/// Returns the book of records in their order; nothing for none.
pub(crate) fn folded(records: &[&Sealed]) -> Option<Folded> {
    let last = &records.last()?.record;
    let book = Book::replay(records.iter().map(|sealed| &sealed.record));
    Some(Folded { book, now: last.at, device: last.id.device })
}
