//! How fast the office takes files in, and how long bills of years take.
//!
//! The release build of the office's command is run on made-up files as a person
//! would run it: into an empty store, once more with the same files, and then for
//! bills. Everything counts, the start of the program too. Rule: files are taken
//! in twice into new stores and the quicker run is told. Memory is the
//! peak that the system counts for the process, looked at while it runs.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use super::{Figure, Unit};
use crate::demo::yard::{self, PARTS};
use crate::{Trouble, run};

const TECHNICIANS: u8 = 100;
const DAYS: u32 = 20;
/// So many technicians' five years are billed.
const BILLED: u8 = 5;
const FIVE_YEARS: u32 = 5 * 250;
const FILES_A_SECOND: f64 = 1_000.0;
const PEAK_KILOBYTES: f64 = 300_000.0;

/// What a run of the command took.
struct Ran {
    seconds: f64,
    peak_kilobytes: f64,
}

/// Takes the figures of a release build.
///
/// # Errors
/// When the command cannot be built, or does not do what it should.
pub(super) fn figures() -> Result<Vec<Figure>, Trouble> {
    run::show(&mut run::cargo(&["build", "--release", "--quiet", "--package", "quaywright-office"]))?;
    let words = ["run", "--release", "--quiet", "--package", "quaywright-xtask", "--example", "office"];
    let said = run::hear(&mut run::cargo(&words))?;
    let figures: Vec<Figure> = said.lines().filter_map(Figure::heard).collect();
    if figures.is_empty() { Err(Trouble::Other(format!("the office's bench answered `{said}`"))) } else { Ok(figures) }
}

/// Takes the figures with the command at a path, in a folder for made-up files.
///
/// # Errors
/// When files cannot be written or the command does not do what it should.
pub fn measure(office: &Path, folder: &Path) -> Result<Vec<Figure>, Trouble> {
    let [days, years] = ["days", "years"].map(|name| folder.join(name));
    for inbox in [&days, &years] {
        fs::create_dir_all(inbox).map_err(Trouble::at(inbox))?;
    }
    let count = yard::day_files(&days, TECHNICIANS, DAYS)?;
    let megabytes = bytes_in(&days)? / 1_000_000;
    let store = folder.join("days.quay");
    let first = ran(office, &["take-in", "--store", &shown(&store), &shown(&days)])?;
    let second = ran(office, &["take-in", "--store", &shown(&folder.join("again.quay")), &shown(&days)])?;
    let known = ran(office, &["take-in", "--store", &shown(&store), &shown(&days)])?;
    let records = yard::logs(&years, BILLED, FIVE_YEARS)?;
    let (years_store, prices) = (folder.join("years.quay"), folder.join("prices.json"));
    ran(office, &["take-in", "--store", &shown(&years_store), &shown(&years)])?;
    fs::write(&prices, price_list()).map_err(Trouble::at(&prices))?;
    let bill = ran(office, &["bill", "--store", &shown(&years_store), "--prices", &shown(&prices)])?;

    let conditions = format!("{count} day files of {TECHNICIANS} technicians, {megabytes} MB, native, release");
    let figure = |name: &str, value: f64, unit, aim, conditions: &str| Figure {
        name: name.to_owned(),
        value: value.round(),
        unit,
        aim,
        conditions: conditions.to_owned(),
    };
    let best = first.seconds.min(second.seconds);
    let peak = first.peak_kilobytes.max(second.peak_kilobytes);
    let billed = format!("{records} records, five years of {BILLED} technicians, from the store to the text");
    Ok(vec![
        figure("office-takes-in", count as f64 / best, Unit::PerSecond, Some(FILES_A_SECOND), &conditions),
        figure("office-peak-memory", peak, Unit::Kilobytes, Some(PEAK_KILOBYTES), &conditions),
        figure("office-takes-in-again", count as f64 / known.seconds, Unit::PerSecond, None, &conditions),
        figure("office-bills", bill.seconds * 1_000.0, Unit::Milliseconds, None, &billed),
    ])
}

fn ran(office: &Path, words: &[&str]) -> Result<Ran, Trouble> {
    let begun = Instant::now();
    let mut command = Command::new(office);
    let mut running = command.args(words).stdout(Stdio::null()).spawn().map_err(Trouble::at(office))?;
    let mut peak_kilobytes = 0.0_f64;
    let status = loop {
        peak_kilobytes = peak_kilobytes.max(peak(running.id()).unwrap_or_default());
        if let Some(status) = running.try_wait().map_err(Trouble::at(office))? {
            break status;
        }
        thread::sleep(Duration::from_millis(5));
    };
    match status.success() {
        true => Ok(Ran { seconds: begun.elapsed().as_secs_f64(), peak_kilobytes }),
        false => Err(Trouble::Other(format!("the office's command did not do it: {}", words.join(" ")))),
    }
}

/// Returns the most memory that a process had so far, in thousands of bytes; nothing where the system does not tell.
fn peak(process: u32) -> Option<f64> {
    let status = fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kibibytes: f64 = line.trim().strip_suffix(" kB")?.trim().parse().ok()?;
    Some(kibibytes * 1.024)
}

fn bytes_in(folder: &Path) -> Result<u64, Trouble> {
    let entries = fs::read_dir(folder).map_err(Trouble::at(folder))?;
    Ok(entries.flatten().filter_map(|entry| entry.metadata().ok()).map(|it| it.len()).sum())
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}

fn price_list() -> String {
    let costs = PARTS.map(|number| format!(r#"{{"number": "{number}", "cost": "12.40"}}"#)).join(", ");
    format!(
        r#"{{"quaywright": "prices", "v": 1, "currency": "GBP", "rounding": "tenth", "costs": [{costs}],
        "rates": [{{"name": "yard", "price": "60"}}, {{"name": "road", "charge": "travel", "price": "30"}}],
        "bands": [{{"from": "0", "percent": "40"}}],
        "taxes": [{{"name": "VAT", "category": "S", "percent": "20"}}]}}"#
    )
}
