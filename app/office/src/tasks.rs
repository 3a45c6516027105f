//! The command's tasks: each asks the parts and tells the answer.

use std::fs;
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};

use quaywright_core::billing::PriceList;
use quaywright_core::exchange::billed::Columns;
use quaywright_core::exchange::hours::table as hours_table;
use quaywright_core::exchange::{bundle, payroll, plain, prices, table};
use quaywright_core::hours::LOCAL_LAW;
use quaywright_core::id::{EventId, Hash};
use quaywright_core::moment::Day;
use quaywright_core::quantity::counted;
use quaywright_core::sheet::DaySheet;

use quaywright_desk::accounts::{self, Prices};
use quaywright_desk::billing::{self, AllBilled, Exported, NoExport};
use quaywright_desk::days::{DayOf, Taken, Technician, technician};
use quaywright_desk::hours::{self, Asked};
use quaywright_desk::pay::{self, Days, PayRules};
use quaywright_desk::people::{logs_of, people_of};
use quaywright_desk::store::{Store, StoreError};
use quaywright_desk::taking::Taking;
use quaywright_desk::told::Told;

use crate::Outputs;
use crate::checking::check_all;
use crate::crew::Threads;
use crate::store::{self, Make};
use crate::writing::Target;

/// Why a task was not done.
#[derive(Debug, thiserror::Error)]
pub(crate) enum NotDone {
    /// There is nothing to say anything of.
    #[error("Nothing was taken in: there is no day to say.")]
    Nothing,
    /// The store does not do it.
    #[error("{store}: {why}")]
    Store {
        /// The store.
        store: String,
        /// Why.
        why: StoreError,
    },
    /// There is no export.
    #[error("{store}: {why}")]
    NoExport {
        /// The store.
        store: String,
        /// Why.
        why: NoExport,
    },
    /// A file cannot be read or used.
    #[error("{}: {why}", .file.display())]
    Unusable {
        /// The file.
        file: PathBuf,
        /// Why.
        why: String,
    },
    /// What was asked for is not there or not understood.
    #[error("{0}")]
    Words(String),
    /// A file that is to be written is the store.
    #[error("{}: this is the store itself, or belongs to it, and would be gone: name another file", .file.display())]
    IsStore {
        /// The file.
        file: PathBuf,
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
    pub(crate) fn in_store(place: &str) -> impl Fn(StoreError) -> Self {
        move |why| Self::Store { store: store::told(place), why }
    }
}

/// Takes files into a store.
pub(crate) fn take_in(store: &str, paths: &[PathBuf], told: &mut Told) -> Result<(), NotDone> {
    let failed = NotDone::in_store(store);
    let mut kept = store::open(store, Make::IfMissing).map_err(&failed)?;
    let mut terminal = io::stderr();
    let is_watched = terminal.is_terminal();
    let mut progress = |count: usize| {
        if is_watched && count.is_multiple_of(25) {
            // Nobody misses a progress that cannot be shown.
            let _ = write!(terminal, "\r{count} files looked at");
            let _ = terminal.flush();
        }
    };
    let mut taking = Taking::begin(kept.as_mut()).map_err(&failed)?;
    let (known, mut nth) = (taking.kept(), 0);
    let mut keep = |read| {
        nth += 1;
        progress(nth);
        taking.keep(kept.as_mut(), read)
    };
    check_all(paths, &known, &mut keep).map_err(&failed)?;
    let report = taking.end_with(kept.as_mut(), &Threads::TAKING).map_err(&failed)?;
    if is_watched {
        let _ = writeln!(io::stderr());
    }
    report.tell(told);
    if report.is_nothing() { Err(NotDone::Nothing) } else { Ok(()) }
}

/// Says the days of some files, and keeps nothing.
pub(crate) fn days(files: &[PathBuf], outputs: &Outputs, told: &mut Told) -> Result<(), NotDone> {
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
    write_days(&sheets, &targets(outputs, |file| Ok(Target::alone(file)))?)
}

/// Says the days of a store.
pub(crate) fn stored_days(store: &str, outputs: &Outputs, told: &mut Told) -> Result<(), NotDone> {
    let failed = NotDone::in_store(store);
    let targets = targets(outputs, |file| Target::beside(store, file))?;
    let mut kept = store::open(store, Make::Never).map_err(&failed)?;
    let mut sheets = Vec::new();
    for (who, phones) in people_of(kept.as_mut()).map_err(&failed)? {
        let logs = logs_of(kept.as_mut(), &phones).map_err(&failed)?;
        sheets.extend(technician(who, &logs).into_iter().flat_map(|of| say_days(of, told)));
    }
    if sheets.is_empty() {
        return Err(NotDone::Nothing);
    }
    write_days(&sheets, &targets)
}

/// Which bills are asked for.
pub(crate) struct Bills<'a> {
    pub(crate) prices: &'a Path,
    pub(crate) open: bool,
    /// Those too that went out as they are.
    pub(crate) all: bool,
    pub(crate) anew: bool,
}

/// Says what each job comes to that is to be billed.
pub(crate) fn bill(store: &str, asked: &Bills<'_>, told: &mut Told) -> Result<(), NotDone> {
    let (_, prices, all) = bills_of(store, asked, told)?;
    all.tell_bills(&prices, told).map_err(|why| NotDone::Words(why.to_string()))
}

/// Lets what did not go out before go out into a table.
pub(crate) fn export(
    store: &str,
    asked: &Bills<'_>,
    file: &Path,
    columns: Option<&str>,
    told: &mut Told,
) -> Result<(), NotDone> {
    let target = Target::beside(store, file)?;
    let (mut kept, _, all) = bills_of(store, asked, told)?;
    let columns = match columns {
        Some(name) => kept_columns(kept.as_mut(), store, name)?,
        None => Columns::all(),
    };
    let failed = |why| NotDone::NoExport { store: store::told(store), why };
    let exported = billing::export(kept.as_mut(), &all, &columns).map_err(failed)?;
    let words = exported.words();
    match exported {
        Exported::Nothing => told.say(words),
        Exported::Earlier(export) | Exported::New(export, _) => {
            target.write(&export.file)?;
            kept.written(export.number).map_err(NotDone::in_store(store))?;
            told.say(format_args!("{words}: {}", file.display()));
        }
    }
    Ok(())
}

/// Keeps columns under a name, or tells those that are kept.
pub(crate) fn columns(store: &str, name: &str, columns: Option<&str>, told: &mut Told) -> Result<(), NotDone> {
    let failed = NotDone::in_store(store);
    let mut kept = store::open(store, Make::Never).map_err(&failed)?;
    if let Some(columns) = columns {
        Columns::parse(columns).map_err(|why| NotDone::Words(why.to_string()))?;
        kept.keep_columns(name, columns).map_err(&failed)?;
    }
    let columns = kept.columns(name).map_err(&failed)?.ok_or_else(|| no_columns(name))?;
    told.said.push_str(&format!("{name}: {columns}\n"));
    Ok(())
}

/// Writes the file of an export once more.
pub(crate) fn write_again(store: &str, number: u32, file: &Path, told: &mut Told) -> Result<(), NotDone> {
    let failed = NotDone::in_store(store);
    let target = Target::beside(store, file)?;
    let mut kept = store::open(store, Make::Never).map_err(&failed)?;
    let export = kept.exported(Some(number)).map_err(&failed)?;
    let export = export.ok_or_else(|| NotDone::Words(format!("there is no export {number} in this store")))?;
    target.write(&export.file)?;
    kept.written(number).map_err(&failed)?;
    told.said.push_str(&format!("Export {number}: {}\n", file.display()));
    Ok(())
}

/// Writes the hours on jobs of some days as a table.
pub(crate) fn hours(
    store: &str,
    (from, to): (Option<&str>, Option<&str>),
    anew: bool,
    file: &Path,
    told: &mut Told,
) -> Result<(), NotDone> {
    let failed = NotDone::in_store(store);
    let target = Target::beside(store, file)?;
    let (from, to) = (day(from)?, day(to)?);
    let mut kept = store::open(store, Make::Never).map_err(&failed)?;
    let hours = hours::hours(kept.as_mut(), &Threads::ASKING, Asked { from, to, anew }).map_err(&failed)?;
    if hours.is_empty() {
        return Err(NotDone::Nothing);
    }
    target.write(&hours_table(&hours))?;
    told.said.push_str(&format!("{}: {}\n", counted(hours.len(), "technician"), file.display()));
    Ok(())
}

/// Returns the day that is meant, if one is.
fn day(text: Option<&str>) -> Result<Option<Day>, NotDone> {
    let wrong = |text: &str| NotDone::Words(format!("{text:?} is no day: write it as 2026-05-04"));
    text.map(|text| Day::parse(text).ok_or_else(|| wrong(text))).transpose()
}

/// Writes the hours worked in the workweeks with one of some days as a table for payroll.
pub(crate) fn pay(
    store: &str,
    (from, to): (Option<&str>, Option<&str>),
    rules: &PayRules,
    file: &Path,
    told: &mut Told,
) -> Result<(), NotDone> {
    let failed = NotDone::in_store(store);
    let target = Target::beside(store, file)?;
    let days = Days { from: day(from)?, to: day(to)? };
    let rules = rules.read().map_err(NotDone::Words)?;
    let mut kept = store::open(store, Make::Never).map_err(&failed)?;
    let all = pay::weeks_of(kept.as_mut(), &Threads::ASKING, &rules, days).map_err(&failed)?;
    if all.technicians.is_empty() {
        return Err(all.nobody().map_or(NotDone::Nothing, NotDone::Words));
    }
    all.tell(told);
    target.write(&payroll::table(&all.technicians))?;
    told.said.push_str(&format!("{}: {}\n", counted(all.technicians.len(), "technician"), file.display()));
    told.say(payroll::RECORDS);
    told.say(LOCAL_LAW);
    Ok(())
}

/// Tells record lines as they are kept.
pub(crate) fn records(store: &str, records: &[String], told: &mut Told) -> Result<(), NotDone> {
    let failed = NotDone::in_store(store);
    let mut kept = store::open(store, Make::Never).map_err(&failed)?;
    for name in records {
        let id = EventId::parse(name).ok_or_else(|| NotDone::Words(format!("{name:?} is no name of a record")))?;
        let before = told.said.len();
        let mut take = |known: EventId, line: &[u8]| {
            if known == id {
                told.said.push_str(&String::from_utf8_lossy(line));
                told.said.push('\n');
            }
        };
        kept.records_of(id.device, &mut take).map_err(&failed)?;
        if told.said.len() == before {
            told.wrong.push_str(&format!("record {id} is not in this store\n"));
        }
    }
    Ok(())
}

pub(crate) fn price_list(file: &Path) -> Result<PriceList, NotDone> {
    prices(file).map(|prices| prices.list)
}

fn prices(file: &Path) -> Result<Prices, NotDone> {
    let unusable = |why: String| NotDone::Unusable { file: file.to_owned(), why };
    let bytes = fs::read(file).map_err(|why| unusable(format!("cannot be read: {why}")))?;
    let list = prices::read(&bytes).map_err(|why| unusable(why.to_string()))?;
    Ok(Prices { list, print: Hash::of(&bytes) })
}

/// Returns the bills of a store; what is open and what is wrong is told.
fn bills_of(
    store: &str,
    asked: &Bills<'_>,
    told: &mut Told,
) -> Result<(Box<dyn Store>, PriceList, AllBilled), NotDone> {
    let prices = prices(asked.prices)?;
    let mut kept = store::open(store, Make::Never).map_err(NotDone::in_store(store))?;
    let all = if asked.all {
        billing::billed(kept.as_mut(), &Threads::ASKING, &prices.list, asked.open).map_err(NotDone::in_store(store))?
    } else {
        let what = accounts::Asked { open: asked.open, anew: asked.anew };
        let failed = |why| NotDone::NoExport { store: store::told(store), why };
        accounts::to_bill(kept.as_mut(), &Threads::ASKING, &prices, what).map_err(failed)?
    };
    all.tell(&prices.list, told);
    Ok((kept, prices.list, all))
}

fn kept_columns(kept: &mut dyn Store, store: &str, name: &str) -> Result<Columns, NotDone> {
    let columns = kept.columns(name).map_err(NotDone::in_store(store))?.ok_or_else(|| no_columns(name))?;
    Columns::parse(&columns).map_err(|why| NotDone::Words(why.to_string()))
}

fn no_columns(name: &str) -> NotDone {
    NotDone::Words(format!("no columns are kept under {name:?}: keep some with `columns`"))
}

fn say_days(of: Technician, told: &mut Told) -> Vec<DaySheet> {
    let Technician { who, days, faults } = of;
    faults.iter().for_each(|fault| told.wrong.push_str(&format!("{who}: {fault}\n")));
    let say = |DayOf { sheet, missing }| {
        told.said.push_str(&plain::plain(&sheet));
        missing.iter().for_each(|missing| told.said.push_str(&format!("! {missing}\n")));
        told.said.push('\n');
        sheet
    };
    days.into_iter().map(say).collect()
}

/// How days are written to a file.
type Written = fn(&[DaySheet]) -> Vec<u8>;

fn write_days(sheets: &[DaySheet], targets: &[(Target<'_>, Written)]) -> Result<(), NotDone> {
    targets.iter().try_for_each(|(target, write)| target.write(&write(sheets)))
}

/// Returns what is written, and where to.
fn targets<'a>(
    outputs: &'a Outputs,
    at: impl Fn(&'a Path) -> Result<Target<'a>, NotDone>,
) -> Result<Vec<(Target<'a>, Written)>, NotDone> {
    let written: [(_, Written); 4] = [
        (&outputs.csv, table::table),
        (&outputs.billing, table::billing::table),
        (&outputs.mends, table::mends::table),
        (&outputs.json, bundle::summaries),
    ];
    let asked = written.into_iter().filter_map(|(path, write)| Some((path.as_deref()?, write)));
    asked.map(|(path, write)| Ok((at(path)?, write))).collect()
}
