//! The rules of Quaywright, a boat technician's pocket workbook.
//!
//! Everything that a person says becomes an [`event::Event`] in one [`log`];
//! everything that the program shows is a fold of it, the [`book`]. Nothing in
//! this crate reads a clock, draws a random number, or touches a file, a
//! network or a browser: time, identity and bytes come in as arguments.
//!
//! # Where to start
//!
//! Read in this order. The rules of the trade, which know no event and no book:
//! - [`hours`]: days, weeks and pay by the clock.
//! - [`reassembly`]: what goes back on next, and why.
//! - [`tightening`]: how tight, and in which order.
//! - [`reading`]: what was measured, and what follows.
//! - [`procedure`]: which steps fit an engine.
//! - [`agreement`]: what was agreed with an owner, and by which rule.
//! - [`hin`]: what a hull's number says.
//!
//! What is said, and what is:
//! - [`event`]: the vocabulary. [`log`]: order and merge.
//! - [`book`]: the fold. [`command`]: what may be asked for.
//!
//! What is told to whom, and kept where:
//! - [`closing`], [`sheet`] and [`view`]: to the technician, the office, the owner.
//! - [`words`]: what an owner reads is said in them, in four languages; [`owner`]: of a job.
//! - [`exchange`]: the written forms. [`store`]: what keeping must promise.
//!
//! For the desk:
//! - [`money`]: decimals and the sums of an invoice.
//! - [`billing`]: what work costs.
//! - [`looking`]: how everybody's work stands, and where each figure comes from.

pub mod agreement;
pub mod billing;
pub mod book;
pub mod closing;
pub mod command;
pub mod event;
pub mod exchange;
pub mod hin;
pub mod hours;
pub mod id;
pub mod log;
pub mod looking;
pub mod mending;
pub mod moment;
pub mod money;
pub mod order;
pub mod owner;
pub mod procedure;
pub mod quantity;
pub mod reading;
pub mod reassembly;
pub mod sheet;
pub mod store;
pub mod text;
pub mod tightening;
pub mod view;
pub mod words;
