//! The rules of Quaywright, a boat technician's pocket workbook.
//!
//! Everything that a person says becomes an [`event::Event`] in one [`log`];
//! everything that the program shows is a fold of it, the [`book`]. Nothing in
//! this crate reads a clock, draws a random number, or touches a file, a
//! network or a browser: time, identity and bytes come in as arguments.
//!
//! # Where to start
//!
//! Read in this order: [`reassembly`] (what goes back on next, and why),
//! [`tightening`] (how tight and in which order), [`reading`] (what was measured,
//! and what follows) and [`procedure`] (which steps fit an engine), which know no
//! book; [`event`] (the vocabulary), [`log`] (order and merge), [`hours`] (days,
//! weeks and pay by the clock), [`book`] (what is), [`command`] (what may be asked
//! for), then [`closing`], [`sheet`] and [`view`] (what is told to whom),
//! [`exchange`] (the written forms) and [`store`] (what keeping must promise). For
//! the desk: [`money`] (decimals and the sums of an invoice).

pub mod book;
pub mod closing;
pub mod command;
pub mod event;
pub mod exchange;
pub mod hours;
pub mod id;
pub mod log;
pub mod mending;
pub mod moment;
pub mod money;
pub mod order;
pub mod procedure;
pub mod quantity;
pub mod reading;
pub mod reassembly;
pub mod sheet;
pub mod store;
pub mod text;
pub mod tightening;
pub mod view;
