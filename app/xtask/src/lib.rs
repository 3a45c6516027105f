//! The tasks behind `cargo xtask`: what the two commands of the README do, and
//! the few that a developer needs beside them.
//!
//! The rule: a machine that has only git, rustup and Node.js with npm gets
//! everything else from here, and every check that counts is a step of
//! `cargo xtask test`. This crate stays quick to compile: the standard library,
//! the core, and a few small crates.
//!
//! Reading order: [`tools`] and [`dist`] make the build, [`parts`] and [`stamp`] finish it,
//! [`server`] serves it, [`serve`], [`watch`], [`checks`] and [`bench`] are the
//! words a person types; [`demo`] makes the workbook that is served with `--demo`.

pub mod bench;
pub mod checks;
pub mod demo;
pub mod dist;
pub mod page;
pub mod parts;
pub mod run;
pub mod say;
pub mod serve;
pub mod server;
pub mod stamp;
pub mod tools;
pub mod trouble;
pub mod watch;

pub use trouble::Trouble;

/// What can be typed after `cargo xtask`.
pub const USAGE: &str = "\
cargo xtask serve [--demo] [--port N]   build the app and serve it on this machine
cargo xtask test [--quick] [--kills N]  every check; --quick: without the browser
                 [--only STEP]          one step by its name
cargo xtask watch [--port N]            build at each change and serve
cargo xtask bench [--beside]            the figures: bytes and times; the office beside DuckDB and pandas
cargo xtask tools                       only make sure of the tools

What is missing of the tools is installed for this user into
$QUAYWRIGHT_TOOLS, or else ~/.cache/quaywright/tools.";
