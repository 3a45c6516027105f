//! What was agreed with an owner before the work and while it went on: estimates,
//! consents, signatures, the law of boat repair where there is one, and when more
//! is used than was agreed.
//!
//! In reading order: [`estimate`] what is offered and what it adds up to;
//! [`consent`] who agreed to what, when, by which way, and what was signed;
//! [`rules`] the published rules as data, each figure with its section;
//! [`overrun`] how much of what was agreed is used. Nothing here knows an event
//! or a book. None of it is legal advice: local law and counsel decide.

pub mod consent;
pub mod estimate;
pub mod overrun;
pub mod rules;
