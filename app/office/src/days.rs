//! Many files in, each technician's days out.
//!
//! One book is one technician's. Devices belong together when their last word
//! on who works there is the same name; a device that never said it belongs to
//! whoever shares a file with it. The office has no "now" of its own: a clock
//! that still runs is read up to the last thing that the technician said.

use std::collections::{BTreeMap, BTreeSet};

use quaywright_core::book::Book;
use quaywright_core::closing::closing;
use quaywright_core::event::Event;
use quaywright_core::exchange::intake;
use quaywright_core::id::DeviceId;
use quaywright_core::log::{Log, Sealed};
use quaywright_core::sheet::{DaySheet, LogHead, day_sheet};

/// Everything that was taken in.
#[derive(Default)]
pub(crate) struct Taken {
    devices: BTreeMap<DeviceId, Log>,
    files: Vec<BTreeSet<DeviceId>>,
}

/// One technician's days.
pub(crate) struct Technician {
    /// The name, or the device where none was said.
    pub(crate) who: String,
    /// The days, earliest first.
    pub(crate) days: Vec<Day>,
    /// What is wrong with the log.
    pub(crate) faults: Vec<String>,
}

/// A day and what it still needs.
pub(crate) struct Day {
    /// What it comes to.
    pub(crate) sheet: DaySheet,
    /// What is missing, in sentences.
    pub(crate) missing: Vec<String>,
}

impl Taken {
    /// Takes in a file; returns what is wrong with it.
    pub(crate) fn take(&mut self, file: &[u8]) -> Vec<String> {
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
        self.files.push(seen);
        intake.faults.iter().map(ToString::to_string).collect()
    }

    /// Tells whether no record was taken in.
    pub(crate) fn is_empty(&self) -> bool {
        self.devices.is_empty()
    }

    /// Returns each technician's days, by name.
    pub(crate) fn books(&self) -> Vec<Technician> {
        let mut logs: BTreeMap<String, Log> = BTreeMap::new();
        for (&device, log) in &self.devices {
            logs.entry(self.who(device)).or_default().merge(log);
        }
        logs.into_iter().filter_map(|(who, log)| technician(who, &log)).collect()
    }

    fn who(&self, device: DeviceId) -> String {
        let shared = self.files.iter().filter(|file| file.contains(&device)).flatten();
        let said = self.named(device).or_else(|| shared.copied().find_map(|other| self.named(other)));
        said.unwrap_or_else(|| format!("device {device}"))
    }

    /// Returns the last word of a device on who works there.
    fn named(&self, device: DeviceId) -> Option<String> {
        let said = self.devices.get(&device)?.by_name().filter_map(|sealed| match &sealed.record.event {
            Event::TechnicianNamed { name, .. } if !name.is_empty() => Some(name.to_string()),
            _ => None,
        });
        said.last()
    }
}

fn technician(who: String, log: &Log) -> Option<Technician> {
    let records: Vec<&Sealed> = log.in_order();
    let last = &records.last()?.record;
    let book = Book::replay(records.iter().map(|sealed| &sealed.record));
    let head = LogHead::from(&log.tip(last.id.device));
    let mut faults: Vec<String> = log.faults().iter().map(ToString::to_string).collect();
    faults.extend(book.faults.iter().map(ToString::to_string));
    let day = |day| Day {
        sheet: day_sheet(&book, day, last.at, head),
        missing: closing(&book, day, last.at).missing.iter().map(ToString::to_string).collect(),
    };
    let days = book.ledger.days(last.at).into_iter().map(day).collect();
    Some(Technician { who, days, faults })
}
