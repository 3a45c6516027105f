//! What the browser reported by itself: requests, complaints, downloads, deaths.
//!
//! A fold over the events of the wire. It sends nothing; where an event calls
//! for commands (a worker that just started and waits to be watched), it
//! returns them.
//!
//! A session is a page, a worker or a service worker. Workers are watched from
//! before their first line, so that no request of theirs goes unseen.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Value, json};

/// A request that something in the browser made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Request {
    /// The address, whole.
    pub url: String,
    /// `GET`, `POST`, …
    pub method: String,
    /// `page`, `worker` or `service_worker`.
    pub from: String,
}

/// A file that the browser is putting into the download folder, or has put there.
#[derive(Clone, Debug)]
pub struct Download {
    /// The name that the page gave it.
    pub name: String,
    /// `inProgress`, `completed` or `canceled`.
    pub state: String,
    /// Where it lies.
    pub path: String,
    /// True once a test has asked for it.
    pub taken: bool,
}

/// A command that an event calls for.
pub struct Reply {
    /// To whom.
    pub session: String,
    /// The command.
    pub method: &'static str,
    /// Its parameters.
    pub params: Value,
}

struct Session {
    kind: String,
    parent: Option<String>,
}

/// Everything seen since the wire was opened.
#[derive(Default)]
pub struct Seen {
    sessions: BTreeMap<String, Session>,
    requests: Vec<(String, Request)>,
    complaints: Vec<(String, String)>,
    loads: BTreeMap<String, usize>,
    crashed: BTreeSet<String>,
    /// Downloads by Chromium's own id.
    pub downloads: BTreeMap<String, Download>,
    /// Whether new workers start without network.
    pub offline: bool,
}

impl Seen {
    /// Takes in one message of the wire; answers to commands are no events and pass.
    pub fn take(&mut self, message: &Value) -> Vec<Reply> {
        let session = text(&message["sessionId"]);
        let params = &message["params"];
        match message["method"].as_str().unwrap_or_default() {
            "Target.attachedToTarget" => return self.attached(session, params),
            "Target.detachedFromTarget" => {
                self.sessions.remove(&text(&params["sessionId"]));
            }
            "Network.requestWillBeSent" => self.requested(session, &params["request"]),
            "Runtime.exceptionThrown" => {
                let details = &params["exceptionDetails"];
                self.complaints.push((session, thrown(details)));
            }
            "Runtime.consoleAPICalled" if params["type"] == "error" => {
                self.complaints.push((session, console_words(&params["args"])));
            }
            "Log.entryAdded" if params["entry"]["level"] == "error" => {
                let entry = &params["entry"];
                let words = format!("{} {}", text(&entry["text"]), text(&entry["url"]));
                self.complaints.push((session, words.trim_end().to_owned()));
            }
            "Page.loadEventFired" => *self.loads.entry(session).or_default() += 1,
            "Page.javascriptDialogOpening" => return self.dialog(session, params),
            "Inspector.targetCrashed" => {
                self.crashed.insert(session);
            }
            "Inspector.targetReloadedAfterCrash" => {
                self.crashed.remove(&session);
                // A service worker that starts again stops before its first line again.
                return vec![Reply { session, method: "Runtime.runIfWaitingForDebugger", params: json!({}) }];
            }
            "Browser.downloadWillBegin" => {
                let name = text(&params["suggestedFilename"]);
                let download = Download { name, state: "inProgress".to_owned(), path: String::new(), taken: false };
                self.downloads.insert(text(&params["guid"]), download);
            }
            "Browser.downloadProgress" => {
                if let Some(download) = self.downloads.get_mut(&text(&params["guid"])) {
                    download.state = text(&params["state"]);
                    download.path = text(&params["filePath"]);
                }
            }
            _ => {}
        }
        Vec::new()
    }

    /// Returns true while the process behind a session is dead.
    pub fn has_crashed(&self, session: &str) -> bool {
        self.crashed.contains(session)
    }

    /// Returns how often a page has finished loading.
    pub fn loads(&self, session: &str) -> usize {
        self.loads.get(session).copied().unwrap_or_default()
    }

    /// Returns the requests of a page, of its workers and of every service worker.
    pub fn requests(&self, page: &str) -> Vec<Request> {
        self.requests
            .iter()
            .filter(|(session, request)| request.from == "service_worker" || self.belongs(session, page))
            .map(|(_, request)| request.clone())
            .collect()
    }

    /// Forgets every request so far.
    pub fn forget_requests(&mut self) {
        self.requests.clear();
    }

    /// Returns what a page, its workers and every service worker complained of.
    pub fn complaints(&self, page: &str) -> Vec<String> {
        self.complaints
            .iter()
            .filter(|(session, _)| self.kind(session) == "service_worker" || self.belongs(session, page))
            .map(|(_, words)| words.clone())
            .collect()
    }

    /// Forgets every complaint so far.
    pub fn forget_complaints(&mut self) {
        self.complaints.clear();
    }

    /// Returns a page's session and those of its workers and of every service worker.
    pub fn family(&self, page: &str) -> Vec<String> {
        self.sessions
            .iter()
            .filter(|(id, it)| it.kind == "service_worker" || self.belongs(id, page))
            .map(|(id, _)| id.clone())
            .collect()
    }

    fn belongs(&self, session: &str, page: &str) -> bool {
        let mut at = Some(session);
        while let Some(here) = at {
            if here == page {
                return true;
            }
            at = self.sessions.get(here).and_then(|it| it.parent.as_deref());
        }
        false
    }

    fn kind(&self, session: &str) -> &str {
        self.sessions.get(session).map_or("page", |it| it.kind.as_str())
    }

    fn requested(&mut self, session: String, request: &Value) {
        let from = self.kind(&session).to_owned();
        let request = Request { url: text(&request["url"]), method: text(&request["method"]), from };
        self.requests.push((session, request));
    }

    /// A person would have to answer a dialog before anything else; so do we.
    fn dialog(&mut self, session: String, params: &Value) -> Vec<Reply> {
        if params["type"] != "beforeunload" {
            self.complaints.push((session.clone(), format!("dialog: {}", text(&params["message"]))));
        }
        vec![Reply { session, method: "Page.handleJavaScriptDialog", params: json!({ "accept": true }) }]
    }

    fn attached(&mut self, parent: String, params: &Value) -> Vec<Reply> {
        let session = text(&params["sessionId"]);
        let kind = text(&params["targetInfo"]["type"]);
        let parent = (!parent.is_empty()).then_some(parent);
        self.sessions.insert(session.clone(), Session { kind, parent });
        if params["waitingForDebugger"] != true {
            return Vec::new();
        }
        let mut replies = vec![("Network.enable", json!({})), ("Runtime.enable", json!({})), ("Log.enable", json!({}))];
        replies.push(("Inspector.enable", json!({})));
        if self.offline {
            replies.push(("Network.emulateNetworkConditions", network(true)));
        }
        replies.push(("Target.setAutoAttach", watch(&["worker"])));
        replies.push(("Runtime.runIfWaitingForDebugger", json!({})));
        replies.into_iter().map(|(method, params)| Reply { session: session.clone(), method, params }).collect()
    }
}

/// Returns the parameters that ask for every new target of these kinds, stopped before its first line.
pub fn watch(kinds: &[&str]) -> Value {
    let mut filter: Vec<Value> = kinds.iter().map(|kind| json!({ "type": kind })).collect();
    filter.push(json!({ "exclude": true }));
    json!({ "autoAttach": true, "waitForDebuggerOnStart": true, "flatten": true, "filter": filter })
}

/// Returns the parameters that cut the network off, or give it back.
pub fn network(offline: bool) -> Value {
    json!({ "offline": offline, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1 })
}

/// Returns what was thrown, in the words of the engine.
pub fn thrown(details: &Value) -> String {
    match details["exception"]["description"].as_str() {
        Some(words) => words.to_owned(),
        None if details["exception"]["value"].is_null() => text(&details["text"]),
        None => format!("{} {}", text(&details["text"]), details["exception"]["value"]),
    }
}

fn console_words(args: &Value) -> String {
    let words = args.as_array().into_iter().flatten().map(|arg| match &arg["value"] {
        Value::String(words) => words.clone(),
        Value::Null => text(&arg["description"]),
        other => other.to_string(),
    });
    words.collect::<Vec<_>>().join(" ")
}

fn text(value: &Value) -> String {
    value.as_str().unwrap_or_default().to_owned()
}
