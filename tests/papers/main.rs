//! The PDFs, held against programs of others: qpdf and poppler.
//!
//! Each document is made as the worker makes it, from the log's lines, the
//! photos given one by one as it asks for them.
#![allow(clippy::unwrap_used, clippy::panic, clippy::expect_used, reason = "a test stops where it cannot go on")]

mod owner;
#[allow(dead_code, reason = "the laws use the rest of it")]
#[path = "../laws/phone.rs"]
mod phone;
mod press;
mod shop;
