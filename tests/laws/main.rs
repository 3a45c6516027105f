//! Laws of the whole product that need no browser.
#![allow(clippy::panic, reason = "a test speaks by panicking, and so does what it calls")]

// What the source tree must look like.
mod tidy;
