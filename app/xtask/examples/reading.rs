//! Measures how long a verdict takes; `cargo xtask bench` runs it in release.

use quaywright_xtask::bench::reading::measure;
use quaywright_xtask::{Trouble, say};

fn main() -> Result<(), Trouble> {
    say::line(measure()?.told());
    Ok(())
}
