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

/// All of which a build is made. The tasks are not in it: a build is made by those that run.
const WATCHED: [&str; 11] = [
    "core/src",
    "app/pocket",
    "app/papers",
    "app/desk",
    "app/no-streams",
    "app/plain-fonts",
    "app/no-font-writer",
    "public",
    "Cargo.toml",
    "Cargo.lock",
    "Trunk.toml",
];
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
    use super::{WATCHED, newest};
    use crate::run::root;
    use std::fs;

    /// The folders of the workspace that the build links, as the page and the manifest name them.
    #[test]
    fn whatever_goes_into_a_build_is_watched() {
        let page = fs::read_to_string(root().join("app/pocket/index.html")).unwrap();
        let modules = page.split("href=\"../").skip(1).filter_map(|rest| rest.split_once("/Cargo.toml"));
        let modules: Vec<String> = modules.map(|(name, _)| format!("app/{name}")).collect();
        assert!(modules.len() >= 2, "{modules:?}");
        let manifest = fs::read_to_string(root().join("Cargo.toml")).unwrap();
        let (_, patches) = manifest.split_once("[patch.crates-io]").unwrap();
        let patches = patches.lines().skip(1).take_while(|line| !line.starts_with('['));
        let patches: Vec<String> =
            patches.filter_map(|line| Some(line.split_once("path = \"")?.1.split_once('"')?.0.to_owned())).collect();
        assert!(patches.len() >= 3, "{patches:?}");
        for folder in modules.iter().chain(&patches) {
            assert!(WATCHED.contains(&folder.as_str()), "a change in {folder} is not noticed");
        }
        assert!(WATCHED.iter().all(|name| root().join(name).exists()));
    }

    #[test]
    fn the_sources_are_seen() {
        let (time, files) = newest();
        assert!(time.is_some() && files > 10);
        assert_eq!(newest().1, files);
    }
}
