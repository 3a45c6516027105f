//! Measures how fast long logs become books; `cargo xtask bench` runs it in release.

use quaywright_xtask::bench::fold::{LENGTHS, measure, told};
use quaywright_xtask::{Trouble, say};

fn main() -> Result<(), Trouble> {
    for events in LENGTHS {
        say::line(told(measure(events)?));
    }
    Ok(())
}
