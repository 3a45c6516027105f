//! `cargo xtask bench`: the figures that a person who carries the app would ask
//! for, each with its aim and the conditions under which it was taken.
//!
//! A figure is measured or absent; none is estimated. They go to the screen as a
//! table and to `target/bench/latest.json`, so that two runs can be compared.

mod bytes;
pub mod fold;

use crate::dist::{self, Kind};
use crate::tools::{For, Tools};
use crate::{Trouble, run, say};
use serde_json::{Value, json};
use std::fs;

/// One measured figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What was measured.
    pub name: String,
    /// The measured value.
    pub value: f64,
    /// The unit of the value and the aim.
    pub unit: &'static str,
    /// The most that is good, where there is such a limit.
    pub aim: Option<f64>,
    /// How it was measured, so that another can do it again.
    pub conditions: String,
}

impl Figure {
    /// Returns false only when the figure misses its aim.
    pub fn is_good(&self) -> bool {
        self.aim.is_none_or(|aim| self.value <= aim)
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
    say::heading("folding long logs (a release build of the core comes first)");
    figures.extend(fold::figures()?);
    say::heading("figures");
    say::line(table(&figures));
    keep(&figures)
}

/// Returns the figures as a table for the screen.
fn table(figures: &[Figure]) -> String {
    let width = figures.iter().map(|it| it.name.chars().count()).max().unwrap_or_default();
    let row = |it: &Figure| {
        let aim = it.aim.map(|aim| format!("at most {}", number(aim))).unwrap_or_default();
        let word = if it.is_good() { "" } else { "MISSED" };
        format!("{:width$}  {:>10} {:5}  {aim:<14} {word:6}  {}", it.name, number(it.value), it.unit, it.conditions)
    };
    figures.iter().map(|it| row(it).trim_end().to_owned()).collect::<Vec<_>>().join("\n")
}

/// Returns a number with as many decimals as are worth reading.
fn number(value: f64) -> String {
    if value.fract() == 0.0 || value >= 100.0 { format!("{value:.0}") } else { format!("{value:.1}") }
}

fn keep(figures: &[Figure]) -> Result<(), Trouble> {
    let folder = run::root().join("target/bench");
    fs::create_dir_all(&folder).map_err(Trouble::at(&folder))?;
    let file = folder.join("latest.json");
    let list: Vec<Value> = figures.iter().map(as_json).collect();
    fs::write(&file, format!("{:#}\n", Value::Array(list))).map_err(Trouble::at(&file))?;
    say::line(format!("\nkept in {}", file.display()));
    Ok(())
}

fn as_json(figure: &Figure) -> Value {
    json!({
        "name": figure.name,
        "value": figure.value,
        "unit": figure.unit,
        "aim": figure.aim,
        "conditions": figure.conditions,
    })
}

#[cfg(test)]
mod tests {
    use super::{Figure, table};

    #[test]
    fn the_table_says_in_words_what_misses_its_aim() {
        let figure = |name: &str, value, aim| Figure {
            name: name.to_owned(),
            value,
            unit: "kB",
            aim,
            conditions: "here".to_owned(),
        };
        let figures =
            [figure("first load", 412.4, Some(300.0)), figure("app", 12.25, Some(20.0)), figure("all", 7.0, None)];
        let table = table(&figures);
        let rows: Vec<Vec<_>> = table.lines().map(|row| row.split_whitespace().collect()).collect();
        assert_eq!(rows[0], ["first", "load", "412", "kB", "at", "most", "300", "MISSED", "here"]);
        assert_eq!(rows[1], ["app", "12.2", "kB", "at", "most", "20", "here"]);
        assert_eq!(rows[2], ["all", "7", "kB", "here"]);
    }
}
