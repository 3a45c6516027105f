//! One Chromium process group: started, spoken to, killed.
//!
//! Rule: a test owns its browser and its profile. Killing takes browser,
//! renderers and all the rest with one signal, as a flat battery does; closing waits
//! until the files are at rest.
//! Foreign host names are made unresolvable: a test cannot reach another origin.

use std::fs::{self, File};
use std::os::unix::fs::MetadataExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::rc::Rc;
use std::time::Duration;
use std::{env, io};

use serde_json::{Value, json};

use crate::failure::{Failure, must};
use crate::group::{Group, wait_until};
use crate::page::{Page, Screen};
use crate::seen::watch;
use crate::turns::Slowed;
use crate::wire::Wire;

const START: Duration = Duration::from_secs(60);

/// What the command line of a process behind a page says.
const RENDERER: &str = "--type=renderer";

/// What every browser here is started with: no sandbox quarrels, no calls home.
const FLAGS: [&str; 15] = [
    "--headless=new",
    "--remote-debugging-port=0",
    "--disable-gpu",
    "--disable-quic",
    "--disable-sync",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-breakpad",
    "--no-first-run",
    "--no-default-browser-check",
    "--password-store=basic",
    "--lang=en-US",
    // A microphone that beeps, and nobody who has to be asked for it.
    "--use-fake-device-for-media-stream",
    "--use-fake-ui-for-media-stream",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
];

/// A running browser.
pub struct Chromium {
    group: Group,
    wire: Rc<Wire>,
    screen: Screen,
}

impl Chromium {
    /// Starts a browser on a profile folder, new or used, and waits until it can be spoken to.
    #[track_caller]
    pub fn start(profile: &Path, screen: Screen) -> Self {
        must(Self::try_start(profile, screen))
    }

    fn try_start(profile: &Path, screen: Screen) -> Result<Self, Failure> {
        forget_last_run(profile)?;
        let mut group = launch(profile, screen)?;
        let (port, path) = find_port(profile, &mut group)?;
        let wire = Wire::open(port, &path)?;
        let browser = Self { group, wire, screen };
        browser.call("Target.setAutoAttach", watch(&["service_worker", "shared_worker"]))?;
        browser.call(
            "Browser.setDownloadBehavior",
            json!({ "behavior": "allow", "downloadPath": profile.join("downloads"), "eventsEnabled": true }),
        )?;
        Ok(browser)
    }

    /// Opens an address in a new page and waits until it has loaded.
    #[track_caller]
    pub fn open(&self, url: &str) -> Page {
        let page = self.blank();
        must(page.go(url));
        page
    }

    /// Opens an empty page, to set conditions before anything loads.
    #[track_caller]
    pub fn blank(&self) -> Page {
        must(Page::attach(Rc::clone(&self.wire), self.screen))
    }

    /// Waits for a finished download whose name contains these words, each one once.
    /// A later file of the same name takes the earlier one's place: read it first.
    #[track_caller]
    pub fn wait_download(&self, name_contains: &str) -> PathBuf {
        let patience = Duration::from_secs(20);
        let finished = must(self.wire.listen(patience, |seen| {
            let mut all = seen.downloads.values_mut();
            let found = all.find(|it| it.state == "completed" && !it.taken && it.name.contains(name_contains))?;
            found.taken = true;
            Some(PathBuf::from(&found.path))
        }));
        finished.unwrap_or_else(|| {
            let known = must(self.wire.look(|seen| format!("{:?}", seen.downloads.values())));
            panic!("no finished download named …{name_contains}… within {patience:?}; seen: {known}")
        })
    }

    /// Kills browser, renderers and all the rest at once, without warning.
    #[track_caller]
    pub fn kill(mut self) {
        must(self.group.kill());
    }

    /// Kills browser, renderers and all the rest at once after this time; meanwhile the test goes on.
    pub fn kill_after(&self, wait: Duration) {
        self.group.kill_after(wait);
    }

    /// Kills the processes behind the pages after this time; meanwhile the test goes on.
    pub fn kill_renderers_after(&self, wait: Duration) {
        self.group.kill_those_after(RENDERER, wait);
    }

    /// Returns the processes behind the pages.
    pub fn renderers(&self) -> Vec<u32> {
        self.group.those(RENDERER)
    }

    /// Lets the processes behind the pages run a `times`th part of the time, workers and all,
    /// until what is returned is dropped.
    #[track_caller]
    pub fn slow_renderers(&self, times: u32) -> Slowed {
        self.group.slow_those(RENDERER, times)
    }

    /// Kills the processes behind the pages; the browser stays.
    #[track_caller]
    pub fn kill_renderers(&self) {
        let killed = must(self.group.kill_those(RENDERER));
        assert!(killed > 0, "there is no renderer to kill: open a page first");
    }

    /// Closes the browser as a person does, and waits until its files are at rest.
    #[track_caller]
    pub fn close(mut self) {
        // The answer may be cut off by the very closing; what counts is the end of the process.
        let _ = self.call("Browser.close", json!({}));
        must(self.group.await_end());
    }

    fn call(&self, method: &str, params: Value) -> Result<Value, Failure> {
        self.wire.call(None, method, params)
    }
}

/// Removes what a killed browser leaves behind to keep a second one out.
fn forget_last_run(profile: &Path) -> Result<(), Failure> {
    for name in ["SingletonLock", "SingletonSocket", "SingletonCookie", "DevToolsActivePort"] {
        match fs::remove_file(profile.join(name)) {
            Err(e) if e.kind() != io::ErrorKind::NotFound => {
                return Err(Failure::machine(format!("cannot remove {name} of the last run"))(e));
            }
            _ => {}
        }
    }
    Ok(())
}

fn launch(profile: &Path, screen: Screen) -> Result<Group, Failure> {
    let words = File::create(profile.join("stderr.txt")).map_err(Failure::machine("cannot write in the profile"))?;
    let program = env::var_os("QUAYWRIGHT_CHROMIUM").unwrap_or_else(|| "chromium".into());
    let mut command = Command::new(program);
    command
        .args(FLAGS)
        .arg(format!("--user-data-dir={}", profile.display()))
        .arg(format!("--window-size={},{}", screen.width, screen.height))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(words);
    if fs::metadata("/proc/self").is_ok_and(|it| it.uid() == 0) {
        command.arg("--no-sandbox"); // Chromium refuses to start its sandbox as root
    }
    Group::start(command.arg("about:blank"))
        .map_err(Failure::machine("cannot start Chromium: install it, or name it in QUAYWRIGHT_CHROMIUM"))
}

/// Returns port and path of the DevTools socket once Chromium has written them down.
fn find_port(profile: &Path, group: &mut Group) -> Result<(u16, String), Failure> {
    let mut found = None;
    wait_until(START, || {
        let text = fs::read_to_string(profile.join("DevToolsActivePort")).unwrap_or_default();
        found = text.split_once('\n').and_then(|(port, path)| Some((port.parse().ok()?, path.trim().to_owned())));
        found.is_some() || group.leader_has_ended()
    });
    found.ok_or_else(|| {
        let words = fs::read_to_string(profile.join("stderr.txt")).unwrap_or_default();
        Failure::Gone(format!("it never opened its DevTools port; it said: {words}"))
    })
}
