//! The figures that need the built app in a real Chromium: how much it loads,
//! how soon one may work, and what a tap costs.
//!
//! `cargo xtask bench` runs this with `QUAYWRIGHT_FIGURES=1` and reads one figure
//! a line. Without that it ends at once, so that a plain test run takes no longer.
//!
//! The harness is that of the browser tests. What is measured is what a person
//! meets: a touch of the screen, a start without a network. The page is slowed
//! by Chromium's own throttle, because a phone's processor is slower than this one.
#![allow(unreachable_pub, reason = "the harness is shared with the browser tests")]
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a measurement that cannot be taken ends the run, and so does what it calls"
)]

#[allow(dead_code, reason = "the browser tests use the rest of it")]
#[path = "../browser"]
mod browser {
    pub mod chromium;
    pub mod damage;
    pub mod failure;
    pub mod ground;
    pub mod group;
    pub mod hand;
    pub mod page;
    pub mod seen;
    pub mod wire;
}

mod books;
mod documents;
mod drag;
mod first_load;
mod office;
#[allow(dead_code, reason = "the laws use the rest of it")]
#[path = "../laws/phone.rs"]
mod phone;
mod start;
mod tap;
mod teardown;

use std::env;

use quaywright_xtask::bench::{Figure, Unit};
use quaywright_xtask::say;

// The harness names its parts from the root.
use browser::{chromium, damage, failure, ground, group, page, seen, wire};

use ground::World;

/// Events of a long history: some years of work.
const LONG: usize = 100_000;

fn main() {
    if env::var_os("QUAYWRIGHT_FIGURES").is_none() {
        return say::line("no figures wanted: `cargo xtask bench` takes them");
    }
    tell(first_load::figures());

    let mut fresh = World::of_app();
    books::open_empty(&fresh);
    fresh.restart_browser();
    let empty = tap::measure(&fresh);
    tell(empty.figures("empty", "an empty log"));
    drop(fresh);

    tell(office::figures(&World::of_app()));

    let mut shop = World::of_app();
    books::bring_back(&shop, &books::demo());
    shop.restart_browser();
    shop.stop_server();
    tell(start::figures(&shop, "start-offline-4x", 4.0, Some(1_000.0), "the demo shop's days"));
    tell(start::figures(&shop, "start-offline-6x", 6.0, None, "the demo shop's days"));
    tell(drag::figures(&shop));
    drop(shop);

    let mut apart = World::of_app();
    books::bring_back(&apart, &teardown::book());
    apart.restart_browser();
    tell(teardown::figures(&apart));
    drop(apart);

    let paper = World::of_app();
    books::bring_back(&paper, &documents::book());
    tell(documents::figures(&paper));
    drop(paper);

    let mut years = World::of_app();
    books::bring_back(&years, &books::long(LONG));
    years.restart_browser();
    years.stop_server();
    tell(start::figures(&years, "start-offline-4x-100k", 4.0, None, "100,000 events"));
    let long = tap::measure(&years);
    tell(long.figures("100k", "100,000 events"));
    tell(long.ratios(&empty));
}

fn tell(figures: impl IntoIterator<Item = Figure>) {
    figures.into_iter().for_each(|figure| say::line(figure.told()));
}

/// Returns the value below which `share` (a hundredth) of all lie: the nearest rank.
fn percentile(values: &[f64], share: usize) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let rank = (sorted.len() * share).div_ceil(100);
    sorted[rank.saturating_sub(1)]
}

/// Returns a time in milliseconds to a tenth, which is as fine as browsers tell it.
fn milliseconds(name: String, value: f64, aim: Option<f64>, conditions: String) -> Figure {
    Figure { name, value: (value * 10.0).round() / 10.0, unit: Unit::Milliseconds, aim, conditions }
}
