//! The figures that need the built app in a real Chromium: how much it loads,
//! how soon one may work, and what a tap costs.
//!
//! `cargo xtask bench` runs this with `QUAYWRIGHT_FIGURES=1` and reads one figure
//! a line; `taps,teardown` in the place of 1 takes these groups alone. Without that it ends at
//! once, so that a plain test run takes no longer.
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
    pub mod turns;
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
mod slowed;
mod start;
mod tap;
mod teardown;

use std::env;

use quaywright_xtask::bench::{Figure, Unit};
use quaywright_xtask::say;

// The harness names its parts from the root.
use browser::{chromium, damage, failure, ground, group, page, seen, turns, wire};

use ground::World;
use tap::Taps;

/// Events of a long history: some years of work.
const LONG: usize = 100_000;

fn main() {
    let Some(asked) = env::var("QUAYWRIGHT_FIGURES").ok() else {
        return say::line("no figures wanted: `cargo xtask bench` takes them");
    };
    let is_asked = |group: &str| asked == "1" || asked.split(',').any(|name| name == group);
    if is_asked("load") {
        tell(first_load::figures());
    }
    let empty = is_asked("taps").then(taps_of_nothing);
    if is_asked("office") {
        tell(office::figures(&World::of_app()));
    }
    if is_asked("shop") {
        of_the_shop();
    }
    if is_asked("teardown") {
        let apart = World::of_app();
        books::bring_back(&apart, &teardown::book());
        tell(teardown::figures(&restarted(apart)));
    }
    if is_asked("documents") {
        let paper = World::of_app();
        books::bring_back(&paper, &documents::book());
        tell(documents::figures(&paper));
    }
    if is_asked("years") {
        of_years(empty.as_ref());
    }
}

/// Takes what taps cost with an empty log.
fn taps_of_nothing() -> Taps {
    let fresh = World::of_app();
    books::open_empty(&fresh);
    let empty = tap::measure(&restarted(fresh));
    tell(empty.figures("empty", "an empty log"));
    empty
}

/// Takes the figures of some days of the demo shop, without a network.
fn of_the_shop() {
    let shop = World::of_app();
    books::bring_back(&shop, &books::demo());
    let mut shop = restarted(shop);
    shop.stop_server();
    tell(start::figures(&shop, "start-offline-4x", 4.0, Some(1_000.0), "the demo shop's days"));
    tell(start::figures(&shop, "start-offline-6x", 6.0, None, "the demo shop's days"));
    tell(drag::figures(&shop));
}

/// Takes the figures of years of work, and how many times those of an empty log they are.
fn of_years(empty: Option<&Taps>) {
    let years = World::of_app();
    books::bring_back(&years, &books::long(LONG));
    let mut years = restarted(years);
    years.stop_server();
    tell(start::figures(&years, "start-offline-4x-100k", 4.0, None, "100,000 events"));
    let long = tap::measure(&years);
    tell(long.figures("100k", "100,000 events"));
    empty.into_iter().for_each(|empty| tell(long.ratios(empty)));
}

/// Gives a phone a browser that has just begun.
fn restarted(mut world: World) -> World {
    world.restart_browser();
    world
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
