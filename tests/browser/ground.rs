//! The ground that every test stands on: a built app, a server, a profile, a browser.
//!
//! The port stays the same for the whole of a test, over restarts of server and
//! browser, because the port is part of the origin and the origin owns the data.

use std::path::{Path, PathBuf};
use std::time::Duration;
use std::{env, fs};

use quaywright_xtask::server::Server;
use tempfile::TempDir;

use crate::chromium::Chromium;
use crate::damage::Stores;
use crate::failure::{Failure, must};
use crate::page::{Page, Screen};

/// One test's world. Dropping it ends the browser and the server and removes the profile.
pub struct World {
    chromium: Option<Chromium>,
    server: Option<Server>,
    root: PathBuf,
    port: u16,
    screen: Screen,
    profile: TempDir,
}

impl World {
    /// Serves the built app to a phone.
    #[track_caller]
    pub fn of_app() -> Self {
        Self::of(&dist(), Screen::PHONE)
    }

    /// Serves a folder to a screen.
    #[track_caller]
    pub fn of(root: &Path, screen: Screen) -> Self {
        let profile = must(tempfile::tempdir().map_err(Failure::machine("cannot make a profile folder")));
        let server = serve(root, 0);
        let port = server.port();
        let chromium = Some(Chromium::start(profile.path(), screen));
        Self { chromium, server: Some(server), root: root.to_owned(), port, screen, profile }
    }

    /// Returns the origin with a slash, such as `http://127.0.0.1:8080/`.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}/", self.port)
    }

    /// Opens the start page.
    #[track_caller]
    pub fn open(&self) -> Page {
        self.browser().open(&self.address())
    }

    /// Tells whether the browser is running, or was when it was last looked at.
    pub fn is_running(&self) -> bool {
        self.chromium.is_some()
    }

    /// Returns the running browser.
    #[track_caller]
    pub fn browser(&self) -> &Chromium {
        self.chromium.as_ref().expect("the browser is not running: call start_browser first")
    }

    /// Returns the running server.
    #[track_caller]
    pub fn server(&self) -> &Server {
        self.server.as_ref().expect("the server is stopped: call start_server first")
    }

    /// Returns where the origin's data lie.
    pub fn stores(&self) -> Stores {
        Stores::of(self.profile.path(), self.port)
    }

    /// Returns a folder for the files that a person picks; it need not exist yet.
    pub fn desk_drawer(&self) -> PathBuf {
        self.profile.path().join("desk-drawer")
    }

    /// Lets the browser be killed without warning after this time, whatever it is at by then.
    #[track_caller]
    pub fn kill_browser_after(&self, wait: Duration) {
        self.browser().kill_after(wait);
    }

    /// Kills the browser without warning.
    #[track_caller]
    pub fn kill_browser(&mut self) {
        self.chromium.take().expect("the browser is not running").kill();
    }

    /// Closes the browser in good order; its files are at rest afterwards.
    #[track_caller]
    pub fn close_browser(&mut self) {
        self.chromium.take().expect("the browser is not running").close();
    }

    /// Starts the browser again on the same profile.
    #[track_caller]
    pub fn start_browser(&mut self) {
        assert!(self.chromium.is_none(), "the browser is running already");
        self.chromium = Some(Chromium::start(self.profile.path(), self.screen));
    }

    /// Closes the browser in good order and starts it again on the same profile.
    #[track_caller]
    pub fn restart_browser(&mut self) {
        self.close_browser();
        self.start_browser();
    }

    /// Stops the server: the plainest form of "no network".
    #[track_caller]
    pub fn stop_server(&mut self) {
        self.server.take().expect("the server is stopped already").stop();
    }

    /// Starts the server again at the same address.
    #[track_caller]
    pub fn start_server(&mut self) {
        assert!(self.server.is_none(), "the server is running already");
        self.server = Some(serve(&self.root, self.port));
    }
}

/// Returns the folder of the built app.
#[track_caller]
pub fn dist() -> PathBuf {
    let named = env::var_os("QUAYWRIGHT_DIST").map(PathBuf::from);
    let folder = named.unwrap_or_else(|| Path::new(env!("CARGO_MANIFEST_DIR")).join("../dist"));
    assert!(
        folder.join("index.html").is_file(),
        "there is no built app in {}: run `cargo xtask test`, or name its folder in QUAYWRIGHT_DIST",
        folder.display()
    );
    must(fs::canonicalize(&folder).map_err(Failure::machine("cannot find the built app")))
}

#[track_caller]
fn serve(root: &Path, port: u16) -> Server {
    must(Server::start(root, port).map_err(Failure::machine(format!("cannot serve on port {port}"))))
}
