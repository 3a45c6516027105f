//! `cargo xtask bench`: the figures that a person who carries the app would ask
//! for, each with its aim and the conditions under which it was taken.
//!
//! A figure is measured or absent; none is estimated. They go to the screen as a
//! table and to `target/bench/latest.json`, so that two runs can be compared.

pub mod bytes;
pub mod fold;
pub mod hours;
pub mod office;
pub mod reading;
mod reading_weight;
pub mod reassembly;
mod screen;
pub mod tightening;
pub mod timelines;

use crate::dist::{self, Kind};
use crate::tools::{For, Tools};
use crate::{Trouble, run, say};
use serde_json::{Value, json};
use std::{fs, thread};

/// One measured figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What was measured; the same from run to run.
    pub name: String,
    /// The measured value.
    pub value: f64,
    /// The unit of the value and the aim.
    pub unit: Unit,
    /// The worst that is good, where there is such a limit.
    pub aim: Option<f64>,
    /// How it was measured, so that another can do it again.
    pub conditions: String,
}

/// What a figure counts, and with it whether more of it is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Thousands of bytes.
    Kilobytes,
    /// Milliseconds.
    Milliseconds,
    /// So many a second: the only one of which more is better.
    PerSecond,
    /// So many times as much as another figure.
    Times,
    /// So many pieces of work.
    Tasks,
}

impl Unit {
    const ALL: [Unit; 5] = [Unit::Kilobytes, Unit::Milliseconds, Unit::PerSecond, Unit::Times, Unit::Tasks];

    /// Returns the unit's sign.
    pub const fn sign(self) -> &'static str {
        match self {
            Unit::Kilobytes => "kB",
            Unit::Milliseconds => "ms",
            Unit::PerSecond => "/s",
            Unit::Times => "times",
            Unit::Tasks => "tasks",
        }
    }
}

impl Figure {
    /// Returns false only when the figure misses its aim.
    pub fn is_good(&self) -> bool {
        let is_good = |aim| if self.unit == Unit::PerSecond { self.value >= aim } else { self.value <= aim };
        self.aim.is_none_or(is_good)
    }

    /// Returns the figure as one line, as a program that measures prints it.
    pub fn told(&self) -> String {
        self.json().to_string()
    }

    /// Reads such a line; nothing where it is none.
    pub fn heard(line: &str) -> Option<Self> {
        let told: Value = serde_json::from_str(line).ok()?;
        let sign = told["unit"].as_str()?;
        Some(Self {
            name: told["name"].as_str()?.to_owned(),
            value: told["value"].as_f64()?,
            unit: Unit::ALL.into_iter().find(|unit| unit.sign() == sign)?,
            aim: told["aim"].as_f64(),
            conditions: told["conditions"].as_str()?.to_owned(),
        })
    }

    fn json(&self) -> Value {
        json!({
            "name": self.name,
            "value": self.value,
            "unit": self.unit.sign(),
            "aim": self.aim,
            "conditions": self.conditions,
        })
    }
}

/// Builds the app as it is given to people, takes every figure and shows them.
///
/// # Errors
/// When the build fails or a figure could not be taken.
pub fn bench() -> Result<(), Trouble> {
    let tools = Tools::ready(For::Testing)?;
    say::heading("building what is measured");
    let dist = dist::build(&tools, Kind::Release)?;
    let mut figures = bytes::figures(&dist)?;
    say::heading("long logs, hours, timelines and a teardown (a release build of the core comes first)");
    figures.extend(fold::figures()?);
    figures.push(hours::figure()?);
    figures.extend(timelines::figures()?);
    figures.extend(reassembly::figures()?);
    figures.extend(tightening::figures()?);
    figures.push(reading::figure()?);
    figures.push(reading_weight::figure()?);
    figures.extend(office::figures(false)?);
    say::heading("starting and tapping in Chromium, slowed as a phone is (some minutes)");
    figures.extend(screen::figures(&tools, &dist)?);
    let cores = thread::available_parallelism().map_or(1, usize::from);
    say::heading(format!("figures, on this machine of {cores} cores, which other work may share"));
    say::line(table(&figures));
    keep(&figures)
}

/// Takes the office's figures only, with programs of others beside it, and shows them.
///
/// # Errors
/// When the build fails, the others cannot be fetched or a figure could not be taken.
pub fn bench_beside() -> Result<(), Trouble> {
    say::heading("the office, DuckDB and pandas on the same files (some minutes)");
    let figures = office::figures(true)?;
    say::line(table(&figures));
    keep(&figures)
}

/// Returns the figures as a table for the screen.
fn table(figures: &[Figure]) -> String {
    let width = figures.iter().map(|it| it.name.chars().count()).max().unwrap_or_default();
    let row = |it: &Figure| {
        let bound = if it.unit == Unit::PerSecond { "at least" } else { "at most" };
        let aim = it.aim.map(|aim| format!("{bound} {}", number(aim))).unwrap_or_default();
        let word = if it.is_good() { "" } else { "MISSED" };
        let (value, unit) = (number(it.value), it.unit.sign());
        format!("{:width$}  {value:>10} {unit:5}  {aim:<16}  {word:6}  {}", it.name, it.conditions)
    };
    figures.iter().map(|it| row(it).trim_end().to_owned()).collect::<Vec<_>>().join("\n")
}

/// Returns a number with as many decimals as are worth reading.
fn number(value: f64) -> String {
    match value {
        _ if value.fract() == 0.0 || value >= 100.0 => format!("{value:.0}"),
        1.0.. => format!("{value:.1}"),
        _ => format!("{value:.3}"),
    }
}

fn keep(figures: &[Figure]) -> Result<(), Trouble> {
    let folder = run::root().join("target/bench");
    fs::create_dir_all(&folder).map_err(Trouble::at(&folder))?;
    let file = folder.join("latest.json");
    let list: Vec<Value> = figures.iter().map(Figure::json).collect();
    fs::write(&file, format!("{:#}\n", Value::Array(list))).map_err(Trouble::at(&file))?;
    say::line(format!("\nkept in {}", file.display()));
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{Figure, Unit, table};

    fn figure(name: &str, value: f64, unit: Unit, aim: Option<f64>) -> Figure {
        Figure { name: name.to_owned(), value, unit, aim, conditions: "here".to_owned() }
    }

    #[test]
    fn the_table_says_in_words_what_misses_its_aim() {
        let figures = [
            figure("load", 412.4, Unit::Kilobytes, Some(300.0)),
            figure("app", 12.25, Unit::Kilobytes, Some(20.0)),
            figure("all", 7.0, Unit::Times, None),
            figure("fold", 90.0, Unit::PerSecond, Some(100.0)),
            figure("tap", 0.0123, Unit::Milliseconds, Some(1.0)),
        ];
        let table = table(&figures);
        let rows: Vec<Vec<_>> = table.lines().map(|row| row.split_whitespace().collect()).collect();
        assert_eq!(rows[0], ["load", "412", "kB", "at", "most", "300", "MISSED", "here"]);
        assert_eq!(rows[1], ["app", "12.2", "kB", "at", "most", "20", "here"]);
        assert_eq!(rows[2], ["all", "7", "times", "here"]);
        assert_eq!(rows[3], ["fold", "90", "/s", "at", "least", "100", "MISSED", "here"]);
        assert_eq!(rows[4], ["tap", "0.012", "ms", "at", "most", "1", "here"]);
    }

    #[test]
    fn a_figure_is_heard_as_it_was_told() {
        for unit in Unit::ALL {
            for aim in [None, Some(60.0)] {
                let figure = figure("tap-kept-p98-100k", 41.5, unit, aim);
                assert_eq!(Figure::heard(&figure.told()), Some(figure));
            }
        }
        for other in ["", "no figures wanted", "{\"name\":\"tap\",\"value\":1,\"unit\":\"furlongs\"}"] {
            assert_eq!(Figure::heard(other), None, "{other}");
        }
    }
}
