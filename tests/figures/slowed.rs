//! A page slowed as if a phone ran it.
//!
//! Chromium slows a page by keeping its thread busy for a multiple of the time that passed,
//! of the time at rest too. So the system takes that thread for a greedy one and lets every
//! other go before it: with two cores "4 times" came out as nine by the clock for a
//! piece of script of 2 ms, where a page at rest gave 4.4. Rule: the thread of a slowed page
//! goes first, as on a phone with cores to spare, and where the system does not allow that
//! the conditions of the figure say so.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::failure::must;
use crate::page::Page;

/// The first letters of the name of the thread that slows a page.
const SLOWS: &str = "CPUThrott";

/// Slows a page and lets its thread go first; returns in words how it is slowed.
pub fn slow(page: &Page, times: f64) -> String {
    must(page.cpu(times));
    let order = if put_first() { "its thread goes first" } else { "its thread goes among others" };
    format!("page slowed {times} times, {order}")
}

/// Lets the thread of every slowed page go first; tells whether there are any and all do.
fn put_first() -> bool {
    let processes = fs::read_dir("/proc").into_iter().flatten().flatten().map(|it| it.path());
    let slowed: Vec<_> = processes.filter(|process| is_slowed(process)).collect();
    // A process is named by its first thread, which is the page's.
    !slowed.is_empty() && slowed.iter().filter_map(|it| it.file_name()?.to_str()).all(renice)
}

fn is_slowed(process: &Path) -> bool {
    let threads = fs::read_dir(process.join("task")).into_iter().flatten().flatten();
    threads.filter_map(|it| fs::read_to_string(it.path().join("comm")).ok()).any(|name| name.starts_with(SLOWS))
}

fn renice(thread: &str) -> bool {
    let mut renice = Command::new("renice");
    renice.args(["-n", "-15", "-p", thread]).stdout(Stdio::null()).stderr(Stdio::null());
    renice.status().is_ok_and(|status| status.success())
}
