//! Measures how long a tap on a fastener takes to become what is next; `cargo xtask bench` runs it in release.

use quaywright_core::tightening::pattern::MOST;
use quaywright_xtask::bench::tightening::measure;
use quaywright_xtask::{Trouble, say};

fn main() -> Result<(), Trouble> {
    say::line(measure(MOST)?.told());
    Ok(())
}
