//! What a page did by itself: requests, complaints, its picture.

use std::fs;
use std::path::Path;

use data_encoding::BASE64;
use serde_json::json;

use super::Page;
use crate::failure::Failure;
use crate::seen::Request;

impl Page {
    /// Returns the requests of this page, of its workers and of every service worker.
    pub fn requests(&self) -> Result<Vec<Request>, Failure> {
        self.wire.look(|seen| seen.requests(&self.session))
    }

    /// Forgets the requests so far, in every page.
    pub fn forget_requests(&self) -> Result<(), Failure> {
        self.wire.look(|seen| seen.forget_requests())
    }

    /// Returns uncaught exceptions, `console.error`, refusals by the page's own
    /// security policy, failed loads and dialogs.
    pub fn console_errors(&self) -> Result<Vec<String>, Failure> {
        self.wire.look(|seen| seen.complaints(&self.session))
    }

    /// Forgets the complaints so far, in every page.
    pub fn forget_console_errors(&self) -> Result<(), Failure> {
        self.wire.look(|seen| seen.forget_complaints())
    }

    /// Writes what the screen shows as a PNG file.
    pub fn screenshot(&self, path: &Path) -> Result<(), Failure> {
        let answer = self.call("Page.captureScreenshot", json!({ "format": "png" }))?;
        let picture = answer["data"].as_str().unwrap_or_default();
        let bytes = BASE64
            .decode(picture.as_bytes())
            .map_err(|e| Failure::Unexpected { answer: "a picture".to_owned(), reason: e.to_string() })?;
        fs::write(path, bytes).map_err(Failure::machine(format!("cannot write {}", path.display())))
    }
}
