//! What the office does with what phones hand over, wherever it is kept.
//!
//! No files, threads or sockets here, and the browser only in [`door`]: the store is
//! a trait, files are bytes, and whoever has them hands them on. The office's command
//! and the office page are two doors to this one room, so both come to the same
//! figures and say the same words.
//!
//! - [`store`]: what is kept, and what keeping must promise.
//! - [`unpack`], [`checking`], [`taking`]: files in.
//! - [`people`], [`days`], [`changes`]: whose they are, and what they come to; [`crew`]: several at a time.
//! - [`billing`], [`accounts`], [`drafts`], [`hours`], [`pay`]: what goes out; [`packing`]: as one file.
//! - [`forms`]: what the files are like that a shop writes itself.
//! - [`looking`]: how work stands, and where each figure comes from.
//! - [`told`]: what is said of it.
//! - [`wire`], [`work`], [`door`]: for the office page, in a worker beside it.

pub mod accounts;
pub mod billing;
pub mod changes;
pub mod checking;
pub mod crew;
pub mod days;
pub mod door;
pub mod drafts;
pub mod forms;
pub mod hours;
mod kept;
pub mod looking;
pub mod packing;
pub mod pay;
pub mod people;
pub mod store;
pub mod taking;
pub mod told;
pub mod unpack;
pub mod wire;
pub mod work;
