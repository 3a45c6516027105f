//! The build of the PWA: `trunk build` with the tools in its way.
//!
//! Trunk runs cargo, wasm-bindgen and wasm-opt, and at the end our hook, which
//! cuts the program into parts and stamps the build. It works without the
//! network, so the sources are fetched before.

use crate::tools::Tools;
use crate::{Trouble, run, say};
use std::env;
use std::path::PathBuf;
use std::time::Instant;

/// Which build of the PWA.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Small, as it is given to people.
    Release,
    /// Quick to build, for the daily work.
    Daily,
}

/// Returns the folder that holds the finished build.
pub fn folder() -> PathBuf {
    run::root().join("dist")
}

/// Builds the PWA into `dist/` and returns that folder.
///
/// # Errors
/// When a tool or the compiler says so; its own words are on the screen then.
pub fn build(tools: &Tools, kind: Kind) -> Result<PathBuf, Trouble> {
    let begun = Instant::now();
    run::show(&mut run::cargo(&["fetch", "--quiet"]))?;
    let mut trunk = run::command("trunk", &["build"]);
    trunk.args((kind == Kind::Release).then_some("--release"));
    // The hook takes this very program instead of asking cargo to build it; unless
    // cargo has just put a newer one in its place.
    if let Some(this) = env::current_exe().ok().filter(|file| file.is_file()) {
        trunk.env("QUAYWRIGHT_XTASK", this);
    }
    // Trunk refuses the usual NO_COLOR=1, and its own backtrace hides the compiler's words.
    trunk.env_remove("NO_COLOR").env("RUST_BACKTRACE", "0");
    run::show(tools.put_on(&mut trunk))?;
    say::line(format!("built in {}", say::length(begun.elapsed())));
    Ok(folder())
}
