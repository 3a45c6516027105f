//! `cargo xtask serve`: from a fresh clone to the app in a browser.

use crate::dist::{self, Kind};
use crate::server::Server;
use crate::tools::{For, Tools};
use crate::{Trouble, demo, say};
use std::io;
use std::path::Path;
use std::thread;

/// The port that is tried first.
pub const PORT: u16 = 8330;

/// How to serve.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Serve {
    /// Opens a made-up workbook instead of an empty one.
    pub demo: bool,
    /// The port to try first; the next free one is taken.
    pub port: u16,
}

/// Builds the PWA and serves it until the program is ended.
///
/// # Errors
/// When the tools, the build or the port say so.
pub fn serve(options: Serve) -> Result<(), Trouble> {
    let tools = Tools::ready(For::Building)?;
    say::heading("building the workbook (the first time takes a few minutes)");
    let dist = dist::build(&tools, Kind::Release)?;
    if options.demo {
        write_demo(&dist)?;
    }
    let server = start(&dist, options.port)?;
    say::heading("serving");
    say::line(format!("open   {}", address(&server, options.demo)));
    say::line("to try it as on a phone, narrow the window; it works on when this is ended");
    say::line("end    Ctrl+C");
    forever()
}

/// Starts the server at `port` or the next free one.
///
/// # Errors
/// When none of the next hundred ports is free.
pub fn start(root: &Path, port: u16) -> Result<Server, Trouble> {
    let mut last = None;
    for port in port..=port.saturating_add(100) {
        match Server::start(root, port) {
            Ok(server) => return Ok(server),
            Err(taken) if taken.kind() == io::ErrorKind::AddrInUse => last = Some(taken),
            Err(other) => return Err(Trouble::File { path: root.to_owned(), source: other }),
        }
    }
    Err(Trouble::Other(format!("no free port from {port} on ({last:?}); choose one with --port")))
}

/// Does nothing more: the server's threads do the work.
pub(crate) fn forever() -> ! {
    loop {
        thread::park();
    }
}

/// Puts the made-up workbook beside the build, where `?demo` looks for it.
fn write_demo(dist: &Path) -> Result<(), Trouble> {
    demo::write(dist, demo::now()?).map(drop)
}

fn address(server: &Server, demo: bool) -> String {
    let ending = if demo { "/?demo" } else { "/" };
    server.address() + ending
}

#[cfg(test)]
mod tests {
    use super::{address, start};
    use tempfile::TempDir;

    #[test]
    fn a_taken_port_gives_the_next_one() {
        let folder = TempDir::new().unwrap();
        let first = start(folder.path(), 0).unwrap();
        let second = start(folder.path(), first.port()).unwrap();
        assert!(second.port() > first.port());
        assert!(address(&second, true).ends_with("/?demo"));
    }

    #[test]
    fn a_missing_folder_is_named() {
        let trouble = start("/no/such/build".as_ref(), 0).unwrap_err();
        assert!(trouble.to_string().starts_with("/no/such/build: "), "{trouble}");
    }
}
