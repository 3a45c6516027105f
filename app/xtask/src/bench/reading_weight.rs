//! What all kinds of readings together add to what a phone loads.
//!
//! Two programs are linked as the app is (profile `web`): `readings` reads a form of any kind,
//! asks back and judges, `no_readings` does as much with text and lists and knows no kind. What
//! the first weighs more is the kinds with their words, their units and their sums, whole: a
//! part that the app has anyway counts too. The figure is of before wasm-opt, which would make
//! both smaller.

use super::Figure;
use super::bytes::{kilobytes, sizes};
use crate::{Trouble, run};
use serde_json::Value;
use std::path::PathBuf;

/// The most that the kinds may add, in thousands of bytes.
const AIM: f64 = 60.0;

/// Takes the figure.
///
/// # Errors
/// When a program cannot be linked or measured.
pub(super) fn figure() -> Result<Figure, Trouble> {
    let sizes = sizes(&[linked("readings")?, linked("no_readings")?])?;
    let [(_, with), (_, without)] = *sizes else {
        return Err(Trouble::Other("two programs have two sizes".to_owned()));
    };
    let conditions = "all kinds judged, against a program without, before wasm-opt, brotli 11".to_owned();
    Ok(kilobytes("readings-brotli", with.saturating_sub(without), Some(AIM), conditions))
}

/// Links an example of the app and returns where it lies.
fn linked(example: &str) -> Result<PathBuf, Trouble> {
    let words = [
        "rustc",
        "--quiet",
        "--profile",
        "web",
        "--target",
        "wasm32-unknown-unknown",
        "--package",
        "quaywright-pocket",
    ];
    let mut cargo = run::cargo(&words);
    cargo.args(["--message-format", "json", "--example", example, "--", "-C", "strip=symbols"]);
    let said = run::hear(&mut cargo)?;
    let artifact = |line: &str| {
        let told: Value = serde_json::from_str(line).ok()?;
        let is_it = told["reason"] == "compiler-artifact" && told["target"]["name"] == example;
        is_it.then(|| told["filenames"][0].as_str().map(PathBuf::from)).flatten()
    };
    let found = said.lines().filter_map(artifact).next_back();
    found.ok_or_else(|| Trouble::Other(format!("cargo did not say where {example} lies")))
}
