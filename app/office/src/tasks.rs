//! The command's tasks: each asks the parts and tells the answer.

use std::fs;
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};

use quaywright_core::exchange::{bundle, plain, table};
use quaywright_core::sheet::DaySheet;

use crate::Told;
use crate::days::{Day, Taken, Technician, technician};
use crate::people::{log_of, people_of};
use crate::store::StoreError;
use crate::store::sqlite::Sqlite;
use crate::taking;

/// Why a task was not done.
#[derive(Debug, thiserror::Error)]
pub(crate) enum NotDone {
    /// There is nothing to say anything of.
    #[error("Nothing was taken in: there is no day to say.")]
    Nothing,
    /// The store does not do it.
    #[error("{}: {why}", .store.display())]
    Store {
        /// The store.
        store: PathBuf,
        /// Why.
        why: StoreError,
    },
    /// A file cannot be written.
    #[error("{}: cannot be written: {why}", .file.display())]
    Unwritten {
        /// The file.
        file: PathBuf,
        /// Why.
        why: io::Error,
    },
}

impl NotDone {
    fn in_store(store: &Path) -> impl Fn(StoreError) -> Self {
        move |why| Self::Store { store: store.to_owned(), why }
    }
}

/// Takes files into a store.
pub(crate) fn take_in(store: &Path, paths: &[PathBuf], told: &mut Told) -> Result<(), NotDone> {
    let failed = NotDone::in_store(store);
    let mut kept = Sqlite::open(store).map_err(&failed)?;
    let mut terminal = io::stderr();
    let is_watched = terminal.is_terminal();
    let mut progress = |count: usize| {
        if is_watched && count.is_multiple_of(25) {
            // Nobody misses a progress that cannot be shown.
            let _ = write!(terminal, "\r{count} files looked at");
            let _ = terminal.flush();
        }
    };
    let report = taking::take_in(&mut kept, paths, &mut progress).map_err(&failed)?;
    if is_watched {
        let _ = writeln!(io::stderr());
    }
    told.wrong.push_str(&report.wrong);
    report.changed.iter().for_each(|changed| told.said.push_str(&format!("changed: {changed}\n")));
    told.said.push_str(&format!("{}\n", report.words()));
    if report.is_nothing() { Err(NotDone::Nothing) } else { Ok(()) }
}

/// Says the days of some files, and keeps nothing.
pub(crate) fn days(files: &[PathBuf], csv: Option<&Path>, json: Option<&Path>, told: &mut Told) -> Result<(), NotDone> {
    let mut taken = Taken::default();
    for file in files {
        let name = file.display();
        let faults = match fs::read(file) {
            Ok(bytes) => taken.take(&bytes),
            Err(error) => vec![format!("cannot be read: {error}")],
        };
        faults.iter().for_each(|fault| told.wrong.push_str(&format!("{name}: {fault}\n")));
    }
    if taken.is_empty() {
        return Err(NotDone::Nothing);
    }
    let sheets = taken.books().into_iter().flat_map(|of| say_days(of, told)).collect::<Vec<_>>();
    write_days(&sheets, csv, json)
}

/// Says the days of a store.
pub(crate) fn stored_days(
    store: &Path,
    csv: Option<&Path>,
    json: Option<&Path>,
    told: &mut Told,
) -> Result<(), NotDone> {
    let failed = NotDone::in_store(store);
    let mut kept = Sqlite::open(store).map_err(&failed)?;
    let mut sheets = Vec::new();
    for (who, devices) in people_of(&mut kept).map_err(&failed)? {
        let log = log_of(&mut kept, &devices, &Default::default()).map_err(&failed)?;
        sheets.extend(technician(who, &log).into_iter().flat_map(|of| say_days(of, told)));
    }
    if sheets.is_empty() {
        return Err(NotDone::Nothing);
    }
    write_days(&sheets, csv, json)
}

fn say_days(of: Technician, told: &mut Told) -> Vec<DaySheet> {
    let Technician { who, days, faults } = of;
    faults.iter().for_each(|fault| told.wrong.push_str(&format!("{who}: {fault}\n")));
    let say = |Day { sheet, missing }| {
        told.said.push_str(&plain::plain(&sheet));
        missing.iter().for_each(|missing| told.said.push_str(&format!("! {missing}\n")));
        told.said.push('\n');
        sheet
    };
    days.into_iter().map(say).collect()
}

fn write_days(sheets: &[DaySheet], csv: Option<&Path>, json: Option<&Path>) -> Result<(), NotDone> {
    for (path, write) in [(csv, table::table as fn(&_) -> _), (json, bundle::summaries)] {
        if let Some(path) = path {
            write_whole(path, &write(sheets))?;
        }
    }
    Ok(())
}

/// Writes a file so that it is there whole or not at all.
fn write_whole(file: &Path, bytes: &[u8]) -> Result<(), NotDone> {
    let unwritten = |why| NotDone::Unwritten { file: file.to_owned(), why };
    let mut beside = file.as_os_str().to_owned();
    beside.push(".part");
    let beside = PathBuf::from(beside);
    let write = || {
        let mut part = fs::File::create(&beside)?;
        part.write_all(bytes)?;
        part.sync_all()?;
        fs::rename(&beside, file)
    };
    write().map_err(unwritten)
}
