//! What can go wrong between a test and its browser.
//!
//! Every text names what was asked and what to look at next, because the
//! person who reads it sees a log and no screen.

use std::io;
use std::time::Duration;

/// A request to the browser that did not come true.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The program or its socket went away.
    #[error("the browser is gone ({0}): a page of a closed browser is dead, open a new one")]
    Gone(String),
    /// The process behind a page died; the browser itself lives.
    #[error("the page's process died before `{0}` was answered: reload the page first")]
    Crashed(String),
    /// The browser understood and declined.
    #[error("Chromium refused `{method}`: {reason}")]
    Refused {
        /// The command of the DevTools protocol.
        method: String,
        /// Chromium's own words.
        reason: String,
    },
    /// JavaScript threw, or a promise was rejected.
    #[error("the page threw: {0}")]
    Thrown(String),
    /// The answer has another shape than the test asked for.
    #[error("the page answered {answer}, which is not what the test asked for: {reason}")]
    Unexpected {
        /// What the page said, as JSON.
        answer: String,
        /// Why that does not fit.
        reason: String,
    },
    /// Nothing came in the time allowed.
    #[error("no {what} within {} ms", waited.as_millis())]
    Late {
        /// What was waited for.
        what: String,
        /// How long.
        waited: Duration,
    },
    /// The machine lacks something, or a file could not be used.
    #[error("{what}: {source}")]
    Machine {
        /// What was tried.
        what: String,
        /// The system's own words.
        source: io::Error,
    },
}

impl Failure {
    /// Returns a closure for `map_err` that says what was tried.
    pub fn machine(what: impl Into<String>) -> impl FnOnce(io::Error) -> Self {
        move |source| Self::Machine { what: what.into(), source }
    }
}

/// Returns the value, or ends the test at the caller's line.
#[track_caller]
pub fn must<T>(outcome: Result<T, Failure>) -> T {
    match outcome {
        Ok(value) => value,
        Err(failure) => panic!("{failure}"),
    }
}
