//! `cargo xtask watch`: the daily loop. Builds at each change and serves the last
//! build that worked.
//!
//! Polls the times of the files: no watching library, no limits of the system.

use crate::dist::{self, Kind};
use crate::serve;
use crate::tools::{For, Tools};
use crate::{Trouble, run, say};
use std::fs;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, SystemTime};

const WATCHED: [&str; 6] = ["core/src", "app/pocket", "public", "Cargo.toml", "Cargo.lock", "Trunk.toml"];
const PAUSE: Duration = Duration::from_millis(500);

/// Builds and serves until the program is ended.
///
/// # Errors
/// When the tools, the first build or the port say so. Later builds may fail.
pub fn watch(port: u16) -> Result<(), Trouble> {
    let tools = Tools::ready(For::Building)?;
    let mut seen = newest();
    let dist = dist::build(&tools, Kind::Daily)?;
    let server = serve::start(&dist, port)?;
    loop {
        say::line(format!("serving {}; an open page is offered the new build as any update is", server.address()));
        while newest() == seen {
            thread::sleep(PAUSE);
        }
        seen = newest();
        if let Err(trouble) = dist::build(&tools, Kind::Daily) {
            say::line(format!("{trouble}; the build before it is served on"));
        }
    }
}

/// Returns the time of the latest change to what is watched, and how many files there are.
fn newest() -> (Option<SystemTime>, usize) {
    let mut paths: Vec<PathBuf> = WATCHED.iter().map(|name| run::root().join(name)).collect();
    let mut newest = (None, 0);
    while let Some(path) = paths.pop() {
        if path.is_dir() {
            paths.extend(inside(&path));
        } else {
            let changed = fs::metadata(&path).and_then(|it| it.modified()).ok();
            newest = (newest.0.max(changed), newest.1 + 1);
        }
    }
    newest
}

fn inside(folder: &Path) -> Vec<PathBuf> {
    fs::read_dir(folder).map(|read| read.flatten().map(|entry| entry.path()).collect()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::newest;

    #[test]
    fn the_sources_are_seen() {
        let (time, files) = newest();
        assert!(time.is_some() && files > 10);
        assert_eq!(newest().1, files);
    }
}
