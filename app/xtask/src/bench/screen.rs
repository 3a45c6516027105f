//! What a person waits for at the screen, measured in a real Chromium.
//!
//! The measuring is a program of the whole-product tests, because it shares their
//! harness: it prints one figure a line, and this hears them.

use std::path::Path;
use std::process::Stdio;

use super::Figure;
use crate::tools::Tools;
use crate::{Trouble, run};

/// Returns the figures of a built app.
///
/// # Errors
/// When the program cannot be built, or ends without having measured everything.
pub(super) fn figures(tools: &Tools, dist: &Path) -> Result<Vec<Figure>, Trouble> {
    let mut measuring = run::cargo(&["test", "--quiet", "--package", "quaywright-tests", "--test", "figures"]);
    // Why it ends before its time it says where errors go.
    measuring.env("QUAYWRIGHT_FIGURES", "1").env("QUAYWRIGHT_DIST", dist).stderr(Stdio::inherit());
    let said = run::hear(tools.put_on(&mut measuring))?;
    let figures: Vec<Figure> = said.lines().filter_map(Figure::heard).collect();
    if figures.is_empty() {
        return Err(Trouble::Other(format!("the browser told no figure, only: {said}")));
    }
    Ok(figures)
}
