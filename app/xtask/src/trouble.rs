//! What can go wrong in a task, and what to do then.
//!
//! Every text names the thing that failed and ends with the next step, because
//! it is read by a person who wanted something else than to fix a build.

use std::io;
use std::path::{Path, PathBuf};

/// Why a task stopped.
#[derive(Debug, thiserror::Error)]
pub enum Trouble {
    /// A program could not be started at all.
    #[error("{program} could not be started ({source}); is it installed and on the PATH?")]
    Start {
        /// The program's name.
        program: String,
        /// What the system said.
        source: io::Error,
    },
    /// A program ran and said that it failed.
    #[error("{command} ended with {ended}")]
    Failed {
        /// The command as one would type it.
        command: String,
        /// Its exit code, or that a signal ended it.
        ended: String,
    },
    /// Tools are missing and could not be installed.
    #[error("not everything could be installed:\n{}", .0.join("\n"))]
    Tools(
        /// One text a tool: what failed and what to do by hand.
        Vec<String>,
    ),
    /// A file or folder could not be read or written.
    #[error("{path}: {source}")]
    File {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The built page breaks one of its rules.
    #[error("the built page: {0}")]
    Page(
        /// Which rule, and where.
        String,
    ),
    /// A step of the checks failed.
    #[error("{step} failed: {reason}\nthis step alone: {alone}")]
    Step {
        /// The heading of the step.
        step: String,
        /// What went wrong in it.
        reason: String,
        /// The command that runs just this step.
        alone: String,
    },
    /// The words typed after `cargo xtask` were not understood.
    #[error("{0}\n\n{usage}", usage = crate::USAGE)]
    Words(
        /// What was not understood.
        String,
    ),
    /// Anything else, said in a sentence.
    #[error("{0}")]
    Other(
        /// The sentence.
        String,
    ),
}

impl Trouble {
    /// Returns a function that puts the path to an I/O error, for `map_err`.
    pub fn at(path: &Path) -> impl FnOnce(io::Error) -> Self + use<> {
        let path = path.to_owned();
        move |source| Self::File { path, source }
    }
}
