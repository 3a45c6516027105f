//! Measures how long a tap takes to become a new back-on order; `cargo xtask bench` runs it in release.

use quaywright_xtask::bench::reassembly::{ITEMS, TIES, measure};
use quaywright_xtask::{Trouble, say};

fn main() -> Result<(), Trouble> {
    for figure in measure(ITEMS, TIES)? {
        say::line(figure.told());
    }
    Ok(())
}
