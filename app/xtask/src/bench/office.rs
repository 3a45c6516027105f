//! How fast the office takes files in, and how long bills and hours of years take.
//!
//! The release build of the office's command is run on made-up files as a person
//! would run it: into an empty store, once more with the same files, and then for
//! bills. Everything counts, the start of the program too. Rule: files are taken
//! in twice into new stores and the quicker run is told. Memory is the
//! peak that the system counts for the process, looked at while it runs.
//! Asked for, DuckDB and pandas work the hours out of the same files (`beside.py`),
//! in the same minutes, and the office's time and memory are told as parts of theirs.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use super::{Figure, Unit};
use crate::demo::yard::{self, PARTS};
use crate::{Trouble, run};

const TECHNICIANS: u16 = 500;
const DAYS: u32 = 20;
/// So many technicians' five years are billed.
const BILLED: u16 = 5;
/// So many technicians' five years are asked for their hours.
const ASKED: u16 = 50;
const FIVE_YEARS: u32 = 5 * 250;
const FILES_A_SECOND: f64 = 1_000.0;
const PEAK_KILOBYTES: f64 = 300_000.0;
const HOURS_MS: f64 = 200.0;
const BILLS_MS: f64 = 200.0;

/// What a run of the command took.
struct Ran {
    seconds: f64,
    peak_kilobytes: f64,
}

/// Takes the figures of a release build, with programs of others beside it where that is asked for.
///
/// # Errors
/// When the command cannot be built, or does not do what it should.
pub(super) fn figures(beside: bool) -> Result<Vec<Figure>, Trouble> {
    run::show(&mut run::cargo(&["build", "--release", "--quiet", "--package", "quaywright-office"]))?;
    let words = ["run", "--release", "--quiet", "--package", "quaywright-xtask", "--example", "office"];
    let mut measuring = run::cargo(&words);
    if beside {
        measuring.arg("--").arg(others()?);
    }
    let said = run::hear(&mut measuring)?;
    let figures: Vec<Figure> = said.lines().filter_map(Figure::heard).collect();
    if figures.is_empty() { Err(Trouble::Other(format!("the office's bench answered `{said}`"))) } else { Ok(figures) }
}

/// Returns a Python that has DuckDB and pandas, put into a folder of their own.
fn others() -> Result<PathBuf, Trouble> {
    let folder = run::root().join("target/bench/beside");
    let python = folder.join("bin/python");
    if !python.exists() {
        run::show(Command::new("python3").args(["-m", "venv"]).arg(&folder))?;
    }
    run::hear(Command::new(&python).args(["-m", "pip", "install", "--quiet", "duckdb", "pandas"]))?;
    Ok(python)
}

/// Takes the figures with the command at a path, in a folder for made-up files;
/// `python` is one that has DuckDB and pandas.
///
/// # Errors
/// When files cannot be written or the command does not do what it should.
pub fn measure(office: &Path, folder: &Path, python: Option<&Path>) -> Result<Vec<Figure>, Trouble> {
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
    let hours = [0, 1].map(|_| hours_of(office, &store, folder));
    let beside = match python {
        Some(python) => Some(beside(python, &days, &folder.join("hours.csv"))?),
        None => None,
    };
    // Room for the years.
    fs::remove_dir_all(&days).map_err(Trouble::at(&days))?;
    let asked = years_asked(office, folder)?;
    let best = first.seconds.min(second.seconds);
    let peak = first.peak_kilobytes.max(second.peak_kilobytes);
    let billed = format!("{records} records, five years of {BILLED} technicians, from the store to the text");
    let [cold, warm] = hours;
    let (cold, warm) = (cold?, warm?);
    let mut figures = vec![
        figure("office-takes-in", count as f64 / best, Unit::PerSecond, Some(FILES_A_SECOND), &conditions),
        figure("office-peak-memory", peak, Unit::Kilobytes, Some(PEAK_KILOBYTES), &conditions),
        figure("office-takes-in-again", count as f64 / known.seconds, Unit::PerSecond, None, &conditions),
        figure("office-bills", bill.seconds * 1_000.0, Unit::Milliseconds, None, &billed),
    ];
    figures.extend(asked);
    let ours = Ran {
        seconds: best + cold.seconds.min(warm.seconds),
        peak_kilobytes: peak.max(cold.peak_kilobytes).max(warm.peak_kilobytes),
    };
    for (name, theirs) in beside.into_iter().flatten() {
        let of = |what: &str, ours: f64, theirs: f64, unit: &str| Figure {
            name: format!("office-{what}-of-{name}"),
            value: ours / theirs,
            unit: Unit::Times,
            aim: Some(1.0),
            conditions: format!("{ours:.1} and {theirs:.1} {unit}, files to hours by customer; {conditions}"),
        };
        figures.push(of("time", ours.seconds, theirs.seconds, "s"));
        figures.push(of("memory", ours.peak_kilobytes / 1_000.0, theirs.peak_kilobytes / 1_000.0, "MB"));
    }
    Ok(figures)
}

fn hours_of(office: &Path, store: &Path, folder: &Path) -> Result<Ran, Trouble> {
    ran(office, &["hours", "--store", &shown(store), &shown(&folder.join("hours.csv"))])
}

/// Asks for the hours of five years: first with nothing kept of them, then as one who asks again.
fn years_asked(office: &Path, folder: &Path) -> Result<Vec<Figure>, Trouble> {
    let (inbox, store) = (folder.join("asked"), folder.join("asked.quay"));
    fs::create_dir_all(&inbox).map_err(Trouble::at(&inbox))?;
    let records = yard::logs(&inbox, ASKED, FIVE_YEARS)?;
    let taken = ran(office, &["take-in", "--store", &shown(&store), &shown(&inbox)])?;
    let anew = ran(office, &["hours", "--anew", "--store", &shown(&store), &shown(&folder.join("anew.csv"))])?;
    let hours = ["hours", "--store", &shown(&store), &shown(&folder.join("hours.csv"))];
    let median = median_of_5(office, &hours)?;
    let [ours, anew_table] = ["hours.csv", "anew.csv"].map(|name| fs::read(folder.join(name)));
    if ours.map_err(Trouble::at(folder))? != anew_table.map_err(Trouble::at(folder))? {
        return Err(Trouble::Other("the hours that were kept are not those of the records".to_owned()));
    }
    let conditions = format!("{records} records, five years of {ASKED} technicians, from the store to the table");
    let figure = |name: &str, seconds: f64, aim, more: &str| Figure {
        name: name.to_owned(),
        value: (seconds * 1_000.0).round(),
        unit: Unit::Milliseconds,
        aim,
        conditions: format!("{conditions}{more}"),
    };
    let (whole, now) = bills_asked(office, &store, folder)?;
    let board = ran(office, &["board", "--store", &shown(&store)])?;
    let find = ["find", "--store", &shown(&store), "impeller"];
    let first = ran(office, &find)?;
    let again = median_of_5(office, &find)?;
    Ok(vec![
        figure("office-board", board.seconds, None, ", all open jobs, from the lines"),
        figure("office-find-first", first.seconds, None, ", a word looked for with nothing kept"),
        figure("office-find", again, None, ", a word looked for again, median of 5"),
        figure("office-bills-whole", whole.seconds, None, ", all of it billed and exported for the first time"),
        figure("office-bills-now", now, Some(BILLS_MS), ", what is to be billed after that; median of 5"),
        figure("office-hours", median, Some(HOURS_MS), ", median of 5"),
        figure("office-hours-anew", anew.seconds, None, ", from the lines"),
        figure("office-takes-in-years", taken.seconds, None, ", as whole logs; peak memory beside it"),
        Figure {
            name: "office-peak-memory-years".to_owned(),
            value: taken.peak_kilobytes.round(),
            unit: Unit::Kilobytes,
            aim: None,
            conditions,
        },
    ])
}

/// Lets all of a store go out, then asks what is to be billed; returns both times, the second in seconds.
fn bills_asked(office: &Path, store: &Path, folder: &Path) -> Result<(Ran, f64), Trouble> {
    let prices = folder.join("asked-prices.json");
    fs::write(&prices, price_list()).map_err(Trouble::at(&prices))?;
    let (store, prices, table) = (shown(store), shown(&prices), shown(&folder.join("lines.csv")));
    let bill = ["bill", "--store", &store, "--prices", &prices];
    let whole = ran(office, &[&bill[..], &["--export", &table]].concat())?;
    Ok((whole, median_of_5(office, &bill)?))
}

fn median_of_5(office: &Path, words: &[&str]) -> Result<f64, Trouble> {
    let mut times = (0..5).map(|_| Ok(ran(office, words)?.seconds)).collect::<Result<Vec<f64>, Trouble>>()?;
    times.sort_by(f64::total_cmp);
    Ok(times.get(times.len() / 2).copied().unwrap_or_default())
}

/// Lets programs of others do the same; what they come to has to be what the office's table says.
fn beside(python: &Path, days: &Path, table: &Path) -> Result<Vec<(&'static str, Ran)>, Trouble> {
    let ours = fs::read_to_string(table).map_err(Trouble::at(table))?;
    let rows: Vec<&str> = ours.lines().skip(1).collect();
    let ms: u64 = rows.iter().filter_map(|row| row.rsplit(',').next()?.parse::<u64>().ok()).sum();
    let expected = format!("{} {ms}", rows.len());
    let script = run::root().join("app/xtask/src/bench/beside.py");
    let mut all = Vec::new();
    for name in ["duckdb", "pandas"] {
        let words = [shown(&script), name.to_owned(), shown(days)];
        let told = run::hear(Command::new(python).args(&words))?;
        if told != expected {
            return Err(Trouble::Other(format!("{name} comes to {told} and the office to {expected}")));
        }
        all.push((name, ran(python, &words.each_ref().map(String::as_str))?));
    }
    Ok(all)
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
