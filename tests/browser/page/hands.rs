//! Touching a page: tap, type, choose.
//!
//! A tap is a real touch at the middle of the thing, after it has come to rest
//! in view. What lies under something else, or is disabled, cannot be tapped
//! by a person and so not by a test.

use std::path::PathBuf;
use std::thread::sleep;
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use super::find::{Element, FIELDS, Sought, roles};
use super::{POLL, Page, SOON};
use crate::failure::{Failure, must};

/// How long a person takes at least to read what came under the finger.
const READ: Duration = Duration::from_millis(330);

/// How long after a tap a finger that bounces is there again.
const BOUNCE: Duration = Duration::from_millis(150);

/// Brings the element to rest in view and returns its middle, or what is in the way.
/// A control that its label stands in for is tapped on the label.
const PLACE: &str = "async function () {
    const rest = () => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
    const tiny = it => it.getBoundingClientRect().width < 4 || getComputedStyle(it).opacity === '0';
    const goal = tiny(this) && this.labels && this.labels.length ? this.labels[0] : this;
    if (this.matches(':disabled') || this.ariaDisabled === 'true') return { trouble: 'is disabled' };
    const middle = () => {
        const box = goal.getBoundingClientRect();
        return { x: box.x + box.width / 2, y: box.y + box.height / 2, size: box.width * box.height };
    };
    const look = ({ x, y, size }) => {
        if (!goal.isConnected || size === 0) return 'has no place on the page';
        const top = document.elementFromPoint(x, y);
        if (!top) return 'lies outside the screen';
        const labels = [...(goal.labels || [])];
        if (goal.contains(top) || labels.some(it => it.contains(top))) return '';
        return 'is covered by ' + top.outerHTML.slice(0, 120);
    };
    if (look(middle())) goal.scrollIntoView({ block: 'center', inline: 'center', behavior: 'instant' });
    const before = middle();
    await rest();
    const after = middle();
    const still = Math.hypot(before.x - after.x, before.y - after.y) < 1;
    return { ...after, trouble: still ? look(after) : 'is moving' };
}";

/// Takes the keyboard into a field and marks what is in it; tells whether typing will do.
/// Date and time fields are set as their pickers set them.
const ENTER: &str = "function (text) {
    if (this.disabled || this.readOnly) return 'cannot be changed: it is disabled or read-only';
    this.focus();
    if (document.activeElement !== this) return 'does not take the keyboard';
    if (['date', 'time', 'datetime-local', 'month', 'week', 'range', 'color'].includes(this.type)) {
        Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value').set.call(this, text);
        this.dispatchEvent(new Event('input', { bubbles: true }));
        this.dispatchEvent(new Event('change', { bubbles: true }));
        return this.value === text ? 'set' : 'does not take “' + text + '”';
    }
    if (this.select) this.select(); else document.getSelection().selectAllChildren(this);
    return 'type';
}";

const CHOOSE: &str = "function (name) {
    const found = [...this.options].find(it => it.label.trim() === name && !it.disabled);
    if (!found) return 'has no choice “' + name + '”, only: ' + [...this.options].map(it => it.label).join(', ');
    found.selected = true;
    this.dispatchEvent(new Event('input', { bubbles: true }));
    this.dispatchEvent(new Event('change', { bubbles: true }));
    return '';
}";

impl Page {
    /// Taps the first match of a selector.
    #[track_caller]
    pub fn tap(&self, css: &str) {
        self.tap_sought(&Sought::Css(css));
    }

    /// Taps the visible thing with this role ([`super::ANY`] for all) and accessible name.
    #[track_caller]
    pub fn tap_named(&self, role: &str, name: &str) {
        self.tap_sought(&Sought::Named(&roles(role), name));
    }

    /// Taps what an expression finds, found again where it is drawn anew meanwhile.
    #[track_caller]
    pub fn tap_said(&self, js: &str) {
        self.tap_sought(&Sought::Said(js));
    }

    /// Puts a finger on the first match of a selector, moves it down (up when negative)
    /// in small steps, and lifts it.
    #[track_caller]
    pub fn drag(&self, css: &str, pixels: i32) {
        must(self.front());
        let (x, y, trouble) = must(place(&self.element(&Sought::Css(css))));
        assert!(trouble.is_empty(), "cannot drag {css}: it {trouble}; {}", self.describe());
        let touch = |kind: &str, down: f64| {
            let points = json!([{ "x": x, "y": y + down }]);
            let points = if kind == "touchEnd" { json!([]) } else { points };
            must(self.call("Input.dispatchTouchEvent", json!({ "type": kind, "touchPoints": points })));
        };
        touch("touchStart", 0.0);
        for step in 1..=10 {
            touch("touchMove", f64::from(pixels) * f64::from(step) / 10.0);
        }
        touch("touchEnd", 0.0);
    }

    /// Draws with a finger on the first match of a selector, from place to place, each in
    /// hundredths of its width and height.
    #[track_caller]
    pub fn draw(&self, css: &str, places: &[(f64, f64)]) {
        must(self.front());
        // A page that comes to rest is waited for, as a person does.
        let looked = (0..20).map(|_| must(place(&self.element(&Sought::Css(css)))).2).find(String::is_empty);
        assert!(looked.is_some(), "cannot draw on {css}: {}", self.describe());
        let [left, top, wide, high]: [f64; 4] = must(self.eval(&format!(
            "(() => {{ const box = document.querySelector({}).getBoundingClientRect(); \
             return [box.x, box.y, box.width, box.height]; }})()",
            json!(css)
        )));
        let touch = |kind: &str, points: Value| {
            must(self.call("Input.dispatchTouchEvent", json!({ "type": kind, "touchPoints": points })));
        };
        for (at, (x, y)) in places.iter().enumerate() {
            let kind = if at == 0 { "touchStart" } else { "touchMove" };
            touch(kind, json!([{ "x": left + wide * x / 100.0, "y": top + high * y / 100.0 }]));
        }
        touch("touchEnd", json!([]));
    }

    /// Replaces the text of the first match of a selector.
    #[track_caller]
    pub fn type_into(&self, css: &str, text: &str) {
        self.fill_sought(&Sought::Css(css), text);
    }

    /// Replaces the text of the field with this label.
    #[track_caller]
    pub fn fill_labelled(&self, label: &str, text: &str) {
        self.fill_sought(&Sought::Named(&FIELDS, label), text);
    }

    /// Chooses in the list with this label the choice with this name.
    #[track_caller]
    pub fn choose_labelled(&self, label: &str, choice: &str) {
        let sought = Sought::Named(&FIELDS, label);
        let trouble: String = must(self.element(&sought).ask(CHOOSE, &[json!(choice)]));
        assert!(trouble.is_empty(), "{sought} {trouble}");
    }

    /// Gives files to a file input, as its picker would; it need not be visible.
    #[track_caller]
    pub fn choose_file(&self, css: &str, files: &[PathBuf]) {
        let element = self.element(&Sought::Css(css));
        must(self.call("DOM.setFileInputFiles", json!({ "objectId": element.object(), "files": files })));
    }

    /// Drops files and folders on the first match of a selector, as one who drags them there with a mouse.
    #[track_caller]
    pub fn drop_files(&self, css: &str, files: &[PathBuf]) {
        must(self.front());
        let (x, y, trouble) = must(place(&self.element(&Sought::Css(css))));
        assert!(trouble.is_empty(), "cannot drop on {css}: it {trouble}; {}", self.describe());
        let data = json!({ "items": [], "files": files, "dragOperationsMask": 1 });
        for kind in ["dragEnter", "dragOver", "drop"] {
            must(self.call("Input.dispatchDragEvent", json!({ "type": kind, "x": x, "y": y, "data": data })));
        }
    }

    /// Presses and releases a key by the name that the page sees: `Enter`, `Tab`, `Escape`, …
    #[track_caller]
    pub fn press(&self, key: &str) {
        let (code, text) = match key {
            "Enter" => (13, "\r"),
            "Tab" => (9, ""),
            "Escape" => (27, ""),
            "Backspace" => (8, ""),
            "ArrowDown" => (40, ""),
            "ArrowUp" => (38, ""),
            other => panic!("the key {other} is not in the harness's list yet: add it to `press`"),
        };
        let stroke = |kind: &str| {
            let text = if kind == "keyDown" { text } else { "" };
            json!({ "type": kind, "key": key, "code": key, "windowsVirtualKeyCode": code, "text": text })
        };
        must(self.call("Input.dispatchKeyEvent", stroke("keyDown")));
        must(self.call("Input.dispatchKeyEvent", stroke("keyUp")));
    }

    #[track_caller]
    fn tap_sought(&self, sought: &Sought) {
        must(self.front());
        let deadline = Instant::now() + SOON;
        loop {
            let trouble = match place(&self.element(sought)) {
                Ok((x, y, trouble)) if trouble.is_empty() => return must(self.touch(x, y)),
                Ok((_, _, trouble)) => trouble,
                // It was redrawn between finding and looking: find it again.
                Err(failure) => failure.to_string(),
            };
            assert!(Instant::now() < deadline, "cannot tap {sought}: it {trouble}; {}", self.describe());
            sleep(POLL);
        }
    }

    fn touch(&self, x: f64, y: f64) -> Result<(), Failure> {
        // Nobody reads what came under the finger faster than this: the app takes it for a bounce.
        if let Some((at, ..)) = self.touched.get().filter(|(_, a, b)| (a - x).abs() < 30.0 && (b - y).abs() < 30.0) {
            sleep(READ.saturating_sub(at.elapsed()));
        }
        self.call("Input.dispatchTouchEvent", json!({ "type": "touchStart", "touchPoints": [{ "x": x, "y": y }] }))?;
        self.call("Input.dispatchTouchEvent", json!({ "type": "touchEnd", "touchPoints": [] }))?;
        self.touched.set(Some((Instant::now(), x, y)));
        Ok(())
    }

    /// Puts a finger on a spot twice, so that the app has just done what the first tap asked for.
    pub fn bounce(&self, x: f64, y: f64) {
        must(self.front());
        self.touched.set(None);
        must(self.touch(x, y));
        sleep(BOUNCE);
        self.touched.set(None);
        must(self.touch(x, y));
    }

    #[track_caller]
    fn fill_sought(&self, sought: &Sought, text: &str) {
        must(self.front());
        let verdict: String = must(self.element(sought).ask(ENTER, &[json!(text)]));
        match verdict.as_str() {
            "set" => {}
            "type" if text.is_empty() => self.press("Backspace"),
            "type" => {
                must(self.call("Input.insertText", json!({ "text": text })));
            }
            trouble => panic!("{sought} {trouble}; {}", self.describe()),
        }
    }

    fn front(&self) -> Result<(), Failure> {
        self.call("Page.bringToFront", json!({})).map(|_| ())
    }
}

fn place(element: &Element) -> Result<(f64, f64, String), Failure> {
    let answer: Value = element.ask(PLACE, &[])?;
    let trouble = answer["trouble"].as_str().unwrap_or_default().to_owned();
    Ok((answer["x"].as_f64().unwrap_or_default(), answer["y"].as_f64().unwrap_or_default(), trouble))
}
