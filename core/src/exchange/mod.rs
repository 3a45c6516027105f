//! The written forms: everything that leaves the program or comes in.
//!
//! Each module's head is the specification of its form. Only here are values
//! turned into bytes, so a form can be kept for ever while the types move on.

pub mod line;
mod wire;
