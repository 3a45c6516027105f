//! A page, driven as a person and a test driver would drive it.
//!
//! This file opens, asks and waits; `find` looks for things by role and name,
//! `hands` touches them, `conditions` sets screen, speed, network and storage,
//! `watch` reads what the page did by itself.
//!
//! Gestures wait for their target and end the test at the caller's line when
//! it does not come. What may fail without ending the test returns `Result`.

mod conditions;
mod find;
mod hands;
mod watch;

use std::cell::Cell;
use std::rc::Rc;
use std::thread::sleep;
use std::time::{Duration, Instant};

use serde::de::DeserializeOwned;
use serde_json::{Value, json};

pub use conditions::Screen;
pub use find::ANY;

use crate::failure::{Failure, must};
use crate::seen::{thrown, watch};
use crate::wire::Wire;

/// How long a page may take to load, or a thing to appear.
pub const SOON: Duration = Duration::from_secs(10);
const POLL: Duration = Duration::from_millis(30);

/// An open page.
pub struct Page {
    wire: Rc<Wire>,
    target: String,
    session: String,
    /// Where the finger was last, and when.
    touched: Cell<Option<(Instant, f64, f64)>>,
}

impl Page {
    /// Opens an empty page and begins to watch it.
    pub fn attach(wire: Rc<Wire>, screen: Screen) -> Result<Self, Failure> {
        let made = wire.call(None, "Target.createTarget", json!({ "url": "about:blank" }))?;
        let target = made["targetId"].as_str().unwrap_or_default().to_owned();
        let attached = wire.call(None, "Target.attachToTarget", json!({ "targetId": target, "flatten": true }))?;
        let session = attached["sessionId"].as_str().unwrap_or_default().to_owned();
        let page = Self { wire, target, session, touched: Cell::new(None) };
        for domain in ["Page", "Runtime", "Network", "Log", "Inspector", "DOM", "Accessibility"] {
            page.call(&format!("{domain}.enable"), json!({}))?;
        }
        page.call("Target.setAutoAttach", watch(&["worker"]))?;
        page.focus(true)?;
        page.viewport(screen)?;
        Ok(page)
    }

    /// Sends one DevTools command to this page.
    pub fn call(&self, method: &str, params: Value) -> Result<Value, Failure> {
        self.wire.call(Some(&self.session), method, params)
    }

    /// Goes to an address and waits until it has loaded.
    pub fn go(&self, url: &str) -> Result<(), Failure> {
        let loads = self.loads()?;
        let answer = self.call("Page.navigate", json!({ "url": url }))?;
        if let Some(reason) = answer["errorText"].as_str() {
            return Err(Failure::Refused { method: format!("Page.navigate to {url}"), reason: reason.to_owned() });
        }
        self.await_load(loads, url)
    }

    /// Loads the page anew and waits until it has loaded.
    pub fn reload(&self) -> Result<(), Failure> {
        let loads = self.loads()?;
        self.call("Page.reload", json!({}))?;
        self.await_load(loads, "the page again")
    }

    /// Lets what is half typed be kept, and opens the page again.
    #[track_caller]
    pub fn dies_after_a_rest(&self) {
        std::thread::sleep(Duration::from_millis(900));
        must(self.reload());
        self.wait_until_open();
    }

    /// Closes the page without asking it.
    pub fn close(self) -> Result<(), Failure> {
        self.wire.call(None, "Target.closeTarget", json!({ "targetId": self.target })).map(|_| ())
    }

    /// Lets the process behind the page die.
    pub fn crash(self) -> Result<(), Failure> {
        match self.call("Page.crash", json!({})) {
            // The process dies before it can answer.
            Ok(_) | Err(Failure::Crashed(_)) => Ok(()),
            Err(other) => Err(other),
        }
    }

    /// Runs an expression, waits for its promise, and returns the value.
    pub fn eval<T: DeserializeOwned>(&self, js: &str) -> Result<T, Failure> {
        let answer =
            self.call("Runtime.evaluate", json!({ "expression": js, "awaitPromise": true, "returnByValue": true }))?;
        value_of(answer)
    }

    /// Waits until an expression is true.
    #[track_caller]
    pub fn wait_for(&self, js_condition: &str, patience: Duration) {
        let deadline = Instant::now() + patience;
        let mut last = String::from("false");
        while Instant::now() < deadline {
            // A page on its way to another document throws; that is no verdict yet.
            match self.eval::<bool>(&format!("Boolean({js_condition})")) {
                Ok(true) => return,
                Ok(false) => {}
                Err(gone @ (Failure::Gone(_) | Failure::Crashed(_))) => panic!("{gone}"),
                Err(other) => last = other.to_string(),
            }
            sleep(POLL);
        }
        panic!("waited {patience:?} for `{js_condition}` ({last}); {}", self.describe());
    }

    /// Waits until the page shows these words.
    #[track_caller]
    pub fn wait_for_text(&self, words: &str) {
        self.wait_for(&format!("document.body.innerText.includes({})", json!(words)), SOON);
    }

    /// Returns the words that the page shows.
    #[track_caller]
    pub fn text(&self) -> String {
        must(self.eval("document.body ? document.body.innerText : ''"))
    }

    /// Returns address, visible words and complaints, for a failure's message.
    pub fn describe(&self) -> String {
        let shown: Result<String, _> =
            self.eval("location.href + ' shows:\\n' + (document.body ? document.body.innerText : '').slice(0, 1500)");
        let shown = shown.unwrap_or_else(|failure| format!("it cannot be read ({failure})"));
        let complaints = self.console_errors().unwrap_or_default();
        format!("the page at {shown}\n-- console errors: {complaints:#?}")
    }

    fn loads(&self) -> Result<usize, Failure> {
        self.wire.look(|seen| seen.loads(&self.session))
    }

    fn await_load(&self, before: usize, what: &str) -> Result<(), Failure> {
        let patience = 3 * SOON;
        let loaded = self.wire.listen(patience, |seen| (seen.loads(&self.session) > before).then_some(()))?;
        loaded.ok_or_else(|| Failure::Late { what: format!("end of loading {what}"), waited: patience })
    }
}

/// Returns the value in the answer to `Runtime.evaluate` or `Runtime.callFunctionOn`.
fn value_of<T: DeserializeOwned>(mut answer: Value) -> Result<T, Failure> {
    let details = &answer["exceptionDetails"];
    if !details.is_null() {
        return Err(Failure::Thrown(thrown(details)));
    }
    let value = answer["result"]["value"].take();
    let words = value.to_string();
    serde_json::from_value(value).map_err(|e| Failure::Unexpected { answer: words, reason: e.to_string() })
}
