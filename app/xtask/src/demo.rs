//! The demo shop: five made-up days of a made-up technician, as a backup file.
//!
//! Everything goes through the same commands as a finger on the screen, so the
//! demo is what the app itself would have kept: jobs that interrupt each other,
//! a clock tap taken back, a teardown left half done yesterday, photos, parts
//! and stories. Same day in, same bytes out. `demo/week.rs` is the story and
//! nothing else; `demo/large.rs` makes years of work for the bench.

pub(crate) mod chance;
mod diary;
pub mod large;
pub mod month;
mod phone;
mod photos;
mod tone;
mod week;
pub mod yard;

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};

use quaywright_core::exchange::{backup, pieces};
use quaywright_core::id::{BlobId, DeviceId};
use quaywright_core::moment::{Day, Moment};

use crate::{Trouble, run};
use diary::Teller;
pub use phone::Flaw;
use phone::Phone;

/// The phone of the demo's technician.
const DEVICE: DeviceId = DeviceId::new(*b"quaydemo");

/// The made-up workbook.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Demo {
    /// Its record lines, earliest first.
    pub records: Vec<Vec<u8>>,
    /// Its photos by name, earliest first.
    pub blobs: Vec<(BlobId, Vec<u8>)>,
    /// The phone that wrote it.
    pub device: DeviceId,
}

impl Demo {
    /// Returns the workbook as a backup file.
    pub fn backup(&self) -> Vec<u8> {
        let names: Vec<BlobId> = self.blobs.iter().map(|blob| blob.0).collect();
        let pieces = backup::pieces(self.records.iter().map(Vec::as_slice), &names);
        let bytes = |name| self.blobs.iter().find(|blob| blob.0 == name).map(|blob| blob.1.clone());
        pieces::assemble(&pieces, bytes)
    }
}

/// Returns the shop's days up to the morning of `today`, `offset_min` minutes east of UTC.
///
/// # Errors
/// Returns the [`Flaw`] of the first entry that the app would not take.
pub fn shop(today: Day, offset_min: i16) -> Result<Demo, Flaw> {
    tell(today, moment(today, "23:59", offset_min)?)
}

/// Writes the shop's days up to `now` into `dist/demo/backup.jsonl`; returns the file.
///
/// # Errors
/// When the demo cannot be told or the file cannot be written.
pub fn write(dist: &Path, now: Moment) -> Result<PathBuf, Trouble> {
    // What the diary has for later today has not happened yet.
    let demo = tell(now.day(), now).map_err(|flaw| Trouble::Other(flaw.to_string()))?;
    let file = dist.join("demo/backup.jsonl");
    let folder = dist.join("demo");
    fs::create_dir_all(&folder).map_err(Trouble::at(&folder))?;
    fs::write(&file, demo.backup()).map_err(Trouble::at(&file))?;
    Ok(file)
}

/// Returns the time of this machine, at its own offset from UTC.
///
/// # Errors
/// When Node.js, which knows the offset, cannot be asked, or the clock is out of the calendar.
pub fn now() -> Result<Moment, Trouble> {
    let west = run::hear(&mut run::command("node", &["-p", "new Date().getTimezoneOffset()"]))?;
    let since_1970 = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    let moment = || Moment::new(i64::try_from(since_1970.as_millis()).ok()?, -west.parse::<i16>().ok()?);
    moment().ok_or_else(|| Trouble::Other(format!("this machine's clock shows no usable time (offset {west})")))
}

fn tell(today: Day, until: Moment) -> Result<Demo, Flaw> {
    let offset_min = until.offset_min();
    let phone = Phone::new(DEVICE, moment(today, "00:00", offset_min)?, until);
    Teller::new(phone, today, offset_min).tell(&week::WEEK).map(Phone::kept)
}

fn moment(day: Day, time: &str, offset_min: i16) -> Result<Moment, Flaw> {
    diary::at(day, time, offset_min).ok_or_else(|| Flaw::Untimed(format!("{day} {time}")))
}

#[cfg(test)]
mod tests;
