//! Laws of the whole product that need no browser.
#![allow(clippy::panic, reason = "a test speaks by panicking, and so does what it calls")]

// What the source tree must look like.
mod tidy;
// Colours that can be read.
mod colours;
// What phones do, without phones.
mod histories;
mod phone;
// What the worker makes of it.
#[allow(
    dead_code,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "the papers use the rest of it, and stop as tests do"
)]
#[path = "../papers/press.rs"]
mod press;
// Groups of fasteners among them.
mod reading;
mod tightening;
// The shop's rules for time.
// What an owner reads, and pairs of photos.
mod owner;
mod shop;
// What was agreed with owners.
mod agreement;
// Claims for warranty, and what became of documents.
mod claims;
// Visits that are planned.
mod visits;
// Which revision a document of a day is.
mod revised;
// How work is done, and what comes ready-made.
mod procedures;
// Files as they were once written.
mod formats;
// What programs of others are told.
mod schemas;
// What was handed over for what was said.
mod journeys;
// What holds however a clock jumps.
mod clocks;
// What holds for every history.
mod laws;
// What holds for every off-list and its order.
mod orders;
// What is drawn and said aloud.
mod marks;
// A job that goes from hand to hand.
mod job_file;
// A machine that is put together wrongly.
mod wrong;
