//! Measures how long mends take to be laid over taps; `cargo xtask bench` runs it in release.

use quaywright_xtask::bench::timelines::{MONTH, YEARS, measure};
use quaywright_xtask::{Trouble, say};

fn main() -> Result<(), Trouble> {
    measure(MONTH, YEARS)?.iter().for_each(|figure| say::line(figure.told()));
    Ok(())
}
