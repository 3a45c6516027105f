//! What a boat's owner reads, in the owner's language and units.
//!
//! The program's own words stand in message files (`words/<language>.ftl`, Project
//! Fluent's form), one for each language, with CLDR's plurals. A sentence is a whole
//! message with named holes, since each language orders its words for itself; nothing
//! is put together from halves. What a person typed is never translated.
//!
//! - [`words`]: the messages. [`figures`]: days, numbers, units, money.
//! - `lines`: what the owner is told of an item, a group, an engine; `readings`: of what was
//!   measured.
//! - [`message`]: the summary in under 600 characters.
//!
//! Only the module that makes documents links any of this: a phone that starts loads
//! no message file and no library for it.

pub mod figures;
mod lines;
pub mod message;
mod readings;
pub mod words;
