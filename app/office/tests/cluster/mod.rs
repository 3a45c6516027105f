//! A PostgreSQL server of a test's own: made in a folder that vanishes, reached by
//! a socket in it, and gone with the test, whatever becomes of that.
//!
//! The server refuses to run as root, so there it runs as Debian's user `postgres`.
#![allow(dead_code, reason = "each test program uses its part")]
#![allow(clippy::expect_used, clippy::panic, reason = "a test stops where it cannot go on")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::Duration;

const MISSING: &str = "PostgreSQL is not here: sudo apt-get install postgresql";
const OWNER: &str = "postgres";

/// The server; it ends when this is dropped.
pub(crate) struct Cluster {
    folder: tempfile::TempDir,
    running: Child,
}

impl Cluster {
    /// Makes a server and waits until it answers.
    pub(crate) fn start() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let at = |name: &str| folder.path().join(name);
        if is_root() {
            ran(Command::new("chown").arg(OWNER).arg(folder.path()));
        }
        ran(owned(&program("initdb"))
            .args(["--no-sync", "--auth=trust", "--username=office", "--encoding=UTF8", "--locale=C", "--pgdata"])
            .arg(at("data")));
        let log = fs::File::create(at("log")).expect("a file");
        let mut server = owned(&program("postgres"));
        server.arg("-D").arg(at("data")).arg("-k").arg(folder.path());
        // Nobody outside reaches it, and what it holds need not outlive the machine.
        server.args(["-c", "listen_addresses=", "-c", "fsync=off", "-c", "max_connections=20"]);
        let running = server.stdout(Stdio::null()).stderr(log).spawn().expect("the server starts");
        let mut cluster = Self { folder, running };
        for _ in 0..300 {
            let socket = cluster.folder.path().join(".s.PGSQL.5432");
            let ended = cluster.running.try_wait().expect("its state");
            let log = || fs::read_to_string(cluster.folder.path().join("log")).unwrap_or_default();
            assert!(ended.is_none(), "the server ended: {}", log());
            if socket.exists() && log().contains("ready to accept connections") {
                return cluster;
            }
            thread::sleep(Duration::from_millis(50));
        }
        panic!("the server does not answer");
    }

    /// Returns the address of a new, empty database.
    pub(crate) fn database(&self, name: &str) -> String {
        let folder = self.folder.path().to_str().expect("a plain path");
        let mut client = postgres::Client::connect(&address(folder, "postgres"), postgres::NoTls).expect("it answers");
        client.batch_execute(&format!("CREATE DATABASE {name}")).expect("a database");
        address(folder, name)
    }
}

impl Drop for Cluster {
    fn drop(&mut self) {
        // A server that is asked to end closes what it has; killed, it would leave memory behind.
        let _ = Command::new("kill").args(["-INT", &self.running.id().to_string()]).status();
        let _ = self.running.wait();
    }
}

fn address(folder: &str, database: &str) -> String {
    format!("postgres://office@{}/{database}", folder.replace('/', "%2F"))
}

fn is_root() -> bool {
    let user = Command::new("id").arg("-u").output().expect("`id` runs");
    user.stdout == b"0\n"
}

/// Returns a command that runs as a user who may run the server, and ends when this program does.
fn owned(program: &Path) -> Command {
    let mut command = Command::new("setpriv");
    if is_root() {
        command.args(["--reuid", OWNER, "--regid", OWNER, "--clear-groups"]);
    }
    command.args(["--pdeathsig", "INT"]).arg(program);
    // Where the test runs, the other user may not look.
    command.current_dir("/");
    command
}

fn ran(command: &mut Command) {
    let output = command.output().unwrap_or_else(|why| panic!("{MISSING} ({why})"));
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

/// Finds a program of the server, of the newest version where there are several.
fn program(name: &str) -> PathBuf {
    let versions = fs::read_dir("/usr/lib/postgresql").into_iter().flatten().flatten();
    let found = versions.map(|version| version.path().join("bin").join(name)).filter(|path| path.exists()).max();
    found.unwrap_or_else(|| panic!("{MISSING}"))
}
