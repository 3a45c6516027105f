//! A program and all its children, as one thing that can be killed at once.
//!
//! The program leads a process group of its own. A guard stands in the group: a
//! shell that waits for the end of its input, which comes when this test
//! program ends in whatever way, and then kills the group. So no browser
//! outlives its test, not even one that was interrupted.

use std::os::unix::process::CommandExt;
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};
use std::{fs, io};

use crate::failure::Failure;
use crate::turns::Slowed;

const END: Duration = Duration::from_secs(20);
const POLL: Duration = Duration::from_millis(20);

/// A running process group.
pub struct Group {
    leader: Child,
    guard: Child,
    ended: bool,
}

impl Group {
    /// Starts a program as the leader of a new group.
    pub fn start(command: &mut Command) -> io::Result<Self> {
        let mut leader = command.process_group(0).spawn()?;
        let group = i32::try_from(leader.id()).map_err(io::Error::other)?;
        let mut guard = Command::new("sh");
        guard.args(["-c", "read nothing; kill -KILL 0"]).process_group(group).stdin(Stdio::piped());
        match guard.spawn() {
            Ok(guard) => Ok(Self { leader, guard, ended: false }),
            Err(e) => {
                // Without a guard it may not run on; that it is dead already is as good.
                let _ = leader.kill();
                let _ = leader.wait();
                Err(e)
            }
        }
    }

    /// Returns true when the leader has ended by itself.
    pub fn leader_has_ended(&mut self) -> bool {
        matches!(self.leader.try_wait(), Ok(Some(_)))
    }

    /// Kills everything in the group at once, and waits until it is gone.
    pub fn kill(&mut self) -> Result<(), Failure> {
        if self.ended {
            return Ok(());
        }
        signal(&format!("-{}", self.leader.id()))?;
        self.leader.wait().map_err(Failure::machine("cannot wait for the killed leader"))?;
        self.guard.wait().map_err(Failure::machine("cannot wait for the killed guard"))?;
        self.ended = wait_until(END, || self.members().is_empty());
        if self.ended { Ok(()) } else { Err(self.late()) }
    }

    /// Kills everything in the group at once after this time, from beside.
    ///
    /// What is left of the group is still cleared away by [`Self::kill`].
    pub fn kill_after(&self, wait: Duration) {
        let group = format!("-{}", self.leader.id());
        std::thread::spawn(move || {
            sleep(wait);
            // A group that has ended meanwhile need not be killed.
            let _ = signal(&group);
        });
    }

    /// Waits until the group has ended by itself, as it was asked to; else kills it and says so.
    pub fn await_end(&mut self) -> Result<(), Failure> {
        let guard = self.guard.id();
        let alone = wait_until(END, || self.leader_has_ended() && self.members().iter().all(|&pid| pid == guard));
        self.kill()?;
        if alone { Ok(()) } else { Err(self.late()) }
    }

    /// Kills the members whose command line contains these words; returns how many there were.
    pub fn kill_those(&self, words: &str) -> Result<usize, Failure> {
        kill_those(self.leader.id(), words)
    }

    /// Kills the members whose command line contains these words after this time, from beside.
    pub fn kill_those_after(&self, words: &'static str, wait: Duration) {
        let group = self.leader.id();
        std::thread::spawn(move || {
            sleep(wait);
            // What could not be killed lives on, which the test then sees.
            let _ = kill_those(group, words);
        });
    }

    /// Returns the members whose command line contains these words.
    pub fn those(&self, words: &str) -> Vec<u32> {
        those(self.leader.id(), words)
    }

    /// Lets the members whose command line contains these words run a `times`th part of the time.
    pub fn slow_those(&self, words: &str, times: u32) -> Slowed {
        Slowed::begin(&self.those(words), times)
    }

    /// Returns the living processes of the group.
    fn members(&self) -> Vec<u32> {
        members(self.leader.id())
    }

    fn late(&self) -> Failure {
        Failure::Late { what: format!("end of process group {}", self.leader.id()), waited: END }
    }
}

impl Drop for Group {
    fn drop(&mut self) {
        // A test that fails has something more important to say than that its browser would not die.
        let _ = self.kill();
    }
}

fn those(group: u32, words: &str) -> Vec<u32> {
    let mut those = members(group);
    those.retain(|pid| {
        let line = fs::read(format!("/proc/{pid}/cmdline")).unwrap_or_default();
        String::from_utf8_lossy(&line).contains(words)
    });
    those
}

fn kill_those(group: u32, words: &str) -> Result<usize, Failure> {
    let pids: Vec<String> = those(group, words).iter().map(u32::to_string).collect();
    if !pids.is_empty() {
        signal(&pids.join(" "))?;
    }
    Ok(pids.len())
}

fn members(group: u32) -> Vec<u32> {
    let all = fs::read_dir("/proc").into_iter().flatten().flatten();
    let pids = all.filter_map(|entry| entry.file_name().to_str()?.parse().ok());
    pids.filter(|&pid| is_alive_in(pid, group)).collect()
}

fn is_alive_in(pid: u32, group: u32) -> bool {
    let stat = fs::read_to_string(format!("/proc/{pid}/stat")).unwrap_or_default();
    // After the name in brackets come state, parent and group.
    let mut fields = stat.rsplit_once(')').map_or("", |(_, rest)| rest).split_whitespace();
    let state = fields.next();
    !matches!(state, None | Some("Z" | "X")) && fields.nth(1).is_some_and(|it| it == group.to_string())
}

fn signal(targets: &str) -> Result<(), Failure> {
    send("KILL", targets)
}

/// Sends a signal with the shell's own `kill`, which every system has.
fn send(name: &str, targets: &str) -> Result<(), Failure> {
    Command::new("sh")
        .args(["-c", &format!("kill -{name} {targets}")])
        .stderr(Stdio::null()) // who is already dead need not be killed
        .status()
        .map(|_| ())
        .map_err(Failure::machine("cannot run sh to send a signal"))
}

/// Waits until something is so; returns whether it came true in time.
pub fn wait_until(patience: Duration, mut done: impl FnMut() -> bool) -> bool {
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
