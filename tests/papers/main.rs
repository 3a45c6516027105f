//! Documents, held against programs of others: PDFs against qpdf and poppler,
//! drafts of invoices against the rules of EN 16931-1.
//!
//! Each document is made as the worker makes it, from the log's lines, the
//! photos given one by one as it asks for them.
#![allow(clippy::unwrap_used, clippy::panic, clippy::expect_used, reason = "a test stops where it cannot go on")]

mod claim;
mod drawn;
mod invoices;
mod languages;
mod marks;
mod owner;
mod parts;
#[allow(dead_code, reason = "the laws use the rest of it")]
#[path = "../laws/phone.rs"]
mod phone;
mod press;
mod shop;
