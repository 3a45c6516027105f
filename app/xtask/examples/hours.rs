//! Measures how long ten years take to become hours; `cargo xtask bench` runs it in release.

use quaywright_xtask::bench::hours::{STRETCHES, measure};
use quaywright_xtask::{Trouble, say};

fn main() -> Result<(), Trouble> {
    say::line(measure(STRETCHES)?.told());
    Ok(())
}
