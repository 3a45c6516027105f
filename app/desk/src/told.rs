//! What a task says: what was asked for, and what is wrong.
//!
//! The command and the page put the same sentences in here, so a person who knows
//! one knows the other.

use std::fmt::Display;

/// What a task says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Told {
    /// What was asked for.
    pub said: String,
    /// What is wrong.
    pub wrong: String,
}

impl Told {
    /// Says a line.
    pub fn say(&mut self, line: impl Display) {
        self.said.push_str(&format!("{line}\n"));
    }

    /// Says a line of what is wrong.
    pub fn blame(&mut self, line: impl Display) {
        self.wrong.push_str(&format!("{line}\n"));
    }
}
