//! How many bytes a phone downloads, and keeps.
//!
//! Here are the app itself and the precache: every file of the list that the
//! service worker keeps for starts without a network. What the first screen
//! waits for is less, and is measured in the browser, from what it asks for.
//!
//! Compressed by brotli at quality 11, as a good host serves it: Node.js, which
//! the build needs anyway, has it built in.

use super::{Figure, Unit};
use crate::{Trouble, run, stamp};
use std::fs;
use std::path::{Path, PathBuf};

/// The most that the first load may be, compressed, in kB.
pub const FIRST_LOAD: f64 = 300.0;

const COMPRESS: &str = "
const { brotliCompressSync, constants: { BROTLI_PARAM_QUALITY } } = require('node:zlib');
const { readFileSync } = require('node:fs');
for (const file of process.argv.slice(1)) {
  console.log(brotliCompressSync(readFileSync(file), { params: { [BROTLI_PARAM_QUALITY]: 11 } }).length);
}";

/// Returns the sizes of a stamped build.
///
/// # Errors
/// When the build is not there or was not stamped.
pub(super) fn figures(dist: &Path) -> Result<Vec<Figure>, Trouble> {
    let files: Vec<PathBuf> = stamp::listed(dist)?.into_keys().map(|name| dist.join(name)).collect();
    let sizes = sizes(&files)?;
    let is_wasm = |file: &Path| file.extension().is_some_and(|it| it == "wasm");
    let sum = |wanted: &dyn Fn(&Path) -> bool| {
        let chosen = files.iter().zip(&sizes).filter(|(file, _)| wanted(file));
        chosen.fold((0, 0), |sum, (_, size)| (sum.0 + size.0, sum.1 + size.1))
    };
    let (wasm, all) = (sum(&is_wasm), sum(&|_| true));
    let kept = format!("all {} files of the offline list", files.len());
    Ok(vec![
        kilobytes("wasm-raw", wasm.0, None, "as it is kept".to_owned()),
        kilobytes("wasm-brotli", wasm.1, None, "brotli 11".to_owned()),
        kilobytes("precache-raw", all.0, None, kept.clone()),
        kilobytes("precache-brotli", all.1, None, format!("{kept}, brotli 11 each")),
    ])
}

/// Returns a figure of so many bytes.
pub fn kilobytes(name: &str, bytes: u64, aim: Option<f64>, conditions: String) -> Figure {
    Figure { name: name.to_owned(), value: bytes as f64 / 1000.0, unit: Unit::Kilobytes, aim, conditions }
}

/// Returns the bytes of each file, raw and compressed.
///
/// # Errors
/// When a file cannot be read, or Node.js not asked.
pub fn sizes(files: &[PathBuf]) -> Result<Vec<(u64, u64)>, Trouble> {
    let said = run::hear(run::command("node", &["-e", COMPRESS, "--"]).args(files))?;
    let compressed: Vec<u64> = said.lines().filter_map(|line| line.parse().ok()).collect();
    if compressed.len() != files.len() {
        return Err(Trouble::Other(format!("compressing gave {} sizes for {} files", compressed.len(), files.len())));
    }
    let raw = |file: &PathBuf| fs::metadata(file).map(|it| it.len()).map_err(Trouble::at(file));
    files.iter().zip(compressed).map(|(file, small)| Ok((raw(file)?, small))).collect()
}

#[cfg(test)]
mod tests {
    use super::sizes;
    use std::fs;
    use tempfile::TempDir;

    #[test]
    fn files_are_measured_raw_and_compressed() {
        let folder = TempDir::new().unwrap();
        let files = ["a.txt", "b.txt"].map(|name| folder.path().join(name));
        fs::write(&files[0], "a".repeat(10_000)).unwrap();
        fs::write(&files[1], "b").unwrap();
        let sizes = sizes(&files).unwrap();
        assert_eq!((sizes[0].0, sizes[1].0), (10_000, 1));
        assert!(sizes[0].1 < 100, "{sizes:?}");
    }
}
