//! The conditions a page works under: screen, speed, light, network, storage, sleep.

use serde_json::json;

use super::Page;
use crate::failure::Failure;
use crate::seen::network;

/// A screen, in CSS pixels.
#[derive(Clone, Copy, Debug)]
pub struct Screen {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// Device pixels for one CSS pixel.
    pub scale: f64,
    /// True for touch and a mobile viewport.
    pub mobile: bool,
}

impl Screen {
    /// A phone held upright.
    pub const PHONE: Self = Self { width: 390, height: 844, scale: 2.0, mobile: true };
    /// A window on a desk.
    pub const DESK: Self = Self { width: 1280, height: 800, scale: 1.0, mobile: false };
}

impl Page {
    /// Gives the page another screen.
    pub fn viewport(&self, screen: Screen) -> Result<(), Failure> {
        let Screen { width, height, scale, mobile } = screen;
        self.call(
            "Emulation.setDeviceMetricsOverride",
            json!({ "width": width, "height": height, "deviceScaleFactor": scale, "mobile": mobile }),
        )?;
        // Touch stays possible on a desk: tests tap everywhere with the same hand.
        self.call("Emulation.setTouchEmulationEnabled", json!({ "enabled": true, "maxTouchPoints": 1 }))?;
        Ok(())
    }

    /// Slows the processor down by a factor; 1 is its own speed.
    pub fn cpu(&self, factor: f64) -> Result<(), Failure> {
        self.call("Emulation.setCPUThrottlingRate", json!({ "rate": factor })).map(|_| ())
    }

    /// Prefers a dark or a light page.
    pub fn media(&self, dark: bool) -> Result<(), Failure> {
        let value = if dark { "dark" } else { "light" };
        let features = json!([{ "name": "prefers-color-scheme", "value": value }]);
        self.call("Emulation.setEmulatedMedia", json!({ "features": features })).map(|_| ())
    }

    /// Cuts off the network for the page, its workers and every service worker, or gives it back.
    /// The simplest truth remains a stopped server.
    pub fn offline(&self, offline: bool) -> Result<(), Failure> {
        let family = self.wire.look(|seen| {
            seen.offline = offline;
            seen.family(&self.session)
        })?;
        for session in family {
            self.wire.call(Some(&session), "Network.emulateNetworkConditions", network(offline))?;
        }
        Ok(())
    }

    /// Limits the origin's storage to a number of bytes, or lifts the limit.
    ///
    /// IndexedDB asks for the room once and remembers the answer for a while: set a
    /// limit before the first write after a start of the browser. Lifting it is seen at once.
    pub fn quota(&self, bytes: Option<u64>) -> Result<(), Failure> {
        let mut params = json!({ "origin": self.origin()? });
        if let Some(bytes) = bytes {
            params["quotaSize"] = json!(bytes);
        }
        self.call("Storage.overrideQuotaForOrigin", params).map(|_| ())
    }

    /// Clears all that the origin stored, service workers and caches with it, as an eviction does.
    pub fn clear_origin(&self) -> Result<(), Failure> {
        self.clear("all")
    }

    /// Clears some kinds of storage only, in Chromium's own words and with commas between them.
    pub fn clear(&self, kinds: &str) -> Result<(), Failure> {
        let params = json!({ "origin": self.origin()?, "storageTypes": kinds });
        self.call("Storage.clearDataForOrigin", params).map(|_| ())
    }

    /// Puts another page in front, as a phone in a pocket or another app does.
    pub fn hide(&self) -> Result<(), Failure> {
        self.wire.call(None, "Target.createTarget", json!({ "url": "about:blank" }))?;
        self.focus(false)
    }

    /// Brings the page back to the front.
    pub fn show(&self) -> Result<(), Failure> {
        self.call("Page.bringToFront", json!({}))?;
        self.focus(true)
    }

    /// Hides and freezes the page as a phone does with one long out of sight.
    /// Nothing in it runs until [`Self::thaw`].
    pub fn freeze(&self) -> Result<(), Failure> {
        self.hide()?;
        self.call("Page.setWebLifecycleState", json!({ "state": "frozen" })).map(|_| ())
    }

    /// Lets a frozen page run again, in front.
    pub fn thaw(&self) -> Result<(), Failure> {
        self.call("Page.setWebLifecycleState", json!({ "state": "active" }))?;
        self.show()
    }

    /// Runs a script before any of the page's own, in every document from now on.
    pub fn before_each_document(&self, js: &str) -> Result<(), Failure> {
        self.call("Page.addScriptToEvaluateOnNewDocument", json!({ "source": js })).map(|_| ())
    }

    /// With focus, a page counts as seen even when another one is in front.
    pub(super) fn focus(&self, focus: bool) -> Result<(), Failure> {
        self.call("Emulation.setFocusEmulationEnabled", json!({ "enabled": focus })).map(|_| ())
    }

    fn origin(&self) -> Result<String, Failure> {
        self.eval("location.origin")
    }
}
