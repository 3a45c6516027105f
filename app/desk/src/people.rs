//! Who works on which devices, and each technician's book.
//!
//! Devices belong together when their last word on who works there is the same
//! name; a device that never said it belongs to whoever shares a file with it. A
//! book is made of one technician's lines at a time, so what lies in memory is
//! one book and not the shop's. Where a file had records of somebody else's device
//! too, a job was handed on: then the book is made with what that one said of the
//! same things ([`quaywright_core::log::beside`]), and only its own clock counts in it. The office has no "now" of its own: a clock that
//! still runs is read up to the last thing that the technician said.

use std::collections::{BTreeMap, BTreeSet};

use quaywright_core::book::Book;
use quaywright_core::closing::phones::crossings;
use quaywright_core::event::{Event, ShopRules};
use quaywright_core::exchange::line;
use quaywright_core::id::{DeviceId, EventId};
use quaywright_core::log::beside::with_beside;
use quaywright_core::log::{Log, LogFault, Sealed};
use quaywright_core::looking::Of;
use quaywright_core::moment::Moment;
use quaywright_core::text::Label;

use crate::crew::{Crew, Piece};
use crate::store::{Store, StoreError};

/// The devices that a technician's book is made of.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Phones {
    /// Those that the technician works on.
    pub own: BTreeSet<DeviceId>,
    /// Those of others that records in the same files are of.
    pub beside: BTreeSet<DeviceId>,
}

impl Phones {
    /// Returns all of them.
    pub fn all(&self) -> BTreeSet<DeviceId> {
        self.own.union(&self.beside).copied().collect()
    }
}

/// Returns each technician's devices by name; one that nobody named goes by itself.
pub fn people(
    devices: &[(DeviceId, Option<String>)],
    together: &BTreeSet<(DeviceId, DeviceId)>,
) -> BTreeMap<String, Phones> {
    let names: BTreeMap<DeviceId, &String> =
        devices.iter().filter_map(|(device, name)| Some((*device, name.as_ref()?))).collect();
    let beside = |device| together.range((device, DeviceId::new([0; 8]))..).take_while(move |pair| pair.0 == device);
    let mut people: BTreeMap<String, Phones> = BTreeMap::new();
    for &(device, _) in devices {
        let name = names.get(&device).copied();
        let name = name.or_else(|| beside(device).find_map(|pair| names.get(&pair.1).copied()));
        let phones = people.entry(name.cloned().unwrap_or_else(|| format!("device {device}"))).or_default();
        phones.own.insert(device);
        phones.beside.extend(beside(device).map(|pair| pair.1));
    }
    people.values_mut().for_each(|phones| phones.beside.retain(|device| !phones.own.contains(device)));
    people
}

/// Returns each technician's devices in a store.
pub fn people_of(store: &mut dyn Store) -> Result<BTreeMap<String, Phones>, StoreError> {
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

    /// Returns those of some names, each ended by a line feed, which none of them holds.
    pub(crate) fn ended(&self, of: &BTreeSet<EventId>) -> Vec<u8> {
        let (mut ended, mut from) = (Vec::with_capacity(self.bytes.len() + self.ends.len()), 0);
        for &(id, end) in &self.ends {
            if of.contains(&id) {
                ended.extend_from_slice(self.bytes.get(from..end).unwrap_or_default());
                ended.push(b'\n');
            }
            from = end;
        }
        ended
    }

    /// Returns the log that they make.
    ///
    /// # Errors
    /// When a line is not what was put into the store.
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

/// What a technician's own devices said, and what others did of which some may be of the same things.
#[derive(Default)]
pub struct Logs {
    /// The technician's own.
    pub own: Log,
    /// Those of others.
    pub beside: Log,
}

impl Logs {
    /// Returns the records that the book is made of, in the order of the fold.
    pub(crate) fn records(&self) -> Vec<&Sealed> {
        with_beside(&self.own, &self.beside)
    }
}

/// Returns the logs of a technician's devices in a store.
///
/// # Errors
/// When the store does not tell them, or a line is not what was put there.
pub fn logs_of(store: &mut dyn Store, phones: &Phones) -> Result<Logs, StoreError> {
    BookLines::of(store, phones)?.logs()
}

/// The record lines that a technician's book is made of.
pub(crate) struct BookLines {
    /// The technician's own.
    pub(crate) own: Lines,
    /// Lines of others' devices that the book may be made with.
    pub(crate) beside: Lines,
}

impl BookLines {
    /// Returns those of a technician's devices.
    ///
    /// # Errors
    /// When the store does not tell them.
    pub(crate) fn of(store: &mut dyn Store, phones: &Phones) -> Result<Self, StoreError> {
        Ok(Self { own: Lines::of(store, &phones.own)?, beside: Lines::of(store, &phones.beside)? })
    }

    /// Returns how many bytes they have.
    pub(crate) fn bytes(&self) -> usize {
        self.own.bytes() + self.beside.bytes()
    }

    /// Returns the logs that they make; what was read is not needed any more then.
    ///
    /// # Errors
    /// When a line is not what was put into the store.
    pub(crate) fn logs(self) -> Result<Logs, StoreError> {
        Ok(Logs { own: self.own.log()?, beside: self.beside.log()? })
    }

    /// Returns the book that they make; nothing where the technician said nothing.
    ///
    /// # Errors
    /// When a line is not what was put into the store.
    pub(crate) fn book(self) -> Result<Option<TechnicianBook>, StoreError> {
        Ok(book_of(&self.logs()?))
    }
}

/// What is to be worked out of one technician's book.
struct Making<'a, T> {
    who: String,
    lines: BookLines,
    make: &'a (dyn Fn(&str, TechnicianBook) -> T + Sync),
}

impl<T: Send> Piece for Making<'_, T> {
    type Done = Result<Option<(String, T)>, StoreError>;

    fn bytes(&self) -> usize {
        self.lines.bytes()
    }

    fn work(self) -> Self::Done {
        let made = self.lines.book()?.map(|of| (self.make)(&self.who, of));
        Ok(made.map(|made| (self.who, made)))
    }
}

/// Makes the book of each technician of some, and gives what `make` comes to with it to
/// `hear`, one after another; whoever said nothing has no book.
///
/// # Errors
/// When the store does not tell the lines, or `hear` gives one.
pub(crate) fn each_book<T: Send, E: From<StoreError>>(
    store: &mut dyn Store,
    crew: &impl Crew,
    whose: impl IntoIterator<Item = (String, Phones)>,
    make: &(dyn Fn(&str, TechnicianBook) -> T + Sync),
    hear: &mut dyn FnMut(&str, T) -> Result<(), E>,
) -> Result<(), E> {
    let mut whose = whose.into_iter();
    let mut next = || {
        let Some((who, phones)) = whose.next() else { return Ok(None) };
        Ok(Some(Making { who, lines: BookLines::of(store, &phones)?, make }))
    };
    crew.work_off(&mut next, &mut |made: Result<Option<(String, T)>, StoreError>| match made? {
        Some((who, made)) => hear(&who, made),
        None => Ok(()),
    })
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

    /// Hears what another one heard.
    pub fn join(&mut self, more: Self) {
        more.0.into_iter().for_each(|(rules, names)| names.iter().for_each(|who| self.hear(who, rules)));
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
    /// The technician's devices.
    pub own: BTreeSet<DeviceId>,
    /// What is wrong with the log and what made no sense, in sentences.
    pub faults: Vec<String>,
}

impl TechnicianBook {
    /// Returns it as the book of somebody of that name.
    pub fn of<'a>(&'a self, who: &'a Label) -> Of<'a> {
        Of { who, book: &self.book, now: self.now, own: &self.own }
    }
}

/// Returns the book that logs give; nothing where the technician said nothing.
pub fn book_of(logs: &Logs) -> Option<TechnicianBook> {
    folded(&logs.own, &logs.records()).map(|of| judged(&logs.own, of))
}

/// Returns the book that a log gave with what is wrong with it.
pub(crate) fn judged(log: &Log, of: Folded) -> TechnicianBook {
    let Folded { book, now, device, own } = of;
    let mut faults = faults_of(log);
    faults.extend(book.faults.iter().map(ToString::to_string));
    faults.extend(crossings(&book).iter().map(ToString::to_string));
    TechnicianBook { book, now, device, own, faults }
}

/// Returns what is wrong with a log, in sentences. Of a device of which only handed-on jobs
/// came, so that it is with the technician who sent them, all gaps are one.
fn faults_of(log: &Log) -> Vec<String> {
    let names = |sealed: &&Sealed| matches!(sealed.record.event, Event::TechnicianNamed { .. });
    let named: BTreeSet<DeviceId> = log.by_name().filter(names).map(|sealed| sealed.record.id.device).collect();
    let mut strangers = BTreeSet::new();
    let mut told = |fault: LogFault| match fault {
        LogFault::Gap(id) if !named.is_empty() && !named.contains(&id.device) => {
            let words = "of device {} only jobs that it handed on are here: take in the files of whoever works on it";
            strangers.insert(id.device).then(|| words.replace("{}", &id.device.to_string()))
        }
        fault => Some(fault.to_string()),
    };
    log.faults().into_iter().filter_map(&mut told).collect()
}

/// A book of some records, and when the technician said the last of them.
pub(crate) struct Folded {
    /// The book.
    pub(crate) book: Book,
    /// When that was.
    pub(crate) now: Moment,
    /// On which device.
    pub(crate) device: DeviceId,
    /// The technician's devices.
    pub(crate) own: BTreeSet<DeviceId>,
}

/// Returns the book of records in their order; nothing where none is of a technician's own log.
pub(crate) fn folded(own: &Log, records: &[&Sealed]) -> Option<Folded> {
    let last = &records.iter().rfind(|sealed| own.get(sealed.record.id).is_some())?.record;
    let book = Book::replay(records.iter().map(|sealed| &sealed.record));
    let own = own.by_name().map(|sealed| sealed.record.id.device).collect();
    Some(Folded { book, now: last.at, device: last.id.device, own })
}
