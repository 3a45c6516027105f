//! The written forms: everything that leaves the program or comes in.
//!
//! Each module's head is the specification of its form. Only here are values
//! turned into bytes, so a form can be kept for ever while the types move on.

pub mod account;
pub mod agreement;
pub mod backup;
pub mod billed;
pub mod bundle;
pub mod exif;
pub mod finds;
pub mod hours;
pub mod html;
pub mod intake;
pub mod job_file;
pub mod job_summary;
mod json;
pub mod line;
pub mod looking;
pub mod outgoing;
pub mod part;
pub mod parties;
pub mod payroll;
pub mod pdf;
pub mod pieces;
pub mod plain;
pub mod prices;
pub mod procedure;
pub mod table;
pub mod ubl;
mod wire;
