//! Whole-product tests in a real Chromium.
//!
//! A test does what a person does: it opens the app, taps, types, chooses a
//! photo, loses the network, kills the browser, and looks at what is left.
//! It finds things by role and visible name, never by a mark made for tests.
//!
//! Run it with `cargo test -p quaywright-tests --test browser -- --test-threads=1`.
//! Whatever waits here waits for a bounded time and then says for what.
#![allow(unreachable_pub, reason = "in a test program `pub` says which parts of the harness tests may use")]
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test speaks by panicking, and so does what it calls"
)]

// The harness. To be read in this order: wire, seen, group, chromium, page; then ground, damage, axe;
// then, on the workbook, hand and phone.
mod axe;
#[allow(dead_code, reason = "the figures use the rest of it")]
mod chromium;
mod damage;
#[allow(dead_code, reason = "the laws use the rest of it")]
#[path = "../laws/phone.rs"]
mod device;
mod failure;
mod ground;
#[allow(dead_code, reason = "the figures use the rest of it")]
mod group;
mod hand;
mod page;
mod phone;
mod seen;
mod turns;
mod wire;

// The tests.
mod agreement;
mod bouncing;
mod busy_day;
mod choosing;
mod claims;
mod day;
mod durable;
mod finish;
mod first_minutes;
mod hand_on;
mod harness;
mod input;
mod later;
mod looks;
mod marks;
mod mending;
mod off_list;
mod office;
mod opening;
mod owner;
mod papers;
mod procedures;
mod quota;
mod reading;
mod reckoning;
mod sending;
mod shell;
mod tabs;
mod tightening;
mod visits;
mod voice;
mod wrong;
