//! A small web server for one folder on this machine.
//!
//! It serves the built PWA to a person who tries it, and to the browser tests,
//! which need more than a common server gives: to know what was asked for, to
//! answer wrongly on purpose, to change the build under the same address, and to
//! be gone at once, with every open connection, when it is stopped. It listens
//! on 127.0.0.1 only and answers GET and HEAD only; no path leads out of the
//! folder.
//!
//! A path that is no file and whose last part bears no extension is answered
//! with `index.html`: until the service worker is there, an address inside the
//! app has to open the app.

mod request;

use crate::page;
use request::{Request, read_request};
use std::collections::BTreeMap;
use std::io::{self, Write};
use std::net::{Ipv4Addr, Shutdown, SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread::{self, JoinHandle};
use std::time::Duration;
use std::{fs, mem};

/// A way to answer wrongly, to see what the asker makes of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mishap {
    /// Answers with this status and no file.
    Status(u16),
    /// Announces the whole file and ends after half of it.
    Truncated,
    /// Sends the file with one byte changed.
    Altered,
    /// Answers rightly, but only after this time.
    Slow(Duration),
}

/// A running server. Dropping it stops it.
#[derive(Debug)]
pub struct Server {
    address: SocketAddr,
    shared: Arc<Shared>,
    listening: Option<JoinHandle<()>>,
}

impl Server {
    /// Serves `root` on 127.0.0.1; port 0 takes any free port.
    ///
    /// # Errors
    /// When the folder does not exist or the port is taken.
    pub fn start(root: &Path, port: u16) -> io::Result<Self> {
        let root = root.canonicalize()?;
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
        let address = listener.local_addr()?;
        let shared = Arc::new(Shared { state: Mutex::new(State { root, ..State::default() }) });
        let for_thread = Arc::clone(&shared);
        let listening = thread::spawn(move || listen(&listener, &for_thread));
        Ok(Self { address, shared, listening: Some(listening) })
    }

    /// Returns the address of the root without a slash at its end, as `http://127.0.0.1:1234`.
    pub fn address(&self) -> String {
        format!("http://{}", self.address)
    }

    /// Returns the port that it listens on.
    pub fn port(&self) -> u16 {
        self.address.port()
    }

    /// Returns the paths asked for so far, in order, without their queries.
    pub fn requests(&self) -> Vec<String> {
        self.shared.state().requests.clone()
    }

    /// Begins a new list of requests.
    pub fn forget_requests(&self) {
        self.shared.state().requests.clear();
    }

    /// Lets every answer for `path` go wrong until [`Server::mend`]; `/` stands for the page.
    pub fn mishap(&self, path: &str, mishap: Mishap) {
        let path = format!("/{}", path.trim_start_matches('/'));
        self.shared.state().mishaps.insert(path, mishap);
    }

    /// Answers rightly again.
    pub fn mend(&self) {
        self.shared.state().mishaps.clear();
    }

    /// Serves another folder from the next request on, under the same address.
    ///
    /// # Errors
    /// When the folder does not exist.
    pub fn set_root(&self, root: &Path) -> io::Result<()> {
        let root = root.canonicalize()?;
        self.shared.state().root = root;
        Ok(())
    }

    /// Stops: when this returns, the port is closed and every connection is cut.
    pub fn stop(mut self) {
        self.shut();
    }

    fn shut(&mut self) {
        let Some(listening) = self.listening.take() else { return };
        let open = {
            let mut state = self.shared.state();
            state.stopped = true;
            mem::take(&mut state.open)
        };
        for connection in open.values() {
            connection.shutdown(Shutdown::Both).ok();
        }
        // Wakes the thread that waits for a connection; it sees that it is over.
        TcpStream::connect(self.address).ok();
        listening.join().ok();
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.shut();
    }
}

/// What the threads share.
#[derive(Debug)]
struct Shared {
    state: Mutex<State>,
}

#[derive(Debug, Default)]
struct State {
    root: PathBuf,
    requests: Vec<String>,
    mishaps: BTreeMap<String, Mishap>,
    /// The open connections, so that stopping can cut them.
    open: BTreeMap<u64, TcpStream>,
    next: u64,
    stopped: bool,
}

impl Shared {
    /// The state is plain lists: what a panicking thread left is still right.
    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Remembers a connection; none when the server is stopped.
    fn open(&self, stream: &TcpStream) -> Option<u64> {
        let mut state = self.state();
        let id = state.next;
        if state.stopped {
            return None;
        }
        state.next += 1;
        state.open.insert(id, stream.try_clone().ok()?);
        Some(id)
    }

    fn close(&self, id: u64) {
        self.state().open.remove(&id);
    }
}

fn listen(listener: &TcpListener, shared: &Arc<Shared>) {
    for stream in listener.incoming() {
        if shared.state().stopped {
            return;
        }
        let Ok(stream) = stream else { continue };
        let Some(id) = shared.open(&stream) else { return };
        let shared = Arc::clone(shared);
        thread::spawn(move || {
            // A browser that went away is no fault of the server.
            converse(&stream, &shared).ok();
            stream.shutdown(Shutdown::Both).ok();
            shared.close(id);
        });
    }
}

/// Answers the one request of a connection.
fn converse(stream: &TcpStream, shared: &Shared) -> io::Result<()> {
    stream.set_read_timeout(Some(Duration::from_secs(30)))?;
    stream.set_write_timeout(Some(Duration::from_secs(30)))?;
    let Some(request) = read_request(stream)? else { return Ok(()) };
    let (root, mishap) = {
        let mut state = shared.state();
        state.requests.push(request.path.clone());
        (state.root.clone(), state.mishaps.get(&request.path).copied())
    };
    if let Some(Mishap::Slow(time)) = mishap {
        thread::sleep(time);
    }
    let mut answer = answer(&root, &request);
    match mishap {
        Some(Mishap::Status(status)) => answer = Answer::plain(status, "a mishap, on purpose"),
        Some(Mishap::Altered) => alter(&mut answer.body),
        _ => {}
    }
    let sent = match mishap {
        Some(Mishap::Truncated) => answer.body.len() / 2,
        _ if request.head_only => 0,
        _ => answer.body.len(),
    };
    let mut out = stream;
    out.write_all(answer.head().as_bytes())?;
    out.write_all(&answer.body[..sent])?;
    out.flush()
}

struct Answer {
    status: u16,
    kind: &'static str,
    policy: Option<String>,
    body: Vec<u8>,
}

impl Answer {
    fn plain(status: u16, text: &str) -> Self {
        Self { status, kind: "text/plain; charset=utf-8", policy: None, body: text.as_bytes().to_vec() }
    }

    fn head(&self) -> String {
        let mut head = format!(
            "HTTP/1.1 {} {}\r\nContent-Type: {}\r\nContent-Length: {}\r\nCache-Control: no-cache\r\n\
             X-Content-Type-Options: nosniff\r\nConnection: close\r\n",
            self.status,
            phrase(self.status),
            self.kind,
            self.body.len(),
        );
        if let Some(policy) = &self.policy {
            // What a page cannot say of itself is added here.
            head.push_str(&format!("Content-Security-Policy: {policy}; frame-ancestors 'none'\r\n"));
        }
        head + "\r\n"
    }
}

fn answer(root: &Path, request: &Request) -> Answer {
    if !request.allowed {
        return Answer::plain(405, "only GET and HEAD are answered");
    }
    let Some(file) = file(root, &request.path) else { return Answer::plain(404, "no such file") };
    match fs::read(&file) {
        Ok(body) => Answer { status: 200, kind: kind(&file), policy: policy(root), body },
        Err(_) => Answer::plain(404, "no such file"),
    }
}

/// Returns the file for a path, or the page for an address inside the app.
fn file(root: &Path, path: &str) -> Option<PathBuf> {
    let name = path.strip_prefix('/')?;
    let inside = |part: &str| !part.is_empty() && part != "." && part != ".." && !part.contains(['\\', '\0']);
    if !name.is_empty() && !name.trim_end_matches('/').split('/').all(inside) {
        return None;
    }
    // A link in the folder may point out of it; what it leads to is not served.
    let found = root.join(name).canonicalize().ok();
    match found.filter(|file| file.is_file()) {
        Some(file) => file.starts_with(root).then_some(file),
        None if name.rsplit('/').next().is_some_and(|last| last.contains('.')) => None,
        None => Some(root.join("index.html")),
    }
}

/// Returns the policy of the page, for every answer: workers take theirs from here.
fn policy(root: &Path) -> Option<String> {
    fs::read_to_string(root.join("index.html")).ok().and_then(|page| page::policy(&page))
}

fn alter(body: &mut [u8]) {
    let middle = body.len() / 2;
    if let Some(byte) = body.get_mut(middle) {
        *byte ^= 1;
    }
}

/// Returns the media type that a browser needs to accept the file for what it is.
fn kind(file: &Path) -> &'static str {
    match file.extension().and_then(|it| it.to_str()).unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "js" | "mjs" => "text/javascript; charset=utf-8",
        "json" => "application/json",
        "jsonl" => "application/jsonl; charset=utf-8",
        "wasm" => "application/wasm",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "jpg" | "jpeg" => "image/jpeg",
        "webp" => "image/webp",
        "ico" => "image/x-icon",
        "pdf" => "application/pdf",
        "csv" => "text/csv; charset=utf-8",
        "txt" | "md" => "text/plain; charset=utf-8",
        "ttf" => "font/ttf",
        "woff2" => "font/woff2",
        "zip" => "application/zip",
        _ => "application/octet-stream",
    }
}

fn phrase(status: u16) -> &'static str {
    match status {
        200 => "OK",
        404 => "Not Found",
        405 => "Method Not Allowed",
        500 => "Internal Server Error",
        503 => "Service Unavailable",
        _ => "As Asked",
    }
}

#[cfg(test)]
mod tests;
