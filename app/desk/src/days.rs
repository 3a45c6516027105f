//! Files in, each technician's days out, with nothing kept.

use std::collections::{BTreeMap, BTreeSet};

use quaywright_core::closing::closing;
use quaywright_core::event::Event;
use quaywright_core::exchange::intake;
use quaywright_core::id::DeviceId;
use quaywright_core::log::Log;
use quaywright_core::sheet::revised::Left;
use quaywright_core::sheet::{DaySheet, LogHead, day_sheet};

use crate::people::{Logs, Phones, folded, judged, people};

/// Everything that was taken in.
#[derive(Default)]
pub struct Taken {
    devices: BTreeMap<DeviceId, Log>,
    together: BTreeSet<(DeviceId, DeviceId)>,
}

/// One technician's days.
pub struct Technician {
    /// The name, or the device where none was said.
    pub who: String,
    /// The days, earliest first.
    pub days: Vec<DayOf>,
    /// What is wrong with the log.
    pub faults: Vec<String>,
}

/// A day and what it still needs.
pub struct DayOf {
    /// What it comes to.
    pub sheet: DaySheet,
    /// What is missing, in sentences.
    pub missing: Vec<String>,
}

impl Taken {
    /// Takes in a file; returns what is wrong with it.
    pub fn take(&mut self, file: &[u8]) -> Vec<String> {
        let intake = match intake::take(file) {
            Ok(intake) => intake,
            Err(error) => return vec![error.to_string()],
        };
        let mut seen = BTreeSet::new();
        for (_, sealed) in intake.records {
            let device = sealed.record.id.device;
            seen.insert(device);
            self.devices.entry(device).or_default().take(sealed);
        }
        let pairs = seen.iter().flat_map(|&one| seen.iter().map(move |&other| (one, other)));
        self.together.extend(pairs.filter(|(one, other)| one != other));
        intake.faults.iter().map(ToString::to_string).collect()
    }

    /// Tells whether no record was taken in.
    pub fn is_empty(&self) -> bool {
        self.devices.is_empty()
    }

    /// Returns each technician's days, by name.
    pub fn books(&self) -> Vec<Technician> {
        let devices: Vec<_> = self.devices.iter().map(|(&device, log)| (device, named(log))).collect();
        let merged = |devices: &BTreeSet<DeviceId>| {
            let mut log = Log::default();
            devices.iter().filter_map(|device| self.devices.get(device)).for_each(|of| log.merge(of));
            log
        };
        let logs = |phones: &Phones| Logs { own: merged(&phones.own), beside: merged(&phones.beside) };
        let people = people(&devices, &self.together).into_iter();
        people.filter_map(|(who, phones)| technician(who, &logs(&phones))).collect()
    }
}

/// Returns the last word of a device on who works there.
fn named(log: &Log) -> Option<String> {
    let said = log.by_name().filter_map(|sealed| match &sealed.record.event {
        Event::TechnicianNamed { name, .. } if !name.is_empty() => Some(name.to_string()),
        _ => None,
    });
    said.last()
}

/// Returns the days that a technician's logs come to.
pub fn technician(who: String, logs: &Logs) -> Option<Technician> {
    let records = logs.records();
    let of = judged(&logs.own, folded(&logs.own, &records)?);
    let head = LogHead::from(&logs.own.tip(of.device));
    let days = of.book.ledger.days(of.now);
    // Which revision a day is, is told as the phone's own document tells it.
    let left = Left::of(&records, &days.iter().copied().collect());
    let day = |day| {
        let sheet = day_sheet(&of.book, day, of.now, head);
        let revision = left.revision(&of.book, &sheet, of.now);
        let missing = closing(&of.book, day, of.now).missing.iter().map(ToString::to_string).collect();
        DayOf { sheet: DaySheet { revision, ..sheet }, missing }
    };
    let days = days.into_iter().map(day).collect();
    Some(Technician { who, days, faults: of.faults })
}
