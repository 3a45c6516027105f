//! The browser: thin adapters, and the only place that knows it.
//!
//! Each adapter does one thing that a browser does and holds no rule of ours.

pub mod bounce;
pub mod clipboard;
pub mod clock;
pub mod drafts;
pub mod idb;
pub mod lock;
pub mod office;
pub mod page;
pub mod papers;
pub mod photo;
pub mod prefs;
pub mod room;
pub mod second;
pub mod share;
pub mod shell;
pub mod store;
pub mod timer;
pub mod vault;
pub mod voice;
pub mod witness;
