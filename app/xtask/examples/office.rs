//! Measures the office's command on made-up files; `cargo xtask bench` runs it in release.

use std::env;
use std::fs;
use std::path::PathBuf;

use quaywright_xtask::bench::office::measure;
use quaywright_xtask::{Trouble, say};

fn main() -> Result<(), Trouble> {
    let example = env::current_exe().map_err(|why| Trouble::Other(format!("this program cannot be found: {why}")))?;
    // Examples are built into a folder beside the programs.
    let built = example.ancestors().nth(2).ok_or_else(|| Trouble::Other("there is no folder above".to_owned()))?;
    let folder = built.join("office-bench");
    // What an earlier run left would be taken for this one's.
    let _ = fs::remove_dir_all(&folder);
    let python = env::args_os().nth(1).map(PathBuf::from);
    let figures = measure(&built.join("quaywright-office"), &folder, python.as_deref());
    let _ = fs::remove_dir_all(&folder);
    for figure in figures? {
        say::line(figure.told());
    }
    Ok(())
}
