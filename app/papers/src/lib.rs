//! The room beside the page where documents are made and files are taken in.
//!
//! A phone needs none of this to start, so it is a WebAssembly module of its
//! own that a worker loads when it is asked for the first time. It holds no
//! storage: the page sends it the log's lines and each photo that it asks for,
//! and it may be broken off at any moment without loss.
//!
//! - [`wire`]: what the page asks and what it is answered.
//! - [`work`]: what is done for it; pure, and tested natively.
//! - `making`: a document, step by step; [`pdf`]: one as PDF.
//! - [`door`]: the worker's messages, and only there the browser.

pub mod door;
mod making;
pub mod pdf;
pub mod wire;
pub mod work;
