//! The DevTools wire: one websocket to one Chromium, spoken raw.
//!
//! The generated protocol crates cost more to compile than all our tests; we
//! need some thirty commands, so they are written as JSON where they are used.
//! One thread, no callbacks: a call sends, then reads until its own answer
//! arrives, and hands every event on the way to [`Seen`].
//!
//! Invariant: no read blocks longer than a tick, so every call is bounded.

use std::cell::RefCell;
use std::io::ErrorKind;
use std::net::TcpStream;
use std::rc::Rc;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use tungstenite::{Error, Message, WebSocket, client};

use crate::failure::Failure;
use crate::seen::Seen;

/// How long one read of the socket may block.
const TICK: Duration = Duration::from_millis(20);
/// How long an answer may take: a slowed page that runs a whole audit is the worst.
const PATIENCE: Duration = Duration::from_secs(60);

/// An open connection to a browser.
pub struct Wire {
    line: RefCell<Line>,
}

struct Line {
    socket: WebSocket<TcpStream>,
    last_id: u64,
    seen: Seen,
}

impl Wire {
    /// Connects to the DevTools port on this machine.
    pub fn open(port: u16, path: &str) -> Result<Rc<Self>, Failure> {
        let gone = |error: &dyn std::fmt::Display| Failure::Gone(error.to_string());
        let stream = TcpStream::connect(("127.0.0.1", port)).map_err(|e| gone(&e))?;
        stream.set_read_timeout(Some(PATIENCE)).map_err(|e| gone(&e))?;
        let address = format!("ws://127.0.0.1:{port}{path}");
        let (socket, _) = client(address, stream).map_err(|e| gone(&e))?;
        socket.get_ref().set_read_timeout(Some(TICK)).map_err(|e| gone(&e))?;
        let line = Line { socket, last_id: 0, seen: Seen::default() };
        Ok(Rc::new(Self { line: RefCell::new(line) }))
    }

    /// Sends one command, to the browser itself or to one session, and returns its result.
    pub fn call(&self, session: Option<&str>, method: &str, params: Value) -> Result<Value, Failure> {
        let mut line = self.line.borrow_mut();
        let id = line.send(session, method, params)?;
        let deadline = Instant::now() + PATIENCE;
        while Instant::now() < deadline {
            if let Some(message) = line.receive()? {
                if message["id"] == id {
                    return result_of(method, message);
                }
                line.notice(&message)?;
            }
            // A dead renderer never answers; only a reload reaches past it.
            if method != "Page.reload" && session.is_some_and(|it| line.seen.has_crashed(it)) {
                return Err(Failure::Crashed(method.to_owned()));
            }
        }
        Err(Failure::Late { what: format!("answer to `{method}`"), waited: PATIENCE })
    }

    /// Listens until `done` finds what it looks for, or the time is over.
    pub fn listen<T>(
        &self,
        patience: Duration,
        mut done: impl FnMut(&mut Seen) -> Option<T>,
    ) -> Result<Option<T>, Failure> {
        let mut line = self.line.borrow_mut();
        let deadline = Instant::now() + patience;
        loop {
            if let Some(found) = done(&mut line.seen) {
                return Ok(Some(found));
            }
            if Instant::now() >= deadline {
                return Ok(None);
            }
            if let Some(message) = line.receive()? {
                line.notice(&message)?;
            }
        }
    }

    /// Looks at what was seen so far, after taking in what already waits in the socket.
    pub fn look<T>(&self, look: impl FnOnce(&mut Seen) -> T) -> Result<T, Failure> {
        let mut line = self.line.borrow_mut();
        let deadline = Instant::now() + PATIENCE;
        while let Some(message) = line.receive()? {
            line.notice(&message)?;
            if Instant::now() >= deadline {
                break;
            }
        }
        Ok(look(&mut line.seen))
    }
}

impl Line {
    fn send(&mut self, session: Option<&str>, method: &str, params: Value) -> Result<u64, Failure> {
        self.last_id += 1;
        let mut message = json!({ "id": self.last_id, "method": method, "params": params });
        if let Some(session) = session {
            message["sessionId"] = json!(session);
        }
        self.socket.send(Message::text(message.to_string())).map_err(|e| Failure::Gone(e.to_string()))?;
        Ok(self.last_id)
    }

    /// Returns the next message, or nothing when none came within a tick.
    fn receive(&mut self) -> Result<Option<Value>, Failure> {
        match self.socket.read() {
            Ok(Message::Text(text)) => serde_json::from_str(&text)
                .map(Some)
                .map_err(|e| Failure::Gone(format!("it sent something else than JSON: {e}"))),
            Ok(_) => Ok(None),
            Err(Error::Io(e)) if matches!(e.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut) => Ok(None),
            Err(e) => Err(Failure::Gone(e.to_string())),
        }
    }

    /// Takes an event in, and sends what it calls for without waiting for the answers.
    fn notice(&mut self, message: &Value) -> Result<(), Failure> {
        for reply in self.seen.take(message) {
            self.send(Some(&reply.session), reply.method, reply.params)?;
        }
        Ok(())
    }
}

fn result_of(method: &str, mut message: Value) -> Result<Value, Failure> {
    match message.get("error") {
        None => Ok(message["result"].take()),
        Some(error) => Err(Failure::Refused {
            method: method.to_owned(),
            reason: error["message"].as_str().unwrap_or_default().to_owned(),
        }),
    }
}
