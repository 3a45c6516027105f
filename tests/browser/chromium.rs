//! One Chromium process group: started, spoken to, killed.
//!
//! Rule: a test owns its browser and its profile. The browser is the leader of
//! its own process group, so that one signal takes browser, renderers and
//! helpers at once, as a phone that runs out of memory or battery does.
//! Foreign host names are made unresolvable: a test cannot reach another origin.

use std::fs::{self, File};
use std::os::unix::fs::MetadataExt;
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::rc::Rc;
use std::thread::sleep;
use std::time::{Duration, Instant};
use std::{env, io};

use serde_json::{Value, json};

use crate::failure::{Failure, must};
use crate::page::{Page, Screen};
use crate::seen::watch;
use crate::wire::Wire;

const START: Duration = Duration::from_secs(60);
const END: Duration = Duration::from_secs(20);
const POLL: Duration = Duration::from_millis(20);

/// What every browser here is started with: no sandbox quarrels, no calls home.
const FLAGS: [&str; 13] = [
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
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
];

/// A running browser.
pub struct Chromium {
    child: Option<Child>,
    wire: Rc<Wire>,
    screen: Screen,
    downloads: PathBuf,
}

impl Chromium {
    /// Starts a browser on a profile folder, new or used, and waits until it can be spoken to.
    #[track_caller]
    pub fn start(profile: &Path, screen: Screen) -> Self {
        must(Self::try_start(profile, screen))
    }

    fn try_start(profile: &Path, screen: Screen) -> Result<Self, Failure> {
        forget_last_run(profile)?;
        let mut child = launch(profile, screen)?;
        let wire = match find_port(profile, &mut child).and_then(|(port, path)| Wire::open(port, &path)) {
            Ok(wire) => wire,
            Err(failure) => {
                end_group(&mut child)?;
                return Err(failure);
            }
        };
        let downloads = profile.join("downloads");
        let browser = Self { child: Some(child), wire, screen, downloads };
        browser.call("Target.setAutoAttach", watch(&["service_worker", "shared_worker"]))?;
        browser.call(
            "Browser.setDownloadBehavior",
            json!({ "behavior": "allow", "downloadPath": browser.downloads, "eventsEnabled": true }),
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
    #[track_caller]
    pub fn wait_download(&self, name_contains: &str) -> PathBuf {
        let patience = Duration::from_secs(20);
        let finished = must(self.wire.listen(patience, |seen| {
            let mut all = seen.downloads.values_mut();
            let found = all.find(|it| it.state == "completed" && !it.taken && it.name.contains(name_contains))?;
            found.taken = true;
            Some(found.name.clone())
        }));
        let known = must(self.wire.look(|seen| format!("{:?}", seen.downloads.values())));
        match finished {
            Some(name) => self.downloads.join(name),
            None => panic!("no finished download named …{name_contains}… within {patience:?}; seen: {known}"),
        }
    }

    /// Kills browser, renderers and helpers at once, without warning.
    #[track_caller]
    pub fn kill(mut self) {
        must(self.end());
    }

    /// Kills the processes behind the pages; the browser stays.
    #[track_caller]
    pub fn kill_renderers(&self) {
        let renderers: Vec<u32> = members(self.group()).into_iter().filter(|&pid| is_renderer(pid)).collect();
        assert!(!renderers.is_empty(), "there is no renderer to kill: open a page first");
        let pids: Vec<String> = renderers.iter().map(u32::to_string).collect();
        must(signal(&pids.join(" ")));
    }

    /// Closes the browser as a person does, and waits until its files are at rest.
    #[track_caller]
    pub fn close(mut self) {
        // The answer may be cut off by the very closing; what counts is the end of the process.
        let answer = self.call("Browser.close", json!({}));
        let Some(mut child) = self.child.take() else { return };
        let group = child.id();
        let gone = wait_until(END, || matches!(child.try_wait(), Ok(Some(_))) && members(group).is_empty());
        if !gone {
            must(end_group(&mut child));
            panic!("Chromium did not close within {END:?} (it said {answer:?})");
        }
    }

    fn call(&self, method: &str, params: Value) -> Result<Value, Failure> {
        self.wire.call(None, method, params)
    }

    fn group(&self) -> u32 {
        self.child.as_ref().map_or(0, Child::id)
    }

    fn end(&mut self) -> Result<(), Failure> {
        match self.child.take() {
            Some(mut child) => end_group(&mut child),
            None => Ok(()),
        }
    }
}

impl Drop for Chromium {
    fn drop(&mut self) {
        // A test that fails must leave no browser behind; its own message matters more than ours.
        let _ = self.end();
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

fn launch(profile: &Path, screen: Screen) -> Result<Child, Failure> {
    let words = File::create(profile.join("stderr.txt")).map_err(Failure::machine("cannot write in the profile"))?;
    let program = env::var_os("QUAYWRIGHT_CHROMIUM").unwrap_or_else(|| "chromium".into());
    let mut command = Command::new(&program);
    command
        .args(FLAGS)
        .arg(format!("--user-data-dir={}", profile.display()))
        .arg(format!("--window-size={},{}", screen.width, screen.height))
        .process_group(0)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(words);
    if fs::metadata("/proc/self").is_ok_and(|it| it.uid() == 0) {
        command.arg("--no-sandbox"); // Chromium refuses to start its sandbox as root
    }
    command.arg("about:blank").spawn().map_err(Failure::machine(format!(
        "cannot start {}: install Chromium or name it in QUAYWRIGHT_CHROMIUM",
        program.display()
    )))
}

/// Returns port and path of the DevTools socket once Chromium has written them down.
fn find_port(profile: &Path, child: &mut Child) -> Result<(u16, String), Failure> {
    let mut found = None;
    wait_until(START, || {
        let text = fs::read_to_string(profile.join("DevToolsActivePort")).unwrap_or_default();
        found = text.split_once('\n').and_then(|(port, path)| Some((port.parse().ok()?, path.trim().to_owned())));
        found.is_some() || matches!(child.try_wait(), Ok(Some(_)))
    });
    found.ok_or_else(|| {
        let words = fs::read_to_string(profile.join("stderr.txt")).unwrap_or_default();
        Failure::Gone(format!("it never opened its DevTools port; it said: {words}"))
    })
}

fn end_group(child: &mut Child) -> Result<(), Failure> {
    let group = child.id();
    signal(&format!("-{group}"))?;
    child.wait().map_err(Failure::machine("cannot wait for the killed browser"))?;
    if wait_until(END, || members(group).is_empty()) {
        return Ok(());
    }
    Err(Failure::Late { what: format!("end of the killed process group {group}"), waited: END })
}

/// Sends SIGKILL with the shell's own `kill`, which every system has.
fn signal(targets: &str) -> Result<(), Failure> {
    Command::new("sh")
        .args(["-c", &format!("kill -KILL {targets}")])
        .stderr(Stdio::null()) // who is already dead need not be killed
        .status()
        .map(|_| ())
        .map_err(Failure::machine("cannot run sh to send a signal"))
}

/// Returns the living processes of a group.
fn members(group: u32) -> Vec<u32> {
    let all = fs::read_dir("/proc").into_iter().flatten().flatten();
    all.filter_map(|entry| entry.file_name().to_str()?.parse().ok())
        .filter(|&pid: &u32| {
            let stat = fs::read_to_string(format!("/proc/{pid}/stat")).unwrap_or_default();
            // After the name in brackets: state, parent, group.
            let fields = stat.rsplit_once(')').map_or("", |(_, rest)| rest);
            let mut fields = fields.split_whitespace();
            let state = fields.next();
            !matches!(state, None | Some("Z" | "X")) && fields.nth(1).is_some_and(|it| it == group.to_string())
        })
        .collect()
}

fn is_renderer(pid: u32) -> bool {
    let line = fs::read(format!("/proc/{pid}/cmdline")).unwrap_or_default();
    String::from_utf8_lossy(&line).contains("--type=renderer")
}

fn wait_until(patience: Duration, mut done: impl FnMut() -> bool) -> bool {
    let deadline = Instant::now() + patience;
    loop {
        if done() {
            return true;
        }
        if Instant::now() >= deadline {
            return false;
        }
        sleep(POLL);
    }
}
